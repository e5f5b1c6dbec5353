//! `palinode export`: the corpus for other programs.

use clap::ValueEnum;

use super::Exit;
use super::output::Output;
use super::overlay::Over;
use crate::pack::Pack;
use crate::render;

/// In what form the corpus is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum As {
    /// One JSON document, a record a line
    Json,
    /// One fact a line, with a head line
    Csv,
    /// The JSON Schema of the JSON document
    Schema,
}

pub(super) fn run(form: As, over: &Over, output: &mut Output) -> Exit {
    match form {
        As::Schema => {
            output.text(render::EXPORT_SCHEMA);
            Exit::Answered
        }
        As::Json => over.with(false, output, json),
        As::Csv => over.with(false, output, csv),
    }
}

fn json(pack: &Pack, output: &mut Output) -> Exit {
    output.text(&render::export_json(&pack.all_records(), &pack.identity()));
    Exit::Answered
}

fn csv(pack: &Pack, output: &mut Output) -> Exit {
    match render::export_csv(&pack.all_records()) {
        Ok(text) => {
            output.text(&text);
            Exit::Answered
        }
        Err(error) => {
            output.error(&format!("error: cannot write CSV: {error}"));
            Exit::Internal
        }
    }
}
