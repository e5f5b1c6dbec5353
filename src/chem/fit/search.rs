//! The search for the sphere that fits best: pattern search from many starts.

use super::dice::Dice;
use super::{ROOM, TIE, Trial};
use crate::model::Hansen;
use crate::order::Arrange;

/// A centre with its best radius: sum of violations, least radius that reaches it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub(super) centre: [f64; 3],
    pub(super) wrong: f64,
    pub(super) radius: (f64, f64),
}

impl Found {
    /// Fewer violations first; of those that tie, the smaller sphere.
    pub(super) fn beats(&self, other: &Self) -> bool {
        if (self.wrong - other.wrong).abs() > TIE {
            self.wrong < other.wrong
        } else {
            self.radius.0 < other.radius.0 - 1e-9
        }
    }

    pub(super) fn hansen(&self) -> Hansen {
        let [d, p, h] = self.centre;
        Hansen::point(d, p, h)
    }
}

/// The best radii of a centre. The sum of violations is piecewise linear in the radius with its
/// corners at the distances, and convex: its least value lies at a corner, or between two.
pub(super) fn at(centre: [f64; 3], trials: &[Trial], ordered: &mut Vec<(f64, bool)>) -> Found {
    ordered.clear();
    ordered.extend(trials.iter().map(|t| {
        let (d, p, h) = (t.at.d - centre[0], t.at.p - centre[1], t.at.h - centre[2]);
        ((4.0 * d * d + p * p + h * h).sqrt(), t.good)
    }));
    ordered.arrange_by(|a, b| a.0.total_cmp(&b.0));
    // At radius zero every good liquid is outside.
    let mut wrong: f64 = ordered
        .iter()
        .filter(|(_, good)| *good)
        .map(|(r, _)| r)
        .sum();
    let mut outside = ordered.iter().filter(|(_, good)| *good).count() as f64;
    let mut inside = 0.0;
    let mut before = 0.0;
    let mut best = (wrong, 0.0, 0.0);
    for (ra, good) in ordered.iter() {
        wrong += (inside - outside) * (ra - before);
        before = *ra;
        if *good {
            outside -= 1.0;
        } else {
            inside += 1.0;
        }
        if wrong < best.0 - TIE {
            best = (wrong, *ra, *ra);
        } else if wrong <= best.0 + TIE {
            best.2 = *ra;
        }
    }
    Found {
        centre,
        wrong: best.0.max(0.0),
        radius: (best.1, best.2),
    }
}

/// Where to begin: the good liquids, their middle, and points drawn round them.
pub(super) fn starts(trials: &[Trial]) -> Vec<[f64; 3]> {
    let good: Vec<[f64; 3]> = trials
        .iter()
        .filter(|t| t.good)
        .map(|t| [t.at.d, t.at.p, t.at.h])
        .collect();
    let n = good.len() as f64;
    let middle = [0, 1, 2].map(|k| good.iter().map(|g| g[k]).sum::<f64>() / n);
    let mut out = vec![middle];
    out.extend(&good);
    let mut dice = Dice::new(7);
    for _ in 0..40 {
        out.push([0, 1, 2].map(|k| {
            let reach = if k == 0 { 4.0 } else { 9.0 };
            (middle[k] + reach * (2.0 * dice.next() - 1.0)).clamp(ROOM[k].0, ROOM[k].1)
        }));
    }
    out
}

/// The best centre from each start, best first.
pub(super) fn search(trials: &[Trial], starts: &[[f64; 3]]) -> Vec<Found> {
    let mut ordered = Vec::with_capacity(trials.len());
    let mut out: Vec<Found> = starts
        .iter()
        .map(|start| climb(*start, trials, &mut ordered))
        .collect();
    out.arrange_by(|a, b| {
        if a.beats(b) {
            std::cmp::Ordering::Less
        } else if b.beats(a) {
            std::cmp::Ordering::Greater
        } else {
            std::cmp::Ordering::Equal
        }
    });
    out
}

/// Directions of the pattern search: the axes and the diagonals, so that a ridge is followed.
pub(super) const WAYS: [[f64; 3]; 13] = [
    [1.0, 0.0, 0.0],
    [0.0, 1.0, 0.0],
    [0.0, 0.0, 1.0],
    [0.7, 0.7, 0.0],
    [0.7, -0.7, 0.0],
    [0.7, 0.0, 0.7],
    [0.7, 0.0, -0.7],
    [0.0, 0.7, 0.7],
    [0.0, 0.7, -0.7],
    [0.6, 0.6, 0.6],
    [0.6, 0.6, -0.6],
    [0.6, -0.6, 0.6],
    [-0.6, 0.6, 0.6],
];

pub(super) fn in_room(centre: [f64; 3]) -> bool {
    centre
        .iter()
        .zip(&ROOM)
        .all(|(c, (low, high))| (low..=high).contains(&c))
}

pub(super) fn climb(start: [f64; 3], trials: &[Trial], ordered: &mut Vec<(f64, bool)>) -> Found {
    let mut best = at(start, trials, ordered);
    let mut step = 2.0;
    while step > 1e-4 {
        let mut moved = false;
        for way in WAYS {
            for sign in [1.0, -1.0] {
                let centre = [0, 1, 2].map(|k| {
                    // δD counts twice in the distance.
                    let scale = if k == 0 { 0.5 } else { 1.0 };
                    best.centre[k] + sign * step * scale * way[k]
                });
                if !in_room(centre) {
                    continue;
                }
                let next = at(centre, trials, ordered);
                if next.beats(&best) {
                    best = next;
                    moved = true;
                }
            }
        }
        if !moved {
            step *= 0.5;
        }
    }
    best
}
