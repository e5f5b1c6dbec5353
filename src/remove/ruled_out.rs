//! What is ruled out, said once each: an agent that no method may bring, a method that no agent
//! makes bearable, a pairing that a rule forbids though each is live elsewhere, and whole classes
//! of agent that a layer does not bear, whether or not they would act on the unknown.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::effect::{Kept, SWAB};
use super::harm::{self, Bar, Known, Says};
use super::{Weighed, step};
use crate::answer::{Entry, Footing, LayerHarm, NOT_HERE, RuledOut};
use crate::gate::rules::RECORDED_HARM;
use crate::gate::{Exposure, Gate, Passed, Refused, exposure};
use crate::model::scene::{Scene, Step};
use crate::model::{Basis, Class, Equipment, Verdict, gravest};
use crate::order::Arrange;

/// Agents and methods that are live in some step.
pub(super) struct Live {
    pub(super) agents: BTreeSet<String>,
    methods: BTreeSet<String>,
}

impl Live {
    pub(super) fn of(live: &[(Passed<Step>, Rc<Weighed<'_>>)]) -> Self {
        Self {
            agents: live
                .iter()
                .filter_map(|(p, _)| p.get().agent.as_ref().map(|a| a.head.id.clone()))
                .collect(),
            methods: live
                .iter()
                .map(|(p, _)| p.get().method.head.id.clone())
                .collect(),
        }
    }
}

type No<'a> = (Refused<Step>, Rc<Weighed<'a>>);

/// The rows, by id.
pub(super) fn ruled_out(
    means: &Equipment,
    refused: &[No<'_>],
    live: &Live,
    scene: &Scene,
    known: &[Known<'_>],
    gate: &Gate<'_>,
) -> Vec<RuledOut> {
    let mut agents: BTreeMap<&str, Vec<&No<'_>>> = BTreeMap::new();
    let mut methods: BTreeMap<&str, Vec<&No<'_>>> = BTreeMap::new();
    let mut pairs: Vec<&No<'_>> = Vec::new();
    for no in refused {
        let step = no.0.get();
        let method = step.method.head.id.as_str();
        match &step.agent {
            Some(agent) if !live.agents.contains(&agent.head.id) => {
                agents.entry(&agent.head.id).or_default().push(no);
            }
            _ if !live.methods.contains(method) => methods.entry(method).or_default().push(no),
            Some(_) if by_rule(&no.0) => pairs.push(no),
            _ => {}
        }
    }
    let mut out = Vec::new();
    for group in agents.into_values() {
        out.extend(of_agent(means, &group, scene, known, gate));
    }
    for group in methods.into_values() {
        out.extend(row(&group, common(&group, scene, known), Named::Method));
    }
    for no in pairs {
        out.extend(row(&[no], common(&[no], scene, known), Named::Both));
    }
    out.extend(classes(means, scene, &out));
    out.arrange_by(|a, b| a.id.cmp(&b.id));
    out
}

/// The rows with those ways besides that are kept to other layers, where they are not told, and not live.
pub(super) fn with_kept(mut rows: Vec<RuledOut>, kept: &[Kept<'_>], live: &Live) -> Vec<RuledOut> {
    for kept in kept {
        let row = of_kept(kept);
        let is_live = match kept.agent {
            Some(agent) => live.agents.contains(&agent.head.id),
            None => (kept.method).is_some_and(|method| live.methods.contains(&method.head.id)),
        };
        let is_told = |told: &RuledOut| {
            let covers = |told: &Option<Entry>, own: &Option<Entry>| told.is_none() || told == own;
            covers(&told.method, &row.method) && covers(&told.agent, &row.agent)
        };
        if !is_live && !rows.iter().any(is_told) {
            rows.push(row);
        }
    }
    rows.arrange_by(|a, b| a.id.cmp(&b.id));
    rows
}

/// A way that the record of what is to come off keeps to other layers.
fn of_kept(kept: &Kept<'_>) -> RuledOut {
    let (method, agent) = (
        kept.method.map(|it| &it.head),
        kept.agent.map(|it| &it.head),
    );
    let only: Vec<String> = kept
        .route
        .only
        .iter()
        .map(|it| it.replace('-', " "))
        .collect();
    let harm = kept.layers.iter().map(|layer| LayerHarm {
        layer: layer.called.clone(),
        verdict: None,
        sheltered: false,
        reason: format!(
            "for {} it is kept to {}",
            kept.material.head.names.name,
            only.join(", ")
        ),
        // That it works elsewhere is what the source says; to what it is kept is the trade's judgment.
        footing: Footing::Record(match kept.route.basis {
            Basis::Memory => Basis::Memory,
            _ => Basis::Practice,
        }),
        place: Some(kept.route.place.clone()),
    });
    RuledOut {
        id: match (method, agent) {
            (Some(method), Some(agent)) => format!("{}/{}", method.id, agent.id),
            (None, Some(agent)) => format!("*/{}", agent.id),
            (Some(method), None) => method.id.clone(),
            (None, None) => String::new(),
        },
        method: method.map(Entry::of),
        agent: agent.map(Entry::of),
        effect: NOT_HERE.to_owned(),
        harm: harm.collect(),
    }
}

/// Methods that bring a liquid and nothing besides.
const PLAIN: [&str; 2] = [SWAB, "water-swab"];

/// The rows of an agent that no method may bring. Where the methods have no ground in common, or there is but
/// one, the ground may be what a method brings besides (the water of an emulsion, the amine of a gel): then it
/// is the agent's own only if it is refused on a plain swab too, and else each method is named.
fn of_agent(
    means: &Equipment,
    group: &[&No<'_>],
    scene: &Scene,
    known: &[Known<'_>],
    gate: &Gate<'_>,
) -> Vec<RuledOut> {
    let method = |no: &&No<'_>| no.0.get().method.head.id.clone();
    let methods: BTreeSet<String> = group.iter().map(method).collect();
    let mut own = match methods.len() {
        0 | 1 => Vec::new(),
        _ => shared(group, scene, known),
    };
    if own.is_empty() {
        let agent = group.first().and_then(|no| no.0.get().agent.as_ref());
        let plain = PLAIN
            .into_iter()
            .filter_map(|id| means.method(id))
            .find_map(|method| step(means, method, agent));
        if let Some(Err(no)) = plain.map(|it| gate.step(it)) {
            own = bars(&no, scene, known).iter().map(Bar::row).collect();
        }
    }
    if !own.is_empty() {
        return row(group, own, Named::Agent).into_iter().collect();
    }
    group
        .iter()
        .filter_map(|no| row(&[no], common(&[no], scene, known), Named::Both))
        .collect()
}

/// Whether a hard rule, and not the layer's record alone, forbids a step.
fn by_rule(no: &Refused<Step>) -> bool {
    no.broken().iter().any(|c| c.rule.id != RECORDED_HARM.id)
}

/// By what a row is called.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Named {
    Agent,
    Method,
    Both,
}

fn row(group: &[&No<'_>], harm: Vec<LayerHarm>, named: Named) -> Option<RuledOut> {
    let (first, weighed) = *group.first()?;
    let step = first.get();
    let method = (named != Named::Agent).then(|| Entry::of(&step.method.head));
    let agent = step
        .agent
        .as_ref()
        .filter(|_| named != Named::Method)
        .map(|a| Entry::of(&a.head));
    let id = match (&method, &agent) {
        (Some(method), Some(agent)) => format!("{}/{}", method.id, agent.id),
        (None, Some(agent)) => format!("*/{}", agent.id),
        (Some(method), None) => method.id.clone(),
        (None, None) => step.id(),
    };
    Some(RuledOut {
        id,
        method,
        agent,
        effect: weighed.effect.word().to_owned(),
        harm,
    })
}

/// What forbids every step of a group; where they have nothing in common, all of it.
fn common(group: &[&No<'_>], scene: &Scene, known: &[Known<'_>]) -> Vec<LayerHarm> {
    let shared = shared(group, scene, known);
    if !shared.is_empty() {
        return shared;
    }
    let each: Vec<Vec<Bar<'_>>> = group.iter().map(|(no, _)| bars(no, scene, known)).collect();
    let mut out: Vec<&Bar<'_>> = Vec::new();
    for bar in each.iter().flatten() {
        let said = |it: &&Bar<'_>| it.layer() == bar.layer() && it.says() == bar.says();
        if !out.iter().any(said) {
            out.push(bar);
        }
    }
    out.into_iter().map(Bar::row).collect()
}

/// What forbids every step of a group.
fn shared(group: &[&No<'_>], scene: &Scene, known: &[Known<'_>]) -> Vec<LayerHarm> {
    let each: Vec<Vec<Bar<'_>>> = group.iter().map(|(no, _)| bars(no, scene, known)).collect();
    let said: Vec<Vec<(&str, Says<'_>)>> = each
        .iter()
        .map(|bars| bars.iter().map(|bar| (bar.layer(), bar.says())).collect())
        .collect();
    let Some(first) = each.first().zip(said.first()) else {
        return Vec::new();
    };
    let mut out: Vec<(&Bar<'_>, &(&str, Says<'_>))> = Vec::new();
    for (bar, own) in first.0.iter().zip(first.1) {
        let is_shared = said.iter().all(|others| others.contains(own));
        if is_shared && !out.iter().any(|(_, other)| *other == own) {
            out.push((bar, own));
        }
    }
    out.into_iter().map(|(bar, _)| bar.row()).collect()
}

fn bars<'a>(no: &'a Refused<Step>, scene: &'a Scene, known: &'a [Known<'a>]) -> Vec<Bar<'a>> {
    let rules = no
        .broken()
        .iter()
        .filter(|caveat| caveat.rule.id != RECORDED_HARM.id)
        .map(|caveat| harm::broken(caveat, no.get(), scene));
    harm::harmed(no.get(), scene, known).chain(rules).collect()
}

/// Classes of agent that an exposed layer is recorded not to bear. They are listed even where no
/// agent of the class would act on the unknown: a hand may reach for them all the same.
fn classes(means: &Equipment, scene: &Scene, said: &[RuledOut]) -> Vec<RuledOut> {
    let exposed = exposure(scene);
    let mut out = Vec::new();
    for class in Class::ALL {
        let mut harm = Vec::new();
        for (layer, exposure) in scene.layers.iter().zip(&exposed) {
            // Warmth, cold and light go through a film that keeps a liquid off.
            let through = matches!(
                class,
                Class::Heat60 | Class::Heat100 | Class::Cold | Class::Laser | Class::DampAir
            );
            if *exposure == Exposure::Sheltered && !through {
                continue;
            }
            for condition in layer.states() {
                if let Some((Verdict::Harms, fact)) =
                    gravest(layer.layer.verdicts(*condition, None, *class))
                {
                    harm.push(LayerHarm {
                        layer: layer.called.clone(),
                        verdict: Some(Verdict::Harms),
                        sheltered: false,
                        reason: fact
                            .why
                            .clone()
                            .unwrap_or_else(|| format!("{} harm it", class.plain())),
                        footing: Footing::of(Some(fact)),
                        place: Some(fact.place.clone()),
                    });
                }
            }
        }
        let representative = means.agents.iter().any(|a| {
            a.class == *class
                && said.iter().any(|r| {
                    r.method.is_none() && r.agent.as_ref().is_some_and(|it| it.id == a.head.id)
                })
        });
        if !harm.is_empty() && !representative {
            out.push(RuledOut {
                id: format!("*/class:{class}"),
                method: None,
                agent: Some(Entry {
                    id: class.word().to_owned(),
                    name: class.plain().to_owned(),
                }),
                effect: "no effect".to_owned(),
                harm,
            });
        }
    }
    out
}
