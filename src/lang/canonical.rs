//! One statement in canonical form.

use super::ast::File;
use super::format::formatted;
use super::lex::{Lexed, lex};
use super::parse::parsed;
use super::token::TriviaKind;
use crate::span::Span;

/// One statement as the formatter writes it, without its remarks: parses to what was asked.
#[must_use]
pub fn canonical(statement: &str) -> String {
    let lexed = lex(statement);
    let mut plain = String::new();
    let mut from = 0;
    for piece in &lexed.trivia {
        // Line ends go with the remarks they end: a remark leaves no empty line behind.
        if piece.kind != TriviaKind::Blank {
            let range = piece.span.range();
            plain.push_str(statement.get(from..range.start).unwrap_or_default());
            plain.push(' ');
            from = range.end;
        }
    }
    let written = if from == 0 {
        one(statement, &lexed)
    } else {
        plain.push_str(statement.get(from..).unwrap_or_default());
        one(&plain, &lex(&plain))
    };
    // It was parsed before; if it could not be now, what was typed is still what was asked.
    written.unwrap_or_else(|| statement.to_owned())
}

/// The same of a statement of a text that was parsed: one that is alone there, on one line and without remarks,
/// wants no second reading.
#[must_use]
pub fn canonical_in(file: &File, text: &str, statement: Span) -> String {
    let is_alone = file.statements.len() == 1
        && file.edition.is_none()
        && file.comments.is_empty()
        && !text.contains(['\n', '\r'])
        && text[statement.range().end..].trim().is_empty();
    match is_alone {
        true => super::format(file, text).trim_end().to_owned(),
        false => canonical(statement.slice(text)),
    }
}

fn one(text: &str, lexed: &Lexed) -> Option<String> {
    let file = parsed(text, lexed)
        .ok()
        .filter(|_| lexed.errors.is_empty())?;
    Some(formatted(&file, text, lexed).trim_end().to_owned())
}
