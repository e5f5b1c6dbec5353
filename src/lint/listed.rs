//! A list of allowed debts holds nothing that is no debt: it may only shrink.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use super::unused;
use crate::corpus::Finding;
use crate::diag::{Diagnostic, did_you_mean};
use crate::model::Kind;

pub(super) const LINT: Lint = Lint {
    code: "K0212",
    name: "listed",
    why: "an exception that is no longer needed would hide the next debt of the same name",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let used = unused::used(scope);
    for (at, exception) in scope.corpus.exceptions.iter().enumerate() {
        let entry = exception.entry.as_str();
        let (message, help) = if exception.list != unused::LIST {
            let known = did_you_mean(&exception.list, [unused::LIST]);
            (
                format!("no lint has a list `{}`", exception.list),
                known.first().map_or_else(
                    || format!("the only list is exceptions/{}.txt", unused::LIST),
                    |best| format!("rename the file to {best}.txt"),
                ),
            )
        } else if !scope.has(Kind::Source, entry) {
            (
                format!("no source `{entry}`"),
                "take the line out".to_owned(),
            )
        } else if used.contains(entry) {
            (
                format!("the source `{entry}` is named by a fact"),
                "take the line out".to_owned(),
            )
        } else if scope.corpus.exceptions[..at]
            .iter()
            .any(|e| e.list == exception.list && e.entry == entry)
        {
            (
                format!("`{entry}` is listed twice"),
                "take the line out".to_owned(),
            )
        } else {
            continue;
        };
        let diagnostic = Diagnostic::error("K0212", message).help(help);
        out.push(scope.finding(&Spot::At(&exception.place), diagnostic));
    }
}
