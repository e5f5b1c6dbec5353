//! One table of a case file under the reader's hand: its keys with their values, what is missing,
//! what nobody reads.

use std::cell::RefCell;

use toml_edit::{Item, TableLike, Value};

use super::day::Day;
use super::record::Noted;
use crate::diag::{Diagnostic, did_you_mean};
use crate::span::Span;
use crate::units::{Dimension, Tag, parse_quantity, parse_years, units_of};

/// Longest text of one value, in bytes: a page or two. A case holds facts, not the report.
pub(super) const LONGEST: usize = 16 * 1024;

/// What was found on the way.
pub(super) type Findings = RefCell<Vec<Diagnostic>>;

/// What a quantity must measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A length: `1240 mm`.
    Length,
    /// A mass: `12 kg`.
    Mass,
    /// A temperature: `28 C`.
    Temperature,
    /// How strong a solution is: `8 % w/v`, `2 g/l`, `1:3`.
    Strength,
    /// How much of a liquid or a powder: `20 ml`, `3 g`.
    Amount,
    /// Years: `1919..1939`, `1923`, `..1900`.
    Years,
}

impl Measure {
    const fn example(self) -> &'static str {
        match self {
            Self::Length => "1240 mm",
            Self::Mass => "12 kg",
            Self::Temperature => "28 C",
            Self::Strength => "8 % w/v",
            Self::Amount => "20 ml",
            Self::Years => "1919..1939",
        }
    }

    const fn noun(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Temperature => "a temperature",
            Self::Strength => "a strength",
            Self::Amount => "an amount",
            Self::Years => "years",
        }
    }

    fn dimensions(self) -> Vec<Dimension> {
        match self {
            Self::Length => vec![Dimension::LENGTH],
            Self::Mass => vec![Dimension::MASS],
            Self::Temperature => vec![Dimension::TEMPERATURE],
            Self::Strength => vec![
                Dimension::tagged(Tag::WeightByVolume),
                Dimension::tagged(Tag::WeightByWeight),
                Dimension::tagged(Tag::VolumeByVolume),
                Dimension::tagged(Tag::Percent),
                Dimension::tagged(Tag::Parts),
                Dimension::DENSITY,
                Dimension::MOLARITY,
            ],
            Self::Amount => vec![Dimension::VOLUME, Dimension::MASS],
            Self::Years => vec![Dimension::tagged(Tag::Years)],
        }
    }

    /// Checks a text.
    ///
    /// # Errors
    /// What is wrong, and how to mend it.
    pub fn check(self, text: &str) -> Result<(), Mistyped> {
        let mend = |wrong: String| {
            let units: Vec<&str> = self
                .dimensions()
                .into_iter()
                .flat_map(units_of)
                .filter(|unit| !unit.is_empty())
                .collect();
            let help = if self == Self::Years {
                format!("write for example \"{}\"", self.example())
            } else {
                format!(
                    "write for example \"{}\"; units: {}",
                    self.example(),
                    units.join(", ")
                )
            };
            Err(Mistyped { wrong, help })
        };
        if self == Self::Years {
            return match parse_years(text) {
                Ok(years) if years.is_ordered() => Ok(()),
                Ok(_) => mend(format!("`{text}`: the years run backwards")),
                Err(error) => mend(error.to_string()),
            };
        }
        match parse_quantity(text) {
            Err(error) => mend(error.to_string()),
            Ok(quantity) if !self.dimensions().contains(&quantity.unit.dimension()) => {
                mend(format!("`{text}` is not {}", self.noun()))
            }
            Ok(quantity) if quantity.below_absolute_zero() => {
                mend(format!("`{text}` is below absolute zero"))
            }
            Ok(quantity) => match quantity.bounds() {
                Some(bounds) if self != Self::Temperature && bounds.low < 0.0 => {
                    mend(format!("`{text}` is below zero"))
                }
                _ => Ok(()),
            },
        }
    }
}

/// A text that is no such quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistyped {
    /// What is wrong with it.
    pub wrong: String,
    /// How to mend it.
    pub help: String,
}

/// A table with the keys that were asked for.
pub(super) struct Entry<'a> {
    table: &'a dyn TableLike,
    /// Where the table stands.
    pub(super) span: Span,
    /// What it is, for a message: `an observation`.
    what: &'static str,
    findings: &'a Findings,
    asked: RefCell<Vec<&'static str>>,
}

impl<'a> Entry<'a> {
    pub(super) const fn new(
        table: &'a dyn TableLike,
        span: Span,
        what: &'static str,
        findings: &'a Findings,
    ) -> Self {
        Self {
            table,
            span,
            what,
            findings,
            asked: RefCell::new(Vec::new()),
        }
    }

    pub(super) fn report(&self, diagnostic: Diagnostic) {
        self.findings.borrow_mut().push(diagnostic);
    }

    fn get(&self, key: &'static str) -> Option<&'a Item> {
        self.asked.borrow_mut().push(key);
        self.table.get(key)
    }

    /// Where the value of a key stands; the whole table if it has none.
    pub(super) fn span_of(&self, key: &str) -> Span {
        self.table
            .get(key)
            .map_or(self.span, |item| place(item, self.span))
    }

    fn wrong_sort(&self, key: &str, item: &Item, wanted: &str, example: &str) {
        self.report(
            Diagnostic::error(
                "C0104",
                format!("`{key}` wants {wanted}, and there is {}", sort(item)),
            )
            .at(place(item, self.span), format!("not {wanted}"))
            .help(format!("write {key} = {example}")),
        );
    }

    fn missing(&self, key: &str, example: &str) {
        self.report(
            Diagnostic::error("C0103", format!("{} has no `{key}`", self.what))
                .at(self.span, format!("`{key}` is missing"))
                .help(format!("add the line: {key} = {example}")),
        );
    }

    /// A text that may be left out. An empty one counts as left out.
    pub(super) fn text(&self, key: &'static str) -> Option<String> {
        let item = self.get(key)?;
        match item.as_str() {
            Some(text) if text.len() > LONGEST => {
                self.report(
                    Diagnostic::error("C0104", format!("`{key}` is too long"))
                        .at(place(item, self.span), format!("{} bytes", text.len()))
                        .help(format!(
                            "a text has at most {LONGEST} bytes: keep the fact, and put the rest into \
                             the report"
                        )),
                );
                None
            }
            Some(text) if text.trim().is_empty() => None,
            Some(text) => Some(text.to_owned()),
            None => {
                self.wrong_sort(key, item, "a text in quotes", "\"...\"");
                None
            }
        }
    }

    /// A text that must be there. Where it is not, or is no text, that is reported and it is empty.
    pub(super) fn wanted(&self, key: &'static str, example: &str) -> String {
        let before = self.findings.borrow().len();
        let text = self.text(key);
        if text.is_none() && self.findings.borrow().len() == before {
            self.missing(key, example);
        }
        text.unwrap_or_default()
    }

    /// A list of texts; one text counts as a list of one.
    pub(super) fn texts(&self, key: &'static str) -> Vec<String> {
        let Some(item) = self.get(key) else {
            return Vec::new();
        };
        if let Some(text) = item.as_str() {
            return vec![text.to_owned()];
        }
        let Some(array) = item.as_array() else {
            self.wrong_sort(key, item, "a list of texts", "[\"...\"]");
            return Vec::new();
        };
        let mut out = Vec::new();
        for value in array {
            match value.as_str() {
                Some(text) if text.len() <= LONGEST => out.push(text.to_owned()),
                _ => {
                    let span = value
                        .span()
                        .map_or(self.span, |s| Span::new(s.start, s.end));
                    self.report(
                        Diagnostic::error("C0104", format!("`{key}` is a list of short texts"))
                            .at(span, "not a short text")
                            .help("put the text in quotes"),
                    );
                }
            }
        }
        out
    }

    /// Marks a key as read that is looked at elsewhere.
    pub(super) fn elsewhere(&self, key: &'static str) {
        let _ = self.get(key);
    }

    /// A whole number.
    pub(super) fn number(&self, key: &'static str) -> Option<i64> {
        let item = self.get(key)?;
        let number = item.as_integer();
        if number.is_none() {
            self.wrong_sort(key, item, "a whole number", "1");
        }
        number
    }

    /// A day, written 2026-11-28 with or without quotes.
    pub(super) fn day(&self, key: &'static str) -> Option<Day> {
        let item = self.get(key)?;
        let day = match item {
            Item::Value(Value::Datetime(it)) => {
                let it = it.value();
                it.date
                    .filter(|_| it.time.is_none())
                    .and_then(|d| Day::new(d.year, d.month, d.day))
            }
            Item::Value(Value::String(it)) => Day::parse(it.value().trim()),
            _ => None,
        };
        if day.is_none() {
            self.wrong_sort(key, item, "a day", "2026-11-28 (year, month, day)");
        }
        day
    }

    /// A quantity with its unit.
    pub(super) fn quantity(&self, key: &'static str, measure: Measure) -> Option<String> {
        let text = self.text(key)?;
        if let Err(Mistyped { wrong, help }) = measure.check(&text) {
            self.report(
                Diagnostic::error("C0107", format!("`{key}`: {wrong}"))
                    .at(self.span_of(key), format!("not {}", measure.noun()))
                    .help(help),
            );
        }
        Some(text)
    }

    /// When, where and by whom.
    pub(super) fn noted(&self) -> Noted {
        Noted {
            day: self.day("day"),
            place: self.text("place"),
            who: self.text("who"),
            note: self.text("note"),
            withdrawn: self.text("withdrawn"),
        }
    }

    /// Says which keys nobody reads. They stay in the file.
    pub(super) fn others(&self) {
        let asked = self.asked.borrow();
        for (key, item) in self.table.iter() {
            if asked.contains(&key) {
                continue;
            }
            let span = self
                .table
                .key(key)
                .and_then(toml_edit::Key::span)
                .map_or_else(|| place(item, self.span), |s| Span::new(s.start, s.end));
            let near = did_you_mean(key, asked.iter().copied());
            let note = Diagnostic::warning("C0109", format!("{} has no key `{key}`", self.what))
                .at(span, "kept, and not read");
            self.report(match near.first() {
                Some(best) => note.help(format!("if `{best}` was meant, write that")),
                None => note.help(format!("keys that are read: {}", asked.join(", "))),
            });
        }
    }
}

/// What an item is, for a message.
fn sort(item: &Item) -> &'static str {
    match item {
        Item::None => "nothing",
        Item::Table(_) => "a table",
        Item::ArrayOfTables(_) => "a list of tables",
        Item::Value(value) => match value {
            Value::String(_) => "a text",
            Value::Integer(_) => "a whole number",
            Value::Float(_) => "a number",
            Value::Boolean(_) => "a yes or no",
            Value::Datetime(_) => "a date or time",
            Value::Array(_) => "a list",
            Value::InlineTable(_) => "a table",
        },
    }
}

/// Where an item stands.
pub(super) fn place(item: &Item, otherwise: Span) -> Span {
    item.span()
        .map_or(otherwise, |range| Span::new(range.start, range.end))
}
