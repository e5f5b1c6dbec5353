//! Works out blends.
pub mod bound;
pub mod search;
