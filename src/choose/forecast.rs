//! How a material will come out of these layers now and after the years.
//!
//! The planner is asked twice: for the fresh material and for the aged one. What lies between, and
//! beyond the years over which its ageing is recorded, follows from that: a verdict never improves
//! with the years unless the record of the aged material says so.

use super::{Ask, USUAL_YEARS, facts};
use crate::answer::{Call, Outlook, Reversal, Rung};
use crate::model::scene::SceneLayer;
use crate::model::{Action, Age, Ageing, Basis, Library, Material, Response, Site, Verdict};
use crate::remove::{Plan, rungs};

/// Years that every forecast shows.
const SHOWN: [u32; 4] = [0, 25, 50, 100];
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

/// How a material comes out at one age.
struct State {
    verdict: Reversal,
    /// The step that says so.
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
    let course = Course {
        material,
        improves: has_own_aged(material) && aged.verdict < fresh.verdict,
        fresh,
        aged,
        horizon: horizon(material, ask.now),
    };
    let mut out: Vec<Outlook> = Vec::new();
    for &year in years {
        let mut then = course.then(year);
        if let Some(before) = out.last() {
            then.verdict = course.no_better(before, then.verdict);
        }
        out.push(outlook(material, year, then));
    }
    out
}

/// What becomes of one material with the years.
struct Course<'m> {
    material: &'m Material,
    fresh: State,
    aged: State,
    /// Whether a record of the aged material says that it comes out more easily than the fresh one.
    improves: bool,
    /// Years over which its ageing is on record.
    horizon: f64,
}

/// How it stands in one year.
struct Then<'c> {
    verdict: Reversal,
    route: Option<&'c Rung>,
    extrapolated: bool,
    state: String,
}

impl Course<'_> {
    /// How it stands in a year, before what the years before it say.
    fn then(&self, year: u32) -> Then<'_> {
        if year == 0 {
            return Then {
                verdict: self.fresh.verdict,
                route: self.fresh.route.as_ref(),
                extrapolated: false,
                state: "as it went in".to_owned(),
            };
        }
        if !knows_aged(self.material) {
            return Then {
                verdict: Reversal::Unknown,
                route: None,
                extrapolated: true,
                state: "no record of the aged material".to_owned(),
            };
        }
        let base = if self.improves {
            self.aged.verdict
        } else {
            self.aged.verdict.max(self.fresh.verdict)
        };
        let beyond = f64::from(year) > self.horizon;
        let passed = class_limit(self.material).is_some_and(|limit| f64::from(year) > limit);
        let worse = beyond && (passed || drift(self.material).is_some());
        let mut state = aged_text(self.material);
        if beyond {
            state.push_str(&format!(
                "; recorded over about {:.0} years, beyond that extrapolated",
                self.horizon
            ));
        }
        if worse {
            state.push_str(", one grade worse");
        }
        Then {
            verdict: if worse { one_worse(base) } else { base },
            route: self.aged.route.as_ref(),
            extrapolated: beyond,
            state,
        }
    }

    /// The years take nothing back, unless a record of the aged material does.
    fn no_better(&self, before: &Outlook, verdict: Reversal) -> Reversal {
        let taken_back = self.improves && before.years == 0;
        if before.verdict == Reversal::Unknown || taken_back {
            verdict
        } else {
            verdict.max(before.verdict)
        }
    }
}

/// One year of a forecast, with what it rests on.
fn outlook(material: &Material, year: u32, then: Then<'_>) -> Outlook {
    let route = then
        .route
        .filter(|_| !matches!(then.verdict, Reversal::Not | Reversal::Unknown));
    let ageing = if year > 0 {
        material.head.facts.get("ageing")
    } else {
        &[]
    };
    let mut sources = Basis::keys(ageing.iter().map(|f| &f.basis));
    let mut basis = Basis::words(ageing.iter().map(|f| &f.basis));
    let mut layers = Vec::new();
    if let Some(rung) = route {
        layers = rung
            .harm
            .iter()
            .map(|h| (h.layer.clone(), h.verdict))
            .collect();
        sources.extend(rung.effect.sources.iter().cloned());
        if basis.is_empty() {
            basis.clone_from(&rung.effect.basis);
        }
    }
    sources.sort();
    sources.dedup();
    Outlook {
        years: year,
        verdict: then.verdict,
        extrapolated: then.extrapolated,
        state: then.state,
        route: route.map(|rung| Box::new(rung.clone())),
        layers,
        basis,
        sources,
    }
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
    let aged = if age == Age::Aged { 1.0 } else { 0.0 };
    let Some(mut plan) = Plan::of(library, index, aged, site, layers) else {
        return State {
            verdict: Reversal::Unknown,
            route: None,
        };
    };
    plan.scene.target.depth_mm = ask.depth_mm;
    plan.scene.permitted.clone_from(&ask.permitted);
    plan.barred.clone_from(&ask.barred);
    plan.called.clone_from(&material.head.names.name);
    // The whole ladder: the sparing rung may not be the first.
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
