//! The lints against cases that each hold one mistake.
//!
//! A case in `tests/lint/<lint>` changes the small corpus in `tests/lint/base`. It is a list of
//! changes, each headed by a remark: `# in FILE, for: LINE` puts what follows in the place of a
//! line; `# as FILE` makes a file of it. A finding is expected where a line ends with
//! `#! CODE`, or after a line `%v CODE`, and nowhere else.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use palinode::corpus::{self, Corpus, Finding};
use palinode::diag::{CODES, CodeEntry, code_entry};
use palinode::lint::{LINTS, lint};

/// The codes of the corpus.
fn pages() -> impl Iterator<Item = &'static CodeEntry> {
    CODES.iter().filter(|entry| entry.code.starts_with('K'))
}

type Mark = (String, u32, String);

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn cases() -> PathBuf {
    root().join("tests/lint")
}

/// The small corpus with the vocabulary of the real one.
fn base() -> tempfile::TempDir {
    let dir = tempfile::tempdir().expect("a folder");
    copy(&cases().join("base"), dir.path());
    fs::copy(
        root().join("kb/vocab/words.toml"),
        dir.path().join("vocab/words.toml"),
    )
    .expect("words");
    dir
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("a folder") {
        let path = entry.expect("an entry").path();
        let target = to.join(path.file_name().expect("a name"));
        if path.is_dir() {
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).expect("a copy");
        }
    }
}

/// Makes the changes of a case.
fn change(dir: &Path, case: &str) {
    let mut changes: Vec<(&str, Vec<&str>)> = Vec::new();
    for line in case.lines() {
        let bare = line.trim_start_matches(['#', '%']);
        if bare.len() < line.len() && (bare.starts_with(" in ") || bare.starts_with(" as ")) {
            changes.push((bare.trim_start(), Vec::new()));
        } else {
            changes
                .last_mut()
                .expect("a case starts with where it is")
                .1
                .push(line);
        }
    }
    for (head, body) in changes {
        let body = body
            .iter()
            .map(|line| format!("{line}\n"))
            .collect::<String>();
        if let Some(file) = head.strip_prefix("as ") {
            let path = dir.join(file);
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            fs::write(path, body).expect("a file");
            continue;
        }
        let (file, line) = head[3..].split_once(", for: ").expect("a line");
        let path = dir.join(file);
        let old = fs::read_to_string(&path).expect(file);
        let hits = old.lines().filter(|l| *l == line).count();
        assert_eq!(hits, 1, "{file} holds `{line}` {hits} times");
        let new: String = old
            .split_inclusive('\n')
            .map(|l| {
                if l.trim_end_matches('\n') == line {
                    body.as_str()
                } else {
                    l
                }
            })
            .collect();
        fs::write(path, new).expect("a file");
    }
}

/// Every mark in the files of a folder.
fn marks(dir: &Path) -> Vec<Mark> {
    let mut out = Vec::new();
    let mut folders = vec![dir.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = fs::read_to_string(&path).expect("a text");
            let name = path
                .strip_prefix(dir)
                .expect("below")
                .to_string_lossy()
                .into_owned();
            for (number, line) in (1..).zip(text.lines()) {
                for (sign, shift) in [("#! ", 0), ("%! ", 0), ("#v ", 1), ("%v ", 1)] {
                    let Some((_, codes)) = line.split_once(sign) else {
                        continue;
                    };
                    let codes = codes.split_whitespace();
                    out.extend(codes.map(|code| (name.clone(), number + shift, code.to_owned())));
                }
            }
        }
    }
    out.sort();
    out
}

fn found(dir: &Path) -> (Corpus, Vec<Finding>) {
    let corpus = corpus::load(dir, Vec::new()).expect("a corpus");
    let findings = corpus
        .findings
        .iter()
        .cloned()
        .chain(lint(&corpus, &[]))
        .collect();
    (corpus, findings)
}

fn as_marks(findings: &[Finding]) -> Vec<Mark> {
    let mut out: Vec<Mark> = findings
        .iter()
        .map(|f| {
            (
                f.place.file.clone(),
                f.place.line,
                f.diagnostic.code.to_owned(),
            )
        })
        .collect();
    out.sort();
    out
}

/// (code, name of the case, text, whether it is a good one).
fn all_cases() -> Vec<(&'static str, String, String, bool)> {
    let mut out = Vec::new();
    for entry in pages() {
        let lint = LINTS.iter().find(|l| l.code == entry.code);
        let folder = lint.map_or_else(|| entry.code.to_lowercase(), |l| l.name.to_owned());
        let mut files: Vec<PathBuf> = fs::read_dir(cases().join(&folder))
            .unwrap_or_else(|_| panic!("no cases for {folder}"))
            .map(|e| e.expect("an entry").path())
            .collect();
        files.sort();
        for file in files {
            let stem = file
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            let good = stem.starts_with("good");
            assert!(good || stem.starts_with("bad"), "{}", file.display());
            let text = fs::read_to_string(&file).expect("a text");
            out.push((entry.code, format!("{folder}/{stem}"), text, good));
        }
    }
    out
}

#[test]
fn the_base_of_the_cases_is_clean() {
    let dir = base();
    assert_eq!(as_marks(&found(dir.path()).1), []);
}

#[test]
fn each_case_earns_its_marks_and_no_others() {
    let mut wrong = Vec::new();
    for (code, name, text, good) in all_cases() {
        let dir = base();
        change(dir.path(), &text);
        let wanted = marks(dir.path());
        let (_, findings) = found(dir.path());
        let earned = as_marks(&findings);
        if earned != wanted {
            wrong.push(format!("{name}: found {earned:?}, wanted {wanted:?}"));
        }
        if good == wanted.iter().any(|(.., c)| c == code) {
            wrong.push(format!(
                "{name}: {code} marked in a good case, or not in a bad one"
            ));
        }
        for finding in &findings {
            let code = finding.diagnostic.code;
            let placed = finding.place.line > 0 && finding.place.column > 0;
            let helped = finding.diagnostic.help.is_some() || code.starts_with("K01");
            if code_entry(code).is_none() || !placed || !helped {
                wrong.push(format!("{name}: without page, place or help: {finding:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_edit_that_is_offered_mends_the_mistake() {
    let mut edits = 0;
    for (_, name, text, _) in all_cases() {
        let dir = base();
        change(dir.path(), &text);
        let (corpus, findings) = found(dir.path());
        for finding in findings {
            let Some(edit) = &finding.diagnostic.edit else {
                continue;
            };
            let source = corpus
                .sources
                .iter()
                .find(|s| s.name == finding.file)
                .expect("a text");
            let path = dir.path().join(&finding.file);
            fs::write(&path, edit.apply(&source.text)).expect("a file");
            let gone = (
                finding.file.clone(),
                finding.place.line,
                finding.diagnostic.code.to_owned(),
            );
            let left = as_marks(&found(dir.path()).1);
            assert!(!left.contains(&gone), "{name}: {edit:?} leaves {left:?}");
            fs::write(&path, &source.text).expect("a file");
            edits += 1;
        }
    }
    assert!(edits >= 15, "only {edits} edits are offered");
}

#[test]
fn every_lint_has_a_page_and_every_code_its_cases() {
    let codes: Vec<&str> = LINTS.iter().map(|l| l.code).collect();
    let with_pages: Vec<&str> = pages()
        .map(|e| e.code)
        .filter(|c| c.starts_with("K02"))
        .collect();
    assert_eq!(codes, with_pages, "codes and pages in the same order");
    let names: BTreeSet<&str> = LINTS.iter().map(|l| l.name).collect();
    assert_eq!(names.len(), LINTS.len(), "names are unique");
    for lint in LINTS {
        assert!(
            lint.why.len() > 30 && !lint.why.ends_with('.'),
            "{}",
            lint.name
        );
    }
    // No folder of cases is forgotten.
    for entry in fs::read_dir(cases()).expect("a folder") {
        let name = entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        let known = names.contains(name.as_str())
            || pages().any(|e| e.code.to_lowercase() == name)
            || name == "base";
        assert!(known, "tests/lint/{name} belongs to no lint");
    }
}

#[test]
fn pages_hold_examples_that_the_cases_prove() {
    let cases = all_cases();
    for entry in pages() {
        assert!(
            entry.page.ends_with('.') && entry.page.len() > 60,
            "{}",
            entry.code
        );
        assert!(!entry.page.contains("  "), "{}", entry.code);
        for (example, good) in [(entry.wrong, false), (entry.right, true)] {
            let own = || {
                cases
                    .iter()
                    .filter(|(code, _, _, g)| *code == entry.code && *g == good)
            };
            assert!(
                own().next().is_some(),
                "{} has no case, good {good}",
                entry.code
            );
            if let Some(example) = example {
                assert!(
                    own().any(|(_, _, text, _)| text.contains(example)),
                    "{}: no case holds `{example}`",
                    entry.code
                );
            }
        }
    }
}

/// A folder laid over others answers for its own files only.
#[test]
fn an_overlay_is_checked_with_what_lies_beneath() {
    let dir = base();
    let beneath = corpus::load(dir.path(), Vec::new())
        .expect("a corpus")
        .records;
    let over = tempfile::tempdir().expect("a folder");
    let write = |text: &str| {
        fs::create_dir_all(over.path().join("materials")).expect("a folder");
        fs::write(over.path().join("materials/studio.toml"), text).expect("a file");
        let corpus = corpus::load(over.path(), beneath.clone()).expect("a corpus");
        as_marks(&lint(&corpus, &[]))
    };
    let good = "id = \"studio\"\nname = \"studio varnish\"\nkinds = [\"coating\"]\nfamily = \"wax\"\n\
                summary = \"Ours.\"\nmade_of = [\"resin\"]\n\n[fresh]\nacetone = {is = \"dissolves\", by = \"practice\"}\n";
    assert_eq!(write(good), []);
    let mark = |line, code: &str| ("materials/studio.toml".to_owned(), line, code.to_owned());
    assert_eq!(
        write(&good.replace("\"resin\"", "\"resins\"")),
        [mark(6, "K0201")]
    );
    assert_eq!(
        write(&good.replace("studio varnish", "Test-Varnish")),
        [mark(2, "K0219")]
    );
}
