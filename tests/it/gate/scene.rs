//! Reads a case into a step and a scene, of records of the embedded corpus or of small records
//! made here.
//!
//! ```text
//! layers | method agent | the rest
//! ```
//!
//! - Layers, from the top down, parted by commas: an id, or `@trait+trait` for a record made here
//!   that has these traits and nothing on record; in parentheses conditions, and `~agent` for
//!   "this agent was tried here and did no harm".
//! - A method, then nothing, an agent id, a mixture `a+b`, or `cas:NUMBER:CLASS` for an agent that
//!   is not in the corpus; then `in CARRIER` to put it into another carrier than the method's own.
//! - The rest: a site, an origin (`later` when none is given), `material=probability`,
//!   `!hazard=probability`, `forbidden` when nothing restricted is permitted.

use palinode::gate::rules::PutOn;
use palinode::model::scene::{LayerTrial, Origin, Scene, SceneLayer, Step, Suspect, Target};
use palinode::model::{
    Agent, AgentSort, Class, Condition, Facts, Hazard, Head, Kind, Layer, Library, Names, Record,
    Site, Trait, Verdict, Wetting,
};
use palinode::pack::Pack;

pub(super) fn corpus() -> &'static Pack {
    palinode::embedded()
}

/// A step and the scene in which it is proposed.
pub(super) fn read(case: &str) -> (Step, Scene) {
    let mut parts = case.split('|').map(str::trim);
    let layers = parts.next().expect("layers");
    let how = parts.next().expect("a method");
    let rest = parts.next().unwrap_or("");
    let scene = scene(layers.split(',').map(|l| layer(l.trim())).collect(), rest);
    let mut words = how.split_whitespace();
    let method = words.next().expect("a method");
    let mut agent = None;
    let mut carrier = None;
    while let Some(word) = words.next() {
        if word == "in" {
            carrier = Some(words.next().expect("a carrier"));
        } else {
            agent = Some(word);
        }
    }
    (step(method, agent, carrier), scene)
}

/// Layers from the top down, parted by commas; none of nothing.
pub(super) fn layers(text: &str) -> Vec<SceneLayer> {
    let names = text.split(',').map(str::trim);
    names.filter(|l| !l.is_empty()).map(layer).collect()
}

/// A step of a method with an agent; the carrier is the method's own unless one is given.
pub(super) fn step(method: &str, agent: Option<&str>, carrier: Option<&str>) -> Step {
    let put_on = PutOn::ALL.into_iter().find(|way| way.id() == method);
    let method = put_on.map_or_else(
        || {
            corpus()
                .method(method)
                .unwrap_or_else(|| panic!("no method {method}"))
        },
        |way| way.method("glue", Vec::new(), Wetting::Little),
    );
    let carrier = carrier
        .map(str::to_owned)
        .or_else(|| method.carrier.clone())
        .map(|id| {
            corpus()
                .carrier(&id)
                .unwrap_or_else(|| panic!("no carrier {id}"))
        });
    let (agent, parts) = match agent {
        None => (None, Vec::new()),
        Some(words) if words.contains('+') => {
            let parts: Vec<Agent> = words.split('+').map(one_agent).collect();
            let harshest = parts
                .iter()
                .max_by_key(|a| a.strength)
                .expect("parts")
                .class;
            let whole = Agent {
                parts: parts.iter().map(|a| (a.head.id.clone(), 1.0)).collect(),
                ..made_agent(words, harshest, None)
            };
            (Some(whole), parts)
        }
        Some(word) => {
            let agent = one_agent(word);
            let parts = agent.parts.iter().map(|(id, _)| one_agent(id)).collect();
            (Some(agent), parts)
        }
    };
    Step {
        method: method.into(),
        agent: agent.map(Into::into),
        parts: parts.into_iter().map(Into::into).collect(),
        carrier: carrier.map(Into::into),
    }
}

fn one_agent(word: &str) -> Agent {
    if let Some(made) = word.strip_prefix("cas:") {
        let (cas, class) = made.split_once(':').expect("cas:NUMBER:CLASS");
        return made_agent(word, Class::parse(class).expect("a class"), Some(cas));
    }
    corpus()
        .agent(word)
        .unwrap_or_else(|| panic!("no agent {word}"))
}

fn head(id: &str) -> Head {
    Head {
        id: id.to_owned(),
        names: Names {
            name: id.to_owned(),
            ..Names::default()
        },
        ..Head::default()
    }
}

fn made_agent(id: &str, class: Class, cas: Option<&str>) -> Agent {
    Agent {
        head: head(id),
        sort: AgentSort::Reagent,
        class,
        cas: cas.map(str::to_owned),
        parts: Vec::new(),
        like: None,
        strength: 5,
        cmr: None,
        needs_permission: false,
        hazards: Vec::new(),
        hansen: None,
    }
}

/// A layer as a case writes it.
pub(super) fn layer(words: &str) -> SceneLayer {
    let (name, stated) = match words.split_once('(') {
        Some((name, rest)) => (name, rest.trim_end_matches(')')),
        None => (words, ""),
    };
    let record = match name.strip_prefix('@') {
        Some(traits) => Layer {
            head: head(name),
            group: "made".to_owned(),
            traits: traits
                .split('+')
                .map(|t| Trait::parse(t).unwrap_or_else(|| panic!("no trait {t}")))
                .collect(),
            harm: vec![(Condition::Sound, Facts::default())],
        },
        None => corpus()
            .layer(name)
            .unwrap_or_else(|| panic!("no layer {name}")),
    };
    let mut conditions = Vec::new();
    let mut tried = Vec::new();
    for word in stated.split_whitespace() {
        if let Some(agent) = word.strip_prefix('~') {
            tried.push(LayerTrial {
                agent: agent.to_owned(),
                verdict: Verdict::Safe,
                text: "no harm".to_owned(),
            });
        } else {
            conditions
                .push(Condition::parse(word).unwrap_or_else(|| panic!("no condition {word}")));
        }
    }
    SceneLayer {
        layer: std::sync::Arc::new(record),
        called: name.to_owned(),
        conditions,
        tried,
    }
}

/// A scene over these layers, with what a case says of the target.
pub(super) fn scene(layers: Vec<SceneLayer>, rest: &str) -> Scene {
    let mut scene = Scene {
        layers,
        target: Target {
            candidates: Vec::new(),
            site: Site::Film,
            depth_mm: None,
            origin: Origin::Later,
            aged: 0.9,
            thick: false,
            tried: Vec::new(),
            hazards: Vec::new(),
        },
        materials: Vec::new(),
        permitted: agents(),
    };
    for word in rest.split_whitespace() {
        match word {
            "original" => scene.target.origin = Origin::Original,
            "historic" => scene.target.origin = Origin::Historic,
            "unknown" => scene.target.origin = Origin::Unknown,
            "later" => scene.target.origin = Origin::Later,
            "forbidden" => scene.permitted.clear(),
            _ => {
                if let Some(site) = Site::parse(word) {
                    scene.target.site = site;
                    continue;
                }
                let (what, p) = word
                    .split_once('=')
                    .unwrap_or_else(|| panic!("cannot read {word}"));
                let p: f64 = p.parse().expect("a probability");
                if let Some(hazard) = what.strip_prefix('!') {
                    scene
                        .target
                        .hazards
                        .push((Hazard::parse(hazard).expect("a hazard"), p));
                } else {
                    let material = corpus()
                        .material(what)
                        .unwrap_or_else(|| panic!("no material {what}"));
                    scene.materials.push(Suspect {
                        id: what.to_owned(),
                        family: material.family,
                        probability: p,
                    });
                }
            }
        }
    }
    scene
}

/// Every agent that the law restricts, permitted.
fn agents() -> Vec<String> {
    ids(Kind::Agent)
}

/// Ids of a kind.
pub(super) fn ids(kind: Kind) -> Vec<String> {
    (0..corpus().count(kind))
        .filter_map(|i| corpus().id(kind, i))
        .map(str::to_owned)
        .collect()
}

/// Records of a kind.
pub(super) fn records(kind: Kind) -> Vec<Record> {
    (0..corpus().count(kind))
        .filter_map(|i| corpus().record(kind, i))
        .collect()
}
