//! A locator leads to a place.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Basis;

pub(super) const LINT: Lint = Lint {
    code: "K0214",
    name: "locators",
    why: "a book without a page cannot be checked in a working day",
    check,
};

/// Words that want a number or a name after them.
const WANTING: &[&str] = &[
    "p", "pp", "page", "pages", "fig", "figure", "sec", "section", "chapter", "no", "ibid",
];

/// Marks of a locator that was left for later.
const LATER: &[&str] = &["todo", "tbd", "xx", "xxx", "unknown", "various", "passim"];

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for (basis, place) in scope.bases() {
        let Basis::Published { locator, .. } = basis else {
            continue;
        };
        let lower = locator.to_lowercase();
        let words: Vec<&str> = lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|w| !w.is_empty())
            .collect();
        let leads = match words[..] {
            [] => false,
            [only] => !WANTING.contains(&only),
            _ => true,
        };
        if leads && !locator.contains(['?', '…']) && !words.iter().any(|w| LATER.contains(w)) {
            continue;
        }
        let written = basis.to_string();
        let diagnostic =
            Diagnostic::error("K0214", format!("the locator `{locator}` leads nowhere")).help(
                "name what was seen: \"p. 64\", \"Table A.2\", \"section 2\", \"abstract\", \
                 \"whole posting\"",
            );
        out.push(scope.finding(&Spot::Word(place, &written), diagnostic));
    }
}
