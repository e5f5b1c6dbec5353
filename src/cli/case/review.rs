//! `palinode case review`

use std::path::Path;

use clap::Args;

use super::ask::fields;
use super::fail::{self, Refusal};
use super::{CasePath, Who, year};
use crate::case::{self, Outcome, Reviewed, Section};
use crate::cli::output::Output;
use crate::cli::{Exit, Form, With};
use crate::pack::Pack;
use crate::render;
use crate::store::RealDisk;

// No doc comment: clap would show it in place of what the subcommand is for.
#[derive(Args, Debug)]
pub(in crate::cli) struct Review {
    #[command(flatten)]
    case: CasePath,
    /// Questions, by id; all where none is given
    questions: Vec<String>,
    /// Keep the new answers in the case
    #[arg(long)]
    update: bool,
    #[command(flatten)]
    by: Who,
    #[command(flatten)]
    with: With,
}

impl Review {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let path = self.case.file();
        self.with.over.with(true, output, |pack, output| {
            let file = match case::load(&path) {
                Ok(file) => file,
                Err(error) => return fail::unread(&error, output),
            };
            let there = file.case.ids_of(Section::Question);
            if let Some(id) = self
                .questions
                .iter()
                .find(|id| !there.contains(&id.as_str()))
            {
                let help = if there.is_empty() {
                    "the case has no questions yet; `palinode case ask` asks one".to_owned()
                } else {
                    format!("there are: {}", there.join(", "))
                };
                let message = format!("`{id}` is no question of this case");
                return fail::plain(&message, &help, output);
            }
            let list = case::review(&file.case, &self.questions, pack, year());
            output.text(&match self.with.format {
                Form::Table => render::review(&list, Output::columns()),
                Form::Text => render::review(&list, u16::MAX),
                Form::Json => format!("{}\n", render::data(&render::review_json(&list))),
            });
            let mut exit = Exit::Answered;
            for it in &list {
                if let Outcome::Wrong(error) = &it.outcome {
                    output.error(&format!("{}:", it.id));
                    exit = exit.worse(fail::unasked(error, output));
                }
            }
            if self.update {
                exit = exit.worse(keep(&path, &list, &self.by, pack, output));
            }
            exit
        })
    }
}

/// Writes the new answers into the case. Those that are the same keep the day on which they were
/// asked, unless another corpus gave them.
fn keep(path: &Path, list: &[Reviewed], by: &Who, pack: &Pack, output: &mut Output) -> Exit {
    let editor = by.editor("review");
    let kept = case::edit(&RealDisk, path, &editor, |draft, _| {
        for it in list {
            let asked = match &it.outcome {
                Outcome::First(asked) | Outcome::Changed(asked, _) => asked,
                Outcome::Same(asked) if it.before != it.now || it.case_changed => asked,
                Outcome::Same(_) | Outcome::Wrong(_) => continue,
            };
            draft.set(Section::Question, &it.id, &fields(asked, pack, &editor));
        }
        Ok::<(), Refusal>(())
    });
    match kept {
        Ok(()) => Exit::Answered,
        Err(error) => fail::told(error, output),
    }
}
