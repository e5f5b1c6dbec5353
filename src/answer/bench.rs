//! Answers to `prepare` and `ventilate`.

use super::Shown;
use crate::gate::{Passed, Vessel};
use crate::model::order::Figure;
use crate::units::{four_figures, read_to};

/// Something to weigh or to measure.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What.
    pub what: String,
    /// Grams, and to what they can be read; none where it is measured, or not known.
    pub grams: Option<(f64, f64)>,
    /// Millilitres, and the vessel's limit of error; none where it is weighed, or not known.
    pub millilitres: Option<(f64, Option<f64>)>,
    /// How.
    pub note: String,
}

impl Line {
    /// A liquid of which no amount is told: what is made of it is made up to a mark.
    pub(crate) const fn of_liquid(what: String, note: String) -> Self {
        Self {
            what,
            grams: None,
            millilitres: None,
            note,
        }
    }

    /// What to weigh, as the balance reads it; empty where it is measured or not known.
    #[must_use]
    pub fn weighed(&self) -> String {
        self.grams.map_or_else(String::new, |(g, digit)| {
            if g > 0.0 && g < 3.0 * digit {
                format!("{} (below the balance)", four_figures(g))
            } else {
                read_to(g, digit)
            }
        })
    }

    /// What to measure, with the vessel's limit of error; empty where it is weighed or not known.
    #[must_use]
    pub fn measured(&self) -> String {
        match self.millilitres {
            None => String::new(),
            Some((ml, None)) => four_figures(ml),
            Some((ml, Some(limit))) => {
                format!("{} ± {}", read_to(ml, limit.min(1.0)), four_figures(limit))
            }
        }
    }
}

/// One way of making it: one reading of the strength.
#[derive(Clone, Debug, PartialEq)]
pub struct Recipe {
    /// Which reading.
    pub reading: String,
    /// What to weigh and measure, in the order of work.
    pub lines: Vec<Line>,
    /// What it comes to, ml.
    pub total_ml: Option<f64>,
    /// What it comes to, g.
    pub total_g: Option<f64>,
    /// The strength that comes of it, and by other measures: (unit, value).
    pub strengths: Vec<(String, f64)>,
    /// Half-width of the strength at about 95 %, as a share of it.
    pub spread: Option<f64>,
}

/// Whether the solute goes into the liquid, as far as the corpus says.
#[derive(Clone, Debug, PartialEq)]
pub struct Dissolving {
    /// Solute.
    pub solute: String,
    /// Liquid.
    pub solvent: String,
    /// What it does, in one word; empty where nothing is recorded.
    pub response: String,
    /// Whether it is recorded to go into solution.
    pub sure: bool,
    /// Basis, weakest first.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// Remarks.
    pub notes: Vec<String>,
}

/// A buffer at its pH.
#[derive(Clone, Debug, PartialEq)]
pub struct BufferSeen {
    /// Name.
    pub name: String,
    /// pH asked for.
    pub ph: f64,
    /// Temperature, °C.
    pub celsius: Figure,
    /// mol/l of the buffer.
    pub molar: f64,
    /// Apparent pKa nearest to the pH.
    pub pk: f64,
    /// Useful range, pKa ± 1, over all steps that touch.
    pub range: (f64, f64),
    /// Ionic strength, mol/l.
    pub ionic: f64,
    /// mol/l of strong acid or alkali that move it by one unit.
    pub capacity: f64,
    /// The same solution at other temperatures: °C, pH.
    pub elsewhere: Vec<(f64, f64)>,
    /// Conductivity at 25 °C, µS/cm; none where an ion is not on file.
    pub conductivity: Option<f64>,
    /// Basis of the constants.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

/// A gel.
#[derive(Clone, Debug, PartialEq)]
pub struct GelSeen {
    /// Id of the gelling agent.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Grams for this batch, from and to.
    pub grams: Option<(f64, f64)>,
    /// Share that is asked for or recorded.
    pub share: String,
    /// Whether it is recorded to carry every part of the liquid.
    pub carries: bool,
    /// Basis of the share.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
    /// How it is made.
    pub how: Vec<String>,
    /// What to mind: pH, salts, clearance, residue, when not.
    pub mind: Vec<(String, String)>,
}

/// Answer to `prepare`.
#[derive(Clone, Debug)]
pub struct Prepare {
    /// What is made, in words.
    pub title: String,
    /// Ways of making it, the usual one first.
    pub recipes: Vec<Recipe>,
    /// Whether each solute dissolves.
    pub dissolving: Vec<Dissolving>,
    /// The buffer.
    pub buffer: Option<BufferSeen>,
    /// Conductivity of a salt at 25 °C: µS/cm, mol/l.
    pub conductivity: Option<(f64, f64)>,
    /// The gel.
    pub gel: Option<GelSeen>,
    /// What meets in the vessel, passed by the gate.
    pub vessel: Passed<Vessel>,
    /// Order of work.
    pub order: Vec<String>,
    /// What to mind.
    pub mind: Vec<String>,
    /// What is not recorded, and what cannot be said for it.
    pub gaps: Vec<String>,
    /// Facts that the sums rest on.
    pub facts: Vec<Shown>,
    /// What the balance reads to, g.
    pub balance: Figure,
    /// Whether something that was asked cannot be told.
    pub undetermined: bool,
}

/// A limit of exposure.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitSeen {
    /// In ppm.
    pub ppm: f64,
    /// As recorded.
    pub literal: String,
    /// Whose.
    pub region: String,
    /// Year of the source in which it was read, which may be later than the limit itself; none where it
    /// is not on file.
    pub source_year: Option<String>,
    /// Remark of the record.
    pub note: String,
    /// Basis in one word.
    pub basis: String,
    /// Source keys.
    pub sources: Vec<String>,
}

impl LimitSeen {
    /// Jurisdiction, value as recorded, year.
    #[must_use]
    pub fn whose(&self) -> String {
        let year = self.source_year.as_ref().map_or_else(
            || "year not on file".to_owned(),
            |y| format!("source of {y}"),
        );
        let mut text = format!("{}: {}; {year}", self.region, self.literal);
        if !self.note.is_empty() {
            text.push_str("; ");
            text.push_str(&self.note);
        }
        text
    }
}

/// One liquid in the air.
#[derive(Clone, Debug, PartialEq)]
pub struct InAir {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Grams of it; none without a density.
    pub grams: Option<f64>,
    /// Where everything went on for ever; none without a molar mass, or without air.
    pub steady: Option<f64>,
    /// When the source stops, ppm.
    pub peak: Option<f64>,
    /// Mean while it gives off, ppm.
    pub mean: Option<f64>,
    /// Worst mean of 15 minutes, ppm.
    pub quarter: Option<f64>,
    /// Mean of an 8 hour day in the room, ppm.
    pub day: Option<f64>,
    /// Lowest limit for 8 hours.
    pub limit_day: Option<LimitSeen>,
    /// Lowest limit for 15 minutes.
    pub limit_quarter: Option<LimitSeen>,
    /// Lowest ceiling.
    pub limit_ceiling: Option<LimitSeen>,
    /// Whether no limit is asked for: water.
    pub harmless: bool,
    /// Remarks on its limits.
    pub notes: Vec<String>,
}

/// Whether air keeps to its limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgainstLimit {
    /// Within the lowest limit on file, even at the tray.
    Within,
    /// Within it in the room, over it at ten times the room.
    OverAtTray,
    /// Over it in the room.
    Over,
    /// A limit or a concentration is missing.
    Undetermined,
}

impl AgainstLimit {
    /// The word in data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Within => "within",
            Self::OverAtTray => "over near the tray",
            Self::Over => "over",
            Self::Undetermined => "undetermined",
        }
    }
}

/// How a burden stands against its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Burden {
    /// Over what time: `8 h`, `15 min`, `ceiling`.
    pub over: String,
    /// Σ C/L of what has a limit.
    pub room: f64,
    /// The same at ten times the room, over a tray.
    pub near: f64,
    /// Parts for which no limit is on file, or no concentration known.
    pub unknown: Vec<String>,
    /// Parts for which three times the 8 hour limit stands in.
    pub stood_in: Vec<String>,
    /// What follows.
    pub verdict: AgainstLimit,
}

impl Burden {
    /// The verdict, with what it lacks.
    #[must_use]
    pub fn in_words(&self) -> String {
        let mut out = match self.verdict {
            AgainstLimit::Over => "over the limit",
            AgainstLimit::Within => "within the lowest limit on file",
            AgainstLimit::OverAtTray => "within in the room, may be over at the tray",
            AgainstLimit::Undetermined => "undetermined",
        }
        .to_owned();
        if !self.unknown.is_empty() {
            out.push_str(&format!("; no limit for {}", self.unknown.join(", ")));
        }
        if !self.stood_in.is_empty() {
            out.push_str(&format!(
                "; 3 x the 8 h limit stands in for {} (practice)",
                self.stood_in.join(", ")
            ));
        }
        out
    }
}

/// How a vapour stands against the lower flammable limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AgainstFlame {
    /// A quarter of the limit or more in the whole room.
    StopInRoom,
    /// A tenth of it or more in the whole room.
    ActInRoom,
    /// A quarter or more over the tray.
    StopAtTray,
    /// A tenth or more over the tray.
    ActAtTray,
    /// Below that as far as is known, with a part of which no limit is on file.
    Undetermined,
    /// No part has a limit.
    NothingBurns,
    /// Below a tenth, even over the tray.
    Below,
}

impl AgainstFlame {
    /// What is so, and what to do.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::StopInRoom => "stop: a quarter of the flammable limit in the whole room",
            Self::ActInRoom => {
                "act: more air before any more liquid; a tenth of the flammable limit in the whole room"
            }
            Self::StopAtTray => {
                "stop near the tray: no spark, no flame, no switch within reach of the vapour"
            }
            Self::ActAtTray => "act near the tray: extraction at the work, no spark or flame by it",
            Self::Undetermined => "undetermined",
            Self::NothingBurns => "nothing in it is on file as flammable",
            Self::Below => "below a tenth of the flammable limit, even at ten times the room",
        }
    }
}

/// How near the vapour is to burning.
#[derive(Clone, Debug, PartialEq)]
pub struct Fire {
    /// Share of the lower flammable limit in the room, at its highest.
    pub room: f64,
    /// The same at ten times the room.
    pub near: f64,
    /// The same right over the liquid at 25 °C, ideal.
    pub over_liquid: Option<f64>,
    /// Parts without a limit on file.
    pub unknown: Vec<String>,
    /// Lowest flash point, °C, and whose.
    pub flash: Option<(f64, String)>,
    /// What follows.
    pub verdict: AgainstFlame,
}

/// Air that would do.
#[derive(Clone, Debug, PartialEq)]
pub struct AirNeeded {
    /// For what.
    pub goal: String,
    /// m³/h; none where no air does it.
    pub air: Option<f64>,
    /// Air changes in an hour.
    pub changes: Option<f64>,
}

/// Answer to `ventilate`.
#[derive(Clone, Debug)]
pub struct Ventilate {
    /// What evaporates where, in words.
    pub title: String,
    /// What is told before any figure: what causes cancer, harms fertility, sensitises; the law.
    pub flags: Vec<String>,
    /// Room, m³.
    pub room: f64,
    /// Fresh air, m³/h.
    pub air: f64,
    /// Mixing factor.
    pub mixing: Figure,
    /// Hours that it takes.
    pub hours: f64,
    /// The liquids.
    pub parts: Vec<InAir>,
    /// Against the limits.
    pub burdens: Vec<Burden>,
    /// Against fire.
    pub fire: Fire,
    /// How long after the source stops a tenth and a hundredth of the peak is left, minutes.
    pub clearing: Option<(f64, f64)>,
    /// Air that would do.
    pub needed: Vec<AirNeeded>,
    /// What meets in the vessel, passed by the gate.
    pub vessel: Passed<Vessel>,
    /// What to mind.
    pub mind: Vec<String>,
    /// What is not recorded.
    pub gaps: Vec<String>,
    /// Facts that the sums rest on.
    pub facts: Vec<Shown>,
    /// Whether something that was asked cannot be told.
    pub undetermined: bool,
}
