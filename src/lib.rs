//! palinode: identify, take off and replace the materials of old restorations, with sources.
//!
//! Data flows one way:
//!
//! ```text
//! build:  kb/*.toml -> corpus -> model -> pack + index, embedded
//! run:    query text -> lang -> resolve -> eval -> identify | remove | choose | bench
//!                                            every step through gate -> Passed
//!                                            answer -> render
//! ```
//!
//! `DEVELOPERS.md` holds the table of modules; a test keeps it true.
#![forbid(unsafe_code)]

use std::borrow::Cow;
use std::sync::OnceLock;

pub mod answer;
pub mod bench;
pub mod case;
pub mod chem;
pub mod choose;
pub mod cite;
pub mod cli;
pub mod complete;
pub mod corpus;
pub mod diag;
pub mod eval;
pub mod gate;
pub mod identify;
pub mod index;
pub mod lang;
pub mod lint;
pub mod model;
mod order;
pub mod pack;
pub mod remove;
pub mod render;
pub mod report;
pub mod resolve;
pub mod span;
pub mod store;
pub mod units;

static CORPUS: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/corpus.pack"));

/// The corpus that the program carries. Opened once; its records are decoded on demand.
///
/// # Panics
/// Never with a program that its own build script made: the script wrote the pack.
#[must_use]
pub fn embedded() -> &'static pack::Pack {
    static PACK: OnceLock<pack::Pack> = OnceLock::new();
    PACK.get_or_init(|| match pack::Pack::open(Cow::Borrowed(CORPUS)) {
        Ok(pack) => pack,
        Err(error) => unreachable!("the embedded corpus: {error}"),
    })
}
