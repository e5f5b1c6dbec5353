//! Queries with every name, unit and verb checked against the corpus.

use crate::lang::ast::Explain;
use crate::model::order::{Evaporation, Order, Place};
use crate::model::scene::{Barred, Observation, Origin, SceneLayer, TargetTrial};
use crate::model::{
    Age, Asked, Class, Condition, Criterion, Does, Kind, Material, Purpose, Role, Site, Verdict,
};
use crate::span::Span;
use crate::units::Quantity;

/// One statement, checked.
#[derive(Clone, Debug)]
pub struct Checked {
    /// `let` name.
    pub binding: Option<String>,
    /// `explain`, if any.
    pub explain: Option<Explain>,
    /// The query.
    pub query: CheckedQuery,
    /// Remarks on how it was read.
    pub notes: Vec<String>,
    /// Where it stands in the text.
    pub span: Span,
}

/// A query, checked.
#[derive(Clone, Debug)]
pub enum CheckedQuery {
    /// `find`
    Find(CheckedFind),
    /// `identify`
    Identify(CheckedIdentify),
    /// `remove`
    Remove(CheckedRemove),
    /// `compare`
    Compare(CheckedCompare),
    /// `choose`
    Choose(Box<CheckedChoose>),
    /// `blend`
    Blend(CheckedBlend),
    /// `prepare`
    Prepare(Box<CheckedPrepare>),
    /// `ventilate`
    Ventilate(Box<CheckedVentilate>),
}

/// `prepare`, checked.
#[derive(Clone, Debug)]
pub struct CheckedPrepare {
    /// What is wanted.
    pub order: Order,
    /// Where the amount stands.
    pub amount_at: Span,
    /// Where the strength stands.
    pub strength_at: Span,
    /// Where what is dissolved stands.
    pub solute_at: Span,
    /// Where the liquid stands.
    pub solvent_at: Span,
    /// Where the stock stands.
    pub stock_at: Span,
    /// Where the temperature stands.
    pub celsius_at: Span,
    /// Where the gelling agent stands.
    pub gel_at: Span,
}

impl CheckedPrepare {
    /// Where something of the order stands in the text.
    #[must_use]
    pub const fn at(&self, place: Place) -> Span {
        match place {
            Place::Amount => self.amount_at,
            Place::Strength => self.strength_at,
            Place::Solute => self.solute_at,
            Place::Solvent => self.solvent_at,
            Place::Stock => self.stock_at,
            Place::Temperature => self.celsius_at,
            Place::Gel => self.gel_at,
        }
    }
}

/// `ventilate`, checked.
#[derive(Clone, Debug)]
pub struct CheckedVentilate {
    /// What evaporates, and where.
    pub evaporation: Evaporation,
    /// Where the amount stands.
    pub amount_at: Span,
    /// Where the liquid stands.
    pub liquid_at: Span,
}

/// `compare`, checked.
#[derive(Clone, Debug)]
pub struct CheckedCompare {
    /// Records, all of one kind: kind, number, age to which the question is narrowed.
    pub things: Vec<(Kind, usize, Option<Age>)>,
    /// Properties.
    pub by: Vec<By>,
    /// Layers, top down; empty when no object was named.
    pub on: Vec<SceneLayer>,
}

/// By what things are compared.
#[derive(Clone, Debug)]
pub enum By {
    /// Something that the records state.
    Stated(Asked),
    /// How it comes off: from this object, where one is named; else as the trade does it.
    Removal,
    /// What it is put on with, and how the layers of this object bear that.
    Application,
}

/// `find`, checked.
#[derive(Clone, Debug, Default)]
pub struct CheckedFind {
    /// Kinds of record to search; empty for all.
    pub kinds: Vec<Kind>,
    /// Roles that a material must have, any of them.
    pub roles: Vec<Role>,
    /// Family that a material must be of.
    pub family: Option<String>,
    /// One record asked for by name.
    pub record: Option<(Kind, usize)>,
    /// Free text.
    pub about: Option<String>,
    /// Conditions.
    pub condition: Option<CheckedCondition>,
    /// What orders the answer.
    pub rank: Vec<Rank>,
    /// What to show.
    pub show: Vec<Asked>,
    /// Show all that is on file of the record.
    pub whole: bool,
    /// Most rows.
    pub limit: Option<usize>,
    /// Show records of unknown truth too.
    pub include_unknown: bool,
}

/// Something that orders an answer.
#[derive(Clone, Debug)]
pub struct Rank {
    /// What.
    pub asked: Asked,
    /// The highest first.
    pub descending: bool,
}

/// A condition, checked.
#[derive(Clone, Debug)]
pub enum CheckedCondition {
    /// All.
    And(Vec<CheckedCondition>),
    /// Any.
    Or(Vec<CheckedCondition>),
    /// Recorded not to.
    Not(Box<CheckedCondition>),
    /// A single test, and how it was typed.
    Test(CheckedTest, String),
}

/// A single test, checked.
#[derive(Clone, Debug)]
pub enum CheckedTest {
    /// `known(field)`, `unknown(field)`: field and whether it must be known.
    Known(Asked, bool),
    /// A measure against a number.
    Measure(Asked, Compare, Quantity),
    /// Years that hold a year or overlap a span.
    Years(Asked, i32, i32),
    /// Words or text that hold any of these words.
    Word(Asked, Vec<String>),
    /// Text match, folded.
    Matches(Asked, String),
    /// What a liquid or test does: id, words wanted (any), age.
    Answers(String, Vec<String>, Option<Age>),
    /// A liquid does one of these to a material at an age.
    ActsOn(Box<Material>, Vec<String>, Option<Age>),
    /// Removable by some means: it dissolves or swells when of the age, or a route says so.
    Removable(Means, Option<Age>),
    /// A layer bears some means in a condition: verdicts that will do.
    Bears(Means, Vec<Verdict>, Option<Condition>),
    /// Everything at which it softens or melts lies above a temperature.
    StableTo(Quantity),
}

/// By what something is removed or harmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Means {
    /// A liquid: id and class.
    Agent(String, Class),
    /// A class of agents, with the ids of its members.
    Class(Class, Vec<String>),
    /// A method, by id.
    Method(String),
}

/// A comparison of numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compare {
    /// `<`
    Less,
    /// `<=`
    LessEqual,
    /// `>`
    Greater,
    /// `>=`
    GreaterEqual,
    /// `is`; `is not` is the negation of this test.
    Is,
}

/// What a noun means as an unknown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct What {
    /// Roles; empty for any.
    pub roles: Vec<Role>,
    /// Family ids; empty for any.
    pub families: Vec<String>,
    /// Materials by number; empty for any.
    pub among: Vec<usize>,
    /// A `let` name.
    pub binding: Option<String>,
}

/// A noun with its notes.
#[derive(Clone, Debug, Default)]
pub struct CheckedThing {
    /// As typed.
    pub called: String,
    /// What it means.
    pub what: What,
    /// Where it sits, if stated.
    pub site: Option<Site>,
    /// Depth in millimetres, if stated.
    pub depth_mm: Option<f64>,
    /// Whether it belongs to the object.
    pub origin: Origin,
    /// Age, if stated.
    pub age: Option<Age>,
    /// Called thick.
    pub thick: bool,
    /// Lever arm in millimetres, if stated: how far a part juts out from its join.
    pub arm_mm: Option<f64>,
    /// Thickness in millimetres, if measured.
    pub thick_mm: Option<f64>,
}

/// `choose`, checked.
#[derive(Clone, Debug)]
pub struct CheckedChoose {
    /// What goes in.
    pub thing: CheckedThing,
    /// As what.
    pub purpose: Purpose,
    /// Where it will sit.
    pub site: Site,
    /// The one side, top down.
    pub layers: Vec<SceneLayer>,
    /// The other side of a join.
    pub to: Vec<SceneLayer>,
    /// Load in newtons, and the area that bears it in square metres.
    pub load: Option<(f64, Option<f64>)>,
    /// Warmest day, Celsius.
    pub warmest: Option<f64>,
    /// Light in a year, lux hours.
    pub lux_hours: Option<f64>,
    /// Years for which it must be reversible.
    pub years: Option<f64>,
    /// What is asked of the records.
    pub condition: Option<CheckedCondition>,
    /// What is barred, to put it on and to take it off.
    pub barred: Barred,
    /// Barred materials, by number.
    pub without_materials: Vec<usize>,
    /// Permitted agents and materials.
    pub allowing: Vec<String>,
    /// What orders the answer.
    pub rank: Vec<Criterion>,
    /// Most choices.
    pub limit: Option<usize>,
}

/// How probable the user holds a material or a family before any test.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// Materials by number; empty where a family was named.
    pub materials: Vec<usize>,
    /// Families by id.
    pub families: Vec<String>,
    /// Probability, above 0.
    pub probability: f64,
    /// As typed.
    pub called: String,
}

/// `identify`, checked.
#[derive(Clone, Debug)]
pub struct CheckedIdentify {
    /// The unknown.
    pub thing: CheckedThing,
    /// Layers beneath, top down.
    pub stack: Vec<SceneLayer>,
    /// Years of the restoration.
    pub restored: Option<(i32, i32)>,
    /// The user's own prior; empty for that of the records.
    pub prior: Vec<Share>,
    /// What was seen.
    pub observations: Vec<Observation>,
    /// What the records of a candidate must not deny.
    pub condition: Option<CheckedCondition>,
    /// Most candidates.
    pub limit: Option<usize>,
}

/// `remove`, checked.
#[derive(Clone, Debug)]
pub struct CheckedRemove {
    /// What is to come off, top first.
    pub targets: Vec<CheckedThing>,
    /// What is to stay, top first.
    pub layers: Vec<SceneLayer>,
    /// Years of the restoration.
    pub restored: Option<(i32, i32)>,
    /// What is barred.
    pub barred: Barred,
    /// Permitted agents.
    pub allowing: Vec<String>,
    /// Results on the targets, each with the position of its target.
    pub tried: Vec<(usize, TargetTrial)>,
    /// Most rungs.
    pub limit: Option<usize>,
}

/// `blend`, checked.
#[derive(Clone, Debug)]
pub struct CheckedBlend {
    /// What it is to do.
    pub action: Does,
    /// To what.
    pub target: CheckedThing,
    /// What must be spared, with what was tried on it.
    pub layers: Vec<SceneLayer>,
    /// Results on the target.
    pub tried: Vec<TargetTrial>,
    /// Ids of the liquids at hand; empty for all.
    pub using: Vec<String>,
    /// Permitted agents.
    pub allowing: Vec<String>,
    /// Most blends.
    pub limit: Option<usize>,
}
