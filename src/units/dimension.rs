//! What a unit measures.

use std::fmt;

/// Keeps apart what physics would call the same plain number.
///
/// 8 % w/v and 8 % w/w differ at the bench by the density of the solution,
/// and 50 years are never typed in seconds, so each has a tag of its own and
/// converts to nothing else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Tag {
    /// No tag: the exponents say all.
    #[default]
    None,
    /// A bare percentage: shrinkage, elongation, reflectance.
    Percent,
    /// Relative humidity in percent.
    Humidity,
    /// Grams in 100 ml (of solution or of solvent: both readings are in use).
    WeightByVolume,
    /// Grams in 100 g of mixture.
    WeightByWeight,
    /// Millilitres in 100 ml of mixture.
    VolumeByVolume,
    /// Parts by volume, as in `1:3`.
    Parts,
    /// Parts per million of a vapour in air, by volume.
    PerMillion,
    /// Passes of a swab, a blade or a laser.
    Passes,
    /// Calendar years and ageing in years.
    Years,
    /// Exchanges of a room's air in an hour.
    AirChanges,
}

/// Exponents over the base quantities, and a [`Tag`].
///
/// Exponents are stored doubled, so that the square root of a pressure, in
/// which solubility parameters are given, stays exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Dimension {
    /// Twice the exponent of length (metre).
    pub length: i8,
    /// Twice the exponent of mass (kilogram).
    pub mass: i8,
    /// Twice the exponent of time (second).
    pub time: i8,
    /// Twice the exponent of temperature (kelvin).
    pub temperature: i8,
    /// Twice the exponent of amount of substance (mole).
    pub amount: i8,
    /// Twice the exponent of luminous intensity (candela).
    pub luminous: i8,
    /// Twice the exponent of electric current (ampere).
    pub current: i8,
    /// What else keeps it apart.
    pub tag: Tag,
}

impl Dimension {
    /// A plain number.
    pub const NONE: Self = Self::of(0, 0, 0);
    /// Length, base m.
    pub const LENGTH: Self = Self::of(1, 0, 0);
    /// Area, base m2.
    pub const AREA: Self = Self::of(2, 0, 0);
    /// Volume, base m3.
    pub const VOLUME: Self = Self::of(3, 0, 0);
    /// Mass, base kg.
    pub const MASS: Self = Self::of(0, 1, 0);
    /// Time, base s.
    pub const TIME: Self = Self::of(0, 0, 1);
    /// Force, base N.
    pub const FORCE: Self = Self::of(1, 1, -2);
    /// Pressure, stress, stiffness, base Pa.
    pub const PRESSURE: Self = Self::of(-1, 1, -2);
    /// Dynamic viscosity, base Pa s.
    pub const VISCOSITY: Self = Self::of(-1, 1, -1);
    /// Energy on an area, base J/m2; the same as force on a length.
    pub const FLUENCE: Self = Self::of(0, 1, -2);
    /// Mass in a volume: density and mass concentration, base kg/m3.
    pub const DENSITY: Self = Self::of(-3, 1, 0);
    /// Mass on an area, base kg/m2.
    pub const COVERAGE: Self = Self::of(-2, 1, 0);
    /// Temperature, base K.
    pub const TEMPERATURE: Self = Self {
        temperature: 2,
        ..Self::NONE
    };
    /// Solubility parameter, base Pa^0.5.
    pub const SOLUBILITY: Self = Self {
        length: -1,
        mass: 1,
        time: -2,
        ..Self::NONE
    };
    /// Illuminance, base lux.
    pub const ILLUMINANCE: Self = Self {
        length: -4,
        luminous: 2,
        ..Self::NONE
    };
    /// Light dose, base lux s.
    pub const LIGHT_DOSE: Self = Self {
        time: 2,
        ..Self::ILLUMINANCE
    };
    /// Electric conductivity, base S/m.
    pub const CONDUCTIVITY: Self = Self {
        length: -6,
        mass: -2,
        time: 6,
        current: 4,
        ..Self::NONE
    };
    /// Molar mass, base kg/mol.
    pub const MOLAR_MASS: Self = Self {
        mass: 2,
        amount: -2,
        ..Self::NONE
    };
    /// Molar volume, base m3/mol.
    pub const MOLAR_VOLUME: Self = Self {
        length: 6,
        amount: -2,
        ..Self::NONE
    };
    /// Volume in a time: air through a room, base m3/s.
    pub const FLOW: Self = Self::of(3, 0, -1);
    /// Amount in a volume, base mol/m3.
    pub const MOLARITY: Self = Self {
        length: -6,
        amount: 2,
        ..Self::NONE
    };

    /// Whole exponents of length, mass and time.
    const fn of(length: i8, mass: i8, time: i8) -> Self {
        Self {
            length: length * 2,
            mass: mass * 2,
            time: time * 2,
            temperature: 0,
            amount: 0,
            luminous: 0,
            current: 0,
            tag: Tag::None,
        }
    }

    /// A plain number kept apart by a tag.
    #[must_use]
    pub const fn tagged(tag: Tag) -> Self {
        Self { tag, ..Self::NONE }
    }

    /// Whether it is a temperature, so that point and difference part.
    #[must_use]
    pub fn is_temperature(self) -> bool {
        self == Self::TEMPERATURE
    }

    /// What it is called at the bench, such as `a temperature`.
    #[must_use]
    pub fn name(self) -> &'static str {
        NAMES
            .iter()
            .find(|(dimension, _)| *dimension == self)
            .map_or("a compound quantity", |(_, name)| name)
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

const NAMES: &[(Dimension, &str)] = &[
    (Dimension::NONE, "a plain number"),
    (Dimension::LENGTH, "a length"),
    (Dimension::AREA, "an area"),
    (Dimension::VOLUME, "a volume"),
    (Dimension::MASS, "a mass"),
    (Dimension::TIME, "a time"),
    (Dimension::FORCE, "a force"),
    (Dimension::PRESSURE, "a pressure or stress"),
    (Dimension::VISCOSITY, "a viscosity"),
    (Dimension::FLUENCE, "an energy on an area"),
    (Dimension::DENSITY, "a mass in a volume"),
    (Dimension::COVERAGE, "a mass on an area"),
    (Dimension::TEMPERATURE, "a temperature"),
    (Dimension::SOLUBILITY, "a solubility parameter"),
    (Dimension::ILLUMINANCE, "an illuminance"),
    (Dimension::LIGHT_DOSE, "a light dose"),
    (Dimension::CONDUCTIVITY, "an electric conductivity"),
    (Dimension::MOLAR_MASS, "a molar mass"),
    (Dimension::MOLAR_VOLUME, "a molar volume"),
    (Dimension::MOLARITY, "an amount in a volume"),
    (Dimension::FLOW, "a flow of air"),
    (Dimension::tagged(Tag::Percent), "a percentage"),
    (Dimension::tagged(Tag::Humidity), "a relative humidity"),
    (Dimension::tagged(Tag::WeightByVolume), "a weight in volume"),
    (Dimension::tagged(Tag::WeightByWeight), "a weight in weight"),
    (Dimension::tagged(Tag::VolumeByVolume), "a volume in volume"),
    (Dimension::tagged(Tag::Parts), "parts by volume"),
    (
        Dimension::tagged(Tag::PerMillion),
        "parts per million in air",
    ),
    (Dimension::tagged(Tag::Passes), "a number of passes"),
    (Dimension::tagged(Tag::Years), "years"),
    (Dimension::tagged(Tag::AirChanges), "air changes in an hour"),
];
