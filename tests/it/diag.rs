//! Diagnostics: suggestions and the register of codes.

use std::collections::BTreeSet;

use palinode::diag::{AREAS, CODES, Diagnostic, Edit, code_entry, did_you_mean};
use palinode::lang::parse;
use palinode::span::Span;

#[test]
fn near_words_are_found_and_far_ones_are_not() {
    let names = [
        "shellac",
        "dammar",
        "dammar resin",
        "mastic",
        "isinglass",
        "paraloid b-72",
        "placement",
        "viscosity",
        "tg",
        "Beva 371",
    ];
    let table: &[(&str, &[&str])] = &[
        ("shelac", &["shellac"]),
        ("hsellac", &["shellac"]),
        ("SHELLAC", &["shellac"]),
        ("beva 371", &["Beva 371"]),
        ("damar", &["dammar"]),
        ("dammar", &["dammar resin"]),
        ("paraloid", &["paraloid b-72"]),
        ("visocsity", &["viscosity"]),
        ("lac", &[]),
        ("wax", &[]),
        ("tq", &["tg"]),
        ("", &[]),
        ("isinglas", &["isinglass"]),
    ];
    for (word, wanted) in table {
        assert_eq!(did_you_mean(word, names), *wanted, "{word}");
    }
}

#[test]
fn at_most_three_words_nearest_first() {
    let names = ["aaaaaab", "aaaaabb", "aaaaaaa", "aaaaaac", "aaaaaad"];
    assert_eq!(
        did_you_mean("aaaaaax", names),
        ["aaaaaaa", "aaaaaab", "aaaaaac"]
    );
    let long = "a".repeat(10_000);
    assert!(did_you_mean(&long, names).is_empty());
}

#[test]
fn the_register_is_in_order() {
    let codes: Vec<&str> = CODES.iter().map(|entry| entry.code).collect();
    let mut sorted = codes.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(codes, sorted);
    for entry in CODES {
        assert!(
            entry.code.len() == 5 && entry.code.is_ascii(),
            "{}",
            entry.code
        );
        assert!(
            AREAS.iter().any(|(area, _)| entry.code.starts_with(area)),
            "{} is in no area",
            entry.code
        );
        assert!(!entry.title.is_empty() && !entry.title.ends_with('.'));
        assert!(
            entry.page.ends_with('.') && entry.page.len() > 60,
            "{}",
            entry.code
        );
        assert!(!entry.page.contains("  "), "{}", entry.code);
        assert_eq!(
            entry.wrong.is_some(),
            entry.right.is_some(),
            "{}",
            entry.code
        );
    }
    assert_eq!(code_entry("q0205").map(|entry| entry.code), Some("Q0205"));
    assert_eq!(code_entry("Q9999"), None);
}

/// The pages' examples behave, for the codes that the language itself gives.
#[test]
fn pages_hold_true_examples() {
    let mut seen = BTreeSet::new();
    for entry in CODES {
        let ours = entry.code.starts_with("Q01") || entry.code.starts_with("Q02");
        let (Some(wrong), Some(right)) = (entry.wrong, entry.right) else {
            continue;
        };
        if !(ours || entry.code == "Q0401") {
            continue;
        }
        let errors = parse(wrong).expect_err(entry.code);
        assert_eq!(errors[0].code, entry.code, "{wrong}\n{errors:#?}");
        assert!(parse(right).is_ok(), "{}: {right}", entry.code);
        seen.insert(entry.code);
    }
    assert!(seen.len() >= 25, "{seen:?}");
}

#[test]
fn edits_apply_only_where_they_fit() {
    let edit = |start, end, text: &str| Edit {
        span: Span::new(start, end),
        replacement: text.to_owned(),
    };
    assert_eq!(edit(0, 3, "find").apply("fnd a"), "find a");
    assert_eq!(edit(5, 5, ";").apply("fnd a"), "fnd a;");
    assert_eq!(edit(4, 99, "x").apply("fnd a"), "fnd a");
    assert_eq!(edit(1, 2, "x").apply("°C"), "°C");
}

#[test]
fn the_primary_label_comes_first() {
    let error = Diagnostic::error("Q0205", "no verb")
        .and_at(Span::new(5, 6), "other")
        .at(Span::new(1, 2), "here")
        .note("a fact");
    assert_eq!(error.span(), Some(Span::new(1, 2)));
    assert!(error.labels[0].primary && !error.labels[1].primary);
    assert_eq!(error.notes, ["a fact"]);
}
