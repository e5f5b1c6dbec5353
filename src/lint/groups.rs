//! A liquid's groups stand in the table of activity coefficients.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::chem::unifac::Molecule;
use crate::corpus::Finding;
use crate::diag::Diagnostic;

pub(super) const LINT: Lint = Lint {
    code: "K0235",
    name: "groups",
    why: "a group that the table does not know leaves the blend to ideal mixing, which is wrong for an \
          alcohol with a hydrocarbon",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        if stated.group != Group::Fields || stated.key != "unifac" || !stated.fact.value.is_known()
        {
            continue;
        }
        if let Err(error) = Molecule::read(stated.fact.words()) {
            let diagnostic = Diagnostic::error("K0235", error.to_string())
                .help("write the group of the table and its number, for example \"CH3 2\"");
            out.push(scope.finding(&Spot::At(&stated.fact.place), diagnostic));
        }
    }
}
