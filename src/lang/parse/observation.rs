//! Observations: what was seen, its words kept as typed.

use nom::Parser;
use nom::branch::alt;
use nom::combinator::{map, opt};
use nom::multi::{many0, separated_list1};

use crate::lang::ast::{Measure, Name, Observation, Word};
use crate::lang::expected::Role;
use crate::lang::reserved::Keyword;
use crate::span::Span;

use super::input::{Parsed, Tokens};
use super::noun::{notes, phrase};
use super::terminal::{comma, keyword, name, quantity, terms, words};

/// Observations with commas between.
pub(super) fn observations(input: Tokens<'_>) -> Parsed<'_, Vec<Observation>> {
    separated_list1(comma, observation).parse(input)
}

/// The core of an observation: lead, `is`, `not`, words, quantity.
type Core = (
    Option<Name>,
    Option<Span>,
    Option<Span>,
    Vec<Word>,
    Option<Measure>,
);

fn observation(input: Tokens<'_>) -> Parsed<'_, Observation> {
    let (rest, (core, phrases, notes)) =
        (alt((stated, denied, seen)), many0(phrase), notes).parse(input)?;
    let (lead, is, negated, words, quantity) = core;
    let span = input.span_to(rest);
    let observation = Observation {
        lead,
        is,
        negated,
        words,
        quantity,
        phrases,
        notes,
        span,
    };
    Ok((rest, observation))
}

/// `is unaffected`, `glaze is not attacked`, `surface ph is 8.5`, `is 2 mm
/// thick`.
fn stated(input: Tokens<'_>) -> Parsed<'_, Core> {
    let state = alt((
        map((quantity, opt(words(Role::State))), |(quantity, words)| {
            (words.unwrap_or_default(), Some(quantity))
        }),
        map(words(Role::State), |words| (words, None)),
    ));
    map(
        (
            opt(name(Role::Observation)),
            keyword(Keyword::Is),
            opt(keyword(Keyword::Not)),
            state,
        ),
        |(lead, is, not, (words, quantity))| (lead, Some(is), not, words, quantity),
    )
    .parse(input)
}

/// `not tried`, `does not dissolve`, `glaze does not dissolve`.
fn denied(input: Tokens<'_>) -> Parsed<'_, Core> {
    map(
        (
            opt(name(Role::Observation)),
            keyword(Keyword::Not),
            terms(Role::Observation),
            opt(quantity),
        ),
        |(lead, not, words, quantity)| (lead, None, Some(not), words, quantity),
    )
    .parse(input)
}

/// `fluoresces orange`, `melts at 60 C`, `leaves residue 3 mm`.
fn seen(input: Tokens<'_>) -> Parsed<'_, Core> {
    map(
        (terms(Role::Observation), opt(quantity)),
        |(words, quantity)| (None, None, None, words, quantity),
    )
    .parse(input)
}
