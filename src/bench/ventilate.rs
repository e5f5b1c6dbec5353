//! `ventilate`: what a liquid that evaporates does to the air of a room.

use super::air::lowest;
use super::facts::{Ledger, liquids, names_of, refusal};
use super::{FIRE_ACT, FIRE_STOP, NEAR_FIELD};
use crate::answer::{
    AgainstFlame, AgainstLimit, AirNeeded, Burden, Fire, InAir, LimitSeen, Ventilate,
};
use crate::chem::vapour::{Source, additive, air_for, flammable_share, ppm, saturation};
use crate::gate;
use crate::model::order::{Evaporation, Place, Trouble, Wanted};
use crate::model::{Agent, Class, Hazard, Library, Value};
use crate::units::four_figures as figure;

/// Quarter of an hour.
const QUARTER: f64 = 0.25;
/// How many times the 8 hour limit stands in for a missing one of 15 minutes, and for a missing
/// ceiling (common practice of hygienists: excursions).
const EXCURSION: f64 = 3.0;

/// One liquid with its course through the day.
struct Course {
    agent: Agent,
    grams: Option<f64>,
    molar_mass: Option<f64>,
    source: Option<Source>,
    flammable: Flammable,
    vapour_pressure: Option<f64>,
}

enum Flammable {
    No,
    Limit(f64),
    Unknown,
}

impl Course {
    /// What a concentration in mg/m³ is in ppm.
    fn ppm(&self, of: impl Fn(Source) -> f64) -> Option<f64> {
        Some(ppm(of(self.source?), self.molar_mass?))
    }
}

/// Reckons the air of a room.
///
/// # Errors
/// A [`Trouble`] when the gate does not let the liquids meet.
pub fn ventilate(library: &dyn Library, it: &Evaporation) -> Result<Ventilate, Box<Trouble>> {
    let parts = liquids(library, &it.parts);
    // The law on use is told as a flag: who reckons the air of such a liquid may well hold the licence.
    let permitted: Vec<String> = parts.iter().map(|(a, _)| a.head.id.clone()).collect();
    let vessel = gate::Vessel {
        agents: parts.iter().map(|(a, _)| a.clone()).collect(),
        carrier: None,
        celsius: None,
    };
    let vessel = gate::vessel(vessel, &permitted)
        .map_err(|refused| Box::new(refusal(&refused, Place::Solute)))?;
    let mut ledger = Ledger::default();
    let mut gaps: Vec<String> = Vec::new();
    let courses = courses(it, &parts, &mut ledger, &mut gaps);
    let seen: Vec<InAir> = courses
        .iter()
        .map(|course| in_air(library, course, it, &mut ledger))
        .collect();
    let burdens = burdens(&seen);
    let fire = fire(&courses);
    for part in &seen {
        if !part.harmless && part.limit_day.is_none() && part.limit_quarter.is_none() {
            gaps.push(format!(
                "{}: no limit of exposure for vapour is on file; unknown is not safe",
                part.name
            ));
        }
    }
    for name in &fire.unknown {
        gaps.push(format!("{name}: no lower flammable limit on file"));
    }
    let flags = flags(&parts);
    let needed = needed(&courses, &seen, it);
    let undetermined = burdens.iter().any(|b| !b.unknown.is_empty()) || !fire.unknown.is_empty();
    let clearing = courses
        .iter()
        .find_map(|c| c.source)
        .and_then(|s| Some((60.0 * s.until_left(0.1)?, 60.0 * s.until_left(0.01)?)));
    Ok(Ventilate {
        title: format!(
            "{} {} within {} min into {} m3 with {} m3/h of fresh air",
            it.typed,
            names_of(library, &it.parts),
            figure(60.0 * it.hours),
            figure(it.room),
            figure(it.air)
        ),
        flags,
        room: it.room,
        air: it.air,
        mixing: it.mixing,
        hours: it.hours,
        parts: seen,
        burdens,
        fire,
        clearing,
        needed,
        vessel,
        mind: mind(),
        gaps,
        facts: ledger.shown,
        undetermined,
    })
}

/// Each liquid with what it gives off.
fn courses(
    it: &Evaporation,
    parts: &[(Agent, f64)],
    ledger: &mut Ledger,
    gaps: &mut Vec<String>,
) -> Vec<Course> {
    let densities: Vec<Option<f64>> = parts
        .iter()
        .map(|(a, _)| ledger.figure(&a.head, "density", "g/ml"))
        .collect();
    // A mass of a mixture by volume wants every density; of one liquid it wants none.
    let whole: Option<f64> = parts
        .iter()
        .zip(&densities)
        .map(|((_, s), d)| d.map(|d| s * d))
        .sum();
    parts
        .iter()
        .zip(densities)
        .map(|((agent, share), density)| {
            let grams = match it.wanted {
                Wanted::Volume(ml) => density.map(|d| ml * share * d),
                Wanted::Mass(g) if parts.len() == 1 => Some(g),
                Wanted::Mass(g) => density.zip(whole).map(|(d, w)| g * share * d / w),
            };
            let name = &agent.head.names.name;
            if grams.is_none() {
                gaps.push(format!(
                    "{name}: no density on file; how much vapour it makes cannot be said"
                ));
            }
            let molar_mass = ledger.figure(&agent.head, "molar-mass", "g/mol");
            if molar_mass.is_none() {
                gaps.push(format!(
                    "{name}: no molar mass on file; mg/m3 cannot be turned into ppm"
                ));
            }
            Course {
                agent: agent.clone(),
                grams,
                molar_mass,
                source: grams.map(|g| Source {
                    rate: g * 1000.0 / it.hours,
                    hours: it.hours,
                    room: it.room,
                    air: it.air / it.mixing.value,
                }),
                flammable: flammable(agent, ledger),
                vapour_pressure: ledger.figure(&agent.head, "vapour-pressure", "Pa"),
            }
        })
        .collect()
}

/// The lowest flammable limit on file.
fn flammable(agent: &Agent, ledger: &mut Ledger) -> Flammable {
    let facts = agent.head.facts.get("lfl");
    let lowest = facts
        .iter()
        .filter_map(|f| match &f.value {
            Value::Measure(q) => q.bounds().map(|b| (b.low, f)),
            _ => None,
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((limit, fact)) = lowest {
        ledger.keep(&agent.head, "lfl", fact);
        return Flammable::Limit(limit);
    }
    if facts
        .iter()
        .any(|f| matches!(f.value, Value::NotApplicable(_)))
        || watery(agent)
    {
        Flammable::No
    } else {
        Flammable::Unknown
    }
}

/// Water, and nothing dissolved in it that evaporates.
fn watery(agent: &Agent) -> bool {
    matches!(agent.class, Class::ColdWater | Class::WarmWater)
}

fn in_air(library: &dyn Library, course: &Course, it: &Evaporation, ledger: &mut Ledger) -> InAir {
    let agent = &course.agent;
    let mut notes = Vec::new();
    let mut limit = |averaging: &str, ledger: &mut Ledger| {
        lowest(
            library,
            agent,
            averaging,
            course.molar_mass,
            ledger,
            &mut notes,
        )
    };
    let limit_day = limit("8 h", ledger);
    let limit_quarter = limit("15 min", ledger);
    let limit_ceiling = limit("ceiling", ledger);
    if let (Some(peak), Some(pressure)) = (course.ppm(Source::peak), course.vapour_pressure)
        && peak > saturation(pressure)
    {
        notes.push(format!(
            "{}: more than the air holds at 25 C ({} ppm): it will take longer than this to evaporate",
            agent.head.names.name,
            figure(saturation(pressure))
        ));
    }
    InAir {
        id: agent.head.id.clone(),
        name: agent.head.names.name.clone(),
        grams: course.grams,
        steady: course
            .source
            .and_then(Source::steady)
            .zip(course.molar_mass)
            .map(|(c, m)| ppm(c, m)),
        peak: course.ppm(Source::peak),
        mean: course.ppm(|s| s.mean(it.hours)),
        quarter: course.ppm(|s| s.worst_mean(QUARTER)),
        day: course.ppm(Source::day),
        limit_day,
        limit_quarter,
        limit_ceiling,
        harmless: watery(agent),
        notes,
    }
}

/// Σ C/L over the times for which there are limits; a ceiling is told only where one is on file.
fn burdens(seen: &[InAir]) -> Vec<Burden> {
    let mut out = vec![
        burden("8 h", seen, |p| p.day, |p| p.limit_day.as_ref(), false),
        burden(
            "15 min",
            seen,
            |p| p.quarter,
            |p| p.limit_quarter.as_ref(),
            true,
        ),
    ];
    if seen.iter().any(|p| p.limit_ceiling.is_some()) {
        out.push(burden(
            "ceiling",
            seen,
            |p| p.peak,
            |p| p.limit_ceiling.as_ref(),
            true,
        ));
    }
    out
}

/// Σ C/L over an averaging time. Where a part has no limit for it, three times its 8 hour limit stands
/// in if `stand_in` says so; where it has none at all, it is unknown.
fn burden(
    over: &str,
    parts: &[InAir],
    found: impl Fn(&InAir) -> Option<f64>,
    limit: impl Fn(&InAir) -> Option<&LimitSeen>,
    stand_in: bool,
) -> Burden {
    let mut pairs = Vec::new();
    let (mut unknown, mut stood_in) = (Vec::new(), Vec::new());
    for part in parts.iter().filter(|p| !p.harmless) {
        let own = limit(part).map(|l| l.ppm);
        let spare = part
            .limit_day
            .as_ref()
            .filter(|_| stand_in)
            .map(|l| EXCURSION * l.ppm);
        match (found(part), own.or(spare)) {
            (Some(c), Some(l)) => {
                pairs.push((c, l));
                if own.is_none() {
                    stood_in.push(part.name.clone());
                }
            }
            _ => unknown.push(part.name.clone()),
        }
    }
    let room = additive(&pairs);
    let near = NEAR_FIELD * room;
    let verdict = if room > 1.0 {
        AgainstLimit::Over
    } else if !unknown.is_empty() {
        AgainstLimit::Undetermined
    } else if near > 1.0 {
        AgainstLimit::OverAtTray
    } else {
        AgainstLimit::Within
    };
    Burden {
        over: over.to_owned(),
        room,
        near,
        unknown,
        stood_in,
        verdict,
    }
}

fn fire(courses: &[Course]) -> Fire {
    let mut room = Vec::new();
    let mut unknown = Vec::new();
    let mut flash: Option<(f64, String)> = None;
    for course in courses {
        let name = &course.agent.head.names.name;
        match course.flammable {
            Flammable::No => {}
            Flammable::Unknown => unknown.push(name.clone()),
            Flammable::Limit(limit) => match course.ppm(Source::peak) {
                Some(peak) => room.push((peak, limit)),
                None => unknown.push(name.clone()),
            },
        }
        for fact in course.agent.head.facts.get("flash") {
            if let Value::Measure(q) = &fact.value
                && let Some(b) = q.base(crate::units::Reading::Point)
            {
                let celsius = b.low - 273.15;
                if flash.as_ref().is_none_or(|(f, _)| celsius < *f) {
                    flash = Some((celsius, name.clone()));
                }
            }
        }
    }
    let share = flammable_share(&room);
    let near = NEAR_FIELD * share;
    let verdict = if share >= FIRE_STOP {
        AgainstFlame::StopInRoom
    } else if share >= FIRE_ACT {
        AgainstFlame::ActInRoom
    } else if near >= FIRE_STOP {
        AgainstFlame::StopAtTray
    } else if near >= FIRE_ACT {
        AgainstFlame::ActAtTray
    } else if !unknown.is_empty() {
        AgainstFlame::Undetermined
    } else if room.is_empty() {
        AgainstFlame::NothingBurns
    } else {
        AgainstFlame::Below
    };
    Fire {
        room: share,
        near,
        over_liquid: over_liquid(courses),
        unknown,
        flash,
        verdict,
    }
}

/// Share of the flammable limit right over the liquid at 25 °C: ideal, by mole fractions. `None` where
/// a figure is missing.
fn over_liquid(courses: &[Course]) -> Option<f64> {
    let moles: Vec<f64> = courses
        .iter()
        .map(|c| Some(c.grams? / c.molar_mass?))
        .collect::<Option<_>>()?;
    let all: f64 = moles.iter().sum();
    let mut share = 0.0;
    for (course, n) in courses.iter().zip(moles) {
        match course.flammable {
            Flammable::No => {}
            Flammable::Unknown => return None,
            Flammable::Limit(limit) => {
                share += flammable_share(&[(n / all * saturation(course.vapour_pressure?), limit)]);
            }
        }
    }
    (share > 0.0).then_some(share)
}

/// What air would do, in the room and at ten times the room.
fn needed(courses: &[Course], seen: &[InAir], it: &Evaporation) -> Vec<AirNeeded> {
    let at = |air: f64, of: &dyn Fn(Source) -> f64, limit: &dyn Fn(&InAir) -> Option<f64>| -> f64 {
        let pairs: Vec<(f64, f64)> = courses
            .iter()
            .zip(seen)
            .filter(|(_, p)| !p.harmless)
            .filter_map(|(c, p)| {
                let source = c.source?.with_air(air / it.mixing.value);
                Some((ppm(of(source), c.molar_mass?), limit(p)?))
            })
            .collect();
        additive(&pairs)
    };
    let day = |p: &InAir| p.limit_day.as_ref().map(|l| l.ppm);
    let quarter = |p: &InAir| {
        p.limit_quarter
            .as_ref()
            .map(|l| l.ppm)
            .or(p.limit_day.as_ref().map(|l| EXCURSION * l.ppm))
    };
    let fire = |air: f64| {
        let parts: Vec<(f64, f64)> = courses
            .iter()
            .filter_map(|c| match c.flammable {
                Flammable::Limit(limit) => {
                    let source = c.source?.with_air(air / it.mixing.value);
                    Some((ppm(source.peak(), c.molar_mass?), limit))
                }
                _ => None,
            })
            .collect();
        flammable_share(&parts) / FIRE_ACT
    };
    let mut out = Vec::new();
    let mut push = |goal: &str, air: Option<f64>| {
        out.push(AirNeeded {
            goal: goal.to_owned(),
            air,
            changes: air.map(|a| a / it.room),
        });
    };
    let whole = seen.iter().filter(|p| !p.harmless);
    let known = whole.clone().all(|p| p.peak.is_some() && day(p).is_some());
    if known && whole.clone().count() > 0 {
        push(
            "the day's mean in the room within the limits",
            air_for(|a| at(a, &Source::day, &day)),
        );
        push(
            "the worst 15 min in the room within the limits",
            air_for(|a| at(a, &|s: Source| s.worst_mean(QUARTER), &quarter)),
        );
        push(
            "the worst 15 min at ten times the room within the limits",
            air_for(|a| NEAR_FIELD * at(a, &|s: Source| s.worst_mean(QUARTER), &quarter)),
        );
    }
    push("a tenth of the flammable limit in the room", air_for(fire));
    out
}

/// Hazards of which no limit is safe.
const GRAVE: [Hazard; 2] = [Hazard::Carcinogen, Hazard::Reprotoxic];

/// What stands before any figure.
fn flags(parts: &[(Agent, f64)]) -> Vec<String> {
    let mut out = Vec::new();
    for (agent, _) in parts {
        let name = &agent.head.names.name;
        if let Some(cmr) = &agent.cmr {
            out.push(format!(
                "{name}: classed {cmr}. No limit makes it safe: ask first whether another liquid does it; \
                 then enclosed, the least amount"
            ));
        } else if GRAVE.iter().any(|h| agent.hazards.contains(h)) {
            out.push(format!(
                "{name}: recorded to cause cancer or to harm fertility. No limit makes it safe"
            ));
        }
        if agent.hazards.contains(&Hazard::Sensitiser) {
            out.push(format!(
                "{name}: sensitises; whom it has reached once, no limit protects"
            ));
        }
        if agent.hazards.contains(&Hazard::SkinUptake) {
            out.push(format!(
                "{name}: goes through the skin as well; clean air is not enough"
            ));
        }
        if agent.needs_permission {
            let law: Vec<&str> = agent.head.facts.texts("legal").collect();
            out.push(format!(
                "{name}: restricted by law in places. {}",
                law.join(" ")
            ));
        }
    }
    out
}

fn mind() -> Vec<String> {
    [
        "the sum takes the room as one box with even air: over an open tray the breathing zone may hold \
         ten times as much and more, so local extract at the work comes before any room fan",
        "all of it is taken to evaporate, evenly, in the time; a spill is faster",
        "whoever stays in the room all day has the day's mean; each more such batch adds as much again",
        "vapour is heavier than air and runs along the floor to a flame, a heater or a drain; a switch or \
         a fridge lights it",
        "a mask with the right filter is the last means, not the first; filters pass methanol and \
         dichloromethane",
    ]
    .iter()
    .map(|s| (*s).to_owned())
    .collect()
}
