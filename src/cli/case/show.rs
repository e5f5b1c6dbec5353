//! `palinode case show`

use clap::Args;

use super::{CasePath, fail};
use crate::cli::output::Output;
use crate::cli::{Exit, Form};
use crate::{case, render};

// No doc comment: clap would show it in place of what the subcommand is for.
#[derive(Args, Debug)]
pub(in crate::cli) struct Show {
    #[command(flatten)]
    case: CasePath,
    /// Form in which it is shown
    #[arg(long, value_enum, default_value_t = Form::Table)]
    format: Form,
}

impl Show {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let file = match case::load(&self.case.file()) {
            Ok(file) => file,
            Err(error) => return fail::unread(&error, output),
        };
        output.text(&match self.format {
            Form::Table => render::case(&file.case, Output::columns()),
            Form::Text => render::case(&file.case, u16::MAX),
            Form::Json => format!("{}\n", render::data(&render::case_json(&file.case))),
        });
        Exit::Answered
    }
}
