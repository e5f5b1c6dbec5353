//! The lints of the corpus, over the corpus itself; `cases` holds them against single mistakes.

mod cases;

use std::path::Path;

use palinode::corpus::{self, Corpus};
use palinode::diag::Severity;
use palinode::gate::rules::every;
use palinode::lint::{RESERVED, coverage, lint};
use palinode::model::{Basis, Kind, Record};

/// Sources that nothing names when the list was begun; the number may only go down.
const MOST_UNUSED: usize = 122;

fn kb() -> Corpus {
    corpus::load(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("kb"),
        Vec::new(),
    )
    .expect("the corpus")
}

/// Keys of the sources that the hard rules name.
fn cited() -> Vec<String> {
    let mut out: Vec<String> = every()
        .filter_map(|rule| match rule.basis.to_basis() {
            Basis::Published { key, through, .. } => Some(std::iter::once(key).chain(through)),
            Basis::Practice | Basis::Memory => None,
        })
        .flatten()
        .collect();
    out.sort();
    out.dedup();
    out
}

#[test]
fn the_corpus_has_no_error() {
    let corpus = kb();
    assert!(corpus.records.len() > 400);
    let cited = cited();
    let keys: Vec<&str> = cited.iter().map(String::as_str).collect();
    let errors: Vec<String> = corpus
        .findings
        .iter()
        .cloned()
        .chain(lint(&corpus, &keys))
        .filter(|f| f.diagnostic.severity == Severity::Error)
        .map(|f| {
            let d = &f.diagnostic;
            let help = d.help.as_deref().unwrap_or_default();
            format!(
                "kb/{}:{}:{}: {}: {} ({help})",
                f.file, f.place.line, f.place.column, d.code, d.message
            )
        })
        .collect();
    assert!(errors.is_empty(), "{}", errors.join("\n"));
}

#[test]
fn the_list_of_unused_sources_only_shrinks() {
    let listed = kb().exceptions.len();
    assert!(
        listed <= MOST_UNUSED,
        "{listed} sources are listed as unused; {MOST_UNUSED} were when the list was begun"
    );
}

/// A hard rule cites what was opened, like any fact.
#[test]
fn hard_rules_cite_sources_that_were_opened() {
    let corpus = kb();
    for rule in every() {
        let basis = rule.basis.to_basis();
        let Some(key) = basis.source() else { continue };
        let source = corpus.records.iter().find_map(|r| match r {
            Record::Source(it) if it.head.id == key => Some(it),
            _ => None,
        });
        let source = source.unwrap_or_else(|| panic!("{}: no source {key}", rule.id));
        assert!(
            !source.read.to_lowercase().starts_with("not opened"),
            "{}: {key}",
            rule.id
        );
    }
}

#[test]
fn reserved_words_are_those_of_the_language() {
    let mut own: Vec<&str> = RESERVED.to_vec();
    let mut language: Vec<&str> = palinode::lang::reserved::KEYWORDS
        .iter()
        .map(|(_, word, _)| *word)
        .collect();
    own.sort_unstable();
    language.sort_unstable();
    assert_eq!(own, language);
}

#[test]
fn coverage_counts_every_record_once_for_each_field() {
    let corpus = kb();
    let found = coverage(&corpus);
    assert_eq!(found.kinds.len(), 6);
    let sources = corpus.records.iter().filter(|r| r.kind() == Kind::Source);
    assert_eq!(found.sources, sources.count());
    for kind in &found.kinds {
        assert!(kind.records > 0 && kind.facts.total() > 0, "{}", kind.kind);
        for field in &kind.fields {
            let counted = field.recorded + field.not_applicable + field.sought + field.unrecorded;
            assert_eq!(counted, kind.records, "{} {}", kind.kind, field.key);
            assert!(
                field.bases.total() >= field.recorded,
                "{} {}",
                kind.kind,
                field.key
            );
        }
    }
}
