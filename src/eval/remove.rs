//! Plans of removal from a checked query: who it may be, where it sits, what must survive.

use std::borrow::Cow;

use super::{Binding, Session};
use crate::answer::Remove;
use crate::identify;
use crate::model::scene::{Origin, Posterior, Scene, Suspect, Target};
use crate::model::{Age, Hazard, Library, Role, Site};
use crate::remove::{Plan, remove};
use crate::resolve::{CheckedRemove, CheckedThing};

/// Probability from which a plan reckons with a material.
const LEAST: f64 = 0.002;

impl Session<'_> {
    pub(super) fn remove(&self, it: &CheckedRemove, notes: &mut Vec<String>) -> Remove {
        let mut plans: Vec<Remove> = it
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
        let mut first = plans.pop().unwrap_or_else(Remove::empty);
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
        let bound = thing
            .what
            .binding
            .as_ref()
            .and_then(|name| self.bindings.get(name));
        let found = bound.map(|it| &it.thing);
        let posterior = match bound {
            Some(it) => Cow::Borrowed(&it.posterior),
            None => Cow::Owned(self.unbound(it, thing)),
        };
        // A material that the user named is taken at their word: the rest is not "none of these".
        let named = thing.what.among.len() == 1 && bound.is_none();
        let candidates = if named {
            vec![(thing.what.among[0], 1.0)]
        } else {
            likely(&posterior)
        };
        let hazards = if named {
            self.hidden_hazards(&candidates)
        } else {
            posterior.hazards.clone()
        };
        let site = thing
            .site
            .or_else(|| found.and_then(|f| f.site))
            .unwrap_or_else(|| self.usual_site(thing, found, &posterior, notes));
        let aged = match thing.age.or_else(|| found.and_then(|f| f.age)) {
            Some(Age::Fresh) => 0.05,
            Some(Age::Aged) => 0.95,
            None => posterior.aged,
        };
        let tried_here = it.tried.iter().filter(|(of, _)| *of == k);
        let tried_before = bound.map_or(&[][..], |b| &b.tried);
        Plan {
            scene: Scene {
                layers: it.layers.clone(),
                materials: self.suspects(&candidates),
                target: Target {
                    candidates,
                    site,
                    depth_mm: depth(thing, site).or_else(|| found.and_then(|f| depth(f, site))),
                    origin: origin(it, thing, bound),
                    aged,
                    thick: thing.thick || found.is_some_and(|f| f.thick),
                    tried: tried_here
                        .map(|(_, trial)| trial)
                        .chain(tried_before)
                        .cloned()
                        .collect(),
                    hazards,
                },
                permitted: it.allowing.clone(),
            },
            barred: it.barred.clone(),
            limit: it.limit.unwrap_or(0),
            called: thing.called.clone(),
        }
    }

    /// What a thing that no `let` names may be.
    fn unbound(&self, it: &CheckedRemove, thing: &CheckedThing) -> Posterior {
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
        identify::posterior(self.pack, &question)
    }

    /// Candidates as the rules name them.
    pub(super) fn suspects(&self, candidates: &[(usize, f64)]) -> Vec<Suspect> {
        let table = self.pack.table();
        candidates
            .iter()
            .map(|(m, p)| {
                let row = &table.rows[*m];
                Suspect {
                    id: table.ids.get(*m).to_owned(),
                    family: table.families[row.family as usize].0.clone(),
                    probability: *p,
                }
            })
            .collect()
    }

    /// The hazards that candidates hold and nobody sees.
    pub(super) fn hidden_hazards(&self, candidates: &[(usize, f64)]) -> Vec<(Hazard, f64)> {
        let table = self.pack.table();
        candidates
            .iter()
            .flat_map(|(m, p)| table.rows[*m].hazards.iter().map(move |h| (h, *p)))
            .filter(|(h, _)| Hazard::HIDDEN.contains(h))
            .collect()
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
            .and_then(|(m, _)| self.pack.material(table.ids.get(m)));
        let asked = [Some(thing), found]
            .into_iter()
            .flatten()
            .map(|t| &t.what.roles)
            .find(|roles| !roles.is_empty());
        let roles = if let Some(roles) = asked {
            roles.clone()
        } else {
            best.as_ref()
                .map_or_else(Vec::new, |material| material.roles.clone())
        };
        let usual = match roles.first() {
            Some(Role::Adhesive) => Site::OpenJoint,
            Some(Role::Fastener) => Site::DeepJoint,
            Some(Role::Consolidant) => Site::Pores,
            _ => Site::Film,
        };
        // A tape is an adhesive that is met in no joint.
        let met = best.map_or_else(Vec::new, |material| material.sites);
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

/// Depth of what sits in a joint or body, thickness of what lies on the face, in millimetres.
fn depth(thing: &CheckedThing, site: Site) -> Option<f64> {
    thing.depth_mm.or(match site {
        Site::Film => thing.thick_mm,
        Site::OpenJoint | Site::DeepJoint | Site::Pores => None,
    })
}

/// The materials that a plan still reckons with, each with its probability.
pub(super) fn likely(posterior: &Posterior) -> Vec<(usize, f64)> {
    posterior
        .materials
        .iter()
        .enumerate()
        .filter(|(_, p)| **p >= LEAST)
        .map(|(m, p)| (m, *p))
        .collect()
}

/// Whether it is the object's own, as far as anybody said.
fn origin(it: &CheckedRemove, thing: &CheckedThing, bound: Option<&Binding>) -> Origin {
    let stated = match (thing.origin, bound) {
        (Origin::Unknown, Some(bound)) => bound.thing.origin,
        (origin, _) => origin,
    };
    // A date of restoration says that it was put on later.
    let restored = it.restored.or_else(|| bound.and_then(|b| b.restored));
    if stated == Origin::Unknown && restored.is_some() {
        Origin::Later
    } else {
        stated
    }
}
