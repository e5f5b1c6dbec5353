//! What materials answer to liquids and tests, noted material by material and told liquid by liquid.

use std::collections::{BTreeMap, HashMap};

use crate::model::outcome;
use crate::model::{Age, Column, Fact, Feature, Material, Response};

/// What the table wants to know of an agent.
pub(super) struct Liquid {
    /// Without its columns.
    pub(super) feature: Feature,
    /// Ids of what it is mixed of.
    pub(super) parts: Vec<String>,
    /// The liquid that stands in for it.
    pub(super) like: Option<String>,
}

/// A column by age, of which only the materials that say something are held: number, outcomes.
#[derive(Default)]
struct Sparse([Vec<(u32, u64)>; 2]);

impl Sparse {
    fn note(&mut self, age: Age, material: usize, set: u64) {
        if let (Ok(material), true) = (u32::try_from(material), set != 0) {
            self.0[age as usize].push((material, set));
        }
    }

    /// Lays them over a column of all materials.
    fn lay_over(&self, age: Age, column: &mut [u64]) {
        for (material, set) in &self.0[age as usize] {
            column[*material as usize] = *set;
        }
    }
}

/// Columns of a mixture by age, as far as its parts tell.
pub(super) type Mixed = HashMap<Vec<String>, [Vec<u64>; 2]>;

/// What a test reads of a material in place of answers, and the outcomes that it tells apart.
type Read = (String, Vec<String>);

/// What materials answer, as far as a liquid or a test of the corpus asks.
pub(super) struct Answers {
    /// By liquid: agents, and what mixtures are made of.
    liquids: HashMap<String, Sparse>,
    /// By test, with its outcomes.
    tests: HashMap<String, (Vec<String>, Sparse)>,
    /// What stands in the place of answers; tests that read and tell apart the same have one column.
    read: BTreeMap<Read, Sparse>,
    /// What stands in for a liquid that is a part of a mixture.
    like: HashMap<String, String>,
}

impl Answers {
    pub(super) fn new(liquids: &[Liquid], tests: &[Feature]) -> Self {
        let mut out = Self {
            liquids: HashMap::new(),
            tests: HashMap::new(),
            read: BTreeMap::new(),
            like: HashMap::new(),
        };
        for liquid in liquids {
            let own = std::iter::once(&liquid.feature.id);
            for id in own.chain(&liquid.parts).chain(&liquid.like) {
                out.liquids.entry(id.clone()).or_default();
            }
            if let Some(like) = &liquid.like {
                out.like.insert(liquid.feature.id.clone(), like.clone());
            }
        }
        for test in tests {
            let outcomes = test.outcomes().to_vec();
            match &test.reads {
                Some(key) => {
                    out.read.entry((key.clone(), outcomes)).or_default();
                }
                None => {
                    out.tests
                        .insert(test.id.clone(), (outcomes, Sparse::default()));
                }
            }
        }
        out
    }

    /// Notes what a material answers. Materials come by their number.
    pub(super) fn note(&mut self, number: usize, material: &Material) {
        let responses: Vec<&str> = Response::ALL.iter().map(|r| r.word()).collect();
        for age in Age::BOTH {
            let own = match age {
                Age::Fresh => &material.fresh,
                Age::Aged => &material.aged,
            };
            let always = material.always.keys().filter(|key| own.get(key).is_empty());
            for key in own.keys().chain(always) {
                let facts = material.response(age, key);
                if let Some(column) = self.liquids.get_mut(key) {
                    column.note(age, number, together(facts, &responses, outcome::of));
                }
                if let Some((outcomes, column)) = self.tests.get_mut(key) {
                    column.note(age, number, together(facts, &words(outcomes), outcome::of));
                }
            }
        }
        for ((key, outcomes), column) in &mut self.read {
            let set = together(
                material.head.facts.get(key),
                &words(outcomes),
                outcome::of_read,
            );
            for age in Age::BOTH {
                column.note(age, number, set);
            }
        }
    }

    /// Outcomes of every one of `materials` to a liquid, fresh and aged: its own record; for a mixture
    /// without one, the strongest of its parts, if every part (or the liquid that stands in for it) is
    /// recorded. `mixed` keeps what was reckoned from parts: like mixtures are made of like parts.
    pub(super) fn of_liquid(
        &self,
        liquid: &Liquid,
        materials: usize,
        mixed: &mut Mixed,
    ) -> [Column; 2] {
        let own = &self.liquids[&liquid.feature.id];
        Age::BOTH.map(|age| {
            let mut column = match liquid.parts.as_slice() {
                [] => vec![0; materials],
                parts => mixed
                    .entry(parts.to_vec())
                    .or_insert_with(|| Age::BOTH.map(|age| self.of_parts(parts, age, materials)))
                    [age as usize]
                    .clone(),
            };
            own.lay_over(age, &mut column);
            column.into_iter().collect()
        })
    }

    /// What the parts of a mixture tell of it.
    fn of_parts(&self, parts: &[String], age: Age, materials: usize) -> Vec<u64> {
        let mut out = vec![0; materials];
        for (nth, part) in parts.iter().enumerate() {
            let mut column = vec![0; materials];
            let like = self.like.get(part);
            for id in like.into_iter().chain([part]) {
                self.liquids[id].lay_over(age, &mut column);
            }
            for (best, set) in out.iter_mut().zip(column) {
                let known = nth == 0 || *best != 0;
                *best = match (known, set) {
                    (false, _) | (_, 0) => 0,
                    _ if *best == 0 || grade(set) > grade(*best) => set,
                    _ => *best,
                };
            }
        }
        out
    }

    /// Outcomes of every one of `materials` to a test, fresh and aged.
    pub(super) fn of_test(&self, test: &Feature, materials: usize) -> [Column; 2] {
        let column = match &test.reads {
            Some(key) => &self.read[&(key.clone(), test.outcomes().to_vec())],
            None => &self.tests[&test.id].1,
        };
        Age::BOTH.map(|age| {
            let mut out = vec![0; materials];
            column.lay_over(age, &mut out);
            out.into_iter().collect()
        })
    }
}

/// How far the strongest outcome of a set goes.
fn grade(set: u64) -> u8 {
    let outcomes = Response::ALL.iter().enumerate();
    outcomes
        .filter(|(n, _)| set >> n & 1 == 1)
        .map(|(_, response)| response.grade())
        .max()
        .unwrap_or(0)
}

/// What several facts say together.
fn together(facts: &[Fact], outcomes: &[&str], of: fn(&Fact, &[&str]) -> u64) -> u64 {
    facts.iter().fold(0, |set, fact| set | of(fact, outcomes))
}

fn words(outcomes: &[String]) -> Vec<&str> {
    outcomes.iter().map(String::as_str).collect()
}
