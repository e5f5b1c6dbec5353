//! What helps a newcomer: pages, the tutorial, the form for screen readers.

use std::path::Path;
use std::process::{Command, Output};

const PAGES: [&str; 6] = [
    "language",
    "observations",
    "ladder",
    "record",
    "safety",
    "tutorial",
];

fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_palinode"))
        .args(arguments)
        .current_dir(folder)
        .env("PALINODE_CACHE", "")
        .env("COLUMNS", "80")
        .env_remove("PALINODE_WHO")
        .output()
        .unwrap()
}

fn run(arguments: &[&str]) -> Output {
    run_in(Path::new("."), arguments)
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// Words of a line as a command shell splits it; only single quotes are used.
fn split(line: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (number, piece) in line.split('\'').enumerate() {
        if number % 2 == 1 {
            out.push(piece.to_owned());
        } else {
            out.extend(piece.split_whitespace().map(str::to_owned));
        }
    }
    out
}

#[test]
fn help_lists_its_pages_and_prints_each() {
    let list = run(&["help"]);
    assert_eq!(list.status.code(), Some(0));
    let list = stdout(&list);
    for page in PAGES {
        assert!(
            list.lines().any(|l| l.trim_start().starts_with(page)),
            "{page}"
        );
        let shown = run(&["help", page]);
        assert_eq!(shown.status.code(), Some(0), "{page}");
        let shown = stdout(&shown);
        assert!(shown.lines().count() > 15, "{page}: {shown}");
        // Queries to be copied stay on one line.
        let wide = shown
            .lines()
            .filter(|l| !l.starts_with("$ "))
            .find(|l| l.chars().count() > 90);
        assert_eq!(wide, None, "{page}");
    }
    assert_eq!(run(&["--help"]).status.code(), Some(0));
    assert!(
        stdout(&run(&["--help"])).lines().count() <= 44,
        "more than a screen"
    );
}

/// What flattened arguments say of themselves must not stand in place of what a command does.
#[test]
fn the_help_of_a_command_begins_with_what_the_list_says_of_it() {
    for parent in [&[][..], &["case"]] {
        let list = stdout(&run(&[parent, &["--help"]].concat()));
        let commands = list
            .lines()
            .skip_while(|line| *line != "Commands:")
            .skip(1)
            .take_while(|line| !line.is_empty())
            // A line that goes on stands further in.
            .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
            .filter_map(|line| line.trim().split_once(' '));
        let mut count = 0;
        for (command, about) in commands.filter(|(command, _)| *command != "help") {
            let shown = stdout(&run(&[parent, &[command, "--help"]].concat()));
            let shown: Vec<&str> = shown.split_whitespace().collect();
            let about: Vec<&str> = about.split_whitespace().collect();
            assert_eq!(shown[..about.len()], about, "{command}");
            count += 1;
        }
        assert!(count > 10, "{list}");
    }
}

#[test]
fn help_knows_subcommands_words_and_what_was_misspelt() {
    for (topic, says) in [
        (&["ask"][..], "--kb"),
        (&["case", "observe"], "observe"),
        (&["identify"], "clauses"),
        (&["units"], "length"),
        (&["Q0301"], "Q0301"),
        (&["shellac"], "shellac"),
    ] {
        let arguments: Vec<&str> = ["help"].iter().chain(topic).copied().collect();
        let output = run(&arguments);
        assert_eq!(output.status.code(), Some(0), "{topic:?}");
        assert!(stdout(&output).contains(says), "{topic:?}");
    }
    // Each subcommand says what it is for, in the list and in its own help alike.
    let list = stdout(&run(&["--help"]));
    for name in ["ask", "shell", "case", "report", "check", "export"] {
        let own = stdout(&run(&[name, "--help"]));
        let about = own.lines().next().unwrap();
        let start: Vec<&str> = about.split_whitespace().take(4).collect();
        assert!(list.contains(&start.join(" ")), "{name}: {about}");
    }
    let output = run(&["help", "laddr"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("help ladder"));
}

/// Lines of a page from one that starts with some words to the next empty one.
fn block(page: &str, start: &str) -> String {
    let lines: Vec<&str> = page
        .lines()
        .skip_while(|line| !line.starts_with(start))
        .take_while(|line| !line.is_empty())
        .collect();
    assert!(!lines.is_empty(), "no `{start}`");
    lines.join("\n")
}

/// What the pages show as the language is the language.
#[test]
fn what_the_pages_show_can_be_asked() {
    let asked = |query: &str| {
        let output = run(&["ask", query]);
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            matches!(output.status.code(), Some(0 | 3)),
            "{query}\n{error}"
        );
        stdout(&output)
    };
    let language = stdout(&run(&["help", "language"]));
    asked(&block(&language, "  identify "));
    let page = stdout(&run(&["help", "observations"]));
    let page = page.split("Verbs of the bench").next().unwrap();
    let seen = block(page, "  that ");
    asked(&format!("identify coating on gesso {seen}"));
    // Every note in parentheses is understood; one that is not is refused.
    let notes: Vec<&str> = page
        .split('(')
        .skip(1)
        .map(|piece| piece.split(')').next().unwrap())
        .collect();
    assert!(notes.len() > 10, "{notes:?}");
    for note in notes {
        asked(&format!(
            "identify coating that dissolves in acetone ({note}), looks amber"
        ));
    }
    for hearsay in ["is called wax", "is recorded as wax"] {
        assert!(page.contains(hearsay));
        asked(&format!("identify coating that {hearsay}, looks amber"));
    }
    // The words of the verdicts are those of the answer.
    let ladder = stdout(&run(&["help", "ladder"]));
    let plan = asked(
        "remove shellac (film, later) from oil paint over gesso given oil paint is harmed by ethanol",
    );
    for word in ["test-first", "ruled out", "held back"] {
        let shown = |text: &str| text.to_lowercase().contains(word);
        assert!(shown(&ladder) && shown(&plan), "{word}\n{plan}");
    }
}

/// The record of the page passes the check, and is found.
#[test]
fn the_record_of_the_page_is_one() {
    let page = stdout(&run(&["help", "record"]));
    let record: String = page
        .lines()
        .skip_while(|line| !line.starts_with("  id = "))
        .take_while(|line| !line.starts_with("  by = "))
        .map(|line| format!("{}\n", line.strip_prefix("  ").unwrap_or(line)))
        .collect();
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("materials")).unwrap();
    std::fs::write(folder.path().join("materials/my-varnish.toml"), record).unwrap();
    let checked = run_in(folder.path(), &["check", "."]);
    assert_eq!(
        checked.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&checked.stderr)
    );
    let found = run_in(folder.path(), &["ask", "--kb", ".", "find \"my varnish\""]);
    assert!(stdout(&found).contains("1950..1987"), "{}", stdout(&found));
}

/// Every command of the tutorial does what the page says, in its order, in one folder.
#[test]
fn the_tutorial_works_as_it_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let page = stdout(&run(&["help", "tutorial"]));
    let mut commands = 0;
    for line in page.lines().filter_map(|l| l.strip_prefix("$ palinode ")) {
        let (line, wanted) = match line.split_once("   # exit code ") {
            Some((line, code)) => (line, vec![code.trim().parse::<i32>().unwrap()]),
            // 3: answered in full, and the answer is that facts are missing.
            None => (line, vec![0, 3]),
        };
        let words = split(line);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let output = run_in(folder.path(), &words);
        let code = output.status.code().unwrap();
        assert!(
            wanted.contains(&code),
            "{line}: exit code {code}\n{}{}",
            stdout(&output),
            String::from_utf8_lossy(&output.stderr)
        );
        commands += 1;
    }
    assert!(commands >= 18, "{commands}");
    let report = std::fs::read_to_string(folder.path().join("mirror/report.html")).unwrap();
    assert!(report.contains("Mirror frame"));
}

/// What is read aloud has no rules and no columns, and leaves out nothing that the table says.
#[test]
fn the_form_for_listening_says_what_the_table_says() {
    let queries = [
        "identify coating on gesso that dissolves in ethanol (crumb, 1 min), fluoresces orange under uv-a",
        "remove shellac (film, later) from oil gilding over gesso",
        "choose adhesive for walnut to walnut",
        "compare paraloid b-72, isinglass by tg, shrinkage",
        "find layer where harmed by water",
        "explain remove shellac (film, later) from oil gilding over gesso",
    ];
    for query in queries {
        let table = stdout(&run(&["ask", query]));
        let spoken = stdout(&run(&["ask", "--format", "text", query]));
        assert!(
            !spoken.contains(['─', '│', '═', '┆']),
            "{query}: rules in\n{spoken}"
        );
        // A cell that was broken over lines may have been broken within a word.
        let letters = |text: &str| -> String {
            let mut all: Vec<char> = text.chars().filter(|c| c.is_alphabetic()).collect();
            all.sort_unstable();
            all.into_iter().collect()
        };
        let (seen, heard) = (letters(&table), letters(&spoken));
        // The heads of columns are said again with each row, so what is heard is never less.
        let mut rest = heard.chars().peekable();
        for c in seen.chars() {
            while rest.peek().is_some_and(|r| *r < c) {
                rest.next();
            }
            assert_eq!(rest.next(), Some(c), "{query}: {c} is missing");
        }
    }
}
