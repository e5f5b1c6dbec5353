//! `palinode case propose`, `decide`, `use` and `deviate`

use clap::Args;

use super::fail::Refusal;
use super::{CasePath, Noting, added, change, measured, named, texts};
use crate::case::{Measure, Section};
use crate::cli::Exit;
use crate::cli::output::Output;

// No doc comments on these structs: clap would show them in place of what the subcommand is for.

#[derive(Args, Debug)]
pub(in crate::cli) struct Propose {
    #[command(flatten)]
    case: CasePath,
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
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Decide {
    #[command(flatten)]
    case: CasePath,
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
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Use {
    #[command(flatten)]
    case: CasePath,
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
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Deviate {
    #[command(flatten)]
    case: CasePath,
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
}

/// An entry to be written down.
struct NewEntry {
    section: Section,
    /// The verb of the command, for the log.
    did: &'static str,
    /// What it says first, which is shown when it is written.
    says: String,
    /// Its keys with what was given for them, in the order in which they are written.
    fields: Vec<(&'static str, Option<String>)>,
}

impl Propose {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let entry = NewEntry {
            section: Section::Proposal,
            did: "propose",
            says: self.what.clone(),
            fields: vec![
                ("what", Some(self.what)),
                ("from", self.from),
                ("step", self.step),
                ("risk", self.risk),
            ],
        };
        entry.write(&self.case, self.noting, output)
    }
}

impl Decide {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let entry = NewEntry {
            section: Section::Decision,
            did: "decide",
            says: self.what.clone(),
            fields: vec![
                ("on", self.on),
                ("what", Some(self.what)),
                ("because", Some(self.because)),
            ],
        };
        entry.write(&self.case, self.noting, output)
    }
}

impl Use {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let entry = NewEntry {
            section: Section::Use,
            did: "use",
            says: self.material.clone(),
            fields: vec![
                ("material", Some(self.material)),
                ("purpose", self.purpose),
                ("strength", self.strength),
                ("solvent", self.solvent),
                ("amount", self.amount),
                ("batch", self.batch),
                ("under", self.under),
            ],
        };
        entry.write(&self.case, self.noting, output)
    }
}

impl Deviate {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let entry = NewEntry {
            section: Section::Deviation,
            did: "deviate",
            says: self.what.clone(),
            fields: vec![
                ("from", self.from),
                ("what", Some(self.what)),
                ("because", Some(self.because)),
            ],
        };
        entry.write(&self.case, self.noting, output)
    }
}

impl NewEntry {
    fn write(self, case: &CasePath, noting: Noting, output: &mut Output) -> Exit {
        let editor = noting.by.editor(self.did);
        change(case, &editor, output, |draft, _| {
            for (key, value) in &self.fields {
                let Some(value) = value else { continue };
                let references = self.section.references();
                if let Some((_, sections)) = references.iter().find(|(it, _)| it == key) {
                    named(draft.case(), sections, value)?;
                }
                if let Some(measure) = measure(self.section, key) {
                    measured(measure, key, value, "not understood")?;
                }
            }
            if self.says.trim().is_empty() {
                return Err(Refusal::Plain(
                    "nothing was said".to_owned(),
                    "say it in a few words".to_owned(),
                ));
            }
            let mut all = texts(self.fields);
            all.extend(noting.fields(&editor));
            let id = draft.add(self.section, &all);
            Ok(added(&id, &self.says))
        })
    }
}

/// What the quantity of a key must measure; none where it holds words.
fn measure(section: Section, key: &str) -> Option<Measure> {
    match (section, key) {
        (Section::Use, "strength") => Some(Measure::Strength),
        (Section::Use, "amount") => Some(Measure::Amount),
        _ => None,
    }
}
