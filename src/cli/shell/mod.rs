//! `palinode shell`: one question after another, at a terminal or from a pipe.

mod editor;
mod history;
mod paint;

use std::io::{BufRead, IsTerminal, Read};

use rustyline::error::ReadlineError;

use super::ask::Asking;
use super::help;
use super::output::Output;
use super::{Exit, Form, With};
use crate::complete::{Ending, Vocabulary, ending};
use crate::pack::Pack;
use editor::Editing;

/// Longest statement that is gathered from a pipe, in bytes; the parser's own limit is lower and
/// says so.
const LONGEST: usize = 4 << 20;
/// What stands before the cursor.
const PROMPT: &str = "ask> ";

pub(super) fn run(with: &With, output: &mut Output) -> Exit {
    // Whether free text will be searched is not known yet, so the index of an overlay is built.
    with.over.with(true, output, |pack, output| {
        let mut shell = Shell::new(with.format, pack);
        if std::io::stdin().is_terminal() && std::io::stdout().is_terminal() {
            at_terminal(&mut shell, output)
        } else {
            from_pipe(&mut shell, output)
        }
    })
}

/// What goes on after a text was dealt with.
enum Next {
    /// The next one.
    Going(Exit),
    /// The user wants to leave.
    Leaving,
}

struct Shell<'a> {
    asking: Asking<'a>,
    pack: &'a Pack,
}

impl<'a> Shell<'a> {
    fn new(form: Form, pack: &'a Pack) -> Self {
        Self {
            asking: Asking::new(form, pack),
            pack,
        }
    }

    /// Deals with one text: a command of the shell, or statements.
    fn take(&mut self, text: &str, output: &mut Output) -> Next {
        match command(text) {
            Some(Command::Quit) => Next::Leaving,
            Some(Command::Help(topic)) => Next::Going(help::about(topic, self.pack, output)),
            None if ending(text) == Ending::Empty => Next::Going(Exit::Answered),
            None => Next::Going(self.asking.answer(text, output)),
        }
    }
}

/// A command of the shell itself.
#[derive(Debug, PartialEq, Eq)]
enum Command<'a> {
    Help(&'a str),
    Quit,
}

/// The words that are commands of the shell, each with what it does. None is a verb, so no
/// statement starts with one.
pub(super) const COMMANDS: [(&str, &str); 3] = [
    ("help", "what may be asked, and how; `help TOPIC`"),
    ("quit", "leave the shell"),
    ("exit", "leave the shell"),
];

/// Reads a command: it stands alone on its line.
fn command(text: &str) -> Option<Command<'_>> {
    let line = text.trim().trim_end_matches(';').trim_end();
    if line.contains('\n') {
        return None;
    }
    let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    match (word, rest.trim()) {
        ("help", topic) => Some(Command::Help(topic)),
        ("quit" | "exit", "") => Some(Command::Quit),
        _ => None,
    }
}

/// Whether the text is to be dealt with once its line is ended; `eager` deals with a mistake at
/// once, for whoever sits at the terminal.
fn is_ready(text: &str, eager: bool) -> bool {
    command(text).is_some()
        || match ending(text) {
            Ending::Empty | Ending::Ended => true,
            Ending::Wrong => eager,
            Ending::Open => false,
        }
}

/// Statements from a pipe, in order. A mistake does not end them; the worst exit code counts.
fn from_pipe(shell: &mut Shell<'_>, output: &mut Output) -> Exit {
    let mut stdin = std::io::stdin().lock();
    let mut exit = Exit::Answered;
    let mut text = String::new();
    loop {
        let mut line = Vec::new();
        let room = LONGEST.saturating_sub(text.len()) as u64 + 1;
        let read = stdin.by_ref().take(room).read_until(b'\n', &mut line);
        let ended = match read {
            Ok(length) => length == 0,
            Err(error) => {
                output.error(&format!("error: cannot read standard input: {error}"));
                return exit.worse(Exit::Wrong);
            }
        };
        match String::from_utf8(line) {
            Ok(line) => text.push_str(&line),
            Err(_) => {
                output.error("error: a line is not UTF-8 text\n  help: save it as UTF-8");
                exit = exit.worse(Exit::Wrong);
                text.clear();
                continue;
            }
        }
        if text.len() > LONGEST {
            output.error("error: a statement is longer than 4 MiB");
            return exit.worse(Exit::Wrong);
        }
        let whole = text.trim_end_matches(['\n', '\r']);
        // The line end that closes the last line is not an empty line.
        let last = text.strip_suffix('\n').unwrap_or(&text);
        if ended || is_ready(last, false) {
            if !whole.trim().is_empty() {
                match shell.take(whole, output) {
                    Next::Going(one) => exit = exit.worse(one),
                    Next::Leaving => return exit,
                }
            }
            text.clear();
        }
        if ended || output.is_closed() {
            return exit;
        }
    }
}

/// Lines from somebody at a terminal.
fn at_terminal(shell: &mut Shell<'_>, output: &mut Output) -> Exit {
    let mut history = history::file();
    let mut editor = match editor::open(Editing::new(Vocabulary::of(shell.pack))) {
        Ok(editor) => editor,
        Err(error) => {
            output.error(&format!("error: the terminal cannot be used: {error}"));
            return Exit::Wrong;
        }
    };
    if let Some(file) = &history
        && let Err(reason) = history::load(&mut editor, file)
    {
        output.error(&format!("note: {reason}; no history is kept"));
        history = None;
    }
    output.text(
        "Statements end with `;` at the end of a line, or with an empty line.\n\
         `help` says what may be asked; Tab completes; Ctrl-D leaves.\n",
    );
    loop {
        if let Some((columns, rows)) = editor.dimensions() {
            shell.asking.fit(columns);
            if let Some(helper) = editor.helper_mut() {
                helper.fit(columns, rows);
            }
        }
        match editor.readline(PROMPT) {
            Ok(text) => {
                let text = text.trim_end();
                if text.is_empty() {
                    continue;
                }
                // A history that cannot be kept must not keep anyone from an answer.
                let _ = editor.add_history_entry(text);
                if let Some(file) = &history {
                    let _ = history::save(&mut editor, file);
                }
                if let Next::Leaving = shell.take(text, output) {
                    return Exit::Answered;
                }
                if let Some(helper) = editor.helper_mut() {
                    helper.bind(shell.asking.bindings());
                }
            }
            // The line is dropped.
            Err(ReadlineError::Interrupted) => {}
            Err(ReadlineError::Eof) => return Exit::Answered,
            Err(error) => {
                output.error(&format!("error: cannot read from the terminal: {error}"));
                return Exit::Wrong;
            }
        }
        if output.is_closed() {
            return Exit::Answered;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Command, command, is_ready};

    #[test]
    fn commands_stand_alone_on_their_line() {
        assert_eq!(command("help"), Some(Command::Help("")));
        assert_eq!(command(" help  find "), Some(Command::Help("find")));
        assert_eq!(command("quit;"), Some(Command::Quit));
        assert_eq!(command("exit now"), None);
        assert_eq!(command("find help"), None);
        assert_eq!(command("find coating\nhelp"), None);
    }

    #[test]
    fn a_mistake_is_told_at_once_only_at_a_terminal() {
        assert!(is_ready("fnd coating", true));
        assert!(!is_ready("fnd coating", false));
        assert!(!is_ready("find coating", true));
        assert!(is_ready("find coating;", false));
        assert!(is_ready("find coating\n", false));
        assert!(is_ready("help units", false));
    }
}
