//! Turns numbers into what a reader can check: what each record expected, on what basis, and where
//! observations quarrel with records or with one another.

use std::cell::OnceCell;

use super::Query;
use super::evidence::Evidence;
use super::expectation::{Readings, bits, dot};
use crate::answer::{self, Candidate, QUARRELS_TOLD, Unrecorded};
use crate::model::scene::{Observation, Posterior, age_weight};
use crate::model::{Age, Basis, Fact, Feature, Library, Material, Table, outcome};

/// An observation this much less likely than the best it could have been contradicts the record.
const CONTRADICTS: f64 = 0.15;
/// Fewer observations than this are not said to fit nothing by how many quarrel with a record.
const LEAST_TO_MISFIT: usize = 4;
/// A material less probable than this is not asked whether it fits, and those that are must make up
/// so much together.
const LEAST_TO_JUDGE: f64 = 0.01;
const LEAST_JUDGED: f64 = 0.2;
/// Fewer quarrels with a record than this may be the noise of the bench.
const LEAST_QUARRELS: usize = 3;

/// The candidates that are shown, each with what speaks for and against it. `weights` holds a row for each
/// of them, decibels.
pub(super) fn candidates(
    library: &dyn Library,
    query: &Query,
    evidence: &Evidence<'_>,
    prior: &[f64],
    posterior: &Posterior,
    shown: &[usize],
    weights: &[Vec<f64>],
) -> Vec<Candidate> {
    let table = library.table();
    let readings: Vec<Readings> = evidence
        .usable
        .iter()
        .map(|(_, f)| Readings::new(&table.features[*f], false))
        .collect();
    let mut out = Vec::new();
    for (c, m) in shown.iter().enumerate() {
        let row = &table.rows[*m];
        let is_told = c == 0 || !query.paged;
        let may_quarrel = c < QUARRELS_TOLD || !query.paged;
        let record = OnceCell::new();
        let material = || {
            let read = || library.material(table.ids.get(*m));
            record.get_or_init(read).as_ref()
        };
        let (family, family_name) = &table.families[row.family as usize];
        let mut own = Vec::new();
        let mut against = Vec::new();
        for (u, (i, f)) in evidence.usable.iter().enumerate() {
            let observation = &query.observations[*i];
            let feature = &table.features[*f];
            let quarrels = may_quarrel
                && contradicts(&readings[u], feature, observation, (*m, posterior.aged));
            let expected = (is_told || quarrels)
                .then(material)
                .flatten()
                .map_or_else(Expected::default, |it| {
                    Expected::of(it, feature, posterior.aged)
                });
            if quarrels {
                against.push(format!(
                    "{}: the record expects {}",
                    observation.text, expected.words
                ));
            }
            own.push(answer::Evidence {
                observation: observation.text.clone(),
                weight_db: weights[c][u],
                expected: expected.words,
                basis: Basis::words(expected.facts.iter().map(|f| &f.basis)),
                sources: Basis::keys(expected.facts.iter().map(|f| &f.basis)),
                places: expected.facts.iter().map(|f| f.place.clone()).collect(),
            });
        }
        out.push(Candidate {
            id: table.ids.get(*m).to_owned(),
            name: table.names.get(*m).to_owned(),
            roles: (is_told.then(material).flatten())
                .map_or_else(|| row.roles.iter().collect(), |it| it.roles.clone()),
            family: family.clone(),
            family_name: family_name.clone(),
            probability: posterior.materials[*m],
            prior: prior[*m],
            evidence: own,
            contradictions: against,
        });
    }
    out
}

/// What a record expects of a liquid or test.
#[derive(Default)]
struct Expected<'a> {
    /// The outcomes at both ages.
    words: String,
    /// The facts of the age that counts more; of the other where that one is silent.
    facts: Vec<&'a Fact>,
}

impl<'a> Expected<'a> {
    fn of(material: &'a Material, feature: &Feature, aged: f64) -> Self {
        let of = |age| material.shown(age, &feature.id, feature.reads.as_deref());
        let outcomes: Vec<&str> = feature.outcomes().iter().collect();
        let named = |fact: &Fact| match feature.reads {
            Some(_) => outcome::of_read(fact, &outcomes),
            None => outcome::of(fact, &outcomes),
        };
        let speaks = |fact: &&Fact| named(fact) != 0;
        let words = |facts: &[Fact]| -> Vec<String> {
            let said = facts.iter().fold(0, |set, fact| set | named(fact));
            let mut out: Vec<String> = Vec::new();
            // In the order of the record where it names them itself.
            for word in facts.iter().flat_map(Fact::words) {
                if !out.contains(word) {
                    out.push(word.clone());
                }
            }
            if out.is_empty() {
                out.extend(bits(said).map(|n| feature.outcomes()[n].to_owned()));
            }
            out
        };
        let (fresh, old) = (words(of(Age::Fresh)), words(of(Age::Aged)));
        let text = match (fresh.is_empty(), old.is_empty()) {
            (true, true) => "not recorded".to_owned(),
            (false, true) => format!("{} (fresh)", fresh.join(" or ")),
            (true, false) => format!("{} (aged)", old.join(" or ")),
            (false, false) if fresh == old => fresh.join(" or "),
            (false, false) => format!(
                "{} (fresh), {} (aged)",
                fresh.join(" or "),
                old.join(" or ")
            ),
        };
        let main = if aged >= 0.5 && !old.is_empty() {
            Age::Aged
        } else {
            Age::Fresh
        };
        let mut facts: Vec<&Fact> = of(main).iter().collect();
        if facts.is_empty() {
            facts = of(Age::Aged).iter().collect();
        }
        let facts: Vec<&Fact> = facts.into_iter().filter(speaks).collect();
        Self { words: text, facts }
    }
}

fn contradicts(
    readings: &Readings,
    feature: &Feature,
    observation: &Observation,
    (m, aged): (usize, f64),
) -> bool {
    let mut seen = 0.0;
    for age in Age::BOTH {
        // What is recorded at one age only is held against both.
        let set = match feature.recorded(age, m) {
            0 => feature.recorded(age.other(), m),
            own => own,
        };
        if set == 0 {
            return false;
        }
        let n = feature.outcomes().len();
        let chance = (0..n)
            .filter(|bit| set >> bit & 1 == 1)
            .map(|bit| dot(readings.expects(bit), &observation.outcomes))
            .fold(0.0, f64::max);
        seen += age_weight(age, aged) * chance;
    }
    let best = (0..feature.outcomes().len())
        .map(|bit| dot(readings.expects(bit), &observation.outcomes))
        .fold(0.0, f64::max);
    best > 0.0 && seen < CONTRADICTS * best && !observation.blank
}

/// Whether most of what is probable quarrels with two fifths of what was seen, or more: then the
/// leader leads over worse ones, and nothing on record fits. A right one is contradicted by the noise
/// of the bench once or twice in eight; the share is judgment. A record that is silent on most of what
/// was seen is not asked.
pub(super) fn misfits(query: &Query, evidence: &Evidence<'_>, posterior: &Posterior) -> bool {
    let table = evidence.table;
    let count = evidence.usable.len();
    if count < LEAST_TO_MISFIT {
        return false;
    }
    let readings: Vec<Readings> = evidence
        .usable
        .iter()
        .map(|(_, f)| Readings::new(&table.features[*f], false))
        .collect();
    let (mut all, mut wrong) = (0.0, 0.0);
    for (m, p) in posterior.materials.iter().enumerate() {
        if *p < LEAST_TO_JUDGE {
            continue;
        }
        let (mut spoken, mut quarrels) = (0, 0);
        for ((i, f), reading) in evidence.usable.iter().zip(&readings) {
            let feature = &table.features[*f];
            spoken += usize::from(feature.fresh.get(m) | feature.aged.get(m) != 0);
            quarrels += usize::from(contradicts(
                reading,
                feature,
                &query.observations[*i],
                (m, posterior.aged),
            ));
        }
        if 2 * spoken >= count {
            all += p;
            if quarrels >= LEAST_QUARRELS && 5 * quarrels >= 2 * spoken {
                wrong += p;
            }
        }
    }
    all >= LEAST_JUDGED && 2.0 * wrong > all
}

/// Pairs of observations of one test on one specimen that cannot both be right.
pub(super) fn contradictions(query: &Query, table: &Table) -> Vec<String> {
    let mut out = Vec::new();
    for (i, a) in query.observations.iter().enumerate() {
        for b in &query.observations[i + 1..] {
            // The skin may well answer otherwise than a fresh cut.
            let same = a.feature == b.feature
                && a.zone == b.zone
                && a.age == b.age
                && a.specimen == b.specimen;
            let (Some(f), true) = (a.feature, same) else {
                continue;
            };
            let overlap: f64 = a
                .outcomes
                .iter()
                .zip(&b.outcomes)
                .map(|(x, y)| x.min(*y))
                .sum();
            if overlap < 0.05 && !a.blank && !b.blank {
                out.push(format!(
                    "\"{}\" and \"{}\" cannot both hold of one specimen: repeat the test \
                     ({}) on a fresh crumb, with a blank",
                    a.text, b.text, table.features[f].id
                ));
            }
        }
    }
    out
}

/// Observations on which the corpus is silent for the leading candidates.
pub(super) fn unrecorded(
    query: &Query,
    table: &Table,
    shown: &[usize],
    aged: f64,
) -> Vec<Unrecorded> {
    let age = if aged >= 0.5 { Age::Aged } else { Age::Fresh };
    let mut out = Vec::new();
    for m in shown.iter().take(3) {
        for observation in &query.observations {
            let silent = observation
                .feature
                .is_some_and(|f| table.features[f].recorded(age, *m) == 0);
            if silent {
                out.push(Unrecorded {
                    candidate: table.names.get(*m).to_owned(),
                    observation: observation.text.clone(),
                });
            }
        }
    }
    out
}
