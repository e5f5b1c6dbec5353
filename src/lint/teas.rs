//! Teas fractions add up to a hundred.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Value;

pub(super) const LINT: Lint = Lint {
    code: "K0227",
    name: "teas",
    why: "they are shares in per cent; a sum that is off shows a misread row of the table",
    check,
};

/// What rounding of three whole numbers may bring.
const MARGIN: f64 = 1.0;

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let Value::Teas(d, p, h) = stated.fact.value else {
            continue;
        };
        let sum = d + p + h;
        let negative = [d, p, h].iter().any(|share| *share < 0.0);
        // A hair of slack for the sum of decimals.
        if !negative && (sum - 100.0).abs() <= MARGIN + 1e-9 {
            continue;
        }
        let diagnostic = Diagnostic::error("K0227", format!("Teas fractions add up to {sum}"))
            .help("three shares in per cent, dispersion first, that make 100 within 1");
        out.push(scope.finding(&Spot::At(&stated.fact.place), diagnostic));
    }
}
