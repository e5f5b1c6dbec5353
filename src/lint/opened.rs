//! A published fact was read in a source that was opened.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Kind, Record};

pub(super) const LINT: Lint = Lint {
    code: "K0213",
    name: "opened",
    why: "a citation says that the writer saw it there; what was recalled says so",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for (basis, place) in scope.bases() {
        let Some(Record::Source(source)) =
            basis.source().and_then(|key| scope.get(Kind::Source, key))
        else {
            continue;
        };
        if !source.read.to_lowercase().starts_with("not opened") {
            continue;
        }
        let key = &source.head.id;
        let written = basis.to_string();
        let diagnostic = Diagnostic::error("K0213", format!("`{key}` was not opened")).help(format!(
            "write by = \"memory\", or \"{key} through OTHER, …\" with the source that reports it; \
             if it has been opened by now, say what was read in its annotation"
        ));
        out.push(scope.finding(&Spot::Word(place, &written), diagnostic));
    }
}
