//! What a test costs. Judgment on common practice, stated once; no constant is fitted to the draws by
//! which the choice is tried. The unit is two grades of risk to the object.
//!
//! - **The object comes first.** What is taken from it does not come back; the trouble of one test more
//!   is the worker's. So the trouble counts a fifth, and what is weighed is sample, risk, harm and time:
//!   sampling wants a reason and the least that serves (`aiccode1994`, guideline 18; recalled).
//! - **One crumb serves a series of liquids, from weak to strong** (the record `solvent-drop`). A drop
//!   that leaves the crumb as it was takes nothing: the next drop goes on the same crumb, dried or
//!   rinsed. It is used up when it swells, dissolves or is attacked, and then a new one is taken.
//! - **The risk of a test on a crumb is the taking.** The record of a drop on a crumb, which brings
//!   nothing but the drop, has risk 1: that much falls away where the crumb is there already.

use crate::model::{Feature, Specimen};

/// What any test costs beside what it takes, so that even a free look is not done for nothing.
const TROUBLE: f64 = 0.2;
/// A sample that is as dear as two grades of risk, micrograms. A milligram is a crumb that the eye
/// sees and the owner is asked for; spot tests take a twentieth to a half of it.
const SAMPLE_UG: f64 = 1000.0;
/// A grade of risk to the object (0-5).
const RISK: f64 = 1.0 / 2.0;
/// A grade of harm to the worker (0-5). Less than a grade of risk to the object, for a fume hood
/// and gloves take most of it away.
const TOXICITY: f64 = 1.0 / 3.0;
/// Time that is as dear as two grades of risk, minutes: most bench tests take under ten, and of two
/// that tell the same the quick one is done first.
const MINUTES: f64 = 120.0;
/// Grades of risk that are the taking of a crumb.
const TAKING: f64 = 1.0;

/// What a test costs, and what of that a crumb saves which a liquid left as it was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cost {
    /// With a crumb of its own, where it wants one; above nought.
    pub(super) whole: f64,
    /// Less where such a crumb is there already.
    pub(super) saved: f64,
}

/// Cost of a test on this specimen.
pub(super) fn cost(feature: &Feature, specimen: Specimen) -> Cost {
    let sample = match specimen {
        Specimen::Surface | Specimen::Vapour => 0.0,
        Specimen::Crumb | Specimen::FreshCut | Specimen::Section => feature.sample_ug / SAMPLE_UG,
    };
    let risk = RISK * f64::from(feature.risk);
    Cost {
        whole: TROUBLE
            + sample
            + risk
            + TOXICITY * f64::from(feature.toxicity)
            + feature.minutes / MINUTES,
        saved: if feature.liquid && specimen == Specimen::Crumb {
            sample + risk.min(RISK * TAKING)
        } else {
            0.0
        },
    }
}

/// Outcomes of a drop that leave the crumb as it was, a bit set; `None` where it is no drop.
pub(super) fn leaves(feature: &Feature) -> Option<u64> {
    let left = |outcome: &str| matches!(outcome, "no effect" | "blanches");
    feature.liquid.then(|| {
        (0..feature.outcomes().len())
            .filter(|o| left(&feature.outcomes()[*o]))
            .fold(0, |set, o| set | 1 << o)
    })
}
