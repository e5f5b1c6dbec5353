//! Glass transitions and refractive indices (`polymers.tsv`), photochemical classes (`stability.tsv`).

use std::collections::BTreeSet;

use palinode::choose::light::Class;
use palinode::embedded;
use palinode::model::{Fact, Library, Value};

use super::{Found, bounds, materials, ratchet, table};

/// A glass transition moves by ten kelvins with molar mass, held water or solvent and the rate of the
/// reading; an index by a hundredth with plasticiser, density and wavelength.
fn tolerance(property: &str) -> f64 {
    match property {
        "tg" => 10.0,
        "refractive-index" => 0.01,
        other => panic!("no tolerance for {other}"),
    }
}

fn literal(fact: &Fact) -> String {
    match &fact.value {
        Value::Measure(q) => q.literal.clone(),
        _ => String::new(),
    }
}

/// At least one figure on file of another source reaches the handbook's, widened by the tolerance. What was opened
/// and what stands from memory is counted apart.
#[test]
fn glass_transitions_and_refractive_indices_stand_as_published() {
    let mut found = Found::new();
    let (mut opened, mut recalled) = (BTreeSet::new(), BTreeSet::new());
    let (mut compared, mut copies) = (0, 0);
    for row in table("polymers.tsv") {
        let (record, property, source) = (&row["record"], &row["property"], &row["source"]);
        let material = embedded()
            .material(record)
            .unwrap_or_else(|| panic!("{record}"));
        let (low, high): (f64, f64) = (row["low"].parse().unwrap(), row["high"].parse().unwrap());
        let facts: Vec<(&Fact, (f64, f64))> = material
            .head
            .facts
            .get(property)
            .iter()
            .filter_map(|f| bounds(f).map(|b| (f, b)))
            .collect();
        assert!(!facts.is_empty(), "{record}: no {property}");
        let (own, other): (Vec<_>, Vec<_>) = facts
            .into_iter()
            .partition(|(f, _)| f.basis.source() == Some(source.as_str()));
        for (fact, (a, b)) in &own {
            assert!(
                *a <= high && *b >= low,
                "{record}: {} is not what {source} says",
                literal(fact)
            );
            copies += 1;
        }
        if other.is_empty() {
            continue;
        }
        compared += 1;
        match row["read"].as_str() {
            "opened" => opened.insert(record.clone()),
            "recalled" => recalled.insert(record.clone()),
            read => panic!("{record}: read {read}"),
        };
        let wide = tolerance(property) + 1e-9;
        if !other
            .iter()
            .any(|(_, (a, b))| a - wide <= high && b + wide >= low)
        {
            let ours: Vec<String> = other.iter().map(|(f, _)| literal(f)).collect();
            let theirs = if row["low"] == row["high"] {
                row["low"].clone()
            } else {
                format!("{}..{}", row["low"], row["high"])
            };
            let place = format!("{record} {property} {source}");
            found.insert(place, format!("{} against {theirs}", ours.join(" or ")));
        }
    }
    let both = opened.union(&recalled).count();
    println!(
        "polymers: {compared} compared, {} listed, {copies} copies; {both} polymers, {} of them against \
         what was opened",
        found.len(),
        opened.len()
    );
    assert!(both >= 36 && opened.len() >= 24, "{both} {}", opened.len());
    ratchet("polymers", &found);
}

/// Classes on file against those of Feller and his colleagues: where several are on file the poorest
/// counts, as in the engine.
#[test]
fn photochemical_classes_stand_as_published() {
    let mut found = Found::new();
    let rows = table("stability.tsv");
    for row in &rows {
        let material = embedded().material(&row["record"]).unwrap();
        let words = material.head.facts.words("stability");
        let worst = words.iter().filter_map(|w| Class::parse(w)).min();
        let theirs = Class::parse(&row["class"]).unwrap();
        if worst != Some(theirs) {
            let ours = worst.map_or("none", Class::word);
            let told = format!("{ours} against {}", theirs.word());
            found.insert(format!("{} {}", row["record"], row["source"]), told);
        }
    }
    println!("classes: {} compared, {} listed", rows.len(), found.len());
    assert!(rows.len() >= 14);
    ratchet("stability", &found);
}

/// Feller's limits (Accelerated Aging, 1994, table 1.1; from memory): T under six months, C under 20 years, B 20 to
/// 100, A over 100, of which A2 up to 500. Every class on file is one of these, and what was watched for
/// longer than its class allows and still came off would contradict it.
#[test]
fn classes_have_the_published_limits() {
    for (word, years) in [
        ("T", Some(0.5)),
        ("C", Some(20.0)),
        ("B", Some(100.0)),
        ("A2", Some(500.0)),
        ("A", None),
        ("A1", None),
    ] {
        assert_eq!(Class::parse(word).unwrap().limit_years(), years, "{word}");
    }
    assert!(Class::T < Class::C && Class::C < Class::B && Class::B < Class::A);
    let mut with = 0;
    for material in materials() {
        let facts = &material.head.facts;
        let words = facts.words("stability");
        let classes: Vec<Class> = words.iter().filter_map(|w| Class::parse(w)).collect();
        let id = &material.head.id;
        assert_eq!(words.len(), classes.len(), "{id}: {words:?}");
        with += usize::from(!classes.is_empty());
        let seen = facts.get("seen-for").iter().filter_map(bounds);
        let longest = seen.map(|b| b.1).fold(0.0, f64::max);
        let soluble = facts.words("ageing").contains(&"stays-soluble");
        if let Some(limit) = classes.iter().min().and_then(|c| c.limit_years()) {
            assert!(
                !soluble || longest <= limit,
                "{id}: seen soluble for {longest} years, class allows {limit}"
            );
        }
    }
    assert!(with >= 60, "{with}");
}
