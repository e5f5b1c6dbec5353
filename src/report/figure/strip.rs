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
}

/// Draws the strip. Each outlook has a filling, a sign and a word.
#[must_use]
pub fn strip(id: &str, strip: &Strip) -> Figure {
    const WIDTH: f64 = 640.0;
    const LABEL: f64 = 170.0;
    const SMALL: f64 = 11.5;
    let columns = strip.times.len().max(1) as f64;
    let cell = (WIDTH - LABEL - 8.0) / columns;
    let mut svg = Svg::new(id, WIDTH);
    let closed = svg.hatch(Hatch::Crossed);
    let test = svg.hatch(Hatch::Rising);
    let partly = svg.hatch(Hatch::Level);
    for (k, time) in strip.times.iter().enumerate() {
        svg.text(
            LABEL + cell * (k as f64 + 0.5),
            20.0,
            &fit(time, cell - 6.0),
            "text-anchor=\"middle\" font-weight=\"600\"",
        );
    }
    let mut y = 30.0;
    let mut told = Vec::new();
    for row in &strip.rows {
        let names = lines_of(&row.name, LABEL - 14.0, LETTER * BOLD, 3);
        for (k, name) in names.iter().enumerate() {
            let base = y + 20.0 + k as f64 * LETTER * 1.2;
            svg.text(8.0, base, name, "font-weight=\"600\"");
        }
        let mut deepest = names.len().saturating_sub(2);
        for (k, (outlook, word)) in row.cells.iter().enumerate() {
            let x = LABEL + cell * k as f64;
            let fill = match outlook {
                Outlook::Open => FULL,
                Outlook::Test => &test,
                Outlook::Partly => &partly,
                Outlook::Closed => &closed,
                Outlook::Unknown => "#fff",
            };
            svg.rect(
                x + 2.0,
                y + 2.0,
                cell - 4.0,
                22.0,
                fill,
                &format!(
                    "stroke=\"{INK}\" stroke-width=\"1.2\"{}",
                    if *outlook == Outlook::Unknown {
                        " stroke-dasharray=\"4 3\""
                    } else {
                        ""
                    }
                ),
            );
            let middle = x + cell / 2.0;
            let sign = match outlook {
                Outlook::Open => "✓",
                Outlook::Test => "!",
                Outlook::Partly => "½",
                Outlook::Closed => "✗",
                Outlook::Unknown => "?",
            };
            svg.circle(
                (middle, y + 13.0),
                9.0,
                &format!("fill=\"#fff\" stroke=\"{INK}\""),
            );
            svg.text(
                middle,
                y + 17.8,
                sign,
                "text-anchor=\"middle\" font-weight=\"700\"",
            );
            svg.text(
                middle,
                y + 39.0,
                outlook.word(),
                "text-anchor=\"middle\" font-size=\"12\"",
            );
            let words = lines_of(word, cell - 8.0, SMALL, 3);
            deepest = deepest.max(words.len().saturating_sub(1));
            for (k, word) in words.iter().enumerate() {
                svg.text(
                    middle,
                    y + 53.0 + k as f64 * SMALL * 1.15,
                    word,
                    &format!("text-anchor=\"middle\" font-size=\"{SMALL}\" fill=\"{FAINT}\""),
                );
            }
            let time = strip.times.get(k).map_or("", String::as_str);
            told.push(format!(
                "{}, {time}: {}{}",
                row.name,
                outlook.word(),
                if word.is_empty() {
                    String::new()
                } else {
                    format!(" ({word})")
                }
            ));
        }
        y += 62.0 + deepest as f64 * SMALL * 1.15;
        svg.line(
            (4.0, y - 2.0),
            (WIDTH - 4.0, y - 2.0),
            &format!("stroke=\"{PALE}\""),
        );
    }
    svg.finish(
        y + 6.0,
        "Whether the new materials come off again",
        &format!("{}.", told.join("; ")),
    )
}
