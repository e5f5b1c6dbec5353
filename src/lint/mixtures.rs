//! A mixture has parts, and the dangers of its parts.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Agent, AgentSort, Class};

pub(super) const LINT: Lint = Lint {
    code: "K0228",
    name: "mixtures",
    why: "what must stay meets every part, so the mixture counts as its harshest one; and it is no \
          less poisonous than what is in it",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for agent in scope.agents() {
        let id = &agent.head.id;
        let mut report = |key: &str, message: String, help: String| {
            let diagnostic = Diagnostic::error("K0228", message).help(help);
            out.push(scope.finding(&Spot::Field(&agent.head, key), diagnostic));
        };
        if agent.sort != AgentSort::Mixture {
            if !agent.parts.is_empty() {
                report(
                    "kind",
                    format!("{id} has parts and is no mixture"),
                    "write kind = \"mixture\"".to_owned(),
                );
            }
            continue;
        }
        let mut ids: Vec<&str> = agent.parts.iter().map(|(id, _)| id.as_str()).collect();
        ids.sort_unstable();
        ids.dedup();
        if ids.len() < 2 {
            report(
                if agent.parts.is_empty() {
                    "kind"
                } else {
                    "parts"
                },
                format!("{id} is a mixture of fewer than two parts"),
                "write parts = [\"acetone 1\", \"ethanol 1\"], parts by volume".to_owned(),
            );
            continue;
        }
        let parts: Vec<&Agent> = ids.iter().filter_map(|id| scope.agent(id)).collect();
        let harshest = harshest(&parts);
        if !harshest.is_empty() && !harshest.contains(&agent.class) {
            let wanted: Vec<&str> = harshest.iter().map(|c| c.word()).collect();
            report(
                "class",
                format!("{id} is not of the class of its harshest part"),
                format!("write class = \"{}\"", wanted.join("\" or \"")),
            );
        }
        if let Some(part) = parts
            .iter()
            .find(|p| p.cmr.is_some() && agent.cmr.is_none())
        {
            report(
                "parts",
                format!(
                    "{} is {}, and {id} says nothing of it",
                    part.head.id,
                    part.cmr.as_deref().unwrap_or_default()
                ),
                format!(
                    "write cmr = \"{}\"",
                    part.cmr.as_deref().unwrap_or_default()
                ),
            );
        }
        if let Some(part) = parts
            .iter()
            .find(|p| p.needs_permission && !agent.needs_permission)
        {
            report(
                "parts",
                format!(
                    "{} is restricted by law, and {id} is not marked so",
                    part.head.id
                ),
                "write needs_permission = true".to_owned(),
            );
        }
    }
}

/// Classes of the parts of the highest strength.
fn harshest(parts: &[&Agent]) -> Vec<Class> {
    let highest = parts.iter().map(|p| p.strength).max();
    let mut out: Vec<Class> = parts
        .iter()
        .filter(|p| Some(p.strength) == highest)
        .map(|p| p.class)
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}
