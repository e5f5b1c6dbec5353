//! The record of a case: reading, mistakes with their places, what an edit leaves alone, asking,
//! and the commands as a conservator meets them.

mod asking;
mod commands;
mod damage;
mod editing;
mod writers;

use std::path::Path;
use std::process::{Command, Output};

use palinode::case::{self, Day, Moment};
use palinode::diag::CODES;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/kb/demo/overmantel/case.toml");

/// The smallest case.
const SMALL: &str = "palinode = 1\n[object]\ntitle = \"A box\"\n";

/// 2026-11-28T12:00:00Z, so that what is written is the same every day.
const NOON: &str = "1795867200";

/// Runs `palinode case` with a fixed clock.
fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_palinode"))
        .env("PALINODE_CACHE", "")
        .arg("case")
        .args(arguments)
        .env("COLUMNS", "80")
        .env("SOURCE_DATE_EPOCH", NOON)
        .env("PALINODE_WHO", "AB")
        .output()
        .unwrap()
}

/// The same, which must do; gives its output.
fn done(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert!(
        matches!(output.status.code(), Some(0 | 3)),
        "{arguments:?}\n{}",
        err(&output)
    );
    out(&output)
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

/// A case with this text, in a folder of its own.
fn written(text: &str) -> (tempfile::TempDir, String) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("case.toml");
    std::fs::write(&path, text).unwrap();
    let path = path.to_str().unwrap().to_owned();
    (dir, path)
}

#[test]
fn the_demo_case_is_read_whole() {
    let file = case::load(Path::new(DEMO)).unwrap();
    assert!(file.remarks.is_empty(), "{:?}", file.remarks);
    assert!(file.source.text.contains("Invented"), "it must say so");
    let found = case::check(&file, palinode::embedded(), crate::engines::NOW);
    assert!(found.is_empty(), "{found:?}");
    let case = file.case;
    assert_eq!(case.layers.len(), 4);
    assert_eq!(case.unknowns[0].noun, "metal paint (film, later)");
    assert_eq!(case.observations.len(), 6);
    assert_eq!(case.observations[0].noted.day, Day::new(2026, 11, 28));
    for list in [
        case.trials.len(),
        case.questions.len(),
        case.proposals.len(),
        case.decisions.len(),
        case.uses.len(),
        case.deviations.len(),
        case.photographs.len(),
        case.changes.len(),
    ] {
        assert!(list > 0, "every section is shown");
    }
}

/// The pages' examples behave.
#[test]
fn pages_hold_true_examples() {
    let mut seen = 0;
    for entry in CODES.iter().filter(|e| e.code.starts_with('C')) {
        let (Some(wrong), Some(right)) = (entry.wrong, entry.right) else {
            continue;
        };
        let codes = |lines: &str| -> Vec<&str> {
            let (_dir, path) = written(&format!("{SMALL}{lines}\n"));
            match case::load(Path::new(&path)) {
                // A missing picture is another matter.
                Ok(file) => case::check(&file, palinode::embedded(), crate::engines::NOW)
                    .iter()
                    .filter(|d| !d.message.contains("cannot be opened"))
                    .map(|d| d.code)
                    .collect(),
                Err(case::ReadError::Damaged { diagnostics, .. }) => {
                    diagnostics.iter().map(|d| d.code).collect()
                }
                Err(error) => panic!("{error}"),
            }
        };
        assert_eq!(codes(wrong), [entry.code], "{wrong}");
        assert!(codes(right).is_empty(), "{right}: {:?}", codes(right));
        seen += 1;
    }
    assert!(seen >= 8, "{seen}");
}

/// POSIX.1-2017, base definitions, 4.16 "Seconds Since the Epoch": the formula that gives seconds
/// from a calendar date. The moment of a change is the same formula read backwards, so each day from
/// 1970 to 2399 must come back. (The formula is given there; the range is ours.)
#[test]
fn moments_agree_with_the_formula_of_posix() {
    let mut wanted = (1970_u64, 1_u64, 1_u64, 0_u64); // year, month, day, day of the year
    let leap = |y: u64| (y.is_multiple_of(4) && !y.is_multiple_of(100)) || y.is_multiple_of(400);
    while wanted.0 < 2400 {
        let (year, month, day, of_year) = wanted;
        let since = year - 1900;
        let seconds = of_year * 86_400 + (since - 70) * 31_536_000 + (since - 69) / 4 * 86_400
            - (since - 1) / 100 * 86_400
            + (since + 299) / 400 * 86_400;
        let moment = Moment::at(seconds + 86_399);
        assert_eq!(
            moment.to_string(),
            format!("{year:04}-{month:02}-{day:02}T23:59:59Z")
        );
        assert_eq!(Day::parse(&moment.day().to_string()), Some(moment.day()));
        let longest = match month {
            2 => 28 + u64::from(leap(year)),
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        };
        let (y, m, d) = (
            u16::try_from(year).unwrap(),
            u8::try_from(month).unwrap(),
            u8::try_from(day).unwrap(),
        );
        assert!(Day::new(y, m, d).is_some());
        wanted = if day < longest {
            (year, month, day + 1, of_year + 1)
        } else {
            assert_eq!(Day::new(y, m, d + 1), None, "{year}-{month}");
            if month < 12 {
                (year, month + 1, 1, of_year + 1)
            } else {
                (year + 1, 1, 1, 0)
            }
        };
    }
    assert_eq!(
        Moment::at(1_795_867_200).to_string(),
        "2026-11-28T12:00:00Z"
    );
    for wrong in [
        "2026-2-3",
        "2026-02-30",
        "1900-02-29",
        "26-11-28",
        "2026/11/28",
        "",
        "+026-11-28",
    ] {
        assert_eq!(Day::parse(wrong), None, "{wrong}");
    }
}
