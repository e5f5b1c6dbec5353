//! Outcomes of a test that are spans of numbers (`1.45-1.50`, `above 8`), and what a recorded fact
//! says in the outcomes of a test.

use super::fact::{Fact, Value};
use crate::units::{Dimension, Quantity, Reading};

/// Kilograms in a cubic metre to grams in a millilitre, in which densities are written down.
const GRAMS_IN_ML: f64 = 1e-3;

/// The outcome of a test that shows nothing of its kind.
const NONE: &str = "none";

/// Outcomes that a fact names, as a set of bits by position: its words, or the spans that its number
/// or range meets. Empty where it says nothing.
#[must_use]
pub fn of(fact: &Fact, outcomes: &[&str]) -> u64 {
    let chosen = |fits: &dyn Fn(&str) -> bool| {
        let places = outcomes.iter().enumerate().filter(|(_, o)| fits(o));
        places.fold(0, |set, (n, _)| set | 1 << n)
    };
    match &fact.value {
        Value::Words(words) => chosen(&|outcome| words.iter().any(|w| w == outcome)),
        Value::Measure(quantity) => {
            measured(quantity).map_or(0, |read| chosen(&|outcome| meets(outcome, read)))
        }
        _ => 0,
    }
}

/// The same of a fact that a test reads in place of answers. What does not apply is then an outcome, where
/// the test has a word for it: what went on without a liquid was applied in none. Of an answer it is not: that
/// a smell is not to be tried does not say that there is none.
#[must_use]
pub fn of_read(fact: &Fact, outcomes: &[&str]) -> u64 {
    match &fact.value {
        Value::NotApplicable(_) => outcomes
            .iter()
            .position(|outcome| *outcome == NONE)
            .map_or(0, |n| 1 << n),
        _ => of(fact, outcomes),
    }
}

/// The lowest and highest number that a quantity without unit states; of a density that in g/ml.
#[must_use]
pub fn measured(quantity: &Quantity) -> Option<(f64, f64)> {
    let base = quantity.base(Reading::Point)?;
    match quantity.unit.dimension() {
        _ if quantity.unit.is_none() => Some((base.low, base.high)),
        Dimension::DENSITY => Some((base.low * GRAMS_IN_ML, base.high * GRAMS_IN_ML)),
        _ => None,
    }
}

/// Whether the span that an outcome names meets a reading, its ends counted in.
#[must_use]
pub fn meets(outcome: &str, (least, most): (f64, f64)) -> bool {
    span(outcome).is_some_and(|(low, high)| least <= high && most >= low)
}

/// The span that words like `below 1.45`, `1.45-1.50`, `6 to 8` and `above 8` name.
fn span(words: &str) -> Option<(f64, f64)> {
    if let Some(high) = words.strip_prefix("below ") {
        return Some((f64::NEG_INFINITY, high.parse().ok()?));
    }
    if let Some(low) = words.strip_prefix("above ") {
        return Some((low.parse().ok()?, f64::INFINITY));
    }
    let (low, high) = words.split_once(" to ").or_else(|| words.split_once('-'))?;
    Some((low.trim().parse().ok()?, high.trim().parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Basis;

    #[test]
    fn spans_in_words_are_numbers() {
        assert_eq!(span("1.45-1.50"), Some((1.45, 1.5)));
        assert_eq!(span("6 to 8"), Some((6.0, 8.0)));
        assert_eq!(span("below 1.45"), Some((f64::NEG_INFINITY, 1.45)));
        assert_eq!(span("above 8"), Some((8.0, f64::INFINITY)));
        for words in ["red-brown", "blue", "below", "2 layers"] {
            assert_eq!(span(words), None);
        }
    }

    #[test]
    fn a_fact_names_outcomes_by_word_or_by_number() {
        let outcomes = ["below 1.0", "1.0-1.6", "1.6-4", "above 4"];
        let density = |literal: &str| {
            let quantity = crate::units::parse_quantity(literal).expect("a quantity");
            of(
                &Fact::new(Value::Measure(quantity), Basis::Memory),
                &outcomes,
            )
        };
        assert_eq!(density("0.95 g/ml"), 0b0001);
        assert_eq!(density("1.5..1.7 g/ml"), 0b0110);
        assert_eq!(density("11340 kg/m3"), 0b1000);
        assert_eq!(density("3 MPa"), 0);
        let not = Fact::new(Value::NotApplicable("do not sniff".into()), Basis::Memory);
        assert_eq!(of(&not, &["pine", "none"]), 0);
        assert_eq!(of_read(&not, &["pine", "none"]), 0b10);
        let words = Value::Words(vec!["above 4".into(), "heavy".into()]);
        assert_eq!(of(&Fact::new(words, Basis::Memory), &outcomes), 0b1000);
    }
}
