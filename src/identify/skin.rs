//! A skin over the unknown: dirt, wax or oil that lies over a coating and answers for it where the
//! object is looked at or touched as it stands, and not where a crumb, a fresh cut or a section is.
//!
//! Two layers are hypotheses beside one: skin *s* over material *m*, for every *m* of the corpus. A
//! skin is no specimen's fault but lies over all of the surface, so it is one latent word for the
//! whole question, summed out where single materials are told:
//!
//! ```text
//! P(O | m) = Σ_s P(s) P(O | m, s)
//! L_i(o | m, s) = t L_i(o | m) + (1 - t) L_i(o | s)     for what was seen of the surface
//! L_i(o | m, s) = L_i(o | m)                            for crumb, cut, section and laboratory
//! ```
//!
//! `L(o | s)` is what the family of the skin shows; `t` is how far what lies beneath shows through.
//! Without something seen of both, the surface and what is not the surface, no skin can be told from
//! another material, and none is reckoned with. The shares are judgment.

use crate::model::scene::Observation;
use crate::model::{Role, Specimen, Table};

/// A kind of skin.
pub(super) struct Skin {
    /// What it is called.
    pub(super) name: &'static str,
    /// The family whose records say how it answers.
    family: &'static str,
    /// How often it lies over an old coating so thick that it answers for it.
    pub(super) prior: f64,
    /// How far the look and the glow of what is beneath come through.
    light: f64,
}

/// Dirt is met most and hides most; a polish of wax is met less, an oiling least, and both are
/// mostly clear.
pub(super) const SKINS: [Skin; 3] = [
    Skin {
        name: "dirt",
        family: "dirt",
        prior: 0.08,
        light: 0.3,
    },
    Skin {
        name: "wax",
        family: "wax",
        prior: 0.06,
        light: 0.7,
    },
    Skin {
        name: "oil",
        family: "oil",
        prior: 0.03,
        light: 0.6,
    },
];

/// How far hardness, wetting and what else is felt of the surface comes from beneath.
const TOUCH: f64 = 0.1;
/// Chance of a bad surface where skins are reckoned with: most of what makes one bad is a skin.
pub(super) const BAD_SURFACE: f64 = 0.05;

/// A skin that is reckoned with: its place in [`SKINS`] and its family in the table.
pub(super) struct Reckoned {
    pub(super) which: usize,
    pub(super) family: usize,
}

impl Reckoned {
    /// How far what lies beneath shows through, for a test of this cluster.
    pub(super) fn through(&self, cluster: &str) -> f64 {
        if cluster == "light" {
            SKINS[self.which].light
        } else {
            TOUCH
        }
    }
}

/// Whether a skin would answer here.
pub(super) fn answers(observation: &Observation, table: &Table) -> bool {
    observation.specimen == Specimen::Surface
        && observation
            .feature
            .is_some_and(|f| !table.features[f].laboratory)
}

/// The skins that what was seen asks for: none, unless something was seen of the surface and
/// something of what is not. Who asks for a deposit asks for the skin itself.
pub(super) fn asked(table: &Table, roles: &[Role], observations: &[Observation]) -> Vec<Reckoned> {
    let says = |o: &&Observation| o.feature.is_some() && !o.blank;
    let surface = observations.iter().filter(says).any(|o| answers(o, table));
    let beneath = observations.iter().filter(says).any(|o| {
        matches!(
            o.specimen,
            Specimen::Crumb | Specimen::FreshCut | Specimen::Section
        )
    });
    if !surface || !beneath || (!roles.is_empty() && roles.iter().all(|r| *r == Role::Deposit)) {
        return Vec::new();
    }
    SKINS
        .iter()
        .enumerate()
        .filter_map(|(which, skin)| {
            let family = table
                .families
                .iter()
                .position(|(id, _)| id == skin.family)?;
            Some(Reckoned { which, family })
        })
        .collect()
}
