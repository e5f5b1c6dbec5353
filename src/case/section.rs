//! Sections of a case file.

/// A section of the file that holds one thing an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// `[[layer]]`
    Layer,
    /// `[[unknown]]`
    Unknown,
    /// `[[observation]]`
    Observation,
    /// `[[trial]]`
    Trial,
    /// `[[question]]`
    Question,
    /// `[[proposal]]`
    Proposal,
    /// `[[decision]]`
    Decision,
    /// `[[use]]`
    Use,
    /// `[[deviation]]`
    Deviation,
    /// `[[photograph]]`
    Photograph,
}

impl Section {
    /// Every section, in the order in which they stand in a file.
    pub const ALL: [Self; 10] = [
        Self::Layer,
        Self::Unknown,
        Self::Observation,
        Self::Trial,
        Self::Question,
        Self::Proposal,
        Self::Decision,
        Self::Use,
        Self::Deviation,
        Self::Photograph,
    ];

    /// Its key in the file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Layer => "layer",
            Self::Unknown => "unknown",
            Self::Observation => "observation",
            Self::Trial => "trial",
            Self::Question => "question",
            Self::Proposal => "proposal",
            Self::Decision => "decision",
            Self::Use => "use",
            Self::Deviation => "deviation",
            Self::Photograph => "photograph",
        }
    }

    /// An entry of it in words, with the article: `an observation`.
    #[must_use]
    pub const fn with_article(self) -> &'static str {
        match self {
            Self::Layer => "a layer",
            Self::Unknown => "an unknown",
            Self::Observation => "an observation",
            Self::Trial => "a trial",
            Self::Question => "a question",
            Self::Proposal => "a proposal",
            Self::Decision => "a decision",
            Self::Use => "a use",
            Self::Deviation => "a deviation",
            Self::Photograph => "a photograph",
        }
    }

    /// Its keys that hold ids of other entries, each with the sections whose entries it may name; none
    /// for any.
    #[must_use]
    pub const fn references(self) -> &'static [(&'static str, &'static [Self])] {
        match self {
            Self::Layer | Self::Question => &[],
            Self::Unknown => &[("over", &[Self::Layer])],
            Self::Observation => &[("of", &[Self::Unknown])],
            Self::Trial => &[("on", &[Self::Layer])],
            Self::Proposal => &[("from", &[Self::Question])],
            Self::Decision => &[("on", &[Self::Proposal, Self::Question])],
            Self::Use => &[("under", &[Self::Decision])],
            Self::Deviation => &[("from", &[Self::Decision, Self::Proposal, Self::Use])],
            Self::Photograph => &[("of", &[])],
        }
    }

    /// The keys of an entry that may be said anew: all but its id, what the program itself writes
    /// there, and lists.
    #[must_use]
    pub const fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Layer => &["name", "note"],
            Self::Unknown => &["called", "noun", "over", "restored", "note"],
            Self::Observation => &["of", "seen", "day", "place", "who", "note", "withdrawn"],
            Self::Trial => &["on", "seen", "day", "place", "who", "note", "withdrawn"],
            Self::Question => &["who", "note", "withdrawn"],
            Self::Proposal => &[
                "what",
                "from",
                "step",
                "risk",
                "day",
                "place",
                "who",
                "note",
                "withdrawn",
            ],
            Self::Decision => &[
                "on",
                "what",
                "because",
                "day",
                "place",
                "who",
                "note",
                "withdrawn",
            ],
            Self::Use => &[
                "material",
                "purpose",
                "strength",
                "solvent",
                "amount",
                "batch",
                "under",
                "day",
                "place",
                "who",
                "note",
                "withdrawn",
            ],
            Self::Deviation => &[
                "from",
                "what",
                "because",
                "day",
                "place",
                "who",
                "note",
                "withdrawn",
            ],
            Self::Photograph => &[
                "file",
                "shows",
                "light",
                "day",
                "place",
                "who",
                "note",
                "withdrawn",
            ],
        }
    }

    /// The letter before the number in its ids.
    #[must_use]
    pub const fn letter(self) -> char {
        match self {
            Self::Layer => 'l',
            Self::Unknown => 'u',
            Self::Observation => 'o',
            Self::Trial => 't',
            Self::Question => 'q',
            Self::Proposal => 'p',
            Self::Decision => 'd',
            Self::Use => 'm',
            Self::Deviation => 'v',
            Self::Photograph => 'f',
        }
    }
}
