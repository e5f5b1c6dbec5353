//! Conditions after `where`.

use nom::Parser;
use nom::branch::alt;
use nom::combinator::{cut, map, opt};
use nom::multi::many1;
use nom::sequence::{delimited, preceded};

use crate::lang::ast::{Comparison, Condition, Relation, Test, TestKind, Value};
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::Keyword;
use crate::lang::token::TokenKind;
use crate::span::{Span, Spanned};

use super::input::{Parsed, Tokens};
use super::noun::{choice_phrase, value};
use super::report;
use super::terminal::{keyword, name, quantity, sign, text, word, words};

/// Tests joined by `and`, or by `or`, never by both on one level.
pub(super) fn condition(input: Tokens<'_>) -> Parsed<'_, Condition> {
    let (mut rest, first) = test(input)?;
    let mut parts = vec![(input.span_to(rest), first)];
    let mut joins: Vec<(Keyword, Span)> = Vec::new();
    while let Some((join, span)) = joint(rest) {
        let start = rest.skip();
        let (after, part) = cut(test).parse(start)?;
        parts.push((start.span_to(after), part));
        joins.push((join, span));
        rest = after;
    }
    let Some((join, _)) = joins.first().copied() else {
        rest.note(Expected::Keyword(Keyword::And));
        rest.note(Expected::Keyword(Keyword::Or));
        let first = parts.remove(0).1;
        return Ok((rest, first));
    };
    if joins.iter().any(|(other, _)| *other != join) {
        let spans: Vec<Span> = parts.iter().map(|(span, _)| *span).collect();
        return input.fail(report::mixed(input.text, &spans, &joins));
    }
    rest.note(Expected::Keyword(join));
    let parts = parts.into_iter().map(|(_, part)| part).collect();
    let condition = if join == Keyword::And {
        Condition::And(parts)
    } else {
        Condition::Or(parts)
    };
    Ok((rest, condition))
}

fn joint(input: Tokens<'_>) -> Option<(Keyword, Span)> {
    let token = input.next()?;
    match token.kind {
        TokenKind::Keyword(join @ (Keyword::And | Keyword::Or)) => Some((join, token.span)),
        _ => None,
    }
}

fn test(input: Tokens<'_>) -> Parsed<'_, Condition> {
    let (rest, not) = opt(keyword(Keyword::Not)).parse(input)?;
    let (rest, inner) = if not.is_some() {
        cut(atom).parse(rest)?
    } else {
        atom(rest)?
    };
    let condition = if not.is_some() {
        Condition::Not {
            span: input.span_to(rest),
            condition: Box::new(inner),
        }
    } else {
        inner
    };
    Ok((rest, condition))
}

fn atom(input: Tokens<'_>) -> Parsed<'_, Condition> {
    let group = delimited(
        sign(TokenKind::Open),
        cut(condition),
        cut(sign(TokenKind::Close)),
    );
    alt((
        group,
        map(alt((call, property)), |test| {
            Condition::Test(Box::new(test))
        }),
    ))
    .parse(input)
}

/// `known(tg)`.
fn call(input: Tokens<'_>) -> Parsed<'_, Test> {
    let (rest, (function, _)) = (word(Role::Test), sign(TokenKind::Open)).parse(input)?;
    let (rest, (argument, _)) = cut((name(Role::Property), sign(TokenKind::Close))).parse(rest)?;
    let kind = TestKind::Call { function, argument };
    let span = input.span_to(rest);
    Ok((rest, Test { kind, span }))
}

/// A property or a response, and what is asked of it.
fn property(input: Tokens<'_>) -> Parsed<'_, Test> {
    let relation = alt((
        compare,
        matches,
        map(many1(choice_phrase), Relation::Phrases),
    ));
    let when = preceded(keyword(Keyword::When), cut(words(Role::State)));
    let (rest, (words, relation, when)) =
        (words(Role::Test), opt(relation), opt(when)).parse(input)?;
    let kind = TestKind::Property {
        words,
        relation: relation.unwrap_or(Relation::Holds),
        when,
    };
    let span = input.span_to(rest);
    Ok((rest, Test { kind, span }))
}

/// `is` takes a name or a quantity; the others compare sizes, so a name after
/// them is a slip.
fn compare(input: Tokens<'_>) -> Parsed<'_, Relation> {
    if let Ok((rest, order)) = order(input) {
        let (rest, measure) = cut(quantity).parse(rest)?;
        return Ok((rest, Relation::Compare(order, Value::Quantity(measure))));
    }
    let (rest, (is, not)) = (keyword(Keyword::Is), opt(keyword(Keyword::Not))).parse(input)?;
    let comparison = match not {
        Some(not) => Spanned::new(Comparison::IsNot, is.to(not)),
        None => Spanned::new(Comparison::Is, is),
    };
    let (rest, value) = cut(value(Role::Value)).parse(rest)?;
    Ok((rest, Relation::Compare(comparison, value)))
}

fn order(input: Tokens<'_>) -> Parsed<'_, Spanned<Comparison>> {
    let one = |kind, comparison| map(sign(kind), move |span| Spanned::new(comparison, span));
    alt((
        one(TokenKind::Less, Comparison::Less),
        one(TokenKind::LessEqual, Comparison::LessEqual),
        one(TokenKind::Greater, Comparison::Greater),
        one(TokenKind::GreaterEqual, Comparison::GreaterEqual),
    ))
    .parse(input)
}

fn matches(input: Tokens<'_>) -> Parsed<'_, Relation> {
    map(
        preceded(keyword(Keyword::Matches), cut(text)),
        Relation::Matches,
    )
    .parse(input)
}
