//! What was seen at the bench: verbs, liquids, tests and outcomes to weighted outcomes of a feature
//! of the corpus. The words are data (`kb/vocab/speech.toml`); this is how they are read:
//! [`subject`] says of whom, [`object`] with what, [`liquid`] and [`outcome`] what happened,
//! [`notes`] how, and [`given`] reads the results that were had on this object.

mod given;
mod liquid;
mod notes;
mod object;
mod outcome;
mod subject;

use super::Resolver;
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Value, Word};
use crate::model::naming::fold;
use crate::model::scene::Observation;
use crate::model::speech::Frame;
use crate::model::{Kind, Specimen};
use crate::units::{Dimension, Reading};

use notes::Circumstances;
use subject::Sentence;

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
    /// How far the manner in which it was said is believed, 0-1.
    belief: f64,
}

/// What holds on from one observation to the next: `dissolves in ethanol, acetone`; `xrf shows
/// copper, zinc`.
#[derive(Default)]
struct Before {
    /// The verb that spoke of a liquid.
    frame: Option<Frame>,
    /// The laboratory test that was named.
    laboratory: Option<String>,
}

/// Belief in a stand-in liquid, where the corpus has no record of the liquid itself.
const STAND_IN: f64 = 0.85;
/// Belief in each liquid of a group that was named as a whole, `unaffected by common solvents`: which
/// of them were tried is not said. Judgment.
const OF_A_GROUP: f64 = 0.7;
/// Most observations of one question: weighing them costs the cube of their number.
const MOST_OBSERVATIONS: usize = 120;
/// Tests that adjectives speak of, in the order of trial.
pub(crate) const LOOKS: [&str; 4] = ["colour", "texture", "lens", "hardness"];
/// Tests that `feels` speaks of, in the order of trial.
pub(crate) const FEELS: [&str; 3] = ["hardness", "texture", "colour"];
/// Tests that a bare state (`is brittle`) speaks of, in the order of trial.
pub(crate) const STATES: [&str; 9] = [
    "hardness",
    "texture",
    "colour",
    "lens",
    "needle",
    "vapour-ph",
    "heft",
    "inside",
    "beside",
];
/// Words beside a length that make it the thickness of the unknown.
const THICKNESS: [&str; 3] = ["thick", "thickness", "deep"];
/// Millimetres in a metre.
const MM_IN_M: f64 = 1000.0;
/// Tests that speak of what it is made of, in the order of trial.
const CONTENTS: [&str; 3] = ["ftir", "xrf", "inside"];
/// Belief in what it contains where the means were not told: no laboratory result, and more than a look.
/// Judgment.
const UNTOLD_MEANS: f64 = 0.8;
/// What a frame is `of` when the corpus has a word for what was seen and no record that answers it.
const NOTED: &str = "noted";

impl<'a> Resolver<'a> {
    /// Everything that was seen of the unknown.
    pub(in crate::resolve) fn observations(
        &mut self,
        list: &[ast::Observation],
    ) -> Vec<Observation> {
        let mut out: Vec<Observation> = Vec::new();
        let mut before = Before::default();
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
                if let Some(mut observation) = self.observation(&one, &mut before) {
                    if let Some(liquid) = liquid {
                        observation.belief *= OF_A_GROUP;
                        observation.text = format!("{} [{liquid}]", observation.text);
                    }
                    if out.iter().any(|before| says_again(before, &observation)) {
                        self.notes.push(format!(
                            "\"{}\": said before of the same place; counted once",
                            observation.text
                        ));
                        observation.feature = None;
                        observation.outcomes = Vec::new();
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

    fn observation(&mut self, it: &ast::Observation, before: &mut Before) -> Option<Observation> {
        let text = it.span.slice(self.text).trim().to_owned();
        let mut circumstances = self.circumstances(it)?;
        let said = self.sentence(it, &mut circumstances)?;
        if said.denied && said.folded == ["tried"] {
            self.notes.push(format!(
                "\"{text}\": not tried says nothing, and was left out"
            ));
            return None;
        }
        let reported = self.diagnostics.len();
        match self.read(it, &said, &mut circumstances, before) {
            Some(seen) => self.build(text, seen, circumstances),
            // The bench has a word for it and the records have none: it is kept, not refused.
            None if self.is_noted(&said.folded) => {
                self.diagnostics.truncate(reported);
                let read = if thickness(std::slice::from_ref(it)).is_some() {
                    "taken for its thickness"
                } else {
                    "kept as seen; no record answers it, so it weighs nothing"
                };
                self.notes.push(format!("\"{text}\": {read}"));
                Some(weightless(text, circumstances))
            }
            None => None,
        }
    }

    /// What was tried and what it showed.
    fn read(
        &mut self,
        it: &ast::Observation,
        said: &Sentence,
        circumstances: &mut Circumstances,
        before: &mut Before,
    ) -> Option<Seen> {
        let mut said = said.clone();
        let object = self.object(it, &mut said, circumstances)?;
        if let Some(quantity) = &it.quantity {
            return self.reading(object.as_ref(), &said, quantity);
        }
        let reported = self.diagnostics.len();
        let seen = self.seen(it, &said, object, before);
        if let (None, Some(name)) = (&seen, &said.unread) {
            // Read as part of what was seen it says nothing: then it was meant as a liquid.
            self.diagnostics.truncate(reported);
            self.unknown_name(name, &[Kind::Agent, Kind::Test]);
        }
        let seen = seen?;
        before.laboratory =
            (!seen.liquid && self.is_laboratory(&seen.feature)).then(|| seen.feature.clone());
        Some(seen)
    }

    /// The frame whose words stand first, and how many of them there are.
    fn frame(&self, folded: &[String]) -> Option<(&'a Frame, usize)> {
        (1..=folded.len()).rev().find_map(|k| {
            let said = folded[..k].concat();
            self.library
                .speech()
                .frames
                .iter()
                .find(|frame| frame.of != NOTED && frame.says.contains(&said))
                .map(|frame| (frame, k))
        })
    }

    /// Whether any run of the words is one that the bench notes and no record answers.
    fn is_noted(&self, folded: &[String]) -> bool {
        let frames = self.library.speech().frames.iter();
        let whole = folded.concat();
        // Few sentences hold such words at all.
        let noted: Vec<&str> = frames
            .filter(|frame| frame.of == NOTED)
            .flat_map(|frame| frame.says.iter())
            .filter(|says| whole.contains(says))
            .collect();
        !noted.is_empty()
            && (0..folded.len()).any(|from| {
                (from + 1..=folded.len()).any(|to| {
                    let run = folded[from..to].concat();
                    noted.iter().any(|says| **says == run)
                })
            })
    }

    fn build(
        &mut self,
        text: String,
        seen: Seen,
        circumstances: Circumstances,
    ) -> Option<Observation> {
        let table = self.library.table();
        let mut belief = circumstances.belief * seen.belief;
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
                .outcomes()
                .iter()
                .map(|o| {
                    seen.weights
                        .iter()
                        .find(|(w, _)| w == o)
                        .map_or(0.0, |(_, weight)| *weight)
                })
                .collect()
        });
        // What is bound in a gel or a compress is laid on the object, not on a crumb.
        let carried = match circumstances.carrier.as_deref() {
            Some("gel" | "poultice" | "compress") => Specimen::Surface,
            Some("vapour") => Specimen::Vapour,
            _ => Specimen::Crumb,
        };
        let specimen = circumstances.specimen.unwrap_or_else(|| match feature {
            Some(f) if table.features[f].liquid => carried,
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
            age: circumstances.age,
        })
    }
}

/// Thickness of the unknown in millimetres, where it was noted among what was seen: `is 5 cm thick`.
pub(super) fn thickness(list: &[ast::Observation]) -> Option<f64> {
    list.iter().find_map(|it| {
        let said = it
            .words
            .iter()
            .any(|w| THICKNESS.contains(&fold(&w.text).as_str()));
        let measure = it.quantity.as_ref().filter(|_| said && it.lead.is_none())?;
        let length = measure.value.unit.dimension() == Dimension::LENGTH;
        let metres = measure.value.base(Reading::Point).filter(|_| length)?;
        Some(metres.high * MM_IN_M)
    })
}

/// Whether two observations are one, written twice: a test read the same on the same specimen of the same
/// place. That it was read again there is no second witness; another place is named by its zone.
fn says_again(before: &Observation, it: &Observation) -> bool {
    it.feature.is_some()
        && before.feature == it.feature
        && before.outcomes == it.outcomes
        && before.zone == it.zone
        && before.specimen == it.specimen
        && before.age == it.age
        && before.blank == it.blank
        && before.clean == it.clean
}

/// An observation that no record answers.
fn weightless(text: String, circumstances: Circumstances) -> Observation {
    Observation {
        text,
        feature: None,
        outcomes: Vec::new(),
        specimen: circumstances.specimen.unwrap_or(Specimen::Crumb),
        zone: circumstances.zone,
        clean: circumstances.clean,
        blank: circumstances.blank,
        belief: circumstances.belief,
        minutes: circumstances.minutes,
        age: circumstances.age,
    }
}
