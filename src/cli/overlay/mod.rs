//! A studio's own folder over the embedded corpus: read, linted, and freed of what is bad in it.

mod cache;

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use clap::Args;

use super::Exit;
use super::output::Output;
use crate::corpus::{self, Corpus, Exception, Finding, LoadError};
use crate::diag::Severity;
use crate::gate::rules;
use crate::lint;
use crate::model::{Basis, Library};
use crate::pack::{self, Besides, Form, Pack};
use crate::span::Source;
use crate::{embedded, index, render};
use cache::Cache;

/// Debts that the embedded corpus is allowed. The pack does not carry the list, because no query
/// needs it.
pub(super) fn exceptions() -> Vec<Exception> {
    const UNUSED: &str = include_str!("../../../kb/exceptions/unused-sources.txt");
    corpus::exceptions(&Source::new("exceptions/unused-sources.txt", UNUSED))
}

// No doc comment: clap would show it in place of what the subcommand is for.
// A studio's own corpus.
#[derive(Args, Debug)]
pub(super) struct Over {
    /// A studio's own folder, laid over the corpus
    #[arg(long, value_name = "DIR")]
    kb: Option<PathBuf>,
    /// Leave out records of the overlay that have errors, and say which
    #[arg(long, requires = "kb")]
    skip_bad: bool,
}

impl Over {
    /// Runs something with the corpus that the options name; see [`with_pack`].
    pub(super) fn with(
        &self,
        indexed: bool,
        output: &mut Output,
        run: impl FnOnce(&Pack, &mut Output) -> Exit,
    ) -> Exit {
        with_pack(self.kb.as_deref(), self.skip_bad, indexed, output, run)
    }
}

/// Runs something with the embedded corpus, a studio's folder laid over it where one is named; what is
/// wrong with the folder is printed. `indexed` says whether the folder's text index is wanted, which
/// takes longer to build than the rest.
pub(super) fn with_pack(
    dir: Option<&Path>,
    skip_bad: bool,
    indexed: bool,
    output: &mut Output,
    run: impl FnOnce(&Pack, &mut Output) -> Exit,
) -> Exit {
    match dir {
        None => run(embedded(), output),
        Some(dir) => match lay_over(dir, skip_bad, indexed, output) {
            Some(pack) => run(&pack, output),
            None => Exit::Wrong,
        },
    }
}

/// Reads a folder and lays it over the embedded corpus, or takes what was kept of it.
fn lay_over(dir: &Path, skip_bad: bool, indexed: bool, output: &mut Output) -> Option<Pack> {
    let cannot = |error: &LoadError, output: &mut Output| {
        let error = render::safe(&error.to_string());
        output.error(&format!(
            "error: {error}\n  help: name a folder laid out like `kb`, for example with \
             materials/my-varnish.toml in it"
        ));
    };
    let (cache, kept) = match Cache::of(dir) {
        Ok(found) => found.unzip(),
        Err(error) => {
            cannot(&error, output);
            return None;
        }
    };
    if let Some(kept) = kept.flatten()
        && let Ok(pack) = Pack::open(Cow::Owned(kept.pack))
    {
        warn(kept.warnings as usize, output);
        return Some(pack);
    }
    let mut corpus = match load(dir) {
        Ok(corpus) => corpus,
        Err(error) => {
            cannot(&error, output);
            return None;
        }
    };
    let mut whole = true;
    if skip_bad {
        for file in leave_out_bad(&mut corpus, output) {
            output.error(&format!("left out: {}", render::safe(&file)));
            whole = false;
        }
    } else if corpus.findings.iter().any(is_error) {
        output.error(&shown(&corpus, is_error));
        output.error(
            "error: the overlay has errors; mend them, or leave out the bad records with --skip-bad",
        );
        return None;
    }
    warn(corpus.findings.len(), output);
    // What is kept has to serve any question; what was left out has to be told each time.
    let cache = cache.filter(|_| whole);
    match packed(&corpus, dir, indexed || cache.is_some()) {
        Ok(bytes) => {
            if let Some(cache) = cache {
                cache.keep(&bytes, corpus.findings.len());
            }
            match Pack::open(Cow::Owned(bytes)) {
                Ok(pack) => Some(pack),
                Err(error) => {
                    output.error(&format!("error: {error}"));
                    None
                }
            }
        }
        Err(error) => {
            output.error(&format!("error: {}", render::safe(&error)));
            None
        }
    }
}

/// An answer is no place for a list of debts; `check` shows them.
fn warn(warnings: usize, output: &mut Output) {
    if warnings > 0 {
        output.error(&format!(
            "warnings about the overlay: {warnings}; `palinode check` with its folder shows them"
        ));
    }
}

fn packed(corpus: &Corpus, dir: &Path, indexed: bool) -> Result<Vec<u8>, String> {
    let files = if indexed {
        index::build(&corpus.records).map_err(|e| e.to_string())?
    } else {
        Vec::new()
    };
    let base = embedded();
    let besides = Besides {
        version: &version(base, dir),
        words: base.words(),
        speech: base.speech(),
        reagents: base.reagents(),
        index: &files,
    };
    pack::write(&corpus.records, besides, Form::Plain).map_err(|e| e.to_string())
}

/// Reads a folder over the embedded corpus and lints it, as far as the folder answers for it.
///
/// # Errors
/// When the folder is not there, cannot be read, or holds no corpus.
pub(super) fn load(dir: &Path) -> Result<Corpus, LoadError> {
    let base = embedded();
    let mut corpus = corpus::load(dir, base.all_records())?;
    // What the folder does not bring along is that of the corpus beneath: else the lints would
    // miss every word that it rightly uses.
    if corpus.words.is_empty() {
        corpus.words = base.words().to_vec();
    }
    if !corpus.sources.iter().any(|s| s.name == "vocab/speech.toml") {
        corpus.speech = base.speech().clone();
    }
    if corpus.version.is_empty() {
        corpus.version = version(base, dir);
    }
    for allowed in exceptions() {
        let same = |own: &Exception| (&own.list, &own.entry) == (&allowed.list, &allowed.entry);
        if !corpus.exceptions.iter().any(same) {
            corpus.exceptions.push(allowed);
        }
    }
    let found = own_lints(&corpus);
    corpus.findings.extend(found);
    Ok(corpus)
}

/// Version of the embedded corpus with a folder laid over it.
pub(super) fn version(base: &Pack, dir: &Path) -> String {
    format!("{} + {}", base.version(), dir.display())
}

/// Whether a finding stands in the way of an answer.
pub(super) fn is_error(finding: &Finding) -> bool {
    finding.diagnostic.severity == Severity::Error
}

/// Takes the records out whose file has an error and puts those of the embedded corpus in their
/// place; the errors are printed. Returns the files.
///
/// A record that is sound in itself may name one that went, such as a source: so the lints run
/// again until nothing is left to take out.
pub(super) fn leave_out_bad(corpus: &mut Corpus, output: &mut Output) -> BTreeSet<String> {
    let base = embedded();
    let mut out = BTreeSet::new();
    loop {
        let bad: BTreeSet<String> = corpus
            .findings
            .iter()
            .filter(|f| is_error(f))
            .map(|f| f.file.clone())
            .collect();
        if bad.is_empty() {
            return out;
        }
        output.error(&shown(corpus, is_error));
        corpus.records = std::mem::take(&mut corpus.records)
            .into_iter()
            .filter_map(|record| {
                let head = record.head();
                if !bad.contains(&head.place.file) {
                    return Some(record);
                }
                let kind = record.kind();
                base.position(kind, &head.id)
                    .and_then(|index| base.record(kind, index))
            })
            .collect();
        corpus.sources.retain(|source| !bad.contains(&source.name));
        corpus.findings = own_lints(corpus);
        out.extend(bad);
    }
}

/// What the lints find in the files of the folder. The files beneath were checked with the corpus.
fn own_lints(corpus: &Corpus) -> Vec<Finding> {
    let mut found = lint(corpus);
    found.retain(|f| corpus.sources.iter().any(|s| s.name == f.file));
    found
}

/// Runs the lints; sources that the hard rules name count as used.
pub(super) fn lint(corpus: &Corpus) -> Vec<Finding> {
    let keys: Vec<String> = rules::every()
        .filter_map(|rule| match rule.basis.to_basis() {
            Basis::Published { key, through, .. } => Some(std::iter::once(key).chain(through)),
            Basis::Practice | Basis::Memory => None,
        })
        .flatten()
        .collect();
    let keys: Vec<&str> = keys.iter().map(String::as_str).collect();
    lint::lint(corpus, &keys)
}

/// The findings to show, as text.
pub(super) fn shown(corpus: &Corpus, wanted: impl Fn(&Finding) -> bool) -> String {
    let colour = Output::colour();
    let blocks: Vec<String> = corpus
        .findings
        .iter()
        .filter(|f| wanted(f))
        .map(|f| render::finding(f, &corpus.sources, colour))
        .collect();
    blocks.join("\n\n")
}
