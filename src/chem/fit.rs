//! A solubility sphere from swab tests: liquids that do it, and liquids that do not.
//!
//! What is maximised is the objective that Hansen 2007, ch. 1 prints (from memory): the geometric mean
//! of A, which is 1 for a good liquid inside and a poor one outside, and exp(−|Ra − R0|) for the rest.
//! Many spheres often reach the same value. So a fit says how far the centres that tie lie apart, and
//! who asks whether something lies inside asks all of them.

mod dice;
mod search;

use super::{distance, middle};
use crate::model::Hansen;
use dice::Dice;
use search::{Found, WAYS, at, in_room, search, starts};

/// Fewest good liquids that hold a sphere.
pub const GOOD_LEAST: usize = 4;
/// A share of polarity or hydrogen bonding, `MPa^0.5`, below which nothing poorer can be found: the
/// side towards zero is then closed by itself. Judgment.
const NEAR_ZERO: f64 = 1.5;
/// By how much the logarithm of the objective may differ between centres that tie.
const TIE: f64 = 1e-9;
/// Where a centre may lie: δD, δP, δH, `MPa^0.5`. Judgment: all published spheres of polymers lie well
/// within; beyond it a sphere is a plane, and few tests would allow any.
const ROOM: [(f64, f64); 3] = [(10.0, 26.0), (0.0, 30.0), (0.0, 45.0)];
/// Spheres that tie which a fit keeps, far apart from one another.
const TIES_KEPT: usize = 12;
/// Resamplings for the uncertainty.
const RESAMPLED: usize = 60;

/// One swab test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// The liquid.
    pub at: Hansen,
    /// Whether it did it.
    pub good: bool,
}

/// A side on which poor liquids are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Less polar than the good ones.
    LessPolar,
    /// More polar.
    MorePolar,
    /// Less hydrogen bonding.
    LessBonding,
    /// More hydrogen bonding.
    MoreBonding,
}

impl Side {
    /// All four.
    pub const ALL: [Self; 4] = [
        Self::LessPolar,
        Self::MorePolar,
        Self::LessBonding,
        Self::MoreBonding,
    ];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::LessPolar => "less polar",
            Self::MorePolar => "more polar",
            Self::LessBonding => "with less hydrogen bonding",
            Self::MoreBonding => "with more hydrogen bonding",
        }
    }

    /// Whether `it` lies on this side of `centre`.
    #[must_use]
    pub fn holds(self, centre: Hansen, it: Hansen) -> bool {
        match self {
            Self::LessPolar => it.p < centre.p,
            Self::MorePolar => it.p > centre.p,
            Self::LessBonding => it.h < centre.h,
            Self::MoreBonding => it.h > centre.h,
        }
    }
}

/// Why no sphere can be fitted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfit {
    /// Good liquids that are there.
    pub good: usize,
    /// Poor liquids that are there.
    pub poor: usize,
    /// Good liquids that are still wanted.
    pub good_wanted: usize,
    /// Sides on which no poor liquid was tried.
    pub open: Vec<Side>,
}

/// A sphere that the tests allow as well as any other: its centre, with the radii that it may have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tied {
    /// Centre.
    pub centre: Hansen,
    /// Least and greatest radius, `MPa^0.5`.
    pub radius: (f64, f64),
}

/// A fitted sphere.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Centre and radius; of those that tie, the smallest.
    pub sphere: Hansen,
    /// The objective, 0 to 1.
    pub datafit: f64,
    /// Good liquids.
    pub good: usize,
    /// Poor liquids.
    pub poor: usize,
    /// Tests on the wrong side of the surface, by position.
    pub misfits: Vec<usize>,
    /// Spheres that tie, the fitted one first.
    pub ties: Vec<Tied>,
    /// Greatest distance between centres that tie, `MPa^0.5`.
    pub spread: f64,
    /// Fifth and ninety-fifth hundredth of δD, δP, δH and the radius, over resampled tests.
    pub range: [(f64, f64); 4],
}

/// The objective for a sphere: 0 to 1. 1 for no tests.
#[must_use]
pub fn datafit(sphere: Hansen, trials: &[Trial]) -> f64 {
    let radius = sphere.radius.unwrap_or(0.0);
    let wrong: f64 = trials
        .iter()
        .map(|t| violation(distance(sphere, t.at), radius, t.good))
        .sum();
    (-wrong / trials.len().max(1) as f64).exp()
}

fn violation(ra: f64, radius: f64, good: bool) -> f64 {
    if good {
        (ra - radius).max(0.0)
    } else {
        (radius - ra).max(0.0)
    }
}

/// Whether the tests can hold a sphere: enough good liquids, and poor ones on every side.
///
/// # Errors
/// [`Unfit`] with what is wanted.
pub fn sufficient(trials: &[Trial]) -> Result<(), Unfit> {
    let good: Vec<Hansen> = trials.iter().filter(|t| t.good).map(|t| t.at).collect();
    let poor: Vec<Hansen> = trials.iter().filter(|t| !t.good).map(|t| t.at).collect();
    let centre = middle(&good);
    let least = |pick: fn(&Hansen) -> f64| good.iter().map(pick).fold(f64::INFINITY, f64::min);
    let open: Vec<Side> = Side::ALL
        .into_iter()
        .filter(|side| {
            let closed = match side {
                Side::LessPolar => !good.is_empty() && least(|h| h.p) <= NEAR_ZERO,
                Side::LessBonding => !good.is_empty() && least(|h| h.h) <= NEAR_ZERO,
                Side::MorePolar | Side::MoreBonding => false,
            };
            !closed && !poor.iter().any(|p| side.holds(centre, *p))
        })
        .collect();
    let good_wanted = GOOD_LEAST.saturating_sub(good.len());
    if good_wanted == 0 && open.is_empty() {
        return Ok(());
    }
    Err(Unfit {
        good: good.len(),
        poor: poor.len(),
        good_wanted,
        open,
    })
}

/// Fits a sphere.
///
/// # Errors
/// [`Unfit`] when the tests cannot hold one.
pub fn fit(trials: &[Trial]) -> Result<Fit, Unfit> {
    sufficient(trials)?;
    let found = search(trials, &starts(trials));
    let best = found.first().map_or(0.0, |f| f.wrong);
    let ties = ties(trials, &found, best);
    let first = ties[0];
    let sphere = Hansen {
        radius: Some(first.radius.0),
        ..first.centre
    };
    let spread = ties
        .iter()
        .flat_map(|a| ties.iter().map(|b| distance(a.centre, b.centre)))
        .fold(0.0, f64::max);
    let misfits = trials
        .iter()
        .enumerate()
        .filter(|(_, t)| violation(distance(sphere, t.at), first.radius.0, t.good) > 1e-9)
        .map(|(k, _)| k)
        .collect();
    Ok(Fit {
        datafit: datafit(sphere, trials),
        good: trials.iter().filter(|t| t.good).count(),
        poor: trials.iter().filter(|t| !t.good).count(),
        misfits,
        spread,
        range: ranges(trials, sphere),
        ties,
        sphere,
    })
}

/// Spheres that tie with the best, far apart: the ends of every search, and walks from the best along
/// every way for as long as the objective stays.
fn ties(trials: &[Trial], found: &[Found], best: f64) -> Vec<Tied> {
    let mut ordered = Vec::with_capacity(trials.len());
    let mut pool: Vec<Found> = found
        .iter()
        .filter(|f| f.wrong <= best + 1e-7)
        .copied()
        .collect();
    let from: Vec<Found> = pool.iter().take(8).copied().collect();
    for start in from {
        for way in WAYS {
            for sign in [1.0, -1.0] {
                let mut reach = 0.0;
                let mut step = 4.0;
                while step > 0.05 {
                    let centre = [0, 1, 2].map(|k| {
                        let scale = if k == 0 { 0.5 } else { 1.0 };
                        start.centre[k] + sign * (reach + step) * scale * way[k]
                    });
                    let next = at(centre, trials, &mut ordered);
                    if in_room(centre) && next.wrong <= best + 1e-7 {
                        reach += step;
                        pool.push(next);
                    } else {
                        step *= 0.5;
                    }
                }
            }
        }
    }
    let tied = |f: &Found| Tied {
        centre: f.hansen(),
        radius: f.radius,
    };
    let mut out = vec![tied(&pool[0])];
    // The farthest from all that are kept comes next.
    while out.len() < TIES_KEPT {
        let next = pool
            .iter()
            .map(|f| {
                let near = out
                    .iter()
                    .map(|t: &Tied| distance(t.centre, f.hansen()))
                    .fold(f64::INFINITY, f64::min);
                (near, f)
            })
            .max_by(|a, b| a.0.total_cmp(&b.0));
        match next {
            Some((near, f)) if near > 0.25 => out.push(tied(f)),
            _ => break,
        }
    }
    out
}

/// Fifth and ninety-fifth hundredth over resampled tests; good and poor ones are drawn apart, so that
/// none is left without.
fn ranges(trials: &[Trial], sphere: Hansen) -> [(f64, f64); 4] {
    let (good, poor): (Vec<Trial>, Vec<Trial>) = trials.iter().partition(|t| t.good);
    let mut dice = Dice::new(11);
    let mut draws: [Vec<f64>; 4] = Default::default();
    let from = [sphere.d, sphere.p, sphere.h];
    for _ in 0..RESAMPLED {
        let mut drawn = Vec::with_capacity(trials.len());
        for group in [&good, &poor] {
            drawn.extend((0..group.len()).map(|_| group[dice.below(group.len())]));
        }
        let n = good.len().max(1) as f64;
        let middle = [
            drawn.iter().filter(|t| t.good).map(|t| t.at.d).sum::<f64>() / n,
            drawn.iter().filter(|t| t.good).map(|t| t.at.p).sum::<f64>() / n,
            drawn.iter().filter(|t| t.good).map(|t| t.at.h).sum::<f64>() / n,
        ];
        let found = search(&drawn, &[from, middle]);
        let best = found[0];
        for (k, draw) in draws.iter_mut().enumerate() {
            draw.push(if k < 3 { best.centre[k] } else { best.radius.0 });
        }
    }
    draws.map(|mut draw| {
        draw.sort_by(f64::total_cmp);
        let end = draw.len() - 1;
        let cut = draw.len() / 20;
        (draw[cut], draw[end - cut])
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn liquid(d: f64, p: f64, h: f64, good: bool) -> Trial {
        Trial {
            at: Hansen::point(d, p, h),
            good,
        }
    }

    /// Twelve liquids round 19.2/11.2/1.8 R 11.0; labels are for the test, not from a bench.
    const TWELVE: [Trial; 12] = [
        liquid(15.5, 10.4, 7.0, true),
        liquid(18.0, 1.4, 2.0, true),
        liquid(16.0, 9.0, 5.1, true),
        liquid(17.8, 3.1, 5.7, true),
        liquid(15.8, 5.3, 7.2, true),
        liquid(15.8, 3.7, 6.3, true),
        liquid(15.8, 8.8, 19.4, false),
        liquid(15.1, 12.3, 22.3, false),
        liquid(15.3, 0.0, 0.0, false),
        liquid(15.8, 0.1, 0.2, false),
        liquid(15.5, 16.0, 42.3, false),
        liquid(18.4, 16.4, 10.2, false),
    ];

    /// HSPiPy 1.1.8 (PyPI) has 0.9146312353 for the published sphere on these twelve, and finds
    /// another, 8.7 units away, that fits them wholly.
    #[test]
    fn the_objective_and_its_ties() {
        let published = Hansen {
            d: 19.2,
            p: 11.2,
            h: 1.8,
            radius: Some(11.0),
        };
        assert!((datafit(published, &TWELVE) - 0.914_631_235_3).abs() < 1e-9);
        let fit = fit(&TWELVE).unwrap();
        assert!((fit.datafit - 1.0).abs() < 1e-9, "{}", fit.datafit);
        assert!(fit.misfits.is_empty());
        assert_eq!((fit.good, fit.poor), (6, 6));
        assert!(fit.ties.len() > 2 && fit.spread > 1.0, "{}", fit.spread);
        for tied in &fit.ties {
            for radius in [tied.radius.0, tied.radius.1] {
                let sphere = Hansen {
                    radius: Some(radius),
                    ..tied.centre
                };
                assert!((datafit(sphere, &TWELVE) - fit.datafit).abs() < 1e-6);
            }
        }
        assert!(fit.range.iter().all(|(low, high)| low <= high));
    }

    #[test]
    fn too_little_is_refused_with_what_is_wanted() {
        let unfit = fit(&TWELVE[..3]).unwrap_err();
        assert_eq!((unfit.good, unfit.good_wanted), (3, 1));
        assert_eq!(unfit.open.len(), 3, "{unfit:?}");
        let mut one_sided = TWELVE[..6].to_vec();
        assert_eq!(fit(&one_sided).unwrap_err().poor, 0);
        one_sided.push(TWELVE[8]);
        let open = fit(&one_sided).unwrap_err().open;
        assert_eq!(open, [Side::MorePolar, Side::MoreBonding]);
        one_sided.push(TWELVE[7]);
        assert!(fit(&one_sided).is_ok());
    }

    #[test]
    fn contradictory_tests_leave_misfits() {
        let mut trials = TWELVE.to_vec();
        trials.push(liquid(15.7, 7.0, 6.0, false));
        let fit = fit(&trials).unwrap();
        assert!(fit.datafit < 1.0 && !fit.misfits.is_empty());
    }
}
