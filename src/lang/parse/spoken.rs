//! Words that the grammar takes for names, and a person for something else:
//! `at least` for a comparison, `never` and `cannot` for a denial.

use crate::diag::Diagnostic;
use crate::lang::ast::{Name, Statement, Value, Word};
use crate::lang::reserved::Keyword;
use crate::lang::token::{Token, TokenKind};
use crate::span::Span;

use super::measures::{observations, values};

/// The sign that a word after `at` stands for.
pub(super) fn sign_for(word: &str) -> Option<&'static str> {
    match word {
        "least" => Some(">="),
        "most" => Some("<="),
        _ => None,
    }
}

/// Every one of them.
pub(super) fn spoken(text: &str, tokens: &[Token], statement: &Statement) -> Vec<Diagnostic> {
    let denials = observations(statement).into_iter().filter_map(|seen| {
        let lead = seen.lead.iter().flat_map(|lead| &lead.words);
        let words: Vec<&Word> = lead.chain(&seen.words).collect();
        denial(text, statement.span, &words)
    });
    let mut found: Vec<Diagnostic> = values(statement)
        .into_iter()
        .filter_map(|value| match value {
            Value::Mix(mix) => mix.names.first(),
            Value::Quantity(_) => None,
        })
        .filter_map(|name| slip(text, tokens, statement.span, name))
        .collect();
    found.extend(denials);
    found
}

/// `is never soluble`, `cannot be dissolved`: without the `not` that is meant,
/// the nearest known words say the opposite.
fn denial(text: &str, statement: Span, words: &[&Word]) -> Option<Diagnostic> {
    let index = words
        .iter()
        .position(|word| matches!(word.text.as_str(), "never" | "cannot"))?;
    let word = words[index];
    let be = words.get(index + 1).filter(|next| next.text == "be");
    let (span, plain) = match (word.text.as_str(), be) {
        ("never", _) => (word.span, "not"),
        (_, Some(be)) => (word.span.to(be.span), "is not"),
        (_, None) => (word.span, "does not"),
    };
    let error = Diagnostic::error("Q0217", format!("`{}` is said with `not`", word.text))
        .at(span, format!("`{plain}`"))
        .help(format!("`{plain}`"));
    Some(if accepts_with(text, statement, span, plain) {
        error.edit(span, plain)
    } else {
        error
    })
}

/// Whether a statement with a change in it can be read.
fn accepts_with(text: &str, statement: Span, span: Span, instead: &str) -> bool {
    let whole = statement.slice(text);
    let (start, end) = (
        (span.start - statement.start) as usize,
        (span.end - statement.start) as usize,
    );
    super::accepts(&format!("{}{instead}{}", &whole[..start], &whole[end..]))
}

fn slip(text: &str, tokens: &[Token], statement: Span, name: &Name) -> Option<Diagnostic> {
    let [word, number, rest @ ..] = &name.words[..] else {
        return None;
    };
    let sign = sign_for(&word.text).filter(|_| !name.quoted)?;
    if !number.text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let index = tokens.partition_point(|token| token.span.start < word.span.start);
    let at = tokens.get(index.checked_sub(1)?)?;
    if at.kind != TokenKind::Keyword(Keyword::At) {
        return None;
    }
    let span = at.span.to(word.span);
    let unit = rest.first().map_or("", |unit| unit.text.as_str());
    let spoken = format!("at {}", word.text);
    let error = Diagnostic::error("Q0218", format!("`{spoken}` is written by sign"))
        .at(span, format!("`{sign}`"));
    Some(if accepts_with(text, statement, span, sign) {
        error
            .help(format!(
                "`{}`",
                format!("{sign} {} {unit}", number.text).trim_end()
            ))
            .edit(span, sign)
    } else {
        // An observation has no sign to compare with.
        let range = if sign == ">=" {
            format!("{}..", number.text)
        } else {
            format!("..{}", number.text)
        };
        let open = format!("at {range} {unit}");
        error.help(format!(
            "a range that is open at one end: `{}`",
            open.trim_end()
        ))
    })
}
