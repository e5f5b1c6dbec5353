//! Builds the response table: every material against every liquid and test, as bit sets.

use std::collections::BTreeMap;

use super::write::WriteError;
use crate::model::outcome;
use crate::model::{
    Age, Agent, BenchTest, Class, Column, Feature, Kind, Material, Record, Response, Row, Table,
};
use crate::units::Reading;

/// Year that stands for "now" in the table: none that comes, so that what is still in use stays so
/// in a pack that outlives the year it was made. Readers cut at the years they ask about.
const NOW: i32 = i32::MAX;

/// The test whose record holds the reading error of all liquids.
const LIQUID_TEST: &str = "solvent-drop";

pub(super) fn table(by_kind: &[Vec<&Record>]) -> Result<Table, WriteError> {
    let materials: Vec<&Material> = by_kind[Kind::Material as usize]
        .iter()
        .filter_map(|r| {
            if let Record::Material(m) = r {
                Some(m)
            } else {
                None
            }
        })
        .collect();
    let families: Vec<(String, String)> = by_kind[Kind::Family as usize]
        .iter()
        .map(|r| (r.head().id.clone(), r.head().names.name.clone()))
        .collect();
    let tests: BTreeMap<&str, &BenchTest> = by_kind[Kind::Test as usize]
        .iter()
        .filter_map(|r| {
            if let Record::Test(t) = r {
                Some((t.head.id.as_str(), t))
            } else {
                None
            }
        })
        .collect();
    let agents: BTreeMap<&str, &Agent> = by_kind[Kind::Agent as usize]
        .iter()
        .filter_map(|r| {
            if let Record::Agent(a) = r {
                Some((a.head.id.as_str(), a))
            } else {
                None
            }
        })
        .collect();
    let rows = materials
        .iter()
        .map(|m| row(m, &families))
        .collect::<Result<Vec<_>, _>>()?;
    let mut features = Vec::new();
    let liquid_test = tests.get(LIQUID_TEST).copied();
    for (id, agent) in &agents {
        if let Some(feature) = liquid(id, agent, &agents, liquid_test, &materials) {
            features.push(feature);
        }
    }
    for (id, test) in &tests {
        if *id != LIQUID_TEST {
            features.push(bench(id, test, &materials));
        }
    }
    Ok(Table {
        rows,
        families,
        features,
    })
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
        id: head.id.clone(),
        name: head.names.name.clone(),
        roles: material.roles.clone(),
        family,
        years,
        hazards: material.hazards(),
        mixture: !material.made_of.is_empty(),
        met: material
            .met
            .iter()
            .map(|m| (m.met, m.roles.clone(), m.groups.clone()))
            .collect(),
    })
}

fn bits(material: &Material, age: Age, key: &str, outcomes: &[&str]) -> u64 {
    let facts = material.response(age, key).iter();
    facts.fold(0, |set, fact| set | outcome::of(fact, outcomes))
}

/// What a material answers to a liquid: its own record; for a mixture without one, the strongest of
/// its parts, if every part (or the liquid that stands in for it) is recorded.
fn answered(
    material: &Material,
    age: Age,
    id: &str,
    agent: &Agent,
    agents: &BTreeMap<&str, &Agent>,
    outcomes: &[&str],
) -> u64 {
    let own = bits(material, age, id, outcomes);
    if own != 0 || agent.parts.is_empty() {
        return own;
    }
    let grade = |set: u64| {
        (0..outcomes.len())
            .filter(|n| set >> n & 1 == 1)
            .filter_map(|n| Response::parse(outcomes[n]))
            .map(Response::grade)
            .max()
            .unwrap_or(0)
    };
    let mut best = 0;
    for (part, _) in &agent.parts {
        let mut set = bits(material, age, part, outcomes);
        if set == 0
            && let Some(like) = agents.get(part.as_str()).and_then(|a| a.like.as_deref())
        {
            set = bits(material, age, like, outcomes);
        }
        if set == 0 {
            return 0;
        }
        if best == 0 || grade(set) > grade(best) {
            best = set;
        }
    }
    best
}

fn liquid(
    id: &str,
    agent: &Agent,
    agents: &BTreeMap<&str, &Agent>,
    test: Option<&BenchTest>,
    materials: &[&Material],
) -> Option<Feature> {
    let outcomes: Vec<&str> = Response::ALL.iter().map(|r| r.word()).collect();
    let column = |age| -> Column {
        materials
            .iter()
            .map(|m| answered(m, age, id, agent, agents, &outcomes))
            .collect()
    };
    let (fresh, aged) = (column(Age::Fresh), column(Age::Aged));
    if fresh.iter().chain(aged.iter()).all(|set| set == 0) {
        return None;
    }
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
    Some(Feature {
        id: id.to_owned(),
        liquid: true,
        cluster: cluster.to_owned(),
        near: near(&outcomes, test.map_or(&[], |t| &t.near)),
        outcomes: outcomes.into_iter().map(str::to_owned).collect(),
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
        fresh,
        aged,
    })
}

fn bench(id: &str, test: &BenchTest, materials: &[&Material]) -> Feature {
    let outcomes: Vec<&str> = test.outcomes.iter().map(String::as_str).collect();
    let of = match test.reads {
        Some(_) => outcome::of_read,
        None => outcome::of,
    };
    let column = |age| -> Column {
        materials
            .iter()
            .map(|m| {
                let facts = m.shown(age, id, test.reads.as_deref()).iter();
                facts.fold(0, |set, fact| set | of(fact, &outcomes))
            })
            .collect()
    };
    let (fresh, aged) = (column(Age::Fresh), column(Age::Aged));
    Feature {
        id: id.to_owned(),
        liquid: false,
        cluster: test.cluster.clone(),
        near: near(&outcomes, &test.near),
        outcomes: test.outcomes.clone(),
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
        fresh,
        aged,
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
