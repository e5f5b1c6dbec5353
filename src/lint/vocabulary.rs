//! Controlled words stand in the vocabulary.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::field::{Holds, field_of};

use super::wordlists::LISTS;

pub(super) const LINT: Lint = Lint {
    code: "K0208",
    name: "vocabulary",
    why: "two spellings of one hazard are two hazards, and a search for one misses the other",
    check,
};

/// The words that a section allows: those of the folder, those that the program knows, and (for a
/// folder without the section) those that other records use.
fn allowed<'c>(scope: &Scope<'c>, section: &str) -> Vec<&'c str> {
    let mut known: Vec<&str> = scope
        .corpus
        .words
        .iter()
        .filter(|(s, ..)| s == section)
        .map(|(_, word, _)| word.as_str())
        .collect();
    let list = LISTS.iter().find(|(s, _)| *s == section);
    known.extend(list.into_iter().flat_map(|(_, words)| words()));
    known
}

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let field = field_of(stated.record.kind(), stated.key);
        let (Group::Fields, Some(Holds::Words(section))) = (stated.group, field.map(|f| f.holds))
        else {
            continue;
        };
        for word in stated.fact.words() {
            let spot = Spot::Word(&stated.fact.place, word);
            word_of(scope, section, word, &spot, &allowed(scope, section), out);
        }
    }
    // A studio's own folder has no vocabulary: the clusters of the records beneath stand in.
    let clusters = allowed(scope, "cluster");
    for test in scope.tests() {
        let others = || {
            scope
                .tests()
                .filter(|other| other.head.id != test.head.id)
                .map(|other| other.cluster.as_str())
        };
        let known = if clusters.is_empty() {
            others().collect()
        } else {
            clusters.clone()
        };
        let spot = Spot::FieldWord(&test.head, "cluster", &test.cluster);
        word_of(scope, "cluster", &test.cluster, &spot, &known, out);
    }
}

fn word_of(
    scope: &Scope<'_>,
    section: &str,
    word: &str,
    spot: &Spot<'_>,
    known: &[&str],
    out: &mut Vec<Finding>,
) {
    if known.contains(&word) {
        return;
    }
    let diagnostic = Diagnostic::error("K0208", format!("`{word}` is no word of [{section}]"));
    out.push(scope.unknown(
        spot,
        word,
        known,
        diagnostic,
        &format!("the words stand in vocab/words.toml, section [{section}]"),
    ));
}
