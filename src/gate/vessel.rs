//! The gate for what is mixed in one vessel: liquids that must not meet, what must not be warmed, what
//! the law restricts.

use std::sync::Arc;

use super::{Findings, Passed, Refused, rules};
use crate::model::scene::Step;
use crate::model::{Action, Agent, Carrier, Facts, Hazard, Head, Method, Value, Wetting};
use crate::units::Reading;

/// Liquids and reagents in one vessel, perhaps in a gel, perhaps warmed.
#[derive(Clone, Debug, PartialEq)]
pub struct Vessel {
    /// What meets in it.
    pub agents: Vec<Agent>,
    /// The gelling agent.
    pub carrier: Option<Carrier>,
    /// To what it is warmed, °C.
    pub celsius: Option<f64>,
}

/// Temperature, °C, from which a vessel counts as warmed: a hot day is no heater.
const WARMED: f64 = 30.0;
/// How far below its flash point a liquid must stay, kelvin (common practice).
const MARGIN: f64 = 10.0;

/// Lets a vessel pass or refuses it. `permitted` names agents that the user allows though the law
/// restricts them.
///
/// # Errors
/// A [`Refused`] with every rule that it breaks.
pub fn vessel(it: Vessel, permitted: &[String]) -> Result<Passed<Vessel>, Refused<Vessel>> {
    let mut found = Findings::default();
    let step = step(&it);
    for rule in rules::all() {
        let when = &rule.when;
        let of_agents =
            !(when.classes.is_empty() && when.agents.is_empty() && when.agent_hazards.is_empty());
        let of_target = !(when.materials.is_empty()
            && when.hazards.is_empty()
            && when.sites.is_empty()
            && when.origins.is_empty());
        if of_agents && !of_target && !when.names_layer() && when.meets_step(&step) {
            found.meet(rule, None);
        }
    }
    if it.agents.iter().any(|a| over_flash(a, it.celsius)) {
        found.meet(&rules::WARMED_VESSEL, None);
    }
    let restricted = |a: &Agent| a.needs_permission && !permitted.contains(&a.head.id);
    if it.agents.iter().any(restricted) {
        found.meet(&rules::PERMISSION, None);
    }
    found.verdict(it)
}

/// Whether a liquid is warmed to near its flash point or above it. One that is recorded as flammable
/// and has no flash point on file is not warmed at all.
fn over_flash(agent: &Agent, celsius: Option<f64>) -> bool {
    let Some(celsius) = celsius.filter(|c| *c > WARMED) else {
        return false;
    };
    let lowest = agent
        .head
        .facts
        .get("flash")
        .iter()
        .filter_map(|fact| match &fact.value {
            Value::Measure(it) => it.base(Reading::Point).map(|b| b.low - 273.15),
            _ => None,
        })
        .reduce(f64::min);
    match lowest {
        Some(flash) => celsius > flash - MARGIN,
        None => agent.hazards.contains(&Hazard::Flammable),
    }
}

/// The vessel as a step that reaches no object: the rules are written for steps.
fn step(it: &Vessel) -> Step {
    Step {
        method: Arc::new(Method {
            head: Head {
                id: "vessel".to_owned(),
                ..Head::default()
            },
            action: Action::Solvent,
            delivers: Vec::new(),
            carrier: None,
            classes: Vec::new(),
            reach: Vec::new(),
            reach_partly: Vec::new(),
            wets: Wetting::None,
            mildness: 1,
            then: None,
            responses: Vec::new(),
            avoid: Facts::default(),
        }),
        agent: match &it.agents[..] {
            [one] => Some(Arc::new(one.clone())),
            _ => None,
        },
        parts: it.agents.iter().cloned().map(Arc::new).collect(),
        carrier: it.carrier.clone().map(Arc::new),
    }
}
