//! Engine: the sums of the bench. What a blend of solvents does while it dries, what to weigh and
//! measure for a solution, and what a liquid does to the air of a room. Every answer passes the gate
//! first.

mod air;
pub mod blend;
mod buffer;
mod dissolve;
mod facts;
mod gel;
mod mixing;
mod prepare;
mod recipe;
mod steps;
mod ventilate;

pub use prepare::prepare;
pub use ventilate::ventilate;

/// How much more a breathing zone over an open tray may hold than the room (common practice: ten
/// times and more).
pub const NEAR_FIELD: f64 = 10.0;
/// Share of the lower flammable limit at which something is done (common practice, as in the rules for
/// confined space).
pub const FIRE_ACT: f64 = 0.10;
/// Share of the lower flammable limit at which work stops (common practice).
pub const FIRE_STOP: f64 = 0.25;
