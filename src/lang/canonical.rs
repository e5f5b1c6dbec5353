//! One statement in canonical form.

use super::token::TriviaKind;

/// One statement as the formatter writes it, without its remarks: parses to what was asked.
#[must_use]
pub fn canonical(statement: &str) -> String {
    let mut plain = String::with_capacity(statement.len());
    let mut from = 0;
    for piece in super::lex::lex(statement).trivia {
        // Line ends go with the remarks they end: a remark leaves no empty line behind.
        if piece.kind != TriviaKind::Blank {
            let range = piece.span.range();
            plain.push_str(statement.get(from..range.start).unwrap_or_default());
            plain.push(' ');
            from = range.end;
        }
    }
    plain.push_str(statement.get(from..).unwrap_or_default());
    match super::parse(&plain) {
        Ok(file) => super::format(&file, &plain).trim_end().to_owned(),
        // It was parsed before; if it could not be now, what was typed is still what was asked.
        Err(_) => statement.to_owned(),
    }
}
