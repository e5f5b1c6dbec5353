//! Plans how to take an old material off this stack of layers without harming what lies beneath.
//!
//! Every method that reaches the place is tried in thought with every liquid that it can bring:
//! what would it do to each candidate of the posterior, and to each layer? What harms is ruled out;
//! what is not recorded is a test. What is left is a short ladder, mildest first.

mod before;
mod effect;
mod harm;
mod ladder;
mod ruled_out;

use crate::answer::{Reason, Remove};
use crate::gate;
use crate::model::scene::{Origin, Scene, SceneLayer, Step};
use crate::model::{
    Action, Agent, Basis, Carrier, Class, Condition, Kind, Library, Material, Method, Record, Site,
    Trait,
};

use effect::Effects;

/// What may not be used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Barred {
    /// Agent ids, also as part of a mixture.
    pub agents: Vec<String>,
    /// Agent classes.
    pub classes: Vec<Class>,
    /// Method ids.
    pub methods: Vec<String>,
}

/// What is asked.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The scene: layers, target, permissions.
    pub scene: Scene,
    /// What may not be used.
    pub barred: Barred,
    /// Live rungs to show; 0 for the usual number.
    pub limit: usize,
    /// What the user called the target.
    pub called: String,
}

/// Most live rungs of a ladder.
pub const RUNGS: usize = 6;
/// Candidates that are planned for: as many as make up this share of the posterior.
const PLANNED_SHARE: f64 = 0.97;
const PLANNED_MOST: usize = 24;

/// A step with all that is known of it.
pub(crate) struct Weighed {
    pub(crate) step: Step,
    pub(crate) effect: effect::Seen,
    pub(crate) reach: f64,
}

/// Plans the removal.
#[must_use]
pub fn remove(library: &dyn Library, plan: &Plan) -> Remove {
    let materials = candidates(library, plan);
    let scene = &plan.scene;
    let corpus = Corpus::read(library);
    let effects = Effects::new(&materials, scene, &corpus);
    let mut live = Vec::new();
    let mut refused = Vec::new();
    for weighed in steps(&corpus, &effects, plan) {
        match gate::step(weighed.step.clone(), scene) {
            Ok(passed) => live.push((passed, weighed)),
            Err(no) => refused.push((no, weighed)),
        }
    }
    let leave = leave(&materials, scene, &live, plan);
    let considered = live.len();
    let alive = ruled_out::Live::of(&live);
    let loose = must_secure(scene, considered);
    let keeps = matches!(scene.target.origin, Origin::Original | Origin::Historic);
    let rungs = if keeps {
        Vec::new()
    } else if loose {
        ladder::securing(&corpus, plan)
    } else {
        ladder::ladder(&corpus, live, plan)
    };
    let next = if loose && !keeps {
        vec![secured(library, plan)]
    } else {
        Vec::new()
    };
    // What is to be secured first is not left for want of a step.
    let leave = leave.filter(|_| !loose || keeps);
    let ruled_out = ruled_out::ruled_out(&corpus, &refused, &alive, scene);
    let before = before::before(scene, &rungs);
    let gaps = before::gaps(&materials, scene, &rungs);
    Remove {
        target: materials
            .iter()
            .map(|(m, p)| (m.head.id.clone(), m.head.names.name.clone(), *p))
            .collect(),
        layers: scene.layers.iter().map(SceneLayer::described).collect(),
        before,
        ladder: rungs,
        ruled_out,
        leave,
        gaps,
        considered,
        next,
        after: None,
    }
}

/// Whether a layer must be secured before anything else: always where one flakes, and where one
/// loses grains if no step is left that it bears.
fn must_secure(scene: &Scene, live: usize) -> bool {
    scene.layers.iter().any(|l| l.is(Condition::Flaking))
        || (live == 0 && scene.layers.iter().any(|l| l.is(Condition::Powdering)))
}

/// The plan for when the loose layers hold again.
fn secured(library: &dyn Library, plan: &Plan) -> Remove {
    let mut plan = plan.clone();
    for layer in &mut plan.scene.layers {
        layer.conditions.retain(|c| !c.needs_support());
    }
    let mut out = remove(library, &plan);
    out.after = Some(
        "the loose layer is secured, with something that these agents do not dissolve, and a test \
         shows that it holds"
            .to_owned(),
    );
    out
}

/// Candidates that are planned for, with their probability.
fn candidates(library: &dyn Library, plan: &Plan) -> Vec<(Material, f64)> {
    let mut ordered = plan.scene.target.candidates.clone();
    ordered.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let total: f64 = ordered.iter().map(|(_, p)| p).sum();
    let mut sum = 0.0;
    let mut out = Vec::new();
    for (m, p) in ordered {
        if out.len() == PLANNED_MOST || (sum >= PLANNED_SHARE * total && !out.is_empty()) {
            break;
        }
        if let Some(Record::Material(material)) = library.record(Kind::Material, m) {
            out.push((material, p));
            sum += p;
        }
    }
    out
}

/// Methods, liquids and carriers, decoded once.
pub(crate) struct Corpus {
    pub(crate) methods: Vec<Method>,
    pub(crate) agents: Vec<Agent>,
    pub(crate) carriers: Vec<Carrier>,
}

impl Corpus {
    fn read(library: &dyn Library) -> Self {
        let all = |kind| {
            (0..library.count(kind))
                .filter_map(move |i| library.record(kind, i))
                .collect::<Vec<_>>()
        };
        Self {
            methods: all(Kind::Method)
                .into_iter()
                .filter_map(|r| {
                    if let Record::Method(m) = r {
                        Some(m)
                    } else {
                        None
                    }
                })
                .collect(),
            agents: all(Kind::Agent)
                .into_iter()
                .filter_map(|r| {
                    if let Record::Agent(a) = r {
                        Some(a)
                    } else {
                        None
                    }
                })
                .collect(),
            carriers: all(Kind::Carrier)
                .into_iter()
                .filter_map(|r| {
                    if let Record::Carrier(c) = r {
                        Some(c)
                    } else {
                        None
                    }
                })
                .collect(),
        }
    }

    pub(crate) fn agent(&self, id: &str) -> Option<&Agent> {
        self.agents.iter().find(|a| a.head.id == id)
    }

    pub(crate) fn method(&self, id: &str) -> Option<&Method> {
        self.methods.iter().find(|m| m.head.id == id)
    }

    fn carrier(&self, id: &str) -> Option<&Carrier> {
        self.carriers.iter().find(|c| c.head.id == id)
    }

    /// The step of a method with an agent, if the method can bring it.
    fn step(&self, method: &Method, agent: Option<&Agent>) -> Option<Step> {
        let carrier = method
            .carrier
            .as_deref()
            .and_then(|id| self.carrier(id))
            .cloned();
        if let Some(agent) = agent {
            let names = |list: &[String]| {
                list.contains(&agent.head.id) || list.iter().any(|w| w == agent.class.word())
            };
            if !names(&method.delivers) {
                return None;
            }
            if let Some(carrier) = &carrier {
                // An agent named outright outranks its class, both ways.
                let named = carrier.carries.contains(&agent.head.id);
                let barred = names(&carrier.carries_not) || !names(&carrier.carries);
                if barred && !named && !method.delivers.contains(&agent.head.id) {
                    return None;
                }
            }
        }
        // A mixture with a part that nobody knows cannot be judged.
        let parts = agent
            .map_or(&[][..], |a| a.parts.as_slice())
            .iter()
            .map(|(id, _)| self.agent(id).cloned())
            .collect::<Option<Vec<Agent>>>()?;
        Some(Step {
            method: method.clone(),
            agent: agent.cloned(),
            parts,
            carrier,
        })
    }
}

/// Every step that reaches the place and does something to some candidate.
fn steps(corpus: &Corpus, effects: &Effects<'_>, plan: &Plan) -> Vec<Weighed> {
    let site = plan.scene.target.site;
    let mut out = Vec::new();
    for method in &corpus.methods {
        if matches!(method.action, Action::Support | Action::None)
            || plan.barred.methods.contains(&method.head.id)
            || method
                .classes
                .iter()
                .any(|c| plan.barred.classes.contains(c))
        {
            continue;
        }
        let reach = reach(method, site);
        if reach <= 0.0 {
            continue;
        }
        if method.delivers.is_empty() {
            let Some(step) = corpus.step(method, None) else {
                continue;
            };
            let effect = effects.dry(method);
            if effect.counts() {
                out.push(Weighed {
                    step,
                    effect,
                    reach,
                });
            }
            continue;
        }
        for agent in &corpus.agents {
            if is_barred(corpus, agent, &plan.barred) {
                continue;
            }
            let Some(effect) = effects.wet(method, agent) else {
                continue;
            };
            if !effect.counts() {
                continue;
            }
            if let Some(step) = corpus.step(method, Some(agent)) {
                out.push(Weighed {
                    step,
                    effect,
                    reach,
                });
            }
        }
    }
    out
}

fn reach(method: &Method, site: Site) -> f64 {
    if method.reach.contains(&site) {
        1.0
    } else if method.reach_partly.contains(&site) {
        0.6
    } else {
        0.0
    }
}

/// Whether the agent, or a part of it, was barred by name or by class.
fn is_barred(corpus: &Corpus, agent: &Agent, barred: &Barred) -> bool {
    let one = |a: &Agent| barred.agents.contains(&a.head.id) || barred.classes.contains(&a.class);
    one(agent)
        || agent
            .parts
            .iter()
            .any(|(id, _)| barred.agents.contains(id) || corpus.agent(id).is_some_and(one))
}

/// Whether leaving it in place is the better answer.
fn leave(
    materials: &[(Material, f64)],
    scene: &Scene,
    live: &[(gate::Passed<Step>, Weighed)],
    plan: &Plan,
) -> Option<Reason> {
    match scene.target.origin {
        Origin::Original => {
            return Some(Reason {
                text: format!(
                    "{} was called original: it belongs to the object",
                    plan.called
                ),
                basis: Basis::Practice,
            });
        }
        Origin::Historic => {
            return Some(Reason {
                text: format!(
                    "{} is itself historic: whether it goes is a question of value, for owner and \
                     curator, before it is one of solvents",
                    plan.called
                ),
                basis: Basis::Practice,
            });
        }
        Origin::Later | Origin::Unknown => {}
    }
    for (material, p) in materials {
        let route = material.removal.iter().find(|r| {
            r.method.as_deref() == Some("leave")
                && (r.on.is_empty() || r.on.iter().any(|w| w == scene.target.site.word()))
        });
        if let Some(route) = route
            && *p >= 0.5
            && route.order != crate::model::Order::Fails
        {
            let why = route.note.clone().unwrap_or_else(|| {
                format!("{} is better left than taken off", material.head.names.name)
            });
            return Some(Reason {
                text: why,
                basis: route.basis.clone(),
            });
        }
    }
    let best = live
        .iter()
        .map(|(_, w)| w.effect.covers * w.reach)
        .fold(0.0, f64::max);
    if materials.is_empty() {
        return Some(Reason {
            text: format!(
                "nothing in the corpus answers to {}: identify it first, and leave it meanwhile",
                plan.called
            ),
            basis: Basis::Practice,
        });
    }
    if best < 0.25 {
        return Some(Reason {
            text: "nothing on record takes it off these layers without harm: leave it, or thin it \
                   by hand under magnification"
                .to_owned(),
            basis: Basis::Practice,
        });
    }
    if scene.target.site == Site::Pores {
        return Some(Reason {
            text: "what sits in pores is at best partly drawn out: reduce it at the surface, and \
                   leave the rest where it holds the body together"
                .to_owned(),
            basis: Basis::Practice,
        });
    }
    None
}

/// The layer that the agent meets first, if any.
pub(crate) fn top(scene: &Scene) -> Option<&SceneLayer> {
    scene.layers.first()
}

/// Whether any layer met is porous.
pub(crate) fn meets_porous(scene: &Scene) -> bool {
    top(scene).is_some_and(|l| l.has(Trait::Porous))
}
