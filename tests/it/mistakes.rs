//! Mistakes in queries: each is named, in its place, with what to type.

use std::collections::BTreeSet;

use palinode::diag::{Diagnostic, code_entry};
use palinode::lang::parse;
use palinode::span::Source;

/// Mistakes: text, code, line:column of the primary label.
const MISTAKES: &[(&str, &str, &str)] = &[
    ("select coating where tg > 30 C", "Q0205", "1:1"),
    ("fnd coating", "Q0205", "1:1"),
    ("explain why find coating", "Q0205", "1:9"),
    ("explain", "Q0205", "1:8"),
    ("let old = ", "Q0205", "1:10"),
    ("Find coating", "Q0110", "1:1"),
    ("find adhesive where a AND b", "Q0110", "1:23"),
    ("remove shellac From oak", "Q0110", "1:16"),
    ("find adhesive where family = acrylic", "Q0212", "1:28"),
    ("find adhesive where family == acrylic", "Q0111", "1:28"),
    ("find adhesive where family != acrylic", "Q0111", "1:28"),
    ("find adhesive where a && b", "Q0111", "1:23"),
    ("find adhesive where a||b", "Q0111", "1:22"),
    ("find adhesive where !a", "Q0111", "1:21"),
    ("find adhesive where a and b or c", "Q0207", "1:29"),
    ("find adhesive where not (a or b and c)", "Q0207", "1:33"),
    ("find adhesive where a, b", "Q0206", "1:22"),
    ("find adhesive where tg > 30 c", "Q0401", "1:29"),
    ("find adhesive where tg > 30c", "Q0401", "1:28"),
    ("find adhesive where tg > 30 degrees", "Q0401", "1:29"),
    ("find adhesive where stable at 30mn", "", ""),
    ("find adhesive where tg > 30mn", "Q0401", "1:28"),
    ("find adhesive where soluble at 30c", "Q0401", "1:34"),
    ("find adhesive where strength > 500 psi", "Q0401", "1:36"),
    ("find adhesive where tg > paraloid", "Q0206", "1:26"),
    ("find adhesive where tg > 5-10 C", "Q0107", "1:26"),
    ("find adhesive where tg > 5–10 C", "Q0107", "1:26"),
    ("find adhesive where tg > 5 to 10 C", "Q0107", "1:26"),
    ("find adhesive where tg > 5 - 10 C", "Q0102", "1:28"),
    ("find adhesive where tg > 5 .. 10 C", "Q0108", "1:26"),
    ("find adhesive where tg > 0,5 C", "Q0106", "1:26"),
    ("find adhesive where mass > 1,500 g/mol", "Q0106", "1:28"),
    ("find adhesive where tg > .5 C", "Q0108", "1:26"),
    ("find adhesive where tg > 1.5.2 C", "Q0108", "1:26"),
    ("find adhesive where tg is 10..5 C", "Q0109", "1:27"),
    ("find adhesive where mixed in water 0:1", "Q0108", "1:36"),
    ("find adhesive about 'tear'", "Q0113", "1:21"),
    ("find adhesive about `tear`", "Q0113", "1:21"),
    ("find adhesive about \"tear", "Q0104", "1:21"),
    ("find adhesive about “tear", "Q0104", "1:21"),
    ("find adhesive about \"\"", "Q0105", "1:21"),
    ("find adhesive about tear mending limit 3", "Q0206", "1:21"),
    ("find adhesive where note matches tear", "Q0206", "1:34"),
    ("find adhesive [clear]", "Q0112", "1:15"),
    ("find poly(vinyl acetate) resin", "Q0206", "1:6"),
    ("remove poly(vinyl acetate) resin from oak", "Q0206", "1:8"),
    (
        "remove poly(methyl methacrylate) (later, film) from oak",
        "Q0206",
        "1:8",
    ),
    ("find adhesive*", "Q0102", "1:14"),
    ("find adhesive.", "Q0102", "1:14"),
    ("find adhesive?", "Q0102", "1:14"),
    ("find adhesive -- clear", "Q0102", "1:15"),
    ("find adhe\u{200b}sive", "Q0103", "1:10"),
    ("find adhesive # \u{202e}x", "Q0103", "1:17"),
    ("find adhesive\u{7}", "Q0103", "1:14"),
    ("find", "Q0214", "1:5"),
    ("find where tg > 3 C", "Q0215", "1:6"),
    ("find adhesive rank tg", "Q0206", "1:20"),
    ("find adhesive include all", "Q0206", "1:23"),
    ("find adhesive limit five", "Q0206", "1:21"),
    ("find adhesive limit 0", "Q0210", "1:21"),
    ("find adhesive limit -5", "Q0210", "1:21"),
    ("find adhesive limit 5 limit 6", "Q0208", "1:23"),
    ("find adhesive where (a and b", "Q0216", "1:29"),
    ("find adhesive where a)", "Q0216", "1:22"),
    ("find adhesive where not not a", "Q0215", "1:25"),
    ("identify coating over gesso", "Q0206", "1:18"),
    ("identify coating that", "Q0214", "1:22"),
    ("identify coating that is", "Q0214", "1:25"),
    ("identify coating that dissolves in", "Q0214", "1:35"),
    (
        "identify coating that dissolves in ethanol (",
        "Q0214",
        "1:45",
    ),
    (
        "identify coating that dissolves in ethanol (a",
        "Q0216",
        "1:46",
    ),
    (
        "identify coating that dissolves in ethanol and acetone",
        "Q0206",
        "1:44",
    ),
    (
        "identify coating that dissolves in ethanol or acetone",
        "Q0206",
        "1:44",
    ),
    ("identify coating that melts at 30 c", "Q0401", "1:35"),
    ("identify coating (12 MM deep)", "Q0401", "1:22"),
    ("identify coating restored 1920s", "Q0211", "1:27"),
    ("identify coating restored 0.5..2", "Q0211", "1:27"),
    ("identify coating restored about 1920", "Q0206", "1:27"),
    ("remove shellac", "Q0214", "1:15"),
    ("remove shellac, wax from oak", "Q0206", "1:15"),
    ("remove shellac from", "Q0214", "1:20"),
    ("remove over paint from oak", "Q0215", "1:8"),
    ("remove shellac from gilding -> bole", "Q0102", "1:29"),
    ("choose adhesive where clear for walnut", "Q0206", "1:17"),
    ("choose adhesive for walnut, walnut", "Q0206", "1:27"),
    (
        "choose adhesive for walnut reversible 50 years",
        "Q0206",
        "1:39",
    ),
    ("compare isinglass and epoxy by tg", "Q0206", "1:19"),
    ("compare isinglass, epoxy", "Q0214", "1:25"),
    ("blend dissolve dammar", "Q0206", "1:7"),
    ("blend to dissolve dammar without wax", "Q0206", "1:26"),
    ("prepare paraloid b-72 in acetone", "Q0206", "1:9"),
    ("prepare 250 ml paraloid b-72", "Q0206", "1:16"),
    ("prepare 250 ML of 8 % w/v isinglass", "Q0401", "1:13"),
    (
        "prepare 250 ml of 8 % w/v isinglass by water",
        "Q0206",
        "1:37",
    ),
    (
        "ventilate 80 Ml ethanol during 20 min in 60 m3 at 4 air changes",
        "Q0401",
        "1:14",
    ),
    (
        "ventilate 80 ml ethanol during 20 min in 60 m3",
        "Q0209",
        "1:47",
    ),
    ("ventilate 80 ml ethanol for 20 min", "Q0206", "1:25"),
    ("let old paint = find coating", "Q0206", "1:9"),
    ("let old find coating", "Q0206", "1:9"),
    ("", "Q0201", "1:1"),
    ("# nothing\n", "Q0201", "1:10"),
    ("edition 1;", "Q0201", "1:11"),
    ("find a;; find b", "Q0202", "1:8"),
    ("; find b", "Q0202", "1:1"),
    ("edition 2; find a", "Q0204", "1:9"),
    ("edition 1 find a", "Q0213", "1:10"),
    ("edition; find a", "Q0213", "1:8"),
    ("find a;\nremove b", "Q0214", "2:9"),
];

/// What people type at first, with the change that is offered, if any: it
/// makes a sentence of it.
const HABITS: &[(&str, &str, Option<&str>)] = &[
    (
        "remove shellac off oak",
        "Q0206",
        Some("remove shellac from oak"),
    ),
    (
        "remove varnish of the oil painting",
        "Q0206",
        Some("remove varnish from the oil painting"),
    ),
    (
        "identify coating on oak which dissolves in acetone",
        "Q0206",
        Some("identify coating on oak that dissolves in acetone"),
    ),
    (
        "identify coating on oak that dissolves in acetone but not in water",
        "Q0206",
        None,
    ),
    (
        "identify coating on oak, it dissolves in acetone",
        "Q0206",
        None,
    ),
    ("identify coating with green fluorescence", "Q0206", None),
    (
        "identify adhesive in joint that swells in acetone",
        "Q0206",
        None,
    ),
    (
        "identify adhesive from around 1930 that is brittle",
        "Q0206",
        None,
    ),
    (
        "identify adhesive that smells of camphor when heated",
        "Q0206",
        None,
    ),
    (
        "identify adhesive restored in 1930 that is brittle",
        "Q0206",
        Some("identify adhesive restored 1930 that is brittle"),
    ),
    (
        "identify adhesive restored before 1930",
        "Q0206",
        Some("identify adhesive restored ..1930"),
    ),
    (
        "identify adhesive restored after 1930",
        "Q0206",
        Some("identify adhesive restored 1930.."),
    ),
    (
        "identify adhesive restored 19th century",
        "Q0206",
        Some("identify adhesive restored 1801..1900"),
    ),
    ("identify adhesive restored circa 1930", "Q0206", None),
    (
        "find glue that dissolves in acetone",
        "Q0206",
        Some("find glue where dissolves in acetone"),
    ),
    (
        "find glue that soluble in acetone",
        "Q0206",
        Some("find glue where soluble in acetone"),
    ),
    (
        "find coating with tg > 30 C",
        "Q0206",
        Some("find coating where tg > 30 C"),
    ),
    (
        "find coating without tg",
        "Q0206",
        Some("find coating where not tg"),
    ),
    ("find solvent for shellac", "Q0206", None),
    (
        "find adhesive sort by tg",
        "Q0206",
        Some("find adhesive rank by tg"),
    ),
    (
        "find adhesive where tg above 30 C",
        "Q0206",
        Some("find adhesive where tg > 30 C"),
    ),
    (
        "find adhesive where tg less than 30 C",
        "Q0206",
        Some("find adhesive where tg < 30 C"),
    ),
    (
        "find adhesive where tg between 20 and 40 C",
        "Q0206",
        Some("find adhesive where tg is 20..40 C"),
    ),
    (
        "find adhesive where tg between 20 C and 40 C",
        "Q0206",
        Some("find adhesive where tg is 20..40 C"),
    ),
    (
        "find adhesive where tg at least 30 C",
        "Q0218",
        Some("find adhesive where tg >= 30 C"),
    ),
    (
        "find adhesive where shrinkage at most 0.5 %",
        "Q0206",
        Some("find adhesive where shrinkage <= 0.5 %"),
    ),
    ("identify coating that melts at least 60 C", "Q0218", None),
    ("find adhesive where clear and reversible", "Q0215", None),
    (
        "find solvent show boils, limit",
        "Q0215",
        Some("find solvent show boils, \"limit\""),
    ),
    (
        "remove shellac from oak without using water",
        "Q0215",
        Some("remove shellac from oak without water"),
    ),
    (
        "remove shellac from oak without heat or water",
        "Q0206",
        Some("remove shellac from oak without heat, water"),
    ),
    ("remove shellac from oak with a gel", "Q0206", None),
    (
        "remove shellac from oak where water is not allowed",
        "Q0206",
        None,
    ),
    ("remove overpaint over oil paint", "Q0214", None),
    (
        "how do I remove shellac from oak",
        "Q0205",
        Some("remove shellac from oak"),
    ),
    ("what dissolves shellac?", "Q0205", None),
    ("shellac", "Q0205", None),
    ("remove shellac from oak; given oak is damp", "Q0205", None),
    (
        "identify coating that doesn't dissolve in water",
        "Q0217",
        Some("identify coating that does not dissolve in water"),
    ),
    (
        "identify coating that doesnt dissolve in water",
        "Q0217",
        Some("identify coating that does not dissolve in water"),
    ),
    (
        "identify coating that didn't dissolve in water",
        "Q0217",
        Some("identify coating that does not dissolve in water"),
    ),
    (
        "identify coating that isn’t soluble in water",
        "Q0217",
        Some("identify coating that is not soluble in water"),
    ),
    (
        "identify coating that is never soluble in water",
        "Q0217",
        Some("identify coating that is not soluble in water"),
    ),
    (
        "identify coating that cannot be dissolved in water",
        "Q0217",
        Some("identify coating that is not dissolved in water"),
    ),
    (
        "let old := identify coating",
        "Q0111",
        Some("let old  =  identify coating"),
    ),
    (
        "find adhesive where tg is 20...30 C",
        "Q0107",
        Some("find adhesive where tg is 20..30 C"),
    ),
    ("find wax & resin", "Q0111", None),
    (
        "find coating where clear\nremove shellac from oak",
        "Q0219",
        Some("find coating where clear;\nremove shellac from oak"),
    ),
    ("prepare 5 % solution of isinglass in water", "Q0206", None),
];

#[test]
fn habits_are_answered_with_what_is_typed_here() {
    for (text, code, wanted) in HABITS {
        let errors = parse(text).expect_err(text);
        let first = &errors[0];
        let told = format!("{text}: {first:#?}");
        assert_eq!(first.code, *code, "{told}");
        let changed = first.edit.as_ref().map(|edit| edit.apply(text));
        assert_eq!(changed.as_deref(), *wanted, "{told}");
        assert!(first.help.is_some(), "{told}");
        if let Some(changed) = changed {
            assert!(parse(&changed).is_ok(), "{changed}");
        }
    }
}

fn place(text: &str, error: &Diagnostic) -> String {
    let span = error.span().expect("a place");
    let place = Source::new("query", text).place(span.start as usize);
    format!("{}:{}", place.line, place.column)
}

#[test]
fn mistakes_are_named_in_their_place() {
    for (text, code, wanted) in MISTAKES {
        match parse(text) {
            // A word that touches a number may be a name: only the corpus
            // can tell.
            Ok(_) => assert_eq!(*code, "", "{text}"),
            Err(errors) => {
                let first = &errors[0];
                assert_eq!(
                    (first.code, &*place(text, first)),
                    (*code, *wanted),
                    "{text}"
                );
            }
        }
    }
    let codes: BTreeSet<&str> = MISTAKES.iter().map(|(_, code, _)| *code).collect();
    assert!(MISTAKES.len() >= 90 && codes.len() >= 25);
}

#[test]
fn mistakes_are_worded_alike() {
    let habits = HABITS.iter().map(|(text, ..)| text);
    for text in MISTAKES.iter().map(|(text, ..)| text).chain(habits) {
        for error in parse(text).err().into_iter().flatten() {
            let told = format!("{text}: {error:#?}");
            assert!(code_entry(error.code).is_some(), "{told}");
            let primary = error.labels.iter().filter(|label| label.primary).count();
            assert_eq!(primary, 1, "{told}");
            assert!(error.help.is_some(), "{told}");
            let labels = error.labels.iter().map(|label| &label.text);
            for line in std::iter::once(&error.message).chain(labels) {
                assert!(!line.is_empty() && !line.ends_with(['.', '!']), "{told}");
                assert!(!line.starts_with(char::is_uppercase), "{told}");
            }
            let all = format!("{error:?}").to_lowercase();
            for word in [" you ", " your ", "please", "sorry", "invalid"] {
                assert!(!all.contains(word), "{told}");
            }
            for label in &error.labels {
                let range = label.span.range();
                assert!(range.end <= text.len(), "{told}");
                assert!(text.is_char_boundary(range.start), "{told}");
                assert!(text.is_char_boundary(range.end), "{told}");
            }
        }
    }
}

#[test]
fn edits_put_the_mistake_right() {
    let mut edits = 0;
    for (text, ..) in MISTAKES {
        let Err(errors) = parse(text) else { continue };
        for error in &errors {
            let Some(edit) = &error.edit else { continue };
            edits += 1;
            let changed = edit.apply(text);
            let left = parse(&changed).err().unwrap_or_default();
            assert!(left.len() < errors.len(), "{text}\n{changed}\n{left:#?}");
        }
    }
    assert!(edits >= 40, "{edits} edits");
}

#[test]
fn mixed_joints_show_both_ways() {
    let errors = parse("find a where b or c and not (d or e) and f").expect_err("mixed");
    assert_eq!(
        errors[0].help.as_deref(),
        Some("`b or (c and not (d or e) and f)` or `(b or c) and not (d or e) and f`")
    );
}

#[test]
fn one_mistake_in_each_statement_is_reported() {
    let errors = parse("fnd a; find b; remove c; find d limit 0").expect_err("three");
    let codes: Vec<&str> = errors.iter().map(|error| error.code).collect();
    assert_eq!(codes, ["Q0205", "Q0214", "Q0210"]);
}

/// A name that the corpus knows with its bracket is not read as another one with notes.
#[test]
fn a_bracket_right_behind_a_name_is_offered_in_quotes() {
    let edit = |text: &str| {
        let file = parse(text).unwrap();
        let errors = palinode::resolve::resolve(&file, text, palinode::embedded(), 2026);
        let edit = errors.unwrap_err()[0].edit.clone().expect("an edit");
        edit.apply(text)
    };
    assert_eq!(
        edit("remove poly(vinyl alcohol) from oak"),
        "remove \"poly(vinyl alcohol)\" from oak"
    );
    assert_eq!(
        edit("remove shellak(film) from oak"),
        "remove shellac(film) from oak"
    );
}
