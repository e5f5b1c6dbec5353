//! palinode: identify, take off and replace the materials of old restorations.
#![forbid(unsafe_code)]
pub mod corpus;
pub mod diag;
pub mod gate;
pub mod index;
pub mod model;
pub mod pack;
pub mod span;
pub mod units;
