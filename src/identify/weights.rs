//! Weights of evidence as Owen values (G. Owen, "Values of games with a priori unions", 1977):
//! Shapley over the clusters, then over the observations inside each, of the log odds in decibels
//! that a set of observations gives. They add up to final less prior odds, in any order.

use std::collections::BTreeMap;

use super::evidence::Evidence;
use super::expectation::dot;

/// Most sets that are weighed exactly; beyond, orders are drawn with a fixed seed, and each order
/// still adds up.
const MOST_SETS: usize = 4096;
const DRAWN_ORDERS: usize = 64;
/// Work that is spent on drawn orders: an order costs the square of the number of observations, and
/// where they are many, fewer orders are drawn.
const DRAWN_WORK: usize = 100_000;
const LEAST_ORDERS: usize = 4;

/// Weight of every usable observation for each candidate shown: `[candidate][usable]`, decibels.
pub(super) fn owen(evidence: &Evidence<'_>, prior: &[f64], shown: &[usize]) -> Vec<Vec<f64>> {
    let n = evidence.usable.len();
    let mut out = vec![vec![0.0; n]; shown.len()];
    if n == 0 || shown.is_empty() {
        return out;
    }
    let clusters: Vec<&Vec<usize>> = evidence
        .clusters
        .iter()
        .map(|(_, members)| members)
        .collect();
    let mut cache = Cache {
        evidence,
        prior,
        shown,
        known: BTreeMap::new(),
    };
    let widest = clusters.iter().map(|c| c.len()).max().unwrap_or(0);
    let sets = (1_usize << clusters.len().min(20)).saturating_mul(1 << widest.min(20));
    if clusters.len() < 20 && widest < 20 && sets <= MOST_SETS {
        exact(&mut cache, &clusters, &mut out);
    } else {
        drawn(&mut cache, &clusters, &mut out);
    }
    out
}

struct Cache<'a, 'b> {
    evidence: &'a Evidence<'b>,
    prior: &'a [f64],
    shown: &'a [usize],
    known: BTreeMap<Vec<bool>, Vec<f64>>,
}

impl Cache<'_, '_> {
    /// Log odds in decibels of each candidate shown, given a set of observations.
    fn odds(&mut self, chosen: &[bool]) -> Vec<f64> {
        if let Some(found) = self.known.get(chosen) {
            return found.clone();
        }
        let (likelihood, none) = self.evidence.likelihoods(chosen);
        let total = dot(&likelihood, self.prior) + none * super::NONE_PRIOR;
        let share = |m: usize| {
            if total > 0.0 {
                likelihood[m] * self.prior[m] / total
            } else {
                0.0
            }
        };
        let odds: Vec<f64> = self
            .shown
            .iter()
            .map(|m| decibels(share(*m), 1.0 - share(*m)))
            .collect();
        self.known.insert(chosen.to_vec(), odds.clone());
        odds
    }
}

/// Odds in decibels, kept finite.
pub(super) fn decibels(p: f64, q: f64) -> f64 {
    10.0 * (p.max(1e-12) / q.max(1e-12)).log10()
}

fn exact(cache: &mut Cache<'_, '_>, clusters: &[&Vec<usize>], out: &mut [Vec<f64>]) {
    let n = cache.evidence.usable.len();
    for (k, members) in clusters.iter().enumerate() {
        let others: Vec<usize> = (0..clusters.len()).filter(|c| *c != k).collect();
        for outer in 0..1_usize << others.len() {
            let mut base = vec![false; n];
            for (bit, c) in others.iter().enumerate() {
                if outer >> bit & 1 == 1 {
                    for u in clusters[*c] {
                        base[*u] = true;
                    }
                }
            }
            let outer_weight = shapley(outer.count_ones() as usize, clusters.len());
            for u in *members {
                let inner: Vec<usize> = members.iter().copied().filter(|v| v != u).collect();
                for set in 0..1_usize << inner.len() {
                    let mut without = base.clone();
                    for (bit, v) in inner.iter().enumerate() {
                        if set >> bit & 1 == 1 {
                            without[*v] = true;
                        }
                    }
                    let mut with = without.clone();
                    with[*u] = true;
                    let weight = outer_weight * shapley(set.count_ones() as usize, members.len());
                    let before = cache.odds(&without);
                    let after = cache.odds(&with);
                    for (c, row) in out.iter_mut().enumerate() {
                        row[*u] += weight * (after[c] - before[c]);
                    }
                }
            }
        }
    }
}

/// Weight of a set of `s` others among `n` players: s! (n - s - 1)! / n!
fn shapley(s: usize, n: usize) -> f64 {
    let mut weight = 1.0 / n as f64;
    for k in 0..s {
        weight *= (s - k) as f64 / (n - 1 - k) as f64;
    }
    weight
}

fn drawn(cache: &mut Cache<'_, '_>, clusters: &[&Vec<usize>], out: &mut [Vec<f64>]) {
    let n = cache.evidence.usable.len();
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut next = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below as u64).unwrap_or(0)
    };
    let mut shuffle = |items: &mut Vec<usize>| {
        for k in (1..items.len()).rev() {
            items.swap(k, next(k + 1));
        }
    };
    let orders = (DRAWN_WORK / (n * n).max(1)).clamp(LEAST_ORDERS, DRAWN_ORDERS);
    for _ in 0..orders {
        let mut order: Vec<usize> = (0..clusters.len()).collect();
        shuffle(&mut order);
        let mut chosen = vec![false; n];
        let mut before = cache.odds(&chosen);
        for k in order {
            let mut members = clusters[k].clone();
            shuffle(&mut members);
            for u in members {
                chosen[u] = true;
                let after = cache.odds(&chosen);
                for (c, row) in out.iter_mut().enumerate() {
                    row[u] += (after[c] - before[c]) / orders as f64;
                }
                before = after;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::shapley;

    #[test]
    fn shapley_weights_sum_to_one() {
        // Sum over all sets of the others: C(n-1, s) sets of each size.
        for n in 1..9_usize {
            let mut sum = 0.0;
            let mut choose = 1.0;
            for s in 0..n {
                sum += choose * shapley(s, n);
                choose = choose * (n - 1 - s) as f64 / (s + 1) as f64;
            }
            assert!((sum - 1.0).abs() < 1e-12, "{n}: {sum}");
        }
    }
}
