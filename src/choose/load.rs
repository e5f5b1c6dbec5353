//! The load on a join: stress from weight, lever arm and area; the bedding of a rod.

use super::{Ask, Taken, facts};
use crate::answer::{JoinLoad, Reason};
use crate::model::scene::SceneLayer;
use crate::model::{Basis, Custom, Material};

/// Strength over stress that is wanted for a network or a glue under a short load (common practice).
pub const SAFETY: f64 = 3.0;
/// The same for a thermoplastic under a standing load, which creeps (common practice).
pub const SAFETY_STANDING: f64 = 10.0;

/// Mean stress over an area, MPa.
#[must_use]
pub fn mean_stress(newtons: f64, area_m2: f64) -> f64 {
    newtons / area_m2 / 1e6
}

/// Stress at the edge of a rectangular break from which a part juts out: 6 F L / (b h²), MPa. `b`
/// width and `h` depth of the break, `arm` from the break to the middle of the weight, metres.
/// Source: beam theory, any handbook of statics.
#[must_use]
pub fn edge_stress(newtons: f64, arm: f64, b: f64, h: f64) -> f64 {
    6.0 * newtons * arm / (b * h * h) / 1e6
}

/// The highest stress of a load, MPa: with a lever arm that at the edge of a square break of the same
/// area, for nothing is said of its shape.
#[must_use]
pub fn highest_stress(newtons: f64, area_m2: f64, arm_m: Option<f64>) -> f64 {
    let mean = mean_stress(newtons, area_m2);
    arm_m.map_or(mean, |arm| {
        let side = area_m2.sqrt();
        edge_stress(newtons, arm, side, side).max(mean)
    })
}

/// Length of bedding, metres, at which a rod just bears a pull along it: F / (π d τ). `d` diameter in
/// metres, `tau` bond strength in MPa, taken as even over the length (any handbook on anchors).
#[must_use]
pub fn bedding(newtons: f64, d: f64, tau: f64) -> f64 {
    newtons / (std::f64::consts::PI * d * tau * 1e6)
}

/// Safety factor that is wanted of an adhesive.
pub(super) fn wanted(material: &Material) -> f64 {
    let network = facts::sets(material).contains(&"reaction");
    let glue = matches!(
        material.family.as_str(),
        "collagen-glue" | "protein" | "polysaccharide"
    );
    if network || glue {
        SAFETY
    } else {
        SAFETY_STANDING
    }
}

/// The strength of the weakest body that the join is made to, MPa, with its name.
pub(super) fn body(ask: &Ask) -> Option<(f64, f64, String, &crate::model::Fact)> {
    ask.targets()
        .into_iter()
        .filter_map(|l: &SceneLayer| {
            facts::strength(&l.layer.head.facts)
                .map(|(low, high, fact)| (low, high, l.called.clone(), fact))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// What is said of a rod, where a join carries a load or a rod was refused.
pub(super) fn pin(material: &Material, taken: &Taken, ask: &Ask) -> Option<Reason> {
    if taken.custom == Some(Custom::Refused) || taken.custom.is_none() {
        return None;
    }
    let said = taken.said.as_ref()?;
    let why = said.why.clone().unwrap_or_default();
    let mut text = format!("{}: {why}", material.head.names.name);
    if let Some(JoinLoad { newtons, .. }) = ask.load {
        // A rod of 6 mm, bedded in something of 2 MPa: an example, to be worked for the rod at hand.
        let (d, tau) = (0.006, 2.0);
        let length = bedding(SAFETY * newtons, d, tau);
        text.push_str(&format!(
            "; rule of thumb: a 6 mm rod bedded at 2 MPa wants {:.0} mm a side for {newtons:.0} N at a \
             safety of {SAFETY:.0}, and never less than five times its thickness; drilling cannot be \
             undone, so it comes last",
            (1000.0 * length).max(30.0)
        ));
    }
    Some(Reason {
        text,
        basis: Basis::Practice,
    })
}
