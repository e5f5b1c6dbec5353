//! Parts of a record that are decoded when they are first asked for: a plan looks at a few facts each of
//! three hundred records, and would otherwise make texts of all that they say.

use std::fmt;
use std::ops::{Deref, DerefMut};
use std::sync::OnceLock;

use serde::de::{DeserializeOwned, Visitor};
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A value that was read as the bytes that it is packed in. What was made in memory, or changed, has
/// no such bytes. Bytes that cannot be decoded stand for an empty value, so that of a damaged part
/// nothing is known.
pub struct Lazy<T> {
    packed: Box<[u8]>,
    value: OnceLock<T>,
}

impl<T: DeserializeOwned + Default> Lazy<T> {
    fn read(packed: &[u8]) -> T {
        postcard::from_bytes(packed).unwrap_or_default()
    }

    /// The value.
    #[must_use]
    pub fn into_inner(self) -> T {
        self.value
            .into_inner()
            .unwrap_or_else(|| Self::read(&self.packed))
    }
}

impl<T> From<T> for Lazy<T> {
    fn from(value: T) -> Self {
        Self {
            packed: Box::default(),
            value: OnceLock::from(value),
        }
    }
}

impl<T: Default> Default for Lazy<T> {
    fn default() -> Self {
        Self::from(T::default())
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

impl<T: DeserializeOwned + Default + Serialize> Serialize for Lazy<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let packed = postcard::to_allocvec(&**self).map_err(S::Error::custom)?;
        serializer.serialize_bytes(&packed)
    }
}

impl<'de, T> Deserialize<'de> for Lazy<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let packed = deserializer.deserialize_bytes(Packed)?;
        Ok(Self {
            packed,
            value: OnceLock::new(),
        })
    }
}

/// Takes bytes as they come.
struct Packed;

impl Visitor<'_> for Packed {
    type Value = Box<[u8]>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("bytes")
    }

    fn visit_bytes<E: serde::de::Error>(self, bytes: &[u8]) -> Result<Self::Value, E> {
        if bytes.is_empty() {
            return Err(E::custom("a packed part has one byte at least"));
        }
        Ok(bytes.into())
    }
}

#[cfg(test)]
mod tests {
    use super::Lazy;

    type Words = Lazy<Vec<String>>;

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
        // A list of nine texts that holds none.
        let damaged: Words = postcard::from_bytes(&[1, 9]).unwrap();
        assert!(damaged.is_empty());
        assert!(postcard::from_bytes::<Words>(&[0]).is_err());
        assert!(postcard::from_bytes::<Words>(&[2, 1]).is_err());
    }
}
