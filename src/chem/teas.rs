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

/// Why Teas fractions cannot be turned back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoWayBack {
    /// The total parameter is not known.
    #[error("Teas fractions say nothing of the total: without it the way back is not defined")]
    NoTotal,
    /// The fractions are none.
    #[error("Teas fractions are three shares, none below zero, not all of them zero")]
    NoFractions,
}

/// Hansen parameters of fractions in per cent and the total parameter √(δD² + δP² + δH²) in `MPa^0.5`.
///
/// # Errors
/// [`NoWayBack`] without a total above zero, or without fractions.
pub fn from_teas(fractions: (f64, f64, f64), total: Option<f64>) -> Result<Hansen, NoWayBack> {
    let (d, p, h) = fractions;
    let length = (d * d + p * p + h * h).sqrt();
    if [d, p, h].iter().any(|f| *f < 0.0 || !f.is_finite()) || length <= 0.0 {
        return Err(NoWayBack::NoFractions);
    }
    let total = total
        .filter(|t| t.is_finite() && *t > 0.0)
        .ok_or(NoWayBack::NoTotal)?;
    let scale = total / length;
    Ok(Hansen::point(d * scale, p * scale, h * scale))
}

/// Distance on the triangle, in units in which a side is 100: s² = ½ Σ Δf².
#[must_use]
pub fn teas_distance(a: (f64, f64, f64), b: (f64, f64, f64)) -> f64 {
    (0.5 * ((a.0 - b.0).powi(2) + (a.1 - b.1).powi(2) + (a.2 - b.2).powi(2))).sqrt()
}

/// Fractions of a mixture by volume (Burke 1984; from memory). `None` for an empty mixture.
#[must_use]
pub fn teas_blend(parts: &[((f64, f64, f64), f64)]) -> Option<(f64, f64, f64)> {
    let total: f64 = parts.iter().map(|(_, v)| v).sum();
    if total <= 0.0 || parts.iter().any(|(_, v)| *v < 0.0) {
        return None;
    }
    let mean = |pick: fn(&(f64, f64, f64)) -> f64| {
        parts.iter().map(|(f, v)| pick(f) * v).sum::<f64>() / total
    };
    Some((mean(|f| f.0), mean(|f| f.1), mean(|f| f.2)))
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

    #[test]
    fn back_again_only_with_the_total() {
        let acetone = Hansen::point(15.5, 10.4, 7.0);
        let total = (15.5_f64.powi(2) + 10.4_f64.powi(2) + 49.0).sqrt();
        assert!((total - 19.935).abs() < 0.001);
        let fractions = teas(acetone).unwrap();
        let back = from_teas(fractions, Some(total)).unwrap();
        assert!((back.d - 15.5).abs() < 1e-9 && (back.p - 10.4).abs() < 1e-9);
        assert!((back.h - 7.0).abs() < 1e-9);
        assert_eq!(from_teas(fractions, None), Err(NoWayBack::NoTotal));
        assert_eq!(from_teas(fractions, Some(0.0)), Err(NoWayBack::NoTotal));
        assert_eq!(
            from_teas((0.0, 0.0, 0.0), Some(20.0)),
            Err(NoWayBack::NoFractions)
        );
    }

    /// Acetone and ethanol by their published fractions: √(½ (121 + 196 + 625)) = 21.70; mixed 1:1
    /// 41.5/25.0/33.5.
    #[test]
    fn distance_and_mixture_on_the_triangle() {
        let (acetone, ethanol) = ((47.0, 32.0, 21.0), (36.0, 18.0, 46.0));
        assert!((teas_distance(acetone, ethanol) - 21.70).abs() < 0.005);
        let mixed = teas_blend(&[(acetone, 1.0), (ethanol, 1.0)]).unwrap();
        assert!((mixed.0 - 41.5).abs() < 1e-9 && (mixed.1 - 25.0).abs() < 1e-9);
        assert!((mixed.2 - 33.5).abs() < 1e-9);
        assert!(teas_blend(&[]).is_none());
    }
}
