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
    /// How much of a record that was asked for by name.
    pub extent: Extent,
    /// Of a test that was asked for by name, which materials are on record with which outcome.
    pub answers: Vec<Answered>,
}

impl Find {
    /// Whether it names what it rests on by keys alone: a record at a glance, that is not such a source itself.
    #[must_use]
    pub fn is_of_keys(&self) -> bool {
        let source = |it: &Match| it.kind == Kind::Source;
        self.extent == Extent::Brief && !self.matches.iter().any(source)
    }
}

/// Materials of which one outcome of a test is recorded, and no other at that age.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answered {
    /// The outcome.
    pub outcome: String,
    /// Names of the materials, in the order of their ids.
    pub materials: Vec<String>,
}

/// How much is told of a record.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Extent {
    /// Of each of several, what was asked to be shown.
    #[default]
    Listed,
    /// Of one that was asked for by name, what was asked to be shown.
    Asked,
    /// All that is on file, to be read at a glance: a line a field, notes left out.
    Brief,
    /// All that is on file, with its notes and sources.
    Whole,
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
#[derive(Clone, Debug, Default)]
pub struct Shown {
    /// Of which of several groups of facts of a record, such as `aged`; empty where there is but one.
    pub group: String,
    /// Field.
    pub field: String,
    /// Value as text; empty when unrecorded.
    pub text: String,
    /// What the record adds to the value in words; may be empty.
    pub note: String,
    /// Basis in one word; empty when unrecorded.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the fact stands; none when unrecorded.
    pub place: Option<Place>,
}

impl Shown {
    /// The field with its group before it.
    #[must_use]
    pub fn called(&self) -> String {
        match self.group.as_str() {
            "" => self.field.clone(),
            group => format!("{group} {}", self.field),
        }
    }

    /// The value with what the record adds to it.
    #[must_use]
    pub fn whole(&self) -> String {
        format!("{}{}", self.text, self.note)
    }
}
