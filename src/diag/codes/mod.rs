//! The register of codes: one table, a page to each.
//!
//! A code is never given a second meaning. New ones are added at the end of
//! their area; a test holds that the table is sorted, that every page has its
//! examples, and that the examples behave.

mod case;
mod corpus;
mod lint;
mod names;
mod syntax;

/// One code with its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CodeEntry {
    /// The code: a letter for the source (`Q` query, `K` corpus, `C` case), two digits
    /// for the area, two for the mistake.
    pub code: &'static str,
    /// What it is, in a few words.
    pub title: &'static str,
    /// One paragraph: why it is a mistake, and what to do.
    pub page: &'static str,
    /// A text that earns the code; `None` where none is short enough.
    pub wrong: Option<&'static str>,
    /// The same put right.
    pub right: Option<&'static str>,
}

/// Areas of the register: the first three characters of a code.
pub const AREAS: &[(&str, &str)] = &[
    ("C01", "the record of a case"),
    ("K01", "the corpus: shape of records"),
    ("K02", "the corpus: what records say"),
    ("Q01", "spelling: signs, numbers, quotations"),
    ("Q02", "syntax: how a sentence is built"),
    (
        "Q03",
        "names: materials, layers, liquids, properties, verbs",
    ),
    ("Q04", "units and types"),
    ("Q05", "evaluation"),
];

/// The page of a code; case does not count.
#[must_use]
pub fn code_entry(code: &str) -> Option<&'static CodeEntry> {
    CODES
        .iter()
        .find(|entry| entry.code.eq_ignore_ascii_case(code))
}

const fn entry(
    code: &'static str,
    title: &'static str,
    page: &'static str,
    wrong: &'static str,
    right: &'static str,
) -> CodeEntry {
    CodeEntry {
        code,
        title,
        page,
        wrong: Some(wrong),
        right: Some(right),
    }
}

const fn bare(code: &'static str, title: &'static str, page: &'static str) -> CodeEntry {
    CodeEntry {
        code,
        title,
        page,
        wrong: None,
        right: None,
    }
}

const LENGTH: usize = case::CODES.len()
    + corpus::CODES.len()
    + lint::CODES.len()
    + syntax::CODES.len()
    + names::CODES.len();

/// The parts as one table, put together when the program is built.
const fn joined() -> [CodeEntry; LENGTH] {
    let mut out = [bare("", "", ""); LENGTH];
    let parts = [
        case::CODES,
        corpus::CODES,
        lint::CODES,
        syntax::CODES,
        names::CODES,
    ];
    let (mut part, mut at) = (0, 0);
    while part < parts.len() {
        let mut k = 0;
        while k < parts[part].len() {
            out[at] = parts[part][k];
            at += 1;
            k += 1;
        }
        part += 1;
    }
    out
}

static JOINED: [CodeEntry; LENGTH] = joined();

/// Every code, sorted.
pub static CODES: &[CodeEntry] = &JOINED;
