//! An exposure limit says where it holds and over which time.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::field::{Holds, field_of};

pub(super) const LINT: Lint = Lint {
    code: "K0216",
    name: "limits",
    why: "a limit for 15 minutes read as one for a working day is many times too high",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let fact = stated.fact;
        let limit = stated.group == Group::Fields
            && field_of(stated.record.kind(), stated.key).is_some_and(|f| f.holds == Holds::Limit);
        if !limit || !fact.value.is_known() {
            continue;
        }
        let missing = match (&fact.region, &fact.averaging) {
            (Some(_), Some(_)) => continue,
            (None, Some(_)) => "where = \"the jurisdiction\"",
            (Some(_), None) => "kind = \"8 h\", \"15 min\" or \"ceiling\"",
            (None, None) => {
                "where = \"the jurisdiction\" and kind = \"8 h\", \"15 min\" or \"ceiling\""
            }
        };
        let diagnostic = Diagnostic::error("K0216", "a limit without its place or its time")
            .help(format!("add {missing}"));
        out.push(scope.finding(&Spot::At(&fact.place), diagnostic));
    }
}
