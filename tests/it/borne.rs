//! Which methods the plans offer on which layer, and how: `tests/borne.txt`. A step that nobody would take
//! there (a drill on a varnish, a bath of a gilding) stands out in a list as it does not in an answer, and a
//! change of a rule or a record shows whom else it touches.

use std::collections::{BTreeMap, BTreeSet};

use palinode::answer::Call;
use palinode::embedded;
use palinode::model::scene::SceneLayer;
use palinode::model::{Kind, Library, Site};
use palinode::remove::{Plan, every};

use crate::written;

const FILE: &str = "tests/borne.txt";

/// One of each way in which an old material goes: by water, by alcohol, by aromatics, by warmth, by what only
/// swells it, dry, by a tool.
const TARGETS: [&str; 10] = [
    "hide-glue",
    "shellac",
    "beeswax",
    "paraloid-b-72",
    "pvac-dispersion",
    "epoxy",
    "linseed-oil",
    "plaster-of-paris",
    "soot",
    "dirt",
];

/// The best word on each method that any of the targets is given on a layer.
fn methods(layer: &SceneLayer, site: Site) -> BTreeMap<String, Call> {
    let mut out = BTreeMap::new();
    for target in TARGETS {
        let number = embedded().position(Kind::Material, target).unwrap();
        let Some(plan) = Plan::of(embedded(), number, 0.95, site, vec![layer.clone()]) else {
            continue;
        };
        for rung in every(embedded(), &plan) {
            let method = rung.step.get().method.head.id.clone();
            let best = out.entry(method).or_insert(rung.call);
            *best = (*best).min(rung.call);
        }
    }
    out
}

fn line(layer: &SceneLayer, site: Site) -> String {
    let found = methods(layer, site);
    let of = |wanted: Call| {
        let own = found.iter().filter(|(_, call)| **call == wanted);
        let names: Vec<&str> = own.map(|(method, _)| method.as_str()).collect();
        names.join(" ")
    };
    format!(
        "{} ({})\n  recommended: {}\n  test first: {}\n",
        layer.called,
        site.word(),
        of(Call::Recommended),
        of(Call::TestFirst)
    )
}

#[test]
fn steps_are_borne_as_last_written() {
    let mut wanted = String::new();
    for number in 0..embedded().count(Kind::Layer) {
        let layer = SceneLayer {
            called: embedded().id(Kind::Layer, number).unwrap().to_owned(),
            layer: embedded().shared_layer(number).unwrap(),
            conditions: Vec::new(),
            tried: Vec::new(),
        };
        for site in [Site::Film, Site::OpenJoint] {
            wanted.push_str(&line(&layer, site));
        }
    }
    written::holds(FILE, &wanted, |found| {
        let old: BTreeSet<&str> = found.lines().collect();
        let new: Vec<&str> = wanted.lines().filter(|l| !old.contains(l)).collect();
        format!(
            "other steps are borne now, {} lines:\n{}",
            new.len(),
            new.join("\n")
        )
    });
}
