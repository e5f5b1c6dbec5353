//! What a method can bring: which liquids it delivers, and which of them its carrier holds.

use std::sync::Arc;

use crate::model::scene::Step;
use crate::model::{Agent, Carrier, Class, Equipment, Method};

/// The step of a method with an agent, if the method can bring it.
pub(super) fn step(
    means: &Equipment,
    method: &Arc<Method>,
    agent: Option<&Arc<Agent>>,
) -> Option<Step> {
    let ready = Ready::of(means, method);
    match agent {
        None => Some(ready.dry()),
        Some(agent) if ready.brings(agent) => Some(ready.with(&parted(means, agent)?)),
        Some(_) => None,
    }
}

/// A liquid with its parts.
pub(super) struct Liquid<'a> {
    pub(super) agent: &'a Arc<Agent>,
    parts: Vec<Arc<Agent>>,
}

/// The parts of a liquid. A mixture with a part that nobody knows cannot be judged.
pub(super) fn parted<'a>(means: &Equipment, agent: &'a Arc<Agent>) -> Option<Liquid<'a>> {
    let parts = agent.parts.iter().map(|(id, _)| means.agent(id).cloned());
    Some(Liquid {
        agent,
        parts: parts.collect::<Option<Vec<_>>>()?,
    })
}

/// Classes and ids of liquids.
#[derive(Default)]
struct Named<'a> {
    classes: Vec<Class>,
    ids: Vec<&'a str>,
}

impl<'a> Named<'a> {
    fn of(list: &'a [String]) -> Self {
        let mut out = Self::default();
        for word in list {
            out.classes.extend(Class::parse(word));
            out.ids.push(word);
        }
        out
    }

    fn by_id(&self, agent: &Agent) -> bool {
        self.ids.contains(&agent.head.id.as_str())
    }

    fn holds(&self, agent: &Agent) -> bool {
        self.classes.contains(&agent.class) || self.by_id(agent)
    }
}

/// A method with its carrier, and what the two can bring, read once for all liquids.
pub(super) struct Ready<'a> {
    method: &'a Arc<Method>,
    carrier: Option<&'a Arc<Carrier>>,
    delivers: Named<'a>,
    carries: Named<'a>,
    carries_not: Named<'a>,
}

impl<'a> Ready<'a> {
    pub(super) fn of(means: &'a Equipment, method: &'a Arc<Method>) -> Self {
        let carrier = method.carrier.as_deref().and_then(|id| means.carrier(id));
        let of_carrier = |list: fn(&Carrier) -> &[String]| {
            carrier.map_or_else(Named::default, |it| Named::of(list(it)))
        };
        Self {
            method,
            carrier,
            delivers: Named::of(&method.delivers),
            carries: of_carrier(|it| &it.carries),
            carries_not: of_carrier(|it| &it.carries_not),
        }
    }

    pub(super) fn brings(&self, agent: &Agent) -> bool {
        if !self.delivers.holds(agent) {
            return false;
        }
        // An agent named outright outranks its class, both ways.
        self.carrier.is_none()
            || (self.carries.holds(agent) && !self.carries_not.holds(agent))
            || self.carries.by_id(agent)
            || self.delivers.by_id(agent)
    }

    pub(super) fn dry(&self) -> Step {
        Step {
            method: Arc::clone(self.method),
            agent: None,
            parts: Vec::new(),
            carrier: self.carrier.cloned(),
        }
    }

    pub(super) fn with(&self, liquid: &Liquid<'_>) -> Step {
        Step {
            agent: Some(Arc::clone(liquid.agent)),
            parts: liquid.parts.clone(),
            ..self.dry()
        }
    }
}
