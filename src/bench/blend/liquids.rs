//! Which liquids may go into a blend, and what is known of each.

use std::sync::Arc;

use super::super::mixing::stated;
use super::records;
use crate::answer::Reason;
use crate::answer::blend::{Flash, LeftOut, LeftOutFor, Limit};
use crate::chem::drying::Volatile;
use crate::chem::unifac::Molecule;
use crate::gate::{self, Passed};
use crate::model::scene::{Scene, Step};
use crate::model::{
    Agent, AgentSort, Basis, Carrier, Class, Fact, Hansen, Hazard, Head, Kind, Library, Method,
    Names, Place, Record, Value,
};
use crate::units::{Dimension, Reading, Tag};

/// The method by which a blend is judged: free liquid on a swab.
const METHOD: &str = "swab";
/// Temperature above which what melts is no liquid at the bench, kelvin.
const SOLID: f64 = 298.15;
/// Molar volume of a gas at 25 °C and 101.325 kPa, l/mol, between mg/m3 and ppm.
const GAS: f64 = 24.45;
/// Pressure of the air, pascal.
const AIR: f64 = 101_325.0;

/// A liquid with all that is reckoned from.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) agent: Agent,
    pub(super) hansen: Hansen,
    pub(super) volatile: Volatile,
    pub(super) molecule: Option<Molecule>,
    pub(super) limit: Option<Limit>,
    pub(super) flash: Flash,
    pub(super) teas: Option<(f64, f64, f64)>,
    pub(super) facts: Vec<Basis>,
}

impl Candidate {
    /// Vapour pressure over the lowest limit, both as shares of air.
    pub(super) fn hazard(&self) -> Option<f64> {
        let limit = self.limit.as_ref()?;
        Some(self.volatile.vapour_pressure / AIR * 1e6 / limit.ppm)
    }
}

/// Partial pressures over limits, summed; `stand_in` ppm where no limit is on file, or left out.
pub(super) fn hazard_of(pressures: &[f64], liquids: &[&Candidate], stand_in: Option<f64>) -> f64 {
    pressures
        .iter()
        .zip(liquids)
        .filter_map(|(p, l)| {
            let ppm = l.limit.as_ref().map(|l| l.ppm).or(stand_in)?;
            Some(p / AIR * 1e6 / ppm)
        })
        .sum()
}

/// The means of trial: a swab, and what it is made of.
pub(super) struct Means {
    method: Arc<Method>,
    carrier: Option<Arc<Carrier>>,
}

impl Means {
    pub(super) fn read(library: &dyn Library) -> Option<Self> {
        let method = library.method(METHOD)?;
        let carrier = method.carrier.as_deref().and_then(|id| library.carrier(id));
        Some(Self {
            method: Arc::new(method),
            carrier: carrier.map(Arc::new),
        })
    }

    /// A blend as a step that somebody proposes.
    pub(super) fn step(&self, parts: &[(&Agent, f64)], called: &str) -> Step {
        let agent = match parts {
            [(one, _)] => (*one).clone(),
            _ => mixture(parts, called),
        };
        let parts = if parts.len() > 1 {
            parts.iter().map(|(a, _)| Arc::new((*a).clone())).collect()
        } else {
            Vec::new()
        };
        Step {
            method: self.method.clone(),
            agent: Some(Arc::new(agent)),
            parts,
            carrier: self.carrier.clone(),
        }
    }
}

/// A blend as a liquid: of the class of its harshest part, with the dangers of all.
fn mixture(parts: &[(&Agent, f64)], called: &str) -> Agent {
    let harshest = parts
        .iter()
        .max_by_key(|(a, _)| a.strength)
        .map_or(Class::Alcohol, |(a, _)| a.class);
    let ids: Vec<&str> = parts.iter().map(|(a, _)| a.head.id.as_str()).collect();
    Agent {
        head: Head {
            id: ids.join("+"),
            names: Names {
                name: called.to_owned(),
                ..Names::default()
            },
            place: Place::default(),
            ..Head::default()
        },
        sort: AgentSort::Mixture,
        class: harshest,
        cas: None,
        parts: parts
            .iter()
            .map(|(a, share)| (a.head.id.clone(), *share))
            .collect(),
        like: None,
        strength: parts.iter().map(|(a, _)| a.strength).max().unwrap_or(1),
        cmr: parts.iter().find_map(|(a, _)| a.cmr.clone()),
        // Each part stands in the step by itself, with its hazards, and wants its own permission.
        needs_permission: false,
        hazards: Vec::new(),
        hansen: None,
    }
}

/// Lets a step pass for every layer by itself: what one sealing layer would shelter at the surface is
/// not sheltered from a blend that is asked to spare it. One pass without a layer where there is none.
pub(super) fn pass(step: &Step, scene: &Scene) -> Result<Vec<Passed<Step>>, Reason> {
    let mut scenes: Vec<Scene> = scene
        .layers
        .iter()
        .map(|layer| Scene {
            layers: vec![layer.clone()],
            ..scene.clone()
        })
        .collect();
    if scenes.is_empty() {
        scenes.push(scene.clone());
    }
    let mut out = Vec::new();
    for scene in &scenes {
        match gate::step(step.clone(), scene) {
            Ok(passed) => out.push(passed),
            Err(no) => {
                // A record of this very layer, with its source, says more than a rule of its kind.
                let recorded = no
                    .broken()
                    .iter()
                    .any(|b| b.rule.id == gate::rules::RECORDED_HARM.id);
                if let Some(reason) = records::harm(step, scene).filter(|_| recorded) {
                    return Err(reason);
                }
                let broken = &no.broken()[0];
                let layer = broken.layer.as_deref();
                return Err(Reason {
                    text: format!(
                        "{}{} ({})",
                        layer.map_or(String::new(), |l| format!("{l}: ")),
                        broken.rule.says,
                        broken.rule.why
                    ),
                    basis: broken.rule.basis.to_basis(),
                });
            }
        }
    }
    Ok(out)
}

/// What may be used, and what was left out.
pub(super) struct Shelf {
    pub(super) liquids: Vec<Candidate>,
    pub(super) left_out: Vec<LeftOut>,
}

/// Reads the liquids that were named, or all solvents of the corpus.
pub(super) fn shelf(
    library: &dyn Library,
    using: &[String],
    allowing: &[String],
    means: &Means,
    scene: &Scene,
) -> Shelf {
    let mut out = Shelf {
        liquids: Vec::new(),
        left_out: Vec::new(),
    };
    for index in 0..library.count(Kind::Agent) {
        let Some(Record::Agent(agent)) = library.record(Kind::Agent, index) else {
            continue;
        };
        let named = using.contains(&agent.head.id);
        if !named && (!using.is_empty() || agent.sort != AgentSort::Solvent) {
            continue;
        }
        let allowed = allowing.contains(&agent.head.id);
        match admit(&agent, allowed, means, scene) {
            Ok(candidate) => out.liquids.push(candidate),
            Err(no) => out.left_out.push(LeftOut {
                id: agent.head.id.clone(),
                name: agent.head.names.name.clone(),
                sort: no.sort,
                reason: no.reason,
                allowing: no.allowing,
            }),
        }
    }
    out
}

/// Why a liquid is not taken.
struct Refusal {
    sort: LeftOutFor,
    reason: Reason,
    /// Whether `allowing` brings it back.
    allowing: bool,
}

impl Refusal {
    /// What is left out until somebody allows it.
    fn unless_allowed(sort: LeftOutFor, text: String) -> Self {
        let basis = Basis::Practice;
        Self {
            sort,
            reason: Reason { text, basis },
            allowing: true,
        }
    }

    /// What cannot be reckoned with.
    fn no_data(text: &str) -> Self {
        let (text, basis) = (text.to_owned(), Basis::Practice);
        Self {
            sort: LeftOutFor::NoData,
            reason: Reason { text, basis },
            allowing: false,
        }
    }
}

/// Why a liquid is not taken without being allowed by name: the law, or grave harm to whoever uses it.
fn restriction(agent: &Agent) -> Option<Refusal> {
    if agent.needs_permission {
        let text = "restricted by law: name it after `allowing` where it is permitted";
        return Some(Refusal::unless_allowed(LeftOutFor::Law, text.to_owned()));
    }
    if let Some(cmr) = &agent.cmr {
        let text = format!(
            "{cmr}: suspected or known to cause cancer, to change genes or to harm fertility"
        );
        return Some(Refusal::unless_allowed(LeftOutFor::Cmr, text));
    }
    let grave = [Hazard::Carcinogen, Hazard::Reprotoxic];
    grave.iter().any(|h| agent.hazards.contains(h)).then(|| {
        let text = "recorded as a danger to genes or fertility, or of cancer";
        Refusal::unless_allowed(LeftOutFor::Cmr, text.to_owned())
    })
}

/// Takes a liquid in, or says why not.
fn admit(agent: &Agent, allowed: bool, means: &Means, scene: &Scene) -> Result<Candidate, Refusal> {
    let no_data = Refusal::no_data;
    if let Some(refusal) = restriction(agent).filter(|_| !allowed) {
        return Err(refusal);
    }
    if !agent.parts.is_empty() {
        return Err(no_data("a mixture: name the liquids in it"));
    }
    let facts = &agent.head.facts;
    let solid = facts
        .measure("melts")
        .and_then(|q| q.base(Reading::Point))
        .is_some_and(|b| b.low > SOLID);
    if solid {
        return Err(no_data("solid at room temperature"));
    }
    let hansen = agent
        .hansen
        .ok_or_else(|| no_data("no Hansen parameters on file"))?;
    let pressure = middle(facts.get("vapour-pressure"))
        .ok_or_else(|| no_data("no vapour pressure on file: how it dries cannot be reckoned"))?;
    let volume = middle(facts.get("molar-volume"))
        .ok_or_else(|| no_data("no molar volume on file: how it dries cannot be reckoned"))?;
    pass(&means.step(&[(agent, 1.0)], ""), scene).map_err(|reason| Refusal {
        sort: LeftOutFor::Rule,
        reason,
        allowing: false,
    })?;
    let limit = lowest_limit(agent);
    let first = |key: &str| facts.get(key).iter().find(|f| f.value.is_known());
    let used = [
        "hansen",
        "vapour-pressure",
        "molar-volume",
        "unifac",
        "flash",
    ]
    .into_iter()
    .filter_map(first)
    .map(|f| f.basis.clone())
    .collect();
    Ok(Candidate {
        hansen,
        volatile: Volatile {
            molar_volume: volume * 1e6,
            vapour_pressure: pressure,
        },
        molecule: Molecule::read(&facts.words("unifac")).ok(),
        limit,
        flash: flash(facts.get("flash")),
        teas: facts.get("teas").iter().find_map(|f| match f.value {
            Value::Teas(d, p, h) => Some((d, p, h)),
            _ => None,
        }),
        facts: used,
        agent: agent.clone(),
    })
}

/// The first value of a fact, in base units, above zero.
fn middle(facts: &[Fact]) -> Option<f64> {
    facts.iter().find_map(|fact| {
        let Value::Measure(quantity) = &fact.value else {
            return None;
        };
        let bounds = quantity.base(Reading::Point)?;
        let middle = f64::midpoint(bounds.low, bounds.high);
        (middle.is_finite() && middle > 0.0).then_some(middle)
    })
}

/// The lowest flash point on file; a record may also say that there is none.
fn flash(facts: &[Fact]) -> Flash {
    let lowest = facts
        .iter()
        .filter_map(|f| match &f.value {
            Value::Measure(q) => q.base(Reading::Point).map(|b| b.low - 273.15),
            _ => None,
        })
        .filter(|c| c.is_finite())
        .fold(f64::INFINITY, f64::min);
    if lowest.is_finite() {
        Flash::At(lowest)
    } else if facts
        .iter()
        .any(|f| matches!(f.value, Value::NotApplicable(_)))
    {
        Flash::None
    } else {
        Flash::Unknown
    }
}

/// The lowest exposure limit on file, of whatever place and time, as ppm.
fn lowest_limit(agent: &Agent) -> Option<Limit> {
    let mass = middle(agent.head.facts.get("molar-mass")).map(|kg| kg * 1000.0);
    agent
        .head
        .facts
        .get("limit")
        .iter()
        .filter_map(|fact| {
            let Value::Measure(quantity) = &fact.value else {
                return None;
            };
            let bounds = quantity.base(Reading::Point)?;
            let ppm = if quantity.unit.dimension() == Dimension::tagged(Tag::PerMillion) {
                bounds.low
            } else {
                bounds.low * 1e6 * GAS / mass?
            };
            (ppm > 0.0 && ppm.is_finite()).then(|| Limit {
                ppm,
                region: fact.region.clone().unwrap_or_default(),
                averaging: fact.averaging.clone().unwrap_or_default(),
                basis: fact.basis.to_string(),
                sources: fact.basis.sources(),
            })
        })
        .min_by(|a, b| a.ppm.total_cmp(&b.ppm))
}

/// Pairs of liquids that may not be in one blend: they do not mix, or must not meet.
pub(super) fn apart(
    liquids: &[Candidate],
    means: &Means,
    scene: &Scene,
) -> Vec<(usize, usize, Reason)> {
    let mut out = Vec::new();
    // Whether two liquids may meet has nothing to do with the layers, which each met alone.
    let bare = Scene {
        layers: Vec::new(),
        ..scene.clone()
    };
    for (i, a) in liquids.iter().enumerate() {
        for (j, b) in liquids.iter().enumerate().skip(i + 1) {
            if let Some(reason) =
                unmixed(&a.agent, &b.agent).or_else(|| unmixed(&b.agent, &a.agent))
            {
                out.push((i, j, reason));
                continue;
            }
            let step = means.step(&[(&a.agent, 0.5), (&b.agent, 0.5)], "");
            if let Err(reason) = pass(&step, &bare) {
                out.push((i, j, reason));
            }
        }
    }
    out
}

/// What a record says of two liquids that do not mix.
fn unmixed(a: &Agent, b: &Agent) -> Option<Reason> {
    let fact = stated(a, b, "immiscible").or_else(|| stated(a, b, "partly-miscible"))?;
    Some(Reason {
        text: format!(
            "{} and {} do not mix{}",
            a.head.names.name,
            b.head.names.name,
            fact.note
                .as_ref()
                .map_or(String::new(), |n| format!(" ({n})"))
        ),
        basis: fact.basis.clone(),
    })
}
