//! The unit of a number fits its field.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Value;
use crate::model::field::{Holds, field_of};
use crate::units::{Dimension, Tag, units_of};

pub(super) const LINT: Lint = Lint {
    code: "K0215",
    name: "dimensions",
    why: "a temperature in pascals is a slip, and a comparison with it would be nonsense",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let field = field_of(stated.record.kind(), stated.key);
        let (Group::Fields, Some(field), Value::Measure(quantity)) =
            (stated.group, field, &stated.fact.value)
        else {
            continue;
        };
        let found = quantity.unit.dimension();
        let (fits, wanted) = match field.holds {
            Holds::Measure(dimension) | Holds::MeasureOrText(dimension) => {
                (found == dimension, wanted(dimension))
            }
            Holds::Limit => (
                found == Dimension::tagged(Tag::PerMillion) || quantity.unit.symbol() == "mg/m3",
                "write it in ppm or mg/m3".to_owned(),
            ),
            _ => continue,
        };
        if fits {
            continue;
        }
        let diagnostic = Diagnostic::error(
            "K0215",
            format!(
                "`{}` is {found}, which `{}` is not",
                quantity.literal, stated.key
            ),
        )
        .help(wanted);
        let spot = Spot::Word(&stated.fact.place, &quantity.literal);
        out.push(scope.finding(&spot, diagnostic));
    }
}

fn wanted(dimension: Dimension) -> String {
    let units = units_of(dimension);
    if units.is_empty() {
        "write a plain number".to_owned()
    } else {
        format!("write {} in {}", dimension.name(), units.join(", "))
    }
}
