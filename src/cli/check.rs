//! `palinode check`: lints and coverage of a corpus or an overlay.

use std::path::Path;

use super::output::Output;
use super::{Exit, Form, ask};
use crate::corpus::{self, Corpus, Finding};
use crate::diag::Severity;
use crate::gate::rules;
use crate::lint::{Coverage, coverage, lint_citing};
use crate::model::{Basis, Library};
use crate::{embedded, render};

pub(super) fn run(dir: Option<&Path>, form: Form, output: &mut Output) -> Exit {
    let (mut corpus, name) = match dir {
        None => (built_in(), "the built-in corpus".to_owned()),
        Some(dir) => {
            let whole = dir.join("vocab/words.toml").is_file();
            let base = if whole {
                Vec::new()
            } else {
                embedded().all_records()
            };
            match corpus::load(dir, base) {
                Ok(corpus) => (corpus, dir.display().to_string()),
                Err(error) => {
                    output.error(&format!(
                        "error: {error}\n  help: name a folder laid out like `kb`"
                    ));
                    return Exit::Wrong;
                }
            }
        }
    };
    let keys = cited_by_rules();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    let found = lint_citing(&corpus, &keys);
    corpus.findings.extend(found);
    let errors = corpus.findings.iter().filter(|f| is_error(f)).count();
    let counts = coverage(&corpus);
    match form {
        Form::Table => {
            if !corpus.findings.is_empty() {
                output.error(&ask::findings(&corpus));
            }
            output.text(&render::coverage(&counts, Output::columns()));
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

fn is_error(finding: &Finding) -> bool {
    finding.diagnostic.severity == Severity::Error
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
        ..Corpus::default()
    }
}

/// Sources that the hard rules name.
fn cited_by_rules() -> Vec<String> {
    rules::every()
        .filter_map(|rule| match rule.basis.to_basis() {
            Basis::Published { key, through, .. } => Some(std::iter::once(key).chain(through)),
            Basis::Practice | Basis::Memory => None,
        })
        .flatten()
        .collect()
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
