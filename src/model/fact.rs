//! A fact, its value, and where it comes from. No number lives here without a basis.

use serde::{Deserialize, Serialize};

use super::lazy::Lazy;
use crate::units::{Quantity, YearSpan};

/// Where a fact comes from.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Basis {
    /// Stated in a source that was opened.
    Published {
        /// Key of the source that states it.
        key: String,
        /// The source in which it was read, when that is another one.
        through: Option<String>,
        /// Page, table, section, or what part was read.
        locator: String,
    },
    /// Common practice of the trade; no single source claimed.
    Practice,
    /// Recalled, not checked: shown as "check on a crumb".
    Memory,
}

impl Basis {
    /// The source that was actually opened, if any.
    #[must_use]
    pub fn source(&self) -> Option<&str> {
        match self {
            Self::Published { key, through, .. } => Some(through.as_deref().unwrap_or(key)),
            Self::Practice | Self::Memory => None,
        }
    }

    /// The same as a list of one, or of none.
    #[must_use]
    pub fn sources(&self) -> Vec<String> {
        self.source().map(str::to_owned).into_iter().collect()
    }

    /// Keys of the sources of several bases, sorted, each once.
    #[must_use]
    pub fn keys<'a>(bases: impl Iterator<Item = &'a Self>) -> Vec<String> {
        let mut out: Vec<String> = bases.filter_map(Self::source).map(str::to_owned).collect();
        out.sort();
        out.dedup();
        out
    }

    /// The words of several bases, weakest first, each once.
    #[must_use]
    pub fn words<'a>(bases: impl Iterator<Item = &'a Self>) -> String {
        let words: Vec<&str> = bases.map(Self::word).collect();
        ["memory", "practice", "published"]
            .into_iter()
            .filter(|w| words.contains(w))
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// One word for tables and data: `published`, `practice` or `memory`.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Published { .. } => "published",
            Self::Practice => "practice",
            Self::Memory => "memory",
        }
    }
}

impl std::fmt::Display for Basis {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Published {
                key,
                through: None,
                locator,
            } => written(f, &[key, ", ", locator]),
            Self::Published {
                key,
                through: Some(other),
                locator,
            } => written(f, &[key, " through ", other, ", ", locator]),
            Self::Practice => f.write_str("practice"),
            Self::Memory => f.write_str("memory"),
        }
    }
}

/// Texts one after another: of one record some hundred bases are written, and what sets fields and fills
/// columns was a twentieth of that answer.
fn written(f: &mut std::fmt::Formatter<'_>, parts: &[&str]) -> std::fmt::Result {
    parts.iter().try_for_each(|part| f.write_str(part))
}

/// File and line of a fact, so that an answer can be traced to the record.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Place {
    /// Path below the corpus folder, e.g. `materials/shellac.toml`.
    pub file: String,
    /// Line, counted from 1; 0 where the record was made in memory.
    pub line: u32,
    /// Column in characters, counted from 1; 0 where the record was made in memory.
    pub column: u32,
}

/// A sphere in Hansen space, or a point when it has no radius. All parts in `MPa^0.5`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hansen {
    /// Dispersion.
    pub d: f64,
    /// Polarity.
    pub p: f64,
    /// Hydrogen bonding.
    pub h: f64,
    /// Radius of interaction, for polymers.
    pub radius: Option<f64>,
}

impl Hansen {
    /// A point: parameters without a radius, `MPa^0.5`.
    #[must_use]
    pub const fn point(d: f64, p: f64, h: f64) -> Self {
        Self {
            d,
            p,
            h,
            radius: None,
        }
    }
}

/// The value of a fact.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Value {
    /// One or more controlled words or ids; any one of them may be met.
    Words(Vec<String>),
    /// A number or a range with its unit.
    Measure(Quantity),
    /// Years.
    Years(YearSpan),
    /// Hansen parameters.
    Hansen(Hansen),
    /// Teas fractions in per cent: dispersion, polarity, hydrogen bonding.
    Teas(f64, f64, f64),
    /// Running text.
    Text(String),
    /// Does not apply, with the reason.
    NotApplicable(String),
    /// Looked for and not found, with the search that was made.
    Sought(String),
}

impl Value {
    /// Whether the value says anything about the thing itself.
    #[must_use]
    pub const fn is_known(&self) -> bool {
        !matches!(self, Self::Sought(_) | Self::NotApplicable(_))
    }
}

/// One fact: value, basis, conditions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fact {
    /// What is stated.
    pub value: Value,
    /// Where it comes from.
    pub basis: Basis,
    /// Time that it took or is allowed, as written.
    pub within: Option<String>,
    /// Temperature, as written.
    pub at: Option<String>,
    /// Jurisdiction of a limit.
    pub region: Option<String>,
    /// Averaging time of a limit (`8 h`, `15 min`, `ceiling`).
    pub averaging: Option<String>,
    /// A short remark.
    pub note: Option<String>,
    /// Reason, where a verdict is given.
    pub why: Option<String>,
    /// File and line.
    pub place: Place,
}

impl Fact {
    /// A fact with a value and a basis and nothing else.
    #[must_use]
    pub fn new(value: Value, basis: Basis) -> Self {
        Self {
            value,
            basis,
            within: None,
            at: None,
            region: None,
            averaging: None,
            note: None,
            why: None,
            place: Place::default(),
        }
    }

    /// The controlled words of this fact; empty if it holds something else.
    #[must_use]
    pub fn words(&self) -> &[String] {
        match &self.value {
            Value::Words(words) => words,
            _ => &[],
        }
    }
}

/// Named facts of a record, in the order of the record. Several facts under one key are sources
/// that disagree or conditions that differ; none is dropped. What stands under a key is decoded when
/// it is asked for.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Facts(pub Lazy<Vec<(String, Lazy<Vec<Fact>>)>>);

impl Facts {
    /// All facts under a key; an empty slice when the key is unrecorded.
    #[must_use]
    pub fn get(&self, key: &str) -> &[Fact] {
        self.0
            .iter()
            .find(|(k, _)| k == key)
            .map_or(&[], |(_, facts)| facts.as_slice())
    }

    /// The first fact under a key that says something.
    #[must_use]
    pub fn first(&self, key: &str) -> Option<&Fact> {
        self.get(key).iter().find(|fact| fact.value.is_known())
    }

    /// The first text under a key.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<&str> {
        self.get(key).iter().find_map(|fact| match &fact.value {
            Value::Text(text) => Some(text.as_str()),
            _ => None,
        })
    }

    /// Every text under a key, in order: where sources add to one another, none is dropped.
    pub fn texts<'f>(&'f self, key: &str) -> impl Iterator<Item = &'f str> + use<'f> {
        self.get(key).iter().filter_map(|fact| match &fact.value {
            Value::Text(text) => Some(text.as_str()),
            _ => None,
        })
    }

    /// All words under a key, each once, in order.
    #[must_use]
    pub fn words(&self, key: &str) -> Vec<&str> {
        let mut out = Vec::new();
        for word in self.get(key).iter().flat_map(Fact::words) {
            if !out.contains(&word.as_str()) {
                out.push(word);
            }
        }
        out
    }

    /// The first quantity under a key.
    #[must_use]
    pub fn measure(&self, key: &str) -> Option<&Quantity> {
        self.get(key).iter().find_map(|fact| match &fact.value {
            Value::Measure(quantity) => Some(quantity),
            _ => None,
        })
    }

    /// The first point or sphere under `hansen`.
    #[must_use]
    pub fn hansen(&self) -> Option<Hansen> {
        self.get("hansen").iter().find_map(|fact| match fact.value {
            Value::Hansen(hansen) => Some(hansen),
            _ => None,
        })
    }

    /// The first span of years under a key.
    #[must_use]
    pub fn years(&self, key: &str) -> Option<YearSpan> {
        self.get(key).iter().find_map(|fact| match &fact.value {
            Value::Years(span) => Some(*span),
            _ => None,
        })
    }

    /// Keys in record order.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(key, _)| key.as_str())
    }

    /// Every fact.
    pub fn all(&self) -> impl Iterator<Item = (&str, &Fact)> {
        self.0
            .iter()
            .flat_map(|(key, facts)| facts.iter().map(move |fact| (key.as_str(), fact)))
    }

    /// Adds a fact under a key.
    pub fn push(&mut self, key: &str, fact: Fact) {
        match self.0.iter_mut().find(|(k, _)| k == key) {
            Some((_, facts)) => facts.push(fact),
            None => self.0.push((key.to_owned(), vec![fact].into())),
        }
    }
}
