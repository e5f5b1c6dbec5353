//! The one gate. Every recommendation, from whichever engine, passes here; only this module can
//! make a [`Passed`]. A hard rule is data: one entry of [`rules::all`].
//!
//! What an answer shows as a thing to do is a `Passed`; what it shows as ruled out is a
//! [`Refused`], with the rule and its source.

mod rule;
pub mod rules;
mod vessel;

use std::sync::Arc;

use rule::{Asks, Brought};
pub use rule::{Rule, RuleBasis, Sort, TestRule, When, WhenTest};
pub use vessel::{Vessel, vessel};

use crate::model::scene::{Scene, SceneLayer, Step, Target, tool_within};
use crate::model::{
    Action, Agent, BenchTest, Class, Condition, Hazard, Layer, Method, Site, Specimen, Trait,
    Verdict, gravest,
};

/// A step or test that broke no hard rule, with the conditions under which it may be taken.
/// Nobody outside the gate can make one.
#[derive(Clone, Debug, PartialEq)]
pub struct Passed<T> {
    it: T,
    caveats: Vec<Caveat>,
}

impl<T> Passed<T> {
    /// What passed.
    #[must_use]
    pub const fn get(&self) -> &T {
        &self.it
    }

    /// What must hold, or come first.
    #[must_use]
    pub fn caveats(&self) -> &[Caveat] {
        &self.caveats
    }

    /// Whether a rule lets it pass only under a condition: it is then never more than a test.
    #[must_use]
    pub fn is_conditional(&self) -> bool {
        self.caveats.iter().any(|c| c.rule.sort == Sort::OnlyIf)
    }
}

/// A step or test that a hard rule forbids.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused<T> {
    it: Box<T>,
    broken: Vec<Caveat>,
}

impl<T> Refused<T> {
    /// What was refused.
    #[must_use]
    pub fn get(&self) -> &T {
        &self.it
    }

    /// The rules that it breaks; never empty.
    #[must_use]
    pub fn broken(&self) -> &[Caveat] {
        &self.broken
    }
}

/// A rule that met a step, and the layer on which it did.
#[derive(Clone, Debug)]
pub struct Caveat {
    /// The rule.
    pub rule: &'static Rule,
    /// The layer concerned, as the user called it.
    pub layer: Option<String>,
}

impl PartialEq for Caveat {
    fn eq(&self, other: &Self) -> bool {
        // No two rules have one id.
        self.rule.id == other.rule.id && self.layer == other.layer
    }
}

/// A test as somebody proposes to do it.
#[derive(Clone, Debug, PartialEq)]
pub struct ProposedTest {
    /// The test.
    pub test: BenchTest,
    /// On what.
    pub specimen: Specimen,
}

/// How a layer meets the agent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exposure {
    /// The agent touches it.
    Exposed,
    /// A sound continuous film above keeps the agent off, as long as it is whole.
    Sheltered,
}

/// Which layers a surface treatment meets. In a joint or in pores every layer is met; at the
/// surface, everything down to and including the first sound film that seals.
#[must_use]
pub fn exposure(scene: &Scene) -> Vec<Exposure> {
    exposed(&scene.layers, scene.target.site)
}

fn exposed(layers: &[SceneLayer], site: Site) -> Vec<Exposure> {
    let mut sealed = false;
    layers
        .iter()
        .map(|layer| {
            let now = if sealed {
                Exposure::Sheltered
            } else {
                Exposure::Exposed
            };
            let broken = layer.conditions.iter().any(|c| *c != Condition::Sound);
            if site == Site::Film && layer.has(Trait::Seals) && !broken {
                sealed = true;
            }
            now
        })
        .collect()
}

/// Which layers this step meets. A film keeps a liquid or a blade off what lies under it; warmth,
/// cold and light go through, and a bath or a vapour comes round by the edges and the back.
#[must_use]
pub fn exposure_to(step: &Step, scene: &Scene) -> Vec<Exposure> {
    exposure_by(&step.method, scene)
}

fn exposure_by(method: &Method, scene: &Scene) -> Vec<Exposure> {
    let goes_round = matches!(
        method.action,
        Action::Heat | Action::Cold | Action::Light | Action::Vapour
    ) || method.reach.contains(&Site::DeepJoint)
        || rules::BATHS.contains(&method.head.id.as_str());
    if goes_round {
        vec![Exposure::Exposed; scene.layers.len()]
    } else {
        exposure(scene)
    }
}

/// Probability from which a hazard that no clean negative has excluded binds the gate, is told
/// before the steps, and is named among the cautions. Judgment: what is rarer is not met in a
/// studio's lifetime of such objects; what is commoner burns somebody.
pub const HAZARD_LEAST: f64 = 0.01;

/// The gate as it stands before one scene: the rules that this target and these layers meet,
/// whatever is proposed.
#[derive(Clone, Debug)]
pub struct Gate<'a> {
    scene: &'a Scene,
    /// Each with what it asks of what is brought, and the layers that meet it; none where the rule names no
    /// layer.
    rules: Vec<(&'static Rule, Asks, Vec<usize>)>,
    /// What the records of the layers say that harms them, by class; one entry a layer.
    known: Arc<Vec<Known<'a>>>,
    /// What of one method is settled, where the gate is for that one.
    of_method: Option<OfMethod>,
}

/// What a layer's record says that harms it, looked up once a scene.
#[derive(Debug)]
struct Known<'a> {
    conditions: Vec<Condition>,
    /// By class, as it stands in [`Class`].
    classes: Vec<bool>,
    /// Liquids of which the record speaks by their own names, in order.
    named: Vec<&'a str>,
}

impl<'a> Known<'a> {
    fn of(layer: &'a SceneLayer) -> Self {
        let conditions = if layer.conditions.is_empty() {
            vec![Condition::Sound]
        } else {
            layer.conditions.clone()
        };
        let mut classes = vec![false; Class::ALL.len()];
        for class in Class::ALL {
            if let Some(harms) = classes.get_mut(*class as usize) {
                *harms = recorded(layer, &conditions, None, *class);
            }
        }
        let keys = layer.layer.harm.iter().flat_map(|(_, facts)| facts.keys());
        let mut named: Vec<&str> = keys
            .filter(|key| Class::parse(key).is_none() && *key != Layer::ANY_LIQUID)
            .collect();
        named.sort_unstable();
        Self {
            conditions,
            classes,
            named,
        }
    }

    /// Whether what is brought is recorded to harm the layer in one of its states.
    fn harms(&self, layer: &SceneLayer, agent: Option<&str>, class: Class) -> bool {
        match (agent, self.classes.get(class as usize)) {
            (Some(id), _) if self.named.binary_search(&id).is_ok() => {
                recorded(layer, &self.conditions, agent, class)
            }
            (_, Some(harms)) => *harms,
            (_, None) => recorded(layer, &self.conditions, agent, class),
        }
    }
}

/// The same, asked of the record.
fn recorded(
    layer: &SceneLayer,
    conditions: &[Condition],
    agent: Option<&str>,
    class: Class,
) -> bool {
    conditions.iter().any(|condition| {
        gravest(layer.layer.verdicts(*condition, agent, class))
            .is_some_and(|(verdict, _)| verdict == Verdict::Harms)
    })
}

/// What of a method depends on no liquid.
#[derive(Clone, Debug)]
struct OfMethod {
    id: String,
    exposed: Vec<Exposure>,
    unfit: Vec<Unfit>,
}

impl<'a> Gate<'a> {
    /// The gate before a scene. What depends on no step is settled here once.
    #[must_use]
    pub fn of(scene: &'a Scene) -> Self {
        let rules = rules::all()
            .filter(|rule| rule.when.meets_target(scene))
            .filter_map(|rule| {
                let layers: Vec<usize> = (0..scene.layers.len())
                    .filter(|i| rule.when.meets_layer(&scene.layers[*i]))
                    .collect();
                let asks = rule.when.asks();
                if !rule.when.names_layer() {
                    return Some((rule, asks, Vec::new()));
                }
                (!layers.is_empty()).then_some((rule, asks, layers))
            })
            .collect();
        Self {
            scene,
            rules,
            known: Arc::new(scene.layers.iter().map(Known::of).collect()),
            of_method: None,
        }
    }

    /// The same gate for steps of one method: rules that no step of it can meet are left out. A step of
    /// another method is judged by the whole gate all the same.
    #[must_use]
    pub fn for_method(&self, method: &Method) -> Self {
        Self {
            scene: self.scene,
            rules: self
                .rules
                .iter()
                .filter(|(rule, ..)| rule.when.meets_method(method))
                .cloned()
                .collect(),
            known: Arc::clone(&self.known),
            of_method: Some(self.settle(method)),
        }
    }

    fn settle(&self, method: &Method) -> OfMethod {
        OfMethod {
            id: method.head.id.clone(),
            exposed: exposure_by(method, self.scene),
            unfit: self.scene.layers.iter().map(|l| unfit(method, l)).collect(),
        }
    }

    /// Lets a step pass or refuses it.
    ///
    /// # Errors
    /// A [`Refused`] with every rule that the step breaks.
    pub fn step(&self, step: Step) -> Result<Passed<Step>, Refused<Step>> {
        let scene = self.scene;
        let narrow = self.of_method.is_some();
        if let Some(settled) = &self.of_method
            && settled.id != step.method.head.id
        {
            return Gate::of(scene).step(step);
        }
        let asked;
        let of_method = match &self.of_method {
            Some(settled) => settled,
            None => {
                asked = self.settle(&step.method);
                &asked
            }
        };
        let exposed = &of_method.exposed;
        let own: Vec<Option<&'static Rule>> = scene
            .layers
            .iter()
            .map(|layer| rules::own_kind(&step, layer))
            .collect();
        let brought = Brought::by(&step);
        let mut broken = Vec::new();
        let mut caveats = Vec::new();
        for (rule, asks, layers) in &self.rules {
            let meets = asks.may_meet(brought)
                && (narrow || rule.when.meets_method(&step.method))
                && rule.when.meets_liquid(&step, brought, *asks);
            if !meets {
                continue;
            }
            if !rule.when.names_layer() {
                push(rule, None, Exposure::Exposed, &mut broken, &mut caveats);
                continue;
            }
            for layer in layers {
                let eased = own[*layer].is_some() && rule.when.is_of_water();
                let (layer, exposure) = (&scene.layers[*layer], exposed[*layer]);
                if eased || (rule.when.yields_to_trial && tried_safe(&step, layer)) {
                    continue;
                }
                let called = Some(layer.called.clone());
                push(rule, called, exposure, &mut broken, &mut caveats);
            }
        }
        for (k, own) in own.into_iter().enumerate() {
            let (layer, exposure) = (&scene.layers[k], &exposed[k]);
            let is_unfit = match of_method.unfit[k] {
                Unfit::Always => true,
                Unfit::UnlessBorne => !tried_safe(&step, layer),
                Unfit::Never => false,
            };
            let unfit = is_unfit.then_some(&rules::METHOD_UNFIT);
            let called = || Some(layer.called.clone());
            if let Some(rule) = own {
                caveats.push(Caveat {
                    rule,
                    layer: called(),
                });
            } else if *exposure == Exposure::Exposed {
                let harm = recorded_harm(&step, layer, &self.known[k], &scene.target)
                    .into_iter()
                    .chain(unfit);
                broken.extend(harm.map(|rule| Caveat {
                    rule,
                    layer: called(),
                }));
            } else if unfit.is_some() {
                let caveat = Caveat {
                    rule: &rules::WHOLE_FILM,
                    layer: called(),
                };
                if !caveats.contains(&caveat) {
                    caveats.push(caveat);
                }
            }
        }
        if step
            .agents()
            .any(|a| a.needs_permission && !scene.permitted.contains(&a.head.id))
        {
            broken.push(Caveat {
                rule: &rules::PERMISSION,
                layer: None,
            });
        }
        if broken.is_empty() {
            Ok(Passed { it: step, caveats })
        } else {
            Err(Refused {
                it: Box::new(step),
                broken,
            })
        }
    }
}

/// Lets one step pass before a scene, or refuses it; see [`Gate::step`].
///
/// # Errors
/// A [`Refused`] with every rule that the step breaks.
pub fn step(step: Step, scene: &Scene) -> Result<Passed<Step>, Refused<Step>> {
    Gate::of(scene).step(step)
}

fn push(
    rule: &'static Rule,
    layer: Option<String>,
    exposure: Exposure,
    broken: &mut Vec<Caveat>,
    caveats: &mut Vec<Caveat>,
) {
    // Under a whole film a forbidden agent is not met; whether the film is whole must be seen.
    let sheltered = exposure == Exposure::Sheltered && !rule.when.through_film;
    let (into, rule) = match rule.sort {
        Sort::Never | Sort::OnlyIf if sheltered => (caveats, &rules::WHOLE_FILM),
        Sort::Before if sheltered => return,
        Sort::Never => (broken, rule),
        Sort::OnlyIf | Sort::Before => (caveats, rule),
    };
    let caveat = Caveat { rule, layer };
    if !into.contains(&caveat) {
        into.push(caveat);
    }
}

/// Recorded harm to an exposed layer is a hard rule of its own, unless this very agent was tried
/// on this very layer and it bore it.
fn recorded_harm(
    step: &Step,
    layer: &SceneLayer,
    known: &Known<'_>,
    target: &Target,
) -> Option<&'static Rule> {
    let harms = |agent: Option<&str>, class| known.harms(layer, agent, class);
    let bore = |id: &str| {
        layer
            .tried
            .iter()
            .any(|(agent, verdict, _)| agent == id && *verdict == Verdict::Safe)
    };
    let failed = |id: &str| {
        layer
            .tried
            .iter()
            .any(|(agent, verdict, _)| agent == id && *verdict == Verdict::Harms)
    };
    let whole = step.agent.as_ref().is_some_and(|a| bore(&a.head.id));
    let by_agent = step.agents().any(|a| {
        failed(&a.head.id) || (!whole && !bore(&a.head.id) && harms(Some(&a.head.id), a.class))
    });
    let by_method = step
        .method
        .classes
        .iter()
        .any(|class| harms(None, *class) && !tool_within(target, *class, &layer.layer));
    (by_agent || by_method).then_some(&rules::RECORDED_HARM)
}

/// Whether this very agent was tried on this very layer and the layer bore it.
fn tried_safe(step: &Step, layer: &SceneLayer) -> bool {
    let Some(agent) = &step.agent else {
        return false;
    };
    let verdicts = || layer.tried.iter().filter(|(id, _, _)| *id == agent.head.id);
    verdicts().count() > 0 && verdicts().all(|(_, verdict, _)| *verdict == Verdict::Safe)
}

/// Whether a method is recorded to harm layers of this make, or in this state. That a powdering
/// layer bore a trial with this agent outranks what the method's record says of powdering layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unfit {
    Never,
    UnlessBorne,
    Always,
}

fn unfit(method: &Method, layer: &SceneLayer) -> Unfit {
    let mut out = Unfit::Never;
    for (word, facts) in method.avoid.0.iter() {
        let by_state = Condition::parse(word).filter(|c| layer.is(*c));
        let by_make = Trait::parse(word).is_some_and(|t| layer.has(t));
        if (by_state.is_none() && !by_make)
            || gravest(facts).is_none_or(|(verdict, _)| verdict != Verdict::Harms)
        {
            continue;
        }
        if by_make || by_state != Some(Condition::Powdering) {
            return Unfit::Always;
        }
        out = Unfit::UnlessBorne;
    }
    out
}

/// Where a test is to be done: on a material that lies on these layers.
#[derive(Clone, Copy, Debug)]
pub struct Ground<'a> {
    /// Layers beneath the unknown, from the top down; empty when none was stated.
    pub layers: &'a [SceneLayer],
    /// Where the unknown sits.
    pub site: Site,
}

impl<'a> Ground<'a> {
    /// The first layer that a drop of a liquid may meet and that is not known to bear it, with what
    /// is known of it: harmed, to be tried first, or not recorded. `None` when all bear it.
    #[must_use]
    pub fn not_bearing(&self, agent: &Agent) -> Option<(&'a SceneLayer, Option<Verdict>)> {
        self.layers
            .iter()
            .zip(exposed(self.layers, self.site))
            .filter(|(_, exposure)| *exposure == Exposure::Exposed)
            .map(|(layer, _)| (layer, borne(layer, agent)))
            .find(|(_, verdict)| *verdict != Some(Verdict::Safe))
    }
}

/// What a layer is known to bear of a liquid, by trial or by record. That it bears a liquid when
/// sound says nothing of it damp, salty or cracked; several verdicts count as the gravest.
fn borne(layer: &SceneLayer, agent: &Agent) -> Option<Verdict> {
    let id = agent.head.id.as_str();
    let tried = layer.tried.iter().filter(|(tried, _, _)| tried == id);
    if let Some(verdict) = tried.map(|(_, verdict, _)| *verdict).max() {
        return Some(verdict);
    }
    let sound = [Condition::Sound];
    let conditions: &[Condition] = if layer.conditions.is_empty() {
        &sound
    } else {
        &layer.conditions
    };
    let mut worst = Some(Verdict::Safe);
    for condition in conditions {
        let facts = layer.layer.verdicts(*condition, Some(id), agent.class);
        let own = layer.layer.speaks_of(*condition, Some(id), agent.class);
        match gravest(facts).map(|(verdict, _)| verdict) {
            Some(Verdict::Harms) => return Some(Verdict::Harms),
            Some(verdict) if own => worst = worst.map(|w| w.max(verdict)),
            Some(Verdict::Test) => worst = worst.map(|w| w.max(Verdict::Test)),
            _ => worst = None,
        }
    }
    worst
}

/// Lets a bench test pass or refuses it. `reagent` is the liquid that it brings, where it is known.
///
/// # Errors
/// A [`Refused`] with the rules that it breaks.
pub fn test(
    proposed: ProposedTest,
    reagent: Option<&Agent>,
    hazards: &[(Hazard, f64)],
    ground: Ground<'_>,
) -> Result<Passed<ProposedTest>, Refused<ProposedTest>> {
    let (broken, caveats) = judged(&proposed.test, proposed.specimen, reagent, hazards, ground);
    if broken.is_empty() {
        Ok(Passed {
            it: proposed,
            caveats,
        })
    } else {
        Err(Refused {
            it: Box::new(proposed),
            broken,
        })
    }
}

/// Whether [`test`] would let it pass: for whoever looks ahead over many tests and offers none yet.
#[must_use]
pub fn lets_test(
    test: &BenchTest,
    specimen: Specimen,
    reagent: Option<&Agent>,
    hazards: &[(Hazard, f64)],
    ground: Ground<'_>,
) -> bool {
    judged(test, specimen, reagent, hazards, ground)
        .0
        .is_empty()
}

/// What a bench test breaks, and what it is let pass with.
fn judged(
    test: &BenchTest,
    specimen: Specimen,
    reagent: Option<&Agent>,
    hazards: &[(Hazard, f64)],
    ground: Ground<'_>,
) -> (Vec<Caveat>, Vec<Caveat>) {
    let mut broken = Vec::new();
    let mut caveats = Vec::new();
    let probability = |wanted: Hazard| {
        hazards
            .iter()
            .find(|(h, _)| *h == wanted)
            .map_or(0.0, |(_, p)| *p)
    };
    if rules::HOT_TESTS.contains(&test.head.id.as_str())
        && probability(Hazard::Nitrate) >= HAZARD_LEAST
    {
        broken.push(Caveat {
            rule: &rules::NO_HOT_NEEDLE,
            layer: None,
        });
    }
    if test.destructive && specimen == Specimen::Surface {
        broken.push(Caveat {
            rule: &rules::CRUMB_ONLY,
            layer: None,
        });
    } else if test.destructive {
        caveats.push(Caveat {
            rule: &rules::SAMPLING,
            layer: None,
        });
    }
    if specimen == Specimen::Surface
        && let Some(agent) = reagent
    {
        let layer = ground.not_bearing(agent).map(|(layer, _)| layer);
        if layer.is_some() || ground.layers.is_empty() {
            broken.push(Caveat {
                rule: &rules::REAGENT_NOT_BORNE,
                layer: layer.map(|l| l.called.clone()),
            });
        }
    }
    for TestRule { rule, when } in rules::of_tests() {
        if when.meets(test, specimen, hazards) {
            let into = if rule.sort == Sort::Never {
                &mut broken
            } else {
                &mut caveats
            };
            into.push(Caveat { rule, layer: None });
        }
    }
    (broken, caveats)
}
