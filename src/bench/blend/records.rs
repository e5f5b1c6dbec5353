//! What the records, and the trials on this object, say of single liquids: they outrank any sphere.

use super::liquids::Candidate;
use super::spheres::Known;
use crate::answer::blend::Conflict;
use crate::answer::{Footing, LayerHarm, Reason};
use crate::chem::{GOOD, POOR};
use crate::model::scene::{Scene, SceneLayer, Step, TargetTrial};
use crate::model::{Age, Agent, Basis, Does, Material, Response, Verdict};

/// What is known of a liquid on a layer: a trial on the object, else the record for each of its
/// conditions, the gravest. What a sound layer bears says nothing of one in a worse state.
pub(super) fn on_layer(layer: &SceneLayer, agent: &Agent) -> LayerHarm {
    let mut out = LayerHarm {
        layer: layer.called.clone(),
        verdict: Some(Verdict::Safe),
        sheltered: false,
        reason: String::new(),
        footing: Footing::NotRecorded,
        place: None,
    };
    let name = &agent.head.names.name;
    let tried = layer
        .trials_of(&agent.head.id)
        .max_by_key(|trial| trial.verdict);
    if let Some(trial) = tried {
        out.verdict = Some(trial.verdict);
        out.reason = format!("{name}: tried on this object: {}", trial.text);
        out.footing = Footing::Trial;
        return out;
    }
    let id = Some(agent.head.id.as_str());
    let mut first = true;
    for condition in layer.states() {
        let (verdict, fact) = layer.layer.verdict(*condition, id, agent.class).unzip();
        if !first && Verdict::gravity(verdict) <= Verdict::gravity(out.verdict) {
            continue;
        }
        first = false;
        out.verdict = verdict;
        let says = fact.and_then(|f| f.why.clone().or_else(|| f.note.clone()));
        out.reason = match (verdict, says) {
            (_, Some(says)) => format!("{name}: {says}"),
            (None, None) => format!("{name}: not recorded on this layer"),
            (Some(Verdict::Safe), None) => format!("{name}: recorded as borne"),
            (Some(_), None) => format!("{name}: depends on age and state, try a hidden edge"),
        };
        out.footing = Footing::of(fact);
        out.place = fact.map(|f| f.place.clone());
    }
    out
}

/// The gravest row of each layer over the liquids of a blend.
pub(super) fn rows(layers: &[SceneLayer], parts: &[&Candidate]) -> Vec<LayerHarm> {
    layers
        .iter()
        .flat_map(|layer| {
            parts
                .iter()
                .map(|c| on_layer(layer, &c.agent))
                .max_by_key(|row| Verdict::gravity(row.verdict))
        })
        .collect()
}

/// The record by which a step harms the one layer of a scene.
pub(super) fn harm(step: &Step, scene: &Scene) -> Option<Reason> {
    let layer = scene.layers.first()?;
    let agents: Vec<&Agent> = if step.parts.is_empty() {
        step.agent.iter().map(AsRef::as_ref).collect()
    } else {
        step.parts.iter().map(AsRef::as_ref).collect()
    };
    agents.into_iter().find_map(|agent| {
        let failed = layer
            .trials_of(&agent.head.id)
            .find(|trial| trial.verdict == Verdict::Harms);
        if let Some(trial) = failed {
            return Some(Reason {
                text: format!(
                    "harms {}: tried on this object: {}",
                    layer.called, trial.text
                ),
                basis: Basis::Practice,
            });
        }
        let row = on_layer(layer, agent);
        (row.verdict == Some(Verdict::Harms)).then(|| Reason {
            text: format!("recorded to harm {}: {}", layer.called, row.reason),
            basis: row.footing.or_practice(),
        })
    })
}

/// Where the record of the target, or a trial, contradicts its sphere.
pub(super) fn conflicts(
    material: Option<(&Material, Age)>,
    tried: &[TargetTrial],
    does: Does,
    target: &Known,
    liquids: &[Candidate],
) -> Vec<Conflict> {
    let mut out = Vec::new();
    for liquid in liquids {
        let red = target.red(liquid.hansen);
        let id = &liquid.agent.head.id;
        let name = &liquid.agent.head.names.name;
        let wrong = |good: bool| if good { red > POOR } else { red < GOOD };
        let sphere = format!("the sphere has RED {red:.2}");
        let own = tried.iter().find(|trial| trial.agent == *id);
        if let Some(TargetTrial { response, .. }) = own {
            // A fitted sphere has its misfits beyond the surface; a sphere on file, beyond what is unsure.
            let off = match does.good(*response) {
                Some(good) if target.fitted => good != (red <= 1.0 + 1e-6),
                Some(good) => wrong(good),
                None => false,
            };
            if off {
                out.push(Conflict {
                    id: id.clone(),
                    says: format!(
                        "{name}: {} on this object, though {sphere}",
                        response.word()
                    ),
                    basis: "tried".to_owned(),
                    sources: Vec::new(),
                });
            }
            continue;
        }
        let Some((material, age)) = material else {
            continue;
        };
        let readings = material.readings(age, id);
        let contradicts = |(response, _): &&(Response, &crate::model::Fact)| {
            does.good(*response).is_some_and(wrong)
        };
        // Where sources disagree and one of them is with the sphere, the sphere may be right.
        if !readings.is_empty() && readings.iter().all(|r| contradicts(&r)) {
            let (response, fact) = readings[0];
            out.push(Conflict {
                id: id.clone(),
                says: format!(
                    "{name}: recorded as \"{}\", though {sphere}",
                    response.word()
                ),
                basis: fact.basis.to_string(),
                sources: fact.basis.sources(),
            });
        }
    }
    out
}
