//! A dilute acid or ammonia acts no less than the water that it mostly is.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Age, Fact, Material, Response};

pub(super) const LINT: Lint = Lint {
    code: "K0224",
    name: "water",
    why: "these liquids are more than nine tenths water: a lesser effect is either a slip or \
          something that the reader must be told",
    check,
};

const WATER: &str = "water";
const MOSTLY_WATER: &[&str] = &["dilute-acid", "dilute-ammonia"];

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for material in scope.materials() {
        for liquid in MOSTLY_WATER {
            let mut seen: Vec<*const Fact> = Vec::new();
            for age in Age::BOTH {
                let Some(least) = least_of_water(material, age) else {
                    continue;
                };
                for fact in material.response(age, liquid) {
                    let less = most(fact).is_some_and(|most| rank(most) < rank(least));
                    // A fact for either age is reported once.
                    if !less || fact.note.is_some() || seen.contains(&std::ptr::from_ref(fact)) {
                        continue;
                    }
                    seen.push(std::ptr::from_ref(fact));
                    let diagnostic = Diagnostic::error(
                        "K0224",
                        format!(
                            "{liquid} does less to {} ({}) than cold water, which {least}",
                            material.head.id,
                            age.word()
                        ),
                    )
                    .help("record what its water does, or say in a note why it does less");
                    out.push(scope.finding(&Spot::At(&fact.place), diagnostic));
                }
            }
        }
    }
}

/// The least that any source says of cold water at an age.
fn least_of_water(material: &Material, age: Age) -> Option<Response> {
    material
        .response(age, WATER)
        .iter()
        .filter_map(most)
        .min_by_key(|response| rank(*response))
}

/// The strongest response of a fact.
fn most(fact: &Fact) -> Option<Response> {
    fact.words()
        .iter()
        .filter_map(|word| Response::parse(word))
        .max_by_key(|response| rank(*response))
}

/// Order of effect; a change of look alone is more than none.
const fn rank(response: Response) -> u8 {
    match response {
        Response::NoEffect => 0,
        Response::Blanches => 1,
        other => other.grade() + 1,
    }
}
