//! Writes a pack.

use super::dictionary;
use super::entry::{Encoded, packed};
use super::rows::{self, Texts};
use super::table::table;
use super::{Header, MAGIC};
use crate::model::naming::fold;
use crate::model::reagent::Reagents;
use crate::model::speech::Speech;
use crate::model::{Kind, Named, Record};

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
}

/// How records lie in a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// As they are: quick to write, for an overlay that lives as long as one question.
    Plain,
    /// Packed: small, for the program itself.
    Small,
}

/// Packs records, controlled words and the files of a text index.
///
/// # Errors
/// When a record names a family that is not there, or the whole is too large.
pub fn write(
    records: &[Record],
    version: &str,
    words: &[(String, String, String)],
    speech: &Speech,
    reagents: &Reagents,
    index: &[(String, Vec<u8>)],
    form: Form,
) -> Result<Vec<u8>, WriteError> {
    let mut by_kind: Vec<Vec<&Record>> = vec![Vec::new(); Kind::ALL.len()];
    for record in records {
        by_kind[record.kind() as usize].push(record);
    }
    for list in &mut by_kind {
        list.sort_by(|a, b| a.head().id.cmp(&b.head().id));
    }
    let mut body = Vec::new();
    let mut header = Header {
        version: version.to_owned(),
        ..Header::default()
    };
    let (mut directory, mut texts) = (Vec::new(), Texts::default());
    let mut names = Vec::new();
    let mut print = FNV_OFFSET;
    for (kind, list) in by_kind.iter().enumerate() {
        header.counts[kind] = count(list.len())?;
        let encoded: Vec<Encoded> = list
            .iter()
            .map(|record| Encoded::of(record))
            .collect::<Result<_, _>>()?;
        print = encoded
            .iter()
            .fold(print, |all, it| fold_in(fold_in(all, &it.head), &it.tail));
        let dictionary = match form {
            Form::Small => {
                let whole = |it: &Encoded| [it.head.as_slice(), &it.tail].concat();
                dictionary::of(&encoded.iter().map(whole).collect::<Vec<_>>())
            }
            Form::Plain => Vec::new(),
        };
        header.dictionaries[kind] = section(&mut body, &dictionary)?;
        for (index, record) in list.iter().enumerate() {
            let head = record.head();
            let mut text = |words: &str| texts.add(words).ok_or(WriteError::TooLarge);
            let [start, length] = text(&head.id)?;
            let [name, name_length] = text(&head.names.name)?;
            let [summary, summary_length] = text(&head.summary)?;
            let [at, head_length, plain] = lay(&mut body, &encoded[index].head, &dictionary, form)?;
            let [_, tail_length, _] = lay(&mut body, &encoded[index].tail, &dictionary, form)?;
            rows::push(
                &mut directory,
                [
                    start,
                    length,
                    name,
                    name_length,
                    summary,
                    summary_length,
                    at,
                    head_length,
                    plain,
                    tail_length,
                ],
            );
            let index = count(index)?;
            let mut add = |shown: &str| {
                let folded = fold(shown);
                if !folded.is_empty() {
                    names.push(Named {
                        folded,
                        shown: shown.to_owned(),
                        kind: record.kind(),
                        index,
                    });
                }
            };
            add(&record.head().id);
            if record.kind() != Kind::Source {
                record.head().names.all().for_each(&mut add);
            }
        }
    }
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
    let mut name_rows = Vec::new();
    for name in &names {
        let [folded, folded_length] = texts.add(&name.folded).ok_or(WriteError::TooLarge)?;
        let [shown, shown_length] = texts.add(&name.shown).ok_or(WriteError::TooLarge)?;
        let kind = name.kind as u32;
        rows::push(
            &mut name_rows,
            [folded, folded_length, shown, shown_length, kind, name.index],
        );
    }
    header.directory = section(&mut body, &directory)?;
    header.names = section(&mut body, &name_rows)?;
    header.texts = section(&mut body, &texts.bytes)?;
    header.table = section(&mut body, &postcard::to_allocvec(&table(&by_kind)?)?)?;
    let words = postcard::to_allocvec(words)?;
    let speech = postcard::to_allocvec(speech)?;
    let reagents = postcard::to_allocvec(reagents)?;
    for bytes in [&words, &speech, &reagents] {
        print = fold_in(print, bytes);
    }
    header.fingerprint = format!("{print:016x}");
    header.words = section(&mut body, &words)?;
    header.speech = section(&mut body, &speech)?;
    header.reagents = section(&mut body, &reagents)?;
    for (name, bytes) in index {
        let span = section(&mut body, bytes)?;
        header.index.push((name.clone(), span.0, span.1));
    }
    let mut out = MAGIC.to_vec();
    out.extend(postcard::to_allocvec(&header)?);
    out.extend(body);
    Ok(out)
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

/// Writes a head or a tail: its start, its length and its plain length.
fn lay(
    body: &mut Vec<u8>,
    plain: &[u8],
    dictionary: &[u8],
    form: Form,
) -> Result<[u32; 3], WriteError> {
    let small = match form {
        Form::Small => packed(plain, dictionary),
        Form::Plain => None,
    };
    // As long as its plain bytes means that it is the plain bytes.
    let (start, length) = section(body, small.as_deref().unwrap_or(plain))?;
    Ok([start, length, count(plain.len())?])
}

fn count(number: usize) -> Result<u32, WriteError> {
    u32::try_from(number).map_err(|_| WriteError::TooLarge)
}
