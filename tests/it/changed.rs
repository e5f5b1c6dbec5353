//! The corpus of the program with something in it changed.

use std::sync::Arc;

use palinode::embedded;
use palinode::model::reagent::Reagents;
use palinode::model::speech::Speech;
use palinode::model::{Equipment, Kind, Library, Named, Record, Table};

/// Changes the record with a number.
type Change = Box<dyn Fn(usize, &mut Record)>;

/// The same corpus, but for what is given here.
#[derive(Default)]
pub(crate) struct Changed {
    /// Another table of responses.
    pub(crate) table: Option<Table>,
    /// Other means of taking something off.
    pub(crate) equipment: Option<Arc<Equipment>>,
    /// What becomes of a record as it is read.
    pub(crate) record: Option<Change>,
}

impl Library for Changed {
    fn count(&self, kind: Kind) -> usize {
        embedded().count(kind)
    }
    fn record(&self, kind: Kind, index: usize) -> Option<Record> {
        let mut record = embedded().record(kind, index)?;
        if let Some(change) = &self.record {
            change(index, &mut record);
        }
        Some(record)
    }
    fn position(&self, kind: Kind, id: &str) -> Option<usize> {
        embedded().position(kind, id)
    }
    fn table(&self) -> &Table {
        self.table.as_ref().unwrap_or_else(|| embedded().table())
    }
    fn names(&self) -> &[Named] {
        embedded().names()
    }
    fn speech(&self) -> &Speech {
        embedded().speech()
    }
    fn reagents(&self) -> &Reagents {
        embedded().reagents()
    }
    fn vocabulary(&self) -> &[(String, String, String)] {
        embedded().vocabulary()
    }
    fn version(&self) -> &str {
        embedded().version()
    }
    fn id(&self, kind: Kind, index: usize) -> Option<&str> {
        embedded().id(kind, index)
    }
    fn equipment(&self) -> Arc<Equipment> {
        self.equipment
            .clone()
            .unwrap_or_else(|| embedded().equipment())
    }
}
