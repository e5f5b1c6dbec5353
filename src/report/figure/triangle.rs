//! The solubility triangle with the axes of Teas (Teas, J. P., 1968, *Journal of Paint Technology*
//! 40, 19-25): shares of dispersion, polarity and hydrogen bonding that sum to 100.

use super::Figure;
use super::svg::{FAINT, Hatch, INK, LETTER, Svg, fit};

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

/// Draws the triangle with a numbered key at its side.
#[must_use]
pub fn triangle(id: &str, what: &Triangle) -> Figure {
    const WIDTH: f64 = 640.0;
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
    for region in &what.regions {
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
    if what.path.len() > 1 {
        let path: Vec<(f64, f64)> = what.path.iter().map(|at| place(*at)).collect();
        svg.path(
            &path,
            false,
            &format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\""),
        );
        if let Some(end) = path.last() {
            svg.rect(end.0 - 3.5, end.1 - 3.5, 7.0, 7.0, INK, "");
        }
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
        svg.text(
            key + 26.0,
            row,
            &fit(&format!("{word}: {}", region.name), WIDTH - key - 30.0),
            "",
        );
        row += LETTER * 1.5;
    }
    // A number stands at its mark where neither a mark nor another number is: at the right, the left,
    // above, below; where all are taken, further down.
    let marks: Vec<(f64, f64)> = what.dots.iter().map(|dot| place(dot.at)).collect();
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for (k, dot) in what.dots.iter().enumerate() {
        let at = place(dot.at);
        mark(&mut svg, at, dot.mark);
        let free = |label: (f64, f64)| {
            let near = |it: &(f64, f64), dx: f64, dy: f64| {
                (it.0 - label.0).abs() < dx && (it.1 - label.1).abs() < dy
            };
            // The middle of a number lies right of its start and above its base line.
            let marked = |it: &(f64, f64)| near(&(it.0 - 5.0, it.1 + 4.0), 9.0, 9.0);
            !taken.iter().any(|it| near(it, 16.0, 11.0)) && !marks.iter().any(marked)
        };
        let mut label = [(7.0, 4.5), (-17.0, 4.5), (-4.0, -8.0), (-4.0, 17.0)]
            .into_iter()
            .map(|(dx, dy)| (at.0 + dx, at.1 + dy))
            .find(|label| free(*label))
            .unwrap_or((at.0 + 7.0, at.1 + 4.5));
        while taken
            .iter()
            .any(|t| (t.0 - label.0).abs() < 16.0 && (t.1 - label.1).abs() < 11.0)
        {
            label.1 += 11.5;
        }
        taken.push(label);
        svg.text(
            label.0,
            label.1,
            &(k + 1).to_string(),
            "font-size=\"11.5\" font-weight=\"600\" stroke=\"#fff\" stroke-width=\"3\" paint-order=\"stroke\"",
        );
        mark(&mut svg, (key + 5.0, row - 4.5), dot.mark);
        svg.text(
            key + 16.0,
            row,
            &fit(&format!("{} {}", k + 1, dot.name), WIDTH - key - 20.0),
            "",
        );
        row += LETTER * 1.4;
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
    if let Some(blend) = what.blend {
        let (x, y) = place(blend);
        let diamond = |x: f64, y: f64| [(x, y - 7.0), (x + 7.0, y), (x, y + 7.0), (x - 7.0, y)];
        let drawn = format!("fill=\"#fff\" stroke=\"{INK}\" stroke-width=\"2\"");
        svg.path(&diamond(x, y), true, &drawn);
        svg.path(&diamond(key + 7.0, row - 4.5), true, &drawn);
        svg.text(key + 20.0, row, "the blend; square: nearly dry", "");
        row += LETTER * 1.4;
        told.push(format!(
            "the blend at {:.0}, {:.0}, {:.0}",
            blend.0, blend.1, blend.2
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
    let mut below = (TOP + tall + 58.0).max(row + 12.0);
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
