//! Random stacks, posteriors and results: what must hold whatever is asked.

use std::collections::BTreeMap;
use std::sync::Arc;

use palinode::answer::{Call, Entry, Held, Rung};
use palinode::embedded;
use palinode::gate;
use palinode::model::scene::{LayerTrial, Origin, SceneLayer, TargetTrial};
use palinode::model::{
    Class, Condition, Facts, Kind, Library, Record, Response, Site, Trait, Verdict,
};
use palinode::remove::{Plan, every, remove, rungs};
use proptest::prelude::*;

use crate::changed::Changed;

fn a_layer() -> impl Strategy<Value = SceneLayer> {
    (
        0..embedded().count(Kind::Layer),
        prop::bool::weighted(0.2),
        prop::sample::select(Condition::ALL.to_vec()),
    )
        .prop_map(|(index, stated, condition)| {
            let layer = embedded().shared_layer(index).unwrap();
            SceneLayer {
                called: layer.head.names.name.clone(),
                layer,
                conditions: if stated { vec![condition] } else { Vec::new() },
                tried: Vec::new(),
            }
        })
}

fn as_tried(agent: String, verdict: Verdict) -> LayerTrial {
    LayerTrial {
        agent,
        verdict,
        text: "as tried".to_owned(),
    }
}

/// A plan for one to four materials on one to three layers, with now and then a result.
fn a_plan() -> impl Strategy<Value = Plan> {
    let agents = embedded().count(Kind::Agent);
    (
        prop::collection::vec((0..embedded().count(Kind::Material), 0.05..1.0_f64), 1..4),
        prop::collection::vec(a_layer(), 1..4),
        prop::sample::select(Site::ALL),
        prop::sample::select(vec![0.05, 0.6, 0.95]),
        prop::sample::select(vec![Origin::Later, Origin::Later, Origin::Unknown]),
        prop::option::weighted(
            0.3,
            (
                0..agents,
                prop::sample::select(vec![
                    Response::Dissolves,
                    Response::Swells,
                    Response::NoEffect,
                ]),
            ),
        ),
        prop::option::weighted(
            0.3,
            (
                0..agents,
                prop::sample::select(vec![Verdict::Safe, Verdict::Harms]),
            ),
        ),
    )
        .prop_map(|(materials, layers, site, aged, origin, on_it, on_layer)| {
            let id = |index| embedded().id(Kind::Agent, index).unwrap().to_owned();
            let first = materials[0].0;
            let mut plan = Plan::of(embedded(), first, aged, site, layers).unwrap();
            let total: f64 = materials.iter().map(|(_, p)| p).sum();
            plan.scene.target.candidates = materials.iter().map(|(m, p)| (*m, p / total)).collect();
            plan.scene.target.origin = origin;
            if let Some((agent, response)) = on_it {
                plan.scene.target.tried.push(TargetTrial {
                    agent: id(agent),
                    response,
                });
            }
            if let Some((agent, verdict)) = on_layer {
                plan.scene.layers[0]
                    .tried
                    .push(as_tried(id(agent), verdict));
            }
            plan
        })
}

fn calls(rungs: &[Rung]) -> BTreeMap<String, Call> {
    rungs.iter().map(|r| (r.step.get().id(), r.call)).collect()
}

/// The same corpus with its methods, liquids and carriers in another order.
fn turned() -> Changed {
    let mut out = embedded().equipment().as_ref().clone();
    out.methods.reverse();
    out.agents.reverse();
    out.carriers.reverse();
    Changed {
        equipment: Some(Arc::new(out)),
        ..Changed::default()
    }
}

/// The same corpus without anything that one material's record says of one liquid.
fn without(material: usize, agent: String) -> Changed {
    let strike = move |index: usize, record: &mut Record| {
        let Record::Material(it) = record else {
            return;
        };
        if index == material {
            for facts in [&mut it.fresh, &mut it.aged, &mut it.always] {
                facts.0.retain(|(key, _)| *key != agent);
            }
            it.removal.retain(|r| r.agent.as_ref() != Some(&agent));
        }
    };
    Changed {
        record: Some(Box::new(strike)),
        ..Changed::default()
    }
}

/// Steps that became recommended, and were not.
fn risen(before: &[Rung], after: &[Rung]) -> Vec<String> {
    let before = calls(before);
    calls(after)
        .into_iter()
        .filter(|(id, call)| {
            *call == Call::Recommended && before.get(id) != Some(&Call::Recommended)
        })
        .map(|(id, _)| id)
        .collect()
}

proptest! {
    #![proptest_config(crate::random::drawn(100, 2_000))]

    #[test]
    fn no_rung_breaks_a_rule_or_a_trial(plan in a_plan()) {
        let it = remove(embedded(), &plan);
        prop_assert!(it.ladder.len() <= 6);
        for rung in it.ladder.iter().chain(it.next.iter().flat_map(|n| &n.ladder)) {
            let step = rung.step.get();
            for layer in &plan.scene.layers {
                let failed = layer.tried.iter().any(|trial| {
                    trial.verdict == Verdict::Harms
                        && step.agents().any(|a| a.head.id == trial.agent)
                });
                prop_assert!(!failed, "{} failed its trial", step.id());
            }
            prop_assert!(step.agents().all(|a| !a.needs_permission));
        }
        for rung in &it.ladder {
            let again = gate::step(rung.step.get().clone(), &plan.scene);
            prop_assert!(again.is_ok(), "{}", rung.step.get().id());
            prop_assert!(
                plan.scene.target.origin != Origin::Unknown || rung.call == Call::TestFirst
            );
        }
    }

    /// One layer more, unless it is a whole film over the others, never makes a step milder.
    #[test]
    fn a_layer_more_never_makes_a_step_milder(plan in a_plan(), more in a_layer(), at in 0..4_usize) {
        let at = at.min(plan.scene.layers.len());
        prop_assume!(!more.has(Trait::Seals) || at == plan.scene.layers.len());
        let before: BTreeMap<String, (Call, f64)> = every(embedded(), &plan)
            .iter()
            .map(|r| (r.step.get().id(), (r.call, r.effect.covers)))
            .collect();
        let mut wider = plan.clone();
        wider.scene.layers.insert(at, more);
        for rung in every(embedded(), &wider) {
            let id = rung.step.get().id();
            let milder = match before.get(&id) {
                // Some routes of the trade hold on a kind of layer only: with the layer the step
                // may do more, and then it is another step.
                Some((call, covers)) => {
                    rung.call < *call && (rung.effect.covers - covers).abs() < 1e-9
                }
                None => gate::step(rung.step.get().clone(), &plan.scene).is_err(),
            };
            prop_assert!(!milder, "{id}: {:?}, then {:?}", before.get(&id), rung.call);
        }
    }

    /// A fact less about a layer never recommends a step.
    #[test]
    fn a_fact_less_about_a_layer_recommends_nothing(plan in a_plan(), pick in 0..10_000_usize) {
        let before = every(embedded(), &plan);
        let mut poorer = plan.clone();
        let count = poorer.scene.layers.len();
        let layer = Arc::make_mut(&mut poorer.scene.layers[pick % count].layer);
        let facts: usize = layer.harm.iter().map(|(_, f)| f.0.len()).sum();
        prop_assume!(facts > 0);
        let mut nth = (pick / count) % facts;
        for (_, facts) in &mut layer.harm {
            let own: &mut Facts = facts;
            if nth < own.0.len() {
                own.0.remove(nth);
                break;
            }
            nth -= own.0.len();
        }
        let risen = risen(&before, &every(embedded(), &poorer));
        prop_assert!(risen.is_empty(), "{risen:?}");
    }

    /// What did harm to a layer here is gone with that layer, alone and in every mixture.
    #[test]
    fn what_failed_on_this_object_is_gone(plan in a_plan(), pick in 0..10_000_usize) {
        let before = every(embedded(), &plan);
        let wet: Vec<&Rung> = before.iter().filter(|r| r.step.get().agent.is_some()).collect();
        prop_assume!(!wet.is_empty());
        let id = wet[pick % wet.len()].step.get().agent.as_ref().unwrap().head.id.clone();
        let mut tried = plan.clone();
        tried.scene.layers[0].tried = vec![as_tried(id.clone(), Verdict::Harms)];
        for rung in every(embedded(), &tried) {
            let step = rung.step.get();
            prop_assert!(step.agents().all(|a| a.head.id != id), "{}", step.id());
        }
    }

    /// Of a layer of which nothing is recorded for a liquid, nothing is known: a step that meets it
    /// there is never more than a test.
    #[test]
    fn what_is_not_recorded_of_a_layer_is_a_test(plan in a_plan(), pick in 0..10_000_usize) {
        let mut poorer = plan.clone();
        let count = poorer.scene.layers.len();
        let at = pick % count;
        let layer = Arc::make_mut(&mut poorer.scene.layers[at].layer);
        let class = Class::ALL[(pick / count) % Class::ALL.len()];
        for (_, facts) in &mut layer.harm {
            facts.0.retain(|(key, _)| {
                Class::parse(key).is_some_and(|c| c != class)
            });
        }
        poorer.scene.layers[at].tried = Vec::new();
        for rung in every(embedded(), &poorer) {
            let brings = rung.step.get().agents().any(|a| a.class == class);
            prop_assert!(
                !brings || rung.harm[at].sheltered || rung.call == Call::TestFirst,
                "{}",
                rung.step.get().id()
            );
        }
    }

    /// All that the record of a material says of one liquid less, and nothing is recommended for it.
    #[test]
    fn a_response_less_recommends_nothing(plan in a_plan(), pick in 0..10_000_usize) {
        let equipment = embedded().equipment();
        let agent = equipment.agents[pick % equipment.agents.len()].head.id.clone();
        let poorer = without(plan.scene.target.candidates[0].0, agent.clone());
        let risen = risen(&every(embedded(), &plan), &every(&poorer, &plan));
        prop_assert!(risen.is_empty(), "{risen:?} without {agent}");
    }

    /// What is held back for a milder liquid is neither live nor ruled out, and the milder one is live
    /// and no stronger.
    #[test]
    fn what_is_held_back_has_a_milder_one_at_hand(plan in a_plan()) {
        let it = remove(embedded(), &plan);
        let equipment = embedded().equipment();
        for held in &it.held_back {
            prop_assert!(!it.live_agents.contains(&held.id), "{}", held.id);
            prop_assert!(it.ruled_out.iter().all(|r| r.id != format!("*/{}", held.id)), "{}", held.id);
            if let Held::MilderDoes { by } = &held.why {
                for Entry { id, .. } in by {
                    prop_assert!(it.live_agents.contains(id), "{id} is not live");
                    if let (Some(milder), Some(harsher)) = (equipment.agent(id), equipment.agent(&held.id)) {
                        prop_assert!(milder.strength <= harsher.strength, "{id} and {}", held.id);
                    }
                }
            }
        }
        // The forecast's short way is the same ladder.
        let short: Vec<String> = rungs(embedded(), &plan).iter().map(|r| r.step.get().id()).collect();
        let long: Vec<String> = it.ladder.iter().map(|r| r.step.get().id()).collect();
        prop_assert!(short == long || !it.next.is_empty(), "{short:?} {long:?}");
    }

    #[test]
    fn the_order_of_the_records_is_nothing(plan in a_plan()) {
        let straight = remove(embedded(), &plan);
        let turned = remove(&turned(), &plan);
        let shown = |it: &palinode::answer::Remove| {
            let rungs: Vec<String> = it
                .ladder
                .iter()
                .map(|r| format!("{} {:?} {:?} {}", r.step.get().id(), r.call, r.reasons, r.fails))
                .collect();
            let out: Vec<String> = it.ruled_out.iter().map(|r| r.id.clone()).collect();
            (rungs, out, it.gaps.clone(), it.idle.clone(), it.considered)
        };
        prop_assert_eq!(shown(&straight), shown(&turned));
    }
}
