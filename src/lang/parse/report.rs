//! Mistakes that are known by name: broken rules beyond the grammar, and
//! slips that are looked for on purpose. One function each.

use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{Measure, Name, Statement, Value};
use crate::lang::reserved::{Keyword, Verb};
use crate::lang::token::{Token, TokenKind};
use crate::span::Span;
use crate::units::{UNITS, Unit, foreign_unit};

use super::measures::{measures, values};

pub(super) fn empty_text(text: &str) -> Diagnostic {
    let at = text.trim_end().len();
    Diagnostic::error("Q0201", "no query")
        .at(Span::at(at), "nothing to read")
        .help(format!("`{}`", Verb::Find.example()))
}

pub(super) fn empty_statement(semicolon: Span) -> Diagnostic {
    Diagnostic::error("Q0202", "no statement before the semicolon")
        .at(semicolon, "ends nothing")
        .help("one semicolon between two statements")
        .edit(semicolon, "")
}

pub(super) fn too_deep(open: Span) -> Diagnostic {
    Diagnostic::error(
        "Q0203",
        format!("parentheses nest deeper than {}", super::DEEPEST),
    )
    .at(open, "one too deep")
    .help("fewer parentheses; `and` and `or` need them only where they meet")
}

pub(super) fn edition(number: Span, found: &str) -> Diagnostic {
    Diagnostic::error("Q0204", format!("edition {found} is not known"))
        .at(number, "no such edition")
        .help(format!("`edition {};`", super::EDITION))
        .edit(number, super::EDITION.to_string())
}

pub(super) fn edition_form(tokens: &[Token], span: Span) -> Diagnostic {
    let at = tokens
        .get(1)
        .map_or(Span::at(span.end as usize), |token| token.span);
    let what = match tokens.len() {
        0 | 1 => "the number is missing",
        _ if matches!(tokens[1].kind, TokenKind::Int(_)) => "a semicolon ends the line",
        _ => "wants a whole number",
    };
    let at = if what.starts_with("a semicolon") {
        Span::at(tokens[1].span.end as usize)
    } else {
        at
    };
    let error = Diagnostic::error("Q0213", "the edition is not named in full").at(at, what);
    let error = error.help(format!("`edition {};`", super::EDITION));
    if what.starts_with("a semicolon") {
        error.edit(at, ";")
    } else {
        error
    }
}

pub(super) fn repeated(keyword: Keyword, span: Span, first: Span) -> Diagnostic {
    let word = keyword.word();
    let help = match keyword {
        Keyword::Where => "one `where`, its conditions joined by `and` or `or`".to_owned(),
        Keyword::That
        | Keyword::Given
        | Keyword::Rank
        | Keyword::Show
        | Keyword::Without
        | Keyword::Allowing
        | Keyword::Using
        | Keyword::Prior
        | Keyword::Sparing => format!("one `{word}`, what follows joined by commas"),
        _ => format!("one `{word}`"),
    };
    Diagnostic::error("Q0208", format!("`{word}` stands twice"))
        .at(span, "again here")
        .and_at(first, "first here")
        .help(help)
}

pub(super) fn too_many_words(span: Span, most: usize) -> Diagnostic {
    Diagnostic::error("Q0220", format!("more than {most} words after one another"))
        .at(span, "one word too many")
        .help("part observations by commas; a remark stands in quotes")
}

pub(super) fn too_many_tokens(span: Span, most: usize) -> Diagnostic {
    Diagnostic::error(
        "Q0220",
        format!("a statement of more than {most} words and signs"),
    )
    .at(span, "one too many")
    .help("ask several statements, parted by `;`")
}

pub(super) fn limit(span: Span, most: u32) -> Diagnostic {
    Diagnostic::error("Q0210", format!("a limit is from 1 to {most}"))
        .at(span, "out of range")
        .help("`limit 10`; without the clause 20 rows are shown")
}

pub(super) fn no_years(span: Span) -> Diagnostic {
    Diagnostic::error("Q0211", "a date is in whole years")
        .at(span, "no span of years")
        .help("`restored 1890..1935`, `restored 1950..now`, `restored 1923`")
}

pub(super) fn missing_clause(keyword: Keyword, query: Span, example: &str) -> Diagnostic {
    let end = Span::at(query.end as usize);
    Diagnostic::error("Q0209", format!("`{}` is missing", keyword.word()))
        .at(end, format!("wants `{example}`"))
        .help(format!("`{}`", Verb::Ventilate.example()))
}

/// `and` and `or` on one level: shows both ways of bracketing.
pub(super) fn mixed(text: &str, tests: &[Span], joins: &[(Keyword, Span)]) -> Diagnostic {
    let first = joins[0];
    let clash = joins
        .iter()
        .find(|(join, _)| *join != first.0)
        .copied()
        .unwrap_or(first);
    let ands = bracket(text, tests, joins, Keyword::And);
    let ors = bracket(text, tests, joins, Keyword::Or);
    Diagnostic::error("Q0207", "`and` and `or` meet without parentheses")
        .at(
            clash.1,
            format!("`{}` after `{}`", clash.0.word(), first.0.word()),
        )
        .and_at(first.1, format!("`{}` here", first.0.word()))
        .help(format!("`{ands}` or `{ors}`"))
}

/// The tests with parentheses round every run that `inner` joins.
fn bracket(text: &str, tests: &[Span], joins: &[(Keyword, Span)], inner: Keyword) -> String {
    let spell = |span: Span| {
        let words: Vec<&str> = span.slice(text).split_whitespace().collect();
        words.join(" ")
    };
    let mut out = String::new();
    let mut open = false;
    for (index, test) in tests.iter().enumerate() {
        let next_inner = joins.get(index).is_some_and(|(join, _)| *join == inner);
        if next_inner && !open {
            out.push('(');
            open = true;
        }
        out.push_str(&spell(*test));
        if open && !next_inner {
            out.push(')');
            open = false;
        }
        if let Some((join, _)) = joins.get(index) {
            out.push(' ');
            out.push_str(join.word());
            out.push(' ');
        }
    }
    out
}

/// A word that was meant as a unit.
pub(super) fn no_unit(word: &str, span: Span, advice: &str) -> Diagnostic {
    let error = Diagnostic::error("Q0401", format!("no unit `{word}`")).at(span, "no unit");
    // Advice that is only a symbol can be put in place.
    if Unit::from_symbol(advice).is_some() {
        error.help(format!("`{advice}`")).edit(span, advice)
    } else {
        error.help(format!("use {advice}"))
    }
}

/// Letters that touch a number, such as the `mn` of `30mn`; `start` is where
/// the word starts. `None` when it is not of that form.
pub(super) fn touching(word: &str, start: usize, near: bool) -> Option<Diagnostic> {
    let digits = word.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let (number, letters) = word.split_at(digits);
    if number.is_empty() || !letters.chars().all(char::is_alphabetic) {
        return None;
    }
    let span = Span::new(start + digits, start + word.len());
    if let Some(advice) = foreign_unit(letters) {
        return Some(no_unit(letters, span, advice));
    }
    if !near {
        return None;
    }
    let symbols = UNITS.iter().map(|row| row.symbol);
    let near = did_you_mean(letters, symbols.filter(|symbol| !symbol.is_empty()));
    let help = match near.first() {
        Some(unit) => format!("`{number} {unit}`"),
        None => format!("a unit such as `{number} min`, `{number} mm` or `{number} C`"),
    };
    Some(
        Diagnostic::error("Q0401", format!("no unit `{letters}`"))
            .at(span, "no unit")
            .help(help),
    )
}

/// Units in the wrong spelling that the grammar took for words: `80 Ml
/// ethanol` and `at 30c` are names to the parser and slips to a person.
pub(super) fn unit_slips(text: &str, tokens: &[Token], statement: &Statement) -> Vec<Diagnostic> {
    let after_number = measures(statement)
        .into_iter()
        .filter(|measure| measure.value.unit.is_none())
        .filter_map(|measure| next_word(tokens, measure))
        .filter_map(|token| {
            let word = token.span.slice(text);
            foreign_unit(word).map(|advice| no_unit(word, token.span, advice))
        });
    let touching_number = values(statement)
        .into_iter()
        .filter_map(|value| match value {
            Value::Mix(mix) => mix.names.first().and_then(touching_name),
            Value::Quantity(_) => None,
        });
    after_number.chain(touching_number).collect()
}

/// A name of one word that is a number and a unit in the wrong spelling.
fn touching_name(name: &Name) -> Option<Diagnostic> {
    match &name.words[..] {
        [word] if !name.quoted => touching(&word.text, word.span.start as usize, false),
        _ => None,
    }
}

fn next_word<'a>(tokens: &'a [Token], measure: &Measure) -> Option<&'a Token> {
    let index = tokens.partition_point(|token| token.span.start < measure.span.end);
    tokens
        .get(index)
        .filter(|token| token.kind == TokenKind::Word)
}
