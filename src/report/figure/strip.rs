//! Whether a new material can be taken off again, from now into the years to come.

use super::Figure;
use super::svg::{BOLD, FAINT, FULL, Hatch, INK, LETTER, PALE, Svg, fit, lines_of};

/// What is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Strip {
    /// Heads of the columns: `now`, `in 25 years`.
    pub times: Vec<String>,
    /// One row a material.
    pub rows: Vec<StripRow>,
}

/// One material.
#[derive(Clone, Debug, PartialEq)]
pub struct StripRow {
    /// Name.
    pub name: String,
    /// Outlook and a word on it, one a column.
    pub cells: Vec<(Outlook, String)>,
}

/// Whether it comes off without harm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outlook {
    /// A route is on file that spares the layers.
    Open,
    /// Only after a test on this object.
    Test,
    /// Only a part of it comes off, or only by tools.
    Partly,
    /// No route that spares the layers.
    Closed,
    /// Not recorded.
    Unknown,
}

impl Outlook {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "comes off",
            Self::Test => "test first",
            Self::Partly => "only in part",
            Self::Closed => "no safe way",
            Self::Unknown => "not recorded",
        }
    }

    /// The sign for it.
    const fn sign(self) -> &'static str {
        match self {
            Self::Open => "✓",
            Self::Test => "!",
            Self::Partly => "½",
            Self::Closed => "✗",
            Self::Unknown => "?",
        }
    }
}

/// Width of the drawing.
const WIDTH: f64 = 640.0;
/// Width of the column of names.
const LABEL: f64 = 170.0;
/// Size of the letters that say what an outlook rests on.
const SMALL: f64 = 11.5;

/// Draws the strip. Each outlook has a filling, a sign and a word.
#[must_use]
pub fn strip(id: &str, strip: &Strip) -> Figure {
    let mut svg = Svg::new(id, WIDTH);
    let cells = Cells {
        width: (WIDTH - LABEL - 8.0) / strip.times.len().max(1) as f64,
        closed: svg.hatch(Hatch::Crossed),
        test: svg.hatch(Hatch::Rising),
        partly: svg.hatch(Hatch::Level),
    };
    for (k, time) in strip.times.iter().enumerate() {
        svg.text(
            cells.middle(k),
            20.0,
            &fit(time, cells.width - 6.0),
            "text-anchor=\"middle\" font-weight=\"600\"",
        );
    }
    let mut y = 30.0;
    for row in &strip.rows {
        y += cells.row(&mut svg, row, y);
        svg.line(
            (4.0, y - 2.0),
            (WIDTH - 4.0, y - 2.0),
            &format!("stroke=\"{PALE}\""),
        );
    }
    svg.finish(
        y + 6.0,
        "Whether the new materials come off again",
        &format!("{}.", told(strip).join("; ")),
    )
}

/// The strip in words, a cell each.
fn told(strip: &Strip) -> Vec<String> {
    let mut out = Vec::new();
    for row in &strip.rows {
        for (k, (outlook, word)) in row.cells.iter().enumerate() {
            let time = strip.times.get(k).map_or("", String::as_str);
            let mut text = format!("{}, {time}: {}", row.name, outlook.word());
            if !word.is_empty() {
                text.push_str(&format!(" ({word})"));
            }
            out.push(text);
        }
    }
    out
}

/// How cells are drawn.
struct Cells {
    width: f64,
    closed: String,
    test: String,
    partly: String,
}

impl Cells {
    /// The middle of a column, from the left.
    fn middle(&self, column: usize) -> f64 {
        LABEL + self.width * (column as f64 + 0.5)
    }

    fn fill(&self, outlook: Outlook) -> &str {
        match outlook {
            Outlook::Open => FULL,
            Outlook::Test => &self.test,
            Outlook::Partly => &self.partly,
            Outlook::Closed => &self.closed,
            Outlook::Unknown => "#fff",
        }
    }

    /// Draws a row at a height; returns how tall it came out.
    fn row(&self, svg: &mut Svg, row: &StripRow, y: f64) -> f64 {
        let names = lines_of(&row.name, LABEL - 14.0, LETTER * BOLD, 3);
        for (k, name) in names.iter().enumerate() {
            let base = y + 20.0 + k as f64 * LETTER * 1.2;
            svg.text(8.0, base, name, "font-weight=\"600\"");
        }
        let mut deepest = names.len().saturating_sub(2);
        for (k, (outlook, word)) in row.cells.iter().enumerate() {
            let lines = self.cell(svg, k, y, *outlook, word);
            deepest = deepest.max(lines.saturating_sub(1));
        }
        62.0 + deepest as f64 * SMALL * 1.15
    }

    /// Draws a cell; returns over how many lines its last words run.
    fn cell(&self, svg: &mut Svg, column: usize, y: f64, outlook: Outlook, word: &str) -> usize {
        let x = LABEL + self.width * column as f64;
        let dash = if outlook == Outlook::Unknown {
            " stroke-dasharray=\"4 3\""
        } else {
            ""
        };
        svg.rect(
            x + 2.0,
            y + 2.0,
            self.width - 4.0,
            22.0,
            self.fill(outlook),
            &format!("stroke=\"{INK}\" stroke-width=\"1.2\"{dash}"),
        );
        let middle = x + self.width / 2.0;
        svg.circle(
            (middle, y + 13.0),
            9.0,
            &format!("fill=\"#fff\" stroke=\"{INK}\""),
        );
        svg.text(
            middle,
            y + 17.8,
            outlook.sign(),
            "text-anchor=\"middle\" font-weight=\"700\"",
        );
        svg.text(
            middle,
            y + 39.0,
            outlook.word(),
            "text-anchor=\"middle\" font-size=\"12\"",
        );
        let lines = lines_of(word, self.width - 8.0, SMALL, 3);
        for (k, line) in lines.iter().enumerate() {
            svg.text(
                middle,
                y + 53.0 + k as f64 * SMALL * 1.15,
                line,
                &format!("text-anchor=\"middle\" font-size=\"{SMALL}\" fill=\"{FAINT}\""),
            );
        }
        lines.len()
    }
}
