//! The one integration-test binary.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    reason = "tests"
)]

mod asking;
mod beliefs;
mod bench;
mod blend;
mod borne;
mod calibration;
mod case;
mod cases;
mod changed;
mod chem;
mod choose;
mod cite;
mod cli;
mod columns;
mod complete;
mod conditions;
mod diag;
mod doubt;
mod engines;
mod exits;
mod export;
mod forbidden;
mod gate;
mod glance;
mod grammar;
mod help;
mod hostile;
mod kept;
mod lang;
mod layering;
mod lint;
mod mistakes;
mod next;
mod outside;
mod page;
mod poor;
mod random;
mod reference;
mod reliability;
mod removal;
mod report;
mod seeds;
mod share;
mod shell;
mod store;
mod streamed;
mod sums;
mod supply;
mod templates;
mod terminal;
mod truths;
mod units;
mod written;

/// A test file that nobody lists here would never run.
#[test]
fn no_test_file_is_forgotten() {
    let here = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it");
    let listed = std::fs::read_to_string(here.join("main.rs")).unwrap();
    for entry in std::fs::read_dir(here).unwrap() {
        let path = entry.unwrap().path();
        let stem = path.file_stem().unwrap().to_string_lossy().into_owned();
        if stem != "main" && path.extension().is_some_and(|e| e == "rs") {
            assert!(
                listed.contains(&format!("mod {stem};")),
                "{stem} is not listed in main.rs"
            );
        }
    }
}
