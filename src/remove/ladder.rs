//! From many live steps to a short ladder, mildest first.

use std::rc::Rc;

use super::besides::Lines;
use super::rung::{branches, dwell, rung};
use super::{Plan, RUNGS, Weighed, harm, meets_porous};
use crate::answer::{Call, EffectSeen, Footing, LayerHarm, Reason, Rung};
use crate::gate::{Gate, Passed};
use crate::model::scene::Step;
use crate::model::{
    Action, Agent, Basis, Class, Equipment, Hazard, Method, Response, Site, Verdict, Wetting,
};
use crate::order::Arrange;

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
/// Share of the worth of the best step that a liquid must keep to be one more rung, when what it has in
/// common with those that stand there is taken off. Judgment.
const FILLER: f64 = 0.45;
/// What it costs that much liquid goes into a porous body: what it dissolves goes with it. Judgment.
const SOAKED: f64 = 0.12;
/// Coverage below which what was seen here to act did little.
const LITTLE: f64 = 0.3;

/// Bonus from routes of the trade from which it counts as tried early: a second choice named with the
/// method, for most of what this may be.
const EARLY: f64 = 0.15;
/// Share of what this may be for which the trade comes to a step last, from which it does.
const COMES_LAST: f64 = 0.5;
/// What it is worth that a layer was seen here to bear this very liquid, and by how many grades it moves
/// up. Judgment: what the object itself said is worth more than any record, and less than a first choice
/// of the trade.
const BORNE: f64 = 0.15;
const BORNE_GRADES: f64 = 1.5;
/// Bonus from routes from which a way is the trade's first for most of what this may be, and the grades
/// by which a dry one then stands before a liquid that is as mild. Judgment.
const FIRST: f64 = 0.30;
const DRY_GRADE: f64 = 1.0;

struct Scored<'a> {
    passed: Passed<Step>,
    weighed: Rc<Weighed<'a>>,
    harm: Vec<LayerHarm>,
    value: f64,
    harshness: f64,
    /// How long it leaves its liquid: 0 moments, 1 minutes, 2 longer.
    contact: u8,
}

/// The rungs, mildest first.
pub(super) fn ladder(
    means: &Equipment,
    live: Vec<(Passed<Step>, Rc<Weighed<'_>>)>,
    plan: &Plan,
    gate: &Gate<'_>,
) -> Vec<Rung> {
    let mut scored: Vec<Scored<'_>> = live
        .into_iter()
        .map(|(passed, weighed)| {
            let harm = harm::layers(passed.get(), &plan.scene);
            let harshness = harshness(passed.get());
            let value = value(means, passed.get(), &weighed, &harm, harshness, plan);
            let contact = contact(&passed.get().method);
            Scored {
                passed,
                weighed,
                harm,
                value,
                harshness,
                contact,
            }
        })
        .collect();
    scored.arrange_by(|a, b| {
        b.value
            .total_cmp(&a.value)
            .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
    });
    let alive = scored.len();
    let most = if plan.limit == 0 {
        RUNGS
    } else {
        plan.limit.min(RUNGS)
    };
    let mut chosen: Vec<Scored<'_>> = Vec::new();
    while chosen.len() < most {
        // Each further rung should be a different thing to try, not the same liquid again.
        let best = scored
            .iter()
            .enumerate()
            .map(|(k, s)| (k, s.value - likeness(s, &chosen)))
            .filter(|(k, value)| {
                let it = &scored[*k];
                *value > least(it, &chosen) || (chosen.len() < FEWEST && is_another(it, &chosen))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
        let Some((k, _)) = best else { break };
        // In its order, so that of equal ones the first by id is taken.
        chosen.push(scored.remove(k));
    }
    // What the trade comes to last stands behind all that it tries first: a rubber for what is left of a
    // tape's adhesive waits for the backing, however mild it is.
    let behind = chosen
        .iter()
        .filter(|it| it.weighed.effect.route >= EARLY)
        .map(place)
        .fold(f64::NEG_INFINITY, f64::max);
    let place = |it: &Scored<'_>| {
        if it.weighed.effect.last >= COMES_LAST {
            place(it).max(behind + 0.01)
        } else {
            place(it)
        }
    };
    chosen.arrange_by(|a, b| {
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
    let others = alive.saturating_sub(rungs.len());
    branches(
        &mut rungs,
        plan,
        others,
        super::may_be_thinned(means, plan, gate),
    );
    rungs
}

/// Whether a step is another thing to try than all that were chosen.
fn is_another(it: &Scored<'_>, chosen: &[Scored<'_>]) -> bool {
    !chosen.iter().any(|other| is_one_thing(it, other))
}

/// What a further rung must be worth. Another liquid is a rung only if it is worth a share of the best
/// one: what a hand would not bother with wears the surface and the patience. A dry way is another
/// thing to try than any liquid.
fn least(it: &Scored<'_>, chosen: &[Scored<'_>]) -> f64 {
    if it.passed.get().agent.is_none() {
        return 0.0;
    }
    let best = chosen.iter().map(|c| c.value).fold(0.0, f64::max);
    FILLER * best
}

/// The steps that secure a loose layer; nothing else is live until one of them has.
pub(super) fn securing(means: &Equipment, plan: &Plan, gate: &Gate<'_>) -> Vec<Rung> {
    let mut methods: Vec<_> = means
        .methods
        .iter()
        .filter(|m| m.action == Action::Support && !plan.barred.bars_method(m))
        .collect();
    methods.arrange_by(|a, b| (a.mildness, &a.head.id).cmp(&(b.mildness, &b.head.id)));
    methods
        .into_iter()
        .filter_map(|method| super::step(means, method, None))
        .filter_map(|step| gate.step(step).ok())
        .enumerate()
        .map(|(k, passed)| {
            let facts = &passed.get().method.head.facts;
            let (dwell_min, dwell) = dwell(facts);
            let lines = Lines::new(means, plan, gate);
            let text = |key| lines.first(facts, key);
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
                watch: facts.text("watch").unwrap_or_default().to_owned(),
                remarks: Vec::new(),
                stop: text("stop"),
                clearance: text("clearance"),
                residue: text("residue"),
                fails: "it does not hold at the trial edge: another securing medium, or support \
                        alone; take nothing off meanwhile"
                    .to_owned(),
                hazards: passed.get().hazards(),
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
fn place(scored: &Scored<'_>) -> f64 {
    let seen = &scored.weighed.effect;
    let grave = scored
        .passed
        .get()
        .hazards()
        .iter()
        .any(|h| GRAVE.contains(h));
    let grave = if grave { GRAVE_GRADES } else { 0.0 };
    let borne = if is_borne(&scored.harm) {
        BORNE_GRADES
    } else {
        0.0
    };
    let dry = if is_dry_first(scored) {
        f64::from(scored.passed.get().method.mildness) + DRY_GRADE
    } else {
        0.0
    };
    scored.harshness - 7.5 * seen.route + 3.0 * seen.last + grave - borne - dry
}

/// What comes before any liquid: a way without one, and without great heat, that the trade tries first
/// for most of what this may be. Dust is brushed and a backing lifted dry before anything is wetted.
fn is_dry_first(scored: &Scored<'_>) -> bool {
    let step = scored.passed.get();
    step.agent.is_none()
        && scored.weighed.effect.route >= FIRST
        && !step.method.classes.contains(&Class::Heat100)
}

/// Whether a trial on this object showed that a layer bears the liquid, and none that one does not.
fn is_borne(harm: &[LayerHarm]) -> bool {
    let mut tried = harm
        .iter()
        .filter(|h| h.footing == Footing::Trial)
        .peekable();
    tried.peek().is_some() && tried.all(|h| h.verdict == Some(Verdict::Safe))
}

/// What a step is worth: what it takes off and what the trade says of it, less what it risks.
/// Weights are judgment; they order live steps and never make a harmful one live.
fn value(
    means: &Equipment,
    step: &Step,
    weighed: &Weighed<'_>,
    harm: &[LayerHarm],
    harshness: f64,
    plan: &Plan,
) -> f64 {
    let seen = &weighed.effect;
    let mut value = seen.covers * weighed.reach + 1.2 * seen.route - 0.6 * seen.fails;
    let held = plan.scene.target.site == Site::Film
        && step.carrier.as_ref().is_some_and(|c| c.limits_penetration);
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
    if is_borne(harm) {
        value += BORNE;
    }
    value -= 0.02 * harshness;
    if seen.inferred {
        value -= 0.12;
    }
    let weak = seen.tried && seen.covers < LITTLE;
    let failed = |agent: &Agent| !seen.tried && has_failed(means, agent, plan);
    if weak || step.agent.as_deref().is_some_and(failed) {
        value -= 0.2;
    }
    if step.hazards().iter().any(|h| GRAVE.contains(h)) {
        value -= 0.15;
    }
    if matches!(step.method.wets, Wetting::Much) && meets_porous(&plan.scene) {
        value -= SOAKED;
    }
    value
}

/// Whether a liquid of the same sort, no milder than this one, was seen to do nothing here, or next to it.
pub(super) fn has_failed(means: &Equipment, agent: &Agent, plan: &Plan) -> bool {
    plan.scene.target.tried.iter().any(|trial| {
        matches!(
            trial.response,
            Response::NoEffect | Response::SwellsSlightly
        ) && means
            .agent(&trial.agent)
            .is_some_and(|it| it.class == agent.class && it.strength >= agent.strength)
    })
}

/// Whether two steps are one thing to try: two gels of one liquid, one swab and another with a liquid of
/// the same class that is no stronger, two ways of dry warmth. What the first left, the second leaves.
fn is_one_thing(one: &Scored<'_>, other: &Scored<'_>) -> bool {
    let (step, theirs) = (one.passed.get(), other.passed.get());
    let alike = step.method.action == theirs.method.action && one.contact == other.contact;
    match (&step.agent, &theirs.agent) {
        (Some(a), Some(b)) => {
            // Thinned and neat are grades of one liquid, and each is tried.
            let kin = a.class == b.class
                && a.strength <= b.strength
                && a.parts.is_empty() == b.parts.is_empty();
            alike && (a.head.id == b.head.id || kin)
        }
        (None, None) => [step, theirs]
            .iter()
            .all(|s| s.method.action == Action::Heat && !s.method.responses.is_empty()),
        _ => false,
    }
}

/// How long a method leaves its liquid: moments, minutes, or longer.
fn contact(method: &Method) -> u8 {
    match dwell(&method.head.facts).0 {
        Some((_, most)) if most <= 1.0 => 0,
        Some((_, most)) if most <= GEL_MINUTES => 1,
        _ => 2,
    }
}
/// Longest contact, minutes, that is still one of minutes: a gel, and not a pack.
const GEL_MINUTES: f64 = 30.0;

/// What it costs a step that it is one thing to try with another that was chosen. Judgment.
const ONE_THING: f64 = 0.50;

/// How like a step is to those already chosen.
fn likeness(scored: &Scored<'_>, chosen: &[Scored<'_>]) -> f64 {
    let step = scored.passed.get();
    chosen
        .iter()
        .map(|theirs| {
            let other = theirs.passed.get();
            let mut like = 0.0;
            let (same, kin) = match (&step.agent, &other.agent) {
                (Some(a), Some(b)) => (a.head.id == b.head.id, a.class == b.class),
                _ => (false, false),
            };
            if same {
                like += 0.26;
            } else if kin {
                like += 0.20;
            }
            if step.method.head.id == other.method.head.id {
                like += 0.10;
            } else if step.method.action == other.method.action {
                like += 0.03;
            }
            if is_one_thing(scored, theirs) {
                like += ONE_THING;
            }
            like
        })
        .sum()
}
