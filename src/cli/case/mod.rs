//! `palinode case`: the record of a job, one file a group of verbs.

mod amend;
mod ask;
mod bench;
mod check;
pub(super) mod fail;
mod photo;
mod restore;
mod review;
mod show;
mod stack;
mod start;
mod treatment;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::Exit;
use super::output::Output;
use super::overlay::Over;
use crate::case::{
    self, Case, CaseFile, Day, Draft, Editor, Field, Measure, Mistyped, Moment, Section,
};
use crate::diag::Diagnostic;
use crate::span::Span;
use crate::store::RealDisk;
use fail::Refusal;

// No doc comments on these structs: clap would show them in place of what the subcommand is for.

// The case that a command works on.
#[derive(Args, Debug)]
struct CasePath {
    /// The case file, or its folder
    case: PathBuf,
}

impl CasePath {
    fn file(&self) -> PathBuf {
        file(&self.case)
    }
}

// Who makes a change.
#[derive(Args, Debug)]
pub(super) struct Who {
    /// Who: initials will do; PALINODE_WHO where it is not given
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
}

// When, where and by whom something was seen or done.
#[derive(Args, Debug)]
pub(super) struct Noting {
    /// Day, year first: 2026-11-28; today where it is not given
    #[arg(long, value_name = "DAY", value_parser = day)]
    day: Option<Day>,
    /// Place on the object
    #[arg(long, value_name = "TEXT")]
    place: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    by: Who,
}

// What is done with a case.
#[derive(Subcommand, Debug)]
// What a subcommand takes is only worked out for the one that is called.
#[command(defer = true)]
pub(super) enum CaseCommand {
    /// Begin a case: a TOML file in a folder of its own, photographs in or below it
    New(start::New),
    /// Say more of the object, or say it anew
    Object(start::Object),
    /// Add layers that must survive, from the top down: 'water gilding over bole over gesso'
    Layer(stack::Layer),
    /// Add an old material that nobody wrote down: 'coating (film, later)'
    Unknown(stack::Unknown),
    /// Write down what was seen of an unknown: 'dissolves in ethanol (crumb, 1 min)'
    Observe(bench::Observe),
    /// Write down how a layer bore a test: 'is unaffected by acetone'
    Trial(bench::Trial),
    /// Ask a question, and keep it with the gist of its answer: 'identify u1', 'remove u1 without water'
    #[command(after_help = ask::FILLED_IN)]
    Ask(ask::Ask),
    /// Propose something to the owner
    Propose(treatment::Propose),
    /// Write down a decision with its reason
    Decide(treatment::Decide),
    /// Write down a material that was really used, with its batch and strength
    Use(treatment::Use),
    /// Write down where the work left what was decided
    Deviate(treatment::Deviate),
    /// Add a photograph that lies in the folder of the case or below it
    Photo(photo::Photo),
    /// Say one fact of an entry anew: amend CASE o3 place 'upper left'
    Amend(amend::Amend),
    /// Withdraw an entry: it stays in the record with the reason, and is not asked any more
    Withdraw(amend::Withdraw),
    /// Show a case
    Show(show::Show),
    /// Ask the questions of a case again with the corpus as it is now, and show what changed
    Review(review::Review),
    /// Check a case that was edited by hand: its form, its words, its photographs
    Check(check::Check),
    /// Put back the version before the last change; the present one is kept beside it
    Restore(restore::Restore),
}

impl CaseCommand {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        match self {
            Self::New(it) => it.run(output),
            Self::Object(it) => it.run(output),
            Self::Layer(it) => it.run(output),
            Self::Unknown(it) => it.run(output),
            Self::Observe(it) => it.run(output),
            Self::Trial(it) => it.run(output),
            Self::Ask(it) => it.run(output),
            Self::Propose(it) => it.run(output),
            Self::Decide(it) => it.run(output),
            Self::Use(it) => it.run(output),
            Self::Deviate(it) => it.run(output),
            Self::Photo(it) => it.run(output),
            Self::Amend(it) => it.run(output),
            Self::Withdraw(it) => it.run(output),
            Self::Show(it) => it.run(output),
            Self::Review(it) => it.run(output),
            Self::Check(it) => it.run(output),
            Self::Restore(it) => it.run(output),
        }
    }
}

fn day(text: &str) -> Result<Day, String> {
    Day::parse(text.trim()).ok_or_else(|| "write year, month, day: 2026-11-28".to_owned())
}

/// The case file that a path names: `case.toml` in a folder.
pub(super) fn file(path: &Path) -> PathBuf {
    if path.is_dir() {
        path.join("case.toml")
    } else {
        path.to_owned()
    }
}

/// The moment by the clock of the machine; `SOURCE_DATE_EPOCH`, as reproducible builds have it, puts
/// another in its place.
fn moment() -> Moment {
    let fixed = std::env::var("SOURCE_DATE_EPOCH")
        .ok()
        .and_then(|text| text.trim().parse().ok());
    let seconds = fixed.unwrap_or_else(|| {
        std::time::SystemTime::now()
            .duration_since(std::time::UNIX_EPOCH)
            .map_or(0, |d| d.as_secs())
    });
    Moment::at(seconds)
}

/// The current year, by the same clock.
pub(super) fn year() -> i32 {
    i32::from(moment().day().year())
}

impl Who {
    fn name(&self) -> Option<String> {
        self.who
            .clone()
            .or_else(|| std::env::var("PALINODE_WHO").ok())
            .filter(|name| !name.trim().is_empty())
    }

    fn editor(&self, did: &'static str) -> Editor {
        Editor {
            at: moment(),
            who: self.name(),
            did,
        }
    }
}

/// Fields that were given, in their order.
fn texts<'a>(fields: impl IntoIterator<Item = (&'a str, Option<String>)>) -> Vec<(&'a str, Field)> {
    fields
        .into_iter()
        .filter_map(|(key, value)| {
            Some((key, Field::Text(value.filter(|v| !v.trim().is_empty())?)))
        })
        .collect()
}

impl Noting {
    /// The fields that every note ends with.
    fn fields(self, editor: &Editor) -> Vec<(&'static str, Field)> {
        let mut out = vec![("day", Field::Day(self.day.unwrap_or(editor.at.day())))];
        out.extend(texts([
            ("place", self.place),
            ("who", editor.who.clone()),
            ("note", self.note),
        ]));
        out
    }
}

/// Refuses an id that names no entry of these sections.
fn named(case: &Case, sections: &[Section], id: &str) -> Result<(), Refusal> {
    let there: Vec<&str> = sections.iter().flat_map(|it| case.ids_of(*it)).collect();
    if there.contains(&id) {
        return Ok(());
    }
    let what: Vec<&str> = sections.iter().map(|it| it.key()).collect();
    Err(Refusal::no_such(&what.join(" or "), id, &there))
}

/// Refuses a text that is no such quantity.
fn measured(measure: Measure, key: &str, text: &str, label: &str) -> Result<(), Refusal> {
    measure.check(text).map_err(|Mistyped { wrong, help }| {
        let d = Diagnostic::error("C0107", wrong)
            .at(Span::new(0, text.len()), label)
            .help(help);
        Refusal::of(key, text, vec![d])
    })
}

/// Changes a case and tells what came of it, or why nothing did.
fn change(
    case: &CasePath,
    editor: &Editor,
    output: &mut Output,
    change: impl FnOnce(&mut Draft, &CaseFile) -> Result<String, Refusal>,
) -> Exit {
    match case::edit(&RealDisk, &case.file(), editor, change) {
        Ok(said) => {
            output.text(&said);
            Exit::Answered
        }
        Err(error) => fail::told(error, output),
    }
}

/// What was written down, in a line or a few.
fn added(id: &str, text: &str) -> String {
    crate::render::line(id, text, Output::columns())
}
