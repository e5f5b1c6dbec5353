//! Answer to `remove`: the ladder of steps, what is ruled out and why, and what stays unknown.

use super::{Call, Entry, Likely, Reason};
use crate::gate::Passed;
use crate::model::scene::{Described, Step};
use crate::model::{Basis, Fact, Hazard, Place, Verdict};

/// Answer to `remove`.
#[derive(Clone, Debug)]
pub struct Remove {
    /// What is to come off.
    pub target: Vec<Likely>,
    /// Layers that must survive, top down.
    pub layers: Vec<Described>,
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

/// What is said of the effect of a way that is kept to other layers: of these nothing is recorded.
pub const NOT_HERE: &str = "not recorded";

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
    /// On what the verdict rests.
    pub footing: Footing,
    /// Where the fact stands; none for a rule, a trial, or what is unrecorded.
    pub place: Option<Place>,
}

/// On what a verdict on a layer rests.
#[derive(Clone, Debug, PartialEq)]
pub enum Footing {
    /// On nothing: it is not recorded.
    NotRecorded,
    /// On a trial on this object.
    Trial,
    /// On a record or a rule.
    Record(Basis),
}

impl Footing {
    /// That of a fact, where there is one.
    #[must_use]
    pub fn of(fact: Option<&Fact>) -> Self {
        fact.map_or(Self::NotRecorded, |fact| Self::Record(fact.basis.clone()))
    }

    /// One word for tables and data; empty where nothing is recorded.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::NotRecorded => "",
            Self::Trial => TRIED,
            Self::Record(basis) => basis.word(),
        }
    }

    /// The basis of a record or a rule.
    #[must_use]
    pub const fn basis(&self) -> Option<&Basis> {
        match self {
            Self::Record(basis) => Some(basis),
            Self::NotRecorded | Self::Trial => None,
        }
    }

    /// The same, where a trial, or that nothing is recorded, counts as practice.
    #[must_use]
    pub fn or_practice(&self) -> Basis {
        self.basis().cloned().unwrap_or(Basis::Practice)
    }

    /// Key of its source, as a list of one or of none.
    #[must_use]
    pub fn sources(&self) -> Vec<String> {
        self.basis().map(Basis::sources).unwrap_or_default()
    }
}

/// Basis of what was seen on this object.
pub const TRIED: &str = "tried";

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
        /// The milder one, on the ladder if one that does as much stands there.
        by: Vec<Entry>,
    },
    /// It is recorded to act on too little of what this may be.
    ActsOnLittle,
    /// A liquid of the same class was seen to harm a layer here, and this one was not tried on it.
    KinHarmed {
        /// The liquid that did.
        by: Entry,
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
    /// Method; none when no method with this agent is left.
    pub method: Option<Entry>,
    /// Agent; none for a dry method.
    pub agent: Option<Entry>,
    /// What it would have done to the unknown, in one word.
    pub effect: String,
    /// Layers that it harms, and rules that it breaks.
    pub harm: Vec<LayerHarm>,
}
