//! Typed answers: plain data with evidence, verdicts and sources. What an answer tells someone to
//! do is a [`Passed`](crate::gate::Passed), which only the gate can make.

mod bench;
pub mod blend;
mod choose;
mod compare;
mod explanation;
mod find;
mod identify;
mod named;
mod next;
mod remove;

pub use bench::{
    AgainstFlame, AgainstLimit, AirNeeded, BufferSeen, Burden, Dissolving, Fire, GelSeen, InAir,
    LimitSeen, Line, Prepare, Recipe, Ventilate,
};
pub use blend::Blend;
pub use choose::{
    Choice, Choose, Coats, JoinLoad, Lost, Mark, Outlook, Pair, Reversal, Rule, UNRECORDED,
};
pub use compare::{Cell, Compare, Compared, Thing};
pub use explanation::{Claim, Clause, Explanation, Ground, Stage};
pub use find::{Answered, Extent, Find, Match, Shown, Silent};
pub use identify::{
    Candidate, Conclusion, Evidence, FamilyShare, HazardLeft, Hinge, Identify, QUARRELS_TOLD, Skin,
    Unrecorded,
};
pub use named::{Entry, Likely, Part};
pub use next::{Branch, End, Fork, Leaf, NextTest, Offer, Pointer, Rivals, Separator, Stop, Then};
pub use remove::{
    EffectSeen, Footing, Held, HeldBack, Idle, LayerHarm, NOT_HERE, Preliminary, Remove, RuledOut,
    Rung, TRIED,
};

use crate::model::{Basis, Source};

/// An answer with what every answer carries.
#[derive(Clone, Debug)]
pub struct Answer {
    /// The statement's own part.
    pub body: Body,
    /// The query in canonical form; empty on a page, which does not repeat it.
    pub query: String,
    /// Remarks on how the query was read.
    pub notes: Vec<String>,
    /// Cautions for whoever acts on it.
    pub cautions: Vec<String>,
    /// Sources that it rests on, sorted by key.
    pub sources: Vec<Source>,
    /// Version of the corpus.
    pub corpus_version: String,
    /// Edition of the language.
    pub edition: u32,
    /// What `explain` asked for.
    pub explanation: Option<Explanation>,
}

/// What a statement answers.
#[derive(Clone, Debug)]
pub enum Body {
    /// `find`
    Find(Find),
    /// `identify`
    Identify(Box<Identify>),
    /// `remove`
    Remove(Box<Remove>),
    /// `compare`
    Compare(Compare),
    /// `choose`
    Choose(Box<Choose>),
    /// `blend`
    Blend(Box<Blend>),
    /// `prepare`
    Prepare(Box<Prepare>),
    /// `ventilate`
    Ventilate(Box<Ventilate>),
}

impl Body {
    /// The statement's verb.
    #[must_use]
    pub const fn statement(&self) -> &'static str {
        match self {
            Self::Find(_) => "find",
            Self::Identify(_) => "identify",
            Self::Remove(_) => "remove",
            Self::Compare(_) => "compare",
            Self::Choose(_) => "choose",
            Self::Blend(_) => "blend",
            Self::Prepare(_) => "prepare",
            Self::Ventilate(_) => "ventilate",
        }
    }
}

/// How an answer stands, for the exit code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Answered.
    Answered,
    /// Answered: nothing matched.
    Nothing,
    /// Facts are missing.
    Undetermined,
}

/// A reason with its basis.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// In words.
    pub text: String,
    /// Basis.
    pub basis: Basis,
}

/// Whether a live step is recommended or must be tested first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Call {
    /// Recommended, after the usual test patch.
    Recommended,
    /// Only after a test on this object.
    TestFirst,
}

impl Call {
    /// The word in tables and data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Recommended => "recommended",
            Self::TestFirst => "test-first",
        }
    }
}

/// A text of one line, cut behind a word where it has more than `most` letters.
#[must_use]
pub fn shortened(text: &str, most: usize) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = 0;
    for word in text.split_whitespace() {
        let more = word.chars().count() + usize::from(!out.is_empty());
        if letters + more > most {
            let words = if out.is_empty() { word } else { out.as_str() };
            let kept: String = words.chars().take(most).collect();
            return format!("{} …", kept.trim_end_matches(','));
        }
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
        letters += more;
    }
    out
}

/// A probability (0 to 1) as a reader takes it in: whole percent, and what is not nought never as
/// nought.
#[must_use]
pub fn percent(p: f64) -> String {
    if p > 0.0 && p < 0.01 {
        "below 1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * p)
    }
}

/// A weight in decibels as a reader takes it in: a tenth, with its sign; what is as good as nought has the
/// sign of nought, whichever way the last digit fell.
#[must_use]
pub fn decibels(db: f64) -> String {
    match format!("{db:+.1}") {
        nought if nought == "-0.0" => "+0.0".to_owned(),
        text => text,
    }
}

/// Cautions that end every answer that tells someone to do something.
pub const CAUTIONS: &[&str] = &[
    "advice for a trained conservator: local regulation, safety data sheets and a licensed \
     practitioner's judgment come first",
    "test on an inconspicuous spot, shortest time first, and read it after full drying",
    "gloves for the agent in hand, extraction at the work, no flame, spark or hot tool near \
     solvent; swabs into a lidded metal bin",
];

#[cfg(test)]
mod tests {
    use super::decibels;

    #[test]
    fn nought_has_one_sign() {
        let told = [-0.04, -0.0, 0.0, 0.04, -0.06, 12.34].map(decibels);
        assert_eq!(told, ["+0.0", "+0.0", "+0.0", "+0.0", "-0.1", "+12.3"]);
    }
}
