//! An isolating layer and what goes over it, where what the job needs would not come out again.

use super::{Ask, Shelf, apply, facts, forecast, load};
use crate::answer::{Choice, Entry, Outlook, Pair, Reason, Reversal, Rule};
use crate::model::{Age, Basis, Custom, Library, Material, Purpose, Site};
use crate::order::Arrange;

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
    hard: &[(&Material, Rule)],
    years: &[u32],
) -> Vec<Pair> {
    if !matches!(ask.purpose, Purpose::ForAdhesive | Purpose::ForFill) {
        return Vec::new();
    }
    let over = irreversible(shelf, ask, choices, hard);
    if over.is_empty() {
        return Vec::new();
    }
    let mut out = Vec::new();
    for (index, material) in &shelf.materials {
        if let Some(barrier) = barrier(shelf, library, ask, *index, material, years) {
            out.extend(over.iter().filter_map(|it| barrier.under(it, shelf, ask)));
        }
    }
    let targets = ask.targets();
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
    out.arrange_by_key(|p| (usual(&p.over.id), p.over.id.clone(), p.barrier.id.clone()));
    out.truncate(SHOWN);
    out
}

/// What the job needs and what would not come out again: lost to its strength or its forecast, or
/// chosen although only tools take it off.
fn irreversible<'s>(
    shelf: &'s Shelf,
    ask: &Ask,
    choices: &[Choice],
    hard: &[(&'s Material, Rule)],
) -> Vec<&'s Material> {
    let chosen = choices
        .iter()
        .filter(|c| {
            let then = forecast::at(&c.forecast, forecast::judged_by(ask));
            matches!(then, Reversal::OnlyMechanically | Reversal::Not)
        })
        .filter_map(|c| shelf.materials.iter().find(|(_, m)| m.head.id == c.id))
        .map(|(_, m)| m)
        // What some liquid dissolves is stopped by the layers, and no film beneath it helps that.
        .filter(|m| !facts::dissolves(m));
    let mut out: Vec<&Material> = hard
        .iter()
        .filter(|(_, rule)| matches!(rule, Rule::Strength | Rule::Reversibility))
        .map(|(m, _)| *m)
        .chain(chosen)
        .collect();
    out.dedup_by(|a, b| a.head.id == b.head.id);
    out
}

/// A film that isolates, as it goes on here and comes out again.
struct Barrier<'s> {
    material: &'s Material,
    applied: apply::Applied,
    forecast: Vec<Outlook>,
    /// How far it can be taken back after the years that count.
    then: Reversal,
}

/// Whether a material may serve: the trade takes it for this, it can be applied, it comes out again,
/// and it gives way before the body does.
fn barrier<'s>(
    shelf: &Shelf,
    library: &dyn Library,
    ask: &Ask,
    index: usize,
    material: &'s Material,
    years: &[u32],
) -> Option<Barrier<'s>> {
    let taken = facts::taken_as(material, Purpose::ForBarrier, &ask.targets());
    let meant = taken
        .said
        .as_ref()
        .is_some_and(|said| said.purposes.contains(&Purpose::ForBarrier));
    if taken.custom.is_none_or(|c| c == Custom::Refused) || !meant {
        return None;
    }
    let applied = apply::apply(shelf, ask, material).ok()?;
    // It is a film on the faces, whatever goes over it.
    let site = if ask.purpose == Purpose::ForFill {
        Site::OpenJoint
    } else {
        ask.site
    };
    let forecast = forecast::forecast_at(library, ask, site, index, material, years);
    let then = forecast::at(&forecast, forecast::judged_by(ask));
    if !matches!(then, Reversal::Reversible | Reversal::WithCare) {
        return None;
    }
    // A film that is itself stronger than the body only moves the next break into it; one of which
    // the strength is not on record may do so.
    let gives_way = load::body(ask).is_none_or(|(_, body_high, _, _)| {
        facts::strength(&material.head.facts).is_some_and(|(low, _, _)| low <= body_high)
    });
    gives_way.then_some(Barrier {
        material,
        applied,
        forecast,
        then,
    })
}

impl Barrier<'_> {
    /// The pair with what goes over it; none where that would swell it, or where the two do not bear
    /// the load.
    fn under(&self, over: &Material, shelf: &Shelf, ask: &Ask) -> Option<Pair> {
        let mut checks = vec![Reason {
            text: format!("the barrier after the years: {}", self.then.word()),
            basis: Basis::Practice,
        }];
        checks.extend(stands(self.material, over, shelf)?);
        if let Some(stress) = ask.load.and_then(|l| l.stress_mpa) {
            checks.push(bears(self.material, over, stress)?);
        }
        Some(Pair {
            barrier: Entry::of(&self.material.head),
            over: Entry::of(&over.head),
            applied: self.applied.passed.clone(),
            checks,
            forecast: self.forecast.clone(),
        })
    }
}

/// Whether the weaker of the two bears a stress, MPa, with the safety that is wanted.
fn bears(barrier: &Material, over: &Material, stress: f64) -> Option<Reason> {
    let wanted = stress * load::wanted(over);
    let weaker = [barrier, over]
        .iter()
        .filter_map(|m| facts::strength(&m.head.facts).map(|s| s.0))
        .fold(f64::INFINITY, f64::min);
    (weaker >= wanted).then(|| Reason {
        text: format!("the weaker of the two bears {weaker:.1} MPa, {wanted:.2} MPa are wanted"),
        basis: Basis::Memory,
    })
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
