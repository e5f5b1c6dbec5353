//! Where it sits and how thick it is: what a method reaches there, and what that asks of the hand.

use crate::model::scene::{Step, Target};
use crate::model::{Action, Method, Site, Wetting};

use super::rung::dwell;

/// What a method is worth in a place that it reaches only partly or slowly. Judgment.
const PARTLY: f64 = 0.6;
/// What a carrier that holds its liquid at the surface is worth against what sits in pores.
/// Judgment: it is made not to go there.
const HELD_BACK: f64 = 0.5;
/// What a contact of seconds is worth on a thick coat. Judgment: a thick waxy coat takes longer and
/// more passes than a thin varnish (common practice).
const BRIEF_ON_THICK: f64 = 0.7;
/// A contact that is over within this time, minutes, is brief.
const BRIEF: f64 = 1.0;
/// Depth in millimetres to which the recorded contact times hold. Judgment.
pub(super) const SHALLOW: f64 = 10.0;
/// Thickness of a film in millimetres from which it is a thick one. Judgment: a brushed varnish
/// measures some hundredths.
const THICK: f64 = 0.5;

/// How far a step gets where the target sits, 0-1.
pub(super) fn reach(step: &Step, target: &Target) -> f64 {
    let method = &step.method;
    let place = if method.reach.contains(&target.site) {
        1.0
    } else if method.reach_partly.contains(&target.site) {
        PARTLY
    } else {
        return 0.0;
    };
    // A method whose record counts pores among what it reaches was judged with its gel.
    let held = match (target.site, &step.carrier) {
        (Site::Pores, Some(carrier)) if carrier.limits_penetration && place < 1.0 => HELD_BACK,
        _ => 1.0,
    };
    let deep = match depth(target) {
        Some(mm) if seeps(method) => (SHALLOW / mm).sqrt(),
        _ => 1.0,
    };
    let brief = if is_thick(target) && is_brief(method) {
        BRIEF_ON_THICK
    } else {
        1.0
    };
    place * held * deep * brief
}

/// Depth beyond which the recorded contact does not hold, where it was stated.
fn depth(target: &Target) -> Option<f64> {
    target
        .depth_mm
        .filter(|mm| target.site != Site::Film && *mm > SHALLOW)
}

/// Whether it was called a deep joint, or measured so.
pub(super) fn is_deep(target: &Target) -> bool {
    target.site == Site::DeepJoint || depth(target).is_some()
}

/// Whether a coat was called thick, or measured so.
pub(super) fn is_thick(target: &Target) -> bool {
    target.thick || (target.site == Site::Film && target.depth_mm.is_some_and(|mm| mm >= THICK))
}

/// Whether what a method brings goes in by soaking: a liquid, a vapour, or warmth. Warmth that is sent
/// down a pin goes with the metal; a method for one kind of thing names no responses.
fn seeps(method: &Method) -> bool {
    match method.action {
        Action::Solvent | Action::Aqueous | Action::Vapour => true,
        Action::Heat => !method.responses.is_empty(),
        _ => false,
    }
}

/// Whether a method touches and leaves: a swab, not a gel or a pack.
fn is_brief(method: &Method) -> bool {
    matches!(method.action, Action::Solvent | Action::Aqueous)
        && method.wets == Wetting::Little
        && dwell(&method.head.facts)
            .0
            .is_some_and(|(_, most)| most <= BRIEF)
}

/// What depth and thickness ask of the hand, in words.
pub(super) fn asks(step: &Step, target: &Target) -> Vec<String> {
    let mut out = Vec::new();
    let method = &step.method;
    if let Some(mm) = depth(target) {
        if seeps(method) {
            // Depth of a front grows with the root of the time (diffusion, and Washburn 1921 for
            // liquid in pores; from memory): no contact time is computed from it.
            out.push(format!(
                "{mm:.0} mm deep: four times the time reaches only twice as deep; soften, clear what \
                 is soft, and soak again"
            ));
        } else {
            out.push(format!(
                "{mm:.0} mm deep: measure the depth between steps, and stop 1 to 2 mm short of the wall"
            ));
        }
    }
    if is_thick(target) {
        out.push(
            "a thick coat: longer, and more passes than for a thin varnish; take it down evenly, a \
             layer at a time"
                .to_owned(),
        );
    }
    out
}

/// What is missing that only a look or a probe can tell.
pub(super) fn gap(target: &Target) -> Option<String> {
    (target.site == Site::DeepJoint && target.depth_mm.is_none()).then(|| {
        "how deep the joint goes was not stated: probe it, and say for example `(deep joint 40 mm)`"
            .to_owned()
    })
}
