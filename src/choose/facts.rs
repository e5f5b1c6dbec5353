//! What a record says, in numbers.

use super::Ask;
use crate::model::scene::SceneLayer;
use crate::model::{
    Age, Ageing, Custom, Fact, Facts, Group, Material, NewUse, Purpose, Response, Value,
};
use crate::units::Reading;

/// Whether the trade takes it for this.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// How often, or that it is refused.
    pub custom: Option<Custom>,
    /// The record that says so.
    pub said: Option<NewUse>,
}

/// Whether a word of a record speaks of a layer. A word that names a group means the group alone:
/// wood and leather both carry the trait `organic`, and neither is of the group.
fn meets(word: &str, layer: &SceneLayer) -> bool {
    if Group::parse(word).is_some() {
        return layer.layer.group == word;
    }
    layer.layer.head.id == word
        || layer.layer.traits.iter().any(|t| t.word() == word)
        || layer.conditions.iter().any(|c| c.word() == word)
}

/// Whether a material is taken for the purpose on these layers. What names the state of a layer, the layer
/// itself, its traits or its group, in this order, outranks what names nothing; a refusal outranks a use that
/// is no more particular.
pub(super) fn taken(material: &Material, ask: &Ask) -> Taken {
    taken_as(material, ask.purpose, &ask.targets())
}

pub(super) fn taken_as(material: &Material, purpose: Purpose, targets: &[&SceneLayer]) -> Taken {
    let particular = |it: &NewUse| -> Option<u8> {
        if !it.purposes.is_empty() && !it.purposes.contains(&purpose) {
            return None;
        }
        if it.on.is_empty() {
            return Some(0);
        }
        targets
            .iter()
            .flat_map(|layer| it.on.iter().map(move |word| (word, layer)))
            .filter(|(word, layer)| meets(word, layer))
            .map(|(word, layer)| match word {
                w if layer.conditions.iter().any(|c| c.word() == w) => 4,
                w if layer.layer.head.id == *w => 3,
                w if layer.layer.group != *w => 2,
                _ => 1,
            })
            .max()
    };
    let best = material
        .new
        .iter()
        .filter_map(|it| particular(it).map(|n| (n, it)))
        .max_by_key(|(n, it)| {
            let grade = match it.custom {
                Custom::Refused => 2,
                Custom::Usual => 1,
                Custom::Sometimes => 0,
            };
            (*n, grade)
        });
    Taken {
        custom: best.map(|(_, it)| it.custom),
        said: best.map(|(_, it)| it.clone()),
    }
}

/// A measure with the fact that states it, in base units: lowest, highest.
pub(super) fn measures<'f>(facts: &'f Facts, key: &str) -> Vec<(f64, f64, &'f Fact)> {
    facts
        .get(key)
        .iter()
        .filter_map(|fact| match &fact.value {
            Value::Measure(q) => {
                let b = q.base(Reading::Point)?;
                (b.low.is_finite() && b.high.is_finite()).then_some((b.low, b.high, fact))
            }
            _ => None,
        })
        .collect()
}

/// The widest span of a measure over its sources, with the first fact.
pub(super) fn span<'f>(facts: &'f Facts, key: &str) -> Option<(f64, f64, &'f Fact)> {
    let all = measures(facts, key);
    let first = all.first()?.2;
    let low = all.iter().map(|m| m.0).fold(f64::INFINITY, f64::min);
    let high = all.iter().map(|m| m.1).fold(f64::NEG_INFINITY, f64::max);
    Some((low, high, first))
}

/// Strength in MPa: lowest and highest on record.
pub(super) fn strength(facts: &Facts) -> Option<(f64, f64, &Fact)> {
    span(facts, "strength").map(|(low, high, fact)| (low / 1e6, high / 1e6, fact))
}

/// The glass transition, Celsius: nominal (the highest that a source gives) and lowest.
pub(super) fn transition(material: &Material) -> Transition<'_> {
    let facts = &material.head.facts;
    let kelvin = 273.15;
    // What melts without a glass transition softens where the record says.
    for key in ["tg", "softens", "melts"] {
        if let Some((low, high, _)) = span(facts, key) {
            // The fact that states the nominal value is the one to cite.
            let fact = measures(facts, key)
                .into_iter()
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .map(|m| m.2);
            if let Some(fact) = fact {
                let nominal = if key == "tg" { high } else { low };
                return Transition::At(nominal - kelvin, low - kelvin, fact);
            }
        }
    }
    match facts.get("tg").iter().chain(facts.get("softens")).next() {
        Some(fact) if matches!(fact.value, Value::NotApplicable(_)) => Transition::None(fact),
        _ => Transition::Unrecorded,
    }
}

pub(super) enum Transition<'m> {
    /// Nominal and lowest, Celsius.
    At(f64, f64, &'m Fact),
    /// The record says that there is none.
    None(&'m Fact),
    Unrecorded,
}

/// The fact that records a way of ageing.
pub(super) fn ages(material: &Material, how: Ageing) -> Option<&Fact> {
    material
        .head
        .facts
        .get("ageing")
        .iter()
        .find(|f| f.words().iter().any(|w| w == how.word()))
}

/// How it sets: the words of the record.
pub(super) fn sets(material: &Material) -> Vec<&str> {
    material.head.facts.words("sets")
}

/// Whether any liquid on record takes it into solution when aged, at least in part.
pub(super) fn dissolves(material: &Material) -> bool {
    let keys = material.aged.keys().chain(material.always.keys());
    keys.flat_map(|key| material.readings(Age::Aged, key))
        .any(|(r, _)| matches!(r, Response::Dissolves | Response::PartlyDissolves))
}
