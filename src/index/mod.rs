//! Full-text index over the records: built once, embedded, opened without copying, and only when
//! a query has free text. The user's words never meet the engine's own query syntax.

mod directory;
mod stem;

use std::collections::BTreeSet;
use std::path::Path;

use tantivy::collector::{Count, TopDocs};
use tantivy::directory::{OwnedBytes, RamDirectory};
use tantivy::query::{BooleanQuery, BoostQuery, Occur, PhraseQuery, Query, TermQuery};
use tantivy::schema::{Field, IndexRecordOption, STRING, Schema, TextFieldIndexing, TextOptions};
use tantivy::{
    Directory, DocAddress, Index as Tantivy, IndexReader, IndexSettings, ReloadPolicy, Searcher,
    SingleSegmentIndexWriter, TantivyDocument, TantivyError, Term,
};

use crate::model::{Kind, Record, Value};
use crate::order::Arrange;

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

/// Builds the index of records that are all at hand, in any order, and returns its files.
///
/// # Errors
/// When the search library fails, which it does only when memory is short.
pub fn build(records: &[Record]) -> Result<Vec<(String, OwnedBytes)>, IndexError> {
    let mut sorted: Vec<&Record> = records.iter().collect();
    sorted.arrange_by(|a, b| (a.kind(), &a.head().id).cmp(&(b.kind(), &b.head().id)));
    let mut builder = Builder::new()?;
    for record in sorted {
        builder.add(record)?;
    }
    builder.finish()
}

/// An index in the making.
pub struct Builder {
    directory: RamDirectory,
    writer: SingleSegmentIndexWriter,
    fields: Fields,
}

impl Builder {
    /// Starts an index.
    ///
    /// # Errors
    /// When the search library fails.
    pub fn new() -> Result<Self, IndexError> {
        let (schema, fields) = schema();
        let directory = RamDirectory::create();
        let settings = IndexSettings {
            docstore_compression: tantivy::store::Compressor::None,
            ..Default::default()
        };
        let writer = Tantivy::builder()
            .schema(schema)
            .settings(settings)
            .tokenizers(stem::tokenizers())
            .single_segment_index_writer(directory.clone(), WRITER_BYTES)?;
        Ok(Self {
            directory,
            writer,
            fields,
        })
    }

    /// Adds a record. They come in the order of their numbers: by kind, then by id.
    ///
    /// # Errors
    /// When the search library fails.
    pub fn add(&mut self, record: &Record) -> Result<(), IndexError> {
        let mut document = TantivyDocument::default();
        document.add_text(self.fields.kind, record.kind().noun());
        let (names, body) = texts(record);
        for name in names {
            document.add_text(self.fields.name, name);
        }
        document.add_text(self.fields.body, body);
        Ok(self.writer.add_document(document)?)
    }

    /// Ends the index and returns its files, by name.
    ///
    /// # Errors
    /// When the search library fails.
    pub fn finish(self) -> Result<Vec<(String, OwnedBytes)>, IndexError> {
        self.writer.finalize()?;
        let mut out = Vec::new();
        for path in directory_files(&self.directory)? {
            let file = self.directory.open_read(Path::new(&path)).ok();
            let bytes = file
                .and_then(|file| file.read_bytes().ok())
                .ok_or_else(|| IndexError::File(path.clone()))?;
            out.push((path, bytes));
        }
        Ok(one_name(out))
    }
}

/// The segment under a name that is always the same, in the place of the random one that the library gives
/// it: of the same records comes the same index, byte for byte. Only its own files speak of it.
fn one_name(files: Vec<(String, OwnedBytes)>) -> Vec<(String, OwnedBytes)> {
    const PLAIN: &str = "00000000000000000000000000000000";
    const HYPHENS: &str = "00000000-0000-0000-0000-000000000000";
    let stems = files.iter().filter_map(|(name, _)| name.split_once('.'));
    let Some(random) = stems
        .map(|(stem, _)| stem.to_owned())
        .find(|stem| stem.len() == PLAIN.len() && stem.is_ascii())
    else {
        return files;
    };
    let [a, b, c, d, e] = [0..8, 8..12, 12..16, 16..20, 20..32].map(|part| &random[part]);
    let hyphens = format!("{a}-{b}-{c}-{d}-{e}");
    let mut out: Vec<_> = files
        .into_iter()
        .map(|(name, bytes)| match name.strip_prefix(&random) {
            Some(ending) => (format!("{PLAIN}{ending}"), bytes),
            None => {
                let text = String::from_utf8_lossy(&bytes).replace(&hyphens, HYPHENS);
                (name, OwnedBytes::new(text.into_bytes()))
            }
        })
        .collect();
    out.arrange_by(|(a, _), (b, _)| a.cmp(b));
    out
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
        // Words that stand together in the record count again.
        let mut together: Vec<(Occur, Box<dyn Query>)> = Vec::new();
        if terms.len() > 1 {
            for (field, boost) in self.boosts() {
                let terms = terms.iter().map(|term| Term::from_field_text(field, term));
                let phrase = PhraseQuery::new(terms.collect());
                let phrase = BoostQuery::new(Box::new(phrase), boost * 2.0);
                together.push((Occur::Should, Box::new(phrase)));
            }
        }
        let searcher = self.searcher()?;
        let top = |wanted: BooleanQuery| {
            let collector = TopDocs::with_limit(most).order_by_score();
            searcher.search(&self.of_kind(wanted, kind), &collector)
        };
        // Of single words alone the library skips what cannot come among the best, which in a large corpus
        // is nearly all. So records that hold the words together are asked for apart. They score there at
        // least what they score here: whatever belongs among the best is among the best of one of the two.
        let mut found = Vec::new();
        if !together.is_empty() {
            let together: Box<dyn Query> = Box::new(BooleanQuery::new(together));
            let mut wanted = self.any(&terms);
            wanted.push((Occur::Must, together));
            found = top(BooleanQuery::new(wanted))?;
        }
        let held: BTreeSet<DocAddress> = found.iter().map(|(_, address)| *address).collect();
        let more = top(BooleanQuery::new(self.any(&terms)))?.into_iter();
        found.extend(more.filter(|(_, address)| !held.contains(address)));
        found.arrange_by(|(a, first), (b, second)| b.total_cmp(a).then(first.cmp(second)));
        found.truncate(most);
        Ok(found
            .into_iter()
            .filter_map(|(score, address)| {
                self.place(address.doc_id as usize)
                    .map(|(kind, index)| (kind, index, score))
            })
            .collect())
    }

    /// Number of the records of a kind (or of any) that the words speak of.
    ///
    /// # Errors
    /// When the files are damaged.
    pub fn count(&self, words: &str, kind: Option<Kind>) -> Result<usize, IndexError> {
        let any = BooleanQuery::new(self.any(&stem::words(words)));
        Ok(self.searcher()?.search(&self.of_kind(any, kind), &Count)?)
    }

    fn searcher(&self) -> Result<Searcher, IndexError> {
        let builder = self.index.reader_builder();
        let reader: IndexReader = builder.reload_policy(ReloadPolicy::Manual).try_into()?;
        Ok(reader.searcher())
    }

    /// Fields that are searched, with what a word in them is worth.
    fn boosts(&self) -> [(Field, f32); 2] {
        [(self.fields.name, NAME_BOOST), (self.fields.body, 1.0)]
    }

    /// Any of the words in any field.
    fn any(&self, terms: &[String]) -> Vec<(Occur, Box<dyn Query>)> {
        let mut out: Vec<(Occur, Box<dyn Query>)> = Vec::new();
        for (field, boost) in self.boosts() {
            for term in terms {
                let term = Term::from_field_text(field, term);
                let term = TermQuery::new(term, IndexRecordOption::WithFreqs);
                out.push((
                    Occur::Should,
                    Box::new(BoostQuery::new(Box::new(term), boost)),
                ));
            }
        }
        out
    }

    /// What is wanted among the records of a kind; of any where none is named.
    fn of_kind(&self, wanted: BooleanQuery, kind: Option<Kind>) -> BooleanQuery {
        let Some(kind) = kind else {
            return wanted;
        };
        let term = Term::from_field_text(self.fields.kind, kind.noun());
        let filter = TermQuery::new(term, IndexRecordOption::Basic);
        BooleanQuery::new(vec![
            (Occur::Must, Box::new(wanted)),
            (
                Occur::Must,
                Box::new(BoostQuery::new(Box::new(filter), 0.0)),
            ),
        ])
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
