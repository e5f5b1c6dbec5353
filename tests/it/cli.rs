//! The program as a user meets it: messages, exit codes, output.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_palinode"))
        .env("PALINODE_CACHE", "")
        .args(arguments)
        .env("COLUMNS", "80")
        .env_remove("NO_COLOR")
        .output()
        .unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// Each mistake: exit code 2, the place, and the mend.
#[test]
fn mistakes_name_the_place_and_the_mend() {
    let table: &[(&str, &str, &str)] = &[
        ("identify shelac that looks brown", "1:10", "`shellac`"),
        ("find material where tg > 30 mm", "1:26", "C, K, F"),
        ("find material where tg > 30", "1:26", "C, K, F"),
        ("find material about \"flaking", "1:21", "quotation"),
        ("", "1:1", "find"),
        ("   ", "", "find"),
        (
            "remove shellac from watr gilding",
            "1:21",
            "`water gilding`",
        ),
        (
            "identify coating that dissolvs in ethanol",
            "1:23",
            "`dissolve",
        ),
        (
            "identify coating that dissolves in ethanool",
            "1:36",
            "`ethanol`",
        ),
        (
            "identify coating that fluoresces oragne under uv-a",
            "1:23",
            "orange",
        ),
        ("identify coating (flim) that looks brown", "1:19", "`film`"),
        ("select coating", "1:1", "find"),
        ("remove shellac", "", "from"),
        (
            "identify coating that dissolves in ethanol (crum)",
            "1:45",
            "`crumb`",
        ),
        ("identify coating restored 1950..1920", "1:", "1920"),
    ];
    for (query, place, mend) in table {
        let output = run(&["ask", query]);
        assert_eq!(code(&output), 2, "{query}: {}", stderr(&output));
        let text = stderr(&output);
        assert!(text.contains(place), "{query}: no {place} in\n{text}");
        assert!(text.contains(mend), "{query}: no {mend} in\n{text}");
        assert!(stdout(&output).is_empty(), "{query}");
        assert!(!text.contains("panicked"), "{text}");
    }
}

#[test]
fn contradictory_observations_are_undetermined() {
    let output = run(&[
        "ask",
        "identify coating that dissolves in ethanol (crumb), is unaffected by ethanol (crumb)",
    ]);
    assert_eq!(code(&output), 3);
    assert!(
        stdout(&output).contains("repeat the test"),
        "{}",
        stdout(&output)
    );
}

#[test]
fn a_broken_overlay_names_file_line_and_column() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("materials")).unwrap();
    std::fs::write(
        dir.path().join("materials/my-varnish.toml"),
        "id = \"my-varnish\"\nname = \"my varnish\"\nkinds = [\"coting\"]\nfamily = \"natural-resin\"\n\
         [facts]\ntg = {is = \"warm\", by = \"memory\"}\ncolour = {is = \"red\"}\n",
    )
    .unwrap();
    let kb = dir.path().to_str().unwrap();
    let output = run(&["ask", "find material", "--kb", kb]);
    assert_eq!(code(&output), 2, "{}", stderr(&output));
    let text = stderr(&output);
    for wanted in [
        "materials/my-varnish.toml:3:10",
        "`coting`",
        "coating",
        "7:1",
    ] {
        assert!(text.contains(wanted), "no {wanted} in\n{text}");
    }
    let output = run(&["check", kb]);
    assert_eq!(code(&output), 2);
}

#[test]
fn a_sound_overlay_is_laid_over_field_by_field() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("materials")).unwrap();
    std::fs::write(
        dir.path().join("materials/shellac.toml"),
        "id = \"shellac\"\nsummary = \"As we met it in the studio.\"\n",
    )
    .unwrap();
    let kb = dir.path().to_str().unwrap();
    let output = run(&["ask", "find shellac", "--kb", kb, "--format", "json"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let answer: serde_json::Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert_eq!(
        answer["matches"][0]["summary"],
        "As we met it in the studio."
    );
    assert!(
        answer["matches"][0]["values"].as_array().unwrap().len() > 10,
        "the rest stays"
    );
}

#[test]
fn folders_that_are_not_there_or_hold_nothing_are_said() {
    let output = run(&["ask", "find shellac", "--kb", "/no/such/folder"]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("/no/such/folder"));
    let dir = tempfile::tempdir().unwrap();
    let output = run(&["check", dir.path().to_str().unwrap()]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("holds no corpus"));
}

#[test]
fn a_query_on_standard_input_may_be_no_text() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .env("PALINODE_CACHE", "")
        .args(["ask", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(b"find \xff\xfe")
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("UTF-8"));
}

/// The object that other programs rely on.
#[test]
fn the_json_has_the_documented_core() {
    let output = run(&["demo", "--format", "json"]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    let answers: Vec<serde_json::Value> = stdout(&output)
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(answers.len(), 2);
    for answer in &answers {
        for key in [
            "statement",
            "cautions",
            "sources",
            "corpus_version",
            "edition",
        ] {
            assert!(!answer[key].is_null(), "{key}");
        }
    }
    let identify = &answers[0];
    for key in [
        "candidates",
        "none_of_these",
        "hazards_not_excluded",
        "next_tests",
        "unrecorded",
    ] {
        assert!(!identify[key].is_null(), "{key}");
    }
    let candidate = &identify["candidates"][0];
    for key in [
        "id",
        "name",
        "kinds",
        "family",
        "probability",
        "evidence",
        "contradictions",
    ] {
        assert!(!candidate[key].is_null(), "{key}");
    }
    for key in ["observation", "weight_db", "expected", "basis", "sources"] {
        assert!(!candidate["evidence"][0][key].is_null(), "{key}");
    }
    let step = &answers[1]["steps"][0];
    for key in [
        "rank",
        "id",
        "method",
        "verdict",
        "effect",
        "harm",
        "stop",
        "clearance",
        "hazards",
    ] {
        assert!(!step[key].is_null(), "{key}");
    }
    let verdicts: Vec<&str> = answers[1]["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["verdict"].as_str().unwrap())
        .collect();
    assert!(
        verdicts
            .iter()
            .all(|v| ["recommended", "test-first", "ruled-out"].contains(v))
    );
    assert!(verdicts.contains(&"ruled-out"));
}

#[test]
fn tables_fit_in_80_columns() {
    for query in [
        "identify coating on oil gilding over gesso restored 1890..1935 that fluoresces orange under \
         uv-a, dissolves in ethanol (crumb, 1 min), is unaffected by white spirit",
        "remove shellac (film, later) from water gilding (flaking) over bole over gesso over limewood without water",
        "find solvent where flash < 0 C",
        "find shellac",
    ] {
        let output = run(&["ask", query]);
        for line in stdout(&output).lines() {
            // An address has no place to break.
            assert!(
                line.chars().count() <= 80 || line.contains("://"),
                "{query}: {line}"
            );
        }
    }
}

#[test]
fn the_exit_code_tells_nothing_from_undetermined() {
    assert_eq!(code(&run(&["ask", "find solvent where flash < -200 C"])), 3);
    assert_eq!(
        code(&run(&["ask", "find material about \"xyzzyplugh\""])),
        1
    );
    assert_eq!(code(&run(&["ask", "find shellac"])), 0);
    assert_eq!(code(&run(&["explain", "Q0301"])), 0);
    assert_eq!(code(&run(&["explain", "Q9999"])), 2);
    assert_eq!(code(&run(&["--help"])), 0);
    assert_eq!(code(&run(&["frobnicate"])), 2);
}

#[test]
fn the_same_question_has_the_same_answer() {
    let first = run(&["demo"]);
    let second = run(&["demo"]);
    assert_eq!(first.stdout, second.stdout);
}

/// What the README shows must work as shown.
#[test]
fn every_question_of_the_readme_is_answered() {
    let readme = include_str!("../../README.md");
    let mut asked = 0;
    for piece in readme.split("palinode ask '").skip(1) {
        let query = piece.split('\'').next().unwrap();
        let output = run(&["ask", query]);
        // 3: answered in full, and the answer is that the tests do not settle it yet.
        assert!(
            matches!(code(&output), 0 | 3),
            "{query}\n{}",
            stderr(&output)
        );
        asked += 1;
    }
    assert!(asked >= 4, "{asked}");
}

/// A question of absurd length is refused in words, not chewed for minutes.
#[test]
fn too_many_observations_are_refused() {
    let seen = vec!["is unaffected by water"; 500].join(", ");
    let output = run(&["ask", &format!("identify coating that {seen}")]);
    assert_eq!(code(&output), 2);
    assert!(stderr(&output).contains("Q0320"), "{}", stderr(&output));
}

/// A folder with these files, to lay over the corpus.
fn overlay(files: &[(&str, &str)]) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = dir.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    dir
}

const MARBLE: &str = "id = \"marble\"\n\n[harm.sound]\nalcohol = {is = \"harm\", by = \"practice\"}\n\
                      acid = {is = \"harms\", by = \"nobody1999, p 5\"}\n";

const GILDING: &str = "id = \"my-gilding\"\nname = \"my gilding\"\ngroup = \"gilding\"\n\
                       traits = [\"glue-bound\", \"gold\"]\nsummary = \"As we met it.\"\n\n\
                       [harm.sound]\nalcohol = {is = \"test\", by = \"practice\"}\n";

#[test]
fn an_overlay_is_linted_when_a_question_is_asked() {
    let dir = overlay(&[("layers/marble.toml", MARBLE)]);
    let kb = dir.path().to_str().unwrap();
    let output = run(&["ask", "find marble", "--kb", kb]);
    let text = stderr(&output);
    assert_eq!(code(&output), 2, "{text}");
    for wanted in ["layers/marble.toml:4:", "`harm`", "harms", "`nobody1999`"] {
        assert!(text.contains(wanted), "no {wanted} in\n{text}");
    }
    assert!(stdout(&output).is_empty());
}

#[test]
fn bad_records_are_left_out_whole_and_named() {
    let bad = "id = \"my-gilding\"\nname = \"my gilding\"\ngroup = \"gilding\"\n\
               traits = [\"glue-boundd\", \"gold\"]\nsummary = \"As we met it.\"\n\n\
               [harm.sound]\nalcohol = {is = \"harms\"}\n";
    let sound = GILDING.replace("my-gilding", "our-gilding");
    let dir = overlay(&[
        ("layers/my-gilding.toml", bad),
        ("layers/marble.toml", MARBLE),
        (
            "layers/our-gilding.toml",
            &sound.replace("my gilding", "our gilding"),
        ),
    ]);
    let kb = dir.path().to_str().unwrap();
    let with = |query| run(&["ask", query, "--kb", kb, "--skip-bad", "--format", "json"]);
    let output = with("find marble");
    let text = stderr(&output);
    assert_eq!(code(&output), 0, "{text}");
    assert!(text.contains("left out: layers/my-gilding.toml"), "{text}");
    assert!(text.contains("left out: layers/marble.toml"), "{text}");
    assert!(!text.contains("our-gilding"), "{text}");
    let answer: serde_json::Value = serde_json::from_str(&stdout(&output)).unwrap();
    let plain = run(&["ask", "find marble", "--format", "json"]);
    let plain: serde_json::Value = serde_json::from_str(&stdout(&plain)).unwrap();
    assert_eq!(answer["matches"], plain["matches"], "as in the corpus");
    assert_eq!(code(&with("find my gilding")), 2, "the name is gone");
    assert_eq!(code(&with("find our gilding")), 0);
}

#[test]
fn a_sound_overlay_passes_the_check() {
    let layer = GILDING.replace("by = \"practice\"", "by = \"studio2020, p 3\"");
    // A test with a cluster word, and a file of sources named like one of the corpus.
    let dir = overlay(&[
        ("layers/my-gilding.toml", layer.as_str()),
        (
            "tests/water-drop.toml",
            include_str!("../../kb/tests/water-drop.toml"),
        ),
        (
            "sources/books.bib",
            "@book{studio2020,\n  author = {Studio, A.},\n  title = {Our Notes},\n  year = {2020},\n  \
             annotation = {read whole},\n}\n",
        ),
    ]);
    let kb = dir.path().to_str().unwrap();
    let output = run(&["check", kb]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert!(stderr(&output).is_empty(), "{}", stderr(&output));
    assert!(
        stdout(&output).contains(" 0 errors, 0 warnings"),
        "{}",
        stdout(&output)
    );
}

/// Field by field the table shows what the data hold, and the last line sums up all kinds.
#[test]
fn the_check_counts_every_field() {
    let data = run(&["check", "--format", "json"]);
    let data: serde_json::Value = serde_json::from_str(&stdout(&data)).unwrap();
    let counts = &data["coverage"];
    let table = stdout(&run(&["check", "--fields"]));
    let short = stdout(&run(&["check"]));
    assert!(table.ends_with(&short), "the summary ends it");
    let mut sections = table.split("\n\n");
    let mut facts = 0;
    for kind in counts["kinds"].as_array().unwrap() {
        let bases = &kind["facts"];
        facts += ["published", "practice", "memory"]
            .map(|basis| bases[basis].as_u64().unwrap())
            .iter()
            .sum::<u64>();
        let mut parts: Vec<&str> = Vec::new();
        for field in kind["fields"].as_array().unwrap() {
            let part = field["part"].as_str().unwrap();
            if !parts.contains(&part) {
                parts.push(part);
            }
        }
        for part in parts {
            let section = sections.next().unwrap();
            let mut shown = section.lines().map(|line| {
                let words: Vec<&str> = line.split_whitespace().collect();
                words
            });
            for field in kind["fields"].as_array().unwrap() {
                if field["part"] != part {
                    continue;
                }
                let numbers = [
                    &field["recorded"],
                    &field["not_applicable"],
                    &field["sought"],
                    &field["unrecorded"],
                    &field["bases"]["published"],
                    &field["bases"]["practice"],
                    &field["bases"]["memory"],
                ];
                let cells = numbers.map(|n| n.to_string().replacen('0', "-", usize::from(n == 0)));
                assert!(
                    shown.any(|words| words.len() >= 8 && words[words.len() - 7..] == cells),
                    "{kind:?} {field:?}",
                    kind = kind["kind"]
                );
            }
        }
    }
    let judgments = counts["judgments"].as_u64().unwrap();
    assert!(short.contains(&format!("{judgments} judgments")) && judgments > 0);
    assert!(
        short.contains(&format!("all kinds: {facts} facts, ")) && short.contains("% published"),
        "{short}"
    );
    assert!(table.lines().all(|l| l.chars().count() <= 80));
}

/// A copy of the whole corpus that a studio changes is an overlay too.
#[test]
fn the_corpus_lies_over_itself() {
    let kb = concat!(env!("CARGO_MANIFEST_DIR"), "/kb");
    let output = run(&["ask", "find shellac", "--kb", kb]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert!(stderr(&output).is_empty(), "{}", stderr(&output));
}

#[test]
fn an_overlay_cannot_write_escapes_to_the_terminal() {
    let escaped = |text: &str| {
        text.chars()
            .any(|c| (c.is_control() && c != '\n') || matches!(c, '\u{61c}' | '\u{202e}'))
    };
    let evil = GILDING
        .replace("\"my gilding\"", "\"my \\u001b[31mgilding\"")
        .replace("As we met it", "As \\u009b31m we \\u202e met \\u061c it");
    let dir = overlay(&[("evil\u{1b}[31m/layers/my-gilding.toml", &evil)]);
    let kb = dir.path().join("evil\u{1b}[31m");
    let kb = kb.to_str().unwrap();
    for query in [
        "find layer limit 1000",
        "remove shellac from my-gilding over oak",
    ] {
        let output = run(&["ask", query, "--kb", kb]);
        let (out, err) = (stdout(&output), stderr(&output));
        assert!(!escaped(&out), "{query}: {out:?}");
        assert!(!escaped(&err), "{query}: {err:?}");
        assert!(!out.is_empty(), "{query}: {err}");
    }
    let bad = evil.replace("\"test\"", "\"te\\u001b[31mst\"");
    std::fs::write(
        dir.path().join("evil\u{1b}[31m/layers/my-gilding.toml"),
        bad,
    )
    .unwrap();
    for arguments in [["check", kb].as_slice(), &["ask", "find oak", "--kb", kb]] {
        let output = run(arguments);
        assert_eq!(code(&output), 2);
        assert!(!escaped(&stdout(&output)), "{:?}", stdout(&output));
        assert!(!escaped(&stderr(&output)), "{:?}", stderr(&output));
    }
}

#[test]
fn free_text_finds_what_an_overlay_says() {
    let dir = overlay(&[(
        "materials/shellac.toml",
        "id = \"shellac\"\nsummary = \"Called zwetschgenlack in our studio.\"\n",
    )]);
    let kb = dir.path().to_str().unwrap();
    let output = run(&["ask", "find material about \"zwetschgenlack\"", "--kb", kb]);
    assert_eq!(code(&output), 0, "{}", stderr(&output));
    assert!(stdout(&output).contains("zwetschgenlack"));
}
