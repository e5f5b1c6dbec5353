//! A blend as an option: its proportions, what it does as it dries, and where it lies.

use super::super::document::{Block, Line, line, text};
use super::super::figure::{
    Curve, Dot, Drying, Mark, Region as Shape, RegionKind, Triangle, drying, triangle,
};
use super::super::grounds::Grounds;
use super::super::words::list;
use super::{Figures, based, call, nothing};
use crate::answer::blend::{Blend, Practical, Region};
use crate::chem;
use crate::model::Hansen;
use crate::order::Arrange;

/// Liquids that are drawn at most.
const LIQUIDS: usize = 14;

pub(super) fn blend(
    it: &Blend,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
    blocks: &mut Vec<Block>,
) {
    if !it.missing.is_empty() {
        blocks.push(Block::Warning(line(
            "No blend can be told; this is not known:",
        )));
        blocks.push(Block::List(it.missing.iter().map(line).collect()));
    }
    if !it.settle.is_empty() {
        blocks.push(Block::Paragraph(line("Swab tests that would settle it:")));
        let list = it
            .settle
            .iter()
            .map(|swab| line(format!("{} on {}: {}", swab.liquid.name, swab.on, swab.why)));
        blocks.push(Block::List(list.collect()));
    }
    if it.blends.is_empty() {
        blocks.push(nothing("There is no blend that nothing forbids."));
        return;
    }
    blocks.push(table(it, grounds));
    blocks.push(nothing(
        "RED is the distance from a material over the radius within which liquids dissolve it: below 1 a \
         liquid dissolves it, above 1 it leaves it alone; near 1 nothing is sure. Vapour over its limits is \
         the vapour right over the open liquid over the lowest exposure limits on file, summed: it orders \
         the blends, and is not what the room will hold.",
    ));
    let Some(best) = it.blends.first() else {
        return;
    };
    let drawn = triangle(&figures.next(), &places(it, best));
    blocks.push(figures.block(
        drawn,
        &format!(
            "Where blend 1 ({}) and its liquids lie, and where it goes as it dries.",
            named(best)
        ),
    ));
    let drawn = drying(&figures.next(), &curves(it, best));
    blocks.push(figures.block(
        drawn,
        &format!(
            "What blend 1 does as it dries, to the last tenth of the liquid ({} mixing).",
            best.mixing.word()
        ),
    ));
}

/// The blend for the owner.
pub(super) fn in_words(it: &Blend) -> String {
    let layers: Vec<String> = it.layers.iter().map(|layer| layer.called.clone()).collect();
    let spares = if layers.is_empty() {
        String::new()
    } else {
        format!(" and leaves {} alone", list(&layers))
    };
    match it.blends.first() {
        Some(best) => format!(
            "A mixture of liquids that dissolves {}{spares} was worked out: {}. It is tried on a hidden \
             spot first.",
            it.target.called,
            named(best)
        ),
        None => format!(
            "No mixture of liquids is on record that dissolves {}{spares}.",
            it.target.called
        ),
    }
}

fn named(it: &Practical) -> String {
    let parts: Vec<String> = it
        .parts
        .iter()
        .map(|part| format!("{} {:.0} %", part.name, 100.0 * part.share))
        .collect();
    parts.join(", ")
}

fn table(it: &Blend, grounds: &mut Grounds<'_>) -> Block {
    let rows = it
        .blends
        .iter()
        .map(|blend| {
            let spared: Vec<String> = it
                .layers
                .iter()
                .zip(&blend.least)
                .map(|(layer, red)| match red {
                    Some(red) => format!("{} {red:.2}", layer.called),
                    None => format!("{} by its record", layer.called),
                })
                .collect();
            let mut air = format!("{:.0}", blend.hazard);
            if !blend.no_limit.is_empty() {
                air.push_str(&format!(
                    "; no limit on file: {}",
                    blend.no_limit.join(", ")
                ));
            }
            let mut why = Line::new();
            for reason in &blend.reasons {
                if !why.is_empty() {
                    why.push(text("; "));
                }
                why.extend(based(&reason.text, &reason.basis, grounds));
            }
            vec![
                line(blend.rank.to_string()),
                line(named(blend)),
                line(call(blend.call)),
                line(format!("{:.2}", blend.red)),
                line(if spared.is_empty() {
                    "–".to_owned()
                } else {
                    spared.join("; ")
                }),
                line(air),
                if why.is_empty() { line("–") } else { why },
            ]
        })
        .collect();
    Block::table(
        format!("Blends to {} {}", it.action.word(), it.target.called),
        &[
            "Rank",
            "Blend by volume",
            "Call",
            "RED to the target",
            "Least RED on the way",
            "Vapour over its limits",
            "Reasons",
        ],
        rows,
    )
}

fn places(it: &Blend, best: &Practical) -> Triangle {
    let is_part = |id: &str| best.parts.iter().any(|part| part.id == id);
    // Those of the blend first, so that they are never cut.
    let mut liquids: Vec<_> = it.liquids.iter().collect();
    liquids.arrange_by_key(|liquid| !is_part(&liquid.id));
    let dots = liquids
        .into_iter()
        .filter_map(|liquid| {
            Some(Dot {
                name: liquid.name.clone(),
                at: percent(liquid.teas.or_else(|| chem::teas(liquid.hansen))?)?,
                mark: if is_part(&liquid.id) {
                    Mark::Live
                } else {
                    Mark::Other
                },
            })
        })
        .take(LIQUIDS)
        .collect();
    let mut regions = Vec::new();
    regions.extend(shape(&it.target, RegionKind::Target));
    for layer in &it.layers {
        regions.extend(shape(layer, RegionKind::Protected));
    }
    Triangle {
        dots,
        regions,
        blend: chem::teas(best.start).and_then(percent),
        path: best
            .path
            .iter()
            .filter_map(|point| percent(point.teas?))
            .collect(),
        remark:
            "A region is the shadow of a sphere in Hansen space: a liquid inside the shadow may \
                 lie in front of the sphere. The distances in the next figure decide."
                .to_owned(),
    }
}

/// Fractions in per cent: published ones are rounded, and need not sum to a hundred.
pub(super) fn percent((d, p, h): (f64, f64, f64)) -> Option<(f64, f64, f64)> {
    let scale = 100.0 / (d + p + h);
    scale
        .is_finite()
        .then_some((d * scale, p * scale, h * scale))
}

/// The shadow of a region's sphere in the triangle.
fn shape(region: &Region, kind: RegionKind) -> Option<Shape> {
    let sphere = region.spheres.first()?.sphere;
    let outline = shadow(sphere)?;
    Some(Shape {
        name: region.called.clone(),
        kind,
        outline,
    })
}

/// Steps round the sphere, in each direction.
const STEPS: usize = 24;

/// The hull of the points of a sphere's surface in the triangle.
fn shadow(sphere: Hansen) -> Option<Vec<(f64, f64, f64)>> {
    let radius = sphere.radius?;
    let mut points: Vec<(f64, f64)> = Vec::new();
    for up in 0..=STEPS {
        let polar = std::f64::consts::PI * up as f64 / STEPS as f64;
        for round in 0..2 * STEPS {
            let turn = std::f64::consts::PI * round as f64 / STEPS as f64;
            // The distance of Hansen counts dispersion twice, so the sphere is half as wide there.
            let at = Hansen::point(
                (sphere.d + radius / 2.0 * polar.cos()).max(0.0),
                (sphere.p + radius * polar.sin() * turn.cos()).max(0.0),
                (sphere.h + radius * polar.sin() * turn.sin()).max(0.0),
            );
            if let Some((_, p, h)) = chem::teas(at).and_then(percent) {
                points.push((p, h));
            }
        }
    }
    let hull = hull(points);
    (hull.len() > 2).then(|| {
        hull.into_iter()
            .map(|(p, h)| (100.0 - p - h, p, h))
            .collect()
    })
}

/// Convex hull by Andrew's monotone chain (Andrew, A. M., 1979, *Information Processing Letters* 9,
/// 216-219), anticlockwise.
fn hull(mut points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    points.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    points.dedup();
    let turns = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| {
        (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
    };
    let chain = |points: &mut dyn Iterator<Item = (f64, f64)>| {
        let mut out: Vec<(f64, f64)> = Vec::new();
        for point in points {
            while let [.., a, b] = out[..]
                && turns(a, b, point) <= 0.0
            {
                out.pop();
            }
            out.push(point);
        }
        out.pop();
        out
    };
    let mut out = chain(&mut points.iter().copied());
    out.extend(chain(&mut points.iter().rev().copied()));
    out
}

fn curves(it: &Blend, best: &Practical) -> Drying {
    let mut curves = vec![Curve {
        name: it.target.called.clone(),
        target: true,
        points: best
            .path
            .iter()
            .map(|point| (point.left, point.red))
            .collect(),
    }];
    for (k, layer) in it.layers.iter().enumerate() {
        let points: Vec<(f64, f64)> = best
            .path
            .iter()
            .filter_map(|point| Some((point.left, (*point.layers.get(k)?)?)))
            .collect();
        if !points.is_empty() {
            curves.push(Curve {
                name: layer.called.clone(),
                target: false,
                points,
            });
        }
    }
    Drying { curves }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hull_of_a_square_leaves_its_middle_out() {
        let points = vec![
            (0.0, 0.0),
            (1.0, 1.0),
            (0.5, 0.5),
            (1.0, 0.0),
            (0.0, 1.0),
            (0.5, 0.0),
        ];
        assert_eq!(
            hull(points),
            [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
        );
    }

    #[test]
    fn the_centre_of_a_sphere_lies_in_its_shadow() {
        let sphere = Hansen {
            d: 18.0,
            p: 10.0,
            h: 8.0,
            radius: Some(6.0),
        };
        let outline = shadow(sphere).unwrap_or_default();
        let (_, p, h) = chem::teas(sphere).and_then(percent).unwrap_or_default();
        let inside = outline
            .iter()
            .zip(outline.iter().cycle().skip(1))
            .all(|(a, b)| (b.1 - a.1) * (h - a.2) - (b.2 - a.2) * (p - a.1) > 0.0);
        assert!(outline.len() > 8 && inside, "{outline:?}");
    }
}
