//! Sums of the bench: what a blend of solvents does while it dries, before anybody mixes it.

pub mod blend;
