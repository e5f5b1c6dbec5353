//! Statements and queries.

use nom::Parser;
use nom::combinator::{cut, map, opt};
use nom::sequence::preceded;

use crate::diag::Diagnostic;
use crate::lang::ast::{
    Blend, Choose, Compare, Explain, Find, Identify, Prepare, Query, Remove, Statement, Ventilate,
};
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::{Keyword, VERBS, Verb};
use crate::lang::token::{Token, TokenKind};
use crate::span::{Span, Spanned};
use crate::units::{Amount, Quantity};

use super::EDITION;
use super::clause::{Clauses, clauses};
use super::input::{Parsed, Tokens};
use super::noun::{agent, names, stack, thing, things};
use super::report;
use super::terminal::{contextual, keyword, name, quantity, sign, word};

/// Whether a statement means to name the edition. `edition` is no verb, so
/// it can mean nothing else.
pub(super) fn is_edition(text: &str, tokens: &[Token]) -> bool {
    tokens
        .first()
        .is_some_and(|token| token.kind == TokenKind::Word && token.span.slice(text) == "edition")
}

/// Reads `edition 1`.
pub(super) fn edition(text: &str, tokens: &[Token]) -> Result<Spanned<u32>, Box<Diagnostic>> {
    let span = super::span_of(tokens);
    match tokens {
        [
            _,
            Token {
                kind: TokenKind::Int(Amount::Exact(value)),
                span: number,
            },
        ] => {
            if (*value - f64::from(EDITION)).abs() < f64::EPSILON {
                Ok(Spanned::new(EDITION, span))
            } else {
                Err(Box::new(report::edition(*number, number.slice(text))))
            }
        }
        _ => Err(Box::new(report::edition_form(tokens, span))),
    }
}

/// One whole statement.
pub(super) fn statement(input: Tokens<'_>) -> Parsed<'_, Statement> {
    let binding = preceded(
        contextual("let"),
        cut((word(Role::Binding), sign(TokenKind::Equals))),
    );
    let (rest, binding) = opt(binding).parse(input)?;
    let binding = binding.map(|(name, _)| name);
    let (rest, explain) = if binding.is_none() {
        explain(rest)?
    } else {
        (rest, None)
    };
    let (rest, query) = query(rest)?;
    if rest.next().is_some() {
        return rest.miss(Expected::End);
    }
    let statement = Statement {
        span: input.span_to(rest),
        binding,
        explain,
        query,
    };
    Ok((rest, statement))
}

fn explain(input: Tokens<'_>) -> Parsed<'_, Option<Spanned<Explain>>> {
    let (rest, word) = opt(contextual("explain")).parse(input)?;
    let Some(word) = word else {
        return Ok((rest, None));
    };
    for (depth, kind) in [("plan", Explain::Plan), ("empty", Explain::Empty)] {
        if let Ok((after, span)) = contextual(depth)(rest) {
            return Ok((after, Some(Spanned::new(kind, word.to(span)))));
        }
    }
    Ok((rest, Some(Spanned::new(Explain::Answer, word))))
}

fn query(input: Tokens<'_>) -> Parsed<'_, Query> {
    let verb = input
        .next()
        .filter(|token| token.kind == TokenKind::Word)
        .and_then(|token| Verb::from_word(input.spelling(token)));
    let Some(verb) = verb else {
        for (_, spelling, ..) in VERBS {
            input.note(Expected::Word(spelling));
        }
        return input.miss(Expected::Word(Verb::Find.word()));
    };
    let (rest, mut query) = match verb {
        Verb::Find => cut(find).parse(input.skip()),
        Verb::Identify => cut(identify).parse(input.skip()),
        Verb::Remove => cut(remove).parse(input.skip()),
        Verb::Choose => cut(choose).parse(input.skip()),
        Verb::Compare => cut(compare).parse(input.skip()),
        Verb::Blend => cut(blend).parse(input.skip()),
        Verb::Prepare => cut(prepare).parse(input.skip()),
        Verb::Ventilate => cut(ventilate).parse(input.skip()),
    }?;
    *span_mut(&mut query) = input.span_to(rest);
    Ok((rest, query))
}

fn span_mut(query: &mut Query) -> &mut Span {
    match query {
        Query::Find(query) => &mut query.span,
        Query::Identify(query) => &mut query.span,
        Query::Remove(query) => &mut query.span,
        Query::Choose(query) => &mut query.span,
        Query::Compare(query) => &mut query.span,
        Query::Blend(query) => &mut query.span,
        Query::Prepare(query) => &mut query.span,
        Query::Ventilate(query) => &mut query.span,
    }
}

fn find(input: Tokens<'_>) -> Parsed<'_, Query> {
    let (rest, name) = name(Role::Kind)(input)?;
    let (rest, found) = clauses(Verb::Find, rest)?;
    let query = Find {
        name,
        about: found.about,
        condition: found.condition,
        rank: found.rank,
        show: found.show,
        limit: found.limit,
        include_unknown: found.include_unknown,
        span: Span::default(),
    };
    Ok((rest, Query::Find(query)))
}

fn identify(input: Tokens<'_>) -> Parsed<'_, Query> {
    let on = preceded(keyword(Keyword::On), cut(stack(Role::Layer)));
    let (rest, (thing, on)) = (thing(Role::Kind), opt(on)).parse(input)?;
    let (rest, found) = clauses(Verb::Identify, rest)?;
    let query = Identify {
        thing,
        on,
        restored: found.restored,
        prior: found.prior,
        that: found.that,
        given: found.given,
        condition: found.condition,
        limit: found.limit,
        span: Span::default(),
    };
    Ok((rest, Query::Identify(query)))
}

fn remove(input: Tokens<'_>) -> Parsed<'_, Query> {
    let (rest, (target, _, from)) = (
        stack(Role::Material),
        keyword(Keyword::From),
        stack(Role::Layer),
    )
        .parse(input)?;
    let (rest, found) = clauses(Verb::Remove, rest)?;
    let query = Remove {
        target,
        from,
        restored: found.restored,
        without: found.without,
        given: found.given,
        allowing: found.allowing,
        limit: found.limit,
        span: Span::default(),
    };
    Ok((rest, Query::Remove(query)))
}

fn choose(input: Tokens<'_>) -> Parsed<'_, Query> {
    let to = preceded(keyword(Keyword::To), cut(stack(Role::Layer)));
    let (rest, (thing, _, subject, to)) = (
        thing(Role::Kind),
        keyword(Keyword::For),
        stack(Role::Layer),
        opt(to),
    )
        .parse(input)?;
    let (rest, found) = clauses(Verb::Choose, rest)?;
    let query = Choose {
        thing,
        subject,
        to,
        carrying: found.carrying,
        condition: found.condition,
        without: found.without,
        allowing: found.allowing,
        reversible: found.reversible,
        given: found.given,
        rank: found.rank,
        limit: found.limit,
        span: Span::default(),
    };
    Ok((rest, Query::Choose(query)))
}

fn compare(input: Tokens<'_>) -> Parsed<'_, Query> {
    let on = preceded(keyword(Keyword::On), cut(stack(Role::Layer)));
    map(
        (
            things(Role::Material),
            keyword(Keyword::By),
            names(Role::Property),
            opt(on),
        ),
        |(things, _, by, on)| {
            Query::Compare(Compare {
                things,
                by,
                on,
                span: Span::default(),
            })
        },
    )
    .parse(input)
}

fn blend(input: Tokens<'_>) -> Parsed<'_, Query> {
    let (rest, (_, action, target)) = (
        keyword(Keyword::To),
        word(Role::Action),
        thing(Role::Material),
    )
        .parse(input)?;
    let (rest, found) = clauses(Verb::Blend, rest)?;
    let query = Blend {
        action,
        target,
        sparing: found.sparing,
        given: found.given,
        using: found.using,
        allowing: found.allowing,
        limit: found.limit,
        span: Span::default(),
    };
    Ok((rest, Query::Blend(query)))
}

fn prepare(input: Tokens<'_>) -> Parsed<'_, Query> {
    let solvent = preceded(keyword(Keyword::In), cut(agent(Role::Agent)));
    let (rest, (amount, _, strength, agent, solvent)) = (
        quantity,
        contextual("of"),
        opt(quantity),
        agent(Role::Material),
        opt(solvent),
    )
        .parse(input)?;
    let (rest, found) = clauses(Verb::Prepare, rest)?;
    let query = Prepare {
        amount,
        strength,
        agent,
        solvent,
        stock: found.stock,
        at: found.rate,
        tools: found.tools,
        allowing: found.allowing,
        span: Span::default(),
    };
    Ok((rest, Query::Prepare(query)))
}

fn ventilate(input: Tokens<'_>) -> Parsed<'_, Query> {
    let (body, (amount, agent)) = (quantity, agent(Role::Agent)).parse(input)?;
    let (rest, found) = clauses(Verb::Ventilate, body)?;
    let whole = rest.next().is_none();
    let need = |measure: Option<_>, keyword, example| {
        measure.unwrap_or_else(|| {
            // A mistake further on is reported by itself.
            if whole {
                rest.slip(report::missing_clause(
                    keyword,
                    input.span_to(rest),
                    example,
                ));
            }
            nothing()
        })
    };
    let Clauses {
        during,
        space,
        rate,
        tools,
        ..
    } = found;
    let query = Ventilate {
        amount,
        agent,
        during: need(during, Keyword::During, "during 20 min"),
        space: need(space, Keyword::In, "in 60 m3"),
        rate: need(rate, Keyword::At, "at 4 air changes"),
        tools,
        span: Span::default(),
    };
    Ok((rest, Query::Ventilate(query)))
}

/// Stands in for a measure whose absence has been reported as an error, so
/// that it never reaches an answer.
fn nothing() -> Spanned<Quantity> {
    let quantity = Quantity {
        amount: Amount::Exact(0.0),
        unit: crate::units::Unit::NONE,
        literal: String::new(),
    };
    Spanned::new(quantity, Span::default())
}
