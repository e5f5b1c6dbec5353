//! Limits of exposure: `limits.tsv`, and what the engine makes of the limits on file.

use palinode::answer::{Body, LimitSeen, Ventilate};
use palinode::eval::Session;
use palinode::model::{Agent, AgentSort, Basis, Fact, Library, Value};
use palinode::{embedded, lang, resolve};

use super::{Found, agents, bounds, ratchet, short, table};
use crate::engines::NOW;

const KINDS: [&str; 3] = ["8 h", "15 min", "ceiling"];

/// Whose limit a fact is, in the words of the table.
fn whose(fact: &Fact) -> &'static str {
    let note = fact.note.as_deref().unwrap_or_default();
    match fact.region.as_deref() {
        Some("US") if note.contains("NIOSH") => "niosh",
        Some("US") if note.contains("1910.") => "osha",
        Some("California") => "cal",
        Some("EU") => "eu",
        _ => "other",
    }
}

fn unit(fact: &Fact) -> &str {
    match &fact.value {
        Value::Measure(q) => q.unit.symbol(),
        _ => "",
    }
}

/// A recommended ceiling over 15 minutes is told as either of the two.
fn same_time(whose: &str, a: &str, b: &str) -> bool {
    a == b || (whose == "niosh" && a != "8 h" && b != "8 h")
}

/// Limits on file against 29 CFR 1910.1000 (tables Z-1 and Z-2), California's table, NIOSH, and the EU lists with
/// the French law that transposes them. None of the tables has a limit below the lowest on file, nor one of a
/// kind that the record lacks; French law apart, which may be stricter and stands on file as its own.
#[test]
fn limits_of_exposure_stand_as_published() {
    let mut found = Found::new();
    let (mut equal, mut copies, mut absent) = (0, 0, 0);
    let mut held: Vec<(String, String)> = Vec::new();
    for row in table("limits.tsv") {
        let (record, by, kind) = (&row["record"], &row["whose"], &row["kind"]);
        let (value, symbol) = row["value"].split_once(' ').unwrap();
        let value: f64 = value.parse().unwrap();
        let agent = embedded()
            .agent(record)
            .unwrap_or_else(|| panic!("{record}"));
        let facts = agent.head.facts.get("limit");
        let asked = match by.as_str() {
            "france" | "eu2019" | "glycolethers" | "eusheets" => "eu",
            other => other,
        };
        let own: Vec<&Fact> = facts
            .iter()
            .filter(|f| whose(f) == asked && unit(f) == symbol)
            .filter(|f| same_time(asked, f.averaging.as_deref().unwrap_or_default(), kind))
            .collect();
        let place = format!("{record} {by} {kind} {symbol}");
        if own.is_empty() {
            absent += 1;
            let lowest = facts
                .iter()
                .filter(|f| f.averaging.as_deref() == Some(kind) && unit(f) == symbol)
                .filter_map(|f| bounds(f).map(|b| b.0))
                .min_by(f64::total_cmp);
            if by != "france" && lowest.is_none_or(|l| value < l) {
                let on_file = lowest.map_or("nothing".to_owned(), short);
                found.insert(place, format!("{on_file} against {}", short(value)));
            }
            continue;
        }
        let hit = own
            .iter()
            .find(|f| bounds(f).is_some_and(|b| b == (value, value)));
        match hit {
            Some(fact) => {
                let key = fact.basis.source().unwrap_or_default();
                if key == "oshaannotated2018" || (by == "eu2019" && key == "directive20191831") {
                    copies += 1;
                } else {
                    equal += 1;
                    held.push((record.clone(), by.clone()));
                }
            }
            None => {
                let all: Vec<String> = own
                    .iter()
                    .filter_map(|f| bounds(f))
                    .map(|b| short(b.0))
                    .collect();
                let told = format!("{} against {}", all.join("/"), short(value));
                // Several limits of mist under one name: each row needs its own.
                found.insert(place, told);
                held.push((record.clone(), by.clone()));
            }
        }
    }
    let liquids = |which: &[&str]| {
        let mut all: Vec<&str> = held
            .iter()
            .filter(|(_, by)| which.contains(&by.as_str()))
            .map(|(record, _)| record.as_str())
            .collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    };
    let osha = liquids(&["osha"]);
    let eu = liquids(&["france", "eu2019", "glycolethers", "eusheets"]);
    println!(
        "limits: {equal} equal, {} listed, {copies} copies, {absent} not on file; {osha} liquids against \
         29 CFR 1910.1000, {eu} against the EU lists",
        found.len()
    );
    assert!(osha >= 60 && eu >= 30, "{osha} {eu}");
    ratchet("limits", &found);
}

fn years_in(text: &str) -> bool {
    text.split(|c: char| !c.is_ascii_digit())
        .any(|w| w.len() == 4 && (w.starts_with("19") || w.starts_with("20")))
}

/// Each limit says where it holds, over which time, and of what year it is: by its source or by its remark.
#[test]
fn every_limit_says_where_and_of_what_year() {
    let mut found = Found::new();
    let mut all = 0;
    for agent in agents() {
        for fact in agent.head.facts.get("limit") {
            let id = &agent.head.id;
            assert!(
                fact.region.as_deref().is_some_and(|r| !r.is_empty()),
                "{id}"
            );
            let time = fact.averaging.as_deref().unwrap_or_default();
            assert!(KINDS.contains(&time), "{id}: {time}");
            assert!(
                ["ppm", "mg/m3"].contains(&unit(fact)),
                "{id}: {}",
                unit(fact)
            );
            all += 1;
            // The year of a law is its own, not that of the page in which it was read.
            let stated = match &fact.basis {
                Basis::Published { key, through, .. } => through.iter().chain([key]).any(|key| {
                    let source = embedded().source(key);
                    source.is_some_and(|s| years_in(&s.date))
                }),
                _ => false,
            };
            let year = stated || years_in(fact.note.as_deref().unwrap_or_default());
            if !year {
                let place = format!("{id} {} {time}", fact.region.as_deref().unwrap());
                found.insert(place, "no year".to_owned());
            }
        }
    }
    println!("{all} limits, {} without a year", found.len());
    assert!(all >= 400, "{all}");
    ratchet("years", &found);
}

fn ventilate(agent: &Agent) -> Option<Ventilate> {
    let name = &agent.head.names.name;
    let text = format!("ventilate 10 ml \"{name}\" during 10 min in 60 m3 at 4 air changes");
    let file = lang::parse(&text).ok()?;
    let checked = resolve::resolve(&file, &text, embedded(), NOW).ok()?;
    match Session::new(embedded(), NOW)
        .run(&checked[0], text)
        .ok()?
        .body
    {
        Body::Ventilate(it) => Some(*it),
        other => panic!("{other:?}"),
    }
}

/// Whether a remark says that the limit is one of droplets or grains.
fn of_grains(fact: &Fact) -> bool {
    let note = fact.note.as_deref().unwrap_or_default().to_lowercase();
    ["mist", "aerosol", "dust", "respirable"]
        .iter()
        .any(|w| note.contains(w))
}

/// The lowest limit of vapour on file for a time, ppm: 24.45 l/mol at 25 °C (footnote (a) of table Z-1).
fn lowest(agent: &Agent, time: &str) -> Option<f64> {
    let mass = agent.head.facts.get("molar-mass").first().and_then(bounds);
    let facts = agent.head.facts.get("limit").iter();
    facts
        .filter(|f| f.averaging.as_deref() == Some(time) && !of_grains(f))
        .filter_map(|f| {
            let low = bounds(f)?.0;
            match unit(f) {
                "ppm" => Some(low),
                _ => mass.map(|(a, b)| low * 24.45 / f64::midpoint(a, b)),
            }
        })
        .min_by(f64::total_cmp)
}

/// The air of the room is held against the lowest limit on file, wherever it holds; what has none is told as
/// unknown and never as within; a limit of mist is never made parts per million.
#[test]
fn the_lowest_limit_counts_and_a_blank_stays_unknown() {
    let (mut held, mut blank, mut mist) = (0, 0, 0);
    for agent in agents() {
        let Some(it) = ventilate(&agent) else {
            continue;
        };
        let id = &agent.head.id;
        // A mixture is reckoned by its parts, water needs no limit.
        let [part] = it.parts.as_slice() else {
            continue;
        };
        if part.id != *id {
            continue;
        }
        let seen: [&Option<LimitSeen>; 3] =
            [&part.limit_day, &part.limit_quarter, &part.limit_ceiling];
        for (time, seen) in KINDS.iter().zip(seen) {
            let wanted = lowest(&agent, time);
            match (seen, wanted) {
                (None, None) => {}
                (Some(seen), Some(wanted)) => {
                    let ratio = seen.ppm / wanted;
                    assert!(
                        (ratio - 1.0).abs() < 0.002,
                        "{id} {time}: {} {wanted}",
                        seen.ppm
                    );
                    held += 1;
                }
                (seen, wanted) => panic!("{id} {time}: {seen:?} {wanted:?}"),
            }
        }
        if agent.head.facts.get("limit").iter().any(of_grains) {
            assert!(
                part.notes.iter().any(|n| n.contains("mist or dust")),
                "{id}: {:?}",
                part.notes
            );
            mist += 1;
        }
        let none = KINDS.iter().all(|time| lowest(&agent, time).is_none());
        if none && !part.harmless && agent.sort == AgentSort::Solvent {
            blank += 1;
            for burden in &it.burdens {
                assert_ne!(
                    burden.verdict,
                    palinode::answer::AgainstLimit::Within,
                    "{id}"
                );
            }
            assert!(it.burdens.iter().any(|b| !b.unknown.is_empty()), "{id}");
        }
    }
    println!(
        "{held} limits are the lowest on file, {blank} liquids without any, {mist} with one of mist or dust"
    );
    assert!(
        held >= 150 && blank >= 15 && mist >= 1,
        "{held} {blank} {mist}"
    );
}
