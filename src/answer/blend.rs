//! Answer to `blend`: what dissolves one thing and spares the others, and for how long while it dries.

use super::{Call, Entry, LayerHarm, Part, Reason};
use crate::gate::Passed;
use crate::model::scene::Step;
use crate::model::{Does, Hansen, Place};

/// Answer to `blend`.
#[derive(Clone, Debug, Default)]
pub struct Blend {
    /// What it is to do.
    pub action: Does,
    /// What is to be dissolved.
    pub target: Region,
    /// What must be spared, in the order in which it was named.
    pub layers: Vec<Region>,
    /// Liquids that were weighed.
    pub liquids: Vec<Liquid>,
    /// Liquids that were left out, with the reason.
    pub left_out: Vec<LeftOut>,
    /// What is not known and must be, before any blend can be told; empty when all is.
    pub missing: Vec<String>,
    /// Swab tests that would settle it, the fewest that can.
    pub settle: Vec<Swab>,
    /// Blends, best first.
    pub blends: Vec<Practical>,
    /// The nearest that any proportion of these liquids can come; none when none is spared.
    pub bound: Option<Nearest>,
    /// The nearest in steps that can be measured, whatever it costs.
    pub nearest: Option<Nearest>,
    /// Step of the proportions, per cent.
    pub step: f64,
    /// Blends there are in such steps.
    pub weighed: u64,
    /// How many are left after each demand, in order.
    pub sifted: Vec<Sifted>,
    /// Pairs that do not mix, or must not meet.
    pub apart: Vec<Apart>,
    /// Swab tests that were left out of a fit, and why.
    pub notes: Vec<String>,
    /// Where the sphere and the record disagree on a liquid.
    pub conflicts: Vec<Conflict>,
    /// The search was stopped before its end.
    pub stopped: bool,
}

/// Two liquids to be kept apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Apart {
    /// Their ids.
    pub liquids: [String; 2],
    /// Why.
    pub reason: Reason,
}

/// A target or a layer as a region of solubility.
#[derive(Clone, Debug, Default)]
pub struct Region {
    /// Id; none for an unknown.
    pub id: Option<String>,
    /// As called.
    pub called: String,
    /// State: the age of the target, the conditions of a layer.
    pub state: Vec<String>,
    /// Spheres that hold for it, the one that is reckoned with first; empty when there is none.
    pub spheres: Vec<Sphere>,
    /// What the swab tests gave, where the sphere was fitted.
    pub fit: Option<Fitted>,
    /// Judged by its record alone: nothing in it dissolves.
    pub by_record: bool,
}

/// A sphere with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Sphere {
    /// Centre and radius.
    pub sphere: Hansen,
    /// `swab tests` or the basis in words.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Where the fact stands; none for a fitted one.
    pub place: Option<Place>,
    /// Remark of the record.
    pub note: String,
}

/// How well swab tests hold a sphere.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Liquids that did it.
    pub good: usize,
    /// Liquids that did not.
    pub poor: usize,
    /// The objective, 0 to 1.
    pub datafit: f64,
    /// Greatest distance between centres that fit as well, `MPa^0.5`.
    pub spread: f64,
    /// Fifth and ninety-fifth hundredth of δD, δP, δH and the radius, over resampled tests.
    pub range: [(f64, f64); 4],
    /// Liquids on the wrong side of the surface.
    pub misfits: Vec<String>,
}

/// A liquid that was weighed.
#[derive(Clone, Debug)]
pub struct Liquid {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Parameters.
    pub hansen: Hansen,
    /// Teas fractions: published where there are any, else derived.
    pub teas: Option<(f64, f64, f64)>,
    /// Whether they are published ones.
    pub teas_published: bool,
    /// RED to the target.
    pub red: Option<f64>,
    /// RED to each layer that has a sphere.
    pub layers: Vec<Option<f64>>,
    /// Lowest exposure limit on file.
    pub limit: Option<Limit>,
    /// Vapour pressure over that limit; none when either is not on file.
    pub hazard: Option<f64>,
    /// Flash point, closed cup, °C; the lowest on file.
    pub flash: Flash,
    /// Basis of all this, weakest first.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

/// A flash point as far as it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Flash {
    /// Not on file: not the same as none.
    #[default]
    Unknown,
    /// Recorded not to burn.
    None,
    /// °C, closed cup.
    At(f64),
}

/// An exposure limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// ppm of vapour.
    pub ppm: f64,
    /// Where it holds.
    pub region: String,
    /// Averaging time.
    pub averaging: String,
    /// Basis in words.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

/// On what sort of ground a liquid is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftOutFor {
    /// Carcinogen, mutagen or reprotoxic.
    Cmr,
    /// Restricted by law.
    Law,
    /// A rule of the gate.
    Rule,
    /// A figure is missing.
    NoData,
}

impl LeftOutFor {
    /// The word in data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cmr => "cmr",
            Self::Law => "law",
            Self::Rule => "rule",
            Self::NoData => "no-data",
        }
    }
}

/// A liquid left out.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Sort of reason.
    pub sort: LeftOutFor,
    /// Reason.
    pub reason: Reason,
    /// Whether `allowing` brings it back.
    pub allowing: bool,
}

/// A swab test that is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Swab {
    /// On what, as called.
    pub on: String,
    /// The liquid.
    pub liquid: Entry,
    /// Why this one.
    pub why: String,
    /// Source keys of what is expected of it.
    pub sources: Vec<String>,
}

/// A point that a blend reaches.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// Its liquids; empty for the exact bound.
    pub parts: Vec<Part>,
    /// Step of the proportions, per cent; 0 for any proportion.
    pub step: f64,
    /// Where.
    pub at: Hansen,
    /// Distance, `MPa^0.5`.
    pub ra: f64,
    /// RED.
    pub red: f64,
}

/// What is left after a demand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sifted {
    /// The demand.
    pub demand: String,
    /// Blends left.
    pub left: u64,
}

/// Where the sphere and the record, or a test, disagree.
#[derive(Clone, Debug, PartialEq)]
pub struct Conflict {
    /// Liquid id.
    pub id: String,
    /// In words.
    pub says: String,
    /// Basis in words.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

/// A blend that can be mixed at a bench.
#[derive(Clone, Debug)]
pub struct Practical {
    /// From 1.
    pub rank: usize,
    /// The step, passed by the gate for each layer; one without any when none was named.
    pub steps: Vec<Passed<Step>>,
    /// Recommended or test first.
    pub call: Call,
    /// Its liquids.
    pub parts: Vec<Part>,
    /// Parts by volume in small numbers.
    pub ratio: String,
    /// Where it starts.
    pub start: Hansen,
    /// RED to the target at the start.
    pub red: f64,
    /// Points of its drying, the start first, the last at a tenth of the liquid.
    pub path: Vec<Point>,
    /// Share of the liquid that is left when it stops being a solvent of the target; none when it is
    /// one to the last tenth.
    pub solvent_until: Option<f64>,
    /// Least RED to each layer on the way; none for a layer without a sphere.
    pub least: Vec<Option<f64>>,
    /// How its drying was reckoned.
    pub mixing: Mixing,
    /// Vapour hazard ratio: partial pressures over the lowest limits, summed.
    pub hazard: f64,
    /// Liquids without a limit on file, which the ratio leaves out.
    pub no_limit: Vec<String>,
    /// Lowest flash point of its liquids.
    pub flash: Flash,
    /// Why it is no more than a test, if so.
    pub reasons: Vec<Reason>,
    /// What the records say of each of its liquids on each layer.
    pub records: Vec<LayerHarm>,
    /// By which it was ordered; less is better.
    pub score: f64,
}

/// How the liquids of a blend are taken to act on one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mixing {
    /// By their groups.
    Unifac,
    /// As if they did not.
    Ideal,
}

impl Mixing {
    /// The word in tables and data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Unifac => "UNIFAC",
            Self::Ideal => "ideal",
        }
    }
}

/// A point on the way.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Share of the liquid left.
    pub left: f64,
    /// Shares of the liquids, in the order of the parts.
    pub shares: Vec<f64>,
    /// Where it is.
    pub at: Hansen,
    /// The same as Teas fractions, derived.
    pub teas: Option<(f64, f64, f64)>,
    /// RED to the target.
    pub red: f64,
    /// RED to each layer.
    pub layers: Vec<Option<f64>>,
}
