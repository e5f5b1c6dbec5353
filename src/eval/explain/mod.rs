//! `explain`: the stages of a query, the derivation of its answer, the clause that emptied it.

mod blend;
mod derivation;
mod empty;
mod plan;

pub(super) use derivation::derivation;
