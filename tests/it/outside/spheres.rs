//! Solubility spheres against what the bench is recorded to show.

use std::collections::BTreeMap;

use palinode::answer::Body;
use palinode::chem;
use palinode::model::{Age, Hansen, Response, Value};

use super::{Found, agents, materials, ratchet};
use crate::engines::ask;

/// Spheres of what swells or attacks a cured film say nothing of solution.
fn of_solution(note: &str) -> bool {
    let other = ["resistance", "attack", "not solution"];
    !note.starts_with("cured") && !other.iter().any(|w| note.contains(w))
}

/// Whether all that is recorded of a liquid says that it dissolves, or that it does not; none where the
/// record is divided or says "in part".
fn dissolves(readings: &[Response]) -> Option<bool> {
    let all = |ok: &dyn Fn(&Response) -> bool| !readings.is_empty() && readings.iter().all(ok);
    if all(&|r| *r == Response::Dissolves) {
        Some(true)
    } else if all(&|r| matches!(r.word(), "no effect" | "swells slightly" | "swells")) {
        Some(false)
    } else {
        None
    }
}

/// Every liquid of which the record and a sphere say different things of the fresh resin, with its reason; and
/// where every sphere is off beyond what a sphere can tell, `blend` says that the record contradicts it.
#[test]
fn spheres_beside_the_bench_and_the_record_wins() {
    let mut found = Found::new();
    let (mut judged, mut all) = (0, 0);
    // Material, liquid: whether the record says that it dissolves, and RED by each sphere.
    let mut pairs: BTreeMap<(String, String), (bool, Vec<f64>)> = BTreeMap::new();
    let liquids: Vec<(String, String, Hansen)> = agents()
        .into_iter()
        .filter_map(|agent| {
            let point = agent
                .head
                .facts
                .get("hansen")
                .iter()
                .find_map(|f| match f.value {
                    Value::Hansen(it) => Some(it),
                    _ => None,
                })?;
            Some((agent.head.id.clone(), agent.head.names.name.clone(), point))
        })
        .collect();
    for material in materials() {
        let mut number = 0;
        for fact in material.head.facts.get("hansen") {
            number += 1;
            let Value::Hansen(sphere) = fact.value else {
                continue;
            };
            if !of_solution(fact.note.as_deref().unwrap_or_default()) {
                continue;
            }
            for (id, name, point) in &liquids {
                let readings: Vec<Response> = material
                    .readings(Age::Fresh, id)
                    .into_iter()
                    .map(|(r, _)| r)
                    .collect();
                all += usize::from(!readings.is_empty());
                let (Some(good), Some(red)) = (dissolves(&readings), chem::red(sphere, *point))
                else {
                    continue;
                };
                judged += 1;
                let key = (material.head.names.name.clone(), name.clone());
                pairs.entry(key).or_insert((good, Vec::new())).1.push(red);
                if good == (red <= 1.0) {
                    continue;
                }
                let place = format!("{} {id} sphere {number}", material.head.id);
                let word = readings[0].word();
                found.insert(place, format!("{word} against RED {red:.2}"));
            }
        }
    }
    println!(
        "spheres: {all} recorded, {judged} of them clear, {} agree, {} listed",
        judged - found.len(),
        found.len()
    );
    assert!(judged >= 250, "{judged}");
    let (mut told, mut silent) = (0, Found::new());
    for ((material, liquid), (good, reds)) in &pairs {
        let off = |red: &f64| {
            if *good {
                *red > chem::POOR
            } else {
                *red < chem::GOOD
            }
        };
        if !reds.iter().all(off) {
            continue;
        }
        let beside = if liquid == "acetone" {
            "ethanol"
        } else {
            "acetone"
        };
        let text = format!("blend to dissolve \"{material}\" (young) using \"{liquid}\", {beside}");
        let Body::Blend(it) = ask(&text).pop().unwrap().body else {
            panic!("{text}")
        };
        let at = it.liquids.iter().position(|l| l.name == *liquid);
        let Some(at) = at else {
            continue;
        };
        // Without a sphere of this very state there is nothing to contradict.
        if it.target.spheres.is_empty() {
            continue;
        }
        let id = &it.liquids[at].id;
        if !it.conflicts.iter().any(|c| c.id == *id) {
            silent.insert(format!("{material} {id}"), "nothing is told".to_owned());
            continue;
        }
        told += 1;
    }
    println!("{told} contradictions are told by `blend`");
    assert!(told >= 3, "{told}");
    ratchet("spheres", &found);
    ratchet("silent", &silent);
}
