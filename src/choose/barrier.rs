//! An isolating layer and what goes over it, where what the job needs would not come out again.

use super::{Ask, Shelf, apply, facts, forecast, load};
use crate::answer::{Choice, Lost, Pair, Reason, Reversal, Rule};
use crate::model::scene::SceneLayer;
use crate::model::{Age, Basis, Custom, Library, Material, Purpose, Site};

/// Pairs that an answer shows.
const SHOWN: usize = 6;
/// Grade of a response from which a liquid attacks a film: swells.
const ATTACKS: u8 = 2;

/// Pairs of a soluble layer and what the rules, or the forecast, hold to be irreversible.
pub(super) fn pairs(
    shelf: &Shelf,
    library: &dyn Library,
    ask: &Ask,
    choices: &[Choice],
    hard: &[(usize, &Material, Lost)],
    years: &[u32],
) -> Vec<Pair> {
    if !matches!(ask.purpose, Purpose::ForAdhesive | Purpose::ForFill) {
        return Vec::new();
    }
    let targets: Vec<&SceneLayer> = ask.targets();
    let irreversible = choices
        .iter()
        .filter(|c| {
            let then = forecast::at(&c.forecast, forecast::judged_by(ask));
            matches!(then, Reversal::OnlyMechanically | Reversal::Not)
        })
        .filter_map(|c| shelf.materials.iter().find(|(_, m)| m.head.id == c.id))
        .map(|(_, m)| m)
        // What some liquid dissolves is stopped by the layers, and no film beneath it helps that.
        .filter(|m| !facts::dissolves(m));
    let mut over: Vec<&Material> = hard
        .iter()
        .filter(|(_, _, l)| matches!(l.rule, Rule::Strength | Rule::Reversibility))
        .map(|(_, m, _)| *m)
        .chain(irreversible)
        .collect();
    over.dedup_by(|a, b| a.head.id == b.head.id);
    if over.is_empty() {
        return Vec::new();
    }
    let mut out = Vec::new();
    for (index, barrier) in &shelf.materials {
        let taken = facts::taken_as(barrier, Purpose::ForBarrier, &targets);
        let barrier_use = taken
            .said
            .as_ref()
            .is_some_and(|said| said.purposes.contains(&Purpose::ForBarrier));
        if taken.custom.is_none_or(|c| c == Custom::Refused) || !barrier_use {
            continue;
        }
        let Ok(applied) = apply::apply(shelf, ask, barrier) else {
            continue;
        };
        // It is a film on the faces, whatever goes over it.
        let site = if ask.purpose == Purpose::ForFill {
            Site::OpenJoint
        } else {
            ask.site
        };
        let forecast = forecast::forecast_at(library, ask, site, *index, barrier, years);
        let then = forecast::at(&forecast, forecast::judged_by(ask));
        if !matches!(then, Reversal::Reversible | Reversal::WithCare) {
            continue;
        }
        // A film that is itself stronger than the body only moves the next break into it; one of which
        // the strength is not on record may do so.
        let gives_way = load::body(ask).is_none_or(|(_, body_high, _, _)| {
            facts::strength(&barrier.head.facts).is_some_and(|(low, _, _)| low <= body_high)
        });
        if !gives_way {
            continue;
        }
        for adhesive in &over {
            let Some(mut checks) = stands(barrier, adhesive, shelf) else {
                continue;
            };
            if let Some(stress) = ask.load.and_then(|l| l.stress_mpa) {
                let wanted = stress * load::wanted(adhesive);
                let weaker = [barrier, *adhesive]
                    .iter()
                    .filter_map(|m| facts::strength(&m.head.facts).map(|s| s.0))
                    .fold(f64::INFINITY, f64::min);
                if weaker < wanted {
                    continue;
                }
                checks.push(Reason {
                    text: format!(
                        "the weaker of the two bears {weaker:.1} MPa, {wanted:.2} MPa are wanted"
                    ),
                    basis: Basis::Memory,
                });
            }
            checks.insert(
                0,
                Reason {
                    text: format!("the barrier after the years: {}", then.word()),
                    basis: Basis::Practice,
                },
            );
            out.push(Pair {
                barrier: (barrier.head.id.clone(), barrier.head.names.name.clone()),
                over: (adhesive.head.id.clone(), adhesive.head.names.name.clone()),
                applied: applied.passed.clone(),
                checks,
                forecast: forecast.clone(),
            });
        }
    }
    let usual = |id: &str| -> usize {
        shelf
            .materials
            .iter()
            .find(|(_, m)| m.head.id == id)
            .map_or(2, |(_, m)| {
                match facts::taken_as(m, ask.purpose, &targets).custom {
                    Some(Custom::Usual) => 0,
                    Some(Custom::Sometimes) => 1,
                    _ => 2,
                }
            })
    };
    out.sort_by_key(|p| (usual(&p.over.0), p.over.0.clone(), p.barrier.0.clone()));
    out.truncate(SHOWN);
    out
}

/// Whether the film stands what goes over it: the liquid of the adhesive, or its uncured part, must
/// not swell it. None where it does, or where nobody has recorded it.
fn stands(barrier: &Material, adhesive: &Material, shelf: &Shelf) -> Option<Vec<Reason>> {
    let facts = &adhesive.head.facts;
    let mut liquids = facts.words("acts-like");
    if liquids.is_empty() {
        liquids = facts.words("applied-in");
    }
    let mut out = Vec::new();
    for id in liquids {
        let readings = barrier.readings(Age::Fresh, id);
        if readings.is_empty() || readings.iter().any(|(r, _)| r.grade() >= ATTACKS) {
            return None;
        }
        let name = shelf.agent(id).map_or(id, |a| a.head.names.name.as_str());
        out.push(Reason {
            text: format!(
                "{name} of the {} does not swell it",
                adhesive.head.names.name
            ),
            basis: readings[0].1.basis.clone(),
        });
    }
    if out.is_empty() {
        out.push(Reason {
            text: format!(
                "{} brings no liquid of its own that is on record; try one drop on the dry film",
                adhesive.head.names.name
            ),
            basis: Basis::Practice,
        });
    }
    Some(out)
}
