//! What a liquid does to a material is one of the response words.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Kind, Response};

pub(super) const LINT: Lint = Lint {
    code: "K0205",
    name: "responses",
    why: "the engines reckon with eight words; any other is dropped, and the liquid counts as \
          unrecorded",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let known: Vec<&str> = Response::ALL.iter().map(|it| it.word()).collect();
    for stated in scope.facts() {
        if stated.group != Group::Answers || !scope.has(Kind::Agent, stated.key) {
            continue;
        }
        for word in stated.fact.words() {
            if known.contains(&word.as_str()) {
                continue;
            }
            let shown = scope.tests().find(|test| test.outcomes.contains(word));
            let message = match shown {
                Some(test) => format!(
                    "`{word}` is not what a liquid does, but an outcome of the test `{}`",
                    test.head.id
                ),
                None => format!("`{word}` is not what a liquid does"),
            };
            let diagnostic = Diagnostic::error("K0205", message);
            out.push(scope.unknown(
                &Spot::Word(&stated.fact.place, word),
                word,
                &known,
                diagnostic,
                "",
            ));
        }
    }
}
