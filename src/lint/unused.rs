//! Every source is named by something.

use std::collections::BTreeSet;

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Basis, Kind};

pub(super) const LINT: Lint = Lint {
    code: "K0211",
    name: "unused",
    why: "a source that nothing names is a debt: either its facts are still to be recorded, or it \
          can go",
    check,
};

/// The list of sources that may be unused.
pub(super) const LIST: &str = "unused-sources";

/// Every source key that a fact, a route or the program names.
pub(super) fn used<'c>(scope: &Scope<'c>) -> BTreeSet<&'c str> {
    let mut used: BTreeSet<&str> = scope.cited.iter().copied().collect();
    for (basis, _) in scope.bases() {
        if let Basis::Published { key, through, .. } = basis {
            used.insert(key);
            used.extend(through.as_deref());
        }
    }
    used
}

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let used = used(scope);
    for key in scope.ids(Kind::Source) {
        let listed = scope
            .corpus
            .exceptions
            .iter()
            .any(|e| e.list == LIST && e.entry == key);
        let Some(record) = scope.get(Kind::Source, key) else {
            continue;
        };
        if !used.contains(key) && !listed {
            let diagnostic =
                Diagnostic::warning("K0211", format!("nothing names the source `{key}`"));
            out.push(scope.finding(
                &Spot::At(&record.head().place),
                diagnostic.help(
                    "record what it says, or take the entry out; one that a test names is listed \
                     in exceptions/unused-sources.txt",
                ),
            ));
        }
    }
}
