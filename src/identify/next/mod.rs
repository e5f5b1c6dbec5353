//! The next test: the most expected information (Lindley 1956) for the least sample, risk, harm
//! and time, two steps ahead; when to stop; and a sequence of tests as a small tree. Each test
//! passes the gate before it is named.
//!
//! What is planned with is a sketch of the full model: the candidates that matter and one for all
//! the rest, ages mixed as the evidence leaves them, the quality of a crumb averaged. The answer to
//! a test that was done is weighed in full.

mod ahead;
mod bench;
mod cost;
mod rivals;
mod tree;

use super::Query;
use super::evidence::EPSILON;
use super::expectation::{Expectation, Tally, Weighed, cleared};
use super::gain::{Outcomes, entropy};
use super::specimen::PLANNED;
use crate::answer::{Fork, NextTest, Pointer, Rivals, Stop};
use crate::gate::{Ground, ProposedTest, Refused};
use crate::model::scene::{Posterior, age_weight};
use crate::model::{Age, Feature, Hazard, Library, Site, Table};
use crate::order::Arrange;

use ahead::{Field, Rate, State};
use bench::{OnFile, Shelf};

/// Tests named.
const NAMED: usize = 4;
/// Tests ranked first for them; some of them part nobody. Where these do not do, all are ranked.
const RANKED: usize = 6;
/// Refused tests named, if they would have told much.
const REFUSED_NAMED: usize = 2;
/// Worth below which a test is not done, bits for a unit of cost. A fair coin's question that ends
/// at 58 to 42 has gained as much: nobody's mind is changed by it.
const LEAST_VALUE: f64 = 0.02;
/// Bits below which a test that opens nothing is not done, however little it costs.
const LEAST_BITS: f64 = 0.02;
/// Probability of a family from which testing may end.
pub(super) const FAMILY_MARK: f64 = 0.90;
/// Candidates below this are planned for together, as the rest.
const LEAST_SHARE: f64 = 0.005;
/// Most candidates that are planned for one by one. Of twice as many, and down to a share of 0.002, came
/// sequences that took no less of tests, sample and risk (2 000 draws of `tests/it/next.rs`).
const MOST_CANDIDATES: usize = 32;
/// Tests considered: the best as they stand, and of the others the cheapest, which may open them.
const BEST: usize = 28;
const CHEAPEST: usize = 12;
/// Tests considered besides, that part the two strongest rivals best.
const PARTING: usize = 4;
/// Least probability of the candidates of which it is recorded what a test shows; with less it is not
/// considered.
const LEAST_KNOWN: f64 = 0.1;
/// Tests from which two steps are looked ahead, of the best and of the cheapest each. Of eight, and of five,
/// came no better sequences than of four (the same 2 000 draws).
const LEADING: usize = 4;
/// Probability below which an outcome of a test is not told.
const LEAST_OUTCOME: f64 = 0.03;
/// A candidate less probable than this is not named for an outcome.
const LEAST_NAMED: f64 = 0.01;

/// What to do next.
pub(super) struct Next {
    pub(super) tests: Vec<NextTest>,
    pub(super) refused: Vec<Refused<ProposedTest>>,
    pub(super) stop: Option<Stop>,
    pub(super) sequence: Option<Fork>,
    pub(super) rivals: Option<Rivals>,
}

/// What is planned with: the tests on file and the candidates that matter, grouped by family; the
/// last hypothesis, and the last group, is all the rest.
struct Plan<'a> {
    table: &'a Table,
    /// Materials by number.
    candidates: Vec<usize>,
    /// Family of each group but the last.
    families: Vec<usize>,
    field: Field,
    features: Vec<usize>,
    on_file: Vec<OnFile<'a>>,
    /// Hazards that stand, each with what the rest adds to its probability, and the candidates that
    /// carry it.
    hazards: Vec<(Hazard, f64, Vec<usize>)>,
}

/// What to do next, where tests of these clusters were asked already; the sequence only where tests in turn
/// are asked for.
pub(super) fn next(
    library: &dyn Library,
    query: &Query,
    posterior: &Posterior,
    asked: Vec<String>,
    records: &[f64],
    in_turn: bool,
) -> Next {
    let (plan, mut state) = Plan::new(library, query, posterior, asked, records);
    let standing: &[(Hazard, f64)] = &posterior.hazards;
    plan.allow(&mut state, standing);
    let rivals = plan.rivals(&state, standing);
    // The refused are ranked with the rest, so that it is said what cannot be done now.
    let mut all = state.clone();
    all.open = vec![true; state.open.len()];
    let mut wanted = RANKED;
    let (ranked, tests) = loop {
        let ranked = plan.field.ranked(&state, LEADING, wanted);
        let tests = plan.named(&state, standing, &ranked);
        let is_all = ranked.len() < wanted
            || ranked
                .last()
                .is_some_and(|(_, rate)| rate.value < LEAST_VALUE);
        if tests.len() == NAMED || is_all {
            break (ranked, tests);
        }
        wanted = usize::MAX;
    };
    let least = tests.last().map_or(LEAST_VALUE, |t| t.value);
    let mut barred: Vec<(f64, usize)> = (0..state.open.len())
        .filter(|t| !state.open[*t])
        .map(|t| {
            let cost = plan.field.cost(state.crumb, t);
            (plan.field.worth(&all, t) / cost, t)
        })
        .filter(|(value, _)| *value >= least)
        .collect();
    barred.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let refused = barred
        .into_iter()
        .take(REFUSED_NAMED)
        .filter_map(|(_, t)| plan.on_file[t].offer(standing).err())
        .collect();
    let stop = plan.stop(&state.belief).or_else(|| {
        tests
            .is_empty()
            .then(|| Stop::NotWorth(ranked.first().map_or(0.0, |(_, rate)| rate.value)))
    });
    let sequence = match &stop {
        None if in_turn => tree::grow(&plan, &all),
        _ => None,
    };
    Next {
        tests,
        refused,
        stop,
        sequence,
        rivals,
    }
}

impl<'a> Plan<'a> {
    fn new(
        library: &'a dyn Library,
        query: &'a Query,
        posterior: &Posterior,
        mut clusters: Vec<String>,
        records: &[f64],
    ) -> (Self, State) {
        let table = library.table();
        let (candidates, families, ends) = candidates(table, posterior);
        let belief = belief(&candidates, posterior);
        let ground = Ground {
            layers: &query.stack,
            site: query.site.unwrap_or(Site::Film),
        };
        let asked = clusters.len();
        let mut plan = Self {
            table,
            candidates,
            families,
            field: Field {
                outcomes: Outcomes::new(belief.len()),
                ends,
                cost: Vec::new(),
                leaves: Vec::new(),
                cluster: Vec::new(),
            },
            features: Vec::new(),
            on_file: Vec::new(),
            hazards: Vec::new(),
        };
        let shelf = Shelf::new(library, ground);
        let considered = plan.considered(query, posterior.aged, records, &belief);
        // What grows by doubling touches twice the memory.
        let outcomes = considered.iter();
        let outcomes = outcomes.map(|(f, _)| table.features[*f].outcomes().len());
        plan.field
            .outcomes
            .reserve(considered.len(), outcomes.sum());
        plan.on_file.reserve(considered.len());
        for (f, columns) in considered {
            let feature = &table.features[f];
            let Some(on_file) = shelf.read(feature) else {
                continue;
            };
            let cluster = clusters.iter().position(|c| *c == feature.cluster);
            plan.field.cluster.push(cluster.unwrap_or(clusters.len()));
            if cluster.is_none() {
                clusters.push(feature.cluster.clone());
            }
            let n = feature.outcomes().len();
            plan.field
                .outcomes
                .push_columns(&columns.all, n, &columns.of, &columns.entropy);
            plan.field.cost.push(cost::cost(feature, on_file.specimen));
            plan.field.leaves.push(cost::leaves(feature));
            plan.features.push(f);
            plan.on_file.push(on_file);
        }
        plan.hazards = posterior
            .hazards
            .iter()
            .map(|(hazard, p)| {
                let carriers: Vec<usize> = (0..plan.candidates.len())
                    .filter(|k| table.rows[plan.candidates[*k]].hazards.contains(*hazard))
                    .collect();
                let own: f64 = carriers.iter().map(|k| belief[*k]).sum();
                (*hazard, (p - own).max(0.0), carriers)
            })
            .collect();
        let state = State {
            belief,
            asked: (0..clusters.len()).map(|c| c < asked).collect(),
            open: vec![true; plan.on_file.len()],
            opened_by: Vec::new(),
            crumb: left_over(table, query),
        };
        (plan, state)
    }

    /// The tests to name, of these, best first.
    fn named(
        &self,
        state: &State,
        standing: &[(Hazard, f64)],
        ranked: &[(usize, Rate)],
    ) -> Vec<NextTest> {
        let mut tests: Vec<NextTest> = Vec::new();
        for (t, rate) in ranked {
            if tests.len() == NAMED || rate.value < LEAST_VALUE {
                break;
            }
            let separates = self.separates(&state.belief, *t);
            // A test that speaks for the same material however it comes out settles nothing, unless for
            // what it opens; and one that says just what a better one says is a crumb wasted.
            let one_sided = separates.iter().all(|p| p.leader == separates[0].leader);
            if (one_sided && rate.opens.is_none()) || tests.iter().any(|n| n.separates == separates)
            {
                continue;
            }
            let (gain_bits, family_bits) = self.field.bits(state, *t);
            if rate.opens.is_none() && gain_bits < LEAST_BITS {
                continue;
            }
            if let Ok(offer) = self.on_file[*t].offer(standing) {
                tests.push(NextTest {
                    offer,
                    gain_bits,
                    family_bits,
                    cost: self.field.cost(state.crumb, *t),
                    same_crumb: state.crumb && self.field.cost[*t].saved > 0.0,
                    value: rate.value,
                    opens: rate.opens.map(|o| self.on_file[o].called()),
                    separates,
                });
            }
        }
        tests
    }

    /// Tests that may be worth a look: not of the laboratory, not done, the best as they stand, the
    /// cheapest of the others, and those that part the rivals best; with their likelihoods.
    fn considered(
        &self,
        query: &Query,
        aged: f64,
        records: &[f64],
        belief: &[f64],
    ) -> Vec<(usize, Columns)> {
        let pair = self.pair(belief);
        let corpus = Weighed::new(self.table, records, |f| self.families.contains(&f));
        let mut sketch = Sketch::default();
        // What grows by doubling touches twice the memory.
        let mut all: Vec<(f64, f64, usize, Columns, f64)> =
            Vec::with_capacity(self.table.features.len());
        for (f, feature) in self.table.features.iter().enumerate() {
            // Where the records of the candidates are silent, an answer would part nobody.
            let (fresh, old) = (feature.fresh.open(), feature.aged.open());
            let known: f64 = self
                .candidates
                .iter()
                .zip(belief)
                .filter(|(m, _)| fresh.get(**m) | old.get(**m) != 0)
                .map(|(_, p)| p)
                .sum();
            if known < LEAST_KNOWN
                || feature.laboratory
                || !feature.proposed
                || query.observations.iter().any(|o| o.feature == Some(f))
            {
                continue;
            }
            let columns = self.likelihoods(feature, aged, &corpus, &mut sketch);
            let n = feature.outcomes().len();
            let cost = cost::cost(feature, crate::model::Specimen::Crumb).whole;
            let parts = pair.map_or(0.0, |pair| rivals::parts(&columns, n, pair));
            let gain = columns.gain(n, belief, &mut sketch);
            all.push((gain / cost, cost, f, columns, parts));
        }
        all.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
        let mut others = all.split_off(BEST.min(all.len()));
        others.arrange_by(|a, b| a.1.total_cmp(&b.1).then(a.2.cmp(&b.2)));
        let mut rest = others.split_off(CHEAPEST.min(others.len()));
        all.extend(others);
        rest.arrange_by(|a, b| b.4.total_cmp(&a.4).then(a.2.cmp(&b.2)));
        rest.truncate(PARTING);
        all.extend(rest);
        // In the order of the table, so that ties fall the same way whatever was seen.
        all.arrange_by_key(|(_, _, f, ..)| *f);
        all.into_iter()
            .map(|(_, _, f, columns, _)| (f, columns))
            .collect()
    }

    /// Likelihoods of a test over the candidates and the rest. Candidates of one family of which the
    /// same is recorded share a column.
    fn likelihoods(
        &self,
        feature: &Feature,
        aged: f64,
        corpus: &Weighed,
        sketch: &mut Sketch,
    ) -> Columns {
        const { assert!(MOST_CANDIDATES < 256, "a column is told by a byte") }
        let Sketch {
            tally,
            all,
            keys,
            own,
            ..
        } = sketch;
        // A test that is to exclude a hazard is offered on a clean crumb only.
        let clean = feature.hazard.is_some();
        let expectation = Expectation::new(feature, clean, corpus, tally);
        let n = feature.outcomes().len();
        let common = expectation.corpus();
        let (recent, ancient) = (feature.fresh.open(), feature.aged.open());
        let mut of = Vec::with_capacity(self.candidates.len() + 1);
        all.clear();
        keys.clear();
        for m in &self.candidates {
            let family = self.table.rows[*m].family;
            let (fresh, old) = (recent.get(*m), ancient.get(*m));
            // They come family by family.
            let known = keys
                .iter()
                .enumerate()
                .rev()
                .take_while(|(_, key)| key.0 == family)
                .find(|(_, key)| (key.1, key.2) == (fresh, old));
            if let Some((k, _)) = known {
                of.push(k as u8);
                continue;
            }
            cleared(own, n);
            for (age, sets) in [(Age::Fresh, [fresh, old]), (Age::Aged, [old, fresh])] {
                expectation.add(usize::from(family), sets, age_weight(age, aged), own);
            }
            of.push(keys.len() as u8);
            keys.push((family, fresh, old));
            let read = own.iter().zip(expectation.noise()).zip(common);
            all.extend(read.map(|((own, noise), common)| {
                let read = (1.0 - PLANNED) * own + PLANNED * noise;
                (1.0 - EPSILON) * read + EPSILON * common
            }));
        }
        of.push(keys.len() as u8);
        let rest = common.iter().zip(expectation.noise());
        all.extend(rest.map(|(common, noise)| (1.0 - PLANNED) * common + PLANNED * noise));
        let columns = all.chunks_exact(n.max(1));
        Columns {
            entropy: columns
                .map(|own| own.iter().map(|l| entropy(*l)).sum())
                .collect(),
            all: all.clone(),
            of,
        }
    }

    /// Asks the gate of every test, and notes which a negative of another would open.
    fn allow(&self, state: &mut State, hazards: &[(Hazard, f64)]) {
        let may: Vec<bool> = self.on_file.iter().map(|it| it.may(hazards)).collect();
        state.opened_by = Vec::new();
        for (t, on_file) in self.on_file.iter().enumerate() {
            let Some(hazard) = on_file.excludes else {
                continue;
            };
            let left: Vec<(Hazard, f64)> = hazards
                .iter()
                .filter(|(h, _)| *h != hazard)
                .copied()
                .collect();
            if left.len() == hazards.len() {
                continue;
            }
            let opened: Vec<usize> = (0..may.len())
                .filter(|k| !may[*k] && self.on_file[*k].may(&left))
                .collect();
            if !opened.is_empty() {
                state.opened_by.push((t, opened));
            }
        }
        for (open, may) in state.open.iter_mut().zip(&may) {
            *open &= may;
        }
    }

    /// Hazards that stand at a belief, each with its probability there.
    fn hazards_at(&self, belief: &[f64], excluded: &[Hazard]) -> Vec<(Hazard, f64)> {
        self.hazards
            .iter()
            .filter(|(hazard, _, _)| !excluded.contains(hazard))
            .map(|(hazard, rest, carriers)| {
                let own: f64 = carriers.iter().map(|k| belief[*k]).sum();
                (*hazard, own + rest)
            })
            .collect()
    }

    /// The family that leads, and its share.
    fn leading_family(&self, belief: &[f64]) -> Option<(usize, f64)> {
        let mut from = 0;
        self.families
            .iter()
            .zip(&self.field.ends)
            .map(|(family, end)| {
                let share: f64 = belief[from..*end].iter().sum();
                from = *end;
                (*family, share)
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
    }

    /// Whether a family stands at the mark.
    fn stop(&self, belief: &[f64]) -> Option<Stop> {
        let (family, share) = self.leading_family(belief)?;
        (share >= FAMILY_MARK).then(|| Stop::Family(self.table.families[family].1.clone(), share))
    }

    /// For each outcome that may well come, the material that it would raise most.
    fn separates(&self, belief: &[f64], test: usize) -> Vec<Pointer> {
        let outcomes = &self.field.outcomes;
        let mut out = Vec::new();
        for (o, word) in self.table.features[self.features[test]]
            .outcomes()
            .iter()
            .enumerate()
        {
            let mass = outcomes.probability(belief, test, o);
            if mass < LEAST_OUTCOME {
                continue;
            }
            let raised = self
                .candidates
                .iter()
                .zip(belief)
                .zip(outcomes.row(test, o))
                .filter(|((_, p), _)| **p >= LEAST_NAMED)
                .map(|((m, p), l)| (p * l / mass - p, *m))
                .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(&a.1)));
            if let Some((gain, m)) = raised
                && gain > 0.02
            {
                out.push(Pointer {
                    outcome: word.to_owned(),
                    leader: self.table.names.get(m).to_owned(),
                });
            }
        }
        out
    }
}

/// Likelihoods of a test, one run of outcomes a column, and the column of each hypothesis.
struct Columns {
    all: Vec<f64>,
    of: Vec<u8>,
    /// Entropy of each column, bits.
    entropy: Vec<f64>,
}

/// What is made anew for each test that is considered.
#[derive(Default)]
struct Sketch {
    tally: Tally,
    /// Columns one behind the other, and of what each is: a family, and what is recorded fresh and aged.
    all: Vec<f64>,
    keys: Vec<(u16, u64, u64)>,
    /// One column, or what all of them show.
    own: Vec<f64>,
    /// By column, the belief in what shares it.
    shares: Vec<f64>,
}

impl Columns {
    /// Expected information, bits.
    fn gain(&self, outcomes: usize, belief: &[f64], sketch: &mut Sketch) -> f64 {
        let Sketch { own, shares, .. } = sketch;
        cleared(shares, self.entropy.len());
        for (c, p) in self.of.iter().zip(belief) {
            shares[usize::from(*c)] += p;
        }
        cleared(own, outcomes);
        for (column, share) in self.all.chunks_exact(outcomes.max(1)).zip(&*shares) {
            for (sum, l) in own.iter_mut().zip(column) {
                *sum += share * l;
            }
        }
        let within = self.entropy.iter().zip(&*shares);
        let within: f64 = within.map(|(bits, share)| share * bits).sum();
        own.iter().map(|p| entropy(*p)).sum::<f64>() - within
    }
}

/// Whether a crumb lies there that the last drop left as it was.
fn left_over(table: &Table, query: &Query) -> bool {
    let drops = query.observations.iter().rev().filter_map(|o| {
        let feature = &table.features[o.feature?];
        (feature.liquid && o.specimen == crate::model::Specimen::Crumb).then_some((feature, o))
    });
    drops.take(1).any(|(feature, o)| {
        let left = cost::leaves(feature).unwrap_or(0);
        let all: f64 = o.outcomes.iter().sum();
        let kept: f64 = (0..o.outcomes.len())
            .filter(|k| left >> k & 1 == 1)
            .map(|k| o.outcomes[k])
            .sum();
        2.0 * kept > all
    })
}

/// Candidates that matter, family by family; the families; and where each ends, the rest last.
fn candidates(table: &Table, posterior: &Posterior) -> (Vec<usize>, Vec<usize>, Vec<usize>) {
    let p = &posterior.materials;
    let mut list: Vec<usize> = (0..p.len()).filter(|m| p[*m] >= LEAST_SHARE).collect();
    list.arrange_by(|a, b| p[*b].total_cmp(&p[*a]).then(a.cmp(b)));
    list.truncate(MOST_CANDIDATES);
    list.arrange_by_key(|m| (table.rows[*m].family, *m));
    let mut families: Vec<usize> = Vec::new();
    let mut ends: Vec<usize> = Vec::new();
    for (k, m) in list.iter().enumerate() {
        let family = usize::from(table.rows[*m].family);
        if families.last() == Some(&family) {
            if let Some(end) = ends.last_mut() {
                *end = k + 1;
            }
        } else {
            families.push(family);
            ends.push(k + 1);
        }
    }
    ends.push(list.len() + 1);
    (list, families, ends)
}

/// Belief over the candidates and the rest; sums to 1.
fn belief(candidates: &[usize], posterior: &Posterior) -> Vec<f64> {
    let mut out: Vec<f64> = candidates.iter().map(|m| posterior.materials[*m]).collect();
    let known: f64 = out.iter().sum();
    out.push((1.0 - known).max(0.0));
    out
}
