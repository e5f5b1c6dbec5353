//! Limits of exposure: the lowest on file for each time, with whose it is and of what year.

use super::facts::Ledger;
use crate::answer::LimitSeen;
use crate::chem::vapour::ppm;
use crate::model::{Agent, Fact, Library, Value};
use crate::units::{Dimension, Reading, Tag};

/// Words that mark a limit as one of droplets or grains: it has no parts per million.
const NOT_VAPOUR: [&str; 4] = ["mist", "aerosol", "dust", "respirable"];

/// The lowest limit on file for an averaging time, and remarks on limits that say nothing of vapour.
pub(super) fn lowest(
    library: &dyn Library,
    agent: &Agent,
    averaging: &str,
    molar_mass: Option<f64>,
    ledger: &mut Ledger,
    notes: &mut Vec<String>,
) -> Option<LimitSeen> {
    let mut best: Option<(LimitSeen, &Fact)> = None;
    for fact in agent.head.facts.get("limit") {
        if fact.averaging.as_deref() != Some(averaging) {
            continue;
        }
        let Value::Measure(it) = &fact.value else {
            continue;
        };
        let note = fact.note.clone().unwrap_or_default();
        let lower = note.to_lowercase();
        if NOT_VAPOUR.iter().any(|w| lower.contains(w)) {
            let remark = format!(
                "{} {} ({}) is a limit for mist or dust, not for vapour: not turned into ppm",
                agent.head.names.name, it.literal, averaging
            );
            if !notes.contains(&remark) {
                notes.push(remark);
            }
            continue;
        }
        let dimension = it.unit.dimension();
        let Some(bounds) = it.base(Reading::Point) else {
            continue;
        };
        let value = if dimension == Dimension::tagged(Tag::PerMillion) {
            Some(bounds.low)
        } else if dimension == Dimension::DENSITY {
            // The base is kg/m³.
            molar_mass.map(|m| ppm(bounds.low * 1e6, m))
        } else {
            None
        };
        let Some(value) = value.filter(|v| *v > 0.0) else {
            continue;
        };
        if best.as_ref().is_none_or(|(b, _)| value < b.ppm) {
            best = Some((seen(library, fact, value, it.literal.clone(), note), fact));
        }
    }
    let (limit, fact) = best?;
    ledger.keep(&agent.head, &format!("limit ({averaging})"), fact);
    Some(limit)
}

fn seen(library: &dyn Library, fact: &Fact, ppm: f64, literal: String, note: String) -> LimitSeen {
    let source = fact.basis.source();
    let year = source
        .and_then(|key| library.source(key))
        .and_then(|s| year_in(&s.date))
        .or_else(|| year_in(&note));
    LimitSeen {
        ppm,
        literal,
        region: fact
            .region
            .clone()
            .unwrap_or_else(|| "place not on file".to_owned()),
        source_year: year,
        note,
        basis: fact.basis.word().to_owned(),
        sources: source.map(str::to_owned).into_iter().collect(),
    }
}

/// The first year from 1900 to 2099 in a text.
fn year_in(text: &str) -> Option<String> {
    let digits: Vec<&str> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter(|w| w.len() == 4 && (w.starts_with("19") || w.starts_with("20")))
        .collect();
    digits.first().map(|w| (*w).to_owned())
}
