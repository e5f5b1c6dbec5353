//! What a liquid did, and what a reagent showed.

use super::outcome::deny;
use super::subject::Sentence;
use super::{Before, CONTENTS, FEELS, LOOKS, Object, STATES, Seen, UNTOLD_MEANS};
use crate::diag::{Diagnostic, did_you_mean, turns_round};
use crate::lang::ast;
use crate::model::naming::fold;
use crate::model::speech::Frame;
use crate::model::{Kind, Response, TextColumn};
use crate::resolve::Resolver;
use crate::span::Span;

impl Resolver<'_> {
    /// What was seen, from what was tried and the words for what happened.
    pub(super) fn seen(
        &mut self,
        it: &ast::Observation,
        said: &Sentence,
        object: Option<Object>,
        before: &mut Before,
    ) -> Option<Seen> {
        let folded = &said.folded[..];
        let (denied, span) = (said.denied, said.span);
        let framed = self.frame(folded);
        let rest = framed.map_or(folded, |(_, k)| &folded[k..]);
        let frame = framed.map(|(frame, _)| frame);
        if let Some(frame) = frame
            && frame.of == "liquid"
        {
            before.frame = Some(frame.clone());
        }
        match (&object, frame) {
            // `smells of sealing wax on the hot needle`: the verb names the test, and what stands after
            // it says how that was done.
            (Some(Object::Test(test)), Some(frame))
                if frame.of != *test
                    && self.has_feature(&frame.of)
                    && self.outcome(&frame.of, rest).is_some() =>
            {
                self.test_outcome(&frame.of, Some(frame), folded, rest, denied, span)
            }
            (Some(Object::Test(test)), frame) => {
                self.test_outcome(test, frame, folded, rest, denied, span)
            }
            (Some(Object::Liquid(agent)), Some(frame)) if frame.of == "liquid" => {
                Some(liquid(agent, frame, denied))
            }
            // `was applied in ethanol`: the liquid itself is what the verb's test tells.
            (Some(Object::Liquid(agent)), Some(frame)) if self.names_liquids(&frame.of) => {
                let weights = self.outcome(&frame.of, std::slice::from_ref(&fold(agent)));
                let Some(weights) = weights else {
                    self.unknown_outcome(&[&frame.of], std::slice::from_ref(agent), span);
                    return None;
                };
                Some(self.shown(&frame.of, weights, denied))
            }
            (Some(Object::Liquid(agent)), Some(frame)) => {
                // `fizzes in dilute acid`, `turns violet with ammonia`: the verb names the test.
                if self.has_feature(&frame.of) {
                    return self.test_outcome(&frame.of, Some(frame), folded, rest, denied, span);
                }
                // `becomes tacky with acetone`: a helping verb before one that speaks of liquids.
                match self.frame(rest) {
                    Some((inner, _)) if inner.of == "liquid" => Some(liquid(agent, inner, denied)),
                    _ => self.reagent_test(agent, rest, denied, span),
                }
            }
            (Some(Object::Liquid(agent)), None) => self.reagent_test(agent, folded, denied, span),
            (None, Some(frame))
                if frame.of == "liquid" && !rest.is_empty() && self.is_agent(rest) =>
            {
                // `resists ethanol`: the liquid stands without a small word.
                let (_, index) = *self
                    .library
                    .named(&rest.concat(), Some(Kind::Agent))
                    .first()?;
                let id = self.library.id(Kind::Agent, index)?.to_owned();
                Some(liquid(&id, frame, denied))
            }
            (None, Some(frame)) if frame.of == "liquid" => self.unaided(folded, denied, span),
            (None, Some(frame)) => self.verb(frame, folded, rest, denied, span),
            (None, None) => self.carried_on(it, said, before),
        }
    }

    /// A verb that speaks of liquids with none named: `melts` is said of the hot needle, `tacky` of
    /// the feel.
    fn unaided(&mut self, folded: &[String], denied: bool, span: Span) -> Option<Seen> {
        for test in ["needle", "hardness", "texture"] {
            if let Some(weights) = self.outcome(test, folded) {
                return Some(self.shown(test, weights, denied));
            }
        }
        self.report(
            Diagnostic::error("Q0306", "the liquid is missing")
                .at(span, "in what?")
                .help("write for example `dissolves in ethanol (crumb, 1 min)`"),
        );
        None
    }

    /// Whether outcomes of a test are liquids.
    fn names_liquids(&self, test: &str) -> bool {
        self.has_feature(test)
            && self
                .outcomes_of(test)
                .iter()
                .any(|outcome| self.library.agent(outcome).is_some())
    }

    /// Words without a verb: the verb before them holds on, or they say how it is.
    fn carried_on(
        &mut self,
        it: &ast::Observation,
        said: &Sentence,
        before: &Before,
    ) -> Option<Seen> {
        if it.is.is_none() && it.phrases.is_empty() {
            if let Some(frame) = &before.frame
                && let Some((_, index)) = self
                    .library
                    .named(&said.folded.concat(), Some(Kind::Agent))
                    .first()
            {
                let id = self.library.id(Kind::Agent, *index)?.to_owned();
                let plain = ast::join(&said.words);
                self.notes
                    .push(format!("\"{plain}\": read with the verb before it"));
                return Some(liquid(&id, frame, said.denied));
            }
            if let Some(test) = &before.laboratory
                && let Some(weights) = self.outcome(test, &said.folded)
            {
                return Some(self.shown(test, weights, said.denied));
            }
        }
        self.first_of(&STATES, &said.folded, said.denied, said.span)
    }

    /// A verb that names its test, or an adjective after one.
    fn verb(
        &mut self,
        frame: &Frame,
        folded: &[String],
        rest: &[String],
        denied: bool,
        span: Span,
    ) -> Option<Seen> {
        match frame.of.as_str() {
            "look" => self.first_of(&LOOKS, rest, denied, span),
            "feel" => self.first_of(&FEELS, rest, denied, span),
            "outcome" => self.first_of(&STATES, rest, denied, span),
            "contents" => self.contents(rest, denied, span),
            "positive" | "negative" => {
                self.report(
                    Diagnostic::error("Q0306", "the test is missing")
                        .at(span, "to which test?")
                        .help("write for example `is negative to diphenylamine (clean crumb)`"),
                );
                None
            }
            test => self.test_outcome(test, Some(frame), folded, rest, denied, span),
        }
    }

    /// `contains lead`: the laboratory's word, without the means; `contains wire` is seen in the break.
    fn contents(&mut self, words: &[String], denied: bool, span: Span) -> Option<Seen> {
        let mut seen = self.first_of(&CONTENTS, words, denied, span)?;
        if self.is_laboratory(&seen.feature) {
            seen.belief = UNTOLD_MEANS;
            self.notes.push(format!(
                "\"{}\": by what means was not said: it weighs as {}, with less belief; name the means, \
                 `xrf shows lead`, `ftir shows protein`",
                span.slice(self.text),
                seen.feature
            ));
        }
        Some(seen)
    }

    /// `turns violet with ammonia`: the test whose reagent or name goes with the liquid and that
    /// knows the outcome.
    pub(super) fn reagent_test(
        &mut self,
        agent: &str,
        words: &[String],
        denied: bool,
        span: Span,
    ) -> Option<Seen> {
        let features: Vec<String> = self
            .library
            .table()
            .features
            .iter()
            .filter(|f| !f.liquid && !f.laboratory)
            .map(|f| f.id.clone())
            .collect();
        // Alkali is the reagent of the lac-dye test; acid of the fizz test.
        let likely: Vec<String> = match agent {
            "dilute-ammonia" | "sodium-hydroxide" => vec!["alkali-drop".to_owned()],
            "dilute-acid" | "dilute-hydrochloric-acid" => vec!["acid-fizz".to_owned()],
            "water" => vec!["water-drop".to_owned()],
            _ => features,
        };
        for test in likely {
            if LOOKS.contains(&test.as_str()) || test == "uv" {
                continue;
            }
            if let Some(weights) = self.outcome(&test, words) {
                return Some(self.shown(&test, weights, denied));
            }
        }
        let verbs: Vec<String> = self
            .library
            .speech()
            .frames
            .iter()
            .filter(|f| f.of == "liquid")
            .flat_map(|f| f.says.iter().map(str::to_owned))
            .collect();
        let said = words.concat();
        let verbs = verbs.iter().map(String::as_str);
        let near = did_you_mean(&said, verbs.filter(|verb| !turns_round(&said, verb)));
        let diagnostic = Diagnostic::error(
            "Q0308",
            format!("`{}` is no verb of the bench", words.join(" ")),
        )
        .at(span, "unknown verb");
        self.report(match near.first().map(|n| self.library.speech().written(n).to_owned()) {
            Some(best) => diagnostic
                .help(format!("write `{best}`"))
                .edit(span, best.clone()),
            None => diagnostic.help(
                "known: dissolves, partly dissolves, swells, softens, is unaffected by, whitens, \
                 does not dissolve",
            ),
        });
        None
    }
}

pub(super) fn liquid(agent: &str, frame: &Frame, denied: bool) -> Seen {
    let weights = if denied {
        if frame.denied.is_empty() {
            let all: TextColumn = Response::ALL.iter().map(|r| r.word()).collect();
            deny(frame.outcomes.clone(), true, &all)
        } else {
            frame.denied.clone()
        }
    } else {
        frame.outcomes.clone()
    };
    Seen {
        belief: 1.0,
        feature: agent.to_owned(),
        liquid: true,
        weights,
    }
}
