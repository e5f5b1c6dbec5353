//! `palinode check`: lints and coverage of a corpus or an overlay.

use std::path::Path;

use super::output::Output;
use super::{Exit, Form, overlay};
use crate::corpus::{self, Corpus, LoadError};
use crate::lint::{Coverage, coverage};
use crate::model::Library;
use crate::{embedded, render};

pub(super) fn run(dir: Option<&Path>, form: Form, fields: bool, output: &mut Output) -> Exit {
    let (corpus, name) = match dir {
        None => {
            let mut corpus = built_in();
            let found = overlay::lint(&corpus);
            corpus.findings.extend(found);
            (corpus, "the built-in corpus".to_owned())
        }
        Some(dir) => match read(dir) {
            Ok(corpus) => (corpus, render::safe(&dir.display().to_string())),
            Err(error) => {
                let error = render::safe(&error.to_string());
                output.error(&format!(
                    "error: {error}\n  help: name a folder laid out like `kb`"
                ));
                return Exit::Wrong;
            }
        },
    };
    let errors = corpus
        .findings
        .iter()
        .filter(|f| overlay::is_error(f))
        .count();
    let counts = coverage(&corpus);
    match form {
        Form::Table | Form::Text => {
            if !corpus.findings.is_empty() {
                output.error(&overlay::shown(&corpus, |_| true));
            }
            if fields {
                output.text(&render::fields(&counts));
            }
            output.text(&render::coverage(
                &counts,
                Output::columns(),
                form == Form::Text,
            ));
            output.text(&format!(
                "{name}: {} records, {errors} errors, {} warnings\n",
                corpus.records.len(),
                corpus.findings.len() - errors
            ));
        }
        Form::Json => output.text(&format!("{}\n", data(&corpus, &counts, errors))),
    }
    if errors > 0 {
        Exit::Wrong
    } else {
        Exit::Answered
    }
}

/// A folder with a vocabulary of its own is a whole corpus and answers for all that it says; any
/// other is laid over the embedded one.
fn read(dir: &Path) -> Result<Corpus, LoadError> {
    if !dir.join("vocab/words.toml").is_file() {
        return overlay::load(dir);
    }
    let mut corpus = corpus::load(dir, Vec::new())?;
    let found = overlay::lint(&corpus);
    corpus.findings.extend(found);
    Ok(corpus)
}

/// The embedded records as a corpus. Their text is not carried along, so a finding names file and
/// line, and shows no excerpt.
fn built_in() -> Corpus {
    let pack = embedded();
    Corpus {
        records: pack.all_records(),
        words: pack.words().to_vec(),
        speech: pack.speech().clone(),
        version: pack.version().to_owned(),
        exceptions: overlay::exceptions(),
        ..Corpus::default()
    }
}

fn data(corpus: &Corpus, counts: &Coverage, errors: usize) -> serde_json::Value {
    let findings: Vec<serde_json::Value> = corpus
        .findings
        .iter()
        .map(|f| {
            serde_json::json!({
                "file": f.file,
                "line": f.place.line,
                "column": f.place.column,
                "code": f.diagnostic.code,
                "severity": f.diagnostic.severity.word(),
                "message": f.diagnostic.message,
                "help": f.diagnostic.help,
            })
        })
        .collect();
    serde_json::json!({
        "records": corpus.records.len(),
        "errors": errors,
        "findings": findings,
        "coverage": counts,
    })
}
