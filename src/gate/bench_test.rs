//! The gate for a bench test: what it brings to the specimen, and what lies under the unknown.

use std::sync::Arc;

use super::exposure::exposed;
use super::{Exposure, Findings, HAZARD_LEAST, Passed, Refused, TestRule, rules};
use crate::model::scene::SceneLayer;
use crate::model::{Agent, BenchTest, Hazard, Site, Specimen, Verdict};

/// A test as somebody proposes to do it.
#[derive(Clone, Debug, PartialEq)]
pub struct ProposedTest {
    /// The test.
    pub test: BenchTest,
    /// On what.
    pub specimen: Specimen,
}

/// Where a test is to be done: on a material that lies on these layers.
#[derive(Clone, Copy, Debug)]
pub struct Ground<'a> {
    /// Layers beneath the unknown, from the top down; empty when none was stated.
    pub layers: &'a [SceneLayer],
    /// Where the unknown sits.
    pub site: Site,
}

impl<'a> Ground<'a> {
    /// The first layer that a drop of a liquid may meet and that is not known to bear it, with what
    /// is known of it: harmed, to be tried first, or not recorded. `None` when all bear it.
    #[must_use]
    pub fn not_bearing(&self, agent: &Agent) -> Option<(&'a SceneLayer, Option<Verdict>)> {
        self.layers
            .iter()
            .zip(exposed(self.layers, self.site))
            .filter(|(_, exposure)| *exposure == Exposure::Exposed)
            .map(|(layer, _)| (layer, borne(layer, agent)))
            .find(|(_, verdict)| *verdict != Some(Verdict::Safe))
    }
}

/// What a layer is known to bear of a liquid, by trial or by record. That it bears a liquid when
/// sound says nothing of it damp, salty or cracked; several verdicts count as the gravest.
fn borne(layer: &SceneLayer, agent: &Agent) -> Option<Verdict> {
    let id = agent.head.id.as_str();
    if let Some(verdict) = layer.trials_of(id).map(|trial| trial.verdict).max() {
        return Some(verdict);
    }
    let mut worst = Some(Verdict::Safe);
    for condition in layer.states() {
        match layer.layer.verdict(*condition, Some(id), agent.class) {
            Some((Verdict::Harms, _)) => return Some(Verdict::Harms),
            Some((verdict, _)) => worst = worst.map(|w| w.max(verdict)),
            None => worst = None,
        }
    }
    worst
}

/// Lets a bench test pass or refuses it. `reagent` is the liquid that it brings, where it is known.
///
/// # Errors
/// A [`Refused`] with the rules that it breaks.
pub fn test(
    proposed: ProposedTest,
    reagent: Option<&Agent>,
    hazards: &[(Hazard, f64)],
    ground: Ground<'_>,
) -> Result<Passed<ProposedTest>, Refused<ProposedTest>> {
    judged(&proposed.test, proposed.specimen, reagent, hazards, ground).verdict(proposed)
}

/// Whether [`test()`] would let it pass: for whoever looks ahead over many tests and offers none yet.
#[must_use]
pub fn lets_test(
    test: &BenchTest,
    specimen: Specimen,
    reagent: Option<&Agent>,
    hazards: &[(Hazard, f64)],
    ground: Ground<'_>,
) -> bool {
    let found = judged(test, specimen, reagent, hazards, ground);
    found.broken.is_empty()
}

/// What a bench test breaks, and what it is let pass with.
fn judged(
    test: &BenchTest,
    specimen: Specimen,
    reagent: Option<&Agent>,
    hazards: &[(Hazard, f64)],
    ground: Ground<'_>,
) -> Findings {
    let mut found = Findings::default();
    let may_be_nitrate = hazards
        .iter()
        .find(|(hazard, _)| *hazard == Hazard::Nitrate)
        .is_some_and(|(_, p)| *p >= HAZARD_LEAST);
    if may_be_nitrate && rules::HOT_TESTS.contains(&test.head.id.as_str()) {
        found.meet(&rules::NO_HOT_NEEDLE, None);
    }
    if test.destructive {
        let rule = if specimen == Specimen::Surface {
            &rules::CRUMB_ONLY
        } else {
            &rules::SAMPLING
        };
        found.meet(rule, None);
    }
    if specimen == Specimen::Surface
        && let Some(agent) = reagent
    {
        let layer = ground.not_bearing(agent).map(|(layer, _)| layer);
        if layer.is_some() || ground.layers.is_empty() {
            let called = layer.map(|l| Arc::from(l.called.as_str()));
            found.meet(&rules::REAGENT_NOT_BORNE, called.as_ref());
        }
    }
    for TestRule { rule, when } in rules::of_tests() {
        if when.meets(test, specimen, hazards) {
            found.meet(rule, None);
        }
    }
    found
}
