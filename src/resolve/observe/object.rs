//! With what something was tried: a liquid, a reagent, a light, a tool.

use super::notes::Circumstances;
use super::subject::Sentence;
use super::{NOTED, Object};
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Name, Prep, Value};
use crate::model::Kind;
use crate::model::naming::fold;
use crate::resolve::Resolver;
use crate::units::{Dimension, Reading};

/// Words before a noun that say nothing of it.
const ARTICLES: [&str; 8] = ["a", "an", "the", "his", "her", "my", "its", "some"];
/// Words before a liquid that say that it was heated, and the temperature that they are taken for, in
/// kelvin: hand-hot to just below where alcohol boils. Judgment.
const HEATED: [&str; 4] = ["hot", "warm", "heated", "boiling"];
const HOT: f64 = 333.15;
/// Temperature from which water is warm water, in kelvin: a collagen glue melts from about 40 C.
const WARM: f64 = 313.15;

/// What a name after a small word turned out to be.
enum Tried {
    Object(Object),
    /// Nothing that can be tried; it may be part of what was seen (`breaks with a glassy edge`).
    Loose(Vec<String>),
}

impl Resolver<'_> {
    /// What stands after the small words: a test or a liquid; `Some(None)` when nothing does.
    #[expect(
        clippy::option_option,
        reason = "the outer one says that a diagnostic was reported"
    )]
    pub(super) fn object(
        &mut self,
        it: &ast::Observation,
        said: &mut Sentence,
        circumstances: &mut Circumstances,
    ) -> Option<Option<Object>> {
        let mut found = said
            .test
            .clone()
            .map(Object::Test)
            .or_else(|| said.liquid.clone().map(Object::Liquid));
        for phrase in &it.phrases {
            for value in &phrase.values {
                let mix = match value {
                    Value::Mix(mix) => mix,
                    Value::Quantity(measure) => {
                        self.condition_of_trial(measure, circumstances)?;
                        continue;
                    }
                };
                if let Some(strength) = &mix.strength {
                    self.condition_of_trial(strength, circumstances)?;
                }
                let [name] = &mix.names[..] else {
                    found = Some(Object::Liquid(self.agent(mix)?));
                    continue;
                };
                match self.tried(name, &phrase.prep, phrase.span, circumstances)? {
                    // A liquid does not outrank a test that was named: `fizzes with a drop of acid
                    // under the lens`.
                    Tried::Object(Object::Liquid(_)) if matches!(found, Some(Object::Test(_))) => {}
                    Tried::Object(object) => found = Some(object),
                    Tried::Loose(words) => {
                        said.folded.extend(words);
                        said.unread = Some(name.clone());
                    }
                }
            }
        }
        if found.is_none() {
            found = self.after(said).or_else(|| self.at_the_end(said));
        }
        if let Some(name) = &said.unread
            && found.is_none()
            && !self.can_be_seen(&said.folded)
        {
            self.unknown_name(name, &[Kind::Agent, Kind::Test]);
            return None;
        }
        Some(found.map(|object| warmed(object, circumstances)))
    }

    fn tried(
        &mut self,
        name: &Name,
        prep: &crate::span::Spanned<Prep>,
        span: crate::span::Span,
        circumstances: &mut Circumstances,
    ) -> Option<Tried> {
        let mut words: Vec<&str> = name.words.iter().map(|w| w.text.as_str()).collect();
        while words.len() > 1 && ARTICLES.contains(&words[0]) {
            words.remove(0);
        }
        loop {
            let text = words.join(" ");
            if let Some(test) = self.test_called(&text) {
                return Some(Tried::Object(Object::Test(test)));
            }
            if let Some((_, index)) = self.library.named(&text, Some(Kind::Agent)).first() {
                let id = self.library.id(Kind::Agent, *index)?.to_owned();
                return Some(Tried::Object(Object::Liquid(id)));
            }
            // `ethanol gel`, `acetone vapour`: the carrier stands behind the liquid.
            let Some((last, liquid)) = words.split_last().filter(|(_, liquid)| !liquid.is_empty())
            else {
                break;
            };
            if let Some(carrier) = self.library.speech().note("carrier", &fold(last)) {
                circumstances.carrier = Some(carrier.to_owned());
                words.truncate(liquid.len());
            } else if HEATED.contains(&words[0]) {
                circumstances.kelvin = circumstances.kelvin.or(Some(HOT));
                words.remove(0);
            } else {
                break;
            }
        }
        let text = words.join(" ");
        if prep.value == Prep::On && !self.library.named(&text, Some(Kind::Layer)).is_empty() {
            self.report(
                Diagnostic::error("Q0306", format!("`{text}` is a layer"))
                    .at(span, "layers stand before `that`")
                    .help(format!("write `identify … on {text} that …`")),
            );
            return None;
        }
        Some(Tried::Loose(words.iter().map(|w| fold(w)).collect()))
    }

    /// `tacky after acetone`: the liquid stands behind a word that is no small word of the grammar.
    fn after(&self, said: &mut Sentence) -> Option<Object> {
        let at = said.folded.iter().position(|w| w == "after")?;
        let name = said.folded[at + 1..].concat();
        let (_, index) = *self.library.named(&name, Some(Kind::Agent)).first()?;
        let id = self.library.id(Kind::Agent, index)?.to_owned();
        said.folded.truncate(at);
        said.words.truncate(at);
        Some(Object::Liquid(id))
    }

    /// `has a green fluorescence`: the test stands last.
    fn at_the_end(&self, said: &mut Sentence) -> Option<Object> {
        let last = said.folded.last()?;
        if said.folded.len() < 2 || self.frame(&said.folded[said.folded.len() - 1..]).is_some() {
            return None;
        }
        let named = self.library.named(last, Some(Kind::Test));
        let id = self.library.id(Kind::Test, named.first()?.1)?.to_owned();
        said.folded.pop();
        said.words.pop();
        Some(Object::Test(id))
    }

    /// Whether words that name nothing may still say what was seen.
    fn can_be_seen(&self, folded: &[String]) -> bool {
        if self.is_noted(folded) {
            return true;
        }
        match self.frame(folded) {
            Some((frame, _)) => frame.of != "liquid" && frame.of != NOTED,
            None => true,
        }
    }

    /// `for 5 min`, `at 60 C`, `5 %`: time, warmth and strength of a trial.
    pub(super) fn condition_of_trial(
        &mut self,
        measure: &ast::Measure,
        circumstances: &mut Circumstances,
    ) -> Option<()> {
        let dimension = measure.value.unit.dimension();
        let base = measure.value.base(Reading::Point);
        if dimension == Dimension::TIME {
            circumstances.minutes = base.map(|b| b.high / 60.0);
        } else if dimension == Dimension::TEMPERATURE {
            circumstances.kelvin = base.map(|b| b.low);
        } else if !super::notes::is_condition(dimension) {
            self.report(
                Diagnostic::error(
                    "Q0402",
                    format!("`{}` says nothing of a trial", measure.value.literal),
                )
                .at(
                    measure.span,
                    "not a time, a temperature, a strength or passes",
                )
                .help("write for example `(crumb, 5 min)`, `(at 60 C)`, `(5 %)`, `(3 passes)`"),
            );
            return None;
        }
        Some(())
    }
}

/// Water that was warm is another liquid to a glue.
fn warmed(object: Object, circumstances: &Circumstances) -> Object {
    match object {
        Object::Liquid(id) if id == "water" && circumstances.kelvin.is_some_and(|k| k >= WARM) => {
            Object::Liquid("warm-water".to_owned())
        }
        other => other,
    }
}
