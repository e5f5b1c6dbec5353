//! The report as one HTML page: nothing is fetched, nothing runs. Every text goes through the
//! template, which escapes it; only figures, which escape for themselves, and the style sheet do not.

use base64::Engine;
use maud::{DOCTYPE, Markup, PreEscaped, html as page};

use super::document::{ADVICE, Block, Document, Line, Section, Words};
use super::style::{Paper, sheet};
use super::words::clean;
use crate::cite::{Reference, Run};

/// What a browser may do with the page: show it.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; \
                      form-action 'none'";

/// Writes a report as HTML.
#[must_use]
pub fn html(document: &Document, paper: Paper) -> String {
    let out = page! {
        (DOCTYPE)
        html lang="en-GB" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                title { (clean(&document.title)) ": treatment report" }
                style { (PreEscaped(sheet(paper))) }
            }
            body {
                a class="skip" href="#report" { "To the report" }
                header {
                    h1 { (clean(&document.title)) }
                    dl class="about" {
                        @for (name, value) in &document.about {
                            dt { (clean(name)) } dd { (clean(value)) }
                        }
                    }
                }
                nav aria-label="Contents" {
                    ul {
                        @for section in &document.sections {
                            li { a href={ "#" (section.part.word()) } { (section.part.title()) } }
                        }
                    }
                }
                main id="report" {
                    @for it in &document.sections { (section(document, it)) }
                }
                footer {
                    p { (ADVICE) }
                }
            }
        }
    };
    let mut out = out.into_string();
    out.push('\n');
    out
}

fn section(document: &Document, it: &Section) -> Markup {
    page! {
        section aria-labelledby=(it.part.word()) {
            h2 id=(it.part.word()) { (it.part.title()) }
            @if !it.plain.is_empty() {
                div class="plain" {
                    h3 { "In plain words" }
                    @for paragraph in &it.plain { p { (clean(paragraph)) } }
                }
            }
            @for it in &it.blocks { (block(document, it)) }
        }
    }
}

/// Width of a drawing below which it is not scrolled on a phone.
const NARROW: u32 = 480;

fn block(document: &Document, it: &Block) -> Markup {
    match it {
        Block::Heading(text) => page! { h3 { (clean(text)) } },
        Block::Paragraph(line) => page! { p { (words(document, line)) } },
        Block::Warning(line) => page! { p class="warn" { (words(document, line)) } },
        Block::List(list) => page! {
            ul { @for line in list { li { (words(document, line)) } } }
        },
        Block::Terms(list) => page! {
            dl class=[(list.len() == 1).then_some("step")] {
                @for (name, line) in list { dt { (clean(name)) } dd { (words(document, line)) } }
            }
        },
        Block::Table {
            caption,
            head,
            rows,
        } => page! {
            div class="wide" role="group" aria-label=(clean(caption)) tabindex="0" {
                table {
                    caption { (clean(caption)) }
                    thead { tr { @for name in head { th scope="col" { (clean(name)) } } } }
                    tbody {
                        @for row in rows {
                            tr {
                                @for (k, cell) in row.iter().enumerate() {
                                    @if k == 0 { th scope="row" { (words(document, cell)) } }
                                    @else { td { (words(document, cell)) } }
                                }
                            }
                        }
                    }
                }
            }
        },
        Block::Figure { figure, caption } => page! {
            figure {
                div.drawing.narrow[figure.width < NARROW] role="group" aria-label=(clean(&figure.title)) tabindex="0" {
                    (PreEscaped(&figure.svg))
                }
                figcaption { (clean(caption)) }
                details { summary { "The figure in words" } p { (clean(&figure.description)) } }
            }
        },
        Block::Photograph {
            shows,
            note,
            picture,
        } => page! {
            figure {
                @match picture {
                    Ok(picture) => {
                        img alt=(clean(shows))
                            src={ "data:" (picture.media) ";base64,"
                                  (base64::engine::general_purpose::STANDARD.encode(&picture.bytes)) };
                    }
                    Err(why) => { p class="warn" { "This photograph is not shown: " (clean(why)) "." } }
                }
                figcaption { (clean(shows)) @if !note.is_empty() { " (" (clean(note)) ")" } }
            }
        },
        Block::Query(text) => page! { pre { (clean(text)) } },
        Block::References => page! {
            ul class="refs" { @for it in &document.styled.references { (reference(it)) } }
        },
    }
}

fn reference(it: &Reference) -> Markup {
    page! {
        li id={ "source-" (anchor(&it.key)) } {
            @if !it.label.is_empty() { (clean(&it.label)) ". " }
            (runs(&it.runs))
            @if !it.read.is_empty() { " " span class="read" { "[Read: " (clean(&it.read)) "]" } }
        }
    }
}

fn words(document: &Document, line: &Line) -> Markup {
    page! {
        @for it in line {
            @match it {
                Words::Text(text) => { (clean(text)) }
                Words::Strong(text) => { strong { (clean(text)) } }
                Words::Typed(text) => { code { (clean(text)) } }
                Words::Basis(text) => { span class="basis" { "(" (text) ")" } }
                Words::Cite(number) => { (cite(document, *number)) }
            }
        }
    }
}

/// A cite leads to the first of its sources.
fn cite(document: &Document, number: usize) -> Markup {
    let made = document.styled.citations.get(number);
    let key = document
        .groups
        .get(number)
        .and_then(|group| group.first())
        .map_or("", |cite| cite.key.as_str());
    // Without the list of references a link would lead nowhere.
    let listed = document
        .sections
        .iter()
        .any(|section| section.blocks.contains(&Block::References));
    page! {
        @if let Some(made) = made {
            @if listed { a href={ "#source-" (anchor(key)) } { (unlinked(made)) } }
            @else { (unlinked(made)) }
        }
    }
}

fn runs(list: &[Run]) -> Markup {
    page! {
        @for run in list {
            @if let Some(url) = &run.url { a href=(clean(url)) rel="noreferrer" { (dressed(run)) } }
            @else { (dressed(run)) }
        }
    }
}

fn unlinked(list: &[Run]) -> Markup {
    page! { @for run in list { (dressed(run)) } }
}

fn dressed(run: &Run) -> Markup {
    let text = clean(&run.text);
    match (run.italic, run.bold) {
        (true, true) => page! { em { strong { (text) } } },
        (true, false) => page! { em { (text) } },
        (false, true) => page! { strong { (text) } },
        (false, false) => page! { (text) },
    }
}

/// A key as a part of an id.
fn anchor(key: &str) -> String {
    key.chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect()
}
