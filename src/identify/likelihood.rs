//! How probable the observations are, material by material.

use std::collections::BTreeMap;

use super::prior;
use crate::model::scene::{Observation, Posterior, age_weight};
use crate::model::{Age, Feature, Response, Specimen, Table};

/// Share of a bench cluster that may be background: bounds what one cluster can decide to about
/// 13 dB against a material that never shows it.
const EPSILON: f64 = 0.05;
/// The same for laboratory results.
const EPSILON_LAB: f64 = 0.01;
/// Noise on a specimen that turns out to be contaminated or ill read.
const BAD_NOISE: f64 = 0.6;
/// Noise on a crumb of which nothing was said, and the chance that it is a bad one.
const CRUMB_NOISE: f64 = 0.07;
const CRUMB_BAD: f64 = 0.10;
/// Most specimens whose quality is followed one by one; more share the last.
const MOST_GROUPS: usize = 4;
/// Reading error on the solubility scale: probability falls by this factor for each grade.
const GRADE_DECAY: f64 = 0.28;
/// Chance that a part of the unknown which is spoken of apart (`the core`, a zone by name) is not of
/// the age of the rest: skin and core, first coat and later coats. Judgment.
const OTHER_AGE: f64 = 0.3;
/// Chance that a record does not speak for the specimen at hand: another make, another age, a writer
/// who erred. Then it answers as its family does. A second set of records, written apart from the
/// corpus (`tests/calibration`), puts 26 % of what it expects of liquids and looks outside the words
/// recorded here, and 6 % for tests that answer yes or no (measured on every second material of that
/// set; the others are left to judge by).
const RECORD_ERROR: f64 = 0.25;
/// The same for tests that answer yes or no by a reagent, and for laboratory results.
const RECORD_ERROR_SURE: f64 = 0.05;
/// How far an unrecorded fact leans on the family rather than on the whole corpus.
const FAMILY_SHARE: f64 = 0.6;

/// The observations, ready to be weighed.
pub(super) struct Evidence<'a> {
    pub(super) table: &'a Table,
    observations: &'a [Observation],
    /// Observations that the table can weigh: (position, feature).
    pub(super) usable: Vec<(usize, usize)>,
    /// Clusters: positions in `usable`.
    pub(super) clusters: Vec<(String, Vec<usize>)>,
    aged: f64,
    /// Group of each usable observation, by specimen and zone.
    groups: Vec<usize>,
    /// Probability of a bad specimen, by group.
    bad: Vec<f64>,
    /// Likelihoods: [usable][quality good/bad][age][material].
    likelihood: Vec<[[Vec<f64>; 2]; 2]>,
    weights: Vec<f64>,
}

/// What a record expects, as probabilities of each outcome.
pub(super) struct Expectation {
    recorded: Vec<Vec<f64>>,
    family: Vec<Option<Vec<f64>>>,
    corpus: Vec<f64>,
    uniform: Vec<f64>,
}

impl Expectation {
    pub(super) fn new(feature: &Feature) -> Self {
        let n = feature.outcomes.len();
        let recorded = (0..n).map(|bit| reading(feature, bit)).collect();
        let uniform = vec![1.0 / n as f64; n];
        Self {
            recorded,
            family: Vec::new(),
            corpus: uniform.clone(),
            uniform,
        }
    }

    /// With the marginals of families and corpus, weighted by the prior.
    pub(super) fn with_marginals(
        mut self,
        feature: &Feature,
        table: &Table,
        weights: &[f64],
    ) -> Self {
        let n = feature.outcomes.len();
        // A record of several words expects their mean, so the words' weights add up first, and what
        // they expect is reckoned once a family.
        let none = || (vec![0.0; n], 0.0);
        let mut by_family: Vec<(Vec<f64>, f64)> = vec![none(); table.families.len()];
        for (m, row) in table.rows.iter().enumerate() {
            for age in Age::BOTH {
                let set = feature.recorded(age, m);
                if set == 0 {
                    continue;
                }
                // Every record counts a little, so that a prior of nought does not silence it.
                let weight = weights[m] + 1e-3;
                let share = weight / f64::from(set.count_ones());
                let (words, total) = &mut by_family[row.family as usize];
                for (bit, word) in words.iter_mut().enumerate() {
                    if set >> bit & 1 == 1 {
                        *word += share;
                    }
                }
                *total += weight;
            }
        }
        let mut all = none();
        for (words, total) in &by_family {
            for (sum, word) in all.0.iter_mut().zip(words) {
                *sum += word;
            }
            all.1 += total;
        }
        let mean = |(words, total): (Vec<f64>, f64)| {
            (total > 0.0).then(|| {
                let mut out = vec![0.0; n];
                for (word, recorded) in words.iter().zip(&self.recorded) {
                    for (o, p) in out.iter_mut().zip(recorded) {
                        *o += word / total * p;
                    }
                }
                out
            })
        };
        let corpus = mean(all);
        let family = by_family.into_iter().map(mean).collect();
        self.family = family;
        if let Some(corpus) = corpus {
            self.corpus = corpus;
        }
        self
    }

    /// What a record of one outcome expects.
    pub(super) fn expects(&self, bit: usize) -> &[f64] {
        &self.recorded[bit]
    }

    /// Probability of each outcome for a material at an age, added to `out` so many times.
    pub(super) fn add(
        &self,
        feature: &Feature,
        table: &Table,
        (m, age): (usize, Age),
        times: f64,
        out: &mut [f64],
    ) {
        let set = feature.recorded(age, m);
        let alike = self.alike(table, m);
        let error = if set == 0 { 1.0 } else { record_error(feature) };
        for ((o, f), c) in out.iter_mut().zip(alike).zip(&self.corpus) {
            *o += times * error * (FAMILY_SHARE * f + (1.0 - FAMILY_SHARE) * c);
        }
        let own = times * (1.0 - error) / f64::from(set.count_ones().max(1));
        for (bit, recorded) in self.recorded.iter().enumerate() {
            if set >> bit & 1 == 1 {
                for (o, p) in out.iter_mut().zip(recorded) {
                    *o += own * p;
                }
            }
        }
    }

    /// What a family shows, where any of it is recorded; else what the corpus shows.
    fn alike(&self, table: &Table, m: usize) -> &[f64] {
        let family = self.family.get(table.rows[m].family as usize);
        family.and_then(Option::as_ref).unwrap_or(&self.corpus)
    }

    /// Probability of what was seen for every material, fresh and aged.
    fn of_all(&self, feature: &Feature, table: &Table, seen: &[f64]) -> [Vec<f64>; 2] {
        let recorded: Vec<f64> = self.recorded.iter().map(|r| dot(r, seen)).collect();
        let corpus = dot(&self.corpus, seen);
        let family: Vec<f64> = self
            .family
            .iter()
            .map(|f| f.as_ref().map_or(corpus, |f| dot(f, seen)))
            .collect();
        let error = record_error(feature);
        Age::BOTH.map(|age| {
            (0..table.rows.len())
                .map(|m| {
                    let own = family.get(table.rows[m].family as usize);
                    let alike = own.copied().unwrap_or(corpus);
                    let stand_in = FAMILY_SHARE * alike + (1.0 - FAMILY_SHARE) * corpus;
                    let set = feature.recorded(age, m);
                    if set == 0 {
                        return stand_in;
                    }
                    let sum: f64 = recorded
                        .iter()
                        .enumerate()
                        .filter(|(bit, _)| set >> bit & 1 == 1)
                        .map(|(_, p)| p)
                        .sum();
                    (1.0 - error) * sum / f64::from(set.count_ones()) + error * stand_in
                })
                .collect()
        })
    }

    /// What the corpus shows on the whole.
    pub(super) fn corpus(&self) -> &[f64] {
        &self.corpus
    }

    /// What noise shows: half chance, half what the corpus shows on the whole.
    pub(super) fn noise(&self) -> Vec<f64> {
        self.uniform
            .iter()
            .zip(&self.corpus)
            .map(|(u, c)| 0.5 * (u + c))
            .collect()
    }
}

/// What a test that is only planned, on a crumb, is reckoned with: noise, the quality of the crumb
/// averaged, and the share of background.
pub(super) const PLANNED: (f64, f64) = (
    (1.0 - CRUMB_BAD) * CRUMB_NOISE + CRUMB_BAD * BAD_NOISE,
    EPSILON,
);

fn record_error(feature: &Feature) -> f64 {
    let yes_or_no = feature.positive.is_some() && feature.false_positive.is_some();
    if yes_or_no || feature.laboratory {
        RECORD_ERROR_SURE
    } else {
        RECORD_ERROR
    }
}

/// Probability of reading each outcome when the record says `bit`.
fn reading(feature: &Feature, bit: usize) -> Vec<f64> {
    let n = feature.outcomes.len();
    if n == 1 {
        return vec![1.0];
    }
    if feature.liquid {
        return graded(feature, bit);
    }
    if let (Some(hit), Some(false_hit)) = (feature.positive, feature.false_positive)
        && n == 2
    {
        let p = if bit == 0 { hit } else { false_hit };
        return vec![p, 1.0 - p];
    }
    // A trained eye reads it right so often; what is left goes mostly to outcomes like it.
    let mut out = vec![0.0; n];
    let right = feature.reliability;
    let like: Vec<usize> = feature
        .near
        .iter()
        .filter_map(|(a, b)| match (*a as usize == bit, *b as usize == bit) {
            (true, _) => Some(*b as usize),
            (_, true) => Some(*a as usize),
            _ => None,
        })
        .collect();
    let left = 1.0 - right;
    let (to_like, to_all) = if like.is_empty() {
        (0.0, left)
    } else {
        (0.7 * left, 0.3 * left)
    };
    out[bit] += right;
    for k in &like {
        out[*k] += to_like / like.len() as f64;
    }
    let others = n as f64 - 1.0;
    for (k, p) in out.iter_mut().enumerate() {
        if k != bit {
            *p += to_all / others;
        }
    }
    out
}

/// Ordinal confusion on the solubility scale; attack, melting and change of look lie beside it.
fn graded(feature: &Feature, bit: usize) -> Vec<f64> {
    let response = |k: usize| Response::parse(&feature.outcomes[k]);
    let Some(said) = response(bit) else {
        return vec![1.0; feature.outcomes.len()];
    };
    let mut out: Vec<f64> = (0..feature.outcomes.len())
        .map(|k| match response(k) {
            Some(seen) => distance(said, seen),
            None => 0.0,
        })
        .collect();
    let total: f64 = out.iter().sum();
    for p in &mut out {
        *p /= total;
    }
    out
}

fn distance(said: Response, seen: Response) -> f64 {
    let grades = f64::from(said.grade().abs_diff(seen.grade()));
    let off_scale = |r| matches!(r, Response::Attacked | Response::Melts | Response::Blanches);
    let kind = if said == seen {
        1.0
    } else if off_scale(said) || off_scale(seen) {
        // Attack is often seen as swelling or going; melting in warm water as swelling; bloom as
        // no effect.
        0.5
    } else {
        1.0
    };
    kind * GRADE_DECAY.powf(grades)
}

/// Noise on a good specimen.
fn noise(observation: &Observation, feature: &Feature, bad: bool) -> f64 {
    if observation.blank {
        return 1.0;
    }
    let base: f64 = if feature.laboratory {
        0.02
    } else {
        match observation.specimen {
            Specimen::FreshCut | Specimen::Section => 0.05,
            Specimen::Crumb if observation.clean => 0.04,
            Specimen::Crumb => CRUMB_NOISE,
            Specimen::Vapour | Specimen::Surface => 0.12,
        }
    };
    // A contact of less than half a minute has not had its time.
    let hurried = feature.liquid && observation.minutes.is_some_and(|t| t < 0.5);
    let base = if hurried { base + 0.15 } else { base };
    let base = if bad && !feature.laboratory {
        BAD_NOISE
    } else {
        base
    };
    1.0 - (1.0 - base) * observation.belief
}

fn bad_specimen(observation: &Observation) -> f64 {
    match observation.specimen {
        Specimen::FreshCut | Specimen::Section => 0.05,
        Specimen::Crumb if observation.clean => 0.05,
        Specimen::Crumb => CRUMB_BAD,
        Specimen::Vapour => 0.12,
        Specimen::Surface => 0.15,
    }
}

impl<'a> Evidence<'a> {
    pub(super) fn new(
        table: &'a Table,
        observations: &'a [Observation],
        aged: f64,
        prior: &[f64],
    ) -> Self {
        let usable: Vec<(usize, usize)> = observations
            .iter()
            .enumerate()
            .filter_map(|(i, o)| o.feature.map(|f| (i, f)))
            .collect();
        let mut clusters: Vec<(String, Vec<usize>)> = Vec::new();
        let mut group_keys: Vec<(Specimen, &str)> = Vec::new();
        let mut groups = Vec::new();
        let mut bad: Vec<f64> = Vec::new();
        for (u, (i, f)) in usable.iter().enumerate() {
            let name = &table.features[*f].cluster;
            match clusters.iter_mut().find(|(c, _)| c == name) {
                Some((_, members)) => members.push(u),
                None => clusters.push((name.clone(), vec![u])),
            }
            let observation = &observations[*i];
            let key = (observation.specimen, observation.zone.as_str());
            let group = group_keys
                .iter()
                .position(|k| *k == key)
                .unwrap_or_else(|| {
                    if group_keys.len() < MOST_GROUPS {
                        group_keys.push(key);
                        bad.push(bad_specimen(observation));
                    }
                    group_keys.len() - 1
                });
            groups.push(group);
        }
        let mut expectations: BTreeMap<usize, Expectation> = BTreeMap::new();
        for (_, f) in &usable {
            expectations.entry(*f).or_insert_with(|| {
                let feature = &table.features[*f];
                Expectation::new(feature).with_marginals(feature, table, prior)
            });
        }
        let likelihood = usable
            .iter()
            .map(|(i, f)| {
                let feature = &table.features[*f];
                let expectation = &expectations[f];
                let observation = &observations[*i];
                let chance: f64 = dot(&expectation.noise(), &observation.outcomes);
                let expected = expectation.of_all(feature, table, &observation.outcomes);
                [false, true].map(|bad| {
                    let noise = noise(observation, feature, bad);
                    let by_age = expected.each_ref().map(|own| {
                        own.iter()
                            .map(|p| (1.0 - noise) * p + noise * chance)
                            .collect::<Vec<f64>>()
                    });
                    match observation.age {
                        Some(age) => of_that_age(&by_age, prior::said(age)),
                        None => by_age,
                    }
                })
            })
            .collect();
        // The background is the mean over the corpus, weighted as the prior weighs it.
        let total: f64 = prior.iter().sum();
        let count = prior.len().max(1) as f64;
        let weights = prior
            .iter()
            .map(|p| if total > 0.0 { p / total } else { 1.0 / count })
            .collect();
        Self {
            table,
            observations,
            usable,
            clusters,
            aged,
            groups,
            bad,
            likelihood,
            weights,
        }
    }

    /// Whether a laboratory result that says something is among the evidence: sure, no blank, and
    /// narrowing the outcomes to half of them or less.
    pub(super) fn has_laboratory(&self) -> bool {
        self.usable.iter().any(|(i, f)| {
            let o = &self.observations[*i];
            let narrows = 2.0 * o.outcomes.iter().sum::<f64>() <= o.outcomes.len() as f64;
            self.table.features[*f].laboratory && !o.blank && o.belief >= 0.9 && narrows
        })
    }

    /// P(O | m) for every material, and for "none of these", over the chosen observations.
    pub(super) fn likelihoods(&self, chosen: &[bool]) -> (Vec<f64>, f64) {
        let n = self.table.rows.len();
        let mut out = vec![0.0; n];
        let mut none = 0.0;
        let clusters: Vec<(f64, Vec<usize>)> = self
            .clusters
            .iter()
            .filter_map(|(_, members)| {
                let own: Vec<usize> = members.iter().copied().filter(|u| chosen[*u]).collect();
                let lab = own
                    .iter()
                    .all(|u| self.table.features[self.usable[*u].1].laboratory);
                let epsilon = if lab { EPSILON_LAB } else { EPSILON };
                (!own.is_empty()).then_some((epsilon, own))
            })
            .collect();
        let used: Vec<usize> = {
            let mut g: Vec<usize> = clusters
                .iter()
                .flat_map(|(_, own)| own.iter().map(|u| self.groups[*u]))
                .collect();
            g.sort_unstable();
            g.dedup();
            g
        };
        let clusters: Vec<(f64, Vec<(bool, Vec<usize>)>)> = clusters
            .into_iter()
            .map(|(epsilon, own)| (epsilon, self.zones(&own)))
            .collect();
        for quality in 0..1_usize << used.len() {
            let is_bad = |group: usize| {
                used.iter()
                    .position(|g| *g == group)
                    .is_some_and(|k| quality >> k & 1 == 1)
            };
            let chance: f64 = used
                .iter()
                .map(|g| {
                    if is_bad(*g) {
                        self.bad[*g]
                    } else {
                        1.0 - self.bad[*g]
                    }
                })
                .product();
            let mut by_age = [vec![1.0; n], vec![1.0; n]];
            let mut background = 1.0;
            for (epsilon, zones) in &clusters {
                // Whole columns at a time: this is where a query spends its time.
                let at = |list: &[usize], age: usize| {
                    let mut out = vec![1.0; n];
                    for u in list {
                        let bad = usize::from(is_bad(self.groups[*u]));
                        for (p, l) in out.iter_mut().zip(&self.likelihood[*u][bad][age]) {
                            *p *= l;
                        }
                    }
                    out
                };
                let joint = [0, 1].map(|age| {
                    let mut out = vec![1.0; n];
                    for (named, list) in zones {
                        let mut own = at(list, age);
                        if *named {
                            for (p, other) in own.iter_mut().zip(at(list, 1 - age)) {
                                *p = (1.0 - OTHER_AGE) * *p + OTHER_AGE * other;
                            }
                        }
                        for (p, own) in out.iter_mut().zip(own) {
                            *p *= own;
                        }
                    }
                    out
                });
                let mean: f64 = (0..n)
                    .map(|m| {
                        self.weights[m]
                            * (age_weight(Age::Fresh, self.aged) * joint[0][m]
                                + age_weight(Age::Aged, self.aged) * joint[1][m])
                    })
                    .sum();
                background *= mean;
                for (product, joint) in by_age.iter_mut().zip(&joint) {
                    for (p, j) in product.iter_mut().zip(joint) {
                        *p *= (1.0 - epsilon) * j + epsilon * mean;
                    }
                }
            }
            for (m, o) in out.iter_mut().enumerate() {
                *o += chance
                    * (age_weight(Age::Fresh, self.aged) * by_age[0][m]
                        + age_weight(Age::Aged, self.aged) * by_age[1][m]);
            }
            none += chance * background;
        }
        (out, none)
    }

    /// Observations of one cluster by the part that they speak of, and whether it was named.
    fn zones(&self, own: &[usize]) -> Vec<(bool, Vec<usize>)> {
        let mut out: Vec<(&str, Vec<usize>)> = Vec::new();
        for u in own {
            let zone = self.observations[self.usable[*u].0].zone.as_str();
            match out.iter_mut().find(|(name, _)| *name == zone) {
                Some((_, list)) => list.push(*u),
                None => out.push((zone, vec![*u])),
            }
        }
        out.into_iter()
            .map(|(name, list)| (!name.is_empty(), list))
            .collect()
    }

    /// Posterior from likelihoods and prior, without the floor under "none of these".
    pub(super) fn raw(&self, prior: &[f64], chosen: &[bool]) -> (Vec<f64>, f64) {
        let (likelihood, none) = self.likelihoods(chosen);
        let mut out: Vec<f64> = likelihood.iter().zip(prior).map(|(l, p)| l * p).collect();
        let mut none = none * super::NONE_PRIOR;
        let total: f64 = out.iter().sum::<f64>() + none;
        if total > 0.0 {
            for p in &mut out {
                *p /= total;
            }
            none /= total;
        } else {
            none = 1.0;
        }
        (out, none)
    }

    /// Posterior, with the floor under "none of these" that keeps everything else below 95 %.
    pub(super) fn posterior(&self, prior: &[f64]) -> (Vec<f64>, f64) {
        let (mut out, mut none) = self.raw(prior, &vec![true; self.usable.len()]);
        let floor = if self.has_laboratory() {
            super::NONE_FLOOR_LAB
        } else {
            super::NONE_FLOOR
        };
        if none < floor {
            let scale = (1.0 - floor) / (1.0 - none);
            for p in &mut out {
                *p *= scale;
            }
            none = floor;
        }
        (out, none)
    }

    /// Whether "none of these" leads over every material and over a third of the whole: the
    /// observations fit cluster by cluster, and no record as a whole.
    pub(super) fn fits_nothing(&self, posterior: &Posterior) -> bool {
        let best = posterior.materials.iter().copied().fold(0.0, f64::max);
        self.usable.len() > 1 && posterior.none > best && posterior.none > 1.0 / 3.0
    }
}

/// Likelihoods of what was seen of a part whose age was said apart: the same whatever the rest is.
fn of_that_age([fresh, old]: &[Vec<f64>; 2], aged: f64) -> [Vec<f64>; 2] {
    let mixed: Vec<f64> = fresh
        .iter()
        .zip(old)
        .map(|(f, o)| age_weight(Age::Fresh, aged) * f + age_weight(Age::Aged, aged) * o)
        .collect();
    [mixed.clone(), mixed]
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
