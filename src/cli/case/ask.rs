//! `palinode case ask`

use std::path::Path;

use clap::Args;

use super::fail::Refusal;
use super::{CasePath, Editor, Field, Who, fail, texts, year};
use crate::case::{self, AskError, Asked, Asker, Draft, Section, standing_word};
use crate::cli::ask::shown;
use crate::cli::output::Output;
use crate::cli::{Exit, With};
use crate::pack::Pack;
use crate::render;
use crate::store::RealDisk;

/// What the help of `ask` says after its options.
pub(super) const FILLED_IN: &str = "\
What the question leaves out is filled in from the case:
  identify u1          its noun, the layers beneath, its years, what was seen, what the layers bore
  remove u1            the same, and then how to take it off; `remove u1 over u2` for two in turn
  remove u1 without water limit 3       clauses of one's own may follow
  choose adhesive where stable to 35 C  for the layers of the case
  compare ... on l2                     the id of a layer stands for it and all beneath it
  blend to dissolve ... sparing l2, l3  after `sparing` for itself
Any other statement is run as it is. A question asked before is answered anew.";

// No doc comment: clap would show it in place of what the subcommand is for.
#[derive(Args, Debug)]
pub(in crate::cli) struct Ask {
    #[command(flatten)]
    case: CasePath,
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
}

impl Ask {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let question = self.question.join(" ");
        let question = question.trim();
        let path = self.case.file();
        self.with.over.with(true, output, |pack, output| {
            let file = match case::load(&path) {
                Ok(file) => file,
                Err(error) => return fail::unread(&error, output),
            };
            let mut asker = Asker::new(&file.case, pack, year());
            if let Some(watch) = crate::cli::progress::watcher() {
                asker.watched_by(watch);
            }
            let asked = match asker.ask(question) {
                Ok(asked) => asked,
                Err(error) => return unasked(&error, question, output),
            };
            if let Some(answer) = asked.answer() {
                output.text(&shown(answer, self.with.format, Output::columns()));
            }
            if !self.dry
                && let Err(exit) = keep(&path, question, &self.by, pack, &asked, output)
            {
                return exit;
            }
            asked.standing.into()
        })
    }
}

/// Why a question has no answer; where the mistake lies in what the case filled in, where to look.
fn unasked(error: &AskError, question: &str, output: &mut Output) -> Exit {
    let exit = fail::unasked(error, output);
    if matches!(error, AskError::Wrong { text, .. } if text.text.trim() != question) {
        output.error(
            "  help: what the case filled in is checked, with its place in the file, by \
             `palinode case check`",
        );
    }
    exit
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
