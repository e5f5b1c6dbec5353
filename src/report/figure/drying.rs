//! How a blend wanders as it dries: its distance from what it is to dissolve and to spare.

use super::Figure;
use super::svg::{BOLD, FAINT, Hatch, INK, LETTER, PALE, Svg, fit};
use crate::order::Arrange;

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
const DASHES: [&str; 5] = ["none", "9 4", "2 3", "12 4 2 4", "5 2"];

/// Width of the drawing.
const WIDTH: f64 = 640.0;
/// Left edge of the field that the curves are drawn in.
const LEFT: f64 = 54.0;
/// Its right edge; beyond it stand the names of the curves.
const RIGHT: f64 = 470.0;
/// Its upper edge.
const TOP: f64 = 20.0;
/// Its height.
const TALL: f64 = 240.0;
/// Widest that a name may be.
const NAME: f64 = 156.0;
/// Distances over radius between which the sphere does not decide.
const UNSURE: (f64, f64) = (0.8, 1.3);

/// Draws the curves. Between 0.8 and 1.3 the sphere does not decide; that band is hatched.
#[must_use]
pub fn drying(id: &str, what: &Drying) -> Figure {
    let mut svg = Svg::new(id, WIDTH);
    let field = Field::of(&what.curves);
    field.draw(&mut svg);
    let mut names = Names { free: TOP };
    let mut told = Vec::new();
    for (k, curve) in from_the_top(&what.curves) {
        let known = curve.known();
        let (Some(first), Some(last)) = (known.first(), known.last()) else {
            continue;
        };
        field.curve(&mut svg, &known, curve.target, DASHES[k % DASHES.len()]);
        names.put(&mut svg, curve, field.at(*last));
        told.push(curve.told(*first, *last));
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

/// The curves with their places in the list, the one that ends highest first: so their names, set from
/// the top down, stand in the order of their ends.
fn from_the_top(curves: &[Curve]) -> Vec<(usize, &Curve)> {
    let end = |c: &Curve| c.points.last().map_or(0.0, |p| p.1);
    let mut out: Vec<(usize, &Curve)> = curves.iter().enumerate().collect();
    out.arrange_by(|a, b| end(b.1).total_cmp(&end(a.1)).then(a.0.cmp(&b.0)));
    out
}

impl Curve {
    /// The points at which both figures are known.
    fn known(&self) -> Vec<(f64, f64)> {
        let finite = |p: &&(f64, f64)| p.0.is_finite() && p.1.is_finite();
        self.points.iter().filter(finite).copied().collect()
    }

    /// What is to become of the material.
    const fn aim(&self) -> &'static str {
        if self.target { "dissolve" } else { "spare" }
    }

    /// The curve in words, from its first to its last known point.
    fn told(&self, first: (f64, f64), last: (f64, f64)) -> String {
        format!(
            "{}, to {}: {:.2} with {:.0} % of the liquid left, {:.2} with {:.0} %",
            self.name,
            self.aim(),
            first.1,
            100.0 * first.0,
            last.1,
            100.0 * last.0
        )
    }
}

/// The field that the curves are drawn in.
struct Field {
    /// Distance over radius at its upper edge.
    most: f64,
}

impl Field {
    /// A field that holds the curves; what lies beyond six radii is drawn at its edge.
    fn of(curves: &[Curve]) -> Self {
        let most = curves
            .iter()
            .flat_map(|c| c.points.iter().map(|p| p.1))
            .filter(|red| red.is_finite())
            .fold(2.0_f64, f64::max)
            .min(6.0);
        Self { most }
    }

    /// Where a share of the liquid lies, from the left.
    fn x(&self, left: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * (1.0 - left.clamp(0.0, 1.0))
    }

    /// Where a distance over radius lies, from the top.
    fn y(&self, red: f64) -> f64 {
        TOP + TALL * (1.0 - (red / self.most).clamp(0.0, 1.0))
    }

    fn at(&self, (left, red): (f64, f64)) -> (f64, f64) {
        (self.x(left), self.y(red))
    }

    /// The band in which nothing is sure, the scales, the frame, and the line at one radius.
    fn draw(&self, svg: &mut Svg) {
        let band = svg.hatch(Hatch::Dots);
        let (high, low) = (self.y(UNSURE.1), self.y(UNSURE.0));
        svg.rect(
            LEFT,
            high,
            RIGHT - LEFT,
            low - high,
            &band,
            "fill-opacity=\"0.7\"",
        );
        self.scales(svg);
        svg.rect(
            LEFT,
            TOP,
            RIGHT - LEFT,
            TALL,
            "none",
            &format!("stroke=\"{INK}\" stroke-width=\"1\""),
        );
        svg.line(
            (LEFT, self.y(1.0)),
            (RIGHT, self.y(1.0)),
            &format!("stroke=\"{INK}\" stroke-width=\"1.5\""),
        );
        svg.text(
            (LEFT + RIGHT) / 2.0,
            TOP + TALL + 40.0,
            "liquid left, per cent",
            "text-anchor=\"middle\"",
        );
        svg.text(8.0, 13.0, "distance over radius", "");
    }

    fn scales(&self, svg: &mut Svg) {
        let thin = format!("stroke=\"{FAINT}\" stroke-width=\"1\"");
        for tick in 0..=self.most.floor() as usize {
            let at = self.y(tick as f64);
            svg.line((LEFT - 5.0, at), (LEFT, at), &thin);
            svg.text(
                LEFT - 9.0,
                at + 4.5,
                &tick.to_string(),
                "text-anchor=\"end\"",
            );
        }
        for tick in [100, 75, 50, 25, 10, 0] {
            let at = self.x(f64::from(tick) / 100.0);
            svg.line((at, TOP + TALL), (at, TOP + TALL + 5.0), &thin);
            svg.text(
                at,
                TOP + TALL + 20.0,
                &tick.to_string(),
                "text-anchor=\"middle\"",
            );
        }
    }

    /// One curve, open where it begins and filled where it ends.
    fn curve(&self, svg: &mut Svg, known: &[(f64, f64)], target: bool, dash: &str) {
        let points: Vec<(f64, f64)> = known.iter().map(|p| self.at(*p)).collect();
        let weight = if target { 3.5 } else { 1.8 };
        svg.path(
            &points,
            false,
            &format!(
                "fill=\"none\" stroke=\"{INK}\" stroke-width=\"{weight}\" stroke-dasharray=\"{dash}\""
            ),
        );
        if let (Some(first), Some(last)) = (points.first(), points.last()) {
            svg.circle(*first, 3.5, &format!("fill=\"#fff\" stroke=\"{INK}\""));
            svg.circle(*last, 3.5, &format!("fill=\"{INK}\""));
        }
    }
}

/// The names of the curves beside the field, each by the end of its curve and below the one before.
struct Names {
    /// Where the next may begin, from the top.
    free: f64,
}

impl Names {
    fn put(&mut self, svg: &mut Svg, curve: &Curve, end: (f64, f64)) {
        let at = (end.1 + 4.5).max(self.free + LETTER);
        self.free = at + LETTER * 1.4;
        svg.line(
            end,
            (RIGHT + 8.0, at - 4.5),
            &format!("stroke=\"{PALE}\" stroke-width=\"1\""),
        );
        svg.text(
            RIGHT + 12.0,
            at,
            &fit(&curve.name, NAME / BOLD),
            "font-weight=\"600\"",
        );
        svg.text(
            RIGHT + 12.0,
            at + LETTER * 1.1,
            curve.aim(),
            &format!("fill=\"{FAINT}\""),
        );
    }
}
