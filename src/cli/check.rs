//! `palinode check`

use std::path::Path;

use super::output::Output;
use super::{Exit, ask};
use crate::corpus;
use crate::diag::Severity;
use crate::embedded;
use crate::model::{Kind, Library};

pub(super) fn run(dir: Option<&Path>, output: &mut Output) -> Exit {
    let Some(dir) = dir else {
        let pack = embedded();
        for kind in Kind::ALL {
            output.text(&format!(
                "{:>5} {}\n",
                pack.count(kind),
                plural(kind, pack.count(kind))
            ));
        }
        output.text(&format!(
            "corpus {}: built in, checked when the program was built\n",
            pack.version()
        ));
        return Exit::Answered;
    };
    let base = if dir.join("vocab/words.toml").is_file() {
        Vec::new()
    } else {
        embedded().all_records()
    };
    match corpus::load(dir, base) {
        Err(error) => {
            output.error(&format!("error: {error}"));
            Exit::Wrong
        }
        Ok(corpus) => {
            let errors = corpus
                .findings
                .iter()
                .filter(|f| f.diagnostic.severity == Severity::Error)
                .count();
            if !corpus.findings.is_empty() {
                output.error(&ask::findings(&corpus));
            }
            output.text(&format!(
                "{}: {} records, {errors} errors, {} other findings\n",
                dir.display(),
                corpus.records.len(),
                corpus.findings.len() - errors
            ));
            if errors > 0 {
                Exit::Wrong
            } else {
                Exit::Answered
            }
        }
    }
}

fn plural(kind: Kind, count: usize) -> String {
    match (kind, count) {
        (_, 1) => kind.noun().to_owned(),
        (Kind::Family, _) => "families".to_owned(),
        _ => format!("{}s", kind.noun()),
    }
}
