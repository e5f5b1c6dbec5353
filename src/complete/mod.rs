//! What may be typed next, each with a line on it; and whether what was typed is whole.
//!
//! Completion is a pure function of the text, the cursor, the words of the corpus and the `let`
//! names: the grammar says what may stand at the cursor (`lang::expected_at`), this module says
//! which words of the corpus that is. It offers nothing that the parser then refuses.

mod bench;
mod ending;
mod names;
mod place;
mod units;
mod vocabulary;

use crate::lang::Expected;
use crate::lang::lex::lex;
use crate::lang::reserved::{SIGNS, Verb, about_word};
use crate::lang::token::TokenKind;
use crate::order::Arrange;

pub use ending::{Ending, ending};
pub use names::field_word;
pub use vocabulary::{Phrase, Vocabulary};

use place::Place;

/// A `let` name of the session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bound {
    /// The name.
    pub name: String,
    /// The verb of its statement.
    pub verb: Verb,
}

/// One thing to type.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// Byte of the text from which `replacement` takes the place of what stands before the cursor.
    pub from: usize,
    /// What takes its place.
    pub replacement: String,
    /// What to show for it.
    pub display: String,
    /// One line on what it is.
    pub description: String,
}

/// Everything that may be typed at a byte of a text: names of the corpus first, then words of the
/// language, then signs. Only the text before the cursor counts.
#[must_use]
pub fn complete(
    text: &str,
    cursor: usize,
    vocabulary: &Vocabulary,
    bound: &[Bound],
) -> Vec<Candidate> {
    let mut end = cursor.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let text = &text[..end];
    let last = last_token(text);
    if last.as_ref().is_none_or(may_grow) {
        let here = offers(text, vocabulary, bound);
        let same = |c: &Candidate| text[c.from..] == c.replacement;
        let is_unit = matches!(last, Some(TokenKind::Unit(_)));
        if here.iter().any(|c| !same(c)) || (here.is_empty() && !is_unit) {
            return here;
        }
    }
    // The word is whole: what follows it, after a blank.
    let mut out = offers(&format!("{text} "), vocabulary, bound);
    for candidate in &mut out {
        if candidate.from > end {
            candidate.from = end;
            candidate.replacement.insert(0, ' ');
        }
    }
    out
}

/// The token that touches the end of a text.
fn last_token(text: &str) -> Option<TokenKind> {
    let last = lex(text).tokens.pop()?;
    (last.span.end as usize == text.len()).then_some(last.kind)
}

/// Whether what stands right after a token may belong to it: not after a number, a quotation or a
/// sign, where a blank is wanted first.
const fn may_grow(token: &TokenKind) -> bool {
    matches!(
        token,
        TokenKind::Word | TokenKind::Keyword(_) | TokenKind::Unit(_) | TokenKind::Open
    )
}

/// Candidates as they are found, in order of rank.
pub(crate) struct List<'a> {
    text: &'a str,
    found: Vec<(u8, Candidate)>,
}

/// Names of the user's own come first, then what the corpus calls a thing, then other names for it,
/// in English or, where there are none, in other languages; then the language of the query.
const OWN: u8 = 0;
const NAME: u8 = 1;
const SYNONYM: u8 = 2;
const FOREIGN: u8 = 3;
const WORD: u8 = 4;
const SIGN: u8 = 5;

impl<'a> List<'a> {
    fn push(&mut self, rank: u8, from: usize, typed: &str, about: &str) {
        let known = |(_, c): &(u8, Candidate)| c.from == from && c.replacement == typed;
        if !self.found.iter().any(known) {
            let candidate = Candidate {
                from,
                replacement: typed.to_owned(),
                display: typed.to_owned(),
                description: about.to_owned(),
            };
            self.found.push((rank, candidate));
        }
    }

    /// Offers what a word of the language begins with.
    fn word(&mut self, from: usize, word: &str, about: &str) {
        if word.starts_with(&self.text[from..]) {
            self.push(WORD, from, word, about);
        }
    }

    /// Offers the phrases that continue what stands from a byte on. With nothing typed, only
    /// canonical names; and no synonym of a record whose canonical name fits as well.
    fn phrases<'p>(&mut self, from: usize, phrases: impl IntoIterator<Item = &'p Phrase>) {
        let typed = &self.text[from..];
        let fitting: Vec<&Phrase> = phrases
            .into_iter()
            .filter(|p| p.begins_with(typed) && (p.canonical || !typed.trim().is_empty()))
            .collect();
        for phrase in &fitting {
            let shown_already = |other: &&Phrase| {
                other.canonical && other.record.is_some() && other.record == phrase.record
            };
            if phrase.canonical {
                self.push(NAME, from, &phrase.typed, &phrase.about);
            } else if !fitting.iter().any(shown_already) {
                let rank = if phrase.foreign { FOREIGN } else { SYNONYM };
                self.push(rank, from, &phrase.typed, &phrase.about);
            }
        }
    }

    fn finish(mut self) -> Vec<Candidate> {
        if self.found.iter().any(|(rank, _)| *rank < FOREIGN) {
            self.found.retain(|(rank, _)| *rank != FOREIGN);
        }
        // Stable: within a rank the order is that of the finding.
        self.found.arrange_by_key(|(rank, _)| *rank);
        self.found.into_iter().map(|(_, c)| c).collect()
    }
}

fn offers(text: &str, vocabulary: &Vocabulary, bound: &[Bound]) -> Vec<Candidate> {
    let Some(place) = Place::of(text) else {
        return Vec::new();
    };
    let mut list = List {
        text,
        found: Vec::new(),
    };
    units::offer(&place, &mut list);
    if matches!(last_token(text), Some(TokenKind::Unit(_))) {
        return list.finish();
    }
    let mut roles = Vec::new();
    for expected in &place.expected {
        match expected {
            Expected::Name(role) | Expected::More(role) => {
                if !roles.contains(role) {
                    roles.push(*role);
                    names::offer(*role, &place, vocabulary, bound, &mut list);
                }
            }
            Expected::Word(word) => {
                let about = about_word(word).unwrap_or_default();
                list.word(place.partial, word, about);
            }
            Expected::Keyword(keyword) => {
                if bench::wants(&place, vocabulary, *keyword) {
                    list.word(place.partial, keyword.word(), keyword.about());
                }
            }
            Expected::Sign(sign) => {
                if place.word().is_empty() && bench::wants_sign(&place, vocabulary, sign) {
                    let about = SIGNS.iter().find(|(own, _)| own == sign);
                    let about = about.map_or("", |(_, about)| about);
                    list.push(SIGN, place.partial, sign, about);
                }
            }
            Expected::Quantity
            | Expected::Int
            | Expected::Years
            | Expected::Ratio
            | Expected::Text
            | Expected::End => {}
        }
    }
    list.finish()
}
