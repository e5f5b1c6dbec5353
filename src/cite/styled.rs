//! Citations in a style of the Citation Style Language: what stands in the text, and the list of
//! references. The styles are data (`styles/`), the processor is `hayagriva`.

use std::collections::BTreeMap;

use biblatex::{Bibliography, Chunk};
use hayagriva::citationberg::taxonomy::Locator;
use hayagriva::citationberg::{
    Display, FontStyle, FontWeight, IndependentStyle, Locale, LocaleCode, LocaleFile,
};
use hayagriva::types::{EntryType, FormatString};
use hayagriva::{
    BibliographyDriver, BibliographyRequest, CitationItem, CitationRequest, ElemChild,
    ElemChildren, ElemMeta, Entry, LocatorPayload, SpecificLocator,
};
use lz4_flex::block::decompress_size_prepended;

use super::export::field;
use crate::model::Source;

/// Packed by the build script, each behind its length.
const CHICAGO: &[u8] = include_bytes!(concat!(
    env!("OUT_DIR"),
    "/chicago-author-date-16th-edition.lz4"
));
const ISO690: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/iso690-numeric-en.lz4"));
const ENGLISH: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/locales-en-GB.lz4"));

/// A citation style.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Style {
    /// Author and year in the text: *The Chicago Manual of Style*, 16th edition, author-date.
    #[default]
    AuthorDate,
    /// Numbers in the text: ISO 690, numeric.
    Numeric,
}

impl Style {
    const fn sheet(self) -> &'static [u8] {
        match self {
            Self::AuthorDate => CHICAGO,
            Self::Numeric => ISO690,
        }
    }
}

/// One source cited in one place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cite {
    /// Key of the source.
    pub key: String,
    /// Page, table, section, or what part was read; may be empty.
    pub locator: String,
}

/// A run of text in one dress.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Run {
    /// The text.
    pub text: String,
    /// Italic.
    pub italic: bool,
    /// Bold.
    pub bold: bool,
    /// Address that it leads to: `http` or `https`, nothing else.
    pub url: Option<String>,
}

/// An entry of the list of references.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// Key of the source.
    pub key: String,
    /// Number before it, in a numeric style.
    pub label: String,
    /// The entry.
    pub runs: Vec<Run>,
    /// What of the source was read, as the corpus says.
    pub read: String,
}

/// Citations of one document.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Styled {
    /// One a group of cites, in the order in which they were given.
    pub citations: Vec<Vec<Run>>,
    /// The list of references, in the order of the style.
    pub references: Vec<Reference>,
}

/// Why citations cannot be made.
#[derive(Debug, thiserror::Error)]
pub enum StyleError {
    /// The style sheet that is built in is damaged.
    #[error("the citation style cannot be read: {0}")]
    Sheet(String),
}

/// Reads a sheet, which the test below has written as JSON: to read the XML takes a third of a megabyte
/// of program, for sheets that are built in.
fn read<T: serde::de::DeserializeOwned>(sheet: &[u8]) -> Result<T, StyleError> {
    let plain = decompress_size_prepended(sheet);
    let plain = plain.map_err(|error| StyleError::Sheet(error.to_string()))?;
    // By way of a tree: the library's types are written out for one reader, and that is the shorter one.
    serde_json::from_slice::<serde_json::Value>(&plain)
        .and_then(T::deserialize)
        .map_err(|error| StyleError::Sheet(error.to_string()))
}

/// Sets groups of cites, and the list of what they cite, in a style. `groups` is in the order of the
/// text. A key that no source has is left out.
///
/// # Errors
/// When a style sheet is damaged; they are built in, so that never happens in a program that was
/// tested.
pub fn styled(
    sources: &[Source],
    groups: &[Vec<Cite>],
    style: Style,
) -> Result<Styled, StyleError> {
    let mut sheet: IndependentStyle = read(style.sheet())?;
    // A stroke in place of a name that stands above it says nothing to who hears the list read.
    if let Some(list) = &mut sheet.bibliography {
        list.subsequent_author_substitute = None;
    }
    let locale: LocaleFile = read(ENGLISH)?;
    let locales: [Locale; 1] = [locale.into()];
    let entries: BTreeMap<&str, (Entry, &Source)> = sources
        .iter()
        .map(|source| (source.head.id.as_str(), (entry(source), source)))
        .collect();
    let mut driver = BibliographyDriver::new();
    // What was asked for, and the place among the requests; a group without a known key makes none.
    let mut places: Vec<Option<usize>> = Vec::with_capacity(groups.len());
    let mut seen: BTreeMap<&[Cite], usize> = BTreeMap::new();
    for group in groups {
        if let Some(place) = seen.get(group.as_slice()) {
            places.push(Some(*place));
            continue;
        }
        let items: Vec<CitationItem<'_, Entry>> = group
            .iter()
            .filter_map(|cite| {
                let (entry, _) = entries.get(cite.key.as_str())?;
                Some(CitationItem::with_locator(entry, locator(&cite.locator)))
            })
            .collect();
        if items.is_empty() {
            places.push(None);
            continue;
        }
        let place = seen.len();
        seen.insert(group, place);
        places.push(Some(place));
        driver.citation(CitationRequest::new(
            items,
            &sheet,
            british(),
            &locales,
            None,
        ));
    }
    let rendered = driver.finish(BibliographyRequest::new(&sheet, british(), &locales));
    let made: Vec<Vec<Run>> = rendered
        .citations
        .iter()
        .map(|it| runs(&it.citation).1)
        .collect();
    let citations = places
        .iter()
        .map(|place| {
            place
                .and_then(|place| made.get(place).cloned())
                .unwrap_or_default()
        })
        .collect();
    let references = rendered
        .bibliography
        .map(|list| list.items)
        .unwrap_or_default()
        .into_iter()
        .map(|item| {
            let (mut label, runs) = runs(&item.content);
            if let Some(first) = &item.first_field {
                label = runs_of(first);
            }
            Reference {
                read: entries
                    .get(item.key.as_str())
                    .map_or(String::new(), |(_, source)| source.read.clone()),
                key: item.key,
                label: label.trim().trim_end_matches('.').to_owned(),
                runs,
            }
        })
        .collect();
    Ok(Styled {
        citations,
        references,
    })
}

/// The language of a report.
fn british() -> Option<LocaleCode> {
    Some(LocaleCode("en-GB".to_owned()))
}

/// Fields whose capitals stay as the source has them. BibLaTeX would let a style change those of an
/// unprotected title, and gets names of products and species wrong.
const TITLES: [&str; 8] = [
    "title",
    "subtitle",
    "booktitle",
    "maintitle",
    "journaltitle",
    "journal",
    "series",
    "type",
];

fn protected(tex: &biblatex::Entry) -> biblatex::Entry {
    let mut out = tex.clone();
    // What was read of a source stands behind its entry; a style must not print it as a part of it.
    for key in ["annotation", "annote", "note", "abstract"] {
        out.fields.remove(key);
    }
    for key in TITLES {
        for chunk in out.fields.get_mut(key).into_iter().flatten() {
            if let Chunk::Normal(text) = &mut chunk.v {
                chunk.v = Chunk::Verbatim(std::mem::take(text));
            }
        }
    }
    out
}

/// Fields that may not be what they should be, the address first.
const UNREAD: [&str; 8] = [
    "url", "date", "year", "urldate", "volume", "number", "pages", "edition",
];

/// The entry of a source. What BibLaTeX cannot say of it falls back on its title: a citation with
/// less in it is better than none.
fn entry(source: &Source) -> Entry {
    let read = Bibliography::parse(&source.raw).ok();
    let first = read.as_ref().and_then(|all| all.iter().next());
    if let Some(tex) = first.map(protected) {
        // An address that is none (or has a name beyond ASCII, for which no table is built in), a field that
        // is no date, no number: the rest is told without those.
        for left_out in [&[][..], &UNREAD[..1], &UNREAD[1..], &UNREAD[..]] {
            let mut tex = tex.clone();
            for key in left_out {
                tex.fields.remove(*key);
            }
            if let Ok(entry) = Entry::try_from(&tex) {
                return dressed(entry, &tex);
            }
        }
    }
    let mut entry = Entry::new(&source.head.id, EntryType::Misc);
    let title = if source.title.is_empty() {
        &source.head.id
    } else {
        &source.title
    };
    entry.set_title(FormatString::with_value(title.clone()));
    entry
}

/// What the conversion leaves out and a reader needs.
fn dressed(mut entry: Entry, tex: &biblatex::Entry) -> Entry {
    if entry.publisher().is_none()
        && let Some(text) = ["howpublished", "organization", "institution"]
            .into_iter()
            .find_map(|key| field(tex, key))
    {
        entry.set_publisher(hayagriva::types::Publisher::new(
            Some(FormatString::with_value(text)),
            None,
        ));
    }
    entry
}

/// A locator as the corpus writes it: a page where it names one, else its own words.
fn locator(text: &str) -> Option<SpecificLocator<'_>> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let page = text
        .strip_prefix("pp. ")
        .or_else(|| text.strip_prefix("p. "))
        .filter(|rest| {
            rest.starts_with(|c: char| c.is_ascii_digit())
                && rest
                    .chars()
                    .all(|c| c.is_ascii_digit() || "-–, ".contains(c))
        });
    Some(match page {
        Some(page) => SpecificLocator(Locator::Page, LocatorPayload::Str(page)),
        None => SpecificLocator(Locator::Custom, LocatorPayload::Str(text)),
    })
}

/// The runs of what was rendered, and the number that stands in its margin.
fn runs(children: &ElemChildren) -> (String, Vec<Run>) {
    let mut label = String::new();
    let mut out = Vec::new();
    for child in &children.0 {
        walk(child, &mut label, &mut out);
    }
    for run in &mut out {
        // A group that ends with the stop of an abbreviation gets no second one.
        run.text = run.text.replace("n.d..", "n.d.");
    }
    if let Some(last) = out.last_mut() {
        last.text.truncate(last.text.trim_end().len());
    }
    (label, out)
}

fn runs_of(child: &ElemChild) -> String {
    let mut label = String::new();
    let mut out = Vec::new();
    walk(child, &mut label, &mut out);
    label + &out.iter().map(|run| run.text.as_str()).collect::<String>()
}

fn walk(child: &ElemChild, label: &mut String, out: &mut Vec<Run>) {
    let mut push = |text: &str, formatting: &hayagriva::Formatting, url: Option<&str>| {
        let run = Run {
            text: text.to_owned(),
            italic: formatting.font_style == FontStyle::Italic,
            bold: formatting.font_weight == FontWeight::Bold,
            url: url.filter(|url| is_web(url)).map(str::to_owned),
        };
        match out.last_mut() {
            Some(last)
                if last.italic == run.italic && last.bold == run.bold && last.url == run.url =>
            {
                last.text.push_str(&run.text);
            }
            _ => out.push(run),
        }
    };
    match child {
        ElemChild::Text(it) => push(&it.text, &it.formatting, None),
        ElemChild::Link { text, url } => push(&text.text, &text.formatting, Some(url)),
        ElemChild::Markup(text) => push(text, &hayagriva::Formatting::default(), None),
        ElemChild::Elem(elem) => {
            let margin = elem.display == Some(Display::LeftMargin);
            if margin
                && matches!(
                    elem.meta,
                    Some(ElemMeta::CitationNumber | ElemMeta::Text) | None
                )
            {
                for inner in &elem.children.0 {
                    label.push_str(&runs_of(inner));
                }
                return;
            }
            for inner in &elem.children.0 {
                walk(inner, label, out);
            }
        }
        ElemChild::Transparent { .. } => {}
    }
}

/// Whether an address may be a link: a record must not make a browser do anything else.
fn is_web(url: &str) -> bool {
    let lower = url.trim_start().to_ascii_lowercase();
    lower.starts_with("https://") || lower.starts_with("http://")
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use hayagriva::citationberg::Style;

    use super::{CHICAGO, ENGLISH, ISO690, LocaleFile, read};

    /// Holds what is built in against the sheet that it was made of; with `PALINODE_WRITE=1` makes it anew.
    fn holds<T>(built_in: &[u8], name: &str, suffix: &str)
    where
        T: serde::de::DeserializeOwned + serde::Serialize + PartialEq,
    {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cite/styles");
        let sheet = std::fs::read_to_string(folder.join(format!("{name}.{suffix}"))).unwrap();
        let wanted: T = quick_xml::de::from_str(&sheet).unwrap();
        if std::env::var_os("PALINODE_WRITE").is_some() {
            let json = serde_json::to_string(&wanted).unwrap() + "\n";
            std::fs::write(folder.join(format!("{name}.json")), json).unwrap();
            return;
        }
        assert!(
            read::<T>(built_in).unwrap() == wanted,
            "{name}.json is not {name}.{suffix}; `PALINODE_WRITE=1 cargo test --lib styled` writes it"
        );
    }

    #[test]
    fn the_sheets_that_are_built_in_say_what_those_of_the_project_say() {
        holds::<Style>(CHICAGO, "chicago-author-date-16th-edition", "csl");
        holds::<Style>(ISO690, "iso690-numeric-en", "csl");
        holds::<LocaleFile>(ENGLISH, "locales-en-GB", "xml");
    }
}
