//! Words for what a test showed, to weighted outcomes of that test.

use super::subject::Sentence;
use super::{Object, Seen};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast;
use crate::model::naming::folds_to;
use crate::model::outcome::{measured, meets};
use crate::model::speech::{Frame, Meanings};
use crate::model::{Kind, TextColumn};
use crate::resolve::Resolver;
use crate::span::Span;
use crate::units::Quantity;

/// Weight left to an outcome that was denied.
const DENIED: f64 = 0.02;
/// Words that say how much or stand between, and no more.
const FILLERS: [&str; 28] = [
    "a", "an", "the", "very", "quite", "rather", "strongly", "brightly", "bright", "deep", "pale",
    "light", "patchy", "evenly", "and", "of", "some", "small", "many", "few", "powder", "tiny",
    "like", "to", "layer", "it", "with", "from",
];
/// The test of what a material did to what lies beside it, and words for that which say no more. Of another
/// test they would say of whom it was seen: what is brown around it is not brown itself.
const BESIDE: &str = "beside";
const NEIGHBOURS: [&str; 4] = ["body", "stone", "beside", "around"];
/// Words behind a verb that say how it went.
const HOW: [&str; 12] = [
    "slowly",
    "quickly",
    "fast",
    "slightly",
    "weakly",
    "faintly",
    "vigorously",
    "briskly",
    "once",
    "at",
    "readily",
    "easily",
];
/// Known outcomes listed in a message.
const LISTED: usize = 14;

impl<'a> Resolver<'a> {
    /// What a test showed, or what it is denied to have shown.
    pub(super) fn shown(&self, test: &str, weights: Vec<(String, f64)>, denied: bool) -> Seen {
        Seen {
            feature: test.to_owned(),
            liquid: false,
            weights: deny(weights, denied, self.outcomes_of(test)),
            belief: 1.0,
        }
    }

    pub(super) fn first_of(
        &mut self,
        tests: &[&str],
        words: &[String],
        denied: bool,
        span: Span,
    ) -> Option<Seen> {
        for test in tests {
            if let Some(weights) = self.outcome(test, words) {
                return Some(self.shown(test, weights, denied));
            }
        }
        self.unknown_outcome(tests, words, span);
        None
    }

    pub(super) fn test_outcome(
        &mut self,
        test: &str,
        frame: Option<&Frame>,
        folded: &[String],
        rest: &[String],
        denied: bool,
        span: Span,
    ) -> Option<Seen> {
        let all = self.outcomes_of(test);
        let seen = |weights| Some(self.shown(test, weights, false));
        let kind = frame.map_or("", |f| f.of.as_str());
        if kind == "positive" || kind == "negative" {
            let positive = (kind == "positive") != denied;
            let first = all.get(0).to_owned();
            let weights = if positive {
                vec![(first, 1.0)]
            } else {
                all.iter().skip(1).map(|o| (o.to_owned(), 1.0)).collect()
            };
            return seen(weights);
        }
        if let Some(weights) = self
            .outcome(test, rest)
            .or_else(|| self.outcome(test, folded))
        {
            return seen(deny(weights, denied, all));
        }
        // What is left over says how, or on what; another word would make it another finding.
        let said_all = rest
            .iter()
            .all(|w| says_nothing(test, w) || HOW.contains(&w.as_str()))
            || self.is_layer(rest);
        if let Some(frame) = frame
            && frame.of == test
            && said_all
        {
            if denied && !frame.denied.is_empty() {
                return seen(frame.denied.clone());
            }
            if !denied && !frame.outcomes.is_empty() {
                return seen(frame.outcomes.clone());
            }
        }
        if rest.is_empty() {
            let known = all.to_vec().join(", ");
            self.report(
                Diagnostic::error("Q0306", "what the test showed is missing")
                    .at(span, "what was seen?")
                    .help(format!("write one of its outcomes behind it: {known}")),
            );
            return None;
        }
        self.unknown_outcome(&[test], rest, span);
        None
    }

    pub(in crate::resolve) fn unknown_outcome(
        &mut self,
        tests: &[&str],
        words: &[String],
        span: Span,
    ) {
        let said = words.concat();
        let mut vocabulary: Vec<&str> = Vec::new();
        for test in tests {
            vocabulary.extend(self.outcomes_of(test).iter());
            let other = self.library.speech().answers(test);
            vocabulary.extend(other.into_iter().flat_map(|it| it.words().iter()));
        }
        let near = did_you_mean(&said, vocabulary);
        let shown = if words.is_empty() {
            span.slice(self.text).to_owned()
        } else {
            words.join(" ")
        };
        let of = match tests {
            [test] => format!("no outcome of {test}"),
            _ => "nothing that the corpus knows to be seen".to_owned(),
        };
        let diagnostic =
            Diagnostic::error("Q0309", format!("`{shown}` is {of}")).at(span, "unknown outcome");
        let known: Vec<String> = tests
            .iter()
            .flat_map(|t| self.outcomes_of(t).to_vec())
            .collect();
        let best = near
            .first()
            .map(|n| self.library.speech().written(n).to_owned());
        self.report(match best {
            Some(best) => diagnostic.help(format!("write `{best}`")),
            // Six tests have more outcomes than anybody reads in a message.
            None if known.len() > LISTED => diagnostic.help(
                "say what was seen: `looks brown`, `is brittle`, `smells of pine`, `melts`, \
                 `dissolves in acetone`; `palinode ask 'find test'` lists the tests",
            ),
            None => diagnostic.help(format!("known: {}", known.join(", "))),
        });
    }

    /// A number that was read off: `refractive index is 1.49`. The outcomes of the test say in which
    /// span it lies.
    pub(super) fn reading(
        &mut self,
        object: Option<&Object>,
        said: &Sentence,
        measure: &ast::Measure,
    ) -> Option<Seen> {
        let test = match object {
            Some(Object::Test(test)) => Some(test.clone()),
            _ => self.test_called(&said.folded.concat()),
        };
        let Some(test) = test else {
            self.report(
                Diagnostic::error("Q0307", "this reading is not in the corpus yet")
                    .at(measure.span, "a number")
                    .help("name an outcome in words, or leave the reading out"),
            );
            return None;
        };
        let weights = self.bins(&test, &measure.value);
        if weights.is_empty() {
            let known = self.outcomes_of(&test).to_vec().join(", ");
            self.report(
                Diagnostic::error(
                    "Q0307",
                    format!("`{test}` has outcomes in words, not numbers"),
                )
                .at(measure.span, "a number")
                .help(format!("known: {known}")),
            );
            return None;
        }
        Some(self.shown(&test, weights, said.denied))
    }

    /// Outcomes whose span of numbers (`below 1.45`, `1.45-1.50`, `8 to 14`) meets a reading.
    fn bins(&self, test: &str, reading: &Quantity) -> Vec<(String, f64)> {
        let Some(read) = measured(reading) else {
            return Vec::new();
        };
        let meets = |words: &str| meets(words, read);
        let mut out: Vec<(String, f64)> = self
            .outcomes_of(test)
            .iter()
            .filter(|o| meets(o))
            .map(|o| (o.to_owned(), 1.0))
            .collect();
        let speech = self.library.speech();
        for (words, weights) in speech.answers(test).into_iter().flat_map(Meanings::iter) {
            if meets(speech.written(words)) {
                out.extend(weights.map(|(outcome, weight)| (outcome.to_owned(), weight)));
            }
        }
        out
    }

    /// Whether words name a layer or one of the groups of layers.
    fn is_layer(&self, words: &[String]) -> bool {
        let plain: Vec<&str> = words
            .iter()
            .map(String::as_str)
            .filter(|w| !FILLERS.contains(w))
            .collect();
        let said = plain.concat();
        !said.is_empty()
            && (!self.library.named(&said, Some(Kind::Layer)).is_empty()
                || self.library.speech().note("group", &said).is_some())
    }

    pub(super) fn is_laboratory(&self, test: &str) -> bool {
        let table = self.library.table();
        table
            .feature(test)
            .is_some_and(|f| table.features[f].laboratory)
    }

    pub(super) fn is_agent(&self, words: &[String]) -> bool {
        !self
            .library
            .named(&words.concat(), Some(Kind::Agent))
            .is_empty()
    }

    pub(super) fn has_feature(&self, test: &str) -> bool {
        self.library
            .table()
            .features
            .iter()
            .any(|f| f.id == test && !f.liquid)
    }

    pub(super) fn outcomes_of(&self, test: &str) -> &'a TextColumn {
        const NONE: &TextColumn = &TextColumn::EMPTY;
        let table = self.library.table();
        let own = table.feature(test).map(|f| table.features[f].outcomes());
        own.unwrap_or(NONE)
    }

    /// Outcomes of a test that words name. Every word must be part of an outcome (or of what stands
    /// for one) or say nothing; a word that is left over makes the whole unknown, for `never brown`
    /// is not `brown`.
    pub(in crate::resolve) fn outcome(
        &self,
        test: &str,
        words: &[String],
    ) -> Option<Vec<(String, f64)>> {
        let mut found: Vec<(String, f64)> = Vec::new();
        let mut at = 0;
        while at < words.len() {
            let run = (1..=words.len() - at).rev().find_map(|length| {
                Some((length, self.said(test, &words[at..at + length].concat())?))
            });
            match run {
                Some((length, weights)) => {
                    for (outcome, weight) in weights {
                        match found.iter_mut().find(|(o, _)| *o == outcome) {
                            Some((_, old)) => *old = old.max(weight),
                            None => found.push((outcome, weight)),
                        }
                    }
                    at += length;
                }
                None if says_nothing(test, &words[at]) => at += 1,
                None => return None,
            }
        }
        (!found.is_empty()).then_some(found)
    }

    /// The outcomes of a test that one run of words names.
    fn said(&self, test: &str, said: &str) -> Option<Vec<(String, f64)>> {
        let outcomes = self.outcomes_of(test);
        // Other words come first: `protein` by infrared is glue as well as casein, whatever the
        // family of that name holds.
        let other = self.library.speech().answers(test);
        if let Some(weights) = other.and_then(|it| it.get(said)) {
            return Some(weights);
        }
        if let Some(hit) = outcomes.iter().find(|o| folds_to(o, said)) {
            return Some(vec![(hit.to_owned(), 1.0)]);
        }
        // Laboratory outcomes are ids of families; their names will do.
        let (_, index) = *self.library.named(said, Some(Kind::Family)).first()?;
        let id = self.library.id(Kind::Family, index)?;
        outcomes
            .iter()
            .any(|o| o == id)
            .then(|| vec![(id.to_owned(), 1.0)])
    }
}

/// Whether a word says nothing of what a test showed.
fn says_nothing(test: &str, word: &str) -> bool {
    FILLERS.contains(&word) || (test == BESIDE && NEIGHBOURS.contains(&word))
}

/// What is left when outcomes are denied.
pub(super) fn deny(
    weights: Vec<(String, f64)>,
    denied: bool,
    all: &TextColumn,
) -> Vec<(String, f64)> {
    if !denied {
        return weights;
    }
    all.iter()
        .map(|o| {
            let said = weights
                .iter()
                .find(|(w, _)| w == o)
                .map_or(0.0, |(_, n)| *n);
            (o.to_owned(), (1.0 - said).max(DENIED))
        })
        .collect()
}
