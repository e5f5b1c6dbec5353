//! How hard a fill is beside the body: it must give way first, to the nail as to the tool.

use super::{Ask, load};
use crate::answer::Reason;
use crate::model::{Basis, Fact, Facts, Material, Purpose};

/// Words of hardness from the softest, as the records have them. What is tough or brittle says how it
/// gives way and not when.
const SCALE: [&str; 5] = ["sticky", "crumbly", "rubbery", "nail dents", "hard"];

/// Place on the scale of the hardest that a record gives, with the fact.
fn hardest(facts: &[&Facts]) -> Option<(usize, String, Basis)> {
    facts
        .iter()
        .flat_map(|facts| facts.get("hardness"))
        .filter_map(|fact: &Fact| {
            let place = fact
                .words()
                .iter()
                .filter_map(|w| SCALE.iter().position(|s| s == w))
                .max()?;
            Some((place, fact.words().join(", "), fact.basis.clone()))
        })
        .max_by_key(|(place, _, _)| *place)
}

/// What is on record of the hardness of a fill and of the body; that it is not on record is said.
pub(super) fn against_body(ask: &Ask, material: &Material) -> Option<Reason> {
    if ask.purpose != Purpose::ForFill {
        return None;
    }
    // The weakest that the fill stands against; without strengths on record, the body itself.
    let weakest = load::body(ask).map(|(_, _, called, _)| called);
    let body = ask
        .layers
        .iter()
        .find(|l| Some(&l.called) == weakest.as_ref())
        .or(ask.layers.last())?;
    let own = hardest(&[&material.head.facts, &material.always, &material.fresh]);
    let (text, basis) = match (own, hardest(&[&body.layer.head.facts])) {
        (Some((fill, words, basis)), Some((layer, of_body, _))) => {
            let how = match fill.cmp(&layer) {
                std::cmp::Ordering::Less => "softer than",
                std::cmp::Ordering::Equal => "no softer, on record, than",
                std::cmp::Ordering::Greater => "harder than",
            };
            (
                format!("hardness: {words}: {how} {} ({of_body})", body.called),
                basis,
            )
        }
        (Some((_, words, basis)), None) => (
            format!(
                "hardness: {words}; that of {} is not on record: the nail or needle must mark the fill \
                 before the body",
                body.called
            ),
            basis,
        ),
        (None, _) => (
            format!(
                "hardness: not on record; set a sample, and let the nail or needle mark it before {}",
                body.called
            ),
            Basis::Practice,
        ),
    };
    Some(Reason { text, basis })
}
