//! Which layers a treatment meets, and which a whole film above keeps from it.

use super::rules;
use crate::model::scene::{Scene, SceneLayer, Step};
use crate::model::{Action, Condition, Method, Site, Trait};

/// How a layer meets the agent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exposure {
    /// The agent touches it.
    Exposed,
    /// A sound continuous film above keeps the agent off, as long as it is whole.
    Sheltered,
}

/// Which layers a surface treatment meets. In a joint or in pores every layer is met; at the
/// surface, everything down to and including the first sound film that seals.
#[must_use]
pub fn exposure(scene: &Scene) -> Vec<Exposure> {
    exposed(&scene.layers, scene.target.site)
}

pub(super) fn exposed(layers: &[SceneLayer], site: Site) -> Vec<Exposure> {
    let mut sealed = false;
    layers
        .iter()
        .map(|layer| {
            let now = if sealed {
                Exposure::Sheltered
            } else {
                Exposure::Exposed
            };
            let broken = layer.conditions.iter().any(|c| *c != Condition::Sound);
            if site == Site::Film && layer.has(Trait::Seals) && !broken {
                sealed = true;
            }
            now
        })
        .collect()
}

/// Which layers this step meets. A film keeps a liquid or a blade off what lies under it; warmth,
/// cold and light go through, and a bath or a vapour comes round by the edges and the back.
#[must_use]
pub fn exposure_to(step: &Step, scene: &Scene) -> Vec<Exposure> {
    exposure_by(&step.method, scene)
}

/// The same of any step of a method.
pub(crate) fn exposure_by(method: &Method, scene: &Scene) -> Vec<Exposure> {
    let goes_round = matches!(
        method.action,
        Action::Heat | Action::Cold | Action::Light | Action::Vapour
    ) || method.reach.contains(&Site::DeepJoint)
        || rules::BATHS.contains(&method.head.id.as_str());
    if goes_round {
        vec![Exposure::Exposed; scene.layers.len()]
    } else {
        exposure(scene)
    }
}
