//! What comes before any step: is it original, does anything need support, what must be known.

use crate::answer::{Preliminary, Rung};
use crate::gate::{HAZARD_LEAST, Sort};
use crate::model::scene::{Origin, Scene, SceneLayer, TargetTrial};
use crate::model::{Basis, Condition, Hazard, Material};

/// The rule that says of lead what is said of every hazard that stands.
const LEAD_BY_HAND: &str = "lead-by-hand";

/// Probability from which a hazard is told as a fact and no longer as a doubt.
const CERTAIN: f64 = 0.9;

/// Steps that come first, in their order: none is told twice.
pub(super) fn before(scene: &Scene, rungs: &[Rung]) -> Vec<Preliminary> {
    let mut out: Vec<Preliminary> = Vec::new();
    let told = origin(scene.target.origin)
        .into_iter()
        .chain(scene.layers.iter().flat_map(support))
        .chain(hazards(scene))
        .chain(first_of_rungs(scene, rungs));
    for step in told {
        if !out.iter().any(|p| p.what == step.what) {
            out.push(step);
        }
    }
    out
}

fn by_practice(what: impl Into<String>, why: &str) -> Preliminary {
    Preliminary {
        what: what.into(),
        why: why.to_owned(),
        basis: Basis::Practice,
    }
}

/// What is settled first of what may belong to the object.
fn origin(origin: Origin) -> Option<Preliminary> {
    match origin {
        Origin::Unknown => Some(by_practice(
            "settle whether it is original, or itself historic: edge of loss, cross-section, dates",
            "what is original is not taken off; until it is known, leave it or test only",
        )),
        Origin::Later => None,
        Origin::Original => Some(by_practice(
            "leave it: it was called original",
            "it belongs to the object",
        )),
        Origin::Historic => Some(by_practice(
            "ask owner and curator: it was called historic",
            "its value is weighed before its chemistry",
        )),
    }
}

/// What the conditions of a layer want before anything touches it.
fn support(layer: &SceneLayer) -> impl Iterator<Item = Preliminary> {
    let called = &layer.called;
    layer.conditions.iter().filter_map(move |condition| {
        let (what, why) = match condition {
            Condition::Flaking | Condition::Powdering => (
                format!(
                    "secure the {condition} {called} first: consolidate, face or support it, with \
                     something that the planned agents do not dissolve"
                ),
                "nothing may wet, touch or pull a layer that is coming away",
            ),
            Condition::Salty => (
                format!("test the salts in {called} and plan their extraction first"),
                "water moves salts, and they burst the surface as it dries",
            ),
            Condition::Damp => (
                format!("let {called} dry slowly, and find the source of damp, first"),
                "solvent and damp together blanch, swell and drive salts",
            ),
            Condition::Corroded => (
                format!("have the active corrosion of {called} assessed first"),
                "water, acid and chloride restart it",
            ),
            Condition::Weeping => (
                format!("bring {called} to a steady climate before anything wets it"),
                "attack of alkali glass quickens with water and with drying out",
            ),
            Condition::LightDamaged | Condition::Cracked => (
                format!("map the cracks of {called} under magnification first"),
                "liquids reach what lies beneath through cracks",
            ),
            Condition::Sound => return None,
        };
        Some(by_practice(what, why))
    })
}

/// What the hazards of the target want, down to the probability from which they bind the gate.
fn hazards(scene: &Scene) -> impl Iterator<Item = Preliminary> {
    let standing = scene
        .target
        .hazards
        .iter()
        .filter(|(_, probability)| *probability >= HAZARD_LEAST);
    standing.filter_map(|(hazard, probability)| {
        let why = if *probability >= CERTAIN {
            "on record for the material named"
        } else {
            "not excluded by a clean negative test"
        };
        Some(by_practice(against(*hazard, *probability)?, why))
    })
}

/// What is done against a hazard of some probability; none where another step tells it.
fn against(hazard: Hazard, probability: f64) -> Option<&'static str> {
    let certain = probability >= CERTAIN;
    Some(match hazard {
        Hazard::Nitrate if certain => {
            "it is, or holds, cellulose nitrate: no flame, hot tool or spark; waste kept wet and apart"
        }
        Hazard::Lead if certain => "it holds lead: gloves, no dry abrasion, bagged waste",
        Hazard::Nitrate if probability >= 0.5 => {
            "take it for cellulose nitrate until a clean negative says otherwise: no flame, \
             hot tool or spark; waste kept wet and apart"
        }
        Hazard::Nitrate => {
            "rule out cellulose nitrate by a spot test on a crumb: no flame, \
             hot tool or spark until then"
        }
        Hazard::Lead => {
            "rule out lead by a spot test, or treat all chips as lead: no dry \
             abrasion; damp, bagged, no food, hands washed"
        }
        Hazard::Arsenic => "rule out arsenic before dust is raised",
        Hazard::Mercury => "rule out mercury before heat or dust",
        Hazard::Asbestos => "rule out asbestos in the filler before anything is cut or sanded",
        Hazard::Mould => "look for mould: mask and extraction if it is there",
        _ => return None,
    })
}

/// What the gate wants done before a step that is offered.
fn first_of_rungs(scene: &Scene, rungs: &[Rung]) -> impl Iterator<Item = Preliminary> {
    // The hazard itself was told, with what is to be done.
    let lead_told = scene.hazard(Hazard::Lead) >= HAZARD_LEAST;
    rungs
        .iter()
        .flat_map(|rung| rung.step.caveats())
        .filter(move |it| it.rule.sort == Sort::Before)
        .filter(move |it| !(lead_told && it.rule.id == LEAD_BY_HAND))
        .map(|it| Preliminary {
            what: it.rule.says.to_owned(),
            why: it.rule.why.to_owned(),
            basis: it.rule.basis.to_basis(),
        })
}

/// What is not recorded, with the test on the object that would settle it.
pub(super) fn gaps(materials: &[(Material, f64)], scene: &Scene, rungs: &[Rung]) -> Vec<String> {
    let mut out = Vec::new();
    if materials.is_empty() {
        out.push(
            "no material is known for the target: a drop test of water, ethanol, acetone and white \
             spirit on a detached crumb would place it"
                .to_owned(),
        );
    }
    out.extend(super::site::gap(&scene.target));
    out.extend(contradictions(scene));
    for line in rungs.iter().flat_map(gaps_of_rung) {
        if !out.contains(&line) {
            out.push(line);
        }
    }
    out.extend(scene.layers.iter().filter_map(gap_of_layer));
    out
}

/// Layers of which the step's harm is not recorded, and how much of the target its effect is not.
fn gaps_of_rung(rung: &Rung) -> Vec<String> {
    let step = rung.step.get();
    let wet = step.agent.is_some();
    let with = match &step.agent {
        Some(agent) => &agent.head.names.name,
        None => &step.method.head.names.name,
    };
    let trial = if wet {
        "swab it at a hidden edge and read it dry"
    } else {
        "try it at a hidden edge"
    };
    let unjudged = rung.harm.iter().filter(|layer| layer.verdict.is_none());
    let mut out: Vec<String> = unjudged
        .map(|layer| format!("{} under {with}: not recorded; {trial}", layer.layer))
        .collect();
    let effect = &rung.effect;
    if effect.unknown > 0.3 {
        out.push(format!(
            "{with} on {:.0} % of what this may be: not recorded{}; {} settles it",
            100.0 * effect.unknown,
            if effect.computed > 0.05 {
                " (computed from the fresh resin's sphere it may act: no ground to use it)"
            } else {
                ""
            },
            if wet {
                "a drop on a detached crumb"
            } else {
                "a trial on a detached crumb"
            }
        ));
    }
    out
}

/// Whether anything is recorded of what harms a layer, in the state that it is in.
fn gap_of_layer(it: &SceneLayer) -> Option<String> {
    let harm = &it.layer.harm;
    if harm.is_empty() {
        return Some(format!(
            "{}: nothing is recorded of what harms it; test every agent on it",
            it.called
        ));
    }
    let sound = harm
        .iter()
        .any(|(c, f)| *c == Condition::Sound && !f.0.is_empty());
    (it.conditions.is_empty() && !sound)
        .then(|| format!("{}: its sound state is unrecorded", it.called))
}

/// Results on this object that contradict one another, with the trial that would settle each.
fn contradictions(scene: &Scene) -> Vec<String> {
    let mut out = Vec::new();
    let mut add = |line: String| {
        if !out.contains(&line) {
            out.push(line);
        }
    };
    let tried = &scene.target.tried;
    for (k, TargetTrial { agent, response }) in tried.iter().enumerate() {
        let contradicts = |it: &&TargetTrial| it.agent == *agent && it.response != *response;
        if let Some(TargetTrial {
            response: other, ..
        }) = tried[..k].iter().find(contradicts)
        {
            add(format!(
                "given says of {agent} both \"{other}\" and \"{response}\": neither counts; repeat it \
                 on a fresh crumb, with a blank, zone by zone"
            ));
        }
    }
    for layer in &scene.layers {
        for (k, trial) in layer.tried.iter().enumerate() {
            let agent = &trial.agent;
            let other = layer.tried[..k]
                .iter()
                .any(|it| it.agent == *agent && it.verdict != trial.verdict);
            if other {
                add(format!(
                    "{}: results with {agent} contradict one another; the worse one counts, until it \
                     is tried again at another hidden edge",
                    layer.called
                ));
            }
        }
    }
    out
}
