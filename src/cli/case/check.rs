//! `palinode case check`

use clap::Args;

use super::{CasePath, Over, fail, year};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::diag::Severity;
use crate::{case, render};

// No doc comment: clap would show it in place of what the subcommand is for.
#[derive(Args, Debug)]
pub(in crate::cli) struct Check {
    #[command(flatten)]
    case: CasePath,
    #[command(flatten)]
    over: Over,
}

impl Check {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let path = self.case.file();
        self.over.with(true, output, |pack, output| {
            let file = match case::load(&path) {
                Ok(file) => file,
                Err(error) => return fail::unread(&error, output),
            };
            let found = case::check(&file, pack, year());
            if !found.is_empty() {
                output.error(&render::diagnostics(&found, &file.source, Output::colour()));
            }
            let errors = found
                .iter()
                .filter(|d| d.severity == Severity::Error)
                .count();
            let it = &file.case;
            output.text(&format!(
                "{}: {} observations, {} questions, {} photographs; errors: {errors}, remarks: {}\n",
                render::safe(&path.display().to_string()),
                it.observations.len(),
                it.questions.len(),
                it.photographs.len(),
                found.len() - errors
            ));
            if errors > 0 {
                Exit::Wrong
            } else {
                Exit::Answered
            }
        })
    }
}
