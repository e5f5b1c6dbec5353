//! What comes before any step: is it original, does anything need support, what must be known.

use crate::answer::{Preliminary, Rung};
use crate::gate::Sort;
use crate::model::scene::{Origin, Scene};
use crate::model::{Basis, Condition, Hazard, Material};

/// The rule that says of lead what is said of every hazard that stands.
const LEAD_BY_HAND: &str = "lead-by-hand";

/// Steps that come first, in their order.
pub(super) fn before(scene: &Scene, rungs: &[Rung]) -> Vec<Preliminary> {
    let mut out = Vec::new();
    let mut add = |what: String, why: &str, basis: Basis| {
        if !out.iter().any(|p: &Preliminary| p.what == what) {
            out.push(Preliminary {
                what,
                why: why.to_owned(),
                basis,
            });
        }
    };
    match scene.target.origin {
        Origin::Unknown => add(
            "settle whether it is original, or itself historic: edge of loss, cross-section, dates"
                .to_owned(),
            "what is original is not taken off; until it is known, leave it or test only",
            Basis::Practice,
        ),
        Origin::Later => {}
        Origin::Original => add(
            "leave it: it was called original".to_owned(),
            "it belongs to the object",
            Basis::Practice,
        ),
        Origin::Historic => add(
            "ask owner and curator: it was called historic".to_owned(),
            "its value is weighed before its chemistry",
            Basis::Practice,
        ),
    }
    for layer in &scene.layers {
        for condition in &layer.conditions {
            let (what, why) = match condition {
                Condition::Flaking | Condition::Powdering => (
                    format!(
                        "secure the {condition} {} first: consolidate, face or support it, with \
                         something that the planned agents do not dissolve",
                        layer.called
                    ),
                    "nothing may wet, touch or pull a layer that is coming away",
                ),
                Condition::Salty => (
                    format!(
                        "test the salts in {} and plan their extraction first",
                        layer.called
                    ),
                    "water moves salts, and they burst the surface as it dries",
                ),
                Condition::Damp => (
                    format!(
                        "let {} dry slowly, and find the source of damp, first",
                        layer.called
                    ),
                    "solvent and damp together blanch, swell and drive salts",
                ),
                Condition::Corroded => (
                    format!(
                        "have the active corrosion of {} assessed first",
                        layer.called
                    ),
                    "water, acid and chloride restart it",
                ),
                Condition::Weeping => (
                    format!(
                        "bring {} to a steady climate before anything wets it",
                        layer.called
                    ),
                    "attack of alkali glass quickens with water and with drying out",
                ),
                Condition::LightDamaged | Condition::Cracked => (
                    format!(
                        "map the cracks of {} under magnification first",
                        layer.called
                    ),
                    "liquids reach what lies beneath through cracks",
                ),
                Condition::Sound => continue,
            };
            add(what, why, Basis::Practice);
        }
    }
    for (hazard, probability) in &scene.target.hazards {
        let certain = *probability >= 0.9;
        let what = match hazard {
            Hazard::Nitrate if certain => {
                "it is, or holds, cellulose nitrate: no flame, hot tool or spark; waste kept wet and apart"
            }
            Hazard::Lead if certain => "it holds lead: gloves, no dry abrasion, bagged waste",
            Hazard::Nitrate if *probability >= 0.5 => {
                "take it for cellulose nitrate until a clean negative says otherwise: no flame, \
                 hot tool or spark; waste kept wet and apart"
            }
            Hazard::Nitrate => {
                "rule out cellulose nitrate by a spot test on a crumb: no flame, \
                                hot tool or spark until then"
            }
            Hazard::Lead => {
                "rule out lead by a spot test, or treat all chips as lead: no dry \
                             abrasion; damp, bagged, no food, hands washed"
            }
            Hazard::Arsenic => "rule out arsenic before dust is raised",
            Hazard::Mercury => "rule out mercury before heat or dust",
            Hazard::Asbestos => "rule out asbestos in the filler before anything is cut or sanded",
            Hazard::Mould => "look for mould: mask and extraction if it is there",
            _ => continue,
        };
        if *probability >= crate::gate::HAZARD_LEAST {
            add(
                what.to_owned(),
                if certain {
                    "on record for the material named"
                } else {
                    "not excluded by a clean negative test"
                },
                Basis::Practice,
            );
        }
    }
    for rung in rungs {
        for caveat in rung.step.caveats() {
            // The hazard itself was told above, with what is to be done.
            let told = caveat.rule.id == LEAD_BY_HAND
                && scene.hazard(Hazard::Lead) >= crate::gate::HAZARD_LEAST;
            if caveat.rule.sort == Sort::Before && !told {
                add(
                    caveat.rule.says.to_owned(),
                    caveat.rule.why,
                    caveat.rule.basis.to_basis(),
                );
            }
        }
    }
    out
}

/// What is not recorded, with the test on the object that would settle it.
pub(super) fn gaps(materials: &[(Material, f64)], scene: &Scene, rungs: &[Rung]) -> Vec<String> {
    let mut out = Vec::new();
    if materials.is_empty() {
        out.push(
            "no material is known for the target: a drop test of water, ethanol, acetone and white \
             spirit on a detached crumb would place it"
                .to_owned(),
        );
    }
    out.extend(super::site::gap(&scene.target));
    out.extend(contradictions(scene));
    for rung in rungs {
        let step = rung.step.get();
        let agent = step
            .agent
            .as_ref()
            .map_or(step.method.head.names.name.as_str(), |a| {
                a.head.names.name.as_str()
            });
        let wet = step.agent.is_some();
        for layer in &rung.harm {
            if layer.verdict.is_none() {
                let line = format!(
                    "{} under {agent}: not recorded; {}",
                    layer.layer,
                    if wet {
                        "swab it at a hidden edge and read it dry"
                    } else {
                        "try it at a hidden edge"
                    }
                );
                if !out.contains(&line) {
                    out.push(line);
                }
            }
        }
        if rung.effect.unknown > 0.3 {
            let line = format!(
                "{agent} on {:.0} % of what this may be: not recorded{}; {} settles it",
                100.0 * rung.effect.unknown,
                if rung.effect.computed > 0.05 {
                    " (computed from the fresh resin's sphere it may act: no ground to use it)"
                } else {
                    ""
                },
                if wet {
                    "a drop on a detached crumb"
                } else {
                    "a trial on a detached crumb"
                }
            );
            if !out.contains(&line) {
                out.push(line);
            }
        }
    }
    for layer in &scene.layers {
        if layer.layer.harm.is_empty() {
            out.push(format!(
                "{}: nothing is recorded of what harms it; test every agent on it",
                layer.called
            ));
        } else if layer.conditions.is_empty()
            && !layer
                .layer
                .harm
                .iter()
                .any(|(c, f)| *c == Condition::Sound && !f.0.is_empty())
        {
            out.push(format!("{}: its sound state is unrecorded", layer.called));
        }
    }
    out
}

/// Results on this object that contradict one another, with the trial that would settle each.
fn contradictions(scene: &Scene) -> Vec<String> {
    let mut out = Vec::new();
    let mut add = |line: String| {
        if !out.contains(&line) {
            out.push(line);
        }
    };
    let tried = &scene.target.tried;
    for (k, (agent, response)) in tried.iter().enumerate() {
        if let Some((_, other)) = tried[..k].iter().find(|(a, r)| a == agent && r != response) {
            add(format!(
                "given says of {agent} both \"{other}\" and \"{response}\": neither counts; repeat it \
                 on a fresh crumb, with a blank, zone by zone"
            ));
        }
    }
    for layer in &scene.layers {
        for (k, (agent, verdict, _)) in layer.tried.iter().enumerate() {
            let other = layer.tried[..k]
                .iter()
                .any(|(a, v, _)| a == agent && v != verdict);
            if other {
                add(format!(
                    "{}: results with {agent} contradict one another; the worse one counts, until it \
                     is tried again at another hidden edge",
                    layer.called
                ));
            }
        }
    }
    out
}
