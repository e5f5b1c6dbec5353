//! What a statement rests on: from a place in the corpus to the basis of the fact that stands there,
//! and from there to a cite or to a word.

use std::collections::{BTreeMap, BTreeSet};

use super::document::{Line, Words, text};
use crate::cite::Cite;
use crate::model::{Basis, Kind, Library, Place, Source};

/// Collects what a report cites.
pub(super) struct Grounds<'a> {
    library: &'a dyn Library,
    /// Bases of the facts of each file that was asked for, by line and column.
    files: BTreeMap<String, BTreeMap<(u32, u32), Basis>>,
    /// Groups of cites, in the order of the text.
    pub(super) groups: Vec<Vec<Cite>>,
    numbers: BTreeMap<Vec<Cite>, usize>,
    /// What rests on no source: basis, file, statement.
    pub(super) unsourced: BTreeSet<(&'static str, String, String)>,
    /// What rests on a source.
    pub(super) sourced: BTreeSet<String>,
}

/// A basis that is no source.
pub(super) const PRACTICE: &str = "common practice";
/// What was tried on the object itself, which outranks every source.
const TRIED: &str = "tried on this object";
/// The other basis that is no source.
pub(super) const MEMORY: &str = "recalled, not checked: try it on a crumb";

impl<'a> Grounds<'a> {
    pub(super) fn new(library: &'a dyn Library) -> Self {
        Self {
            library,
            files: BTreeMap::new(),
            groups: Vec::new(),
            numbers: BTreeMap::new(),
            unsourced: BTreeSet::new(),
            sourced: BTreeSet::new(),
        }
    }

    /// Sources of all that was cited, sorted by key.
    pub(super) fn sources(&self) -> Vec<Source> {
        let keys: BTreeSet<&str> = self
            .groups
            .iter()
            .flatten()
            .map(|c| c.key.as_str())
            .collect();
        keys.into_iter()
            .filter_map(|key| self.library.source(key))
            .collect()
    }

    /// The basis of the fact that stands at a place.
    fn basis(&mut self, place: &Place) -> Option<Basis> {
        if !self.files.contains_key(&place.file) {
            let mut facts = BTreeMap::new();
            if let Some(record) = self.record(&place.file) {
                for (_, group) in record.fact_groups() {
                    for (_, fact) in group.all() {
                        let at = (fact.place.line, fact.place.column);
                        facts.insert(at, fact.basis.clone());
                    }
                }
            }
            self.files.insert(place.file.clone(), facts);
        }
        self.files
            .get(&place.file)?
            .get(&(place.line, place.column))
            .cloned()
    }

    fn record(&self, file: &str) -> Option<crate::model::Record> {
        let (folder, name) = file.rsplit_once('/')?;
        let folder = folder.rsplit('/').next()?;
        let kind = Kind::FILED
            .into_iter()
            .find(|kind| kind.folder() == folder)?;
        let index = self.library.position(kind, name.strip_suffix(".toml")?)?;
        self.library.record(kind, index)
    }

    /// The words that say what a statement rests on. `said` is the statement, for the list of what
    /// has no source; `word` and `keys` stand in where no place is known.
    pub(super) fn on(&mut self, said: &str, places: &[Place], keys: &[String], word: &str) -> Line {
        let mut bases: Vec<(Basis, String)> = Vec::new();
        for place in places {
            if let Some(basis) = self.basis(place) {
                bases.push((basis, place.file.clone()));
            }
        }
        let mut cites: Vec<Cite> = Vec::new();
        let mut words: Vec<&'static str> = Vec::new();
        for (basis, file) in &bases {
            match basis {
                Basis::Published { .. } => cites.extend(self.cite(basis)),
                Basis::Practice => {
                    words.push(PRACTICE);
                    self.unsourced
                        .insert((PRACTICE, file.clone(), said.to_owned()));
                }
                Basis::Memory => {
                    words.push(MEMORY);
                    self.unsourced
                        .insert((MEMORY, file.clone(), said.to_owned()));
                }
            }
        }
        if bases.is_empty() {
            for key in keys {
                cites.push(Cite {
                    key: key.clone(),
                    locator: String::new(),
                });
            }
            if word.split([',', ' ']).any(|it| it == "tried") {
                words.push(TRIED);
            }
            for (name, long) in [("practice", PRACTICE), ("memory", MEMORY)] {
                if word.split([',', ' ']).any(|it| it == name) {
                    words.push(long);
                    self.unsourced
                        .insert((long, String::new(), said.to_owned()));
                }
            }
        }
        if !cites.is_empty() {
            self.sourced.insert(said.to_owned());
        }
        self.line(cites, words)
    }

    /// What the record in a file is called; a rule has no file.
    pub(super) fn called(&self, file: &str) -> String {
        match self.record(file) {
            Some(record) => record.head().names.name.clone(),
            None if file.is_empty() => "rules and reckonings of the program".to_owned(),
            None => file.to_owned(),
        }
    }

    /// The same for one basis.
    pub(super) fn of(&mut self, said: &str, basis: &Basis) -> Line {
        match basis {
            Basis::Published { .. } => {
                self.sourced.insert(said.to_owned());
                let cites = self.cite(basis).into_iter().collect();
                self.line(cites, Vec::new())
            }
            Basis::Practice => {
                self.unsourced
                    .insert((PRACTICE, String::new(), said.to_owned()));
                vec![Words::Basis(PRACTICE)]
            }
            Basis::Memory => {
                self.unsourced
                    .insert((MEMORY, String::new(), said.to_owned()));
                vec![Words::Basis(MEMORY)]
            }
        }
    }

    fn line(&mut self, mut cites: Vec<Cite>, mut words: Vec<&'static str>) -> Line {
        cites.sort();
        cites.dedup();
        // A key with a locator says more than the same key without.
        let told: BTreeSet<String> = cites
            .iter()
            .filter(|c| !c.locator.is_empty())
            .map(|c| c.key.clone())
            .collect();
        cites.retain(|c| !c.locator.is_empty() || !told.contains(&c.key));
        cites.retain(|c| self.library.source(&c.key).is_some());
        words.sort_unstable();
        words.dedup();
        let mut out = Line::new();
        if !cites.is_empty() {
            out.push(self.group(cites));
        }
        for word in words {
            if !out.is_empty() {
                out.push(text(" "));
            }
            out.push(Words::Basis(word));
        }
        out
    }

    fn cite(&self, basis: &Basis) -> Option<Cite> {
        let Basis::Published {
            key,
            through,
            locator,
        } = basis
        else {
            return None;
        };
        let locator = match through {
            None => locator.clone(),
            Some(_) => format!("{locator}, after {}", self.short(key)),
        };
        Some(Cite {
            key: through.as_ref().unwrap_or(key).clone(),
            locator,
        })
    }

    /// A source that was not opened itself, in a few words.
    fn short(&self, key: &str) -> String {
        let Some(source) = self.library.source(key) else {
            return key.to_owned();
        };
        let year = source.date.get(..4).unwrap_or("");
        let name = source.authors.first().map_or(source.title.as_str(), |it| {
            it.split(',').next().unwrap_or(it)
        });
        format!("{name} {year}").trim().to_owned()
    }

    fn group(&mut self, cites: Vec<Cite>) -> Words {
        let next = self.groups.len();
        let number = *self.numbers.entry(cites.clone()).or_insert(next);
        if number == next {
            self.groups.push(cites);
        }
        Words::Cite(number)
    }
}
