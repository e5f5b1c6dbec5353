//! What a step does to each layer: recorded, tried on this object, or unknown.

use std::borrow::Cow;
use std::sync::Arc;

use crate::answer::{Footing, LayerHarm};
use crate::gate::{Caveat, Exposure, Rule, exposure_to, rules};
use crate::model::scene::{LayerTrial, Scene, SceneLayer, Step, Target, tool_within};
use crate::model::{Agent, Class, Condition, Equipment, Fact, Verdict};

/// Verdict on each layer, top down.
pub(super) fn layers(step: &Step, scene: &Scene) -> Vec<LayerHarm> {
    scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .map(|(layer, exposure)| one(step, layer, exposure, &scene.target))
        .collect()
}

/// Grade of what a step does to each layer, top down: 0 safe, 1 a test, 2 not recorded, 3 harm. Of a
/// layer that a whole film shelters only harm counts, and for no more than a test: the film must be
/// seen to be whole.
pub(super) fn grades(step: &Step, scene: &Scene, known: &[Known<'_>]) -> Vec<u8> {
    let target = &scene.target;
    scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .zip(known)
        .map(|((layer, exposure), known)| {
            let (judged, wanted) = judged(step, layer, target, Some(known));
            let grade = match judged {
                Judged::Tried(..) | Judged::Recorded(_) if wanted.is_some() => 1,
                Judged::Tried(verdict, _) => Verdict::gravity(Some(verdict)),
                Judged::Recorded(found) => Verdict::gravity(found.verdict),
            };
            match exposure {
                Exposure::Exposed => grade,
                Exposure::Sheltered => u8::from(grade == Verdict::gravity(Some(Verdict::Harms))),
            }
        })
        .collect()
}

/// What speaks against a step, before it is a row of the answer: a row owns its texts, and of most all
/// that is asked is whether another says the same.
pub(super) enum Bar<'a> {
    /// A layer that it meets is harmed, by the record or by a trial here.
    Harm(&'a SceneLayer, Judged<'a>),
    /// It breaks a rule, with the reason in the method's own record where there is one.
    Rule(&'a Caveat, Option<&'a str>),
}

/// The words of a bar.
#[derive(PartialEq)]
pub(super) enum Says<'a> {
    Text(Cow<'a, str>),
    Rule(&'static str),
}

/// The layers that a step meets and harms.
pub(super) fn harmed<'a>(
    step: &'a Step,
    scene: &'a Scene,
    known: &'a [Known<'a>],
) -> impl Iterator<Item = Bar<'a>> {
    let target = &scene.target;
    scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .zip(known)
        .filter(|((_, exposure), _)| *exposure == Exposure::Exposed)
        .filter_map(move |((layer, _), known)| {
            let judged = judged(step, layer, target, Some(known)).0;
            let harms = match &judged {
                Judged::Tried(verdict, _) => *verdict == Verdict::Harms,
                Judged::Recorded(found) => found.verdict == Some(Verdict::Harms),
            };
            harms.then_some(Bar::Harm(layer, judged))
        })
}

/// A broken rule. Where the method's own record says why it is unfit, its reason is shown and not the
/// rule's general one.
pub(super) fn broken<'a>(caveat: &'a Caveat, step: &'a Step, scene: &Scene) -> Bar<'a> {
    let own = (caveat.rule.id == rules::METHOD_UNFIT.id)
        .then(|| unfit(step, scene, caveat.layer.as_deref()))
        .flatten();
    Bar::Rule(caveat, own)
}

impl Bar<'_> {
    /// The layer concerned, as it was called; empty where it is none.
    pub(super) fn layer(&self) -> &str {
        match self {
            Self::Harm(layer, _) => &layer.called,
            Self::Rule(caveat, _) => caveat.layer.as_deref().unwrap_or_default(),
        }
    }

    pub(super) fn says(&self) -> Says<'_> {
        match self {
            Self::Harm(_, judged) => Says::Text(judged.reason()),
            Self::Rule(_, Some(own)) => Says::Text(Cow::Borrowed(own)),
            Self::Rule(caveat, None) => Says::Rule(caveat.rule.id),
        }
    }

    /// The row of the answer.
    pub(super) fn row(&self) -> LayerHarm {
        match self {
            Self::Harm(layer, judged) => judged.row(layer, false),
            Self::Rule(caveat, own) => of_rule(caveat, *own),
        }
    }
}

/// The first liquid that was seen here to harm a layer which the step meets, and that is of the same
/// class as what the step brings, or as a part of it; with the layer. Where the layer bore this very
/// liquid, that counts and not its kin.
pub(super) fn kin_harmed<'a>(
    step: &Step,
    scene: &'a Scene,
    means: &Equipment,
) -> Option<(&'a str, &'a SceneLayer)> {
    let agent = step.agent.as_ref()?;
    let own = [Arc::clone(agent)];
    // Of a mixture each part is asked: where the part was borne, so is what thins it.
    let brought: &[Arc<Agent>] = if step.parts.is_empty() {
        &own
    } else {
        &step.parts
    };
    let met = scene
        .layers
        .iter()
        .zip(exposure_to(step, scene))
        .filter(|(_, exposure)| *exposure == Exposure::Exposed);
    for (layer, _) in met {
        let was_tried = |a: &Agent| layer.trials_of(&a.head.id).next().is_some();
        if was_tried(agent) {
            continue;
        }
        let kin = layer.tried.iter().find(|trial| {
            trial.verdict == Verdict::Harms
                && means.agent(&trial.agent).is_some_and(|harmful| {
                    brought
                        .iter()
                        .any(|part| part.class == harmful.class && !was_tried(part))
                })
        });
        if let Some(trial) = kin {
            return Some((&trial.agent, layer));
        }
    }
    None
}

#[derive(Clone, Copy)]
pub(super) struct Found<'a> {
    verdict: Option<Verdict>,
    fact: Option<&'a Fact>,
    /// Of what the record speaks, and in which state of the layer where it does not speak of that
    /// state itself; none where nothing is brought.
    what: Option<(Class, Option<Condition>)>,
    within: bool,
}

impl<'a> Found<'a> {
    fn reason(&self) -> Cow<'a, str> {
        let hidden_edge =
            |what: &str| format!("{what}: depends on age and state, try a hidden edge");
        match (self.fact, self.within) {
            (_, true) => {
                "a tool within the mass: stop 1 to 2 mm short of it, and keep off edge and face"
                    .into()
            }
            (Some(fact), false) => match (&fact.why, &fact.note) {
                (Some(why), _) => why.into(),
                (None, Some(note)) if self.verdict == Some(Verdict::Test) => {
                    format!("{}: try a hidden edge ({note})", self.what()).into()
                }
                (None, Some(note)) => note.into(),
                (None, None) => hidden_edge(&self.what()).into(),
            },
            (None, false) if self.verdict.is_none() => {
                format!("{}: not recorded", self.what()).into()
            }
            (None, false) => self.what().into(),
        }
    }

    fn what(&self) -> String {
        match self.what {
            Some((class, None)) => class.plain().to_owned(),
            Some((class, Some(condition))) => {
                format!("{} on a layer that is {condition}", class.plain())
            }
            None => String::new(),
        }
    }
}

/// What decides of a layer: a trial on this object, or the record.
pub(super) enum Judged<'a> {
    Tried(Verdict, &'a str),
    Recorded(Found<'a>),
}

impl<'a> Judged<'a> {
    fn reason(&self) -> Cow<'a, str> {
        match self {
            Self::Tried(_, words) => format!("tried on this object: {words}").into(),
            Self::Recorded(found) => found.reason(),
        }
    }

    fn row(&self, layer: &SceneLayer, sheltered: bool) -> LayerHarm {
        let reason = self.reason().into_owned();
        let layer = layer.called.clone();
        match self {
            Self::Tried(verdict, _) => LayerHarm {
                layer,
                verdict: Some(*verdict),
                sheltered,
                reason,
                footing: Footing::Trial,
                place: None,
            },
            Self::Recorded(found) => LayerHarm {
                layer,
                verdict: found.verdict,
                sheltered,
                reason,
                footing: Footing::of(found.fact),
                place: found.fact.map(|f| f.place.clone()),
            },
        }
    }
}

fn one(step: &Step, layer: &SceneLayer, exposure: Exposure, target: &Target) -> LayerHarm {
    let sheltered = exposure == Exposure::Sheltered;
    let (judged, wanted) = judged(step, layer, target, None);
    let row = judged.row(layer, sheltered);
    match wanted {
        None => row,
        Some(fact) => LayerHarm {
            verdict: Some(Verdict::Test),
            reason: fact
                .why
                .clone()
                .unwrap_or_else(|| format!("{}: try a hidden edge", step.method.head.names.name)),
            footing: Footing::of(Some(fact)),
            place: Some(fact.place.clone()),
            ..row
        },
    }
}

/// What decides of a layer and, where it bears the liquid, what in the method's record still wants a
/// trial.
fn judged<'a>(
    step: &'a Step,
    layer: &'a SceneLayer,
    target: &Target,
    known: Option<&Known<'a>>,
) -> (Judged<'a>, Option<&'a Fact>) {
    // A trial of the mixture speaks for the mixture; that a part of it failed speaks against it too.
    let speaks = |trial: &&LayerTrial| {
        step.agent
            .as_ref()
            .is_some_and(|a| a.head.id == trial.agent)
            || (trial.verdict == Verdict::Harms && step.agents().any(|a| a.head.id == trial.agent))
    };
    let tried = layer
        .tried
        .iter()
        .filter(speaks)
        .max_by_key(|trial| trial.verdict);
    let own = step.method.classes.iter().map(|c| (None, *c));
    let judged = if let Some(LayerTrial { verdict, text, .. }) = tried {
        // What was tried on this object outranks the literature for the liquid; what the method
        // brings of itself was not tried with it.
        let by_method = worst(layer, own, target, known);
        if Verdict::gravity(by_method.verdict) <= Verdict::gravity(Some(*verdict)) {
            Judged::Tried(*verdict, text)
        } else {
            Judged::Recorded(by_method)
        }
    } else {
        let brought = step
            .agents()
            .map(|a| (Some(a.head.id.as_str()), a.class))
            .chain(own);
        Judged::Recorded(worst(layer, brought, target, known))
    };
    let bears = match &judged {
        Judged::Tried(verdict, _) => *verdict == Verdict::Safe,
        Judged::Recorded(found) => found.verdict == Some(Verdict::Safe),
    };
    let wanted = words(layer)
        .filter(|_| bears)
        .flat_map(|word| step.method.avoid.get(word))
        .find(|fact| fact.words().iter().any(|w| w == Verdict::Test.word()));
    (judged, wanted)
}

/// The words under which a method's record may speak of a layer.
fn words(layer: &SceneLayer) -> impl Iterator<Item = &'static str> {
    let traits = layer.layer.traits.iter().map(|t| t.word());
    traits.chain(layer.conditions.iter().map(|c| c.word()))
}

/// What a layer's record says of each class, looked up once: thousands of steps bring the same twenty.
pub(super) struct Known<'a> {
    /// By class, of what is no liquid and of a liquid.
    by_class: Vec<[Found<'a>; 2]>,
    /// Liquids of which the record speaks by their own names, in order.
    named: Vec<&'a str>,
}

impl<'a> Known<'a> {
    /// What the records of all layers say.
    pub(super) fn of(scene: &'a Scene) -> Vec<Self> {
        let target = &scene.target;
        let of_layer = |layer: &'a SceneLayer| {
            // No liquid is called so, and what is not named is told by its class.
            let by_class = Class::ALL
                .iter()
                .map(|class| [None, Some("")].map(|agent| recorded(layer, agent, *class, target)))
                .collect();
            Self {
                by_class,
                named: layer.layer.named_liquids(),
            }
        };
        scene.layers.iter().map(of_layer).collect()
    }

    fn recorded(&self, agent: Option<&str>, class: Class) -> Option<Found<'a>> {
        if agent.is_some_and(|id| self.named.binary_search(&id).is_ok()) {
            return None;
        }
        let [dry, wet] = self.by_class.get(class as usize)?;
        Some(if agent.is_some() { *wet } else { *dry })
    }
}

/// The worst verdict over all that a step brings; a silent record counts worse than `test`, and
/// less than `harms`.
fn worst<'a>(
    layer: &'a SceneLayer,
    asked: impl Iterator<Item = (Option<&'a str>, Class)>,
    target: &Target,
    known: Option<&Known<'a>>,
) -> Found<'a> {
    let found = asked.map(|(agent, class)| {
        known
            .and_then(|known| known.recorded(agent, class))
            .unwrap_or_else(|| recorded(layer, agent, class, target))
    });
    first_worst(found).unwrap_or(Found {
        verdict: Some(Verdict::Safe),
        fact: None,
        what: None,
        within: false,
    })
}

/// The first of those that are worst.
fn first_worst<'a>(found: impl Iterator<Item = Found<'a>>) -> Option<Found<'a>> {
    found.reduce(|worst, it| {
        if Verdict::gravity(it.verdict) > Verdict::gravity(worst.verdict) {
            it
        } else {
            worst
        }
    })
}

/// What the record says of one thing that is brought, in the worst of the layer's states.
fn recorded<'a>(
    layer: &'a SceneLayer,
    agent: Option<&str>,
    class: Class,
    target: &Target,
) -> Found<'a> {
    let found = layer.states().iter().map(|condition| {
        let facts = layer.layer.verdicts(*condition, agent, class);
        let own = layer.layer.speaks_of(*condition, agent, class);
        let (verdict, fact) = layer.layer.verdict(*condition, agent, class).unzip();
        let state = (!own && !facts.is_empty()).then_some(*condition);
        let within = verdict == Some(Verdict::Harms)
            && agent.is_none()
            && tool_within(target, class, &layer.layer);
        Found {
            verdict: if within { Some(Verdict::Test) } else { verdict },
            fact,
            what: Some((class, state)),
            within,
        }
    });
    first_worst(found).unwrap_or(Found {
        verdict: None,
        fact: None,
        what: Some((class, None)),
        within: false,
    })
}

/// A broken rule as a row of the answer.
fn of_rule(caveat: &Caveat, own: Option<&str>) -> LayerHarm {
    let Rule {
        says, why, basis, ..
    } = caveat.rule;
    LayerHarm {
        layer: caveat.layer.as_deref().unwrap_or_default().to_owned(),
        verdict: Some(Verdict::Harms),
        sheltered: false,
        reason: own.map_or_else(|| format!("{says} ({why})"), str::to_owned),
        footing: Footing::Record(basis.to_basis()),
        place: None,
    }
}

/// Why a method's record says that it is not used on a layer.
fn unfit<'a>(step: &'a Step, scene: &Scene, called: Option<&str>) -> Option<&'a str> {
    let layer = scene
        .layers
        .iter()
        .find(|l| Some(l.called.as_str()) == called)?;
    words(layer)
        .flat_map(|word| step.method.avoid.get(word))
        .find_map(|fact| fact.why.as_deref())
}
