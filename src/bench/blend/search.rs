//! All blends of two to four liquids in steps that can be measured, without weighing most of them.
//!
//! Ra is a Euclidean distance once δD is doubled, and a blend by volume is a point between its liquids.
//! Whatever is still wanted lies in one ball; a set of liquids whose plane, or whose rows of
//! proportions, pass that ball by is left out unweighed. Nothing that is left out could have been kept.

use super::walk::{Region, Visit, walk};
use crate::model::Hansen;
use crate::order::Arrange;

pub use super::walk::Watch;

/// Most liquids of a blend.
pub const MOST_LIQUIDS: usize = 4;
/// A hair, for what lies on a border.
pub(super) const HAIR: f64 = 1e-9;

/// A point with δD doubled, seen from the target.
pub(super) type Point = [f64; 3];

/// A ball that a blend must stay out of, in `MPa^0.5`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ball {
    /// Centre.
    pub centre: Hansen,
    /// Radius, with the margin in it.
    pub radius: f64,
    /// Number of the layer that it belongs to, from 0.
    pub layer: usize,
}

/// Liquids, target and what is to be kept out of.
#[derive(Clone, Debug)]
pub struct Space {
    pub(super) points: Vec<Point>,
    pub(super) balls: Vec<(Point, f64)>,
    /// Layer of each ball.
    owners: Vec<usize>,
    /// Liquids × liquids: may not be in one blend.
    apart: Vec<bool>,
    pub(super) steps: u8,
    target: Hansen,
}

/// A blend in whole steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mix {
    /// Distance to the target, `MPa^0.5`.
    pub ra: f64,
    len: u8,
    liquids: [u16; MOST_LIQUIDS],
    units: [u8; MOST_LIQUIDS],
}

impl Mix {
    /// Liquids with their steps.
    pub fn parts(&self) -> impl Iterator<Item = (usize, u8)> + '_ {
        self.liquids[..usize::from(self.len)]
            .iter()
            .zip(&self.units)
            .map(|(l, u)| (usize::from(*l), *u))
    }
}

pub(super) fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn plus(a: Point, b: Point, scale: f64) -> Point {
    [
        a[0] + scale * b[0],
        a[1] + scale * b[1],
        a[2] + scale * b[2],
    ]
}

pub(super) fn dot(a: Point, b: Point) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Point, b: Point) -> Point {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

impl Space {
    /// A space of liquids round a target, blended in `steps` equal parts, 2 to 100 (20 for steps of 5 %).
    /// Of more than 65 000 liquids, the rest is left out.
    #[must_use]
    pub fn new(liquids: &[Hansen], target: Hansen, keep_out: &[Ball], steps: u8) -> Self {
        let seen = |it: Hansen| [2.0 * (it.d - target.d), it.p - target.p, it.h - target.h];
        let count = liquids.len().min(65_000);
        Self {
            points: liquids[..count].iter().map(|l| seen(*l)).collect(),
            balls: keep_out
                .iter()
                .map(|b| (seen(b.centre), b.radius))
                .collect(),
            owners: keep_out.iter().map(|b| b.layer).collect(),
            apart: vec![false; count * count],
            steps: steps.clamp(2, 100),
            target,
        }
    }

    /// Keeps two liquids out of one blend.
    pub fn keep_apart(&mut self, a: usize, b: usize) {
        let n = self.points.len();
        if a < n && b < n {
            self.apart[a * n + b] = true;
            self.apart[b * n + a] = true;
        }
    }

    pub(super) fn mixes(&self, a: usize, b: usize) -> bool {
        !self.apart[a * self.points.len() + b]
    }

    /// Whether a point lies outside of every ball.
    fn outside(&self, it: Point) -> bool {
        self.balls.iter().all(|(centre, radius)| {
            let from = minus(it, *centre);
            dot(from, from) >= radius * radius - HAIR
        })
    }

    /// A point as parameters.
    pub(super) fn hansen(&self, it: Point) -> Hansen {
        Hansen::point(
            self.target.d + 0.5 * it[0],
            self.target.p + it[1],
            self.target.h + it[2],
        )
    }

    /// Number of blends of up to `most` liquids, were every pair to mix.
    #[must_use]
    pub fn count(&self, most: usize) -> u64 {
        let choose = |n: u64, k: u64| (0..k.min(n + 1)).fold(1, |c, i| c * (n - i) / (i + 1));
        let n = self.points.len() as u64;
        (2..=most.min(MOST_LIQUIDS) as u64)
            .filter(|k| *k <= n)
            .map(|k| choose(n, k) * choose(u64::from(self.steps) - 1, k - 1))
            .sum()
    }

    /// Where whatever lies within `ra` of the target, and out of the balls, must lie: the ball round the
    /// target, or the smaller one round the cap that a keep-out ball leaves of it.
    fn region(&self, ra: f64) -> Region {
        let mut out = Region {
            centre: [0.0; 3],
            radius: ra,
        };
        for (centre, radius) in &self.balls {
            let away = dot(*centre, *centre);
            if away <= HAIR || away >= radius * radius {
                continue;
            }
            // From |p| ≤ ra and |p − o| ≥ r: p · (−o) ≥ (r² − o² − ra²) / 2.
            let high = (radius * radius - away - ra * ra) / (2.0 * away.sqrt());
            if high <= 0.0 {
                continue;
            }
            let rest = (ra * ra - high * high).max(0.0).sqrt();
            if rest < out.radius {
                out = Region {
                    centre: plus([0.0; 3], *centre, -high / away.sqrt()),
                    radius: rest,
                };
            }
        }
        out
    }
}

fn mix(ra: f64, liquids: &[u16], units: &[u8]) -> Mix {
    let mut out = Mix {
        ra,
        len: liquids.len() as u8,
        liquids: [0; MOST_LIQUIDS],
        units: [0; MOST_LIQUIDS],
    };
    out.liquids[..liquids.len()].copy_from_slice(liquids);
    out.units[..units.len()].copy_from_slice(units);
    out
}

/// The `keep` blends nearest to the target, of two to `most` liquids, outside of every ball; the nearest
/// first. `None` when the watch stopped it.
#[must_use]
pub fn nearest(space: &Space, most: usize, keep: usize, watch: &mut Watch<'_>) -> Option<Vec<Mix>> {
    let mut visit = Nearest {
        space,
        keep: keep.max(1),
        kept: Vec::new(),
        region: Region {
            centre: [0.0; 3],
            radius: 1e6,
        },
        limit: f64::INFINITY,
    };
    for size in 2..=most.min(MOST_LIQUIDS) {
        if !walk(space, size, &mut visit, watch) {
            return None;
        }
    }
    Some(visit.kept)
}

struct Nearest<'a> {
    space: &'a Space,
    keep: usize,
    kept: Vec<Mix>,
    region: Region,
    /// Square of the distance that a blend must undercut.
    limit: f64,
}

impl Visit for Nearest<'_> {
    fn region(&self) -> Region {
        self.region
    }

    fn point(&mut self, at: Point, liquids: &[u16], units: &[u8]) {
        let square = dot(at, at);
        if square >= self.limit || !self.space.outside(at) {
            return;
        }
        let it = mix(square.sqrt(), liquids, units);
        let place = self.kept.partition_point(|m| m.ra <= it.ra);
        self.kept.insert(place, it);
        self.kept.truncate(self.keep);
        if self.kept.len() == self.keep {
            let last = self.kept[self.keep - 1].ra;
            self.limit = last * last;
            self.region = self.space.region(last);
        }
    }
}

/// Blends within `reach` of the target and outside of every ball, of exactly `size` liquids: of each set
/// of liquids the few that cost least, where the cost of a blend is what `cost` makes of its distance
/// and its parts. Also how many lie within reach, and how many of those outside of each ball. `None` when
/// the watch stopped it.
#[must_use]
pub fn pool(
    space: &Space,
    size: usize,
    reach: f64,
    cost: &dyn Fn(&Mix) -> f64,
    watch: &mut Watch<'_>,
) -> Option<Pool> {
    let layers = space.owners.iter().max().map_or(0, |m| m + 1);
    let mut visit = Gather {
        space,
        region: Region {
            centre: [0.0; 3],
            radius: reach,
        },
        cost,
        own: Vec::new(),
        out: Pool {
            mixes: Vec::new(),
            within: 0,
            outside: vec![0; layers],
        },
    };
    walk(space, size, &mut visit, watch).then_some(visit.out)
}

/// What [`pool`] found.
#[derive(Clone, Debug, Default)]
pub struct Pool {
    /// Blends with their cost.
    pub mixes: Vec<(f64, Mix)>,
    /// Blends within reach of the target.
    pub within: u64,
    /// Of those, how many lie outside of the balls of the first layer, of the first two, and so on.
    pub outside: Vec<u64>,
}

/// Blends that are kept of one set of liquids.
const OF_ONE_SET: usize = 4;
/// Steps by which they differ at the least.
const APART: u32 = 2;

struct Gather<'a> {
    space: &'a Space,
    region: Region,
    cost: &'a dyn Fn(&Mix) -> f64,
    own: Vec<(f64, Mix)>,
    out: Pool,
}

impl Visit for Gather<'_> {
    fn region(&self) -> Region {
        self.region
    }

    fn point(&mut self, at: Point, liquids: &[u16], units: &[u8]) {
        let square = dot(at, at);
        if square > self.region.radius * self.region.radius + HAIR {
            return;
        }
        self.out.within += 1;
        // The first layer, by number, of which a ball holds the point.
        let mut held = self.out.outside.len();
        for ((centre, radius), owner) in self.space.balls.iter().zip(&self.space.owners) {
            let from = minus(at, *centre);
            if *owner < held && dot(from, from) < radius * radius - HAIR {
                held = *owner;
            }
        }
        for count in &mut self.out.outside[..held] {
            *count += 1;
        }
        if held == self.out.outside.len() {
            let it = mix(square.sqrt(), liquids, units);
            self.own.push(((self.cost)(&it), it));
        }
    }

    fn set_ends(&mut self) {
        self.own.arrange_by(|a, b| a.0.total_cmp(&b.0));
        let from = self.out.mixes.len();
        for (cost, it) in self.own.drain(..) {
            let kept = &self.out.mixes[from..];
            if kept.len() == OF_ONE_SET {
                continue;
            }
            let differs = |other: &Mix| {
                let moved: u32 = it
                    .units
                    .iter()
                    .zip(&other.units)
                    .map(|(a, b)| u32::from(a.abs_diff(*b)))
                    .sum();
                moved >= 2 * APART
            };
            if kept.iter().all(|(_, other)| differs(other)) {
                self.out.mixes.push((cost, it));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn liquids() -> Vec<Hansen> {
        vec![
            Hansen::point(15.5, 10.4, 7.0),
            Hansen::point(15.8, 8.8, 19.4),
            Hansen::point(18.0, 1.4, 2.0),
            Hansen::point(15.3, 0.0, 0.0),
            Hansen::point(15.8, 5.3, 7.2),
            Hansen::point(18.4, 16.4, 10.2),
            Hansen::point(15.5, 16.0, 42.3),
        ]
    }

    /// Every blend, one by one, with nothing left out.
    fn plainly(space: &Space, most: usize, keep: usize) -> Vec<f64> {
        let n = space.points.len();
        let s = space.steps;
        let mut out = Vec::new();
        let mut shares = vec![0_u8; n];
        fn fill(
            space: &Space,
            k: usize,
            left: u8,
            shares: &mut Vec<u8>,
            most: usize,
            out: &mut Vec<f64>,
        ) {
            if k == shares.len() {
                let used = shares.iter().filter(|u| **u > 0).count();
                if left > 0 || used < 2 || used > most {
                    return;
                }
                let mut at = [0.0; 3];
                for (p, u) in space.points.iter().zip(shares.iter()) {
                    at = plus(at, *p, f64::from(*u) / f64::from(space.steps));
                }
                let bad = (0..shares.len())
                    .any(|a| (0..a).any(|b| shares[a] > 0 && shares[b] > 0 && !space.mixes(a, b)));
                if !bad && space.outside(at) {
                    out.push(dot(at, at).sqrt());
                }
                return;
            }
            for u in 0..=left {
                shares[k] = u;
                fill(space, k + 1, left - u, shares, most, out);
            }
            shares[k] = 0;
        }
        fill(space, 0, s, &mut shares, most, &mut out);
        out.sort_by(f64::total_cmp);
        out.truncate(keep);
        out
    }

    #[test]
    fn nothing_is_left_out_that_should_be_kept() {
        let keep_out = [
            Ball {
                centre: Hansen::point(16.5, 7.5, 9.0),
                radius: 3.0,
                layer: 0,
            },
            Ball {
                centre: Hansen::point(18.0, 2.0, 6.0),
                radius: 4.0,
                layer: 1,
            },
        ];
        for target in [
            Hansen::point(17.0, 8.0, 10.0),
            Hansen::point(16.0, 6.0, 8.0),
            Hansen::point(21.0, 2.0, 3.0),
        ] {
            for balls in [&keep_out[..0], &keep_out[..1], &keep_out[..]] {
                let mut space = Space::new(&liquids(), target, balls, 10);
                space.keep_apart(3, 5);
                for most in 2..=4 {
                    let fast = nearest(&space, most, 8, &mut |_| true).unwrap();
                    let slow = plainly(&space, most, 8);
                    assert_eq!(fast.len(), slow.len());
                    for (a, b) in fast.iter().zip(&slow) {
                        assert!((a.ra - b).abs() < 1e-9, "{most}: {} {b}", a.ra);
                    }
                }
            }
        }
    }

    #[test]
    fn what_lies_within_reach_is_counted() {
        let space = Space::new(&liquids(), Hansen::point(17.0, 8.0, 10.0), &[], 10);
        let reach = 5.0;
        let all = plainly(&space, 3, usize::MAX);
        let wanted = all.iter().filter(|r| **r <= reach).count() as u64;
        let found: u64 = (2..=3)
            .map(|k| {
                pool(&space, k, reach, &|m| m.ra, &mut |_| true)
                    .unwrap()
                    .within
            })
            .sum();
        assert_eq!(found, wanted);
        assert_eq!(space.count(3), 7 * 6 / 2 * 9 + 35 * 36);
    }

    #[test]
    fn a_search_can_be_stopped() {
        let space = Space::new(&liquids(), Hansen::point(17.0, 8.0, 10.0), &[], 20);
        assert!(nearest(&space, 3, 5, &mut |_| false).is_none());
        assert!(pool(&space, 4, 5.0, &|m| m.ra, &mut |_| false).is_none());
    }
}
