//! `find`: kinds, fields, conditions.

use super::Resolver;
use super::checked::{CheckedCondition, CheckedFind, CheckedTest, Compare};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Comparison, Condition, Name, Relation, TestKind, Value, Word};
use crate::model::field::{FIELDS, Field, Holds, field_named};
use crate::model::naming::fold;
use crate::model::{Age, Kind, Response};
use crate::span::{Span, Spanned};
use crate::units::{Dimension, Quantity, units_of};

/// Nouns for kinds of record other than materials.
pub(crate) const KIND_NOUNS: [(&str, Kind); 16] = [
    ("material", Kind::Material),
    ("materials", Kind::Material),
    ("layer", Kind::Layer),
    ("layers", Kind::Layer),
    ("solvent", Kind::Agent),
    ("solvents", Kind::Agent),
    ("liquid", Kind::Agent),
    ("reagent", Kind::Agent),
    ("carrier", Kind::Carrier),
    ("gellingagent", Kind::Carrier),
    ("method", Kind::Method),
    ("methods", Kind::Method),
    ("test", Kind::Test),
    ("tests", Kind::Test),
    ("source", Kind::Source),
    ("sources", Kind::Source),
];

impl Resolver<'_> {
    pub(super) fn find(&mut self, find: &ast::Find) -> Option<CheckedFind> {
        let text = find.name.text();
        let folded = fold(&text);
        let mut out = CheckedFind::default();
        if let Some((_, kind)) = KIND_NOUNS.iter().find(|(noun, _)| *noun == folded) {
            out.kinds = vec![*kind];
        } else if matches!(
            folded.as_str(),
            "anything" | "everything" | "record" | "records"
        ) {
            out.kinds = Vec::new();
        } else if let Some(named) = self.library.named(&text, None).first().copied()
            && named.0 != Kind::Family
        {
            out.kinds = vec![named.0];
            out.record = Some(named);
        } else {
            let what = self.what(&find.name)?;
            if let Some(bound) = &what.binding {
                self.bound_elsewhere(bound, find.name.span, "find");
                return None;
            }
            out.kinds = vec![Kind::Material];
            out.roles = what.roles;
            out.family = what.families.into_iter().next();
        }
        out.about = find.about.as_ref().map(|a| a.value.clone());
        if let Some(condition) = &find.condition {
            out.condition = Some(self.condition(&condition.value)?);
        }
        for (names, into) in [(&find.rank, &mut out.rank), (&find.show, &mut out.show)] {
            for name in names.iter().flat_map(|n| n.value.iter()) {
                into.push(self.field(&name.text(), name.span)?);
            }
        }
        out.limit = find.limit.as_ref().map(|l| l.value as usize);
        out.include_unknown = find.include_unknown.is_some();
        Some(out)
    }

    fn condition(&mut self, condition: &Condition) -> Option<CheckedCondition> {
        Some(match condition {
            Condition::And(list) => CheckedCondition::And(self.conditions(list)?),
            Condition::Or(list) => CheckedCondition::Or(self.conditions(list)?),
            Condition::Not { condition, .. } => {
                CheckedCondition::Not(Box::new(self.condition(condition)?))
            }
            Condition::Test(test) => {
                let checked = CheckedCondition::Test(self.test(test)?);
                if is_denied(test) {
                    // Negation of the whole test, so that what is not recorded stays unknown.
                    CheckedCondition::Not(Box::new(checked))
                } else {
                    checked
                }
            }
        })
    }

    fn conditions(&mut self, list: &[Condition]) -> Option<Vec<CheckedCondition>> {
        let all: Vec<Option<CheckedCondition>> = list.iter().map(|c| self.condition(c)).collect();
        all.into_iter().collect()
    }

    fn test(&mut self, test: &ast::Test) -> Option<CheckedTest> {
        match &test.kind {
            TestKind::Call { function, argument } => {
                let known = match function.text.as_str() {
                    "known" => true,
                    "unknown" => false,
                    _ => {
                        self.report(
                            Diagnostic::error(
                                "Q0311",
                                format!("no test is called `{}`", function.text),
                            )
                            .at(function.span, "unknown")
                            .help("write known(FIELD) or unknown(FIELD)"),
                        );
                        return None;
                    }
                };
                Some(CheckedTest::Known(
                    self.field(&argument.text(), argument.span)?,
                    known,
                ))
            }
            TestKind::Property {
                words,
                relation,
                when,
            } => self.property(words, relation, when.as_deref(), test.span),
        }
    }

    fn property(
        &mut self,
        words: &[Word],
        relation: &Relation,
        when: Option<&[Word]>,
        span: Span,
    ) -> Option<CheckedTest> {
        let text = ast::join(words);
        let folded = fold(&text);
        let words_span = words
            .first()
            .map_or(span, |w| w.span.to(words[words.len() - 1].span));
        let age = match when {
            None => None,
            Some(words) => Some(self.age(words)?),
        };
        if let Relation::Phrases(phrases) = relation {
            let value = phrases.iter().flat_map(|p| p.values.iter()).next();
            let Some(Value::Mix(mix)) = value else {
                self.report(
                    Diagnostic::error("Q0312", format!("`{text}` wants a liquid or a test"))
                        .at(span, "with what?")
                        .help("write for example `removable with ethanol when aged`"),
                );
                return None;
            };
            let agent = self.agent(mix)?;
            if matches!(folded.as_str(), "removable" | "reversible" | "removed") {
                return Some(CheckedTest::Removable(agent, age));
            }
            let frames = &self.library.speech().frames;
            let frame = frames
                .iter()
                .find(|f| f.of == "liquid" && f.says.contains(&folded));
            if let Some(frame) = frame {
                let wanted: Vec<String> = frame
                    .outcomes
                    .iter()
                    .filter(|(_, w)| *w >= 0.99)
                    .map(|(o, _)| o.clone())
                    .collect();
                return Some(CheckedTest::Answers(agent, wanted, age));
            }
            let verbs: Vec<String> = frames
                .iter()
                .filter(|f| f.of == "liquid")
                .flat_map(|f| f.says.iter().cloned())
                .collect();
            let near: Vec<String> = did_you_mean(&folded, verbs.iter().map(String::as_str))
                .into_iter()
                .map(str::to_owned)
                .collect();
            let diagnostic =
                Diagnostic::error("Q0308", format!("`{text}` is no verb of the bench"))
                    .at(words_span, "unknown verb");
            self.report(match near.first() {
                Some(best) => diagnostic
                    .help(format!("write `{best}`"))
                    .edit(words_span, best.clone()),
                None => diagnostic.help("known: removable, dissolves, swells, is unaffected"),
            });
            return None;
        }
        // A test id may be asked by outcome: `uv is orange when aged`.
        if let Relation::Compare(comparison, value) = relation
            // A layer has some tests as fields too; a material answers them by age.
            && field_named(&text.replace(' ', "-")).is_none_or(|f| f.holds == Holds::Outcomes)
            && matches!(comparison.value, Comparison::Is | Comparison::IsNot)
            && let Some((_, index)) = self.library.named(&text, Some(Kind::Test)).first()
        {
            let id = self.library.id(Kind::Test, *index)?.to_owned();
            let word = value_text(value, self.text);
            return Some(CheckedTest::Answers(id, vec![word], age));
        }
        let field = self.field(&text, words_span)?;
        match relation {
            Relation::Holds => Some(CheckedTest::Known(field, true)),
            Relation::Matches(text) => Some(CheckedTest::Matches(field, fold(&text.value))),
            Relation::Compare(comparison, value) => self.compare(field, comparison, value),
            Relation::Phrases(_) => None,
        }
    }

    fn age(&mut self, words: &[Word]) -> Option<Age> {
        let text = ast::join(words);
        match self.library.speech().note("age", &fold(&text)) {
            Some("aged") => Some(Age::Aged),
            Some("fresh") => Some(Age::Fresh),
            _ => {
                let span = words.first().map_or(Span::at(0), |w| w.span);
                self.report(
                    Diagnostic::error("Q0304", format!("`{text}` is no age"))
                        .at(span, "unknown")
                        .help("write `when fresh` or `when aged`"),
                );
                None
            }
        }
    }

    fn compare(
        &mut self,
        field: &'static Field,
        comparison: &Spanned<Comparison>,
        value: &Value,
    ) -> Option<CheckedTest> {
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
                Some(CheckedTest::Measure(field, compare, it.value.clone()))
            }
            (Holds::Limit, Value::Quantity(it)) => {
                Some(CheckedTest::Measure(field, compare, it.value.clone()))
            }
            (Holds::Years, Value::Quantity(it)) => match it.value.years() {
                Some(years) => {
                    let (from, to) = years.bounds(self.now);
                    Some(CheckedTest::Years(field, from, to))
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
            (_, value) => Some(CheckedTest::Word(field, value_text(value, self.text))),
        }
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

    /// The field that words name.
    fn field(&mut self, text: &str, span: Span) -> Option<&'static Field> {
        let folded = fold(text);
        let hit = FIELDS.iter().find(|f| {
            fold(f.key) == folded || FIELD_WORDS.iter().any(|(w, k)| *w == folded && *k == f.key)
        });
        if hit.is_none() {
            let mut vocabulary: Vec<&str> = FIELDS.iter().map(|f| f.key).collect();
            vocabulary.extend(FIELD_WORDS.iter().map(|(w, _)| *w));
            let near = did_you_mean(&folded, vocabulary);
            let diagnostic = Diagnostic::error("Q0313", format!("no field is called `{text}`"))
                .at(span, "unknown field");
            self.report(match near.first() {
                Some(best) => diagnostic
                    .help(format!("write `{best}`"))
                    .edit(span, (*best).to_owned()),
                None => {
                    let all: Vec<&str> = FIELDS.iter().map(|f| f.key).collect();
                    diagnostic.help(format!("fields: {}", all.join(", ")))
                }
            });
        }
        hit
    }
}

/// Trade words for fields.
const FIELD_WORDS: [(&str, &str); 12] = [
    ("glasstransition", "tg"),
    ("refractiveindices", "refractive-index"),
    ("ri", "refractive-index"),
    ("years", "used"),
    ("flashpoint", "flash"),
    ("boilingpoint", "boils"),
    ("meltingpoint", "melts"),
    ("softeningpoint", "softens"),
    ("lowerflammablelimit", "lfl"),
    ("exposurelimit", "limit"),
    ("hazard", "hazards"),
    ("solvents", "applied-in"),
];

/// Whether a test says `is not`.
fn is_denied(test: &ast::Test) -> bool {
    matches!(
        &test.kind,
        TestKind::Property {
            relation: Relation::Compare(comparison, _),
            ..
        } if comparison.value == Comparison::IsNot
    )
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

/// Whether a response counts as removable by the liquid alone or with a tool after it.
#[must_use]
pub fn is_removal(response: Response) -> bool {
    matches!(
        response,
        Response::Dissolves | Response::PartlyDissolves | Response::Swells
    )
}
