//! Spans of calendar years with open ends.

use std::fmt;

use serde::{Deserialize, Serialize};

/// One end of a span of years.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum YearEnd {
    /// Nothing was said.
    Open,
    /// `antiquity`: older than any date that matters here.
    Antiquity,
    /// A year of the common era; 0 and below are years before it.
    Year(i32),
    /// `now`: still in use.
    Now,
}

/// Years from one end to another, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct YearSpan {
    /// The earlier end.
    pub from: YearEnd,
    /// The later end.
    pub to: YearEnd,
}

impl YearSpan {
    /// A span of a single year.
    #[must_use]
    pub const fn single(year: i32) -> Self {
        Self {
            from: YearEnd::Year(year),
            to: YearEnd::Year(year),
        }
    }

    /// First and last year, with `now` the current year.
    ///
    /// An open or ancient start is `i32::MIN`, an open end is `i32::MAX`:
    /// "in use until an unknown year" must not be cut at the present.
    #[must_use]
    pub fn bounds(self, now: i32) -> (i32, i32) {
        let from = match self.from {
            YearEnd::Open | YearEnd::Antiquity => i32::MIN,
            YearEnd::Year(year) => year,
            YearEnd::Now => now,
        };
        let to = match self.to {
            YearEnd::Open => i32::MAX,
            YearEnd::Antiquity => i32::MIN,
            YearEnd::Year(year) => year,
            YearEnd::Now => now,
        };
        (from, to)
    }

    /// Whether the ends stand in order, as far as they are known.
    #[must_use]
    pub fn is_ordered(self) -> bool {
        match (self.from, self.to) {
            (YearEnd::Year(from), YearEnd::Year(to)) => from <= to,
            (YearEnd::Now, YearEnd::Year(_) | YearEnd::Antiquity)
            | (YearEnd::Year(_), YearEnd::Antiquity) => false,
            _ => true,
        }
    }
}

impl fmt::Display for YearEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Open => Ok(()),
            Self::Antiquity => f.write_str("antiquity"),
            Self::Year(year) => write!(f, "{year}"),
            Self::Now => f.write_str("now"),
        }
    }
}

impl fmt::Display for YearSpan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}..{}", self.from, self.to)
    }
}
