//! `palinode explain CODE`

use super::Exit;
use super::output::Output;
use crate::diag::{CODES, CodeEntry, code_entry, did_you_mean};

pub(super) fn run(code: &str, output: &mut Output) -> Exit {
    let Some(entry) = code_entry(code) else {
        let upper = code.to_uppercase();
        let near = did_you_mean(&upper, CODES.iter().map(|e| e.code));
        let help = near
            .first()
            .map_or_else(String::new, |best| format!("\n  help: write {best}"));
        output.error(&format!(
            "error: no code is called `{}`{help}",
            crate::render::safe(code)
        ));
        return Exit::Wrong;
    };
    output.text(&page(entry));
    Exit::Answered
}

/// The page of a code.
pub(super) fn page(entry: &CodeEntry) -> String {
    let mut out = format!("{}: {}\n\n{}\n", entry.code, entry.title, entry.page);
    for (what, example) in [("wrong", entry.wrong), ("right", entry.right)] {
        if let Some(example) = example {
            let line = if what == "wrong" { "\n" } else { "" };
            out.push_str(&format!("{line}{what}: {example}\n"));
        }
    }
    out
}
