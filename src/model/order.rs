//! What is asked of the bench: a solution to make, a liquid that evaporates into a room. Names and
//! units are resolved; nothing is reckoned yet.

use super::record::{Agent, Carrier, Material};

/// How much is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wanted {
    /// Millilitres.
    Volume(f64),
    /// Grams.
    Mass(f64),
}

/// How strong.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strength {
    /// Grams in 100 ml.
    WeightByVolume(f64),
    /// Grams in 100 g.
    WeightByWeight(f64),
    /// Millilitres in 100 ml.
    VolumeByVolume(f64),
    /// mol/l.
    Molar(f64),
    /// µS/cm at 25 °C.
    Conductivity(f64),
    /// The parts of the mixture, by volume.
    PartsByVolume,
    /// The parts of the mixture, by weight.
    PartsByWeight,
}

/// What goes into a solution.
#[derive(Clone, Debug, PartialEq)]
pub enum Substance {
    /// A resin, glue, gum, wax.
    Material(Box<Material>),
    /// A liquid or reagent.
    Agent(Box<Agent>),
    /// A gelling agent.
    Carrier(Box<Carrier>),
    /// A salt or another jar, by id among the reagents.
    Ingredient(String),
    /// A buffer, by id among the reagents.
    Buffer(String),
}

/// One part of a mixture.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// As typed.
    pub called: String,
    /// What it is.
    pub is: Substance,
    /// Its share, 0-1.
    pub share: f64,
}

/// The vessel that a volume is measured in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Vessel {
    /// A graduated cylinder; its limit of error in ml, where stated.
    Cylinder(Option<f64>),
    /// A volumetric flask; its limit of error in ml, where stated.
    Flask(Option<f64>),
}

/// A gel that the solution is to become.
#[derive(Clone, Debug, PartialEq)]
pub struct Gel {
    /// The gelling agent.
    pub carrier: Box<Carrier>,
    /// Grams in 100 ml, where stated.
    pub share: Option<f64>,
}

/// A solution to make.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// How much.
    pub wanted: Wanted,
    /// How strong.
    pub strength: Strength,
    /// As typed: amount and strength.
    pub typed: (String, String),
    /// What is dissolved; shares by weight, or by volume of liquids.
    pub solute: Vec<Part>,
    /// What it is dissolved in; shares by volume. Empty for a mixture in parts.
    pub solvent: Vec<Part>,
    /// Strength of the stock that is diluted, in the kind of `strength`.
    pub stock: Option<f64>,
    /// pH, where stated.
    pub ph: Option<f64>,
    /// Temperature, °C, where stated.
    pub celsius: Option<f64>,
    /// What the balance reads to, grams.
    pub balance: Figure,
    /// The vessel.
    pub vessel: Vessel,
    /// The gel.
    pub gel: Option<Gel>,
    /// Agents that the user permits by name though the law restricts them.
    pub permitted: Vec<String>,
}

/// A figure that is reckoned with: stated, or supposed where nobody stated it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// The figure.
    pub value: f64,
    /// Whether it was stated.
    pub stated: bool,
}

impl Figure {
    /// What was stated.
    #[must_use]
    pub const fn stated(value: f64) -> Self {
        Self {
            value,
            stated: true,
        }
    }

    /// What is supposed.
    #[must_use]
    pub const fn supposed(value: f64) -> Self {
        Self {
            value,
            stated: false,
        }
    }

    /// What was stated, if it was, and else what is supposed.
    #[must_use]
    pub fn or_supposed(stated: Option<f64>, supposed: f64) -> Self {
        stated.map_or(Self::supposed(supposed), Self::stated)
    }
}

/// A liquid that evaporates into a room.
#[derive(Clone, Debug, PartialEq)]
pub struct Evaporation {
    /// How much.
    pub wanted: Wanted,
    /// As typed.
    pub typed: String,
    /// The liquids; shares by volume.
    pub parts: Vec<Part>,
    /// In what time, hours; the shortest of a range.
    pub hours: f64,
    /// The room, m³; the smallest of a range.
    pub room: f64,
    /// Fresh air, m³/h; the least of a range.
    pub air: f64,
    /// Mixing factor, 1 to 10.
    pub mixing: Figure,
}

/// Where in the question something is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// The amount.
    Amount,
    /// The strength.
    Strength,
    /// What is dissolved, or what evaporates.
    Solute,
    /// What it is dissolved in.
    Solvent,
    /// The stock.
    Stock,
    /// The temperature.
    Temperature,
    /// The gelling agent.
    Gel,
}

/// Why no sum is made, with the word that it hangs on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// Code of the message.
    pub code: &'static str,
    /// Where.
    pub place: Place,
    /// What is wrong, in one line.
    pub message: String,
    /// What is wrong just there.
    pub label: String,
    /// Facts that bear on it.
    pub notes: Vec<String>,
    /// What to do instead.
    pub help: String,
}
