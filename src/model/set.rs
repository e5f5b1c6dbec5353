//! Sets of words of one list, and texts that lie side by side: what a table of all materials is made of, so
//! that reading it takes a few places in memory and not ten a material.

use std::fmt;
use std::marker::PhantomData;

use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize};

/// A word of a closed list of at most 32.
pub trait Member: Copy + PartialEq + fmt::Debug + 'static {
    /// The whole list, in its own order.
    const ALL: &'static [Self];

    /// Place in the list.
    fn number(self) -> usize;
}

/// Some words of a list, in the order of the list.
#[derive(Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Set<T> {
    bits: u32,
    #[serde(skip)]
    of: PhantomData<T>,
}

impl<T: Member> Set<T> {
    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(self) -> bool {
        self.bits == 0
    }

    /// Whether a word is among them.
    #[must_use]
    pub fn contains(self, word: T) -> bool {
        self.bits >> word.number() & 1 == 1
    }

    /// Each of them.
    pub fn iter(self) -> impl Iterator<Item = T> {
        let mut left = self.bits;
        std::iter::from_fn(move || {
            let word = T::ALL.get(left.trailing_zeros() as usize)?;
            left &= left - 1;
            Some(*word)
        })
    }
}

impl<T> Default for Set<T> {
    fn default() -> Self {
        Self {
            bits: 0,
            of: PhantomData,
        }
    }
}

impl<T: Member> FromIterator<T> for Set<T> {
    fn from_iter<I: IntoIterator<Item = T>>(words: I) -> Self {
        const { assert!(T::ALL.len() <= 32, "a list longer than a set has bits") };
        Self {
            bits: words.into_iter().fold(0, |set, it| set | 1 << it.number()),
            of: PhantomData,
        }
    }
}

impl<T: Member> fmt::Debug for Set<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(self.iter()).finish()
    }
}

impl<'de, T: Member> Deserialize<'de> for Set<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let bits = u32::deserialize(deserializer)?;
        let of = PhantomData;
        match bits.checked_shr(u32::try_from(T::ALL.len()).unwrap_or(u32::MAX)) {
            None | Some(0) => Ok(Self { bits, of }),
            Some(_) => Err(D::Error::custom("a word beyond the list")),
        }
    }
}

/// Texts one behind another.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TextColumn {
    text: String,
    /// Where each ends, in bytes.
    ends: Vec<u32>,
}

impl TextColumn {
    /// One without texts.
    pub const EMPTY: Self = Self {
        text: String::new(),
        ends: Vec::new(),
    };

    /// One of them; empty past the last.
    #[must_use]
    pub fn get(&self, number: usize) -> &str {
        let before = number.checked_sub(1);
        let from = before.map_or(Some(0), |n| self.ends.get(n).map(|end| *end as usize));
        let to = self.ends.get(number).map(|end| *end as usize);
        from.zip(to)
            .and_then(|(from, to)| self.text.get(from..to))
            .unwrap_or_default()
    }

    /// How many they are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// All of them, in order.
    pub fn iter(&self) -> impl Iterator<Item = &str> {
        (0..self.len()).map(|number| self.get(number))
    }

    /// Where a text stands.
    #[must_use]
    pub fn position(&self, text: &str) -> Option<usize> {
        // By length first: most differ in that, and need not be cut out.
        let (all, wanted) = (self.text.as_bytes(), text.as_bytes());
        let mut from = 0;
        self.ends.iter().position(|end| {
            let own = from..*end as usize;
            from = own.end;
            own.len() == wanted.len() && all.get(own) == Some(wanted)
        })
    }

    /// Whether a text is one of them.
    #[must_use]
    pub fn contains(&self, text: &str) -> bool {
        self.position(text).is_some()
    }

    /// Each as a text of its own.
    #[must_use]
    pub fn to_vec(&self) -> Vec<String> {
        self.iter().map(str::to_owned).collect()
    }

    /// Adds one; whether there was room for it: all together have 4 GB.
    #[must_use]
    pub fn push(&mut self, text: &str) -> bool {
        let Ok(end) = u32::try_from(self.text.len() + text.len()) else {
            return false;
        };
        self.text.push_str(text);
        self.ends.push(end);
        true
    }
}

/// The text at a place; empty past the last.
impl std::ops::Index<usize> for TextColumn {
    type Output = str;

    fn index(&self, number: usize) -> &str {
        self.get(number)
    }
}

/// # Panics
/// Past 4 GB.
impl<S: AsRef<str>> FromIterator<S> for TextColumn {
    fn from_iter<I: IntoIterator<Item = S>>(texts: I) -> Self {
        let mut out = Self::default();
        for text in texts {
            assert!(out.push(text.as_ref()), "4 GB of words");
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::{Set, TextColumn};
    use crate::model::{Hazard, Role};

    #[test]
    fn a_set_holds_what_was_put_in_and_no_more() {
        let all: Set<Hazard> = Hazard::ALL.iter().copied().collect();
        assert!(all.iter().eq(Hazard::ALL.iter().copied()));
        let some: Set<Role> = [Role::Fill, Role::Coating].into_iter().collect();
        assert_eq!(some.iter().collect::<Vec<_>>(), [Role::Coating, Role::Fill]);
        assert!(!some.contains(Role::Adhesive) && Set::<Role>::default().is_empty());
        let bytes = postcard::to_allocvec(&some).unwrap();
        assert_eq!(postcard::from_bytes::<Set<Role>>(&bytes).unwrap(), some);
        // A pack of another list would name a word that this one has not.
        let beyond = postcard::to_allocvec(&u32::MAX).unwrap();
        assert!(postcard::from_bytes::<Set<Role>>(&beyond).is_err());
    }

    #[test]
    fn texts_stay_apart() {
        let mut texts = TextColumn::default();
        let own = ["älter", "", "wax"];
        assert!(own.iter().all(|text| texts.push(text)));
        assert!(texts.iter().eq(own));
        assert_eq!((texts.get(3), &texts[0]), ("", "älter"));
        assert_eq!(
            (texts.position("wax"), texts.position("älte")),
            (Some(2), None)
        );
        assert_eq!(own.iter().collect::<TextColumn>(), texts);
    }
}
