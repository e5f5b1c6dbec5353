//! A field against a value: dimensions, closed lists of words, names of records.

use super::Resolver;
use super::checked::{CheckedTest, Compare};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{Comparison, Name, Value};
use crate::model::field::{Field, Holds};
use crate::model::naming::{fold, folds_to};
use crate::model::{Asked, Kind};
use crate::span::{Span, Spanned};
use crate::units::{Dimension, Quantity, Tag, units_of};

/// Keys whose words are classes of agent or ids of liquids.
const CLASS_OR_AGENT: [&str; 6] = [
    "carries",
    "carries-not",
    "delivers",
    "immiscible",
    "miscible",
    "partly-miscible",
];
/// Words of a closed list that a message names at the most.
const NAMED: usize = 24;

impl Resolver<'_> {
    pub(super) fn compare(
        &mut self,
        asked: Asked,
        comparison: &Spanned<Comparison>,
        value: &Value,
    ) -> Option<CheckedTest> {
        let Some(field) = asked.field() else {
            return self.answer_compare(asked, comparison, value);
        };
        let compare = match comparison.value {
            Comparison::Less => Compare::Less,
            Comparison::LessEqual => Compare::LessEqual,
            Comparison::Greater => Compare::Greater,
            Comparison::GreaterEqual => Compare::GreaterEqual,
            // `condition` puts the negation around the test.
            Comparison::Is | Comparison::IsNot => Compare::Is,
        };
        let ordered = matches!(
            field.holds,
            Holds::Measure(_) | Holds::MeasureOrText(_) | Holds::Limit
        );
        if compare != Compare::Is && !ordered {
            self.no_order(field, comparison, value);
            return None;
        }
        match (field.holds, value) {
            (Holds::Measure(dimension) | Holds::MeasureOrText(dimension), Value::Quantity(it)) => {
                self.dimension(field, dimension, &it.value, it.span)?;
                Some(CheckedTest::Measure(asked, compare, it.value.clone()))
            }
            (Holds::Limit, Value::Quantity(it)) => {
                self.limit(field, &it.value, it.span)?;
                Some(CheckedTest::Measure(asked, compare, it.value.clone()))
            }
            (Holds::Years, Value::Quantity(it)) => match it.value.years() {
                Some(years) => {
                    let (from, to) = years.bounds(self.now);
                    Some(CheckedTest::Years(asked, from, to))
                }
                None => {
                    self.report(
                        Diagnostic::error("Q0402", format!("`{}` wants years", field.key))
                            .at(it.span, "not years")
                            .help("write for example `used is 1930` or `used is 1890..1935`"),
                    );
                    None
                }
            },
            (Holds::Measure(dimension) | Holds::MeasureOrText(dimension), Value::Mix(mix)) => {
                self.report(
                    Diagnostic::error(
                        "Q0402",
                        format!("`{}` wants {}", field.key, dimension.name()),
                    )
                    .at(mix.span, "not a number")
                    .help(format!("units: {}", units_of(dimension).join(", "))),
                );
                None
            }
            (Holds::Years, Value::Mix(mix)) => {
                self.report(
                    Diagnostic::error("Q0402", format!("`{}` wants years", field.key))
                        .at(mix.span, "not years")
                        .help("write for example `used is 1930` or `used is 1890..1935`"),
                );
                None
            }
            (_, value) => self.word(asked, field, value),
        }
    }

    /// `acetone is swells` would be no sentence; `dissolves in acetone` is.
    fn answer_compare(
        &mut self,
        asked: Asked,
        comparison: &Spanned<Comparison>,
        value: &Value,
    ) -> Option<CheckedTest> {
        let Asked::Answer(id, _) = asked else {
            return None;
        };
        self.report(
            Diagnostic::error(
                "Q0312",
                format!("`{id}` is a liquid or a test, not a field"),
            )
            .at(comparison.span.to(value.span()), "compared")
            .help(format!(
                "write what it does: `dissolves in {id}`, or ask `known({id})`"
            )),
        );
        None
    }

    /// A word of the field: of its closed list, of the names of its kind, or free.
    fn word(&mut self, asked: Asked, field: &Field, value: &Value) -> Option<CheckedTest> {
        let text = value_text(value, self.text);
        let folded = fold(&text);
        let span = value.span();
        match field.holds {
            Holds::Ids(kind) => {
                let Value::Mix(mix) = value else {
                    self.no_name(field, kind, span);
                    return None;
                };
                let name = &mix.names[0];
                let index = self.record(name, kind)?;
                let id = self.library.id(kind, index)?.to_owned();
                Some(CheckedTest::Word(asked, vec![id]))
            }
            Holds::Words(list) => {
                let words: Vec<&str> = self
                    .library
                    .vocabulary()
                    .iter()
                    .filter(|(section, _, _)| section == list)
                    .map(|(_, word, _)| word.as_str())
                    .collect();
                if !words.is_empty() && !words.iter().any(|w| folds_to(w, &folded)) {
                    self.no_word(field, &text, &words, span);
                    return None;
                }
                Some(CheckedTest::Word(asked, vec![text]))
            }
            _ if CLASS_OR_AGENT.contains(&field.key) => {
                // A liquid goes where its class goes.
                let agent = match value {
                    Value::Mix(mix) if self.class_called(&text).is_none() => {
                        self.library.agent(&self.agent(mix)?)
                    }
                    _ => None,
                };
                let words = match (agent, self.class_called(&text)) {
                    (Some(agent), _) => vec![agent.head.id, agent.class.word().to_owned()],
                    (None, Some(class)) => vec![class.word().to_owned()],
                    (None, None) => vec![text],
                };
                Some(CheckedTest::Word(asked, words))
            }
            _ => Some(CheckedTest::Word(asked, vec![text])),
        }
    }

    fn no_name(&mut self, field: &Field, kind: Kind, span: Span) {
        self.report(
            Diagnostic::error("Q0402", format!("`{}` wants a {}", field.key, kind.noun()))
                .at(span, "a number")
                .help(format!("`find {}` lists them", kind.noun())),
        );
    }

    fn no_word(&mut self, field: &Field, text: &str, words: &[&str], span: Span) {
        let near = did_you_mean(&fold(text), words.iter().copied());
        let diagnostic = Diagnostic::error("Q0315", format!("`{}` cannot be `{text}`", field.key))
            .at(span, "not one of its words");
        self.report(match near.first() {
            Some(best) => diagnostic
                .help(format!("write `{best}`"))
                .edit(span, (*best).to_owned()),
            None if words.len() <= NAMED => diagnostic.help(format!("known: {}", words.join(", "))),
            None => diagnostic.help(format!(
                "known: {}, and {} more",
                words[..NAMED].join(", "),
                words.len() - NAMED
            )),
        });
    }

    /// An exposure limit is a share of the air, or a mass in a volume of it.
    fn limit(&mut self, field: &Field, quantity: &Quantity, span: Span) -> Option<()> {
        let dimension = quantity.unit.dimension();
        if dimension == Dimension::DENSITY || dimension == Dimension::tagged(Tag::PerMillion) {
            return Some(());
        }
        self.report(
            Diagnostic::error("Q0403", format!("`{}` is a share of the air", field.key))
                .at(span, "neither ppm nor a mass in a volume")
                .help("units: ppm, mg/m3; the two are not converted into each other"),
        );
        None
    }

    /// Reports `<` and its kin on a field whose values have no order.
    fn no_order(&mut self, field: &Field, comparison: &Spanned<Comparison>, value: &Value) {
        let (holds, help) = match field.holds {
            Holds::Years => (
                "spans of years",
                format!(
                    "write the years it must meet, for example `{} is 1890..1935`",
                    field.key
                ),
            ),
            Holds::Hansen | Holds::Teas => (
                "three numbers at once",
                format!("write `known({})` or `unknown({})`", field.key, field.key),
            ),
            _ => {
                let word = match value {
                    Value::Mix(_) => value_text(value, self.text),
                    Value::Quantity(_) => "WORD".to_owned(),
                };
                (
                    "words",
                    format!(
                        "write `{} is {word}` or `{} is not {word}`",
                        field.key, field.key
                    ),
                )
            }
        };
        self.report(
            Diagnostic::error(
                "Q0402",
                format!("`{}` holds {holds}, which have no order", field.key),
            )
            .at(comparison.span, "nothing to compare by size")
            .help(help),
        );
    }

    /// Checks that a quantity fits a field.
    fn dimension(
        &mut self,
        field: &Field,
        dimension: Dimension,
        quantity: &Quantity,
        span: Span,
    ) -> Option<()> {
        if quantity.unit.dimension() == dimension {
            return Some(());
        }
        let units = units_of(dimension);
        let wrong = if quantity.unit.is_none() {
            "the unit is missing".to_owned()
        } else {
            format!(
                "`{}` is {}",
                quantity.literal,
                quantity.unit.dimension().name()
            )
        };
        let help = if units.is_empty() {
            format!("`{}` is a bare number: {}", field.key, field.meaning)
        } else {
            format!("units: {}", units.join(", "))
        };
        self.report(
            Diagnostic::error("Q0403", format!("`{}` is {}", field.key, dimension.name()))
                .at(span, wrong)
                .help(help),
        );
        None
    }
}

fn value_text(value: &Value, text: &str) -> String {
    match value {
        Value::Quantity(it) => it.value.literal.clone(),
        Value::Mix(mix) => match &mix.names[..] {
            [name] => Name::text(name),
            _ => mix.span.slice(text).to_owned(),
        },
    }
}
