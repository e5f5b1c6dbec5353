//! Bayes' rule and expected information over many hypotheses and tests at once.
//!
//! For a belief `b` and a test with likelihoods `L[o][h]`, the expected information is
//!
//! ```text
//! I = H(o) + Σ_h b_h Σ_o L[o][h] log2 L[o][h]        H(o) = -Σ_o P(o) log2 P(o), P(o) = Σ_h b_h L[o][h]
//! ```
//!
//! (Lindley 1956; Shannon 1948; from memory). The inner sum does not depend on the belief and is
//! reckoned once a test, so that a gain costs one pass over the likelihoods and a logarithm an
//! outcome. Between groups of hypotheses (families) the gain is `H(o) + H(g) - H(o, g)`.

use wide::f64x4;

/// Numbers that are reckoned with at once.
pub(super) const LANES: usize = 4;
/// Sums of so many kept side by side, so that the processor need not wait for one addition before the next.
const SUMS: usize = 2;

/// Likelihoods of the outcomes of some tests under some hypotheses.
#[derive(Clone, Debug, Default)]
pub struct Outcomes {
    hypotheses: usize,
    /// First row of each test, and one past the last of all.
    starts: Vec<usize>,
    /// One row an outcome, one column a hypothesis.
    rows: Vec<f64>,
    /// Σ_o L log2 L, one row a test.
    certainty: Vec<f64>,
}

impl Outcomes {
    /// No tests yet, over so many hypotheses.
    #[must_use]
    pub fn new(hypotheses: usize) -> Self {
        Self {
            hypotheses,
            starts: vec![0],
            ..Self::default()
        }
    }

    /// Takes a test: its likelihoods, outcome by outcome, hypothesis by hypothesis in each. Every
    /// hypothesis' own must sum to 1 over the outcomes. Returns its number. A row that is cut short
    /// counts as nought.
    pub fn push(&mut self, likelihoods: &[f64]) -> usize {
        let n = self.hypotheses.max(1);
        let outcomes = likelihoods.len() / n;
        let rows = &likelihoods[..outcomes * n];
        let from = self.certainty.len();
        self.certainty.resize(from + n, 0.0);
        for row in rows.chunks_exact(n) {
            for (sum, l) in self.certainty[from..].iter_mut().zip(row) {
                *sum -= entropy(*l);
            }
        }
        self.rows.extend_from_slice(rows);
        let last = self.starts.last().copied().unwrap_or(0);
        self.starts.push(last + outcomes);
        self.tests() - 1
    }

    /// Makes room for so many tests that have so many outcomes together.
    pub(super) fn reserve(&mut self, tests: usize, outcomes: usize) {
        self.starts.reserve(tests);
        self.rows.reserve(outcomes * self.hypotheses);
        self.certainty.reserve(tests * self.hypotheses);
    }

    /// [`Outcomes::push`] from columns of which many hypotheses share one: one run of outcomes a column, and
    /// the column of each hypothesis, and the entropy of each column.
    pub(super) fn push_columns(
        &mut self,
        columns: &[f64],
        outcomes: usize,
        of: &[u8],
        entropies: &[f64],
    ) -> usize {
        for o in 0..outcomes {
            self.rows
                .extend(of.iter().map(|c| columns[usize::from(*c) * outcomes + o]));
        }
        self.certainty
            .extend(of.iter().map(|c| -entropies[usize::from(*c)]));
        let last = self.starts.last().copied().unwrap_or(0);
        self.starts.push(last + outcomes);
        self.tests() - 1
    }

    /// How many tests there are.
    #[must_use]
    pub fn tests(&self) -> usize {
        self.starts.len().saturating_sub(1)
    }

    /// How many outcomes a test has.
    #[must_use]
    pub fn outcomes(&self, test: usize) -> usize {
        self.starts[test + 1] - self.starts[test]
    }

    /// Likelihoods of one outcome.
    #[must_use]
    #[inline]
    pub fn row(&self, test: usize, outcome: usize) -> &[f64] {
        let from = (self.starts[test] + outcome) * self.hypotheses;
        &self.rows[from..from + self.hypotheses]
    }

    /// Probability of an outcome under a belief.
    #[must_use]
    pub fn probability(&self, belief: &[f64], test: usize, outcome: usize) -> f64 {
        dot(belief, self.row(test, outcome))
    }

    /// Belief after outcomes were seen, (test, outcome) each; it sums to 1. Where none of the
    /// hypotheses allows what was seen, the belief stays.
    #[must_use]
    pub fn posterior(&self, belief: &[f64], seen: &[(usize, usize)]) -> Vec<f64> {
        let mut out = belief.to_vec();
        for (test, outcome) in seen {
            for (p, l) in out.iter_mut().zip(self.row(*test, *outcome)) {
                *p *= l;
            }
        }
        let total = sum(&out);
        if total <= 0.0 {
            return belief.to_vec();
        }
        let scale = 1.0 / total;
        for p in &mut out {
            *p *= scale;
        }
        out
    }

    /// Belief after the outcome was one of several of a test, with the probability of that.
    #[must_use]
    pub fn after_any(&self, belief: &[f64], test: usize, any: &[usize]) -> (Vec<f64>, f64) {
        let mut out = vec![0.0; belief.len()];
        for outcome in any {
            let row = self.row(test, *outcome);
            for ((o, p), l) in out.iter_mut().zip(belief).zip(row) {
                *o += p * l;
            }
        }
        let total = sum(&out);
        if total > 0.0 {
            for p in &mut out {
                *p /= total;
            }
        }
        (out, total)
    }

    /// Expected information of a test on the hypotheses, bits. The belief must sum to 1.
    #[must_use]
    pub fn gain(&self, belief: &[f64], test: usize) -> f64 {
        let outcomes = self.outcomes(test);
        if outcomes == 0 {
            return 0.0;
        }
        // The last outcome has what the others leave.
        let mut left = sum(belief);
        let mut spread = 0.0;
        for outcome in 0..outcomes - 1 {
            let p = self.probability(belief, test, outcome);
            left -= p;
            spread += entropy(p);
        }
        spread += entropy(left);
        let from = test * self.hypotheses;
        let certain = dot(belief, &self.certainty[from..from + self.hypotheses]);
        (spread + certain).max(0.0)
    }

    /// Expected information of every test, bits.
    #[must_use]
    pub fn gains(&self, belief: &[f64]) -> Vec<f64> {
        (0..self.tests()).map(|t| self.gain(belief, t)).collect()
    }

    /// What each test tells where a hypothesis is true, bits: `Σ_o L[o][h] log2(L[o][h] / P(o))`, hypothesis by
    /// hypothesis, test by test. Its mean over the belief is the gain.
    pub(super) fn told(&self, belief: &[f64]) -> Vec<f64> {
        let mut out = self.certainty.clone();
        for (test, own) in out.chunks_exact_mut(self.hypotheses.max(1)).enumerate() {
            for outcome in 0..self.outcomes(test) {
                let row = self.row(test, outcome);
                let p = dot(belief, row);
                if p > 0.0 {
                    let bits = -p.log2();
                    for (told, l) in own.iter_mut().zip(row) {
                        *told += l * bits;
                    }
                }
            }
        }
        out
    }

    /// Expected information of a test on which group it is, bits. A group is a run of hypotheses;
    /// `ends` holds one past the last of each.
    #[must_use]
    pub fn gain_between(&self, belief: &[f64], test: usize, ends: &[usize]) -> f64 {
        self.gain_between_of(belief, test, ends, between(belief, ends))
    }

    /// The same, where the entropy of the groups is known: it does not depend on the test.
    pub(super) fn gain_between_of(
        &self,
        belief: &[f64],
        test: usize,
        ends: &[usize],
        groups: f64,
    ) -> f64 {
        let mut joint = 0.0;
        let mut spread = 0.0;
        for outcome in 0..self.outcomes(test) {
            let row = self.row(test, outcome);
            let mut from = 0;
            let mut p = 0.0;
            for end in ends {
                let own: f64 = belief[from..*end]
                    .iter()
                    .zip(&row[from..*end])
                    .map(|(b, l)| b * l)
                    .sum();
                joint += entropy(own);
                p += own;
                from = *end;
            }
            spread += entropy(p);
        }
        (spread + groups - joint).max(0.0)
    }
}

/// Entropy of which group it is, bits.
pub(super) fn between(belief: &[f64], ends: &[usize]) -> f64 {
    let mut from = 0;
    let own = ends.iter().map(|end| {
        let share: f64 = belief[from..*end].iter().sum();
        from = *end;
        entropy(share)
    });
    own.sum()
}

/// What an outcome of this probability adds to an entropy, bits.
#[inline]
pub(super) fn entropy(p: f64) -> f64 {
    if p > 0.0 { -p * p.log2() } else { 0.0 }
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let ((own, rest), (other, more)) = (a.as_chunks(), b.as_chunks());
    let mut sums = [f64x4::ZERO; SUMS];
    for (x, y) in own.iter().zip(other) {
        for (sum, (x, y)) in sums.iter_mut().zip(quads(x).zip(quads(y))) {
            *sum += x * y;
        }
    }
    let rest = rest.iter().zip(more).map(|(x, y)| x * y);
    added(sums) + rest.sum::<f64>()
}

pub(super) fn sum(a: &[f64]) -> f64 {
    let (own, rest) = a.as_chunks();
    let mut sums = [f64x4::ZERO; SUMS];
    for x in own {
        for (sum, x) in sums.iter_mut().zip(quads(x)) {
            *sum += x;
        }
    }
    added(sums) + rest.iter().sum::<f64>()
}

fn quads(numbers: &[f64; SUMS * LANES]) -> impl Iterator<Item = f64x4> {
    numbers.as_chunks().0.iter().map(|it| f64x4::new(*it))
}

fn added(sums: [f64x4; SUMS]) -> f64 {
    sums.into_iter().sum::<f64x4>().reduce_add()
}

#[cfg(test)]
mod tests {
    use super::Outcomes;

    #[test]
    fn a_test_that_says_nothing_gains_nothing() {
        let mut all = Outcomes::new(2);
        let dull = all.push(&[0.5, 0.5, 0.5, 0.5]);
        assert!(all.gain(&[0.5, 0.5], dull).abs() < 1e-12);
        assert_eq!(all.posterior(&[0.3, 0.7], &[(dull, 1)]), vec![0.3, 0.7]);
    }

    /// Members of one group that a test parts gain nothing between groups; lanes and remainder of a
    /// long belief agree with the plain sum.
    #[test]
    fn gains_between_groups_leave_out_what_parts_their_members() {
        let mut all = Outcomes::new(4);
        let members = all.push(&[0.9, 0.1, 0.9, 0.1, 0.1, 0.9, 0.1, 0.9]);
        let groups = all.push(&[0.9, 0.9, 0.1, 0.1, 0.1, 0.1, 0.9, 0.9]);
        let belief = [0.25; 4];
        assert!(all.gain_between(&belief, members, &[2, 4]).abs() < 1e-12);
        let between = all.gain_between(&belief, groups, &[2, 4]);
        assert!((between - all.gain(&belief, groups)).abs() < 1e-12);
        assert!(between > 0.5);
        let n = 37;
        let mut long = Outcomes::new(n);
        let mut rows = vec![0.0; 2 * n];
        for h in 0..n {
            rows[h] = (h as f64 + 1.0) / 40.0;
            rows[n + h] = 1.0 - rows[h];
        }
        let test = long.push(&rows);
        let belief = vec![1.0 / n as f64; n];
        let plain: f64 = rows[..n].iter().sum::<f64>() / n as f64;
        assert!((long.probability(&belief, test, 0) - plain).abs() < 1e-12);
    }

    /// The mean of what a test tells by hypothesis is its gain, and after an outcome of another test the mean by
    /// the belief then is no less than the gain then: what was foretold before is not what is likely now.
    #[test]
    fn what_was_foretold_bounds_the_gain_after_an_outcome() {
        let n = 21;
        let mut seed = 20_261_130_u64;
        let mut random = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) as f64 / (1_u64 << 31) as f64
        };
        let mut all = Outcomes::new(n);
        for outcomes in [2, 3, 5] {
            let mut rows: Vec<f64> = (0..outcomes * n).map(|_| random().powi(3)).collect();
            for h in 0..n {
                let total: f64 = (0..outcomes).map(|o| rows[o * n + h]).sum();
                (0..outcomes).for_each(|o| rows[o * n + h] /= total);
            }
            all.push(&rows);
        }
        let mut belief: Vec<f64> = (0..n).map(|_| random()).collect();
        belief[3] = 0.0;
        let total: f64 = belief.iter().sum();
        belief.iter_mut().for_each(|p| *p /= total);
        let told = all.told(&belief);
        for test in 0..all.tests() {
            let own = &told[test * n..][..n];
            assert!((super::dot(&belief, own) - all.gain(&belief, test)).abs() < 1e-12);
            let mut is_less = false;
            for other in (0..all.tests()).filter(|other| *other != test) {
                for outcome in 0..all.outcomes(other) {
                    let after = all.posterior(&belief, &[(other, outcome)]);
                    let (bound, gain) = (super::dot(&after, own), all.gain(&after, test));
                    assert!(gain <= bound + 1e-12, "{gain} {bound}");
                    let whole = all.gain(&belief, test) / all.probability(&belief, other, outcome);
                    assert!(bound <= whole + 1e-12, "{bound} {whole}");
                    is_less |= gain < bound - 1e-6;
                }
            }
            assert!(is_less);
        }
    }
}
