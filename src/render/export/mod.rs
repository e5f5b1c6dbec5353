//! The whole corpus for other programs: one JSON document, or one fact a line as CSV (quoted as RFC 4180
//! says, lines ended by a line feed). The shape of the JSON is written down as JSON Schema (draft 2020-12)
//! in `schema.json`.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::data;
use crate::model::attribute::ATTRIBUTES;
use crate::model::{self, Basis, Fact, Facts, Material, Record, Source};
use crate::units::{Amount, YearEnd, YearSpan};

/// JSON Schema of what [`export_json`] writes.
pub const EXPORT_SCHEMA: &str = include_str!("schema.json");

/// Number of the shape; it changes when a program that reads the last one would misread the next.
const SHAPE: u32 = 1;

/// Columns of [`export_csv`].
const COLUMNS: [&str; 21] = [
    "kind",
    "id",
    "section",
    "key",
    "value",
    "low",
    "high",
    "unit",
    "basis",
    "source",
    "through",
    "locator",
    "within",
    "at",
    "region",
    "averaging",
    "note",
    "why",
    "file",
    "line",
    "invented",
];

/// All records as one JSON document, a record a line, so that two exports compare line by line.
#[must_use]
pub fn export_json(records: &[Record], version: &str) -> String {
    let mut out = format!(
        "{{\"export\":{SHAPE},\"corpus\":{},\"program\":{},\"records\":[\n",
        data(&json!(version)),
        data(&json!(env!("CARGO_PKG_VERSION")))
    );
    for (number, record) in records.iter().enumerate() {
        if number > 0 {
            out.push_str(",\n");
        }
        out.push_str(&data(&entry(record)));
    }
    out.push_str("\n]}\n");
    out
}

/// One fact a line, with a head line. Numbers stand in the unit of their own line, as recorded.
///
/// # Errors
/// Never, but for a fault of the writer itself: it writes to memory.
pub fn export_csv(records: &[Record]) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for record in records {
        let head = record.head();
        for (section, key, fact) in facts(record) {
            let measure = Measure::of(&fact.value);
            let (key_of, through, locator) = origin(&fact.basis);
            let line = if fact.place.line == 0 {
                String::new()
            } else {
                fact.place.line.to_string()
            };
            let or_empty = |text: &Option<String>| text.clone().unwrap_or_default();
            writer.write_record([
                record.kind().noun().to_owned(),
                head.id.clone(),
                section,
                key.to_owned(),
                words_of(&fact.value),
                measure.low.map_or_else(String::new, |n| n.to_string()),
                measure.high.map_or_else(String::new, |n| n.to_string()),
                measure.unit.unwrap_or_default().to_owned(),
                fact.basis.word().to_owned(),
                key_of.unwrap_or_default().to_owned(),
                through.unwrap_or_default().to_owned(),
                locator.unwrap_or_default().to_owned(),
                or_empty(&fact.within),
                or_empty(&fact.at),
                or_empty(&fact.region),
                or_empty(&fact.averaging),
                or_empty(&fact.note),
                or_empty(&fact.why),
                fact.place.file.clone(),
                line,
                if head.invented { "yes" } else { "" }.to_owned(),
            ])?;
        }
    }
    let bytes = writer.into_inner().map_err(|e| e.into_error())?;
    Ok(super::safe_lines(String::from_utf8_lossy(&bytes)))
}

/// Every fact of a record, with its section (`facts`, `fresh`, `harm sound` …) and its key.
fn facts(record: &Record) -> Vec<(String, &str, &Fact)> {
    record
        .fact_groups()
        .into_iter()
        .flat_map(|(prefix, group)| {
            let section = if prefix.is_empty() {
                "facts"
            } else {
                prefix.trim()
            };
            group
                .all()
                .map(|(key, fact)| (section.to_owned(), key, fact))
                .collect::<Vec<_>>()
        })
        .collect()
}

fn entry(record: &Record) -> Value {
    let head = record.head();
    let mut foreign: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (language, name) in head.names.foreign.iter() {
        foreign.entry(language).or_default().push(name);
    }
    let mut filed = Map::new();
    for attribute in ATTRIBUTES {
        let key = attribute.field.key;
        if matches!(key, "id" | "name" | "summary") {
            continue;
        }
        if let Some(values) = attribute.values(record) {
            let values: Vec<Value> = values.iter().flat_map(plain).collect();
            filed.insert(key.to_owned(), json!(values));
        }
    }
    let mut sections = Map::new();
    for (prefix, group) in record.fact_groups() {
        let section = if prefix.is_empty() {
            "facts"
        } else {
            prefix.trim()
        };
        if !group.0.is_empty() {
            sections.insert(section.to_owned(), section_of(group));
        }
    }
    let mut out = Map::new();
    out.insert("kind".to_owned(), json!(record.kind().noun()));
    out.insert("id".to_owned(), json!(head.id));
    out.insert("name".to_owned(), json!(head.names.name));
    for (key, value) in [
        ("also", json!(*head.names.also)),
        ("foreign", json!(foreign)),
        ("summary", json!(head.summary)),
        ("filed", Value::Object(filed)),
        ("sections", Value::Object(sections)),
    ] {
        out.insert(key.to_owned(), value);
    }
    match record {
        Record::Material(it) => uses(&mut out, it),
        Record::Source(it) => {
            out.insert("source".to_owned(), source(it));
        }
        _ => {}
    }
    if head.invented {
        out.insert("invented".to_owned(), json!(true));
    }
    Value::Object(out)
}

/// How often a material is met, what it is taken for, and how it is taken off.
fn uses(out: &mut Map<String, Value>, it: &Material) {
    let words = |list: &mut dyn Iterator<Item = &'static str>| list.collect::<Vec<_>>();
    let met: Vec<Value> = it
        .met
        .iter()
        .map(|m| {
            object(
                &m.basis,
                [
                    ("met", Some(json!(m.met.word()))),
                    (
                        "as",
                        Some(json!(words(&mut m.roles.iter().map(|r| r.word())))),
                    ),
                    (
                        "on",
                        Some(json!(words(&mut m.groups.iter().map(|g| g.word())))),
                    ),
                    ("note", m.note.as_ref().map(|n| json!(n))),
                ],
            )
        })
        .collect();
    let new: Vec<Value> = it
        .new
        .iter()
        .map(|n| {
            object(
                &n.basis,
                [
                    ("custom", Some(json!(n.custom.word()))),
                    (
                        "as",
                        Some(json!(words(&mut n.purposes.iter().map(|p| p.word())))),
                    ),
                    ("on", Some(json!(n.on))),
                    ("why", n.why.as_ref().map(|w| json!(w))),
                ],
            )
        })
        .collect();
    let removal: Vec<Value> = it
        .removal
        .iter()
        .map(|r| {
            object(
                &r.basis,
                [
                    ("order", Some(json!(r.order.word()))),
                    ("agent", r.agent.as_ref().map(|a| json!(a))),
                    ("method", r.method.as_ref().map(|m| json!(m))),
                    ("on", Some(json!(r.on))),
                    ("only", Some(json!(r.only))),
                    ("effect", r.effect.map(|e| json!(e.word()))),
                    ("note", r.note.as_ref().map(|n| json!(n))),
                ],
            )
        })
        .collect();
    for (key, list) in [("met", met), ("new", new), ("removal", removal)] {
        out.insert(key.to_owned(), Value::Array(list));
    }
}

fn object<const N: usize>(basis: &Basis, parts: [(&str, Option<Value>); N]) -> Value {
    let mut out = Map::new();
    for (key, value) in parts {
        if let Some(value) = value {
            out.insert(key.to_owned(), value);
        }
    }
    stated(&mut out, basis);
    Value::Object(out)
}

fn source(it: &Source) -> Value {
    json!({
        "entry": it.entry,
        "authors": it.authors,
        "date": it.date,
        "title": it.title,
        "container": it.container,
        "detail": it.detail,
        "locator": it.locator,
        "read": it.read,
        "biblatex": it.raw,
    })
}

fn section_of(facts: &Facts) -> Value {
    let mut out = Map::new();
    for (key, list) in facts.0.iter() {
        let list: Vec<Value> = list.iter().map(fact).collect();
        out.insert(key.clone(), Value::Array(list));
    }
    Value::Object(out)
}

fn fact(it: &Fact) -> Value {
    let mut out = Map::new();
    match &it.value {
        model::Value::NotApplicable(why) => out.insert("not_applicable".to_owned(), json!(why)),
        model::Value::Sought(search) => out.insert("sought".to_owned(), json!(search)),
        value => {
            let mut values = plain(value);
            let whole = if values.len() == 1 && !matches!(value, model::Value::Words(_)) {
                values.swap_remove(0)
            } else {
                json!(values)
            };
            out.insert("is".to_owned(), whole)
        }
    };
    let measure = Measure::of(&it.value);
    for (key, value) in [("low", measure.low), ("high", measure.high)] {
        if let Some(value) = value {
            out.insert(key.to_owned(), json!(value));
        }
    }
    if let Some(unit) = measure.unit.filter(|unit| !unit.is_empty()) {
        out.insert("unit".to_owned(), json!(unit));
    }
    stated(&mut out, &it.basis);
    for (key, value) in [
        ("within", &it.within),
        ("at", &it.at),
        ("region", &it.region),
        ("averaging", &it.averaging),
        ("note", &it.note),
        ("why", &it.why),
    ] {
        if let Some(value) = value {
            out.insert(key.to_owned(), json!(value));
        }
    }
    if it.place.line > 0 {
        out.insert("file".to_owned(), json!(it.place.file));
        out.insert("line".to_owned(), json!(it.place.line));
    }
    Value::Object(out)
}

/// Says on what something rests.
fn stated(out: &mut Map<String, Value>, basis: &Basis) {
    out.insert("basis".to_owned(), json!(basis.word()));
    let (key, through, locator) = origin(basis);
    for (name, value) in [("source", key), ("through", through), ("locator", locator)] {
        if let Some(value) = value {
            out.insert(name.to_owned(), json!(value));
        }
    }
}

fn origin(basis: &Basis) -> (Option<&str>, Option<&str>, Option<&str>) {
    match basis {
        Basis::Published {
            key,
            through,
            locator,
        } => (Some(key), through.as_deref(), Some(locator)),
        Basis::Practice | Basis::Memory => (None, None, None),
    }
}

/// Lowest and highest number of a value, in its unit.
struct Measure {
    low: Option<f64>,
    high: Option<f64>,
    unit: Option<&'static str>,
}

impl Measure {
    fn of(value: &model::Value) -> Self {
        match value {
            model::Value::Measure(quantity) => {
                let (low, high) = match &quantity.amount {
                    Amount::Exact(value) => (Some(*value), Some(*value)),
                    Amount::Range { low, high } => (*low, *high),
                    Amount::Ratio(_) | Amount::Years(_) => (None, None),
                };
                Self {
                    low,
                    high,
                    unit: Some(quantity.unit.symbol()),
                }
            }
            model::Value::Years(YearSpan { from, to }) => {
                let year = |end: &YearEnd| match end {
                    YearEnd::Year(year) => Some(f64::from(*year)),
                    YearEnd::Open | YearEnd::Antiquity | YearEnd::Now => None,
                };
                Self {
                    low: year(from),
                    high: year(to),
                    unit: Some("year"),
                }
            }
            _ => Self {
                low: None,
                high: None,
                unit: None,
            },
        }
    }
}

/// A value as JSON: words one by one, the rest as it was written.
fn plain(value: &model::Value) -> Vec<Value> {
    match value {
        model::Value::Words(words) => words.iter().map(|w| json!(w)).collect(),
        model::Value::Measure(quantity) => vec![json!(quantity.literal)],
        model::Value::Years(span) => vec![json!(span.to_string())],
        model::Value::Hansen(it) => {
            vec![json!({"d": it.d, "p": it.p, "h": it.h, "radius": it.radius})]
        }
        model::Value::Teas(d, p, h) => vec![json!({"d": d, "p": p, "h": h})],
        model::Value::Text(text)
        | model::Value::NotApplicable(text)
        | model::Value::Sought(text) => vec![json!(text)],
    }
}

/// A value as one cell.
fn words_of(value: &model::Value) -> String {
    match value {
        model::Value::Words(words) => words.join("; "),
        model::Value::Hansen(it) => {
            let radius = it.radius.map_or_else(String::new, |r| format!(" R {r}"));
            format!("{}/{}/{}{radius}", it.d, it.p, it.h)
        }
        model::Value::Teas(d, p, h) => format!("{d}/{p}/{h}"),
        model::Value::NotApplicable(why) => format!("n/a: {why}"),
        model::Value::Sought(search) => format!("?: {search}"),
        model::Value::Measure(quantity) => quantity.literal.clone(),
        model::Value::Years(span) => span.to_string(),
        model::Value::Text(text) => text.clone(),
    }
}
