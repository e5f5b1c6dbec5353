//! One step and two: what a test is worth, and what it is worth with the best that can follow it.

use super::cost::Cost;
use crate::identify::gain::{Outcomes, between, dot};
use crate::order::Arrange;

/// What a bit is worth that only tells members of one family apart, beside one that tells families
/// apart: members of a family mostly come off alike, so the family is asked first. A quarter and a tenth were
/// tried on every second material of the second set (`tests/calibration`): the tenth wants a test less of
/// eleven, and no more of the object.
const MEMBERS: f64 = 0.1;
/// A second test of a cluster tells less than its own figures say.
const SAME_CLUSTER: f64 = 0.6;
/// Outcomes rarer than this are not followed: what may come after them counts as nothing.
const FOLLOWED: f64 = 0.02;
/// Rates that differ by less are alike.
const ALIKE: f64 = 1e-9;
/// Rounds in which the best rate of a pair is sought; it settles in two or three.
const ROUNDS: usize = 6;

/// The tests, their costs and clusters, and the hypotheses grouped by family.
pub(super) struct Field {
    pub(super) outcomes: Outcomes,
    /// One past the last hypothesis of each family.
    pub(super) ends: Vec<usize>,
    pub(super) cost: Vec<Cost>,
    /// Outcomes that leave the crumb as it was, for drops of liquid.
    pub(super) leaves: Vec<Option<u64>>,
    /// Cluster of each test, by number.
    pub(super) cluster: Vec<usize>,
}

/// What is known and what may still be done.
#[derive(Clone)]
pub(super) struct State {
    pub(super) belief: Vec<f64>,
    /// Clusters from which a test was done already.
    pub(super) asked: Vec<bool>,
    /// Tests that may be done now.
    pub(super) open: Vec<bool>,
    /// Tests that a negative of another opens: (that other, tests).
    pub(super) opened_by: Vec<(usize, Vec<usize>)>,
    /// Whether a crumb lies there that a liquid left as it was.
    pub(super) crumb: bool,
}

/// The rate of a test and what it opens.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rate {
    /// Worth over cost.
    pub(super) value: f64,
    /// The test that most probably follows, where it makes the rate better.
    pub(super) opens: Option<usize>,
}

/// What holds of all tests at one belief.
struct Now {
    /// Expected bits of each test.
    gains: Vec<f64>,
    /// Bits that each test tells where a hypothesis is true, hypothesis by hypothesis, test by test.
    told: Vec<f64>,
    /// Entropy of the families.
    families: f64,
    /// What discounts each test.
    discounts: Vec<f64>,
}

/// How far it is known what a follower is worth: each step is dearer to reckon than the one before.
#[derive(Clone, Copy)]
enum Known {
    /// No more than it is worth before the outcome, over the probability of that.
    Promised,
    /// No more than if as much as can be of what it tells were of the family.
    Bits,
    /// Just that much.
    Worth,
}

/// A test that may follow.
#[derive(Clone, Copy)]
struct Follower {
    test: usize,
    discount: f64,
    /// Bits that it tells at most, and once they are known just those.
    bits: f64,
    /// What it is worth at most, as far as that is known.
    worth: f64,
    cost: f64,
    known: Known,
}

impl Follower {
    /// What it leaves at most, above what a bit must cost.
    fn left(&self, rate: f64) -> f64 {
        self.worth - rate * self.cost
    }

    /// Whether it may leave more than the best so far, or as much and stands before it.
    fn may_be_better(&self, best: Option<&Self>, rate: f64) -> bool {
        let left = self.left(rate);
        best.map_or(left > 0.0, |best| {
            let most = best.left(rate);
            left > most || (left == most && self.test < best.test)
        })
    }

    /// It is worth so many bits, where the families have so much entropy left: it tells no more of the
    /// family than that, and no more of it than of all.
    fn bound(&mut self, bits: f64, families: f64) {
        self.bits = bits;
        self.worth = worth(bits, bits.min(self.discount * families));
    }
}

/// An outcome of a test, and what may follow it.
struct Sequel {
    outcome: usize,
    probability: f64,
    followers: Vec<Follower>,
    /// Once it was asked for.
    after: Option<After>,
}

/// What is believed after an outcome.
struct After {
    belief: Vec<f64>,
    /// Entropy of the families.
    families: f64,
}

impl Field {
    fn discount(&self, state: &State, test: usize) -> f64 {
        match state.asked.get(self.cluster[test]) {
            Some(true) => SAME_CLUSTER,
            _ => 1.0,
        }
    }

    /// What a test costs here: less where a crumb is there for it.
    pub(super) fn cost(&self, crumb: bool, test: usize) -> f64 {
        let cost = self.cost[test];
        cost.whole - if crumb { cost.saved } else { 0.0 }
    }

    /// Whether a crumb is there after one of these outcomes.
    pub(super) fn crumb_after(&self, before: bool, test: usize, any: &[usize]) -> bool {
        self.leaves[test].map_or(before, |left| any.iter().all(|o| left >> o & 1 == 1))
    }

    /// What a test would tell, bits: of all, and of the family.
    pub(super) fn bits(&self, state: &State, test: usize) -> (f64, f64) {
        let discount = self.discount(state, test);
        let all = self.outcomes.gain(&state.belief, test);
        let between = self.outcomes.gain_between(&state.belief, test, &self.ends);
        (discount * all, discount * between)
    }

    /// What a test alone is worth.
    pub(super) fn worth(&self, state: &State, test: usize) -> f64 {
        let (all, between) = self.bits(state, test);
        worth(all, between)
    }

    fn now(&self, state: &State) -> Now {
        Now {
            gains: self.outcomes.gains(&state.belief),
            told: self.outcomes.told(&state.belief),
            families: between(&state.belief, &self.ends),
            discounts: (0..self.outcomes.tests())
                .map(|test| self.discount(state, test))
                .collect(),
        }
    }

    /// The same as [`Field::worth`], where what holds of all tests is known.
    fn worth_now(&self, state: &State, now: &Now, test: usize) -> f64 {
        let between = self
            .outcomes
            .gain_between_of(&state.belief, test, &self.ends, now.families);
        now.discounts[test] * worth(now.gains[test], between)
    }

    /// The best rate that a test can begin: alone, or with the test that is best after each of its
    /// outcomes, where that one's rate is the better. `None` where it stays below a floor.
    ///
    /// Made greatest step by step, the ratio is that of the best pair (the method of Dinkelbach 1967; from
    /// memory). It may begin at any rate, and says then whether there is a better one.
    fn rate_now(
        &self,
        state: &State,
        now: &Now,
        (test, worth_alone): (usize, f64),
        floor: f64,
    ) -> Option<Rate> {
        let cost = self.cost(state.crumb, test);
        let alone = worth_alone / cost;
        let begin = alone.max(floor);
        let mut sequels = self.sequels(state, now, test, begin);
        let mut rate = (alone >= floor).then_some(Rate {
            value: alone,
            opens: None,
        });
        for _ in 0..ROUNDS {
            let value = rate.map_or(begin, |it| it.value);
            let (better, opens) =
                self.with_best((state, now, test), &mut sequels, (worth_alone, cost), value);
            if better <= value + ALIKE {
                break;
            }
            rate = Some(Rate {
                value: better,
                opens,
            });
        }
        rate
    }

    /// The worth over the cost of a test with what is best after each of its outcomes at a rate, where that
    /// leaves something; and the test that most probably follows.
    fn with_best(
        &self,
        (state, now, test): (&State, &Now, usize),
        sequels: &mut [Sequel],
        (worth_alone, cost): (f64, f64),
        rate: f64,
    ) -> (f64, Option<usize>) {
        let (mut sum, mut spent) = (worth_alone, cost);
        let mut most = 0.0;
        let mut first = None;
        for sequel in sequels {
            let Some(it) = self.best((&state.belief, now), test, sequel, rate) else {
                continue;
            };
            let probability = sequel.probability;
            sum += probability * it.worth;
            spent += probability * it.cost;
            let left = it.left(rate);
            if probability * left > most {
                most = probability * left;
                first = Some(it.test);
            }
        }
        (sum / spent, first)
    }

    /// The outcomes of a test that something may follow which leaves something above a rate.
    fn sequels(&self, state: &State, now: &Now, test: usize, rate: f64) -> Vec<Sequel> {
        let mut out = Vec::new();
        for outcome in 0..self.outcomes.outcomes(test) {
            let probability = self.outcomes.probability(&state.belief, test, outcome);
            if probability < FOLLOWED {
                continue;
            }
            let followers = self.followers(state, now, (test, outcome, probability), rate);
            if !followers.is_empty() {
                out.push(Sequel {
                    outcome,
                    probability,
                    followers,
                    after: None,
                });
            }
        }
        out
    }

    /// What may follow an outcome of a test, as far as it can leave something above a rate or a higher one.
    fn followers(
        &self,
        state: &State,
        now: &Now,
        (test, outcome, probability): (usize, usize, f64),
        rate: f64,
    ) -> Vec<Follower> {
        let crumb = self.crumb_after(state.crumb, test, &[outcome]);
        // The first outcome is the positive one.
        let opened = if outcome > 0 { state.opened(test) } else { &[] };
        let mut out = Vec::with_capacity(self.outcomes.tests());
        for next in 0..self.outcomes.tests() {
            if next == test || !(state.open[next] || opened.contains(&next)) {
                continue;
            }
            let discount = if self.cluster[next] == self.cluster[test] {
                SAME_CLUSTER
            } else {
                now.discounts[next]
            };
            // A test tells after another no more on the whole than it tells now (given a hypothesis
            // the two are independent), so after one outcome no more than that over its probability.
            let bits = discount * now.gains[next] / probability;
            let it = Follower {
                test: next,
                discount,
                bits,
                worth: bits,
                cost: self.cost(crumb, next),
                known: Known::Promised,
            };
            if it.left(rate) > 0.0 {
                out.push(it);
            }
        }
        out
    }

    /// The follower that leaves most above a rate, if any leaves something; of two that leave the same, the
    /// first. Of the others no more is reckoned than shows that they leave less.
    fn best(
        &self,
        (before, now): (&[f64], &Now),
        test: usize,
        sequel: &mut Sequel,
        rate: f64,
    ) -> Option<Follower> {
        if sequel.followers.iter().all(|it| it.left(rate) <= 0.0) {
            return None;
        }
        let Sequel {
            outcome, followers, ..
        } = sequel;
        let After { belief, families } = sequel.after.get_or_insert_with(|| {
            let belief = self.outcomes.posterior(before, &[(test, *outcome)]);
            let families = between(&belief, &self.ends);
            // What a test tells on the whole is least where its outcomes are foretold as they are likely: with
            // what was foretold before the outcome it tells no less (Gibbs' inequality; from memory).
            for it in followers.iter_mut() {
                let told = &now.told[it.test * belief.len()..][..belief.len()];
                it.bound(it.bits.min(it.discount * dot(&belief, told)), families);
            }
            followers.retain(|it| it.left(rate) > 0.0);
            // The most promising first, so that most of the others need not be reckoned.
            followers.arrange_by(|a, b| b.left(rate).total_cmp(&a.left(rate)));
            After { belief, families }
        });
        let mut best: Option<Follower> = None;
        for it in followers {
            while it.may_be_better(best.as_ref(), rate) {
                match it.known {
                    Known::Promised => {
                        it.bound(it.discount * self.outcomes.gain(belief, it.test), *families);
                        it.known = Known::Bits;
                    }
                    Known::Bits => {
                        let between = self
                            .outcomes
                            .gain_between_of(belief, it.test, &self.ends, *families);
                        it.worth = worth(it.bits, it.discount * between);
                        it.known = Known::Worth;
                    }
                    Known::Worth => {
                        best = Some(*it);
                        break;
                    }
                }
            }
        }
        best
    }

    /// The best open tests, so many of them, best first, each with its rate. Two steps are looked ahead from
    /// the `leading` best as they stand and the `leading` cheapest of the others; the rest are ranked as they
    /// stand.
    pub(super) fn ranked(
        &self,
        state: &State,
        leading: usize,
        wanted: usize,
    ) -> Vec<(usize, Rate)> {
        let now = self.now(state);
        let mut all: Vec<(usize, f64, f64)> = (0..self.outcomes.tests())
            .filter(|t| state.open[*t])
            .map(|t| {
                let worth = self.worth_now(state, &now, t);
                (t, worth, worth / self.cost(state.crumb, t))
            })
            .collect();
        all.arrange_by(|a, b| b.2.total_cmp(&a.2).then(a.0.cmp(&b.0)));
        let dear = |t: usize| self.cost(state.crumb, t);
        let mut cheap: Vec<usize> = all.iter().skip(leading).map(|(t, ..)| *t).collect();
        cheap.arrange_by(|a, b| dear(*a).total_cmp(&dear(*b)).then(a.cmp(b)));
        cheap.truncate(leading);
        let before = |a: &(usize, Rate), b: &(usize, Rate)| {
            // The two orders of a pair are worth the same but for the last digits.
            let rounded = |rate: &Rate| (rate.value / ALIKE).round();
            rounded(&b.1)
                .total_cmp(&rounded(&a.1))
                .then(dear(a.0).total_cmp(&dear(b.0)))
                .then(a.0.cmp(&b.0))
        };
        let mut out: Vec<(usize, Rate)> = Vec::new();
        // Where enough are found, what cannot come before the last of them is not looked at further.
        for (k, (t, worth, alone)) in all.iter().enumerate() {
            let floor = match out.get(wanted.saturating_sub(1)) {
                Some((_, last)) => last.value - 2.0 * ALIKE,
                None => f64::NEG_INFINITY,
            };
            let rate = if k < leading || cheap.contains(t) {
                self.rate_now(state, &now, (*t, *worth), floor)
            } else {
                (*alone >= floor).then_some(Rate {
                    value: *alone,
                    opens: None,
                })
            };
            let Some(rate) = rate else {
                continue;
            };
            let own = (*t, rate);
            let at = out.partition_point(|other| before(other, &own).is_lt());
            out.insert(at, own);
            out.truncate(wanted);
        }
        out
    }
}

/// What bits are worth: of all, and of the family.
fn worth(all: f64, between: f64) -> f64 {
    MEMBERS * all + (1.0 - MEMBERS) * between
}

impl State {
    /// Tests that a negative of this one lets be done.
    fn opened(&self, test: usize) -> &[usize] {
        let own = self.opened_by.iter().find(|(by, _)| *by == test);
        own.map_or(&[], |(_, tests)| tests)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(tests: &[(&[f64], f64)], ends: &[usize]) -> (Field, State) {
        let n = ends.last().copied().unwrap_or(0);
        let mut outcomes = Outcomes::new(n);
        for (rows, _) in tests {
            outcomes.push(rows);
        }
        let field = Field {
            outcomes,
            ends: ends.to_vec(),
            cost: tests
                .iter()
                .map(|(_, c)| Cost {
                    whole: *c,
                    saved: 0.0,
                })
                .collect(),
            leaves: vec![None; tests.len()],
            cluster: (0..tests.len()).collect(),
        };
        let state = State {
            belief: vec![1.0 / n as f64; n],
            asked: vec![false; tests.len()],
            open: vec![true; tests.len()],
            opened_by: Vec::new(),
            crumb: false,
        };
        (field, state)
    }

    fn rate_of(field: &Field, state: &State, test: usize) -> Rate {
        let worth = field.worth(state, test);
        field
            .rate_now(state, &field.now(state), (test, worth), f64::NEG_INFINITY)
            .unwrap()
    }

    /// A yes-or-no test: chance of yes under each hypothesis.
    fn yes(p: [f64; 4]) -> Vec<f64> {
        let mut rows = p.to_vec();
        rows.extend(p.map(|x| 1.0 - x));
        rows
    }

    /// Two families of two. The first test alone and the second alone say nothing of the family;
    /// together they settle it. A third says something at once. One step takes the third; two steps
    /// see the pair, and begin it with its cheap half.
    #[test]
    fn a_test_that_opens_a_good_one_is_found() {
        let first = yes([0.98, 0.02, 0.98, 0.02]);
        let second = yes([0.98, 0.02, 0.02, 0.98]);
        let third = yes([0.80, 0.80, 0.20, 0.20]);
        let (mut field, state) = field(&[(&second, 1.2), (&first, 1.0), (&third, 1.0)], &[2, 4]);
        let between = |t| field.outcomes.gain_between(&state.belief, t, &field.ends);
        assert!(between(0) < 1e-9 && between(1) < 1e-9 && between(2) > 0.2);
        let alone = |t: usize| field.worth(&state, t) / field.cost[t].whole;
        assert!(
            alone(2) > alone(0) && alone(2) > alone(1),
            "one step takes the third"
        );
        let rate = rate_of(&field, &state, 1);
        assert_eq!(rate.opens, Some(0));
        assert!(rate.value > alone(2), "{rate:?}");
        assert_eq!(rate_of(&field, &state, 2).opens, None);
        assert_eq!(
            field.ranked(&state, 3, 1)[0].0,
            1,
            "the cheap half of the pair"
        );
        // Where the second is beyond price, the pair is no bargain.
        field.cost[0].whole = 50.0;
        assert_ne!(rate_of(&field, &state, 1).opens, Some(0));
        assert_eq!(field.ranked(&state, 3, 1)[0].0, 2);
    }

    /// Worth for the cost of a pair, by hand: gains 0 and 1 bit at costs 1 and 1.
    #[test]
    fn the_rate_of_a_pair_is_its_sum() {
        let first = yes([1.0, 0.0, 1.0, 0.0]);
        let second = yes([1.0, 0.0, 0.0, 1.0]);
        let (field, state) = field(&[(&first, 1.0), (&second, 1.0)], &[2, 4]);
        // Alone: a bit between members, a tenth each. Then a whole bit between families, of which
        // nothing is left to tell members apart.
        let rate = rate_of(&field, &state, 0);
        assert!((field.worth(&state, 0) - MEMBERS).abs() < 1e-9);
        assert!(
            (rate.value - f64::midpoint(MEMBERS, 1.0)).abs() < 1e-9,
            "{rate:?}"
        );
    }

    #[test]
    fn a_negative_may_open_what_was_barred() {
        let first = yes([0.9, 0.9, 0.1, 0.1]);
        let second = yes([0.99, 0.01, 0.01, 0.99]);
        let (field, mut state) = field(&[(&first, 1.0), (&second, 0.2)], &[1, 2, 3, 4]);
        state.open[1] = false;
        assert_eq!(rate_of(&field, &state, 0).opens, None);
        state.opened_by = vec![(0, vec![1])];
        assert_eq!(rate_of(&field, &state, 0).opens, Some(1));
    }

    /// A drop that leaves the crumb as it was makes the next one cheaper, so the weak one goes first:
    /// the two tell the same in either order.
    #[test]
    fn the_weak_liquid_goes_first() {
        // Under the strong one nearly all goes; the weak one leaves most as it was.
        let strong = yes([0.9, 0.9, 0.9, 0.1]);
        let weak = yes([0.9, 0.1, 0.1, 0.1]);
        let (mut field, state) = field(&[(&strong, 1.0), (&weak, 1.0)], &[1, 2, 3, 4]);
        for (cost, left) in field.cost.iter_mut().zip(&mut field.leaves) {
            cost.saved = 0.5;
            *left = Some(0b10);
        }
        let (first, rate) = field.ranked(&state, 2, 1)[0];
        assert_eq!((first, rate.opens), (1, Some(0)), "{rate:?}");
        assert!((field.cost(true, 0) - 0.5).abs() < 1e-12);
        assert!(field.crumb_after(false, 1, &[1]) && !field.crumb_after(true, 1, &[0, 1]));
    }
}
