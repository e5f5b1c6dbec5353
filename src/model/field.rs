//! Named fields of the records: what they hold, in which dimension, on which kinds.
//!
//! One table drives reading, lints, `find`, and the documentation.

use super::record::Kind;
use crate::units::{Dimension, Tag};

/// What a field holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Controlled words of a list in `kb/vocab/words.toml`.
    Words(&'static str),
    /// Outcomes of the bench test with the field's own name.
    Outcomes,
    /// Ids of records.
    Ids(Kind),
    /// A number or range of a dimension.
    Measure(Dimension),
    /// The same, or words where a source gives no figure (`seconds on a spot`).
    MeasureOrText(Dimension),
    /// Years.
    Years,
    /// Hansen parameters.
    Hansen,
    /// Teas fractions.
    Teas,
    /// Running text.
    Text,
    /// An exposure limit: ppm of vapour, or a mass in a volume of air.
    Limit,
    /// Words that no list closes.
    OpenWords,
}

/// One field.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Key in a record.
    pub key: &'static str,
    /// Kinds of record that may have it.
    pub kinds: &'static [Kind],
    /// What it holds.
    pub holds: Holds,
    /// One line for help and documentation.
    pub meaning: &'static str,
}

const M: &[Kind] = &[Kind::Material];
const A: &[Kind] = &[Kind::Agent];
const ME: &[Kind] = &[Kind::Method];
const T: &[Kind] = &[Kind::Test];
const ML: &[Kind] = &[Kind::Material, Kind::Layer];
const CARRIER: &[Kind] = &[Kind::Carrier];

const fn field(
    key: &'static str,
    kinds: &'static [Kind],
    holds: Holds,
    meaning: &'static str,
) -> Field {
    Field {
        key,
        kinds,
        holds,
        meaning,
    }
}

/// Every field, by kind of record.
pub const FIELDS: &[Field] = &[
    field("composition", M, Holds::Text, "what it is made of"),
    field("used", M, Holds::Years, "years met in restoration"),
    field("main", M, Holds::Years, "years of main use"),
    field("look", M, Holds::Text, "what it looks like when old"),
    field(
        "tg",
        M,
        Holds::Measure(Dimension::TEMPERATURE),
        "glass transition",
    ),
    field(
        "softens",
        M,
        Holds::Measure(Dimension::TEMPERATURE),
        "softening temperature",
    ),
    field(
        "melts",
        &[Kind::Material, Kind::Agent],
        Holds::Measure(Dimension::TEMPERATURE),
        "melting temperature",
    ),
    field(
        "ignites",
        M,
        Holds::Measure(Dimension::TEMPERATURE),
        "ignition temperature",
    ),
    field(
        "refractive-index",
        ML,
        Holds::Measure(Dimension::NONE),
        "refractive index, sodium light",
    ),
    field(
        "density",
        &[Kind::Material, Kind::Agent],
        Holds::Measure(Dimension::DENSITY),
        "density",
    ),
    field(
        "ph",
        &[Kind::Material, Kind::Agent, Kind::Carrier],
        Holds::Measure(Dimension::NONE),
        "pH",
    ),
    field(
        "shrinkage",
        M,
        Holds::Measure(Dimension::tagged(Tag::Percent)),
        "shrinkage on setting",
    ),
    field(
        "strength",
        ML,
        Holds::Measure(Dimension::PRESSURE),
        "strength of a joint; of a layer, in tension or shear",
    ),
    field(
        "sets",
        M,
        Holds::Words("sets"),
        "how it turns from what is put on into what stays",
    ),
    field(
        "working-time",
        M,
        Holds::Measure(Dimension::TIME),
        "time to work in before it sets",
    ),
    field(
        "acts-like",
        M,
        Holds::Ids(Kind::Agent),
        "liquid that acts on a film as the uncured material does",
    ),
    field(
        "seen-for",
        M,
        Holds::Measure(Dimension::tagged(Tag::Years)),
        "years over which its ageing was watched",
    ),
    field(
        "sheen",
        M,
        Holds::OpenWords,
        "sheen of a thin coat: matt, satin, gloss",
    ),
    field(
        "hansen",
        &[Kind::Material, Kind::Agent, Kind::Layer],
        Holds::Hansen,
        "Hansen parameters, MPa^0.5",
    ),
    field(
        "teas",
        A,
        Holds::Teas,
        "Teas fractions, per cent, as published",
    ),
    field(
        "stability",
        M,
        Holds::OpenWords,
        "photochemical stability class",
    ),
    field(
        "applied-in",
        M,
        Holds::Ids(Kind::Agent),
        "liquids that it is applied in",
    ),
    field("ageing", M, Holds::Words("ageing"), "how it ages"),
    field(
        "reversibility",
        M,
        Holds::Text,
        "how far it can be taken back",
    ),
    field(
        "hazards",
        &[
            Kind::Material,
            Kind::Agent,
            Kind::Method,
            Kind::Test,
            Kind::Carrier,
        ],
        Holds::Words("hazard"),
        "hazards",
    ),
    field(
        "legal",
        &[Kind::Material, Kind::Agent],
        Holds::Text,
        "legal limits on sale or use",
    ),
    field("hosts", M, Holds::Text, "what it is met on"),
    field(
        "uv",
        &[Kind::Layer],
        Holds::Outcomes,
        "fluorescence of the host itself, long-wave",
    ),
    field(
        "molar-mass",
        A,
        Holds::Measure(Dimension::MOLAR_MASS),
        "molar mass",
    ),
    field(
        "molar-volume",
        A,
        Holds::Measure(Dimension::MOLAR_VOLUME),
        "molar volume at 25 C",
    ),
    field(
        "boils",
        A,
        Holds::Measure(Dimension::TEMPERATURE),
        "boiling point",
    ),
    field(
        "vapour-pressure",
        A,
        Holds::Measure(Dimension::PRESSURE),
        "vapour pressure at 25 C",
    ),
    field(
        "unifac",
        A,
        Holds::OpenWords,
        "groups of its molecule for activity coefficients",
    ),
    field(
        "immiscible",
        A,
        Holds::OpenWords,
        "liquids, or classes of them, with which it does not mix at 20 C",
    ),
    field(
        "miscible",
        A,
        Holds::OpenWords,
        "liquids or classes with which it mixes in every share at 20 C",
    ),
    field(
        "partly-miscible",
        A,
        Holds::OpenWords,
        "liquids or classes with which it mixes only in part at 20 C",
    ),
    field(
        "evaporation",
        A,
        Holds::Measure(Dimension::NONE),
        "evaporation rate, n-butyl acetate = 1",
    ),
    field(
        "flash",
        A,
        Holds::Measure(Dimension::TEMPERATURE),
        "flash point, closed cup",
    ),
    field(
        "lfl",
        A,
        Holds::Measure(Dimension::tagged(Tag::Percent)),
        "lower flammable limit, per cent by volume",
    ),
    field(
        "limit",
        A,
        Holds::Limit,
        "occupational exposure limit, ppm or mg/m3, with jurisdiction",
    ),
    field("statements", A, Holds::OpenWords, "hazard statements (GHS)"),
    field("use", A, Holds::Text, "how it is used"),
    field("avoid", A, Holds::Text, "what it must not meet"),
    field(
        "dwell",
        ME,
        Holds::MeasureOrText(Dimension::TIME),
        "contact time to start from",
    ),
    field(
        "passes",
        ME,
        Holds::MeasureOrText(Dimension::NONE),
        "passes",
    ),
    field(
        "temperature",
        ME,
        Holds::Measure(Dimension::TEMPERATURE),
        "working temperature",
    ),
    field("watch", ME, Holds::Text, "what to look for"),
    field("stop", ME, Holds::Text, "stop sign"),
    field(
        "clearance",
        &[Kind::Method, Kind::Carrier],
        Holds::Text,
        "how what it leaves is cleared",
    ),
    field(
        "residue",
        &[Kind::Method, Kind::Carrier],
        Holds::Text,
        "what it leaves",
    ),
    field(
        "not-when",
        &[Kind::Method, Kind::Carrier],
        Holds::Text,
        "when it is not used",
    ),
    field("needs", ME, Holds::Text, "equipment"),
    field(
        "how",
        &[Kind::Method, Kind::Test, Kind::Carrier],
        Holds::Text,
        "how it is done, or made",
    ),
    field(
        "share",
        CARRIER,
        Holds::Measure(Dimension::tagged(Tag::Percent)),
        "share in the gel",
    ),
    field(
        "co-solvent",
        CARRIER,
        Holds::Measure(Dimension::tagged(Tag::Percent)),
        "most polar organic liquid that its gel of water takes, by volume",
    ),
    field("salts", CARRIER, Holds::Text, "tolerance of salts"),
    field(
        "positive",
        T,
        Holds::Measure(Dimension::NONE),
        "chance of a positive, target present",
    ),
    field(
        "false-positive",
        T,
        Holds::Measure(Dimension::NONE),
        "chance of a positive, rival present",
    ),
    field(
        "reliability",
        T,
        Holds::Measure(Dimension::NONE),
        "chance that a trained eye reads it right",
    ),
    field("confounders", T, Holds::OpenWords, "what misleads it"),
    field(
        "caution",
        &[Kind::Test, Kind::Carrier],
        Holds::Text,
        "caution",
    ),
];

/// The field with this key on this kind of record.
#[must_use]
pub fn field_of(kind: Kind, key: &str) -> Option<&'static Field> {
    FIELDS
        .iter()
        .find(|f| f.key == key && f.kinds.contains(&kind))
}

/// The field with this key on any kind.
#[must_use]
pub fn field_named(key: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|f| f.key == key)
}
