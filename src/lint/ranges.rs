//! A range runs from low to high, and the years of main use lie within the years of use.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Value;
use crate::units::{YearEnd, YearSpan};

pub(super) const LINT: Lint = Lint {
    code: "K0217",
    name: "ranges",
    why: "a range backwards holds no value; main use outside use makes the dating of a restoration \
          contradict itself",
    check,
};

/// A year that no record reaches, for `now`.
const NOW: i32 = 9999;

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope.facts() {
        let backwards = match &stated.fact.value {
            Value::Measure(quantity) => quantity.bounds().is_some_and(|b| b.low > b.high),
            Value::Years(span) => {
                let (from, to) = span.bounds(NOW);
                from > to
            }
            _ => false,
        };
        if backwards {
            let diagnostic = Diagnostic::error(
                "K0217",
                format!("the range of `{}` runs backwards", stated.key),
            );
            out.push(scope.finding(
                &Spot::At(&stated.fact.place),
                diagnostic.help("write the lower end first"),
            ));
        }
        if stated.group == Group::Fields
            && stated.key == "main"
            && let (Value::Years(main), Some(used)) =
                (&stated.fact.value, stated.record.head().facts.years("used"))
            && !within(*main, used)
        {
            let diagnostic =
                Diagnostic::error("K0217", "the main use lies outside the years of use");
            out.push(scope.finding(
                &Spot::At(&stated.fact.place),
                diagnostic.help("widen `used`, or narrow `main`"),
            ));
        }
    }
}

/// Whether a span lies in another; an end that is not stated is not held against it.
fn within(inner: YearSpan, outer: YearSpan) -> bool {
    let ((from, to), (first, last)) = (inner.bounds(NOW), outer.bounds(NOW));
    (inner.from == YearEnd::Open || from >= first) && (inner.to == YearEnd::Open || to <= last)
}

#[cfg(test)]
mod tests {
    use super::{LINT, within};
    use crate::corpus::Corpus;
    use crate::lint::scope::Scope;
    use crate::model::{Agent, AgentSort, Basis, Class, Fact, Head, Place, Record, Value};
    use crate::units::{Amount, Quantity, Unit, parse_years};

    /// The reader refuses a range backwards, so only a record made in memory can hold one.
    fn density(low: f64, high: f64) -> usize {
        let quantity = Quantity {
            amount: Amount::Range {
                low: Some(low),
                high: Some(high),
            },
            unit: Unit::from_symbol("g/ml").expect("a unit of the table"),
            literal: format!("{low}..{high} g/ml"),
        };
        let mut head = Head {
            id: "toluene".to_owned(),
            place: Place::default(),
            ..Head::default()
        };
        head.facts.push(
            "density",
            Fact::new(Value::Measure(quantity), Basis::Memory),
        );
        let corpus = Corpus {
            records: vec![Record::Agent(Agent {
                head,
                sort: AgentSort::Solvent,
                class: Class::Aromatic,
                cas: None,
                parts: Vec::new(),
                like: None,
                strength: 4,
                cmr: None,
                needs_permission: false,
                hazards: Vec::new(),
                hansen: None,
            })],
            ..Corpus::default()
        };
        let mut out = Vec::new();
        (LINT.check)(&Scope::new(&corpus, &[]), &mut out);
        out.len()
    }

    #[test]
    fn a_range_backwards_is_found() {
        assert_eq!(density(0.86, 0.87), 0);
        assert_eq!(density(0.87, 0.86), 1);
    }

    #[test]
    fn an_open_end_is_not_held_against_a_span() {
        let years = |text| parse_years(text).expect("years");
        assert!(within(years("1950..now"), years("1930..now")));
        assert!(within(years("..1950"), years("1900..1960")));
        assert!(within(years("antiquity..1900"), years("antiquity..now")));
        assert!(!within(years("1950..now"), years("1930..1980")));
        assert!(!within(years("1920..1950"), years("1930..1980")));
    }
}
