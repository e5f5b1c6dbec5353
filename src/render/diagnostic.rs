//! Diagnostics with the line, a mark under the word, and how to mend it.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::{safe, safe_in_place, safe_lines};
use crate::corpus::Finding;
use crate::diag::{Diagnostic, Severity};
use crate::span::Source;

/// Diagnostics of one text.
#[must_use]
pub fn diagnostics(list: &[Diagnostic], source: &Source, colour: bool) -> String {
    let blocks: Vec<String> = list.iter().map(|d| one(d, source, colour)).collect();
    blocks.join("\n\n")
}

/// A finding in a file of the corpus.
#[must_use]
pub fn finding(finding: &Finding, sources: &[Source], colour: bool) -> String {
    match sources.iter().find(|s| s.name == finding.file) {
        Some(source) => one(&finding.diagnostic, source, colour),
        None => {
            let d = &finding.diagnostic;
            let help = d
                .help
                .as_deref()
                .map_or(String::new(), |h| format!("\n  help: {}", safe_lines(h)));
            format!(
                "{}[{}]: {}\n  --> {}:{}:{}{help}",
                d.severity.word(),
                d.code,
                safe(&d.message),
                safe(&finding.file),
                finding.place.line,
                finding.place.column,
            )
        }
    }
}

fn one(diagnostic: &Diagnostic, source: &Source, colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    // A tab or an escape in the text must not shift the mark.
    let text = safe_in_place(&source.text);
    let path = safe(&source.name);
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        _ => Level::NOTE,
    };
    let message = safe(&diagnostic.message);
    let mut group: Group<'_> = if diagnostic.labels.is_empty() {
        Group::with_title(level.primary_title(&message).id(diagnostic.code))
    } else {
        let mut snippet = Snippet::source(&text).path(&path).fold(true);
        for label in &diagnostic.labels {
            let kind = if label.primary {
                AnnotationKind::Primary
            } else {
                AnnotationKind::Context
            };
            let mut range = label.span.range();
            range.start = range.start.min(text.len());
            range.end = range.end.clamp(range.start, text.len());
            let annotation = kind.span(range);
            snippet = snippet.annotation(if label.text.is_empty() {
                annotation
            } else {
                annotation.label(safe(&label.text))
            });
        }
        level
            .primary_title(&message)
            .id(diagnostic.code)
            .element(snippet)
    };
    for note in &diagnostic.notes {
        group = group.element(Level::NOTE.message(safe_lines(note)));
    }
    if let Some(help) = &diagnostic.help {
        group = group.element(Level::HELP.message(safe_lines(help)));
    }
    renderer.render(&[group]).to_string()
}
