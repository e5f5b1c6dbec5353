//! Answer to `compare`.

use super::{Reason, Rung, Shown};
use crate::model::Kind;
use crate::model::scene::Described;

/// Things side by side.
#[derive(Clone, Debug)]
pub struct Compare {
    /// What is compared.
    pub things: Vec<Thing>,
    /// Layers that the question is asked for, top down.
    pub on: Vec<Described>,
    /// One row a property.
    pub rows: Vec<Compared>,
}

/// One of the things compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Thing {
    /// Kind of record.
    pub kind: Kind,
    /// Id.
    pub id: String,
    /// Name, with its age where a note narrows it.
    pub called: String,
}

/// One property of all things.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The property.
    pub by: String,
    /// One cell a thing, in their order.
    pub cells: Vec<Cell>,
}

/// One property of one thing.
#[derive(Clone, Debug)]
pub enum Cell {
    /// What the record states; one empty value where it is silent.
    Stated(Vec<Shown>),
    /// How it would come off this object: live steps mildest first, how many ways are ruled out, and
    /// why it may be left.
    Removal {
        /// Live steps, each passed by the gate.
        steps: Vec<Rung>,
        /// Ways ruled out.
        ruled_out: usize,
        /// Why it may be best to leave it.
        leave: Option<Reason>,
    },
}
