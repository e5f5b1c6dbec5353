//! Solubility arithmetic: Hansen distance and relative energy difference, spheres from swab tests,
//! Teas fractions, activity coefficients, and how a blend dries; and the sums of the bench.
//!
//! A computed solubility never outranks the bench, and a sphere of the fresh resin says nothing of
//! an aged film.

pub mod buffer;
pub mod conductivity;
pub mod drying;
pub mod fit;
pub mod solution;
mod teas;
pub mod unifac;
pub mod vapour;

pub use teas::teas;

use crate::model::Hansen;

/// Relative energy difference below which a liquid is a good solvent by the sphere alone.
pub const GOOD: f64 = 0.8;
/// Relative energy difference above which it is a poor one. Between the two: unsure.
pub const POOR: f64 = 1.3;

/// Hansen distance, `MPa^0.5`: Ra² = 4 (ΔδD)² + (ΔδP)² + (ΔδH)² (Hansen 2007, ch. 1; from memory).
#[must_use]
pub fn distance(a: Hansen, b: Hansen) -> f64 {
    (4.0 * (a.d - b.d).powi(2) + (a.p - b.p).powi(2) + (a.h - b.h).powi(2)).sqrt()
}

/// Relative energy difference of a liquid to a polymer's sphere; `None` without a radius above zero.
#[must_use]
pub fn red(polymer: Hansen, liquid: Hansen) -> Option<f64> {
    let radius = polymer.radius.filter(|r| *r > 0.0)?;
    Some(distance(polymer, liquid) / radius)
}

/// Hansen parameters of a mixture by volume (Hansen 2007; ideal, no volume change). `None` for an
/// empty mixture or parts that do not add up to more than zero.
#[must_use]
pub fn blend(parts: &[(Hansen, f64)]) -> Option<Hansen> {
    let total: f64 = parts.iter().map(|(_, v)| v).sum();
    if total <= 0.0 || parts.iter().any(|(_, v)| *v < 0.0) {
        return None;
    }
    let mean =
        |pick: fn(&Hansen) -> f64| parts.iter().map(|(h, v)| pick(h) * v).sum::<f64>() / total;
    Some(Hansen::point(mean(|h| h.d), mean(|h| h.p), mean(|h| h.h)))
}

/// The middle of several points; the origin where there is none.
#[must_use]
pub fn middle(points: &[Hansen]) -> Hansen {
    let n = points.len().max(1) as f64;
    let mean = |pick: fn(&Hansen) -> f64| points.iter().map(pick).sum::<f64>() / n;
    Hansen::point(mean(|h| h.d), mean(|h| h.p), mean(|h| h.h))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn sphere(d: f64, p: f64, h: f64, r: f64) -> Hansen {
        Hansen {
            d,
            p,
            h,
            radius: Some(r),
        }
    }

    /// Distances computed with HSPiPy 1.1.8 (PyPI) from the same parameters.
    #[test]
    fn distances_agree_with_a_general_library() {
        let b72 = sphere(19.2, 11.2, 1.8, 11.0);
        let shellac = sphere(19.7, 10.1, 15.1, 10.7);
        for (polymer, liquid, ra, ratio) in [
            (b72, Hansen::point(15.5, 10.4, 7.0), 9.080, 0.825),
            (b72, Hansen::point(15.8, 8.8, 19.4), 19.02, 1.729),
            (b72, Hansen::point(18.0, 1.4, 2.0), 10.092, 0.917),
            (shellac, Hansen::point(15.8, 8.8, 19.4), 9.001, 0.841),
            (shellac, Hansen::point(15.8, 0.1, 0.2), 19.567, 1.829),
        ] {
            assert!(
                (distance(polymer, liquid) - ra).abs() < 0.005,
                "{}",
                distance(polymer, liquid)
            );
            assert!((red(polymer, liquid).unwrap() - ratio).abs() < 0.002);
        }
    }

    /// Acetone and ethanol 1:1 on shellac: 15.65/9.60/13.20, RED 0.779, better than either alone, as
    /// the bench has it (Koob 2007, Conservation DistList 21:35).
    #[test]
    fn a_mixture_may_be_better_than_its_parts() {
        let mixed = blend(&[
            (Hansen::point(15.5, 10.4, 7.0), 1.0),
            (Hansen::point(15.8, 8.8, 19.4), 1.0),
        ])
        .unwrap();
        assert!((mixed.d - 15.65).abs() < 1e-9 && (mixed.p - 9.6).abs() < 1e-9);
        let shellac = sphere(19.7, 10.1, 15.1, 10.7);
        assert!((red(shellac, mixed).unwrap() - 0.779).abs() < 0.001);
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert!(blend(&[]).is_none());
        assert!(blend(&[(Hansen::point(1.0, 1.0, 1.0), 0.0)]).is_none());
        assert!(red(Hansen::point(1.0, 1.0, 1.0), Hansen::point(1.0, 1.0, 1.0)).is_none());
    }
}
