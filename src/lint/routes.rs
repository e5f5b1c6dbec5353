//! A removal route promises no more than the record of the aged material allows.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Age, Effect, Order, Response};

/// Grades of the solubility scale by which a route may go beyond the record: between two readers of
/// one specimen there is easily one.
const SLACK: u8 = 1;

pub(super) const LINT: Lint = Lint {
    code: "K0234",
    name: "routes",
    why: "a route outranks what the aged film is recorded to answer: one that holds only while it is \
          young is proposed for an old film, where it fails",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for material in scope.materials() {
        for route in &material.removal {
            let (Some(agent), Some(promised)) = (&route.agent, route.effect.and_then(grade)) else {
                continue;
            };
            if route.order == Order::Fails {
                continue;
            }
            let recorded = material.readings(Age::Aged, agent);
            // What is attacked may well go into solution; what melts is taken up.
            let off_scale = |r| matches!(r, Response::Attacked | Response::Melts);
            if recorded.iter().any(|(r, _)| off_scale(*r)) {
                continue;
            }
            let Some((best, _)) = recorded.iter().max_by_key(|(r, _)| r.grade()) else {
                continue;
            };
            if promised > best.grade() + SLACK {
                let diagnostic = Diagnostic::error(
                    "K0234",
                    format!("the route promises more than [aged] says of {agent}: {best}"),
                )
                .help(
                    "take the route out if it holds only while the film is young, give it another \
                     `is`, or mend [aged]",
                );
                out.push(scope.finding(&Spot::At(&route.place), diagnostic));
            }
        }
    }
}

/// Where the effect of a liquid stands on the scale of responses; none for heat and for what a tool
/// does.
const fn grade(effect: Effect) -> Option<u8> {
    Some(match effect {
        Effect::Dissolves => Response::Dissolves.grade(),
        Effect::PartlyDissolves => Response::PartlyDissolves.grade(),
        Effect::Swells => Response::Swells.grade(),
        _ => return None,
    })
}
