//! Reads sources from BibLaTeX.

use biblatex::{Bibliography, ChunksExt, Entry};

use super::walk::Reading;
use crate::diag::Diagnostic;
use crate::model::{Head, Lazy, Names, Source};
use crate::span::Span;

/// All sources of a file.
pub(super) fn sources(reading: &Reading<'_>) -> Vec<Source> {
    let text = &reading.source.text;
    match Bibliography::parse(text) {
        Ok(bibliography) => bibliography
            .iter()
            .map(|entry| source(reading, entry))
            .collect(),
        Err(error) => {
            let at = Span::new(
                error.span.start.min(text.len()),
                error.span.end.min(text.len()),
            );
            reading.report(
                Diagnostic::error("K0111", format!("not BibLaTeX: {}", error.kind))
                    .at(at, "")
                    .help("an entry reads @article{key, author = {…}, title = {…}, date = {…}}"),
            );
            Vec::new()
        }
    }
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

fn source(reading: &Reading<'_>, entry: &Entry) -> Source {
    let people = entry.author().ok().or_else(|| {
        entry
            .editors()
            .ok()
            .map(|groups| groups.into_iter().flat_map(|(people, _)| people).collect())
    });
    let authors: Vec<String> = people
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
        .collect();
    let title = field(entry, "title");
    let date = [field(entry, "date"), field(entry, "year")]
        .into_iter()
        .find(|text| !text.is_empty())
        .unwrap_or_default();
    let container = [
        "journaltitle",
        "journal",
        "booktitle",
        "series",
        "howpublished",
        "institution",
        "organization",
        "publisher",
    ]
    .into_iter()
    .map(|key| field(entry, key))
    .find(|text| !text.is_empty())
    .unwrap_or_default();
    let mut detail = field(entry, "volume");
    let number = field(entry, "number");
    if !number.is_empty() {
        detail = if detail.is_empty() {
            number
        } else {
            format!("{detail}({number})")
        };
    }
    let pages = field(entry, "pages");
    if !pages.is_empty() {
        let pages = pages.replace("--", "-");
        detail = if detail.is_empty() {
            pages
        } else {
            format!("{detail}, {pages}")
        };
    }
    let doi = field(entry, "doi");
    let locator = if doi.is_empty() {
        field(entry, "url")
    } else {
        format!("doi:{doi}")
    };
    let read = [
        field(entry, "annotation"),
        field(entry, "annote"),
        field(entry, "note"),
    ]
    .into_iter()
    .find(|text| !text.is_empty())
    .unwrap_or_default();
    let at = reading
        .source
        .text
        .find(&format!("{{{},", entry.key))
        .map(|start| Span::new(start + 1, start + 1 + entry.key.len()));
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
        authors,
        date,
        title,
        container,
        detail,
        locator,
        read,
        raw: entry.to_biblatex_string(),
    }
}
