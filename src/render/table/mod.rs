//! Tables for a terminal, readable at 80 columns and legible without colour.

mod bench;
mod blend;
mod choose;
mod compare;
mod explain;
mod find;
mod identify;
mod next;
mod remove;

use std::fmt::Write as _;

use comfy_table::{Cell, ContentArrangement, Table, presets};

pub(super) use choose::route;

use super::{safe, safe_lines};
use crate::answer::{self, Answer, Body, Explanation, Reason};
use crate::cite::citation;
use crate::model::scene::Described;

/// An answer as text, at most `width` columns wide.
#[must_use]
pub fn table(answer: &Answer, width: u16) -> String {
    written(answer, &Paper::new(width))
}

/// An answer to be listened to, or searched line by line: the same words as [`table`], without rules
/// and columns; a paragraph is one line, and each cell of a table stands on a line of its own behind
/// the head of its column.
#[must_use]
pub fn text(answer: &Answer) -> String {
    written(answer, &Paper::spoken())
}

fn written(answer: &Answer, paper: &Paper) -> String {
    let mut out = String::new();
    // The plan and the search for what emptied an answer stand in place of it; a derivation stands
    // beneath it.
    let replaced = matches!(
        answer.explanation,
        Some(Explanation::Plan(_) | Explanation::Empty { .. })
    );
    if !replaced {
        match &answer.body {
            Body::Find(it) => paper.find(&mut out, it),
            Body::Identify(it) => paper.identify(&mut out, it),
            Body::Remove(it) => paper.remove(&mut out, it),
            Body::Compare(it) => paper.compare(&mut out, it),
            Body::Choose(it) => paper.choose(&mut out, it),
            Body::Blend(it) => paper.blend(&mut out, it),
            Body::Prepare(it) => paper.prepare(&mut out, it),
            Body::Ventilate(it) => paper.ventilate(&mut out, it),
        }
    }
    if let Some(explanation) = &answer.explanation {
        if !replaced {
            out.push('\n');
        }
        paper.explain(&mut out, explanation);
    }
    for note in &answer.notes {
        paper.wrap(&mut out, "note: ", &safe(note));
    }
    if !answer.cautions.is_empty() && !replaced {
        out.push('\n');
        out.push_str("Cautions\n");
        for caution in &answer.cautions {
            paper.wrap(&mut out, "- ", caution);
        }
    }
    if !answer.sources.is_empty() && !replaced {
        out.push('\n');
        out.push_str("Sources\n");
        for source in &answer.sources {
            paper.wrap(
                &mut out,
                &format!("{}: ", source.head.id),
                &safe(&citation(source)),
            );
        }
    }
    let _ = writeln!(
        out,
        "\ncorpus {}, language edition {}",
        answer.corpus_version, answer.edition
    );
    // Names, bases and keys come from many places; a table has no colour of its own that this
    // could take away.
    safe_lines(&out)
}

pub(super) struct Paper {
    width: u16,
    /// No columns: what is read aloud has none.
    spoken: bool,
}

/// A probability in a column, where room is short.
fn percent(p: f64) -> String {
    answer::percent(p).replace("below ", "<")
}

/// The first names of a list, and how many more there are.
fn some(names: &[&str], most: usize) -> String {
    let mut text = names[..names.len().min(most)].join(", ");
    if names.len() > most {
        let _ = write!(text, " and {} more", names.len() - most);
    }
    text
}

/// Layers from the top down, each with its conditions.
fn stack(layers: &[Described]) -> String {
    let layers: Vec<String> = layers
        .iter()
        .map(|it| {
            if it.conditions.is_empty() {
                it.called.clone()
            } else {
                format!("{} ({})", it.called, it.conditions.join(", "))
            }
        })
        .collect();
    layers.join(" over ")
}

/// A table row by row, numbered, so that a listener knows where it stands. Empty cells are left out.
pub(super) fn speak(out: &mut String, table: &Table) {
    let heads: Vec<String> = table
        .header()
        .map(|row| row.cell_iter().map(Cell::content).collect())
        .unwrap_or_default();
    for (number, row) in table.row_iter().enumerate() {
        let mut lead = format!("{}. ", number + 1);
        for (column, cell) in row.cell_iter().enumerate() {
            let content = cell.content();
            let content: Vec<&str> = content.split_whitespace().collect();
            // A table that numbers its own rows.
            if content.is_empty() || (column == 0 && content == [(number + 1).to_string()]) {
                continue;
            }
            let head = heads.get(column).map_or("", String::as_str);
            let head = if head.is_empty() {
                String::new()
            } else {
                format!("{head}: ")
            };
            let _ = writeln!(out, "{lead}{head}{}", content.join(" "));
            lead = "   ".to_owned();
        }
    }
}

impl Paper {
    /// Paper of so many columns; never fewer than 40.
    pub(super) fn new(width: u16) -> Self {
        Self {
            width: width.max(40),
            spoken: false,
        }
    }

    /// Paper for a reader who listens.
    const fn spoken() -> Self {
        Self {
            width: u16::MAX,
            spoken: true,
        }
    }

    fn grid(&self, header: &[&str]) -> Table {
        let mut table = Table::new();
        table
            .load_style(presets::UTF8_HORIZONTAL_ONLY)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(self.width)
            .set_header(header.iter().map(|h| Cell::new(*h)));
        table
    }

    fn push(&self, out: &mut String, table: &Table) {
        if self.spoken {
            speak(out, table);
            return;
        }
        for line in table.lines() {
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }

    /// A reason with its basis.
    fn reason(&self, out: &mut String, lead: &str, it: &Reason) {
        self.wrap(out, lead, &format!("{} [{}]", safe(&it.text), it.basis));
    }

    /// A paragraph with a hanging indent.
    pub(super) fn wrap(&self, out: &mut String, lead: &str, text: &str) {
        let width = usize::from(self.width);
        let indent = if lead.chars().count() > 8 {
            2
        } else {
            lead.chars().count()
        };
        let mut line = lead.to_owned();
        let mut used = lead.chars().count();
        let mut fresh = true;
        for word in text.split_whitespace() {
            let length = word.chars().count();
            if !fresh && used + 1 + length > width {
                out.push_str(line.trim_end());
                out.push('\n');
                line = " ".repeat(indent);
                used = indent;
                fresh = true;
            }
            if !fresh {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += length;
            fresh = false;
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
}
