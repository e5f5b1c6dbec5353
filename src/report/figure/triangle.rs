//! The solubility triangle with the axes of Teas (Teas, J. P., 1968, *Journal of Paint Technology*
//! 40, 19-25): shares of dispersion, polarity and hydrogen bonding that sum to 100.

use super::Figure;
use super::svg::{FAINT, Hatch, INK, LETTER, Svg, lines_of};

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

/// Draws the triangle with a numbered key at its side.
#[must_use]
pub fn triangle(id: &str, what: &Triangle) -> Figure {
    const SIDE: f64 = 380.0;
    const LEFT: f64 = 34.0;
    const TOP: f64 = 30.0;
    let tall = SIDE * 3.0_f64.sqrt() / 2.0;
    let mut svg = Svg::new(id, WIDTH);
    // Corners: all dispersion at the lower left, all polarity at the top, all bonding at the right.
    let place = |(d, p, h): (f64, f64, f64)| {
        let sum = d + p + h;
        let (p, h) = if sum > 0.0 {
            (p / sum, h / sum)
        } else {
            (0.0, 0.0)
        };
        (LEFT + SIDE * (h + p / 2.0), TOP + tall * (1.0 - p))
    };
    let faint = format!("stroke=\"{FAINT}\" stroke-width=\"0.6\" stroke-dasharray=\"1 3\"");
    for k in 1..10 {
        let t = f64::from(k) * 10.0;
        svg.line(
            place((100.0 - t, t, 0.0)),
            place((0.0, t, 100.0 - t)),
            &faint,
        );
        svg.line(
            place((t, 100.0 - t, 0.0)),
            place((t, 0.0, 100.0 - t)),
            &faint,
        );
        svg.line(
            place((100.0 - t, 0.0, t)),
            place((0.0, 100.0 - t, t)),
            &faint,
        );
        if k % 2 == 0 {
            let small = "font-size=\"11\"";
            let (x, y) = place((100.0 - t, t, 0.0));
            svg.text(
                x - 6.0,
                y + 3.0,
                &format!("{t:.0}"),
                &format!("text-anchor=\"end\" {small}"),
            );
            let (x, y) = place((0.0, 100.0 - t, t));
            svg.text(x + 6.0, y + 3.0, &format!("{t:.0}"), small);
            let (x, y) = place((t, 0.0, 100.0 - t));
            svg.text(
                x,
                y + 14.0,
                &format!("{t:.0}"),
                &format!("text-anchor=\"middle\" {small}"),
            );
        }
    }
    let corners = [
        place((100.0, 0.0, 0.0)),
        place((0.0, 100.0, 0.0)),
        place((0.0, 0.0, 100.0)),
    ];
    svg.path(
        &corners,
        true,
        &format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.5\""),
    );
    let (x, y) = corners[1];
    svg.text(
        x,
        y - 10.0,
        "polarity",
        "text-anchor=\"middle\" font-weight=\"600\"",
    );
    svg.text(4.0, TOP + tall + 32.0, "dispersion", "font-weight=\"600\"");
    svg.text(
        LEFT + SIDE,
        TOP + tall + 32.0,
        "hydrogen bonding",
        "text-anchor=\"middle\" font-weight=\"600\"",
    );
    let spared = svg.hatch(Hatch::Rising);
    let mut told = Vec::new();
    // What is to be spared lies under what is to be dissolved, whose line must stay whole.
    let mut regions: Vec<&Region> = what.regions.iter().collect();
    regions.sort_by_key(|region| region.kind == RegionKind::Target);
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
        svg.path(&outline, true, &extra);
        told.push(format!("region of {}, {word}", region.name));
    }
    let blend_at = what.blend.map(place);
    let end_at = (what.path.len() > 1)
        .then(|| what.path.last().map(|at| place(*at)))
        .flatten();
    if what.path.len() > 1 {
        let path: Vec<(f64, f64)> = what.path.iter().map(|at| place(*at)).collect();
        svg.path(
            &path,
            false,
            "fill=\"none\" stroke=\"#fff\" stroke-width=\"5\"",
        );
        svg.path(
            &path,
            false,
            &format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\""),
        );
    }
    let key = LEFT + SIDE + 20.0;
    let mut row = TOP + 6.0;
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
        svg.path(
            &[
                (key, row - 10.0),
                (key + 18.0, row - 10.0),
                (key + 18.0, row + 2.0),
                (key, row + 2.0),
            ],
            true,
            &mark,
        );
        row = told_beside(
            &mut svg,
            key + 26.0,
            row,
            &format!("{word}: {}", region.name),
        );
        row += LETTER * 0.2;
    }
    // A number stands at its mark where neither a mark, another number nor a side of the triangle is;
    // where all places are taken, where least is in its way.
    let mut marks: Vec<(f64, f64)> = what.dots.iter().map(|dot| place(dot.at)).collect();
    marks.extend(blend_at);
    marks.extend(end_at);
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (k, dot) in what.dots.iter().enumerate() {
        let at = place(dot.at);
        mark(&mut svg, at, dot.mark);
        let number = (k + 1).to_string();
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
                .filter(|(a, b)| distance(own, corners[*a], corners[*b]) < 7.0)
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
        svg.text(
            label.0,
            label.1,
            &number,
            "font-size=\"11.5\" font-weight=\"600\" stroke=\"#fff\" stroke-width=\"3\" paint-order=\"stroke\"",
        );
        mark(&mut svg, (key + 5.0, row - 4.5), dot.mark);
        row = told_beside(
            &mut svg,
            key + 16.0,
            row,
            &format!("{} {}", k + 1, dot.name),
        );
        let word = match dot.mark {
            Mark::Live => "",
            Mark::Out => ", ruled out",
            Mark::Other => ", for comparison",
        };
        told.push(format!(
            "{} at {:.0}, {:.0}, {:.0}{word}",
            dot.name, dot.at.0, dot.at.1, dot.at.2
        ));
    }
    if let (Some(blend), Some((x, y))) = (what.blend, blend_at) {
        let diamond = |x: f64, y: f64| [(x, y - 7.0), (x + 7.0, y), (x, y + 7.0), (x - 7.0, y)];
        let drawn = format!("fill=\"#fff\" stroke=\"{INK}\" stroke-width=\"2\"");
        svg.path(&diamond(x, y), true, &drawn);
        svg.path(&diamond(key + 7.0, row - 4.5), true, &drawn);
        row = told_beside(&mut svg, key + 20.0, row, "the blend, as it is put on");
        told.push(format!(
            "the blend at {:.0}, {:.0}, {:.0}",
            blend.0, blend.1, blend.2
        ));
    }
    if let (Some((x, y)), Some(last)) = (end_at, what.path.last()) {
        let edge = "stroke=\"#fff\" stroke-width=\"1\"";
        svg.rect(x - 3.5, y - 3.5, 7.0, 7.0, INK, edge);
        svg.rect(key + 3.5, row - 8.0, 7.0, 7.0, INK, edge);
        row = told_beside(&mut svg, key + 20.0, row, "the blend, nearly dry");
        told.push(format!(
            "nearly dry at {:.0}, {:.0}, {:.0}",
            last.0, last.1, last.2
        ));
    }
    if what.dots.iter().any(|d| d.mark == Mark::Out) {
        svg.text(
            key,
            row + 4.0,
            "cross: ruled out here",
            &format!("fill=\"{FAINT}\""),
        );
        row += LETTER * 1.4;
    }
    let mut below = (TOP + tall + 54.0).max(row + 12.0);
    svg.text(
        8.0,
        below,
        "Per cent. Left side: polarity. Right side: hydrogen bonding. Foot: dispersion.",
        &format!("fill=\"{FAINT}\" font-size=\"11.5\""),
    );
    below += LETTER * 1.4;
    if !what.remark.is_empty() {
        let lines = svg.lines(
            8.0,
            below,
            &what.remark,
            WIDTH - 16.0,
            &format!("fill=\"{FAINT}\""),
        );
        below += lines as f64 * LETTER * 1.25;
    }
    svg.finish(
        below + 4.0,
        "Solubility triangle",
        &format!(
            "Fractions of dispersion, polarity and hydrogen bonding in per cent. {}.{}{}",
            told.join("; "),
            if what.remark.is_empty() { "" } else { " " },
            what.remark
        ),
    )
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
