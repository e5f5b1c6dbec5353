//! `palinode case propose`, `decide`, `use` and `deviate`

use std::path::Path;

use super::fail::Refusal;
use super::{Noting, added, change, texts};
use crate::case::{Measure, Section, ids_of};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::diag::Diagnostic;
use crate::span::Span;

type Given = (&'static str, Option<String>);

pub(super) fn propose(
    path: &Path,
    fields: [Given; 4],
    noting: Noting,
    output: &mut Output,
) -> Exit {
    write(path, Section::Proposal, "propose", &fields, noting, output)
}

pub(super) fn decide(path: &Path, fields: [Given; 3], noting: Noting, output: &mut Output) -> Exit {
    write(path, Section::Decision, "decide", &fields, noting, output)
}

pub(super) fn used(path: &Path, fields: [Given; 7], noting: Noting, output: &mut Output) -> Exit {
    write(path, Section::Use, "use", &fields, noting, output)
}

pub(super) fn deviate(
    path: &Path,
    fields: [Given; 3],
    noting: Noting,
    output: &mut Output,
) -> Exit {
    write(path, Section::Deviation, "deviate", &fields, noting, output)
}

/// What a key that holds an id may name.
const fn named_by(section: Section, key: &str) -> &'static [Section] {
    match (section, key.as_bytes()) {
        (Section::Proposal, b"from") => &[Section::Question],
        (Section::Decision, b"on") => &[Section::Proposal, Section::Question],
        (Section::Use, b"under") => &[Section::Decision],
        (Section::Deviation, b"from") => &[Section::Decision, Section::Proposal, Section::Use],
        _ => &[],
    }
}

fn write(
    path: &Path,
    section: Section,
    did: &'static str,
    fields: &[Given],
    noting: Noting,
    output: &mut Output,
) -> Exit {
    let editor = noting.by.editor(did);
    change(path, &editor, output, |draft, _| {
        for (key, value) in fields {
            let Some(value) = value else { continue };
            let sections = named_by(section, key);
            let there: Vec<&str> = sections
                .iter()
                .flat_map(|it| ids_of(draft.case(), *it))
                .collect();
            if !sections.is_empty() && !there.contains(&value.as_str()) {
                let what: Vec<&str> = sections.iter().map(|it| it.key()).collect();
                return Err(Refusal::no_such(&what.join(" or "), value, &there));
            }
            let measure = match (section, *key) {
                (Section::Use, "strength") => Measure::Strength,
                (Section::Use, "amount") => Measure::Amount,
                _ => continue,
            };
            if let Err((wrong, help)) = measure.check(value) {
                let d = Diagnostic::error("C0107", wrong)
                    .at(Span::new(0, value.len()), "not understood")
                    .help(help);
                return Err(Refusal::of(key, value, vec![d]));
            }
        }
        let said = fields
            .iter()
            .find(|(key, _)| matches!(*key, "what" | "material"))
            .and_then(|(_, value)| value.clone())
            .unwrap_or_default();
        if said.trim().is_empty() {
            return Err(Refusal::Plain(
                "nothing was said".to_owned(),
                "say it in a few words".to_owned(),
            ));
        }
        let mut all = texts(fields.iter().cloned());
        all.extend(noting.fields(&editor));
        let id = draft.add(section, &all);
        Ok(added(&id, &said))
    })
}
