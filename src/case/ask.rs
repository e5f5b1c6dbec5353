//! Asking the questions of a case: build the text, run it, keep the gist.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::gist::gist;
use super::question::build;
use super::record::Case;
use crate::answer::{Answer, Standing};
use crate::diag::Diagnostic;
use crate::eval::{EvalError, Session, standing};
use crate::pack::Pack;
use crate::span::Source;
use crate::{lang, resolve};

/// What a question of a case was answered.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The whole text that was run, in canonical form.
    pub query: String,
    /// The answers; the last is what was asked for. An identification that only gives a name to what
    /// is asked of later has none.
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

/// Asks questions of one case. What is asked twice is answered once, and an identification on which
/// several questions rest is reckoned once.
pub struct Asker<'a> {
    case: &'a Case,
    pack: &'a Pack,
    now: i32,
    session: Session<'a>,
    /// Answers, by the whole text that was run.
    answered: BTreeMap<String, Arc<Asked>>,
}

impl<'a> Asker<'a> {
    /// Over a case and a corpus. `now` is the current year.
    #[must_use]
    pub fn new(case: &'a Case, pack: &'a Pack, now: i32) -> Self {
        Self {
            case,
            pack,
            now,
            session: Session::new(pack, now),
            answered: BTreeMap::new(),
        }
    }

    /// The answers so far, to hand them on.
    #[must_use]
    pub(crate) fn into_answers(self) -> BTreeMap<String, Arc<Asked>> {
        self.answered
    }

    /// Takes over answers that another gave to the same case with the same corpus.
    pub(crate) fn take_over(&mut self, answers: BTreeMap<String, Arc<Asked>>) {
        self.answered.extend(answers);
    }

    /// Has long work told of, as [`Session::watched_by`].
    pub fn watched_by(&mut self, watch: impl FnMut(f64) -> bool + 'a) {
        self.session.watched_by(watch);
    }

    /// Asks a question of the case as it stands.
    ///
    /// # Errors
    /// When the question cannot be built or run.
    pub fn ask(&mut self, question: &str) -> Result<Arc<Asked>, AskError> {
        let text = build(self.case, question).map_err(|diagnostics| AskError::Wrong {
            text: Box::new(Source::new("question", question)),
            diagnostics,
        })?;
        if let Some(asked) = self.answered.get(&text) {
            return Ok(Arc::clone(asked));
        }
        let asked = Arc::new(self.run(&text)?);
        self.answered.insert(text, Arc::clone(&asked));
        Ok(asked)
    }

    fn run(&mut self, text: &str) -> Result<Asked, AskError> {
        let wrong = |diagnostics| AskError::Wrong {
            text: Box::new(Source::new("query", text)),
            diagnostics,
        };
        let file = lang::parse(text).map_err(wrong)?;
        let checked = resolve::resolve(&file, text, self.pack, self.now).map_err(wrong)?;
        let mut answers = Vec::new();
        let mut queries = Vec::new();
        for (k, statement) in checked.iter().enumerate() {
            let canonical = lang::canonical_in(&file, text, statement.span);
            queries.push(canonical.clone());
            // What only leads to the answer is not answered itself.
            if k + 1 < checked.len() && self.session.bind(statement, &canonical) {
                continue;
            }
            answers.push(self.session.run(statement, canonical)?);
        }
        let last = answers.last();
        Ok(Asked {
            query: queries.join(";\n"),
            gist: last.map(gist).unwrap_or_default(),
            standing: last.map_or(Standing::Nothing, standing),
            answers,
        })
    }
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
