//! Diagnostics: suggestions and the register of codes.

use std::collections::BTreeSet;

use palinode::diag::{AREAS, CODES, Diagnostic, Edit, code_entry, did_you_mean};
use palinode::lang::parse;
use palinode::lang::reserved::{KEYWORDS, VERBS};
use palinode::model::{Kind, Library};
use palinode::span::Span;
use palinode::{embedded, resolve};

use crate::engines::NOW;
use crate::random::Random;

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
        // One slip in two letters is half the word.
        ("tq", &[]),
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

/// Every mistake that the program tells of a query.
fn told(text: &str) -> Vec<Diagnostic> {
    match parse(text) {
        Err(errors) => errors,
        Ok(file) => resolve::resolve(&file, text, embedded(), NOW)
            .err()
            .unwrap_or_default(),
    }
}

/// A change that is offered on the wrong example of a page makes the example right: it parses,
/// and where the mistake was one of names, it is gone.
#[test]
fn changes_offered_on_the_pages_put_their_examples_right() {
    let mut changed = 0;
    for entry in CODES.iter().filter(|entry| entry.code.starts_with('Q')) {
        let Some(wrong) = entry.wrong else { continue };
        let before = told(wrong);
        let mut edits: Vec<&Edit> = before
            .iter()
            .filter_map(|error| error.edit.as_ref())
            .collect();
        if edits.is_empty() {
            continue;
        }
        changed += 1;
        // From the end, so that places before a change stay where they are.
        edits.sort_by_key(|edit| std::cmp::Reverse(edit.span.start));
        let text = edits
            .iter()
            .fold(wrong.to_owned(), |text, edit| edit.apply(&text));
        assert!(parse(&text).is_ok(), "{}: {text}", entry.code);
        // What the corpus makes of a sentence is another matter than its spelling.
        if parse(wrong).is_ok() {
            let after = told(&text);
            assert!(
                after.len() < before.len(),
                "{}: {text}\n{after:#?}",
                entry.code
            );
        }
    }
    assert!(changed >= 12, "{changed} changes");
}

/// The wrong example of every page of the language and of names earns its code, the right one
/// does not.
#[test]
fn pages_of_names_hold_true_examples() {
    for entry in CODES.iter().filter(|entry| entry.code.starts_with('Q')) {
        let (Some(wrong), Some(right)) = (entry.wrong, entry.right) else {
            continue;
        };
        let codes: Vec<&str> = told(wrong).iter().map(|error| error.code).collect();
        assert!(codes.contains(&entry.code), "{}: {codes:?}", entry.code);
        let codes: Vec<&str> = told(right).iter().map(|error| error.code).collect();
        assert!(!codes.contains(&entry.code), "{}: {right}", entry.code);
    }
}

/// Whether a suggestion is near: reached by slips in a third of the word's letters, at least one,
/// or one holds the other. Blanks and hyphens do not count in names.
fn is_near(word: &str, suggestion: &str) -> bool {
    let fold = |text: &str| text.to_lowercase().replace([' ', '-'], "");
    let near = |word: &str, other: &str| {
        let most = (word.chars().count() / 3).max(1);
        distance(word, other) <= most || word.contains(other) || other.contains(word)
    };
    near(&word.to_lowercase(), &suggestion.to_lowercase()) || near(&fold(word), &fold(suggestion))
}

/// Fewest letters added, dropped, changed, or swapped with the next: the plain table, apart from
/// the crate that the program uses.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut table = vec![vec![0; b.len() + 1]; a.len() + 1];
    for i in 0..=a.len() {
        for j in 0..=b.len() {
            table[i][j] = if i == 0 || j == 0 {
                i + j
            } else {
                let change = usize::from(a[i - 1] != b[j - 1]);
                let mut least = (table[i - 1][j] + 1)
                    .min(table[i][j - 1] + 1)
                    .min(table[i - 1][j - 1] + change);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    least = least.min(table[i - 2][j - 2] + 1);
                }
                least
            };
        }
    }
    table[a.len()][b.len()]
}

/// Spoils a word by slips of the hand.
fn slip(word: &str, slips: usize, random: &mut Random) -> String {
    let mut letters: Vec<char> = word.chars().collect();
    for _ in 0..slips {
        let at = random.below(letters.len().max(1));
        match random.below(4) {
            0 if letters.len() > 1 => {
                letters.remove(at);
            }
            1 => letters.insert(at, *random.pick(&['a', 'e', 'n', 's', 'x'])),
            2 if at + 1 < letters.len() => letters.swap(at, at + 1),
            _ => {
                if let Some(letter) = letters.get_mut(at) {
                    *letter = *random.pick(&['a', 'e', 'n', 's', 'x']);
                }
            }
        }
    }
    letters.into_iter().collect()
}

/// No suggestion is further from what was typed than a third of its letters, over all names of the
/// corpus and every reserved word.
#[test]
fn no_suggestion_is_far_fetched() {
    let pack = embedded();
    let names: Vec<&str> = pack
        .names()
        .iter()
        .map(|named| named.shown.as_str())
        .chain(KEYWORDS.iter().map(|(_, word, _)| *word))
        .chain(VERBS.iter().map(|(_, word, ..)| *word))
        .collect();
    assert!(names.len() > 1_000, "{}", names.len());
    let mut random = Random::new(1_907);
    let (mut told, mut back, mut tried) = (0, 0, 0);
    for _ in 0..1_500 {
        let name = *random.pick(&names);
        let slips = 1 + random.below(3);
        let word = slip(name, slips, &mut random);
        let found = did_you_mean(&word, names.iter().copied());
        for near in &found {
            assert!(is_near(&word, near), "`{word}` gives `{near}`");
        }
        told += found.len();
        if slips == 1 && name.chars().count() > 5 {
            tried += 1;
            back += usize::from(word == name || found.contains(&name));
        }
    }
    assert!(told > 1_000, "{told} suggestions");
    // One slip in a long word is put right, unless three others are as near.
    assert!(back * 10 > tried * 8, "{back} of {tried} put right");
}

/// What messages say to type after a misspelt name is near to it as well.
#[test]
fn no_message_suggests_a_far_name() {
    let pack = embedded();
    let mut random = Random::new(1_871);
    let names: Vec<String> = (0..pack.count(Kind::Material))
        .filter_map(|index| pack.record(Kind::Material, index))
        .map(|record| record.head().names.name.clone())
        .filter(|name| !name.contains(|c: char| !c.is_alphanumeric() && c != ' '))
        .collect();
    let mut told_of = 0;
    for _ in 0..300 {
        let slips = 1 + random.below(2);
        let name: &String = random.pick(&names);
        let word = slip(name, slips, &mut random);
        let text = format!("find {word}");
        for error in told(&text).iter().filter(|error| error.code == "Q0301") {
            let help = error.help.as_deref().unwrap_or_default();
            let Some(first) = help.strip_prefix("write `") else {
                continue;
            };
            let suggestion = first.split('`').next().unwrap_or_default();
            told_of += 1;
            assert!(is_near(&word, suggestion), "`{word}`: {help}");
        }
    }
    assert!(told_of > 60, "{told_of}");
}
