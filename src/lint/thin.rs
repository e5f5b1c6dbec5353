//! A material says what it is and what at least one liquid does to it.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Kind;

pub(super) const LINT: Lint = Lint {
    code: "K0229",
    name: "thin",
    why: "a material without a response can neither be identified nor taken off; without a summary \
          the reader cannot tell whether it is the one that is meant",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for material in scope.materials() {
        let head = &material.head;
        if head.summary.trim().is_empty() {
            let diagnostic = Diagnostic::error("K0229", format!("{} has no summary", head.id))
                .help("add summary = \"one line that says what it is\"");
            out.push(scope.finding(&Spot::At(&head.place), diagnostic));
        }
        let answers = [&material.fresh, &material.aged, &material.always]
            .into_iter()
            .flat_map(|facts| facts.all())
            .any(|(key, fact)| fact.value.is_known() && scope.has(Kind::Agent, key));
        if !answers {
            let diagnostic = Diagnostic::error(
                "K0229",
                format!("{} answers to no liquid", head.id),
            )
            .help("add what a liquid does to it under [fresh], [aged] or [always], with its basis");
            out.push(scope.finding(&Spot::At(&head.place), diagnostic));
        }
    }
}
