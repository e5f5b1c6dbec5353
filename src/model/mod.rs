//! What the corpus speaks of: materials, layers, agents, methods, tests, facts with a basis,
//! and the scene at the bench. Plain data, no I/O.

pub mod asked;
pub mod attribute;
mod column;
mod criterion;
mod does;
pub mod fact;
pub mod field;
mod lazy;
pub mod library;
pub mod material;
pub mod naming;
pub mod order;
pub mod outcome;
pub mod reagent;
pub mod record;
pub mod scene;
mod set;
pub mod speech;
pub mod truth;
pub mod words;

pub use asked::{Asked, Stated};
pub use column::Column;
pub use criterion::Criterion;
pub use does::Does;
pub use fact::{Basis, Fact, Facts, Hansen, Place, Value};
pub use lazy::Lazy;
pub(crate) use lazy::{Piece, Whole};
pub use library::{Equipment, Feature, Features, Library, Meetings, Named, Row, Scale, Table};
pub use material::{Age, Material, Meeting, NewUse, Route};
pub use record::{
    Agent, AgentSort, BenchTest, Carrier, Family, Head, Kind, Layer, Method, Names, Record, Source,
    gravest,
};
pub use set::{Member, Set, TextColumn};
pub use truth::Truth;
pub use words::{
    Action, Ageing, Class, Condition, Custom, Effect, Group, Hazard, Met, Order, Purpose, Response,
    Role, Sets, Site, Specimen, Trait, Verdict, Wetting,
};
