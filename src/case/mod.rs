//! The record of a job: one TOML file that a person can edit too, and that never loses a word.
//!
//! A case lies in a folder of its own, with its photographs in or below it:
//!
//! ```toml
//! palinode = 1
//!
//! [object]
//! title = "Overmantel mirror"
//!
//! [[layer]]                              # from the top down
//! id = "l1"
//! name = "water gilding (flaking)"
//!
//! [[unknown]]
//! id = "u1"
//! noun = "coating (film, later)"
//!
//! [[observation]]
//! id = "o1"
//! of = "u1"
//! seen = "dissolves in ethanol (crumb, 1 min)"
//! day = 2026-11-28
//! place = "lower left, under the rebate"
//! who = "AB"
//! ```
//!
//! Every entry has an id that is never given twice. One fact stands on a line, and sections keep
//! their order, so that a change shows as itself in `git diff`. What the program does not know it
//! leaves where it is.
//!
//! ```
//! let text = "palinode = 1\n[object]\ntitle = \"A box\"\n[[layer]]\nid = \"l1\"\nname = \"oak\"\n";
//! let (case, remarks) = palinode::case::parse(text).expect("a case");
//! assert_eq!(case.object.title, "A box");
//! assert_eq!(case.layers[0].name, "oak");
//! assert!(remarks.is_empty());
//! ```

mod ask;
mod check;
mod clock;
mod day;
mod edit;
mod entry;
mod file;
mod gist;
mod photograph;
mod question;
mod read;
mod record;
mod review;
mod section;
mod words;

pub use ask::{AskError, Asked, Asker, standing_word};
pub use check::check;
pub use clock::Moment;
pub use day::Day;
pub use edit::{Draft, EditError, Editor, Field, edit, start};
pub use entry::{Measure, Mistyped};
pub use file::{CaseFile, ReadError, load};
pub use gist::gist;
pub use photograph::{PhotographError, photograph, relative};
pub use question::build;
pub use read::parse;
pub use record::{
    Case, Change, Decision, Deviation, FORMAT, Layer, Noted, Object, Observation, Photograph,
    Proposal, Question, Trial, Unknown, Use,
};
pub use review::{Mark, Outcome, Reviewed, difference, review};
pub use section::Section;
pub use words::{Phrase, Words};
