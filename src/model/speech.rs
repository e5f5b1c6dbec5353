//! How the words of a query are read: data of the corpus, so that a studio may add its own.

use serde::{Deserialize, Serialize};

use super::lazy::Lazy;
use super::set::TextColumn;

/// Weighted outcomes.
pub type Weights = Vec<(String, f64)>;

/// A verb of the bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Frame {
    /// What is said, folded words in order; several ways.
    pub says: TextColumn,
    /// What is tried: `liquid`, `look`, `feel`, `positive`, `negative`, `outcome`, a test id, or
    /// `noted` for what is seen at the bench and answered by no record.
    pub of: String,
    /// Outcomes that it means; empty when the rest of the words name them.
    pub outcomes: Weights,
    /// Outcomes that its denial means.
    pub denied: Weights,
}

/// Words of one section of notes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Notes {
    /// `site`, `condition`, `origin`, `age`, `thickness`, `specimen`, `carrier`, `tool`, `part`, `group`,
    /// `ambiguous`.
    pub section: String,
    /// Folded words, and what they mean.
    pub means: Lazy<Vec<(String, String)>>,
}

/// Other words for the outcomes of a test.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Answers {
    /// Id of the test.
    pub test: String,
    /// Folded words, and the outcomes that they mean.
    pub means: Lazy<Meanings>,
}

/// Folded words, and the weighted outcomes that each means: a few stretches of memory for some hundred words.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Meanings {
    words: TextColumn,
    /// Where the outcomes of each word end.
    ends: Vec<u32>,
    outcomes: TextColumn,
    weights: Vec<f64>,
}

impl Meanings {
    /// The words.
    #[must_use]
    pub const fn words(&self) -> &TextColumn {
        &self.words
    }

    /// What one of the words means.
    pub fn of(&self, number: usize) -> impl Iterator<Item = (&str, f64)> {
        let end = |number: usize| self.ends.get(number).map_or(0, |end| *end as usize);
        let own = number.checked_sub(1).map_or(0, end)..end(number);
        own.filter_map(|at| Some((self.outcomes.get(at), *self.weights.get(at)?)))
    }

    /// What some words mean; `None` if they are none of these.
    #[must_use]
    pub fn get(&self, words: &str) -> Option<Weights> {
        let number = self.words.position(words)?;
        Some(self.of(number).map(|(it, w)| (it.to_owned(), w)).collect())
    }

    /// Each with what it means.
    pub fn iter(&self) -> impl Iterator<Item = (&str, impl Iterator<Item = (&str, f64)>)> {
        let words = self.words.iter().enumerate();
        words.map(|(number, words)| (words, self.of(number)))
    }
}

/// # Panics
/// Past 4 GB.
impl FromIterator<(String, Weights)> for Meanings {
    fn from_iter<I: IntoIterator<Item = (String, Weights)>>(means: I) -> Self {
        let (words, weights): (Vec<String>, Vec<Weights>) = means.into_iter().unzip();
        let mut end = 0;
        Self {
            words: words.into_iter().collect(),
            ends: weights
                .iter()
                .map(|own| {
                    end += own.len() as u32;
                    end
                })
                .collect(),
            outcomes: weights.iter().flatten().map(|(it, _)| it).collect(),
            weights: weights.iter().flatten().map(|(_, w)| *w).collect(),
        }
    }
}

/// How a query's words are read: nouns, notes, verbs. A question asks for a few of the lists.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Speech {
    /// Nouns for roles: (words, roles).
    pub nouns: Lazy<Vec<(String, Vec<String>)>>,
    /// Notes by section.
    pub notes: Vec<Notes>,
    /// Groups of liquids: (words, agent ids).
    pub groups: Lazy<Vec<(String, Vec<String>)>>,
    /// How sure a word is.
    pub beliefs: Vec<(String, f64)>,
    /// Outcomes by other words, by test.
    pub outcomes: Vec<Answers>,
    /// Verbs.
    pub frames: Lazy<Vec<Frame>>,
    /// Every phrase as a person writes it: (folded, written).
    pub written: Lazy<Vec<(String, String)>>,
}

impl Frame {
    /// Outcomes that it says outright, and not what may pass for them.
    #[must_use]
    pub fn said(&self) -> Vec<String> {
        outright(&self.outcomes)
    }
}

/// Weight from which an outcome is what words say, and not what may pass for it.
const SAYS: f64 = 0.99;

/// The outcomes that weighted ones say outright.
#[must_use]
pub fn outright(weights: &[(String, f64)]) -> Vec<String> {
    weights
        .iter()
        .filter(|(_, weight)| *weight >= SAYS)
        .map(|(outcome, _)| outcome.clone())
        .collect()
}

impl Speech {
    /// The verb for what a liquid does that folded words name.
    #[must_use]
    pub fn verb_of_liquids(&self, words: &str) -> Option<&Frame> {
        self.frames
            .iter()
            .find(|f| f.of == "liquid" && f.says.contains(words))
    }

    /// What a note means in a section.
    #[must_use]
    pub fn note(&self, section: &str, words: &str) -> Option<&str> {
        let own = self.notes.iter().find(|notes| notes.section == section)?;
        let (_, meaning) = own.means.iter().find(|(w, _)| w == words)?;
        Some(meaning)
    }

    /// Words of the notes of some sections.
    pub fn noted(&self, sections: &[&str]) -> impl Iterator<Item = &str> {
        let own = self.notes.iter();
        own.filter(|notes| sections.contains(&notes.section.as_str()))
            .flat_map(|notes| notes.means.iter().map(|(words, _)| words.as_str()))
    }

    /// Other words for the outcomes of a test, with what they mean.
    #[must_use]
    pub fn answers(&self, test: &str) -> Option<&Meanings> {
        let own = self.outcomes.iter().find(|answers| answers.test == test)?;
        Some(&own.means)
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
