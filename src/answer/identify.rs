//! Answer to `identify`: what it may be, what speaks for it, and what to test next.

use super::{Entry, Fork, Likely, NextTest, Rivals, Stop};
use crate::gate::{ProposedTest, Refused};
use crate::model::scene::Posterior;
use crate::model::{Hazard, Place, Role};

/// What the evidence allows to be said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Conclusion {
    /// One material leads clearly.
    Material(String),
    /// Its family leads, its members cannot be told apart.
    Family(String),
    /// Not enough to say.
    NotEnough,
    /// Observations contradict one another or every record.
    Contradicts,
}

/// Answer to `identify`.
#[derive(Clone, Debug)]
pub struct Identify {
    /// What may be said.
    pub conclusion: Conclusion,
    /// Candidates, most probable first.
    pub candidates: Vec<Candidate>,
    /// Families, most probable first.
    pub families: Vec<FamilyShare>,
    /// Probability that it is none of the corpus's materials.
    pub none_of_these: f64,
    /// Hazards that no clean negative test has excluded.
    pub hazards: Vec<HazardLeft>,
    /// Tests to do next, best first.
    pub next_tests: Vec<NextTest>,
    /// Why testing may end here, if it may.
    pub stop: Option<Stop>,
    /// A sequence of tests with what would be concluded, unless testing may end.
    pub sequence: Option<Fork>,
    /// Tests that would tell much, but that the gate refused.
    pub refused_tests: Vec<Refused<ProposedTest>>,
    /// The two strongest rivals, and the test that parts them.
    pub rivals: Option<Rivals>,
    /// What may lie over it as a skin, where that became likelier by what was seen.
    pub skins: Vec<Skin>,
    /// What is not recorded of the leading candidates.
    pub unrecorded: Vec<Unrecorded>,
    /// Observations that contradict one another.
    pub contradictions: Vec<String>,
    /// Observations without which another candidate would lead.
    pub hinges: Vec<Hinge>,
    /// For the next statement.
    pub posterior: Posterior,
}

/// A skin over the unknown: two layers in place of one.
#[derive(Clone, Debug, PartialEq)]
pub struct Skin {
    /// Dirt, wax or oil.
    pub name: &'static str,
    /// Probability of it before any test.
    pub prior: f64,
    /// Probability that it lies there.
    pub probability: f64,
    /// What most probably lies beneath, with the probability of the two together.
    pub over: Likely,
}

/// Candidates of which a page tells what quarrels with their records.
pub const QUARRELS_TOLD: usize = 3;

/// A material that it may be.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Roles.
    pub roles: Vec<Role>,
    /// Family id.
    pub family: String,
    /// Family name.
    pub family_name: String,
    /// Probability.
    pub probability: f64,
    /// Probability before the observations.
    pub prior: f64,
    /// Evidence, in the order of the observations.
    pub evidence: Vec<Evidence>,
    /// Observations that the records do not expect of it.
    pub contradictions: Vec<String>,
}

/// What one observation says for or against a candidate.
#[derive(Clone, Debug)]
pub struct Evidence {
    /// As typed.
    pub observation: String,
    /// Weight in decibels; prior odds and all weights add up to the final odds.
    pub weight_db: f64,
    /// What the records expect; empty where a page does not tell it.
    pub expected: String,
    /// Basis of the records, weakest first.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the facts stand.
    pub places: Vec<Place>,
}

/// Probability of a family.
#[derive(Clone, Debug)]
pub struct FamilyShare {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Sum over its members.
    pub probability: f64,
}

/// A hazard not excluded.
#[derive(Clone, Debug)]
pub struct HazardLeft {
    /// Hazard.
    pub hazard: Hazard,
    /// Probability of the materials that carry it.
    pub probability: f64,
    /// Test that would exclude it.
    pub test: Option<Entry>,
}

/// An observation on which the order of the first two hangs: were it wrong, another would lead.
#[derive(Clone, Debug)]
pub struct Hinge {
    /// As typed.
    pub observation: String,
    /// Who would lead without it.
    pub leader: Entry,
    /// With what probability.
    pub probability: f64,
}

/// An observation on which the corpus is silent for a candidate.
#[derive(Clone, Debug)]
pub struct Unrecorded {
    /// Candidate's name.
    pub candidate: String,
    /// Observation.
    pub observation: String,
}
