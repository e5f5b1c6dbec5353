//! Two coats that come off apart: a liquid that takes the upper and leaves the lower, both aged. It is
//! looked for in what is recorded, and passes the gate as a swab over these layers.

use super::{Ask, Shelf, score};
use crate::answer::{Choice, Coats, Entry};
use crate::gate::{self, Passed};
use crate::model::scene::{Scene, Step, Target};
use crate::model::{Age, Agent, Basis, Library, Material, Purpose, Response, Site};
use crate::order::Arrange;

/// Choices, from the best, that are set over one another.
const AMONG: usize = 5;

/// For each ordered pair among the first choices, the mildest liquid on record that parts them; pairs
/// that nothing on record parts are told without one.
pub(super) fn apart(
    shelf: &Shelf,
    library: &dyn Library,
    ask: &Ask,
    choices: &[Choice],
) -> Vec<Coats> {
    if ask.purpose != Purpose::ForCoating {
        return Vec::new();
    }
    let first: Vec<&Material> = choices
        .iter()
        .take(AMONG)
        .filter_map(|c| shelf.materials.iter().find(|(_, m)| m.head.id == c.id))
        .map(|(_, m)| m)
        .collect();
    let means = library.equipment();
    let Some(swab) = means.methods.iter().find(|m| m.head.id == "swab") else {
        return Vec::new();
    };
    let scene = Scene {
        layers: ask.all_layers(),
        target: Target {
            aged: 1.0,
            ..Target::nothing(Site::Film)
        },
        materials: Vec::new(),
        permitted: ask.permitted.clone(),
    };
    let gate = gate::Gate::of(&scene);
    let mut passed: Vec<(f64, Passed<Step>)> = means
        .agents
        .iter()
        .filter(|a| a.parts.is_empty() && !ask.barred.bars(a))
        .filter(|a| {
            let names = |w: &String| *w == a.head.id || w == a.class.word();
            swab.delivers.iter().any(names)
        })
        .filter_map(|a| {
            let step = Step {
                method: swab.clone(),
                agent: Some(a.clone()),
                parts: Vec::new(),
                carrier: None,
            };
            let rank = f64::from(a.strength) + 4.0 * score::danger(a);
            gate.step(step).ok().map(|passed| (rank, passed))
        })
        .collect();
    passed.arrange_by(|a, b| {
        a.0.total_cmp(&b.0)
            .then_with(|| a.1.get().id().cmp(&b.1.get().id()))
    });
    let mut out = Vec::new();
    for upper in &first {
        for lower in first.iter().filter(|m| m.head.id != upper.head.id) {
            let found = passed.iter().find_map(|(_, step)| {
                let agent = step.get().agent.as_ref()?;
                parts(upper, lower, agent).map(|basis| (step.clone(), basis))
            });
            let (step, basis) = match found {
                Some((step, basis)) => (Some(step), basis),
                None => (None, String::new()),
            };
            out.push(Coats {
                upper: Entry::of(&upper.head),
                lower: Entry::of(&lower.head),
                step,
                basis,
            });
        }
    }
    out
}

/// Whether a liquid dissolves the one and does nothing to the other, aged, by every record of it; with
/// the basis of both in a word.
fn parts(upper: &Material, lower: &Material, agent: &Agent) -> Option<String> {
    let goes = upper.readings(Age::Aged, &agent.head.id);
    let stays = lower.readings(Age::Aged, &agent.head.id);
    let taken = |r: &Response| matches!(r, Response::Dissolves | Response::PartlyDissolves);
    let parts = !goes.is_empty()
        && !stays.is_empty()
        && goes.iter().all(|(r, _)| taken(r))
        && stays.iter().all(|(r, _)| *r == Response::NoEffect);
    parts.then(|| Basis::words(goes.iter().chain(&stays).map(|(_, fact)| &fact.basis)))
}
