//! `palinode ask`

use std::io::Read;
use std::path::Path;

use super::case::year;
use super::output::Output;
use super::{Exit, Form, With};
use crate::answer::Answer;
use crate::diag::Diagnostic;
use crate::eval::{EvalError, Session, standing};
use crate::lang::ast::Query;
use crate::lang::reserved::Keyword;
use crate::pack::Pack;
use crate::resolve::Bindings;
use crate::span::Source;
use crate::{lang, render, resolve};

/// Longest query read from standard input; the parser's own limit is lower and says so.
const LONGEST: u64 = 4 << 20;

pub(super) fn run(query: &str, with: &With, output: &mut Output) -> Exit {
    let Some(text) = read(query, output) else {
        return Exit::Wrong;
    };
    with.over.with(searches(&text), output, |pack, output| {
        answer(&text, with.format, pack, output)
    })
}

/// The text of a query, from the argument or from standard input.
pub(super) fn read(query: &str, output: &mut Output) -> Option<String> {
    if query != "-" {
        if Path::new(query).is_file() {
            output.error(&format!(
                "error: `{query}` is a file, and no query\n  help: give it as input: `- < {query}`"
            ));
            return None;
        }
        return Some(query.to_owned());
    }
    let mut bytes = Vec::new();
    if let Err(error) = std::io::stdin()
        .lock()
        .take(LONGEST)
        .read_to_end(&mut bytes)
    {
        output.error(&format!("error: cannot read standard input: {error}"));
        return None;
    }
    match String::from_utf8(bytes) {
        Ok(text) => Some(text),
        Err(error) => {
            output.error(&format!(
                "error: the query is not UTF-8 text: byte {} is none\n  help: save it as UTF-8",
                error.utf8_error().valid_up_to()
            ));
            None
        }
    }
}

/// Answers every statement of a text.
pub(super) fn answer(text: &str, form: Form, pack: &Pack, output: &mut Output) -> Exit {
    let mut asking = Asking::new(form, pack);
    asking.is_last = true;
    asking.answer(text, output)
}

/// One text of statements after another, with the `let` names of those before.
pub(super) struct Asking<'a> {
    form: Form,
    pack: &'a Pack,
    session: Session<'a>,
    bindings: Bindings,
    /// Whether an answer was printed, so that an empty line parts the next from it.
    shown: bool,
    /// Columns of a table.
    columns: u16,
    /// Whether the program ends with these answers. They are not given back piece by piece then, which is a
    /// twentieth of a short one: the system takes all memory at once.
    is_last: bool,
}

impl<'a> Asking<'a> {
    pub(super) fn new(form: Form, pack: &'a Pack) -> Self {
        let mut session = Session::new(pack, year());
        if form != Form::Json {
            session.for_pages();
        }
        if let Some(watch) = super::progress::watcher() {
            session.watched_by(watch);
        }
        Self {
            form,
            pack,
            session,
            bindings: Bindings::new(),
            shown: false,
            columns: Output::columns(),
            is_last: false,
        }
    }

    /// The `let` names so far, each with the verb of its statement.
    pub(super) const fn bindings(&self) -> &Bindings {
        &self.bindings
    }

    /// Fits the tables to the width of a terminal, unless `COLUMNS` says another.
    pub(super) fn fit(&mut self, columns: u16) {
        if std::env::var_os("COLUMNS").is_none() {
            self.columns = columns.clamp(40, 400);
        }
    }

    /// Answers every statement of a text. What is wrong is printed, and ends this text only.
    pub(super) fn answer(&mut self, text: &str, output: &mut Output) -> Exit {
        let source = Source::new("query", text);
        let colour = Output::colour();
        let wrong = |list: &[Diagnostic], output: &mut Output| {
            output.error(&render::diagnostics(list, &source, colour));
            Exit::Wrong
        };
        let file = match lang::parse(text) {
            Ok(file) => file,
            Err(list) => return wrong(&list, output),
        };
        let resolved = resolve::resolve_after(&file, text, self.pack, year(), &self.bindings);
        let checked = match resolved {
            Ok(checked) => checked,
            Err(list) => return wrong(&list, output),
        };
        let mut exit = Exit::Answered;
        for (statement, parsed) in checked.iter().zip(&file.statements) {
            // A page does not repeat what was asked.
            let canonical = match self.form {
                Form::Json => lang::canonical_in(&file, text, statement.span),
                Form::Table | Form::Text => String::new(),
            };
            match self.session.run(statement, canonical) {
                Ok(answer) => {
                    exit = exit.worse(standing(&answer).into());
                    if let Some(name) = &statement.binding {
                        let verb = parsed.query.verb();
                        self.bindings.insert(name.clone(), verb);
                    }
                    self.show(&answer, output);
                    if self.is_last {
                        std::mem::forget(answer);
                    }
                }
                Err(EvalError::Refused(diagnostic)) => return wrong(&[*diagnostic], output),
                Err(error) => {
                    output.error(&format!("error: {error}"));
                    return Exit::Internal;
                }
            }
        }
        exit
    }

    fn show(&mut self, answer: &Answer, output: &mut Output) {
        if self.shown && self.form != Form::Json {
            output.text("\n");
        }
        output.text(&shown(answer, self.form, self.columns));
        self.shown = true;
    }
}

/// An answer in one of its forms; `columns` is the width of a table.
pub(super) fn shown(answer: &Answer, form: Form, columns: u16) -> String {
    match form {
        Form::Table => render::table(answer, columns),
        Form::Text => render::text(answer),
        Form::Json => format!("{}\n", render::data(&render::json(answer))),
    }
}

/// Whether a statement searches free text. A text that cannot be parsed searches nothing.
fn searches(text: &str) -> bool {
    // Most texts do not even hold the word.
    let said = text.to_lowercase().contains(Keyword::About.word());
    said && lang::parse(text).is_ok_and(|file| {
        file.statements
            .iter()
            .any(|s| matches!(&s.query, Query::Find(find) if find.about.is_some()))
    })
}
