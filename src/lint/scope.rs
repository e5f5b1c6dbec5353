//! What a lint sees: the records by id, every fact with where it stands, and the written text, so
//! that a finding can point at the very word.

use std::collections::BTreeMap;

use super::spot::{Located, Spot};
use crate::corpus::{Corpus, Finding};
use crate::diag::{Diagnostic, did_you_mean};
use crate::model::naming::fold;
use crate::model::{Agent, Basis, BenchTest, Condition, Fact, Kind, Material, Place, Record};
use crate::span::Source;

/// Longest list of known words that a help shows in full.
const MOST_WORDS: usize = 60;

/// The group of facts in which a fact stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    /// `[facts]`.
    Fields,
    /// `[fresh]`, `[aged]` or `[always]`.
    Answers,
    /// `[harm.<condition>]`.
    Harm(Condition),
    /// `[avoid]`.
    Avoid,
}

/// A fact and where it belongs.
#[derive(Clone, Copy)]
pub(super) struct Stated<'c> {
    /// The record.
    pub(super) record: &'c Record,
    /// The group.
    pub(super) group: Group,
    /// The key.
    pub(super) key: &'c str,
    /// The fact.
    pub(super) fact: &'c Fact,
}

/// A corpus prepared for the lints.
pub struct Scope<'c> {
    /// The corpus.
    pub(super) corpus: &'c Corpus,
    /// Source keys that the program itself names.
    pub(super) cited: &'c [&'c str],
    by_id: BTreeMap<(Kind, &'c str), &'c Record>,
    texts: BTreeMap<&'c str, &'c Source>,
}

impl<'c> Scope<'c> {
    pub(super) fn new(corpus: &'c Corpus, cited: &'c [&'c str]) -> Self {
        Self {
            corpus,
            cited,
            by_id: corpus
                .records
                .iter()
                .map(|r| ((r.kind(), r.head().id.as_str()), r))
                .collect(),
            texts: corpus
                .sources
                .iter()
                .map(|s| (s.name.as_str(), s))
                .collect(),
        }
    }

    pub(super) fn records(&self) -> std::slice::Iter<'c, Record> {
        self.corpus.records.iter()
    }

    pub(super) fn materials(&self) -> impl Iterator<Item = &'c Material> {
        self.records().filter_map(|r| match r {
            Record::Material(it) => Some(it),
            _ => None,
        })
    }

    pub(super) fn agents(&self) -> impl Iterator<Item = &'c Agent> {
        self.records().filter_map(|r| match r {
            Record::Agent(it) => Some(it),
            _ => None,
        })
    }

    pub(super) fn tests(&self) -> impl Iterator<Item = &'c BenchTest> {
        self.records().filter_map(|r| match r {
            Record::Test(it) => Some(it),
            _ => None,
        })
    }

    pub(super) fn get(&self, kind: Kind, id: &str) -> Option<&'c Record> {
        self.by_id.get(&(kind, id)).copied()
    }

    pub(super) fn has(&self, kind: Kind, id: &str) -> bool {
        self.get(kind, id).is_some()
    }

    pub(super) fn agent(&self, id: &str) -> Option<&'c Agent> {
        match self.get(Kind::Agent, id)? {
            Record::Agent(it) => Some(it),
            _ => None,
        }
    }

    pub(super) fn test(&self, id: &str) -> Option<&'c BenchTest> {
        match self.get(Kind::Test, id)? {
            Record::Test(it) => Some(it),
            _ => None,
        }
    }

    /// Every id of a kind, sorted.
    pub(super) fn ids(&self, kind: Kind) -> Vec<&'c str> {
        self.by_id
            .keys()
            .filter(|(k, _)| *k == kind)
            .map(|(_, id)| *id)
            .collect()
    }

    /// Every fact, in the order of the records.
    pub(super) fn facts(&self) -> Vec<Stated<'c>> {
        let mut out = Vec::new();
        for record in self.records() {
            let mut groups = vec![(Group::Fields, &record.head().facts)];
            match record {
                Record::Material(it) => {
                    groups.extend([&it.fresh, &it.aged, &it.always].map(|f| (Group::Answers, f)));
                }
                Record::Layer(it) => {
                    groups.extend(it.harm.iter().map(|(c, facts)| (Group::Harm(*c), facts)));
                }
                Record::Method(it) => groups.push((Group::Avoid, &it.avoid)),
                _ => {}
            }
            for (group, facts) in groups {
                out.extend(facts.all().map(|(key, fact)| Stated {
                    record,
                    group,
                    key,
                    fact,
                }));
            }
        }
        out
    }

    /// Every basis: of facts, of removal routes and of meetings.
    pub(super) fn bases(&self) -> Vec<(&'c Basis, &'c Place)> {
        let mut out: Vec<_> = self
            .facts()
            .into_iter()
            .map(|s| (&s.fact.basis, &s.fact.place))
            .collect();
        for material in self.materials() {
            out.extend(material.removal.iter().map(|r| (&r.basis, &r.place)));
            out.extend(material.met.iter().map(|m| (&m.basis, &m.place)));
            out.extend(material.new.iter().map(|m| (&m.basis, &m.place)));
        }
        out
    }

    /// The text of a file, where it was read.
    pub(super) fn text(&self, file: &str) -> Option<&'c Source> {
        self.texts.get(file).copied()
    }

    /// Where a table of a vocabulary file starts; the first line where it is not found.
    pub(super) fn section(&self, file: &str, section: &str) -> Place {
        let header = format!("[{section}]");
        let line = self.text(file).and_then(|source| {
            (1_u32..)
                .zip(source.text.lines())
                .find(|(_, line)| {
                    line.split('#')
                        .next()
                        .is_some_and(|l| l.trim_end() == header)
                })
                .map(|(number, _)| number)
        });
        Place {
            file: file.to_owned(),
            line: line.unwrap_or(1),
            column: 1,
        }
    }

    /// Makes a finding of a diagnostic that has no label yet.
    pub(super) fn finding(&self, spot: &Spot<'_>, diagnostic: Diagnostic) -> Finding {
        self.finding_with(spot, diagnostic, |_, diagnostic| diagnostic)
    }

    /// A finding about an unknown word: the help names the nearest of the known ones, and the
    /// edit writes it.
    pub(super) fn unknown(
        &self,
        spot: &Spot<'_>,
        word: &str,
        known: &[&str],
        diagnostic: Diagnostic,
        otherwise: &str,
    ) -> Finding {
        let named = self.id_of(word, known);
        let near = match named {
            Some(id) => vec![id],
            None => did_you_mean(word, known.iter().copied()),
        };
        self.finding_with(spot, diagnostic, |located, diagnostic| match near.first() {
            Some(best) => {
                let diagnostic = diagnostic.help(format!("write \"{}\"", near.join("\" or \"")));
                match located.word {
                    Some(span) if near.len() == 1 => diagnostic.edit(span, *best),
                    _ => diagnostic,
                }
            }
            None if !known.is_empty() && known.len() <= MOST_WORDS => {
                diagnostic.help(format!("known: {}", known.join(", ")))
            }
            None => diagnostic.help(otherwise),
        })
    }

    /// The id, one of those known, of the record that bears a name: who looks a method up under its name
    /// writes `rolled swab` where `swab` is meant.
    fn id_of<'k>(&self, name: &str, known: &[&'k str]) -> Option<&'k str> {
        let folded = fold(name);
        self.records().find_map(|record| {
            let head = record.head();
            let id = known.iter().find(|id| **id == head.id)?;
            let same = fold(&head.id) == folded || head.names.all().any(|n| fold(n) == folded);
            same.then_some(*id)
        })
    }

    pub(super) fn finding_with(
        &self,
        spot: &Spot<'_>,
        diagnostic: Diagnostic,
        finish: impl FnOnce(&Located, Diagnostic) -> Diagnostic,
    ) -> Finding {
        let located = spot.locate(|file| self.text(file));
        let mut diagnostic = finish(&located, diagnostic);
        if let Some(span) = located.word.or(located.whole) {
            diagnostic = diagnostic.at(span, "");
        }
        Finding {
            file: located.place.file.clone(),
            place: located.place,
            diagnostic,
        }
    }
}
