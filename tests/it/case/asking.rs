//! Questions built from a case, their gist, and asking them again.

use std::path::Path;

use palinode::case::{self, Asker, Case, Outcome};
use palinode::embedded;
use palinode::render;

use super::{DEMO, SMALL, done, err, out, run, written};
use crate::engines::NOW;

fn demo() -> Case {
    case::load(Path::new(DEMO)).unwrap().case
}

/// What a question becomes: the whole text, as it would be typed.
#[test]
fn a_question_is_filled_in_from_the_case() {
    let case = demo();
    let seen = "looks brown, shows metal flakes under lens, \
                is unaffected by white spirit (crumb, 5 min), \
                is unaffected by water (crumb, 5 min), dissolves in acetone (crumb, 1 min), \
                turns blue with diphenylamine (clean crumb)";
    let stack = "water gilding over bole over gesso over limewood";
    let given = "given water gilding is unaffected by acetone";
    let identify = format!(
        "identify metal paint (film, later) on {stack} restored 1919..1939 that {seen} {given}"
    );
    let table = [
        ("identify u1", identify.clone()),
        ("identify u1;", identify.clone()),
        (
            "explain plan identify u1",
            format!("explain plan {identify}"),
        ),
        ("identify u1 limit 3", format!("{identify} limit 3")),
        (
            "identify u1 that is brittle (dull on wood) limit 3",
            format!(
                "{} limit 3",
                identify.replace(" given", ", is brittle (dull on wood) given")
            ),
        ),
        // What a case does not know is asked as it stands: nothing falls by the way.
        (
            "identify u1 with prior 90 % dammar",
            format!("{identify} with prior 90 % dammar"),
        ),
        (
            "identify u1 on l3",
            identify.replace(stack, "gesso over limewood"),
        ),
        (
            "identify u1 restored 1900..1910",
            identify.replace("1919..1939", "1900..1910"),
        ),
        (
            "remove u1",
            format!("let u1 = {identify}; remove u1 from {stack} {given}"),
        ),
        (
            "remove u1 without water, acetone limit 2",
            format!(
                "let u1 = {identify}; remove u1 from {stack} {given} without water, acetone limit 2"
            ),
        ),
        (
            "remove u1 from l2",
            format!("let u1 = {identify}; remove u1 from bole over gesso over limewood"),
        ),
        (
            "remove u1 given gesso is unaffected by ethanol",
            format!(
                "let u1 = {identify}; remove u1 from {stack} {given}, gesso is unaffected by ethanol"
            ),
        ),
        (
            "explain remove u1",
            format!("let u1 = {identify}; explain remove u1 from {stack} {given}"),
        ),
        (
            "choose adhesive where stable to 35 C reversible for 50 years",
            format!(
                "choose adhesive for {stack} {given} where stable to 35 C reversible for 50 years"
            ),
        ),
        (
            "choose consolidant for l3",
            "choose consolidant for gesso over limewood".to_owned(),
        ),
        (
            "compare paraloid b-72, isinglass by removal on l3",
            "compare paraloid b-72, isinglass by removal on gesso over limewood".to_owned(),
        ),
        (
            "find consolidant where tg > 30 C",
            "find consolidant where tg > 30 C".to_owned(),
        ),
        (
            "blend to dissolve dammar (aged) sparing l3, l4 using ethanol, acetone",
            "blend to dissolve dammar (aged) sparing gesso, limewood using ethanol, acetone"
                .to_owned(),
        ),
        (
            "remove shellac from l4",
            "remove shellac from limewood".to_owned(),
        ),
        (
            "let x = identify coating; remove x from l1",
            format!("let x = identify coating; remove x from {stack}"),
        ),
    ];
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (ask, wanted) in table {
        let built = case::build(&case, ask).unwrap_or_else(|e| panic!("{ask}: {e:?}"));
        assert_eq!(words(&built), words(&wanted), "{ask}");
        palinode::lang::parse(&built).unwrap_or_else(|e| panic!("{ask}: {built}\n{e:?}"));
    }
    // What no such question has is put as it was typed, and refused.
    for ask in [
        "identify u1 show tg",
        "remove u1 using ethanol",
        "identify u1 about \"x\"",
    ] {
        let built = case::build(&case, ask).unwrap();
        assert!(palinode::lang::parse(&built).is_err(), "{ask}: {built}");
    }
}

#[test]
fn two_unknowns_come_off_in_turn() {
    let text = format!(
        "{SMALL}[[layer]]\nid = \"l1\"\nname = \"gesso\"\n[[layer]]\nid = \"l2\"\nname = \"oak\"\n\
         [[unknown]]\nid = \"u1\"\nnoun = \"coating (film, later)\"\n\
         [[unknown]]\nid = \"old\"\nnoun = \"adhesive (open joint, later)\"\nover = \"l2\"\n"
    );
    let (case, _) = case::parse(&text).unwrap();
    assert_eq!(
        case::build(&case, "remove u1 over old").unwrap(),
        "let u1 = identify coating (film, later) on gesso over oak;\n\
         let old = identify adhesive (open joint, later) on oak;\n\
         remove u1 over old from oak"
    );
    let asked = Asker::new(&case, embedded(), NOW)
        .ask("remove u1 over old")
        .unwrap();
    // What only gives a name to an unknown is not answered itself, but stands in the whole text.
    assert_eq!(asked.answers.len(), 1);
    assert_eq!(asked.query.matches("let ").count(), 2);
    // What names no unknown of the case is told, with those there are.
    for wrong in [
        "identify u7",
        "remove u7",
        "remove u1 over u7",
        "identify",
        "remove",
    ] {
        let list = case::build(&case, wrong).unwrap_err();
        assert_eq!(list[0].code, "C0106", "{wrong}");
        assert!(
            list[0].help.as_ref().unwrap().contains("u1, old"),
            "{wrong}"
        );
    }
}

/// The answer is that of the same question typed whole.
#[test]
fn nothing_is_lost_on_the_way() {
    let case = demo();
    for (ask, typed) in [
        (
            "identify u1",
            "identify metal paint (film, later) on water gilding over bole over gesso over limewood \
             restored 1919..1939 that looks brown, shows metal flakes under lens, is unaffected by \
             white spirit (crumb, 5 min), is unaffected by water (crumb, 5 min), dissolves in acetone \
             (crumb, 1 min), turns blue with diphenylamine (clean crumb) given water gilding is \
             unaffected by acetone",
        ),
        (
            "find consolidant where tg > 30 C",
            "find consolidant where tg > 30 C",
        ),
    ] {
        let asked = Asker::new(&case, embedded(), NOW).ask(ask).unwrap();
        let file = palinode::lang::parse(typed).unwrap();
        let checked = palinode::resolve::resolve(&file, typed, embedded(), NOW).unwrap();
        let mut session = palinode::eval::Session::new(embedded(), NOW);
        let canonical = palinode::lang::canonical(typed);
        let answer = session.run(&checked[0], canonical.clone()).unwrap();
        assert_eq!(
            render::json(asked.answer().unwrap()),
            render::json(&answer),
            "{ask}"
        );
        assert_eq!(asked.query, canonical);
        assert!(!asked.gist.is_empty());
    }
    let asked = Asker::new(&case, embedded(), NOW)
        .ask("remove u1 without water")
        .unwrap();
    assert!(
        asked.gist.iter().any(|l| l.starts_with("ruled out: ")),
        "{:?}",
        asked.gist
    );
    assert!(
        asked
            .gist
            .iter()
            .any(|l| l.starts_with("1. ") || l.starts_with("leave it") || l == "no step is live"),
        "{:?}",
        asked.gist
    );
}

#[test]
fn observations_are_taken_apart_and_checked_against_the_corpus() {
    let text = format!("{SMALL}[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\n");
    let (_dir, path) = written(&text);
    done(&[
        "observe",
        &path,
        "u1",
        "dissolves in ethanol, acetone (crumb, 1 min), looks brown",
        "xrf shows copper, zinc",
    ]);
    let case = case::load(Path::new(&path)).unwrap().case;
    let seen: Vec<&str> = case
        .observations
        .iter()
        .map(|it| it.seen.as_str())
        .collect();
    assert_eq!(
        seen,
        [
            "dissolves in ethanol, acetone (crumb, 1 min)",
            "looks brown",
            "xrf shows copper, zinc"
        ]
    );
    // A slip is shown under the word, with the mend; nothing is written.
    let before = std::fs::read(&path).unwrap();
    for (wrong, place, mend) in [
        ("dissolvs in ethanol", "1:1", "dissolve"),
        ("dissolves in ethanool", "1:14", "`ethanol`"),
        ("looks brown, dissolves in ethanool", "1:27", "`ethanol`"),
        ("fluoresces oragne under uv-a", "1:1", "orange"),
        ("dissolves in ethanol (crum)", "1:23", "`crumb`"),
    ] {
        let output = run(&["observe", &path, "u1", wrong]);
        assert_eq!(output.status.code(), Some(2), "{wrong}");
        let said = err(&output);
        assert!(
            said.contains(&format!("observation:{place}")),
            "{wrong}: {said}"
        );
        assert!(said.contains(mend), "{wrong}: {said}");
    }
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

/// Every observation of the published cases can be written down as it stands and asked again.
#[test]
fn observations_of_the_published_cases_can_be_written_down() {
    let words = case::Words::new(embedded(), NOW);
    let mut seen = 0;
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases");
    for entry in std::fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "query") {
            continue;
        }
        let query = std::fs::read_to_string(&path).unwrap();
        let Ok(file) = palinode::lang::parse(&query) else {
            continue;
        };
        for statement in &file.statements {
            let palinode::lang::ast::Query::Identify(it) = &statement.query else {
                continue;
            };
            let Some(that) = &it.that else { continue };
            let list = that.span.slice(&query);
            let list = list.strip_prefix("that").unwrap_or(list).trim();
            let parts = words.seen(list).unwrap_or_else(|e| panic!("{list}: {e:?}"));
            for part in &parts {
                words
                    .check(case::Phrase::Seen, part)
                    .unwrap_or_else(|e| panic!("{part}: {e:?}"));
                seen += 1;
            }
            // Put together again they are what was typed.
            let squeezed = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert_eq!(squeezed(&parts.join(", ")), squeezed(list));
        }
    }
    assert!(seen > 60, "{seen}");
}

/// With the same corpus nothing changes; with another the lines that changed are shown, and kept only
/// when that is asked for.
#[test]
fn a_review_shows_what_another_corpus_answers() {
    let (_dir, path) = written(&format!("{SMALL}[[layer]]\nid = \"l1\"\nname = \"oak\"\n"));
    done(&["ask", &path, "find coating where tg > 60 C"]);
    done(&["ask", &path, "find layer about \"oak\""]);
    let before = std::fs::read(&path).unwrap();
    let said = done(&["review", &path]);
    assert!(
        said.contains("2 questions: 2 unchanged, 0 changed"),
        "{said}"
    );
    let over = tempfile::tempdir().unwrap();
    std::fs::create_dir(over.path().join("materials")).unwrap();
    std::fs::write(
        over.path().join("materials/studio-lac.toml"),
        "id = \"studio-lac\"\nname = \"studio lac\"\nkinds = [\"coating\"]\nfamily = \"natural-resin\"\n\
         summary = \"Invented.\"\n[facts]\ntg = {is = \"90 C\", by = \"memory\"}\n\
         [always]\nethanol = {is = \"dissolves\", by = \"memory\"}\n",
    )
    .unwrap();
    let kb = over.path().to_str().unwrap();
    let said = done(&["review", &path, "--kb", kb]);
    assert!(
        said.contains("q1  find coating where tg > 60 C: changed"),
        "{said}"
    );
    assert!(said.contains("+ material studio-lac"), "{said}");
    assert!(
        said.contains("2 questions: 1 unchanged, 1 changed"),
        "{said}"
    );
    assert!(said.contains("the corpus was"), "{said}");
    let data = done(&["review", &path, "--kb", kb, "--format", "json"]);
    let data: serde_json::Value = serde_json::from_str(&data).unwrap();
    assert_eq!(data["questions"][0]["outcome"], "changed");
    assert_eq!(data["questions"][1]["outcome"], "unchanged");
    assert!(data["questions"][0]["answer"]["matches"].is_array());
    assert_eq!(std::fs::read(&path).unwrap(), before, "shown, not kept");
    done(&["review", &path, "q1", "--kb", kb, "--update"]);
    let case = case::load(Path::new(&path)).unwrap().case;
    assert!(
        case.questions[0]
            .gist
            .contains(&"material studio-lac".to_owned())
    );
    assert!(case.questions[0].corpus.contains(kb));
    assert_eq!(case.questions[1].corpus, embedded_version());
    // Without the overlay the name is gone again, and what asks of it cannot be asked.
    done(&["ask", &path, "find studio lac", "--kb", kb]);
    let output = run(&["review", &path]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        out(&output).contains("q3  find studio lac: cannot be asked"),
        "{}",
        out(&output)
    );
    assert!(err(&output).contains("studio lac"), "{}", err(&output));
    assert_eq!(run(&["review", &path, "q9"]).status.code(), Some(2));
}

fn embedded_version() -> String {
    embedded().identity()
}

#[test]
fn a_new_observation_changes_the_answer_and_the_review_says_why() {
    let (_dir, path) = written(&format!(
        "{SMALL}[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\n"
    ));
    done(&[
        "observe",
        &path,
        "u1",
        "dissolves in ethanol (crumb, 1 min)",
    ]);
    done(&["ask", &path, "identify u1"]);
    done(&["observe", &path, "u1", "fluoresces orange under uv-a"]);
    let said = done(&["review", &path]);
    assert!(
        said.contains("the case says something else than when it was asked"),
        "{said}"
    );
    assert!(said.contains("1 changed"), "{said}");
    done(&["review", &path, "--update"]);
    let said = done(&["review", &path]);
    assert!(said.contains("1 unchanged"), "{said}");
}

/// What is asked twice is one question.
#[test]
fn a_question_asked_again_keeps_its_id() {
    let (_dir, path) = written(SMALL);
    for _ in 0..2 {
        let output = run(&["ask", &path, "find shellac"]);
        assert!(err(&output).contains("kept as q1"), "{}", err(&output));
    }
    done(&["ask", &path, "find", "dammar", "--dry"]);
    let case = case::load(Path::new(&path)).unwrap().case;
    assert_eq!(case.questions.len(), 1);
    let reviewed = case::review(&case, &[], embedded(), NOW);
    assert!(matches!(reviewed[0].outcome, Outcome::Same(_)));
}
