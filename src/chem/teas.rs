//! Teas fractions: three shares that add up to 100.
//!
//! They take every liquid's total for the same, which is false (n-heptane 15.3, water 47.8): a figure
//! to read by, not one to reckon with. Published fractions differ from derived ones by up to 13 points
//! and are kept apart.

use crate::model::Hansen;

/// Fractions of a liquid in per cent: dispersion, polarity, hydrogen bonding (Teas 1968; from memory).
/// `None` where there is nothing to share.
#[must_use]
pub fn teas(it: Hansen) -> Option<(f64, f64, f64)> {
    let total = it.d + it.p + it.h;
    (total > 0.0).then(|| {
        (
            100.0 * it.d / total,
            100.0 * it.p / total,
            100.0 * it.h / total,
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed as 47/32/21, 36/18/46, 80/7/13 and 51/18/31 (Burke 1984, from memory): the last three
    /// show how far a published set may stand from a derived one.
    #[test]
    fn fractions_of_four_solvents() {
        for (it, wanted) in [
            (Hansen::point(15.5, 10.4, 7.0), (47.11, 31.61, 21.28)),
            (Hansen::point(15.8, 8.8, 19.4), (35.91, 20.00, 44.09)),
            (Hansen::point(18.0, 1.4, 2.0), (84.11, 6.54, 9.35)),
            (Hansen::point(15.8, 5.3, 7.2), (55.83, 18.73, 25.44)),
        ] {
            let got = teas(it).unwrap();
            assert!((got.0 - wanted.0).abs() < 0.005, "{got:?}");
            assert!((got.1 - wanted.1).abs() < 0.005, "{got:?}");
            assert!((got.2 - wanted.2).abs() < 0.005, "{got:?}");
        }
        assert!(teas(Hansen::point(0.0, 0.0, 0.0)).is_none());
    }
}
