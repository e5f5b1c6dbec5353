//! What warm water does to a wax is melting, not swelling.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Record, Response};

pub(super) const LINT: Lint = Lint {
    code: "K0225",
    name: "heat",
    why: "no water goes into these: `swells` would promise that a cold swab of a stronger liquid \
          of the same sort does the same",
    check,
};

const WARM_WATER: &str = "warm-water";
const FAMILIES: &[&str] = &["bitumen", "hydrocarbon-resin", "wax", "wax-resin"];

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let Record::Material(material) = stated.record else {
            continue;
        };
        if stated.group != Group::Answers
            || stated.key != WARM_WATER
            || !FAMILIES.contains(&material.family.as_str())
        {
            continue;
        }
        for word in stated.fact.words() {
            if matches!(
                Response::parse(word),
                Some(Response::Swells | Response::SwellsSlightly)
            ) {
                let diagnostic = Diagnostic::error(
                    "K0225",
                    format!(
                        "warm water does not swell {}: it is of the family {}",
                        material.head.id, material.family
                    ),
                )
                .help("write \"melts\" where it softens by the heat, else \"no effect\"");
                out.push(scope.finding(&Spot::Word(&stated.fact.place, word), diagnostic));
            }
        }
    }
}
