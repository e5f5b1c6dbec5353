//! Notes after an observation: on what, how long, how warm, how sure.

use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, NoteValue};
use crate::model::naming::fold;
use crate::model::speech::Speech;
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

impl Circumstances {
    /// Nothing said: a sure observation, made once.
    const PLAIN: Self = Self {
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

    /// Takes up the folded words of a note; says whether they say anything.
    fn take(&mut self, words: &str, denied: bool, speech: &Speech) -> bool {
        if let Some(specimen) = speech.note("specimen", words).and_then(Specimen::parse) {
            self.specimen = Some(specimen);
            self.clean |= words.starts_with("clean") && !denied;
        } else if words == "clean" {
            self.clean |= !denied;
        } else if let Some(belief) = speech.belief(words) {
            self.belief *= belief;
        } else if let Some(age) = speech.note("age", words) {
            self.age = Age::BOTH.into_iter().find(|a| a.word() == age);
        } else if let Some(carrier) = speech.note("carrier", words) {
            self.carrier = Some(carrier.to_owned());
        } else if words.starts_with("control") {
            // A control is a known thing under the same drop: that it answered says that the
            // reagent was good, and nothing of the unknown. One that failed voids the result.
            let failed = ["negative", "failed", "noeffect", "unaffected", "didnot"];
            self.blank |= denied || failed.iter().any(|f| words.contains(f));
        } else if words.starts_with("blank") {
            // A blank that answered says that the reagent, not the specimen, did.
            self.blank |= !denied && !words.contains("negative");
        } else if words.starts_with("zone") || words.starts_with("area") {
            words.clone_into(&mut self.zone);
        } else {
            return false;
        }
        true
    }
}

/// Whether the folded words of a note still say something where they are denied.
fn is_deniable(words: &str, speech: &Speech) -> bool {
    words.contains("clean")
        || words.starts_with("blank")
        || words == "tried"
        || (speech.note("specimen", words).is_none() && speech.belief(words).is_none())
}

impl Resolver<'_> {
    /// Reads the notes after an observation. None where one of them says nothing, which is reported, and
    /// where the whole says nothing.
    pub(super) fn circumstances(&mut self, it: &ast::Observation) -> Option<Circumstances> {
        let mut out = Circumstances::PLAIN;
        for note in &it.notes {
            let words = fold(&ast::join(&note.words));
            match &note.value {
                // A text with a word before it (`zone "left arm"`) says where; by itself it is a remark.
                Some(NoteValue::Text(zone)) => {
                    if !words.is_empty() {
                        out.zone.clone_from(&zone.value);
                    }
                    continue;
                }
                Some(NoteValue::Quantity(measure)) => self.condition_of_trial(measure, &mut out)?,
                Some(NoteValue::Ratio(_)) | None => {}
            }
            if !words.is_empty() {
                self.circumstance(note, &words, &mut out)?;
            }
        }
        Some(out)
    }

    /// Reads the words of one note.
    fn circumstance(
        &mut self,
        note: &ast::Note,
        words: &str,
        out: &mut Circumstances,
    ) -> Option<()> {
        let speech = self.library.speech();
        let denied = note.negated.is_some();
        if denied && !is_deniable(words, speech) {
            let plain = ast::join(&note.words);
            self.report(
                Diagnostic::error("Q0304", format!("`not {plain}` says nothing here"))
                    .at(note.span, "unclear")
                    .help("say what it was: crumb, clean crumb, fresh cut, surface; or leave the note out"),
            );
            return None;
        }
        if out.take(words, denied, speech) {
            return Some(());
        }
        if denied && words == "tried" {
            self.notes
                .push("not tried says nothing, and was left out".to_owned());
        } else {
            self.unknown_circumstance(note, words);
        }
        None
    }

    /// Reports a note that says nothing of an observation, with the nearest that would.
    fn unknown_circumstance(&mut self, note: &ast::Note, words: &str) {
        let speech = self.library.speech();
        let known = speech.noted(&["specimen", "age"]).chain([
            "clean",
            "blank positive",
            "blank negative",
            "control positive",
            "control negative",
            "zone",
        ]);
        let near = did_you_mean(words, known);
        let plain = ast::join(&note.words);
        let diagnostic = Diagnostic::error("Q0304", format!("`{plain}` says nothing here"))
            .at(note.span, "unknown note");
        self.report(match near.first().map(|n| speech.written(n).to_owned()) {
            Some(best) => diagnostic
                .help(format!("write `{best}`"))
                .edit(note.span, best),
            None => diagnostic.help(
                "the specimen (crumb, clean crumb, fresh cut, surface), the time, the carrier \
                 (in gel), `aged` or `young`, `probably`, `blank positive`, or the zone in \
                 quotes",
            ),
        });
    }
}
