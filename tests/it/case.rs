//! The record of a case: reading, mistakes with their places, what an edit leaves alone.

use std::path::Path;

use palinode::case::{self, Day};
use palinode::diag::CODES;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/kb/demo/overmantel/case.toml");

/// The smallest case.
const SMALL: &str = "palinode = 1\n[object]\ntitle = \"A box\"\n";

#[test]
fn the_demo_case_is_read_whole() {
    let file = case::load(Path::new(DEMO)).unwrap();
    assert!(file.remarks.is_empty(), "{:?}", file.remarks);
    let case = file.case;
    assert_eq!(case.layers.len(), 4);
    assert_eq!(case.unknowns[0].noun, "metal paint (film, later)");
    assert_eq!(case.observations.len(), 6);
    assert_eq!(case.observations[0].noted.day, Day::new(2026, 11, 24));
    for photograph in &case.photographs {
        case::photograph(Path::new(DEMO).parent().unwrap(), &photograph.file).unwrap();
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
        // What only the corpus can tell is told when it is asked.
        if entry.code == "C0110" {
            continue;
        }
        let codes = |lines: &str| -> Vec<&str> {
            match case::parse(&format!("{SMALL}{lines}\n")) {
                Ok((_, remarks)) => remarks.iter().map(|d| d.code).collect(),
                Err(list) => list.iter().map(|d| d.code).collect(),
            }
        };
        assert_eq!(codes(wrong), [entry.code], "{wrong}");
        assert!(codes(right).is_empty(), "{right}: {:?}", codes(right));
        seen += 1;
    }
    assert!(seen >= 7, "{seen}");
}
