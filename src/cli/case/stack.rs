//! `palinode case layer` and `palinode case unknown`

use clap::Args;

use super::fail::Refusal;
use super::{CasePath, Over, Who, added, change, measured, named, texts, year};
use crate::case::{Measure, Phrase, Section, Words};
use crate::cli::Exit;
use crate::cli::output::Output;

// No doc comments on these structs: clap would show them in place of what the subcommand is for.

#[derive(Args, Debug)]
pub(in crate::cli) struct Layer {
    #[command(flatten)]
    case: CasePath,
    /// The layers in the words of the language, conditions in parentheses; beneath those there
    layers: String,
    /// Put them above a layer, by id, not beneath all
    #[arg(long, value_name = "ID")]
    above: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    by: Who,
    #[command(flatten)]
    corpus: Over,
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Unknown {
    #[command(flatten)]
    case: CasePath,
    /// What it may be, in the words of the language, with its notes
    noun: String,
    /// What the bench calls it
    #[arg(long, value_name = "TEXT")]
    called: Option<String>,
    /// Layer that it lies on, by id; the top one where it is not given
    #[arg(long, value_name = "ID")]
    over: Option<String>,
    /// Years of the restoration: 1919..1939
    #[arg(long, value_name = "YEARS")]
    restored: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    by: Who,
    #[command(flatten)]
    corpus: Over,
}

impl Layer {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.by.editor("layer");
        self.corpus.with(true, output, |pack, output| {
            change(&self.case, &editor, output, |draft, _| {
                if let Some(above) = &self.above {
                    named(draft.case(), &[Section::Layer], above)?;
                }
                let names = Words::new(pack, year())
                    .layers(&self.layers)
                    .map_err(|list| Refusal::of("layers", &self.layers, list))?;
                let mut said = String::new();
                for name in names {
                    let fields = texts([("name", Some(name.clone())), ("note", self.note.clone())]);
                    let id = draft.add_before(Section::Layer, self.above.as_deref(), &fields);
                    said.push_str(&added(&id, &name));
                }
                Ok(said)
            })
        })
    }
}

impl Unknown {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.by.editor("unknown");
        self.corpus.with(true, output, |pack, output| {
            change(&self.case, &editor, output, |draft, _| {
                let noun = self.noun.trim().to_owned();
                Words::new(pack, year())
                    .check(Phrase::Noun, &noun)
                    .map_err(|list| Refusal::of("noun", &noun, list))?;
                if let Some(years) = &self.restored {
                    measured(Measure::Years, "restored", years, "not years")?;
                }
                if let Some(over) = &self.over {
                    named(draft.case(), &[Section::Layer], over)?;
                }
                let fields = texts([
                    ("called", self.called),
                    ("noun", Some(noun.clone())),
                    ("over", self.over),
                    ("restored", self.restored),
                    ("note", self.note),
                ]);
                let id = draft.add(Section::Unknown, &fields);
                Ok(added(&id, &noun))
            })
        })
    }
}
