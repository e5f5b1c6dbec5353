//! Tokens: what the lexer makes of a text.

use crate::span::Span;
use crate::units::{Amount, Unit};

use super::reserved::Keyword;

/// One token with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    /// What it is.
    pub kind: TokenKind,
    /// Where it stands.
    pub span: Span,
}

/// Kinds of token.
#[derive(Debug, Clone, PartialEq)]
pub enum TokenKind {
    /// A word that is not reserved: `shellac`, `b-72`, `2-propanol`.
    Word,
    /// A reserved word: `over`, `from`.
    Keyword(Keyword),
    /// Digits, perhaps with a minus.
    Int(Amount),
    /// A number with a decimal point.
    Dec(Amount),
    /// A range: `5..10`, `1890..`, `antiquity..now`.
    Span(Amount),
    /// Parts: `1:3`.
    Ratio(Amount),
    /// A unit; only after a number.
    Unit(Unit),
    /// Text between quotation marks. Holds the text without the marks.
    Text(String),
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// `(`
    Open,
    /// `)`
    Close,
    /// `+`
    Plus,
    /// `=`
    Equals,
    /// `<`
    Less,
    /// `<=` or the one sign for it.
    LessEqual,
    /// `>`
    Greater,
    /// `>=` or the one sign for it.
    GreaterEqual,
}

impl TokenKind {
    /// Whether a unit may follow.
    #[must_use]
    pub fn takes_unit(&self) -> bool {
        matches!(self, Self::Int(_) | Self::Dec(_) | Self::Span(_))
    }

    /// The sign itself for punctuation, `None` for the rest.
    #[must_use]
    pub fn sign(&self) -> Option<&'static str> {
        Some(match self {
            Self::Comma => ",",
            Self::Semicolon => ";",
            Self::Open => "(",
            Self::Close => ")",
            Self::Plus => "+",
            Self::Equals => "=",
            Self::Less => "<",
            Self::LessEqual => "<=",
            Self::Greater => ">",
            Self::GreaterEqual => ">=",
            _ => return None,
        })
    }
}

/// What lies between tokens. Tokens and trivia together tile the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trivia {
    /// What it is.
    pub kind: TriviaKind,
    /// Where it stands.
    pub span: Span,
}

/// Kinds of trivia.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TriviaKind {
    /// Blanks, tabs, and signs of trade such as the one for a registered mark.
    Blank,
    /// One line end.
    Newline,
    /// From `#` to the end of the line.
    Comment,
}

/// A number as it is written out: with the plain minus sign.
pub(super) fn plain_number(typed: &str) -> String {
    typed.replace('−', "-")
}

/// A unit as it is written out: plain letters and digits for signs of their own, single blanks. An
/// accepted spelling such as `hours` stays; `%w/v` does not.
pub(super) fn plain_unit(typed: &str, unit: Unit) -> String {
    let plain: String = typed
        .chars()
        .filter_map(|sign| match sign {
            'µ' | 'μ' => Some('u'),
            '²' => Some('2'),
            '³' => Some('3'),
            '°' | 'º' => None,
            '\u{2103}' => Some('C'),
            '\u{2109}' => Some('F'),
            other => Some(other),
        })
        .collect();
    let words: Vec<&str> = plain
        .split(crate::units::is_blank)
        .filter(|word| !word.is_empty())
        .collect();
    let plain = words.join(" ");
    if plain.starts_with('%') {
        unit.symbol().to_owned()
    } else {
        plain
    }
}
