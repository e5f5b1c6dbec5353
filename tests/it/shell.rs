//! The shell through a pipe, its help, and the pages that are made from the tables of the language.

use std::io::{ErrorKind, Write};
use std::process::{Command, Output, Stdio};

use palinode::lang::reserved::{CLAUSE_FORMS, KEYWORDS, PLACED_WORDS, VERBS};

fn shell(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .env("PALINODE_CACHE", "")
        .arg("shell")
        .args(arguments)
        .env("COLUMNS", "80")
        .env_remove("NO_COLOR")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    // A shell that refuses its folder is gone before it reads anything.
    if let Err(error) = stdin.write_all(input.as_bytes()) {
        assert_eq!(error.kind(), ErrorKind::BrokenPipe);
    }
    drop(stdin);
    child.wait_with_output().unwrap()
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_palinode"))
        .env("PALINODE_CACHE", "")
        .args(arguments)
        .env("COLUMNS", "80")
        .output()
        .unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn verbs_of(output: &Output) -> Vec<String> {
    stdout(output)
        .lines()
        .map(|line| serde_json::from_str::<serde_json::Value>(line).unwrap())
        .map(|answer| answer["statement"].as_str().unwrap().to_owned())
        .collect()
}

/// Exit codes: the worst of all statements, a mistake before missing facts before nothing found.
#[test]
fn a_pipe_is_answered_in_order_and_the_worst_code_counts() {
    let found = "find material where tg > 30 C limit 1;\n";
    let nothing = "find material where known(tg) and not known(tg);\n";
    let undetermined =
        "identify coating that dissolves in ethanol (crumb), is unaffected by ethanol (crumb);\n";
    let wrong = "find xyzzy;\n";
    let table: &[(&[&str], i32)] = &[
        (&[], 0),
        (&[found], 0),
        (&[found, nothing], 1),
        (&[nothing, undetermined, found], 3),
        (&[undetermined, wrong, nothing, found], 2),
    ];
    for (statements, code) in table {
        let output = shell(&["--format", "json"], &statements.concat());
        assert_eq!(
            output.status.code(),
            Some(*code),
            "{statements:?}: {}",
            stderr(&output)
        );
        let answered = statements.iter().filter(|s| **s != wrong).count();
        assert_eq!(verbs_of(&output).len(), answered, "{}", stdout(&output));
        assert!(!stdout(&output).contains("ask>"), "a prompt in a pipe");
    }
}

#[test]
fn statements_of_several_lines_end_with_a_semicolon_or_an_empty_line() {
    let input = "# an invented object\nfind material\n  where tg > 30 C\n  limit 1\n\n\
                 find material where tg > 40 C limit 1; find material limit 1;\n\
                 identify coating\r\n  that fluoresces orange under uv-a\r\n\r\n\
                 find layer limit 1";
    let output = shell(&["--format", "json"], input);
    assert_eq!(stderr(&output), "");
    let verbs = verbs_of(&output);
    assert_eq!(verbs, ["find", "find", "find", "identify", "find"]);
}

/// `let` names of one statement serve in later ones, may be bound anew, and are told from a mistake.
#[test]
fn let_names_live_on() {
    let input = "let old = identify adhesive (deep joint 12 mm, later) on glazed earthenware that \
                 swells in acetone (crumb, 30 min);\n\
                 find xyzzy;\n\
                 remove old from glaze over earthenware;\n\
                 let old = identify coating that fluoresces orange under uv-a;\n\
                 remove old from bronze;\n";
    let output = shell(&["--format", "json"], input);
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
    let verbs = verbs_of(&output);
    assert_eq!(verbs, ["identify", "remove", "identify", "remove"]);
    assert_eq!(
        stderr(&output).matches("error").count(),
        1,
        "{}",
        stderr(&output)
    );
    // The second binding is what the last statement speaks of.
    let last = stdout(&output);
    let last: serde_json::Value = serde_json::from_str(last.lines().last().unwrap()).unwrap();
    let target = last["target"].to_string();
    assert!(target.contains("shellac"), "{target}");

    // A name that no statement bound, and one bound by a statement that failed.
    for input in [
        "remove old from bronze;\n",
        "let old = identify xyzzy;\nremove old from bronze;\n",
        "let a = identify coating; let a = identify coating;\n",
    ] {
        let output = shell(&[], input);
        assert_eq!(output.status.code(), Some(2), "{input}");
        assert!(stderr(&output).contains("error"), "{input}");
    }
}

#[test]
fn commands_of_the_shell_work_in_a_pipe() {
    let output = shell(&[], "help\nquit\nfind xyzzy;\n");
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    for (verb, word, about, _) in VERBS {
        assert!(stdout(&output).contains(word), "no {word}");
        assert!(stdout(&output).contains(about), "no line on {word}");
        let _ = verb;
    }
    let output = shell(&[], "help nonsenseword\n");
    assert_eq!(output.status.code(), Some(2));
    let output = shell(&[], "help idetify\n");
    assert!(
        stderr(&output).contains("help identify"),
        "{}",
        stderr(&output)
    );
}

/// Every word of the language, every field, every code has a page, and it fits the screen.
#[test]
fn help_knows_every_word() {
    let mut topics: Vec<(String, String)> = Vec::new();
    for (_, word, about, _) in VERBS {
        topics.push(((*word).to_owned(), (*about).to_owned()));
    }
    for (_, word, about) in KEYWORDS {
        topics.push(((*word).to_owned(), (*about).to_owned()));
    }
    for (word, about) in PLACED_WORDS {
        topics.push(((*word).to_owned(), (*about).to_owned()));
    }
    for field in palinode::model::field::FIELDS {
        topics.push((field.key.to_owned(), field.meaning.to_owned()));
    }
    for entry in palinode::diag::CODES {
        topics.push((entry.code.to_owned(), entry.title.to_owned()));
    }
    for (topic, about) in [
        ("units", "lux h"),
        ("notes", "deep joint"),
        ("verbs", "fluoresces"),
        ("fields", "glass transition"),
        ("clauses", "restored"),
        ("keys", "Ctrl-C"),
        ("mm", "millimetre"),
        ("exposure-limit", "written `exposure-limit` in a query"),
        ("shellac", "resin"),
        ("swells", "liquid"),
    ] {
        topics.push((topic.to_owned(), about.to_owned()));
    }
    let input: String = topics.iter().map(|(t, _)| format!("help {t}\n")).collect();
    let output = shell(&[], &input);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = stdout(&output);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for (topic, about) in &topics {
        let about = about.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(&about), "help {topic} does not say: {about}");
    }
    for line in text.lines() {
        let example = line.starts_with("wrong:") || line.starts_with("right:");
        assert!(example || line.chars().count() < 80, "too wide: {line}");
    }
}

#[test]
fn an_overlay_serves_the_shell_too() {
    let dir = tempfile::tempdir().unwrap();
    let kb = dir.path().to_str().unwrap();
    let output = shell(&["--kb", kb], "find material limit 1;\n");
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
    std::fs::create_dir(dir.path().join("layers")).unwrap();
    std::fs::write(
        dir.path().join("layers/my-ground.toml"),
        "id = \"my-ground\"\nname = \"my ground\"\ngroup = \"ground\"\ntraits = [\"glue-bound\", \
         \"porous\"]\nsummary = \"Invented for this test.\"\n[harm.sound]\n\
         cold-water = {is = \"harms\", by = \"practice\"}\n",
    )
    .unwrap();
    let output = shell(&["--kb", kb, "--format", "json"], "find \"my ground\";\n");
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    assert!(stdout(&output).contains("my-ground"), "{}", stdout(&output));
}

/// An answer may be that facts are missing, yet never that the example is wrong.
#[test]
fn the_example_of_every_verb_is_answered() {
    for (_, word, _, example) in VERBS {
        let output = run(&["ask", example]);
        assert!(
            matches!(output.status.code(), Some(0 | 3)),
            "{word}: {}",
            stderr(&output)
        );
        assert!(stderr(&output).is_empty() && !stdout(&output).is_empty());
    }
}

/// Names of the subcommands, from the program's own help.
fn subcommands() -> Vec<String> {
    let help = stdout(&run(&["--help"]));
    let list = help.split("Commands:").nth(1).unwrap();
    let list = list.split("Options:").next().unwrap();
    let names: Vec<String> = list
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .collect();
    assert!(names.len() > 7, "{names:?}");
    names
}

#[test]
fn the_manual_page_tells_subcommands_and_statements() {
    let output = run(&["man"]);
    assert_eq!(output.status.code(), Some(0));
    let page = stdout(&output);
    assert!(page.contains(".TH palinode 1"), "{page}");
    for name in subcommands().iter().filter(|n| *n != "help") {
        assert!(
            page.contains(&format!("\\fBpalinode {name}\\fR")),
            "no {name}"
        );
    }
    for (_, word, about, _) in VERBS {
        assert!(page.contains(&format!("\\fB{word}\\fR")), "no {word}");
        assert!(page.contains(about), "no line on {word}");
    }
    for (keyword, _) in CLAUSE_FORMS {
        assert!(page.contains(&format!("\\fB{}\\fR", keyword.word())));
    }
    for part in ["EXIT STATUS", "PALINODE_HISTORY", "NO_COLOR", "CAUTION"] {
        assert!(page.contains(part), "no {part}");
    }
}

#[test]
fn completion_scripts_name_every_subcommand() {
    for kind in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let output = run(&["completions", kind]);
        assert_eq!(output.status.code(), Some(0), "{kind}");
        let script = stdout(&output);
        for name in subcommands() {
            assert!(script.contains(&name), "{kind}: no {name}");
        }
    }
    let output = run(&["completions", "sh"]);
    assert_eq!(output.status.code(), Some(2));
}

/// `bash -n` reads a script without running it. Where there is no bash, there is nobody to ask.
#[test]
fn the_script_for_bash_is_one() {
    let script = run(&["completions", "bash"]).stdout;
    let Ok(mut bash) = Command::new("bash")
        .arg("-n")
        .stdin(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
    else {
        println!("no bash here: the script was not checked");
        return;
    };
    bash.stdin.take().unwrap().write_all(&script).unwrap();
    let output = bash.wait_with_output().unwrap();
    assert!(output.status.success(), "{}", stderr(&output));
}
