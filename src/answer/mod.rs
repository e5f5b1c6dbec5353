//! Typed answers: plain data with evidence, verdicts and sources. What an answer tells someone to
//! do is a [`Passed`], which only the gate can make.

mod bench;
pub mod blend;
mod choose;
mod compare;
mod explanation;
mod next;

use crate::gate::{Passed, ProposedTest, Refused};
use crate::model::scene::{Posterior, Step};
pub use bench::{
    AgainstLimit, AirNeeded, BufferSeen, Burden, Dissolving, Fire, GelSeen, InAir, LimitSeen, Line,
    Prepare, Recipe, Ventilate,
};
pub use blend::Blend;
pub use choose::{
    Choice, Choose, Coats, JoinLoad, Lost, Mark, Outlook, Pair, Reversal, Rule, UNRECORDED,
};
pub use compare::{Cell, Compare, Compared};
pub use explanation::{Claim, Clause, Explanation, Ground, Stage};
pub use next::{Branch, End, Fork, Leaf, NextTest, Offer, Rivals, Separator, Stop, Then};

use crate::model::{Basis, Hazard, Kind, Place, Role, Source, Verdict};

/// An answer with what every answer carries.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The statement's own part.
    pub body: Body,
    /// The query in canonical form.
    pub query: String,
    /// Remarks on how the query was read.
    pub notes: Vec<String>,
    /// Cautions for whoever acts on it.
    pub cautions: Vec<String>,
    /// Sources that it rests on, sorted by key.
    pub sources: Vec<Source>,
    /// Version of the corpus.
    pub corpus_version: String,
    /// Edition of the language.
    pub edition: u32,
    /// What `explain` asked for.
    pub explanation: Option<Explanation>,
}

/// What a statement answers.
#[derive(Clone, Debug)]
pub enum Body {
    /// `find`
    Find(Find),
    /// `identify`
    Identify(Box<Identify>),
    /// `remove`
    Remove(Box<Remove>),
    /// `compare`
    Compare(Compare),
    /// `choose`
    Choose(Box<Choose>),
    /// `blend`
    Blend(Box<Blend>),
    /// `prepare`
    Prepare(Box<Prepare>),
    /// `ventilate`
    Ventilate(Box<Ventilate>),
}

impl Body {
    /// The statement's verb.
    #[must_use]
    pub const fn statement(&self) -> &'static str {
        match self {
            Self::Find(_) => "find",
            Self::Identify(_) => "identify",
            Self::Remove(_) => "remove",
            Self::Compare(_) => "compare",
            Self::Choose(_) => "choose",
            Self::Blend(_) => "blend",
            Self::Prepare(_) => "prepare",
            Self::Ventilate(_) => "ventilate",
        }
    }
}

/// How an answer stands, for the exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Answered.
    Answered,
    /// Answered: nothing matched.
    Nothing,
    /// Facts are missing.
    Undetermined,
}

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
    /// Roles that were asked for; empty for any.
    pub roles: Vec<Role>,
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
    /// What most probably lies beneath: id, name, probability of the two together.
    pub over: (String, String, f64),
}

/// A material that it may be.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// Number in the table.
    pub index: usize,
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
    /// What the records expect.
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
    /// Test that would exclude it, by id and name.
    pub test: Option<(String, String)>,
}

/// An observation on which the order of the first two hangs: were it wrong, another would lead.
#[derive(Clone, Debug)]
pub struct Hinge {
    /// As typed.
    pub observation: String,
    /// Who would lead without it: id and name.
    pub leader: (String, String),
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

/// Answer to `remove`.
#[derive(Clone, Debug)]
pub struct Remove {
    /// What is to come off: id, name, probability.
    pub target: Vec<(String, String, f64)>,
    /// Layers that must survive, top down: id, name as called, conditions.
    pub layers: Vec<(String, String, Vec<String>)>,
    /// What comes before any step: question of origin, support, tests.
    pub before: Vec<Preliminary>,
    /// Live steps, mildest first.
    pub ladder: Vec<Rung>,
    /// Steps ruled out, each with its reasons.
    pub ruled_out: Vec<RuledOut>,
    /// Liquids that are recorded to do nothing to it, by name: a hand need not try them.
    pub idle: Vec<Idle>,
    /// Liquids and dry methods that nothing forbids and that are not offered, by id.
    pub held_back: Vec<HeldBack>,
    /// Liquids that are offered in some step, on the ladder or not, by id.
    pub live_agents: Vec<String>,
    /// Why it may be best to leave it, if so.
    pub leave: Option<Reason>,
    /// What is not recorded, and the test on the object that would settle it.
    pub gaps: Vec<String>,
    /// How many live steps there were before the ladder was cut to its rungs.
    pub considered: usize,
    /// Plans that follow, in turn: for the secured layers, or for what lies beneath and comes off
    /// next.
    pub next: Vec<Remove>,
    /// When this plan holds, if not at once.
    pub after: Option<String>,
}

impl Remove {
    /// A plan of nothing.
    #[must_use]
    pub fn empty() -> Self {
        Self {
            target: Vec::new(),
            layers: Vec::new(),
            before: Vec::new(),
            ladder: Vec::new(),
            ruled_out: Vec::new(),
            idle: Vec::new(),
            held_back: Vec::new(),
            live_agents: Vec::new(),
            leave: None,
            gaps: Vec::new(),
            considered: 0,
            next: Vec::new(),
            after: None,
        }
    }
}

/// Something to settle first.
#[derive(Clone, Debug)]
pub struct Preliminary {
    /// What to do.
    pub what: String,
    /// Why.
    pub why: String,
    /// Basis.
    pub basis: Basis,
}

/// A reason with its basis.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// In words.
    pub text: String,
    /// Basis.
    pub basis: Basis,
}

/// Whether a live step is recommended or must be tested first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Call {
    /// Recommended, after the usual test patch.
    Recommended,
    /// Only after a test on this object.
    TestFirst,
}

impl Call {
    /// The word in tables and data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Recommended => "recommended",
            Self::TestFirst => "test-first",
        }
    }
}

/// A live step of the ladder.
#[derive(Clone, Debug)]
pub struct Rung {
    /// Place in the ladder, from 1.
    pub rank: usize,
    /// The step, passed by the gate.
    pub step: Passed<Step>,
    /// Recommended or test first.
    pub call: Call,
    /// What it is expected to do.
    pub effect: EffectSeen,
    /// What it does to each layer.
    pub harm: Vec<LayerHarm>,
    /// Why it is no more than a test, if so.
    pub reasons: Vec<Reason>,
    /// Contact time to start from, minutes.
    pub dwell_min: Option<(f64, f64)>,
    /// Contact time in words, as recorded.
    pub dwell: String,
    /// How many passes, as recorded; empty when it is not.
    pub passes: String,
    /// What comes after it: tools.
    pub then: Option<String>,
    /// What to look for: what depth and thickness ask, then what the method's record says first.
    pub watch: String,
    /// What else the method's record remarks; not for the bench, but for whoever plans.
    pub remarks: Vec<String>,
    /// Stop sign.
    pub stop: String,
    /// How it is cleared.
    pub clearance: String,
    /// What stays behind even so.
    pub residue: String,
    /// What to do when it does nothing or not enough.
    pub fails: String,
    /// Hazards to the person.
    pub hazards: Vec<Hazard>,
}

/// What a step is expected to do to the unknown.
#[derive(Clone, Debug)]
pub struct EffectSeen {
    /// Share of the posterior on which it is recorded to act.
    pub covers: f64,
    /// Share of the posterior of which the corpus does not say.
    pub unknown: f64,
    /// Of that share, what the sphere of the fresh resin holds: a hint for a crumb, no ground.
    pub computed: f64,
    /// What it does, in one word.
    pub response: String,
    /// Basis, weakest first.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the facts stand.
    pub places: Vec<Place>,
    /// Remarks of the records.
    pub notes: Vec<String>,
}

/// What a step does to one layer.
#[derive(Clone, Debug)]
pub struct LayerHarm {
    /// Layer as called.
    pub layer: String,
    /// Verdict; none when unrecorded.
    pub verdict: Option<Verdict>,
    /// Under a film that keeps the agent off.
    pub sheltered: bool,
    /// Reason.
    pub reason: String,
    /// Basis in one word; empty when unrecorded.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// The basis in full; none for a trial or what is unrecorded.
    pub ground: Option<Basis>,
    /// Where the fact stands; none for a rule, a trial, or what is unrecorded.
    pub place: Option<Place>,
}

/// A liquid, or a dry method, that nothing forbids and that a hand need not reach for as things stand.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldBack {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Why.
    pub why: Held,
}

/// Why something is held back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// A milder liquid does as much; it comes back once that one is `given` to have failed.
    MilderDoes {
        /// Id and name of the milder one, on the ladder if one that does as much stands there.
        by: Vec<(String, String)>,
    },
    /// It is recorded to act on too little of what this may be.
    ActsOnLittle,
    /// A liquid of the same class was seen to harm a layer here, and this one was not tried on it.
    KinHarmed {
        /// Id and name of the liquid that did.
        by: (String, String),
        /// The layer, as the user called it.
        layer: String,
    },
}

/// A liquid that is recorded to do nothing to what is to come off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Idle {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Basis, weakest first.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

/// A step ruled out.
#[derive(Clone, Debug)]
pub struct RuledOut {
    /// Stable id: `method/agent`, `*/agent`, or `method`.
    pub id: String,
    /// Method id and name; none when no method with this agent is left.
    pub method: Option<(String, String)>,
    /// Agent id and name.
    pub agent: Option<(String, String)>,
    /// What it would have done to the unknown, in one word.
    pub effect: String,
    /// Layers that it harms, and rules that it breaks.
    pub harm: Vec<LayerHarm>,
}

/// A text of one line, cut behind a word where it has more than `most` letters.
#[must_use]
pub fn shortened(text: &str, most: usize) -> String {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().count() <= most {
        return text;
    }
    let cut: String = text.chars().take(most).collect();
    let end = cut.rfind(' ').unwrap_or(cut.len());
    format!("{} …", cut[..end].trim_end_matches(','))
}

/// A probability (0 to 1) as a reader takes it in: whole percent, and what is not nought never as
/// nought.
#[must_use]
pub fn percent(p: f64) -> String {
    if p > 0.0 && p < 0.01 {
        "below 1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * p)
    }
}

/// Cautions that end every answer that tells someone to do something.
pub const CAUTIONS: &[&str] = &[
    "advice for a trained conservator: local regulation, safety data sheets and a licensed \
     practitioner's judgment come first",
    "test on an inconspicuous spot, shortest time first, and read it after full drying",
    "gloves for the agent in hand, extraction at the work, no flame, spark or hot tool near \
     solvent; swabs into a lidded metal bin",
];
