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

use comfy_table::{Cell, ColumnConstraint, ContentArrangement, Row, Table, Width, presets};

pub(super) use choose::route;

use super::{safe, safe_lines};
use crate::answer::{self, Answer, Body, Explanation, Extent, Reason};
use crate::cite::{citation, reference};
use crate::model::Source;
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

/// Bytes of most answers, so that few are copied while they grow.
const PAGE: usize = 24 << 10;

fn written(answer: &Answer, paper: &Paper) -> String {
    let mut out = String::with_capacity(PAGE);
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
    let (of_keys, whole) = match &answer.body {
        // A source that is looked up is told whole.
        Body::Find(it) => (
            it.is_of_keys(),
            matches!(it.extent, Extent::Brief | Extent::Whole),
        ),
        _ => (false, false),
    };
    if !answer.sources.is_empty() && !replaced && !of_keys {
        // What stands behind figures that are not shown stands in the data form.
        let named = named(&out, &answer.sources);
        let rest = answer.sources.len() - named.len();
        out.push('\n');
        out.push_str(match whole {
            true => "Sources, and what of them was read\n",
            false => "Sources\n",
        });
        for source in named {
            let text = match whole {
                true => citation(source),
                false => reference(source),
            };
            paper.wrap(&mut out, &format!("{}: ", source.head.id), &safe(&text));
        }
        let is_short = matches!(&answer.body, Body::Identify(it) if it.candidates.len() > 1);
        if is_short {
            let text = "More stand behind the other candidates (--format json).";
            paper.wrap(&mut out, "", text);
        } else if rest > 0 {
            let text = format!("{rest} more stand behind what is not shown (--format json)");
            paper.wrap(&mut out, "", &text);
        }
    }
    let _ = writeln!(
        out,
        "\ncorpus {}, language edition {}",
        answer.corpus_version, answer.edition
    );
    // Names, bases and keys come from many places; a table has no colour of its own that this
    // could take away.
    safe_lines(out)
}

/// Sources named behind one statement.
const KEYS_NAMED: usize = 4;

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

/// Keys of the sources that something rests on, or, where there are none, its basis in a word.
fn keys(sources: &[String], basis: &str) -> String {
    if sources.is_empty() {
        return basis.to_owned();
    }
    let keys: Vec<&str> = sources.iter().map(String::as_str).collect();
    some(&keys, KEYS_NAMED)
}

/// The same for what a hand does: what is recalled wants a crumb first.
fn grounds(sources: &[String], basis: &str) -> String {
    match keys(sources, basis) {
        recalled if recalled == "memory" => "memory: check on a crumb".to_owned(),
        other => other,
    }
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

/// Columns by which the second line of a paragraph stands in: two further than the lead where that is a
/// head with its colon or long, else beneath the text.
fn hang(lead: &str) -> usize {
    let whole = lead.chars().count();
    let blanks = whole - lead.trim_start().chars().count();
    if lead.trim_end().ends_with(':') || whole > 8 {
        blanks + 2
    } else {
        whole
    }
}

/// A text in which long words end a line at each of their hyphens that has enough on both sides.
fn parted(text: &str) -> String {
    const LONG: usize = 14;
    const LEAST: usize = 8;
    const REST: usize = 4;
    let words = text.split_inclusive(char::is_whitespace).map(|word| {
        let mut out = String::new();
        let mut line = 0;
        let letters: Vec<char> = word.chars().collect();
        for (at, letter) in letters.iter().enumerate() {
            out.push(*letter);
            line += 1;
            let rest = letters.len() - at - 1;
            if *letter == '-' && letters.len() > LONG && line >= LEAST && rest >= REST {
                out.push('\n');
                line = 0;
            }
        }
        out
    });
    words.collect()
}

/// The sources that a text names by their keys, which are plain ASCII; they come in the order of those.
fn named<'a>(text: &str, sources: &'a [Source]) -> Vec<&'a Source> {
    /// Lengths that are told apart.
    const LONGEST: usize = 63;
    // By first letter, the lengths of the keys, a bit each: few words of a page need be looked for.
    let mut lengths = [0_u64; 256];
    for key in sources.iter().map(|source| source.head.id.as_bytes()) {
        if let Some(first) = key.first() {
            lengths[usize::from(*first)] |= 1 << key.len().min(LONGEST);
        }
    }
    let mut is_part = [false; 256];
    for byte in (b'0'..=b'9')
        .chain(b'a'..=b'z')
        .chain(b'A'..=b'Z')
        .chain([b'-', b'_'])
    {
        is_part[usize::from(byte)] = true;
    }
    let mut is_named = vec![false; sources.len()];
    // Two fifths of a page are rules.
    let lines = text.lines().filter(|line| !line.starts_with(['─', '═']));
    let words = lines.flat_map(|line| line.as_bytes().split(|byte| !is_part[usize::from(*byte)]));
    for word in words {
        let of_first = word.first().map_or(0, |first| lengths[usize::from(*first)]);
        if of_first >> word.len().min(LONGEST) & 1 == 1
            && let Ok(at) = sources.binary_search_by(|it| it.head.id.as_bytes().cmp(word))
        {
            is_named[at] = true;
        }
    }
    let both = sources.iter().zip(is_named);
    both.filter_map(|(source, is)| is.then_some(source))
        .collect()
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

    fn push(&self, out: &mut String, table: &mut Table) {
        if self.spoken {
            speak(out, table);
            return;
        }
        if self.keep_words_whole(table) {
            for line in table.lines() {
                out.push_str(line.trim_end());
                out.push('\n');
            }
            return;
        }
        let mut rows = String::new();
        speak(&mut rows, table);
        for row in rows.lines() {
            // The head of a column leads; its cell hangs under it.
            let at = row.find(": ").map_or(0, |at| at + 2);
            self.wrap(out, &row[..at], &row[at..]);
        }
    }

    /// Makes every column at least as wide as its longest word, so that none is broken: where the paper
    /// has no room for that with the columns closer together, and then with long words parted at their
    /// hyphens. False where even so there is none.
    fn keep_words_whole(&self, table: &mut Table) -> bool {
        if self.widen(table) {
            return true;
        }
        let cells = |row: &Row| -> Vec<String> {
            let parted = |cell: &Cell| parted(&cell.content());
            row.cell_iter().map(parted).collect()
        };
        let mut close = Table::new();
        close
            .load_style(table.style())
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(self.width)
            .set_header(table.header().map(cells).unwrap_or_default())
            .add_rows(table.row_iter().map(cells));
        let fits = self.widen(&mut close);
        if fits {
            *table = close;
        }
        fits
    }

    /// Sets the least width of each column by its longest word, if all of them have room.
    fn widen(&self, table: &mut Table) -> bool {
        let mut longest: Vec<usize> = Vec::new();
        for row in table.header().into_iter().chain(table.row_iter()) {
            for (column, cell) in row.cell_iter().enumerate() {
                let content = cell.content();
                let words = content.split_whitespace().map(|word| word.chars().count());
                let most = words.max().unwrap_or(0);
                match longest.get_mut(column) {
                    Some(so_far) => *so_far = most.max(*so_far),
                    None => longest.push(most),
                }
            }
        }
        // A blank between two columns, and one or two within.
        for within in [2, 1] {
            let needed: usize = longest.iter().map(|word| word + within + 1).sum();
            if needed > usize::from(self.width) + 1 {
                continue;
            }
            for (column, word) in table.column_iter_mut().zip(&longest) {
                if within == 1 {
                    column.set_padding((0, 1));
                }
                let width = u16::try_from(word + within).unwrap_or(u16::MAX);
                column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(width)));
            }
            return true;
        }
        false
    }

    /// A reason with its basis.
    fn reason(&self, out: &mut String, lead: &str, it: &Reason) {
        self.wrap(out, lead, &format!("{} [{}]", safe(&it.text), it.basis));
    }

    /// A paragraph with a hanging indent.
    pub(super) fn wrap(&self, out: &mut String, lead: &str, text: &str) {
        self.wrap_beneath(out, lead, hang(lead), text);
    }

    /// A paragraph of which all lines but the first stand in so far.
    fn wrap_beneath(&self, out: &mut String, lead: &str, indent: usize, text: &str) {
        let width = usize::from(self.width);
        let letters = |text: &str| match text.is_ascii() {
            true => text.len(),
            false => text.chars().count(),
        };
        // A line may be all lead: it ends without the blanks of that.
        let end = |out: &mut String| {
            out.truncate(out.trim_end_matches(' ').len());
            out.push('\n');
        };
        out.push_str(lead);
        let mut used = letters(lead);
        let mut fresh = true;
        let mut put = |word: &str, length: usize| {
            if !fresh && used + 1 + length > width {
                end(out);
                out.extend(std::iter::repeat_n(' ', indent));
                used = indent;
                fresh = true;
            }
            if !fresh {
                out.push(' ');
                used += 1;
            }
            out.push_str(word);
            used += length;
            fresh = false;
        };
        // Nearly every text is ASCII, of which words are told by their bytes.
        if text.is_ascii() {
            let words = text.split_ascii_whitespace();
            words.for_each(|word| put(word, word.len()));
        } else {
            let words = text.split_whitespace();
            words.for_each(|word| put(word, letters(word)));
        }
        end(out);
    }
}
