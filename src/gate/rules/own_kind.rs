//! What goes on a layer of its own kind: glue under a flake that glue laid, glue putty beside gilding,
//! plaster beside plaster. The rules on water are made for wiping a face; here the water comes in the
//! binder that the layer is made of, and that is how the trade secures it and fills it. So for that one
//! layer the gate puts one condition in the place of what its rules and the record say of water. A
//! trial on this object that did harm still bars, and every other layer is asked as always.

use super::super::rule::{Rule, RuleBasis, Sort, When};
use crate::model::scene::{SceneLayer, Step};
use crate::model::{Action, Class, Facts, Head, Method, Names, Site, Trait, Verdict, Wetting};

/// How something is put on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PutOn {
    /// As anything else.
    Plainly,
    /// Glue, fed beneath what flakes.
    GlueBeneath,
    /// A putty of glue, set beside what glue binds.
    GlueBeside,
    /// Glue on what glue binds, where there is no leaf.
    GlueOnGlue,
    /// Wet plaster beside set plaster.
    PlasterBeside,
}

impl PutOn {
    /// Every way.
    pub const ALL: [Self; 5] = [
        Self::Plainly,
        Self::GlueBeneath,
        Self::GlueBeside,
        Self::GlueOnGlue,
        Self::PlasterBeside,
    ];

    /// Id of the method. No record of the corpus may bring one past the gate: a method on record acts,
    /// and putting on does not.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Plainly => "put-on",
            Self::GlueBeneath => "glue-beneath",
            Self::GlueBeside => "glue-beside",
            Self::GlueOnGlue => "glue-on-glue",
            Self::PlasterBeside => "plaster-beside",
        }
    }

    /// The method: nothing of it takes anything off.
    #[must_use]
    pub fn method(self, what: &str, classes: Vec<Class>, wets: Wetting) -> Method {
        Method {
            head: Head {
                id: self.id().to_owned(),
                names: Names {
                    name: format!("put on {what}"),
                    ..Names::default()
                },
                ..Head::default()
            },
            action: Action::None,
            delivers: Vec::new(),
            carrier: None,
            classes,
            reach: Site::ALL.to_vec(),
            reach_partly: Vec::new(),
            wets,
            mildness: 1,
            then: None,
            responses: Vec::new(),
            avoid: Facts::default(),
        }
    }
}

/// Glue on what glue binds.
pub const OWN_GLUE: Rule = Rule {
    id: "own-glue",
    sort: Sort::OnlyIf,
    when: When::ANY,
    says: "only the least glue, thin and warm, fed in beneath or set beside after a trial at an edge, \
           with no drop left on the face",
    why: "what glue binds swells in the water of the glue, and holds again as it dries",
    basis: RuleBasis::Practice,
};

/// Plaster on plaster.
pub const OWN_PLASTER: Rule = Rule {
    id: "own-plaster",
    sort: Sort::OnlyIf,
    when: When::ANY,
    says: "only against edges that a soluble barrier seals, mixed stiff, after a trial beside the loss",
    why: "set plaster draws water, and any stain with it, out of the wet one",
    basis: RuleBasis::Practice,
};

/// The condition that stands in the place of what is said of water, where a step brings a layer its
/// own kind in water.
#[must_use]
pub fn own_kind(step: &Step, layer: &SceneLayer) -> Option<&'static Rule> {
    let water = |class: Class| matches!(class, Class::ColdWater | Class::WarmWater);
    if !may_be_own_kind(step)
        || step.agent.is_none()
        || !step.agents().all(|a| water(a.class))
        || step.agents().any(|a| failed_here(layer, &a.head.id))
    {
        return None;
    }
    let way = PutOn::ALL
        .into_iter()
        .find(|way| way.id() == step.method.head.id)?;
    match way {
        PutOn::Plainly => None,
        PutOn::GlueBeneath | PutOn::GlueBeside => layer.has(Trait::GlueBound).then_some(&OWN_GLUE),
        PutOn::GlueOnGlue => {
            (layer.has(Trait::GlueBound) && !layer.has(Trait::ThinMetal)).then_some(&OWN_GLUE)
        }
        PutOn::PlasterBeside => (layer.has(Trait::Gypsum)
            && !layer.has(Trait::GlueBound)
            && layer.layer.group != "stone")
            .then_some(&OWN_PLASTER),
    }
}

/// Whether a step puts something on and takes nothing off: of no other is [`own_kind`] asked.
pub(in crate::gate) fn may_be_own_kind(step: &Step) -> bool {
    step.method.action == Action::None
}

fn failed_here(layer: &SceneLayer, agent: &str) -> bool {
    layer
        .trials_of(agent)
        .any(|trial| trial.verdict == Verdict::Harms)
}
