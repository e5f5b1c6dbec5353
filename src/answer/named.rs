//! Records as an answer names them.

use crate::model::{Head, Table};

/// A record, by its id and its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
}

/// A material, with the probability that it is the one in question.
#[derive(Clone, Debug, PartialEq)]
pub struct Likely {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// 0 to 1.
    pub probability: f64,
}

/// A liquid of a blend.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Share by volume, 0 to 1.
    pub share: f64,
}

impl Entry {
    /// The record with this head.
    #[must_use]
    pub fn of(head: &Head) -> Self {
        Self {
            id: head.id.clone(),
            name: head.names.name.clone(),
        }
    }

    /// The material of a row of the table.
    #[must_use]
    pub fn of_row(table: &Table, material: usize) -> Self {
        Self {
            id: table.ids.get(material).to_owned(),
            name: table.names.get(material).to_owned(),
        }
    }
}

impl Likely {
    /// The record with its probability.
    #[must_use]
    pub fn new(Entry { id, name }: Entry, probability: f64) -> Self {
        Self {
            id,
            name,
            probability,
        }
    }
}

impl Part {
    /// The liquid with its share.
    #[must_use]
    pub fn new(Entry { id, name }: Entry, share: f64) -> Self {
        Self { id, name, share }
    }
}
