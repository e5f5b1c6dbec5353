//! What a test shows is one of its recorded outcomes.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::field::{Holds, field_of};
use crate::model::{BenchTest, Kind};

pub(super) const LINT: Lint = Lint {
    code: "K0206",
    name: "outcomes",
    why: "an outcome that the test does not list cannot be matched with what is seen at the bench",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let shown = match stated.group {
            Group::Answers => true,
            Group::Fields => field_of(stated.record.kind(), stated.key)
                .is_some_and(|f| f.holds == Holds::Outcomes),
            Group::Harm(_) | Group::Avoid => false,
        };
        let Some(test) = scope.test(stated.key).filter(|_| shown) else {
            continue;
        };
        for word in stated.fact.words() {
            let spot = Spot::Word(&stated.fact.place, word);
            known(scope, test, word, &spot, out);
        }
    }
    for test in scope.tests() {
        if let Some(key) = &test.reads {
            read(scope, test, key, out);
        }
        for (a, b) in &test.near {
            for word in [a, b] {
                let spot = Spot::FieldWord(&test.head, "near", word);
                known(scope, test, word, &spot, out);
            }
        }
        for (at, word) in test.outcomes.iter().enumerate() {
            if test.outcomes[..at].contains(word) {
                let diagnostic = Diagnostic::error(
                    "K0206",
                    format!("{} lists the outcome `{word}` twice", test.head.id),
                );
                out.push(scope.finding(
                    &Spot::Field(&test.head, "outcomes"),
                    diagnostic.help("keep one of them"),
                ));
            }
        }
    }
}

/// A test that reads a fact knows every word that the records have for it.
fn read(scope: &Scope<'_>, test: &BenchTest, key: &str, out: &mut Vec<Finding>) {
    let Some(field) = field_of(Kind::Material, key) else {
        let diagnostic = Diagnostic::error(
            "K0206",
            format!("{} reads `{key}`, which no material has", test.head.id),
        );
        out.push(scope.finding(
            &Spot::FieldWord(&test.head, "reads", key),
            diagnostic.help("`reads` names a fact of the materials: density, sets, applied-in"),
        ));
        return;
    };
    for stated in scope.facts() {
        let own = stated.group == Group::Fields && stated.key == field.key;
        if own && stated.record.kind() == Kind::Material {
            for word in stated.fact.words() {
                known(
                    scope,
                    test,
                    word,
                    &Spot::Word(&stated.fact.place, word),
                    out,
                );
            }
        }
    }
}

fn known(scope: &Scope<'_>, test: &BenchTest, word: &str, spot: &Spot<'_>, out: &mut Vec<Finding>) {
    if test.outcomes.iter().any(|o| o == word) {
        return;
    }
    let outcomes: Vec<&str> = test.outcomes.iter().map(String::as_str).collect();
    let diagnostic = Diagnostic::error(
        "K0206",
        format!("`{word}` is no outcome of {}", test.head.id),
    );
    out.push(scope.unknown(
        spot,
        word,
        &outcomes,
        diagnostic,
        &format!("the outcomes stand in {}", test.head.place.file),
    ));
}
