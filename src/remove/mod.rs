//! Plans how to take an old material off this stack of layers without harming what lies beneath.
//!
//! Every method that reaches the place is tried in thought with every liquid that it can bring:
//! what would it do to each candidate of the posterior, and to each layer? What harms is ruled out;
//! what is not recorded is a test. What is left is a short ladder, mildest first.

mod before;
mod besides;
mod brings;
mod effect;
mod harm;
mod ladder;
mod leave;
mod recorded;
mod ruled_out;
mod rung;
mod site;
mod spare;

use std::rc::Rc;
use std::sync::Arc;

use crate::answer::{Entry, Idle, Likely, Remove, Rung};
use crate::gate::{self, Gate};
use crate::model::scene::{Barred, Origin, Scene, SceneLayer, Step, Suspect, Target};
use crate::model::{
    Action, Basis, Condition, Equipment, Hazard, Kind, Library, Material, Method, Record, Site,
    Trait,
};
use crate::order::Arrange;

use brings::{Liquid, Ready, parted, step};
use effect::Effects;

/// What is asked.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The scene: layers, target, permissions.
    pub scene: Scene,
    /// What may not be used.
    pub barred: Barred,
    /// Live rungs to show; 0 for the usual number.
    pub limit: usize,
    /// What the user called the target.
    pub called: String,
}

/// Most live rungs of a ladder.
pub const RUNGS: usize = 6;
/// Candidates that are planned for: as many as make up this share of the posterior.
const PLANNED_SHARE: f64 = 0.97;
const PLANNED_MOST: usize = 24;
// A bit each, in a set of them.
const _: () = assert!(PLANNED_MOST <= u32::BITS as usize);

/// What is known of a step.
pub(crate) struct Weighed<'a> {
    pub(crate) effect: effect::Seen<'a>,
    pub(crate) reach: f64,
}

/// A step, and what is known of it: that is long, and is handed on and shared by two plans.
type Tried<'a> = (Step, Rc<Weighed<'a>>);

/// Plans the removal.
#[must_use]
pub fn remove(library: &dyn Library, plan: &Plan) -> Remove {
    let materials = candidates(library, plan);
    let means = library.equipment();
    let effects = Effects::new(&materials, &plan.scene, &means);
    let steps = steps(&means, &effects, plan);
    planned(&means, &materials, &effects, steps, plan)
}

/// The plan that is made of all steps. What they do to the target does not hang on the state of the layers.
fn planned<'a>(
    means: &Equipment,
    materials: &'a [(Material, f64)],
    effects: &Effects<'a>,
    steps: Vec<Tried<'a>>,
    plan: &Plan,
) -> Remove {
    let scene = &plan.scene;
    let gate = Gate::of(scene);
    let keeps = matches!(scene.target.origin, Origin::Original | Origin::Historic);
    let flaking = scene.layers.iter().any(|l| l.is(Condition::Flaking));
    // What flakes is secured first whatever the gate says, and all steps are asked for again then.
    let again = (flaking && !keeps).then(|| steps.clone());
    let (live, refused) = gated(&gate, steps);
    let thinned = may_be_thinned(means, plan, &gate);
    let leave = leave::leave(materials, &live, plan, thinned);
    let considered = live.len();
    let alive = ruled_out::Live::of(&live);
    let known = harm::Known::of(scene);
    let ruled_out = ruled_out::ruled_out(means, &refused, &alive, scene, &known, &gate);
    let ruled_out = ruled_out::with_kept(ruled_out, &effects.kept(means), &alive);
    let (live, mut held_back) = spare::sift(means, live, plan, &known);
    let live_agents: std::collections::BTreeSet<String> = live
        .iter()
        .filter_map(|(p, _)| p.get().agent.as_ref().map(|a| a.head.id.clone()))
        .collect();
    let opens = |(passed, _): &Passing<'_>| can_be_ended(means, passed.get(), plan, &gate);
    let loose = must_secure(scene, || live.iter().any(opens));
    let rungs = if keeps {
        Vec::new()
    } else if loose {
        ladder::securing(means, plan, &gate)
    } else {
        ladder::ladder(means, live, plan, &gate)
    };
    spare::name_by_ladder(&mut held_back, &rungs);
    let next = if loose && !keeps {
        let again = again.unwrap_or_else(|| self::steps(means, effects, plan));
        vec![secured(means, materials, effects, again, plan)]
    } else {
        Vec::new()
    };
    // What is to be secured first is not left for want of a step, unless securing it opens no way either:
    // what sits in the pores of a powdering layer is what holds it, and a blade is no way through powder.
    let dry = |plan: &Remove| plan.ladder.iter().all(|r| r.step.get().agent.is_none());
    let opens_nothing = |plan: &Remove| dry(plan) || plan.leave.is_some();
    let hopeless = scene.target.site == Site::Pores || next.iter().all(opens_nothing);
    let leave = leave.filter(|_| !loose || keeps || (!flaking && hopeless));
    let before = before::before(scene, &rungs);
    let gaps = before::gaps(materials, scene, &rungs);
    let idle = idle(means, effects, plan);
    // What does nothing is told as that, and not a second time as acting on little.
    held_back.retain(|held| !idle.iter().any(|i| i.id == held.id));
    Remove {
        target: materials
            .iter()
            .map(|(m, p)| Likely::new(Entry::of(&m.head), *p))
            .collect(),
        layers: scene.layers.iter().map(SceneLayer::described).collect(),
        before,
        ladder: rungs,
        ruled_out,
        idle,
        held_back,
        live_agents: live_agents.into_iter().collect(),
        leave,
        gaps,
        considered,
        next,
        after: None,
    }
}

/// Every live step of a plan as a rung of its own, in the order of the ids: what each would be,
/// whether or not it is among the few that an answer shows. Nothing is said of what comes next.
#[must_use]
pub fn every(library: &dyn Library, plan: &Plan) -> Vec<Rung> {
    let materials = candidates(library, plan);
    let means = library.equipment();
    let means = means.as_ref();
    let effects = Effects::new(&materials, &plan.scene, means);
    let gate = Gate::of(&plan.scene);
    let (mut live, _) = gated(&gate, steps(means, &effects, plan));
    live.sort_by_cached_key(|(passed, _)| passed.get().id());
    live.into_iter()
        .enumerate()
        .map(|(k, (passed, weighed))| {
            let harm = harm::layers(passed.get(), &plan.scene);
            rung::rung(means, k + 1, (passed, weighed, harm), plan, &gate)
        })
        .collect()
}

/// The ladder alone, for the forecast of a choice: what [`remove`] would show of a later addition that
/// no loose layer keeps in its place.
#[must_use]
pub fn rungs(library: &dyn Library, plan: &Plan) -> Vec<Rung> {
    let materials = candidates(library, plan);
    let means = library.equipment();
    let means = means.as_ref();
    let effects = Effects::new(&materials, &plan.scene, means);
    let gate = Gate::of(&plan.scene);
    let (live, _) = gated(&gate, steps(means, &effects, plan));
    let (live, _) = spare::sift(means, live, plan, &harm::Known::of(&plan.scene));
    ladder::ladder(means, live, plan, &gate)
}

type Passing<'a> = (gate::Passed<Step>, Rc<Weighed<'a>>);
type Barring<'a> = (gate::Refused<Step>, Rc<Weighed<'a>>);

/// Parts the steps into those that the gate lets pass and those that it refuses. Steps of one method
/// stand together.
fn gated<'a>(gate: &Gate<'_>, steps: Vec<Tried<'a>>) -> (Vec<Passing<'a>>, Vec<Barring<'a>>) {
    // Room for all in each, of which only what is filled is touched: a row is long, and to grow is to copy.
    let mut live = Vec::with_capacity(steps.len());
    let mut refused = Vec::with_capacity(steps.len());
    let mut narrow: Option<(Arc<Method>, Gate<'_>)> = None;
    for (step, weighed) in steps {
        let method = &step.method;
        if narrow
            .as_ref()
            .is_none_or(|(of, _)| !Arc::ptr_eq(of, method))
        {
            narrow = Some((Arc::clone(method), gate.for_method(method)));
        }
        let answer = match &narrow {
            Some((_, narrow)) => narrow.step(step),
            None => gate.step(step),
        };
        match answer {
            Ok(passed) => live.push((passed, weighed)),
            Err(no) => refused.push((no, weighed)),
        }
    }
    (live, refused)
}

/// Share of the posterior on which a liquid must be recorded to do nothing, to be named as idle.
const IDLE_SHARE: f64 = 0.9;

/// Liquids that a hand need not try.
fn idle(means: &Equipment, effects: &Effects<'_>, plan: &Plan) -> Vec<Idle> {
    effects
        .idle(IDLE_SHARE)
        .into_iter()
        .filter_map(|(id, bases)| {
            let agent = means.agent(id)?;
            if agent.needs_permission || plan.barred.bars_any_of(agent, |id| means.agent(id)) {
                return None;
            }
            Some(Idle {
                id: id.to_owned(),
                name: agent.head.names.name.clone(),
                basis: Basis::words(bases.iter()),
                sources: Basis::keys(bases.iter()),
            })
        })
        .collect()
}

impl Plan {
    /// The plan for one material, taken for certain and for a later addition: where it sits, over
    /// which layers, and the probability that it answers as aged (0 fresh, 1 aged). Depth,
    /// permissions and what was tried are left to whoever asks; none where there is no such material.
    #[must_use]
    pub fn of(
        library: &dyn Library,
        material: usize,
        aged: f64,
        site: Site,
        layers: Vec<SceneLayer>,
    ) -> Option<Self> {
        let table = library.table();
        let row = table.rows.get(material)?;
        let hazards = row.hazards.iter().filter(|h| Hazard::HIDDEN.contains(h));
        let id = table.ids.get(material);
        Some(Self {
            scene: Scene {
                layers,
                target: Target {
                    candidates: vec![(material, 1.0)],
                    aged: aged.clamp(0.0, 1.0),
                    hazards: hazards.map(|h| (h, 1.0)).collect(),
                    ..Target::nothing(site)
                },
                materials: vec![Suspect {
                    id: id.to_owned(),
                    family: table
                        .families
                        .get(usize::from(row.family))
                        .map_or_else(String::new, |f| f.0.clone()),
                    probability: 1.0,
                }],
                permitted: Vec::new(),
            },
            barred: Barred::default(),
            limit: 0,
            called: id.to_owned(),
        })
    }
}

/// Whether a layer must be secured before anything else: always where one flakes, and where one
/// loses grains if no step is left that can be brought to its end.
fn must_secure(scene: &Scene, opens: impl Fn() -> bool) -> bool {
    scene.layers.iter().any(|l| l.is(Condition::Flaking))
        || (scene.layers.iter().any(|l| l.is(Condition::Powdering)) && !opens())
}

/// Whether what a step loosens can also be taken up. A vapour takes nothing off by itself: where no tool
/// and no swab may follow it, what it softened sets again where it lay.
fn can_be_ended(means: &Equipment, step: &Step, plan: &Plan, gate: &Gate<'_>) -> bool {
    step.method.action != Action::Vapour || rung::follow_up(means, step, plan, gate).tool.is_some()
}

/// The plan for when the loose layers hold again.
fn secured<'a>(
    means: &Equipment,
    materials: &'a [(Material, f64)],
    effects: &Effects<'a>,
    steps: Vec<Tried<'a>>,
    plan: &Plan,
) -> Remove {
    let mut plan = plan.clone();
    for layer in &mut plan.scene.layers {
        layer.conditions.retain(|c| !c.needs_support());
    }
    let mut out = planned(means, materials, effects, steps, &plan);
    out.after = Some(
        "the loose layer is secured, with something that these agents do not dissolve, and a test \
         shows that it holds"
            .to_owned(),
    );
    out
}

/// Candidates that are planned for, with their probability.
fn candidates(library: &dyn Library, plan: &Plan) -> Vec<(Material, f64)> {
    let mut ordered = plan.scene.target.candidates.clone();
    // Equal ones by id, not by number: the order of the records decides nothing.
    let id = |m: usize| library.id(Kind::Material, m);
    ordered.arrange_by(|a, b| b.1.total_cmp(&a.1).then_with(|| id(a.0).cmp(&id(b.0))));
    let total: f64 = ordered.iter().map(|(_, p)| p).sum();
    let mut sum = 0.0;
    let mut out = Vec::new();
    for (m, p) in ordered {
        if out.len() == PLANNED_MOST || (sum >= PLANNED_SHARE * total && !out.is_empty()) {
            break;
        }
        if let Some(Record::Material(material)) = library.record(Kind::Material, m) {
            out.push((material, p));
            sum += p;
        }
    }
    out
}

/// Every step that reaches the place and does something to some candidate.
fn steps<'a>(means: &Equipment, effects: &Effects<'a>, plan: &Plan) -> Vec<Tried<'a>> {
    let liquids: Vec<Liquid<'_>> = means
        .agents
        .iter()
        .filter(|a| !plan.barred.bars_any_of(a, |id| means.agent(id)))
        .filter_map(|a| parted(means, a))
        .collect();
    let mut out = Vec::new();
    for method in &means.methods {
        if matches!(method.action, Action::Support | Action::None)
            || plan.barred.bars_method(method)
        {
            continue;
        }
        let target = &plan.scene.target;
        if !method.reach.contains(&target.site) && !method.reach_partly.contains(&target.site) {
            continue;
        }
        let mut weigh = |step: Step, effect: effect::Seen<'a>| {
            if effect.counts() {
                let reach = site::reach(&step, target);
                out.push((step, Rc::new(Weighed { effect, reach })));
            }
        };
        let ready = Ready::of(means, method);
        if method.delivers.is_empty() {
            weigh(ready.dry(), effects.dry(method));
            continue;
        }
        for liquid in liquids.iter().filter(|it| ready.brings(it.agent)) {
            if let Some(effect) = effects.wet(method, liquid.agent) {
                weigh(ready.with(liquid), effect);
            }
        }
    }
    out
}

/// Whether a hand tool may be laid to it at all: where nothing else is borne, thinning is.
pub(crate) fn may_be_thinned(means: &Equipment, plan: &Plan, gate: &Gate<'_>) -> bool {
    ["scalpel", "wood-tool"].into_iter().any(|id| {
        means
            .method(id)
            .filter(|m| !plan.barred.bars_method(m))
            .and_then(|m| step(means, m, None))
            .is_some_and(|step| gate.step(step).is_ok())
    })
}

/// The layer that the agent meets first, if any.
pub(crate) fn top(scene: &Scene) -> Option<&SceneLayer> {
    scene.layers.first()
}

/// Whether any layer met is porous.
pub(crate) fn meets_porous(scene: &Scene) -> bool {
    top(scene).is_some_and(|l| l.has(Trait::Porous))
}
