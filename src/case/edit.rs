//! Changing a case file: what a change does not touch stays byte for byte, comments, order and
//! unknown keys included.

use std::path::Path;

use toml_edit::{
    Array, ArrayOfTables, Date, Datetime, DocumentMut, InlineTable, Item, Table, Value,
};

use super::clock::Moment;
use super::day::Day;
use super::file::{CaseFile, ReadError, from_bytes};
use super::read::parse;
use super::record::{Case, FORMAT};
use super::section::Section;
use crate::diag::Diagnostic;
use crate::span::Source;
use crate::store::{self, Disk, Lock, StoreError};

/// First lines of a new case file.
const HEAD: &str = "\
# The record of a job, kept by palinode. It may be edited by hand, too: one fact a line, remarks
# after a number sign; what the program does not know stays where it is. Ids are never given twice.

";

/// A value to be written.
#[derive(Clone, Debug, PartialEq)]
pub enum Field {
    /// A text.
    Text(String),
    /// A day.
    Day(Day),
    /// A whole number.
    Number(i64),
    /// A list of short texts on one line.
    List(Vec<String>),
    /// A list of texts, one a line.
    Lines(Vec<String>),
}

impl Field {
    fn value(&self) -> Value {
        match self {
            Self::Text(text) => quoted(text),
            Self::Day(day) => Datetime {
                date: Some(Date {
                    year: day.year(),
                    month: day.month(),
                    day: day.day(),
                }),
                time: None,
                offset: None,
            }
            .into(),
            Self::Number(number) => (*number).into(),
            Self::List(list) => list.iter().map(|it| quoted(it)).collect::<Array>().into(),
            Self::Lines(lines) => {
                let mut array: Array = lines.iter().map(|it| quoted(it)).collect();
                one_a_line(&mut array);
                array.into()
            }
        }
    }
}

/// A text as TOML writes it; what a terminal would act upon is written as an escape, so that the
/// file can be looked at with anything.
fn quoted(text: &str) -> Value {
    let acts = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(
                c,
                '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
            )
    };
    if !text.chars().any(acts) {
        return text.into();
    }
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if acts(c) => out.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out.parse().unwrap_or_else(|_| text.into())
}

fn one_a_line(array: &mut Array) {
    for value in array.iter_mut() {
        value.decor_mut().set_prefix("\n  ");
        value.decor_mut().set_suffix("");
    }
    if !array.is_empty() {
        array.set_trailing_comma(true);
        array.set_trailing("\n");
    }
}

/// Why a case file was not changed.
#[derive(Debug, thiserror::Error)]
pub enum EditError<E> {
    /// It cannot be read, or is damaged.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// It cannot be written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The change itself was refused.
    #[error("refused")]
    Refused(E),
    /// With the change the file could not be read any more.
    #[error("{}", text.name)]
    Broken {
        /// The file as it would have been.
        text: Box<Source>,
        /// What would be wrong with it.
        diagnostics: Vec<Diagnostic>,
    },
}

/// Who changes a case file, when, and with which command.
#[derive(Clone, Debug)]
pub struct Editor {
    /// Moment of the change.
    pub at: Moment,
    /// Who: initials will do.
    pub who: Option<String>,
    /// The command: `observe`.
    pub did: &'static str,
}

/// A case file under change.
pub struct Draft {
    document: DocumentMut,
    case: Case,
    /// Ids made or changed.
    touched: Vec<String>,
    /// Whether anything was changed.
    changed: bool,
}

/// Reads a case file, changes it, and puts the new version in its place. Others who would write wait
/// meanwhile. Where `change` touches nothing, nothing is written.
///
/// # Errors
/// When any step fails; then the file is as it was.
pub fn edit<D: Disk, T, E>(
    disk: &D,
    path: &Path,
    editor: &Editor,
    change: impl FnOnce(&mut Draft, &CaseFile) -> Result<T, E>,
) -> Result<T, EditError<E>> {
    // A case that is not there, or damaged, is told before anything is made beside it.
    super::file::load(path)?;
    let lock = Lock::take(path)?;
    let old = disk.read(path).map_err(|error| ReadError::Io {
        path: path.to_owned(),
        error,
    })?;
    let file = from_bytes(path, old.clone())?;
    let text = &file.source.text;
    let mut draft = Draft {
        document: text
            .parse()
            .map_err(|error: toml_edit::TomlError| ReadError::Damaged {
                text: Box::new(file.source.clone()),
                diagnostics: vec![super::read::not_toml(&error, text)],
            })?,
        case: file.case.clone(),
        touched: Vec::new(),
        changed: false,
    };
    let out = change(&mut draft, &file).map_err(EditError::Refused)?;
    if !draft.changed {
        return Ok(out);
    }
    draft.log(editor);
    let new = as_before(&draft.document.to_string(), text);
    if let Err(diagnostics) = parse(&new) {
        let name = format!("{} (as it would be)", path.display());
        return Err(EditError::Broken {
            text: Box::new(Source::new(name, new)),
            diagnostics,
        });
    }
    store::replace(disk, &lock, &old, new.as_bytes())?;
    Ok(out)
}

/// Makes a case file that is not there yet.
///
/// # Errors
/// [`StoreError::Exists`] when there is one; else when it cannot be written or would not be readable.
pub fn start<D: Disk>(
    disk: &D,
    path: &Path,
    editor: &Editor,
    object: &[(&str, Field)],
) -> Result<(), EditError<std::convert::Infallible>> {
    let mut document = DocumentMut::new();
    document.insert("palinode", toml_edit::value(FORMAT));
    let mut table = Table::new();
    for (key, field) in object {
        table.insert(key, Item::Value(field.value()));
    }
    document.insert("object", Item::Table(table));
    let mut draft = Draft {
        document,
        case: Case::default(),
        touched: Vec::new(),
        changed: true,
    };
    draft.log(editor);
    let new = format!("{HEAD}{}", draft.document);
    if let Err(diagnostics) = parse(&new) {
        let name = format!("{} (as it would be)", path.display());
        return Err(EditError::Broken {
            text: Box::new(Source::new(name, new)),
            diagnostics,
        });
    }
    if path.symlink_metadata().is_ok() {
        return Err(StoreError::Exists {
            path: path.to_owned(),
        }
        .into());
    }
    let lock = Lock::take(path)?;
    store::create(disk, &lock, new.as_bytes())?;
    Ok(())
}

/// Line ends and byte-order mark as the file had them: the writer of TOML knows plain line feeds
/// only. In a file with both sorts of line ends, plain ones are written.
fn as_before(new: &str, old: &str) -> String {
    let lines = old.matches('\n').count();
    let mut out = if lines > 0 && old.matches("\r\n").count() == lines {
        // Within a text of several lines they stand as they were.
        new.replace("\r\n", "\n").replace('\n', "\r\n")
    } else {
        new.to_owned()
    };
    if old.starts_with('\u{feff}') && !out.starts_with('\u{feff}') {
        out.insert(0, '\u{feff}');
    }
    out
}

impl Draft {
    /// The case as it was read.
    #[must_use]
    pub const fn case(&self) -> &Case {
        &self.case
    }

    /// Adds an entry with a new id, which it returns.
    pub fn add(&mut self, section: Section, fields: &[(&str, Field)]) -> String {
        self.add_before(section, None, fields)
    }

    /// The same, before an entry of that section; behind the last where there is no such entry.
    pub fn add_before(
        &mut self,
        section: Section,
        before: Option<&str>,
        fields: &[(&str, Field)],
    ) -> String {
        let id = self.next_id(section);
        let mut table = Table::new();
        table.insert("id", Item::Value(id.as_str().into()));
        for (key, field) in fields {
            table.insert(key, Item::Value(field.value()));
        }
        let place = self.place_for(section);
        let item = self
            .document
            .entry(section.key())
            .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
        if let Some(list) = item.as_array_of_tables_mut() {
            let at = list
                .iter()
                .position(|it| before.is_some() && it.get("id").and_then(Item::as_str) == before);
            match at {
                Some(at) => {
                    // Of two tables at one place the one that comes first in the list is written
                    // first.
                    table.set_position(list.get(at).and_then(Table::position));
                    list.insert(at, table);
                }
                None => {
                    if list.is_empty() {
                        table.set_position(place);
                    }
                    list.push(table);
                }
            }
        }
        self.touched.push(id.clone());
        self.changed = true;
        id
    }

    /// Sets fields of an entry; what stands there already is replaced, its remark stays. Returns
    /// whether the entry is there.
    pub fn set(&mut self, section: Section, id: &str, fields: &[(&str, Field)]) -> bool {
        let tables = self
            .document
            .get_mut(section.key())
            .and_then(Item::as_array_of_tables_mut);
        let table = tables.and_then(|tables| {
            tables
                .iter_mut()
                .find(|it| it.get("id").and_then(Item::as_str) == Some(id))
        });
        let Some(table) = table else { return false };
        let mut changed = false;
        for (key, field) in fields {
            changed |= put(table, key, field);
        }
        if changed && !self.touched.iter().any(|it| it == id) {
            self.touched.push(id.to_owned());
        }
        self.changed |= changed;
        true
    }

    /// Sets fields of the object.
    pub fn object(&mut self, fields: &[(&str, Field)]) {
        if let Some(table) = self
            .document
            .get_mut("object")
            .and_then(Item::as_table_like_mut)
        {
            for (key, field) in fields {
                self.changed |= put(table, key, field);
            }
        }
    }

    /// The next id of a section: above every number that any entry has or, by the log, ever had.
    fn next_id(&self, section: Section) -> String {
        let letter = section.letter();
        let ids = self.case.ids();
        let held = ids.iter().map(|(id, _, _)| *id);
        let logged = self.case.changes.iter().flat_map(|it| &it.ids);
        let highest = held
            .chain(logged.map(String::as_str))
            .chain(self.touched.iter().map(String::as_str))
            .filter_map(|id| id.strip_prefix(letter)?.parse::<u32>().ok())
            .max()
            .unwrap_or(0);
        format!("{letter}{}", highest.saturating_add(1))
    }

    /// Where the first entry of a section goes: behind the last table of the sections before it.
    fn place_for(&self, section: Section) -> Option<isize> {
        let before = Section::ALL
            .iter()
            .take_while(|it| **it != section)
            .map(|it| it.key());
        std::iter::once("object")
            .chain(before)
            .filter_map(|key| self.document.get(key))
            .filter_map(last_position)
            .max()
            .or(Some(0))
    }

    fn log(&mut self, editor: &Editor) {
        let end = self
            .document
            .iter()
            .filter_map(|(_, it)| last_position(it))
            .max();
        let log = self.document.entry("log").or_insert_with(|| {
            let mut table = Table::new();
            table.set_position(Some(end.unwrap_or(0).saturating_add(1)));
            Item::Table(table)
        });
        let Some(table) = log.as_table_like_mut() else {
            return;
        };
        let changes = table
            .entry("changes")
            .or_insert_with(|| Item::Value(Array::new().into()));
        let Some(array) = changes.as_array_mut() else {
            return;
        };
        let mut change = InlineTable::new();
        change.insert("at", editor.at.to_string().into());
        if let Some(who) = &editor.who {
            change.insert("who", quoted(who));
        }
        change.insert("did", editor.did.into());
        if !self.touched.is_empty() {
            let ids: Array = self.touched.iter().map(String::as_str).collect();
            change.insert("ids", ids.into());
        }
        let mut change = Value::InlineTable(change);
        change.decor_mut().set_prefix("\n  ");
        array.push_formatted(change);
        array.set_trailing_comma(true);
        if !array.trailing().as_str().is_some_and(|t| t.ends_with('\n')) {
            array.set_trailing("\n");
        }
    }
}

/// Sets one key; returns whether that changes anything.
fn put(table: &mut dyn toml_edit::TableLike, key: &str, field: &Field) -> bool {
    let mut value = field.value();
    let Some(item) = table.get_mut(key) else {
        table.insert(key, Item::Value(value));
        return true;
    };
    if let Some(old) = item.as_value() {
        if same(old, &value) {
            return false;
        }
        *value.decor_mut() = old.decor().clone();
    }
    *item = Item::Value(value);
    true
}

/// Whether two values say the same, however they are written.
fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::String(a), Value::String(b)) => a.value() == b.value(),
        (Value::Integer(a), Value::Integer(b)) => a.value() == b.value(),
        (Value::Datetime(a), Value::Datetime(b)) => a.value() == b.value(),
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b.iter()).all(|(a, b)| same(a, b))
        }
        _ => false,
    }
}

/// The place of the last table within an item.
fn last_position(item: &Item) -> Option<isize> {
    fn of_table(table: &Table) -> Option<isize> {
        let inner = table.iter().filter_map(|(_, it)| last_position(it)).max();
        table.position().max(inner)
    }
    match item {
        Item::Table(table) => of_table(table),
        Item::ArrayOfTables(tables) => tables.iter().filter_map(of_table).max(),
        Item::None | Item::Value(_) => None,
    }
}
