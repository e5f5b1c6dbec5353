//! The one table of units, and how a unit is found in text.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::dimension::{Dimension, Tag};
use super::number::{is_blank, is_word_character};

/// One row of the table.
#[derive(Debug)]
pub struct UnitRow {
    /// How it is written; case matters.
    pub symbol: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// Other accepted spellings.
    pub also: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Multiplies a value (after `offset`) into the base unit.
    pub factor: f64,
    /// Added to a value before `factor`; not 0 only for temperature points.
    pub offset: f64,
}

const fn row(
    symbol: &'static str,
    name: &'static str,
    also: &'static [&'static str],
    dimension: Dimension,
    factor: f64,
) -> UnitRow {
    UnitRow {
        symbol,
        name,
        also,
        dimension,
        factor,
        offset: 0.0,
    }
}

const fn point(symbol: &'static str, name: &'static str, factor: f64, offset: f64) -> UnitRow {
    UnitRow {
        symbol,
        name,
        also: &[],
        dimension: Dimension::TEMPERATURE,
        factor,
        offset,
    }
}

const fn tagged(symbol: &'static str, name: &'static str, tag: Tag) -> UnitRow {
    row(symbol, name, &[], Dimension::tagged(tag), 1.0)
}

use Dimension as D;

/// Every unit. The first row is the plain number without a unit.
///
/// Factors follow from the definitions of the units and are exact. The base
/// units are m, kg, s, K, mol, cd, A and, for tagged units, the unit itself.
pub const UNITS: &[UnitRow] = &[
    row("", "plain number", &[], D::NONE, 1.0),
    point("C", "degree Celsius", 1.0, 273.15),
    row("K", "kelvin", &[], D::TEMPERATURE, 1.0),
    point("F", "degree Fahrenheit", 5.0 / 9.0, 459.67),
    row("nm", "nanometre", &[], D::LENGTH, 1e-9),
    row("um", "micrometre", &[], D::LENGTH, 1e-6),
    row("mm", "millimetre", &[], D::LENGTH, 1e-3),
    row("cm", "centimetre", &[], D::LENGTH, 1e-2),
    row("m", "metre", &[], D::LENGTH, 1.0),
    row("mm2", "square millimetre", &[], D::AREA, 1e-6),
    row("cm2", "square centimetre", &[], D::AREA, 1e-4),
    row("m2", "square metre", &[], D::AREA, 1.0),
    row("ul", "microlitre", &["uL"], D::VOLUME, 1e-9),
    row("ml", "millilitre", &["mL"], D::VOLUME, 1e-6),
    row("l", "litre", &["L"], D::VOLUME, 1e-3),
    row("cm3", "cubic centimetre", &[], D::VOLUME, 1e-6),
    row("m3", "cubic metre", &[], D::VOLUME, 1.0),
    row("ug", "microgram", &[], D::MASS, 1e-9),
    row("mg", "milligram", &[], D::MASS, 1e-6),
    row("g", "gram", &[], D::MASS, 1e-3),
    row("kg", "kilogram", &[], D::MASS, 1.0),
    row("s", "second", &["second", "seconds"], D::TIME, 1.0),
    row("min", "minute", &["minute", "minutes"], D::TIME, 60.0),
    row("h", "hour", &["hour", "hours"], D::TIME, 3_600.0),
    row("d", "day", &["day", "days"], D::TIME, 86_400.0),
    row("weeks", "week", &["week"], D::TIME, 604_800.0),
    row("years", "year", &["year"], D::tagged(Tag::Years), 1.0),
    tagged("%", "percent", Tag::Percent),
    tagged("% RH", "percent relative humidity", Tag::Humidity),
    tagged("% w/v", "gram in 100 ml", Tag::WeightByVolume),
    tagged("% w/w", "gram in 100 g", Tag::WeightByWeight),
    tagged("% v/v", "millilitre in 100 ml", Tag::VolumeByVolume),
    tagged("parts", "part by volume", Tag::Parts),
    tagged("ppm", "part per million in air", Tag::PerMillion),
    row("passes", "pass", &["pass"], D::tagged(Tag::Passes), 1.0),
    row(
        "air changes",
        "air change in an hour",
        &["air change"],
        D::tagged(Tag::AirChanges),
        1.0,
    ),
    row(
        "m3/h",
        "cubic metre in an hour",
        &[],
        D::FLOW,
        1.0 / 3_600.0,
    ),
    row("l/s", "litre in a second", &["L/s"], D::FLOW, 1e-3),
    row("mg/m3", "milligram in a cubic metre", &[], D::DENSITY, 1e-6),
    row("mg/l", "milligram in a litre", &["mg/L"], D::DENSITY, 1e-3),
    row("g/l", "gram in a litre", &["g/L"], D::DENSITY, 1.0),
    row(
        "g/ml",
        "gram in a millilitre",
        &["g/mL", "g/cm3"],
        D::DENSITY,
        1e3,
    ),
    row("kg/m3", "kilogram in a cubic metre", &[], D::DENSITY, 1.0),
    row("g/m2", "gram on a square metre", &[], D::COVERAGE, 1e-3),
    row("Pa", "pascal", &[], D::PRESSURE, 1.0),
    row("kPa", "kilopascal", &[], D::PRESSURE, 1e3),
    row("MPa", "megapascal", &["N/mm2"], D::PRESSURE, 1e6),
    row("GPa", "gigapascal", &[], D::PRESSURE, 1e9),
    row("mbar", "millibar", &[], D::PRESSURE, 1e2),
    row("bar", "bar", &[], D::PRESSURE, 1e5),
    row("MPa^0.5", "root of a megapascal", &[], D::SOLUBILITY, 1e3),
    row("Pa s", "pascal second", &[], D::VISCOSITY, 1.0),
    row("mPa s", "millipascal second", &["cP"], D::VISCOSITY, 1e-3),
    row("N", "newton", &[], D::FORCE, 1.0),
    row("kN", "kilonewton", &[], D::FORCE, 1e3),
    row(
        "mN/m",
        "millinewton on a metre",
        &["mJ/m2"],
        D::FLUENCE,
        1e-3,
    ),
    row(
        "J/cm2",
        "joule on a square centimetre",
        &[],
        D::FLUENCE,
        1e4,
    ),
    row("lux", "lux", &["lx"], D::ILLUMINANCE, 1.0),
    row("lux h", "lux hour", &["lx h"], D::LIGHT_DOSE, 3_600.0),
    row(
        "Mlx h",
        "megalux hour",
        &["Mlux h"],
        D::LIGHT_DOSE,
        3_600.0e6,
    ),
    row(
        "uS/cm",
        "microsiemens to the centimetre",
        &[],
        D::CONDUCTIVITY,
        1e-4,
    ),
    row(
        "mS/cm",
        "millisiemens to the centimetre",
        &[],
        D::CONDUCTIVITY,
        1e-1,
    ),
    row("g/mol", "gram to the mole", &[], D::MOLAR_MASS, 1e-3),
    row(
        "ml/mol",
        "millilitre to the mole",
        &["mL/mol", "cm3/mol"],
        D::MOLAR_VOLUME,
        1e-6,
    ),
    row("mol/l", "mole in a litre", &["mol/L"], D::MOLARITY, 1e3),
    row(
        "mmol/l",
        "millimole in a litre",
        &["mmol/L"],
        D::MOLARITY,
        1.0,
    ),
];

/// Units that are met in print and refused here, each with what to type.
const FOREIGN: &[(&str, &str)] = &[
    ("cc", "ml"),
    ("cl", "ml, ten to the cl"),
    ("ft", "m, 0.3048 to the foot"),
    ("hr", "h"),
    ("hrs", "h"),
    ("in", "mm, 25.4 to the inch"),
    ("inch", "mm, 25.4 to the inch"),
    ("inches", "mm, 25.4 to the inch"),
    ("lb", "kg, 0.4536 to the pound"),
    ("lbs", "kg, 0.4536 to the pound"),
    ("micron", "um"),
    ("microns", "um"),
    ("mins", "min"),
    ("mil", "um, 25.4 to the mil"),
    ("month", "d or years"),
    ("months", "d or years"),
    ("oz", "g or ml, whichever ounce is meant"),
    ("percent", "%"),
    ("psi", "kPa, 6.895 to the psi"),
    ("sec", "s"),
    ("secs", "s"),
    ("yr", "years"),
    ("yrs", "years"),
    ("degrees", "C, K or F"),
    ("degC", "C"),
    ("degF", "F"),
];

/// A unit of the table. Copies are free; equality is by row.
#[derive(Clone, Copy)]
pub struct Unit(&'static UnitRow);

impl Unit {
    /// The plain number without a unit.
    pub const NONE: Self = Self(&UNITS[0]);

    /// The unit written exactly so (symbol or accepted spelling, with the
    /// signs for degree, micro, square and cube allowed); `None` otherwise.
    #[must_use]
    pub fn from_symbol(symbol: &str) -> Option<Self> {
        if symbol.is_empty() {
            return Some(Self::NONE);
        }
        leading_unit(symbol)
            .filter(|(_, length)| *length == symbol.len())
            .map(|(unit, _)| unit)
    }

    /// How it is written.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        self.0.symbol
    }

    /// What it measures.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        self.0.dimension
    }

    /// Whether this is the plain number.
    #[must_use]
    pub fn is_none(self) -> bool {
        self.0.symbol.is_empty()
    }

    /// A value in this unit as a value in the base unit: a point on the
    /// scale, so 0 C is 273.15 (K).
    #[must_use]
    pub fn to_base(self, value: f64) -> f64 {
        (value + self.0.offset) * self.0.factor
    }

    /// A difference in this unit as one in the base unit, so 10 C is 10 (K).
    #[must_use]
    pub fn difference_to_base(self, value: f64) -> f64 {
        value * self.0.factor
    }

    /// The inverse of [`Unit::to_base`].
    #[must_use]
    pub fn of_base(self, value: f64) -> f64 {
        value / self.0.factor - self.0.offset
    }

    /// The inverse of [`Unit::difference_to_base`].
    #[must_use]
    pub fn difference_of_base(self, value: f64) -> f64 {
        value / self.0.factor
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        self.0.symbol == other.0.symbol
    }
}

impl Eq for Unit {}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({:?})", self.0.symbol)
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.symbol)
    }
}

/// In the pack a unit is its place in the table, which is only ever read by the program that wrote it;
/// elsewhere its symbol.
impl Serialize for Unit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if serializer.is_human_readable() {
            return serializer.serialize_str(self.0.symbol);
        }
        let place = UNITS.iter().position(|row| row.symbol == self.0.symbol);
        let place = place.and_then(|place| u16::try_from(place).ok());
        place.map_or_else(
            || Err(serde::ser::Error::custom("a unit that is not in the table")),
            |place| serializer.serialize_u16(place),
        )
    }
}

impl<'de> Deserialize<'de> for Unit {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        if !deserializer.is_human_readable() {
            let place = u16::deserialize(deserializer)?;
            return UNITS
                .get(usize::from(place))
                .map(Self)
                .ok_or_else(|| serde::de::Error::custom(format!("no unit {place}")));
        }
        let symbol = String::deserialize(deserializer)?;
        Self::from_symbol(&symbol)
            .ok_or_else(|| serde::de::Error::custom(format!("no unit `{symbol}`")))
    }
}

/// Symbols of all units of a dimension, in table order.
#[must_use]
pub fn units_of(dimension: Dimension) -> Vec<&'static str> {
    UNITS
        .iter()
        .filter(|row| row.dimension == dimension && !row.symbol.is_empty())
        .map(|row| row.symbol)
        .collect()
}

/// What to type instead of a unit that is refused: an imperial or shortened
/// one, or one in the wrong case. `None` if nothing is known of the word.
#[must_use]
pub fn foreign_unit(word: &str) -> Option<&'static str> {
    if Unit::from_symbol(word).is_some() {
        return None;
    }
    let lower = word.to_lowercase();
    if let Some((_, advice)) = FOREIGN.iter().find(|(symbol, _)| *symbol == lower) {
        return Some(advice);
    }
    UNITS
        .iter()
        .filter(|row| !row.symbol.is_empty())
        .find(|row| {
            std::iter::once(&row.symbol)
                .chain(row.also)
                .any(|symbol| symbol.to_lowercase() == lower)
        })
        .map(|row| row.symbol)
}

/// The longest unit at the very start of `text`, with its length in bytes.
///
/// The unit must end where a word would end: `mm` is found in `mm thick`,
/// not in `mmol` or `mm-thick`. Blanks inside a unit may be one or more.
#[must_use]
pub fn leading_unit(text: &str) -> Option<(Unit, usize)> {
    let mut best: Option<(Unit, usize)> = None;
    for row in &UNITS[1..] {
        for symbol in std::iter::once(&row.symbol).chain(row.also) {
            if let Some(length) = match_symbol(text, symbol, row.offset > 0.0)
                && best.is_none_or(|(_, longest)| length > longest)
            {
                best = Some((Unit(row), length));
            }
        }
    }
    best
}

fn match_symbol(text: &str, symbol: &str, degree: bool) -> Option<usize> {
    let mut rest = text;
    if degree {
        // One character for both: the sign of degree Celsius or Fahrenheit.
        let joined = if symbol == "C" {
            '\u{2103}'
        } else {
            '\u{2109}'
        };
        if let Some(after) = rest.strip_prefix(joined) {
            return ends_here(after, symbol).then(|| text.len() - after.len());
        }
        rest = rest.strip_prefix(['°', 'º']).unwrap_or(rest);
        rest = rest.trim_start_matches(is_blank);
    }
    for wanted in symbol.chars() {
        if wanted == ' ' {
            let trimmed = rest.trim_start_matches(is_blank);
            // After a percent sign the blank may be left out.
            if trimmed.len() == rest.len() && !symbol.starts_with('%') {
                return None;
            }
            rest = trimmed;
            continue;
        }
        let found = rest.chars().next()?;
        if found != wanted && plain(found) != wanted {
            return None;
        }
        rest = &rest[found.len_utf8()..];
    }
    ends_here(rest, symbol).then(|| text.len() - rest.len())
}

/// Signs that stand for an ASCII letter or digit of a symbol.
fn plain(sign: char) -> char {
    match sign {
        'µ' | 'μ' => 'u',
        '²' => '2',
        '³' => '3',
        other => other,
    }
}

fn ends_here(rest: &str, symbol: &str) -> bool {
    let mut after = rest.chars();
    let Some(next) = after.next() else {
        return true;
    };
    if symbol.ends_with('%') {
        return true;
    }
    if is_word_character(next) || matches!(next, '°' | '²' | '³' | '^') {
        return false;
    }
    // A joining mark continues the word only if something follows it.
    !(matches!(next, '/' | '-' | '\'' | '’') && after.next().is_some_and(char::is_alphanumeric))
}
