//! Dimensions, units, quantities and years, read at run time.
//!
//! The corpus and the query language share this module, so that `65..75 C`
//! means the same in a record and in a question. Two habits of the bench are
//! built in: a temperature is a point (35 C) or a difference (10 K), and the
//! several percents (% w/v, % w/w, % v/v and bare %) never mix.
//!
//! Nothing here depends on another module of the crate: the build script
//! compiles it on its own.

mod dimension;
mod number;
mod quantity;
mod rounding;
mod table;
mod years;

pub use dimension::{Dimension, Tag};
pub use number::{Fault, FaultKind, Scanned, Shape, is_blank, is_word_character, scan};
pub use quantity::{Amount, Bounds, Quantity, QuantityError, Reading, parse_quantity, parse_years};
pub use rounding::{four_figures, read_to, three_figures};
pub use table::{UNITS, Unit, UnitRow, foreign_unit, leading_unit, units_of};
pub use years::{YearEnd, YearSpan};
