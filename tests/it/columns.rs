//! One checksum a column of the corpus, so that no value changes in silence: `tests/columns.txt`.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use palinode::embedded;
use palinode::model::attribute::ATTRIBUTES;
use palinode::model::{Fact, Facts, Record, Value};

use crate::written;

const FILE: &str = "tests/columns.txt";

const HEAD: &str = "\
# One line a column of the corpus: kind, part, key; how many records state it, with how many values;
# and a checksum over id, value, conditions and basis of all of them. A line that changes in a commit
# says where a value changed. Written by the test `columns`: PALINODE_WRITE=1 cargo test columns
";

/// FNV-1a of 64 bits (Fowler, Noll and Vo; constants as in RFC 9923), for being short and the same
/// on every machine.
fn fnv(bytes: impl IntoIterator<Item = u8>) -> u64 {
    bytes.into_iter().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// A value as the record writes it.
fn written_as(value: &Value) -> String {
    match value {
        Value::Words(words) => words.join("|"),
        Value::Measure(quantity) => quantity.literal.clone(),
        Value::Years(span) => span.to_string(),
        Value::Hansen(it) => format!("{}/{}/{} {:?}", it.d, it.p, it.h, it.radius),
        Value::Teas(d, p, h) => format!("{d}/{p}/{h}"),
        Value::Text(text) => text.clone(),
        Value::NotApplicable(why) => format!("n/a {why}"),
        Value::Sought(where_to) => format!("? {where_to}"),
    }
}

#[derive(Default)]
struct Columns(BTreeMap<Column, Vec<(String, String)>>);

/// Kind of record, part of it, field.
type Column = (&'static str, String, String);

impl Columns {
    fn put(&mut self, record: &Record, part: &str, key: &str, cell: String) {
        let name = (record.kind().noun(), part.to_owned(), key.to_owned());
        let column = self.0.entry(name).or_default();
        column.push((record.head().id.clone(), cell));
    }

    fn facts(&mut self, record: &Record, part: &str, facts: &Facts) {
        for (key, fact) in facts.all() {
            let Fact {
                value,
                basis,
                within,
                at,
                region,
                averaging,
                ..
            } = fact;
            let conditions = [within, at, region, averaging];
            let cell = format!("{}\u{1f}{basis}\u{1f}{conditions:?}", written_as(value));
            self.put(record, part, key, cell);
        }
    }

    fn record(&mut self, record: &Record) {
        self.facts(record, "facts", &record.head().facts);
        match record {
            Record::Material(it) => {
                self.facts(record, "fresh", &it.fresh);
                self.facts(record, "aged", &it.aged);
                self.facts(record, "always", &it.always);
                for met in &it.met {
                    let (roles, groups, basis) = (&met.roles, &met.groups, &met.basis);
                    let cell = format!("{roles:?}\u{1f}{groups:?}\u{1f}{basis}");
                    self.put(record, "met", &met.met.to_string(), cell);
                }
                for route in &it.removal {
                    let (agent, method) = (&route.agent, &route.method);
                    let (on, effect, basis) = (&route.on, route.effect, &route.basis);
                    let cell = format!(
                        "{agent:?}\u{1f}{method:?}\u{1f}{on:?}\u{1f}{effect:?}\u{1f}{basis}"
                    );
                    self.put(record, "removal", &route.order.to_string(), cell);
                }
            }
            Record::Layer(it) => {
                for (condition, facts) in &it.harm {
                    self.facts(record, &format!("harm.{condition}"), facts);
                }
            }
            Record::Method(it) => self.facts(record, "avoid", &it.avoid),
            _ => {}
        }
        // The summary is prose and may be reworded; where a material is met stands above.
        let told = ["summary", "met", "met-on"];
        for attribute in ATTRIBUTES.iter().filter(|a| !told.contains(&a.field.key)) {
            for value in attribute.values(record).unwrap_or_default() {
                self.put(record, "record", attribute.field.key, written_as(&value));
            }
        }
    }

    fn lines(mut self) -> String {
        let mut out = HEAD.to_owned();
        for ((kind, part, key), cells) in &mut self.0 {
            cells.sort();
            let text: Vec<String> = cells
                .iter()
                .map(|(id, cell)| format!("{id}\u{1e}{cell}\u{1d}"))
                .collect();
            let values = cells.len();
            cells.dedup_by(|a, b| a.0 == b.0);
            let sum = fnv(text.concat().into_bytes());
            let name = format!("{kind} {part} {key}");
            writeln!(out, "{name:44} {:4} {values:5}  {sum:016x}", cells.len()).unwrap();
        }
        out
    }
}

/// What stands in a line, by its column.
fn table(text: &str) -> BTreeMap<String, Vec<&str>> {
    text.lines()
        .filter(|l| !l.starts_with('#'))
        .map(|line| {
            let mut words: Vec<&str> = line.split_whitespace().collect();
            let sums = words.split_off(words.len().saturating_sub(3));
            (words.join(" "), sums)
        })
        .collect()
}

/// The columns in which two files differ, each with what became of it.
fn differences(found: &str, wanted: &str) -> Vec<String> {
    let (old, new) = (table(found), table(wanted));
    let mut out = Vec::new();
    for (name, now) in &new {
        match old.get(name) {
            None => out.push(format!("new: {name}")),
            Some(was) if was == now => {}
            Some(was) if was[..2] == now[..2] => {
                out.push(format!("changed: {name}, still {} values", now[1]));
            }
            Some(was) => out.push(format!(
                "changed: {name}, {} values of {} records, were {} of {}",
                now[1], now[0], was[1], was[0]
            )),
        }
    }
    let gone = old.keys().filter(|name| !new.contains_key(*name));
    out.extend(gone.map(|name| format!("gone: {name}")));
    out
}

#[test]
fn columns_are_as_last_written() {
    let mut columns = Columns::default();
    for record in embedded().all_records() {
        columns.record(&record);
    }
    let wanted = columns.lines();
    written::holds(FILE, &wanted, |found| {
        let list = differences(found, &wanted);
        format!("values of the corpus changed:\n  {}", list.join("\n  "))
    });
}

/// The published test values of FNV-1a, 64 bits (RFC 9923, appendix; from memory, also on the
/// authors' page).
#[test]
fn the_checksum_is_fnv() {
    for (text, sum) in [
        ("", 0xcbf2_9ce4_8422_2325),
        ("a", 0xaf63_dc4c_8601_ec8c),
        ("foobar", 0x8594_4171_f739_67e8),
    ] {
        assert_eq!(fnv(text.bytes()), sum, "{text}");
    }
}

/// A value that changes, a basis that changes and a condition that changes each show in their own
/// column, and only there.
#[test]
fn one_changed_fact_shows_in_one_column() {
    let records = embedded().all_records();
    let text = |change: &dyn Fn(&mut Fact)| {
        let mut columns = Columns::default();
        for record in &records {
            let mut record = record.clone();
            if let Record::Material(it) = &mut record
                && it.head.id == "shellac"
            {
                let aged = it.aged.0.iter_mut().find(|(key, _)| key == "acetone");
                change(&mut aged.unwrap().1[0]);
            }
            columns.record(&record);
        }
        columns.lines()
    };
    let before = text(&|_| {});
    let after = [
        text(&|f| f.value = Value::Words(vec!["blanches".to_owned()])),
        text(&|f| f.basis = palinode::model::Basis::Practice),
        text(&|f| f.within = Some("99 h".to_owned())),
    ];
    for it in after {
        let list = differences(&before, &it);
        assert_eq!(list.len(), 1, "{list:?}");
        assert!(
            list[0].starts_with("changed: material aged acetone"),
            "{list:?}"
        );
    }
}
