//! `palinode case observe` and `palinode case trial`

use clap::Args;

use super::fail::Refusal;
use super::{CasePath, Noting, Over, added, change, named, texts, year};
use crate::case::{Phrase, Section, Words};
use crate::cli::Exit;
use crate::cli::ask::read;
use crate::cli::output::Output;

// No doc comments on these structs: clap would show them in place of what the subcommand is for.

#[derive(Args, Debug)]
pub(in crate::cli) struct Observe {
    #[command(flatten)]
    case: CasePath,
    /// The unknown, by id
    unknown: String,
    /// What was seen, in the words of the language, commas between; `-` reads lines from
    /// standard input
    #[arg(required = true)]
    seen: Vec<String>,
    #[command(flatten)]
    noting: Noting,
    #[command(flatten)]
    over: Over,
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Trial {
    #[command(flatten)]
    case: CasePath,
    /// The layer, by id
    layer: String,
    /// What it did, in the words of the language
    seen: String,
    #[command(flatten)]
    noting: Noting,
    #[command(flatten)]
    over: Over,
}

impl Observe {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let Some(texts_seen) = lines(&self.seen, output) else {
            return Exit::Wrong;
        };
        let editor = self.noting.by.editor("observe");
        self.over.with(true, output, |pack, output| {
            change(&self.case, &editor, output, |draft, _| {
                named(draft.case(), &[Section::Unknown], &self.unknown)?;
                let words = Words::new(pack, year());
                let noted = self.noting.fields(&editor);
                let mut said = String::new();
                for text in &texts_seen {
                    let each = words
                        .seen(text)
                        .map_err(|list| Refusal::of("observation", text, list))?;
                    for one in each {
                        let mut fields = texts([
                            ("of", Some(self.unknown.clone())),
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
}

/// The texts, with the lines of standard input where one is `-`.
fn lines(given: &[String], output: &mut Output) -> Option<Vec<String>> {
    let mut out: Vec<String> = Vec::new();
    for text in given {
        if text == "-" {
            let lines = read("-", output)?;
            let lines = lines.lines().map(str::trim).filter(|l| !l.is_empty());
            out.extend(lines.map(str::to_owned));
        } else {
            out.push(text.clone());
        }
    }
    Some(out)
}

impl Trial {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.noting.by.editor("trial");
        self.over.with(true, output, |pack, output| {
            change(&self.case, &editor, output, |draft, _| {
                let Some(layer) = draft.case().layer(&self.layer) else {
                    return Err(Refusal::no_such(
                        "layer",
                        &self.layer,
                        &draft.case().ids_of(Section::Layer),
                    ));
                };
                let seen = self.seen.trim();
                let words = Words::new(pack, year());
                words
                    .check(Phrase::Layer, &layer.name)
                    .map_err(|list| Refusal::of("layer", &layer.name, list))?;
                words
                    .check(Phrase::Trial(&layer.name), seen)
                    .map_err(|list| Refusal::of("trial", seen, list))?;
                let mut fields = texts([
                    ("on", Some(self.layer.clone())),
                    ("seen", Some(seen.to_owned())),
                ]);
                fields.extend(self.noting.fields(&editor));
                let id = draft.add(Section::Trial, &fields);
                Ok(added(&id, seen))
            })
        })
    }
}
