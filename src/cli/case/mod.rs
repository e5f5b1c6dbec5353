//! `palinode case`: the record of a job, one file a group of verbs.

mod amend;
mod ask;
mod bench;
mod check;
pub(super) mod fail;
mod photo;
mod restore;
mod review;
mod run;
mod show;
mod stack;
mod start;
mod treatment;

pub(super) use run::run;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::output::Output;
use super::{Exit, Form, With};
use crate::case::{Day, Draft, Editor, Field, Moment};
use crate::pack::Pack;
use crate::store::RealDisk;
use crate::{case, embedded};

/// A studio's own corpus.
#[derive(Args, Debug)]
pub(super) struct Over {
    /// A studio's own folder, laid over the corpus
    #[arg(long, value_name = "DIR")]
    kb: Option<PathBuf>,
    /// Leave out records of the overlay that have errors, and say which
    #[arg(long, requires = "kb")]
    skip_bad: bool,
}

/// Who makes a change.
#[derive(Args, Debug)]
pub(super) struct Who {
    /// Who: initials will do; PALINODE_WHO where it is not given
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
}

/// When, where and by whom something was seen or done.
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

/// What is said of the object.
#[derive(Args, Debug)]
pub(super) struct ObjectFacts {
    /// Number under which it is filed
    #[arg(long, value_name = "TEXT")]
    number: Option<String>,
    /// When it was made, in words
    #[arg(long, value_name = "TEXT")]
    made: Option<String>,
    /// Who made it, or where
    #[arg(long, value_name = "TEXT")]
    maker: Option<String>,
    /// What it is made of, in words
    #[arg(long, value_name = "TEXT")]
    materials: Option<String>,
    /// Height with its unit: '1240 mm'
    #[arg(long, value_name = "LENGTH")]
    height: Option<String>,
    /// Width with its unit
    #[arg(long, value_name = "LENGTH")]
    width: Option<String>,
    /// Depth with its unit
    #[arg(long, value_name = "LENGTH")]
    depth: Option<String>,
    /// Weight with its unit: '12 kg'
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The warmest that it gets where it stands: '28 C'
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    warmest: Option<String>,
    /// State on arrival
    #[arg(long, value_name = "TEXT")]
    condition: Option<String>,
    /// What the treatment is to reach
    #[arg(long, value_name = "TEXT")]
    aim: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    by: Who,
}

// No doc comment: clap would show it in place of what the subcommand is for.
// What is done with a case.
#[derive(Subcommand, Debug)]
// What a subcommand takes is only worked out for the one that is called.
#[command(defer = true)]
pub(super) enum CaseCommand {
    /// Begin a case: a TOML file in a folder of its own, photographs in or below it
    New {
        /// The case file to make, or the folder for it
        case: PathBuf,
        /// What the object is called
        title: String,
        #[command(flatten)]
        facts: Box<ObjectFacts>,
    },
    /// Say more of the object, or say it anew
    Object {
        /// The case file, or its folder
        case: PathBuf,
        /// What the object is called
        #[arg(long, value_name = "TEXT")]
        title: Option<String>,
        #[command(flatten)]
        facts: Box<ObjectFacts>,
    },
    /// Add layers that must survive, from the top down: 'water gilding over bole over gesso'
    Layer {
        /// The case file, or its folder
        case: PathBuf,
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
        over: Over,
    },
    /// Add an old material that nobody wrote down: 'coating (film, later)'
    Unknown {
        /// The case file, or its folder
        case: PathBuf,
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
    },
    /// Write down what was seen of an unknown: 'dissolves in ethanol (crumb, 1 min)'
    Observe {
        /// The case file, or its folder
        case: PathBuf,
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
    },
    /// Write down how a layer bore a test: 'is unaffected by acetone'
    Trial {
        /// The case file, or its folder
        case: PathBuf,
        /// The layer, by id
        layer: String,
        /// What it did, in the words of the language
        seen: String,
        #[command(flatten)]
        noting: Noting,
        #[command(flatten)]
        over: Over,
    },
    /// Ask a question, and keep it with the gist of its answer: 'identify u1', 'remove u1 without water'
    #[command(after_help = "\
What the question leaves out is filled in from the case:
  identify u1          its noun, the layers beneath, its years, what was seen, what the layers bore
  remove u1            the same, and then how to take it off; `remove u1 over u2` for two in turn
  remove u1 without water limit 3       clauses of one's own may follow
  choose adhesive where stable to 35 C  for the layers of the case
  compare ... on l2                     the id of a layer stands for it and all beneath it
  blend to dissolve ... sparing l2, l3  after `sparing` for itself
Any other statement is run as it is. A question asked before is answered anew.")]
    Ask {
        /// The case file, or its folder
        case: PathBuf,
        /// The question
        #[arg(required = true)]
        question: Vec<String>,
        /// Answer it, and keep nothing
        #[arg(long)]
        dry: bool,
        #[command(flatten)]
        by: Who,
        #[command(flatten)]
        with: With,
    },
    /// Propose something to the owner
    Propose {
        /// The case file, or its folder
        case: PathBuf,
        /// What is proposed
        what: String,
        /// Question that it rests on, by id
        #[arg(long, value_name = "ID")]
        from: Option<String>,
        /// Step of its answer, by id: swab/ethanol
        #[arg(long, value_name = "STEP")]
        step: Option<String>,
        /// What may go wrong
        #[arg(long, value_name = "TEXT")]
        risk: Option<String>,
        #[command(flatten)]
        noting: Noting,
    },
    /// Write down a decision with its reason
    Decide {
        /// The case file, or its folder
        case: PathBuf,
        /// What was decided
        what: String,
        /// Why
        #[arg(long, value_name = "TEXT")]
        because: String,
        /// Proposal or question that it decides, by id
        #[arg(long, value_name = "ID")]
        on: Option<String>,
        #[command(flatten)]
        noting: Noting,
    },
    /// Write down a material that was really used, with its batch and strength
    Use {
        /// The case file, or its folder
        case: PathBuf,
        /// The material or liquid
        material: String,
        /// What for
        #[arg(long = "for", value_name = "TEXT")]
        purpose: Option<String>,
        /// Strength with its unit: '8 % w/v'
        #[arg(long, value_name = "STRENGTH")]
        strength: Option<String>,
        /// What it was dissolved in
        #[arg(long = "in", value_name = "LIQUID")]
        solvent: Option<String>,
        /// How much, with its unit: '20 ml'
        #[arg(long, value_name = "AMOUNT")]
        amount: Option<String>,
        /// Maker's batch or lot
        #[arg(long, value_name = "TEXT")]
        batch: Option<String>,
        /// Decision that it carries out, by id
        #[arg(long, value_name = "ID")]
        under: Option<String>,
        #[command(flatten)]
        noting: Noting,
    },
    /// Write down where the work left what was decided
    Deviate {
        /// The case file, or its folder
        case: PathBuf,
        /// What was done instead
        what: String,
        /// Why
        #[arg(long, value_name = "TEXT")]
        because: String,
        /// Decision, proposal or use that it departs from, by id
        #[arg(long, value_name = "ID")]
        from: Option<String>,
        #[command(flatten)]
        noting: Noting,
    },
    /// Add a photograph that lies in the folder of the case or below it
    Photo {
        /// The case file, or its folder
        case: PathBuf,
        /// Path of the picture, from the folder of the case
        file: String,
        /// What it shows, also for who cannot see it
        shows: String,
        /// Light: daylight, 'raking light', uv-a
        #[arg(long, value_name = "TEXT")]
        light: Option<String>,
        /// What it belongs to, by ids
        #[arg(long, value_name = "ID", value_delimiter = ',')]
        of: Vec<String>,
        #[command(flatten)]
        noting: Noting,
    },
    /// Say one fact of an entry anew: amend CASE o3 place 'upper left'
    Amend {
        /// The case file, or its folder
        case: PathBuf,
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
    },
    /// Withdraw an entry: it stays in the record with the reason, and is not asked any more
    Withdraw {
        /// The case file, or its folder
        case: PathBuf,
        /// The entry, by id
        id: String,
        /// Why
        #[arg(long, value_name = "TEXT")]
        because: String,
        #[command(flatten)]
        by: Who,
    },
    /// Show a case
    Show {
        /// The case file, or its folder
        case: PathBuf,
        /// Form in which it is shown
        #[arg(long, value_enum, default_value_t = Form::Table)]
        format: Form,
    },
    /// Ask the questions of a case again with the corpus as it is now, and show what changed
    Review {
        /// The case file, or its folder
        case: PathBuf,
        /// Questions, by id; all where none is given
        questions: Vec<String>,
        /// Keep the new answers in the case
        #[arg(long)]
        update: bool,
        #[command(flatten)]
        by: Who,
        #[command(flatten)]
        with: With,
    },
    /// Check a case that was edited by hand: its form, its words, its photographs
    Check {
        /// The case file, or its folder
        case: PathBuf,
        #[command(flatten)]
        over: Over,
    },
    /// Put back the version before the last change; the present one is kept beside it
    Restore {
        /// The case file, or its folder
        case: PathBuf,
    },
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

impl Over {
    /// Runs something with the corpus, the studio's own folder laid over it.
    fn with(&self, output: &mut Output, run: impl FnOnce(&Pack, &mut Output) -> Exit) -> Exit {
        with_pack(self.kb.as_deref(), self.skip_bad, output, run)
    }
}

fn with_pack(
    kb: Option<&Path>,
    skip_bad: bool,
    output: &mut Output,
    run: impl FnOnce(&Pack, &mut Output) -> Exit,
) -> Exit {
    match kb {
        None => run(embedded(), output),
        // A question of the case may search free text.
        Some(dir) => match super::overlay::lay_over(dir, skip_bad, true, output) {
            Some(pack) => run(&pack, output),
            None => Exit::Wrong,
        },
    }
}

/// Changes a case and tells what came of it, or why nothing did.
fn change(
    path: &Path,
    editor: &Editor,
    output: &mut Output,
    change: impl FnOnce(&mut Draft, &case::CaseFile) -> Result<String, fail::Refusal>,
) -> Exit {
    match case::edit(&RealDisk, path, editor, change) {
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
