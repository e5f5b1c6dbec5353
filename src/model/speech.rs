//! How the words of a query are read: data of the corpus, so that a studio may add its own.

use serde::{Deserialize, Serialize};

/// Weighted outcomes.
pub type Weights = Vec<(String, f64)>;

/// A verb of the bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Frame {
    /// What is said, folded words in order; several ways.
    pub says: Vec<String>,
    /// What is tried: `liquid`, `look`, `feel`, `positive`, `negative`, `outcome`, a test id, or
    /// `noted` for what is seen at the bench and answered by no record.
    pub of: String,
    /// Outcomes that it means; empty when the rest of the words name them.
    pub outcomes: Weights,
    /// Outcomes that its denial means.
    pub denied: Weights,
}

/// How a query's words are read: nouns, notes, verbs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Speech {
    /// Nouns for roles: (words, roles).
    pub nouns: Vec<(String, Vec<String>)>,
    /// Notes by section (`site`, `condition`, `origin`, `age`, `thickness`, `specimen`, `carrier`,
    /// `tool`, `part`, `group`, `ambiguous`): (section, words, meaning).
    pub notes: Vec<(String, String, String)>,
    /// Groups of liquids: (words, agent ids).
    pub groups: Vec<(String, Vec<String>)>,
    /// How sure a word is.
    pub beliefs: Vec<(String, f64)>,
    /// Outcomes by other words: (test, words, outcomes).
    pub outcomes: Vec<(String, String, Weights)>,
    /// Verbs.
    pub frames: Vec<Frame>,
    /// Every phrase as a person writes it: (folded, written).
    pub written: Vec<(String, String)>,
}

impl Speech {
    /// What a note means in a section.
    #[must_use]
    pub fn note(&self, section: &str, words: &str) -> Option<&str> {
        self.notes
            .iter()
            .find(|(s, w, _)| s == section && w == words)
            .map(|(_, _, meaning)| meaning.as_str())
    }

    /// A folded phrase as a person writes it.
    #[must_use]
    pub fn written<'a>(&'a self, folded: &'a str) -> &'a str {
        self.written
            .iter()
            .find(|(f, _)| f == folded)
            .map_or(folded, |(_, w)| w.as_str())
    }

    /// How sure a word is.
    #[must_use]
    pub fn belief(&self, word: &str) -> Option<f64> {
        self.beliefs
            .iter()
            .find(|(w, _)| w == word)
            .map(|(_, b)| *b)
    }
}
