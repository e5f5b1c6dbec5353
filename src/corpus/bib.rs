//! Reads sources from BibLaTeX.

mod bounds;

use std::collections::HashMap;

use biblatex::{ChunksExt, Entry};

use super::walk::Reading;
use crate::diag::Diagnostic;
use crate::model::{Head, Lazy, Names, Source};
use crate::span::Span;

/// All sources of a file.
pub(super) fn sources(reading: &Reading<'_>) -> Vec<Source> {
    let text = &reading.source.text;
    match bounds::read(text) {
        Ok(bibliography) => {
            let keys = keys(text);
            bibliography
                .iter()
                .map(|entry| source(reading, entry, &keys))
                .collect()
        }
        Err(error) => {
            let at = Span::new(error.at.start.min(text.len()), error.at.end.min(text.len()));
            reading.report(
                Diagnostic::error("K0111", error.why)
                    .at(at, "")
                    .help(error.help),
            );
            Vec::new()
        }
    }
}

/// Where what may be the key of an entry first stands: between an opening brace and the next comma.
fn keys(text: &str) -> HashMap<&str, usize> {
    let mut out = HashMap::new();
    let mut open = Vec::new();
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'{' => open.push(at + 1),
            b',' => {
                for start in open.drain(..) {
                    out.entry(&text[start..at]).or_insert(start);
                }
            }
            _ => {}
        }
    }
    out
}

fn field(entry: &Entry, key: &str) -> String {
    let text = entry
        .get(key)
        .map(|chunks| chunks.format_verbatim())
        .unwrap_or_default();
    one_line(&text)
}

/// A field is one line: what is verbatim or mathematics keeps its line ends when it is read.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The first of several fields that says anything.
fn first_of(entry: &Entry, keys: &[&str]) -> String {
    keys.iter()
        .map(|key| field(entry, key))
        .find(|text| !text.is_empty())
        .unwrap_or_default()
}

/// The authors, or the editors where there are none, family name first.
fn people(entry: &Entry) -> Vec<String> {
    let people = entry.author().ok().or_else(|| {
        entry
            .editors()
            .ok()
            .map(|groups| groups.into_iter().flat_map(|(people, _)| people).collect())
    });
    people
        .unwrap_or_default()
        .into_iter()
        .map(|person| {
            let family = if person.prefix.is_empty() {
                person.name
            } else {
                format!("{} {}", person.prefix, person.name)
            };
            if person.given_name.is_empty() {
                one_line(&family)
            } else {
                one_line(&format!("{family}, {}", person.given_name))
            }
        })
        .collect()
}

/// Volume, number and pages: `12(3), 45-67`.
fn detail(entry: &Entry) -> String {
    let mut out = field(entry, "volume");
    let number = field(entry, "number");
    if !number.is_empty() {
        out = if out.is_empty() {
            number
        } else {
            format!("{out}({number})")
        };
    }
    let pages = field(entry, "pages").replace("--", "-");
    match (out.is_empty(), pages.is_empty()) {
        (_, true) => out,
        (true, false) => pages,
        (false, false) => format!("{out}, {pages}"),
    }
}

fn source(reading: &Reading<'_>, entry: &Entry, keys: &HashMap<&str, usize>) -> Source {
    let title = field(entry, "title");
    let doi = field(entry, "doi");
    let at = keys
        .get(entry.key.as_str())
        .map(|start| Span::new(*start, start + entry.key.len()));
    Source {
        head: Head {
            id: entry.key.clone(),
            names: Names {
                name: if title.is_empty() {
                    entry.key.clone()
                } else {
                    title.clone()
                },
                also: Lazy::default(),
                foreign: Lazy::default(),
            },
            place: at.map(|span| reading.place(span)).unwrap_or_default(),
            ..Head::default()
        },
        entry: entry.entry_type.to_string().to_lowercase(),
        authors: people(entry),
        date: first_of(entry, &["date", "year"]),
        title,
        container: first_of(
            entry,
            &[
                "journaltitle",
                "journal",
                "booktitle",
                "series",
                "howpublished",
                "institution",
                "organization",
                "publisher",
            ],
        ),
        detail: detail(entry),
        locator: if doi.is_empty() {
            field(entry, "url")
        } else {
            format!("doi:{doi}")
        },
        read: first_of(entry, &["annotation", "annote", "note"]),
        raw: entry.to_biblatex_string(),
    }
}
