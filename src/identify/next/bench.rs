//! What may be offered at this bench: each test with its liquid and specimen, as far as the gate and
//! the layers beneath allow.

use crate::answer::Offer;
use crate::gate::{self, Ground, ProposedTest, Refused};
use crate::model::{Agent, BenchTest, Feature, Hazard, Library, Specimen, Verdict};

/// The test whose record stands for a drop of any liquid.
const LIQUID_TEST: &str = "solvent-drop";

/// A test on file with its liquid; whether it may be done is for the gate to say.
pub(super) struct OnFile {
    test: BenchTest,
    agent: Option<Agent>,
    liquid: bool,
    /// Excluded by a negative of it on a clean crumb.
    pub(super) excludes: Option<Hazard>,
    pub(super) specimen: Specimen,
    crumb_because: Option<String>,
}

impl OnFile {
    /// `None` for what is not offered at all: a liquid that the law restricts is not worth a crumb.
    pub(super) fn read(
        library: &dyn Library,
        feature: &Feature,
        ground: Ground<'_>,
    ) -> Option<Self> {
        let (test, agent) = if feature.liquid {
            let agent = library.agent(&feature.id)?;
            if agent.needs_permission {
                return None;
            }
            (library.test(LIQUID_TEST)?, Some(agent))
        } else {
            let test = library.test(&feature.id)?;
            let agent = test.reagent.as_deref().and_then(|id| library.agent(id));
            (test, agent)
        };
        let first = test.specimens.first().copied().unwrap_or(Specimen::Crumb);
        let crumb = feature.liquid || test.specimens.contains(&Specimen::Crumb);
        let not_borne = agent.as_ref().and_then(|agent| why_crumb(agent, ground));
        // A drop of liquid is always tried on a detached crumb; another test with a reagent may be
        // done on the object where every layer is known to bear it.
        let specimen = match (feature.liquid, &not_borne) {
            (true, _) => Specimen::Crumb,
            (false, Some(_)) if crumb => Specimen::Crumb,
            (false, _) => first,
        };
        Some(Self {
            test,
            agent,
            liquid: feature.liquid,
            excludes: feature.hazard,
            specimen,
            crumb_because: not_borne.filter(|_| specimen == Specimen::Crumb),
        })
    }

    /// What it is called.
    pub(super) fn called(&self) -> String {
        match self.agent.as_ref().filter(|_| self.liquid) {
            Some(agent) => format!("drop of {}", agent.head.names.name),
            None => self.test.head.names.name.clone(),
        }
    }

    /// The offer, if the gate lets it pass with these hazards.
    pub(super) fn offer(
        &self,
        hazards: &[(Hazard, f64)],
        ground: Ground<'_>,
    ) -> Result<Offer, Refused<ProposedTest>> {
        let proposed = ProposedTest {
            test: self.test.clone(),
            specimen: self.specimen,
        };
        let test = gate::test(proposed, self.agent.as_ref(), hazards, ground)?;
        let liquid = self.agent.as_ref().filter(|_| self.liquid);
        Ok(Offer {
            test,
            liquid: liquid.map(|a| (a.head.id.clone(), a.head.names.name.clone())),
            crumb_because: self.crumb_because.clone(),
            clean: self.excludes.is_some() && self.specimen == Specimen::Crumb,
        })
    }
}

/// Why a liquid is kept off the object.
fn why_crumb(agent: &Agent, ground: Ground<'_>) -> Option<String> {
    let liquid = &agent.head.names.name;
    if ground.layers.is_empty() {
        return Some(format!("no layer was stated that bears {liquid}"));
    }
    let (layer, verdict) = ground.not_bearing(agent)?;
    let layer = &layer.called;
    Some(match verdict {
        Some(Verdict::Harms) => format!("{layer} does not bear {liquid}"),
        Some(_) => format!("whether {layer} bears {liquid} must be tried first"),
        None => format!("it is not recorded whether {layer} bears {liquid}"),
    })
}
