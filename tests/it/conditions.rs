//! Conditions of `find`, `let` names, and what an answer says was asked: each has once been read
//! as something else than it says.

use std::process::Command;

use palinode::answer::{Body, Find};
use palinode::diag::Diagnostic;
use palinode::model::{Kind, Library};
use palinode::units::YearEnd;
use palinode::{embedded, lang, resolve};

use crate::engines::{NOW, ask, remove};

fn find(text: &str) -> Find {
    let text = format!("{text} limit 1000 include unknown");
    match ask(&text).pop().unwrap().body {
        Body::Find(it) => it,
        other => panic!("{other:?}"),
    }
}

fn ids(list: &[palinode::answer::Match]) -> Vec<&str> {
    list.iter().map(|m| m.id.as_str()).collect()
}

fn errors(text: &str) -> Vec<Diagnostic> {
    let file = lang::parse(text).unwrap_or_else(|d| panic!("{text}: {d:#?}"));
    match resolve::resolve(&file, text, embedded(), NOW) {
        Err(list) => list,
        Ok(checked) => panic!("{text}: {checked:#?}"),
    }
}

/// `is not` lists what is recorded otherwise; what is not recorded stays unknown in both.
#[test]
fn is_not_turns_what_is_recorded_and_leaves_the_unknown() {
    for (kind, test, denied) in [
        (
            "solvent",
            "hazards is flammable",
            "hazards is not flammable",
        ),
        ("adhesive", "used is 1930", "used is not 1930"),
        ("coating", "uv is orange", "uv is not orange"),
        ("adhesive", "tg is 40 C", "tg is not 40 C"),
    ] {
        let yes = find(&format!("find {kind} where {test}"));
        let no = find(&format!("find {kind} where {denied}"));
        let turned = find(&format!("find {kind} where not {test}"));
        assert!(!yes.matches.is_empty(), "{test}");
        let both: Vec<&str> = ids(&no.matches)
            .into_iter()
            .filter(|id| ids(&yes.matches).contains(id))
            .collect();
        assert!(both.is_empty(), "{denied}: {both:?}");
        assert_eq!(ids(&no.matches), ids(&turned.matches), "{denied}");
        assert_eq!(ids(&no.undetermined), ids(&yes.undetermined), "{denied}");
    }
}

#[test]
fn words_and_years_have_no_order() {
    for (text, at, help) in [
        ("find solvent where hazards < 5 C", "<", "hazards is WORD"),
        ("find adhesive where used >= 1930", ">=", "used is"),
        ("find adhesive where used is shellac", "shellac", "used is"),
    ] {
        let list = errors(text);
        assert_eq!(list.len(), 1, "{text}: {list:#?}");
        assert_eq!(list[0].code, "Q0402", "{text}");
        assert_eq!(list[0].labels[0].span.slice(text), at, "{text}");
        let said = list[0].help.as_deref().unwrap_or_default();
        assert!(said.contains(help), "{text}: {said}");
    }
}

/// A glass transition of 40..60 C is neither recorded to lie above 50 C nor recorded not to.
#[test]
fn a_range_across_the_bound_is_unknown_both_ways() {
    let beyond = find("find adhesive where not tg > 40 C");
    assert!(!ids(&beyond.matches).contains(&"epoxy"));
    let mut across = 0;
    for material in
        (0..embedded().count(Kind::Material)).filter_map(|i| embedded().record(Kind::Material, i))
    {
        let [fact] = material.head().facts.get("tg") else {
            continue;
        };
        let palinode::model::Value::Measure(tg) = &fact.value else {
            continue;
        };
        let Some(own) = tg.base(palinode::units::Reading::Point) else {
            continue;
        };
        let middle = f64::midpoint(own.low, own.high) - 273.15;
        if own.high - own.low < 4.0 || middle < 1.0 {
            continue;
        }
        across += 1;
        let id = &material.head().id;
        for compare in ["<", "<=", ">", ">="] {
            for not in ["", "not "] {
                let it = find(&format!(
                    "find material where {not}tg {compare} {middle:.0} C"
                ));
                assert!(!ids(&it.matches).contains(&id.as_str()), "{id} {compare}");
                assert!(
                    ids(&it.undetermined).contains(&id.as_str()),
                    "{id} {compare}"
                );
            }
        }
        if across == 3 {
            break;
        }
    }
    assert!(across > 0, "no record has a range to try");
}

/// With no age given, "no" needs both ages.
#[test]
fn a_no_of_one_age_leaves_the_other_open() {
    let mut tried = 0;
    let either = find("find material where dissolves in acetone");
    let fresh = find("find material where dissolves in acetone when fresh");
    let aged = find("find material where dissolves in acetone when aged");
    for id in ids(&fresh.undetermined) {
        let known_when_aged =
            !ids(&aged.matches).contains(&id) && !ids(&aged.undetermined).contains(&id);
        if known_when_aged {
            tried += 1;
            assert!(ids(&either.undetermined).contains(&id), "{id}");
        }
    }
    for id in ids(&aged.undetermined) {
        let no_when_fresh =
            !ids(&fresh.matches).contains(&id) && !ids(&fresh.undetermined).contains(&id);
        if no_when_fresh {
            tried += 1;
            assert!(ids(&either.undetermined).contains(&id), "{id}");
        }
    }
    assert!(tried > 0, "no record is silent about one age only");
}

#[test]
fn a_let_name_stands_only_where_it_means_something() {
    for (text, at) in [
        (
            "let a1 = identify adhesive that looks brown; identify a1 that is brittle",
            "a1",
        ),
        ("let a1 = identify adhesive that looks brown; find a1", "a1"),
        ("let a1 = find adhesive; remove a1 from oak", "a1"),
        (
            "let a1 = find adhesive; remove shellac over a1 from oak",
            "a1",
        ),
    ] {
        let list = errors(text);
        assert_eq!(list.len(), 1, "{text}: {list:#?}");
        assert_eq!(list[0].code, "Q0301", "{text}");
        let span = list[0].labels[0].span;
        assert_eq!(span.slice(text), at, "{text}");
        assert!(span.start as usize > text.find(';').unwrap(), "{text}");
        assert!(list[0].help.is_some(), "{text}");
    }
}

/// The years of a restoration say that the thing was put on later; said once is enough.
#[test]
fn the_years_of_an_identification_go_with_its_name() {
    let identified =
        "identify adhesive (open joint) on porcelain restored 1890..1935 that looks brown";
    let carried = remove(&format!("let a1 = {identified}; remove a1 from porcelain"));
    let repeated = remove(&format!(
        "let a1 = {identified}; remove a1 from porcelain restored 1890..1935"
    ));
    assert_eq!(format!("{carried:?}"), format!("{repeated:?}"));
}

/// What an answer says was asked parses to what was asked.
#[test]
fn the_query_of_an_answer_is_canonical() {
    for (typed, canonical) in [
        ("find coating # hi\nlimit 1", "find coating limit 1"),
        (
            "# first\nfind  coating\n\n# then\nlimit 1 # one",
            "find coating limit 1",
        ),
        (
            "find adhesive where tg > 30 °C limit 1",
            "find adhesive where tg > 30 C limit 1",
        ),
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_palinode"))
            .args(["ask", typed, "--format", "json"])
            .output()
            .unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        let json: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(json["query"], canonical, "{typed}");
        let strip = |text: &str| {
            let file = lang::parse(text).unwrap();
            resolve::resolve(&file, text, embedded(), NOW)
                .unwrap()
                .len()
        };
        assert_eq!(strip(canonical), 1);
    }
}

/// What is in use still has no last year, whatever year the pack is read in.
#[test]
fn still_in_use_has_no_last_year() {
    let mut tried = 0;
    for (index, row) in embedded().table().rows.iter().enumerate() {
        let record = embedded().record(Kind::Material, index).unwrap();
        let used = record.head().facts.years("used");
        if used.is_some_and(|y| y.to == YearEnd::Now) {
            tried += 1;
            assert_eq!(
                row.years.map(|y| y.3),
                Some(i32::MAX),
                "{}",
                record.head().id
            );
        }
    }
    assert!(tried > 0);
}
