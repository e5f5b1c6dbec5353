//! How a blend wanders as it dries: its distance from what it is to dissolve and to spare.

use super::Figure;
use super::svg::{BOLD, FAINT, Hatch, INK, LETTER, PALE, Svg, fit};

/// What is drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drying {
    /// One curve a material or layer.
    pub curves: Vec<Curve>,
}

/// The distance from one material or layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it is.
    pub name: String,
    /// Whether it is to be dissolved; else it is to be spared.
    pub target: bool,
    /// Share of the liquid that is left, 1 down to 0, and the relative energy difference there
    /// (distance over radius: below 1 it lies inside the sphere).
    pub points: Vec<(f64, f64)>,
}

/// Dashes that tell curves apart, in their order.
const DASHES: [&str; 5] = ["", "9 4", "2 3", "12 4 2 4", "5 2"];

/// Draws the curves. Between 0.8 and 1.3 the sphere does not decide; that band is hatched.
#[must_use]
pub fn drying(id: &str, what: &Drying) -> Figure {
    const WIDTH: f64 = 640.0;
    const LEFT: f64 = 54.0;
    const RIGHT: f64 = 470.0;
    const TOP: f64 = 20.0;
    const TALL: f64 = 240.0;
    let mut svg = Svg::new(id, WIDTH);
    let most = what
        .curves
        .iter()
        .flat_map(|c| c.points.iter().map(|p| p.1))
        .filter(|red| red.is_finite())
        .fold(2.0_f64, f64::max)
        .min(6.0);
    let x = |left: f64| LEFT + (RIGHT - LEFT) * (1.0 - left.clamp(0.0, 1.0));
    let y = |red: f64| TOP + TALL * (1.0 - (red / most).clamp(0.0, 1.0));
    let band = svg.hatch(Hatch::Dots);
    svg.rect(
        LEFT,
        y(1.3),
        RIGHT - LEFT,
        y(0.8) - y(1.3),
        &band,
        "fill-opacity=\"0.7\"",
    );
    let thin = format!("stroke=\"{FAINT}\" stroke-width=\"1\"");
    for tick in 0..=most.floor() as usize {
        let at = y(tick as f64);
        svg.line((LEFT - 5.0, at), (LEFT, at), &thin);
        svg.text(
            LEFT - 9.0,
            at + 4.5,
            &tick.to_string(),
            "text-anchor=\"end\"",
        );
    }
    for tick in [100, 75, 50, 25, 10, 0] {
        let at = x(f64::from(tick) / 100.0);
        svg.line((at, TOP + TALL), (at, TOP + TALL + 5.0), &thin);
        svg.text(
            at,
            TOP + TALL + 20.0,
            &tick.to_string(),
            "text-anchor=\"middle\"",
        );
    }
    svg.rect(
        LEFT,
        TOP,
        RIGHT - LEFT,
        TALL,
        "none",
        &format!("stroke=\"{INK}\" stroke-width=\"1\""),
    );
    svg.line(
        (LEFT, y(1.0)),
        (RIGHT, y(1.0)),
        &format!("stroke=\"{INK}\" stroke-width=\"1.5\""),
    );
    svg.text(
        (LEFT + RIGHT) / 2.0,
        TOP + TALL + 40.0,
        "liquid left, per cent",
        "text-anchor=\"middle\"",
    );
    svg.text(8.0, 13.0, "distance over radius", "");
    let mut told = Vec::new();
    let mut free = TOP;
    let mut curves: Vec<(usize, &Curve)> = what.curves.iter().enumerate().collect();
    curves.sort_by(|a, b| {
        let last = |c: &Curve| c.points.last().map_or(0.0, |p| p.1);
        last(b.1).total_cmp(&last(a.1)).then(a.0.cmp(&b.0))
    });
    for (k, curve) in curves {
        let points: Vec<(f64, f64)> = curve
            .points
            .iter()
            .filter(|p| p.0.is_finite() && p.1.is_finite())
            .map(|(left, red)| (x(*left), y(*red)))
            .collect();
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            continue;
        };
        let dash = DASHES[k % DASHES.len()];
        let weight = if curve.target { 3.5 } else { 1.8 };
        svg.path(
            &points,
            false,
            &format!(
                "fill=\"none\" stroke=\"{INK}\" stroke-width=\"{weight}\" stroke-dasharray=\"{}\"",
                if dash.is_empty() { "none" } else { dash }
            ),
        );
        svg.circle(*first, 3.5, &format!("fill=\"#fff\" stroke=\"{INK}\""));
        svg.circle(*last, 3.5, &format!("fill=\"{INK}\""));
        let at = (last.1 + 4.5).max(free + LETTER);
        free = at + LETTER * 1.4;
        let word = if curve.target { "dissolve" } else { "spare" };
        svg.line(
            (last.0, last.1),
            (RIGHT + 8.0, at - 4.5),
            &format!("stroke=\"{PALE}\" stroke-width=\"1\""),
        );
        svg.text(
            RIGHT + 12.0,
            at,
            &fit(&curve.name, 156.0 / BOLD),
            "font-weight=\"600\"",
        );
        svg.text(
            RIGHT + 12.0,
            at + LETTER * 1.1,
            word,
            &format!("fill=\"{FAINT}\""),
        );
        let known = || {
            curve
                .points
                .iter()
                .filter(|p| p.0.is_finite() && p.1.is_finite())
        };
        let (a, b) = (known().next(), known().next_back());
        if let (Some(a), Some(b)) = (a, b) {
            told.push(format!(
                "{}, to {word}: {:.2} with {:.0} % of the liquid left, {:.2} with {:.0} %",
                curve.name,
                a.1,
                100.0 * a.0,
                b.1,
                100.0 * b.0
            ));
        }
    }
    let below = TOP + TALL + 62.0;
    svg.text(
        8.0,
        below,
        "Below the line at 1: inside the sphere, dissolves. Dotted band: the sphere does not decide.",
        &format!("fill=\"{FAINT}\" font-size=\"11.5\""),
    );
    svg.finish(
        below + 12.0,
        "What the blend does as it dries",
        &format!(
            "Distance over radius as the liquid evaporates; below 1 it dissolves, between 0.8 and \
             1.3 nothing is sure. {}.",
            told.join("; ")
        ),
    )
}
