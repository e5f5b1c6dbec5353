//! Writes a pack: records are taken one by one and held only as they lie in it, so that the memory this
//! takes grows with the pack and not with what its records are when they are decoded.

use std::io;
use std::sync::Arc;

use super::entry::{Bytes, Encoded, Location, packed};
use super::rows::{self, Rows, Texts};
use super::table::table;
use super::{ENTRY, Entry, Header, LENGTH_BITS, MAGIC, NAME, NUMBER_BITS, dictionary};
use crate::model::naming::fold;
use crate::model::reagent::Reagents;
use crate::model::speech::Speech;
use crate::model::{Kind, Named, Record};
use crate::order::Arrange;

/// Bytes of records of a kind that its dictionary is made of: the first ones. All of them where there are
/// fewer, as in every corpus that somebody wrote.
const LEARNT_FROM: usize = 4 << 20;

/// Why records cannot be packed.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// A record names something that the corpus does not have.
    #[error("{file}:{line}: `{id}` names the {what} `{name}`, which the corpus does not have")]
    Unknown {
        /// File of the record.
        file: String,
        /// Line of the record.
        line: u32,
        /// Id of the record.
        id: String,
        /// What is missing.
        what: &'static str,
        /// Its name.
        name: String,
    },
    /// The encoder failed.
    #[error("cannot encode a record: {0}")]
    Encode(#[from] postcard::Error),
    /// Over four gigabytes.
    #[error("the corpus is too large for a pack")]
    TooLarge,
    /// A name of 64 KB or more.
    #[error("{file}:{line}: a name of `{id}` has 64 KB or more; write it shorter")]
    LongName {
        /// File of the record.
        file: String,
        /// Line of the record.
        line: u32,
        /// Id of the record.
        id: String,
    },
    /// Records are searched by id, so they must come by kind and then by id, each once.
    #[error("`{0}` does not come after the record before it")]
    OutOfOrder(String),
    /// A record that was packed does not unpack.
    #[error("a {} of the pack cannot be read back", .0.noun())]
    Unread(Kind),
    /// The pack could not be written where it was to go.
    #[error("cannot write the pack: {0}")]
    Output(#[from] io::Error),
}

/// Makes an LZ4 block of bytes, against a dictionary; `None` if it cannot, and they lie as they are.
pub type Packer = fn(plain: &[u8], dictionary: &[u8]) -> Option<Vec<u8>>;

/// How records lie in a pack.
#[derive(Clone, Copy, Debug)]
pub enum Form {
    /// As they are: quick to write, for an overlay that lives as long as one question.
    Plain,
    /// Packed: small, for the program itself.
    Small(Packer),
}

/// What a pack holds besides records.
#[derive(Clone, Copy, Debug)]
pub struct Besides<'a, File> {
    /// Version of the corpus.
    pub version: &'a str,
    /// Controlled words: (list, word, meaning).
    pub words: &'a [(String, String, String)],
    /// How the words of a query are read.
    pub speech: &'a Speech,
    /// What is weighed out for solutions in water.
    pub reagents: &'a Reagents,
    /// Files of the text index: (name, bytes).
    pub index: &'a [(String, File)],
}

/// Packs records that are all at hand, in any order.
///
/// # Errors
/// When a record names a family that is not there, or the whole is too large.
pub fn write<File: AsRef<[u8]>>(
    records: &[Record],
    besides: Besides<'_, File>,
    form: Form,
) -> Result<Vec<u8>, WriteError> {
    let mut sorted: Vec<&Record> = records.iter().collect();
    sorted.arrange_by(|a, b| (a.kind(), &a.head().id).cmp(&(b.kind(), &b.head().id)));
    let mut writer = Writer::new(form);
    for record in sorted {
        writer.add(record.clone())?;
    }
    let mut out = Vec::new();
    writer.finish(besides, &mut out)?;
    Ok(out)
}

/// A pack in the making.
pub struct Writer {
    form: Form,
    header: Header,
    body: Vec<u8>,
    directory: Vec<u8>,
    keys: Texts,
    texts: Texts,
    names: Vec<Named>,
    /// Hash of all records so far.
    print: u64,
    /// Number of the kind that records come of; those before it are whole.
    kind: usize,
    /// Id of the last record.
    last: String,
    /// What records of this kind are packed against, once it is known.
    dictionary: Option<Vec<u8>>,
    waiting: Waiting,
}

/// Records that wait for the dictionary of their kind.
#[derive(Default)]
struct Waiting {
    encoded: Vec<Encoded>,
    /// What a list shows of each: the first six numbers of its [`Entry`].
    shown: Vec<[u32; SHOWN]>,
    bytes: usize,
}

/// Numbers of an [`Entry`] that do not depend on where the record lies.
const SHOWN: usize = ENTRY - 4;

impl Writer {
    /// Starts a pack.
    #[must_use]
    pub fn new(form: Form) -> Self {
        Self {
            form,
            header: Header::default(),
            body: Vec::new(),
            directory: Vec::new(),
            keys: Texts::default(),
            texts: Texts::default(),
            names: Vec::new(),
            print: FNV_OFFSET,
            kind: 0,
            last: String::new(),
            dictionary: None,
            waiting: Waiting::default(),
        }
    }

    /// Packs a record. They come by kind and then by id.
    ///
    /// # Errors
    /// When it does not come after the one before it, or the whole is too large.
    pub fn add(&mut self, record: Record) -> Result<(), WriteError> {
        let (head, kind) = (record.head(), record.kind() as usize);
        let first = self.directory.is_empty() && self.waiting.encoded.is_empty();
        let after = kind.cmp(&self.kind).then_with(|| head.id.cmp(&self.last));
        if !first && after.is_le() {
            return Err(WriteError::OutOfOrder(head.id.clone()));
        }
        while self.kind < kind {
            self.close_kind()?;
        }
        self.last.clone_from(&head.id);
        let index = self.header.counts[kind];
        self.header.counts[kind] = index.checked_add(1).ok_or(WriteError::TooLarge)?;
        let mut shown = [0; SHOWN];
        let spans = [
            self.keys.add(&head.id),
            self.texts.add(&head.names.name),
            self.texts.add(&head.summary),
        ];
        for (at, span) in spans.into_iter().enumerate() {
            shown[2 * at..][..2].copy_from_slice(&span.ok_or(WriteError::TooLarge)?);
        }
        self.name(&record, index)?;
        let encoded = Encoded::of(record)?;
        self.print = fold_in(fold_in(self.print, &encoded.head), &encoded.tail);
        if self.dictionary.is_none() && matches!(self.form, Form::Small(_)) {
            self.waiting.bytes += encoded.head.len() + encoded.tail.len();
            self.waiting.encoded.push(encoded);
            self.waiting.shown.push(shown);
            if self.waiting.bytes < LEARNT_FROM {
                return Ok(());
            }
            return self.learn();
        }
        self.learn()?;
        self.lay(&encoded, shown)
    }

    /// The names under which a record is found.
    fn name(&mut self, record: &Record, index: u32) -> Result<(), WriteError> {
        let head = record.head();
        let mut longest = 0;
        let mut add = |shown: &str| {
            let folded = fold(shown);
            longest = longest.max(folded.len()).max(shown.len());
            if !folded.is_empty() {
                self.names.push(Named {
                    folded,
                    shown: shown.to_owned(),
                    kind: record.kind(),
                    index,
                });
            }
        };
        add(&head.id);
        if record.kind() != Kind::Source {
            head.names.all().for_each(&mut add);
        }
        if longest >> LENGTH_BITS > 0 {
            return Err(WriteError::LongName {
                file: head.place.file.clone(),
                line: head.place.line,
                id: head.id.clone(),
            });
        }
        Ok(())
    }

    /// Makes the dictionary of the kind, where there is none yet, and lays what waited for it.
    fn learn(&mut self) -> Result<(), WriteError> {
        if self.dictionary.is_some() {
            return Ok(());
        }
        let waiting = std::mem::take(&mut self.waiting);
        let whole = |it: &Encoded| [it.head.as_slice(), &it.tail].concat();
        let whole: Vec<Vec<u8>> = waiting.encoded.iter().map(whole).collect();
        let dictionary = dictionary::of(&whole);
        drop(whole);
        self.header.dictionaries[self.kind] = section(&mut self.body, &dictionary)?;
        self.dictionary = Some(dictionary);
        for (encoded, shown) in waiting.encoded.iter().zip(waiting.shown) {
            self.lay(encoded, shown)?;
        }
        Ok(())
    }

    /// Ends a kind and begins the next.
    fn close_kind(&mut self) -> Result<(), WriteError> {
        self.learn()?;
        self.dictionary = None;
        self.kind += 1;
        self.last.clear();
        Ok(())
    }

    /// Writes a record and its row.
    fn lay(&mut self, record: &Encoded, shown: [u32; SHOWN]) -> Result<(), WriteError> {
        let dictionary = self.dictionary.as_deref().unwrap_or(&[]);
        let mut lay = |plain: &[u8]| {
            let small = match self.form {
                Form::Small(packer) => packed(plain, dictionary, packer),
                Form::Plain => None,
            };
            // As long as its plain bytes means that it is the plain bytes.
            section(&mut self.body, small.as_deref().unwrap_or(plain))
        };
        let (start, head) = lay(&record.head)?;
        let (_, tail) = lay(&record.tail)?;
        let mut row: Entry = [0; ENTRY];
        row[..SHOWN].copy_from_slice(&shown);
        row[SHOWN..].copy_from_slice(&[start, head, count(record.head.len())?, tail]);
        rows::push(&mut self.directory, row);
        Ok(())
    }

    /// Every record of a kind, read back from where it lies in `body`.
    fn read_back(
        &self,
        body: &Bytes,
        kind: Kind,
    ) -> impl Iterator<Item = Result<Record, WriteError>> {
        let counts = &self.header.counts;
        let before: u32 = counts[..kind as usize].iter().sum();
        let rows = Rows::<ENTRY>::new(&self.directory);
        let dictionary = self.header.dictionaries[kind as usize];
        (before..before + counts[kind as usize])
            .map(move |at| {
                let location = Location::at(0, rows.get(at as usize)?, dictionary)?;
                location.read(body)
            })
            .map(move |record| record.ok_or(WriteError::Unread(kind)))
    }

    /// Adds what a pack holds besides records, and writes it.
    ///
    /// # Errors
    /// When a record names a family that is not there, the whole is too large, or `out` fails.
    pub fn finish<File: AsRef<[u8]>>(
        mut self,
        besides: Besides<'_, File>,
        out: &mut impl io::Write,
    ) -> Result<(), WriteError> {
        while self.kind < Kind::ALL.len() {
            self.close_kind()?;
        }
        let names = self.name_rows()?;
        let body = Arc::new(std::mem::take(&mut self.body));
        let bytes = Bytes::Shared(Arc::clone(&body));
        let table = table(|kind| self.read_back(&bytes, kind))?;
        drop(bytes);
        // Nothing that was read back is held any longer, so it is not copied.
        let mut body = Arc::unwrap_or_clone(body);
        let Self {
            mut header,
            directory,
            keys,
            texts,
            mut print,
            ..
        } = self;
        besides.version.clone_into(&mut header.version);
        header.directory = section(&mut body, &directory)?;
        header.names = section(&mut body, &names)?;
        header.keys = section(&mut body, &keys.bytes)?;
        header.texts = section(&mut body, &texts.bytes)?;
        header.table = section(&mut body, &table)?;
        let words = postcard::to_allocvec(besides.words)?;
        let speech = postcard::to_allocvec(besides.speech)?;
        let reagents = postcard::to_allocvec(besides.reagents)?;
        for bytes in [&words, &speech, &reagents] {
            print = fold_in(print, bytes);
        }
        header.fingerprint = format!("{print:016x}");
        header.words = section(&mut body, &words)?;
        header.speech = section(&mut body, &speech)?;
        header.reagents = section(&mut body, &reagents)?;
        // The index is the largest part and is there already: it is not copied behind the rest.
        let mut end = body.len();
        for (name, bytes) in besides.index {
            let length = bytes.as_ref().len();
            header
                .index
                .push((name.clone(), count(end)?, count(length)?));
            end += length;
        }
        out.write_all(MAGIC)?;
        out.write_all(&postcard::to_allocvec(&header)?)?;
        out.write_all(&body)?;
        for (_, bytes) in besides.index {
            out.write_all(bytes.as_ref())?;
        }
        Ok(())
    }

    /// The table of names, sorted.
    fn name_rows(&mut self) -> Result<Vec<u8>, WriteError> {
        let mut names = std::mem::take(&mut self.names);
        names.sort();
        // An id and a name that fold alike are one name; the later of them, which sorts after by its
        // shown form, is the one with spaces and capitals.
        names.dedup_by(|a, b| {
            a.folded == b.folded && a.kind == b.kind && a.index == b.index && {
                if b.shown.contains('-') && !a.shown.contains('-') {
                    std::mem::swap(&mut a.shown, &mut b.shown);
                }
                true
            }
        });
        let mut out = Vec::new();
        for name in &names {
            let key = self.keys.add(&name.folded).ok_or(WriteError::TooLarge)?;
            let text = self.texts.add(&name.shown).ok_or(WriteError::TooLarge)?;
            let ([folded, folded_length], [shown, shown_length]) = (key, text);
            if name.index >> NUMBER_BITS > 0 {
                return Err(WriteError::TooLarge);
            }
            let lengths = folded_length << LENGTH_BITS | shown_length;
            let of = (name.kind as u32) << NUMBER_BITS | name.index;
            rows::push::<NAME>(&mut out, [folded, shown, lengths, of]);
        }
        Ok(out)
    }
}

/// Start of the FNV-1a hash of 64 bits (Fowler, Noll and Vo; draft-eastlake-fnv, from memory). It tells
/// that records changed; it is no guard against who wants it to say that they did not.
const FNV_OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
const FNV_PRIME: u64 = 0x0100_0000_01b3;

/// Goes on hashing, the length first, so that the same bytes parted otherwise hash otherwise.
fn fold_in(hash: u64, bytes: &[u8]) -> u64 {
    let length = (bytes.len() as u64).to_le_bytes();
    length
        .iter()
        .chain(bytes)
        .fold(hash, |h, b| (h ^ u64::from(*b)).wrapping_mul(FNV_PRIME))
}

fn section(body: &mut Vec<u8>, bytes: &[u8]) -> Result<(u32, u32), WriteError> {
    let span = (count(body.len())?, count(bytes.len())?);
    body.extend_from_slice(bytes);
    Ok(span)
}

fn count(number: usize) -> Result<u32, WriteError> {
    u32::try_from(number).map_err(|_| WriteError::TooLarge)
}
