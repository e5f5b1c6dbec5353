//! The words of the language: one table of reserved words, one of verbs.
//!
//! Reserved words end a name wherever they stand. Verbs and the few words
//! after them (`plan`, `of`, `unknown`) mean something in one place only and
//! are plain words elsewhere. Each has a line on what it does; the shell's
//! help and completion and the man page are made from these tables.

macro_rules! keywords {
    ($($variant:ident $word:literal $about:literal,)+) => {
        /// A reserved word.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Keyword {
            $(#[doc = concat!("`", $word, "`: ", $about)] $variant,)+
        }

        /// Every reserved word with its spelling and what it does.
        pub const KEYWORDS: &[(Keyword, &str, &str)] = &[
            $((Keyword::$variant, $word, $about),)+
        ];
    };
}

keywords! {
    Over "over" "the layer beneath",
    On "on" "where it sits",
    From "from" "what it comes off",
    For "for" "what it is meant for",
    To "to" "the other side, or the end reached",
    In "in" "the liquid or the space",
    With "with" "the means",
    Without "without" "means ruled out",
    By "by" "the measure or the cause",
    Under "under" "the light or the cover",
    At "at" "the temperature or the rate",
    Where "where" "what the corpus records",
    That "that" "what was seen",
    Restored "restored" "years of the restoration",
    About "about" "free text in quotes",
    Rank "rank" "order of the answer",
    Show "show" "properties to show",
    Limit "limit" "most rows of the answer",
    And "and" "both conditions",
    Or "or" "either condition",
    Not "not" "the opposite",
    Is "is" "a state or a value",
    Matches "matches" "a text to find in a property",
    When "when" "state of the material",
    Given "given" "results on this object",
    Using "using" "liquids at hand",
    Sparing "sparing" "what the blend must not touch",
    Allowing "allowing" "means allowed in spite of a rule",
    Reversible "reversible" "span of reversibility",
    Carrying "carrying" "load on the join",
    During "during" "the time it takes",
    Include "include" "rows of unknown truth too",
    Prior "prior" "how probable it is before any test",
}

impl Keyword {
    /// The reserved word spelled exactly so.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        KEYWORDS
            .iter()
            .find(|(_, spelling, _)| *spelling == word)
            .map(|(keyword, _, _)| *keyword)
    }

    /// Its spelling.
    #[must_use]
    pub fn word(self) -> &'static str {
        KEYWORDS
            .iter()
            .find(|(keyword, _, _)| *keyword == self)
            .map_or("", |(_, spelling, _)| spelling)
    }

    /// With which words the clause begins that this word names.
    #[must_use]
    pub fn head(self) -> &'static str {
        match self {
            Self::Prior => "with prior",
            other => other.word(),
        }
    }

    /// The word with which the clause begins that this word names; all but one begin with their own.
    #[must_use]
    pub fn begins(self) -> Self {
        match self {
            Self::Prior => Self::With,
            other => other,
        }
    }

    /// One line on what it does.
    #[must_use]
    pub fn about(self) -> &'static str {
        KEYWORDS
            .iter()
            .find(|(keyword, _, _)| *keyword == self)
            .map_or("", |(_, _, about)| about)
    }
}

/// Whether a word is reserved, so that a name that holds it wants quotes.
#[must_use]
pub fn is_reserved(word: &str) -> bool {
    Keyword::from_word(&word.to_lowercase()).is_some()
}

/// A verb that starts a query.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verb {
    /// Search the corpus.
    Find,
    /// Say what an old material probably is.
    Identify,
    /// Plan how to take a material off.
    Remove,
    /// Choose a new material.
    Choose,
    /// Set materials side by side.
    Compare,
    /// Work out a solvent blend.
    Blend,
    /// Work out a solution.
    Prepare,
    /// Work out a vapour concentration.
    Ventilate,
}

/// Every verb with its spelling, what it does, and its shortest form.
pub const VERBS: &[(Verb, &str, &str, &str)] = &[
    (
        Verb::Find,
        "find",
        "search the corpus",
        "find consolidant where tg > 30 C",
    ),
    (
        Verb::Identify,
        "identify",
        "say what an old material probably is",
        "identify coating on oil gilding that glows orange, dissolves in ethanol",
    ),
    (
        Verb::Remove,
        "remove",
        "plan how to take a material off",
        "remove shellac from water gilding over bole over gesso",
    ),
    (
        Verb::Choose,
        "choose",
        "choose a new material",
        "choose adhesive for walnut to walnut reversible for 50 years",
    ),
    (
        Verb::Compare,
        "compare",
        "set materials side by side",
        "compare isinglass, epoxy by tg, shrinkage",
    ),
    (
        Verb::Blend,
        "blend",
        "work out a solvent blend",
        "blend to dissolve dammar (aged) sparing oil paint (young)",
    ),
    (
        Verb::Prepare,
        "prepare",
        "work out a solution",
        "prepare 250 ml of 8 % w/v paraloid b-72 in ethyl acetate",
    ),
    (
        Verb::Ventilate,
        "ventilate",
        "work out a vapour concentration",
        "ventilate 80 ml ethanol during 20 min in 60 m3 at 4 air changes",
    ),
];

impl Verb {
    /// The verb spelled exactly so.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        VERBS
            .iter()
            .find(|(_, spelling, _, _)| *spelling == word)
            .map(|(verb, ..)| *verb)
    }

    /// Its spelling.
    #[must_use]
    pub fn word(self) -> &'static str {
        VERBS
            .iter()
            .find(|(verb, ..)| *verb == self)
            .map_or("", |(_, spelling, ..)| spelling)
    }

    /// One line on what it does.
    #[must_use]
    pub fn about(self) -> &'static str {
        VERBS
            .iter()
            .find(|(verb, ..)| *verb == self)
            .map_or("", |(_, _, about, _)| about)
    }

    /// How the head of its query is built; capitals stand for what the user
    /// puts there, brackets for what may be left out.
    #[must_use]
    pub fn form(self) -> &'static str {
        match self {
            Self::Find => "find KIND",
            Self::Identify => "identify KIND [on LAYER over LAYER ...]",
            Self::Remove => "remove MATERIAL from LAYER [over LAYER ...]",
            Self::Choose => "choose KIND for LAYER [to LAYER]",
            Self::Compare => "compare MATERIAL, MATERIAL by FIELD, FIELD [on LAYER]",
            Self::Blend => "blend to dissolve MATERIAL",
            Self::Prepare => "prepare AMOUNT of [STRENGTH] MATERIAL [in LIQUID]",
            Self::Ventilate => "ventilate AMOUNT LIQUID",
        }
    }

    /// A short query with this verb.
    #[must_use]
    pub fn example(self) -> &'static str {
        VERBS
            .iter()
            .find(|(verb, ..)| *verb == self)
            .map_or("", |(.., example)| example)
    }
}

/// Words of everyday speech or of other query languages, each with the verb
/// that does the job here.
const OTHER_VERBS: &[(&str, Verb)] = &[
    ("analyse", Verb::Identify),
    ("clean", Verb::Remove),
    ("detach", Verb::Remove),
    ("determine", Verb::Identify),
    ("dilute", Verb::Prepare),
    ("dissolve", Verb::Blend),
    ("get", Verb::Find),
    ("list", Verb::Find),
    ("make", Verb::Prepare),
    ("mix", Verb::Blend),
    ("pick", Verb::Choose),
    ("recommend", Verb::Choose),
    ("reduce", Verb::Remove),
    ("search", Verb::Find),
    ("select", Verb::Find),
    ("show", Verb::Find),
    ("strip", Verb::Remove),
    ("suggest", Verb::Choose),
    ("undo", Verb::Remove),
];

/// The verb that does the job of a word that is no verb here.
#[must_use]
pub fn verb_for(word: &str) -> Option<Verb> {
    let lower = word.to_lowercase();
    OTHER_VERBS
        .iter()
        .find(|(other, _)| *other == lower)
        .map(|(_, verb)| *verb)
}

/// The clauses that may follow the head of a query with this verb, each at
/// most once and in any order; this order is the canonical one.
#[must_use]
pub fn clauses_of(verb: Verb) -> &'static [Keyword] {
    use Keyword as K;
    match verb {
        Verb::Find => &[K::About, K::Where, K::Rank, K::Show, K::Limit, K::Include],
        Verb::Identify => &[K::Restored, K::Prior, K::That, K::Given, K::Where, K::Limit],
        Verb::Remove => &[K::Restored, K::Given, K::Without, K::Allowing, K::Limit],
        Verb::Choose => &[
            K::Carrying,
            K::Where,
            K::Reversible,
            K::Without,
            K::Allowing,
            K::Given,
            K::Rank,
            K::Limit,
        ],
        Verb::Blend => &[K::Sparing, K::Given, K::Using, K::Allowing, K::Limit],
        Verb::Prepare => &[K::From, K::At, K::With, K::Allowing],
        Verb::Ventilate => &[K::During, K::In, K::At, K::With],
        Verb::Compare => &[],
    }
}

/// How a clause is built, for each reserved word that may start one.
pub const CLAUSE_FORMS: &[(Keyword, &str)] = &[
    (Keyword::About, "about \"TEXT\""),
    (
        Keyword::Where,
        "where FIELD > QUANTITY and FIELD is WORD and removable with LIQUID",
    ),
    (Keyword::Rank, "rank by FIELD, FIELD"),
    (Keyword::Show, "show FIELD, FIELD"),
    (Keyword::Limit, "limit NUMBER"),
    (Keyword::Include, "include unknown"),
    (Keyword::Restored, "restored YEAR..YEAR"),
    (
        Keyword::Prior,
        "with prior PER CENT MATERIAL, PER CENT MATERIAL",
    ),
    (
        Keyword::That,
        "that OBSERVATION (SPECIMEN, TIME), OBSERVATION",
    ),
    (
        Keyword::Given,
        "given LAYER is unaffected by LIQUID, LAYER swells in LIQUID",
    ),
    (Keyword::Without, "without METHOD, LIQUID"),
    (Keyword::Allowing, "allowing LIQUID, LIQUID"),
    (Keyword::Using, "using LIQUID, LIQUID"),
    (Keyword::Sparing, "sparing LAYER, LAYER"),
    (Keyword::Carrying, "carrying LOAD [on AREA]"),
    (Keyword::Reversible, "reversible for YEARS"),
    (Keyword::During, "during TIME"),
    (Keyword::In, "in VOLUME"),
    (Keyword::At, "at AIR CHANGES, at TEMPERATURE"),
    (Keyword::From, "from STRENGTH"),
    (Keyword::With, "with TOOL QUANTITY, TOOL QUANTITY"),
];

/// How the clause that starts with a reserved word is built.
#[must_use]
pub fn clause_form(keyword: Keyword) -> Option<&'static str> {
    CLAUSE_FORMS
        .iter()
        .find(|(own, _)| *own == keyword)
        .map(|(_, form)| *form)
}

/// Words beside the verbs that mean something in one place only, each with
/// what it does there.
pub const PLACED_WORDS: &[(&str, &str)] = &[
    ("let", "keep the answer of an `identify` under a name"),
    (
        "explain",
        "say what an answer rests on, down to file, line and source",
    ),
    ("plan", "explain the order of work"),
    ("empty", "explain which clause leaves nothing over"),
    ("of", "what strength, and of what"),
    ("unknown", "rows whose truth is not recorded"),
    ("edition", "edition of the language, before all else"),
];

/// Signs, each with what it does.
pub const SIGNS: &[(&str, &str)] = &[
    ("(", "open the notes on it, or a group"),
    (")", "close the notes or the group"),
    (",", "one more of the same"),
    ("+", "mixed with"),
    ("=", "is the name of"),
    ("<", "less than"),
    ("<=", "at most"),
    (">", "more than"),
    (">=", "at least"),
    (";", "end of the statement"),
];

/// One line on a word that means something in one place only: a verb, or a
/// word of [`PLACED_WORDS`].
#[must_use]
pub fn about_word(word: &str) -> Option<&'static str> {
    Verb::from_word(word).map(Verb::about).or_else(|| {
        PLACED_WORDS
            .iter()
            .find(|(own, _)| *own == word)
            .map(|(_, about)| *about)
    })
}
