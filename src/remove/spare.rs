//! What a hand need not reach for, though nothing forbids it: what acts on little of what this may be,
//! a liquid, or warmth, that does no more than a milder liquid, and a liquid whose like harmed a layer
//! here. None is hidden: the answer names them, and the harsher one comes back by itself once `given`
//! says that the milder one failed.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::harm::{self, Known};
use super::ladder::{GRAVE, has_failed};
use super::rung::dwell;
use super::{Plan, Weighed};
use crate::answer::{Entry, Held, HeldBack, Rung};
use crate::gate::Passed;
use crate::model::scene::Step;
use crate::model::{Action, Basis, Equipment, Hazard, Site};
use crate::order::Arrange;

/// Coverage below which a step is not offered, as a share of the best step's, and outright: where
/// little is known of the unknown no step covers much, and the rungs are then swab tests more than a
/// plan.
const LEAST_SHARE: f64 = 0.4;
const LEAST: f64 = 0.08;
/// What a step must take off more of a candidate to count as doing more. Judgment: less than lies
/// between two grades of response.
const MORE: f64 = 0.04;
/// Coverage from which nothing is left for a longer contact. Judgment.
const DISSOLVED: f64 = 0.95;
/// What two equal sums may differ by.
const EQUAL: f64 = 1e-9;

type Live<'a> = (Passed<Step>, Rc<Weighed<'a>>);

/// A step as it is compared with another.
struct Profile {
    /// Place among the live steps.
    at: usize,
    method: u8,
    liquid: u8,
    grave: BTreeSet<Hazard>,
    /// What it takes off each candidate, reach counted in.
    each: Vec<f64>,
    /// Longest contact on record, minutes.
    contact: f64,
    is_wet: bool,
    /// Whether it takes it into solution, at least in part.
    dissolves: bool,
    /// Whether it takes all of it into solution at the surface.
    dissolves_all: bool,
    route: f64,
    fails: f64,
    harm: Vec<u8>,
    /// What speaks for a trial, a bit each.
    doubts: u8,
}

/// Parts the live steps into those that are offered and the liquids that are held back.
pub(super) fn sift<'a>(
    means: &Equipment,
    live: Vec<Live<'a>>,
    plan: &Plan,
    known: &[Known<'_>],
) -> (Vec<Live<'a>>, Vec<HeldBack>) {
    let (live, kin) = part_kin(means, live, plan);
    let (live, mut held) = sift_rest(means, live, plan, known);
    // Of a liquid that some way is kept of, nothing is said.
    let is_kept = |id: &str| live.iter().any(|(p, _)| means_of(p.get()).0 == id);
    for it in kin {
        if !is_kept(&it.id) && !held.iter().any(|h| h.id == it.id) {
            held.push(it);
        }
    }
    held.arrange_by(|a, b| a.id.cmp(&b.id));
    (live, held)
}

/// Takes out what brings a liquid whose like harmed a layer here: what one alcohol did to a paint, the
/// next one is not tried out on the whole of it. A trial of its own on that layer brings it back.
fn part_kin<'a>(
    means: &Equipment,
    live: Vec<Live<'a>>,
    plan: &Plan,
) -> (Vec<Live<'a>>, Vec<HeldBack>) {
    let mut held: Vec<HeldBack> = Vec::new();
    let scene = &plan.scene;
    if scene.layers.iter().all(|l| l.tried.is_empty()) {
        return (live, held);
    }
    let live = live
        .into_iter()
        .filter(|it| {
            let step = it.0.get();
            let kin = may_be_held(it, plan)
                .then(|| harm::kin_harmed(step, scene, means))
                .flatten();
            let Some((by, layer)) = kin else {
                return true;
            };
            let (id, name) = means_of(step);
            if !held.iter().any(|h| h.id == id) {
                held.push(HeldBack {
                    id: id.to_owned(),
                    name: name.to_owned(),
                    why: Held::KinHarmed {
                        by: means.agent(by).map_or_else(
                            || Entry {
                                id: by.to_owned(),
                                name: String::new(),
                            },
                            |a| Entry::of(&a.head),
                        ),
                        layer: layer.called.clone(),
                    },
                });
            }
            false
        })
        .collect();
    (live, held)
}

fn sift_rest<'a>(
    means: &Equipment,
    live: Vec<Live<'a>>,
    plan: &Plan,
    known: &[Known<'_>],
) -> (Vec<Live<'a>>, Vec<HeldBack>) {
    let best = live
        .iter()
        .map(|(_, w)| w.effect.covers * w.reach)
        .fold(0.0, f64::max);
    let least = (LEAST_SHARE * best).max(LEAST);
    let mut order: Vec<Profile> = live
        .iter()
        .enumerate()
        .filter(|(_, (_, w))| w.effect.covers * w.reach >= least)
        .map(|(at, it)| profile(means, at, it, plan, known))
        .collect();
    // Whatever outdoes a step stands before it, so that only what was kept need be asked.
    let sum = |p: &Profile| p.each.iter().sum::<f64>();
    order.arrange_by(|a, b| {
        (a.method + a.liquid, a.grave.len(), a.liquid)
            .cmp(&(b.method + b.liquid, b.grave.len(), b.liquid))
            .then_with(|| sum(b).total_cmp(&sum(a)))
            .then_with(|| a.harm.iter().sum::<u8>().cmp(&b.harm.iter().sum()))
            .then_with(|| b.route.total_cmp(&a.route))
            // The shorter contact first.
            .then_with(|| a.contact.total_cmp(&b.contact))
            .then_with(|| live[a.at].0.get().id().cmp(&live[b.at].0.get().id()))
    });
    let agent = |at: usize| live[at].0.get().agent.as_ref();
    let means_of = |at: usize| means_of(live[at].0.get());
    let mut kept: Vec<Profile> = Vec::new();
    let mut outdone: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for it in order {
        let by: Vec<&str> = kept
            .iter()
            .filter(|other| may_be_held(&live[it.at], plan) && outdoes(other, &it, &live))
            .filter_map(|other| agent(other.at).map(|a| a.head.id.as_str()))
            .collect();
        if by.is_empty() {
            kept.push(it);
        } else {
            outdone.entry(means_of(it.at).0).or_insert(by);
        }
    }
    let kept: BTreeSet<usize> = kept.iter().map(|p| p.at).collect();
    let offered: BTreeSet<&str> = kept.iter().map(|at| means_of(*at).0).collect();
    let mut held: Vec<HeldBack> = Vec::new();
    for at in 0..live.len() {
        let (id, name) = means_of(at);
        if offered.contains(id) || held.iter().any(|h| h.id == id) {
            continue;
        }
        let by: Vec<Entry> = outdone
            .get(id)
            .into_iter()
            .flatten()
            .filter_map(|by| means.agent(by))
            .map(|by| Entry::of(&by.head))
            .collect();
        held.push(HeldBack {
            id: id.to_owned(),
            name: name.to_owned(),
            why: if by.is_empty() {
                Held::ActsOnLittle
            } else {
                Held::MilderDoes { by }
            },
        });
    }
    let live = live
        .into_iter()
        .enumerate()
        .filter(|(at, _)| kept.contains(at))
        .map(|(_, it)| it)
        .collect();
    (live, held)
}

/// What a step works with: its liquid, or the method where there is none.
fn means_of(step: &Step) -> (&str, &str) {
    let head = step.agent.as_ref().map_or(&step.method.head, |a| &a.head);
    (&head.id, &head.names.name)
}

fn profile(
    means: &Equipment,
    at: usize,
    (passed, weighed): &Live<'_>,
    plan: &Plan,
    known: &[Known<'_>],
) -> Profile {
    let step = passed.get();
    let seen = &weighed.effect;
    let memory = !seen.tried && seen.bases.iter().all(|b| matches!(b, Basis::Memory));
    let failed = step
        .agent
        .as_ref()
        .is_some_and(|agent| !seen.tried && has_failed(means, agent, plan));
    let dissolves = matches!(seen.word(), "dissolves" | "partly dissolves");
    let doubts = [
        passed.is_conditional(),
        memory,
        seen.inferred,
        seen.young > 0.2,
        seen.disputed,
        failed,
    ];
    Profile {
        at,
        method: step.method.mildness,
        // A dry method counts its own grade twice, as in the order of trial.
        liquid: step
            .agent
            .as_ref()
            .map_or(step.method.mildness, |agent| agent.strength),
        grave: step
            .hazards()
            .into_iter()
            .filter(|h| GRAVE.contains(h))
            .collect(),
        each: seen.each.iter().map(|e| e * weighed.reach).collect(),
        contact: dwell(&step.method.head.facts)
            .0
            .map_or(f64::INFINITY, |(_, most)| most),
        is_wet: step.agent.is_some(),
        dissolves,
        dissolves_all: dissolves
            && plan.scene.target.site == Site::Film
            && seen.covers * weighed.reach >= DISSOLVED,
        route: seen.route,
        fails: seen.fails,
        harm: harm::grades(step, &plan.scene, known),
        doubts: doubts
            .iter()
            .enumerate()
            .map(|(bit, is)| u8::from(*is) << bit)
            .sum(),
    }
}

/// What may be held back: a liquid, or warmth. A tool is another way than any liquid; what was seen to
/// work on this object, or is allowed by its name, is not taken out of the hand.
fn may_be_held((passed, weighed): &Live<'_>, plan: &Plan) -> bool {
    let step = passed.get();
    let allowed = step
        .agents()
        .any(|a| plan.scene.permitted.contains(&a.head.id));
    let is_way = step.agent.is_some() || step.method.action == Action::Heat;
    is_way && !weighed.effect.tried && !allowed
}

/// Whether one step leaves another nothing: a liquid, brought no more harshly, that takes no less off
/// every candidate, harms no layer more, endangers nobody more, is no less known, and of which the
/// trade thinks no less; and that is better in one of these. Warmth softens where a liquid only swells:
/// it is left out only for what dissolves. The same liquid another way is left out on a surface, once
/// all is dissolved: where it swells or dissolves in part, a longer contact is the next thing to try,
/// and a joint may want another way in.
fn outdoes(one: &Profile, other: &Profile, live: &[Live<'_>]) -> bool {
    let agent = |p: &Profile| live[p.at].0.get().agent.as_ref().map(|a| &a.head.id);
    let each = || one.each.iter().zip(&other.each);
    let harm = || one.harm.iter().zip(&other.harm);
    let same = agent(one) == agent(other);
    agent(one).is_some()
        && one.liquid <= other.liquid
        && one.method + one.liquid <= other.method + other.liquid
        && (!same || one.dissolves_all)
        && (other.is_wet || one.dissolves)
        && one.doubts & !other.doubts == 0
        && one.route >= other.route - EQUAL
        && one.fails <= other.fails + EQUAL
        && each().all(|(a, b)| *a >= b - MORE)
        && harm().all(|(a, b)| a <= b)
        && one.grave.is_subset(&other.grave)
        && (same
            || one.method + one.liquid < other.method + other.liquid
            || one.liquid < other.liquid
            || one.grave.len() < other.grave.len()
            || each().any(|(a, b)| *a > b + MORE)
            || harm().any(|(a, b)| a < b))
}

/// Names as the milder liquid one that stands on the ladder, if any does.
pub(super) fn name_by_ladder(held: &mut [HeldBack], rungs: &[Rung]) {
    let on_ladder = |id: &str| {
        rungs
            .iter()
            .any(|r| r.step.get().agent.as_ref().is_some_and(|a| a.head.id == id))
    };
    for it in held {
        if let Held::MilderDoes { by } = &mut it.why {
            let at = by.iter().position(|it| on_ladder(&it.id)).unwrap_or(0);
            *by = vec![by.swap_remove(at)];
        }
    }
}
