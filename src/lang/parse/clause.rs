//! Clauses: in any order, each at most once.

use nom::Parser;
use nom::combinator::{cut, map, opt};
use nom::multi::separated_list1;
use nom::sequence::preceded;

use crate::lang::ast::{Condition, Load, Measure, Name, Observation, Restored, Thing, Tool};
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::{Keyword, Verb, clauses_of};
use crate::lang::token::TokenKind;
use crate::span::{Span, Spanned};
use crate::units::{Unit, YearSpan};

use super::condition::condition;
use super::input::{Parsed, Tokens};
use super::noun::{names, things, tools};
use super::observation::observations;
use super::report;
use super::terminal::{comma, contextual, int, keyword, name, quantity, text};

/// Most rows that `limit` takes.
pub(super) const MOST_ROWS: u32 = 1_000;

/// Every clause that some query takes, once each.
#[derive(Debug, Default)]
pub(super) struct Clauses {
    pub(super) about: Option<Spanned<String>>,
    pub(super) condition: Option<Spanned<Condition>>,
    pub(super) rank: Option<Spanned<Vec<Name>>>,
    pub(super) show: Option<Spanned<Vec<Name>>>,
    pub(super) limit: Option<Spanned<u32>>,
    pub(super) include_unknown: Option<Span>,
    pub(super) restored: Option<Spanned<Restored>>,
    pub(super) prior: Option<Spanned<Vec<(Measure, Name)>>>,
    pub(super) that: Option<Spanned<Vec<Observation>>>,
    pub(super) given: Option<Spanned<Vec<Observation>>>,
    pub(super) without: Option<Spanned<Vec<Name>>>,
    pub(super) allowing: Option<Spanned<Vec<Name>>>,
    pub(super) using: Option<Spanned<Vec<Name>>>,
    pub(super) sparing: Option<Spanned<Vec<Thing>>>,
    pub(super) carrying: Option<Spanned<Load>>,
    pub(super) reversible: Option<Measure>,
    pub(super) during: Option<Measure>,
    pub(super) space: Option<Measure>,
    pub(super) rate: Option<Measure>,
    pub(super) stock: Option<Measure>,
    pub(super) tools: Option<Spanned<Vec<Tool>>>,
}

/// Reads the clauses that may follow the head of a query.
pub(super) fn clauses(verb: Verb, mut input: Tokens<'_>) -> Parsed<'_, Clauses> {
    let allowed = clauses_of(verb);
    let mut clauses = Clauses::default();
    let mut seen: Vec<(Keyword, Span)> = Vec::new();
    loop {
        let next = input.next().and_then(|token| {
            let TokenKind::Keyword(first) = token.kind else {
                return None;
            };
            allowed
                .iter()
                .find(|clause| clause.begins() == first)
                .map(|clause| (*clause, token.span))
        });
        let Some((keyword, span)) = next else {
            for keyword in allowed {
                if seen.iter().all(|(earlier, _)| earlier != keyword) {
                    input.note(Expected::Keyword(keyword.begins()));
                }
            }
            return Ok((input, clauses));
        };
        let (rest, ()) = clause(keyword, &mut clauses, input)?;
        if let Some((_, first)) = seen.iter().find(|(earlier, _)| *earlier == keyword) {
            input.slip(report::repeated(keyword, span, *first));
        } else {
            seen.push((keyword, span));
        }
        input = rest;
    }
}

/// Reads one clause into its place.
fn clause<'a>(which: Keyword, into: &mut Clauses, input: Tokens<'a>) -> Parsed<'a, ()> {
    let body = input.skip();
    match which {
        Keyword::About => put(
            &mut into.about,
            input,
            cut(map(text, |text| text.value)).parse(body),
        ),
        Keyword::Where => put(&mut into.condition, input, cut(condition).parse(body)),
        Keyword::Rank => {
            let by = preceded(keyword(Keyword::By), names(Role::Property));
            put(&mut into.rank, input, cut(by).parse(body))
        }
        Keyword::Show => put(
            &mut into.show,
            input,
            cut(names(Role::Property)).parse(body),
        ),
        Keyword::Limit => put(&mut into.limit, input, cut(limit).parse(body)),
        Keyword::Include => {
            let (rest, _) = cut(contextual("unknown")).parse(body)?;
            into.include_unknown = Some(input.span_to(rest));
            Ok((rest, ()))
        }
        Keyword::Restored => put(&mut into.restored, input, cut(restored).parse(body)),
        Keyword::Prior => {
            let (body, _) = keyword(Keyword::Prior)(body)?;
            let shares = separated_list1(comma, (quantity, name(Role::Material)));
            put(&mut into.prior, input, cut(shares).parse(body))
        }
        Keyword::That => put(&mut into.that, input, cut(observations).parse(body)),
        Keyword::Given => put(&mut into.given, input, cut(observations).parse(body)),
        Keyword::Without => put(
            &mut into.without,
            input,
            cut(names(Role::Means)).parse(body),
        ),
        Keyword::Allowing => put(
            &mut into.allowing,
            input,
            cut(names(Role::Means)).parse(body),
        ),
        Keyword::Using => put(&mut into.using, input, cut(names(Role::Agent)).parse(body)),
        Keyword::Sparing => put(
            &mut into.sparing,
            input,
            cut(things(Role::Layer)).parse(body),
        ),
        Keyword::Carrying => {
            let area = opt(preceded(keyword(Keyword::On), cut(quantity)));
            let load = map((quantity, area), |(load, area)| Load { load, area });
            put(&mut into.carrying, input, cut(load).parse(body))
        }
        Keyword::Reversible => {
            let span = preceded(keyword(Keyword::For), quantity);
            let value = map(span, |measure| measure.value);
            put(&mut into.reversible, input, cut(value).parse(body))
        }
        Keyword::During => put(&mut into.during, input, plain(body)),
        Keyword::In => put(&mut into.space, input, plain(body)),
        Keyword::At => put(&mut into.rate, input, plain(body)),
        Keyword::From => put(&mut into.stock, input, plain(body)),
        Keyword::With => put(&mut into.tools, input, cut(tools).parse(body)),
        _ => input.miss(Expected::End),
    }
}

/// Keeps the first of repeated clauses; the caller reports the others.
fn put<'a, T>(
    slot: &mut Option<Spanned<T>>,
    start: Tokens<'a>,
    parsed: Parsed<'a, T>,
) -> Parsed<'a, ()> {
    let (rest, value) = parsed?;
    slot.get_or_insert(Spanned::new(value, start.span_to(rest)));
    Ok((rest, ()))
}

fn plain(input: Tokens<'_>) -> Parsed<'_, crate::units::Quantity> {
    cut(map(quantity, |measure| measure.value)).parse(input)
}

fn limit(input: Tokens<'_>) -> Parsed<'_, u32> {
    let (rest, rows) = int(input)?;
    if !(1..=MOST_ROWS).contains(&rows.value) {
        input.slip(report::limit(rows.span, MOST_ROWS));
    }
    Ok((rest, rows.value))
}

/// A year or a span of years.
fn restored(input: Tokens<'_>) -> Parsed<'_, Restored> {
    let Some(token) = input.next() else {
        return input.miss(Expected::Years);
    };
    if !matches!(token.kind, TokenKind::Int(_) | TokenKind::Span(_)) {
        return input.miss(Expected::Years);
    }
    let (_, mut measure) = quantity(input)?;
    // A unit after it is not read, and so does not fit.
    if measure.span != token.span {
        measure.value.unit = Unit::NONE;
    }
    let literal = input.spelling(token).to_owned();
    let years = measure.value.years().unwrap_or_else(|| {
        input.slip(report::no_years(token.span));
        YearSpan::single(0)
    });
    Ok((input.skip(), Restored { years, literal }))
}
