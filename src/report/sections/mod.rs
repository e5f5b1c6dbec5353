//! The sections of a report, one file a theme.

mod bench;
mod blend;
mod choose;
mod examination;
mod identification;
mod proposal;
mod references;
mod removal;
mod reversibility;
mod safety;
mod treatment;

use super::Material;
use super::document::{Block, Line, Part, Picture, Section, Words, line, text};
use super::figure::Figure;
use super::grounds::Grounds;
use crate::answer::Call;
use crate::case::Noted;
use crate::model::Basis;

pub(super) use references::{about, references};

/// Counts the figures of a report.
#[derive(Default)]
pub(super) struct Figures(usize);

impl Figures {
    /// The id of the next figure.
    fn next(&mut self) -> String {
        self.0 += 1;
        format!("figure-{}", self.0)
    }

    /// A block for the figure that was just drawn.
    fn block(&self, figure: Figure, caption: &str) -> Block {
        Block::Figure {
            caption: format!("Figure {}. {caption}", self.0),
            figure,
        }
    }
}

pub(super) fn build(
    part: Part,
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
    picture: &dyn Fn(&str) -> Result<Picture, String>,
) -> Section {
    match part {
        Part::Examination => examination::examination(material, figures, picture),
        Part::Identification => identification::identification(material, grounds, figures),
        Part::Proposal => proposal::proposal(material, grounds, figures),
        Part::Materials => treatment::materials(material, grounds),
        Part::Reversibility => reversibility::reversibility(material, grounds, figures),
        Part::Safety => safety::safety(material, grounds),
        Part::Cautions => safety::cautions(material),
        Part::Uncertainty => safety::uncertainty(material),
        Part::References => references(material, grounds),
    }
}

/// A statement with what it rests on behind it.
fn grounded(said: impl Into<String>, mut on: Line) -> Line {
    let mut out = line(said);
    if !on.is_empty() {
        out.push(text(" "));
        out.append(&mut on);
    }
    out
}

/// A statement with its basis behind it.
fn based(said: impl Into<String>, basis: &Basis, grounds: &mut Grounds<'_>) -> Line {
    let said = said.into();
    let on = grounds.of(&said, basis);
    grounded(said, on)
}

/// How a live step or blend stands.
const fn call(it: Call) -> &'static str {
    match it {
        Call::Recommended => "recommended, after a test spot",
        Call::TestFirst => "test first",
    }
}

/// What an entry says. One that was withdrawn stands in its place, marked, with the reason: nothing is
/// drawn from it.
fn of_record(noted: &Noted, said: Line) -> Line {
    let Some(why) = &noted.withdrawn else {
        return said;
    };
    let mut out = vec![
        strong("Withdrawn: "),
        text(format!("{} It said: ", dot(why))),
    ];
    out.extend(said);
    out
}

/// A text that ends with a full stop.
fn dot(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// When, where and by whom, on one line.
fn noted(it: &Noted) -> String {
    let mut out: Vec<String> = Vec::new();
    out.extend(it.day.map(|day| day.to_string()));
    out.extend(it.place.clone());
    out.extend(it.who.clone());
    out.extend(it.note.clone());
    out.join("; ")
}

/// A cell of a table; an empty one is told as such.
fn cell(it: Option<&str>) -> Line {
    match it {
        Some(it) if !it.trim().is_empty() => line(it),
        _ => line("–"),
    }
}

fn typed(it: impl Into<String>) -> Words {
    Words::Typed(it.into())
}

fn strong(it: impl Into<String>) -> Words {
    Words::Strong(it.into())
}

fn nothing(what: &str) -> Block {
    Block::Paragraph(line(what))
}
