//! What `explain` adds to an answer, at three depths.

use crate::model::Place;

/// How the query is run, how its answer follows, or what emptied it.
#[derive(Clone, Debug)]
pub enum Explanation {
    /// The stages of the query, in order.
    Plan(Vec<Stage>),
    /// Claims of the answer, each with its grounds.
    Derivation(Vec<Claim>),
    /// What the answer holds as it is asked, and its clauses, each with what it would hold without
    /// it.
    Empty {
        /// As it is asked.
        now: String,
        /// The clauses.
        clauses: Vec<Clause>,
    },
}

/// One stage of a query.
#[derive(Clone, Debug)]
pub struct Stage {
    /// What it is called.
    pub stage: String,
    /// What it does here.
    pub does: String,
}

/// Something that the answer says.
#[derive(Clone, Debug)]
pub struct Claim {
    /// In words.
    pub says: String,
    /// What it rests on.
    pub because: Vec<Ground>,
}

/// A ground of a claim.
#[derive(Clone, Debug)]
pub struct Ground {
    /// In words.
    pub says: String,
    /// Basis, weakest first; empty where nothing is recorded.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the facts stand.
    pub places: Vec<Place>,
}

/// A clause, and the answer without it.
#[derive(Clone, Debug)]
pub struct Clause {
    /// As typed.
    pub clause: String,
    /// What the answer holds by this clause alone, where that can be said: how many records.
    pub alone: Option<usize>,
    /// What the answer would hold without it.
    pub without: String,
    /// Whether the answer would hold more without it.
    pub helps: bool,
}
