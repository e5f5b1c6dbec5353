//! Numbers as they are typed: `12`, `0.5`, `-20`, `5..10`, `1890..`, `1:3`.
//!
//! One scanner serves the query lexer and the corpus loader, so a number can
//! not mean two things.

use super::quantity::Amount;
use super::years::{YearEnd, YearSpan};

/// What a number looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shape {
    /// Digits only, perhaps with a minus.
    Int,
    /// With a decimal point.
    Dec,
    /// A range, perhaps open at one end, or one named end (`antiquity..now`).
    Span,
    /// Parts by volume.
    Ratio,
}

/// A number found at the start of a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Scanned {
    /// What it looks like.
    pub shape: Shape,
    /// What it is worth.
    pub amount: Amount,
    /// Its length in bytes.
    pub length: usize,
}

/// A number typed in a form that is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong.
    pub kind: FaultKind,
    /// Length in bytes of the text at fault.
    pub length: usize,
}

/// Why a number is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultKind {
    /// A comma between digits: `0,5`.
    Comma,
    /// A hyphen or dash between numbers: `5-10`.
    Hyphen,
    /// Two points in one number: `1.5.2`.
    Points,
    /// A point without a digit after it: `5.` followed by nothing, or `.5`.
    BarePoint,
    /// A range with the higher end first.
    Backwards,
    /// Two dots without a number on either side.
    LoneDots,
    /// A ratio with a zero part or too many parts.
    Ratio,
    /// More digits than a number can hold.
    Long,
}

/// Longest number in digits; far beyond any measurement, well within `f64`.
const MOST_DIGITS: usize = 30;
/// Most parts in a ratio.
const MOST_PARTS: usize = 8;

/// Whether a character can stand in a word: a letter, a digit, a combining
/// mark or an underscore.
#[must_use]
pub fn is_word_character(character: char) -> bool {
    character.is_alphanumeric() || character == '_' || ('\u{300}'..='\u{36f}').contains(&character)
}

/// Whether a character is a blank: white space of any width, a byte order
/// mark, or a sign that a trade name carries on its label.
#[must_use]
pub fn is_blank(character: char) -> bool {
    character.is_whitespace() || matches!(character, '\u{feff}' | '®' | '™' | '©')
}

/// Reads the number at the very start of `text`.
///
/// `None` when no number starts there. What follows the number is not looked
/// at, except where it shows that the number itself is in a refused form.
///
/// # Errors
/// [`Fault`] names the refused form and how much of the text it takes.
pub fn scan(text: &str) -> Option<Result<Scanned, Fault>> {
    let (first, mut at) = match end(text) {
        Some((first, length)) => (Some(first), length),
        None if text.starts_with("..") => (None, 0),
        None if starts_bare_point(text) => {
            let length = 1 + digits(&text[1..]);
            if starts_bare_point(&text[length..]) {
                return Some(fault(FaultKind::Points, points(text, length)));
            }
            return Some(fault(FaultKind::BarePoint, length));
        }
        None => return None,
    };
    let named = matches!(first, Some(End::Antiquity | End::Now));
    if text[at..].starts_with("..") {
        return Some(span(text, first, at));
    }
    let Some(End::Number { value, decimal }) = first else {
        // `antiquity` or `now` without dots is a plain word.
        return if named {
            None
        } else {
            Some(fault(FaultKind::LoneDots, 2))
        };
    };
    let rest = &text[at..];
    let mut after = rest.chars();
    let (next, then) = (after.next(), after.next());
    let digit_then = then.is_some_and(|c| c.is_ascii_digit());
    match next {
        Some(',') if digit_then => {
            while text[at..].starts_with(',') && digits(&text[at + 1..]) > 0 {
                at += 1 + digits(&text[at + 1..]);
            }
            Some(fault(FaultKind::Comma, at))
        }
        Some('-' | '–' | '—' | '−') if digit_then => {
            let dash = next.map_or(1, char::len_utf8);
            let second = end(&text[at + dash..]).map_or(0, |(_, length)| length);
            Some(fault(FaultKind::Hyphen, at + dash + second))
        }
        Some('.') if digit_then => Some(fault(FaultKind::Points, points(text, at))),
        Some(':') if digit_then => Some(ratio(text, value, at)),
        _ if at > MOST_DIGITS => Some(fault(FaultKind::Long, at)),
        _ => Some(Ok(Scanned {
            shape: if decimal { Shape::Dec } else { Shape::Int },
            amount: Amount::Exact(value),
            length: at,
        })),
    }
}

#[derive(Clone, Copy)]
enum End {
    Number { value: f64, decimal: bool },
    Antiquity,
    Now,
}

/// A number or a named year at the start of `text`, with its length.
fn end(text: &str) -> Option<(End, usize)> {
    for (word, named) in [("antiquity", End::Antiquity), ("now", End::Now)] {
        if let Some(rest) = text.strip_prefix(word)
            && !rest.starts_with(|c| is_word_character(c) || c == '-')
        {
            return Some((named, word.len()));
        }
    }
    let minus = match text.chars().next()? {
        sign @ ('-' | '−') => sign.len_utf8(),
        _ => 0,
    };
    let whole = digits(&text[minus..]);
    if whole == 0 {
        return None;
    }
    let mut length = minus + whole;
    let mut decimal = false;
    if text[length..].starts_with('.') {
        let fraction = digits(&text[length + 1..]);
        if fraction > 0 {
            length += 1 + fraction;
            decimal = true;
        }
    }
    let value: f64 = text[minus..length].parse().ok()?;
    let value = if minus > 0 { -value } else { value };
    Some((End::Number { value, decimal }, length))
}

fn starts_bare_point(text: &str) -> bool {
    text.strip_prefix('.')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Where a run of points and digits that goes on at `at` ends.
fn points(text: &str, mut at: usize) -> usize {
    while starts_bare_point(&text[at..]) {
        at += 1 + digits(&text[at + 1..]);
    }
    at
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn fault(kind: FaultKind, length: usize) -> Result<Scanned, Fault> {
    Err(Fault { kind, length })
}

fn span(text: &str, first: Option<End>, dots: usize) -> Result<Scanned, Fault> {
    let after = dots + 2;
    let second = end(&text[after..]);
    let length = after + second.map_or(0, |(_, length)| length);
    let second = second.map(|(end, _)| end);
    if length > 2 * MOST_DIGITS + 2 {
        return fault(FaultKind::Long, length);
    }
    let amount = match (first, second) {
        (None, None) => return fault(FaultKind::LoneDots, length),
        (Some(End::Antiquity | End::Now), _) | (_, Some(End::Antiquity | End::Now)) => {
            let years = YearSpan {
                from: year_end(first),
                to: year_end(second),
            };
            if !years.is_ordered() {
                return fault(FaultKind::Backwards, length);
            }
            Amount::Years(years)
        }
        _ => {
            let (low, high) = (number(first), number(second));
            if let (Some(low), Some(high)) = (low, high)
                && low > high
            {
                return fault(FaultKind::Backwards, length);
            }
            Amount::Range { low, high }
        }
    };
    Ok(Scanned {
        shape: Shape::Span,
        amount,
        length,
    })
}

fn number(end: Option<End>) -> Option<f64> {
    match end {
        Some(End::Number { value, .. }) => Some(value),
        _ => None,
    }
}

fn year_end(end: Option<End>) -> YearEnd {
    match end {
        None => YearEnd::Open,
        Some(End::Antiquity) => YearEnd::Antiquity,
        Some(End::Now) => YearEnd::Now,
        Some(End::Number { value, .. }) => YearEnd::Year(whole_year(value)),
    }
}

/// A typed year as a whole number; absurd values are clamped.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the value is clamped to the range of years first"
)]
pub(super) fn whole_year(value: f64) -> i32 {
    value.round().clamp(-1e6, 1e6) as i32
}

fn ratio(text: &str, first: f64, mut at: usize) -> Result<Scanned, Fault> {
    let mut parts = vec![first];
    while text[at..].starts_with(':') {
        match end(&text[at + 1..]) {
            Some((End::Number { value, .. }, length)) => {
                parts.push(value);
                at += 1 + length;
            }
            _ => break,
        }
    }
    if parts.len() > MOST_PARTS || parts.iter().any(|part| *part <= 0.0 || !part.is_finite()) {
        return fault(FaultKind::Ratio, at);
    }
    if at > MOST_PARTS * MOST_DIGITS {
        return fault(FaultKind::Long, at);
    }
    Ok(Scanned {
        shape: Shape::Ratio,
        amount: Amount::Ratio(parts),
        length: at,
    })
}
