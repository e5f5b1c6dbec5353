//! Nouns: things with notes, stacks, mixes, values.

use nom::Parser;
use nom::branch::alt;
use nom::combinator::{cut, map, opt};
use nom::multi::separated_list1;
use nom::sequence::{delimited, preceded};

use crate::lang::ast::{
    Agent, Mix, Name, Note, NoteValue, PREPS, Phrase, Prep, Stack, Thing, Tool, Value, Word,
};
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::Keyword;
use crate::lang::token::{Token, TokenKind};
use crate::span::{Span, Spanned};

use super::input::{Parsed, Tokens};
use super::terminal::{comma, keyword, name, quantity, ratio, sign, text, words};

/// A name with its notes.
pub(super) fn thing<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Thing> {
    move |input| {
        let (rest, name) = name(role)(input)?;
        let (rest, notes) = notes(rest)?;
        let span = input.span_to(rest);
        Ok((rest, Thing { name, notes, span }))
    }
}

/// Things with commas between.
pub(super) fn things<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Vec<Thing>> {
    move |input| separated_list1(comma, thing(role)).parse(input)
}

/// Names with commas between.
pub(super) fn names<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Vec<Name>> {
    move |input| separated_list1(comma, name(role)).parse(input)
}

/// Layers from the top down.
pub(super) fn stack<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Stack> {
    move |input| {
        let (mut rest, first) = thing(role)(input)?;
        let mut layers = vec![first];
        while let Ok((after, _)) = keyword(Keyword::Over)(rest) {
            // What lies beneath is a layer, whatever the top one is.
            let (after, layer) = cut(thing(Role::Layer)).parse(after)?;
            layers.push(layer);
            rest = after;
        }
        let span = input.span_to(rest);
        Ok((rest, Stack { layers, span }))
    }
}

/// Notes in parentheses, if any.
pub(super) fn notes(input: Tokens<'_>) -> Parsed<'_, Vec<Note>> {
    let inside = cut((separated_list1(comma, note), sign(TokenKind::Close)));
    map(opt(preceded(sign(TokenKind::Open), inside)), |notes| {
        notes.map(|(notes, _)| notes).unwrap_or_default()
    })
    .parse(input)
}

/// The parts of a note: `not`, lead, small word, words, value.
type NoteParts = (
    Option<Span>,
    Vec<Word>,
    Option<Spanned<Prep>>,
    Vec<Word>,
    Option<NoteValue>,
);

fn note(input: Tokens<'_>) -> Parsed<'_, Note> {
    let denied = map(
        (keyword(Keyword::Not), words(Role::Note)),
        |(not, words)| (Some(not), Vec::new(), None, words, None),
    );
    // The longest form comes first: the others are its beginnings.
    let tied = map(
        (opt(words(Role::Note)), prep, described),
        |(lead, prep, (words, value))| (None, lead.unwrap_or_default(), Some(prep), words, value),
    );
    let plain = map(described, |(words, value)| {
        (None, Vec::new(), None, words, value)
    });
    let (rest, parts): (_, NoteParts) = alt((denied, tied, plain)).parse(input)?;
    let (negated, lead, prep, words, value) = parts;
    let span = input.span_to(rest);
    let note = Note {
        lead,
        prep,
        negated,
        words,
        value,
        span,
    };
    Ok((rest, note))
}

/// Words, a value, or both: `deep joint 12 mm`, `12 mm deep`.
fn described(input: Tokens<'_>) -> Parsed<'_, (Vec<Word>, Option<NoteValue>)> {
    alt((
        (words(Role::Note), opt(note_value)),
        map((quantity, opt(words(Role::Note))), |(quantity, words)| {
            (
                words.unwrap_or_default(),
                Some(NoteValue::Quantity(quantity)),
            )
        }),
        map(note_value, |value| (Vec::new(), Some(value))),
    ))
    .parse(input)
}

fn note_value(input: Tokens<'_>) -> Parsed<'_, NoteValue> {
    alt((
        map(quantity, NoteValue::Quantity),
        map(ratio, NoteValue::Ratio),
        map(text, NoteValue::Text),
    ))
    .parse(input)
}

/// A small word.
pub(super) fn prep(input: Tokens<'_>) -> Parsed<'_, Spanned<Prep>> {
    let found = input.next().and_then(|token| match token.kind {
        TokenKind::Keyword(keyword) => PREPS
            .iter()
            .find(|(_, word)| *word == keyword)
            .map(|(prep, _)| Spanned::new(*prep, token.span)),
        _ => None,
    });
    if let Some(found) = found {
        return Ok((input.skip(), found));
    }
    for (_, word) in PREPS {
        input.note(Expected::Keyword(*word));
    }
    input.miss(Expected::Keyword(Keyword::In))
}

/// One liquid, or several joined by `+` with their parts.
pub(super) fn mix<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Mix> {
    move |input| {
        let names = separated_list1(sign(TokenKind::Plus), name(role));
        let (rest, (names, ratio)) = (names, opt(ratio)).parse(input)?;
        let mix = Mix {
            strength: None,
            names,
            ratio,
            span: input.span_to(rest),
        };
        Ok((rest, mix))
    }
}

/// A mix with notes.
pub(super) fn agent<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Agent> {
    move |input| {
        let (rest, (mix, notes)) = (mix(role), notes).parse(input)?;
        let span = input.span_to(rest);
        Ok((rest, Agent { mix, notes, span }))
    }
}

/// Tools with commas between, each with its measure.
pub(super) fn tools(input: Tokens<'_>) -> Parsed<'_, Vec<Tool>> {
    separated_list1(comma, tool).parse(input)
}

fn tool(input: Tokens<'_>) -> Parsed<'_, Tool> {
    let (rest, (words, measure)) = (words(Role::Tool), opt(quantity)).parse(input)?;
    let span = input.span_to(rest);
    let tool = Tool {
        words,
        measure,
        span,
    };
    Ok((rest, tool))
}

/// A quantity, a mix, or a mix with its strength before it.
pub(super) fn value<'a>(role: Role) -> impl Fn(Tokens<'a>) -> Parsed<'a, Value> {
    move |input| {
        let (rest, (strength, mix)) = alt((
            map((quantity, opt(mix(role))), |(quantity, mix)| {
                (Some(quantity), mix)
            }),
            map(mix(role), |mix| (None, Some(mix))),
        ))
        .parse(input)?;
        let value = match (strength, mix) {
            (strength, Some(mix)) => Value::Mix(Mix {
                strength,
                span: input.span_to(rest),
                ..mix
            }),
            (Some(quantity), None) => Value::Quantity(quantity),
            (None, None) => return input.miss(Expected::Quantity),
        };
        Ok((rest, value))
    }
}

/// The small word of a phrase. `with prior` begins no phrase: it is a clause of its own, in which only
/// shares may stand.
fn opening(input: Tokens<'_>) -> Parsed<'_, Spanned<Prep>> {
    let (rest, prep) = prep(input)?;
    let clause = |token: &Token| token.kind == TokenKind::Keyword(Keyword::Prior);
    if prep.value == Prep::With && rest.next().is_some_and(clause) {
        return input.miss(Expected::End);
    }
    Ok((rest, prep))
}

/// A small word and one value.
pub(super) fn phrase(input: Tokens<'_>) -> Parsed<'_, Phrase> {
    let (rest, prep) = opening(input)?;
    let (rest, value) = cut(value(Role::Agent)).parse(rest)?;
    let span = input.span_to(rest);
    let phrase = Phrase {
        prep,
        values: vec![value],
        span,
    };
    Ok((rest, phrase))
}

/// A small word and one value, or several in parentheses.
pub(super) fn choice_phrase(input: Tokens<'_>) -> Parsed<'_, Phrase> {
    let (rest, prep) = opening(input)?;
    let one = map(value(Role::Agent), |value| vec![value]);
    let several = delimited(
        sign(TokenKind::Open),
        separated_list1(comma, value(Role::Agent)),
        sign(TokenKind::Close),
    );
    let (rest, values) = cut(alt((one, several))).parse(rest)?;
    let span = input.span_to(rest);
    Ok((rest, Phrase { prep, values, span }))
}
