//! What a step would do to the unknown, over the whole posterior.

use std::collections::BTreeMap;

use super::Corpus;
use crate::chem;
use crate::model::scene::{Scene, age_weight};
use crate::model::{
    Age, Agent, Basis, Class, Effect, Fact, Facts, Material, Method, Order, Place, Response, Route,
    Value,
};

/// What a step is expected to do.
#[derive(Clone, Debug, Default)]
pub(crate) struct Seen {
    /// Share of the posterior on which it acts, weighted by how fully.
    pub(crate) covers: f64,
    /// Share of which nothing is recorded.
    pub(crate) unknown: f64,
    /// What it does where it acts, by share: response word.
    pub(crate) does: BTreeMap<&'static str, f64>,
    /// Bases met.
    pub(crate) bases: Vec<Basis>,
    /// Where the facts stand.
    pub(crate) places: Vec<Place>,
    /// Remarks of the records.
    pub(crate) notes: Vec<String>,
    /// Bonus from routes of the trade: share of the posterior times the place in the order.
    pub(crate) route: f64,
    /// Share of the posterior for which the trade comes to it last.
    pub(crate) last: f64,
    /// Share of the posterior for which the trade's routes say that it fails.
    pub(crate) fails: f64,
    /// Whether it rests on a stand-in or on the parts of a mixture.
    pub(crate) inferred: bool,
    /// Whether what was seen on this object decides.
    pub(crate) tried: bool,
    /// Share of which nothing is recorded, but which the sphere of the fresh resin holds: a hint
    /// for a crumb, never ground for a step.
    pub(crate) computed: f64,
}

impl Seen {
    /// Whether it acts on anything, or is recorded to fail.
    pub(crate) fn counts(&self) -> bool {
        self.covers >= 0.05 || self.fails > 0.0
    }

    /// What it mostly does, in one word.
    pub(crate) fn word(&self) -> &'static str {
        self.does
            .iter()
            .max_by(|a, b| a.1.total_cmp(b.1))
            .map_or("no effect", |(word, _)| word)
    }

    fn add(&mut self, share: f64, word: &'static str, fullness: f64) {
        self.covers += share * fullness;
        if share > 0.0 && fullness > 0.0 {
            *self.does.entry(word).or_insert(0.0) += share;
        }
    }

    fn note(&mut self, note: Option<&String>) {
        if let Some(note) = note
            && !self.notes.contains(note)
            && self.notes.len() < 4
        {
            self.notes.push(note.clone());
        }
    }

    fn rests_on(&mut self, basis: &Basis, place: &Place) {
        if !self.bases.contains(basis) {
            self.bases.push(basis.clone());
        }
        if !self.places.contains(place) {
            self.places.push(place.clone());
        }
    }
}

/// How fully a response takes a material off by a method, 0-1. Judgment: what only swells wants a
/// tool, and a method that brings its own tool makes more of it.
fn fullness_by(method: &Method, response: Response) -> f64 {
    match response {
        Response::Swells if method.classes.contains(&Class::HandTool) => 0.75,
        Response::Swells => 0.55,
        // Warm liquid softens what melts; it does not lift it off.
        Response::Melts
            if !method.delivers.is_empty() && !method.classes.contains(&Class::Heat60) =>
        {
            0.3
        }
        _ => fullness(response),
    }
}

/// How fully a response takes a material off, 0-1.
const fn fullness(response: Response) -> f64 {
    match response {
        Response::Dissolves => 1.0,
        Response::PartlyDissolves => 0.75,
        Response::Swells => 0.65,
        Response::Attacked => 0.5,
        Response::Melts => 0.8,
        Response::SwellsSlightly => 0.2,
        Response::NoEffect | Response::Blanches => 0.0,
    }
}

const fn effect_fullness(effect: Effect) -> f64 {
    match effect {
        Effect::Dissolves => 1.0,
        Effect::Melts | Effect::Digests => 0.8,
        Effect::PartlyDissolves => 0.75,
        Effect::Swells | Effect::Softens | Effect::Loosens => 0.7,
        Effect::Crumbles => 0.6,
    }
}

/// What a route is worth beside what the grid says: the trade tries it first, second, last.
const fn route_value(order: Order) -> f64 {
    match order {
        Order::First => 0.40,
        Order::Second => 0.25,
        Order::Last => 0.08,
        Order::Fails => 0.0,
    }
}

/// Effects of every liquid and method on the candidates.
pub(crate) struct Effects<'a> {
    materials: &'a [(Material, f64)],
    scene: &'a Scene,
    by_agent: BTreeMap<&'a str, Vec<Reading<'a>>>,
}

/// One response on record, and the fact that says so.
type Said<'a> = (Response, &'a Fact);

/// What an agent does to one candidate at one age.
struct Reading<'a> {
    material: usize,
    share: f64,
    /// Responses met, with their facts; empty when unrecorded.
    responses: Vec<Said<'a>>,
    inferred: bool,
    computed: bool,
}

impl<'a> Effects<'a> {
    pub(crate) fn new(
        materials: &'a [(Material, f64)],
        scene: &'a Scene,
        corpus: &'a Corpus,
    ) -> Self {
        let mut by_agent = BTreeMap::new();
        for agent in &corpus.agents {
            let mut readings = Vec::new();
            for (k, (material, p)) in materials.iter().enumerate() {
                for age in Age::BOTH {
                    let share = p * age_weight(age, scene.target.aged);
                    let (responses, inferred) = respond(material, age, agent, corpus);
                    // A sphere is of the fresh resin: of an aged film it says nothing.
                    let computed = age == Age::Fresh
                        && responses.is_empty()
                        && inside(&material.head.facts, agent, corpus);
                    readings.push(Reading {
                        material: k,
                        share,
                        responses,
                        inferred,
                        computed,
                    });
                }
            }
            by_agent.insert(agent.head.id.as_str(), readings);
        }
        Self {
            materials,
            scene,
            by_agent,
        }
    }

    /// Probability that is not on any candidate planned for.
    fn rest(&self) -> f64 {
        (1.0 - self.materials.iter().map(|(_, p)| p).sum::<f64>()).max(0.0)
    }

    fn fits(&self, route: &Route) -> bool {
        route.on.is_empty()
            || route.on.iter().any(|word| {
                word == self.scene.target.site.word()
                    || self.scene.layers.iter().any(|l| {
                        l.layer.traits.iter().any(|t| t.word() == word) || l.layer.head.id == *word
                    })
            })
    }

    /// What a method does with an agent; `None` when the agent is unknown.
    pub(crate) fn wet(&self, method: &Method, agent: &Agent) -> Option<Seen> {
        let readings = self.by_agent.get(agent.head.id.as_str())?;
        let mut seen = Seen {
            unknown: self.rest(),
            ..Seen::default()
        };
        let tried = self
            .scene
            .target
            .tried
            .iter()
            .find(|(id, _)| *id == agent.head.id);
        if let Some((_, response)) = tried {
            if serves(method, *response) {
                seen.add(1.0, response.word(), fullness_by(method, *response));
            }
            seen.unknown = 0.0;
            seen.tried = true;
            seen.notes.push("seen on this object".to_owned());
            return Some(seen);
        }
        let by_route = self.routes(method, Some(agent), &mut seen);
        for reading in readings {
            if by_route[reading.material] {
                continue;
            }
            if reading.responses.is_empty() {
                seen.unknown += reading.share;
                if reading.computed {
                    seen.computed += reading.share;
                }
                continue;
            }
            let each = reading.share / reading.responses.len() as f64;
            for (response, fact) in &reading.responses {
                // Heat of the liquid melts whatever melts, by any method that brings it warm.
                if serves(method, *response) {
                    let trust = if reading.inferred { 0.8 } else { 1.0 };
                    seen.add(
                        each,
                        response.word(),
                        trust * fullness_by(method, *response),
                    );
                    seen.rests_on(&fact.basis, &fact.place);
                    if reading.share > 0.1 {
                        seen.note(fact.note.as_ref());
                    }
                }
            }
            seen.inferred |= reading.inferred && reading.share > 0.05;
        }
        Some(seen)
    }

    /// What a dry method does: what the trade's routes say, and for heat what melts.
    pub(crate) fn dry(&self, method: &Method) -> Seen {
        let mut seen = Seen {
            unknown: self.rest(),
            ..Seen::default()
        };
        let by_route = self.routes(method, None, &mut seen);
        let heats = method
            .classes
            .iter()
            .any(|c| matches!(c, Class::Heat60 | Class::Heat100));
        for (k, (material, p)) in self.materials.iter().enumerate() {
            if by_route[k] {
                continue;
            }
            if heats {
                match melting(material) {
                    Some((celsius, fact)) => {
                        let bearable = if method.classes.contains(&Class::Heat100) {
                            120.0
                        } else {
                            80.0
                        };
                        if celsius <= bearable {
                            seen.add(*p, Response::Melts.word(), fullness(Response::Melts));
                            seen.rests_on(&fact.basis, &fact.place);
                        }
                    }
                    None => seen.unknown += p,
                }
            } else {
                seen.unknown += p;
            }
        }
        seen
    }

    /// Counts the trade's routes that name this method and agent; says which candidates they cover.
    fn routes(&self, method: &Method, agent: Option<&Agent>, seen: &mut Seen) -> Vec<bool> {
        let mut covered = vec![false; self.materials.len()];
        for (k, (material, p)) in self.materials.iter().enumerate() {
            let mut best: Option<&Route> = None;
            let mut fails: Option<&Route> = None;
            for route in material.removal.iter().filter(|r| self.fits(r)) {
                let agent_fits = match (&route.agent, agent) {
                    (Some(own), Some(agent)) => *own == agent.head.id,
                    (None, None) => true,
                    // A route that names only a method speaks for whatever the method brings, but
                    // an agent is not proposed on the strength of it.
                    (None, Some(_)) => route.order == Order::Fails,
                    (Some(_), None) => false,
                };
                let method_fits = match &route.method {
                    Some(own) => *own == method.head.id,
                    None => agent.is_some(),
                };
                if !agent_fits || !method_fits {
                    continue;
                }
                // A failure that names a method outranks one that names only an agent.
                if route.order == Order::Fails {
                    fails = fails.or(Some(route));
                } else if best.is_none_or(|b| {
                    (b.order, b.method.is_none()) > (route.order, route.method.is_none())
                }) {
                    best = Some(route);
                }
            }
            if let Some(route) = fails
                && best.is_none_or(|b| b.method.is_none() && route.method.is_some())
            {
                seen.fails += p;
                seen.rests_on(&route.basis, &route.place);
                seen.note(route.note.as_ref());
                covered[k] = true;
                continue;
            }
            if let Some(route) = best {
                let effect = route.effect.unwrap_or(Effect::Softens);
                let useful = method.responses.is_empty()
                    || route.method.is_some()
                    || effect_serves(method, effect);
                if !useful {
                    continue;
                }
                seen.add(*p, effect.word(), effect_fullness(effect));
                let sure = if route.method.is_some() { 1.0 } else { 0.7 };
                seen.route += p * sure * route_value(route.order);
                if route.order == Order::Last {
                    seen.last += p * sure;
                }
                seen.rests_on(&route.basis, &route.place);
                if *p > 0.1 {
                    seen.note(route.note.as_ref());
                }
                covered[k] = true;
            }
        }
        covered
    }
}

/// Whether a liquid, or a mixture by its parts, lies well inside the sphere of the fresh resin.
fn inside(polymer: &Facts, agent: &Agent, corpus: &Corpus) -> bool {
    let hansen = |facts: &Facts| {
        facts.get("hansen").iter().find_map(|f| match f.value {
            Value::Hansen(h) => Some(h),
            _ => None,
        })
    };
    let liquid = hansen(&agent.head.facts).or_else(|| {
        let parts: Option<Vec<_>> = agent
            .parts
            .iter()
            .map(|(id, volume)| Some((hansen(&corpus.agent(id)?.head.facts)?, *volume)))
            .collect();
        chem::blend(&parts?)
    });
    match (hansen(polymer), liquid) {
        (Some(polymer), Some(liquid)) => chem::red(polymer, liquid).is_some_and(|r| r < chem::GOOD),
        _ => false,
    }
}

/// Whether a response is what a method wants of its liquid. A method that names none is made for
/// particular materials (dry alcohol fed into a glue joint): only the trade's routes propose it.
fn serves(method: &Method, response: Response) -> bool {
    fullness(response) > 0.0 && method.responses.contains(&response)
}

fn effect_serves(method: &Method, effect: Effect) -> bool {
    let like = match effect {
        Effect::Dissolves => Response::Dissolves,
        Effect::PartlyDissolves => Response::PartlyDissolves,
        Effect::Melts => Response::Melts,
        Effect::Digests => Response::Attacked,
        Effect::Swells | Effect::Softens | Effect::Loosens | Effect::Crumbles => Response::Swells,
    };
    method.responses.contains(&like)
}

/// What a material answers to an agent at an age: its own record, else that of the liquid that may
/// stand in for it, else the strongest of a mixture's parts.
fn respond<'a>(
    material: &'a Material,
    age: Age,
    agent: &Agent,
    corpus: &Corpus,
) -> (Vec<Said<'a>>, bool) {
    let own = |id: &str| -> Vec<Said<'a>> { material.readings(age, id) };
    let found = own(&agent.head.id);
    if !found.is_empty() {
        return (found, false);
    }
    if let Some(like) = &agent.like {
        let found = own(like);
        if !found.is_empty() {
            return (found, true);
        }
    }
    let mut best: Vec<Said<'a>> = Vec::new();
    let mut known = 0;
    for (id, _) in &agent.parts {
        let mut part = own(id);
        if part.is_empty()
            && let Some(like) = corpus.agent(id).and_then(|a| a.like.as_deref())
        {
            part = own(like);
        }
        if part.is_empty() {
            continue;
        }
        known += 1;
        let grade = |list: &[Said<'_>]| list.iter().map(|(r, _)| r.grade()).max().unwrap_or(0);
        if best.is_empty() || grade(&part) > grade(&best) {
            best = part;
        }
    }
    // A mixture of which one part is unrecorded is not known by the other.
    if known == agent.parts.len() {
        (best, true)
    } else {
        (Vec::new(), true)
    }
}

/// Temperature at which a material softens enough to lift, Celsius, with the fact that says so.
fn melting(material: &Material) -> Option<(f64, &Fact)> {
    ["softens", "melts"].into_iter().find_map(|key| {
        material
            .head
            .facts
            .get(key)
            .iter()
            .find_map(|fact| match &fact.value {
                Value::Measure(quantity) => {
                    let bounds = quantity.base(crate::units::Reading::Point)?;
                    let low = bounds.low - 273.15;
                    low.is_finite().then_some((low, fact))
                }
                _ => None,
            })
    })
}
