//! `palinode case amend` and `palinode case withdraw`

use clap::Args;

use super::fail::Refusal;
use super::{CasePath, Field, Over, Who, added, change, day, year};
use crate::case::{Case, Phrase, Section, Words};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::diag::did_you_mean;

// No doc comments on these structs: clap would show them in place of what the subcommand is for.

#[derive(Args, Debug)]
pub(in crate::cli) struct Amend {
    #[command(flatten)]
    case: CasePath,
    /// The entry, by id
    id: String,
    /// Which of its facts, by its key in the file
    key: String,
    /// What holds
    value: String,
    #[command(flatten)]
    by: Who,
    #[command(flatten)]
    over: Over,
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Withdraw {
    #[command(flatten)]
    case: CasePath,
    /// The entry, by id
    id: String,
    /// Why
    #[arg(long, value_name = "TEXT")]
    because: String,
    #[command(flatten)]
    by: Who,
}

impl Amend {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.by.editor("amend");
        let (id, key) = (self.id.as_str(), self.key.as_str());
        self.over.with(true, output, |pack, output| {
            change(&self.case, &editor, output, |draft, _| {
                let section = section_of(draft.case(), id)?;
                if !section.keys().contains(&key) {
                    let help = match did_you_mean(key, section.keys().iter().copied()).first() {
                        Some(near) => format!("write `{near}`"),
                        None => format!("its facts: {}", section.keys().join(", ")),
                    };
                    let message = format!("`{key}` of `{id}` cannot be said anew");
                    return Err(Refusal::Plain(message, help));
                }
                let value = self.value.trim();
                if value.is_empty() {
                    return Err(Refusal::Plain(
                        "nothing was said".to_owned(),
                        "say what holds; an entry that does not hold any more is withdrawn"
                            .to_owned(),
                    ));
                }
                if let Some(phrase) = phrase(draft.case(), section, id, key) {
                    Words::new(pack, year())
                        .check(phrase, value)
                        .map_err(|list| Refusal::of(key, value, list))?;
                }
                let field = match key {
                    "day" => Field::Day(
                        day(value)
                            .map_err(|help| Refusal::Plain(format!("`{value}` is no day"), help))?,
                    ),
                    _ => Field::Text(value.to_owned()),
                };
                draft.set(section, id, &[(key, field)]);
                Ok(added(id, &format!("{key}: {value}")))
            })
        })
    }
}

impl Withdraw {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.by.editor("withdraw");
        let (id, because) = (&self.id, &self.because);
        change(&self.case, &editor, output, |draft, _| {
            let section = section_of(draft.case(), id)?;
            if !section.keys().contains(&"withdrawn") {
                return Err(Refusal::Plain(
                    format!("`{id}` is {}, which others name", section.key()),
                    "say it anew: `palinode case amend`; or take it out of the file by hand"
                        .to_owned(),
                ));
            }
            if because.trim().is_empty() {
                return Err(Refusal::Plain(
                    "no reason was given".to_owned(),
                    "say with --because why it does not hold".to_owned(),
                ));
            }
            draft.set(section, id, &[("withdrawn", Field::Text(because.clone()))]);
            Ok(added(id, &format!("withdrawn: {because}")))
        })
    }
}

fn section_of(case: &Case, id: &str) -> Result<Section, Refusal> {
    let ids = case.ids();
    let found = ids.iter().find(|(it, _, _)| *it == id);
    found.map(|(_, section, _)| *section).ok_or_else(|| {
        let there: Vec<&str> = ids.iter().map(|(it, _, _)| *it).take(40).collect();
        Refusal::no_such("id", id, &there)
    })
}

/// The phrase of the language that a fact must be.
fn phrase<'a>(case: &'a Case, section: Section, id: &str, key: &str) -> Option<Phrase<'a>> {
    match (section, key) {
        (Section::Layer, "name") => Some(Phrase::Layer),
        (Section::Unknown, "noun") => Some(Phrase::Noun),
        (Section::Observation, "seen") => Some(Phrase::Seen),
        (Section::Trial, "seen") => {
            let trial = case.trials.iter().find(|it| it.id == id)?;
            Some(Phrase::Trial(&case.layer(&trial.on)?.name))
        }
        _ => None,
    }
}
