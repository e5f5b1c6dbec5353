//! How probable the observations are, material by material.
//!
//! What is latent is summed out: the quality of each specimen, a skin over the surface, the age.
//! Clusters that share no specimen and no skin meet only in the material and its age, so they fall
//! into parts that are summed one by one, and a set of observations costs the product of its parts.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use smallvec::SmallVec;

use super::chosen::Chosen;
use super::expectation::{Expectation, Tally, Weighed, dot};
use super::product::{ByAge, Line, UNCHANGED, add_product, sum_of_products};
use super::skin::{self, Reckoned, SKINS};
use super::{Query, prior, specimen};
use crate::model::scene::{Observation, Posterior, age_weight};
use crate::model::{Age, Specimen, Table};

/// Share of a bench cluster that may be background: bounds what one cluster can decide to about
/// 13 dB against a material that never shows it.
pub(super) const EPSILON: f64 = 0.05;
/// The same for laboratory results.
const EPSILON_LAB: f64 = 0.01;
/// Most specimens whose quality is followed one by one; more share the last.
const MOST_GROUPS: usize = 4;
/// Chance that a part of the unknown which is spoken of apart (`the core`, a zone by name) is not of
/// the age of the rest: skin and core, first coat and later coats. Judgment.
const OTHER_AGE: f64 = 0.3;

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
    /// Skins that are reckoned with.
    skins: Vec<Reckoned>,
    /// Whether a skin would answer, by usable observation.
    skinned: Vec<bool>,
    /// Likelihoods of what was seen.
    likelihood: Vec<Likelihood>,
    weights: Vec<f64>,
    parts: Vec<Part>,
    known: RefCell<Known>,
}

/// Clusters that hang together by a specimen or by the skin.
struct Part {
    clusters: Vec<usize>,
    /// Its observations.
    members: Chosen,
    groups: Vec<usize>,
    skinned: bool,
}

/// Likelihoods of one observation. What a skin lets through, and what noise adds, is a line over what is
/// expected of a good specimen that nothing lies over, so only that is kept by material.
struct Likelihood {
    expected: ByAge,
    /// The same by the age of the rest, where it was seen of a part that is spoken of apart.
    apart: Option<ByAge>,
    /// Mean over the corpus, of that if there is one.
    mean: f64,
    /// Lines: [skin, none first; only that where no skin answers][quality good/bad].
    lines: Vec<[Line; 2]>,
}

impl Likelihood {
    /// By the age of the rest.
    fn alone(&self) -> &ByAge {
        self.apart.as_ref().unwrap_or(&self.expected)
    }
}

/// A cluster under some of its observations, and in the background.
struct Factor {
    columns: Columns,
    line: Line,
    none: f64,
}

/// Columns over which a line is laid.
enum Columns {
    /// Of one observation.
    Alone(usize),
    /// Of several together.
    Joint(Rc<Joint>),
}

/// A prior that one part was weighed into already.
pub(super) struct Begun {
    part: usize,
    by_age: ByAge,
    /// That of "none of these".
    none: f64,
}

/// Observations together: by material and age, and in the background.
struct Joint {
    by_age: ByAge,
    none: f64,
}

/// What was reckoned already.
#[derive(Default)]
struct Known {
    /// By part and which of its observations were chosen.
    parts: BTreeMap<(usize, Chosen), Rc<Joint>>,
    /// By which observations of a cluster were chosen, skin, and qualities; where they are several.
    clusters: BTreeMap<(Chosen, usize, usize), Rc<Joint>>,
}

/// A few, which need no memory of their own.
type Few<T> = SmallVec<[T; 8]>;

impl<'a> Evidence<'a> {
    pub(super) fn new(table: &'a Table, query: &'a Query, records: &[f64]) -> Self {
        let observations = &query.observations;
        let skins = skin::asked(table, &query.roles, observations);
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
                        bad.push(match observation.specimen {
                            Specimen::Surface if !skins.is_empty() => skin::BAD_SURFACE,
                            _ => specimen::bad(observation),
                        });
                    }
                    group_keys.len() - 1
                });
            groups.push(group);
        }
        let skinned: Vec<bool> = usable
            .iter()
            .map(|(i, _)| !skins.is_empty() && skin::answers(&observations[*i], table))
            .collect();
        // The background is the mean over the corpus, weighted as the records weigh it.
        let total: f64 = records.iter().sum();
        let count = records.len().max(1) as f64;
        let weights: Vec<f64> = records
            .iter()
            .map(|p| if total > 0.0 { p / total } else { 1.0 / count })
            .collect();
        let mut likelihood = likelihoods(table, query, &usable, &skins, &skinned, records);
        let aged = prior::aged(query);
        for (own, (i, _)) in likelihood.iter_mut().zip(&usable) {
            let [fresh, old] = &own.expected;
            own.apart = (!observations[*i].zone.is_empty()).then(|| other_age(fresh, old));
            let [fresh, old] = own.alone();
            own.mean = dot(&weights, &mixed(fresh, old, aged));
        }
        let parts = parts(&clusters, &groups, &skinned);
        Self {
            table,
            observations,
            usable,
            clusters,
            aged,
            groups,
            bad,
            skins,
            skinned,
            likelihood,
            weights,
            parts,
            known: RefCell::default(),
        }
    }

    /// Clusters of tests that were asked of, in the order of the observations. What was weighed is let go.
    pub(super) fn into_asked(self) -> Vec<String> {
        self.clusters.into_iter().map(|(name, _)| name).collect()
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
    pub(super) fn likelihoods(&self, chosen: &Chosen) -> (Vec<f64>, f64) {
        let joints = (0..self.parts.len()).filter_map(|k| self.part(k, chosen));
        self.together(joints)
    }

    /// The prior, by age a share of each, weighed by what is chosen of one part: whatever is chosen of the others
    /// goes on from there.
    pub(super) fn begun(&self, part: usize, chosen: &Chosen, prior: &ByAge) -> Begun {
        let mut out = Begun {
            part,
            by_age: prior.clone(),
            none: super::NONE_PRIOR,
        };
        if let Some(joint) = self.part(part, chosen) {
            for (weights, own) in out.by_age.iter_mut().zip(&joint.by_age) {
                for (weight, l) in weights.iter_mut().zip(own) {
                    *weight *= l;
                }
            }
            out.none *= joint.none;
        }
        out
    }

    /// Weights of the materials and of "none of these" under the chosen observations, added up; those of the
    /// materials shown are written to `own`.
    pub(super) fn shares(
        &self,
        chosen: &Chosen,
        begun: &Begun,
        shown: &[usize],
        own: &mut [f64],
    ) -> f64 {
        let joints: Few<Rc<Joint>> = (0..self.parts.len())
            .filter(|k| *k != begun.part)
            .filter_map(|k| self.part(k, chosen))
            .collect();
        let mut total = begun.none * joints.iter().map(|joint| joint.none).product::<f64>();
        own.fill(0.0);
        let factors: Few<&ByAge> = joints.iter().map(|joint| &joint.by_age).collect();
        for (age, weights) in begun.by_age.iter().enumerate() {
            total += sum_of_products(weights, age, &factors);
            for (sum, m) in own.iter_mut().zip(shown) {
                let factors = factors.iter().map(|columns| columns[age][*m]);
                *sum += weights[*m] * factors.product::<f64>();
            }
        }
        total
    }

    /// The part of most observations, and these.
    pub(super) fn widest_part(&self) -> (usize, Vec<usize>) {
        let members = |part: &Part| -> Vec<usize> {
            let clusters = part.clusters.iter();
            clusters
                .flat_map(|c| &self.clusters[*c].1)
                .copied()
                .collect()
        };
        let all = self.parts.iter().map(members).enumerate();
        all.max_by_key(|(_, own)| own.len()).unwrap_or_default()
    }

    /// Lets go of what was reckoned of a part.
    pub(super) fn let_go(&self, part: usize) {
        let mut known = self.known.borrow_mut();
        known.parts.retain(|(k, _), _| *k != part);
    }

    /// A prior by age: the share of each.
    pub(super) fn by_age(&self, prior: &[f64]) -> ByAge {
        Age::BOTH.map(|age| {
            let share = age_weight(age, self.aged);
            prior.iter().map(|p| share * p).collect()
        })
    }

    /// The product of parts, over the ages.
    fn together(&self, joints: impl Iterator<Item = Rc<Joint>>) -> (Vec<f64>, f64) {
        let joints: Few<Rc<Joint>> = joints.collect();
        let factors: Few<(&ByAge, Line)> = joints
            .iter()
            .map(|joint| (&joint.by_age, UNCHANGED))
            .collect();
        let mut out = vec![0.0; self.table.rows.len()];
        for (age, which) in Age::BOTH.into_iter().enumerate() {
            add_product(&mut out, age, age_weight(which, self.aged), &factors);
        }
        (out, joints.iter().map(|joint| joint.none).product())
    }

    /// One part under what was chosen of it; `None` where that is nothing.
    fn part(&self, k: usize, chosen: &Chosen) -> Option<Rc<Joint>> {
        let own = chosen.and(&self.parts[k].members);
        if own.is_empty() {
            return None;
        }
        let key = (k, own);
        if let Some(found) = self.known.borrow().parts.get(&key) {
            return Some(Rc::clone(found));
        }
        let joint = Rc::new(self.summed(k, chosen, None));
        self.known.borrow_mut().parts.insert(key, Rc::clone(&joint));
        Some(joint)
    }

    /// A part with what is latent in it summed out; of the skins only one, with its share, where one
    /// is named (0 is none).
    fn summed(&self, k: usize, chosen: &Chosen, only: Option<usize>) -> Joint {
        let n = self.table.rows.len();
        let part = &self.parts[k];
        let skins = if part.skinned {
            self.skins.len() + 1
        } else {
            1
        };
        let mut out = Joint {
            by_age: [vec![0.0; n], vec![0.0; n]],
            none: 0.0,
        };
        for skin in (0..skins).filter(|s| !part.skinned || only.is_none_or(|o| o == *s)) {
            let share = if part.skinned { self.share(skin) } else { 1.0 };
            for quality in 0..1_usize << part.groups.len() {
                let is_bad = |k: usize| quality >> k & 1 == 1;
                let mut chance = share;
                let mut bads = 0;
                for (k, g) in part.groups.iter().enumerate() {
                    chance *= if is_bad(k) {
                        self.bad[*g]
                    } else {
                        1.0 - self.bad[*g]
                    };
                    bads |= usize::from(is_bad(k)) << g;
                }
                let own: Few<Factor> = part
                    .clusters
                    .iter()
                    .filter_map(|c| self.cluster(*c, chosen, skin, bads))
                    .collect();
                let factors: Few<(&ByAge, Line)> = own
                    .iter()
                    .map(|factor| (self.columns(factor), factor.line))
                    .collect();
                for (age, sums) in out.by_age.iter_mut().enumerate() {
                    add_product(sums, age, chance, &factors);
                }
                let none: f64 = chance * own.iter().map(|factor| factor.none).product::<f64>();
                out.none += none;
            }
        }
        out
    }

    /// Prior of a skin, 0 for none.
    fn share(&self, skin: usize) -> f64 {
        let of = |s: &Reckoned| SKINS[s.which].prior;
        match skin {
            0 => 1.0 - self.skins.iter().map(of).sum::<f64>(),
            _ => of(&self.skins[skin - 1]),
        }
    }

    fn columns<'s>(&'s self, factor: &'s Factor) -> &'s ByAge {
        match &factor.columns {
            Columns::Alone(u) => self.likelihood[*u].alone(),
            Columns::Joint(joint) => &joint.by_age,
        }
    }

    /// One cluster under what was chosen of it, a skin, and the groups that are bad, a share of it
    /// background, so that it decides nothing alone; `None` where nothing was chosen.
    fn cluster(&self, c: usize, chosen: &Chosen, skin: usize, bads: usize) -> Option<Factor> {
        let members = &self.clusters[c].1;
        let list = members.iter().copied();
        let list: Few<usize> = list.filter(|u| chosen.contains(*u)).collect();
        let lab = list
            .iter()
            .all(|u| self.table.features[self.usable[*u].1].laboratory);
        let epsilon = if lab { EPSILON_LAB } else { EPSILON };
        let (columns, line, none) = match &list[..] {
            [] => return None,
            [u] => {
                let line = self.line(*u, skin, bads);
                let none = line.times * self.likelihood[*u].mean + line.plus;
                (Columns::Alone(*u), line, none)
            }
            _ => {
                let joint = self.joint(&list, skin, bads);
                let none = joint.none;
                (Columns::Joint(joint), UNCHANGED, none)
            }
        };
        Some(Factor {
            columns,
            line: Line {
                times: (1.0 - epsilon) * line.times,
                plus: (1.0 - epsilon) * line.plus + epsilon * none,
            },
            none,
        })
    }

    /// What a skin and the quality of the specimen make of what is expected.
    fn line(&self, u: usize, skin: usize, bads: usize) -> Line {
        let skin = if self.skinned[u] { skin } else { 0 };
        self.likelihood[u].lines[skin][bads >> self.groups[u] & 1]
    }

    /// The product over several observations of a cluster.
    fn joint(&self, list: &[usize], skin: usize, bads: usize) -> Rc<Joint> {
        let touched = list.iter().fold(0, |set, u| set | 1 << self.groups[*u]);
        let skin = if list.iter().any(|u| self.skinned[*u]) {
            skin
        } else {
            0
        };
        let mut own = Chosen::none(self.usable.len());
        list.iter().for_each(|u| own.insert(*u));
        let key = (own, skin, bads & touched);
        if let Some(found) = self.known.borrow().clusters.get(&key) {
            return Rc::clone(found);
        }
        let n = self.table.rows.len();
        let zones: Vec<ByAge> = self
            .zones(list)
            .into_iter()
            .map(|(named, list)| {
                let factors: Vec<(&ByAge, Line)> = list
                    .iter()
                    .map(|u| (&self.likelihood[*u].expected, self.line(*u, skin, bads)))
                    .collect();
                let mut out = [vec![0.0; n], vec![0.0; n]];
                for (age, sums) in out.iter_mut().enumerate() {
                    add_product(sums, age, 1.0, &factors);
                }
                match named {
                    true => other_age(&out[0], &out[1]),
                    false => out,
                }
            })
            .collect();
        let factors: Vec<(&ByAge, Line)> = zones.iter().map(|zone| (zone, UNCHANGED)).collect();
        let mut by_age = [vec![0.0; n], vec![0.0; n]];
        for (age, sums) in by_age.iter_mut().enumerate() {
            add_product(sums, age, 1.0, &factors);
        }
        let [fresh, aged] = &by_age;
        let none = dot(&self.weights, &mixed(fresh, aged, self.aged));
        let joint = Rc::new(Joint { by_age, none });
        self.known
            .borrow_mut()
            .clusters
            .insert(key, Rc::clone(&joint));
        joint
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
    pub(super) fn raw(&self, prior: &[f64], chosen: &Chosen) -> (Vec<f64>, f64) {
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
        let (mut out, mut none) = self.raw(prior, &Chosen::all(self.usable.len()));
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

    /// Each skin that was reckoned with: its place in [`SKINS`], its probability, and those of it
    /// with each material beneath.
    pub(super) fn over(&self, prior: &[f64]) -> Vec<(usize, f64, Vec<f64>)> {
        let chosen = Chosen::all(self.usable.len());
        let with = |skin: usize| {
            let joints =
                (0..self.parts.len()).map(|k| Rc::new(self.summed(k, &chosen, Some(skin))));
            let (likelihood, none) = self.together(joints);
            let out: Vec<f64> = likelihood.iter().zip(prior).map(|(l, p)| l * p).collect();
            (out, none * super::NONE_PRIOR)
        };
        if self.skins.is_empty() {
            return Vec::new();
        }
        let all: Vec<(Vec<f64>, f64)> = (0..=self.skins.len()).map(with).collect();
        let sum = |(own, none): &(Vec<f64>, f64)| own.iter().sum::<f64>() + none;
        let total: f64 = all.iter().map(sum).sum();
        if total <= 0.0 {
            return Vec::new();
        }
        self.skins
            .iter()
            .zip(&all[1..])
            .map(|(skin, one)| {
                let own = one.0.iter().map(|p| p / total).collect();
                (skin.which, sum(one) / total, own)
            })
            .collect()
    }

    /// Whether "none of these" leads over every material and over a third of the whole: the
    /// observations fit cluster by cluster, and no record as a whole.
    pub(super) fn fits_nothing(&self, posterior: &Posterior) -> bool {
        let best = posterior.materials.iter().copied().fold(0.0, f64::max);
        self.usable.len() > 1 && posterior.none > best && posterior.none > 1.0 / 3.0
    }
}

/// Likelihoods of each usable observation; their means are not yet known.
fn likelihoods(
    table: &Table,
    query: &Query,
    usable: &[(usize, usize)],
    skins: &[Reckoned],
    skinned: &[bool],
    records: &[f64],
) -> Vec<Likelihood> {
    let observations = &query.observations;
    let corpus = Weighed::new(table, records, |_| true);
    let mut tally = Tally::default();
    let mut expectations: BTreeMap<(usize, bool), Expectation> = BTreeMap::new();
    for (i, f) in usable {
        let clean = specimen::is_clean(&observations[*i]);
        expectations
            .entry((*f, clean))
            .or_insert_with(|| Expectation::new(&table.features[*f], clean, &corpus, &mut tally));
    }
    let one = |(u, (i, f)): (usize, &(usize, usize))| {
        let feature = &table.features[*f];
        let observation = &observations[*i];
        let seen = &observation.outcomes;
        let expectation = &expectations[&(*f, specimen::is_clean(observation))];
        let noise = expectation.noise();
        let chance: f64 = noise.zip(seen).map(|(n, s)| n * s).sum();
        let mut expected = expectation.of_all(feature, table, seen);
        let missed = specimen::misses(observation, feature, query.site);
        if let Some(unreached) = expectation
            .no_effect(feature, seen)
            .filter(|_| missed > 0.0)
        {
            for p in expected.iter_mut().flatten() {
                *p = (1.0 - missed) * *p + missed * unreached;
            }
        }
        if let Some(age) = observation.age {
            // The same whatever the age of the rest is.
            let said = mixed(&expected[0], &expected[1], prior::said(age));
            expected = [said.clone(), said];
        }
        // Of what lies beneath, how much shows through; and what the skin itself would show.
        let covers = skins.iter().filter(|_| skinned[u]).map(|skin| {
            let through = skin.through(&feature.cluster);
            let own = dot(expectation.of_family(skin.family), seen);
            (through, (1.0 - through) * own)
        });
        let lines = std::iter::once((1.0, 0.0)).chain(covers);
        Likelihood {
            expected,
            apart: None,
            mean: 0.0,
            lines: lines
                .map(|(through, own)| {
                    [false, true].map(|bad| {
                        let noise = specimen::noise(observation, feature, bad);
                        Line {
                            times: (1.0 - noise) * through,
                            plus: (1.0 - noise) * own + noise * chance,
                        }
                    })
                })
                .collect(),
        }
    };
    usable.iter().enumerate().map(one).collect()
}

/// Clusters by what they share.
fn parts(clusters: &[(String, Vec<usize>)], groups: &[usize], skinned: &[bool]) -> Vec<Part> {
    let mut out: Vec<Part> = Vec::new();
    for (c, (_, members)) in clusters.iter().enumerate() {
        let mut own = Part {
            clusters: vec![c],
            members: Chosen::none(groups.len()),
            groups: members.iter().map(|u| groups[*u]).collect(),
            skinned: members.iter().any(|u| skinned[*u]),
        };
        let (linked, apart): (Vec<Part>, Vec<Part>) = out.into_iter().partition(|part| {
            (part.skinned && own.skinned) || part.groups.iter().any(|g| own.groups.contains(g))
        });
        out = apart;
        for part in linked {
            own.clusters.extend(part.clusters);
            own.groups.extend(part.groups);
            own.skinned |= part.skinned;
        }
        own.groups.sort_unstable();
        own.groups.dedup();
        own.clusters.sort_unstable();
        out.push(own);
    }
    for part in &mut out {
        let own = part.clusters.iter().flat_map(|c| &clusters[*c].1);
        own.for_each(|u| part.members.insert(*u));
    }
    out
}

/// What is seen of a part that may be of another age than the rest, by the age of the rest.
fn other_age(fresh: &[f64], aged: &[f64]) -> ByAge {
    [mixed(fresh, aged, OTHER_AGE), mixed(aged, fresh, OTHER_AGE)]
}

/// The mean of two columns, the second with this share.
fn mixed(first: &[f64], second: &[f64], share: f64) -> Vec<f64> {
    first
        .iter()
        .zip(second)
        .map(|(f, s)| age_weight(Age::Fresh, share) * f + age_weight(Age::Aged, share) * s)
        .collect()
}
