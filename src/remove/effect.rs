//! What a step would do to the unknown, over the whole posterior.

use std::collections::BTreeMap;

use super::recorded::{Warmed, capped, effect_serves, inside, pared, respond, serves, warmed};
use super::site::is_thick;
use crate::gate::{Exposure, exposure_by};
use crate::model::scene::{Scene, SceneLayer, Target, age_weight};
use crate::model::{
    Age, Agent, Basis, Class, Effect, Equipment, Fact, Material, Method, Order, Place, Response,
    Role, Route, Site, Trait,
};

/// What a step is expected to do. What it rests on is the records' own: of thousands of steps a few are
/// shown.
#[derive(Clone, Debug, Default)]
pub(crate) struct Seen<'a> {
    /// Share of the posterior on which it acts, weighted by how fully.
    pub(crate) covers: f64,
    /// The same for each candidate, in their order.
    pub(crate) each: Vec<f64>,
    /// Share of which nothing is recorded.
    pub(crate) unknown: f64,
    /// What it does where it acts, by share: response word.
    pub(crate) does: Vec<(&'static str, f64)>,
    /// Bases met.
    pub(crate) bases: Vec<&'a Basis>,
    /// Where the facts stand.
    pub(crate) places: Vec<&'a Place>,
    /// Remarks of the records.
    pub(crate) notes: Vec<&'a str>,
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
    /// Whether two results on this object contradict one another, so that neither decides.
    pub(crate) disputed: bool,
    /// Share for which a route is recorded of which only the fresh film has a record.
    pub(crate) young: f64,
    /// Share of which nothing is recorded, but which the sphere of the fresh resin holds: a hint
    /// for a crumb, never ground for a step.
    pub(crate) computed: f64,
}

impl<'a> Seen<'a> {
    /// Whether it acts on anything, or is recorded to fail.
    pub(crate) fn counts(&self) -> bool {
        self.covers >= 0.05 || self.fails > 0.0
    }

    /// What it mostly does, in one word.
    pub(crate) fn word(&self) -> &'static str {
        self.does
            .iter()
            .max_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(b.0)))
            .map_or("no effect", |(word, _)| *word)
    }

    fn add(&mut self, candidate: usize, share: f64, word: &'static str, fullness: f64) {
        self.covers += share * fullness;
        if let Some(each) = self.each.get_mut(candidate) {
            *each += share * fullness;
        }
        if share > 0.0 && fullness > 0.0 {
            match self.does.iter_mut().find(|(known, _)| *known == word) {
                Some((_, sum)) => *sum += share,
                None => self.does.push((word, share)),
            }
        }
    }

    fn note(&mut self, note: Option<&'a String>) {
        if let Some(note) = note
            && !self.notes.contains(&note.as_str())
            && self.notes.len() < 4
        {
            self.notes.push(note);
        }
    }

    fn rests_on(&mut self, basis: &'a Basis, place: &'a Place) {
        if !self.bases.contains(&basis) {
            self.bases.push(basis);
        }
        if !self.places.contains(&place) {
            self.places.push(place);
        }
    }
}

/// How fully a response takes a material off by a method, 0-1. Judgment: what only swells wants a
/// tool, and a method that brings its own tool makes more of it.
fn fullness_by(method: &Method, response: Response, target: &Target) -> f64 {
    match response {
        Response::Swells if method.classes.contains(&Class::HandTool) => 0.75,
        // A mass that liquid softens and does not dissolve is taken by the tool that comes with it;
        // a film that hardly swells is not, however thick: there the tool meets what lies beneath.
        Response::SwellsSlightly if target.site == Site::Film => 0.0,
        Response::SwellsSlightly if method.classes.contains(&Class::HandTool) => 0.45,
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
pub(super) const fn fullness(response: Response) -> f64 {
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

pub(super) const fn effect_fullness(effect: Effect) -> f64 {
    match effect {
        Effect::Dissolves => 1.0,
        Effect::Melts | Effect::Digests => 0.8,
        Effect::PartlyDissolves => 0.75,
        Effect::Swells | Effect::Softens | Effect::Loosens => 0.7,
        Effect::Crumbles => 0.6,
    }
}

/// To what gypsum may be warmed, Celsius: what melts or softens only above that is not taken off it by warmth.
/// The rule `warmth-on-gypsum` says the same to the hand.
const GYPSUM_BEARS: f64 = 45.0;

/// Probability from which what a candidate's record keeps to other layers is told.
const PROBABLE: f64 = 0.05;
/// By what a liquid is brought of which a route says no more.
pub(super) const SWAB: &str = "swab";

/// Fullness from which a response that was seen counts as having worked.
const WORKED: f64 = 0.5;

/// What a route is worth beside what the grid says: the trade tries it first, second, last.
const fn route_value(order: Order) -> f64 {
    match order {
        Order::First => 0.40,
        Order::Second => 0.25,
        Order::Last => 0.08,
        Order::Fails => 0.0,
    }
}

/// Whether a route of the trade holds for this place and these layers.
fn fits(route: &Route, scene: &Scene) -> bool {
    route.on.is_empty()
        || route.on.iter().any(|word| {
            word == scene.target.site.word()
                || scene.layers.iter().any(|l| {
                    l.layer.traits.iter().any(|t| t.word() == word) || l.layer.head.id == *word
                })
        })
}

/// Whether everything that a method meets is of what a route is kept to: warmth, vapour and a bath meet what
/// lies under a film as well.
fn is_within(route: &Route, method: &Method, scene: &Scene) -> bool {
    route.only.is_empty() || beyond(route, method, scene).next().is_none()
}

/// What a method meets that is not of what a route is kept to.
fn beyond<'s>(
    route: &'s Route,
    method: &Method,
    scene: &'s Scene,
) -> impl Iterator<Item = &'s SceneLayer> {
    let met = scene.layers.iter().zip(exposure_by(method, scene));
    let met = met.filter(|(_, how)| *how == Exposure::Exposed);
    met.map(|(layer, _)| layer).filter(|layer| {
        let is = |word: &String| {
            layer.layer.group == *word
                || layer.layer.head.id == *word
                || layer.layer.traits.iter().any(|t| t.word() == word)
        };
        !route.only.iter().any(is)
    })
}

/// A way of the trade that is kept to other layers than some of these.
pub(super) struct Kept<'a> {
    pub(super) material: &'a Material,
    pub(super) route: &'a Route,
    /// By what it is brought; none where the route names only a liquid.
    pub(super) method: Option<&'a Method>,
    pub(super) agent: Option<&'a Agent>,
    /// The layers that it is not for.
    pub(super) layers: Vec<&'a SceneLayer>,
}

/// Effects of every liquid and method on the candidates.
pub(crate) struct Effects<'a> {
    materials: &'a [(Material, f64)],
    scene: &'a Scene,
    by_agent: BTreeMap<&'a str, Vec<Reading<'a>>>,
    /// Routes of each candidate that hold for this place and these layers.
    routes: Vec<Vec<&'a Route>>,
}

/// Candidates of which routes of the trade speak, a bit each.
#[derive(Clone, Copy, Default)]
struct Covered(u32);

impl Covered {
    fn add(&mut self, candidate: usize) {
        self.0 |= 1 << candidate;
    }

    fn has(self, candidate: usize) -> bool {
        self.0 >> candidate & 1 == 1
    }
}

/// One response on record, and the fact that says so.
pub(super) type Said<'a> = (Response, &'a Fact);

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
        means: &'a Equipment,
    ) -> Self {
        let mut by_agent = BTreeMap::new();
        for agent in &means.agents {
            let mut readings = Vec::new();
            for (k, (material, p)) in materials.iter().enumerate() {
                for age in Age::BOTH {
                    let share = p * age_weight(age, scene.target.aged);
                    let (responses, inferred) = respond(material, age, agent, means);
                    // A sphere is of the fresh resin: of an aged film it says nothing.
                    let computed = age == Age::Fresh
                        && responses.is_empty()
                        && inside(&material.head.facts, agent, means);
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
        let routes = materials
            .iter()
            .map(|(m, _)| m.removal.iter().filter(|r| fits(r, scene)).collect())
            .collect();
        Self {
            materials,
            scene,
            by_agent,
            routes,
        }
    }

    /// Whether a candidate's record keeps an agent, or a dry method, to other layers than these, and no route of
    /// it holds here; or warmth would have to be more than a layer bears.
    fn is_beyond(&self, candidate: usize, method: &Method, agent: Option<&Agent>) -> bool {
        let brings_warmth = agent.is_none() && method.classes.contains(&Class::Heat60);
        if brings_warmth && self.scene.layers.iter().any(|l| l.has(Trait::Gypsum)) {
            let (material, _) = &self.materials[candidate];
            if matches!(warmed(method, material, GYPSUM_BEARS), Warmed::Stays) {
                return true;
            }
        }
        let is_of = |route: &&&Route| match agent {
            Some(agent) => route.agent.as_ref() == Some(&agent.head.id),
            None => route.agent.is_none() && route.method.as_ref() == Some(&method.head.id),
        };
        let mut own = self.routes[candidate].iter().filter(is_of).peekable();
        own.peek().is_some() && !own.any(|route| is_within(route, method, self.scene))
    }

    /// Ways that the records of the probable candidates know, and keep to other layers than some of these.
    pub(super) fn kept(&self, means: &'a Equipment) -> Vec<Kept<'a>> {
        let probable = self.materials.iter().zip(&self.routes);
        let probable = probable.filter(|((_, p), _)| *p >= PROBABLE);
        let ways = probable
            .flat_map(|((material, _), routes)| routes.iter().map(move |route| (material, *route)));
        ways.filter(|(_, route)| route.order != Order::Fails && !route.only.is_empty())
            .filter_map(|(material, route)| {
                let method = match &route.method {
                    Some(id) => Some(means.method(id)?),
                    None => None,
                };
                let agent = match &route.agent {
                    Some(id) => Some(means.agent(id)?),
                    None => None,
                };
                let layers = beyond(route, method.or_else(|| means.method(SWAB))?, self.scene);
                let layers: Vec<&SceneLayer> = layers.collect();
                (!layers.is_empty()).then_some(Kept {
                    material,
                    route,
                    method: method.map(|it| &**it),
                    agent: agent.map(|it| &**it),
                    layers,
                })
            })
            .collect()
    }

    /// Probability that is not on any candidate planned for.
    fn rest(&self) -> f64 {
        (1.0 - self.materials.iter().map(|(_, p)| p).sum::<f64>()).max(0.0)
    }

    fn nothing_seen(&self) -> Seen<'a> {
        Seen {
            unknown: self.rest(),
            each: vec![0.0; self.materials.len()],
            ..Seen::default()
        }
    }

    /// What a method does with an agent; `None` when the agent is unknown.
    pub(crate) fn wet(&self, method: &Method, agent: &Agent) -> Option<Seen<'a>> {
        let readings = self.by_agent.get(agent.head.id.as_str())?;
        let mut seen = self.nothing_seen();
        let target = &self.scene.target;
        let mut tried = target
            .tried
            .iter()
            .filter(|trial| trial.agent == agent.head.id)
            .map(|trial| trial.response);
        let first = tried.next();
        seen.disputed = tried.any(|other| Some(other) != first);
        if let Some(response) = first.filter(|_| !seen.disputed) {
            if serves(method, response) {
                // What was seen here to do little does little, whatever tool comes after it.
                let full = match response {
                    Response::SwellsSlightly => fullness(response),
                    _ => fullness_by(method, response, target),
                };
                for (k, (_, p)) in self.materials.iter().enumerate() {
                    seen.add(k, *p, response.word(), full);
                }
                seen.covers = full;
                // What was seen to work here stands where the trade's first choice would.
                if fullness(response) >= WORKED {
                    seen.route = full * route_value(Order::First);
                }
            }
            seen.unknown = 0.0;
            seen.tried = true;
            seen.notes.push("seen on this object");
            return Some(seen);
        }
        let by_route = self.routes(method, Some(agent), &mut seen);
        for reading in readings {
            if by_route.has(reading.material) {
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
                        reading.material,
                        each,
                        response.word(),
                        trust * fullness_by(method, *response, &self.scene.target),
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
    pub(crate) fn dry(&self, method: &Method) -> Seen<'a> {
        let mut seen = self.nothing_seen();
        let by_route = self.routes(method, None, &mut seen);
        // A method that names no response is made for particular materials: only routes propose it.
        let heats = !method.responses.is_empty()
            && method
                .classes
                .iter()
                .any(|c| matches!(c, Class::Heat60 | Class::Heat100));
        // Of a thin film that is only soft no tool lifts anything: it smears, and the tool meets what
        // lies beneath. Where the trade warms one all the same, a route says so.
        // A fill is no film, though it meets the surface.
        let thin = self.scene.target.site == Site::Film && !is_thick(&self.scene.target);
        let is_mass = |m: &Material| m.roles.contains(&Role::Fill);
        for (k, (material, p)) in self.materials.iter().enumerate() {
            if by_route.has(k) {
                continue;
            }
            if heats {
                let bearable = if method.classes.contains(&Class::Heat100) {
                    120.0
                } else {
                    80.0
                };
                match warmed(method, material, bearable) {
                    Warmed::Acts(word, _, _)
                        if thin && !is_mass(material) && word == Effect::Softens.word() => {}
                    Warmed::Acts(word, fullness, fact) => {
                        seen.add(k, *p, word, fullness);
                        seen.rests_on(&fact.basis, &fact.place);
                    }
                    Warmed::Stays => {}
                    Warmed::Unrecorded => seen.unknown += p,
                }
            } else {
                match pared(method, material) {
                    Some((word, fullness, fact)) => {
                        seen.add(k, *p, word, fullness);
                        seen.rests_on(&fact.basis, &fact.place);
                    }
                    None => seen.unknown += p,
                }
            }
        }
        seen
    }

    /// Counts a route age by age: the trade's routes have none of their own.
    fn by_age(&self, candidate: usize, effect: Effect, agent: Option<&Agent>, seen: &mut Seen<'a>) {
        let (material, p) = &self.materials[candidate];
        for age in Age::BOTH {
            let share = p * age_weight(age, self.scene.target.aged);
            let recorded =
                agent.map_or_else(Vec::new, |agent| material.readings(age, &agent.head.id));
            let (word, fullness) = capped(effect, &recorded);
            seen.add(candidate, share, word, fullness);
            if let Some(agent) = agent
                && age == Age::Aged
                && recorded.is_empty()
                && !material.readings(Age::Fresh, &agent.head.id).is_empty()
            {
                seen.young += share;
            }
        }
    }

    /// Liquids that are recorded to do nothing to as much as `share` of all that it may be: the
    /// agent, with the bases. What only its parts or a like liquid say does not count.
    pub(crate) fn idle(&self, share: f64) -> Vec<(&'a str, Vec<Basis>)> {
        self.by_agent
            .iter()
            .filter_map(|(id, readings)| {
                let mut out = Vec::new();
                let mut covered = 0.0;
                for reading in readings {
                    let nothing = !reading.responses.is_empty()
                        && !reading.inferred
                        && reading.responses.iter().all(|(r, _)| fullness(*r) <= 0.0);
                    if nothing {
                        covered += reading.share;
                        for (_, fact) in &reading.responses {
                            if !out.contains(&fact.basis) {
                                out.push(fact.basis.clone());
                            }
                        }
                    }
                }
                let tried = self
                    .scene
                    .target
                    .tried
                    .iter()
                    .any(|trial| trial.agent == *id);
                (covered >= share && !tried).then_some((*id, out))
            })
            .collect()
    }

    /// Counts the trade's routes that name this method and agent; says which candidates they cover.
    fn routes(&self, method: &Method, agent: Option<&Agent>, seen: &mut Seen<'a>) -> Covered {
        let mut covered = Covered::default();
        for (k, (_, p)) in self.materials.iter().enumerate() {
            if self.is_beyond(k, method, agent) {
                covered.add(k);
                continue;
            }
            let mut best: Option<&Route> = None;
            let mut fails: Option<&Route> = None;
            for &route in &self.routes[k] {
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
                if !agent_fits || !method_fits || !is_within(route, method, self.scene) {
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
                covered.add(k);
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
                self.by_age(k, effect, agent, seen);
                let sure = if route.method.is_some() { 1.0 } else { 0.7 };
                seen.route += p * sure * route_value(route.order);
                if route.order == Order::Last {
                    seen.last += p * sure;
                }
                seen.rests_on(&route.basis, &route.place);
                if *p > 0.1 {
                    seen.note(route.note.as_ref());
                }
                covered.add(k);
            }
        }
        covered
    }
}
