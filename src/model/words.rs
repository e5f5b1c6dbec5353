//! Controlled words of the trade as types: the same words that `kb/vocab/words.toml` explains.
//!
//! A test compares the two lists, so a word cannot live in one of them alone.

use serde::{Deserialize, Serialize};

/// Declares a closed list of words: an enum, its spelling in the corpus, and the way back.
macro_rules! words {
    ($(#[$meta:meta])* $name:ident : $section:literal { $($(#[$vmeta:meta])* $variant:ident = $word:literal,)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[allow(
            clippy::enum_variant_names,
            reason = "variants are spelled as the trade spells its words"
        )]
        pub enum $name { $(#[doc = concat!("`", $word, "`")] $(#[$vmeta])* $variant,)+ }

        impl $name {
            /// Every word of the list, in its own order.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];
            /// The section of `kb/vocab/words.toml` that explains these words.
            pub const SECTION: &'static str = $section;

            /// The word as the corpus and the language spell it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)+ }
            }

            /// The value that this word names, if it is one of the list.
            #[must_use]
            pub fn parse(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)+
                    _ => None,
                }
            }
        }

        impl super::set::Member for $name {
            const ALL: &'static [Self] = Self::ALL;

            fn number(self) -> usize {
                self as usize
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }
    };
}

words! {
    /// What a restoration material serves as.
    Role : "kind" {
        Coating = "coating",
        Adhesive = "adhesive",
        Consolidant = "consolidant",
        Fill = "fill",
        Fastener = "fastener",
        Overpaint = "overpaint",
        MetalPaint = "metal-paint",
        Deposit = "deposit",
    }
}

words! {
    /// Groups of layer, for what a material is usually met on.
    Group : "group" {
        Gilding = "gilding",
        Ground = "ground",
        Paint = "paint",
        Finish = "finish",
        Wood = "wood",
        Organic = "organic",
        Leather = "leather",
        Paper = "paper",
        Photograph = "photograph",
        Textile = "textile",
        Plastic = "plastic",
        Ceramic = "ceramic",
        Earth = "earth",
        Stone = "stone",
        Glass = "glass",
        Metal = "metal",
    }
}

words! {
    /// How often a material is met in old restorations.
    Met : "met" {
        Often = "often",
        Regularly = "regularly",
        Sometimes = "sometimes",
        Rarely = "rarely",
        Seldom = "seldom",
    }
}

words! {
    /// Whether the trade takes a material for new work today.
    Custom : "custom" {
        Usual = "usual",
        Sometimes = "sometimes",
        Refused = "refused",
    }
}

words! {
    /// What a material is put in as, in new work.
    Purpose : "purpose" {
        ForCoating = "coating",
        ForAdhesive = "adhesive",
        ForConsolidant = "consolidant",
        ForFill = "fill",
        ForBarrier = "barrier",
    }
}

words! {
    /// How a material turns from what is put on into what stays.
    Sets : "sets" {
        Drying = "drying",
        Cooling = "cooling",
        Reaction = "reaction",
        Warmth = "warmth",
    }
}

words! {
    /// Where a material sits: it decides what can reach it and for how long.
    Site : "site" {
        Film = "film",
        OpenJoint = "open-joint",
        DeepJoint = "deep-joint",
        Pores = "pores",
    }
}

words! {
    /// The state of a layer.
    Condition : "condition" {
        Sound = "sound",
        Flaking = "flaking",
        Powdering = "powdering",
        Salty = "salty",
        Damp = "damp",
        Corroded = "corroded",
        LightDamaged = "light-damaged",
        Weeping = "weeping",
        Cracked = "cracked",
    }
}

impl Condition {
    /// Whether the layer must be secured before anything wets or touches it.
    #[must_use]
    pub const fn needs_support(self) -> bool {
        matches!(self, Self::Flaking | Self::Powdering)
    }
}

words! {
    /// On what a test is done.
    Specimen : "specimen" {
        Surface = "surface",
        Crumb = "crumb",
        FreshCut = "fresh-cut",
        Section = "section",
        Vapour = "vapour",
    }
}

words! {
    /// Classes of agent, by what they do to what must stay.
    Class : "class" {
        ColdWater = "cold-water",
        WarmWater = "warm-water",
        Alcohol = "alcohol",
        KetoneEster = "ketone-ester",
        Aromatic = "aromatic",
        Aliphatic = "aliphatic",
        Chlorinated = "chlorinated",
        Aprotic = "aprotic",
        Acid = "acid",
        Alkali = "alkali",
        Chelator = "chelator",
        Enzyme = "enzyme",
        Heat60 = "heat-60",
        Heat100 = "heat-100",
        Steam = "steam",
        Abrasion = "abrasion",
        Laser = "laser",
        DampAir = "damp-air",
        HandTool = "hand-tool",
        Cold = "cold",
    }
}

impl Class {
    /// Classes that are mostly water, moist air included.
    pub const AQUEOUS: &'static [Self] = &[
        Self::ColdWater,
        Self::WarmWater,
        Self::Acid,
        Self::Alkali,
        Self::Chelator,
        Self::Enzyme,
        Self::Steam,
        Self::DampAir,
    ];

    /// Classes of organic solvents.
    pub const SOLVENTS: &'static [Self] = &[
        Self::Alcohol,
        Self::KetoneEster,
        Self::Aromatic,
        Self::Aliphatic,
        Self::Chlorinated,
        Self::Aprotic,
    ];

    /// Whether what is of this class is a liquid that wets: water with all that goes in it, and the
    /// organic solvents.
    #[must_use]
    pub const fn is_liquid(self) -> bool {
        match self {
            Self::ColdWater
            | Self::WarmWater
            | Self::Alcohol
            | Self::KetoneEster
            | Self::Aromatic
            | Self::Aliphatic
            | Self::Chlorinated
            | Self::Aprotic
            | Self::Acid
            | Self::Alkali
            | Self::Chelator
            | Self::Enzyme => true,
            Self::Heat60
            | Self::Heat100
            | Self::Steam
            | Self::Abrasion
            | Self::Laser
            | Self::DampAir
            | Self::HandTool
            | Self::Cold => false,
        }
    }

    /// Whether an agent of this class is mostly water.
    #[must_use]
    pub fn is_aqueous(self) -> bool {
        Self::AQUEOUS.contains(&self)
    }

    /// Whether an agent of this class is an organic solvent.
    #[must_use]
    pub fn is_solvent(self) -> bool {
        Self::SOLVENTS.contains(&self)
    }

    /// Plain words for a table.
    #[must_use]
    pub const fn plain(self) -> &'static str {
        match self {
            Self::ColdWater => "cold water",
            Self::WarmWater => "warm water",
            Self::Alcohol => "alcohols",
            Self::KetoneEster => "ketones and esters",
            Self::Aromatic => "aromatic hydrocarbons",
            Self::Aliphatic => "aliphatic hydrocarbons",
            Self::Chlorinated => "chlorinated solvents",
            Self::Aprotic => "polar aprotic solvents",
            Self::Acid => "acids",
            Self::Alkali => "alkalis",
            Self::Chelator => "chelators",
            Self::Enzyme => "enzymes",
            Self::Heat60 => "heat to 60 C",
            Self::Heat100 => "heat above 100 C",
            Self::Steam => "steam",
            Self::Abrasion => "abrasion",
            Self::Laser => "laser light",
            Self::DampAir => "damp air",
            Self::HandTool => "hand tools",
            Self::Cold => "cold",
        }
    }
}

words! {
    /// What a layer is made of or held by: the hard rules speak of these.
    Trait : "trait" {
        Carbonate = "carbonate",
        Gypsum = "gypsum",
        Silicate = "silicate",
        Glass = "glass",
        Glaze = "glaze",
        LeadGlaze = "lead-glaze",
        Weeping = "weeping",
        FiredClay = "fired-clay",
        Unfired = "unfired",
        Porous = "porous",
        GlueBound = "glue-bound",
        GumBound = "gum-bound",
        OilBound = "oil-bound",
        YoungOil = "young-oil",
        ResinBound = "resin-bound",
        WaxBound = "wax-bound",
        Tempera = "tempera",
        AcrylicBound = "acrylic-bound",
        SpiritFinish = "spirit-finish",
        AsianLacquer = "asian-lacquer",
        Friable = "friable",
        Collagen = "collagen",
        Keratin = "keratin",
        Silk = "silk",
        Wool = "wool",
        Cellulose = "cellulose",
        Wood = "wood",
        Tannin = "tannin",
        Gold = "gold",
        Silver = "silver",
        Copper = "copper",
        Iron = "iron",
        Lead = "lead",
        Zinc = "zinc",
        Tin = "tin",
        Aluminium = "aluminium",
        ThinMetal = "thin-metal",
        Patina = "patina",
        Pearl = "pearl",
        Dyed = "dyed",
        Ink = "ink",
        Photograph = "photograph",
        AcrylicPlastic = "acrylic-plastic",
        StyrenePlastic = "styrene-plastic",
        NitratePlastic = "nitrate-plastic",
        AcetatePlastic = "acetate-plastic",
        Rubber = "rubber",
        Organic = "organic",
        LowMelting = "low-melting",
        Seals = "seals",
    }
}

words! {
    /// What can hurt a person or feed a fire.
    Hazard : "hazard" {
        Nitrate = "nitrate",
        Lead = "lead",
        Arsenic = "arsenic",
        Mercury = "mercury",
        Asbestos = "asbestos",
        SilicaDust = "silica-dust",
        Mould = "mould",
        Flammable = "flammable",
        Toxic = "toxic",
        Corrosive = "corrosive",
        SkinUptake = "skin-uptake",
        Carcinogen = "carcinogen",
        Reprotoxic = "reprotoxic",
        Sensitiser = "sensitiser",
        Aspiration = "aspiration",
        Narcotic = "narcotic",
        NerveDamage = "nerve-damage",
        WaterToxic = "water-toxic",
        PeroxideFormer = "peroxide-former",
        Oxidiser = "oxidiser",
        Dust = "dust",
        Sharp = "sharp",
        Burn = "burn",
        Fume = "fume",
        EyeLaser = "eye-laser",
        ColdBurn = "cold-burn",
        Asphyxiant = "asphyxiant",
        Noise = "noise",
        Isocyanate = "isocyanate",
        Formaldehyde = "formaldehyde",
        Restricted = "restricted",
    }
}

impl Hazard {
    /// Hazards that sit in an unknown material itself and bind the plan until a clean negative
    /// test excludes them.
    pub const HIDDEN: &'static [Self] = &[
        Self::Nitrate,
        Self::Lead,
        Self::Arsenic,
        Self::Mercury,
        Self::Asbestos,
        Self::Mould,
    ];
}

words! {
    /// How a material ages.
    Ageing : "ageing" {
        Crosslinks = "crosslinks",
        Yellows = "yellows",
        Darkens = "darkens",
        Embrittles = "embrittles",
        Hydrolyses = "hydrolyses",
        Oxidises = "oxidises",
        EmitsAcid = "emits-acid",
        Shrinks = "shrinks",
        Creeps = "creeps",
        StaysSoluble = "stays-soluble",
        LosesSolubility = "loses-solubility",
        Blooms = "blooms",
        Corrodes = "corrodes",
        Sublimes = "sublimes",
    }
}

words! {
    /// What taking off looks like at the bench.
    Effect : "effect" {
        Dissolves = "dissolves",
        PartlyDissolves = "partly dissolves",
        Swells = "swells",
        Softens = "softens",
        Loosens = "loosens",
        Melts = "melts",
        Crumbles = "crumbles",
        Digests = "digests",
    }
}

words! {
    /// What a liquid does to a material.
    Response : "" {
        Dissolves = "dissolves",
        PartlyDissolves = "partly dissolves",
        Swells = "swells",
        SwellsSlightly = "swells slightly",
        NoEffect = "no effect",
        Attacked = "attacked",
        Melts = "melts",
        Blanches = "blanches",
    }
}

impl Response {
    /// Strength on the solubility scale: 0 no effect … 4 dissolves. Chemical attack and melting
    /// move a material without dissolving it and rank with swelling; a change of look alone is 0.
    #[must_use]
    pub const fn grade(self) -> u8 {
        match self {
            Self::Dissolves => 4,
            Self::PartlyDissolves => 3,
            Self::Swells | Self::Attacked | Self::Melts => 2,
            Self::SwellsSlightly => 1,
            Self::NoEffect | Self::Blanches => 0,
        }
    }
}

words! {
    /// What an agent does to a layer that must stay.
    Verdict : "" {
        Safe = "safe",
        Test = "test",
        Harms = "harms",
    }
}

impl Verdict {
    /// How grave a verdict is, 0 to 3, where silence of the record counts: graver than that a trial is
    /// wanted, for unknown is not safe.
    #[must_use]
    pub const fn gravity(verdict: Option<Self>) -> u8 {
        match verdict {
            Some(Self::Safe) => 0,
            Some(Self::Test) => 1,
            None => 2,
            Some(Self::Harms) => 3,
        }
    }
}

words! {
    /// Place of a route in the trade's order of trial.
    Order : "" {
        First = "first",
        Second = "second",
        Last = "last",
        Fails = "fails",
    }
}

words! {
    /// How a removal method acts.
    Action : "" {
        Solvent = "solvent",
        Aqueous = "aqueous",
        Vapour = "vapour",
        Heat = "heat",
        Cold = "cold",
        Mechanical = "mechanical",
        Light = "light",
        Support = "support",
        None = "none",
    }
}

words! {
    /// How much liquid a method sends into what lies beneath.
    Wetting : "" {
        None = "none",
        Little = "little",
        Much = "much",
    }
}
