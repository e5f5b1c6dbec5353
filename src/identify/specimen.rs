//! How far a specimen can be trusted: noise on a good one, and the chance that it is a bad one.

use crate::model::scene::Observation;
use crate::model::{Feature, Site, Specimen};

/// Noise on a specimen that turns out to be contaminated or ill read.
const BAD_NOISE: f64 = 0.6;
/// Noise on a crumb of which nothing was said, and the chance that it is a bad one.
const CRUMB_NOISE: f64 = 0.07;
const CRUMB_BAD: f64 = 0.10;

/// Noise that a test is reckoned with which is only planned, on a crumb: the quality of the crumb
/// averaged.
pub(super) const PLANNED: f64 = (1.0 - CRUMB_BAD) * CRUMB_NOISE + CRUMB_BAD * BAD_NOISE;

/// Noise on what was seen, on a good specimen or on a bad one.
pub(super) fn noise(observation: &Observation, feature: &Feature, bad: bool) -> f64 {
    if observation.blank {
        return 1.0;
    }
    let base: f64 = if feature.laboratory {
        0.02
    } else {
        match observation.specimen {
            Specimen::FreshCut | Specimen::Section => 0.05,
            Specimen::Crumb if observation.clean => 0.04,
            Specimen::Crumb => CRUMB_NOISE,
            Specimen::Vapour | Specimen::Surface => 0.12,
        }
    };
    // A contact of less than half a minute has not had its time.
    let hurried = feature.liquid && observation.minutes.is_some_and(|t| t < 0.5);
    let base = if hurried { base + 0.15 } else { base };
    let base = if bad && !feature.laboratory {
        BAD_NOISE
    } else {
        base
    };
    1.0 - (1.0 - base) * observation.belief
}

/// Chance that a liquid brought to the object in place does not come to what it is to act on: in a joint
/// it meets the edge, in a closed one or in pores hardly that. Judgment; that a compress on the outside of
/// a join does less than a bath is common practice.
const MISSES_OPEN_JOINT: f64 = 0.3;
const MISSES_DEEP: f64 = 0.5;

/// Chance that the liquid did not reach, so that no effect is seen whatever it would have done.
pub(super) fn misses(observation: &Observation, feature: &Feature, site: Option<Site>) -> f64 {
    if !feature.liquid || observation.specimen != Specimen::Surface {
        return 0.0;
    }
    match site {
        None | Some(Site::Film) => 0.0,
        Some(Site::OpenJoint) => MISSES_OPEN_JOINT,
        Some(Site::DeepJoint | Site::Pores) => MISSES_DEEP,
    }
}

/// Chance that the specimen is a bad one.
pub(super) fn bad(observation: &Observation) -> f64 {
    match observation.specimen {
        Specimen::FreshCut | Specimen::Section => 0.05,
        Specimen::Crumb if observation.clean => 0.05,
        Specimen::Crumb => CRUMB_BAD,
        Specimen::Vapour => 0.12,
        Specimen::Surface => 0.15,
    }
}

/// Whether it was clean: said of a crumb, a fresh cut or an embedded section.
pub(super) fn is_clean(observation: &Observation) -> bool {
    observation.clean || matches!(observation.specimen, Specimen::FreshCut | Specimen::Section)
}
