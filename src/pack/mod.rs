//! The corpus as the program carries it (`crate::embedded()` is the one built in): records that are
//! decoded one by one, names, and the response table, each in a section of its own that is touched
//! only when it is needed. Ids, blocks and names are tables that are searched where they lie, so that
//! opening a pack costs the same whatever it holds. A record is packed by itself (LZ4), against a
//! dictionary of what its kind has in common: together they take a third of the room, and looking one up
//! unpacks that one only.

mod answers;
mod dictionary;
mod entry;
mod rows;
mod table;
mod write;

use std::borrow::Cow;
use std::ops::Range;
use std::sync::{Arc, OnceLock};

use serde::{Deserialize, Serialize};

use entry::{Bytes, Location, Section};
use rows::Rows;

use crate::model::naming::fold;
use crate::model::reagent::Reagents;
use crate::model::speech::Speech;
use crate::model::{Equipment, Kind, Layer, Library, Named, Record, Table};

pub use write::{Besides, Form, Packer, WriteError, Writer, write};

/// First bytes of a pack.
pub(crate) const MAGIC: &[u8; 8] = b"PALINO12";

/// Where the sections stand.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(crate) struct Header {
    pub(crate) version: String,
    /// Hash of all records and words, in hexadecimal digits.
    pub(crate) fingerprint: String,
    /// Number of records of each kind, in the order of [`Kind::ALL`].
    pub(crate) counts: [u32; 8],
    /// A row a record, by kind and then by id: [`Entry`].
    pub(crate) directory: (u32, u32),
    /// What the records of each kind are packed against, in the order of [`Kind::ALL`].
    pub(crate) dictionaries: [(u32, u32); 8],
    /// A row a name, sorted by its folded form: [`NameRow`].
    pub(crate) names: (u32, u32),
    /// What is searched by: ids as they are, then names in their folded form and in order, so that a search
    /// stays within a few pages.
    pub(crate) keys: (u32, u32),
    /// What is shown: names and summaries.
    pub(crate) texts: (u32, u32),
    pub(crate) table: (u32, u32),
    pub(crate) words: (u32, u32),
    pub(crate) speech: (u32, u32),
    pub(crate) reagents: (u32, u32),
    /// Files of the text index.
    pub(crate) index: Vec<(String, u32, u32)>,
}

/// A record in the directory: start and length of its id, of its name and of its summary; where its head
/// starts, its length and its length when it is unpacked; the length of its tail, which follows it. What a
/// list shows of a record is read without the record.
const ENTRY: usize = 10;
type Entry = [u32; ENTRY];

/// A name: where its folded form starts and the form that is shown; the lengths of both in a half each; the kind
/// in the four highest bits, before the number of the record.
const NAME: usize = 4;
type NameRow = [u32; NAME];

/// Bits of the length of what is shown, beside that of the folded form.
const LENGTH_BITS: u32 = 16;
/// Bits of the number of a record beside its kind.
const NUMBER_BITS: u32 = 28;

/// The stretch of the folded form that a row names.
const fn folded([start, _, lengths, _]: NameRow) -> (u32, u32) {
    (start, lengths >> LENGTH_BITS)
}

/// Kind and number of the record that a row names.
fn named_by([.., of]: NameRow) -> Option<(Kind, u32)> {
    let kind = *Kind::ALL.get((of >> NUMBER_BITS) as usize)?;
    Some((kind, of & ((1 << NUMBER_BITS) - 1)))
}

/// Why a pack cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// Not a pack, or one of another program version.
    #[error("not a corpus pack of this program")]
    NotAPack,
    /// Cut short or changed.
    #[error("the corpus pack is damaged: {0}")]
    Damaged(#[from] postcard::Error),
}

/// An opened pack.
#[derive(Debug)]
pub struct Pack {
    bytes: Bytes,
    base: usize,
    header: Header,
    names: OnceLock<Vec<Named>>,
    table: OnceLock<Table>,
    words: OnceLock<Vec<(String, String, String)>>,
    speech: OnceLock<Speech>,
    reagents: OnceLock<Reagents>,
    /// Layers that were asked for: a stack names the same few again and again.
    layers: OnceLock<Vec<OnceLock<Option<Arc<Layer>>>>>,
    /// Methods, agents and carriers, once a plan was asked for.
    equipment: OnceLock<Arc<Equipment>>,
}

impl Pack {
    /// Opens a pack. Only its header is read.
    ///
    /// # Errors
    /// When the bytes are no pack, or cut short.
    pub fn open(bytes: Cow<'static, [u8]>) -> Result<Self, OpenError> {
        let rest = bytes.strip_prefix(MAGIC).ok_or(OpenError::NotAPack)?;
        let (header, after): (Header, &[u8]) = postcard::take_from_bytes(rest)?;
        let base = bytes.len() - after.len();
        let bytes = match bytes {
            Cow::Borrowed(bytes) => Bytes::Static(bytes),
            Cow::Owned(bytes) => Bytes::Shared(Arc::new(bytes)),
        };
        Ok(Self {
            bytes,
            base,
            header,
            names: OnceLock::new(),
            table: OnceLock::new(),
            words: OnceLock::new(),
            speech: OnceLock::new(),
            reagents: OnceLock::new(),
            layers: OnceLock::new(),
            equipment: OnceLock::new(),
        })
    }

    /// The version with a hash of what the records say and where: `2026.11 (3f0c…)`. Two packs of one
    /// identity answer alike; a remark moved in a record gives another identity too.
    #[must_use]
    pub fn identity(&self) -> String {
        format!("{} ({})", self.header.version, self.header.fingerprint)
    }

    fn place(&self, (start, length): (u32, u32)) -> Range<usize> {
        let start = self.base + start as usize;
        start..start + length as usize
    }

    fn section(&self, section: (u32, u32)) -> &[u8] {
        self.bytes.get(self.place(section)).unwrap_or(&[])
    }

    fn name_rows(&self) -> Rows<'_, NAME> {
        Rows::new(self.section(self.header.names))
    }

    /// Where the records of a kind stand in the directory.
    fn entries(&self, kind: Kind) -> (usize, usize) {
        let before: u32 = self.header.counts[..kind as usize].iter().sum();
        let count = self.header.counts[kind as usize];
        (before as usize, (before + count) as usize)
    }

    fn entry(&self, kind: Kind, index: usize) -> Option<Entry> {
        if index >= self.count(kind) {
            return None;
        }
        let directory = Rows::<ENTRY>::new(self.section(self.header.directory));
        directory.get(self.entries(kind).0 + index)
    }

    fn text(&self, start: u32, length: u32) -> &str {
        rows::text(self.section(self.header.texts), start, length)
    }

    fn key(&self, start: u32, length: u32) -> &[u8] {
        rows::stretch(self.section(self.header.keys), start, length)
    }

    fn name(&self, row: NameRow) -> Option<Named> {
        let [_, shown, lengths, _] = row;
        let (start, length) = folded(row);
        let (kind, index) = named_by(row)?;
        Some(Named {
            folded: rows::text(self.section(self.header.keys), start, length).to_owned(),
            shown: self
                .text(shown, lengths & ((1 << LENGTH_BITS) - 1))
                .to_owned(),
            kind,
            index,
        })
    }

    /// Name and summary of a record, without reading it.
    #[must_use]
    pub fn gist(&self, kind: Kind, index: usize) -> Option<(&str, &str)> {
        let [_, _, name, name_length, summary, summary_length, ..] = self.entry(kind, index)?;
        Some((
            self.text(name, name_length),
            self.text(summary, summary_length),
        ))
    }

    /// Controlled words: (section, word, meaning).
    pub fn words(&self) -> &[(String, String, String)] {
        self.words.get_or_init(|| {
            postcard::from_bytes(self.section(self.header.words)).unwrap_or_default()
        })
    }

    /// Files of the text index: (name, bytes).
    pub fn index_files(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.header
            .index
            .iter()
            .map(|(name, start, length)| (name.as_str(), self.section((*start, *length))))
    }

    /// Files of the text index of a pack whose bytes live as long as the program.
    #[must_use]
    pub fn static_index_files(&self) -> Option<Vec<(String, &'static [u8])>> {
        let Bytes::Static(bytes) = self.bytes else {
            return None;
        };
        self.header
            .index
            .iter()
            .map(|(name, start, length)| {
                let start = self.base + *start as usize;
                bytes
                    .get(start..start + *length as usize)
                    .map(|b| (name.clone(), b))
            })
            .collect()
    }

    /// Every record, decoded. For building overlays and for checks, never for a query.
    pub fn all_records(&self) -> Vec<Record> {
        Kind::ALL
            .iter()
            .flat_map(|kind| (0..self.count(*kind)).filter_map(|i| self.record(*kind, i)))
            .collect()
    }
}

impl Library for Pack {
    fn count(&self, kind: Kind) -> usize {
        self.header.counts[kind as usize] as usize
    }

    fn record(&self, kind: Kind, index: usize) -> Option<Record> {
        let row = self.entry(kind, index)?;
        let dictionary = self.header.dictionaries[kind as usize];
        Location::at(self.base, row, dictionary)?.read(&self.bytes)
    }

    fn shared_layer(&self, index: usize) -> Option<Arc<Layer>> {
        let all = self
            .layers
            .get_or_init(|| vec![OnceLock::new(); self.count(Kind::Layer)]);
        all.get(index)?
            .get_or_init(|| match self.record(Kind::Layer, index)? {
                Record::Layer(it) => Some(Arc::new(it)),
                _ => None,
            })
            .clone()
    }

    fn equipment(&self) -> Arc<Equipment> {
        Arc::clone(
            self.equipment
                .get_or_init(|| Arc::new(Equipment::read(self))),
        )
    }

    fn position(&self, kind: Kind, id: &str) -> Option<usize> {
        let directory = Rows::<ENTRY>::new(self.section(self.header.directory));
        let (from, to) = self.entries(kind);
        let at = directory.partition_point(from, to, |[start, length, ..]| {
            self.key(start, length) < id.as_bytes()
        });
        let index = at - from;
        (self.id(kind, index) == Some(id)).then_some(index)
    }

    fn named(&self, name: &str, kind: Option<Kind>) -> Vec<(Kind, usize)> {
        let wanted = fold(name);
        let rows = self.name_rows();
        let own = |row: NameRow| {
            let (start, length) = folded(row);
            self.key(start, length)
        };
        let from = rows.partition_point(0, rows.len(), |row| own(row) < wanted.as_bytes());
        let mut out: Vec<(Kind, usize)> = (from..rows.len())
            .filter_map(|at| rows.get(at))
            .take_while(|row| own(*row) == wanted.as_bytes())
            .filter_map(named_by)
            .map(|(own, index)| (own, index as usize))
            .filter(|(own, _)| kind.is_none_or(|k| k == *own))
            .collect();
        out.dedup();
        out
    }

    fn table(&self) -> &Table {
        self.table.get_or_init(|| {
            table::read(&self.bytes, self.place(self.header.table)).unwrap_or_default()
        })
    }

    fn names(&self) -> &[Named] {
        self.names.get_or_init(|| {
            let rows = self.name_rows();
            (0..rows.len())
                .filter_map(|at| self.name(rows.get(at)?))
                .collect()
        })
    }

    fn speech(&self) -> &Speech {
        self.speech.get_or_init(|| {
            let place = self.place(self.header.speech);
            let piece = Section::piece(&self.bytes, place, 0);
            piece.and_then(|it| it.read().ok()).unwrap_or_default()
        })
    }

    fn reagents(&self) -> &Reagents {
        self.reagents.get_or_init(|| {
            postcard::from_bytes(self.section(self.header.reagents)).unwrap_or_default()
        })
    }

    fn vocabulary(&self) -> &[(String, String, String)] {
        self.words()
    }

    fn id(&self, kind: Kind, index: usize) -> Option<&str> {
        let [start, length, ..] = self.entry(kind, index)?;
        Some(rows::text(self.section(self.header.keys), start, length))
    }

    fn version(&self) -> &str {
        &self.header.version
    }
}
