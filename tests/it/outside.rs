//! The corpus against other publications: the tables in `tests/outside`, whose README names every source.
//! A figure is compared only with a source that its record does not name; what is out of its tolerance
//! stands in `differences.toml` with its reason, and a new difference fails as a mended one does.

mod limits;
mod liquids;
mod polymers;
mod spheres;

use std::collections::BTreeMap;

use palinode::embedded;
use palinode::model::{Agent, Fact, Material, Record, Value};

use crate::written;

/// A row of a table by the names in its heading.
type Row = BTreeMap<String, String>;

/// What differs: where, and by how much (`ours against theirs`).
type Found = BTreeMap<String, String>;

/// The rows of a table with a heading; lines that begin with `#` are remarks.
fn table(name: &str) -> Vec<Row> {
    let text = written::read(&format!("tests/outside/{name}"));
    let mut lines = text.lines().filter(|l| !l.starts_with('#'));
    let heading: Vec<&str> = lines.next().unwrap().split('\t').collect();
    let rows: Vec<Row> = lines
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            assert_eq!(cells.len(), heading.len(), "{name}: {line}");
            let pairs = heading.iter().zip(cells);
            pairs
                .map(|(k, v)| ((*k).to_owned(), v.to_owned()))
                .collect()
        })
        .collect();
    assert!(!rows.is_empty(), "{name}");
    rows
}

fn agents() -> Vec<Agent> {
    let records = embedded().all_records();
    let agents = records.into_iter().filter_map(|r| match r {
        Record::Agent(it) => Some(it),
        _ => None,
    });
    agents.collect()
}

fn materials() -> Vec<Material> {
    let records = embedded().all_records();
    let materials = records.into_iter().filter_map(|r| match r {
        Record::Material(it) => Some(it),
        _ => None,
    });
    materials.collect()
}

/// Lowest and highest value of a measured fact in the unit that it is written in.
fn bounds(fact: &Fact) -> Option<(f64, f64)> {
    match &fact.value {
        Value::Measure(q) => q.bounds().map(|b| (b.low, b.high)),
        _ => None,
    }
}

/// Four decimals at most.
fn short(x: f64) -> String {
    let text = format!("{x:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Holds what differs against its section of `differences.toml`: every difference is known there with
/// both figures and a reason, and every one that is known is still there.
fn ratchet(section: &str, found: &Found) {
    let text = written::read("tests/outside/differences.toml");
    let mut file: BTreeMap<String, BTreeMap<String, String>> = toml::from_str(&text).unwrap();
    let known = file.remove(section).unwrap_or_default();
    let mut wrong = Vec::new();
    for (place, figures) in found {
        let reason = known
            .get(place)
            .and_then(|told| told.strip_prefix(figures.as_str()))
            .and_then(|rest| rest.strip_prefix(": "));
        if reason.is_none_or(|r| r.trim().is_empty()) {
            wrong.push(format!("\"{place}\" = \"{figures}: \""));
        }
    }
    let mended: Vec<&String> = known.keys().filter(|k| !found.contains_key(*k)).collect();
    assert!(
        wrong.is_empty() && mended.is_empty(),
        "[{section}]\n{}\nmended, so take them off the list: {mended:?}",
        wrong.join("\n")
    );
}

/// The list itself can fail: a difference that it does not hold, and one that is gone.
#[test]
fn the_list_of_differences_holds_both_ways() {
    let none = Found::new();
    let all = std::panic::catch_unwind(|| ratchet("liquids", &none));
    assert!(all.is_err(), "every difference was mended");
    let one = Found::from([("water flash nobody".to_owned(), "1 against 2".to_owned())]);
    let unknown = std::panic::catch_unwind(|| ratchet("a section that is not there", &one));
    assert!(unknown.is_err());
    ratchet("a section that is not there", &none);
}
