//! Which of the observations are chosen: weights of evidence ask for many choices of few.

use smallvec::{SmallVec, smallvec};

/// Bits of a word.
const WORD: usize = 64;

/// Some of the observations that can be weighed, by number. Choices that are compared are of the same
/// observations.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Chosen(SmallVec<[u64; 2]>);

impl Chosen {
    /// None of so many.
    pub(super) fn none(count: usize) -> Self {
        Self(smallvec![0; count.div_ceil(WORD)])
    }

    /// All of so many.
    pub(super) fn all(count: usize) -> Self {
        let mut out = Self::none(count);
        (0..count).for_each(|number| out.insert(number));
        out
    }

    /// Of so many those whose bit is set: of the first 64.
    pub(super) fn of_bits(bits: u64, count: usize) -> Self {
        let mut out = Self::none(count);
        if let Some(first) = out.0.first_mut() {
            *first = bits;
        }
        out
    }

    pub(super) fn insert(&mut self, number: usize) {
        self.0[number / WORD] |= 1 << (number % WORD);
    }

    pub(super) fn remove(&mut self, number: usize) {
        self.0[number / WORD] &= !(1 << (number % WORD));
    }

    pub(super) fn contains(&self, number: usize) -> bool {
        self.0[number / WORD] >> (number % WORD) & 1 == 1
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    /// Those that are chosen here and there.
    pub(super) fn and(&self, other: &Self) -> Self {
        let both = self.0.iter().zip(&other.0);
        Self(both.map(|(own, other)| own & other).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::Chosen;

    #[test]
    fn many_and_few_are_chosen_alike() {
        for count in [1, 63, 64, 65, 128, 500] {
            let (mut some, all) = (Chosen::none(count), Chosen::all(count));
            assert!(some.is_empty() && (0..count).all(|n| all.contains(n)));
            some.insert(count - 1);
            assert!(some.contains(count - 1) && some.and(&all) == some);
            assert!(count == 1 || !some.contains(0));
            let mut rest = all.clone();
            rest.remove(count - 1);
            assert!(rest.and(&some).is_empty() && rest != all);
        }
        let bits = Chosen::of_bits(0b101, 70);
        assert!(bits.contains(0) && !bits.contains(1) && bits.contains(2) && !bits.contains(69));
        assert!(Chosen::none(0).is_empty() && Chosen::of_bits(0, 0) == Chosen::all(0));
    }
}
