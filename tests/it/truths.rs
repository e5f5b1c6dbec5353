//! Single facts that the program must get right (`tests/truths.toml`, each with its published
//! source), asked through the language. What does not hold stands there too, with its reason.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use palinode::answer::{
    Answer, Body, Cell, Compare, Entry, Find, HeldBack, Identify, Remove, Shown,
};
use palinode::eval::Session;
use palinode::model::Library;
use palinode::{embedded, lang, render, resolve};
use serde::Deserialize;

use crate::engines::NOW;

/// How many the list holds: none may be dropped in silence.
const ALL: usize = 32;
/// How many must hold.
const LEAST: usize = 26;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    misses: BTreeMap<String, String>,
    truth: Vec<Truth>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Truth {
    id: String,
    says: String,
    source: String,
    read: String,
    ask: Vec<Ask>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Ask {
    query: String,
    want: Vec<String>,
}

fn list() -> File {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/truths.toml");
    toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The last answer to a query, or why there is none: a statement whose engine is not there is a
/// miss, no broken test.
fn answer(query: &str) -> Result<Answer, String> {
    let all = |list: Vec<palinode::diag::Diagnostic>| {
        let words: Vec<String> = list
            .iter()
            .map(|d| format!("{} {}", d.code, d.message))
            .collect();
        words.join("; ")
    };
    let file = lang::parse(query).map_err(all)?;
    let checked = resolve::resolve(&file, query, embedded(), NOW).map_err(all)?;
    let mut session = Session::new(embedded(), NOW);
    let mut last = None;
    for statement in &checked {
        let it = session.run(statement, String::new());
        last = Some(it.map_err(|e| e.to_string())?);
    }
    last.ok_or_else(|| "no statement".to_owned())
}

/// Whether an answer shows what is wanted of it; an error says what it shows instead.
fn check(answer: &Answer, want: &str) -> Result<(), String> {
    let (verb, rest) = want.split_once(' ').unwrap();
    match verb {
        "cites" => {
            let keys: Vec<&str> = answer.sources.iter().map(|s| s.head.id.as_str()).collect();
            return holds(keys.contains(&rest), || format!("cites {keys:?}"));
        }
        "says" => {
            let data = render::json(answer).to_string();
            return holds(data.contains(rest), || "says it nowhere".to_owned());
        }
        _ => {}
    }
    match &answer.body {
        Body::Find(it) => found(it, verb, rest),
        Body::Compare(it) => compared(it, verb, rest),
        Body::Identify(it) => identified(it, verb, rest),
        Body::Remove(it) => removed(it, verb, rest),
        Body::Choose(it) => match verb {
            "offers" => holds(it.choices.iter().any(|c| c.id == rest), || {
                format!(
                    "offers {:?}",
                    it.choices.iter().map(|c| &c.id).collect::<Vec<_>>()
                )
            }),
            other => panic!("`{other}` says nothing of a choice"),
        },
        other => Err(format!("`{}` states no single fact", other.statement())),
    }
}

fn holds(it: bool, instead: impl FnOnce() -> String) -> Result<(), String> {
    if it { Ok(()) } else { Err(instead()) }
}

fn found(it: &Find, verb: &str, id: &str) -> Result<(), String> {
    assert!(
        it.matches.len() == it.total && it.undetermined.len() == it.undetermined_total,
        "the answer is cut: write `include unknown limit 1000`"
    );
    let matched = it.matches.iter().any(|m| m.id == id);
    let open = it.undetermined.iter().any(|m| m.id == id);
    let as_it_is = || match (matched, open) {
        (true, _) => "found".to_owned(),
        (_, true) => "undetermined".to_owned(),
        _ => "neither found nor undetermined".to_owned(),
    };
    match verb {
        "finds" => holds(matched, as_it_is),
        "open" => holds(open, as_it_is),
        "denies" => holds(!matched && !open, as_it_is),
        other => panic!("`{other}` says nothing of a find"),
    }
}

fn compared(it: &Compare, verb: &str, rest: &str) -> Result<(), String> {
    assert_eq!(verb, "states", "only `states` says something of a compare");
    let mut words = rest.splitn(3, ' ');
    let [id, by, text] = [(); 3].map(|()| words.next().unwrap());
    let column = it.things.iter().position(|thing| thing.id == id).unwrap();
    let row = it.rows.iter().find(|r| r.by == by).unwrap();
    let Cell::Stated(values) = &row.cells[column] else {
        panic!("{id} {by} holds no values");
    };
    holds(values.iter().any(|v| v.whole().contains(text)), || {
        let texts: Vec<String> = values.iter().map(Shown::whole).collect();
        format!("states {texts:?}")
    })
}

fn per_cent(text: &str) -> f64 {
    text.trim_end_matches(" %").parse::<f64>().unwrap() / 100.0
}

fn identified(it: &Identify, verb: &str, rest: &str) -> Result<(), String> {
    let place = |id: &str| it.candidates.iter().position(|c| c.id == id);
    let shown = || {
        let list: Vec<String> = it
            .candidates
            .iter()
            .map(|c| format!("{} {:.2}", c.id, c.probability))
            .collect();
        format!("shows {list:?}")
    };
    match verb {
        "first" => holds(place(rest) == Some(0), shown),
        "among" => {
            let (n, id) = rest.split_once(' ').unwrap();
            let n: usize = n.parse().unwrap();
            holds(place(id).is_some_and(|k| k < n), shown)
        }
        "hazard" => holds(it.hazards.iter().any(|h| h.hazard.word() == rest), || {
            let list: Vec<&str> = it.hazards.iter().map(|h| h.hazard.word()).collect();
            format!("not excluded: {list:?}")
        }),
        "family" | "material" => {
            let (id, bound) = rest.split_once(' ').unwrap();
            let table = embedded().table();
            let rows = table.rows.iter().zip(table.ids.iter());
            let named: Vec<bool> = rows
                .map(|(row, own)| match verb {
                    "family" => table.families[usize::from(row.family)].0 == id,
                    _ => own == id,
                })
                .collect();
            assert!(named.contains(&true), "no {verb} {id}");
            let share: f64 = named
                .iter()
                .zip(&it.posterior.materials)
                .filter(|(is_named, _)| **is_named)
                .map(|(_, p)| p)
                .sum();
            let held = match bound.split_once(' ').unwrap() {
                ("over", least) => share > per_cent(least),
                ("under", most) => share < per_cent(most),
                (other, _) => panic!("over or under, not {other}"),
            };
            holds(held, || format!("{id} {share:.3}"))
        }
        other => panic!("`{other}` says nothing of an identify"),
    }
}

fn is(rung: &palinode::answer::Rung, step: &str) -> bool {
    let own = rung.step.get();
    match step.split_once(':').unwrap() {
        ("agent", id) => own.agent.as_ref().is_some_and(|a| a.head.id == id),
        ("method", id) => own.method.head.id == id,
        // A mixture is of its own class, the harshest of its parts.
        ("class", word) => match &own.agent {
            Some(agent) if !agent.parts.is_empty() => agent.class.word() == word,
            _ => own.classes().iter().any(|c| c.word() == word),
        },
        (other, _) => panic!("`{other}` is no part of a step"),
    }
}

/// Whether what is ruled out is a class, whole, or a liquid of it.
fn is_of(out: Option<&Entry>, class: &str) -> bool {
    out.is_some_and(|it| match embedded().agent(&it.id) {
        Some(agent) => agent.class.word() == class,
        None => it.id == class,
    })
}

fn removed(it: &Remove, verb: &str, rest: &str) -> Result<(), String> {
    let rungs = || {
        let list: Vec<String> = it.ladder.iter().map(|r| r.step.get().id()).collect();
        format!("live: {list:?}")
    };
    let place = |step: &str| it.ladder.iter().position(|r| is(r, step));
    match verb {
        "first" => holds(it.ladder.first().is_some_and(|r| is(r, rest)), rungs),
        // What is held back for a milder one that does as much is forbidden by nothing.
        "live" => {
            let held = |h: &HeldBack| rest == format!("agent:{}", h.id);
            holds(
                place(rest).is_some() || it.held_back.iter().any(held),
                rungs,
            )
        }
        "dead" => holds(place(rest).is_none(), rungs),
        "above" => {
            let (a, b) = rest.split_once(' ').unwrap();
            let both = place(a).zip(place(b));
            holds(both.is_some_and(|(a, b)| a < b), rungs)
        }
        "ruled-out" => {
            let said = it.ruled_out.iter().any(|r| match rest.split_once(':') {
                Some(("agent", id)) => r.agent.as_ref().is_some_and(|own| own.id == id),
                Some(("method", id)) => r.method.as_ref().is_some_and(|own| own.id == id),
                Some(("class", word)) => r.method.is_none() && is_of(r.agent.as_ref(), word),
                _ => panic!("{rest} is no part of a step"),
            });
            holds(said && place(rest).is_none(), || {
                let list: Vec<&str> = it.ruled_out.iter().map(|r| r.id.as_str()).collect();
                format!("{}; ruled out: {list:?}", rungs())
            })
        }
        // `leave it`, as it stands in the list.
        "leave" => holds(it.leave.is_some(), || "no word of leaving it".to_owned()),
        "never" => {
            assert_eq!(rest, "dissolves");
            let word = |r: &palinode::answer::Rung| r.effect.response.contains("dissolves");
            holds(!it.ladder.iter().any(word) && !it.ladder.is_empty(), rungs)
        }
        other => panic!("`{other}` says nothing of a remove"),
    }
}

#[test]
fn single_facts_hold_or_stand_among_the_misses() {
    let file = list();
    let ids: BTreeSet<&str> = file.truth.iter().map(|t| t.id.as_str()).collect();
    assert_eq!((ids.len(), file.truth.len()), (ALL, ALL));
    let mut failed: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for truth in &file.truth {
        assert!(
            !truth.says.is_empty() && !truth.source.is_empty() && !truth.ask.is_empty(),
            "{}",
            truth.id
        );
        assert!(
            ["opened", "in part", "from memory"].contains(&truth.read.as_str()),
            "{}: read {}",
            truth.id,
            truth.read
        );
        for ask in &truth.ask {
            assert!(!ask.want.is_empty(), "{}: nothing is wanted", truth.id);
            let mut note = |instead: String| {
                failed.entry(&truth.id).or_default().push(instead);
            };
            match answer(&ask.query) {
                Err(error) => note(format!("{}: {error}", ask.query)),
                Ok(it) => {
                    for want in &ask.want {
                        if let Err(instead) = check(&it, want) {
                            note(format!("{}: wanted `{want}`, {instead}", ask.query));
                        }
                    }
                }
            }
        }
    }
    println!("{} of {ALL} single facts hold", ALL - failed.len());
    let known: BTreeSet<&str> = file.misses.keys().map(String::as_str).collect();
    assert!(known.is_subset(&ids), "{known:?}");
    let new: Vec<String> = failed
        .iter()
        .filter(|(id, _)| !known.contains(*id))
        .map(|(id, why)| format!("{id}:\n  {}", why.join("\n  ")))
        .collect();
    let mended: Vec<&&str> = known
        .iter()
        .filter(|id| !failed.contains_key(*id))
        .collect();
    assert!(
        new.is_empty() && mended.is_empty(),
        "new misses:\n{}\nmended, so take them off the list: {mended:?}",
        new.join("\n")
    );
    assert!(ALL - failed.len() >= LEAST);
}

/// The checks themselves can fail: each is held against an answer that does not show what is wanted.
#[test]
fn every_check_can_fail() {
    for (query, wants) in [
        (
            "find solvent where flash < 0 C limit 1000 include unknown",
            &[
                "finds water",
                "denies acetone",
                "open acetone",
                "cites nobody",
            ][..],
        ),
        (
            "compare acetone by flash",
            &["states acetone flash 12 C", "says never said"],
        ),
        (
            "identify coating that fluoresces orange under uv-a",
            &[
                "first beeswax",
                "among 1 beeswax",
                "family wax over 90 %",
                "material shellac under 1 %",
                "hazard noise",
            ],
        ),
        (
            "remove dammar (film, later) from porcelain",
            &[
                "first agent:water",
                "live class:steam",
                "dead method:swab",
                "ruled-out method:swab",
                "above agent:water agent:acetone",
                "never dissolves",
            ],
        ),
    ] {
        let it = answer(query).unwrap();
        for want in wants {
            assert!(check(&it, want).is_err(), "{query}: {want}");
        }
    }
}
