//! How a material goes on, and how these layers bear that. Every application passes the gate.

use std::sync::Arc;

use super::{Ask, Shelf, score};
use crate::answer::{Lost, Reason, Rule};
use crate::gate::rules::PutOn;
use crate::gate::{self, Passed, Refused};
use crate::model::scene::{Scene, SceneLayer, Step, Target};
use crate::model::{
    Agent, Basis, Class, Condition, Material, Purpose, Site, Trait, Verdict, Wetting,
};

/// What a test on a layer weighs in the choice of a liquid, beside the danger to the hand. Judgment.
const TEST: f64 = 0.25;

/// An application that the gate let pass.
#[derive(Clone, Debug)]
pub(crate) struct Applied {
    pub(crate) passed: Passed<Step>,
    pub(crate) minding: Vec<Reason>,
    /// Layers that want a test or of which nothing is recorded.
    pub(crate) unsure: usize,
}

/// How it goes on: some of these layers may be of its own kind. The gate then has a condition of its
/// own for them (`own-glue`, `own-plaster`).
fn way(material: &Material, layers: &[SceneLayer], ask: &Ask) -> PutOn {
    let glue = matches!(material.family.as_str(), "collagen-glue" | "glue-chalk");
    let on_glue = layers.iter().any(|l| l.has(Trait::GlueBound));
    match ask.purpose {
        // A leaf is not wetted: the glue goes in beneath it, the putty beside it.
        _ if glue && on_glue && ask.is_under_flakes() => PutOn::GlueBeneath,
        Purpose::ForFill if glue && on_glue => PutOn::GlueBeside,
        _ if glue && on_glue => PutOn::GlueOnGlue,
        Purpose::ForFill if material.family == "gypsum" => PutOn::PlasterBeside,
        _ => PutOn::Plainly,
    }
}

/// What the gate is asked with: these layers, and nothing that is to come off.
fn scene(layers: Vec<SceneLayer>, ask: &Ask) -> Scene {
    Scene {
        layers,
        target: Target {
            depth_mm: ask.depth_mm,
            ..Target::nothing(ask.site)
        },
        materials: Vec::new(),
        permitted: ask.permitted.clone(),
    }
}

/// The mildest way of putting it on that these layers bear.
pub(crate) fn apply(shelf: &Shelf, ask: &Ask, material: &Material) -> Result<Applied, Box<Lost>> {
    let facts = &material.head.facts;
    let warm = facts
        .words("sets")
        .iter()
        .any(|w| matches!(*w, "cooling" | "warmth"));
    let ids = facts.words("applied-in");
    let mut ways: Vec<(Option<&Arc<Agent>>, Vec<Class>)> = ids
        .iter()
        .filter_map(|id| shelf.agent(id))
        .map(|agent| (Some(agent), Vec::new()))
        .collect();
    if warm {
        ways.push((None, vec![Class::Heat60]));
    }
    if ways.is_empty() {
        ways.push((None, Vec::new()));
    }
    let mut best: Option<(f64, Applied)> = None;
    let mut failed: Option<Lost> = None;
    let mut barred: Option<Lost> = None;
    for (agent, classes) in ways {
        if let Some(why) = what_is_barred(agent.map(AsRef::as_ref), &classes, shelf, ask) {
            barred = barred.or(Some(lost(
                material,
                Rule::Without,
                None,
                format!("it goes on with {why}, which `without` bars"),
                Basis::Practice,
            )));
            continue;
        }
        match one(shelf, ask, material, agent, classes) {
            Ok(applied) => {
                // Of liquids that the layers bear alike, the one that endangers the hand least; a
                // test on a layer weighs as much as a liquid that goes through skin.
                let danger = agent.map_or(0.0, |a| score::danger(a));
                let strength = agent.map_or(0, |a| a.strength);
                let rank = TEST * applied.unsure as f64 + danger + 0.001 * f64::from(strength);
                if best.as_ref().is_none_or(|(least, _)| rank < *least) {
                    best = Some((rank, applied));
                }
            }
            Err(no) => failed = failed.or(Some(*no)),
        }
    }
    match best {
        Some((_, applied)) => Ok(applied),
        None => Err(Box::new(failed.or(barred).unwrap_or_else(|| {
            lost(
                material,
                Rule::Application,
                None,
                "no way of putting it on is recorded".to_owned(),
                Basis::Practice,
            )
        }))),
    }
}

/// What of a way of putting it on is barred, by name.
fn what_is_barred(
    agent: Option<&Agent>,
    classes: &[Class],
    shelf: &Shelf,
    ask: &Ask,
) -> Option<String> {
    let barred = &ask.barred;
    if let Some(agent) = agent
        && barred.bars_any_of(agent, |id| shelf.agent(id))
    {
        return Some(agent.head.names.name.clone());
    }
    classes
        .iter()
        .find(|c| barred.classes.contains(c))
        .map(|c| c.plain().to_owned())
}

pub(super) fn lost(
    material: &Material,
    rule: Rule,
    layer: Option<String>,
    text: String,
    basis: Basis,
) -> Lost {
    Lost {
        id: material.head.id.clone(),
        name: material.head.names.name.clone(),
        rule,
        layer,
        reason: Reason { text, basis },
        place: None,
    }
}

/// A layer as it is met. What the record says of the loose state is said of wiping it; what is fed
/// beneath secures it, and that it wants a trial is said apart.
fn at_rest(layer: &SceneLayer, ask: &Ask) -> SceneLayer {
    let mut layer = layer.clone();
    if ask.is_under_flakes() {
        layer.conditions.retain(|c| !c.needs_support());
    }
    layer
}

/// One way of putting it on: with a liquid, or with warmth.
fn one(
    shelf: &Shelf,
    ask: &Ask,
    material: &Material,
    agent: Option<&Arc<Agent>>,
    classes: Vec<Class>,
) -> Result<Applied, Box<Lost>> {
    let layers = ask.all_layers();
    let wets = if ask.site == Site::Pores {
        Wetting::Much
    } else {
        Wetting::Little
    };
    let parts = agent.map_or(&[][..], |a| a.parts.as_slice());
    let name = &material.head.names.name;
    let step = Step {
        method: Arc::new(way(material, &layers, ask).method(name, classes, wets)),
        agent: agent.map(Arc::clone),
        parts: parts
            .iter()
            .filter_map(|(id, _)| shelf.agent(id).map(Arc::clone))
            .collect(),
        carrier: None,
    };
    let mut minding = Vec::new();
    for layer in &layers {
        minding.extend(to_mind(&step, layer, material)?);
    }
    let met = layers.iter().map(|layer| at_rest(layer, ask)).collect();
    match gate::step(step, &scene(met, ask)) {
        Ok(passed) => Ok(Applied::with_conditions(passed, minding)),
        Err(no) => Err(Box::new(forbidden(material, &no))),
    }
}

/// What is to be minded, or tried, on one layer as the material goes on.
///
/// # Errors
/// The material is lost where the layer is known not to bear it.
fn to_mind(step: &Step, layer: &SceneLayer, material: &Material) -> Result<Vec<Reason>, Box<Lost>> {
    let mut out = Vec::new();
    // Of its own kind: the gate says on what condition.
    if gate::rules::own_kind(step, layer).is_some() {
        return Ok(out);
    }
    let liquids = step.agents().map(|a| (Some(a.head.id.as_str()), a.class));
    let warmth = step.method.classes.iter().map(|c| (None, *c));
    for (id, class) in liquids.chain(warmth) {
        match bears(layer, id, class, material) {
            Some((Verdict::Harms, reason)) => {
                return Err(Box::new(lost(
                    material,
                    Rule::Application,
                    Some(layer.called.clone()),
                    reason.text,
                    reason.basis,
                )));
            }
            Some((_, reason)) => out.push(reason),
            None => {}
        }
    }
    Ok(out)
}

impl Applied {
    /// An application with what is to be minded on the layers, and with the conditions of the gate; a
    /// condition that holds for several layers is said once.
    fn with_conditions(passed: Passed<Step>, mut minding: Vec<Reason>) -> Self {
        let mut unsure = minding.len();
        for caveat in passed.caveats() {
            unsure += usize::from(caveat.rule.sort == gate::Sort::OnlyIf);
            let text = caveat.rule.says.to_owned();
            if !minding.iter().any(|m| m.text == text) {
                let basis = caveat.rule.basis.to_basis();
                minding.push(Reason { text, basis });
            }
        }
        Self {
            passed,
            minding,
            unsure,
        }
    }
}

/// A material that the gate does not let go on.
fn forbidden(material: &Material, no: &Refused<Step>) -> Lost {
    let broken = &no.broken()[0];
    let with = no.get().agent.as_ref();
    lost(
        material,
        Rule::Application,
        broken.layer.as_deref().map(str::to_owned),
        format!(
            "{}{}: {}",
            with.map_or(String::new(), |a| format!("{}: ", a.head.names.name)),
            broken.rule.says,
            broken.rule.why
        ),
        broken.rule.basis.to_basis(),
    )
}

/// What a layer says against a liquid or warmth as the material goes on; none where it is recorded
/// safe.
fn bears(
    layer: &SceneLayer,
    agent: Option<&str>,
    class: Class,
    material: &Material,
) -> Option<(Verdict, Reason)> {
    if let Some(id) = agent
        && let Some(trial) = layer.trials_of(id).next()
    {
        return (trial.verdict != Verdict::Safe).then(|| {
            let text = format!("{}: tried on this object: {}", layer.called, trial.text);
            (
                trial.verdict,
                Reason {
                    text,
                    basis: Basis::Practice,
                },
            )
        });
    }
    let mut out: Option<(Verdict, Reason)> = None;
    for condition in layer.states() {
        let found = match layer.layer.verdict(*condition, agent, class) {
            Some((Verdict::Safe, _)) => None,
            None => Some((
                Verdict::Test,
                Reason {
                    text: format!(
                        "{}: what {} does to it is not recorded: try it",
                        layer.called,
                        class.plain()
                    ),
                    basis: Basis::Practice,
                },
            )),
            Some((verdict, fact)) => {
                // A loose layer's record speaks against wiping it; what secures it must go in.
                let loose = condition.needs_support()
                    && verdict == Verdict::Harms
                    && layer.layer.speaks_of(*condition, agent, class);
                let sound = layer.layer.verdict(Condition::Sound, agent, class);
                let verdict = if loose && !matches!(sound, Some((Verdict::Harms, _))) {
                    Verdict::Test
                } else {
                    verdict
                };
                let why = fact.why.clone().or_else(|| fact.note.clone());
                let text = format!(
                    "{}: {} with {}: {}",
                    layer.called,
                    if verdict == Verdict::Harms {
                        "harmed"
                    } else {
                        "try it"
                    },
                    class.plain(),
                    why.unwrap_or_else(|| format!("as {} goes on", material.head.names.name)),
                );
                Some((
                    verdict,
                    Reason {
                        text,
                        basis: fact.basis.clone(),
                    },
                ))
            }
        };
        if let Some((verdict, reason)) = found
            && out.as_ref().is_none_or(|(worst, _)| verdict > *worst)
        {
            out = Some((verdict, reason));
        }
    }
    out
}
