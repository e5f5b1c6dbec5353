//! Parsers of single tokens.

use nom::Parser;
use nom::branch::alt;
use nom::combinator::opt;
use nom::multi::many0;

use crate::lang::ast::{Measure, Name, Word};
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::Keyword;
use crate::lang::token::{Token, TokenKind, plain_number, plain_unit};
use crate::span::{Span, Spanned};
use crate::units::{Amount, Quantity, Unit};

use super::input::{Parsed, Tokens};

/// A reserved word; gives its place.
pub(super) fn keyword<'a>(wanted: Keyword) -> impl Fn(Tokens<'a>) -> Parsed<'a, Span> {
    move |input| match input.next() {
        Some(token) if token.kind == TokenKind::Keyword(wanted) => Ok((input.skip(), token.span)),
        _ => input.miss(Expected::Keyword(wanted)),
    }
}

/// A plain word that means something just here; gives its place.
pub(super) fn contextual<'a>(wanted: &'static str) -> impl Fn(Tokens<'a>) -> Parsed<'a, Span> {
    move |input| match input.next() {
        Some(token) if token.kind == TokenKind::Word && input.spelling(token) == wanted => {
            Ok((input.skip(), token.span))
        }
        _ => input.miss(Expected::Word(wanted)),
    }
}

/// A sign; gives its place.
pub(super) fn sign<'a>(wanted: TokenKind) -> impl Fn(Tokens<'a>) -> Parsed<'a, Span> {
    move |input| match input.next() {
        Some(token) if token.kind == wanted => Ok((input.skip(), token.span)),
        _ => input.miss(Expected::Sign(wanted.sign().unwrap_or(""))),
    }
}

/// A comma.
pub(super) fn comma(input: Tokens<'_>) -> Parsed<'_, Span> {
    sign(TokenKind::Comma)(input)
}

/// A word that is not reserved.
fn one_word<'a>(expected: Expected) -> impl Fn(Tokens<'a>) -> Parsed<'a, Word> {
    move |input| match input.next() {
        Some(token) if token.kind == TokenKind::Word => Ok((input.skip(), spell(input, token))),
        _ => input.miss(expected),
    }
}

/// The first word of words or of a name, or a word by itself.
pub(super) fn word<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Word> {
    one_word(Expected::Name(role))
}

/// A word after the first.
pub(super) fn more<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Word> {
    one_word(Expected::More(role))
}

fn spell(input: Tokens<'_>, token: &Token) -> Word {
    Word {
        text: input.spelling(token).to_owned(),
        span: token.span,
    }
}

/// A whole number inside a name, with its unit if there is one: the `371` of
/// `beva 371`, the `30 h` of `mowital b 30 h`.
pub(super) fn numeral(input: Tokens<'_>) -> Parsed<'_, Vec<Word>> {
    let Some(number) = input
        .next()
        .filter(|token| matches!(token.kind, TokenKind::Int(_)))
    else {
        return Err(nom::Err::Error(super::input::Miss {
            at: input.at(),
            known: None,
        }));
    };
    let rest = input.skip();
    // Written out plainly, so that a name is the same before and after formatting.
    let plain = |token: &Token, text: String| Word {
        text,
        span: token.span,
    };
    let mut words = vec![plain(number, plain_number(input.spelling(number)))];
    if let Some(next) = rest.next()
        && let TokenKind::Unit(unit) = next.kind
    {
        words.push(plain(next, plain_unit(input.spelling(next), unit)));
        return Ok((rest.skip(), words));
    }
    Ok((rest, words))
}

/// Words without numbers.
pub(super) fn words<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Vec<Word>> {
    move |input| {
        let (rest, first) = word(role)(input)?;
        let (rest, others) = many0(more(role)).parse(rest)?;
        Ok((rest, std::iter::once(first).chain(others).collect()))
    }
}

/// Words with numbers between them, the last a word.
pub(super) fn terms<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Vec<Word>> {
    move |input| {
        let (rest, first) = word(role)(input)?;
        let (rest, others) = many0((opt(numeral), more(role))).parse(rest)?;
        let mut words = vec![first];
        for (numeral, word) in others {
            words.extend(numeral.unwrap_or_default());
            words.push(word);
        }
        Ok((rest, words))
    }
}

/// A name: a quotation, or a word and all words, whole numbers and their
/// units after it.
pub(super) fn name<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Name> {
    move |input| {
        if let Some(Token {
            kind: TokenKind::Text(text),
            span,
        }) = input.next()
        {
            let words = vec![Word {
                text: text.clone(),
                span: *span,
            }];
            let name = Name {
                words,
                quoted: true,
                span: *span,
            };
            return Ok((input.skip(), name));
        }
        let (rest, first) = word(role)(input)?;
        let one = |input| more(role)(input).map(|(rest, word)| (rest, vec![word]));
        let (rest, others) = many0(alt((one, numeral))).parse(rest)?;
        let mut words = vec![first];
        words.extend(others.into_iter().flatten());
        let name = Name {
            words,
            quoted: false,
            span: input.span_to(rest),
        };
        Ok((rest, name))
    }
}

/// Text in quotes.
pub(super) fn text(input: Tokens<'_>) -> Parsed<'_, Spanned<String>> {
    match input.next() {
        Some(Token {
            kind: TokenKind::Text(text),
            span,
        }) => Ok((input.skip(), Spanned::new(text.clone(), *span))),
        _ => input.miss(Expected::Text),
    }
}

/// A number that is not a ratio, with its unit if there is one.
pub(super) fn quantity(input: Tokens<'_>) -> Parsed<'_, Measure> {
    match input.next() {
        Some(token) if token.kind.takes_unit() => Ok(measure(input, token)),
        _ => input.miss(Expected::Quantity),
    }
}

/// Parts by volume.
pub(super) fn ratio(input: Tokens<'_>) -> Parsed<'_, Measure> {
    match input.next() {
        Some(token) if matches!(token.kind, TokenKind::Ratio(_)) => Ok(measure(input, token)),
        _ => input.miss(Expected::Ratio),
    }
}

fn measure<'a>(input: Tokens<'a>, number: &Token) -> (Tokens<'a>, Measure) {
    let (amount, natural) = match &number.kind {
        TokenKind::Ratio(amount) => (amount.clone(), "parts"),
        TokenKind::Span(amount @ Amount::Years(_)) => (amount.clone(), "years"),
        TokenKind::Int(amount) | TokenKind::Dec(amount) | TokenKind::Span(amount) => {
            (amount.clone(), "")
        }
        _ => (Amount::Exact(0.0), ""),
    };
    let mut rest = input.skip();
    let mut span = number.span;
    let mut unit = Unit::from_symbol(natural).unwrap_or(Unit::NONE);
    let mut literal = input.spelling(number).to_owned();
    if let Some(next) = rest.next()
        && let TokenKind::Unit(found) = next.kind
        && number.kind.takes_unit()
    {
        // What stood between, a line end or a remark, is not echoed.
        if next.span.start > number.span.end {
            literal.push(' ');
        }
        literal.push_str(input.spelling(next));
        unit = found;
        span = span.to(next.span);
        rest = rest.skip();
    }
    let quantity = Quantity {
        amount,
        unit,
        literal,
    };
    (rest, Spanned::new(quantity, span))
}

/// A whole number; gives its value and place. Values below zero or beyond
/// `u32` are clamped: the caller says what range it takes.
pub(super) fn int(input: Tokens<'_>) -> Parsed<'_, Spanned<u32>> {
    match input.next() {
        Some(Token {
            kind: TokenKind::Int(Amount::Exact(value)),
            span,
        }) => Ok((input.skip(), Spanned::new(whole(*value), *span))),
        _ => input.miss(Expected::Int),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped to the range first"
)]
fn whole(value: f64) -> u32 {
    value.clamp(0.0, f64::from(u32::MAX)) as u32
}
