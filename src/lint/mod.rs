//! Lints of the corpus: what the reader of records cannot see file by file. One file a rule; each
//! has a code with a page in `diag`, and cases in `tests/lint/<name>`.
//!
//! `corpus` says whether a record can be read; the lints say whether it can be believed.

mod agents;
mod aliases;
mod answers;
mod bounds;
mod carried;
mod cas;
mod coverage;
mod dimensions;
mod groups;
mod heat;
mod ids;
mod limits;
mod listed;
mod locators;
mod mixtures;
mod opened;
mod order;
mod outcomes;
mod places;
mod ranges;
mod removal;
mod reserved;
mod responses;
mod routes;
mod scope;
mod sorted;
mod sources;
mod speech;
mod spot;
mod teas;
mod thin;
mod twice;
mod unused;
mod verdicts;
mod vocabulary;
mod volumes;
mod water;
mod wordlists;

use crate::corpus::{Corpus, Finding};
use crate::order::Arrange;

pub use coverage::{Bases, Coverage, FieldCoverage, KindCoverage, Part, coverage};
pub use reserved::RESERVED;
pub use scope::Scope;

/// A rule.
pub struct Lint {
    /// Stable code, with a page in the register of codes.
    pub code: &'static str,
    /// Its name: the file of the rule and the folder of its cases.
    pub name: &'static str,
    /// Why it is a rule.
    pub why: &'static str,
    /// Adds what it finds.
    pub check: fn(&Scope<'_>, &mut Vec<Finding>),
}

/// Every rule, by code.
pub const LINTS: &[Lint] = &[
    ids::LINT,
    answers::LINT,
    agents::LINT,
    places::LINT,
    responses::LINT,
    outcomes::LINT,
    verdicts::LINT,
    vocabulary::LINT,
    wordlists::LINT,
    sources::LINT,
    unused::LINT,
    listed::LINT,
    opened::LINT,
    locators::LINT,
    dimensions::LINT,
    limits::LINT,
    ranges::LINT,
    bounds::LINT,
    aliases::LINT,
    reserved::LINT,
    order::LINT,
    sorted::LINT,
    volumes::LINT,
    water::LINT,
    heat::LINT,
    cas::LINT,
    teas::LINT,
    mixtures::LINT,
    thin::LINT,
    twice::LINT,
    carried::LINT,
    removal::LINT,
    speech::LINT,
    routes::LINT,
    groups::LINT,
];

/// Runs every rule over a corpus. Sources that the program itself names, `cited`, count as used.
///
/// A folder that was laid over others is answerable for its own files only: what the records
/// beneath say was checked with them.
#[must_use]
pub fn lint(corpus: &Corpus, cited: &[&str]) -> Vec<Finding> {
    let scope = Scope::new(corpus, cited);
    let mut out = Vec::new();
    for lint in LINTS {
        (lint.check)(&scope, &mut out);
    }
    out.retain(|finding| corpus.sources.is_empty() || scope.text(&finding.file).is_some());
    out.arrange_by(|a, b| key(a).cmp(&key(b)));
    out
}

fn key(finding: &Finding) -> (&str, u32, u32, &str) {
    let place = &finding.place;
    let code = finding.diagnostic.code;
    (&finding.file, place.line, place.column, code)
}
