//! Whether it is better left where it is.

use super::{Passing, Plan, top};
use crate::answer::{Reason, percent};
use crate::model::scene::{Origin, Scene};
use crate::model::{Basis, Material, Order, Site, Trait};

/// Probability from which a material's own route "leave it" speaks for the whole. Judgment: more likely
/// than not.
const PROBABLY: f64 = 0.5;
/// Share of what sits there that the best step must take, for a removal to be worth its wear. Judgment.
const WORTH_IT: f64 = 0.25;

/// Why it is better left where it is, if so. `thinned` says whether a hand tool may be laid to it.
pub(super) fn leave(
    materials: &[(Material, f64)],
    live: &[Passing<'_>],
    plan: &Plan,
    thinned: bool,
) -> Option<Reason> {
    let scene = &plan.scene;
    belongs(plan)
        .or_else(|| may_be_the_gold(scene))
        .or_else(|| route_says_so(materials, scene.target.site))
        .or_else(|| nothing_takes_it(materials, live, plan, thinned))
        .or_else(|| sits_in_pores(scene.target.site))
}

/// It is the object's own, or has a value of its own.
fn belongs(plan: &Plan) -> Option<Reason> {
    let called = &plan.called;
    match plan.scene.target.origin {
        Origin::Original => practice(format!(
            "{called} was called original: it belongs to the object"
        )),
        Origin::Historic => practice(format!(
            "{called} is itself historic: whether it goes is a question of value, for owner and \
             curator, before it is one of solvents"
        )),
        Origin::Later | Origin::Unknown => None,
    }
}

/// On silver leaf, what looks like an old varnish may be the lacquer that makes it gold.
fn may_be_the_gold(scene: &Scene) -> Option<Reason> {
    let on_silver = top(scene).is_some_and(|l| l.has(Trait::Silver) && l.has(Trait::ThinMetal));
    let asked = scene.target.origin == Origin::Unknown && scene.target.site == Site::Film;
    if !(asked && on_silver) {
        return None;
    }
    practice(
        "a tinted resin on silver leaf is the gold: leave it until a section or an edge of loss shows \
         that it is later"
            .to_owned(),
    )
}

/// The record of what it probably is says to leave it in such a place.
fn route_says_so(materials: &[(Material, f64)], site: Site) -> Option<Reason> {
    let probable = materials.iter().filter(|(_, p)| *p >= PROBABLY);
    probable.into_iter().find_map(|(material, _)| {
        let route = material.removal.iter().find(|r| {
            r.method.as_deref() == Some("leave")
                && (r.on.is_empty() || r.on.iter().any(|w| w == site.word()))
        })?;
        (route.order != Order::Fails).then(|| Reason {
            text: route.note.clone().unwrap_or_else(|| {
                format!("{} is better left than taken off", material.head.names.name)
            }),
            basis: route.basis.clone(),
        })
    })
}

/// No live step takes enough of it.
fn nothing_takes_it(
    materials: &[(Material, f64)],
    live: &[Passing<'_>],
    plan: &Plan,
    thinned: bool,
) -> Option<Reason> {
    if materials.is_empty() {
        return practice(format!(
            "nothing in the corpus answers to {}: identify it first, and leave it meanwhile",
            plan.called
        ));
    }
    let best = live
        .iter()
        .map(|(_, w)| w.effect.covers * w.reach)
        .fold(0.0, f64::max);
    if best >= WORTH_IT {
        return None;
    }
    let what = if best > 0.0 {
        format!(
            "what these layers bear takes {} of it at most",
            percent(best)
        )
    } else {
        "nothing on record takes it off these layers without harm".to_owned()
    };
    let then = if thinned {
        ": leave it, or thin it by hand under magnification"
    } else {
        ", and no tool may touch them: leave it"
    };
    practice(format!("{what}{then}"))
}

fn sits_in_pores(site: Site) -> Option<Reason> {
    if site != Site::Pores {
        return None;
    }
    practice(
        "what sits in pores is at best partly drawn out: reduce it at the surface, and leave the rest \
         where it holds the body together"
            .to_owned(),
    )
}

fn practice(text: String) -> Option<Reason> {
    let basis = Basis::Practice;
    Some(Reason { text, basis })
}
