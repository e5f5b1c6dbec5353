//! How probable each candidate is, and which observation speaks for or against it.

use super::Figure;
use super::svg::{BOLD, FAINT, FULL, Hatch, INK, LETTER, PALE, Svg, lines_of, width};
use crate::answer::{decibels, percent};

/// What is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bars {
    /// Candidates, most probable first.
    pub bars: Vec<Bar>,
    /// Probability that it is none of them, 0 to 1.
    pub none: f64,
    /// Observations, in the order of the weights of each candidate.
    pub observations: Vec<String>,
}

/// A candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct Bar {
    /// Name.
    pub name: String,
    /// Probability, 0 to 1.
    pub share: f64,
    /// Probability before anything was seen, 0 to 1.
    pub before: f64,
    /// What each observation says of it.
    pub weights: Vec<Weight>,
}

/// The weight of one observation for one candidate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weight {
    /// Decibels; for where positive.
    pub db: f64,
    /// Whether anything is recorded.
    pub recorded: bool,
}

/// Most candidates whose evidence is drawn: more columns would not be legible on a narrow page.
const COLUMNS: usize = 4;
/// A weight of as many decibels fills its cell (a factor of 100 in the odds).
const FULL_DB: f64 = 20.0;

/// Height of a bar with its name.
const ROW: f64 = 26.0;

/// Whole decibels; nought has no sign.
fn signed(db: f64) -> String {
    if db.abs() < 0.5 {
        "0".to_owned()
    } else {
        format!("{db:+.0}")
    }
}

/// Draws the bars, and below them the evidence for the first four candidates.
#[must_use]
pub fn bars(id: &str, what: &Bars) -> Figure {
    const WIDTH: f64 = 640.0;
    const LABEL: f64 = 190.0;
    const SCALE: f64 = WIDTH - LABEL - 90.0;
    let mut svg = Svg::new(id, WIDTH);
    let line = format!("stroke=\"{INK}\" stroke-width=\"1\"");
    let mut y = 14.0;
    let mut told = Vec::new();
    let none = svg.hatch(Hatch::Rising);
    for (k, bar) in what.bars.iter().enumerate() {
        let name = format!("{}. {}", k + 1, bar.name);
        let names = lines_of(&name, LABEL - 14.0, LETTER * BOLD, 2);
        for (k, name) in names.iter().enumerate() {
            let base = y + 17.0 + k as f64 * LETTER * 1.15;
            svg.text(8.0, base, name, "font-weight=\"600\"");
        }
        svg.rect(
            LABEL,
            y + 4.0,
            SCALE * bar.share.clamp(0.0, 1.0),
            16.0,
            FULL,
            &line,
        );
        let before = LABEL + SCALE * bar.before.clamp(0.0, 1.0);
        svg.line(
            (before, y + 1.0),
            (before, y + 23.0),
            &format!("stroke=\"{INK}\" stroke-width=\"1.5\" stroke-dasharray=\"2 2\""),
        );
        let end = before.max(LABEL + SCALE * bar.share);
        svg.text(
            end + 8.0,
            y + 17.0,
            &percent(bar.share),
            "font-weight=\"600\"",
        );
        told.push(format!(
            "{}. {} {} (before the observations {})",
            k + 1,
            bar.name,
            percent(bar.share),
            percent(bar.before)
        ));
        y += ROW + (names.len() - 1) as f64 * LETTER * 1.15;
    }
    svg.text(8.0, y + 17.0, "none of these", "");
    svg.rect(
        LABEL,
        y + 4.0,
        SCALE * what.none.clamp(0.0, 1.0),
        16.0,
        &none,
        &line,
    );
    svg.text(
        LABEL + SCALE * what.none + 8.0,
        y + 17.0,
        &percent(what.none),
        "",
    );
    told.push(format!("none of these {}", percent(what.none)));
    svg.line((LABEL, 10.0), (LABEL, y + 24.0), &line);
    y += ROW + 18.0;
    svg.text(
        8.0,
        y,
        "Dotted line: how probable it was before anything was seen.",
        &format!("fill=\"{FAINT}\""),
    );
    y += 20.0;
    let columns = what.bars.len().min(COLUMNS);
    if columns > 0 && !what.observations.is_empty() {
        y = evidence(&mut svg, what, columns, y, &mut told);
    }
    svg.finish(
        y + 4.0,
        "How probable each candidate is, and why",
        &format!("{}.", told.join("; ")),
    )
}

/// Where the columns of the evidence stand.
struct Columns {
    count: usize,
    /// Width of one.
    cell: f64,
    /// Length of a bar that fills its half.
    half: f64,
}

impl Columns {
    /// Where they begin: the observations stand before them.
    const FROM: f64 = 290.0;

    fn of(count: usize) -> Self {
        let cell = (632.0 - Self::FROM) / count as f64;
        Self {
            count,
            cell,
            half: cell / 2.0 - 30.0_f64.min(cell / 4.0),
        }
    }

    fn middle(&self, k: usize) -> f64 {
        Self::FROM + self.cell * (k as f64 + 0.5)
    }
}

/// One row an observation, one column a candidate; the bar goes right for, left against.
fn evidence(svg: &mut Svg, what: &Bars, columns: usize, top: f64, told: &mut Vec<String>) -> f64 {
    let columns = Columns::of(columns);
    let against = svg.hatch(Hatch::Falling);
    let mut y = top + 12.0;
    svg.text(
        8.0,
        y,
        "Weight of each observation, decibels",
        "font-weight=\"600\"",
    );
    for k in 0..columns.count {
        svg.text(
            columns.middle(k),
            y,
            &format!("{}.", k + 1),
            "text-anchor=\"middle\" font-weight=\"600\"",
        );
    }
    y += 8.0;
    for (row, observation) in what.observations.iter().enumerate() {
        let words = lines_of(observation, Columns::FROM - 40.0, LETTER, 3);
        let tall = 24.0 + (words.len() - 1) as f64 * LETTER * 1.15;
        if row % 2 == 0 {
            svg.rect(4.0, y, 632.0, tall, PALE, "fill-opacity=\"0.6\"");
        }
        for (k, words) in words.iter().enumerate() {
            svg.text(8.0, y + 16.5 + k as f64 * LETTER * 1.15, words, "");
        }
        let mut said = Vec::new();
        for (k, bar) in what.bars.iter().take(columns.count).enumerate() {
            let middle = columns.middle(k);
            svg.line(
                (middle, y + 3.0),
                (middle, y + 21.0),
                &format!("stroke=\"{INK}\" stroke-width=\"1\""),
            );
            let Some(weight) = bar.weights.get(row) else {
                continue;
            };
            weigh(svg, *weight, (middle, y), columns.half, &against);
            said.push(if weight.recorded {
                format!("{} dB for {}", decibels(weight.db), k + 1)
            } else {
                format!("not recorded of {}", k + 1)
            });
        }
        told.push(format!("{observation}: {}", said.join(", ")));
        y += tall;
    }
    y += LETTER + 6.0;
    svg.text(
        8.0,
        y,
        "Full, to the right: for it. Hatched, to the left: against. ?: not recorded. Ten decibels: odds times ten.",
        &format!("fill=\"{FAINT}\" font-size=\"11.5\""),
    );
    y + 10.0
}

/// A weight as a bar from the middle of its cell, with its figure at the end.
fn weigh(svg: &mut Svg, weight: Weight, (middle, y): (f64, f64), half: f64, against: &str) {
    let long = half * (weight.db.abs() / FULL_DB).min(1.0);
    let text = if weight.recorded {
        signed(weight.db)
    } else {
        "?".to_owned()
    };
    let at = width(&text) / 2.0 + 4.0;
    let (from, fill, end) = if weight.db >= 0.0 {
        (middle, FULL, middle + long + at)
    } else {
        (middle - long, against, middle - long - at)
    };
    let stroke = format!("stroke=\"{INK}\" stroke-width=\"1\"");
    svg.rect(from, y + 6.0, long, 12.0, fill, &stroke);
    svg.text(end, y + 16.5, &text, "text-anchor=\"middle\"");
}
