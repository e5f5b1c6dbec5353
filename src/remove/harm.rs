//! What a step does to each layer: recorded, tried on this object, or unknown.

use std::sync::Arc;

use crate::answer::LayerHarm;
use crate::gate::{Caveat, Exposure, Rule, exposure_to, rules};
use crate::model::scene::{Scene, SceneLayer, Step, Target, tool_within};
use crate::model::{Agent, Class, Condition, Equipment, Fact, Verdict, gravest};

/// Basis of what was seen on this object.
pub(super) const TRIED: &str = "tried";

/// Verdict on each layer, top down.
pub(super) fn layers(step: &Step, scene: &Scene) -> Vec<LayerHarm> {
    scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .map(|(layer, exposure)| one(step, layer, exposure, &scene.target))
        .collect()
}

/// Grade of what a step does to each layer, top down: 0 safe, 1 a test, 2 not recorded, 3 harm. Of a
/// layer that a whole film shelters only harm counts, and for no more than a test: the film must be
/// seen to be whole.
pub(super) fn grades(step: &Step, scene: &Scene) -> Vec<u8> {
    let target = &scene.target;
    scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .map(|(layer, exposure)| {
            let (judged, wanted) = judged(step, layer, target);
            let grade = match judged {
                Judged::Tried(..) | Judged::Recorded(_) if wanted.is_some() => 1,
                Judged::Tried(verdict, _) => rank(Some(verdict)),
                Judged::Recorded(found) => rank(found.verdict),
            };
            match exposure {
                Exposure::Exposed => grade,
                Exposure::Sheltered => u8::from(grade == rank(Some(Verdict::Harms))),
            }
        })
        .collect()
}

/// The layers that a step meets and harms, by the record or by a trial here.
pub(super) fn harmed(step: &Step, scene: &Scene) -> Vec<LayerHarm> {
    let target = &scene.target;
    scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .filter(|(layer, exposure)| {
            *exposure == Exposure::Exposed
                && match judged(step, layer, target).0 {
                    Judged::Tried(verdict, _) => verdict == Verdict::Harms,
                    Judged::Recorded(found) => found.verdict == Some(Verdict::Harms),
                }
        })
        .map(|(layer, exposure)| one(step, layer, exposure, target))
        .collect()
}

/// The first liquid that was seen here to harm a layer which the step meets, and that is of the same
/// class as what the step brings, or as a part of it; with the layer. Where the layer bore this very
/// liquid, that counts and not its kin.
pub(super) fn kin_harmed<'a>(
    step: &Step,
    scene: &'a Scene,
    means: &Equipment,
) -> Option<(&'a str, &'a SceneLayer)> {
    let agent = step.agent.as_ref()?;
    let own = [Arc::clone(agent)];
    // Of a mixture each part is asked: where the part was borne, so is what thins it.
    let brought: &[Arc<Agent>] = if step.parts.is_empty() {
        &own
    } else {
        &step.parts
    };
    let met = scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .filter(|(_, exposure)| *exposure == Exposure::Exposed);
    for (layer, _) in met {
        let was_tried = |a: &Agent| layer.tried.iter().any(|(id, _, _)| *id == a.head.id);
        if was_tried(agent) {
            continue;
        }
        let kin = layer.tried.iter().find(|(id, verdict, _)| {
            *verdict == Verdict::Harms
                && means.agent(id).is_some_and(|harmful| {
                    brought
                        .iter()
                        .any(|part| part.class == harmful.class && !was_tried(part))
                })
        });
        if let Some((id, _, _)) = kin {
            return Some((id, layer));
        }
    }
    None
}

struct Found<'a> {
    verdict: Option<Verdict>,
    fact: Option<&'a Fact>,
    /// Of what the record speaks, and in which state of the layer where it does not speak of that
    /// state itself; none where nothing is brought.
    what: Option<(Class, Option<Condition>)>,
    within: bool,
}

impl Found<'_> {
    fn what(&self) -> String {
        match self.what {
            Some((class, None)) => class.plain().to_owned(),
            Some((class, Some(condition))) => {
                format!("{} on a layer that is {condition}", class.plain())
            }
            None => String::new(),
        }
    }
}

/// What decides of a layer: a trial on this object, or the record.
enum Judged<'a> {
    Tried(Verdict, &'a str),
    Recorded(Found<'a>),
}

fn one(step: &Step, layer: &SceneLayer, exposure: Exposure, target: &Target) -> LayerHarm {
    let sheltered = exposure == Exposure::Sheltered;
    let (judged, wanted) = judged(step, layer, target);
    let row = match judged {
        Judged::Tried(verdict, words) => LayerHarm {
            layer: layer.called.clone(),
            verdict: Some(verdict),
            sheltered,
            reason: format!("tried on this object: {words}"),
            basis: TRIED.to_owned(),
            sources: Vec::new(),
            ground: None,
            place: None,
        },
        Judged::Recorded(found) => row(layer, &found, sheltered),
    };
    match wanted {
        None => row,
        Some(fact) => LayerHarm {
            verdict: Some(Verdict::Test),
            reason: fact
                .why
                .clone()
                .unwrap_or_else(|| format!("{}: try a hidden edge", step.method.head.names.name)),
            basis: fact.basis.word().to_owned(),
            sources: fact.basis.source().map(str::to_owned).into_iter().collect(),
            ground: Some(fact.basis.clone()),
            place: Some(fact.place.clone()),
            ..row
        },
    }
}

/// What decides of a layer and, where it bears the liquid, what in the method's record still wants a
/// trial.
fn judged<'a>(
    step: &'a Step,
    layer: &'a SceneLayer,
    target: &Target,
) -> (Judged<'a>, Option<&'a Fact>) {
    // A trial of the mixture speaks for the mixture; that a part of it failed speaks against it too.
    let speaks = |id: &str, verdict: Verdict| {
        step.agent.as_ref().is_some_and(|a| a.head.id == id)
            || (verdict == Verdict::Harms && step.agents().any(|a| a.head.id == id))
    };
    let tried = layer
        .tried
        .iter()
        .filter(|(id, verdict, _)| speaks(id, *verdict))
        .max_by_key(|(_, verdict, _)| *verdict);
    let own = step.method.classes.iter().map(|c| (None, *c));
    let judged = if let Some((_, verdict, words)) = tried {
        // What was tried on this object outranks the literature for the liquid; what the method
        // brings of itself was not tried with it.
        let by_method = worst(layer, own, target);
        if rank(by_method.verdict) <= rank(Some(*verdict)) {
            Judged::Tried(*verdict, words)
        } else {
            Judged::Recorded(by_method)
        }
    } else {
        let brought = step
            .agents()
            .map(|a| (Some(a.head.id.as_str()), a.class))
            .chain(own);
        Judged::Recorded(worst(layer, brought, target))
    };
    let bears = match &judged {
        Judged::Tried(verdict, _) => *verdict == Verdict::Safe,
        Judged::Recorded(found) => found.verdict == Some(Verdict::Safe),
    };
    let wanted = words(layer)
        .filter(|_| bears)
        .flat_map(|word| step.method.avoid.get(word))
        .find(|fact| fact.words().iter().any(|w| w == Verdict::Test.word()));
    (judged, wanted)
}

/// The words under which a method's record may speak of a layer.
fn words(layer: &SceneLayer) -> impl Iterator<Item = &'static str> {
    let traits = layer.layer.traits.iter().map(|t| t.word());
    traits.chain(layer.conditions.iter().map(|c| c.word()))
}

fn row(layer: &SceneLayer, found: &Found<'_>, sheltered: bool) -> LayerHarm {
    let reason = match (found.fact, found.within) {
        (_, true) => {
            "a tool within the mass: stop 1 to 2 mm short of it, and keep off edge and face"
                .to_owned()
        }
        (Some(fact), false) => fact
            .why
            .clone()
            .or_else(|| {
                let note = fact.note.as_ref()?;
                Some(if found.verdict == Some(Verdict::Test) {
                    format!("{}: try a hidden edge ({note})", found.what())
                } else {
                    note.clone()
                })
            })
            .unwrap_or_else(|| {
                format!(
                    "{}: depends on age and state, try a hidden edge",
                    found.what()
                )
            }),
        (None, false) if found.verdict.is_none() => format!("{}: not recorded", found.what()),
        (None, false) => found.what(),
    };
    LayerHarm {
        layer: layer.called.clone(),
        verdict: found.verdict,
        sheltered,
        reason,
        basis: found
            .fact
            .map_or(String::new(), |f| f.basis.word().to_owned()),
        sources: found
            .fact
            .and_then(|f| f.basis.source())
            .map(|key| vec![key.to_owned()])
            .unwrap_or_default(),
        ground: found.fact.map(|f| f.basis.clone()),
        place: found.fact.map(|f| f.place.clone()),
    }
}

/// The worst verdict over all that a step brings; a silent record counts worse than `test`, and
/// less than `harms`.
fn worst<'a>(
    layer: &'a SceneLayer,
    asked: impl Iterator<Item = (Option<&'a str>, Class)>,
    target: &Target,
) -> Found<'a> {
    let conditions: &[Condition] = if layer.conditions.is_empty() {
        &[Condition::Sound]
    } else {
        &layer.conditions
    };
    let mut out = Found {
        verdict: Some(Verdict::Safe),
        fact: None,
        what: None,
        within: false,
    };
    for (agent, class) in asked {
        for condition in conditions {
            let facts = layer.layer.verdicts(*condition, agent, class);
            let own = layer.layer.speaks_of(*condition, agent, class);
            let (verdict, fact) = match gravest(facts) {
                // What a sound layer bears says nothing of one in a worse state.
                Some((Verdict::Safe, _)) if !own => (None, None),
                Some((verdict, fact)) => (Some(verdict), Some(fact)),
                None => (None, None),
            };
            let state = (!own && !facts.is_empty()).then_some(*condition);
            let within = verdict == Some(Verdict::Harms)
                && agent.is_none()
                && tool_within(target, class, &layer.layer);
            let verdict = if within { Some(Verdict::Test) } else { verdict };
            if out.what.is_none() || rank(verdict) > rank(out.verdict) {
                out = Found {
                    verdict,
                    fact,
                    what: Some((class, state)),
                    within,
                };
            }
        }
    }
    out
}

fn rank(verdict: Option<Verdict>) -> u8 {
    match verdict {
        Some(Verdict::Safe) => 0,
        Some(Verdict::Test) => 1,
        None => 2,
        Some(Verdict::Harms) => 3,
    }
}

/// A broken rule as a row of the answer. Where the method's own record says why it is unfit, its
/// reason is shown and not the rule's general one.
pub(super) fn broken(caveat: &Caveat, step: &Step, scene: &Scene) -> LayerHarm {
    let Rule {
        id,
        says,
        why,
        basis,
        ..
    } = caveat.rule;
    let basis = basis.to_basis();
    let own = (*id == rules::METHOD_UNFIT.id)
        .then(|| unfit(step, scene, caveat.layer.as_deref()))
        .flatten();
    LayerHarm {
        layer: caveat.layer.clone().unwrap_or_default(),
        verdict: Some(Verdict::Harms),
        sheltered: false,
        reason: own.unwrap_or_else(|| format!("{says} ({why})")),
        basis: basis.word().to_owned(),
        sources: basis
            .source()
            .map(|key| vec![key.to_owned()])
            .unwrap_or_default(),
        ground: Some(basis),
        place: None,
    }
}

/// Why a method's record says that it is not used on a layer.
fn unfit(step: &Step, scene: &Scene, called: Option<&str>) -> Option<String> {
    let layer = scene
        .layers
        .iter()
        .find(|l| Some(l.called.as_str()) == called)?;
    words(layer)
        .flat_map(|word| step.method.avoid.get(word))
        .find_map(|fact| fact.why.clone())
}
