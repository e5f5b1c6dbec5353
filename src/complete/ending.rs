//! Whether what was typed so far is to be answered, goes on, or is wrong already.

use crate::lang::lex::lex;
use crate::lang::token::TokenKind;
use crate::lang::{expected_at, parse};

/// How a text of statements stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Nothing but blanks and remarks.
    Empty,
    /// Ends with a semicolon, or with an empty line: to be answered.
    Ended,
    /// Goes on: it may be continued, and nobody said that it ends here.
    Open,
    /// No continuation makes it right.
    Wrong,
}

/// How a text stands after its last line was ended.
///
/// A statement ends with `;` at the end of a line, or with an empty line. Before that the parser is
/// asked whether anything may follow: if not, the mistake can be told at once.
#[must_use]
pub fn ending(text: &str) -> Ending {
    let lexed = lex(text);
    let Some(last) = lexed.tokens.last() else {
        return if lexed.errors.is_empty() {
            Ending::Empty
        } else {
            Ending::Wrong
        };
    };
    let closed = last.kind == TokenKind::Semicolon;
    if closed || ends_with_empty_line(text) {
        return Ending::Ended;
    }
    // The end of the line ends the last word, and a remark.
    let line = format!("{text}\n");
    if parse(&line).is_err() && expected_at(&line, line.len()).is_empty() {
        return Ending::Wrong;
    }
    Ending::Open
}

fn ends_with_empty_line(text: &str) -> bool {
    text.rsplit_once('\n')
        .is_some_and(|(_, last)| last.trim().is_empty())
}
