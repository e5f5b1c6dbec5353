//! A column of bit sets, kept as bytes of one width: a table has a hundred thousand of them, nearly all
//! narrow, and half of the memory of a short answer would go into making each a word of 64 bits. They stay
//! where they lie. A column of very many materials is packed where it is written down: most tests are answered
//! by few of them.

use lz4_flex::block::{compress, decompress};
use serde::de::{Error, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::lazy::Packed;

/// Bytes from which a column is packed.
const LONG: usize = 4 << 10;
/// Added to the width of a packed column, whose plain length follows in four bytes.
const PACKED: u8 = 0x80;

/// Bit sets, by number.
#[derive(Clone, Debug, Default)]
pub struct Column {
    /// Bytes of a set: 1, 2, 4 or 8; 0 where there is none.
    width: u8,
    /// The sets, little end first.
    sets: Packed,
}

impl PartialEq for Column {
    fn eq(&self, other: &Self) -> bool {
        self.width == other.width && self.sets.bytes() == other.sets.bytes()
    }
}

impl Eq for Column {}

impl Column {
    /// How many they are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.sets.bytes().len() / usize::from(self.width).max(1)
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.sets.bytes().is_empty()
    }

    /// One of them; empty (0) past the last.
    #[must_use]
    pub fn get(&self, number: usize) -> u64 {
        self.open().get(number)
    }

    /// The sets themselves, for who asks for many of them.
    #[must_use]
    pub fn open(&self) -> Sets<'_> {
        Sets {
            width: self.width,
            bytes: self.sets.bytes(),
        }
    }

    /// Hands over those that are not empty, in order, each with what stands at its number in `beside`; past the end
    /// of that none.
    pub fn for_each_present<T>(&self, beside: &[T], of: impl FnMut(&T, u64)) {
        let sets = self.sets.bytes();
        match self.width {
            1 => present(sets, u8::from_le_bytes, beside, of),
            2 => present(sets, u16::from_le_bytes, beside, of),
            4 => present(sets, u32::from_le_bytes, beside, of),
            8 => present(sets, u64::from_le_bytes, beside, of),
            _ => {}
        }
    }

    /// All of them, in order.
    pub fn iter(&self) -> impl Iterator<Item = u64> {
        let sets = self.open();
        (0..self.len()).map(move |number| sets.get(number))
    }
}

/// A column of which it was looked up where it lies.
#[derive(Clone, Copy, Debug)]
pub struct Sets<'a> {
    width: u8,
    bytes: &'a [u8],
}

impl Sets<'_> {
    /// One of them; empty (0) past the last.
    #[must_use]
    pub fn get(&self, number: usize) -> u64 {
        match self.width {
            1 => one(self.bytes, number, u8::from_le_bytes),
            2 => one(self.bytes, number, u16::from_le_bytes),
            4 => one(self.bytes, number, u32::from_le_bytes),
            8 => one(self.bytes, number, u64::from_le_bytes),
            _ => 0,
        }
    }
}

/// A set among those of one width.
fn one<const WIDTH: usize, Set: Into<u64>>(
    sets: &[u8],
    number: usize,
    read: impl Fn([u8; WIDTH]) -> Set,
) -> u64 {
    let (sets, _) = sets.as_chunks();
    sets.get(number).map_or(0, |set| read(*set).into())
}

/// Those among sets of one width that are not empty.
fn present<const WIDTH: usize, Set: Into<u64>, T>(
    sets: &[u8],
    read: impl Fn([u8; WIDTH]) -> Set,
    beside: &[T],
    mut of: impl FnMut(&T, u64),
) {
    let (sets, _) = sets.as_chunks();
    for (own, set) in beside.iter().zip(sets) {
        let set = read(*set).into();
        if set != 0 {
            of(own, set);
        }
    }
}

impl FromIterator<u64> for Column {
    fn from_iter<I: IntoIterator<Item = u64>>(sets: I) -> Self {
        let sets: Vec<u64> = sets.into_iter().collect();
        let all = sets.iter().fold(0, |all, set| all | set);
        let width = match all {
            _ if sets.is_empty() => 0,
            0..=0xff => 1,
            0x100..=0xffff => 2,
            0x1_0000..=0xffff_ffff => 4,
            _ => 8,
        };
        let narrow = |set: &u64| set.to_le_bytes().into_iter().take(usize::from(width));
        Self {
            width,
            sets: Packed::Own(sets.iter().flat_map(narrow).collect()),
        }
    }
}

impl Serialize for Column {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = vec![self.width];
        let sets = self.sets.bytes();
        match u32::try_from(sets.len()) {
            Ok(plain) if sets.len() >= LONG => {
                out[0] |= PACKED;
                out.extend_from_slice(&plain.to_le_bytes());
                out.extend(compress(sets));
            }
            _ => out.extend_from_slice(sets),
        }
        serializer.serialize_bytes(&out)
    }
}

impl<'de> Deserialize<'de> for Column {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_bytes(Written)
    }
}

/// Takes a width and sets, or the place where they lie.
struct Written;

impl<'de> Visitor<'de> for Written {
    type Value = Column;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a width and bit sets of that width")
    }

    fn visit_bytes<E: Error>(self, bytes: &[u8]) -> Result<Column, E> {
        column(bytes, |sets| Packed::Own(sets.into()))
    }

    fn visit_borrowed_bytes<E: Error>(self, bytes: &'de [u8]) -> Result<Column, E> {
        column(bytes, Packed::read)
    }
}

/// A column as it was written down; of one that is not packed the sets are held in this way.
fn column<E: Error>(bytes: &[u8], hold: impl Fn(&[u8]) -> Packed) -> Result<Column, E> {
    let (width, rest) = bytes.split_first().ok_or_else(none)?;
    if width & PACKED == 0 {
        return of_width(*width, hold(rest));
    }
    let (plain, packed) = rest.split_first_chunk().ok_or_else(none)?;
    let plain = u32::from_le_bytes(*plain) as usize;
    // A byte of the packed form stands for 255 plain ones at most: what promises more is damaged.
    if plain / 255 > packed.len() {
        return Err(none());
    }
    let sets = decompress(packed, plain).map_err(E::custom)?;
    of_width(width & !PACKED, Packed::Own(sets.into()))
}

fn of_width<E: Error>(width: u8, sets: Packed) -> Result<Column, E> {
    let length = sets.bytes().len();
    match width {
        0 if length == 0 => Ok(Column::default()),
        1 | 2 | 4 | 8 if length.is_multiple_of(usize::from(width)) => Ok(Column { width, sets }),
        _ => Err(none()),
    }
}

fn none<E: Error>() -> E {
    E::custom("no bit sets")
}

#[cfg(test)]
mod tests {
    use super::Column;

    #[test]
    fn sets_of_every_width_are_read_back() {
        for (most, bytes) in [(0, 1), (255, 1), (256, 2), (1 << 31, 4), (u64::MAX, 8)] {
            let sets = vec![most, 0, most >> 3, 1];
            let made: Column = sets.iter().copied().collect();
            let packed = postcard::to_allocvec(&made).unwrap();
            // A length, a width, the sets.
            assert_eq!(packed.len(), 2 + 4 * bytes);
            let read: Column = postcard::from_bytes(&packed).unwrap();
            assert_eq!(read, made);
            assert_eq!((read.len(), read.is_empty()), (4, false));
            assert_eq!(read.iter().collect::<Vec<_>>(), sets);
            assert_eq!(read.get(2), most >> 3);
            let mut present = Vec::new();
            read.for_each_present(&[0, 1, 2, 3, 4], |number, set| present.push((*number, set)));
            let whole = read.iter().enumerate().filter(|(_, set)| *set != 0);
            assert!(present.into_iter().eq(whole));
            assert_eq!((read.get(4), read.get(usize::MAX)), (0, 0));
        }
        for damaged in [&[0][..], &[1, 3], &[2, 2, 7], &[2, 0, 7]] {
            assert!(postcard::from_bytes::<Column>(damaged).is_err());
        }
    }

    #[test]
    fn long_columns_are_packed() {
        for most in [1, 255, 256, 1 << 31, u64::MAX] {
            let few = |n| if n % 218 < 5 { most } else { 0 };
            let made: Column = (0..9_000).map(few).collect();
            let packed = postcard::to_allocvec(&made).unwrap();
            assert!(packed.len() < 4_500, "{}", packed.len());
            let read: Column = postcard::from_bytes(&packed).unwrap();
            assert_eq!(read, made);
            assert!(read.iter().eq((0..9_000).map(few)));
        }
        let promise = [6, 0x81, 0xff, 0xff, 0xff, 0xff, 0];
        assert!(postcard::from_bytes::<Column>(&promise).is_err());
        let cut = [5, 0x81, 0x10, 0, 0, 0];
        assert!(postcard::from_bytes::<Column>(&cut).is_err());
    }

    #[test]
    fn no_sets_are_none() {
        let none = Column::from_iter([]);
        assert!(none.is_empty() && none.iter().next().is_none());
        let packed = postcard::to_allocvec(&none).unwrap();
        assert_eq!(postcard::from_bytes::<Column>(&packed).unwrap(), none);
    }
}
