//! How a material will come out of these layers now and after the years.
//!
//! The planner is asked twice: for the fresh material and for the aged one. What lies between, and
//! beyond the years over which its ageing is recorded, follows from that: a verdict never improves
//! with the years unless the record of the aged material says so.

use super::{Ask, USUAL_YEARS, facts};
use crate::answer::{Call, Outlook, Reversal, Rung};
use crate::model::scene::{Origin, Scene, SceneLayer, Target};
use crate::model::{
    Action, Age, Ageing, Basis, Hazard, Library, Material, Response, Site, Verdict,
};
use crate::remove::{Plan, rungs};

/// Years that every forecast shows.
const SHOWN: [u32; 4] = [0, 25, 50, 100];
/// Rungs that the planner is asked for: the sparing one may not be the first.
const RUNGS: usize = crate::remove::RUNGS;
/// Share of the material that a route must take for the material to count as taken off.
const ENOUGH: f64 = 0.6;

/// The years of a forecast: the usual, and those asked for.
pub(super) fn years(ask: &Ask) -> Vec<u32> {
    let mut out = SHOWN.to_vec();
    if let Some(years) = ask.years {
        out.push(years.round().clamp(0.0, 1000.0) as u32);
    }
    out.sort_unstable();
    out.dedup();
    out
}

/// The verdict at a time: that of the first year shown that is no earlier.
pub(super) fn at(forecast: &[Outlook], years: f64) -> Reversal {
    forecast
        .iter()
        .find(|o| f64::from(o.years) >= years.round())
        .or(forecast.last())
        .map_or(Reversal::Unknown, |o| o.verdict)
}

struct State {
    verdict: Reversal,
    route: Option<Rung>,
}

/// The forecast of one material.
pub(super) fn forecast(
    library: &dyn Library,
    ask: &Ask,
    index: usize,
    material: &Material,
    years: &[u32],
) -> Vec<Outlook> {
    forecast_at(library, ask, ask.site, index, material, years)
}

/// The same, where it sits elsewhere than the thing asked for: an isolating layer is a film on the
/// faces of a joint.
pub(super) fn forecast_at(
    library: &dyn Library,
    ask: &Ask,
    site: Site,
    index: usize,
    material: &Material,
    years: &[u32],
) -> Vec<Outlook> {
    let fresh = state(library, ask, site, index, material, Age::Fresh);
    let aged = state(library, ask, site, index, material, Age::Aged);
    let improves = has_own_aged(material) && aged.verdict < fresh.verdict;
    let known_aged = knows_aged(material);
    let horizon = horizon(material, ask.now);
    let drift = drift(material);
    let mut out: Vec<Outlook> = Vec::new();
    for &year in years {
        let (verdict, route, extrapolated, text) = if year == 0 {
            (
                fresh.verdict,
                &fresh.route,
                false,
                "as it went in".to_owned(),
            )
        } else if !known_aged {
            (
                Reversal::Unknown,
                &None,
                true,
                "no record of the aged material".to_owned(),
            )
        } else {
            let base = if improves {
                aged.verdict
            } else {
                aged.verdict.max(fresh.verdict)
            };
            let beyond = f64::from(year) > horizon;
            let passed = class_limit(material).is_some_and(|limit| f64::from(year) > limit);
            let worse = beyond && (passed || drift.is_some());
            let verdict = if worse { one_worse(base) } else { base };
            let mut text = aged_text(material);
            if beyond {
                text.push_str(&format!(
                    "; recorded over about {horizon:.0} years, beyond that extrapolated"
                ));
            }
            if worse {
                text.push_str(", one grade worse");
            }
            (verdict, &aged.route, beyond, text)
        };
        // The years take nothing back, unless a record of the aged material does.
        let verdict = match out.last() {
            Some(before)
                if before.verdict > verdict
                    && !(improves && before.years == 0)
                    && before.verdict != Reversal::Unknown =>
            {
                before.verdict
            }
            _ => verdict,
        };
        let route = route
            .clone()
            .filter(|_| !matches!(verdict, Reversal::Not | Reversal::Unknown));
        let mut bases: Vec<Basis> = Vec::new();
        if year > 0 {
            bases.extend(
                material
                    .head
                    .facts
                    .get("ageing")
                    .iter()
                    .map(|f| f.basis.clone()),
            );
        }
        let mut sources: Vec<String> = bases
            .iter()
            .filter_map(|b| b.source().map(str::to_owned))
            .collect();
        let mut words = Basis::words(bases.iter());
        let mut layers = Vec::new();
        if let Some(rung) = &route {
            layers = rung
                .harm
                .iter()
                .map(|h| (h.layer.clone(), h.verdict))
                .collect();
            sources.extend(rung.effect.sources.iter().cloned());
            if words.is_empty() {
                words.clone_from(&rung.effect.basis);
            }
        }
        sources.sort();
        sources.dedup();
        out.push(Outlook {
            years: year,
            verdict,
            extrapolated,
            state: text,
            route: route.map(Box::new),
            layers,
            basis: words,
            sources,
        });
    }
    out
}

fn state(
    library: &dyn Library,
    ask: &Ask,
    site: Site,
    index: usize,
    material: &Material,
    age: Age,
) -> State {
    let mut layers: Vec<SceneLayer> = ask.all_layers();
    for layer in &mut layers {
        // By then the loose layer holds: that is what the work was for.
        layer.conditions.retain(|c| !c.needs_support());
    }
    let hazards: Vec<(Hazard, f64)> = material
        .hazards()
        .into_iter()
        .filter(|h| Hazard::HIDDEN.contains(h))
        .map(|h| (h, 1.0))
        .collect();
    let plan = Plan {
        scene: Scene {
            layers,
            target: Target {
                candidates: vec![(index, 1.0)],
                site,
                depth_mm: ask.depth_mm,
                origin: Origin::Later,
                aged: if age == Age::Aged { 1.0 } else { 0.0 },
                thick: false,
                tried: Vec::new(),
                hazards,
            },
            materials: vec![(material.head.id.clone(), material.family.clone(), 1.0)],
            permitted: ask.permitted.clone(),
        },
        barred: ask.barred.clone(),
        limit: RUNGS,
        called: material.head.names.name.clone(),
    };
    let mut found = rungs(library, &plan);
    let best = found
        .iter()
        .enumerate()
        .map(|(k, rung)| (verdict(rung, site), k))
        .min();
    match best {
        Some((verdict, k)) => State {
            verdict,
            route: Some(found.swap_remove(k)),
        },
        None => State {
            verdict: Reversal::Not,
            route: None,
        },
    }
}

/// What a live step of the planner says of reversibility.
fn verdict(rung: &Rung, site: Site) -> Reversal {
    let method = &rung.step.get().method;
    let spares = rung
        .harm
        .iter()
        .all(|h| h.verdict == Some(Verdict::Safe) || h.sheltered);
    let harms = rung
        .harm
        .iter()
        .any(|h| h.verdict == Some(Verdict::Harms) && !h.sheltered);
    let enough = rung.effect.covers >= ENOUGH;
    let word = rung.effect.response.as_str();
    let gone = matches!(word, "dissolves" | "partly dissolves" | "digests");
    let mechanical = method.action == Action::Mechanical
        && rung.step.get().agent.is_none()
        && !matches!(word, "melts" | "softens");
    if harms {
        return Reversal::Not;
    }
    if mechanical || word == "crumbles" || rung.effect.covers < 0.35 {
        return Reversal::OnlyMechanically;
    }
    if site == Site::Pores {
        // What only swells stays where it is: nothing can be lifted out of pores.
        return if gone || word == "melts" {
            Reversal::PartlyExtractable
        } else {
            Reversal::Not
        };
    }
    if enough && gone && spares && rung.call == Call::Recommended {
        return Reversal::Reversible;
    }
    if enough || matches!(word, "swells" | "softens" | "loosens" | "melts") {
        return Reversal::WithCare;
    }
    Reversal::OnlyMechanically
}

const fn one_worse(it: Reversal) -> Reversal {
    match it {
        Reversal::Reversible => Reversal::WithCare,
        Reversal::WithCare | Reversal::PartlyExtractable => Reversal::OnlyMechanically,
        Reversal::OnlyMechanically | Reversal::Not => Reversal::Not,
        Reversal::Unknown => Reversal::Unknown,
    }
}

fn is_liquid_reading(material: &Material, age: Age) -> bool {
    let facts = if age == Age::Aged {
        &material.aged
    } else {
        &material.always
    };
    facts
        .all()
        .any(|(_, f)| f.words().iter().any(|w| Response::parse(w).is_some()))
}

fn has_own_aged(material: &Material) -> bool {
    is_liquid_reading(material, Age::Aged)
}

/// Whether anything is recorded of the aged material: how it ages, or what it answers then.
fn knows_aged(material: &Material) -> bool {
    let says = material
        .head
        .facts
        .get("ageing")
        .iter()
        .any(|f| f.value.is_known());
    says || has_own_aged(material)
}

/// Years over which its ageing is on record: as watched; else since it came into main use, for the
/// aged behaviour on file is that of what was put in then.
pub(super) fn horizon(material: &Material, now: i32) -> f64 {
    let facts = &material.head.facts;
    let watched = facts::measures(facts, "seen-for")
        .into_iter()
        .map(|(_, high, _)| high)
        .fold(0.0, f64::max);
    if watched > 0.0 {
        return watched;
    }
    if !has_own_aged(material) && !is_liquid_reading(material, Age::Fresh) {
        return 0.0;
    }
    let from = facts.years("main").or_else(|| facts.years("used"));
    // Antiquity stands for the earliest year that a number holds.
    from.map_or(0.0, |span| f64::from(now) - f64::from(span.bounds(now).0))
        .clamp(0.0, 500.0)
}

/// The recorded way in which it goes on losing solubility.
fn drift(material: &Material) -> Option<Ageing> {
    [Ageing::Crosslinks, Ageing::LosesSolubility]
        .into_iter()
        .find(|how| facts::ages(material, *how).is_some())
}

/// Years that the photochemical class allows (Feller 1994: T under six months, C under 20 years, B
/// under 100, A beyond).
fn class_limit(material: &Material) -> Option<f64> {
    super::light::worst_class(material).and_then(|class| class.limit_years())
}

fn aged_text(material: &Material) -> String {
    let words = material.head.facts.words("ageing");
    if words.is_empty() {
        "ageing not recorded in words".to_owned()
    } else {
        words.join(", ")
    }
}

/// The horizon by which a choice is judged.
pub(super) fn judged_by(ask: &Ask) -> f64 {
    ask.years.unwrap_or(USUAL_YEARS)
}
