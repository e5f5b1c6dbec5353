//! Weights of evidence as Owen values (G. Owen, "Values of games with a priori unions", 1977):
//! Shapley over the clusters, then over the observations inside each, of the log odds in decibels
//! that a set of observations gives. They add up to final less prior odds, in any order.

use super::chosen::Chosen;
use super::evidence::{Begun, Evidence};
use super::product::ByAge;

/// Sets of observations are weighed exactly where there are no more than two to this power: one bit a cluster,
/// and one an observation of the widest. Beyond, orders are drawn with a fixed seed, and each order still adds up.
const MOST_BITS: usize = 12;
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
    let weighing = Weighing {
        evidence,
        prior: evidence.by_age(prior),
        shown,
    };
    let widest = clusters.iter().map(|c| c.len()).max().unwrap_or(0);
    // So there are no more than 36 observations, and a set of them is a word of 64 bits.
    if clusters.len() + widest <= MOST_BITS {
        exact(&weighing, &clusters, &mut out);
    } else {
        drawn(&weighing, &clusters, &mut out);
    }
    out
}

/// What a set of observations is weighed by.
struct Weighing<'a, 'b> {
    evidence: &'a Evidence<'b>,
    prior: ByAge,
    shown: &'a [usize],
}

impl Weighing<'_, '_> {
    /// What is alike in all sets that choose the same of one part.
    fn begun(&self, part: usize, chosen: &Chosen) -> Begun {
        self.evidence.begun(part, chosen, &self.prior)
    }

    /// Log odds in decibels of each candidate shown, given a set of observations.
    fn odds(&self, chosen: &Chosen, begun: &Begun, out: &mut [f64]) {
        let total = self.evidence.shares(chosen, begun, self.shown, out);
        for own in out {
            let share = if total > 0.0 { *own / total } else { 0.0 };
            *own = decibels(share, 1.0 - share);
        }
    }
}

/// Odds in decibels, kept finite.
pub(super) fn decibels(p: f64, q: f64) -> f64 {
    10.0 * (p.max(1e-12) / q.max(1e-12)).log10()
}

fn exact(weighing: &Weighing<'_, '_>, clusters: &[&Vec<usize>], out: &mut [Vec<f64>]) {
    let mut sets = Vec::new();
    each_step(clusters, |step| sets.extend([step.without, step.with()]));
    sets.sort_unstable();
    sets.dedup();
    let odds = Odds::new(weighing, sets);
    each_step(clusters, |step| {
        let (before, after) = (odds.of(step.without), odds.of(step.with()));
        for ((row, before), after) in out.iter_mut().zip(before).zip(after) {
            row[step.added] += step.weight * (after - before);
        }
    });
}

/// An observation that is added to a set of others, a bit an observation.
struct Step {
    weight: f64,
    without: u64,
    added: usize,
}

impl Step {
    const fn with(&self) -> u64 {
        self.without | 1 << self.added
    }
}

/// Every way in which an observation comes to whole clusters and to some of its own.
fn each_step(clusters: &[&Vec<usize>], mut of: impl FnMut(Step)) {
    let bits = |members: &&Vec<usize>| members.iter().fold(0, |set, u| set | 1 << u);
    let whole: Vec<u64> = clusters.iter().map(bits).collect();
    for (k, members) in clusters.iter().enumerate() {
        let outer_sets = [&whole[..k], &whole[k + 1..]].concat();
        for u in *members {
            let inner_sets: Vec<u64> = members.iter().filter(|v| *v != u).map(|v| 1 << v).collect();
            for outer in subsets(&outer_sets) {
                let outer_weight = shapley(outer.count, clusters.len());
                for inner in subsets(&inner_sets) {
                    of(Step {
                        weight: outer_weight * shapley(inner.count, members.len()),
                        without: outer.union | inner.union,
                        added: *u,
                    });
                }
            }
        }
    }
}

/// Odds of sets of observations: of each candidate shown, decibels.
struct Odds {
    /// The sets in order.
    sets: Vec<u64>,
    candidates: usize,
    /// One run of candidates a set.
    flat: Vec<f64>,
}

impl Odds {
    /// Of these sets, which are in order. What is alike in the widest part stands together while it is reckoned, so that no more than
    /// one choice of it is kept: each is as long as the corpus.
    fn new(weighing: &Weighing<'_, '_>, sets: Vec<u64>) -> Self {
        let evidence = weighing.evidence;
        let (widest, members) = evidence.widest_part();
        let widest_of = members.iter().fold(0_u64, |own, u| own | 1 << u);
        let candidates = weighing.shown.len();
        let mut flat = vec![0.0; sets.len() * candidates];
        let mut order: Vec<usize> = (0..sets.len()).collect();
        order.sort_unstable_by_key(|at| (sets[*at] & widest_of, *at));
        let chosen = |set: u64| Chosen::of_bits(set, evidence.usable.len());
        let is_alike = |a: &usize, b: &usize| sets[*a] & widest_of == sets[*b] & widest_of;
        for alike in order.chunk_by(is_alike) {
            let begun = weighing.begun(widest, &chosen(sets[alike[0]]));
            for at in alike {
                let own = &mut flat[at * candidates..][..candidates];
                weighing.odds(&chosen(sets[*at]), &begun, own);
            }
            evidence.let_go(widest);
        }
        Self {
            sets,
            candidates,
            flat,
        }
    }

    /// Of one that is among them.
    fn of(&self, set: u64) -> &[f64] {
        let Ok(at) = self.sets.binary_search(&set) else {
            unreachable!("the odds of every set that a step touches were reckoned")
        };
        &self.flat[at * self.candidates..][..self.candidates]
    }
}

/// Some of several sets: how many they are, and what they hold.
struct Subset {
    count: usize,
    union: u64,
}

/// Every choice of some of these sets.
fn subsets(sets: &[u64]) -> impl Iterator<Item = Subset> {
    (0..1_u64 << sets.len()).map(|chosen| {
        let own = sets.iter().enumerate();
        let own = own.filter(|(k, _)| chosen >> k & 1 == 1);
        Subset {
            count: chosen.count_ones() as usize,
            union: own.fold(0, |union, (_, set)| union | set),
        }
    })
}

/// Weight of a set of `s` others among `n` players: s! (n - s - 1)! / n!
fn shapley(s: usize, n: usize) -> f64 {
    let mut weight = 1.0 / n as f64;
    for k in 0..s {
        weight *= (s - k) as f64 / (n - 1 - k) as f64;
    }
    weight
}

fn drawn(weighing: &Weighing<'_, '_>, clusters: &[&Vec<usize>], out: &mut [Vec<f64>]) {
    let n = weighing.evidence.usable.len();
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
        let mut chosen = Chosen::none(n);
        let odds = |chosen: &Chosen| {
            let mut own = vec![0.0; weighing.shown.len()];
            weighing.odds(chosen, &weighing.begun(0, chosen), &mut own);
            own
        };
        let mut before = odds(&chosen);
        for k in order {
            let mut members = clusters[k].clone();
            shuffle(&mut members);
            for u in members {
                chosen.insert(u);
                let after = odds(&chosen);
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
