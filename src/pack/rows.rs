//! Tables of numbers as they lie in a pack: read in place, one row at a time. To find one record among a
//! hundred thousand, or one name, a few rows are read and nothing is built.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hasher};

/// A table of rows of `WIDTH` numbers of four bytes, little end first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rows<'a, const WIDTH: usize>(&'a [u8]);

impl<'a, const WIDTH: usize> Rows<'a, WIDTH> {
    pub(super) const fn new(bytes: &'a [u8]) -> Self {
        Self(bytes)
    }

    /// Number of whole rows.
    pub(super) const fn len(self) -> usize {
        self.0.len() / (4 * WIDTH)
    }

    /// A row; `None` beyond the end.
    pub(super) fn get(self, index: usize) -> Option<[u32; WIDTH]> {
        let start = index.checked_mul(4 * WIDTH)?;
        let bytes = self.0.get(start..start.checked_add(4 * WIDTH)?)?;
        let (numbers, _) = bytes.as_chunks::<4>();
        let mut row = [0; WIDTH];
        for (to, from) in row.iter_mut().zip(numbers) {
            *to = u32::from_le_bytes(*from);
        }
        Some(row)
    }

    /// The first of the rows `from..to` for which `before` does not hold; they are sorted so that those
    /// for which it holds come first. A row that cannot be read counts as not before.
    pub(super) fn partition_point(
        self,
        from: usize,
        to: usize,
        before: impl Fn([u32; WIDTH]) -> bool,
    ) -> usize {
        let (mut low, mut high) = (from, to);
        while low < high {
            let middle = low + (high - low) / 2;
            if self.get(middle).is_some_and(&before) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        low
    }
}

/// Writes one row.
pub(super) fn push<const WIDTH: usize>(out: &mut Vec<u8>, row: [u32; WIDTH]) {
    for number in row {
        out.extend_from_slice(&number.to_le_bytes());
    }
}

/// Texts that lie one behind the other, each once, to be named by start and length.
#[derive(Default)]
pub(super) struct Texts {
    pub(super) bytes: Vec<u8>,
    /// Where the last text with a hash starts: the texts of a million records are not held twice. Should two
    /// of them ever share a hash, one may lie in the bytes more than once, which is no harm.
    starts: HashMap<u64, u32>,
}

impl Texts {
    /// Start and length of a text that is added; `None` beyond four gigabytes.
    pub(super) fn add(&mut self, words: &str) -> Option<[u32; 2]> {
        let length = u32::try_from(words.len()).ok()?;
        let mut hasher = DefaultHasher::new();
        hasher.write(words.as_bytes());
        let hash = hasher.finish();
        if let Some(start) = self.starts.get(&hash)
            && text(&self.bytes, *start, length) == words
        {
            return Some([*start, length]);
        }
        let start = u32::try_from(self.bytes.len()).ok()?;
        self.bytes.extend_from_slice(words.as_bytes());
        self.starts.insert(hash, start);
        Some([start, length])
    }
}

/// The text at a start, of a length; empty where the bytes do not hold it.
pub(super) fn text(bytes: &[u8], start: u32, length: u32) -> &str {
    std::str::from_utf8(stretch(bytes, start, length)).unwrap_or("")
}

/// The bytes at a start, of a length; none where there are not so many.
pub(super) fn stretch(bytes: &[u8], start: u32, length: u32) -> &[u8] {
    let (start, length) = (start as usize, length as usize);
    start
        .checked_add(length)
        .and_then(|end| bytes.get(start..end))
        .unwrap_or(&[])
}

#[cfg(test)]
mod tests {
    use super::{Rows, Texts, push, text};

    #[test]
    fn rows_are_read_back_and_found() {
        let mut bytes = Vec::new();
        for n in 0..100_u32 {
            push(&mut bytes, [2 * n, u32::MAX - n]);
        }
        let rows = Rows::<2>::new(&bytes);
        assert_eq!(rows.len(), 100);
        assert_eq!(rows.get(7), Some([14, u32::MAX - 7]));
        assert_eq!(rows.get(100), None);
        assert_eq!(rows.get(usize::MAX), None);
        for wanted in 0..200 {
            let at = rows.partition_point(0, 100, |[n, _]| n < wanted);
            assert_eq!(at as u32, wanted.div_ceil(2), "{wanted}");
        }
        assert_eq!(Rows::<2>::new(&bytes[..15]).len(), 1);
    }

    #[test]
    fn a_text_outside_the_bytes_is_empty() {
        let mut texts = Texts::default();
        let [start, length] = texts.add("Fischleim").unwrap();
        let [next, _] = texts.add("é").unwrap();
        assert_eq!(text(&texts.bytes, start, length), "Fischleim");
        assert_eq!(texts.add("Fischleim"), Some([start, length]));
        assert_eq!(text(&texts.bytes, next, 1), "");
        assert_eq!(text(&texts.bytes, u32::MAX, u32::MAX), "");
    }
}
