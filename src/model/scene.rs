//! The scene at the bench: the stack of layers, where the unknown sits, what was seen, and a step
//! that somebody proposes to take.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::naming::fold;
use super::record::{Age, Agent, Carrier, Layer, Method};
use super::words::{Class, Condition, Hazard, Response, Site, Specimen, Trait, Verdict};

/// Weight of a kilogram, newtons: standard gravity.
pub const GRAVITY: f64 = 9.806_65;

/// Whether the material to be taken off belongs to the object.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Origin {
    /// Not said: leave it or test first.
    #[default]
    Unknown,
    /// Put on later.
    Later,
    /// An earlier restoration that is itself worth keeping.
    Historic,
    /// Part of the object as made.
    Original,
}

/// What an answer says of a layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Described {
    /// Id of its record.
    pub id: String,
    /// As the user called it.
    pub called: String,
    /// Conditions that were stated.
    pub conditions: Vec<String>,
}

/// A liquid that was tried on a layer of this object.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayerTrial {
    /// Id of the liquid.
    pub agent: String,
    /// How the layer bore it.
    pub verdict: Verdict,
    /// As typed.
    pub text: String,
}

/// A liquid that was tried on what is to come off, on this object.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TargetTrial {
    /// Id of the liquid.
    pub agent: String,
    /// What it did.
    pub response: Response,
}

/// A layer as it lies on this object.
#[derive(Clone, Debug, PartialEq)]
pub struct SceneLayer {
    /// The record.
    pub layer: Arc<Layer>,
    /// What the user called it.
    pub called: String,
    /// Conditions that were stated; empty when none was.
    pub conditions: Vec<Condition>,
    /// What was tried on it, in the order of the telling.
    pub tried: Vec<LayerTrial>,
}

impl SceneLayer {
    /// What an answer says of it. Where a note made it another record, `oil paint (young)`, the name of
    /// that record stands beside what it was called.
    #[must_use]
    pub fn described(&self) -> Described {
        let conditions = self
            .conditions
            .iter()
            .map(|c| c.word().to_owned())
            .collect();
        let names = &self.layer.head.names;
        let typed = fold(&self.called);
        let called = if fold(&self.layer.head.id) == typed || names.all().any(|n| fold(n) == typed)
        {
            self.called.clone()
        } else {
            format!("{}, read as {}", self.called, names.name)
        };
        Described {
            id: self.layer.head.id.clone(),
            called,
            conditions,
        }
    }

    /// Whether the layer carries a trait.
    #[must_use]
    pub fn has(&self, it: Trait) -> bool {
        self.layer.has(it)
    }

    /// The conditions of which its record is asked: those that were stated, or that it is sound.
    #[must_use]
    pub fn states(&self) -> &[Condition] {
        if self.conditions.is_empty() {
            &[Condition::Sound]
        } else {
            &self.conditions
        }
    }

    /// What one liquid was seen to do to it, in the order of the telling.
    pub fn trials_of(&self, agent: &str) -> impl Iterator<Item = &LayerTrial> {
        self.tried.iter().filter(move |trial| trial.agent == agent)
    }

    /// Whether a condition was stated.
    #[must_use]
    pub fn is(&self, it: Condition) -> bool {
        self.conditions.contains(&it)
    }
}

/// What is known of the thing to be taken off.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Material number and probability, most probable first; they need not sum to 1: the rest is
    /// "none of these".
    pub candidates: Vec<(usize, f64)>,
    /// Where it sits.
    pub site: Site,
    /// Depth in millimetres, if stated; of what lies on the face its thickness.
    pub depth_mm: Option<f64>,
    /// Whether it is original.
    pub origin: Origin,
    /// Probability that it answers as aged.
    pub aged: f64,
    /// Whether it was called thick.
    pub thick: bool,
    /// What was tried on it, in the order of the telling.
    pub tried: Vec<TargetTrial>,
    /// Hazards that no clean negative test has excluded, with the probability of each.
    pub hazards: Vec<(Hazard, f64)>,
}

impl Target {
    /// Nothing that is known of, a later addition and fresh: what the gate is asked with where
    /// something is to be put on.
    #[must_use]
    pub const fn nothing(site: Site) -> Self {
        Self {
            candidates: Vec::new(),
            site,
            depth_mm: None,
            origin: Origin::Later,
            aged: 0.0,
            thick: false,
            tried: Vec::new(),
            hazards: Vec::new(),
        }
    }
}

/// A material that the target may be, or may contain.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// Id of the material.
    pub id: String,
    /// Id of its family.
    pub family: String,
    /// 0 to 1.
    pub probability: f64,
}

/// Everything the gate looks at besides the step.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Layers that must survive, from the top down.
    pub layers: Vec<SceneLayer>,
    /// What is to come off.
    pub target: Target,
    /// The candidates that matter, as the rules name them.
    pub materials: Vec<Suspect>,
    /// Agents that the user permits by name though the law restricts them.
    pub permitted: Vec<String>,
}

impl Scene {
    /// Probability that the target is, or contains, a material of this family or id.
    #[must_use]
    pub fn probability(&self, family_or_id: &str) -> f64 {
        self.materials
            .iter()
            .filter(|it| it.id == family_or_id || it.family == family_or_id)
            .map(|it| it.probability)
            .sum()
    }

    /// Probability of a hazard that has not been excluded.
    #[must_use]
    pub fn hazard(&self, hazard: Hazard) -> f64 {
        self.target
            .hazards
            .iter()
            .find(|(h, _)| *h == hazard)
            .map_or(0.0, |(_, p)| *p)
    }
}

/// What the user will not have used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Barred {
    /// Agent ids, also as part of a mixture.
    pub agents: Vec<String>,
    /// Agent classes.
    pub classes: Vec<Class>,
    /// Method ids.
    pub methods: Vec<String>,
}

impl Barred {
    /// Whether anything is barred.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.agents.is_empty() && self.classes.is_empty() && self.methods.is_empty()
    }

    /// Whether an agent is barred by name or by class; its parts are not looked at.
    #[must_use]
    pub fn bars(&self, agent: &Agent) -> bool {
        self.agents.contains(&agent.head.id) || self.classes.contains(&agent.class)
    }

    /// Whether an agent or a part of it is barred. `find` looks a part up by its id.
    #[must_use]
    pub fn bars_any_of<'a>(
        &self,
        agent: &Agent,
        find: impl Fn(&str) -> Option<&'a Arc<Agent>>,
    ) -> bool {
        let bars_part =
            |id: &String| self.agents.contains(id) || find(id).is_some_and(|part| self.bars(part));
        self.bars(agent) || agent.parts.iter().any(|(id, _)| bars_part(id))
    }

    /// Whether a method is barred, by name or by what it brings of itself.
    #[must_use]
    pub fn bars_method(&self, method: &Method) -> bool {
        self.methods.contains(&method.head.id)
            || method.classes.iter().any(|c| self.classes.contains(c))
    }
}

/// One step that somebody proposes: a method, with the agent that it delivers.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// How.
    pub method: Arc<Method>,
    /// With what; none for dry methods.
    pub agent: Option<Arc<Agent>>,
    /// The parts of a mixture, each an agent of its own.
    pub parts: Vec<Arc<Agent>>,
    /// In what.
    pub carrier: Option<Arc<Carrier>>,
}

impl Step {
    /// Hazards to the person who does it, of the liquids and of the method itself, each once. What a method
    /// warns of for the sake of solvents does not hold where it brings water.
    #[must_use]
    pub fn hazards(&self) -> Vec<Hazard> {
        const OF_SOLVENTS: [Hazard; 2] = [Hazard::Flammable, Hazard::Narcotic];
        let brings_solvent = self
            .agents()
            .any(|a| a.class.is_solvent() || OF_SOLVENTS.iter().any(|h| a.hazards.contains(h)));
        let is_watery = self.agent.is_some() && !brings_solvent;
        let of_method = self.method.head.facts.words("hazards");
        let mut out: Vec<Hazard> = self
            .agents()
            .flat_map(|a| a.hazards.iter().copied())
            .chain(of_method.into_iter().filter_map(Hazard::parse))
            .filter(|hazard| !(is_watery && OF_SOLVENTS.contains(hazard)))
            .collect();
        out.sort_unstable();
        out.dedup();
        out
    }

    /// Classes of harm that the step brings: those of the agent, of each of its parts, and of the
    /// method itself. Each once, in the order of the list.
    #[must_use]
    pub fn classes(&self) -> Vec<Class> {
        let mut out: Vec<Class> = self.method.classes.clone();
        out.extend(self.agent.iter().map(|a| a.class));
        out.extend(self.parts.iter().map(|a| a.class));
        out.sort_unstable();
        out.dedup();
        out
    }

    /// The agent and its parts.
    pub fn agents(&self) -> impl Iterator<Item = &Agent> {
        self.agent.iter().chain(&self.parts).map(AsRef::as_ref)
    }

    /// Stable id: method, and agent where there is one.
    #[must_use]
    pub fn id(&self) -> String {
        self.agent.as_ref().map_or_else(
            || self.method.head.id.clone(),
            |agent| format!("{}/{}", self.method.head.id, agent.head.id),
        )
    }
}

/// What was seen, resolved against the corpus.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// As typed.
    pub text: String,
    /// Feature it speaks of, by position in the table; none when the corpus has no such feature.
    pub feature: Option<usize>,
    /// Weight of each outcome that the words allow, 0-1, by outcome position.
    pub outcomes: Vec<f64>,
    /// What was tested.
    pub specimen: Specimen,
    /// Name of the zone or specimen, so that observations on one crumb share its quality.
    pub zone: String,
    /// Whether the specimen was said to be clean.
    pub clean: bool,
    /// Whether a blank answered as well, so that the result says nothing.
    pub blank: bool,
    /// How sure the observer is, 0-1 (`perhaps` less than 1).
    pub belief: f64,
    /// Contact time in minutes, if stated.
    pub minutes: Option<f64>,
    /// Age of the part that was tested, where it was said apart from the whole: `(aged)`, `(young)`.
    pub age: Option<Age>,
}

/// Probabilities over the materials of the table plus "none of these".
#[derive(Clone, Debug, PartialEq)]
pub struct Posterior {
    /// One probability a material, in table order.
    pub materials: Vec<f64>,
    /// Probability that it is none of them.
    pub none: f64,
    /// Probability that it answers as aged.
    pub aged: f64,
    /// Hazards not excluded by a clean negative test.
    pub hazards: Vec<(Hazard, f64)>,
}

/// Thickness in millimetres of a mass on the face from which a tool works within it and can be stopped
/// short of what lies beneath. Judgment: a skin of one to two millimetres is left for the hand.
const BULK_MM: f64 = 10.0;

/// Whether a tool works inside a joint, a recess or a thick mass on a solid body, where it meets what is
/// to go and not the face: what harms a polish or a finish is then a matter of stopping short of it.
/// Not so where the body itself is thin, glassy or layered.
#[must_use]
pub fn tool_within(target: &Target, class: Class, layer: &Layer) -> bool {
    const BODIES: [&str; 5] = ["stone", "ceramic", "metal", "wood", "earth"];
    // What a drill or a jet shatters and a blade, kept off the edge of a joint, does not.
    const GLASSY: [Trait; 2] = [Trait::Glaze, Trait::Glass];
    const DELICATE: [Trait; 7] = [
        Trait::ThinMetal,
        Trait::Patina,
        Trait::Unfired,
        Trait::GlueBound,
        Trait::GumBound,
        Trait::Pearl,
        Trait::Dyed,
    ];
    let in_joint = matches!(target.site, Site::OpenJoint | Site::DeepJoint);
    let in_bulk = target.site == Site::Film && target.depth_mm.is_some_and(|mm| mm >= BULK_MM);
    (in_joint || in_bulk)
        && matches!(class, Class::HandTool | Class::Abrasion)
        && BODIES.contains(&layer.group.as_str())
        && !DELICATE.iter().any(|t| layer.has(*t))
        && ((in_joint && class == Class::HandTool) || !GLASSY.iter().any(|t| layer.has(*t)))
}

/// Probability that a material answers as of an age, where `aged` is that of its answering as aged.
#[must_use]
pub fn age_weight(age: Age, aged: f64) -> f64 {
    match age {
        Age::Fresh => 1.0 - aged,
        Age::Aged => aged,
    }
}
