//! What the score of a choice is made of: the words that `rank by` takes.

/// What a score is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Criterion {
    /// The forecast.
    Reversibility,
    /// Whether the trade takes it for this today.
    Use,
    /// Photochemical class and recorded ageing.
    Ageing,
    /// Strength against the load and against the substrate.
    Strength,
    /// Glass transition against the warmest day.
    Warmth,
    /// Refractive index against that of the body, where the join shows.
    Index,
    /// Shrinkage of a fill.
    Shrinkage,
    /// What it asks of the person who puts it on.
    Health,
    /// Time to work in.
    WorkingTime,
}

impl Criterion {
    /// All, in the order of a table.
    pub const ALL: [Self; 9] = [
        Self::Reversibility,
        Self::Use,
        Self::Ageing,
        Self::Strength,
        Self::Warmth,
        Self::Index,
        Self::Shrinkage,
        Self::Health,
        Self::WorkingTime,
    ];

    /// The word that `rank by` takes.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Reversibility => "reversibility",
            Self::Use => "use",
            Self::Ageing => "ageing",
            Self::Strength => "strength",
            Self::Warmth => "tg",
            Self::Index => "refractive-index",
            Self::Shrinkage => "shrinkage",
            Self::Health => "health",
            Self::WorkingTime => "working-time",
        }
    }
}
