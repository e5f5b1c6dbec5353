//! Figures of the report, as SVG of our own design.
//!
//! Each figure takes plain numbers and words, so that whoever has them can draw it. Nothing is told
//! by colour alone: what differs has its own hatching, mark or dash, so that a grey print says the
//! same. Title and description are in the drawing for who hears it read; the description says in
//! words all that the drawing says.

mod bars;
mod drying;
mod stack;
mod strip;
mod svg;
mod triangle;

pub use bars::{Bar, Bars, Weight, bars};
pub use drying::{Curve, Drying, drying};
pub use stack::{Slab, Stack, stack};
pub use strip::{Outlook, Strip, StripRow, strip};
pub use triangle::{Dot, Mark, Region, RegionKind, Triangle, triangle};

/// A finished figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The drawing: one `svg` element, ready for HTML.
    pub svg: String,
    /// Width in units of the drawing, in which letters are 13 high: a narrow one fits a phone as it is.
    pub width: u32,
    /// Its title.
    pub title: String,
    /// All that it says, in words.
    pub description: String,
}
