//! Whether a case can be asked: its words against the corpus, its photographs on the disk.

use std::collections::BTreeMap;

use toml_edit::{Document, Item, TableLike};

use super::file::CaseFile;
use super::photograph::{PhotographError, photograph};
use super::question::build;
use super::section::Section;
use super::words::{Phrase, Words};
use crate::diag::{Diagnostic, Edit, Label, Severity};
use crate::model::{Kind, Library};
use crate::order::Arrange;
use crate::pack::Pack;
use crate::span::Span;
use crate::{lang, resolve};

/// Everything that stands in the way of asking, and remarks, in the order of the file. `now` is the
/// current year.
#[must_use]
pub fn check(file: &CaseFile, pack: &Pack, now: i32) -> Vec<Diagnostic> {
    let mut found = file.remarks.clone();
    let Ok(document) = Document::parse(file.source.text.as_str()) else {
        return found;
    };
    let checking = Checking {
        file,
        words: Words::new(pack, now),
        root: &document,
    };
    let before = found.len();
    checking.phrases(&mut found);
    // A question is built from these: where one is wrong, that is the mistake to tell.
    if found.len() == before {
        checking.questions(pack, now, &mut found);
    }
    checking.materials(pack, &mut found);
    checking.photographs(&mut found);
    found.arrange_by_key(|d| d.span().map_or(0, |span| span.start));
    found
}

struct Checking<'a> {
    file: &'a CaseFile,
    words: Words<'a>,
    root: &'a Document<&'a str>,
}

impl<'a> Checking<'a> {
    /// The entries of a section with the text and the place of one key.
    fn texts(&self, section: Section, key: &str) -> Vec<(&'a dyn TableLike, &'a str, Span)> {
        let tables = self
            .root
            .get(section.key())
            .and_then(Item::as_array_of_tables);
        let Some(tables) = tables else {
            return Vec::new();
        };
        tables
            .iter()
            // What was withdrawn is not asked.
            .filter(|table| !table.contains_key("withdrawn"))
            .filter_map(|table| {
                let item = table.get(key)?;
                let range = item.span()?;
                let text = item.as_str()?;
                Some((
                    table as &dyn TableLike,
                    text,
                    Span::new(range.start, range.end),
                ))
            })
            .collect()
    }

    fn phrases(&self, found: &mut Vec<Diagnostic>) {
        let case = &self.file.case;
        // The same phrase stands in many places of a long case; it is checked once.
        let mut known: BTreeMap<(Phrase<'a>, &str), Vec<Diagnostic>> = BTreeMap::new();
        let mut one = |phrase: Phrase<'a>, text: &'a str, span: Span| {
            let list = known
                .entry((phrase, text))
                .or_insert_with(|| self.words.check(phrase, text).err().unwrap_or_default());
            found.extend(list.iter().map(|d| self.placed(d.clone(), text, span)));
        };
        for (_, text, span) in self.texts(Section::Layer, "name") {
            one(Phrase::Layer, text, span);
        }
        for (_, text, span) in self.texts(Section::Unknown, "noun") {
            one(Phrase::Noun, text, span);
        }
        for (_, text, span) in self.texts(Section::Observation, "seen") {
            one(Phrase::Seen, text, span);
        }
        for (table, text, span) in self.texts(Section::Trial, "seen") {
            let layer = table
                .get("on")
                .and_then(Item::as_str)
                .and_then(|id| case.layer(id));
            // Where the layer itself is wrong, that was told.
            if let Some(layer) = layer
                && self.words.check(Phrase::Layer, &layer.name).is_ok()
            {
                one(Phrase::Trial(&layer.name), text, span);
            }
        }
    }

    fn questions(&self, pack: &Pack, now: i32, found: &mut Vec<Diagnostic>) {
        for (_, ask, span) in self.texts(Section::Question, "ask") {
            match build(&self.file.case, ask) {
                Err(list) => {
                    found.extend(list.into_iter().map(|d| self.placed(d, ask, span)));
                }
                Ok(text) => {
                    let wrong = lang::parse(&text)
                        .and_then(|file| resolve::resolve(&file, &text, pack, now).map(|_| ()));
                    if let Err(list) = wrong {
                        found.extend(
                            list.into_iter()
                                .filter(|d| d.severity == Severity::Error)
                                .map(|d| in_built(d, &text, ask, span)),
                        );
                    }
                }
            }
        }
    }

    fn materials(&self, pack: &Pack, found: &mut Vec<Diagnostic>) {
        for key in ["material", "solvent"] {
            for (_, text, span) in self.texts(Section::Use, key) {
                let known = [Kind::Material, Kind::Agent, Kind::Carrier]
                    .into_iter()
                    .any(|kind| !pack.named(text.trim(), Some(kind)).is_empty());
                if !known {
                    found.push(
                        Diagnostic::new(
                            "C0111",
                            Severity::Note,
                            format!("`{text}` is not a name of the corpus"),
                        )
                        .at(span, "kept as the label has it")
                        .help(
                            "no question can be asked of it; if the corpus has it under another name, \
                             write that, and the label into `note`",
                        ),
                    );
                }
            }
        }
    }

    fn photographs(&self, found: &mut Vec<Diagnostic>) {
        let folder = self.file.folder();
        for (_, text, span) in self.texts(Section::Photograph, "file") {
            let wrong = match photograph(folder, text) {
                Ok(_) => continue,
                Err(error @ PhotographError::Io(_)) => {
                    Diagnostic::warning("C0108", format!("`{text}` {error}"))
                        .help("put the picture there, or mend the path")
                }
                Err(error) => Diagnostic::error("C0108", format!("`{text}` {error}"))
                    .help("put the picture itself into the folder of the case, or below it"),
            };
            found.push(wrong.at(span, "no picture"));
        }
    }

    /// A diagnostic of a phrase as one of the file.
    fn placed(&self, mut d: Diagnostic, text: &str, span: Span) -> Diagnostic {
        let start = self.start_of(text, span);
        let moved = |inner: Span| match start {
            Some(start) => Span::new(start + inner.range().start, start + inner.range().end),
            None => span,
        };
        d.labels = d
            .labels
            .into_iter()
            .map(|label| Label {
                span: moved(label.span),
                ..label
            })
            .collect();
        d.edit = d.edit.filter(|_| start.is_some()).map(|edit| Edit {
            span: moved(edit.span),
            ..edit
        });
        d
    }

    /// Where the text of a value begins, if it is written as it is, without escapes.
    fn start_of(&self, text: &str, span: Span) -> Option<usize> {
        let raw = span.slice(&self.file.source.text);
        for quote in ["\"\"\"\n", "'''\n", "\"\"\"", "'''", "\"", "'"] {
            if let Some(inner) = raw.strip_prefix(quote) {
                let plain = inner.starts_with(text);
                return plain.then(|| span.range().start + quote.len());
            }
        }
        None
    }
}

/// A mistake in the text that was built of a question: it points at the question, and says where in
/// the built text it is.
fn in_built(d: Diagnostic, text: &str, ask: &str, span: Span) -> Diagnostic {
    let at = d.span().map_or("", |inner| inner.slice(text));
    let mut out = Diagnostic::error(d.code, d.message.clone()).at(span, "asked here");
    if !at.is_empty() && !ask.contains(at) {
        out = out.note(format!("in what the case filled in: {at}"));
    }
    match d.help {
        Some(help) => out.help(help),
        None => out,
    }
}
