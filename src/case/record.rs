//! The record of a job, as typed data: what a case file holds, section by section.
//!
//! Texts are kept as they were written. What is in the words of the query language (layers, nouns,
//! observations, questions) is checked when it is written and again when it is asked.

use super::day::Day;
use super::section::Section;
use crate::span::Span;

/// The format of case files that this program writes.
pub const FORMAT: i64 = 1;

/// The record of one job on one object.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Case {
    /// Format of the file: [`FORMAT`].
    pub format: i64,
    /// The object.
    pub object: Object,
    /// Layers that must survive, from the top down.
    pub layers: Vec<Layer>,
    /// Old materials that nobody wrote down.
    pub unknowns: Vec<Unknown>,
    /// What was seen of the unknowns.
    pub observations: Vec<Observation>,
    /// What was tried on the layers, and how they bore it.
    pub trials: Vec<Trial>,
    /// Questions asked, with the gist of their answers.
    pub questions: Vec<Question>,
    /// What was proposed.
    pub proposals: Vec<Proposal>,
    /// What was decided, and why.
    pub decisions: Vec<Decision>,
    /// Materials that were really used.
    pub uses: Vec<Use>,
    /// Where the work left what was decided.
    pub deviations: Vec<Deviation>,
    /// Photographs.
    pub photographs: Vec<Photograph>,
    /// Changes that the program made to the file, oldest first; only ever added to.
    pub changes: Vec<Change>,
}

/// The object. No owner, address or value: none of it is needed here.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Object {
    /// What it is called.
    pub title: String,
    /// Number under which the studio or the collection files it.
    pub number: Option<String>,
    /// When it was made, in words: `about 1790`.
    pub made: Option<String>,
    /// Who made it, or where.
    pub maker: Option<String>,
    /// What it is made of, in words.
    pub materials: Option<String>,
    /// Height, a length with its unit.
    pub height: Option<String>,
    /// Width, a length with its unit.
    pub width: Option<String>,
    /// Depth, a length with its unit.
    pub depth: Option<String>,
    /// Weight, a mass with its unit.
    pub weight: Option<String>,
    /// The warmest that it gets where it stands, a temperature with its unit.
    pub warmest: Option<String>,
    /// State on arrival.
    pub condition: Option<String>,
    /// Why it came: what the treatment is to reach.
    pub aim: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

/// A layer that must survive.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Id: `l1`.
    pub id: String,
    /// In the language's words, conditions in parentheses: `water gilding (flaking)`.
    pub name: String,
    /// Anything else.
    pub note: Option<String>,
    /// Where it stands in the file.
    pub span: Span,
}

/// An old material that nobody wrote down.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// Id: `u1`. It is the `let` name of the unknown in the questions that are built from it.
    pub id: String,
    /// What the bench calls it: `the brown paint`.
    pub called: Option<String>,
    /// In the language's words, with its notes: `coating (film, later)`.
    pub noun: String,
    /// Id of the layer that it lies on; none: the top layer.
    pub over: Option<String>,
    /// Years of the restoration that put it there: `1919..1939`.
    pub restored: Option<String>,
    /// Anything else.
    pub note: Option<String>,
    /// Where it stands in the file.
    pub span: Span,
}

/// When, where and by whom something was seen or done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Noted {
    /// Day.
    pub day: Option<Day>,
    /// Place on the object.
    pub place: Option<String>,
    /// Who: initials will do.
    pub who: Option<String>,
    /// Anything else.
    pub note: Option<String>,
    /// Why it does not hold any more, where it was withdrawn: it stays in the record, and no question
    /// is asked of it.
    pub withdrawn: Option<String>,
}

impl Noted {
    /// Whether it still holds.
    #[must_use]
    pub const fn holds(&self) -> bool {
        self.withdrawn.is_none()
    }
}

/// Something seen of an unknown.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// Id: `o1`.
    pub id: String,
    /// Id of the unknown.
    pub of: String,
    /// In the language's words: `dissolves in ethanol (crumb, 1 min)`.
    pub seen: String,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// Something tried on a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Id: `t1`.
    pub id: String,
    /// Id of the layer.
    pub on: String,
    /// In the language's words, without the layer: `is unaffected by acetone`.
    pub seen: String,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// A question, with what was answered when it was asked last.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Id: `q1`.
    pub id: String,
    /// As it was asked: `remove u1 without water`. What it leaves out, the case fills in.
    pub ask: String,
    /// The whole text that was run, in canonical form, as the case stood then.
    pub query: String,
    /// Day on which it was asked last.
    pub asked: Option<Day>,
    /// Version of the corpus that answered.
    pub corpus: String,
    /// Edition of the language.
    pub edition: i64,
    /// How the answer stands: `answered`, `nothing` or `undetermined`.
    pub standing: String,
    /// What was answered, a line each, in a stable order.
    pub gist: Vec<String>,
    /// Who asked, and anything else.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// Something proposed.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// Id: `p1`.
    pub id: String,
    /// What is proposed, in words.
    pub what: String,
    /// Question that it rests on, by id.
    pub from: Option<String>,
    /// Step of that answer, by its id: `swab/ethanol`.
    pub step: Option<String>,
    /// What may go wrong.
    pub risk: Option<String>,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// Something decided.
#[derive(Clone, Debug, PartialEq)]
pub struct Decision {
    /// Id: `d1`.
    pub id: String,
    /// Proposal or question that it decides, by id.
    pub on: Option<String>,
    /// What was decided, in words.
    pub what: String,
    /// Why.
    pub because: String,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// A material that was really used.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// Id: `m1`.
    pub id: String,
    /// The material or liquid, by a name that the corpus knows, or as the label has it.
    pub material: String,
    /// What for.
    pub purpose: Option<String>,
    /// Strength, a quantity with its unit: `8 % w/v`.
    pub strength: Option<String>,
    /// What it was dissolved in.
    pub solvent: Option<String>,
    /// How much, a quantity with its unit.
    pub amount: Option<String>,
    /// Maker's batch or lot.
    pub batch: Option<String>,
    /// Decision that it carries out, by id.
    pub under: Option<String>,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// Where the work left what was decided.
#[derive(Clone, Debug, PartialEq)]
pub struct Deviation {
    /// Id: `v1`.
    pub id: String,
    /// Decision, proposal or use that it departs from, by id.
    pub from: Option<String>,
    /// What was done instead.
    pub what: String,
    /// Why.
    pub because: String,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// A photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct Photograph {
    /// Id: `f1`.
    pub id: String,
    /// Path from the folder of the case file, with `/`. [`super::photograph`] opens it safely.
    pub file: String,
    /// What it shows, in words: also the text for who cannot see it.
    pub shows: String,
    /// Light: `daylight`, `raking light`, `uv-a`.
    pub light: Option<String>,
    /// What it belongs to, by ids.
    pub of: Vec<String>,
    /// When, where, who.
    pub noted: Noted,
    /// Where it stands in the file.
    pub span: Span,
}

/// A change that the program made.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// When, as written: `2026-11-28T10:15:02Z`.
    pub at: String,
    /// Who; empty when nobody was named.
    pub who: String,
    /// What was done: `observe`.
    pub did: String,
    /// Ids that it made or changed.
    pub ids: Vec<String>,
}

impl Case {
    /// The layer of an id.
    #[must_use]
    pub fn layer(&self, id: &str) -> Option<&Layer> {
        self.layers.iter().find(|it| it.id == id)
    }

    /// The unknown of an id.
    #[must_use]
    pub fn unknown(&self, id: &str) -> Option<&Unknown> {
        self.unknowns.iter().find(|it| it.id == id)
    }

    /// The question of an id.
    #[must_use]
    pub fn question(&self, id: &str) -> Option<&Question> {
        self.questions.iter().find(|it| it.id == id)
    }

    /// Every id with the section that it stands in and its place, in the order of the sections.
    #[must_use]
    pub fn ids(&self) -> Vec<(&str, Section, Span)> {
        let mut out = Vec::new();
        macro_rules! each {
            ($($list:ident $section:ident,)+) => {
                $(out.extend(self.$list.iter().map(|it| (it.id.as_str(), Section::$section, it.span)));)+
            };
        }
        each! {
            layers Layer, unknowns Unknown, observations Observation, trials Trial,
            questions Question, proposals Proposal, decisions Decision, uses Use,
            deviations Deviation, photographs Photograph,
        }
        out
    }

    /// The ids of one section, in the order of the file.
    #[must_use]
    pub fn ids_of(&self, section: Section) -> Vec<&str> {
        self.ids()
            .into_iter()
            .filter(|(_, it, _)| *it == section)
            .map(|(id, _, _)| id)
            .collect()
    }
}
