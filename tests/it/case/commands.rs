//! The commands as a conservator meets them: the walk of the README, help, mistakes, speed.

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use palinode::case::{self, Section};
use palinode::embedded;

use super::{DEMO, NOON, SMALL, done, err, out, run, written};
use crate::engines::NOW;
use crate::random::writing;

/// The commands of the README's walk, as they stand there.
fn walk() -> &'static str {
    let readme = include_str!("../../../README.md");
    let section = readme.split("## Keep a case").nth(1).expect("the section");
    let block = section.split("```sh\n").nth(1).expect("the walk");
    block.split("```").next().unwrap()
}

/// What depends on the corpus and the engines, which change without the case: it is what `review`
/// is for.
fn without_answers(text: &str) -> String {
    let mut out = String::new();
    let mut within = false;
    for line in text.lines() {
        if within {
            within = line != "]";
            continue;
        }
        if line == "gist = [" {
            within = true;
            continue;
        }
        if line.starts_with("corpus = ") || line.starts_with("standing = ") {
            continue;
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// The walk of the README makes the demo case, from an empty folder to its report.
#[cfg(unix)]
#[test]
fn the_walk_of_the_readme_makes_the_demo() {
    let dir = tempfile::tempdir().unwrap();
    let pictures = Path::new(DEMO).parent().unwrap().join("photographs");
    let own = dir.path().join("overmantel/photographs");
    std::fs::create_dir_all(&own).unwrap();
    for name in ["front.png", "lower-left-uv.png"] {
        std::fs::copy(pictures.join(name), own.join(name)).unwrap();
    }
    let program = Path::new(env!("CARGO_BIN_EXE_palinode"));
    let path = format!(
        "{}:{}",
        program.parent().unwrap().display(),
        std::env::var("PATH").unwrap_or_default()
    );
    let output = Command::new("sh")
        .args(["-c", walk()])
        .current_dir(dir.path())
        .env("PATH", path)
        .env("SOURCE_DATE_EPOCH", NOON)
        .env("COLUMNS", "80")
        .env_remove("PALINODE_WHO")
        .output()
        .unwrap();
    let (said, told) = (out(&output), err(&output));
    assert!(output.status.success(), "{told}");
    assert!(!told.contains("error"), "{told}");
    assert!(
        told.contains("kept as q1") && told.contains("kept as q2"),
        "{told}"
    );
    for line in said.lines() {
        assert!(line.chars().count() <= 80 || line.contains("://"), "{line}");
    }
    let made = std::fs::read_to_string(dir.path().join("overmantel/case.toml")).unwrap();
    // The last line of the walk is the report; made once more it is the same, byte for byte.
    let page = std::fs::read(dir.path().join("overmantel/report.html")).unwrap();
    let again = dir.path().join("again.html");
    let output = Command::new(program)
        .args(["report", "overmantel", "-o"])
        .arg(&again)
        .current_dir(dir.path())
        .env("SOURCE_DATE_EPOCH", NOON)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", err(&output));
    assert!(std::fs::read(&again).unwrap() == page, "two reports differ");
    let page = String::from_utf8(page).unwrap();
    for wanted in [
        "id=\"examination\"",
        "id=\"references\"",
        "Conclusion: ",
        "data:image/png;base64,",
        "DEMO-LOT-7",
    ] {
        assert!(page.contains(wanted), "{wanted}");
    }
    if writing() {
        std::fs::write(DEMO, &made).unwrap();
    }
    let demo = std::fs::read_to_string(DEMO).unwrap();
    assert_eq!(
        without_answers(&demo),
        without_answers(&made),
        "PALINODE_WRITE=1 cargo test walk writes it anew"
    );
    let case = case::load(Path::new(DEMO)).unwrap().case;
    for question in &case.questions {
        assert!(!question.gist.is_empty(), "{}", question.id);
    }
}

#[test]
fn the_help_names_every_verb_and_fits() {
    let help = done(&["--help"]);
    for verb in [
        "new", "object", "layer", "unknown", "observe", "trial", "ask", "propose", "decide", "use",
        "deviate", "photo", "amend", "withdraw", "show", "review", "check", "restore",
    ] {
        assert!(help.contains(&format!("\n  {verb} ")), "{verb}: {help}");
        let own = done(&[verb, "--help"]);
        assert!(own.contains("CASE"), "{own}");
    }
    let man = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .arg("man")
        .output()
        .unwrap();
    let man = out(&man);
    for wanted in ["palinode case observe", "PALINODE_WHO", "SOURCE_DATE_EPOCH"] {
        assert!(man.contains(wanted), "no {wanted}");
    }
    let script = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .args(["completions", "bash"])
        .output()
        .unwrap();
    assert!(out(&script).contains("observe"));
}

/// Each mistake: exit code 2, what is wrong, the mend, and a case that is as it was.
#[test]
fn mistakes_name_the_mend_and_change_nothing() {
    let text = format!(
        "{SMALL}[[layer]]\nid = \"l1\"\nname = \"oak\"\n[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\n"
    );
    let (dir, path) = written(&text);
    let missing = dir.path().join("no.toml");
    let missing = missing.to_str().unwrap();
    let table: &[(&[&str], &str, &str)] = &[
        (&["show", missing], "there is no such case", "case new"),
        (&["new", &path, "x"], "there is one already", "case show"),
        (
            &["observe", &path, "u2", "looks brown"],
            "`u2` is no unknown",
            "there are: u1",
        ),
        (
            &["trial", &path, "l9", "is unaffected by acetone"],
            "`l9` is no layer",
            "there are: l1",
        ),
        (
            &["trial", &path, "l1", "is unaffected"],
            "liquid",
            "acetone",
        ),
        (
            &["trial", &path, "l1", "is unaffected by acetoon"],
            "trial:1:18",
            "`acetone`",
        ),
        (&["layer", &path, "oakk"], "layers:1:1", "`oak`"),
        (
            &["layer", &path, "gesso (flakng)"],
            "layers:1:8",
            "`flaking`",
        ),
        (&["unknown", &path, "coatin"], "noun:1:1", "`coating`"),
        (&["unknown", &path, "coating (flim)"], "noun:1:10", "`film`"),
        (
            &["unknown", &path, "coating", "--over", "l7"],
            "`l7` is no layer",
            "there are: l1",
        ),
        (
            &["unknown", &path, "coating", "--restored", "1939..1919"],
            "higher end",
            "1919..1939",
        ),
        (
            &["unknown", &path, "coating", "--restored", "old"],
            "restored:1:1",
            "1919..1939",
        ),
        (
            &["use", &path, "ethanol", "--amount", "20"],
            "amount:1:1",
            "20 ml",
        ),
        (
            &["use", &path, "ethanol", "--strength", "8 mm"],
            "not a strength",
            "% w/v",
        ),
        (
            &["use", &path, "ethanol", "--amount=-3 ml"],
            "below zero",
            "20 ml",
        ),
        (
            &["use", &path, "ethanol", "--under", "d1"],
            "`d1` is no decision",
            "case decision",
        ),
        (
            &["decide", &path, "x", "--because", " "],
            "because",
            "because",
        ),
        (
            &["decide", &path, "x", "--because", "y", "--on", "q1"],
            "`q1` is no",
            "none yet",
        ),
        (
            &["observe", &path, "u1", "looks brown", "--day", "28.11.2026"],
            "28.11.2026",
            "2026-11-28",
        ),
        (&["object", &path, "--height", "tall"], "`tall`", "1240 mm"),
        (&["object", &path], "nothing was said", "--height"),
        (
            &["photo", &path, "no.png", "x"],
            "`no.png` cannot be opened",
            "folder of the case",
        ),
        (
            &["photo", &path, "../x.png", "x"],
            "leads out",
            "folder of the case",
        ),
        (&["ask", &path, "identify u3"], "question:1:10", "u1"),
        (&["ask", &path, "identify shelac"], "query:", "shellac"),
        (&["ask", &path, ""], "", "find"),
        (
            &["restore", &path],
            "there is no version before",
            "first change",
        ),
    ];
    for (arguments, wrong, mend) in table {
        let output = run(arguments);
        let said = err(&output);
        assert_eq!(
            output.status.code(),
            Some(2),
            "{arguments:?}\n{said}{}",
            out(&output)
        );
        for wanted in [wrong, mend] {
            assert!(
                said.contains(wanted),
                "{arguments:?}: no {wanted} in\n{said}"
            );
        }
        assert!(!said.contains("panicked"), "{said}");
        assert_eq!(
            std::fs::read_to_string(&path).unwrap(),
            text,
            "{arguments:?}"
        );
    }
}

#[test]
fn many_observations_come_from_standard_input() {
    use std::io::Write;
    let (_dir, path) = written(&format!(
        "{SMALL}[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\n"
    ));
    let mut child = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .args(["case", "observe", &path, "u1", "-"])
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(b"looks brown\n\n  is brittle, looks glossy\n")
        .unwrap();
    assert!(child.wait().unwrap().success());
    let case = case::load(Path::new(&path)).unwrap().case;
    assert_eq!(case.observations.len(), 3);
    assert_eq!(case.changes.len(), 1, "one change, one line");
}

/// A case of 500 observations and 40 questions. What the case itself costs is bounded, widely: the
/// tests run unoptimised, beside other work. What the engines cost to answer is theirs, and printed.
#[test]
fn a_long_case_is_handled_quickly() {
    let mut text = format!(
        "{SMALL}[[layer]]\nid = \"l1\"\nname = \"gesso\"\n[[layer]]\nid = \"l2\"\nname = \"oak\"\n"
    );
    let seen = [
        "looks brown",
        "dissolves in ethanol (crumb, 1 min)",
        "is unaffected by white spirit (crumb, 5 min)",
        "swells in acetone (crumb, 30 min)",
        "is unaffected by water (crumb, 5 min)",
        "is brittle",
        "looks glossy",
    ];
    for u in 1..=20 {
        text.push_str(&format!(
            "[[unknown]]\nid = \"u{u}\"\nnoun = \"coating (film, later)\"\n"
        ));
    }
    for o in 1..=500 {
        text.push_str(&format!(
            "[[observation]]\nid = \"o{o}\"\nof = \"u{}\"\nseen = \"{}\"\nday = 2026-11-28\nplace = \"zone {o}\"\nwho = \"AB\"\n",
            1 + o % 20,
            seen[o % seen.len()]
        ));
    }
    for q in 1..=40 {
        let verb = if q % 2 == 0 { "identify" } else { "remove" };
        text.push_str(&format!(
            "[[question]]\nid = \"q{q}\"\nask = \"{verb} u{}\"\n",
            1 + (q - 1) / 2
        ));
    }
    let (_dir, path) = written(&text);
    let mut times: Vec<(&str, Duration)> = Vec::new();
    let mut timed = |name, run: &mut dyn FnMut()| {
        let start = Instant::now();
        run();
        times.push((name, start.elapsed()));
    };
    let mut file = None;
    timed("load", &mut || file = case::load(Path::new(&path)).ok());
    let file = file.unwrap();
    timed("check", &mut || {
        let found = case::check(&file, embedded(), NOW);
        assert!(found.is_empty(), "{found:?}");
    });
    timed("build 40 questions", &mut || {
        for question in &file.case.questions {
            case::build(&file.case, &question.ask).unwrap();
        }
    });
    timed("answer 2 of them", &mut || {
        let only = ["q1".to_owned(), "q2".to_owned()];
        assert_eq!(case::review(&file.case, &only, embedded(), NOW).len(), 2);
    });
    timed("observe", &mut || {
        done(&["observe", &path, "u1", "looks brown"]);
    });
    timed("show", &mut || {
        assert!(done(&["show", &path]).contains("o501"));
    });
    println!("{times:?}");
    for (name, bound) in [
        ("load", 2),
        ("check", 5),
        ("build 40 questions", 5),
        ("observe", 5),
        ("show", 5),
    ] {
        let took = times.iter().find(|(it, _)| *it == name).unwrap().1;
        assert!(took < Duration::from_secs(bound), "{name} took {took:?}");
    }
    assert_eq!(file.case.ids_of(Section::Observation).len(), 500);
}
