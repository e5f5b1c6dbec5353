//! How one record lies in a pack: a head, which is decoded at once, and a tail of its lazy parts (names
//! other than the first, facts), which is unpacked when the first of them is asked for. A plan looks at
//! three hundred records and at the facts of few: the others then take no memory.
//!
//! Both are packed by themselves (LZ4) against the dictionary of their kind; what would not become shorter
//! lies as it is. The lengths of the parts stand at the end of the head.

use std::fmt;
use std::ops::{Deref, Range};
use std::sync::{Arc, OnceLock};

use lz4_flex::block::decompress_with_dict;

use super::{Entry, Packer};
use crate::model::{Piece, Record, Whole};

/// The bytes of a pack, held as long as anything that is read from them.
#[derive(Clone)]
pub(super) enum Bytes {
    Static(&'static [u8]),
    Shared(Arc<Vec<u8>>),
}

impl Deref for Bytes {
    type Target = [u8];

    fn deref(&self) -> &[u8] {
        match self {
            Self::Static(bytes) => bytes,
            Self::Shared(bytes) => bytes,
        }
    }
}

impl fmt::Debug for Bytes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} bytes", self.len())
    }
}

/// A record as bytes, not yet packed.
pub(super) struct Encoded {
    pub(super) head: Vec<u8>,
    pub(super) tail: Vec<u8>,
}

impl Encoded {
    pub(super) fn of(record: Record) -> Result<Self, postcard::Error> {
        let mut head = record;
        let mut tail = Vec::new();
        let mut lengths = Vec::new();
        head.parts(|part| {
            let bytes = part.take()?;
            lengths.push(
                u32::try_from(bytes.len()).map_err(|_| postcard::Error::SerializeBufferFull)?,
            );
            tail.extend(bytes);
            Ok(())
        })?;
        let mut head = postcard::to_allocvec(&head)?;
        head.extend(postcard::to_allocvec(&lengths)?);
        Ok(Self { head, tail })
    }
}

/// Bytes as they lie: shorter than they were, or as they were.
pub(super) fn packed(plain: &[u8], dictionary: &[u8], packer: Packer) -> Option<Vec<u8>> {
    packer(plain, dictionary).filter(|small| small.len() < plain.len())
}

/// Where a record lies.
pub(super) struct Location {
    /// Of its head.
    head: Range<usize>,
    /// Length of the head when it is unpacked.
    plain: usize,
    /// Of its tail.
    tail: Range<usize>,
    /// Of the dictionary of its kind.
    dictionary: Range<usize>,
}

impl Location {
    /// Where the record of a row lies, and the dictionary that it is packed against, if what they are counted
    /// from lies at `base`. `None` for a row that says what cannot be.
    pub(super) fn at(base: usize, row: Entry, dictionary: (u32, u32)) -> Option<Self> {
        let [.., start, head, plain, tail] = row;
        let range = |start: u32, length: u32| {
            let start = base + start as usize;
            start..start + length as usize
        };
        Some(Self {
            head: range(start, head),
            plain: plain as usize,
            tail: range(start.checked_add(head)?, tail),
            dictionary: range(dictionary.0, dictionary.1),
        })
    }

    /// Reads the record. `None` where the bytes hold none.
    pub(super) fn read(self, bytes: &Bytes) -> Option<Record> {
        let dictionary = bytes.get(self.dictionary.clone())?;
        let packed = bytes.get(self.head)?;
        let unpacked;
        let head = match packed.len() == self.plain {
            true => packed,
            false => {
                unpacked = decompress_with_dict(packed, self.plain, dictionary).ok()?;
                &unpacked
            }
        };
        let (mut record, lengths) = postcard::take_from_bytes::<Record>(head).ok()?;
        let lengths: Vec<u32> = postcard::from_bytes(lengths).ok()?;
        let plain = lengths
            .iter()
            .try_fold(0_u32, |sum, length| sum.checked_add(*length))?;
        if plain == 0 {
            return Some(record);
        }
        let whole: Arc<dyn Whole> = Arc::new(Tail {
            bytes: bytes.clone(),
            packed: self.tail,
            dictionary: self.dictionary,
            plain: plain as usize,
            unpacked: OnceLock::new(),
        });
        let (mut start, mut lengths) = (0, lengths.into_iter());
        let bound: Result<(), ()> = record.parts(|part| {
            let length = lengths.next().ok_or(())?;
            if length > 0 {
                let whole = Arc::clone(&whole);
                part.lie_in(Piece {
                    whole,
                    start,
                    length,
                });
                start += length;
            }
            Ok(())
        });
        bound.ok().map(|()| record)
    }
}

/// Bytes of a pack that are not packed.
#[derive(Debug)]
pub(super) struct Section {
    bytes: Bytes,
    place: Range<usize>,
}

impl Section {
    /// The section at a place, from a byte of it on; `None` where the pack has no such place.
    pub(super) fn piece(bytes: &Bytes, place: Range<usize>, start: usize) -> Option<Piece> {
        let length = bytes.get(place.clone())?.len().checked_sub(start)?;
        Some(Piece {
            start: u32::try_from(start).ok()?,
            length: u32::try_from(length).ok()?,
            whole: Arc::new(Self {
                bytes: bytes.clone(),
                place,
            }),
        })
    }
}

impl Whole for Section {
    fn bytes(&self) -> &[u8] {
        self.bytes.get(self.place.clone()).unwrap_or(&[])
    }
}

/// The lazy parts of a record.
#[derive(Debug)]
struct Tail {
    bytes: Bytes,
    packed: Range<usize>,
    dictionary: Range<usize>,
    plain: usize,
    unpacked: OnceLock<Vec<u8>>,
}

impl Whole for Tail {
    fn bytes(&self) -> &[u8] {
        let at = |range: &Range<usize>| self.bytes.get(range.clone()).unwrap_or(&[]);
        let packed = at(&self.packed);
        if packed.len() == self.plain {
            return packed;
        }
        self.unpacked.get_or_init(|| {
            decompress_with_dict(packed, self.plain, at(&self.dictionary)).unwrap_or_default()
        })
    }
}
