//! The sources, what rests on none, and what the report is.

use std::collections::BTreeMap;

use super::super::Material;
use super::super::document::{Block, Part, Section, line};
use super::super::grounds::{Grounds, MEMORY, PRACTICE};
use super::nothing;

pub(in crate::report) fn references(material: &Material<'_>, grounds: &Grounds<'_>) -> Section {
    let mut blocks = Vec::new();
    if grounds.groups.is_empty() {
        blocks.push(nothing(
            "No source is cited in the sections of this report.",
        ));
    } else {
        blocks.push(Block::References);
    }
    for (basis, title, says) in [
        (
            PRACTICE,
            "Common practice",
            "These statements are common practice of the trade; no single source is claimed for them.",
        ),
        (
            MEMORY,
            "Recalled, not checked",
            "These statements were recalled when the corpus was written and not checked against a \
             source. Each wants a trial on a crumb before anything rests on it.",
        ),
    ] {
        let mut by: BTreeMap<String, Vec<&str>> = BTreeMap::new();
        for (_, file, said) in grounds.unsourced.iter().filter(|(it, ..)| *it == basis) {
            by.entry(grounds.called(file)).or_default().push(said);
        }
        if by.is_empty() {
            continue;
        }
        blocks.push(Block::Heading(title.to_owned()));
        blocks.push(nothing(says));
        let rows = by
            .into_iter()
            .map(|(file, said)| vec![line(file), line(said.join(" · "))])
            .collect();
        blocks.push(Block::table(
            format!("{title}: statements by record"),
            &["Record", "Statements"],
            rows,
        ));
    }
    blocks.push(nothing(&format!(
        "The answers come from corpus {} and were asked as in the year {}.",
        material.pack.identity(),
        material.now
    )));
    Section {
        part: Part::References,
        plain: vec![
            "What this report says rests on the sources below, or on what is common practice or \
             recalled, which is listed apart."
                .to_owned(),
            counts(grounds),
        ],
        blocks,
    }
}

/// How much of the report rests on what.
fn counts(grounds: &Grounds<'_>) -> String {
    let without = |basis| {
        grounds
            .unsourced
            .iter()
            .filter(|(it, ..)| *it == basis)
            .count()
    };
    format!(
        "Of its statements on materials, layers and methods {} rest on a source, {} are common practice, and \
         {} were recalled and not checked.",
        grounds.sourced.len(),
        without(PRACTICE),
        without(MEMORY)
    )
}

/// Facts about the report itself.
pub(in crate::report) fn about(material: &Material<'_>) -> Vec<(String, String)> {
    let case = material.case;
    let mut out = Vec::new();
    if let Some(number) = &case.object.number {
        out.push(("Number".to_owned(), number.clone()));
    }
    if let Some(last) = case.changes.last() {
        let who = if last.who.is_empty() {
            String::new()
        } else {
            format!(", by {}", last.who)
        };
        // The day will do; the moment stands in the case file.
        let day = last.at.split('T').next().unwrap_or_default();
        out.push(("Case as of".to_owned(), format!("{day}{who}")));
    }
    out.push(("Corpus".to_owned(), material.pack.identity().to_owned()));
    out.push((
        "For".to_owned(),
        "the owner, the insurer and the next conservator".to_owned(),
    ));
    out
}
