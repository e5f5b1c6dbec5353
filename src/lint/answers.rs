//! A material answers to liquids and tests, and to nothing else.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Kind;

pub(super) const LINT: Lint = Lint {
    code: "K0202",
    name: "answers",
    why: "a response under a name that no liquid and no test bears is never weighed; under a name \
          that both bear, it could be read either way",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let mut known = scope.ids(Kind::Agent);
    known.extend(scope.ids(Kind::Test));
    for stated in scope.facts() {
        let key = stated.key;
        if stated.group != Group::Answers || known.contains(&key) {
            continue;
        }
        let diagnostic =
            Diagnostic::error("K0202", format!("`{key}` is neither a liquid nor a test"));
        out.push(scope.unknown(
            &Spot::Key(&stated.fact.place, key),
            key,
            &known,
            diagnostic,
            "the keys are the file names in solvents and tests",
        ));
    }
    for test in scope.tests() {
        if scope.has(Kind::Agent, &test.head.id) {
            let diagnostic = Diagnostic::error(
                "K0202",
                format!("`{}` is a liquid and a test", test.head.id),
            );
            out.push(scope.finding(
                &Spot::At(&test.head.place),
                diagnostic.help("rename the test, so that a response under this id says which"),
            ));
        }
    }
}
