//! Queries with every name, unit and verb checked against the corpus.

use crate::lang::ast::Explain;
use crate::model::field::Field;
use crate::model::scene::{Observation, Origin, SceneLayer};
use crate::model::{Age, Class, Kind, Response, Role, Site};
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
    /// A statement of the language whose engine is not there yet.
    NotYet(&'static str),
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
    /// Fields that order the answer.
    pub rank: Vec<&'static Field>,
    /// Fields to show.
    pub show: Vec<&'static Field>,
    /// Most rows.
    pub limit: Option<usize>,
    /// Show records of unknown truth too.
    pub include_unknown: bool,
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
    /// A single test.
    Test(CheckedTest),
}

/// A single test, checked.
#[derive(Clone, Debug)]
pub enum CheckedTest {
    /// `known(field)`, `unknown(field)`: field and whether it must be known.
    Known(&'static Field, bool),
    /// A measure against a number.
    Measure(&'static Field, Compare, Quantity),
    /// Years that hold a year or overlap a span.
    Years(&'static Field, i32, i32),
    /// Words or text that hold a word.
    Word(&'static Field, String),
    /// Text match, folded.
    Matches(&'static Field, String),
    /// What a liquid or test does: id, words wanted (any), age.
    Answers(String, Vec<String>, Option<Age>),
    /// Removable with an agent: dissolves or swells when of the age, or a route says so.
    Removable(String, Option<Age>),
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
#[derive(Clone, Debug)]
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
    /// What was seen.
    pub observations: Vec<Observation>,
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
    /// Barred agents, classes, methods.
    pub without_agents: Vec<String>,
    /// Barred classes.
    pub without_classes: Vec<Class>,
    /// Barred methods.
    pub without_methods: Vec<String>,
    /// Permitted agents.
    pub allowing: Vec<String>,
    /// Results on the targets: position of the target, agent, response.
    pub tried: Vec<(usize, String, Response)>,
    /// Most rungs.
    pub limit: Option<usize>,
}
