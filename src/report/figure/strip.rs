//! Whether a new material can be taken off again, from now into the years to come.

use super::Figure;
use super::svg::{FAINT, FULL, Hatch, INK, PALE, Svg, fit};

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
        svg.text(
            8.0,
            y + 28.0,
            &fit(&row.name, LABEL - 14.0),
            "font-weight=\"600\"",
        );
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
            svg.text(
                middle,
                y + 53.0,
                &fit(word, cell - 4.0),
                &format!("text-anchor=\"middle\" font-size=\"11.5\" fill=\"{FAINT}\""),
            );
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
        y += 62.0;
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
