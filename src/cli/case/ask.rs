//! `palinode case ask`

use std::path::Path;

use super::fail::Refusal;
use super::{Editor, Field, Who, With, fail, texts, with_pack, year};
use crate::answer::Standing;
use crate::case::{self, AskError, Asked, Asker, Draft, Section, standing_word};
use crate::cli::output::Output;
use crate::cli::{Exit, Form};
use crate::pack::Pack;
use crate::render;
use crate::store::RealDisk;

pub(super) fn run(
    path: &Path,
    question: &str,
    dry: bool,
    by: &Who,
    with: &With,
    output: &mut Output,
) -> Exit {
    let question = question.trim();
    with_pack(with.kb.as_deref(), with.skip_bad, output, |pack, output| {
        let file = match case::load(path) {
            Ok(file) => file,
            Err(error) => return fail::unread(&error, output),
        };
        let mut asker = Asker::new(&file.case, pack, year());
        if let Some(watch) = crate::cli::progress::watcher() {
            asker.watched_by(watch);
        }
        let asked = match asker.ask(question) {
            Ok(asked) => asked,
            Err(error) => {
                let exit = fail::unasked(&error, output);
                if matches!(&error, AskError::Wrong { text, .. } if text.text.trim() != question) {
                    output.error(
                        "  help: what the case filled in is checked, with its place in the file, by \
                         `palinode case check`",
                    );
                }
                return exit;
            }
        };
        if let Some(answer) = asked.answer() {
            match with.format {
                Form::Table => output.text(&render::table(answer, Output::columns())),
                Form::Text => output.text(&render::text(answer)),
                Form::Json => output.text(&format!("{}\n", render::data(&render::json(answer)))),
            }
        }
        if !dry && let Err(exit) = keep(path, question, by, pack, &asked, output) {
            return exit;
        }
        exit_of(asked.standing)
    })
}

pub(super) const fn exit_of(standing: Standing) -> Exit {
    match standing {
        Standing::Answered => Exit::Answered,
        Standing::Nothing => Exit::Nothing,
        Standing::Undetermined => Exit::Undetermined,
    }
}

/// Writes the question with the gist of its answer into the case. One asked before keeps its id.
fn keep(
    path: &Path,
    question: &str,
    by: &Who,
    pack: &Pack,
    asked: &Asked,
    output: &mut Output,
) -> Result<(), Exit> {
    let editor = by.editor("ask");
    let kept = case::edit(&RealDisk, path, &editor, |draft, _| {
        let old = draft.case().questions.iter().find(|it| it.ask == question);
        let id = old.map(|it| it.id.clone());
        let fields = fields(asked, pack, &editor);
        let id = match id {
            Some(id) => {
                draft.set(Section::Question, &id, &fields);
                id
            }
            None => add(draft, question, fields),
        };
        Ok::<String, Refusal>(id)
    });
    match kept {
        Ok(id) => {
            output.error(&format!(
                "kept as {id} in {}",
                render::safe(&path.display().to_string())
            ));
            Ok(())
        }
        Err(error) => Err(fail::told(error, output)),
    }
}

fn add(draft: &mut Draft, question: &str, fields: Vec<(&'static str, Field)>) -> String {
    let mut all = texts([("ask", Some(question.to_owned()))]);
    all.extend(fields);
    draft.add(Section::Question, &all)
}

/// What a case keeps of an answer.
pub(super) fn fields(asked: &Asked, pack: &Pack, editor: &Editor) -> Vec<(&'static str, Field)> {
    let edition = asked.answer().map_or(1, |it| i64::from(it.edition));
    let mut out = vec![
        ("query", Field::Text(asked.query.clone())),
        ("asked", Field::Day(editor.at.day())),
        ("corpus", Field::Text(pack.identity())),
        ("edition", Field::Number(edition)),
        (
            "standing",
            Field::Text(standing_word(asked.standing).to_owned()),
        ),
        ("gist", Field::Lines(asked.gist.clone())),
    ];
    out.extend(texts([("who", editor.who.clone())]));
    out
}
