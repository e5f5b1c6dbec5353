//! What a blend is to do to its target, and which responses show that a liquid does it.

use super::Response;

/// What a blend is to do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Does {
    /// Bring it into solution.
    #[default]
    Dissolve,
    /// Swell it at the least.
    Swell,
}

impl Does {
    /// The word after `to`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dissolve => "dissolve",
            Self::Swell => "swell",
        }
    }

    /// The action that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        [Self::Dissolve, Self::Swell]
            .into_iter()
            .find(|it| it.word() == word)
    }

    /// Whether a response does it; `None` for one that is neither clearly, or that is attack or melting.
    #[must_use]
    pub const fn good(self, response: Response) -> Option<bool> {
        match (self, response) {
            (_, Response::Attacked | Response::Melts) => None,
            (_, Response::Dissolves) => Some(true),
            (Self::Dissolve, Response::PartlyDissolves) => None,
            (Self::Swell, Response::PartlyDissolves | Response::Swells) => Some(true),
            (Self::Swell, Response::SwellsSlightly) => None,
            (
                _,
                Response::Swells
                | Response::SwellsSlightly
                | Response::NoEffect
                | Response::Blanches,
            ) => Some(false),
        }
    }
}
