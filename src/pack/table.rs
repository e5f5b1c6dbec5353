//! Builds the response table: every material against every liquid and test, as bit sets.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use super::answers::{Answers, Liquid};
use super::entry::{Bytes, Section};
use super::write::WriteError;
use crate::model::{
    Agent, BenchTest, Class, Column, Feature, Kind, Lazy, Material, Record, Response, Row, Scale,
    Table, TextColumn,
};
use crate::units::Reading;

/// Year that stands for "now" in the table: none that comes, so that what is still in use stays so
/// in a pack that outlives the year it was made. Readers cut at the years they ask about.
const NOW: i32 = i32::MAX;

/// The test whose record holds the reading error of all liquids.
const LIQUID_TEST: &str = "solvent-drop";

/// The table of a pack as its bytes: [`crate::model::Table`] as postcard writes it. `records` gives those of a
/// kind, by id. Every record is read once and forgotten, and what it answers is noted by liquid and test; to
/// ask every material of every liquid would take work that grows with the square of the corpus.
pub(super) fn table<Records>(records: impl Fn(Kind) -> Records) -> Result<Vec<u8>, WriteError>
where
    Records: Iterator<Item = Result<Record, WriteError>>,
{
    let mut families = Vec::new();
    for record in records(Kind::Family) {
        let head = record?.head().clone();
        families.push((head.id, head.names.name));
    }
    let mut liquid_test = None;
    let mut tests = Vec::new();
    for record in records(Kind::Test) {
        match record? {
            Record::Test(it) if it.head.id == LIQUID_TEST => liquid_test = Some(it),
            Record::Test(it) => tests.push(bench(&it)),
            _ => {}
        }
    }
    let mut liquids = Vec::new();
    for record in records(Kind::Agent) {
        if let Record::Agent(it) = record? {
            liquids.push(liquid(it, liquid_test.as_ref()));
        }
    }
    let mut answers = Answers::new(&liquids, &tests);
    let mut rows = Vec::new();
    let (mut ids, mut names) = (TextColumn::default(), TextColumn::default());
    for record in records(Kind::Material) {
        if let Record::Material(it) = record? {
            answers.note(rows.len(), &it);
            rows.push(row(&it, &families)?);
            let head = &it.head;
            if !(ids.push(&head.id) && names.push(&head.names.name)) {
                return Err(WriteError::TooLarge);
            }
        }
    }
    let mut features = Features::default();
    let mut mixed = HashMap::new();
    for liquid in &mut liquids {
        let [fresh, aged] = answers.of_liquid(liquid, rows.len(), &mut mixed);
        if fresh.iter().chain(aged.iter()).any(|set| set != 0) {
            features.add(&mut liquid.feature, fresh, aged)?;
        }
    }
    for test in &mut tests {
        let [fresh, aged] = answers.of_test(test, rows.len());
        features.add(test, fresh, aged)?;
    }
    let mut out = postcard::to_allocvec(&(rows, ids, names, families))?;
    out.extend(postcard::to_allocvec(&features.count)?);
    out.extend(features.bytes);
    let scales: Vec<&Scale> = features.scales.iter().map(|it| &**it).collect();
    out.extend(postcard::to_allocvec(&scales)?);
    Ok(out)
}

/// What [`table`] wrote and a pack holds at a place.
pub(super) fn read(bytes: &Bytes, place: Range<usize>) -> Option<Table> {
    let own = bytes.get(place.clone())?;
    let ((rows, ids, names, families), features) = postcard::take_from_bytes(own).ok()?;
    let start = own.len() - features.len();
    Some(Table {
        rows,
        ids,
        names,
        families,
        features: Lazy::lying_in(Section::piece(bytes, place, start)?),
    })
}

/// Features as they are written.
#[derive(Default)]
struct Features {
    count: usize,
    scales: Vec<Arc<Scale>>,
    bytes: Vec<u8>,
}

impl Features {
    /// Writes a feature with its columns, which it does not keep.
    fn add(
        &mut self,
        feature: &mut Feature,
        fresh: Column,
        aged: Column,
    ) -> Result<(), WriteError> {
        (feature.fresh, feature.aged) = (fresh, aged);
        let known = self.scales.iter().position(|it| *it == feature.read_on);
        let scale = known.unwrap_or_else(|| {
            self.scales.push(Arc::clone(&feature.read_on));
            self.scales.len() - 1
        });
        feature.scale = u16::try_from(scale).map_err(|_| WriteError::TooLarge)?;
        self.bytes.extend(postcard::to_allocvec(feature)?);
        (feature.fresh, feature.aged) = (Column::default(), Column::default());
        self.count += 1;
        Ok(())
    }
}

fn row(material: &Material, families: &[(String, String)]) -> Result<Row, WriteError> {
    let head = &material.head;
    let family = families
        .iter()
        .position(|(id, _)| *id == material.family)
        .and_then(|n| u16::try_from(n).ok())
        .ok_or_else(|| WriteError::Unknown {
            file: head.place.file.clone(),
            line: head.place.line,
            id: head.id.clone(),
            what: "family",
            name: material.family.clone(),
        })?;
    let used = head.facts.years("used").map(|y| y.bounds(NOW));
    let main = head.facts.years("main").map(|y| y.bounds(NOW));
    // With only one of the two recorded, it stands for both.
    let years = match (used, main) {
        (Some(u), Some(m)) => Some((u.0.min(m.0), m.0, m.1, u.1.max(m.1))),
        (Some(u), None) => Some((u.0, u.0, u.1, u.1)),
        (None, Some(m)) => Some((m.0, m.0, m.1, m.1)),
        (None, None) => None,
    };
    Ok(Row {
        roles: material.roles.iter().copied().collect(),
        family,
        years,
        hazards: material.hazards().into_iter().collect(),
        mixture: !material.made_of.is_empty(),
        met: material
            .met
            .iter()
            .map(|m| {
                let roles = m.roles.iter().copied().collect();
                (m.met, roles, m.groups.iter().copied().collect())
            })
            .collect(),
    })
}

/// An agent as the table knows it, without its columns.
fn liquid(agent: Agent, test: Option<&BenchTest>) -> Liquid {
    let outcomes: Vec<&str> = Response::ALL.iter().map(|r| r.word()).collect();
    let cluster = match agent.class {
        Class::Aliphatic | Class::Aromatic => "hydrocarbon",
        class if class.is_solvent() => "polar",
        _ => "aqueous",
    };
    // Harm to the worker from a drop: the restricted and the strong count more.
    let toxicity = match agent.class {
        _ if agent.needs_permission || agent.cmr.is_some() => 4,
        Class::Chlorinated | Class::Aprotic => 4,
        Class::Aromatic => 3,
        class if class.is_solvent() => 2,
        Class::Acid | Class::Alkali => 2,
        _ => 0,
    };
    let feature = Feature {
        id: agent.head.id,
        liquid: true,
        cluster: cluster.to_owned(),
        scale: 0,
        read_on: Arc::new(Scale {
            near: near(&outcomes, test.map_or(&[], |t| &t.near)),
            outcomes: outcomes.into_iter().collect(),
        }),
        laboratory: false,
        positive: None,
        false_positive: None,
        when_clean: None,
        reliability: test.and_then(|t| number(t, "reliability")).unwrap_or(0.85),
        sample_ug: test.map_or(100.0, |t| t.sample_ug),
        risk: test.map_or(1, |t| t.risk),
        toxicity,
        minutes: test.map_or(10.0, |t| t.minutes),
        hazard: None,
        reads: None,
        proposed: true,
        fresh: Column::default(),
        aged: Column::default(),
    };
    Liquid {
        feature,
        parts: agent.parts.into_iter().map(|(part, _)| part).collect(),
        like: agent.like,
    }
}

/// A test as the table knows it, without its columns.
fn bench(test: &BenchTest) -> Feature {
    let outcomes: Vec<&str> = test.outcomes.iter().map(String::as_str).collect();
    Feature {
        id: test.head.id.clone(),
        liquid: false,
        cluster: test.cluster.clone(),
        scale: 0,
        read_on: Arc::new(Scale {
            near: near(&outcomes, &test.near),
            outcomes: test.outcomes.iter().collect(),
        }),
        laboratory: test.laboratory,
        positive: number(test, "positive"),
        false_positive: number(test, "false-positive"),
        when_clean: range(test, "positive")
            .zip(range(test, "false-positive"))
            .map(|((_, hit), (false_hit, _))| (hit, false_hit)),
        reliability: number(test, "reliability").unwrap_or(if test.laboratory {
            0.97
        } else {
            0.85
        }),
        sample_ug: test.sample_ug,
        risk: test.risk,
        toxicity: test.toxicity,
        minutes: test.minutes,
        hazard: test.hazard,
        reads: test.reads.clone(),
        proposed: test.proposed,
        fresh: Column::default(),
        aged: Column::default(),
    }
}

fn near(outcomes: &[&str], pairs: &[(String, String)]) -> Vec<(u8, u8)> {
    let place = |word: &str| {
        outcomes
            .iter()
            .position(|o| *o == word)
            .and_then(|n| u8::try_from(n).ok())
    };
    pairs
        .iter()
        .filter_map(|(a, b)| Some((place(a)?, place(b)?)))
        .collect()
}

/// Middle of a recorded number or range.
fn number(test: &BenchTest, key: &str) -> Option<f64> {
    range(test, key).map(|(low, high)| f64::midpoint(low, high))
}

/// Ends of a recorded number or range.
fn range(test: &BenchTest, key: &str) -> Option<(f64, f64)> {
    let bounds = test.head.facts.measure(key)?.base(Reading::Point)?;
    (bounds.low.is_finite() && bounds.high.is_finite()).then_some((bounds.low, bounds.high))
}
