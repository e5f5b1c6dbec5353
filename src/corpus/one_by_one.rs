//! Reads a folder record by record, for whoever needs none of them twice: what was read is given away and
//! forgotten, its text too, so that a million records take no more room than those of one file.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::path::{Path, PathBuf};

use super::walk::Reading;
use super::{
    Corpus, LoadError, Records, SINGLE, bib, defined_twice, exception, filed, files, files_of,
    is_corpus, read, read_if_there,
};
use crate::model::{Kind, Place, Record, Source};
use crate::order::Arrange;

/// Why reading ended before its time.
#[derive(Debug, thiserror::Error)]
pub enum EachError<E> {
    /// The folder cannot be read.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// Who takes the records would not go on.
    #[error("{0}")]
    Taker(E),
    /// A source that was put aside in its packed form.
    #[error("cannot keep a source: {0}")]
    Kept(#[from] postcard::Error),
}

/// Reads a folder and gives away its records, by kind and then by id. What comes back holds the rest: neither
/// records nor texts of files. Of what is wrong in the folder it says what [`super::load`] says, in that order;
/// once something is, records are only looked at and no more given away.
///
/// # Errors
/// When the folder is not there, cannot be read, or holds no corpus; and what `take` returns.
pub fn each<E>(
    dir: &Path,
    mut take: impl FnMut(Record) -> Result<(), E>,
) -> Result<Corpus, EachError<E>> {
    is_corpus(dir)?;
    let mut corpus = Corpus::default();
    let mut families = Records::new();
    for (file, read_in) in SINGLE {
        if let Some(source) = read_if_there(dir, file)? {
            let reading = Reading::new(&source);
            read_in(&reading, &mut corpus, &mut families);
            corpus.findings.extend(reading.finish());
        }
    }
    for file in files(&dir.join("exceptions"), "txt")? {
        corpus
            .exceptions
            .extend(exception::entries(&read(dir, &file)?));
    }
    for kind in Kind::FILED {
        filed_one_by_one(dir, kind, &mut corpus, &mut take)?;
    }
    let sources = sources(dir, &mut corpus)?;
    if corpus.findings.is_empty() {
        for (_, family) in families {
            take(family).map_err(EachError::Taker)?;
        }
        for (_, packed) in sources {
            let source = postcard::from_bytes(&packed)?;
            take(Record::Source(source)).map_err(EachError::Taker)?;
        }
    }
    let order: BTreeMap<PathBuf, usize> = files_of(dir)?.into_iter().zip(0..).collect();
    corpus
        .findings
        .arrange_by_key(|finding| order.get(Path::new(&finding.file)));
    Ok(corpus)
}

/// Records that have files of their own. A file is named like its record, so by the names of the files the
/// records come by their ids; where one is not, that is a finding, and no pack is made of any.
fn filed_one_by_one<E>(
    dir: &Path,
    kind: Kind,
    corpus: &mut Corpus,
    take: &mut impl FnMut(Record) -> Result<(), E>,
) -> Result<(), EachError<E>> {
    let mut list = files(&dir.join(kind.folder()), "toml")?;
    list.arrange_by(|a, b| a.file_stem().cmp(&b.file_stem()));
    let mut own: BTreeMap<String, Place> = BTreeMap::new();
    for file in list {
        let source = read(dir, &file)?;
        let reading = Reading::new(&source);
        let record = filed(&reading, &file, kind, |_| None);
        if let Some(head) = record.as_ref().map(Record::head) {
            match own.entry(head.id.clone()) {
                Entry::Occupied(first) => defined_twice(&reading, &head.id, first.get()),
                Entry::Vacant(free) => {
                    free.insert(head.place.clone());
                }
            }
        }
        corpus.findings.extend(reading.finish());
        if let Some(record) = record
            && corpus.findings.is_empty()
        {
            take(record).map_err(EachError::Taker)?;
        }
    }
    Ok(())
}

/// Sources by their keys. Many stand in one file, in any order: they are put aside packed until all are there.
fn sources<E>(
    dir: &Path,
    corpus: &mut Corpus,
) -> Result<BTreeMap<String, Box<[u8]>>, EachError<E>> {
    let mut out: BTreeMap<String, Box<[u8]>> = BTreeMap::new();
    for file in files(&dir.join("sources"), "bib")? {
        let source = read(dir, &file)?;
        let reading = Reading::new(&source);
        for it in bib::sources(&reading) {
            match out.entry(it.head.id.clone()) {
                Entry::Occupied(first) => {
                    let first: Source = postcard::from_bytes(first.get())?;
                    defined_twice(&reading, &it.head.id, &first.head.place);
                }
                Entry::Vacant(free) => {
                    free.insert(postcard::to_allocvec(&it)?.into());
                }
            }
        }
        corpus.findings.extend(reading.finish());
    }
    Ok(out)
}
