//! Conditions after `where`: what the corpus records, asked of every kind of record.

use super::Resolver;
use super::checked::{CheckedCondition, CheckedTest};
use super::find::fields_named;
use crate::diag::Diagnostic;
use crate::lang::ast::{
    self, Comparison, Condition, Phrase, Prep, Relation, TestKind, Value, Word,
};
use crate::model::field::Holds;
use crate::model::naming::fold;
use crate::model::speech::outright;
use crate::model::{Age, Asked, Kind, Response, Verdict};
use crate::span::{Span, Spanned};
use crate::units::Dimension;

/// Words that ask whether something is taken off by some means.
pub(super) const REMOVABLE: [&str; 4] = ["removable", "reversible", "removed", "cleared"];
/// Words that ask how a layer bears some means.
pub(crate) const BORNE: [(&str, &str, &[Verdict]); 6] = [
    ("harmed", "a liquid or tool harms it", &[Verdict::Harms]),
    ("damaged", "a liquid or tool harms it", &[Verdict::Harms]),
    (
        "sensitive",
        "a liquid or tool harms it, or must be tried first",
        &[Verdict::Harms, Verdict::Test],
    ),
    ("safe", "it bears a liquid or tool", &[Verdict::Safe]),
    ("unharmed", "it bears a liquid or tool", &[Verdict::Safe]),
    ("bears", "it bears a liquid or tool", &[Verdict::Safe]),
];

impl Resolver<'_> {
    pub(super) fn condition(
        &mut self,
        condition: &Condition,
        kinds: &[Kind],
    ) -> Option<CheckedCondition> {
        Some(match condition {
            Condition::And(list) => CheckedCondition::And(self.conditions(list, kinds)?),
            Condition::Or(list) => CheckedCondition::Or(self.conditions(list, kinds)?),
            Condition::Not { condition, .. } => {
                CheckedCondition::Not(Box::new(self.condition(condition, kinds)?))
            }
            Condition::Test(test) => {
                let checked = self.test(test, kinds)?;
                if is_denied(test) {
                    // Negation of the whole test, so that what is not recorded stays unknown.
                    CheckedCondition::Not(Box::new(checked))
                } else {
                    checked
                }
            }
        })
    }

    fn conditions(&mut self, list: &[Condition], kinds: &[Kind]) -> Option<Vec<CheckedCondition>> {
        // Every member is read, so that every mistake is reported at once.
        let all: Vec<Option<CheckedCondition>> =
            list.iter().map(|c| self.condition(c, kinds)).collect();
        all.into_iter().collect()
    }

    fn test(&mut self, test: &ast::Test, kinds: &[Kind]) -> Option<CheckedCondition> {
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
                let asked = self.asked(&argument.text(), argument.span, kinds)?;
                Some(self.leaf(CheckedTest::Known(asked, known), test.span))
            }
            TestKind::Property {
                words,
                relation,
                when,
            } => self.property(words, relation, when.as_deref(), test.span, kinds),
        }
    }

    /// A test with its words, for whoever asks which one emptied an answer.
    fn leaf(&self, test: CheckedTest, span: Span) -> CheckedCondition {
        CheckedCondition::Test(test, span.slice(self.text).trim().to_owned())
    }

    fn property(
        &mut self,
        words: &[Word],
        relation: &Relation,
        when: Option<&[Word]>,
        span: Span,
        kinds: &[Kind],
    ) -> Option<CheckedCondition> {
        let text = ast::join(words);
        let words_span = match (words.first(), words.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => span,
        };
        match relation {
            Relation::Phrases(phrases) => {
                // `dissolves in (ethanol, acetone)`: any of a list; several small words: all.
                let mut all = Vec::new();
                for phrase in phrases {
                    let mut any = Vec::new();
                    for value in &phrase.values {
                        any.push(self.phrase(words, phrase, value, when, span, kinds));
                    }
                    let any: Option<Vec<_>> = any.into_iter().collect();
                    all.push(one_or(any?, CheckedCondition::Or));
                }
                Some(one_or(all, CheckedCondition::And))
            }
            Relation::Compare(comparison, value) => {
                // A test is asked by outcome: `uv is orange when aged`. A layer has some tests as
                // fields too.
                if matches!(comparison.value, Comparison::Is | Comparison::IsNot)
                    && fields_named(&text)
                        .iter()
                        .filter_map(Asked::field)
                        .all(|f| f.holds == Holds::Outcomes)
                    && let Some((_, index)) = self.library.named(&text, Some(Kind::Test)).first()
                {
                    let id = self.library.id(Kind::Test, *index)?.to_owned();
                    let age = self.age(when)?;
                    return self.outcome_test(&id, value, age, span);
                }
                let asked = self.asked(&text, words_span, kinds)?;
                self.no_age(when, &text)?;
                let test = self.compare(asked, comparison, value)?;
                Some(self.leaf(test, span))
            }
            Relation::Matches(wanted) => {
                let asked = self.asked(&text, words_span, kinds)?;
                self.no_age(when, &text)?;
                Some(self.leaf(CheckedTest::Matches(asked, fold(&wanted.value)), span))
            }
            Relation::Holds => {
                let is_field = !fields_named(&text).is_empty();
                if !is_field && let Some(seen) = self.bare(words, when, span, kinds) {
                    return Some(seen);
                }
                let asked = self.asked(&text, words_span, kinds)?;
                self.no_age(when, &text)?;
                Some(self.leaf(CheckedTest::Known(asked, true), span))
            }
        }
    }

    /// Words with one small word and one value.
    fn phrase(
        &mut self,
        words: &[Word],
        phrase: &Phrase,
        value: &Value,
        when: Option<&[Word]>,
        span: Span,
        kinds: &[Kind],
    ) -> Option<CheckedCondition> {
        let text = ast::join(words);
        let folded = fold(&text);
        let prep = phrase.prep.value;
        // `met on wood`, `applied in acetone` are fields; so is `family in (wax, protein)`.
        let with_prep = format!("{text} {}", prep.word());
        let field = if fields_named(&with_prep).is_empty() {
            (prep == Prep::In && !fields_named(&text).is_empty()).then_some(&text)
        } else {
            Some(&with_prep)
        };
        if let Some(name) = field {
            let asked = self.asked(name, span, kinds)?;
            self.no_age(when, name)?;
            let is = Spanned::new(Comparison::Is, phrase.prep.span);
            let test = self.compare(asked, &is, value)?;
            return Some(self.leaf(test, span));
        }
        if folded == "stable" && prep == Prep::To {
            let Value::Quantity(measure) = value else {
                return self.wants_temperature(value.span());
            };
            if measure.value.unit.dimension() != Dimension::TEMPERATURE {
                return self.wants_temperature(measure.span);
            }
            return Some(self.leaf(CheckedTest::StableTo(measure.value.clone()), span));
        }
        if let Some((.., verdicts)) = BORNE.iter().find(|(w, ..)| *w == folded) {
            let means = self.means(value, &text, span)?;
            let condition = self.state(when)?;
            let test = CheckedTest::Bears(means, verdicts.to_vec(), condition);
            return Some(self.leaf(test, span));
        }
        if REMOVABLE.contains(&folded.as_str()) {
            let means = self.means(value, &text, span)?;
            let age = self.age(when)?;
            return Some(self.leaf(CheckedTest::Removable(means, age), span));
        }
        if let Some(frame) = self.library.speech().verb_of_liquids(&folded) {
            let wanted = frame.said();
            let Value::Mix(mix) = value else {
                self.wants_means(&text, span);
                return None;
            };
            let agent = self.agent(mix)?;
            let age = self.age(when)?;
            return Some(self.leaf(CheckedTest::Answers(agent, wanted, age), span));
        }
        let one = Phrase {
            values: vec![value.clone()],
            ..phrase.clone()
        };
        let reported = self.diagnostics.len();
        if let Some(seen) = self.seen_in_records(words, &[one], when, span) {
            return Some(seen);
        }
        // Nothing that is seen at a bench: say what a condition may be instead.
        if self.diagnostics.len() == reported {
            self.wants_means(&text, span);
        }
        None
    }

    /// Words alone: `fluoresces orange when aged`, `bears ethanol`.
    fn bare(
        &mut self,
        words: &[Word],
        when: Option<&[Word]>,
        span: Span,
        kinds: &[Kind],
    ) -> Option<CheckedCondition> {
        let first = fold(&words.first()?.text);
        let reported = self.diagnostics.len();
        if words.len() > 1
            && let Some((.., verdicts)) = BORNE.iter().find(|(w, ..)| *w == first)
        {
            let name = ast::Name {
                words: words[1..].to_vec(),
                quoted: false,
                span: words[1].span.to(words[words.len() - 1].span),
            };
            let means = self.means_named(&name)?;
            let condition = self.state(when)?;
            let test = CheckedTest::Bears(means, verdicts.to_vec(), condition);
            return Some(self.leaf(test, span));
        }
        if kinds == [Kind::Agent]
            && let Some(test) = self.acts_on(words, when)?
        {
            return Some(self.leaf(test, span));
        }
        let about_materials = kinds.is_empty() || kinds.contains(&Kind::Material);
        let seen = about_materials
            .then(|| self.seen_in_records(words, &[], when, span))
            .flatten();
        if seen.is_none() {
            self.diagnostics.truncate(reported);
        }
        seen
    }

    /// `find solvent where dissolves shellac when aged`; `Some(None)` when the words are no such thing.
    #[expect(
        clippy::option_option,
        reason = "the outer one says that a diagnostic was reported"
    )]
    fn acts_on(&mut self, words: &[Word], when: Option<&[Word]>) -> Option<Option<CheckedTest>> {
        for k in (1..words.len()).rev() {
            let verb = fold(&ast::join(&words[..k]));
            let Some(frame) = self.library.speech().verb_of_liquids(&verb) else {
                continue;
            };
            let name = ast::join(&words[k..]);
            let Some((_, index)) = self
                .library
                .named(&name, Some(Kind::Material))
                .first()
                .copied()
            else {
                continue;
            };
            let wanted = frame.said();
            let id = self.library.id(Kind::Material, index)?;
            let material = Box::new(self.library.material(id)?);
            let age = self.age(when)?;
            return Some(Some(CheckedTest::ActsOn(material, wanted, age)));
        }
        Some(None)
    }

    /// Reads words as an observation at the bench, and asks the records for it.
    fn seen_in_records(
        &mut self,
        words: &[Word],
        phrases: &[Phrase],
        when: Option<&[Word]>,
        span: Span,
    ) -> Option<CheckedCondition> {
        let observation = ast::Observation {
            lead: None,
            is: None,
            negated: None,
            words: words.to_vec(),
            quantity: None,
            phrases: phrases.to_vec(),
            notes: Vec::new(),
            span,
        };
        let noted = self.notes.len();
        let seen = self.observations(std::slice::from_ref(&observation));
        self.notes.truncate(noted);
        let seen = seen.into_iter().next()?;
        let feature = &self.library.table().features[seen.feature?];
        let weights = feature
            .outcomes()
            .iter()
            .map(str::to_owned)
            .zip(seen.outcomes);
        let wanted = outright(&weights.collect::<Vec<_>>());
        let id = feature.id.clone();
        let age = self.age(when)?;
        Some(self.leaf(CheckedTest::Answers(id, wanted, age), span))
    }

    /// `uv is orange`: the outcome must be one of the test's.
    fn outcome_test(
        &mut self,
        test: &str,
        value: &Value,
        age: Option<Age>,
        span: Span,
    ) -> Option<CheckedCondition> {
        let words: Vec<String> = match value {
            Value::Mix(mix) if mix.names.len() == 1 => {
                mix.names[0].words.iter().map(|w| fold(&w.text)).collect()
            }
            _ => vec![fold(value.span().slice(self.text))],
        };
        let Some(weights) = self.outcome(test, &words) else {
            self.unknown_outcome(&[test], &words, value.span());
            return None;
        };
        let test = CheckedTest::Answers(test.to_owned(), outright(&weights), age);
        Some(self.leaf(test, span))
    }
}

/// One condition as it is, several joined.
fn one_or(
    mut list: Vec<CheckedCondition>,
    join: fn(Vec<CheckedCondition>) -> CheckedCondition,
) -> CheckedCondition {
    match list.pop() {
        Some(only) if list.is_empty() => only,
        Some(last) => {
            list.push(last);
            join(list)
        }
        None => join(list),
    }
}

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

/// Whether a response counts as removable by the liquid alone or with a tool after it.
#[must_use]
pub fn is_removal(response: Response) -> bool {
    matches!(
        response,
        Response::Dissolves | Response::PartlyDissolves | Response::Swells
    )
}
