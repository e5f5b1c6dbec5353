//! What was seen at the bench: verbs, liquids, tests and outcomes to weighted outcomes of a feature
//! of the corpus. The words are data (`kb/vocab/speech.toml`); this is how they are read.

use super::Resolver;
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, NoteValue, Prep, Value, Word};
use crate::model::naming::fold;
use crate::model::scene::{Observation, SceneLayer};
use crate::model::speech::Frame;
use crate::model::{Kind, Response, Specimen, Verdict};
use crate::span::Span;
use crate::units::{Dimension, Reading};

/// What was tried.
#[derive(Clone, Debug, PartialEq)]
enum Object {
    /// A liquid, by id.
    Liquid(String),
    /// A test, by id.
    Test(String),
}

/// Outcomes of a feature.
struct Seen {
    feature: String,
    liquid: bool,
    weights: Vec<(String, f64)>,
}

/// Conditions of an observation, from its notes.
struct Circumstances {
    specimen: Option<Specimen>,
    clean: bool,
    zone: String,
    minutes: Option<f64>,
    blank: bool,
    belief: f64,
}

/// Belief in a stand-in liquid, where the corpus has no record of the liquid itself.
const STAND_IN: f64 = 0.85;
/// Most observations of one question: weighing them costs the cube of their number.
const MOST_OBSERVATIONS: usize = 120;
/// Belief from which a trial on the object counts.
const SURE: f64 = 0.9;
/// Weight left to an outcome that was denied.
const DENIED: f64 = 0.02;
/// Tests that adjectives speak of, in the order of trial.
pub(crate) const LOOKS: [&str; 4] = ["colour", "texture", "lens", "hardness"];
/// Words that say how much or stand between, and no more.
const FILLERS: [&str; 22] = [
    "a", "an", "the", "very", "quite", "rather", "strongly", "brightly", "bright", "deep", "pale",
    "light", "patchy", "evenly", "and", "of", "some", "small", "many", "few", "powder", "tiny",
];
/// Tests that `feels` speaks of, in the order of trial.
pub(crate) const FEELS: [&str; 3] = ["hardness", "texture", "colour"];
/// Tests that a bare state (`is brittle`) speaks of, in the order of trial.
pub(crate) const STATES: [&str; 6] = [
    "hardness",
    "texture",
    "colour",
    "lens",
    "needle",
    "vapour-ph",
];

impl Resolver<'_> {
    /// Everything that was seen of the unknown.
    pub(super) fn observations(&mut self, list: &[ast::Observation]) -> Vec<Observation> {
        let mut out: Vec<Observation> = Vec::new();
        let mut previous: Option<Frame> = None;
        for it in list {
            if out.len() >= MOST_OBSERVATIONS {
                self.report(
                    Diagnostic::error("Q0320", "too many observations for one question")
                        .at(it.span, "from here on")
                        .help(format!(
                            "the most is {MOST_OBSERVATIONS}: give each test once, with its clearest \
                             result"
                        )),
                );
                break;
            }
            for (one, liquid) in self.each_liquid(it) {
                if let Some(mut observation) = self.observation(&one, &mut previous) {
                    if let Some(liquid) = liquid {
                        observation.text = format!("{} [{liquid}]", observation.text);
                    }
                    out.push(observation);
                }
            }
        }
        out
    }

    /// `is unaffected by common solvents` is said of each of them. What a group *does* cannot be
    /// said of each: then the group stays a word, and the liquid must be named.
    fn each_liquid(&self, it: &ast::Observation) -> Vec<(ast::Observation, Option<String>)> {
        let folded: Vec<String> = it.words.iter().map(|w| fold(&w.text)).collect();
        let denies = self.frame(&folded).is_some_and(|(frame, _)| {
            frame.of == "liquid"
                && frame
                    .outcomes
                    .iter()
                    .any(|(o, w)| o == "no effect" && *w >= 0.8)
                    != it.negated.is_some()
        });
        let speech = self.library.speech();
        for (p, phrase) in it.phrases.iter().enumerate() {
            let Some(Value::Mix(mix)) = phrase.values.first() else {
                continue;
            };
            let [name] = &mix.names[..] else { continue };
            let said = fold(&name.text());
            let Some((_, members)) = speech.groups.iter().find(|(words, _)| *words == said) else {
                continue;
            };
            if !denies {
                continue;
            }
            return members
                .iter()
                .map(|id| {
                    let mut one = it.clone();
                    if let Some(Value::Mix(mix)) = one.phrases[p].values.first_mut() {
                        mix.names[0].words = vec![Word {
                            text: id.clone(),
                            span: mix.names[0].span,
                        }];
                    }
                    (one, Some(id.clone()))
                })
                .collect();
        }
        vec![(it.clone(), None)]
    }

    fn observation(
        &mut self,
        it: &ast::Observation,
        previous: &mut Option<Frame>,
    ) -> Option<Observation> {
        let text = it.span.slice(self.text).trim().to_owned();
        let mut circumstances = self.circumstances(it)?;
        let mut words: Vec<Word> = it.words.clone();
        let mut denied = it.negated.is_some();
        if let Some(lead) = &it.lead {
            for word in &lead.words {
                let folded = fold(&word.text);
                match folded.as_str() {
                    "does" | "do" | "it" | "has" | "was" | "been" | "the" => {}
                    "cannot" | "doesnt" | "isnt" => denied = true,
                    _ => match self.library.speech().belief(&folded) {
                        Some(belief) => circumstances.belief *= belief,
                        None => {
                            self.report(
                                Diagnostic::error(
                                    "Q0305",
                                    format!("`{}` is no subject here", lead.text()),
                                )
                                .at(lead.span, "what was seen is said of the unknown itself")
                                .help("results on a layer go in a `given` clause"),
                            );
                            return None;
                        }
                    },
                }
            }
        }
        while let Some(first) = words.first() {
            let folded = fold(&first.text);
            if let Some(belief) = self.library.speech().belief(&folded) {
                circumstances.belief *= belief;
            } else if !matches!(folded.as_str(), "it" | "also" | "quite" | "very")
                || words.len() == 1
            {
                break;
            }
            words.remove(0);
        }
        let folded: Vec<String> = words.iter().map(|w| fold(&w.text)).collect();
        if denied && folded == ["tried"] {
            self.notes.push(format!(
                "\"{text}\": not tried says nothing, and was left out"
            ));
            return None;
        }
        let object = self.object(it)?;
        let seen = self.seen(it, &words, &folded, object, denied, previous)?;
        self.build(text, seen, circumstances)
    }

    /// What stands after the small words: a test or a liquid; `Some(None)` when nothing does.
    #[allow(
        clippy::option_option,
        reason = "the outer one says that a diagnostic was reported"
    )]
    fn object(&mut self, it: &ast::Observation) -> Option<Option<Object>> {
        let mut found = None;
        for phrase in &it.phrases {
            for value in &phrase.values {
                let Value::Mix(mix) = value else {
                    continue;
                };
                if let [name] = &mix.names[..] {
                    let mut text = name.text();
                    for article in ["a ", "an ", "the ", "his ", "her ", "my "] {
                        if let Some(rest) = text.strip_prefix(article) {
                            text = rest.to_owned();
                        }
                    }
                    if let Some((_, index)) = self.library.named(&text, Some(Kind::Test)).first() {
                        let id = self.library.id(Kind::Test, *index)?.to_owned();
                        found = Some(Object::Test(id));
                        continue;
                    }
                    if let Some((_, index)) = self.library.named(&text, Some(Kind::Agent)).first() {
                        let id = self.library.id(Kind::Agent, *index)?.to_owned();
                        // A liquid does not outrank a test that was named: `fizzes with a drop of
                        // acid under the lens`.
                        if !matches!(found, Some(Object::Test(_))) {
                            found = Some(Object::Liquid(id));
                        }
                        continue;
                    }
                    if phrase.prep.value == Prep::On
                        && !self.library.named(&text, Some(Kind::Layer)).is_empty()
                    {
                        self.report(
                            Diagnostic::error("Q0306", format!("`{text}` is a layer"))
                                .at(phrase.span, "layers stand before `that`")
                                .help(format!("write `identify … on {text} that …`")),
                        );
                        return None;
                    }
                    self.unknown_name(name, &[Kind::Agent, Kind::Test]);
                    return None;
                }
                found = Some(Object::Liquid(self.agent(mix)?));
            }
        }
        Some(found)
    }

    /// The frame whose words stand first, and how many of them there are.
    fn frame(&self, folded: &[String]) -> Option<(Frame, usize)> {
        (1..=folded.len()).rev().find_map(|k| {
            let said = folded[..k].concat();
            self.library
                .speech()
                .frames
                .iter()
                .find(|frame| frame.says.contains(&said))
                .map(|frame| (frame.clone(), k))
        })
    }

    fn seen(
        &mut self,
        it: &ast::Observation,
        words: &[Word],
        folded: &[String],
        object: Option<Object>,
        denied: bool,
        previous: &mut Option<Frame>,
    ) -> Option<Seen> {
        let framed = self.frame(folded);
        let rest = framed.as_ref().map_or(folded, |(_, k)| &folded[*k..]);
        let span = words
            .first()
            .map_or(it.span, |w| w.span.to(words[words.len() - 1].span));
        let frame = framed.as_ref().map(|(f, _)| f.clone());
        if let Some(frame) = &frame
            && frame.of == "liquid"
        {
            *previous = Some(frame.clone());
        }
        match (&object, frame) {
            (Some(Object::Test(test)), frame) => {
                self.test_outcome(test, frame.as_ref(), folded, rest, denied, span)
            }
            (Some(Object::Liquid(agent)), Some(frame)) if frame.of == "liquid" => {
                Some(liquid(agent, &frame, denied))
            }
            (Some(Object::Liquid(agent)), Some(frame)) => {
                // `fizzes in dilute acid`, `turns violet with ammonia`: the verb names the test.
                if self.has_feature(&frame.of) {
                    return self.test_outcome(&frame.of, Some(&frame), folded, rest, denied, span);
                }
                self.reagent_test(agent, rest, denied, span)
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
                Some(liquid(&id, &frame, denied))
            }
            (None, Some(frame)) if frame.of == "liquid" => {
                // `melts`, `softens` with nothing named: the hot needle.
                if let Some(weights) = self.outcome("needle", folded) {
                    return Some(Seen {
                        feature: "needle".to_owned(),
                        liquid: false,
                        weights: deny(weights, denied, &self.outcomes_of("needle")),
                    });
                }
                self.report(
                    Diagnostic::error("Q0306", "the liquid is missing")
                        .at(span, "in what?")
                        .help("write for example `dissolves in ethanol (crumb, 1 min)`"),
                );
                None
            }
            (None, Some(frame)) => self.verb(&frame, folded, rest, denied, span),
            (None, None) => {
                // `dissolves in ethanol, acetone`: the verb holds on.
                if let Some(frame) = previous.clone()
                    && it.is.is_none()
                {
                    let plain = ast::join(words);
                    if let Some((_, index)) = self.library.named(&plain, Some(Kind::Agent)).first()
                    {
                        let id = self.library.id(Kind::Agent, *index)?.to_owned();
                        self.notes
                            .push(format!("\"{plain}\": read with the verb before it"));
                        return Some(liquid(&id, &frame, denied));
                    }
                }
                self.state(folded, denied, it, span)
            }
        }
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

    /// An adjective with no verb: `is brittle`.
    fn state(
        &mut self,
        folded: &[String],
        denied: bool,
        it: &ast::Observation,
        span: Span,
    ) -> Option<Seen> {
        if let Some(quantity) = &it.quantity {
            self.report(
                Diagnostic::error("Q0307", "this reading is not in the corpus yet")
                    .at(quantity.span, "a number")
                    .help("name an outcome in words, or leave the reading out"),
            );
            return None;
        }
        self.first_of(&STATES, folded, denied, span)
    }

    fn first_of(
        &mut self,
        tests: &[&str],
        words: &[String],
        denied: bool,
        span: Span,
    ) -> Option<Seen> {
        for test in tests {
            if let Some(weights) = self.outcome(test, words) {
                return Some(Seen {
                    feature: (*test).to_owned(),
                    liquid: false,
                    weights: deny(weights, denied, &self.outcomes_of(test)),
                });
            }
        }
        self.unknown_outcome(tests, words, span);
        None
    }

    fn test_outcome(
        &mut self,
        test: &str,
        frame: Option<&Frame>,
        folded: &[String],
        rest: &[String],
        denied: bool,
        span: Span,
    ) -> Option<Seen> {
        let all = self.outcomes_of(test);
        let seen = |weights| {
            Some(Seen {
                feature: test.to_owned(),
                liquid: false,
                weights,
            })
        };
        let kind = frame.map_or("", |f| f.of.as_str());
        if kind == "positive" || kind == "negative" {
            let positive = (kind == "positive") != denied;
            let first = all.first().cloned().unwrap_or_default();
            let weights = if positive {
                vec![(first, 1.0)]
            } else {
                all.iter().skip(1).map(|o| (o.clone(), 1.0)).collect()
            };
            return seen(weights);
        }
        if let Some(weights) = self
            .outcome(test, rest)
            .or_else(|| self.outcome(test, folded))
        {
            return seen(deny(weights, denied, &all));
        }
        if let Some(frame) = frame
            && frame.of == test
        {
            if denied && !frame.denied.is_empty() {
                return seen(frame.denied.clone());
            }
            if !denied && !frame.outcomes.is_empty() {
                return seen(frame.outcomes.clone());
            }
        }
        self.unknown_outcome(&[test], rest, span);
        None
    }

    /// `turns violet with ammonia`: the test whose reagent or name goes with the liquid and that
    /// knows the outcome.
    fn reagent_test(
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
                return Some(Seen {
                    weights: deny(weights, denied, &self.outcomes_of(&test)),
                    feature: test,
                    liquid: false,
                });
            }
        }
        let verbs: Vec<String> = self
            .library
            .speech()
            .frames
            .iter()
            .filter(|f| f.of == "liquid")
            .flat_map(|f| f.says.iter().cloned())
            .collect();
        let said = words.concat();
        let near = did_you_mean(&said, verbs.iter().map(String::as_str));
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

    fn unknown_outcome(&mut self, tests: &[&str], words: &[String], span: Span) {
        let said = words.concat();
        let mut vocabulary: Vec<String> = Vec::new();
        for test in tests {
            vocabulary.extend(self.outcomes_of(test));
            vocabulary.extend(
                self.library
                    .speech()
                    .outcomes
                    .iter()
                    .filter(|(t, _, _)| t == test)
                    .map(|(_, w, _)| w.clone()),
            );
        }
        let near = did_you_mean(&said, vocabulary.iter().map(String::as_str));
        let shown = if words.is_empty() {
            span.slice(self.text).to_owned()
        } else {
            words.join(" ")
        };
        let diagnostic = Diagnostic::error(
            "Q0309",
            format!("`{shown}` is no outcome of {}", tests.join(", ")),
        )
        .at(span, "unknown outcome");
        let known: Vec<String> = tests.iter().flat_map(|t| self.outcomes_of(t)).collect();
        self.report(
            match near
                .first()
                .map(|n| self.library.speech().written(n).to_owned())
            {
                Some(best) => diagnostic.help(format!("write `{best}`")),
                None => diagnostic.help(format!("known: {}", known.join(", "))),
            },
        );
    }

    fn is_agent(&self, words: &[String]) -> bool {
        !self
            .library
            .named(&words.concat(), Some(Kind::Agent))
            .is_empty()
    }

    fn has_feature(&self, test: &str) -> bool {
        self.library
            .table()
            .features
            .iter()
            .any(|f| f.id == test && !f.liquid)
    }

    fn outcomes_of(&self, test: &str) -> Vec<String> {
        let table = self.library.table();
        table
            .feature(test)
            .map(|f| table.features[f].outcomes.clone())
            .unwrap_or_default()
    }

    /// Outcomes of a test that words name. Every word must be part of an outcome (or of what stands
    /// for one) or say nothing; a word that is left over makes the whole unknown, for `never brown`
    /// is not `brown`.
    fn outcome(&self, test: &str, words: &[String]) -> Option<Vec<(String, f64)>> {
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
                None if FILLERS.contains(&words[at].as_str()) => at += 1,
                None => return None,
            }
        }
        (!found.is_empty()).then_some(found)
    }

    /// The outcomes of a test that one run of words names.
    fn said(&self, test: &str, said: &str) -> Option<Vec<(String, f64)>> {
        let outcomes = self.outcomes_of(test);
        let speech = self.library.speech();
        // Other words come first: `protein` by infrared is glue as well as casein, whatever the
        // family of that name holds.
        if let Some((_, _, weights)) = speech
            .outcomes
            .iter()
            .find(|(t, w, _)| t == test && *w == said)
        {
            return Some(weights.clone());
        }
        if let Some(hit) = outcomes.iter().find(|o| fold(o) == said) {
            return Some(vec![(hit.clone(), 1.0)]);
        }
        // Laboratory outcomes are ids of families; their names will do.
        let (_, index) = *self.library.named(said, Some(Kind::Family)).first()?;
        let id = self.library.id(Kind::Family, index)?;
        outcomes
            .iter()
            .any(|o| o == id)
            .then(|| vec![(id.to_owned(), 1.0)])
    }

    fn circumstances(&mut self, it: &ast::Observation) -> Option<Circumstances> {
        let mut out = Circumstances {
            specimen: None,
            clean: false,
            zone: String::new(),
            minutes: None,
            blank: false,
            belief: 1.0,
        };
        for note in &it.notes {
            let text = fold(&ast::join(&note.words));
            match &note.value {
                Some(NoteValue::Text(zone)) => {
                    out.zone.clone_from(&zone.value);
                    continue;
                }
                Some(NoteValue::Quantity(measure) | NoteValue::Ratio(measure)) => {
                    if measure.value.unit.dimension() == Dimension::TIME {
                        out.minutes = measure.value.base(Reading::Point).map(|b| b.high / 60.0);
                    }
                    if text.is_empty() {
                        continue;
                    }
                }
                None => {}
            }
            if text.is_empty() {
                continue;
            }
            let speech = self.library.speech();
            let deniable = text.contains("clean")
                || text.starts_with("blank")
                || text == "tried"
                || (speech.note("specimen", &text).is_none() && speech.belief(&text).is_none());
            if note.negated.is_some() && !deniable {
                let plain = ast::join(&note.words);
                self.report(
                    Diagnostic::error("Q0304", format!("`not {plain}` says nothing here"))
                        .at(note.span, "unclear")
                        .help("say what it was: crumb, clean crumb, fresh cut, surface; or leave the note out"),
                );
                return None;
            }
            if let Some(specimen) = speech.note("specimen", &text).and_then(Specimen::parse) {
                out.specimen = Some(specimen);
                out.clean |= text.starts_with("clean") && note.negated.is_none();
            } else if text == "clean" {
                out.clean |= note.negated.is_none();
            } else if let Some(belief) = speech.belief(&text) {
                out.belief *= belief;
            } else if text.starts_with("blank") {
                // A blank that answered says that the reagent, not the specimen, did.
                out.blank = note.negated.is_none() && !text.contains("negative");
            } else if text.starts_with("zone") || text.starts_with("area") {
                out.zone = text;
            } else if note.negated.is_some() && text == "tried" {
                self.notes
                    .push("not tried says nothing, and was left out".to_owned());
                return None;
            } else {
                let mut vocabulary: Vec<&str> = speech
                    .notes
                    .iter()
                    .filter(|(section, _, _)| section == "specimen")
                    .map(|(_, words, _)| words.as_str())
                    .collect();
                vocabulary.extend(["clean", "blank positive", "blank negative", "zone"]);
                let near = did_you_mean(&text, vocabulary);
                let plain = ast::join(&note.words);
                let diagnostic = Diagnostic::error("Q0304", format!("`{plain}` says nothing here"))
                    .at(note.span, "unknown note");
                self.report(match near.first().map(|n| self.library.speech().written(n).to_owned()) {
                    Some(best) => diagnostic
                        .help(format!("write `{best}`"))
                        .edit(note.span, best.clone()),
                    None => diagnostic.help(
                        "the specimen (crumb, clean crumb, fresh cut, surface), the time, `probably`, \
                         `blank positive`, or the zone in quotes",
                    ),
                });
                return None;
            }
        }
        Some(out)
    }

    fn build(
        &mut self,
        text: String,
        seen: Seen,
        circumstances: Circumstances,
    ) -> Option<Observation> {
        let table = self.library.table();
        let mut belief = circumstances.belief;
        let mut feature = table.feature(&seen.feature);
        if feature.is_none() && seen.liquid {
            let agent = self.library.agent(&seen.feature)?;
            feature = agent.like.as_deref().and_then(|like| table.feature(like));
            match (&feature, &agent.like) {
                (Some(_), Some(like)) => {
                    belief *= STAND_IN;
                    self.notes.push(format!(
                        "\"{text}\": no record answers to {}; read as {like}, with less weight",
                        agent.head.names.name
                    ));
                }
                _ => self.notes.push(format!(
                    "\"{text}\": no record answers to {}; it weighs nothing",
                    agent.head.names.name
                )),
            }
        }
        let outcomes = feature.map_or_else(Vec::new, |f| {
            let feature = &table.features[f];
            feature
                .outcomes
                .iter()
                .map(|o| {
                    seen.weights
                        .iter()
                        .find(|(w, _)| w == o)
                        .map_or(0.0, |(_, weight)| *weight)
                })
                .collect()
        });
        let specimen = circumstances.specimen.unwrap_or_else(|| match feature {
            Some(f) if table.features[f].liquid => Specimen::Crumb,
            Some(f) => self
                .library
                .test(&table.features[f].id)
                .and_then(|t| t.specimens.first().copied())
                .unwrap_or(Specimen::Surface),
            None => Specimen::Crumb,
        });
        Some(Observation {
            text,
            feature,
            outcomes,
            specimen,
            zone: circumstances.zone,
            clean: circumstances.clean,
            blank: circumstances.blank,
            belief,
            minutes: circumstances.minutes,
        })
    }

    /// Results on this object: on its layers (written into them) and on the targets (returned, each
    /// with the position of its target). A result counts only if it was really had: what was not
    /// tried, was doubted, or came out of a blank as well, lifts nothing.
    pub(super) fn given(
        &mut self,
        list: &[ast::Observation],
        layers: &mut [SceneLayer],
        targets: &[String],
    ) -> Vec<(usize, String, Response)> {
        let mut out = Vec::new();
        for it in list {
            let text = it.span.slice(self.text).trim().to_owned();
            let (mut subject, denied) = self.subject(it);
            let Some(object) = self.object(it) else {
                continue;
            };
            let Some(circumstances) = self.circumstances(it) else {
                continue;
            };
            if circumstances.blank || circumstances.belief < SURE {
                self.notes.push(format!(
                    "\"{text}\" is in doubt, and was left out: a trial on the object counts only \
                     when its result is sure"
                ));
                continue;
            }
            let mut folded: Vec<String> = it.words.iter().map(|w| fold(&w.text)).collect();
            // `oil paint dissolves in acetone`: the layer's name stands before the verb.
            if subject.is_empty() {
                let names = |said: &str| {
                    matches!(said, "it" | "unknown" | "target")
                        || layers.iter().any(|l| {
                            fold(&l.called) == said
                                || l.layer.head.names.all().any(|n| fold(n) == said)
                        })
                        || targets.iter().any(|t| fold(t) == said)
                };
                let named = (1..folded.len())
                    .rev()
                    .find(|k| names(&folded[..*k].concat()));
                if let Some(k) = named {
                    subject = ast::join(&it.words[..k]);
                    folded.drain(..k);
                }
            }
            let span = it.words.first().map_or(it.span, |w| w.span);
            let Some(Object::Liquid(agent)) = object else {
                self.report(
                    Diagnostic::error("Q0306", "the liquid is missing")
                        .at(span, "in what?")
                        .help("write for example `given glaze is unaffected by acetone`"),
                );
                continue;
            };
            let Some((frame, _)) = self.frame(&folded).filter(|(f, _)| f.of == "liquid") else {
                let _ = self.reagent_test(&agent, &folded, denied, span);
                continue;
            };
            let seen = liquid(&agent, &frame, denied);
            let main = seen
                .weights
                .iter()
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .and_then(|(word, _)| Response::parse(word));
            let Some(main) = main else { continue };
            let wanted = fold(&subject);
            if let Some(k) = targets.iter().position(|t| fold(t) == wanted) {
                out.push((k, agent, main));
                continue;
            }
            if subject.is_empty() || matches!(wanted.as_str(), "it" | "unknown" | "target") {
                if targets.len() > 1 {
                    let help = format!("name it: {}", targets.join(", "));
                    self.report(
                        Diagnostic::error("Q0321", "which of the materials was tried?")
                            .at(span, "several are to come off")
                            .help(help),
                    );
                } else {
                    out.push((0, agent, main));
                }
                continue;
            }
            let hit = layers.iter_mut().find(|l| {
                fold(&l.called) == wanted || l.layer.head.names.all().any(|n| fold(n) == wanted)
            });
            match hit {
                Some(layer) => {
                    let verdict = match main {
                        Response::NoEffect => Verdict::Safe,
                        _ => Verdict::Harms,
                    };
                    layer.tried.push((agent, verdict, text));
                }
                None => {
                    let known: Vec<&str> = layers.iter().map(|l| l.called.as_str()).collect();
                    let help = format!("layers of this stack: {}", known.join(", "));
                    let at = it.lead.as_ref().map_or(it.span, |l| l.span);
                    self.report(
                        Diagnostic::error("Q0310", format!("`{subject}` is not in this stack"))
                            .at(at, "not a layer here")
                            .help(help),
                    );
                }
            }
        }
        out
    }

    /// Whom a result speaks of, and whether it is denied.
    fn subject(&self, it: &ast::Observation) -> (String, bool) {
        let mut words: Vec<&str> = it
            .lead
            .iter()
            .flat_map(|l| l.words.iter().map(|w| w.text.as_str()))
            .collect();
        if matches!(words.last().copied(), Some("does" | "do" | "was" | "has")) {
            words.pop();
        }
        if matches!(words.first().copied(), Some("the" | "its")) {
            words.remove(0);
        }
        (words.join(" "), it.negated.is_some())
    }
}

fn liquid(agent: &str, frame: &Frame, denied: bool) -> Seen {
    let weights = if denied {
        if frame.denied.is_empty() {
            let all: Vec<String> = Response::ALL.iter().map(|r| r.word().to_owned()).collect();
            deny(frame.outcomes.clone(), true, &all)
        } else {
            frame.denied.clone()
        }
    } else {
        frame.outcomes.clone()
    };
    Seen {
        feature: agent.to_owned(),
        liquid: true,
        weights,
    }
}

/// What is left when outcomes are denied.
fn deny(weights: Vec<(String, f64)>, denied: bool, all: &[String]) -> Vec<(String, f64)> {
    if !denied {
        return weights;
    }
    all.iter()
        .map(|o| {
            let said = weights
                .iter()
                .find(|(w, _)| w == o)
                .map_or(0.0, |(_, n)| *n);
            (o.clone(), (1.0 - said).max(DENIED))
        })
        .collect()
}
