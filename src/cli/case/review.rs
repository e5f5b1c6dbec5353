//! `palinode case review`

use std::path::Path;

use super::ask::fields;
use super::fail::{self, Refusal};
use super::{Who, With, with_pack, year};
use crate::case::{self, Outcome, Reviewed, Section, ids_of};
use crate::cli::output::Output;
use crate::cli::{Exit, Form};
use crate::pack::Pack;
use crate::render;
use crate::store::RealDisk;

pub(super) fn run(
    path: &Path,
    questions: &[String],
    update: bool,
    by: &Who,
    with: &With,
    output: &mut Output,
) -> Exit {
    with_pack(with.kb.as_deref(), with.skip_bad, output, |pack, output| {
        let file = match case::load(path) {
            Ok(file) => file,
            Err(error) => return fail::unread(&error, output),
        };
        let there = ids_of(&file.case, Section::Question);
        for id in questions {
            if !there.contains(&id.as_str()) {
                let help = if there.is_empty() {
                    "the case has no questions yet; `palinode case ask` asks one".to_owned()
                } else {
                    format!("there are: {}", there.join(", "))
                };
                return fail::plain(
                    &format!("`{id}` is no question of this case"),
                    &help,
                    output,
                );
            }
        }
        let list = case::review(&file.case, questions, pack, year());
        match with.format {
            Form::Table => output.text(&render::review(&list, Output::columns())),
            Form::Text => output.text(&render::review(&list, u16::MAX)),
            Form::Json => output.text(&format!("{}\n", render::data(&render::review_json(&list)))),
        }
        let mut exit = Exit::Answered;
        for it in &list {
            if let Outcome::Wrong(error) = &it.outcome {
                output.error(&format!("{}:", it.id));
                exit = exit.worse(fail::unasked(error, output));
            }
        }
        if update {
            exit = exit.worse(keep(path, &list, by, pack, output));
        }
        exit
    })
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
