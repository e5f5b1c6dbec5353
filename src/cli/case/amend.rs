//! `palinode case amend` and `palinode case withdraw`

use std::path::Path;

use super::fail::Refusal;
use super::{Field, Over, Who, added, change, day, year};
use crate::case::{Case, Phrase, Section, Words};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::diag::did_you_mean;

pub(super) fn amend(
    path: &Path,
    (id, key, value): (&str, &str, &str),
    by: &Who,
    over: &Over,
    output: &mut Output,
) -> Exit {
    let editor = by.editor("amend");
    over.with(output, |pack, output| {
        change(path, &editor, output, |draft, _| {
            let section = section_of(draft.case(), id)?;
            if !section.keys().contains(&key) {
                let help = match did_you_mean(key, section.keys().iter().copied()).first() {
                    Some(near) => format!("write `{near}`"),
                    None => format!("its facts: {}", section.keys().join(", ")),
                };
                let message = format!("`{key}` of `{id}` cannot be said anew");
                return Err(Refusal::Plain(message, help));
            }
            let value = value.trim();
            if value.is_empty() {
                return Err(Refusal::Plain(
                    "nothing was said".to_owned(),
                    "say what holds; an entry that does not hold any more is withdrawn".to_owned(),
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

pub(super) fn withdraw(
    path: &Path,
    id: &str,
    because: &str,
    by: &Who,
    output: &mut Output,
) -> Exit {
    let editor = by.editor("withdraw");
    change(path, &editor, output, |draft, _| {
        let section = section_of(draft.case(), id)?;
        if !section.keys().contains(&"withdrawn") {
            return Err(Refusal::Plain(
                format!("`{id}` is {}, which others name", section.key()),
                "say it anew: `palinode case amend`; or take it out of the file by hand".to_owned(),
            ));
        }
        if because.trim().is_empty() {
            return Err(Refusal::Plain(
                "no reason was given".to_owned(),
                "say with --because why it does not hold".to_owned(),
            ));
        }
        draft.set(
            section,
            id,
            &[("withdrawn", Field::Text(because.to_owned()))],
        );
        Ok(added(id, &format!("withdrawn: {because}")))
    })
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
