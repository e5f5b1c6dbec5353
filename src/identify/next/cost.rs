//! What a test costs. Judgment, stated once and before any test of the choice was run: the unit is
//! the trouble of doing any test at all, so that even a free look costs 1.

use crate::model::{Feature, Specimen};

/// A sample that is as dear as the trouble of the test, micrograms. A milligram is a crumb that the
/// eye sees and the owner is asked for; spot tests take a twentieth to a half of it.
const SAMPLE_UG: f64 = 1000.0;
/// A grade of risk to the object (0-5). Two grades, from a look to a reagent beside the object,
/// double the cost: what is lost there does not come back.
const RISK: f64 = 1.0 / 2.0;
/// A grade of harm to the worker (0-5). Less than a grade of risk to the object, for a fume hood
/// and gloves take most of it away; three grades double the cost.
const TOXICITY: f64 = 1.0 / 3.0;
/// Time that is as dear as the trouble of the test, minutes: most bench tests take under ten, and
/// of two that tell the same the quick one is done first.
const MINUTES: f64 = 120.0;

/// Cost of a test on this specimen; at least 1.
pub(super) fn cost(feature: &Feature, specimen: Specimen) -> f64 {
    let sample = match specimen {
        Specimen::Surface | Specimen::Vapour => 0.0,
        Specimen::Crumb | Specimen::FreshCut | Specimen::Section => feature.sample_ug,
    };
    1.0 + sample / SAMPLE_UG
        + RISK * f64::from(feature.risk)
        + TOXICITY * f64::from(feature.toxicity)
        + feature.minutes / MINUTES
}
