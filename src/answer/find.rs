//! Answer to `find`: the records that match, those of which too little is recorded, and values.

use crate::model::{Kind, Place};

/// Answer to `find`.
#[derive(Clone, Debug, Default)]
pub struct Find {
    /// Records that match, best first.
    pub matches: Vec<Match>,
    /// Records that match by count, before any limit; of those found by text at most 10 000 are counted.
    pub total: usize,
    /// Records of which the corpus does not say enough to tell.
    pub undetermined: Vec<Match>,
    /// How many such records there are.
    pub undetermined_total: usize,
    /// Conditions on which records are silent, with how many of them.
    pub silent: Vec<Silent>,
    /// Fields shown beside the name.
    pub shown: Vec<String>,
}

/// A condition of which some records say nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Silent {
    /// As typed.
    pub condition: String,
    /// Records of the kind asked for that are silent.
    pub records: usize,
}

/// One record found.
#[derive(Clone, Debug)]
pub struct Match {
    /// Kind.
    pub kind: Kind,
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// One line that says what it is.
    pub summary: String,
    /// Values of the fields shown, with their basis.
    pub values: Vec<Shown>,
}

/// A value shown beside a record.
#[derive(Clone, Debug)]
pub struct Shown {
    /// Field.
    pub field: String,
    /// Value as text; empty when unrecorded.
    pub text: String,
    /// Basis in one word; empty when unrecorded.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the fact stands; none when unrecorded.
    pub place: Option<Place>,
}
