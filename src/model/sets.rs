//! A column of bit sets as bytes of one width: a table has a hundred thousand of them, and to read them
//! number by number took longer than to reckon with them.

use serde::de::{Error, Visitor};
use serde::{Deserializer, Serializer};

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
