//! How near any proportion of some liquids can come to a target, outside of some balls: the exact
//! optimum, for a measure of what is lost by mixing in whole steps.
//!
//! The blends fill the convex hull of the liquids. Where the balls cut into it the least distance lies
//! at the target itself, or on some face of the hull where it is crossed by none, one, two or three of
//! the balls' surfaces. All of these are tried; each is a point that is found in closed form.

use super::search::{Point, Space, cross, dot, minus, plus};
use crate::model::Hansen;

/// What counts as on a border, `MPa^0.5`.
const HAIR: f64 = 1e-7;

/// The nearest point that any blend can reach, and how far it is from the target, `MPa^0.5`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// Where.
    pub at: Hansen,
    /// Distance to the target.
    pub ra: f64,
}

/// The exact bound; `None` when there are no liquids, or the balls hold every blend.
#[must_use]
pub fn bound(space: &Space) -> Option<Bound> {
    let hull = Hull::of(&space.points)?;
    let balls: Vec<(Point, f64)> = space.balls.iter().filter(|b| b.1 > 0.0).copied().collect();
    let mut best: Option<(f64, Point)> = None;
    let mut offer = |at: Point| {
        let ra = dot(at, at).sqrt();
        if best.is_none_or(|(b, _)| ra < b) && hull.holds(at) && outside(&balls, at) {
            best = Some((ra, at));
        }
    };
    for flat in &hull.flats {
        let most = flat.basis.len().min(3);
        flat.critical(&[], &mut offer);
        if most == 0 {
            continue;
        }
        for (a, first) in balls.iter().enumerate() {
            flat.critical(&[*first], &mut offer);
            if most == 1 {
                continue;
            }
            for (b, second) in balls.iter().enumerate().skip(a + 1) {
                flat.critical(&[*first, *second], &mut offer);
                if most == 2 {
                    continue;
                }
                for third in &balls[b + 1..] {
                    flat.critical(&[*first, *second, *third], &mut offer);
                }
            }
        }
    }
    best.map(|(ra, at)| Bound {
        at: space.hansen(at),
        ra,
    })
}

fn outside(balls: &[(Point, f64)], at: Point) -> bool {
    balls.iter().all(|(centre, radius)| {
        let from = minus(at, *centre);
        dot(from, from).sqrt() >= radius - HAIR
    })
}

fn unit(it: Point) -> Option<Point> {
    let length = dot(it, it).sqrt();
    (length > HAIR).then(|| [it[0] / length, it[1] / length, it[2] / length])
}

/// A point, a line, a plane or the whole space: an origin and directions at right angles.
#[derive(Clone, Debug)]
struct Flat {
    origin: Point,
    basis: Vec<Point>,
}

impl Flat {
    fn through(points: &[Point]) -> Self {
        let mut basis: Vec<Point> = Vec::new();
        for point in &points[1..] {
            let mut way = minus(*point, points[0]);
            for own in &basis {
                way = plus(way, *own, -dot(way, *own));
            }
            if let Some(way) = unit(way) {
                basis.push(way);
            }
        }
        Self {
            origin: points[0],
            basis,
        }
    }

    fn project(&self, it: Point) -> Point {
        let from = minus(it, self.origin);
        self.basis
            .iter()
            .fold(self.origin, |at, way| plus(at, *way, dot(from, *way)))
    }

    /// The points of the flat that lie on all of these surfaces, at which the distance to the target
    /// stands still.
    fn critical(&self, balls: &[(Point, f64)], offer: &mut impl FnMut(Point)) {
        let target = self.project([0.0; 3]);
        let [(centre, radius), rest @ ..] = balls else {
            offer(target);
            return;
        };
        let own = self.project(*centre);
        let off = minus(own, *centre);
        let square = radius * radius - dot(off, off);
        if square < 0.0 {
            return;
        }
        let [(second, second_radius), others @ ..] = rest else {
            let radius = square.sqrt();
            match unit(minus(target, own)) {
                Some(way) => {
                    offer(plus(own, way, radius));
                    offer(plus(own, way, -radius));
                }
                // Every point of it is as near as any other: some will do.
                None => {
                    for way in &self.basis {
                        offer(plus(own, *way, radius));
                        offer(plus(own, *way, -radius));
                    }
                }
            }
            return;
        };
        // Where two surfaces meet, they meet in a flat of one direction less.
        let other = self.project(*second);
        let Some(way) = unit(minus(other, own)) else {
            return;
        };
        let away = dot(minus(other, own), way);
        let off = minus(other, *second);
        let other_square = second_radius * second_radius - dot(off, off);
        let along = (square - other_square + away * away) / (2.0 * away);
        // The directions at right angles to it; what is left of the longest comes first.
        let mut left: Vec<Point> = self
            .basis
            .iter()
            .map(|own| plus(*own, way, -dot(*own, way)))
            .collect();
        let mut basis: Vec<Point> = Vec::new();
        while basis.len() + 1 < self.basis.len() {
            let longest = left
                .iter()
                .copied()
                .max_by(|a, b| dot(*a, *a).total_cmp(&dot(*b, *b)));
            let Some(next) = longest.and_then(unit) else {
                return;
            };
            for rest in &mut left {
                *rest = plus(*rest, next, -dot(*rest, next));
            }
            basis.push(next);
        }
        let meet = Self {
            origin: plus(own, way, along),
            basis,
        };
        let mut left = vec![(*centre, *radius)];
        left.extend_from_slice(others);
        meet.critical(&left, offer);
    }
}

/// The convex hull of some points: the flats on which its least distances may lie, and what bounds it.
struct Hull {
    flats: Vec<Flat>,
    /// Half-spaces: n · p ≤ h.
    walls: Vec<(Point, f64)>,
}

impl Hull {
    fn of(points: &[Point]) -> Option<Self> {
        if points.is_empty() {
            return None;
        }
        let whole = Flat::through(points);
        let mut out = Self {
            flats: vec![whole.clone()],
            walls: Vec::new(),
        };
        // What is not of full dimension lies within a hair of its own flat.
        if whole.basis.len() < 3 {
            for way in across(&whole) {
                for sign in [1.0, -1.0] {
                    let way = [sign * way[0], sign * way[1], sign * way[2]];
                    out.walls.push((way, dot(way, whole.origin)));
                }
            }
        }
        match whole.basis.len() {
            0 => {}
            1 => out.ends(points, &whole),
            2 => out.sides(points, &whole),
            _ => out.facets(points),
        }
        for point in points {
            out.flats.push(Flat {
                origin: *point,
                basis: Vec::new(),
            });
        }
        Some(out)
    }

    fn holds(&self, at: Point) -> bool {
        self.walls.iter().all(|(n, h)| dot(*n, at) <= h + HAIR)
    }

    fn wall(&mut self, normal: Point, height: f64) -> bool {
        let same = |(n, h): &(Point, f64)| {
            let off = minus(*n, normal);
            dot(off, off) < 1e-12 && (h - height).abs() < 1e-9
        };
        if self.walls.iter().any(same) {
            return false;
        }
        self.walls.push((normal, height));
        true
    }

    fn ends(&mut self, points: &[Point], whole: &Flat) {
        let way = whole.basis[0];
        for sign in [1.0, -1.0] {
            let way = [sign * way[0], sign * way[1], sign * way[2]];
            let far = points.iter().map(|p| dot(*p, way)).fold(f64::MIN, f64::max);
            self.wall(way, far);
        }
    }

    fn sides(&mut self, points: &[Point], whole: &Flat) {
        let normal = cross(whole.basis[0], whole.basis[1]);
        for (i, a) in points.iter().enumerate() {
            for b in &points[i + 1..] {
                let Some(way) = unit(cross(normal, minus(*b, *a))) else {
                    continue;
                };
                self.side(points, way, *a, &[*a, *b]);
            }
        }
    }

    fn facets(&mut self, points: &[Point]) {
        for (i, a) in points.iter().enumerate() {
            for (j, b) in points.iter().enumerate().skip(i + 1) {
                let ab = minus(*b, *a);
                for c in &points[j + 1..] {
                    let Some(normal) = unit(cross(ab, minus(*c, *a))) else {
                        continue;
                    };
                    if self.side(points, normal, *a, &[*a, *b, *c]) {
                        for edge in [[*a, *b], [*a, *c], [*b, *c]] {
                            self.flats.push(Flat::through(&edge));
                        }
                    }
                }
            }
        }
    }

    /// Notes a face when all points lie on one side of it.
    fn side(&mut self, points: &[Point], normal: Point, a: Point, on: &[Point]) -> bool {
        let height = dot(normal, a);
        let (mut above, mut below) = (false, false);
        for p in points {
            let over = dot(normal, *p) - height;
            above |= over > HAIR;
            below |= over < -HAIR;
            if above && below {
                return false;
            }
        }
        let sign = if above { -1.0 } else { 1.0 };
        let normal = [sign * normal[0], sign * normal[1], sign * normal[2]];
        // Another triangle of a face that is known still brings its own edges.
        if self.wall(normal, sign * height) {
            self.flats.push(Flat::through(on));
        }
        true
    }
}

/// Directions at right angles to a flat.
fn across(flat: &Flat) -> Vec<Point> {
    let mut all = flat.basis.clone();
    let mut out = Vec::new();
    for axis in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]] {
        let mut way: Point = axis;
        for own in &all {
            way = plus(way, *own, -dot(way, *own));
        }
        if dot(way, way) < 1e-3 {
            continue;
        }
        if let Some(way) = unit(way) {
            all.push(way);
            out.push(way);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::search::{Ball, nearest};
    use super::*;

    #[test]
    fn a_target_among_the_liquids_is_reached() {
        let liquids = [
            Hansen::point(15.0, 0.0, 0.0),
            Hansen::point(17.0, 12.0, 0.0),
            Hansen::point(16.0, 0.0, 20.0),
            Hansen::point(20.0, 5.0, 5.0),
        ];
        let target = Hansen::point(16.8, 4.0, 6.0);
        let space = Space::new(&liquids, target, &[], 20);
        assert!(bound(&space).unwrap().ra < 1e-6);
        // A ball round the target of radius 2: the nearest that is left is 2 away, if it is inside.
        let ball = Ball {
            centre: target,
            radius: 1.0,
            layer: 0,
        };
        let space = Space::new(&liquids, target, &[ball], 20);
        assert!((bound(&space).unwrap().ra - 1.0).abs() < 1e-6);
    }

    #[test]
    fn flat_sets_of_liquids_work_too() {
        // White spirit and acetone for dammar: lowest RED 0.8315 at 0.5946 acetone (scipy).
        let dammar = Hansen {
            radius: Some(8.3),
            ..Hansen::point(18.4, 4.2, 7.8)
        };
        let liquids = [
            Hansen::point(15.8, 0.1, 0.2),
            Hansen::point(15.5, 10.4, 7.0),
        ];
        let it = bound(&Space::new(&liquids, dammar, &[], 20)).unwrap();
        assert!((it.ra / 8.3 - 0.8315).abs() < 1e-4, "{}", it.ra / 8.3);
        let one = bound(&Space::new(&liquids[..1], dammar, &[], 20)).unwrap();
        assert!((one.ra / 8.3 - 1.2144).abs() < 1e-3, "{}", one.ra / 8.3);
        assert!(bound(&Space::new(&[], dammar, &[], 20)).is_none());
        let three = [liquids[0], liquids[1], Hansen::point(16.0, 2.0, 1.0)];
        let it = bound(&Space::new(&three, dammar, &[], 20)).unwrap();
        assert!(it.ra <= 0.8315 * 8.3 + 1e-6);
    }

    #[test]
    fn balls_that_hold_everything_leave_nothing() {
        let liquids = [
            Hansen::point(15.8, 0.1, 0.2),
            Hansen::point(15.5, 10.4, 7.0),
        ];
        let ball = Ball {
            centre: Hansen::point(15.6, 5.0, 4.0),
            radius: 30.0,
            layer: 0,
        };
        assert!(bound(&Space::new(&liquids, liquids[0], &[ball], 20)).is_none());
    }

    #[test]
    fn no_blend_comes_nearer_than_the_bound() {
        let liquids = [
            Hansen::point(15.5, 10.4, 7.0),
            Hansen::point(15.8, 8.8, 19.4),
            Hansen::point(18.0, 1.4, 2.0),
            Hansen::point(15.3, 0.0, 0.0),
            Hansen::point(15.8, 5.3, 7.2),
            Hansen::point(18.4, 16.4, 10.2),
        ];
        for (k, target) in [
            Hansen::point(17.0, 8.0, 10.0),
            Hansen::point(16.0, 6.0, 8.0),
            Hansen::point(20.0, 2.0, 3.0),
            Hansen::point(16.2, 9.0, 12.0),
        ]
        .into_iter()
        .enumerate()
        {
            let balls = [
                Ball {
                    centre: Hansen::point(16.5, 7.5, 9.0 + k as f64),
                    radius: 4.0,
                    layer: 0,
                },
                Ball {
                    centre: Hansen::point(17.5, 3.0, 6.0),
                    radius: 4.5,
                    layer: 0,
                },
                Ball {
                    centre: Hansen::point(16.0, 9.0, 14.0),
                    radius: 3.5,
                    layer: 0,
                },
            ];
            let space = Space::new(&liquids, target, &balls, 40);
            let exact = bound(&space).unwrap().ra;
            let best = nearest(&space, 4, 1, &mut |_| true).unwrap()[0].ra;
            assert!(exact <= best + 1e-6, "{k}: {exact} {best}");
            assert!(best - exact < 0.1, "{k}: {exact} {best}");
        }
    }
}
