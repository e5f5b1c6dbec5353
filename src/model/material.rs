//! A restoration material: what liquids and tests do to it, how often it is met, what it is taken for,
//! and how it comes off.

use serde::{Deserialize, Serialize};

use super::fact::{Basis, Fact, Facts, Place};
use super::record::Head;
use super::words::{Custom, Effect, Group, Hazard, Met, Order, Purpose, Response, Role, Site};

/// Old or new restoration material.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Material {
    /// Id, names, facts.
    pub head: Head,
    /// What it serves as.
    pub roles: Vec<Role>,
    /// Family id.
    pub family: String,
    /// Ids of the parts of a mixture or two-layer system.
    pub made_of: Vec<String>,
    /// Where it is met, if narrower than its roles say.
    pub sites: Vec<Site>,
    /// What liquids and tests do to it when fresh, keyed by liquid or test id.
    pub fresh: Facts,
    /// The same when aged.
    pub aged: Facts,
    /// The same at either age.
    pub always: Facts,
    /// How often it is met, as what and on what.
    pub met: Vec<Meeting>,
    /// What it is taken for in new work, and what not any more.
    pub new: Vec<NewUse>,
    /// How it is taken off, in the trade's order.
    pub removal: Vec<Route>,
}

/// Age of a material, for what it answers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Age {
    /// Within a few years of application.
    Fresh,
    /// Decades old.
    Aged,
}

impl Age {
    /// Both ages.
    pub const BOTH: [Self; 2] = [Self::Fresh, Self::Aged];

    /// `fresh` or `aged`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Fresh => "fresh",
            Self::Aged => "aged",
        }
    }

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Fresh => Self::Aged,
            Self::Aged => Self::Fresh,
        }
    }
}

impl Material {
    /// What is recorded for a liquid or test at an age. A statement for that age outranks one for
    /// either age; the other age never stands in for it.
    #[must_use]
    pub fn response(&self, age: Age, key: &str) -> &[Fact] {
        let own = match age {
            Age::Fresh => self.fresh.get(key),
            Age::Aged => self.aged.get(key),
        };
        if own.is_empty() {
            self.always.get(key)
        } else {
            own
        }
    }

    /// What is recorded for a test at an age: its answers, or the fact that the test reads.
    #[must_use]
    pub fn shown(&self, age: Age, test: &str, reads: Option<&str>) -> &[Fact] {
        match reads {
            Some(key) => self.head.facts.get(key),
            None => self.response(age, test),
        }
    }

    /// What a liquid is recorded to do at an age, each reading with the fact that states it: sources
    /// that disagree are all told.
    #[must_use]
    pub fn readings(&self, age: Age, key: &str) -> Vec<(Response, &Fact)> {
        self.response(age, key)
            .iter()
            .flat_map(|fact| {
                fact.words()
                    .iter()
                    .filter_map(move |w| Response::parse(w).map(|r| (r, fact)))
            })
            .collect()
    }

    /// Hazards recorded for the material itself.
    #[must_use]
    pub fn hazards(&self) -> Vec<Hazard> {
        self.head
            .facts
            .words("hazards")
            .into_iter()
            .filter_map(Hazard::parse)
            .collect()
    }
}

/// How often a material is met as an old restoration, as what and on what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Meeting {
    /// How often.
    pub met: Met,
    /// As what; empty for all that it serves as.
    pub roles: Vec<Role>,
    /// On what groups of layer; empty for any.
    pub groups: Vec<Group>,
    /// Where it comes from.
    pub basis: Basis,
    /// A short remark.
    pub note: Option<String>,
    /// File and line.
    pub place: Place,
}

/// Whether the trade takes a material for new work, as what and on what.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NewUse {
    /// Usual, sometimes, or refused.
    pub custom: Custom,
    /// As what; empty for all that it serves as.
    pub purposes: Vec<Purpose>,
    /// Groups of layer, traits, conditions or layer ids for which it holds; empty for any.
    pub on: Vec<String>,
    /// Where it comes from.
    pub basis: Basis,
    /// Why it is taken, or refused.
    pub why: Option<String>,
    /// File and line.
    pub place: Place,
}

/// One way of taking a material off.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Route {
    /// Place in the order of trial.
    pub order: Order,
    /// Agent id; none for dry methods.
    pub agent: Option<String>,
    /// Method id, if one is meant.
    pub method: Option<String>,
    /// Layer traits or sites for which the route holds; empty for any.
    pub on: Vec<String>,
    /// Groups of layer, traits or layer ids: where one that it meets is none of them, neither the route nor
    /// anything else that brings its agent is taken for this material; empty for no such limit.
    pub only: Vec<String>,
    /// What to expect; none for a route that fails.
    pub effect: Option<Effect>,
    /// Where it comes from.
    pub basis: Basis,
    /// A short remark.
    pub note: Option<String>,
    /// File and line.
    pub place: Place,
}
