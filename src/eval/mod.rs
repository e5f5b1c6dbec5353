//! Runs a checked query: hands it to its engine and gathers what the answer rests on.

mod bench;
mod blend;
mod choose;
mod compare;
mod condition;
mod explain;
mod find;
mod gather;
mod remove;

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use crate::answer::{Answer, Body, CAUTIONS, Conclusion, Standing};
use crate::diag::Diagnostic;
use crate::identify::{self, identify};
use crate::index::{Bytes, Index, IndexError};
use crate::lang::EDITION;
use crate::lang::ast::Explain;
use crate::model::scene::{Posterior, TargetTrial};
use crate::model::{Kind, Library, Response, Truth};
use crate::pack::Pack;
use crate::resolve::{
    Checked, CheckedCondition, CheckedIdentify, CheckedQuery, CheckedThing, What,
};

/// Why a query could not be run.
#[derive(Debug, thiserror::Error)]
pub enum EvalError {
    /// The bench makes no such thing, with the word that it hangs on.
    #[error("{}", .0.message)]
    Refused(Box<Diagnostic>),
    /// The text index failed.
    #[error(transparent)]
    Index(#[from] IndexError),
}

/// What a `let` name holds.
struct Binding {
    thing: CheckedThing,
    /// Years of the restoration, if stated: they say that it was put on later.
    restored: Option<(i32, i32)>,
    posterior: Posterior,
    /// What liquids were seen to do to it on this object.
    tried: Vec<TargetTrial>,
}

/// Runs the statements of one file, in order, with their `let` names.
pub struct Session<'a> {
    pack: &'a Pack,
    now: i32,
    bindings: BTreeMap<String, Binding>,
    index: OnceLock<Index>,
    /// Identifications that were reckoned for a `let` name only, by their canonical text.
    known: BTreeMap<String, Posterior>,
    /// Hears how far long work has come, 0 to 1, and says whether it is to go on.
    watch: Option<Box<dyn FnMut(f64) -> bool + 'a>>,
    /// Whether answers are read as pages.
    paged: bool,
}

impl<'a> Session<'a> {
    /// A session over a corpus. `now` is the current year.
    #[must_use]
    pub fn new(pack: &'a Pack, now: i32) -> Self {
        Self {
            pack,
            now,
            bindings: BTreeMap::new(),
            index: OnceLock::new(),
            known: BTreeMap::new(),
            watch: None,
            paged: false,
        }
    }

    /// Runs a `let … = identify …` for the sake of its name, where a later statement is what was asked:
    /// only the probabilities are reckoned, not what explains them nor what to test next, and of one
    /// text they are reckoned once. `query` is its canonical text. Whether it was such a statement; any
    /// other wants [`Self::run`].
    pub fn bind(&mut self, checked: &Checked, query: &str) -> bool {
        let (CheckedQuery::Identify(it), Some(name), None) =
            (&checked.query, &checked.binding, checked.explain)
        else {
            return false;
        };
        let posterior = match self.known.get(query) {
            Some(known) => known.clone(),
            None => {
                let asked = self.question(it, &mut Vec::new());
                let found = identify::posterior(self.pack, &asked);
                self.known.insert(query.to_owned(), found.clone());
                found
            }
        };
        self.name(name, it, posterior);
        true
    }

    /// Gives a `let` name to what was identified.
    fn name(&mut self, name: &str, it: &CheckedIdentify, posterior: Posterior) {
        let binding = Binding {
            thing: it.thing.clone(),
            restored: it.restored,
            posterior,
            tried: self.tried(it),
        };
        self.bindings.insert(name.to_owned(), binding);
    }

    /// Has long work told of: what share of it is done, 0 to 1. What comes back says whether to go on.
    pub fn watched_by(&mut self, watch: impl FnMut(f64) -> bool + 'a) {
        self.watch = Some(Box::new(watch));
    }

    /// Says that answers are read as pages. What these do not show is not looked up then: what the keys of
    /// sources stand for in a record at a glance, what is on record of all candidates but the first.
    pub fn for_pages(&mut self) {
        self.paged = true;
    }

    /// Runs one statement. `query` is its canonical text; a page wants none.
    ///
    /// # Errors
    /// When the bench makes no such thing, or the text index is damaged.
    pub fn run(&mut self, checked: &Checked, query: String) -> Result<Answer, EvalError> {
        let mut notes = checked.notes.clone();
        let body = match &checked.query {
            CheckedQuery::Find(find) => Body::Find(self.find(find)?),
            CheckedQuery::Compare(it) => Body::Compare(self.compare(it)),
            CheckedQuery::Choose(it) => Body::Choose(Box::new(self.choice(it, &mut notes))),
            CheckedQuery::Identify(it) => {
                let asked = identify::Query {
                    paged: self.paged && checked.explain.is_none(),
                    ..self.question(it, &mut notes)
                };
                let found = identify(self.pack, &asked);
                if let Some(name) = &checked.binding {
                    self.name(name, it, found.posterior.clone());
                }
                if it.observations.iter().all(|o| o.feature.is_none()) {
                    notes.push(
                        "no observation was given that the corpus can weigh: what follows is what \
                         was in use, and no more"
                            .to_owned(),
                    );
                }
                Body::Identify(Box::new(found))
            }
            CheckedQuery::Remove(it) => Body::Remove(Box::new(self.remove(it, &mut notes))),
            CheckedQuery::Blend(it) => Body::Blend(Box::new(self.blend(it))),
            CheckedQuery::Prepare(it) => Body::Prepare(Box::new(bench::prepare(self.pack, it)?)),
            CheckedQuery::Ventilate(it) => {
                Body::Ventilate(Box::new(bench::ventilate(self.pack, it)?))
            }
        };
        let explanation = match checked.explain {
            None => None,
            Some(Explain::Plan) => Some(self.explain_plan(&checked.query, &body)),
            Some(Explain::Answer) => Some(explain::derivation(&body)),
            Some(Explain::Empty) => Some(self.explain_empty(&checked.query)?),
        };
        let acts = match &body {
            Body::Find(_) => false,
            Body::Compare(it) => it.rows.iter().any(|row| {
                row.cells
                    .iter()
                    .any(|cell| matches!(cell, crate::answer::Cell::Removal { .. }))
            }),
            Body::Identify(_)
            | Body::Remove(_)
            | Body::Choose(_)
            | Body::Blend(_)
            | Body::Prepare(_)
            | Body::Ventilate(_) => true,
        };
        let cautions = match acts {
            false => Vec::new(),
            true => {
                let mut out: Vec<String> = CAUTIONS.iter().map(|c| (*c).to_owned()).collect();
                out.extend(gather::named_hazards(&body));
                out
            }
        };
        let sources = match &body {
            Body::Find(it) if self.paged && it.is_of_keys() => Vec::new(),
            _ => gather::sources(self.pack, &body),
        };
        Ok(Answer {
            body,
            query,
            notes,
            cautions,
            sources,
            corpus_version: self.pack.version().to_owned(),
            edition: EDITION,
            explanation,
        })
    }

    fn index(&self) -> Result<&Index, IndexError> {
        if let Some(index) = self.index.get() {
            return Ok(index);
        }
        let files = match self.pack.static_index_files() {
            Some(files) => files
                .into_iter()
                .map(|(n, b)| (n, Bytes::Static(b)))
                .collect(),
            None => self
                .pack
                .index_files()
                .map(|(n, b)| (n.to_owned(), Bytes::Shared(Arc::from(b))))
                .collect(),
        };
        let counts = Kind::ALL.map(|kind| self.pack.count(kind));
        let index = Index::open(files, counts)?;
        Ok(self.index.get_or_init(|| index))
    }

    /// What liquids were seen to do to the unknown, one response a liquid: the planner takes this
    /// object's own results before the literature.
    fn tried(&self, it: &CheckedIdentify) -> Vec<TargetTrial> {
        let table = self.pack.table();
        let mut seen: Vec<(usize, Vec<f64>)> = Vec::new();
        for o in &it.observations {
            let Some(f) = o.feature.filter(|f| table.features[*f].liquid) else {
                continue;
            };
            if o.blank || o.belief < 0.9 {
                continue;
            }
            match seen.iter_mut().find(|(g, _)| *g == f) {
                // Said twice of one liquid: what both allow.
                Some((_, weights)) => {
                    for (w, x) in weights.iter_mut().zip(&o.outcomes) {
                        *w *= x;
                    }
                }
                None => seen.push((f, o.outcomes.clone())),
            }
        }
        seen.into_iter()
            .filter_map(|(f, weights)| {
                let feature = &table.features[f];
                let (k, best) = weights
                    .iter()
                    .enumerate()
                    .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0)))?;
                let response = Response::parse(&feature.outcomes()[k])?;
                (*best > 0.0).then(|| TargetTrial {
                    agent: feature.id.clone(),
                    response,
                })
            })
            .collect()
    }

    fn question(&self, it: &CheckedIdentify, notes: &mut Vec<String>) -> identify::Query {
        let What {
            roles,
            families,
            among,
            ..
        } = it.thing.what.clone();
        if !it.prior.is_empty() {
            let said: Vec<String> = it
                .prior
                .iter()
                .map(|s| format!("{} {:.0} %", s.called, 100.0 * s.probability))
                .collect();
            notes.push(format!(
                "before any test: {}, as you said; the rest is shared as the records have it",
                said.join(", ")
            ));
        }
        let set_aside = match &it.condition {
            Some(condition) => self.set_aside(condition, &among, notes),
            None => Vec::new(),
        };
        identify::Query {
            roles,
            families,
            among,
            set_aside,
            restored: it.restored,
            site: it.thing.site,
            age: it.thing.age,
            thick_mm: it.thing.thick_mm,
            prior: it
                .prior
                .iter()
                .map(|s| identify::Stated {
                    materials: s.materials.clone(),
                    families: s.families.clone(),
                    probability: s.probability,
                })
                .collect(),
            stack: it.stack.clone(),
            observations: it.observations.clone(),
            limit: it.limit.unwrap_or(0),
            now: self.now,
            paged: false,
        }
    }

    /// Materials that a condition denies. One of which the corpus does not say enough stays in: to
    /// leave a candidate out wants a record.
    fn set_aside(
        &self,
        condition: &CheckedCondition,
        among: &[usize],
        notes: &mut Vec<String>,
    ) -> Vec<usize> {
        let mut out = Vec::new();
        let (mut left, mut unsure) = (0, 0);
        for index in 0..self.pack.count(Kind::Material) {
            if !among.is_empty() && !among.contains(&index) {
                continue;
            }
            let Some(record) = self.pack.record(Kind::Material, index) else {
                continue;
            };
            match self.holds(condition, &record) {
                Truth::False => out.push(index),
                truth => {
                    unsure += usize::from(truth == Truth::Unknown);
                    left += 1;
                }
            }
        }
        if left == 0 {
            notes.push(
                "`where` leaves no candidate: every record denies it, so it was set aside"
                    .to_owned(),
            );
            return Vec::new();
        }
        notes.push(format!(
            "`where` leaves {} materials out; {unsure} of which the corpus does not say enough stay \
             in; the hazards of those left out stand until a test excludes them",
            out.len()
        ));
        out
    }
}

/// How an answer stands, for the exit code.
#[must_use]
pub fn standing(answer: &Answer) -> Standing {
    match &answer.body {
        Body::Find(find) => {
            if !find.matches.is_empty() {
                Standing::Answered
            } else if find.undetermined_total > 0 {
                Standing::Undetermined
            } else {
                Standing::Nothing
            }
        }
        Body::Compare(_) => Standing::Answered,
        Body::Choose(it) => {
            if !it.choices.is_empty() || !it.pairs.is_empty() {
                Standing::Answered
            } else if it.undetermined.is_empty() {
                Standing::Nothing
            } else {
                Standing::Undetermined
            }
        }
        Body::Blend(it) => {
            if !it.missing.is_empty() || it.stopped {
                Standing::Undetermined
            } else if it.blends.is_empty() {
                Standing::Nothing
            } else {
                Standing::Answered
            }
        }
        Body::Prepare(it) if it.undetermined => Standing::Undetermined,
        Body::Ventilate(it) if it.undetermined => Standing::Undetermined,
        Body::Prepare(_) | Body::Ventilate(_) => Standing::Answered,
        Body::Identify(it) => match it.conclusion {
            Conclusion::Material(_) | Conclusion::Family(_) => Standing::Answered,
            Conclusion::NotEnough | Conclusion::Contradicts => Standing::Undetermined,
        },
        Body::Remove(it) => {
            if it.leave.is_some() || !it.ladder.is_empty() {
                Standing::Answered
            } else {
                Standing::Undetermined
            }
        }
    }
}
