//! Sorting that is written out once. The sort of the standard library is compiled anew for each type and each
//! order, some 6 KB every time; here one sorts the places of the items, and the items are moved to theirs.

use std::cmp::Ordering;

/// Slices that can be brought into an order without a sort of their own. Items that compare as equal keep
/// theirs, as with [`slice::sort_by`].
pub(crate) trait Arrange<T> {
    /// Sorts by a comparison.
    fn arrange_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// Sorts by a key, which is made anew for each comparison.
    fn arrange_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.arrange_by(|a, b| key(a).cmp(&key(b)));
    }
}

impl<T> Arrange<T> for [T] {
    fn arrange_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let mut places = sorted_places(self.len(), &mut |a, b| compare(&self[a], &self[b]));
        // Circle by circle: each item goes where the next one of its circle lay.
        for start in 0..places.len() {
            let mut at = start;
            loop {
                let from = std::mem::replace(&mut places[at], at);
                if from == start {
                    break;
                }
                self.swap(at, from);
                at = from;
            }
        }
    }
}

/// The places of so many items, in their order.
#[inline(never)]
fn sorted_places(len: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut places: Vec<usize> = (0..len).collect();
    places.sort_by(|a, b| compare(*a, *b));
    places
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Arrange;

    proptest! {
        #[test]
        fn as_the_standard_sort_with_equal_ones_in_their_order(
            keys in prop::collection::vec(0_u8..40, 0..300)
        ) {
            let mut ours: Vec<(u8, usize)> = keys.iter().copied().zip(0..).collect();
            let mut theirs = ours.clone();
            ours.arrange_by_key(|item| item.0);
            theirs.sort_by_key(|item| item.0);
            prop_assert_eq!(&ours, &theirs);
            ours.arrange_by(|a, b| b.0.cmp(&a.0));
            theirs.sort_by_key(|item| std::cmp::Reverse(item.0));
            prop_assert_eq!(ours, theirs);
        }
    }
}
