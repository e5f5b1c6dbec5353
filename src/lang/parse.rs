//! From tokens to the tree.
//!
//! A statement is parsed by itself, so that one mistake does not hide the
//! next. After its verb a statement is committed: the error is the furthest
//! place that was reached, with all that could have stood there.

mod clause;
mod condition;
mod failure;
mod input;
mod measures;
mod noun;
mod observation;
mod parted;
mod report;
mod spoken;
mod statement;
mod swap;
mod terminal;

use std::ops::Range;

use crate::diag::{Diagnostic, Edit};
use crate::order::Arrange;
use crate::span::{Span, Spanned};

use super::ast::{File, Statement};
use super::expected::Expected;
use super::lex::{Lexed, lex};
use super::token::{Token, TokenKind, TriviaKind};
use input::{Tokens, Track};

/// The edition of the language that is spoken here.
pub const EDITION: u32 = 1;
/// Deepest nesting of parentheses.
pub const DEEPEST: usize = 64;

/// Parses a text of one or more statements.
///
/// # Errors
/// All mistakes found, in order of place: those of spelling if there are any,
/// otherwise the first of each statement and every rule that a statement
/// breaks.
pub fn parse(text: &str) -> Result<File, Vec<Diagnostic>> {
    let lexed = lex(text);
    if !lexed.errors.is_empty() {
        return Err(misspelt(text, lexed));
    }
    parsed(text, &lexed)
}

/// The same of the tokens of a text that is spelt as it should be.
pub(super) fn parsed(text: &str, lexed: &Lexed) -> Result<File, Vec<Diagnostic>> {
    if let Some(error) = too_deep(&lexed.tokens).or_else(|| too_long(&lexed.tokens)) {
        return Err(vec![error]);
    }
    let mut errors = Vec::new();
    let mut edition = None;
    let mut statements = Vec::new();
    let parts = split(&lexed.tokens);
    for (index, part) in parts.iter().enumerate() {
        let tokens = &lexed.tokens[part.clone()];
        if index == 0 && statement::is_edition(text, tokens) {
            match statement::edition(text, tokens) {
                Ok(found) => edition = Some(found),
                Err(error) => errors.push(*error),
            }
            continue;
        }
        if tokens.is_empty() {
            // The last semicolon may be left out or put in.
            if index + 1 < parts.len() {
                errors.push(report::empty_statement(lexed.tokens[part.end].span));
            }
            continue;
        }
        let (parsed, slips) = one(text, &lexed.tokens, part.clone());
        errors.extend(slips);
        match parsed {
            Ok(statement) => statements.push(statement),
            Err(error) => errors.push(*error),
        }
    }
    if statements.is_empty() && errors.is_empty() {
        errors.push(report::empty_text(text));
    }
    if !errors.is_empty() {
        errors.arrange_by_key(|error| error.span().map_or(0, |span| span.start));
        return Err(errors);
    }
    let comments = lexed
        .trivia
        .iter()
        .filter(|trivia| trivia.kind == TriviaKind::Comment)
        .map(|trivia| Spanned::new(trivia.span.slice(text).to_owned(), trivia.span))
        .collect();
    Ok(File {
        edition,
        statements,
        comments,
    })
}

/// One statement, and the rules it breaks beyond the grammar.
fn one(
    text: &str,
    tokens: &[Token],
    part: Range<usize>,
) -> (Result<Statement, Box<Diagnostic>>, Vec<Diagnostic>) {
    if let Some(error) = parted::parted(text, tokens, part.clone()) {
        return (Err(Box::new(error)), Vec::new());
    }
    let track = Track::default();
    let input = Tokens::new(text, tokens, part, &track);
    let parsed = statement::statement(input);
    let result = match parsed {
        Ok((_, statement)) => Ok(statement),
        Err(error) => Err(Box::new(failure::failure(input, error))),
    };
    let mut slips = track.take_slips();
    if let Ok(statement) = &result {
        slips.extend(report::unit_slips(text, tokens, statement));
        slips.extend(spoken::spoken(text, tokens, statement));
    }
    (result, slips)
}

/// Mistakes of spelling. A text that does not even start with a verb is told
/// so first: its signs are the smaller trouble.
fn misspelt(text: &str, lexed: Lexed) -> Vec<Diagnostic> {
    let mut errors = lexed.errors;
    if let Some(part) = split(&lexed.tokens).into_iter().next()
        && let Some(first) = lexed.tokens.get(part.start)
        && !part.is_empty()
        && !statement::is_edition(text, &lexed.tokens[part.clone()])
        && let (Err(error), _) = one(text, &lexed.tokens, part)
        && error.code == "Q0205"
        && error.span() == Some(first.span)
    {
        errors.push(*error);
        errors.arrange_by_key(|error| error.span().map_or(0, |span| span.start));
    }
    // One mistake can be tried out: a change that makes no sentence is not
    // offered.
    if let [only] = &mut errors[..]
        && let Some(edit) = &only.edit
        && !mends(edit, text)
    {
        only.edit = None;
    }
    errors
}

/// Whether the statement with a change in it can be read.
fn mends(edit: &Edit, text: &str) -> bool {
    let changed = edit.apply(text);
    let lexed = lex(&changed);
    if !lexed.errors.is_empty() {
        return false;
    }
    let parts = split(&lexed.tokens);
    let here = parts
        .iter()
        .find(|part| {
            lexed
                .tokens
                .get(part.end)
                .is_none_or(|end| end.span.start >= edit.span.start)
        })
        .cloned()
        .unwrap_or_default();
    let tokens = &lexed.tokens[here.clone()];
    if tokens.is_empty() || statement::is_edition(&changed, tokens) {
        return true;
    }
    let track = Track::default();
    let input = Tokens::new(&changed, &lexed.tokens, here, &track);
    statement::statement(input).is_ok() && track.take_slips().is_empty()
}

/// Whether a text is one statement without a mistake. Says nothing of why
/// not, so that a diagnostic may try its own change without an endless loop.
fn accepts(text: &str) -> bool {
    let lexed = lex(text);
    let track = Track::default();
    let input = Tokens::new(text, &lexed.tokens, 0..lexed.tokens.len(), &track);
    lexed.errors.is_empty() && statement::statement(input).is_ok() && track.take_slips().is_empty()
}

/// What may follow a text.
pub(super) fn expected_after(text: &str) -> Vec<Expected> {
    let lexed = lex(text);
    if !lexed.errors.is_empty() {
        return Vec::new();
    }
    let in_comment = lexed.trivia.last().is_some_and(|last| {
        last.kind == TriviaKind::Comment && last.span.end as usize == text.len()
    });
    if in_comment {
        return Vec::new();
    }
    let mut tokens = &lexed.tokens[..];
    // A word or a reserved word that touches the end is half typed.
    if let Some((last, before)) = tokens.split_last()
        && last.span.end as usize == text.len()
        && matches!(last.kind, TokenKind::Word | TokenKind::Keyword(_))
    {
        tokens = before;
    }
    let Some(part) = split(tokens).pop() else {
        return Vec::new();
    };
    let first = part.start == 0;
    if first && statement::is_edition(text, tokens) {
        return match tokens {
            [_] => vec![Expected::Int],
            [..] if statement::edition(text, tokens).is_ok() => vec![Expected::Sign(";")],
            [..] => Vec::new(),
        };
    }
    let end = part.end;
    let track = Track::default();
    let input = Tokens::new(text, tokens, part, &track);
    // Only what was tried at the very end counts, whether or not the
    // statement so far is whole.
    let whole = statement::statement(input).is_ok();
    let (at, mut expected) = track.furthest();
    if at != end {
        expected.clear();
    }
    if whole {
        expected.push(Expected::Sign(";"));
    }
    if first && tokens.is_empty() {
        expected.push(Expected::Word("edition"));
    }
    expected.sort_unstable();
    expected.dedup();
    expected
}

/// Ranges of tokens between semicolons.
fn split(tokens: &[Token]) -> Vec<Range<usize>> {
    let mut parts = Vec::new();
    let mut start = 0;
    for (index, token) in tokens.iter().enumerate() {
        if token.kind == TokenKind::Semicolon {
            parts.push(start..index);
            start = index + 1;
        }
    }
    parts.push(start..tokens.len());
    parts
}

/// Refuses nesting that would take the parser too deep.
fn too_deep(tokens: &[Token]) -> Option<Diagnostic> {
    let mut depth = 0_usize;
    for token in tokens {
        match token.kind {
            TokenKind::Open => depth += 1,
            TokenKind::Close | TokenKind::Semicolon => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth > DEEPEST {
            return Some(report::too_deep(token.span));
        }
    }
    None
}

/// Most words after one another: no name and no observation has as many, and what a word may mean is
/// looked for in every run of them.
const MOST_WORDS: usize = 60;
/// Most words and signs of a statement. 120 observations of a dozen words each are fewer by half.
const MOST_TOKENS: usize = 4_000;

fn too_long(tokens: &[Token]) -> Option<Diagnostic> {
    let (mut words, mut all) = (0_usize, 0_usize);
    for token in tokens {
        match token.kind {
            TokenKind::Semicolon => (words, all) = (0, 0),
            TokenKind::Word | TokenKind::Int(_) | TokenKind::Unit(_) => {
                (words, all) = (words + 1, all + 1);
            }
            _ => (words, all) = (0, all + 1),
        }
        if words > MOST_WORDS {
            return Some(report::too_many_words(token.span, MOST_WORDS));
        }
        if all > MOST_TOKENS {
            return Some(report::too_many_tokens(token.span, MOST_TOKENS));
        }
    }
    None
}

/// The span from the first to the last of some tokens.
fn span_of(tokens: &[Token]) -> Span {
    match (tokens.first(), tokens.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => Span::default(),
    }
}
