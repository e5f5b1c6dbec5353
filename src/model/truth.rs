//! Three-valued truth: a missing record is neither yes nor no.

use serde::{Deserialize, Serialize};

/// True, false or unknown (Kleene's strong logic of indeterminacy, 1952).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Truth {
    /// Recorded, and so.
    True,
    /// Recorded, and not so.
    False,
    /// Not recorded.
    Unknown,
}

impl Truth {
    /// Both hold.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::False, _) | (_, Self::False) => Self::False,
            (Self::True, Self::True) => Self::True,
            _ => Self::Unknown,
        }
    }

    /// At least one holds.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        match (self, other) {
            (Self::True, _) | (_, Self::True) => Self::True,
            (Self::False, Self::False) => Self::False,
            _ => Self::Unknown,
        }
    }
}

impl std::ops::Not for Truth {
    type Output = Self;

    /// Negation turns only what is recorded; unknown stays unknown.
    fn not(self) -> Self {
        match self {
            Self::True => Self::False,
            Self::False => Self::True,
            Self::Unknown => Self::Unknown,
        }
    }
}

impl From<bool> for Truth {
    fn from(value: bool) -> Self {
        if value { Self::True } else { Self::False }
    }
}

#[cfg(test)]
mod tests {
    use super::Truth::{self, False, True, Unknown};

    #[test]
    fn unknown_is_never_turned_into_an_answer() {
        for other in [True, False, Unknown] {
            assert_ne!(Unknown.and(other), True);
            assert_ne!(Unknown.or(other), False);
        }
        assert_eq!(!Unknown, Unknown);
    }

    #[test]
    fn de_morgan_holds_over_all_nine_pairs() {
        let all = [True, False, Unknown];
        for a in all {
            for b in all {
                assert_eq!(!(a.and(b)), (!a).or(!b));
                assert_eq!(!(a.or(b)), (!a).and(!b));
            }
        }
        assert_eq!(Truth::from(true), True);
    }
}
