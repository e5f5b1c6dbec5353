//! No fact is stated twice.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Fact, Place};

pub(super) const LINT: Lint = Lint {
    code: "K0230",
    name: "twice",
    why: "a fact that is copied counts as two sources that agree",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for record in scope.records() {
        for (group, facts) in record.fact_groups() {
            for (key, list) in facts.0.iter() {
                for (at, fact) in list.iter().enumerate() {
                    if list[..at].iter().any(|other| alike(other, fact)) {
                        let diagnostic = Diagnostic::error(
                            "K0230",
                            format!("`{group}{key}` states the same fact twice"),
                        )
                        .help("take one of them out");
                        out.push(scope.finding(&Spot::At(&fact.place), diagnostic));
                    }
                }
            }
        }
    }
}

/// Whether two facts are the same but for where they stand.
fn alike(a: &Fact, b: &Fact) -> bool {
    let bare = |fact: &Fact| Fact {
        place: Place::default(),
        ..fact.clone()
    };
    bare(a) == bare(b)
}
