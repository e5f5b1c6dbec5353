//! Answer to `choose`: what may go in, why, and what the next conservator can do about it.

use super::{Entry, Reason, Rung};
use crate::gate::Passed;
use crate::model::order::Figure;
use crate::model::scene::{Described, Step};
use crate::model::{Criterion, Custom, Place, Purpose, Site, Verdict};

/// One coat over another, and what takes the upper off alone.
#[derive(Clone, Debug, PartialEq)]
pub struct Coats {
    /// The upper.
    pub upper: Entry,
    /// The lower.
    pub lower: Entry,
    /// The swab that takes the upper and leaves the lower, passed by the gate; none where nothing on
    /// record parts them.
    pub step: Option<Passed<Step>>,
    /// Bases of the two records, in words.
    pub basis: String,
}

/// Answer to `choose`.
#[derive(Clone, Debug)]
pub struct Choose {
    /// What it goes in as.
    pub purpose: Purpose,
    /// What the user called it.
    pub called: String,
    /// Layers of the one side, top down.
    pub layers: Vec<Described>,
    /// Layers of the other side of a join.
    pub to: Vec<Described>,
    /// Where it will sit.
    pub site: Site,
    /// Years for which it must be reversible, if asked.
    pub years: Option<f64>,
    /// Warmest day, Celsius.
    pub warmest: Figure,
    /// The load on the join.
    pub load: Option<JoinLoad>,
    /// Weights of the score, which add up to 100.
    pub weights: Vec<(Criterion, f64)>,
    /// Choices, best first.
    pub choices: Vec<Choice>,
    /// Feasible choices that are not shown.
    pub more: usize,
    /// An isolating layer and what goes over it.
    pub pairs: Vec<Pair>,
    /// Rods that take a load that the adhesive should not.
    pub pins: Vec<Reason>,
    /// Candidates lost to a hard rule.
    pub lost: Vec<Lost>,
    /// How those come out again that were asked for by name and are lost: id and forecast. Who has one
    /// on the object already wants to know.
    pub besides: Vec<(String, Vec<Outlook>)>,
    /// Candidates of which a fact is missing that a hard rule asks for.
    pub undetermined: Vec<Lost>,
    /// How many candidates each rule took, most first.
    pub took: Vec<(Rule, usize)>,
    /// What light does to the materials, and apart from it to the layers.
    pub light: Vec<Reason>,
    /// What holds for the whole choice.
    pub remarks: Vec<Reason>,
    /// Which of the first coats come off apart from which.
    pub coats: Vec<Coats>,
    /// Materials that were weighed.
    pub considered: usize,
}

/// A material that may go in.
#[derive(Clone, Debug)]
pub struct Choice {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Score, 0-100: the weighted sum of its marks.
    pub score: f64,
    /// Whether the trade takes it for this.
    pub custom: Option<Custom>,
    /// How it goes on: passed by the gate.
    pub applied: Passed<Step>,
    /// What must be tried or minded as it goes on.
    pub minding: Vec<Reason>,
    /// The marks behind the score.
    pub marks: Vec<Mark>,
    /// How it will come out.
    pub forecast: Vec<Outlook>,
}

/// One mark of a score.
#[derive(Clone, Debug)]
pub struct Mark {
    /// For what.
    pub criterion: Criterion,
    /// 0 bad … 1 good; none where nothing is recorded, which counts as [`UNRECORDED`].
    pub value: Option<f64>,
    /// Weight, of 100 in all.
    pub weight: f64,
    /// Why.
    pub says: String,
    /// Basis in words; empty when unrecorded.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the fact stands.
    pub place: Option<Place>,
}

/// What an unrecorded property counts for: less than a middling one, for unknown is not safe.
pub const UNRECORDED: f64 = 0.25;

/// How it will come out after some years.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// Years after it went in.
    pub years: u32,
    /// How far it can be taken back.
    pub verdict: Reversal,
    /// Beyond the years over which its ageing is recorded.
    pub extrapolated: bool,
    /// What the years will have done to it.
    pub state: String,
    /// The route that the planner finds, with what it does to each layer.
    pub route: Option<Box<Rung>>,
    /// Verdict on each layer by that route.
    pub layers: Vec<(String, Option<Verdict>)>,
    /// Basis of state and route, weakest first.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

/// How far a material can be taken back from these layers. The order is from best to worst;
/// `Unknown` is no grade, and ranks last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reversal {
    /// A route takes it off and every layer is recorded to bear it.
    Reversible,
    /// A route takes it off, but wants a test on some layer, or only softens.
    WithCare,
    /// It sits in pores: some comes out.
    PartlyExtractable,
    /// Only tools take it off.
    OnlyMechanically,
    /// No route spares these layers.
    Not,
    /// No record of how it ages.
    Unknown,
}

impl Reversal {
    /// In words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Reversible => "reversible",
            Self::WithCare => "reversible with care",
            Self::PartlyExtractable => "partly extractable",
            Self::OnlyMechanically => "only mechanically",
            Self::Not => "not",
            Self::Unknown => "unknown: no ageing record",
        }
    }

    /// For a narrow column.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::Reversible => "yes",
            Self::WithCare => "care",
            Self::PartlyExtractable => "partly",
            Self::OnlyMechanically => "tools",
            Self::Not => "no",
            Self::Unknown => "unknown",
        }
    }
}

/// The hard rules of a choice, in the order in which they are asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// The trade does not put it in any more.
    Refused,
    /// No record that it is taken for this.
    NoRecord,
    /// A hazard sits in the material itself.
    Hazard,
    /// The user's `where`.
    Where,
    /// The user's `without`.
    Without,
    /// What it is put on with harms a layer, or the gate forbids it.
    Application,
    /// It gives off what these layers do not bear.
    Emissions,
    /// Its pH.
    Acidity,
    /// It softens on the warmest day.
    Warmth,
    /// It creeps, or is too weak for the load.
    Load,
    /// It is stronger than the body and cannot be undone.
    Strength,
    /// It cannot be taken back after the years asked for.
    Reversibility,
}

impl Rule {
    /// Stable id.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Refused => "refused",
            Self::NoRecord => "no-record-of-use",
            Self::Hazard => "hazard",
            Self::Where => "where",
            Self::Without => "without",
            Self::Application => "application",
            Self::Emissions => "emissions",
            Self::Acidity => "ph",
            Self::Warmth => "warmest-day",
            Self::Load => "load",
            Self::Strength => "stronger-than-the-body",
            Self::Reversibility => "reversibility",
        }
    }

    /// In words.
    #[must_use]
    pub const fn says(self) -> &'static str {
        match self {
            Self::Refused => "not put in any more",
            Self::NoRecord => "not recorded as taken for this today",
            Self::Hazard => "dangerous in itself",
            Self::Where => "does not meet `where`",
            Self::Without => "wants what `without` bars",
            Self::Application => "putting it on harms a layer",
            Self::Emissions => "gives off what a layer does not bear",
            Self::Acidity => "too acid or too alkaline for a layer",
            Self::Warmth => "softens on the warmest day",
            Self::Load => "does not carry the load",
            Self::Strength => "stronger than the body, and not to be undone",
            Self::Reversibility => "cannot be taken back after the years asked for",
        }
    }
}

/// A candidate lost, or one that cannot be judged.
#[derive(Clone, Debug)]
pub struct Lost {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// The rule.
    pub rule: Rule,
    /// The layer concerned, as called.
    pub layer: Option<String>,
    /// Why.
    pub reason: Reason,
    /// Where the fact stands.
    pub place: Option<Place>,
}

/// An isolating layer and what goes over it.
#[derive(Clone, Debug)]
pub struct Pair {
    /// The isolating layer.
    pub barrier: Entry,
    /// What goes over it.
    pub over: Entry,
    /// How the isolating layer goes on: passed by the gate.
    pub applied: Passed<Step>,
    /// What was checked.
    pub checks: Vec<Reason>,
    /// How the isolating layer will come out.
    pub forecast: Vec<Outlook>,
}

/// The load on a join.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JoinLoad {
    /// Force, newtons.
    pub newtons: f64,
    /// Area, square metres, if stated.
    pub area_m2: Option<f64>,
    /// Lever arm, metres, if stated.
    pub arm_m: Option<f64>,
    /// Highest stress, MPa, if an area was stated.
    pub stress_mpa: Option<f64>,
}
