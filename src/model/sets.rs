//! A column of bit sets as bytes of one width: a table has a hundred thousand of them, and to read them
//! number by number took longer than to reckon with them. A column of very many materials is packed: most
//! liquids and tests are answered by few of them.

use lz4_flex::block::{compress, decompress};
use serde::de::{Error, Visitor};
use serde::{Deserializer, Serializer};

/// Bytes from which a column is packed.
const LONG: usize = 4 << 10;
/// Added to the width of a packed column, whose plain length follows in four bytes.
const PACKED: u8 = 0x80;

/// Writes the width, then the sets, little end first.
pub(super) fn serialize<S: Serializer>(sets: &[u64], serializer: S) -> Result<S::Ok, S::Error> {
    let all = sets.iter().fold(0, |all, set| all | set);
    let width = match all {
        0..=0xff => 1,
        0x100..=0xffff => 2,
        0x1_0000..=0xffff_ffff => 4,
        _ => 8,
    };
    let mut out = vec![width];
    for set in sets {
        out.extend_from_slice(&set.to_le_bytes()[..usize::from(width)]);
    }
    if out.len() >= LONG
        && let Ok(plain) = u32::try_from(out.len() - 1)
    {
        let mut packed = vec![width | PACKED];
        packed.extend_from_slice(&plain.to_le_bytes());
        packed.extend(compress(&out[1..]));
        return serializer.serialize_bytes(&packed);
    }
    serializer.serialize_bytes(&out)
}

/// Reads them back.
pub(super) fn deserialize<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Vec<u64>, D::Error> {
    deserializer.deserialize_bytes(Sets)
}

struct Sets;

impl Visitor<'_> for Sets {
    type Value = Vec<u64>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a width and bit sets of that width")
    }

    fn visit_bytes<E: Error>(self, bytes: &[u8]) -> Result<Vec<u64>, E> {
        if let Some((width, rest)) = bytes.split_first()
            && width & PACKED != 0
            && let Some((plain, packed)) = rest.split_first_chunk()
        {
            let plain = u32::from_le_bytes(*plain) as usize;
            // A byte of the packed form stands for 255 plain ones at most: what promises more is damaged.
            if plain / 255 > packed.len() {
                return Err(E::custom("no bit sets"));
            }
            let mut out = vec![width & !PACKED];
            out.extend(decompress(packed, plain).map_err(E::custom)?);
            return self.visit_bytes(&out);
        }
        fn wide<const N: usize>(sets: &[u8], one: impl Fn([u8; N]) -> u64) -> Vec<u64> {
            sets.as_chunks().0.iter().map(|set| one(*set)).collect()
        }
        match bytes.split_first() {
            Some((1, sets)) => Ok(wide(sets, |set| u8::from_le_bytes(set).into())),
            Some((2, sets)) => Ok(wide(sets, |set| u16::from_le_bytes(set).into())),
            Some((4, sets)) => Ok(wide(sets, |set| u32::from_le_bytes(set).into())),
            Some((8, sets)) => Ok(wide(sets, u64::from_le_bytes)),
            _ => Err(E::custom("no bit sets")),
        }
    }
}

#[cfg(test)]
mod tests {
    use serde::{Deserialize, Serialize};

    #[derive(Serialize, Deserialize)]
    struct Column(#[serde(with = "super")] Vec<u64>);

    #[test]
    fn long_columns_are_packed() {
        for most in [0, 3, 255, 256, 1 << 31, u64::MAX] {
            let sets: Vec<u64> = (0..9_000)
                .map(|n| if n % 218 < 5 { most } else { 0 })
                .collect();
            let packed = postcard::to_allocvec(&Column(sets.clone())).unwrap();
            assert!(packed.len() < 4_500, "{}", packed.len());
            assert_eq!(postcard::from_bytes::<Column>(&packed).unwrap().0, sets);
            for cut in [3, 9, packed.len() / 2] {
                let mut cut = packed[..cut].to_vec();
                cut[0] = cut.len() as u8 - 1;
                cut.truncate(usize::from(cut[0] & 0x7f) + 1);
                cut[0] &= 0x7f;
                assert!(postcard::from_bytes::<Column>(&cut).is_err());
            }
        }
        let promise = [6, 0x81, 0xff, 0xff, 0xff, 0xff, 0];
        assert!(postcard::from_bytes::<Column>(&promise).is_err());
    }

    #[test]
    fn sets_of_every_width_are_read_back() {
        for (most, bytes) in [(0, 1), (255, 1), (256, 2), (1 << 31, 4), (u64::MAX, 8)] {
            let sets = vec![most, 0, most >> 3, 1];
            let packed = postcard::to_allocvec(&Column(sets.clone())).unwrap();
            // A length, a width, the sets.
            assert_eq!(packed.len(), 2 + 4 * bytes);
            assert_eq!(postcard::from_bytes::<Column>(&packed).unwrap().0, sets);
        }
        assert!(postcard::from_bytes::<Column>(&[0]).is_err());
        assert!(postcard::from_bytes::<Column>(&[1, 3]).is_err());
    }
}
