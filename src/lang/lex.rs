//! From text to tokens.
//!
//! Hand-written, because the rules are about what stands beside what: a unit
//! exists only after a number, a hyphen inside a word is a letter, a hyphen
//! between numbers is a slip. Every byte of the text ends in a token, in
//! trivia, or in an error.

use crate::diag::Diagnostic;
use crate::span::Span;
use crate::units::{self, Fault, FaultKind, Scanned, Shape, is_word_character, leading_unit, scan};

use super::reserved::{Keyword, is_reserved};
use super::slip;
use super::token::{Token, TokenKind, Trivia, TriviaKind};

/// Longest text that is read, in bytes.
pub const LONGEST_TEXT: usize = 64 * 1024;
/// Most errors reported of one text; after so many, it is no query.
const MOST_ERRORS: usize = 20;

/// A text taken apart.
#[derive(Debug, Clone, Default)]
pub struct Lexed {
    /// The tokens in order.
    pub tokens: Vec<Token>,
    /// What lies between them, in order.
    pub trivia: Vec<Trivia>,
    /// What could not be read.
    pub errors: Vec<Diagnostic>,
}

/// Takes a text apart. Mistakes are collected in [`Lexed::errors`]; the text
/// at fault is skipped.
#[must_use]
pub fn lex(text: &str) -> Lexed {
    if text.len() > LONGEST_TEXT {
        return Lexed {
            errors: vec![slip::too_long(text.len(), LONGEST_TEXT)],
            ..Lexed::default()
        };
    }
    let mut lexer = Lexer {
        text,
        at: 0,
        after_fault: false,
        out: Lexed::default(),
    };
    while lexer.at < text.len() && lexer.out.errors.len() < MOST_ERRORS {
        let before = lexer.at;
        lexer.step();
        // Every step takes something; if one ever did not, reading would not
        // end.
        debug_assert!(lexer.at > before, "no progress at byte {before}");
        if lexer.at == before {
            break;
        }
    }
    if lexer.at < text.len()
        && let Some(last) = lexer.out.errors.last_mut()
    {
        last.notes
            .push(format!("reading stops here, after {MOST_ERRORS} mistakes"));
    }
    lexer.out
}

struct Lexer<'a> {
    text: &'a str,
    at: usize,
    /// Whether the last thing read was a number in a refused form, so that
    /// the unit after it is not refused as well.
    after_fault: bool,
    out: Lexed,
}

impl<'a> Lexer<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn take(&mut self, length: usize) -> Span {
        let span = Span::new(self.at, self.at + length);
        self.at += length;
        span
    }

    fn token(&mut self, kind: TokenKind, length: usize) {
        self.after_fault = false;
        let span = self.take(length);
        self.out.tokens.push(Token { kind, span });
    }

    fn trivia(&mut self, kind: TriviaKind, length: usize) {
        let span = self.take(length);
        self.out.trivia.push(Trivia { kind, span });
    }

    fn error(&mut self, length: usize, make: impl FnOnce(Span, &str) -> Diagnostic) {
        let span = self.take(length);
        let found = span.slice(self.text);
        self.out.errors.push(make(span, found));
    }

    fn step(&mut self) {
        let Some(next) = self.rest().chars().next() else {
            return;
        };
        if next == '\n' || self.rest().starts_with("\r\n") {
            let length = if next == '\r' { 2 } else { 1 };
            return self.trivia(TriviaKind::Newline, length);
        }
        if is_blank(next) {
            let length = run(self.rest(), is_blank);
            return self.trivia(TriviaKind::Blank, length);
        }
        if next == '#' {
            let line = self.rest().split('\n').next().unwrap_or("");
            let length = line.strip_suffix('\r').unwrap_or(line).len();
            return self.comment(length);
        }
        if let Some(closers) = closing_marks(next) {
            return self.quoted(next, closers);
        }
        if self.unit() {
            return;
        }
        if let Some(length) = locant_word(self.rest()) {
            return self.word(length);
        }
        match scan(self.rest()) {
            Some(Ok(scanned)) => return self.number(scanned),
            Some(Err(fault)) => return self.fault(fault),
            None => {}
        }
        let length = word(self.rest());
        if length > 0 {
            return self.word(length);
        }
        if let Some((kind, length)) = sign(self.rest()) {
            return self.token(kind, length);
        }
        let length = slip::foreign_length(self.rest());
        let before = self.out.tokens.last().cloned();
        self.error(length, |span, found| {
            slip::foreign_sign(span, found, before.as_ref())
        });
    }

    /// A comment, unless something in it cannot be seen: what a reader sees
    /// and what is stored must not differ.
    fn comment(&mut self, length: usize) {
        match self.rest()[..length].find(is_hidden) {
            Some(0) | None => self.trivia(TriviaKind::Comment, length),
            Some(offset) => {
                self.trivia(TriviaKind::Comment, offset);
                let hidden = self.rest().chars().next().map_or(1, char::len_utf8);
                self.error(hidden, slip::hidden);
                let rest = self.rest().find('\n').unwrap_or(self.rest().len());
                if rest > 0 {
                    self.trivia(TriviaKind::Comment, rest);
                }
            }
        }
    }

    fn quoted(&mut self, mark: char, closers: &[char]) {
        let open = mark.len_utf8();
        let inside = &self.rest()[open..];
        let line = &inside[..inside.find('\n').unwrap_or(inside.len())];
        let Some(end) = line.find(closers) else {
            let length = open + line.trim_end().len();
            return self.error(length, slip::unclosed);
        };
        let content = &line[..end];
        let close = line[end..].chars().next().map_or(1, char::len_utf8);
        let length = open + end + close;
        if content.trim().is_empty() {
            return self.error(length, slip::empty_text);
        }
        if let Some(offset) = content.find(is_hidden) {
            let start = self.at + open + offset;
            let hidden = content[offset..].chars().next().map_or(1, char::len_utf8);
            let span = Span::new(start, start + hidden);
            let error = slip::hidden(span, span.slice(self.text));
            self.out.errors.push(error);
        }
        self.token(TokenKind::Text(content.to_owned()), length);
    }

    /// A unit, where one may stand: right after a number, with blanks or line
    /// ends between at most.
    fn unit(&mut self) -> bool {
        let after_number = self
            .out
            .tokens
            .last()
            .is_some_and(|token| token.kind.takes_unit());
        if !after_number && !self.after_fault {
            return false;
        }
        match leading_unit(self.rest()) {
            Some((unit, length)) => {
                self.token(TokenKind::Unit(unit), length);
                true
            }
            None => false,
        }
    }

    fn number(&mut self, scanned: Scanned) {
        let length = scanned.length;
        let after = &self.rest()[length..];
        // `12mm` is a number and a unit, but `4a` is a word: letters that
        // touch a number and are no unit belong to a name.
        if after.starts_with(is_word_character)
            && scanned.shape == Shape::Int
            && self.rest().starts_with(is_word_character)
            && leading_unit(after).is_none()
        {
            let length = word(self.rest());
            return self.word(length);
        }
        let kind = match scanned.shape {
            Shape::Int => TokenKind::Int(scanned.amount),
            Shape::Dec => TokenKind::Dec(scanned.amount),
            Shape::Span => TokenKind::Span(scanned.amount),
            Shape::Ratio => TokenKind::Ratio(scanned.amount),
        };
        self.token(kind, length);
    }

    fn fault(&mut self, fault: Fault) {
        if fault.kind == FaultKind::LoneDots
            && let Some(error) = self.parted_range()
        {
            self.out.errors.push(error);
            self.at += fault.length;
            return;
        }
        if fault.kind == FaultKind::BarePoint
            && let Some(error) = self.three_dots(fault.length)
        {
            self.out.errors.push(error);
            self.at += fault.length;
            self.after_fault = true;
            return;
        }
        self.error(fault.length, |span, found| {
            slip::number(span, found, fault.kind)
        });
        self.after_fault = true;
    }

    /// `5 .. 10`: dots between numbers that they do not touch.
    fn parted_range(&self) -> Option<Diagnostic> {
        let low = self
            .out
            .tokens
            .last()
            .filter(|token| token.kind.takes_unit())?;
        let after = self.rest()[2..].trim_start();
        let length = match scan(after)? {
            Ok(high) if high.shape != Shape::Span => high.length,
            _ => return None,
        };
        let end = self.text.len() - after.len() + length;
        let span = Span::new(low.span.start as usize, end);
        let range = format!("{}..{}", low.span.slice(self.text), &after[..length]);
        Some(slip::parted_range(span, &range))
    }

    /// `20...30`, which reads as a range that is open at its end and a bare
    /// point.
    fn three_dots(&self, length: usize) -> Option<Diagnostic> {
        let low = self.out.tokens.last()?;
        let dotted = low.span.slice(self.text);
        let touches = low.span.end as usize == self.at;
        if !(touches && matches!(low.kind, TokenKind::Span(_)) && dotted.ends_with("..")) {
            return None;
        }
        let span = Span::new(low.span.start as usize, self.at + length);
        let high = &self.rest()[1..length];
        Some(slip::three_dots(span, &format!("{dotted}{high}")))
    }

    fn word(&mut self, length: usize) {
        let found = &self.rest()[..length];
        if slip::is_short_not(found) {
            return self.error(length, slip::short_not);
        }
        match Keyword::from_word(found) {
            Some(keyword) => self.token(TokenKind::Keyword(keyword), length),
            None if is_reserved(found) => self.error(length, slip::capital),
            None => self.token(TokenKind::Word, length),
        }
    }
}

/// Bytes at the start of `text` whose characters all fit.
fn run(text: &str, fits: impl Fn(char) -> bool) -> usize {
    text.find(|character| !fits(character))
        .unwrap_or(text.len())
}

/// A blank that is no line end.
fn is_blank(character: char) -> bool {
    character != '\n' && character != '\r' && units::is_blank(character) && !is_hidden(character)
}

/// Characters that cannot be seen, or that change the order in which a line
/// is shown: refused everywhere, in comments too.
pub(super) fn is_hidden(character: char) -> bool {
    (character.is_control() && character != '\t' && character != '\n')
        || matches!(
            character,
            '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
        )
}

/// The marks that close a quotation opened by `mark`.
fn closing_marks(mark: char) -> Option<&'static [char]> {
    Some(match mark {
        '"' => &['"'],
        '“' | '”' => &['”', '“', '"'],
        '„' => &['“', '”', '"'],
        '«' => &['»'],
        '»' => &['«'],
        '‘' => &['’', '‘'],
        _ => return None,
    })
}

/// Length of the word at the start of `text`: word characters, joined by
/// single hyphens, apostrophes, slashes or points.
fn word(text: &str) -> usize {
    let mut length = run(text, is_word_character);
    while length > 0 {
        let rest = &text[length..];
        let Some(joint) = rest
            .chars()
            .next()
            .filter(|c| matches!(c, '-' | '‐' | '‑' | '\'' | '’' | '/' | '.'))
        else {
            break;
        };
        let after = run(&rest[joint.len_utf8()..], is_word_character);
        if after == 0 {
            break;
        }
        length += joint.len_utf8() + after;
    }
    length
}

/// Length of a chemical name that starts with locants: `2-propanol`,
/// `1,1,1-trichloroethane`, `3,3'-dimethyl`, `n,n-dimethyl`.
fn locant_word(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut at = 0;
    loop {
        let digits = bytes[at..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count();
        at += match digits {
            1 | 2 => digits,
            // Nitrogen and oxygen; one alone, as in `n-butanol`, is no case
            // for this rule.
            0 if matches!(bytes.get(at), Some(b'n' | b'N' | b'o' | b'O'))
                && (at > 0 || bytes.get(1) == Some(&b',')) =>
            {
                1
            }
            _ => return None,
        };
        at += bytes[at..].iter().take_while(|b| **b == b'\'').count();
        match bytes.get(at) {
            Some(b',') => at += 1,
            Some(b'-') => break,
            _ => return None,
        }
    }
    text[at + 1..]
        .starts_with(|c: char| is_word_character(c) && !c.is_numeric())
        .then(|| at + 1 + word(&text[at + 1..]))
}

/// A punctuation token at the start of `text`.
fn sign(text: &str) -> Option<(TokenKind, usize)> {
    let next = text.chars().next()?;
    let after = &text[next.len_utf8()..];
    let kind = match next {
        ',' => TokenKind::Comma,
        ';' => TokenKind::Semicolon,
        '(' => TokenKind::Open,
        ')' => TokenKind::Close,
        '+' => TokenKind::Plus,
        '≤' => TokenKind::LessEqual,
        '≥' => TokenKind::GreaterEqual,
        '<' if after.starts_with('=') => return Some((TokenKind::LessEqual, 2)),
        '>' if after.starts_with('=') => return Some((TokenKind::GreaterEqual, 2)),
        '<' if !after.starts_with('>') => TokenKind::Less,
        '>' => TokenKind::Greater,
        '=' if !after.starts_with(['=', '>', '<']) => TokenKind::Equals,
        _ => return None,
    };
    Some((kind, next.len_utf8()))
}
