//! Files that a test writes: it compares, and says how to write them anew.

use std::path::Path;

use crate::random::writing;

/// What a file holds.
pub(crate) fn read(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    std::fs::read_to_string(path).unwrap_or_default()
}

/// Holds a file against what it should hold; with `PALINODE_WRITE=1` writes it. `says` tells of the
/// difference.
pub(crate) fn holds(name: &str, wanted: &str, says: impl FnOnce(&str) -> String) {
    let found = read(name);
    if found == wanted {
        return;
    }
    if writing() {
        std::fs::write(Path::new(env!("CARGO_MANIFEST_DIR")).join(name), wanted).unwrap();
        return;
    }
    panic!(
        "{}\nIf that is meant: PALINODE_WRITE=1 cargo test, then look at `git diff {name}`.",
        says(&found)
    );
}
