//! The score of a choice: marks from 0 to 1, each with its weight, reason and source.

use super::apply::Applied;
use super::rules::shown;
use super::{Ask, Shelf, Taken, USUAL_WARMEST, facts, forecast, light, load};
use crate::answer::{Mark, Outlook, Reversal, UNRECORDED};
use crate::model::{Ageing, Agent, Criterion, Custom, Fact, Hazard, Material, Purpose, Value};
use crate::units::Reading;

/// Weights where the user gives none. Judgment: what can be taken back outweighs all else; what the
/// trade takes comes next, for it holds what no record does.
#[must_use]
pub fn default_weights() -> Vec<(Criterion, f64)> {
    Criterion::ALL
        .into_iter()
        .map(|c| {
            let weight = match c {
                Criterion::Reversibility => 30.0,
                Criterion::Use => 20.0,
                Criterion::Ageing => 14.0,
                Criterion::Strength => 10.0,
                Criterion::Warmth | Criterion::Index => 7.0,
                Criterion::Shrinkage | Criterion::Health => 5.0,
                Criterion::WorkingTime => 2.0,
            };
            (c, weight)
        })
        .collect()
}

/// Weights with what the user ranks by: the first named counts four times, the rest of the named
/// twice; all are then brought to 100.
#[must_use]
pub fn weighted(rank: &[Criterion]) -> Vec<(Criterion, f64)> {
    let mut out = default_weights();
    for (criterion, weight) in &mut out {
        match rank.iter().position(|r| r == criterion) {
            Some(0) => *weight *= 4.0,
            Some(_) => *weight *= 2.0,
            None => {}
        }
    }
    let sum: f64 = out.iter().map(|(_, w)| w).sum();
    for (_, weight) in &mut out {
        *weight *= 100.0 / sum;
    }
    out
}

/// The weighted sum of marks, 0-100; what does not apply is left out of it.
pub(super) fn total(marks: &[Mark]) -> f64 {
    let weight: f64 = marks.iter().map(|m| m.weight).sum();
    let sum: f64 = marks
        .iter()
        .map(|m| m.weight * m.value.unwrap_or(UNRECORDED))
        .sum();
    if weight > 0.0 {
        100.0 * sum / weight
    } else {
        0.0
    }
}

struct Given {
    value: Option<f64>,
    says: String,
    basis: String,
    sources: Vec<String>,
    place: Option<crate::model::Place>,
}

fn unrecorded(what: &str) -> Given {
    Given {
        value: None,
        says: format!("{what}: not recorded"),
        basis: String::new(),
        sources: Vec::new(),
        place: None,
    }
}

fn by(value: f64, says: String, fact: &Fact) -> Given {
    Given {
        value: Some(value.clamp(0.0, 1.0)),
        says,
        basis: fact.basis.word().to_owned(),
        sources: fact.basis.sources(),
        place: Some(fact.place.clone()),
    }
}

fn practice(value: f64, says: String) -> Given {
    Given {
        value: Some(value.clamp(0.0, 1.0)),
        says,
        basis: "practice".to_owned(),
        sources: Vec::new(),
        place: None,
    }
}

/// The marks of a material.
pub(super) fn marks(
    shelf: &Shelf,
    ask: &Ask,
    material: &Material,
    taken: &Taken,
    applied: &Applied,
    outlook: &[Outlook],
    weights: &[(Criterion, f64)],
) -> Vec<Mark> {
    weights
        .iter()
        .filter_map(|(criterion, weight)| {
            let given = match criterion {
                Criterion::Reversibility => Some(reversibility(ask, outlook)),
                Criterion::Use => Some(custom(taken, ask)),
                Criterion::Ageing => Some(ageing(material, ask.now)),
                Criterion::Strength => strength(ask, material),
                Criterion::Warmth => warmth(ask, material),
                Criterion::Index => index(ask, material),
                Criterion::Shrinkage => shrinkage(ask, material),
                Criterion::Health => Some(health(shelf, material, applied)),
                Criterion::WorkingTime => working_time(ask, material),
            }?;
            Some(Mark {
                criterion: *criterion,
                value: given.value,
                weight: *weight,
                says: given.says,
                basis: given.basis,
                sources: given.sources,
                place: given.place,
            })
        })
        .collect()
}

const fn worth(verdict: Reversal) -> f64 {
    match verdict {
        Reversal::Reversible => 1.0,
        Reversal::WithCare => 0.75,
        Reversal::PartlyExtractable => 0.6,
        Reversal::OnlyMechanically => 0.25,
        Reversal::Unknown => 0.2,
        Reversal::Not => 0.0,
    }
}

fn reversibility(ask: &Ask, outlook: &[Outlook]) -> Given {
    let years = forecast::judged_by(ask);
    let then = forecast::at(outlook, years);
    let now = forecast::at(outlook, 0.0);
    let used = outlook.iter().find(|o| f64::from(o.years) >= years.round());
    Given {
        value: Some(0.3 * worth(now) + 0.7 * worth(then)),
        says: format!(
            "now: {}; after {years:.0} years: {}",
            now.word(),
            then.word()
        ),
        basis: used.map_or(String::new(), |o| o.basis.clone()),
        sources: used.map_or(Vec::new(), |o| o.sources.clone()),
        place: None,
    }
}

fn custom(taken: &Taken, ask: &Ask) -> Given {
    let value = match taken.custom {
        Some(Custom::Usual) => 1.0,
        Some(Custom::Sometimes) => 0.5,
        _ => 0.0,
    };
    let Some(said) = &taken.said else {
        return unrecorded("use for this today");
    };
    let what = format!(
        "{} taken as {} today",
        if said.custom == Custom::Usual {
            "usually"
        } else {
            "sometimes"
        },
        ask.purpose.word()
    );
    Given {
        value: Some(value),
        says: said
            .why
            .as_ref()
            .map_or(what.clone(), |why| format!("{what}: {why}")),
        basis: said.basis.word().to_owned(),
        sources: said.basis.sources(),
        place: Some(said.place.clone()),
    }
}

/// Years in use after which a material without a photochemical class is known by its age.
const KNOWN_BY_AGE: f64 = 100.0;

/// The class where there is one; else what the record says in words, from a middling mark, or a better
/// one for what has been watched for a century.
fn ageing(material: &Material, now: i32) -> Given {
    let facts = &material.head.facts;
    let class = light::worst_class(material);
    let fact = facts.first("stability").or_else(|| facts.first("ageing"));
    let Some(fact) = fact else {
        return unrecorded("ageing");
    };
    let old = forecast::horizon(material, now) >= KNOWN_BY_AGE;
    let mut value = class.map_or(if old { 0.75 } else { 0.55 }, |class| match class {
        light::Class::T => 0.0,
        light::Class::C => 0.25,
        light::Class::B => 0.7,
        _ => 1.0,
    });
    let mut says = class.map_or_else(
        || "photochemical class not recorded".to_owned(),
        |class| format!("photochemical class {} ({})", class.word(), class.limits()),
    );
    for (how, loss) in [
        (Ageing::Yellows, 0.1),
        (Ageing::Darkens, 0.15),
        (Ageing::Embrittles, 0.1),
        (Ageing::EmitsAcid, 0.15),
        (Ageing::Crosslinks, 0.1),
        (Ageing::LosesSolubility, 0.1),
        (Ageing::Creeps, 0.1),
    ] {
        if facts::ages(material, how).is_some() {
            value -= loss;
            says.push_str(", ");
            says.push_str(how.word());
        }
    }
    if facts::ages(material, Ageing::StaysSoluble).is_some() {
        value += 0.1;
        says.push_str(", stays-soluble");
    }
    by(value, says, fact)
}

/// A join that is expected to give way at less than this share of what the body bears is weak for it. Judgment.
const WEAK: f64 = 0.5;

/// Against the load, where one was stated; then against the body: a join should give way before it.
fn strength(ask: &Ask, material: &Material) -> Option<Given> {
    if !matches!(ask.purpose, Purpose::ForAdhesive | Purpose::ForFill) {
        return None;
    }
    let Some((low, high, fact)) = facts::strength(&material.head.facts) else {
        return Some(unrecorded("strength"));
    };
    if let Some(stress) = ask.load.and_then(|l| l.stress_mpa) {
        let margin = low / (stress * load::wanted(material)).max(1e-9);
        return Some(by(
            (margin / 2.0).min(1.0),
            format!("carries {margin:.1} times what the load wants, safety in it"),
            fact,
        ));
    }
    let Some((body_low, body_high, called, _)) = load::body(ask) else {
        return Some(by(
            0.5,
            format!("{low:.1} to {high:.1} MPa; the strength of the body is not recorded"),
            fact,
        ));
    };
    // A join of two bodies wants strength; what lies under flakes, or fills a loss, does not.
    let joins = ask.purpose == Purpose::ForAdhesive && !ask.is_under_flakes();
    // Sources spread over a decade: their middle on a scale of ratios is what is to be expected.
    let typical = (low * high).sqrt() / body_low;
    let (value, how) = if joins && typical < WEAK {
        let how = if typical < 0.5 * WEAK {
            "weak for a join that carries, beside"
        } else {
            "gives way long before"
        };
        (0.2 + 0.8 * typical / WEAK, how)
    } else if high <= body_low {
        (1.0, "gives way before")
    } else if low < body_high {
        (0.8, "about as strong as")
    } else {
        (0.35, "stronger than")
    };
    Some(by(
        value,
        format!("{low:.1} to {high:.1} MPa: {how} {called} ({body_low:.1} to {body_high:.1} MPa)"),
        fact,
    ))
}

fn warmth(ask: &Ask, material: &Material) -> Option<Given> {
    if ask.purpose == Purpose::ForConsolidant {
        return None;
    }
    let day = ask.warmest.unwrap_or(USUAL_WARMEST);
    Some(match facts::transition(material) {
        facts::Transition::At(nominal, lowest, fact) => {
            let margin = nominal - day;
            let value = if margin >= 15.0 {
                1.0
            } else if margin >= 10.0 {
                0.85
            } else {
                0.4 + 0.04 * margin
            };
            let held = if nominal - lowest > 5.0 {
                format!("; as low as {lowest:.0} C while solvent is held or by another source")
            } else {
                String::new()
            };
            by(
                value,
                format!("softens at {nominal:.0} C, {margin:.0} K above a day of {day:.0} C{held}"),
                fact,
            )
        }
        facts::Transition::None(fact) => by(0.9, "does not soften dry".to_owned(), fact),
        facts::Transition::Unrecorded => unrecorded("glass transition"),
    })
}

/// Only where the join shows: a body whose refractive index is on record is one that is seen into.
fn index(ask: &Ask, material: &Material) -> Option<Given> {
    if !matches!(
        ask.purpose,
        Purpose::ForAdhesive | Purpose::ForFill | Purpose::ForConsolidant
    ) {
        return None;
    }
    let targets = ask.targets();
    let (low, high, called) = targets.iter().find_map(|l| {
        facts::span(&l.layer.head.facts, "refractive-index")
            .map(|(low, high, _)| (low, high, l.called.clone()))
    })?;
    let Some((a, b, fact)) = facts::span(&material.head.facts, "refractive-index") else {
        return Some(unrecorded("refractive index"));
    };
    let (own, body) = (f64::midpoint(a, b), f64::midpoint(low, high));
    let gap = (own - body).abs();
    let reflected = ((own - body) / (own + body)).powi(2);
    let value = if gap <= 0.01 {
        1.0
    } else if gap <= 0.03 {
        0.75
    } else if gap <= 0.06 {
        0.45
    } else {
        0.15
    };
    Some(by(
        value,
        format!(
            "index {own:.3} against {body:.3} of {called}: {:.4} % is thrown back at the join",
            100.0 * reflected
        ),
        fact,
    ))
}

fn shrinkage(ask: &Ask, material: &Material) -> Option<Given> {
    if ask.purpose != Purpose::ForFill {
        return None;
    }
    let Some((low, high, fact)) = facts::span(&material.head.facts, "shrinkage") else {
        return Some(unrecorded("shrinkage"));
    };
    let middle = f64::midpoint(low, high);
    Some(by(
        1.0 - middle / 8.0,
        format!("shrinks by {low:.1} to {high:.1} %"),
        fact,
    ))
}

/// What a liquid that is suspected of causing cancer or harming fertility costs beside its hazards.
const CMR: f64 = 0.3;

/// What a hazard takes from the mark for health. Judgment.
const fn loss(hazard: Hazard) -> f64 {
    match hazard {
        Hazard::Isocyanate | Hazard::Carcinogen | Hazard::Reprotoxic | Hazard::Toxic => 0.5,
        Hazard::Sensitiser | Hazard::Formaldehyde | Hazard::SkinUptake => 0.25,
        Hazard::Flammable | Hazard::Narcotic | Hazard::Aspiration | Hazard::Fume => 0.1,
        Hazard::Corrosive | Hazard::NerveDamage => 0.3,
        _ => 0.0,
    }
}

/// What a liquid takes from the mark for health.
pub(super) fn danger(agent: &Agent) -> f64 {
    let mut hazards = agent.hazards.clone();
    hazards.sort_unstable();
    hazards.dedup();
    let cmr = if agent.cmr.is_some() { CMR } else { 0.0 };
    cmr + hazards.into_iter().map(loss).sum::<f64>()
}

fn health(shelf: &Shelf, material: &Material, applied: &Applied) -> Given {
    let step = applied.passed.get();
    let mut found: Vec<Hazard> = material.hazards();
    let mut cmr = false;
    for agent in step.agents() {
        cmr |= agent.cmr.is_some();
        found.extend(
            shelf
                .agent(&agent.head.id)
                .into_iter()
                .flat_map(|a| a.hazards.iter().copied()),
        );
    }
    found.sort_unstable();
    found.dedup();
    let mut value = 1.0 - found.iter().map(|h| loss(*h)).sum::<f64>();
    if cmr {
        value -= CMR;
    }
    let with = step
        .agent
        .as_ref()
        .map_or_else(String::new, |a| format!(" with {}", a.head.names.name));
    let list: Vec<&str> = found.iter().map(|h| h.word()).collect();
    practice(
        value,
        if list.is_empty() {
            format!("put on{with}: no hazard on record")
        } else {
            format!("put on{with}: {}", list.join(", "))
        },
    )
}

fn working_time(ask: &Ask, material: &Material) -> Option<Given> {
    if !matches!(ask.purpose, Purpose::ForAdhesive | Purpose::ForFill) {
        return None;
    }
    let fact = material.head.facts.first("working-time");
    let Some(fact) = fact else {
        return Some(unrecorded("working time"));
    };
    let Value::Measure(q) = &fact.value else {
        return Some(unrecorded("working time"));
    };
    let minutes = q
        .base(Reading::Point)
        .map_or(0.0, |b| f64::midpoint(b.low, b.high) / 60.0);
    let value = if (3.0..=180.0).contains(&minutes) {
        1.0
    } else if minutes > 180.0 {
        0.7
    } else {
        0.4
    };
    Some(by(
        value,
        format!("{} to work in", shown(&fact.value)),
        fact,
    ))
}
