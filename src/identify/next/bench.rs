//! What may be offered at this bench: each test with its liquid and specimen, as far as the gate and
//! the layers beneath allow.

use std::cell::OnceCell;
use std::rc::Rc;

use crate::answer::{Entry, Offer};
use crate::gate::{self, Ground, ProposedTest, Refused};
use crate::model::{Agent, BenchTest, Feature, Hazard, Library, Specimen, Verdict};

/// The test whose record stands for a drop of any liquid.
const LIQUID_TEST: &str = "solvent-drop";
/// Harm to the worker below which no liquid is that the law restricts: the table counts those as 4.
const MAYBE_RESTRICTED: u8 = 4;

/// Where records are read, as few as can be: a question asks of forty tests and offers a handful.
pub(super) struct Shelf<'a> {
    library: &'a dyn Library,
    ground: Ground<'a>,
    drop: OnceCell<Option<Rc<BenchTest>>>,
}

/// A test on file with its liquid; whether it may be done is for the gate to say.
pub(super) struct OnFile<'a> {
    library: &'a dyn Library,
    ground: Ground<'a>,
    id: &'a str,
    test: Rc<BenchTest>,
    liquid: bool,
    agent: OnceCell<Option<Box<Agent>>>,
    /// Excluded by a negative of it on a clean crumb.
    pub(super) excludes: Option<Hazard>,
    pub(super) specimen: Specimen,
    crumb_because: OnceCell<Option<String>>,
}

impl<'a> Shelf<'a> {
    pub(super) fn new(library: &'a dyn Library, ground: Ground<'a>) -> Self {
        Self {
            library,
            ground,
            drop: OnceCell::new(),
        }
    }

    /// `None` for what is not offered at all: a liquid that the law restricts is not worth a crumb.
    pub(super) fn read(&self, feature: &'a Feature) -> Option<OnFile<'a>> {
        let library = self.library;
        let on_file = |test: Rc<BenchTest>, specimen, agent, because| OnFile {
            library,
            ground: self.ground,
            id: &feature.id,
            test,
            liquid: feature.liquid,
            agent,
            excludes: feature.hazard,
            specimen,
            crumb_because: because,
        };
        if feature.liquid {
            let agent = OnceCell::new();
            if feature.toxicity >= MAYBE_RESTRICTED {
                let own = library.agent(&feature.id)?;
                if own.needs_permission {
                    return None;
                }
                let _ = agent.set(Some(Box::new(own)));
            }
            let test = self
                .drop
                .get_or_init(|| library.test(LIQUID_TEST).map(Rc::new))
                .clone()?;
            // A drop of liquid is always tried on a detached crumb.
            return Some(on_file(test, Specimen::Crumb, agent, OnceCell::new()));
        }
        let test = library.test(&feature.id)?;
        let agent = test.reagent.as_deref().and_then(|id| library.agent(id));
        let first = test.specimens.first().copied().unwrap_or(Specimen::Crumb);
        let crumb = test.specimens.contains(&Specimen::Crumb);
        // Another test with a reagent may be done on the object where every layer is known to bear it.
        let not_borne = agent.as_ref().and_then(|a| why_crumb(a, self.ground));
        let specimen = if not_borne.is_some() && crumb {
            Specimen::Crumb
        } else {
            first
        };
        let because = not_borne.filter(|_| specimen == Specimen::Crumb);
        Some(on_file(
            Rc::new(test),
            specimen,
            OnceCell::from(agent.map(Box::new)),
            OnceCell::from(because),
        ))
    }
}

impl OnFile<'_> {
    fn agent(&self) -> Option<&Agent> {
        self.agent
            .get_or_init(|| self.library.agent(self.id).map(Box::new))
            .as_deref()
    }

    fn crumb_because(&self) -> Option<&String> {
        self.crumb_because
            .get_or_init(|| self.agent().and_then(|a| why_crumb(a, self.ground)))
            .as_ref()
    }

    /// What it is called.
    pub(super) fn called(&self) -> String {
        match self.agent().filter(|_| self.liquid) {
            Some(agent) => format!("drop of {}", agent.head.names.name),
            None => self.test.head.names.name.clone(),
        }
    }

    /// Whether the gate would let it pass with these hazards.
    pub(super) fn may(&self, hazards: &[(Hazard, f64)]) -> bool {
        // What is put on a crumb is no matter of the layers.
        let reagent = (self.specimen == Specimen::Surface)
            .then(|| self.agent())
            .flatten();
        gate::lets_test(&self.test, self.specimen, reagent, hazards, self.ground)
    }

    /// The offer, if the gate lets it pass with these hazards.
    pub(super) fn offer(&self, hazards: &[(Hazard, f64)]) -> Result<Offer, Refused<ProposedTest>> {
        let proposed = ProposedTest {
            test: BenchTest::clone(&self.test),
            specimen: self.specimen,
        };
        let test = gate::test(proposed, self.agent(), hazards, self.ground)?;
        let liquid = self.agent().filter(|_| self.liquid);
        Ok(Offer {
            test,
            liquid: liquid.map(|a| Entry::of(&a.head)),
            crumb_because: self.crumb_because().cloned(),
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
        Some(_) => format!("{layer} may not bear {liquid}"),
        None => format!("it is not recorded whether {layer} bears {liquid}"),
    })
}
