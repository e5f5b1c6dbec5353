//! Queries, one struct to a verb, and the clauses that only they use.

use crate::lang::reserved::Verb;
use crate::span::{Span, Spanned};
use crate::units::YearSpan;

use super::{Agent, Condition, Measure, Name, Observation, Stack, Thing, Word};

/// Years of a restoration.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The years.
    pub years: YearSpan,
    /// As typed.
    pub literal: String,
}

/// A load, and the area that bears it.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// The load.
    pub load: Measure,
    /// The area.
    pub area: Option<Measure>,
}

/// A query. The span of a clause covers its reserved word.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::large_enum_variant, reason = "one query stands at a time")]
pub enum Query {
    /// `find`
    Find(Find),
    /// `identify`
    Identify(Identify),
    /// `remove`
    Remove(Remove),
    /// `choose`
    Choose(Choose),
    /// `compare`
    Compare(Compare),
    /// `blend`
    Blend(Blend),
    /// `prepare`
    Prepare(Prepare),
    /// `ventilate`
    Ventilate(Ventilate),
}

/// `find NAME ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Find {
    /// A kind, a family, or a name.
    pub name: Name,
    /// Free text.
    pub about: Option<Spanned<String>>,
    /// Conditions.
    pub condition: Option<Spanned<Condition>>,
    /// Properties that order the answer.
    pub rank: Option<Spanned<Vec<Name>>>,
    /// Properties to show.
    pub show: Option<Spanned<Vec<Name>>>,
    /// Most rows.
    pub limit: Option<Spanned<u32>>,
    /// `include unknown`.
    pub include_unknown: Option<Span>,
    /// Where.
    pub span: Span,
}

/// `identify THING on STACK ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Identify {
    /// What is to be identified.
    pub thing: Thing,
    /// What it sits on.
    pub on: Option<Stack>,
    /// When the restoration was done.
    pub restored: Option<Spanned<Restored>>,
    /// How probable the user holds it before any test: per cent, and of what.
    pub prior: Option<Spanned<Vec<(Measure, Name)>>>,
    /// What was seen of the unknown.
    pub that: Option<Spanned<Vec<Observation>>>,
    /// What was seen of the layers.
    pub given: Option<Spanned<Vec<Observation>>>,
    /// Conditions on candidates.
    pub condition: Option<Spanned<Condition>>,
    /// Most candidates.
    pub limit: Option<Spanned<u32>>,
    /// Where.
    pub span: Span,
}

/// `remove STACK from STACK ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Remove {
    /// What is to come off, the top first.
    pub target: Stack,
    /// What is to stay, the top first.
    pub from: Stack,
    /// When the target was put on.
    pub restored: Option<Spanned<Restored>>,
    /// Means ruled out.
    pub without: Option<Spanned<Vec<Name>>>,
    /// Results on this object.
    pub given: Option<Spanned<Vec<Observation>>>,
    /// Means allowed in spite of a rule.
    pub allowing: Option<Spanned<Vec<Name>>>,
    /// Most steps.
    pub limit: Option<Spanned<u32>>,
    /// Where.
    pub span: Span,
}

/// `choose THING for STACK to STACK ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Choose {
    /// A kind of material.
    pub thing: Thing,
    /// Where it goes.
    pub subject: Stack,
    /// The other side of a join.
    pub to: Option<Stack>,
    /// Load on the join.
    pub carrying: Option<Spanned<Load>>,
    /// Conditions.
    pub condition: Option<Spanned<Condition>>,
    /// Means the next conservator is not to need.
    pub without: Option<Spanned<Vec<Name>>>,
    /// Means allowed in spite of a rule.
    pub allowing: Option<Spanned<Vec<Name>>>,
    /// Span of reversibility.
    pub reversible: Option<Measure>,
    /// Results on this object.
    pub given: Option<Spanned<Vec<Observation>>>,
    /// Properties that order the answer.
    pub rank: Option<Spanned<Vec<Name>>>,
    /// Most choices.
    pub limit: Option<Spanned<u32>>,
    /// Where.
    pub span: Span,
}

/// `compare THING, THING by NAME, ... on STACK`
#[derive(Debug, Clone, PartialEq)]
pub struct Compare {
    /// What is compared.
    pub things: Vec<Thing>,
    /// By which properties.
    pub by: Vec<Name>,
    /// On which object.
    pub on: Option<Stack>,
    /// Where.
    pub span: Span,
}

/// `blend to VERB THING ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Blend {
    /// What the blend is to do: `dissolve`, `swell`.
    pub action: Word,
    /// To what.
    pub target: Thing,
    /// What it must not touch.
    pub sparing: Option<Spanned<Vec<Thing>>>,
    /// Swab tests on this object.
    pub given: Option<Spanned<Vec<Observation>>>,
    /// Liquids at hand.
    pub using: Option<Spanned<Vec<Name>>>,
    /// Liquids allowed in spite of a rule.
    pub allowing: Option<Spanned<Vec<Name>>>,
    /// Most blends.
    pub limit: Option<Spanned<u32>>,
    /// Where.
    pub span: Span,
}

/// A tool, a gelling agent or a figure of the work, with its measure: `balance 0.01 g`, `agar 3 %`,
/// `mixing 3`.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    /// What it is.
    pub words: Vec<Word>,
    /// How fine, how much.
    pub measure: Option<Measure>,
    /// Where.
    pub span: Span,
}

/// `prepare QUANTITY of QUANTITY AGENT in AGENT ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Prepare {
    /// How much is wanted.
    pub amount: Measure,
    /// How strong; parts stand after the names.
    pub strength: Option<Measure>,
    /// What is dissolved.
    pub agent: Agent,
    /// What it is dissolved in.
    pub solvent: Option<Agent>,
    /// Strength of the stock that is diluted.
    pub stock: Option<Measure>,
    /// Temperature.
    pub at: Option<Measure>,
    /// Balance, vessel, gelling agent.
    pub tools: Option<Spanned<Vec<Tool>>>,
    /// Means allowed in spite of a rule.
    pub allowing: Option<Spanned<Vec<Name>>>,
    /// Where.
    pub span: Span,
}

/// `ventilate QUANTITY AGENT during QUANTITY in QUANTITY at QUANTITY ...`
#[derive(Debug, Clone, PartialEq)]
pub struct Ventilate {
    /// How much evaporates.
    pub amount: Measure,
    /// What evaporates.
    pub agent: Agent,
    /// In what time.
    pub during: Measure,
    /// Into what room.
    pub space: Measure,
    /// At what exchange of air.
    pub rate: Measure,
    /// Figures of the room: the mixing factor.
    pub tools: Option<Spanned<Vec<Tool>>>,
    /// Where.
    pub span: Span,
}

impl Query {
    /// The verb.
    #[must_use]
    pub fn verb(&self) -> Verb {
        match self {
            Self::Find(_) => Verb::Find,
            Self::Identify(_) => Verb::Identify,
            Self::Remove(_) => Verb::Remove,
            Self::Choose(_) => Verb::Choose,
            Self::Compare(_) => Verb::Compare,
            Self::Blend(_) => Verb::Blend,
            Self::Prepare(_) => Verb::Prepare,
            Self::Ventilate(_) => Verb::Ventilate,
        }
    }
}
