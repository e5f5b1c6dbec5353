//! What to test next, when to stop, and where a sequence of tests would lead.

use super::{Conclusion, Entry, Likely};
use crate::gate::{Passed, ProposedTest};

/// A test that may be done: what, with what, on what.
#[derive(Clone, Debug)]
pub struct Offer {
    /// The test, passed by the gate.
    pub test: Passed<ProposedTest>,
    /// What is put on, where the test is a drop of liquid.
    pub liquid: Option<Entry>,
    /// Why it is done on a detached crumb and not on the object, where that is the layers' doing.
    pub crumb_because: Option<String>,
    /// Whether the crumb must be clean, because a negative is to exclude a hazard.
    pub clean: bool,
}

impl Offer {
    /// Id of the liquid, or of the test where none is put on.
    #[must_use]
    pub fn id(&self) -> &str {
        self.liquid
            .as_ref()
            .map_or(&self.test.get().test.head.id, |liquid| &liquid.id)
    }

    /// What it is called, with the specimen where that is a crumb.
    #[must_use]
    pub fn called(&self) -> String {
        let it = self.test.get();
        let name = self.liquid.as_ref().map_or_else(
            || it.test.head.names.name.clone(),
            |liquid| format!("drop of {}", liquid.name),
        );
        let clean = if self.clean { "clean " } else { "" };
        match it.specimen {
            crate::model::Specimen::Crumb => format!("{name} on a {clean}detached crumb"),
            _ => name,
        }
    }
}

/// A test worth doing.
#[derive(Clone, Debug)]
pub struct NextTest {
    /// The test, and on what it is done.
    pub offer: Offer,
    /// Expected information, bits.
    pub gain_bits: f64,
    /// Of that, what it would tell of the family, bits.
    pub family_bits: f64,
    /// What it costs in sample, risk to the object, harm to the worker and time; 1 is the least.
    pub cost: f64,
    /// Whether the crumb serves again that the last drop left as it was.
    pub same_crumb: bool,
    /// Expected worth over cost of the best it can begin: itself, or itself and the test that
    /// follows. By this the tests are ranked.
    pub value: f64,
    /// The test that it opens, where the two together are worth more for their cost than it alone:
    /// name.
    pub opens: Option<String>,
    /// What each outcome would speak for.
    pub separates: Vec<Pointer>,
}

/// An outcome, and what would lead after it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pointer {
    /// The outcome.
    pub outcome: String,
    /// Name of the candidate, or of the family, that would lead.
    pub leader: String,
}

/// The two most probable candidates, and what would part them.
#[derive(Clone, Debug)]
pub struct Rivals {
    /// The stronger first.
    pub between: [Likely; 2],
    /// The test that tells most of which of the two it is; none where no test that may be done tells
    /// anything of it.
    pub separator: Option<Separator>,
}

/// A test that parts two rivals.
#[derive(Clone, Debug)]
pub struct Separator {
    /// The test, and on what it is done.
    pub offer: Offer,
    /// Expected information, if it is one of the two, bits (at most 1).
    pub bits: f64,
    /// The outcome that speaks most for the first, and for the second.
    pub outcomes: [String; 2],
}

/// Why testing may end.
#[derive(Clone, Debug, PartialEq)]
pub enum Stop {
    /// A family stands at the mark: name, probability.
    Family(String, f64),
    /// No test is worth what it costs: the best value that is left.
    NotWorth(f64),
}

impl Stop {
    /// One word for data.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Family(..) => "family-reached",
            Self::NotWorth(_) => "not-worth",
        }
    }
}

/// A test in a sequence, with what follows each answer.
#[derive(Clone, Debug)]
pub struct Fork {
    /// The test, and on what it is done.
    pub offer: Offer,
    /// Expected information there, bits.
    pub gain_bits: f64,
    /// Its answers, most probable first; their probabilities sum to 1.
    pub branches: Vec<Branch>,
}

/// One answer of a test, or several that lead the same way.
#[derive(Clone, Debug)]
pub struct Branch {
    /// Outcomes.
    pub outcomes: Vec<String>,
    /// Whether these are the outcomes left over, each of them rare.
    pub rest: bool,
    /// Probability of the answer, once the fork is reached.
    pub probability: f64,
    /// Probability that the sequence comes here at all.
    pub chance: f64,
    /// What comes then.
    pub then: Then,
}

/// What follows an answer.
#[derive(Clone, Debug)]
pub enum Then {
    /// Another test.
    Test(Box<Fork>),
    /// The end of this way.
    Leaf(Leaf),
}

/// What would be said at the end of a way.
#[derive(Clone, Debug)]
pub struct Leaf {
    /// What could be concluded.
    pub conclusion: Conclusion,
    /// The leading names with their probabilities, as far as they are said.
    pub leading: Vec<(String, f64)>,
    /// Why it ends there.
    pub end: End,
}

/// Why a way ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// A family stands at the mark.
    Family,
    /// No test is worth what it costs.
    NotWorth,
    /// So rare, or so far, that it is better to ask again with what was seen.
    AskAgain,
}

impl End {
    /// The word in data.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Family => "family-reached",
            Self::NotWorth => "not-worth",
            Self::AskAgain => "ask-again",
        }
    }
}
