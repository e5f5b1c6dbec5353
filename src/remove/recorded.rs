//! What the records say that a liquid, warmth or a tool does to a material.

use super::effect::{Said, effect_fullness, fullness};
use crate::chem;
use crate::model::{Age, Agent, Effect, Equipment, Fact, Facts, Material, Method, Response, Value};

/// What the record of one age makes of what a route promises: never more than the age is recorded
/// to answer. What a tool does, or warmth, stands outside the scale.
pub(super) fn capped(effect: Effect, recorded: &[(Response, &Fact)]) -> (&'static str, f64) {
    let promised = (effect.word(), effect_fullness(effect));
    let on_scale = matches!(
        effect,
        Effect::Dissolves | Effect::PartlyDissolves | Effect::Swells
    );
    let off = |r: &Response| matches!(r, Response::Attacked | Response::Melts);
    if !on_scale || recorded.iter().any(|(r, _)| off(r)) {
        return promised;
    }
    recorded
        .iter()
        .map(|(r, _)| (r.word(), fullness(*r)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        // Seen to do nothing, and yet a route: two readers differ, and the trial decides.
        .filter(|best| best.1 > 0.0 && best.1 < promised.1)
        .unwrap_or(promised)
}

/// Whether a liquid, or a mixture by its parts, lies well inside the sphere of the fresh resin.
pub(super) fn inside(polymer: &Facts, agent: &Agent, means: &Equipment) -> bool {
    let Some(polymer) = polymer.hansen() else {
        return false;
    };
    let of_parts = || {
        let parts: Option<Vec<_>> = agent
            .parts
            .iter()
            .map(|(id, volume)| Some((means.agent(id)?.hansen?, *volume)))
            .collect();
        chem::blend(&parts?)
    };
    let liquid = agent.hansen.or_else(of_parts);
    liquid.is_some_and(|liquid| chem::red(polymer, liquid).is_some_and(|r| r < chem::GOOD))
}

/// Whether a response is what a method wants of its liquid. A method that names none is made for
/// particular materials (dry alcohol fed into a glue joint): only the trade's routes propose it.
pub(super) fn serves(method: &Method, response: Response) -> bool {
    fullness(response) > 0.0 && method.responses.contains(&response)
}

pub(super) fn effect_serves(method: &Method, effect: Effect) -> bool {
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
pub(super) fn respond<'a>(
    material: &'a Material,
    age: Age,
    agent: &Agent,
    means: &Equipment,
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
            && let Some(like) = means.agent(id).and_then(|a| a.like.as_deref())
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

/// Methods that pare: an edge of steel, and one of wood or bone.
const PARING: [&str; 2] = ["scalpel", "wood-tool"];

/// Grade from which a hand tool is a blade, and not a stick of wood or bone.
const BLADE: u8 = 6;

/// What a hand tool does to a mass, by how hard it is on record: what crumbles, or takes the mark of
/// the nail, is pared with anything; what is brittle chips under a blade (common practice). Of what
/// is tough or rubbery nothing is said: it tears.
pub(super) fn pared<'m>(
    method: &Method,
    material: &'m Material,
) -> Option<(&'static str, f64, &'m Fact)> {
    if !PARING.contains(&method.head.id.as_str()) {
        return None;
    }
    [&material.aged, &material.always]
        .into_iter()
        .flat_map(|facts| facts.get("hardness"))
        .find_map(|fact| {
            let is = |word: &str| fact.words().iter().any(|w| w == word);
            if is("tough") || is("rubbery") || is("sticky") {
                None
            } else if is("crumbly") {
                Some((
                    Effect::Crumbles.word(),
                    effect_fullness(Effect::Crumbles),
                    fact,
                ))
            } else if is("nail dents") || (is("brittle") && method.mildness >= BLADE) {
                Some(("pares off", PARED, fact))
            } else {
                None
            }
        })
}

/// How fully a blade takes what is soft or brittle. Judgment: most of it, and slowly.
const PARED: f64 = 0.5;

/// What dry warmth makes of a material.
pub(super) enum Warmed<'m> {
    /// What it does, how fully, and the fact that says so.
    Acts(&'static str, f64, &'m Fact),
    /// It is recorded to need more warmth than the method may bring.
    Stays,
    /// Nothing is recorded.
    Unrecorded,
}

/// How fully warmth takes up what only softens: a tool must lift it while it is warm. Judgment: less
/// than what runs, and less than what swells, for it sets again within seconds.
const SOFTENED: f64 = 0.5;

/// What a method that brings dry warmth does, up to a temperature that may be borne, Celsius. What is
/// wholly molten by then runs, and tissue takes it up; a resin that is only soft is lifted by a tool,
/// and blotting takes nothing of it (common practice).
pub(super) fn warmed<'m>(method: &Method, material: &'m Material, bearable: f64) -> Warmed<'m> {
    let melts = celsius(material, "melts");
    let softens = celsius(material, "softens");
    if let Some((_, high, fact)) = melts
        && high <= bearable
    {
        return Warmed::Acts(Response::Melts.word(), effect_fullness(Effect::Melts), fact);
    }
    match softens.or(melts) {
        // A method with a carrier blots: it wants what runs.
        Some(_) if method.carrier.is_some() => Warmed::Stays,
        Some((low, _, fact)) if low <= bearable => {
            Warmed::Acts(Effect::Softens.word(), SOFTENED, fact)
        }
        Some(_) => Warmed::Stays,
        None => Warmed::Unrecorded,
    }
}

/// First range of temperature on record under a key, Celsius, with the fact that states it.
fn celsius<'m>(material: &'m Material, key: &str) -> Option<(f64, f64, &'m Fact)> {
    material.head.facts.get(key).iter().find_map(|fact| {
        let Value::Measure(quantity) = &fact.value else {
            return None;
        };
        let bounds = quantity.base(crate::units::Reading::Point)?;
        let (low, high) = (bounds.low - 273.15, bounds.high - 273.15);
        (low.is_finite() && high.is_finite()).then_some((low, high, fact))
    })
}
