//! Notes after an observation: on what, how long, how warm, how sure.

use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, NoteValue};
use crate::model::naming::fold;
use crate::model::{Age, Specimen};
use crate::resolve::Resolver;
use crate::units::{Dimension, Tag};

/// Conditions of an observation, from its notes.
#[derive(Clone, Debug)]
pub(super) struct Circumstances {
    pub(super) specimen: Option<Specimen>,
    /// In what a liquid was brought: a meaning of the section `carrier` of the vocabulary.
    pub(super) carrier: Option<String>,
    pub(super) clean: bool,
    pub(super) zone: String,
    pub(super) minutes: Option<f64>,
    /// Age of the part that was tested.
    pub(super) age: Option<Age>,
    /// Temperature of the trial.
    pub(super) kelvin: Option<f64>,
    pub(super) blank: bool,
    pub(super) belief: f64,
}

/// Whether a quantity of this dimension says how a trial was made, beside its time and warmth: its
/// strength, its number, the size of the specimen.
pub(super) fn is_condition(dimension: Dimension) -> bool {
    [
        Dimension::tagged(Tag::Percent),
        Dimension::tagged(Tag::Passes),
        Dimension::MOLARITY,
        Dimension::LENGTH,
        Dimension::NONE,
    ]
    .contains(&dimension)
}

impl Resolver<'_> {
    pub(super) fn circumstances(&mut self, it: &ast::Observation) -> Option<Circumstances> {
        let mut out = Circumstances {
            specimen: None,
            carrier: None,
            clean: false,
            zone: String::new(),
            minutes: None,
            age: None,
            kelvin: None,
            blank: false,
            belief: 1.0,
        };
        for note in &it.notes {
            let text = fold(&ast::join(&note.words));
            match &note.value {
                // A text with a word before it (`zone "left arm"`) says where; by itself it is a remark.
                Some(NoteValue::Text(zone)) => {
                    if !text.is_empty() {
                        out.zone.clone_from(&zone.value);
                    }
                    continue;
                }
                Some(NoteValue::Quantity(measure)) => {
                    self.condition_of_trial(measure, &mut out)?;
                    if text.is_empty() {
                        continue;
                    }
                }
                Some(NoteValue::Ratio(_)) if text.is_empty() => continue,
                Some(NoteValue::Ratio(_)) => {}
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
            } else if let Some(age) = speech.note("age", &text) {
                out.age = Age::BOTH.into_iter().find(|a| a.word() == age);
            } else if let Some(carrier) = speech.note("carrier", &text) {
                out.carrier = Some(carrier.to_owned());
            } else if text.starts_with("control") {
                // A control is a known thing under the same drop: that it answered says that the
                // reagent was good, and nothing of the unknown. One that failed voids the result.
                let failed = ["negative", "failed", "noeffect", "unaffected", "didnot"];
                out.blank |= note.negated.is_some() || failed.iter().any(|f| text.contains(f));
            } else if text.starts_with("blank") {
                // A blank that answered says that the reagent, not the specimen, did.
                out.blank |= note.negated.is_none() && !text.contains("negative");
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
                    .filter(|(section, _, _)| section == "specimen" || section == "age")
                    .map(|(_, words, _)| words.as_str())
                    .collect();
                vocabulary.extend([
                    "clean",
                    "blank positive",
                    "blank negative",
                    "control positive",
                    "control negative",
                    "zone",
                ]);
                let near = did_you_mean(&text, vocabulary);
                let plain = ast::join(&note.words);
                let diagnostic = Diagnostic::error("Q0304", format!("`{plain}` says nothing here"))
                    .at(note.span, "unknown note");
                self.report(match near.first().map(|n| self.library.speech().written(n).to_owned()) {
                    Some(best) => diagnostic
                        .help(format!("write `{best}`"))
                        .edit(note.span, best.clone()),
                    None => diagnostic.help(
                        "the specimen (crumb, clean crumb, fresh cut, surface), the time, the carrier \
                         (in gel), `aged` or `young`, `probably`, `blank positive`, or the zone in \
                         quotes",
                    ),
                });
                return None;
            }
        }
        Some(out)
    }
}
