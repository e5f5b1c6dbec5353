//! `palinode case observe` and `palinode case trial`

use std::path::Path;

use super::fail::Refusal;
use super::{Field, Noting, Over, added, change, texts, year};
use crate::case::{Phrase, Section, Words, ids_of};
use crate::cli::Exit;
use crate::cli::ask::read;
use crate::cli::output::Output;

pub(super) fn observe(
    path: &Path,
    unknown: &str,
    seen: &[String],
    noting: Noting,
    over: &Over,
    output: &mut Output,
) -> Exit {
    let mut texts_seen: Vec<String> = Vec::new();
    for text in seen {
        if text == "-" {
            let Some(lines) = read("-", output) else {
                return Exit::Wrong;
            };
            let lines = lines.lines().map(str::trim).filter(|l| !l.is_empty());
            texts_seen.extend(lines.map(str::to_owned));
        } else {
            texts_seen.push(text.clone());
        }
    }
    let editor = noting.by.editor("observe");
    over.with(output, |pack, output| {
        change(path, &editor, output, |draft, _| {
            if draft.case().unknown(unknown).is_none() {
                let there = ids_of(draft.case(), Section::Unknown);
                return Err(Refusal::no_such("unknown", unknown, &there));
            }
            let words = Words::new(pack, year());
            let noted = noting.fields(&editor);
            let mut said = String::new();
            for text in &texts_seen {
                let each = words
                    .seen(text)
                    .map_err(|list| Refusal::of("observation", text, list))?;
                for one in each {
                    let mut fields = texts([
                        ("of", Some(unknown.to_owned())),
                        ("seen", Some(one.clone())),
                    ]);
                    fields.extend(noted.iter().cloned());
                    let id = draft.add(Section::Observation, &fields);
                    said.push_str(&added(&id, &one));
                    for note in words.notes(&one) {
                        said.push_str(&added("    note:", &note));
                    }
                }
            }
            Ok(said)
        })
    })
}

pub(super) fn trial(
    path: &Path,
    layer: &str,
    seen: &str,
    noting: Noting,
    over: &Over,
    output: &mut Output,
) -> Exit {
    let editor = noting.by.editor("trial");
    over.with(output, |pack, output| {
        change(path, &editor, output, |draft, _| {
            let Some(found) = draft.case().layer(layer) else {
                let there = ids_of(draft.case(), Section::Layer);
                return Err(Refusal::no_such("layer", layer, &there));
            };
            let seen = seen.trim();
            let words = Words::new(pack, year());
            words
                .check(Phrase::Layer, &found.name)
                .map_err(|list| Refusal::of("layer", &found.name, list))?;
            words
                .check(Phrase::Trial(&found.name), seen)
                .map_err(|list| Refusal::of("trial", seen, list))?;
            let mut fields: Vec<(&str, Field)> = texts([
                ("on", Some(layer.to_owned())),
                ("seen", Some(seen.to_owned())),
            ]);
            fields.extend(noting.fields(&editor));
            let id = draft.add(Section::Trial, &fields);
            Ok(added(&id, seen))
        })
    })
}
