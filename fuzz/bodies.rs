//! What each fuzz target does with a text. Plain functions, so that the tests run the seeds through
//! them without a fuzzer (`tests/it/seeds.rs`).
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each target uses one function; a panic is how it reports"
)]

use std::sync::OnceLock;

use palinode::case::{self, CaseFile};
use palinode::cite;
use palinode::corpus::{self, Corpus};
use palinode::eval::Session;
use palinode::lang::ast::File;
use palinode::lang::lex::LONGEST_TEXT;
use palinode::model::{Kind, Library, Record};
use palinode::span::Source;
use palinode::{embedded, lang, lint, render, resolve};

/// The year in which the queries are asked.
const NOW: i32 = 2026;

/// Reads a text; whatever it is, its mistakes are told in places that it has.
pub(crate) fn parse(text: &str) {
    let middle = text.len() / 2;
    let _ = lang::expected_at(text, middle);
    let _ = lang::expected_at(text, text.len());
    let Err(errors) = lang::parse(text) else {
        return;
    };
    assert!(!errors.is_empty(), "refused without a reason");
    let source = Source::new("query", text);
    for error in &errors {
        assert!(
            error.span().is_some(),
            "a mistake without a place: {error:#?}"
        );
        for label in &error.labels {
            assert!(
                text.get(label.span.range()).is_some(),
                "a label beside the text: {error:#?}"
            );
        }
        if let Some(edit) = &error.edit {
            assert!(
                text.get(edit.span.range()).is_some(),
                "a change beside the text: {error:#?}"
            );
            let _ = lang::parse(&edit.apply(text));
        }
    }
    let _ = render::diagnostics(&errors, &source, false);
}

/// Formats a text; the result has the same tree and is its own canonical form.
pub(crate) fn format(text: &str) {
    let Ok(file) = lang::parse(text) else {
        return;
    };
    for statement in &file.statements {
        let span = statement.span;
        assert_eq!(
            lang::canonical_in(&file, text, span),
            lang::canonical(span.slice(text)),
            "two canonical forms:\n{text}"
        );
    }
    let once = lang::format(&file, text);
    // Indents may take a text past the limit.
    if once.len() > LONGEST_TEXT {
        return;
    }
    let again = lang::parse(&once)
        .unwrap_or_else(|errors| panic!("formatted from\n{text}\nto\n{once}\n{errors:#?}"));
    assert_eq!(
        lang::format(&again, &once),
        once,
        "not its own form:\n{text}"
    );
    assert_eq!(fingerprint(&file), fingerprint(&again), "{text}\n{once}");
}

/// Answers what can be answered, and prints it in both forms.
pub(crate) fn evaluate(text: &str) {
    let Ok(file) = lang::parse(text) else {
        return;
    };
    let checked = match resolve::resolve(&file, text, embedded(), NOW) {
        Ok(checked) => checked,
        Err(errors) => {
            let source = Source::new("query", text);
            let _ = render::diagnostics(&errors, &source, false);
            return;
        }
    };
    let mut session = Session::new(embedded(), NOW);
    for statement in &checked {
        if let Ok(answer) = session.run(statement, String::new()) {
            let _ = render::table(&answer, 80);
            let _ = render::json(&answer);
        }
    }
}

/// Reads a record and lints it. The first line names the folder of the record.
pub(crate) fn overlay(text: &str) {
    let (folder, record) = text.split_once('\n').unwrap_or(("", text));
    let kind = Kind::ALL
        .into_iter()
        .find(|kind| kind.folder() == folder)
        .filter(|kind| !matches!(kind, Kind::Family | Kind::Source))
        .unwrap_or(Kind::Material);
    let source = Source::new(format!("{}/fuzz.toml", kind.folder()), record);
    let base = base();
    let (record, findings) = corpus::read_record(&source, kind, &base.records);
    let mut corpus = Corpus {
        sources: vec![source],
        findings,
        ..base.clone()
    };
    corpus.records.extend(record);
    for finding in corpus.findings.iter().chain(&lint::lint(&corpus, &[])) {
        let _ = render::finding(finding, &corpus.sources, false);
    }
}

/// Reads a case; what can be read is shown, and its questions are put together.
pub(crate) fn case_file(text: &str) {
    let source = Source::new("case.toml", text);
    let (case, remarks) = match case::parse(text) {
        Ok(read) => read,
        Err(errors) => {
            assert!(!errors.is_empty(), "refused without a reason");
            for error in &errors {
                let span = error.span().expect("a place");
                assert!(
                    text.get(span.range()).is_some(),
                    "beside the text: {error:#?}"
                );
            }
            let _ = render::diagnostics(&errors, &source, false);
            return;
        }
    };
    let _ = render::diagnostics(&remarks, &source, false);
    let _ = render::case(&case, 80);
    let _ = render::case_json(&case);
    let mut asks: Vec<&str> = case.questions.iter().map(|it| it.ask.as_str()).collect();
    asks.extend(["identify u1", "remove u1", "choose adhesive"]);
    for ask in asks {
        let _ = case::build(&case, ask);
    }
    let file = CaseFile {
        path: "case.toml".into(),
        source,
        case,
        remarks,
    };
    for mistake in case::check(&file, embedded(), NOW) {
        if let Some(span) = mistake.span() {
            assert!(
                text.get(span.range()).is_some(),
                "beside the text: {mistake:#?}"
            );
        }
    }
}

/// Reads sources in BibLaTeX and cites them in every form.
pub(crate) fn sources(text: &str) {
    let source = Source::new("sources/fuzz.bib", text);
    let (records, findings) = corpus::read_sources(&source);
    for record in &records {
        if let Record::Source(it) = record {
            let line = cite::citation(it);
            assert!(!line.contains('\n'), "a citation is one line: {line:?}");
        }
    }
    let corpus = Corpus {
        sources: vec![source],
        records,
        findings,
        ..Corpus::default()
    };
    for finding in corpus.findings.iter().chain(&lint::lint(&corpus, &[])) {
        let _ = render::finding(finding, &corpus.sources, false);
    }
}

/// Two records of each kind, and no words of the bench: all of it is linted anew for every text.
fn base() -> &'static Corpus {
    static BASE: OnceLock<Corpus> = OnceLock::new();
    BASE.get_or_init(|| {
        let pack = embedded();
        let records: Vec<Record> = Kind::ALL
            .into_iter()
            .flat_map(|kind| (0..pack.count(kind).min(2)).filter_map(move |i| pack.record(kind, i)))
            .collect();
        Corpus {
            records,
            words: pack.words().to_vec(),
            version: pack.version().to_owned(),
            ..Corpus::default()
        }
    })
}

/// A tree as text without places, spellings of quantities and remarks: what formatting must keep.
pub(crate) fn fingerprint(file: &File) -> String {
    let mut file = file.clone();
    file.comments.clear();
    let text = format!("{file:?}");
    let text = strip(&text, "Span { ", '}');
    strip(&text, "literal: \"", '"')
}

/// Leaves out everything from `open` to the next `close`.
fn strip(text: &str, open: &str, close: char) -> String {
    let mut pieces = text.split(open);
    let mut out = pieces.next().unwrap_or("").to_owned();
    for piece in pieces {
        let (_, rest) = piece.split_once(close).expect("a closing sign");
        out.push_str(rest);
    }
    out
}
