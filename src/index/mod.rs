//! Full-text index over the records: built once, embedded, opened without copying, and only when
//! a query has free text. The user's words never meet the engine's own query syntax.

mod directory;
mod stem;

use std::path::Path;

use tantivy::collector::TopDocs;
use tantivy::directory::RamDirectory;
use tantivy::query::{BooleanQuery, BoostQuery, Occur, PhraseQuery, Query, TermQuery};
use tantivy::schema::{Field, IndexRecordOption, STRING, Schema, TextFieldIndexing, TextOptions};
use tantivy::{
    Directory, Index as Tantivy, IndexSettings, ReloadPolicy, TantivyDocument, TantivyError, Term,
};

use crate::model::{Kind, Record, Value};

pub use directory::Bytes;

/// A name is worth more than a mention.
const NAME_BOOST: f32 = 3.0;
/// Memory of the writer, bytes: the least that the library takes.
const WRITER_BYTES: usize = 15_000_000;

/// What went wrong with the index.
#[derive(Debug, thiserror::Error)]
pub enum IndexError {
    /// The search library said so.
    #[error("text index: {0}")]
    Engine(#[from] TantivyError),
    /// A file of the index could not be read back.
    #[error("text index: cannot read back `{0}`")]
    File(String),
}

struct Fields {
    kind: Field,
    name: Field,
    body: Field,
}

fn schema() -> (Schema, Fields) {
    let text = TextOptions::default().set_indexing_options(
        TextFieldIndexing::default()
            .set_tokenizer(stem::ANALYZER)
            .set_index_option(IndexRecordOption::WithFreqsAndPositions),
    );
    let mut builder = Schema::builder();
    let fields = Fields {
        kind: builder.add_text_field("kind", STRING),
        name: builder.add_text_field("name", text.clone()),
        body: builder.add_text_field("body", text),
    };
    (builder.build(), fields)
}

/// Records in the order of their numbers: by kind, then by id.
fn in_order(records: &[Record]) -> Vec<&Record> {
    let mut out: Vec<&Record> = records.iter().collect();
    out.sort_by(|a, b| (a.kind(), &a.head().id).cmp(&(b.kind(), &b.head().id)));
    out
}

/// What the index knows of a record: its names, and everything else that is said of it.
#[must_use]
pub fn texts(record: &Record) -> (Vec<&str>, String) {
    (record.head().names.all().collect(), body(record))
}

fn body(record: &Record) -> String {
    let head = record.head();
    let mut out = head.summary.clone();
    let mut add = |text: &str| {
        out.push('\n');
        out.push_str(text);
    };
    for (prefix, facts) in record.fact_groups() {
        for (key, fact) in facts.all() {
            add(&format!("{prefix}{}", key.replace('-', " ")));
            match &fact.value {
                Value::Words(words) => words.iter().for_each(|w| add(w)),
                Value::Text(text) => add(text),
                _ => {}
            }
            fact.note.iter().chain(&fact.why).for_each(|text| add(text));
        }
    }
    match record {
        Record::Material(m) => {
            add(&m.family.replace('-', " "));
            m.roles.iter().for_each(|r| add(r.word()));
            m.removal
                .iter()
                .filter_map(|r| r.note.as_ref())
                .for_each(|text| add(text));
        }
        Record::Layer(l) => {
            add(&l.group);
            l.traits.iter().for_each(|t| add(t.word()));
        }
        Record::Source(s) => {
            s.authors.iter().for_each(|a| add(a));
            add(&s.container);
            add(&s.date);
        }
        _ => {}
    }
    out
}

/// Builds the index and returns its files.
///
/// # Errors
/// When the search library fails, which it does only when memory is short.
pub fn build(records: &[Record]) -> Result<Vec<(String, Vec<u8>)>, IndexError> {
    let (schema, fields) = schema();
    let directory = RamDirectory::create();
    let settings = IndexSettings {
        docstore_compression: tantivy::store::Compressor::None,
        ..Default::default()
    };
    let mut writer = Tantivy::builder()
        .schema(schema)
        .settings(settings)
        .tokenizers(stem::tokenizers())
        .single_segment_index_writer(directory.clone(), WRITER_BYTES)?;
    for record in in_order(records) {
        let mut document = TantivyDocument::default();
        document.add_text(fields.kind, record.kind().noun());
        let (names, body) = texts(record);
        for name in names {
            document.add_text(fields.name, name);
        }
        document.add_text(fields.body, body);
        writer.add_document(document)?;
    }
    writer.finalize()?;
    let mut out = Vec::new();
    for path in directory_files(&directory)? {
        let bytes = directory
            .atomic_read(Path::new(&path))
            .map_err(|_| IndexError::File(path.clone()))?;
        out.push((path, bytes));
    }
    out.sort();
    Ok(out)
}

fn directory_files(directory: &RamDirectory) -> Result<Vec<String>, IndexError> {
    let index = Tantivy::open(directory.clone())?;
    let mut segments: Vec<_> = index
        .load_metas()?
        .list_segment_files()
        .into_iter()
        .collect();
    segments.sort();
    let mut files = vec!["meta.json".to_owned()];
    for file in segments {
        if directory.exists(&file).unwrap_or(false) {
            files.push(file.to_string_lossy().into_owned());
        }
    }
    Ok(files)
}

/// An opened index.
pub struct Index {
    index: Tantivy,
    fields: Fields,
    counts: [usize; 8],
}

impl Index {
    /// Opens the files of an index. `counts` holds the number of records of each kind, in the
    /// order of [`Kind::ALL`]: it turns a document number into a record.
    ///
    /// # Errors
    /// When the files are damaged.
    pub fn open(files: Vec<(String, Bytes)>, counts: [usize; 8]) -> Result<Self, IndexError> {
        let index = Tantivy::open(directory::Embedded::new(files))?;
        let (_, fields) = schema();
        Ok(Self {
            index,
            fields,
            counts,
        })
    }

    /// Records of a kind (or of any) that the words speak of, best first, with their score.
    ///
    /// # Errors
    /// When the files are damaged.
    pub fn search(
        &self,
        words: &str,
        kind: Option<Kind>,
        most: usize,
    ) -> Result<Vec<(Kind, usize, f32)>, IndexError> {
        let terms = stem::words(words);
        if terms.is_empty() || most == 0 {
            return Ok(Vec::new());
        }
        let mut any: Vec<(Occur, Box<dyn Query>)> = Vec::new();
        for (field, boost) in [(self.fields.name, NAME_BOOST), (self.fields.body, 1.0)] {
            for term in &terms {
                let term = TermQuery::new(
                    Term::from_field_text(field, term),
                    IndexRecordOption::WithFreqs,
                );
                any.push((
                    Occur::Should,
                    Box::new(BoostQuery::new(Box::new(term), boost)),
                ));
            }
            // Words that stand together in the record count again.
            if terms.len() > 1 {
                let phrase = PhraseQuery::new(
                    terms
                        .iter()
                        .map(|term| Term::from_field_text(field, term))
                        .collect(),
                );
                any.push((
                    Occur::Should,
                    Box::new(BoostQuery::new(Box::new(phrase), boost * 2.0)),
                ));
            }
        }
        let mut query: Box<dyn Query> = Box::new(BooleanQuery::new(any));
        if let Some(kind) = kind {
            let filter: Box<dyn Query> = Box::new(BoostQuery::new(
                Box::new(TermQuery::new(
                    Term::from_field_text(self.fields.kind, kind.noun()),
                    IndexRecordOption::Basic,
                )),
                0.0,
            ));
            query = Box::new(BooleanQuery::new(vec![
                (Occur::Must, query),
                (Occur::Must, filter),
            ]));
        }
        let reader = self
            .index
            .reader_builder()
            .reload_policy(ReloadPolicy::Manual)
            .try_into()?;
        let found = reader
            .searcher()
            .search(&query, &TopDocs::with_limit(most).order_by_score())?;
        Ok(found
            .into_iter()
            .filter_map(|(score, address)| {
                self.place(address.doc_id as usize)
                    .map(|(kind, index)| (kind, index, score))
            })
            .collect())
    }

    fn place(&self, mut document: usize) -> Option<(Kind, usize)> {
        for (kind, count) in Kind::ALL.into_iter().zip(self.counts) {
            if document < count {
                return Some((kind, document));
            }
            document -= count;
        }
        None
    }
}
