//! Asking the questions of a case: build the text, run it, keep the gist.

use super::gist::gist;
use super::question::build;
use super::record::{Case, Question};
use crate::answer::{Answer, Standing};
use crate::diag::{Diagnostic, Severity};
use crate::eval::{EvalError, Session, standing};
use crate::pack::Pack;
use crate::span::Source;
use crate::{lang, resolve};

/// What a question of a case was answered.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The whole text that was run, in canonical form.
    pub query: String,
    /// The answers, one a statement; the last is what was asked for, those before it lead there.
    pub answers: Vec<Answer>,
    /// The gist of the last answer, a line each.
    pub gist: Vec<String>,
    /// How the last answer stands.
    pub standing: Standing,
}

impl Asked {
    /// The answer to what was asked.
    #[must_use]
    pub fn answer(&self) -> Option<&Answer> {
        self.answers.last()
    }
}

/// Why a question of a case was not answered.
#[derive(Debug, thiserror::Error)]
pub enum AskError {
    /// The question, or what the case filled in, is wrong.
    #[error("{}", text.name)]
    Wrong {
        /// The text: what was typed, or the whole that was run.
        text: Box<Source>,
        /// What is wrong with it.
        diagnostics: Vec<Diagnostic>,
    },
    /// A fault of the program.
    #[error(transparent)]
    Eval(#[from] EvalError),
}

/// Asks a question of a case as it stands. `now` is the current year.
///
/// # Errors
/// When the question cannot be built or run.
pub fn ask(case: &Case, question: &str, pack: &Pack, now: i32) -> Result<Asked, AskError> {
    let text = build(case, question).map_err(|diagnostics| AskError::Wrong {
        text: Box::new(Source::new("question", question)),
        diagnostics,
    })?;
    run(&text, pack, now)
}

/// Asks a question that the case holds again.
///
/// # Errors
/// As [`ask`].
pub fn ask_again(
    case: &Case,
    question: &Question,
    pack: &Pack,
    now: i32,
) -> Result<Asked, AskError> {
    ask(case, &question.ask, pack, now)
}

fn run(text: &str, pack: &Pack, now: i32) -> Result<Asked, AskError> {
    let wrong = |diagnostics| AskError::Wrong {
        text: Box::new(Source::new("query", text)),
        diagnostics,
    };
    let file = lang::parse(text).map_err(wrong)?;
    let checked = resolve::resolve(&file, text, pack, now).map_err(wrong)?;
    let mut session = Session::new(pack, now);
    let mut answers = Vec::new();
    for statement in &checked {
        let canonical = lang::canonical(statement.span.slice(text));
        match session.run(statement, canonical) {
            Ok(answer) => answers.push(answer),
            Err(EvalError::NotYet(verb)) => {
                return Err(wrong(vec![
                    Diagnostic::new(
                        "Q0502",
                        Severity::Error,
                        format!("`{verb}` is in the language, but its engine is not there yet"),
                    )
                    .at(statement.span, "not answered")
                    .help("ask it with a later palinode; nothing was written"),
                ]));
            }
            Err(error) => return Err(error.into()),
        }
    }
    let query: Vec<&str> = answers.iter().map(|it| it.query.as_str()).collect();
    let query = query.join(";\n");
    let last = answers.last();
    Ok(Asked {
        query,
        gist: last.map(gist).unwrap_or_default(),
        standing: last.map_or(Standing::Nothing, standing),
        answers,
    })
}

/// The word by which a case keeps how an answer stands.
#[must_use]
pub const fn standing_word(standing: Standing) -> &'static str {
    match standing {
        Standing::Answered => "answered",
        Standing::Nothing => "nothing",
        Standing::Undetermined => "undetermined",
    }
}
