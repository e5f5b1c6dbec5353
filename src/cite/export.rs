//! Sources for other programs: BibLaTeX, and CSL-JSON (the Citation Style Language's data schema,
//! version 1.0).

use biblatex::{Bibliography, ChunksExt, DateValue, Entry, EntryType, PermissiveType};
use serde_json::{Map, Value, json};

use crate::model::Source;

/// The sources as one BibLaTeX file, in the order given. `annotation` says what of each was read.
#[must_use]
pub fn biblatex(sources: &[Source]) -> String {
    let mut out = String::new();
    for source in sources {
        if !out.is_empty() {
            out.push('\n');
        }
        out.push_str(source.raw.trim_end());
        out.push('\n');
    }
    out
}

/// The sources as CSL-JSON, in the order given; `note` says what of each was read.
#[must_use]
pub fn csl_json(sources: &[Source]) -> String {
    let items: Vec<Value> = sources.iter().map(item).collect();
    // A value made of strings and numbers can always be written.
    let mut out = serde_json::to_string_pretty(&items).unwrap_or_default();
    out.push('\n');
    out
}

fn item(source: &Source) -> Value {
    let read = Bibliography::parse(&source.raw).ok();
    let Some(entry) = read.as_ref().and_then(|all| all.iter().next()) else {
        return json!({"id": source.head.id, "type": "document", "title": source.title});
    };
    let mut out = Map::new();
    out.insert("id".into(), json!(source.head.id));
    out.insert("type".into(), json!(kind(&entry.entry_type)));
    for (csl, tex) in [
        ("title", &["title"][..]),
        ("container-title", &["journaltitle", "journal", "booktitle"]),
        ("collection-title", &["series"]),
        (
            "publisher",
            &["publisher", "institution", "organization", "howpublished"],
        ),
        ("publisher-place", &["location", "address"]),
        ("volume", &["volume"]),
        ("page", &["pages"]),
        ("edition", &["edition"]),
        ("version", &["version"]),
        ("genre", &["type"]),
        ("DOI", &["doi"]),
        ("URL", &["url"]),
        ("ISBN", &["isbn"]),
        ("note", &["annotation", "annote"]),
    ] {
        if let Some(text) = tex.iter().find_map(|key| field(entry, key)) {
            let text = if csl == "page" {
                text.replace("--", "-").replace('\u{2013}', "-")
            } else {
                text
            };
            out.insert(csl.into(), json!(text));
        }
    }
    if let Some(number) = field(entry, "number") {
        // The number of an article is its issue; that of anything else is its own.
        let key = if entry.entry_type == EntryType::Article {
            "issue"
        } else {
            "number"
        };
        out.insert(key.into(), json!(number));
    }
    if let Ok(authors) = entry.author() {
        out.insert("author".into(), people(&authors));
    }
    if let Ok(groups) = entry.editors() {
        let editors: Vec<biblatex::Person> = groups.into_iter().flat_map(|(it, _)| it).collect();
        if !editors.is_empty() {
            out.insert("editor".into(), people(&editors));
        }
    }
    if let Ok(PermissiveType::Typed(date)) = entry.date()
        && let Some(parts) = parts(&date)
    {
        out.insert("issued".into(), json!({"date-parts": parts}));
    }
    if let Some(date) = field(entry, "urldate") {
        let parts: Vec<i32> = date.split('-').map_while(|it| it.parse().ok()).collect();
        if !parts.is_empty() {
            out.insert("accessed".into(), json!({"date-parts": [parts]}));
        }
    }
    Value::Object(out)
}

/// A field as plain text; none where it says nothing.
pub(super) fn field(entry: &Entry, key: &str) -> Option<String> {
    entry
        .get(key)
        .map(|chunks| chunks.format_verbatim().trim().to_owned())
        .filter(|text| !text.is_empty())
}

fn people(list: &[biblatex::Person]) -> Value {
    list.iter()
        .filter(|it| it.name != "others")
        .map(|it| {
            if it.given_name.is_empty() && it.prefix.is_empty() {
                return json!({"literal": it.name});
            }
            let mut name = Map::new();
            name.insert("family".into(), json!(it.name));
            for (key, text) in [
                ("given", &it.given_name),
                ("non-dropping-particle", &it.prefix),
                ("suffix", &it.suffix),
            ] {
                if !text.is_empty() {
                    name.insert(key.into(), json!(text));
                }
            }
            Value::Object(name)
        })
        .collect()
}

fn parts(date: &biblatex::Date) -> Option<Vec<Vec<i32>>> {
    let one = |it: &biblatex::Datetime| {
        let mut out = vec![it.year];
        if let Some(month) = it.month {
            out.push(i32::from(month) + 1); // BibLaTeX's crate counts months from nought.
            out.extend(it.day.map(|day| i32::from(day) + 1));
        }
        out
    };
    Some(match &date.value {
        DateValue::At(it) | DateValue::After(it) | DateValue::Before(it) => vec![one(it)],
        DateValue::Between(a, b) => vec![one(a), one(b)],
    })
}

/// The CSL type of a BibLaTeX type.
fn kind(it: &EntryType) -> &'static str {
    match it {
        EntryType::Article => "article-journal",
        EntryType::Book | EntryType::MvBook | EntryType::Collection => "book",
        EntryType::InBook | EntryType::InCollection => "chapter",
        EntryType::InProceedings => "paper-conference",
        EntryType::Thesis | EntryType::PhdThesis | EntryType::MastersThesis => "thesis",
        EntryType::Report | EntryType::TechReport | EntryType::Manual => "report",
        EntryType::Online => "webpage",
        EntryType::Patent => "patent",
        EntryType::Software => "software",
        EntryType::Dataset => "dataset",
        EntryType::Unknown(word) if word == "standard" => "standard",
        EntryType::Unknown(word) if word == "legislation" => "legislation",
        _ => "document",
    }
}
