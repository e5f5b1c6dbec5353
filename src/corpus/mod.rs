//! Reads the corpus from TOML and BibLaTeX: the shapes a person writes, apart from the model that
//! the engines use. Also lays a studio's own folder over the embedded corpus, record by record
//! and field by field.

mod bib;
mod exception;
mod fact;
mod material;
mod one_by_one;
mod shape;
mod vocab;
mod walk;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use toml::de::DeTable;

pub use exception::{Exception, entries as exceptions};
pub use fact::read_hansen;
pub use one_by_one::each;
pub use shape::LANGUAGES;
pub use vocab::Vocabulary;
pub use walk::{Finding, Reading};

use crate::diag::Diagnostic;
use crate::model::reagent::Reagents;
use crate::model::speech::Speech;
use crate::model::{Kind, Place, Record};
use crate::span::{Source, Span};
use walk::Table;

/// What a folder holds.
#[derive(Clone, Debug, Default)]
pub struct Corpus {
    /// Records, by kind and then by id.
    pub records: Vec<Record>,
    /// Controlled words with their meaning, where the folder has a `vocab/words.toml`.
    pub words: Vocabulary,
    /// How the words of a query are read.
    pub speech: Speech,
    /// What is weighed out for solutions in water.
    pub reagents: Reagents,
    /// Version of the corpus.
    pub version: String,
    /// What is wrong with it.
    pub findings: Vec<Finding>,
    /// Text of every file that was read: for showing a line, and for the lints that look at how a
    /// record is written.
    pub sources: Vec<Source>,
    /// Debts that a list in `exceptions/` allows.
    pub exceptions: Vec<Exception>,
}

/// Why a folder could not be read at all.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// No such folder.
    #[error("there is no folder `{0}`")]
    Missing(PathBuf),
    /// Not a folder.
    #[error("`{0}` is not a folder")]
    NotAFolder(PathBuf),
    /// The system would not let us read it.
    #[error("cannot read `{0}`: {1}")]
    Unreadable(PathBuf, std::io::Error),
    /// Nothing in it that a corpus has.
    #[error(
        "`{0}` holds no corpus: none of materials, layers, solvents, carriers, methods, tests, vocab, sources is in it"
    )]
    Empty(PathBuf),
}

/// Reads a folder. `base` holds the records beneath: empty for the corpus itself, the embedded
/// records for a studio's overlay.
///
/// # Errors
/// When the folder is not there, cannot be read, or holds no corpus. What is wrong *in* it comes
/// back as findings.
pub fn load(dir: &Path, base: Vec<Record>) -> Result<Corpus, LoadError> {
    is_corpus(dir)?;
    let mut corpus = Corpus::default();
    let mut records: Records = base
        .into_iter()
        .map(|r| ((r.kind(), r.head().id.clone()), r))
        .collect();
    let mut own: BTreeMap<(Kind, String), Place> = BTreeMap::new();

    for (file, read_in) in SINGLE {
        if let Some(source) = read_if_there(dir, file)? {
            let reading = Reading::new(&source);
            read_in(&reading, &mut corpus, &mut records);
            keep(&mut corpus, reading);
        }
    }
    for file in files(&dir.join("exceptions"), "txt")? {
        let source = read(dir, &file)?;
        corpus.exceptions.extend(exception::entries(&source));
        corpus.sources.push(source);
    }
    for file in files(&dir.join("sources"), "bib")? {
        let source = read(dir, &file)?;
        let reading = Reading::new(&source);
        for it in bib::sources(&reading) {
            insert(&reading, &mut records, &mut own, Record::Source(it));
        }
        keep(&mut corpus, reading);
    }
    for kind in Kind::FILED {
        for file in files(&dir.join(kind.folder()), "toml")? {
            let source = read(dir, &file)?;
            let reading = Reading::new(&source);
            let record = filed(&reading, &file, kind, |id| {
                records.get(&(kind, id.to_owned())).cloned()
            });
            if let Some(record) = record {
                insert(&reading, &mut records, &mut own, record);
            }
            keep(&mut corpus, reading);
        }
    }
    corpus.records = records.into_values().collect();
    Ok(corpus)
}

/// The record that a file of a kind's folder holds; `beneath` gives the one that it is laid over.
fn filed(
    reading: &Reading<'_>,
    file: &Path,
    kind: Kind,
    beneath: impl Fn(&str) -> Option<Record>,
) -> Option<Record> {
    let record = record_in(reading, kind, beneath)?;
    named_like_its_file(reading, file, &record);
    Some(record)
}

/// A record's id is the name of its file.
fn named_like_its_file(reading: &Reading<'_>, file: &Path, record: &Record) {
    let stem = file.file_stem().map(|s| s.to_string_lossy().into_owned());
    let id = &record.head().id;
    if stem.as_ref() != Some(id) {
        reading.report(
            Diagnostic::error("K0112", format!("the id `{id}` is not the file name"))
                .at(first_line(reading.source), "")
                .help(format!(
                    "rename the file to {id}.toml or the id to {}",
                    stem.unwrap_or_default()
                )),
        );
    }
}

/// Records by kind and id.
type Records = BTreeMap<(Kind, String), Record>;
/// Reads a file that a folder has one of.
type Single = fn(&Reading<'_>, &mut Corpus, &mut Records);

/// Files that a folder has one of, each with what reads it.
const SINGLE: [(&str, Single); 5] = [
    ("kb.toml", |reading, corpus, _| {
        corpus.version = with_table(reading, version).flatten().unwrap_or_default();
    }),
    ("vocab/words.toml", |reading, corpus, _| {
        corpus.words = with_table(reading, |t| vocab::words(reading, t)).unwrap_or_default();
    }),
    ("vocab/speech.toml", |reading, corpus, _| {
        corpus.speech = with_table(reading, |t| vocab::speech(reading, t)).unwrap_or_default();
    }),
    ("vocab/reagents.toml", |reading, corpus, _| {
        corpus.reagents = vocab::reagents(reading);
    }),
    ("vocab/families.toml", |reading, _, records| {
        let families = with_table(reading, |t| vocab::families(reading, t));
        for family in families.unwrap_or_default() {
            let key = (Kind::Family, family.head.id.clone());
            records.insert(key, Record::Family(family));
        }
    }),
];

/// The version that `kb.toml` states.
fn version(table: &Table<'_, '_>) -> Option<String> {
    let version = table.text("version").map(|(t, _)| t);
    table.number("schema");
    table.text("licence");
    table.refuse_others("kb.toml");
    version
}

fn is_corpus(dir: &Path) -> Result<(), LoadError> {
    if !dir.exists() {
        return Err(LoadError::Missing(dir.to_owned()));
    }
    if !dir.is_dir() {
        return Err(LoadError::NotAFolder(dir.to_owned()));
    }
    if !Kind::ALL
        .iter()
        .any(|kind| dir.join(kind.folder()).is_dir())
    {
        return Err(LoadError::Empty(dir.to_owned()));
    }
    Ok(())
}

/// Every file of a folder that [`load`] reads, in its order, each by its path below the folder.
///
/// # Errors
/// As [`load`].
pub fn files_of(dir: &Path) -> Result<Vec<PathBuf>, LoadError> {
    is_corpus(dir)?;
    let mut out: Vec<PathBuf> = SINGLE
        .iter()
        .map(|(file, _)| PathBuf::from(file))
        .filter(|name| dir.join(name).is_file())
        .collect();
    let folders = [("exceptions", "txt"), ("sources", "bib")];
    let kinds = Kind::FILED.iter().map(|kind| (kind.folder(), "toml"));
    for (folder, ending) in folders.into_iter().chain(kinds) {
        for file in files(&dir.join(folder), ending)? {
            out.push(file.strip_prefix(dir).unwrap_or(&file).to_owned());
        }
    }
    Ok(out)
}

/// Reads one record that is not in a folder. `beneath` holds the records that it may be laid over.
#[must_use]
pub fn read_record(
    source: &Source,
    kind: Kind,
    beneath: &[Record],
) -> (Option<Record>, Vec<Finding>) {
    let reading = Reading::new(source);
    let record = record_in(&reading, kind, |id| {
        let same = |record: &&Record| record.kind() == kind && record.head().id == id;
        beneath.iter().find(same).cloned()
    });
    (record, reading.finish())
}

/// Reads the sources of a BibLaTeX text that is not in a folder.
#[must_use]
pub fn read_sources(source: &Source) -> (Vec<Record>, Vec<Finding>) {
    let reading = Reading::new(source);
    let records = bib::sources(&reading).into_iter().map(Record::Source);
    let records = records.collect();
    (records, reading.finish())
}

/// The record of a file; `beneath` gives the one that it is laid over.
fn record_in(
    reading: &Reading<'_>,
    kind: Kind,
    beneath: impl Fn(&str) -> Option<Record>,
) -> Option<Record> {
    with_table(reading, |table| {
        let base = shape::id_of(table).and_then(|(id, _)| beneath(&id));
        shape::record(reading, table, kind, base.as_ref())
    })
    .flatten()
}

fn insert(
    reading: &Reading<'_>,
    records: &mut Records,
    own: &mut BTreeMap<(Kind, String), Place>,
    record: Record,
) {
    let key = (record.kind(), record.head().id.clone());
    let place = record.head().place.clone();
    if let Some(first) = own.get(&key) {
        defined_twice(reading, &key.1, first);
        return;
    }
    own.insert(key.clone(), place);
    records.insert(key, record);
}

fn defined_twice(reading: &Reading<'_>, id: &str, first: &Place) {
    reading.report(
        Diagnostic::error("K0113", format!("`{id}` is defined twice"))
            .at(Span::at(0), "")
            .help(format!("the first stands in {}:{}", first.file, first.line)),
    );
}

fn keep(corpus: &mut Corpus, reading: Reading<'_>) {
    corpus.sources.push(reading.source.clone());
    corpus.findings.extend(reading.finish());
}

fn first_line(source: &Source) -> Span {
    Span::new(0, source.line(1).map_or(0, str::len))
}

fn with_table<T>(reading: &Reading<'_>, then: impl FnOnce(&Table<'_, '_>) -> T) -> Option<T> {
    match DeTable::parse(&reading.source.text) {
        Ok(document) => {
            let span = Span::new(0, 0);
            let table = Table::new(reading, document.get_ref(), span);
            Some(then(&table))
        }
        Err(error) => {
            let at = error
                .span()
                .map_or(Span::at(0), |r| Span::new(r.start, r.end));
            reading.report(
                Diagnostic::error("K0100", format!("not TOML: {}", error.message().trim()))
                    .at(at, "")
                    .help("mend the line; everything before it was read"),
            );
            None
        }
    }
}

/// Files with an ending, sorted, so that the order never depends on the file system. A folder
/// that is not there holds none.
fn files(dir: &Path, ending: &str) -> Result<Vec<PathBuf>, LoadError> {
    if !dir.is_dir() {
        return Ok(Vec::new());
    }
    let unreadable = |error| LoadError::Unreadable(dir.to_owned(), error);
    let mut out = Vec::new();
    for entry in std::fs::read_dir(dir).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        if path.extension().is_some_and(|e| e == ending) {
            out.push(path);
        }
    }
    out.sort();
    Ok(out)
}

fn read_if_there(dir: &Path, name: &str) -> Result<Option<Source>, LoadError> {
    let path = dir.join(name);
    if path.is_file() {
        read(dir, &path).map(Some)
    } else {
        Ok(None)
    }
}

fn read(dir: &Path, path: &Path) -> Result<Source, LoadError> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| LoadError::Unreadable(path.to_owned(), error))?;
    let name = path
        .strip_prefix(dir)
        .unwrap_or(path)
        .to_string_lossy()
        .into_owned();
    Ok(Source::new(name, text))
}
