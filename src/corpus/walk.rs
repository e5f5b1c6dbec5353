//! Walks a TOML document with spans, so that every finding names file, line and column, and a key
//! that nobody asked for is an error and not silence.

use std::cell::RefCell;
use std::collections::BTreeSet;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diag::{Diagnostic, did_you_mean};
use crate::model::Place;
use crate::order::Arrange;
use crate::span::{Source, Span};

/// Something wrong with a file of the corpus.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Path as the user would type it.
    pub file: String,
    /// File, line and column of the first label.
    pub place: Place,
    /// What is wrong, and how to mend it.
    pub diagnostic: Diagnostic,
}

/// One file while it is read.
pub struct Reading<'a> {
    /// Text with line index.
    pub source: &'a Source,
    findings: RefCell<Vec<Finding>>,
}

impl<'a> Reading<'a> {
    /// Starts on a file.
    #[must_use]
    pub fn new(source: &'a Source) -> Self {
        Self {
            source,
            findings: RefCell::new(Vec::new()),
        }
    }

    /// Notes a finding.
    pub fn report(&self, diagnostic: Diagnostic) {
        let place = diagnostic.span().map_or_else(
            || Place {
                file: self.source.name.clone(),
                line: 0,
                column: 0,
            },
            |span| self.place(span),
        );
        self.findings.borrow_mut().push(Finding {
            file: self.source.name.clone(),
            place,
            diagnostic,
        });
    }

    /// Notes an error at a span.
    pub fn error(&self, code: &'static str, span: Span, message: impl Into<String>, help: &str) {
        let message = message.into();
        let mut diagnostic = Diagnostic::error(code, message).at(span, "");
        if !help.is_empty() {
            diagnostic = diagnostic.help(help);
        }
        self.report(diagnostic);
    }

    /// Place of a span in the file.
    #[must_use]
    pub fn place(&self, span: Span) -> Place {
        let at = self.source.place(span.start as usize);
        Place {
            file: self.source.name.clone(),
            line: at.line,
            column: at.column,
        }
    }

    /// All findings so far.
    #[must_use]
    pub fn finish(self) -> Vec<Finding> {
        self.findings.into_inner()
    }
}

/// Span of a value in the document.
pub(super) fn span_of<T>(value: &Spanned<T>) -> Span {
    let range = value.span();
    Span::new(range.start, range.end)
}

/// A table that remembers which of its keys were asked for.
pub(super) struct Table<'r, 'd> {
    reading: &'r Reading<'r>,
    table: &'d DeTable<'d>,
    span: Span,
    known: RefCell<BTreeSet<&'static str>>,
}

impl<'r, 'd> Table<'r, 'd> {
    pub(super) fn new(reading: &'r Reading<'r>, table: &'d DeTable<'d>, span: Span) -> Self {
        Self {
            reading,
            table,
            span,
            known: RefCell::new(BTreeSet::new()),
        }
    }

    pub(super) const fn span(&self) -> Span {
        self.span
    }

    pub(super) fn get(&self, key: &'static str) -> Option<&'d Spanned<DeValue<'d>>> {
        self.known.borrow_mut().insert(key);
        self.table.get(key)
    }

    /// Every key with its value, in the order of the file.
    pub(super) fn entries(&self) -> Vec<(&'d str, Span, &'d Spanned<DeValue<'d>>)> {
        let mut out: Vec<_> = self
            .table
            .iter()
            .map(|(key, value)| (key.get_ref().as_ref(), span_of(key), value))
            .collect();
        out.arrange_by_key(|(_, span, _)| span.start);
        out
    }

    /// Reports every key that was not asked for.
    pub(super) fn refuse_others(&self, what: &str) {
        let known = self.known.borrow();
        for (key, span, _) in self.entries() {
            if known.contains(key) {
                continue;
            }
            let near = did_you_mean(key, known.iter().copied());
            let mut diagnostic =
                Diagnostic::error("K0102", format!("unknown key `{key}` in {what}"))
                    .at(span, "not a key of this table");
            diagnostic = match near.first() {
                Some(best) => diagnostic.help(format!("write `{best}`")).edit(span, *best),
                None => diagnostic.help(format!(
                    "keys here: {}",
                    known.iter().copied().collect::<Vec<_>>().join(", ")
                )),
            };
            self.reading.report(diagnostic);
        }
    }

    pub(super) fn text(&self, key: &'static str) -> Option<(String, Span)> {
        let value = self.get(key)?;
        text_of(self.reading, value, key)
    }

    pub(super) fn flag(&self, key: &'static str) -> Option<bool> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Boolean(it) => Some(*it),
            _ => {
                self.reading.error(
                    "K0103",
                    span_of(value),
                    format!("`{key}` wants true or false"),
                    "",
                );
                None
            }
        }
    }

    pub(super) fn number(&self, key: &'static str) -> Option<(f64, Span)> {
        let value = self.get(key)?;
        let number = match value.get_ref() {
            DeValue::Integer(it) => it.as_str().parse().ok(),
            DeValue::Float(it) => it.as_str().parse().ok(),
            _ => None,
        };
        if number.is_none() {
            self.reading.error(
                "K0103",
                span_of(value),
                format!("`{key}` wants a number"),
                "",
            );
        }
        number.map(|n| (n, span_of(value)))
    }

    /// A whole number from `low` to `high`.
    pub(super) fn grade(&self, key: &'static str, low: u8, high: u8) -> Option<u8> {
        let (number, span) = self.number(key)?;
        let fits = number.fract() == 0.0 && (f64::from(low)..=f64::from(high)).contains(&number);
        if !fits {
            self.reading.error(
                "K0104",
                span,
                format!("`{key}` wants a whole number from {low} to {high}"),
                "",
            );
            return None;
        }
        (low..=high).find(|n| f64::from(*n) == number)
    }

    pub(super) fn texts(&self, key: &'static str) -> Vec<(String, Span)> {
        let Some(value) = self.get(key) else {
            return Vec::new();
        };
        texts_of(self.reading, value, key)
    }

    pub(super) fn table(&self, key: &'static str) -> Option<Table<'r, 'd>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(Table::new(self.reading, table, span_of(value))),
            _ => {
                self.reading.error(
                    "K0103",
                    span_of(value),
                    format!("`{key}` wants a table"),
                    "",
                );
                None
            }
        }
    }
}

/// A string.
pub(super) fn text_of(
    reading: &Reading<'_>,
    value: &Spanned<DeValue<'_>>,
    what: &str,
) -> Option<(String, Span)> {
    match value.get_ref() {
        DeValue::String(it) => Some((it.to_string(), span_of(value))),
        _ => {
            reading.error(
                "K0103",
                span_of(value),
                format!("`{what}` wants text in quotes"),
                "put the value in double quotes",
            );
            None
        }
    }
}

/// A string, or a list of strings.
pub(super) fn texts_of(
    reading: &Reading<'_>,
    value: &Spanned<DeValue<'_>>,
    what: &str,
) -> Vec<(String, Span)> {
    match value.get_ref() {
        DeValue::Array(items) => items
            .iter()
            .filter_map(|item| text_of(reading, item, what))
            .collect(),
        _ => text_of(reading, value, what).into_iter().collect(),
    }
}
