//! What an agent does to a layer is one verdict.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Verdict;

pub(super) const LINT: Lint = Lint {
    code: "K0207",
    name: "verdicts",
    why: "a verdict that is not understood would leave a harmful agent unblocked; two sources that \
          disagree are two facts, so that each keeps its own basis",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let known: Vec<&str> = Verdict::ALL.iter().map(|it| it.word()).collect();
    for stated in scope.facts() {
        if !matches!(stated.group, Group::Harm(_) | Group::Avoid) {
            continue;
        }
        let words = stated.fact.words();
        for word in words.iter().filter(|w| !known.contains(&w.as_str())) {
            let diagnostic = Diagnostic::error("K0207", format!("`{word}` is no verdict"));
            out.push(scope.unknown(
                &Spot::Word(&stated.fact.place, word),
                word,
                &known,
                diagnostic,
                "",
            ));
        }
        if words.len() > 1 {
            let diagnostic = Diagnostic::error(
                "K0207",
                format!("`{}` has two verdicts in one fact", stated.key),
            );
            out.push(scope.finding(
                &Spot::At(&stated.fact.place),
                diagnostic.help("write a list of facts, each with one verdict and its basis"),
            ));
        }
    }
}
