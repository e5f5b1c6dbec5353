//! `palinode export`: the corpus for other programs.

use std::path::Path;

use clap::ValueEnum;

use super::Exit;
use super::output::Output;
use super::overlay::lay_over;
use crate::{embedded, render};

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

pub(super) fn run(form: As, kb: Option<&Path>, skip_bad: bool, output: &mut Output) -> Exit {
    if form == As::Schema {
        output.text(render::EXPORT_SCHEMA);
        return Exit::Answered;
    }
    let overlay = match kb.map(|dir| lay_over(dir, skip_bad, false, output)) {
        None => None,
        Some(Some(pack)) => Some(pack),
        Some(None) => return Exit::Wrong,
    };
    let pack = overlay.as_ref().unwrap_or_else(|| embedded());
    let records = pack.all_records();
    if form == As::Json {
        output.text(&render::export_json(&records, &pack.identity()));
        return Exit::Answered;
    }
    match render::export_csv(&records) {
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
