//! No name serves two records of a kind.

use std::collections::BTreeMap;

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::naming::fold;
use crate::model::{Head, Kind};

pub(super) const LINT: Lint = Lint {
    code: "K0219",
    name: "aliases",
    why: "a name that means two records would be answered with either",
    check,
};

/// Every name of a record with the key under which it is written.
pub(super) fn names(head: &Head) -> impl Iterator<Item = (&str, &str)> {
    let own = std::iter::once(("id", head.id.as_str()))
        .chain(std::iter::once(("name", head.names.name.as_str())));
    let also = head.names.also.iter().map(|name| ("also", name.as_str()));
    let foreign = head
        .names
        .foreign
        .iter()
        .map(|(lang, name)| (lang.as_str(), name.as_str()));
    own.chain(also).chain(foreign)
}

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let mut taken: BTreeMap<(Kind, String), &Head> = BTreeMap::new();
    for record in scope.records().filter(|r| r.kind() != Kind::Source) {
        let head = record.head();
        for (key, name) in names(head) {
            let folded = fold(name);
            let spot = Spot::FieldWord(head, key, name);
            if folded.is_empty() {
                let diagnostic = Diagnostic::error("K0219", format!("`{name}` has no letter"));
                out.push(scope.finding(&spot, diagnostic.help("take the name out")));
                continue;
            }
            let first = *taken.entry((record.kind(), folded)).or_insert(head);
            if first.id == head.id {
                continue;
            }
            let diagnostic = Diagnostic::error(
                "K0219",
                format!("`{name}` is a name of {} and of {}", first.id, head.id),
            )
            .note(format!(
                "{} stands in {}:{}",
                first.id, first.place.file, first.place.line
            ))
            .help("leave the name to the record that the trade means by it");
            out.push(scope.finding(&spot, diagnostic));
        }
    }
}
