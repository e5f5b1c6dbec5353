//! From many live steps to a short ladder, mildest first.

use super::rung::{branches, dwell, hazards, rung};
use super::{Plan, RUNGS, Weighed, harm, is_barred_method, meets_porous};
use crate::answer::{Call, EffectSeen, LayerHarm, Reason, Rung};
use crate::gate::{Gate, Passed};
use crate::model::scene::Step;
use crate::model::{Action, Agent, Basis, Equipment, Hazard, Response, Site, Verdict, Wetting};

/// Hazards to the person that weigh in the order of trial.
pub(super) const GRAVE: [Hazard; 4] = [
    Hazard::Carcinogen,
    Hazard::Reprotoxic,
    Hazard::Toxic,
    Hazard::Corrosive,
];
/// Grades by which such a hazard moves a step down. Judgment: of two that the object bears alike, the
/// one comes first that the hand bears too.
const GRAVE_GRADES: f64 = 1.5;

/// Rungs that are shown though little speaks for them, where there are so many live steps: one rung
/// leaves nothing to try next when it does nothing.
const FEWEST: usize = 3;

/// Bonus from routes of the trade from which it counts as tried early: a second choice named with the
/// method, for most of what this may be.
const EARLY: f64 = 0.15;
/// Share of what this may be for which the trade comes to a step last, from which it does.
const COMES_LAST: f64 = 0.5;

struct Scored {
    passed: Passed<Step>,
    weighed: Weighed,
    harm: Vec<LayerHarm>,
    value: f64,
    harshness: f64,
}

/// The rungs, mildest first.
pub(super) fn ladder(
    means: &Equipment,
    live: Vec<(Passed<Step>, Weighed)>,
    plan: &Plan,
    gate: &Gate<'_>,
) -> Vec<Rung> {
    let mut scored: Vec<Scored> = live
        .into_iter()
        .map(|(passed, weighed)| {
            let harm = harm::layers(passed.get(), &plan.scene);
            let harshness = harshness(passed.get());
            let value = value(means, &weighed, &harm, harshness, plan);
            Scored {
                passed,
                weighed,
                harm,
                value,
                harshness,
            }
        })
        .collect();
    scored.sort_by(|a, b| {
        b.value
            .total_cmp(&a.value)
            .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
    });
    let most = if plan.limit == 0 {
        RUNGS
    } else {
        plan.limit.min(RUNGS)
    };
    let mut chosen: Vec<Scored> = Vec::new();
    while chosen.len() < most && !scored.is_empty() {
        // Each further rung should be a different thing to try, not the same liquid again.
        let best = scored
            .iter()
            .enumerate()
            .map(|(k, s)| (k, s.value - likeness(s, &chosen)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
        match best {
            Some((k, value)) if value > 0.0 || chosen.len() < FEWEST => {
                chosen.push(scored.swap_remove(k));
                scored.sort_by(|a, b| {
                    b.value
                        .total_cmp(&a.value)
                        .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
                });
            }
            _ => break,
        }
    }
    // What the trade comes to last stands behind all that it tries first: a rubber for what is left of a
    // tape's adhesive waits for the backing, however mild it is.
    let behind = chosen
        .iter()
        .filter(|it| it.weighed.effect.route >= EARLY)
        .map(place)
        .fold(f64::NEG_INFINITY, f64::max);
    let place = |it: &Scored| {
        if it.weighed.effect.last >= COMES_LAST {
            place(it).max(behind + 0.01)
        } else {
            place(it)
        }
    };
    chosen.sort_by(|a, b| {
        place(a)
            .total_cmp(&place(b))
            .then_with(|| b.value.total_cmp(&a.value))
            .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
    });
    let mut rungs: Vec<Rung> = chosen
        .into_iter()
        .enumerate()
        .map(|(k, it)| rung(means, k + 1, (it.passed, it.weighed, it.harm), plan, gate))
        .collect();
    branches(&mut rungs, plan, super::may_be_thinned(means, plan, gate));
    rungs
}

/// The steps that secure a loose layer; nothing else is live until one of them has.
pub(super) fn securing(means: &Equipment, plan: &Plan, gate: &Gate<'_>) -> Vec<Rung> {
    let mut methods: Vec<_> = means
        .methods
        .iter()
        .filter(|m| m.action == Action::Support && !is_barred_method(m, &plan.barred))
        .collect();
    methods.sort_by(|a, b| (a.mildness, &a.head.id).cmp(&(b.mildness, &b.head.id)));
    methods
        .into_iter()
        .filter_map(|method| super::step(means, method, None))
        .filter_map(|step| gate.step(step).ok())
        .enumerate()
        .map(|(k, passed)| {
            let facts = &passed.get().method.head.facts;
            let (dwell_min, dwell) = dwell(facts);
            let text = |key| facts.text(key).unwrap_or_default().to_owned();
            Rung {
                rank: k + 1,
                call: Call::TestFirst,
                effect: EffectSeen {
                    covers: 1.0,
                    unknown: 0.0,
                    computed: 0.0,
                    response: "secures".to_owned(),
                    basis: "practice".to_owned(),
                    sources: Vec::new(),
                    places: Vec::new(),
                    notes: facts.text("how").map(str::to_owned).into_iter().collect(),
                },
                harm: Vec::new(),
                reasons: vec![Reason {
                    text:
                        "a loose layer is secured before anything wets, touches or pulls it; try \
                           the securing medium at an edge first"
                            .to_owned(),
                    basis: Basis::Practice,
                }],
                dwell_min,
                dwell,
                passes: String::new(),
                then: None,
                watch: text("watch"),
                remarks: Vec::new(),
                stop: text("stop"),
                clearance: text("clearance"),
                residue: text("residue"),
                fails: "it does not hold at the trial edge: another securing medium, or support \
                        alone; take nothing off meanwhile"
                    .to_owned(),
                hazards: hazards(passed.get()),
                step: passed,
            }
        })
        .collect()
}

/// How harsh a step is, for the order of trial: the method's own grade and the agent's; a dry method
/// counts its own twice.
fn harshness(step: &Step) -> f64 {
    let method = f64::from(step.method.mildness);
    step.agent
        .as_ref()
        .map_or(2.0 * method, |agent| method + f64::from(agent.strength))
}

/// Place in the ladder: mildest first, but what the trade tries first moves up by as much as three
/// grades, for a ladder that starts with what does little only wears the surface; what it comes to
/// last moves down by as much, and what endangers the hand by half of that.
fn place(scored: &Scored) -> f64 {
    let seen = &scored.weighed.effect;
    let grave = hazards(scored.passed.get())
        .iter()
        .any(|h| GRAVE.contains(h));
    let grave = if grave { GRAVE_GRADES } else { 0.0 };
    scored.harshness - 7.5 * seen.route + 3.0 * seen.last + grave
}

/// What a step is worth: what it takes off and what the trade says of it, less what it risks.
/// Weights are judgment; they order live steps and never make a harmful one live.
fn value(
    means: &Equipment,
    weighed: &Weighed,
    harm: &[LayerHarm],
    harshness: f64,
    plan: &Plan,
) -> f64 {
    let seen = &weighed.effect;
    let mut value = seen.covers * weighed.reach + 1.2 * seen.route - 0.6 * seen.fails;
    let held = plan.scene.target.site == Site::Film
        && weighed
            .step
            .carrier
            .as_ref()
            .is_some_and(|c| c.limits_penetration);
    for (depth, layer) in harm.iter().enumerate() {
        let near = match depth {
            0 => 1.0,
            // A gel keeps most of its liquid from what lies deeper.
            _ if held => 0.2,
            _ => 0.4,
        };
        value -= near
            * match layer.verdict {
                Some(Verdict::Safe) => 0.0,
                Some(Verdict::Test) => 0.10,
                None => 0.16,
                Some(Verdict::Harms) => 0.20,
            };
    }
    value -= 0.02 * harshness;
    if seen.inferred {
        value -= 0.12;
    }
    if let Some(agent) = &weighed.step.agent
        && !seen.tried
        && has_failed(means, agent, plan)
    {
        value -= 0.2;
    }
    if hazards(&weighed.step).iter().any(|h| GRAVE.contains(h)) {
        value -= 0.15;
    }
    if matches!(weighed.step.method.wets, Wetting::Much) && meets_porous(&plan.scene) {
        value -= 0.05;
    }
    value
}

/// Whether a liquid of the same sort, no milder than this one, was seen to do nothing here.
pub(super) fn has_failed(means: &Equipment, agent: &Agent, plan: &Plan) -> bool {
    plan.scene.target.tried.iter().any(|(id, response)| {
        *response == Response::NoEffect
            && means
                .agent(id)
                .is_some_and(|it| it.class == agent.class && it.strength >= agent.strength)
    })
}

/// How like a step is to those already chosen.
fn likeness(scored: &Scored, chosen: &[Scored]) -> f64 {
    let step = scored.passed.get();
    chosen
        .iter()
        .map(|other| {
            let other = other.passed.get();
            let mut like = 0.0;
            match (&step.agent, &other.agent) {
                (Some(a), Some(b)) if a.head.id == b.head.id => like += 0.26,
                (Some(a), Some(b)) if a.class == b.class => like += 0.20,
                _ => {}
            }
            if step.method.head.id == other.method.head.id {
                like += 0.10;
            } else if step.method.action == other.method.action {
                like += 0.03;
            }
            like
        })
        .sum()
}
