//! `palinode explain CODE`

use super::Exit;
use super::output::Output;
use crate::diag::{CODES, code_entry, did_you_mean};

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
    output.text(&format!(
        "{}: {}\n\n{}\n",
        entry.code, entry.title, entry.page
    ));
    if let Some(wrong) = entry.wrong {
        output.text(&format!("\nwrong: {wrong}\n"));
    }
    if let Some(right) = entry.right {
        output.text(&format!("right: {right}\n"));
    }
    Exit::Answered
}
