//! `palinode case layer` and `palinode case unknown`

use std::path::Path;

use super::fail::Refusal;
use super::{Over, Who, added, change, texts, year};
use crate::case::{Measure, Phrase, Section, Words, ids_of};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::diag::Diagnostic;
use crate::span::Span;

pub(super) fn layer(
    path: &Path,
    layers: &str,
    note: Option<String>,
    by: &Who,
    over: &Over,
    output: &mut Output,
) -> Exit {
    let editor = by.editor("layer");
    over.with(output, |pack, output| {
        change(path, &editor, output, |draft, _| {
            let names = Words::new(pack, year())
                .layers(layers)
                .map_err(|list| Refusal::of("layers", layers, list))?;
            let mut said = String::new();
            for name in names {
                let fields = texts([("name", Some(name.clone())), ("note", note.clone())]);
                let id = draft.add(Section::Layer, &fields);
                said.push_str(&added(&id, &name));
            }
            Ok(said)
        })
    })
}

/// An unknown that is to be added.
pub(super) struct NewUnknown {
    pub(super) noun: String,
    pub(super) called: Option<String>,
    pub(super) over: Option<String>,
    pub(super) restored: Option<String>,
    pub(super) note: Option<String>,
}

pub(super) fn unknown(
    path: &Path,
    new: NewUnknown,
    by: &Who,
    corpus: &Over,
    output: &mut Output,
) -> Exit {
    let editor = by.editor("unknown");
    corpus.with(output, |pack, output| {
        change(path, &editor, output, |draft, _| {
            let noun = new.noun.trim().to_owned();
            Words::new(pack, year())
                .check(Phrase::Noun, &noun)
                .map_err(|list| Refusal::of("noun", &noun, list))?;
            if let Some(years) = &new.restored
                && let Err((wrong, help)) = Measure::Years.check(years)
            {
                let d = Diagnostic::error("C0107", wrong)
                    .at(Span::new(0, years.len()), "not years")
                    .help(help);
                return Err(Refusal::of("restored", years, vec![d]));
            }
            if let Some(over) = &new.over
                && draft.case().layer(over).is_none()
            {
                let there = ids_of(draft.case(), Section::Layer);
                return Err(Refusal::no_such("layer", over, &there));
            }
            let fields = texts([
                ("called", new.called),
                ("noun", Some(noun.clone())),
                ("over", new.over),
                ("restored", new.restored),
                ("note", new.note),
            ]);
            let id = draft.add(Section::Unknown, &fields);
            Ok(added(&id, &noun))
        })
    })
}
