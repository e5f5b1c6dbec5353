//! A number with its unit, kept as it was typed.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::dimension::Tag;
use super::number::{FaultKind, scan, whole_year};
use super::table::{Unit, foreign_unit};
use super::years::{YearEnd, YearSpan};

/// How much.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Amount {
    /// One value.
    Exact(f64),
    /// From `low` to `high`, both included; an absent end is open.
    Range {
        /// The lower end.
        low: Option<f64>,
        /// The higher end.
        high: Option<f64>,
    },
    /// Parts by volume, each above zero.
    Ratio(Vec<f64>),
    /// Years of which at least one end is named (`antiquity..now`).
    Years(YearSpan),
}

/// Whether a temperature is a point on the scale or a difference on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reading {
    /// 35 C is 308.15 K.
    Point,
    /// 35 C is 35 K.
    Difference,
}

/// Lowest and highest value in one unit; open ends are infinite.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Bounds {
    /// Lowest.
    pub low: f64,
    /// Highest; equal to `low` for one value.
    pub high: f64,
}

/// An amount, its unit, and the text it was typed as.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Quantity {
    /// How much, in `unit`.
    pub amount: Amount,
    /// The unit; [`Unit::NONE`] for a bare number.
    pub unit: Unit,
    /// As typed, for the echo: `12mm` stays `12mm`.
    pub literal: String,
}

impl Quantity {
    /// Lowest and highest value in the unit as typed; `None` for a ratio and
    /// for years with a named end.
    #[must_use]
    pub fn bounds(&self) -> Option<Bounds> {
        match &self.amount {
            Amount::Exact(value) => Some(Bounds {
                low: *value,
                high: *value,
            }),
            Amount::Range { low, high } => Some(Bounds {
                low: low.unwrap_or(f64::NEG_INFINITY),
                high: high.unwrap_or(f64::INFINITY),
            }),
            Amount::Ratio(_) | Amount::Years(_) => None,
        }
    }

    /// Lowest and highest value in the base unit of the dimension (m, kg, s,
    /// K, ... ; a tagged unit is its own base).
    #[must_use]
    pub fn base(&self, reading: Reading) -> Option<Bounds> {
        let bounds = self.bounds()?;
        let convert = |value| match reading {
            Reading::Point => self.unit.to_base(value),
            Reading::Difference => self.unit.difference_to_base(value),
        };
        Some(Bounds {
            low: convert(bounds.low),
            high: convert(bounds.high),
        })
    }

    /// Lowest and highest value in another unit; `None` if that unit measures
    /// something else, and for a ratio and years with a named end.
    #[must_use]
    pub fn convert(&self, unit: Unit, reading: Reading) -> Option<Bounds> {
        if unit.dimension() != self.unit.dimension() {
            return None;
        }
        let base = self.base(reading)?;
        let convert = |value| match reading {
            Reading::Point => unit.of_base(value),
            Reading::Difference => unit.difference_of_base(value),
        };
        Some(Bounds {
            low: convert(base.low),
            high: convert(base.high),
        })
    }

    /// The quantity as a span of years: whole bare numbers, `years` with a
    /// range, and named ends.
    #[must_use]
    pub fn years(&self) -> Option<YearSpan> {
        if !(self.unit.is_none() || self.unit.dimension().tag == Tag::Years) {
            return None;
        }
        let end = |value: Option<f64>| match value {
            None => Some(YearEnd::Open),
            Some(value) => {
                // A fraction of a year is not a date.
                (value.fract() == 0.0).then(|| YearEnd::Year(whole_year(value)))
            }
        };
        match &self.amount {
            Amount::Years(years) => Some(*years),
            Amount::Exact(value) => Some(YearSpan {
                from: end(Some(*value))?,
                to: end(Some(*value))?,
            }),
            Amount::Range { low, high } => Some(YearSpan {
                from: end(*low)?,
                to: end(*high)?,
            }),
            Amount::Ratio(_) => None,
        }
    }

    /// Parts of a ratio as shares that add up to 1; `None` otherwise.
    #[must_use]
    pub fn shares(&self) -> Option<Vec<f64>> {
        let Amount::Ratio(parts) = &self.amount else {
            return None;
        };
        let whole: f64 = parts.iter().sum();
        Some(parts.iter().map(|part| part / whole).collect())
    }

    /// Whether a temperature point lies below absolute zero, which no
    /// thermometer shows: a slip of sign or unit.
    #[must_use]
    pub fn below_absolute_zero(&self) -> bool {
        self.unit.dimension().is_temperature()
            && match &self.amount {
                Amount::Exact(value) => self.unit.to_base(*value) < 0.0,
                Amount::Range { low, high } => low
                    .or(*high)
                    .is_some_and(|value| self.unit.to_base(value) < 0.0),
                Amount::Ratio(_) | Amount::Years(_) => false,
            }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.literal)
    }
}

/// Why a text is no quantity. The message is lower case and without a stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuantityError {
    /// Nothing was typed.
    Empty,
    /// It does not start with a number.
    NotANumber {
        /// What was found.
        found: String,
    },
    /// The number is in a refused form.
    Refused {
        /// Which form.
        kind: FaultKind,
        /// The number at fault.
        found: String,
    },
    /// The number is followed by something that is no unit.
    NoUnit {
        /// What was found.
        found: String,
        /// What to type instead, if known.
        advice: Option<&'static str>,
    },
    /// Years were wanted.
    NotYears {
        /// What was found.
        found: String,
    },
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("a number is missing"),
            Self::NotANumber { found } => write!(f, "`{found}` does not start with a number"),
            Self::Refused { kind, found } => write!(f, "`{found}`: {}", kind.reason()),
            Self::NoUnit {
                found,
                advice: Some(advice),
            } => write!(f, "no unit `{found}`: use {advice}"),
            Self::NoUnit {
                found,
                advice: None,
            } => write!(f, "no unit `{found}`"),
            Self::NotYears { found } => write!(f, "`{found}` is no span of years"),
        }
    }
}

impl std::error::Error for QuantityError {}

impl FaultKind {
    /// What is wrong, as a message without its subject.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::Comma => "a comma stands between digits",
            Self::Hyphen => "a hyphen stands between numbers where a range wants two dots",
            Self::Points => "more than one decimal point in a number",
            Self::BarePoint => "a decimal point without a digit before it",
            Self::Backwards => "the higher end of the range comes first",
            Self::LoneDots => "two dots without a number beside them",
            Self::Ratio => "a ratio has two to eight parts above zero",
            Self::Long => "more digits than a number can hold",
        }
    }
}

/// Reads a whole text as a quantity: `65..75 C`, `-20 C`, `0.5..2 %`, `30 s`,
/// `1:1`, `antiquity..now`, `1890..1935`, or a bare number.
///
/// A ratio takes the unit `parts`, years with a named end the unit `years`.
/// A bare range of whole numbers stays bare: [`Quantity::years`] reads it as
/// years where years are wanted.
///
/// # Errors
/// [`QuantityError`] when the text is not one number with at most one unit.
pub fn parse_quantity(text: &str) -> Result<Quantity, QuantityError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(QuantityError::Empty);
    }
    let scanned = match scan(text) {
        None => {
            return Err(QuantityError::NotANumber {
                found: text.to_owned(),
            });
        }
        Some(Err(fault)) => {
            return Err(QuantityError::Refused {
                kind: fault.kind,
                found: text[..fault.length].to_owned(),
            });
        }
        Some(Ok(scanned)) => scanned,
    };
    let rest = text[scanned.length..].trim_start();
    let unit = match (&scanned.amount, rest) {
        (Amount::Ratio(_), "") => unit_for("parts"),
        (Amount::Years(_), "") => unit_for("years"),
        (Amount::Ratio(_) | Amount::Years(_), _) => None,
        _ => Unit::from_symbol(rest),
    };
    match unit {
        Some(unit) => Ok(Quantity {
            amount: scanned.amount,
            unit,
            literal: text.to_owned(),
        }),
        None => Err(QuantityError::NoUnit {
            found: rest.to_owned(),
            advice: foreign_unit(rest),
        }),
    }
}

/// Reads a whole text as a span of years: `1890..1935`, `1890..`, `..1900`,
/// `antiquity..now`, `1923`.
///
/// # Errors
/// [`QuantityError`] when the text is no quantity or not of years.
pub fn parse_years(text: &str) -> Result<YearSpan, QuantityError> {
    parse_quantity(text)?
        .years()
        .ok_or_else(|| QuantityError::NotYears {
            found: text.trim().to_owned(),
        })
}

fn unit_for(symbol: &str) -> Option<Unit> {
    Unit::from_symbol(symbol)
}
