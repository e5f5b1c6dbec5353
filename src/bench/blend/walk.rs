//! Goes through sets of liquids and rows of proportions, and leaves out whatever passes the wanted ball by.

use super::search::{HAIR, Point, Space, cross, dot, minus, plus};

/// A ball in which everything that is wanted lies.
#[derive(Clone, Copy)]
pub(super) struct Region {
    pub(super) centre: Point,
    pub(super) radius: f64,
}

/// Who is shown the blends.
pub(super) trait Visit {
    /// Where what is wanted lies.
    fn region(&self) -> Region;
    /// A blend in the region.
    fn point(&mut self, at: Point, liquids: &[u16], units: &[u8]);
    /// The set of liquids has been gone through.
    fn set_ends(&mut self) {}
}

/// Says how far a search has come, 0 to 1, and hears whether it is to go on.
pub type Watch<'a> = dyn FnMut(f64) -> bool + 'a;

/// Whole numbers from `from` to `to` at which |offset + n·slope| ≤ reach.
fn band(offset: f64, slope: f64, reach: f64, from: i32, to: i32) -> (i32, i32) {
    if slope.abs() <= HAIR * reach.max(1.0) {
        return if offset.abs() <= reach * (1.0 + 1e-9) + HAIR {
            (from, to)
        } else {
            (1, 0)
        };
    }
    let (a, b) = ((-reach - offset) / slope, (reach - offset) / slope);
    between(a.min(b), a.max(b), from, to)
}

fn between(low: f64, high: f64, from: i32, to: i32) -> (i32, i32) {
    let low = (low - 1e-7).max(f64::from(from)).ceil();
    let high = (high + 1e-7).min(f64::from(to)).floor();
    if low > high {
        (1, 0)
    } else {
        (low as i32, high as i32)
    }
}

/// Whole numbers at which base + n·way lies in the region.
fn row(base: Point, way: Point, region: Region, from: i32, to: i32) -> (i32, i32) {
    let from_centre = minus(base, region.centre);
    let e = dot(way, way);
    let f = dot(way, from_centre);
    let g = dot(from_centre, from_centre) - region.radius * region.radius;
    if e <= HAIR * HAIR {
        return if g <= HAIR { (from, to) } else { (1, 0) };
    }
    let under = f * f - e * g;
    if under < 0.0 {
        return (1, 0);
    }
    let root = under.sqrt();
    between((-f - root) / e, (-f + root) / e, from, to)
}

/// Shows every blend of exactly `size` liquids that lies in the visitor's region.
pub(super) fn walk<V: Visit>(
    space: &Space,
    size: usize,
    visit: &mut V,
    watch: &mut Watch<'_>,
) -> bool {
    match size {
        2 => pairs(space, visit),
        3 => return triples(space, visit, watch),
        4 => return quadruples(space, visit, watch),
        _ => {}
    }
    true
}

fn pairs<V: Visit>(space: &Space, visit: &mut V) {
    let n = space.points.len();
    let s = i32::from(space.steps);
    let share = 1.0 / f64::from(s);
    for i in 0..n {
        for j in i + 1..n {
            if !space.mixes(i, j) {
                continue;
            }
            let base = space.points[i];
            let way = scaled(minus(space.points[j], base), share);
            let (low, high) = row(base, way, visit.region(), 1, s - 1);
            for a in low..=high {
                let units = [(s - a) as u8, a as u8];
                let at = plus(base, way, f64::from(a));
                visit.point(at, &[i as u16, j as u16], &units);
            }
            visit.set_ends();
        }
    }
}

fn scaled(it: Point, by: f64) -> Point {
    [it[0] * by, it[1] * by, it[2] * by]
}

fn triples<V: Visit>(space: &Space, visit: &mut V, watch: &mut Watch<'_>) -> bool {
    let n = space.points.len();
    let s = i32::from(space.steps);
    let share = 1.0 / f64::from(s);
    for i in 0..n {
        if !watch(1.0 - ((n - i) as f64 / n as f64).powi(3)) {
            return false;
        }
        let first = space.points[i];
        for j in i + 1..n {
            if !space.mixes(i, j) {
                continue;
            }
            let way = scaled(minus(space.points[j], first), share);
            for k in j + 1..n {
                if !space.mixes(i, k) || !space.mixes(j, k) {
                    continue;
                }
                let third = scaled(minus(space.points[k], first), share);
                let normal = cross(way, third);
                let region = visit.region();
                let from_centre = minus(first, region.centre);
                let tall = dot(normal, normal).sqrt();
                // The plane of the three passes the ball by.
                if dot(normal, from_centre).abs() > (region.radius + HAIR) * tall + HAIR {
                    continue;
                }
                let across = cross(normal, way);
                let (low, high) = band(
                    dot(across, from_centre),
                    dot(across, third),
                    region.radius * dot(across, across).sqrt(),
                    1,
                    s - 2,
                );
                for c in low..=high {
                    let base = plus(first, third, f64::from(c));
                    let (from, to) = row(base, way, visit.region(), 1, s - 1 - c);
                    for a in from..=to {
                        let units = [(s - c - a) as u8, a as u8, c as u8];
                        let at = plus(base, way, f64::from(a));
                        visit.point(at, &[i as u16, j as u16, k as u16], &units);
                    }
                }
                visit.set_ends();
            }
        }
    }
    true
}

fn quadruples<V: Visit>(space: &Space, visit: &mut V, watch: &mut Watch<'_>) -> bool {
    let n = space.points.len();
    let s = i32::from(space.steps);
    let share = 1.0 / f64::from(s);
    if s < 4 {
        return true;
    }
    for i in 0..n {
        if !watch(1.0 - ((n - i) as f64 / n as f64).powi(4)) {
            return false;
        }
        let first = space.points[i];
        for j in i + 1..n {
            if !space.mixes(i, j) {
                continue;
            }
            let way = scaled(minus(space.points[j], first), share);
            for k in j + 1..n {
                if !space.mixes(i, k) || !space.mixes(j, k) {
                    continue;
                }
                let third = scaled(minus(space.points[k], first), share);
                let normal = cross(way, third);
                let tall = dot(normal, normal).sqrt();
                let across = cross(normal, way);
                let wide = dot(across, across).sqrt();
                let climb = dot(across, third);
                for l in k + 1..n {
                    let region = visit.region();
                    let from_centre = minus(first, region.centre);
                    let fourth = scaled(minus(space.points[l], first), share);
                    // The slices of the four that meet the ball.
                    let (low, high) = band(
                        dot(normal, from_centre),
                        dot(normal, fourth),
                        region.radius * tall,
                        1,
                        s - 3,
                    );
                    if low > high || !space.mixes(i, l) || !space.mixes(j, l) || !space.mixes(k, l)
                    {
                        continue;
                    }
                    for d in low..=high {
                        let slice = plus(first, fourth, f64::from(d));
                        let region = visit.region();
                        let (from, to) = band(
                            dot(across, minus(slice, region.centre)),
                            climb,
                            region.radius * wide,
                            1,
                            s - 2 - d,
                        );
                        for c in from..=to {
                            let base = plus(slice, third, f64::from(c));
                            let (from, to) = row(base, way, visit.region(), 1, s - 1 - d - c);
                            for a in from..=to {
                                let units = [(s - d - c - a) as u8, a as u8, c as u8, d as u8];
                                let at = plus(base, way, f64::from(a));
                                let set = [i as u16, j as u16, k as u16, l as u16];
                                visit.point(at, &set, &units);
                            }
                        }
                    }
                    visit.set_ends();
                }
            }
        }
    }
    true
}
