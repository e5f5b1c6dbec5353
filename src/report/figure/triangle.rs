//! The solubility triangle with the axes of Teas (Teas, J. P., 1968, *Journal of Paint Technology*
//! 40, 19-25): shares of dispersion, polarity and hydrogen bonding that sum to 100.

use super::Figure;
use super::svg::{FAINT, Hatch, INK, LETTER, Svg, lines_of};
use crate::order::Arrange;

/// What is drawn. Every place is a triple of fractions in per cent: dispersion, polarity, hydrogen
/// bonding.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Triangle {
    /// Liquids.
    pub dots: Vec<Dot>,
    /// Regions: what is to be dissolved, what is to be spared.
    pub regions: Vec<Region>,
    /// The blend, if there is one.
    pub blend: Option<(f64, f64, f64)>,
    /// Where the blend goes as it dries.
    pub path: Vec<(f64, f64, f64)>,
    /// A remark below the figure; may be empty.
    pub remark: String,
}

/// A liquid.
#[derive(Clone, Debug, PartialEq)]
pub struct Dot {
    /// Name.
    pub name: String,
    /// Fractions.
    pub at: (f64, f64, f64),
    /// How it is marked.
    pub mark: Mark,
}

/// Marks of liquids.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Of interest: a full dot.
    Live,
    /// Ruled out: a cross.
    Out,
    /// For comparison: an open ring.
    Other,
}

/// A region.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// What it is of.
    pub name: String,
    /// Target or protected.
    pub kind: RegionKind,
    /// Its outline.
    pub outline: Vec<(f64, f64, f64)>,
}

/// What a region is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RegionKind {
    /// To be dissolved: full outline.
    Target,
    /// To be spared: dashed outline, hatched.
    Protected,
}

/// Width of the drawing.
const WIDTH: f64 = 640.0;
/// The triangle: its side, and where its box begins.
const SIDE: f64 = 380.0;
const LEFT: f64 = 34.0;
const TOP: f64 = 30.0;
/// Height of an equilateral triangle of that side: half the root of three.
const TALL: f64 = SIDE * 0.866_025_403_784_438_6;
/// Corners: all dispersion at the lower left, all polarity at the top, all bonding at the right.
const CORNERS: [(f64, f64); 3] = [
    (LEFT, TOP + TALL),
    (LEFT + SIDE / 2.0, TOP),
    (LEFT + SIDE, TOP + TALL),
];
/// Where the key begins.
const KEY: f64 = LEFT + SIDE + 20.0;

/// Draws the triangle with a numbered key at its side.
#[must_use]
pub fn triangle(id: &str, what: &Triangle) -> Figure {
    let mut drawing = Drawing::new(id, what);
    drawing.axes();
    drawing.regions();
    drawing.path();
    drawing.key_of_regions();
    drawing.dots();
    drawing.blend();
    drawing.finish()
}

/// A place in the drawing.
fn place((d, p, h): (f64, f64, f64)) -> (f64, f64) {
    let sum = d + p + h;
    let (p, h) = if sum > 0.0 {
        (p / sum, h / sum)
    } else {
        (0.0, 0.0)
    };
    (LEFT + SIDE * (h + p / 2.0), TOP + TALL * (1.0 - p))
}

/// A triangle that is being drawn.
struct Drawing<'a> {
    what: &'a Triangle,
    svg: Svg,
    /// Hatching of what is to be spared.
    spared: String,
    /// Base line of the next row of the key.
    row: f64,
    /// What is drawn, in words.
    told: Vec<String>,
}

impl<'a> Drawing<'a> {
    fn new(id: &str, what: &'a Triangle) -> Self {
        let mut svg = Svg::new(id, WIDTH);
        let spared = svg.hatch(Hatch::Rising);
        Self {
            what,
            svg,
            spared,
            row: TOP + 6.0,
            told: Vec::new(),
        }
    }

    /// Where the blend is when it is put on, and where it is nearly dry.
    fn ends(&self) -> [Option<(f64, f64)>; 2] {
        let end = self.what.path.last().filter(|_| self.what.path.len() > 1);
        [self.what.blend.map(place), end.map(|at| place(*at))]
    }

    /// The grid, its figures, the sides and what the corners mean.
    fn axes(&mut self) {
        let faint = format!("stroke=\"{FAINT}\" stroke-width=\"0.6\" stroke-dasharray=\"1 3\"");
        for k in 1..10 {
            let t = f64::from(k) * 10.0;
            self.svg.line(
                place((100.0 - t, t, 0.0)),
                place((0.0, t, 100.0 - t)),
                &faint,
            );
            self.svg.line(
                place((t, 100.0 - t, 0.0)),
                place((t, 0.0, 100.0 - t)),
                &faint,
            );
            self.svg.line(
                place((100.0 - t, 0.0, t)),
                place((0.0, 100.0 - t, t)),
                &faint,
            );
            if k % 2 == 0 {
                let small = "font-size=\"11\"";
                let (x, y) = place((100.0 - t, t, 0.0));
                self.svg.text(
                    x - 6.0,
                    y + 3.0,
                    &format!("{t:.0}"),
                    &format!("text-anchor=\"end\" {small}"),
                );
                let (x, y) = place((0.0, 100.0 - t, t));
                self.svg.text(x + 6.0, y + 3.0, &format!("{t:.0}"), small);
                let (x, y) = place((t, 0.0, 100.0 - t));
                self.svg.text(
                    x,
                    y + 14.0,
                    &format!("{t:.0}"),
                    &format!("text-anchor=\"middle\" {small}"),
                );
            }
        }
        self.svg.path(
            &CORNERS,
            true,
            &format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.5\""),
        );
        let (x, y) = CORNERS[1];
        self.svg.text(
            x,
            y - 10.0,
            "polarity",
            "text-anchor=\"middle\" font-weight=\"600\"",
        );
        self.svg
            .text(4.0, TOP + TALL + 32.0, "dispersion", "font-weight=\"600\"");
        self.svg.text(
            LEFT + SIDE,
            TOP + TALL + 32.0,
            "hydrogen bonding",
            "text-anchor=\"middle\" font-weight=\"600\"",
        );
    }

    fn regions(&mut self) {
        let (what, spared) = (self.what, &self.spared);
        // What is to be spared lies under what is to be dissolved, whose line must stay whole.
        let mut regions: Vec<&Region> = what.regions.iter().collect();
        regions.arrange_by_key(|region| region.kind == RegionKind::Target);
        for region in regions {
            let outline: Vec<(f64, f64)> = region.outline.iter().map(|at| place(*at)).collect();
            if outline.is_empty() {
                continue;
            }
            let (extra, word) = match region.kind {
                RegionKind::Target => (
                    format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"3\""),
                    "to be dissolved",
                ),
                RegionKind::Protected => (
                    format!(
                        "fill=\"{spared}\" fill-opacity=\"0.5\" stroke=\"{INK}\" \
                         stroke-width=\"1.5\" stroke-dasharray=\"6 4\""
                    ),
                    "to be spared",
                ),
            };
            self.svg.path(&outline, true, &extra);
            self.told.push(format!("region of {}, {word}", region.name));
        }
    }

    /// The way that the blend takes as it dries.
    fn path(&mut self) {
        let what = self.what;
        if what.path.len() > 1 {
            let path: Vec<(f64, f64)> = what.path.iter().map(|at| place(*at)).collect();
            self.svg.path(
                &path,
                false,
                "fill=\"none\" stroke=\"#fff\" stroke-width=\"5\"",
            );
            self.svg.path(
                &path,
                false,
                &format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\""),
            );
        }
    }

    fn key_of_regions(&mut self) {
        let (what, spared) = (self.what, &self.spared);
        for region in &what.regions {
            let (mark, word) = match region.kind {
                RegionKind::Target => (
                    format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"3\""),
                    "dissolve",
                ),
                RegionKind::Protected => (
                    format!(
                        "fill=\"{spared}\" stroke=\"{INK}\" stroke-width=\"1.5\" stroke-dasharray=\"6 4\""
                    ),
                    "spare",
                ),
            };
            self.svg.path(
                &[
                    (KEY, self.row - 10.0),
                    (KEY + 18.0, self.row - 10.0),
                    (KEY + 18.0, self.row + 2.0),
                    (KEY, self.row + 2.0),
                ],
                true,
                &mark,
            );
            self.row = told_beside(
                &mut self.svg,
                KEY + 26.0,
                self.row,
                &format!("{word}: {}", region.name),
            );
            self.row += LETTER * 0.2;
        }
    }

    /// The liquids, each with its number, and their key.
    fn dots(&mut self) {
        let what = self.what;
        let mut marks: Vec<(f64, f64)> = what.dots.iter().map(|dot| place(dot.at)).collect();
        let [blend, end] = self.ends();
        marks.extend(blend);
        marks.extend(end);
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for (k, dot) in what.dots.iter().enumerate() {
            let at = place(dot.at);
            mark(&mut self.svg, at, dot.mark);
            let number = (k + 1).to_string();
            let label = self.label(at, &number, &marks, &mut taken);
            self.svg.text(
                label.0,
                label.1,
                &number,
                "font-size=\"11.5\" font-weight=\"600\" stroke=\"#fff\" stroke-width=\"3\" paint-order=\"stroke\"",
            );
            mark(&mut self.svg, (KEY + 5.0, self.row - 4.5), dot.mark);
            self.row = told_beside(
                &mut self.svg,
                KEY + 16.0,
                self.row,
                &format!("{} {}", k + 1, dot.name),
            );
            let word = match dot.mark {
                Mark::Live => "",
                Mark::Out => ", ruled out",
                Mark::Other => ", for comparison",
            };
            self.told.push(format!(
                "{} at {:.0}, {:.0}, {:.0}{word}",
                dot.name, dot.at.0, dot.at.1, dot.at.2
            ));
        }
    }

    /// Where a number stands that belongs to a mark: where neither a mark, another number nor a side of the
    /// triangle is; where all places are taken, where least is in its way.
    fn label(
        &self,
        at: (f64, f64),
        number: &str,
        marks: &[(f64, f64)],
        taken: &mut Vec<(f64, f64)>,
    ) -> (f64, f64) {
        let wide = number.len() as f64 * 7.5;
        // The middle of a number lies right of its start and above its base line.
        let middle = |label: (f64, f64)| (label.0 + wide / 2.0, label.1 - 4.0);
        let in_the_way = |label: (f64, f64)| {
            let own = middle(label);
            let near = |it: (f64, f64), dx: f64, dy: f64| {
                (it.0 - own.0).abs() < dx && (it.1 - own.1).abs() < dy
            };
            let numbers = taken
                .iter()
                .filter(|it| near(**it, wide + 2.0, 11.0))
                .count();
            let marked = marks
                .iter()
                .filter(|it| near(**it, wide / 2.0 + 6.0, 10.0))
                .count();
            let sides = [(0, 1), (1, 2), (2, 0)]
                .into_iter()
                .filter(|(a, b)| distance(own, CORNERS[*a], CORNERS[*b]) < 7.0)
                .count();
            4 * numbers + 3 * marked + sides
        };
        let label = [
            (7.0, 4.5),
            (-7.0 - wide, 4.5),
            (-wide / 2.0, -8.0),
            (-wide / 2.0, 17.0),
            (6.0, -6.0),
            (6.0, 14.0),
            (-6.0 - wide, -6.0),
            (-6.0 - wide, 14.0),
            (16.0, 4.5),
            (-16.0 - wide, 4.5),
            (-wide / 2.0, -19.0),
            (-wide / 2.0, 28.0),
        ]
        .into_iter()
        .map(|(dx, dy)| (at.0 + dx, at.1 + dy))
        .min_by_key(|label| in_the_way(*label))
        .unwrap_or((at.0 + 7.0, at.1 + 4.5));
        taken.push(middle(label));
        label
    }

    fn blend(&mut self) {
        let what = self.what;
        let [blend_at, end_at] = self.ends();
        if let (Some(blend), Some((x, y))) = (what.blend, blend_at) {
            let diamond = |x: f64, y: f64| [(x, y - 7.0), (x + 7.0, y), (x, y + 7.0), (x - 7.0, y)];
            let drawn = format!("fill=\"#fff\" stroke=\"{INK}\" stroke-width=\"2\"");
            self.svg.path(&diamond(x, y), true, &drawn);
            self.svg
                .path(&diamond(KEY + 7.0, self.row - 4.5), true, &drawn);
            self.row = told_beside(
                &mut self.svg,
                KEY + 20.0,
                self.row,
                "the blend, as it is put on",
            );
            self.told.push(format!(
                "the blend at {:.0}, {:.0}, {:.0}",
                blend.0, blend.1, blend.2
            ));
        }
        if let (Some((x, y)), Some(last)) = (end_at, what.path.last()) {
            let edge = "stroke=\"#fff\" stroke-width=\"1\"";
            self.svg.rect(x - 3.5, y - 3.5, 7.0, 7.0, INK, edge);
            self.svg
                .rect(KEY + 3.5, self.row - 8.0, 7.0, 7.0, INK, edge);
            self.row = told_beside(&mut self.svg, KEY + 20.0, self.row, "the blend, nearly dry");
            self.told.push(format!(
                "nearly dry at {:.0}, {:.0}, {:.0}",
                last.0, last.1, last.2
            ));
        }
    }

    /// The remarks at the foot.
    fn finish(mut self) -> Figure {
        let what = self.what;
        if what.dots.iter().any(|d| d.mark == Mark::Out) {
            self.svg.text(
                KEY,
                self.row + 4.0,
                "cross: ruled out here",
                &format!("fill=\"{FAINT}\""),
            );
            self.row += LETTER * 1.4;
        }
        let mut below = (TOP + TALL + 54.0).max(self.row + 12.0);
        self.svg.text(
            8.0,
            below,
            "Per cent. Left side: polarity. Right side: hydrogen bonding. Foot: dispersion.",
            &format!("fill=\"{FAINT}\" font-size=\"11.5\""),
        );
        below += LETTER * 1.4;
        if !what.remark.is_empty() {
            let lines = self.svg.lines(
                8.0,
                below,
                &what.remark,
                WIDTH - 16.0,
                &format!("fill=\"{FAINT}\""),
            );
            below += lines as f64 * LETTER * 1.25;
        }
        self.svg.finish(
            below + 4.0,
            "Solubility triangle",
            &format!(
                "Fractions of dispersion, polarity and hydrogen bonding in per cent. {}.{}{}",
                self.told.join("; "),
                if what.remark.is_empty() { "" } else { " " },
                what.remark
            ),
        )
    }
}

/// Words of the key beside the triangle; returns the base line of the next row.
fn told_beside(svg: &mut Svg, x: f64, mut row: f64, words: &str) -> f64 {
    for line in lines_of(words, WIDTH - x - 6.0, LETTER, 2) {
        svg.text(x, row, &line, "");
        row += LETTER * 1.2;
    }
    row + LETTER * 0.2
}

/// Distance of a point from a stretch.
fn distance(at: (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let along = ((at.0 - from.0) * dx + (at.1 - from.1) * dy) / (dx * dx + dy * dy);
    let along = along.clamp(0.0, 1.0);
    (at.0 - from.0 - along * dx).hypot(at.1 - from.1 - along * dy)
}

fn mark(svg: &mut Svg, at: (f64, f64), mark: Mark) {
    match mark {
        Mark::Live => svg.circle(at, 4.5, &format!("fill=\"{INK}\" stroke=\"#fff\"")),
        Mark::Other => svg.circle(at, 4.0, &format!("fill=\"#fff\" stroke=\"{INK}\"")),
        Mark::Out => {
            let line = format!("stroke=\"{INK}\" stroke-width=\"2\"");
            svg.line((at.0 - 4.0, at.1 - 4.0), (at.0 + 4.0, at.1 + 4.0), &line);
            svg.line((at.0 - 4.0, at.1 + 4.0), (at.0 + 4.0, at.1 - 4.0), &line);
        }
    }
}
