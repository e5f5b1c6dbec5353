//! Molar mass, density and molar volume of a liquid agree.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Agent;
use crate::units::Reading;

pub(super) const LINT: Lint = Lint {
    code: "K0223",
    name: "volumes",
    why: "molar volume is molar mass over density; where the three disagree one of them is \
          another substance's, and blends are reckoned from them",
    check,
};

/// Share by which the two may differ: density is given at 20 C and molar volume at 25 C, between
/// which organic liquids expand by about half a per cent.
const MARGIN: f64 = 0.02;

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for agent in scope.agents() {
        let (Some(mass), Some(density), Some(volume)) = (
            middle(agent, "molar-mass"),
            middle(agent, "density"),
            middle(agent, "molar-volume"),
        ) else {
            continue;
        };
        // kg/mol over kg/m3 in ml/mol.
        let worked = mass / density * 1e6;
        let stated = volume * 1e6;
        let Some(fact) = agent.head.facts.first("molar-volume") else {
            continue;
        };
        if ((worked - stated) / worked).abs() <= MARGIN {
            continue;
        }
        let diagnostic = Diagnostic::error(
            "K0223",
            format!("molar mass over density is {worked:.1} ml/mol, not {stated:.1}"),
        )
        .help("look up all three again; the first value of each is the one that is reckoned with");
        out.push(scope.finding(&Spot::At(&fact.place), diagnostic));
    }
}

/// The middle of the first value under a key, in base units.
fn middle(agent: &Agent, key: &str) -> Option<f64> {
    let bounds = agent.head.facts.measure(key)?.base(Reading::Point)?;
    let middle = f64::midpoint(bounds.low, bounds.high);
    (middle.is_finite() && middle > 0.0).then_some(middle)
}
