//! Parts of a record that are decoded when they are first asked for: a plan looks at a few facts each of
//! three hundred records, and would otherwise make texts of all that they say.

use std::cell::RefCell;
use std::fmt;
use std::ops::{Deref, DerefMut};
use std::sync::{Arc, OnceLock};

use serde::de::{DeserializeOwned, Visitor};
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// What lazy parts lie in: unpacked when the first of them is asked for.
pub(crate) trait Whole: fmt::Debug + Send + Sync {
    /// The plain bytes; none where they are damaged.
    fn bytes(&self) -> &[u8];
}

/// A stretch of a [`Whole`].
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// In what it lies.
    pub(crate) whole: Arc<dyn Whole>,
    /// Where it begins.
    pub(crate) start: u32,
    /// Its bytes.
    pub(crate) length: u32,
}

impl Piece {
    fn bytes(&self) -> &[u8] {
        let start = self.start as usize;
        let piece = self.whole.bytes().get(start..);
        piece
            .and_then(|it| it.get(..self.length as usize))
            .unwrap_or(&[])
    }

    /// A stretch of this one; `None` where the bytes are not of it.
    fn part(&self, bytes: &[u8]) -> Option<Self> {
        let own = self.bytes();
        let start = bytes.as_ptr().addr().checked_sub(own.as_ptr().addr())?;
        if start + bytes.len() > own.len() {
            return None;
        }
        Some(Self {
            whole: Arc::clone(&self.whole),
            start: self.start + u32::try_from(start).ok()?,
            length: u32::try_from(bytes.len()).ok()?,
        })
    }

    /// Reads the value that lies here. The lazy parts of it lie where it does, and are not copied.
    ///
    /// # Errors
    /// When the bytes hold no such value.
    pub(crate) fn read<T: DeserializeOwned>(&self) -> Result<T, postcard::Error> {
        let outer = AROUND.replace(Some(self.clone()));
        let value = postcard::from_bytes(self.bytes());
        AROUND.set(outer);
        value
    }
}

thread_local! {
    /// What is being read: a deserializer hands a lazy part its bytes and does not say where they lie.
    static AROUND: RefCell<Option<Piece>> = const { RefCell::new(None) };
}

/// Bytes, or where they lie.
#[derive(Clone, Debug)]
pub(super) enum Packed {
    Own(Box<[u8]>),
    Piece(Piece),
}

impl Packed {
    pub(super) fn bytes(&self) -> &[u8] {
        match self {
            Self::Own(bytes) => bytes,
            Self::Piece(piece) => piece.bytes(),
        }
    }

    /// Bytes that are being read: they are not copied where it is known in what they lie.
    pub(super) fn read(bytes: &[u8]) -> Self {
        let part = AROUND.with_borrow(|it| it.as_ref().and_then(|it| it.part(bytes)));
        part.map_or_else(|| Self::Own(bytes.into()), Self::Piece)
    }
}

impl Default for Packed {
    fn default() -> Self {
        Self::Own(Box::default())
    }
}

/// A value that was read as the bytes that it is packed in, or as the place where they lie. What was made
/// in memory, or changed, has no such bytes. An empty value is packed as no bytes; where bytes cannot be
/// decoded the value is empty: of a damaged part nothing is known.
pub struct Lazy<T> {
    packed: Packed,
    value: OnceLock<T>,
}

/// A lazy part of a record, whatever it holds.
pub(crate) trait Part {
    /// Takes its bytes out; nothing is left. An empty value has no bytes.
    ///
    /// # Errors
    /// When the value cannot be encoded.
    fn take(&mut self) -> Result<Vec<u8>, postcard::Error>;
    /// Says where its bytes lie.
    fn lie_in(&mut self, piece: Piece);
}

impl<T: DeserializeOwned + Default + Serialize + PartialEq> Part for Lazy<T> {
    fn take(&mut self) -> Result<Vec<u8>, postcard::Error> {
        std::mem::take(self).encoded()
    }

    fn lie_in(&mut self, piece: Piece) {
        *self = Self::lying_in(piece);
    }
}

impl<T: DeserializeOwned + Default + Serialize + PartialEq> Lazy<T> {
    fn encoded(&self) -> Result<Vec<u8>, postcard::Error> {
        match self.value.get() {
            Some(value) if *value == T::default() => Ok(Vec::new()),
            Some(value) => postcard::to_allocvec(value),
            None => Ok(self.packed.bytes().to_vec()),
        }
    }
}

impl<T: DeserializeOwned + Default> Lazy<T> {
    fn read(packed: &Packed) -> T {
        match (packed, packed.bytes()) {
            (_, []) => T::default(),
            (Packed::Own(bytes), _) => postcard::from_bytes(bytes).unwrap_or_default(),
            (Packed::Piece(piece), _) => piece.read().unwrap_or_default(),
        }
    }

    /// The value.
    #[must_use]
    pub fn into_inner(self) -> T {
        self.value
            .into_inner()
            .unwrap_or_else(|| Self::read(&self.packed))
    }
}

impl<T> Lazy<T> {
    /// A value of which it is known where it lies.
    pub(crate) fn lying_in(piece: Piece) -> Self {
        Self {
            packed: Packed::Piece(piece),
            value: OnceLock::new(),
        }
    }
}

impl<T> From<T> for Lazy<T> {
    fn from(value: T) -> Self {
        Self {
            packed: Packed::default(),
            value: OnceLock::from(value),
        }
    }
}

impl<T> Default for Lazy<T> {
    fn default() -> Self {
        Self {
            packed: Packed::default(),
            value: OnceLock::new(),
        }
    }
}

impl<T: DeserializeOwned + Default> Deref for Lazy<T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.value.get_or_init(|| Self::read(&self.packed))
    }
}

impl<T: DeserializeOwned + Default> DerefMut for Lazy<T> {
    fn deref_mut(&mut self) -> &mut T {
        let packed = std::mem::take(&mut self.packed);
        self.value.get_or_init(|| Self::read(&packed));
        match self.value.get_mut() {
            Some(value) => value,
            None => unreachable!("it was set in the line above"),
        }
    }
}

impl<T: Clone> Clone for Lazy<T> {
    fn clone(&self) -> Self {
        match self.value.get() {
            Some(value) => Self::from(value.clone()),
            None => Self {
                packed: self.packed.clone(),
                value: OnceLock::new(),
            },
        }
    }
}

impl<T: DeserializeOwned + Default + PartialEq> PartialEq for Lazy<T> {
    fn eq(&self, other: &Self) -> bool {
        **self == **other
    }
}

impl<T: DeserializeOwned + Default + Eq> Eq for Lazy<T> {}

impl<T: DeserializeOwned + Default + fmt::Debug> fmt::Debug for Lazy<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (**self).fmt(f)
    }
}

impl<T: DeserializeOwned + Default + Serialize + PartialEq> Serialize for Lazy<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_bytes(&self.encoded().map_err(S::Error::custom)?)
    }
}

impl<'de, T> Deserialize<'de> for Lazy<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self {
            packed: deserializer.deserialize_bytes(Bytes)?,
            value: OnceLock::new(),
        })
    }
}

/// Takes bytes as they come, or the place where they lie.
struct Bytes;

impl<'de> Visitor<'de> for Bytes {
    type Value = Packed;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("bytes")
    }

    fn visit_bytes<E: serde::de::Error>(self, bytes: &[u8]) -> Result<Packed, E> {
        Ok(Packed::Own(bytes.into()))
    }

    fn visit_borrowed_bytes<E: serde::de::Error>(self, bytes: &'de [u8]) -> Result<Packed, E> {
        Ok(Packed::read(bytes))
    }
}

#[cfg(test)]
mod tests {
    use super::Lazy;

    use std::sync::Arc;

    use super::{Part, Piece, Whole};

    type Words = Lazy<Vec<String>>;

    #[derive(Debug)]
    struct Plain(Vec<u8>);

    impl Whole for Plain {
        fn bytes(&self) -> &[u8] {
            &self.0
        }
    }

    #[test]
    fn parts_that_lie_elsewhere_are_read_from_there() {
        let mut one = Words::from(vec!["copal".to_owned()]);
        let mut none = Words::default();
        let (mut bytes, nothing) = (one.take().unwrap(), none.take().unwrap());
        assert!(one.is_empty() && nothing.is_empty());
        let length = bytes.len() as u32;
        bytes.insert(0, 7);
        let whole: Arc<dyn Whole> = Arc::new(Plain(bytes));
        let at = |start, length| Piece {
            whole: Arc::clone(&whole),
            start,
            length,
        };
        one.lie_in(at(1, length));
        assert_eq!(*one.clone(), ["copal"]);
        assert_eq!(
            postcard::to_allocvec(&one).unwrap(),
            postcard::to_allocvec(&Words::from(vec!["copal".to_owned()])).unwrap()
        );
        for (start, length) in [(1, length + 1), (9, 1), (u32::MAX, u32::MAX), (1, 1)] {
            let mut damaged = Words::default();
            damaged.lie_in(at(start, length));
            assert!(damaged.is_empty());
        }
    }

    /// The inner list of one that lies elsewhere lies there too, and is read when the outer one is gone.
    #[test]
    fn parts_of_parts_lie_in_the_same_bytes() {
        type Groups = Lazy<Vec<(String, Words)>>;
        let group = |name: &str, word: &str| {
            (
                name.to_owned(),
                Words::from(vec![word.to_owned(), String::new()]),
            )
        };
        let mut made = Groups::from(vec![group("resins", "copal"), group("waxes", "ozokerite")]);
        let bytes = made.take().unwrap();
        let length = bytes.len() as u32;
        let whole: Arc<dyn Whole> = Arc::new(Plain([&[9, 9], &bytes[..], &[9]].concat()));
        let read = Groups::lying_in(Piece {
            whole: Arc::clone(&whole),
            start: 2,
            length,
        });
        let inner = read[1].1.clone();
        assert_eq!(Arc::strong_count(&whole), 5);
        drop(read);
        assert_eq!(*inner, ["ozokerite", ""]);
        assert_eq!(Arc::strong_count(&whole), 2);
        // What is read from bytes that nobody holds is copied.
        let words: Words = postcard::from_bytes(&postcard::to_allocvec(&inner).unwrap()).unwrap();
        assert_eq!(words, inner);
        assert_eq!(Arc::strong_count(&whole), 2);
    }

    #[test]
    fn what_is_packed_is_read_when_it_is_asked_for() {
        let made = Words::from(vec!["shellac".to_owned(), "résine".to_owned()]);
        let bytes = postcard::to_allocvec(&made).unwrap();
        let mut read: Words = postcard::from_bytes(&bytes).unwrap();
        assert!(read.value.get().is_none());
        let untouched = read.clone();
        assert!(untouched.value.get().is_none());
        assert_eq!(read, made);
        assert_eq!(read[1], "résine");
        read.push("copal".to_owned());
        assert_eq!(read.len(), 3);
        assert_eq!(untouched, made);
        assert_eq!(untouched.into_inner().len(), 2);
        let again: Words = postcard::from_bytes(&postcard::to_allocvec(&read).unwrap()).unwrap();
        assert_eq!(again, read);
    }

    #[test]
    fn of_what_is_damaged_nothing_is_known() {
        // A list of nine texts that holds none, and no bytes at all.
        for damaged in [&[1, 9][..], &[0]] {
            let damaged: Words = postcard::from_bytes(damaged).unwrap();
            assert!(damaged.is_empty());
        }
        assert!(postcard::from_bytes::<Words>(&[2, 1]).is_err());
    }
}
