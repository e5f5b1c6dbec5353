//! Runs a checked query: hands it to its engine and gathers what the answer rests on.

mod bench;
mod blend;
mod choose;
mod compare;
mod condition;
mod explain;
mod find;
mod gather;

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use crate::answer::{Answer, Body, CAUTIONS, Conclusion, Standing};
use crate::diag::Diagnostic;
use crate::identify::{self, identify};
use crate::index::{Bytes, Index, IndexError};
use crate::lang::ast::Explain;
use crate::model::scene::{Posterior, Scene, Target};
use crate::model::{Age, Hazard, Kind, Library, Response, Role, Site, Truth};
use crate::pack::Pack;
use crate::remove::{Barred, Plan, remove};
use crate::resolve::{
    Checked, CheckedCondition, CheckedIdentify, CheckedQuery, CheckedRemove, CheckedThing, What,
};

/// Edition of the language.
pub const EDITION: u32 = 1;

/// Why a query could not be run.
#[derive(Debug, thiserror::Error)]
pub enum EvalError {
    /// The statement's engine is not there yet.
    #[error("`{0}` is a statement of the language, but its engine is not there yet")]
    NotYet(&'static str),
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
    /// What liquids were seen to do to it on this object: agent id, response.
    tried: Vec<(String, Response)>,
}

/// Runs the statements of one file, in order, with their `let` names.
pub struct Session<'a> {
    pack: &'a Pack,
    now: i32,
    bindings: BTreeMap<String, Binding>,
    index: OnceLock<Index>,
    /// Hears how far long work has come, 0 to 1, and says whether it is to go on.
    watch: Option<Box<dyn FnMut(f64) -> bool + 'a>>,
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
            watch: None,
        }
    }

    /// Has long work told of: what share of it is done, 0 to 1. What comes back says whether to go on.
    pub fn watched_by(&mut self, watch: impl FnMut(f64) -> bool + 'a) {
        self.watch = Some(Box::new(watch));
    }

    /// Runs one statement. `query` is its canonical text.
    ///
    /// # Errors
    /// When the engine is not there, or the text index is damaged.
    pub fn run(&mut self, checked: &Checked, query: String) -> Result<Answer, EvalError> {
        let mut notes = checked.notes.clone();
        let body = match &checked.query {
            CheckedQuery::Find(find) => Body::Find(self.find(find)?),
            CheckedQuery::Compare(it) => Body::Compare(self.compare(it)),
            CheckedQuery::Choose(it) => Body::Choose(Box::new(self.choice(it, &mut notes))),
            CheckedQuery::Identify(it) => {
                let asked = self.question(it, &mut notes);
                let found = identify(self.pack, &asked);
                if let Some(name) = &checked.binding {
                    let binding = Binding {
                        thing: it.thing.clone(),
                        restored: it.restored,
                        posterior: found.posterior.clone(),
                        tried: self.tried(it),
                    };
                    self.bindings.insert(name.clone(), binding);
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
            CheckedQuery::NotYet(verb) => return Err(EvalError::NotYet(verb)),
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
        let sources = gather::sources(self.pack, &body);
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
    fn tried(&self, it: &CheckedIdentify) -> Vec<(String, Response)> {
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
                let response = Response::parse(&feature.outcomes[k])?;
                (*best > 0.0).then(|| (feature.id.clone(), response))
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
                .map(|s| (s.materials.clone(), s.families.clone(), s.probability))
                .collect(),
            stack: it.stack.clone(),
            observations: it.observations.clone(),
            limit: it.limit.unwrap_or(0),
            now: self.now,
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

    fn remove(&self, it: &CheckedRemove, notes: &mut Vec<String>) -> crate::answer::Remove {
        let mut plans: Vec<crate::answer::Remove> = it
            .targets
            .iter()
            .enumerate()
            .map(|(k, thing)| {
                let plan = self.plan(it, k, thing, notes);
                remove(self.pack, &plan)
            })
            .collect();
        if plans.len() > 1 {
            notes.push(
                "several layers come off in turn: each has its own ladder and its own stop sign, \
                 and what lies beneath is looked at again before the next"
                    .to_owned(),
            );
        }
        for plan in plans.iter_mut().skip(1) {
            plan.after = Some("what lay over it is off and it was looked at again".to_owned());
        }
        let rest = plans.split_off(1.min(plans.len()));
        let mut first = plans.pop().unwrap_or_else(crate::answer::Remove::empty);
        first.next.extend(rest);
        first
    }

    /// The plan for the `k`th of the materials that are to come off.
    fn plan(
        &self,
        it: &CheckedRemove,
        k: usize,
        thing: &CheckedThing,
        notes: &mut Vec<String>,
    ) -> Plan {
        let table = self.pack.table();
        let bound = thing
            .what
            .binding
            .as_ref()
            .and_then(|name| self.bindings.get(name));
        let (posterior, found) = match bound {
            Some(binding) => (binding.posterior.clone(), Some(&binding.thing)),
            None => {
                let question = identify::Query {
                    roles: thing.what.roles.clone(),
                    families: thing.what.families.clone(),
                    among: thing.what.among.clone(),
                    restored: it.restored,
                    site: thing.site,
                    age: thing.age,
                    thick_mm: thing.thick_mm,
                    stack: it.layers.clone(),
                    now: self.now,
                    ..identify::Query::default()
                };
                (identify::posterior(self.pack, &question), None)
            }
        };
        let named = thing.what.among.len() == 1 && bound.is_none();
        let site = thing
            .site
            .or_else(|| found.and_then(|f| f.site))
            .unwrap_or_else(|| self.usual_site(thing, found, &posterior, notes));
        let mut origin = thing.origin;
        if origin == crate::model::scene::Origin::Unknown {
            if let Some(found) = found {
                origin = found.origin;
            }
            // A date of restoration says that it was put on later.
            let restored = it.restored.or_else(|| bound.and_then(|b| b.restored));
            if origin == crate::model::scene::Origin::Unknown && restored.is_some() {
                origin = crate::model::scene::Origin::Later;
            }
        }
        let aged = match thing.age.or_else(|| found.and_then(|f| f.age)) {
            Some(Age::Fresh) => 0.05,
            Some(Age::Aged) => 0.95,
            None => posterior.aged,
        };
        // A material that the user named is taken at their word: the rest is not "none of these".
        let candidates: Vec<(usize, f64)> = if named {
            thing.what.among.iter().map(|m| (*m, 1.0)).collect()
        } else {
            posterior
                .materials
                .iter()
                .enumerate()
                .filter(|(_, p)| **p >= 0.002)
                .map(|(m, p)| (m, *p))
                .collect()
        };
        let materials = candidates
            .iter()
            .map(|(m, p)| {
                let row = &table.rows[*m];
                (
                    row.id.clone(),
                    table.families[row.family as usize].0.clone(),
                    *p,
                )
            })
            .collect();
        let hazards: Vec<(Hazard, f64)> = if named {
            candidates
                .iter()
                .flat_map(|(m, p)| table.rows[*m].hazards.iter().map(move |h| (*h, *p)))
                .filter(|(h, _)| Hazard::HIDDEN.contains(h))
                .collect()
        } else {
            posterior.hazards.clone()
        };
        Plan {
            scene: Scene {
                layers: it.layers.clone(),
                target: Target {
                    candidates,
                    site,
                    depth_mm: thing.depth_mm.or_else(|| found.and_then(|f| f.depth_mm)),
                    origin,
                    aged,
                    thick: thing.thick || found.is_some_and(|f| f.thick),
                    tried: it
                        .tried
                        .iter()
                        .filter(|(of, _, _)| *of == k)
                        .map(|(_, agent, response)| (agent, response))
                        .chain(
                            bound
                                .iter()
                                .flat_map(|b| b.tried.iter().map(|(a, r)| (a, r))),
                        )
                        .map(|(agent, response)| (agent.clone(), *response))
                        .collect(),
                    hazards,
                },
                materials,
                permitted: it.allowing.clone(),
            },
            barred: Barred {
                agents: it.without_agents.clone(),
                classes: it.without_classes.clone(),
                methods: it.without_methods.clone(),
            },
            limit: it.limit.unwrap_or(0),
            called: thing.called.clone(),
        }
    }

    /// Where a material usually sits, when nobody said.
    fn usual_site(
        &self,
        thing: &CheckedThing,
        found: Option<&CheckedThing>,
        posterior: &Posterior,
        notes: &mut Vec<String>,
    ) -> Site {
        let table = self.pack.table();
        let best = posterior
            .materials
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(b.1))
            .map(|(m, _)| &table.rows[m]);
        let asked = [Some(thing), found]
            .into_iter()
            .flatten()
            .map(|t| &t.what.roles)
            .find(|roles| !roles.is_empty());
        let roles = if let Some(roles) = asked {
            roles.clone()
        } else {
            best.map(|row| row.roles.clone()).unwrap_or_default()
        };
        let usual = match roles.first() {
            Some(Role::Adhesive) => Site::OpenJoint,
            Some(Role::Consolidant) => Site::Pores,
            _ => Site::Film,
        };
        // A tape is an adhesive that is met in no joint.
        let met = best
            .and_then(|row| self.pack.material(&row.id))
            .map_or_else(Vec::new, |material| material.sites);
        let site = match met.first() {
            Some(first) if !met.contains(&usual) => *first,
            _ => usual,
        };
        notes.push(format!(
            "where {} sits was not stated: taken as {site}; say `(film)`, `(open joint)`, `(deep \
             joint)` or `(pores)`",
            thing.called
        ));
        site
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
