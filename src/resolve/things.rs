//! Nouns with their notes, and layers with their conditions.

use super::Resolver;
use super::checked::CheckedThing;
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Note, NoteValue};
use crate::model::naming::{fold, folds_to};
use crate::model::scene::{Origin, SceneLayer};
use crate::model::{Age, Condition, Kind, Site};
use crate::units::{Dimension, Reading};

/// Sections of notes that a noun for the unknown may have.
const THING_SECTIONS: [&str; 4] = ["site", "origin", "age", "thickness"];

/// How far a part juts out from its join.
const LEVER: [&str; 4] = ["lever", "leverarm", "arm", "overhang"];

fn words(note: &Note) -> String {
    ast::join(&note.words)
}

impl Resolver<'_> {
    /// The unknown, with its notes.
    pub(super) fn thing(&mut self, thing: &ast::Thing) -> Option<CheckedThing> {
        let what = self.what(&thing.name);
        let mut out = CheckedThing {
            called: thing.name.text(),
            ..CheckedThing::default()
        };
        for note in &thing.notes {
            self.thing_note(note, &mut out);
        }
        out.what = what?;
        Some(out)
    }

    fn thing_note(&mut self, note: &Note, out: &mut CheckedThing) {
        let text = fold(&words(note));
        if let Some(NoteValue::Quantity(measure)) = &note.value {
            if measure.value.unit.dimension() == Dimension::LENGTH {
                let mm = measure.value.base(Reading::Point).map(|b| 1000.0 * b.high);
                if LEVER.contains(&text.as_str()) {
                    out.arm_mm = mm;
                    return;
                }
                if self.library.speech().note("thickness", &text).is_some() {
                    out.thick_mm = mm;
                } else {
                    out.depth_mm = mm;
                }
            } else {
                self.report(
                    Diagnostic::error("Q0402", "a depth wants a length")
                        .at(measure.span, "not a length")
                        .help("write for example `deep joint 12 mm`"),
                );
            }
        }
        if text.is_empty() {
            return;
        }
        let speech = self.library.speech();
        let site = speech.note("site", &text).and_then(Site::parse);
        let site = site.or_else(|| {
            Site::ALL
                .iter()
                .copied()
                .find(|s| folds_to(s.word(), &text))
        });
        let denied = note.negated.is_some();
        if let Some(site) = site {
            if denied {
                self.denied_note(
                    note,
                    "say where it sits: film, open joint, deep joint or pores",
                );
            } else {
                out.site = Some(site);
            }
            return;
        }
        if let Some(origin) = speech.note("origin", &text) {
            out.origin = match (origin, denied) {
                ("original", true) | ("later", false) => Origin::Later,
                ("original", false) | ("later", true) => Origin::Original,
                ("historic", false) => Origin::Historic,
                _ => Origin::Unknown,
            };
            return;
        }
        match speech.note("age", &text) {
            Some("aged" | "fresh") if denied => {
                self.denied_note(note, "say `aged` or `fresh`");
                return;
            }
            Some("aged") => {
                out.age = Some(Age::Aged);
                return;
            }
            Some("fresh") => {
                out.age = Some(Age::Fresh);
                return;
            }
            _ => {}
        }
        if let Some(meaning) = speech.note("thickness", &text) {
            out.thick = (meaning == "thick") != denied;
            return;
        }
        self.unknown_note(note, &THING_SECTIONS, "Where it sits (film, open joint, deep joint, pores), `later` or `original`, `aged` or `fresh`, `thick` or `thin`");
    }

    /// What a thing is not leaves open what it is: no guess is made from it.
    fn denied_note(&mut self, note: &Note, help: &str) {
        let text = words(note);
        self.report(
            Diagnostic::error("Q0304", format!("`not {text}` leaves open what it is"))
                .at(note.span, "unclear")
                .help(help.to_owned()),
        );
    }

    fn unknown_note(&mut self, note: &Note, sections: &[&str], known: &str) {
        let text = words(note);
        let speech = self.library.speech();
        // `stone (deep joint)`: said of the layer and meant of what sits on it.
        let of_the_unknown = !sections.contains(&"site")
            && THING_SECTIONS
                .iter()
                .any(|section| speech.note(section, &fold(&text)).is_some());
        if of_the_unknown {
            self.report(
                Diagnostic::error("Q0304", format!("`{text}` says nothing of a layer"))
                    .at(note.span, "said of the material")
                    .help(format!("write it behind the material: shellac ({text})")),
            );
            return;
        }
        let mut vocabulary: Vec<&str> = speech.noted(sections).collect();
        vocabulary.extend(Condition::ALL.iter().map(|c| c.word()));
        let near = did_you_mean(&fold(&text), vocabulary);
        let diagnostic = Diagnostic::error("Q0304", format!("`{text}` says nothing here"))
            .at(note.span, "unknown note");
        self.report(
            match near
                .first()
                .map(|n| self.library.speech().written(n).to_owned())
            {
                Some(best) => diagnostic
                    .help(format!("write `{best}`"))
                    .edit(note.span, best.clone()),
                None => diagnostic.help(known.to_owned()),
            },
        );
    }

    /// Layers from the top down.
    pub(super) fn stack(&mut self, stack: &ast::Stack) -> Option<Vec<SceneLayer>> {
        let layers: Vec<Option<SceneLayer>> =
            stack.layers.iter().map(|thing| self.layer(thing)).collect();
        layers.into_iter().collect()
    }

    pub(super) fn layer(&mut self, thing: &ast::Thing) -> Option<SceneLayer> {
        let mut conditions = Vec::new();
        let mut extra = Vec::new();
        for note in &thing.notes {
            let text = fold(&words(note));
            let condition = Condition::ALL
                .iter()
                .copied()
                .find(|c| folds_to(c.word(), &text))
                .or_else(|| {
                    self.library
                        .speech()
                        .note("condition", &text)
                        .and_then(Condition::parse)
                });
            match condition {
                Some(condition) if note.negated.is_none() => {
                    if !conditions.contains(&condition) {
                        conditions.push(condition);
                    }
                }
                Some(_) => {}
                // Whether a layer is original does not matter here: it stays in any case.
                None if self.library.speech().note("origin", &text).is_some() => {}
                // `oil paint (young)` names a record of its own.
                None => extra.push((note, words(note))),
            }
        }
        let plain = thing.name.text();
        let mut index = None;
        for (note, word) in &extra {
            let found = [format!("{word} {plain}"), format!("{plain} {word}")]
                .iter()
                .find_map(|name| self.library.named(name, Some(Kind::Layer)).first().copied());
            match found {
                Some((_, found)) => index = Some(found),
                None => self.unknown_note(
                    note,
                    &["condition"],
                    "the state of a layer: sound, flaking, powdering, salty, damp, corroded, light-damaged, weeping, cracked",
                ),
            }
        }
        let index = match index {
            Some(index) => index,
            None => self.layer_named(&thing.name)?,
        };
        let layer = self.library.shared_layer(index)?;
        Some(SceneLayer {
            layer,
            called: plain,
            conditions,
            tried: Vec::new(),
        })
    }

    fn layer_named(&mut self, name: &ast::Name) -> Option<usize> {
        let text = name.text();
        if let Some((_, index)) = self.library.named(&text, Some(Kind::Layer)).first() {
            return Some(*index);
        }
        self.unknown_name(name, &[Kind::Layer]);
        None
    }
}
