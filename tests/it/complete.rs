//! Completion: what is offered is taken by the parser, names resolve, and the right words are there.
//! Also the ending of statements, and the tables of the language that all this is made from.

mod places;

use std::collections::BTreeSet;
use std::sync::OnceLock;

use palinode::complete::{Bound, Candidate, Ending, Vocabulary, complete, ending};
use palinode::lang::reserved::{
    CLAUSE_FORMS, KEYWORDS, SIGNS, VERBS, Verb, about_word, clauses_of,
};
use palinode::lang::{Expected, expected_at, parse};
use palinode::resolve::resolve;
use palinode::{embedded, lang};

use places::{PREFIXES, SENTENCES};

fn vocabulary() -> &'static Vocabulary {
    static WORDS: OnceLock<Vocabulary> = OnceLock::new();
    WORDS.get_or_init(|| Vocabulary::of(embedded()))
}

/// What is offered at the end of a text, in a session that knows `old`.
fn offered(text: &str) -> Vec<Candidate> {
    let bound = [
        Bound {
            name: "old".to_owned(),
            verb: Verb::Identify,
        },
        Bound {
            name: "list".to_owned(),
            verb: Verb::Find,
        },
    ];
    complete(text, text.len(), vocabulary(), &bound)
}

/// The text with a candidate put in.
fn with(it: &Candidate, text: &str) -> String {
    format!("{}{}", &text[..it.from], it.replacement)
}

fn words(text: &str) -> Vec<String> {
    offered(text).into_iter().map(|c| c.replacement).collect()
}

/// The property that matters: what is offered, the parser takes. A mistake that is found at the end
/// only, because the statement goes on, is no mistake yet.
#[test]
fn nothing_is_offered_that_the_parser_refuses() {
    let beginnings = SENTENCES
        .iter()
        .flat_map(|s| (1..=s.len()).map(|k| &s[..k]));
    let mut wrong = Vec::new();
    let mut tried = 0;
    for prefix in PREFIXES.iter().copied().chain(beginnings) {
        for candidate in offered(prefix) {
            let text = with(&candidate, prefix);
            // The blank ends the last word, so that it counts.
            let after = format!("{text} ");
            let goes_on = !expected_at(&after, after.len()).is_empty();
            if !goes_on && parse(&text).is_err() {
                wrong.push(format!("`{prefix}` offers `{}`", candidate.replacement));
            }
            tried += 1;
        }
    }
    let shown = wrong.iter().take(40).cloned().collect::<Vec<_>>();
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), shown.join("\n"));
    assert!(tried > 10_000, "only {tried} candidates");
}

/// Every candidate says what it is, keeps what was typed, and stands once.
#[test]
fn candidates_are_described_and_stand_once() {
    for prefix in PREFIXES {
        let mut seen = BTreeSet::new();
        for candidate in offered(prefix) {
            assert!(candidate.from <= prefix.len(), "`{prefix}`");
            assert!(prefix.is_char_boundary(candidate.from), "`{prefix}`");
            let shown = &candidate.display;
            assert!(!candidate.description.is_empty(), "`{prefix}`: `{shown}`");
            assert!(
                !candidate.description.contains('\n'),
                "`{prefix}`: `{shown}`"
            );
            assert!(
                seen.insert((candidate.from, candidate.replacement.clone())),
                "`{prefix}` offers `{shown}` twice"
            );
        }
    }
}

/// At places where the grammar wants a name, a statement is finished with each name that is offered,
/// and must resolve.
#[test]
fn names_that_are_offered_resolve() {
    let places: &[(&str, &str)] = &[
        ("find ", ""),
        ("find s", ""),
        ("find material where known(", ")"),
        ("find solvent rank by ", ""),
        ("find material show ", ""),
        ("find material where removable with ", ""),
        ("find material where removable with e", ""),
        ("find material where applied-in is ", ""),
        ("find material where met is ", ""),
        ("find material where uv is ", ""),
        ("find material where tg > 30 ", ""),
        ("find material where uv is orange when ", ""),
        ("identify ", ""),
        ("identify p", ""),
        ("identify schel", ""),
        ("identify gomma", ""),
        ("identify coating on glasu", ""),
        ("identify coating (", ")"),
        ("identify coating (not ", ")"),
        ("identify coating on ", ""),
        ("identify coating on g", ""),
        ("identify coating on bronze over ", ""),
        ("identify coating on bronze (", ")"),
        ("identify coating that fluoresces ", ""),
        ("identify coating that smells of ", ""),
        ("identify coating that looks ", ""),
        ("identify coating that feels ", ""),
        ("identify coating that dissolves in ", ""),
        ("identify coating that dissolves in b", ""),
        ("identify coating that is unaffected by ", ""),
        ("identify coating that does not dissolve in ", ""),
        ("identify coating that is negative to ", ""),
        ("identify coating that fluoresces orange under ", ""),
        ("identify coating that dissolves in ethanol (", ")"),
        ("identify coating that dissolves in ethanol (not ", ")"),
        ("remove ", " from bronze"),
        ("remove a", " from bronze"),
        ("remove shellac (", ") from bronze"),
        ("remove shellac from ", ""),
        ("remove shellac from bronze (", ")"),
        ("remove shellac from bronze without ", ""),
        ("remove shellac from bronze allowing ", ""),
        (
            "remove shellac from bronze given bronze is unaffected by ",
            "",
        ),
        ("remove shellac from bronze given bronze ", " in ethanol"),
    ];
    let mut wrong = Vec::new();
    let mut tried = 0;
    for (before, after) in places {
        for candidate in offered(before) {
            let made = with(&candidate, before);
            let typed = &made[candidate.from..];
            // Names only: a word of the language goes on to another name.
            let language = lang::lex::lex(typed).tokens.iter().any(|t| {
                matches!(t.kind, lang::token::TokenKind::Keyword(_)) || t.kind.sign().is_some()
            });
            let goes_on = language
                || about_word(typed).is_some()
                || matches!(typed, "does not" | "known(" | "unknown(");
            if goes_on {
                continue;
            }
            let bound = if typed == "old" {
                "let old = identify coating; "
            } else {
                ""
            };
            let text = format!("{bound}{made}{after}");
            tried += 1;
            match parse(&text) {
                Ok(file) => {
                    if let Err(list) = resolve(&file, &text, embedded(), 2026) {
                        wrong.push(format!("{text}: {}", list[0].message));
                    }
                }
                Err(list) => wrong.push(format!("{text}: {}", list[0].message)),
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {tried}:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(tried > 1_000, "only {tried} names");
}

/// What a user would look for is there, and what makes no sense is not.
#[test]
fn the_right_words_are_offered() {
    let table: &[(&str, &[&str], &[&str])] = &[
        (
            "",
            &["find", "identify", "remove", "let", "explain"],
            &["over", "shellac"],
        ),
        ("fi", &["find"], &["identify"]),
        ("let old ", &["="], &["find"]),
        (
            "identify coating on water gil",
            &["water gilding"],
            &["gilding"],
        ),
        (
            "remove ",
            &["old", "shellac", "coating"],
            &["list", "bronze"],
        ),
        ("identify ", &["coating", "shellac"], &["old", "ethanol"]),
        ("identify var", &["varnish"], &["coating"]),
        ("identify schel", &["Schellack"], &[]),
        ("identify adh", &["adhesive"], &["adhesivo UV"]),
        (
            "find material where tg > 30 ",
            &["C", "K", "F"],
            &["mm", "%"],
        ),
        ("find solvent where ", &["flash", "boils"], &["tg"]),
        (
            "find material where ",
            &["tg", "removable", "known("],
            &["flash"],
        ),
        (
            "identify coating that ",
            &["fluoresces", "dissolves", "is"],
            &["dissolve", "unaffected"],
        ),
        (
            "identify coating that does not ",
            &["dissolve"],
            &["dissolves"],
        ),
        (
            "identify coating that is ",
            &["unaffected", "brittle"],
            &["dissolves"],
        ),
        ("identify coating that fluoresces ", &["orange"], &["melts"]),
        (
            "identify coating that dissolves in ",
            &["ethanol"],
            &["common solvents", "shellac"],
        ),
        (
            "identify coating that is unaffected by ",
            &["common solvents"],
            &[],
        ),
        (
            "identify coating that dissolves in ethanol (",
            &["crumb", "clean crumb"],
            &["film", "flaking"],
        ),
        (
            "identify coating that dissolves in ethanol (crumb, 1 ",
            &["min", "s"],
            &["mm"],
        ),
        (
            "identify coating (",
            &["film", "deep joint", "later"],
            &["crumb"],
        ),
        ("identify coating (deep joint 12 ", &["mm"], &["min"]),
        (
            "identify coating on bronze (",
            &["flaking", "corroded"],
            &["film"],
        ),
        (
            "remove shellac from bronze over bole given ",
            &["bronze", "bole"],
            &["gesso"],
        ),
        (
            "remove shellac from bronze without ",
            &["water", "heat"],
            &["bronze"],
        ),
        (
            "ventilate 80 ml ethanol at 4 air ch",
            &["air changes"],
            &["C"],
        ),
        ("prepare 250 ml of 8 ", &["% w/v"], &["C"]),
        ("find material where met is ", &["often"], &["tg"]),
    ];
    for (prefix, wanted, unwanted) in table {
        let got = words(prefix);
        for word in *wanted {
            assert!(
                got.iter().any(|w| w == word),
                "`{prefix}`: no `{word}` in {got:?}"
            );
        }
        for word in *unwanted {
            assert!(
                got.iter().all(|w| w != word),
                "`{prefix}`: `{word}` in {got:?}"
            );
        }
    }
}

/// Names are as forgiving here as in a query; a whole word is followed by what may stand after it.
#[test]
fn spelling_is_forgiven_and_whole_words_are_followed() {
    let one = |text: &str| offered(text).first().map(|c| with(c, text));
    assert_eq!(
        one("find paraloid b7").as_deref(),
        Some("find Paraloid B-72"),
        "case and hyphens do not count"
    );
    let after = words("identify coating on");
    assert!(after.contains(&" water gilding".to_owned()), "{after:?}");
    let after = words("find material where tg > 30");
    assert!(after.contains(&" C".to_owned()), "{after:?}");
    // A name that is no name is followed by nothing.
    assert!(words("find xyzzy").is_empty());
    // Nothing in a remark, in a quotation, and after a mistake.
    for text in [
        "find coating # a",
        "find coating about \"fla",
        "find where ",
        "nonsense ",
    ] {
        assert!(words(text).is_empty(), "{text}: {:?}", words(text));
    }
    // The cursor may stand within a text, and within a character.
    let text = "find é";
    assert!(complete(text, 6, vocabulary(), &[]).len() <= offered("find ").len());
    assert_eq!(
        complete("find coating", 2, vocabulary(), &[])[0].replacement,
        "find"
    );
}

/// Wherever a statement may stop, completion answers without a panic.
#[test]
fn completion_bears_any_text() {
    let odd = "((((()))) ; ;; of 8 % w/v 1:3 + = < <= \" « é ü 12..30 mm, not not is is (not";
    let texts = SENTENCES.iter().copied().chain([odd]);
    for text in texts {
        for cursor in 0..=text.len() + 2 {
            let _ = complete(text, cursor, vocabulary(), &[]);
        }
    }
}

#[test]
fn statements_end_where_the_user_says_so() {
    let table = [
        ("", Ending::Empty),
        ("  \n ", Ending::Empty),
        ("# only a remark", Ending::Empty),
        ("find coating", Ending::Open),
        ("find coating;", Ending::Ended),
        ("find coating; # done", Ending::Ended),
        ("find coating # not yet;", Ending::Open),
        ("find coating\n", Ending::Ended),
        ("find coating\n  ", Ending::Ended),
        ("identify coating on oil gilding\n  that", Ending::Open),
        ("identify coating (film,", Ending::Open),
        ("find coating; find", Ending::Open),
        ("find", Ending::Open),
        ("find coating where", Ending::Open),
        ("fnd coating", Ending::Wrong),
        ("find where", Ending::Wrong),
        ("find coating about \"flaking", Ending::Wrong),
        ("find coating limit 0", Ending::Open),
        ("!", Ending::Wrong),
    ];
    for (text, wanted) in table {
        assert_eq!(ending(text), wanted, "{text:?}");
    }
}

/// What is open can be ended well or continued; what is called wrong does not parse.
#[test]
fn wrong_is_only_what_cannot_be_mended() {
    for prefix in PREFIXES {
        match ending(prefix) {
            Ending::Wrong => assert!(parse(prefix).is_err(), "{prefix:?}"),
            Ending::Open => {
                let line = format!("{prefix}\n");
                let may_go_on = !expected_at(&line, line.len()).is_empty();
                assert!(may_go_on || parse(prefix).is_ok(), "{prefix:?}");
            }
            Ending::Ended | Ending::Empty => {}
        }
    }
}

/// A field whose key is a reserved word is written otherwise, and that word names it too.
#[test]
fn every_field_can_be_written() {
    for field in palinode::model::attribute::every_field() {
        let word = palinode::complete::field_word(field);
        let noun = match field.kinds[0] {
            palinode::model::Kind::Family => "families",
            kind => kind.noun(),
        };
        let query = format!("find {noun} where known({word})");
        let file = parse(&query).unwrap_or_else(|e| panic!("{query}: {}", e[0].message));
        let checked = resolve(&file, &query, embedded(), 2026);
        assert!(checked.is_ok(), "{query}: {:?}", checked.err());
    }
}

/// The tables of the language are whole: each word, sign, verb and clause has a line of its own.
#[test]
fn every_word_of_the_language_has_a_line() {
    for (keyword, word, about) in KEYWORDS {
        assert!(!about.is_empty(), "{word}");
        let starts_a_clause = VERBS.iter().any(|(v, ..)| clauses_of(*v).contains(keyword));
        let has_a_form = CLAUSE_FORMS.iter().any(|(own, _)| own == keyword);
        assert_eq!(starts_a_clause, has_a_form, "{word}");
    }
    for (keyword, form) in CLAUSE_FORMS {
        assert!(form.starts_with(keyword.head()), "{form}");
    }
    for (verb, word, about, example) in VERBS {
        assert!(!about.is_empty() && verb.form().starts_with(word), "{word}");
        assert!(parse(example).is_ok(), "{example}");
    }
    // Whatever the parser may expect has its line.
    for prefix in PREFIXES {
        for expected in expected_at(prefix, prefix.len()) {
            match expected {
                Expected::Word(word) => assert!(about_word(word).is_some(), "{word}"),
                Expected::Sign(sign) => {
                    assert!(SIGNS.iter().any(|(own, _)| *own == sign), "{sign}");
                }
                _ => {}
            }
        }
    }
}

/// Completion is asked at every press of a key: 5 ms at most. The best of several rounds counts, for
/// the machine may have other things to do. `--nocapture` shows the times.
#[test]
fn completion_is_quick() {
    let start = std::time::Instant::now();
    std::hint::black_box(Vocabulary::of(embedded()));
    println!("reading the words of the corpus: {:?}", start.elapsed());
    let mut slowest = (std::time::Duration::ZERO, "");
    for prefix in PREFIXES {
        let time = |_| {
            let start = std::time::Instant::now();
            std::hint::black_box(offered(prefix));
            start.elapsed()
        };
        let best = (0..10).map(time).min().unwrap_or_default();
        if best > slowest.0 {
            slowest = (best, prefix);
        }
    }
    let (time, prefix) = slowest;
    println!(
        "{} prefixes; slowest {time:?} at `{prefix}`",
        PREFIXES.len()
    );
    assert!(time.as_micros() < 5_000, "{time:?} at `{prefix}`");
}
