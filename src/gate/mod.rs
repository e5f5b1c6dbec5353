//! The one gate. Every recommendation, from whichever engine, passes here; only this module can
//! make a [`Passed`]. A hard rule is data: one entry of [`rules::all`].
//!
//! What an answer shows as a thing to do is a `Passed`; what it shows as ruled out is a
//! [`Refused`], with the rule and its source. Three things are judged: a step ([`Gate::step`]), a bench
//! test ([`test()`]) and what is mixed in one vessel ([`vessel()`]).

mod bench_test;
mod exposure;
mod rule;
pub mod rules;
mod vessel;

use std::cell::RefCell;
use std::sync::Arc;

pub use bench_test::{Ground, ProposedTest, lets_test, test};
pub(crate) use exposure::exposure_by;
pub use exposure::{Exposure, exposure, exposure_to};
use rule::{Asks, Brought};
pub use rule::{Rule, RuleBasis, Sort, TestRule, When, WhenTest};
pub use vessel::{Vessel, vessel};

use crate::model::scene::{Scene, SceneLayer, Step, Target, tool_within};
use crate::model::{Class, Condition, Method, Trait, Verdict, gravest};

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
    pub layer: Option<Arc<str>>,
}

impl PartialEq for Caveat {
    fn eq(&self, other: &Self) -> bool {
        // No two rules have one id.
        self.rule.id == other.rule.id && self.layer == other.layer
    }
}

/// What the rules say of one proposal, gathered as they are asked one after another.
#[derive(Clone, Debug, Default)]
struct Findings {
    broken: Vec<Caveat>,
    caveats: Vec<Caveat>,
}

impl Findings {
    /// Where a rule that the proposal meets is kept, by what it does.
    const fn of(&mut self, rule: &Rule) -> &mut Vec<Caveat> {
        match rule.sort {
            Sort::Never => &mut self.broken,
            Sort::OnlyIf | Sort::Before => &mut self.caveats,
        }
    }

    /// Takes up a rule that the proposal meets.
    fn meet(&mut self, rule: &'static Rule, layer: Option<&Arc<str>>) {
        let layer = layer.cloned();
        self.of(rule).push(Caveat { rule, layer });
    }

    /// The same, where another rule may have said it of the layer already.
    fn meet_once(&mut self, rule: &'static Rule, layer: Option<&Arc<str>>) {
        let is_said = |said: &Caveat| said.rule.id == rule.id && said.layer.as_ref() == layer;
        if !self.of(rule).iter().any(is_said) {
            self.meet(rule, layer);
        }
    }

    /// The same of a layer under a whole film. A forbidden agent is not met there; whether the film is
    /// whole must be seen.
    fn meet_under_film(&mut self, rule: &'static Rule, layer: &Arc<str>) {
        if rule.when.through_film {
            self.meet_once(rule, Some(layer));
        } else if rule.sort != Sort::Before {
            self.meet_once(&rules::WHOLE_FILM, Some(layer));
        }
    }

    /// Lets it pass, or refuses it for what it breaks; then there is room for the next one.
    fn verdict<T>(&mut self, it: T) -> Result<Passed<T>, Refused<T>> {
        let (broken, caveats) = (self.broken.drain(..), self.caveats.drain(..));
        if broken.len() == 0 {
            Ok(Passed {
                it,
                caveats: caveats.collect(),
            })
        } else {
            Err(Refused {
                it: Box::new(it),
                broken: broken.collect(),
            })
        }
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
    /// What the user called each layer: a plan meets a few names some thousand times.
    called: Arc<[Arc<str>]>,
    rules: Vec<Pending>,
    /// What the records of the layers say that harms them, by class; one entry a layer.
    known: Arc<Vec<Known<'a>>>,
    /// What of one method is settled, where the gate is for that one.
    of_method: Option<OfMethod>,
    /// Room for what is found of one step after another.
    found: RefCell<Findings>,
}

/// A rule that this scene meets, whatever step is proposed.
#[derive(Clone, Debug)]
struct Pending {
    rule: &'static Rule,
    /// What it asks of what is brought.
    asks: Asks,
    /// The layers that meet it, by number from the top; none where the rule names no layer.
    layers: Arc<[usize]>,
}

/// What a layer's record says that harms it, looked up once a scene.
#[derive(Debug)]
struct Known<'a> {
    /// By class, as it stands in [`Class`].
    classes: Vec<bool>,
    /// Liquids of which the record speaks by their own names, in order.
    named: Vec<&'a str>,
}

impl<'a> Known<'a> {
    fn of(layer: &'a SceneLayer) -> Self {
        let mut classes = vec![false; Class::ALL.len()];
        for class in Class::ALL {
            if let Some(harms) = classes.get_mut(*class as usize) {
                *harms = recorded(layer, None, *class);
            }
        }
        Self {
            classes,
            named: layer.layer.named_liquids(),
        }
    }

    /// Whether what is brought is recorded to harm the layer in one of its states.
    fn harms(&self, layer: &SceneLayer, agent: Option<&str>, class: Class) -> bool {
        match (agent, self.classes.get(class as usize)) {
            (Some(id), _) if self.named.binary_search(&id).is_ok() => recorded(layer, agent, class),
            (_, Some(harms)) => *harms,
            (_, None) => recorded(layer, agent, class),
        }
    }
}

/// The same, asked of the record.
fn recorded(layer: &SceneLayer, agent: Option<&str>, class: Class) -> bool {
    layer.states().iter().any(|condition| {
        layer
            .layer
            .verdict(*condition, agent, class)
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
        let none: Arc<[usize]> = Arc::default();
        let rules = rules::all()
            .filter(|rule| rule.when.meets_target(scene))
            .filter_map(|rule| {
                let layers: Arc<[usize]> = if rule.when.names_layer() {
                    let met = |i: &usize| rule.when.meets_layer(&scene.layers[*i]);
                    let layers: Vec<usize> = (0..scene.layers.len()).filter(met).collect();
                    if layers.is_empty() {
                        return None;
                    }
                    layers.into()
                } else {
                    Arc::clone(&none)
                };
                let asks = rule.when.asks();
                Some(Pending { rule, asks, layers })
            })
            .collect();
        Self {
            scene,
            called: scene
                .layers
                .iter()
                .map(|l| l.called.as_str().into())
                .collect(),
            rules,
            known: Arc::new(scene.layers.iter().map(Known::of).collect()),
            of_method: None,
            found: RefCell::default(),
        }
    }

    /// The same gate for steps of one method: rules that no step of it can meet are left out. A step of
    /// another method is judged by the whole gate all the same.
    #[must_use]
    pub fn for_method(&self, method: &Method) -> Self {
        Self {
            scene: self.scene,
            called: Arc::clone(&self.called),
            rules: self
                .rules
                .iter()
                .filter(|pending| pending.rule.when.meets_method(method))
                .cloned()
                .collect(),
            known: Arc::clone(&self.known),
            of_method: Some(self.settle(method)),
            found: RefCell::default(),
        }
    }

    /// What of a method can be told before it brings a liquid.
    fn settle(&self, method: &Method) -> OfMethod {
        OfMethod {
            id: method.head.id.clone(),
            exposed: exposure_by(method, self.scene),
            unfit: unfit(method, &self.scene.layers),
        }
    }

    /// Lets a step pass or refuses it.
    ///
    /// # Errors
    /// A [`Refused`] with every rule that the step breaks.
    pub fn step(&self, step: Step) -> Result<Passed<Step>, Refused<Step>> {
        if let Some(settled) = &self.of_method
            && settled.id != step.method.head.id
        {
            return Gate::of(self.scene).step(step);
        }
        let asked;
        let of_method = match &self.of_method {
            Some(settled) => settled,
            None => {
                asked = self.settle(&step.method);
                &asked
            }
        };
        let layers = self.scene.layers.iter();
        let own: Vec<Option<&'static Rule>> = if rules::may_be_own_kind(&step) {
            layers.map(|layer| rules::own_kind(&step, layer)).collect()
        } else {
            Vec::new()
        };
        let mut found = self.found.borrow_mut();
        self.ask_rules(&step, of_method, &own, &mut found);
        for k in 0..self.scene.layers.len() {
            match own.get(k).copied().flatten() {
                Some(rule) => found.meet(rule, Some(&self.called[k])),
                None => self.ask_record(&step, of_method, k, &mut found),
            }
        }
        if step
            .agents()
            .any(|a| a.needs_permission && !self.scene.permitted.contains(&a.head.id))
        {
            found.meet(&rules::PERMISSION, None);
        }
        found.verdict(step)
    }

    /// Asks every rule that the scene meets. `own` holds, for each layer, the rule by which the layer's own
    /// stuff may be brought to it, if any may be: what is said against water does not hold there.
    fn ask_rules(
        &self,
        step: &Step,
        of_method: &OfMethod,
        own: &[Option<&'static Rule>],
        found: &mut Findings,
    ) {
        let narrow = self.of_method.is_some();
        let brought = Brought::by(step);
        for Pending { rule, asks, layers } in &self.rules {
            let meets = asks.may_meet(brought)
                && (narrow || rule.when.meets_method(&step.method))
                && (asks.is_all() || rule.when.meets_liquid(step, brought, *asks));
            if !meets {
                continue;
            }
            if !rule.when.names_layer() {
                found.meet_once(rule, None);
                continue;
            }
            for k in layers.iter() {
                let layer = &self.scene.layers[*k];
                let is_own = own.get(*k).is_some_and(Option::is_some);
                let eased = is_own && rule.when.is_of_water();
                if eased || (rule.when.yields_to_trial && tried_safe(step, layer)) {
                    continue;
                }
                match of_method.exposed[*k] {
                    Exposure::Exposed => found.meet_once(rule, Some(&self.called[*k])),
                    Exposure::Sheltered => found.meet_under_film(rule, &self.called[*k]),
                }
            }
        }
    }

    /// Asks what is recorded of one layer, and of the method on such a layer.
    fn ask_record(&self, step: &Step, of_method: &OfMethod, k: usize, found: &mut Findings) {
        let layer = &self.scene.layers[k];
        let unfit = match of_method.unfit[k] {
            Unfit::Always => true,
            Unfit::UnlessBorne => !tried_safe(step, layer),
            Unfit::Never => false,
        };
        match of_method.exposed[k] {
            Exposure::Exposed => {
                let harm = recorded_harm(step, layer, &self.known[k], &self.scene.target);
                for rule in harm
                    .into_iter()
                    .chain(unfit.then_some(&rules::METHOD_UNFIT))
                {
                    found.meet(rule, Some(&self.called[k]));
                }
            }
            Exposure::Sheltered if unfit => {
                found.meet_once(&rules::WHOLE_FILM, Some(&self.called[k]))
            }
            Exposure::Sheltered => {}
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

/// Recorded harm to an exposed layer is a hard rule of its own, unless this very agent was tried
/// on this very layer and it bore it.
fn recorded_harm(
    step: &Step,
    layer: &SceneLayer,
    known: &Known<'_>,
    target: &Target,
) -> Option<&'static Rule> {
    let harms = |agent: Option<&str>, class| known.harms(layer, agent, class);
    let had = |id: &str, verdict| layer.trials_of(id).any(|trial| trial.verdict == verdict);
    let bore = |id: &str| had(id, Verdict::Safe);
    let failed = |id: &str| had(id, Verdict::Harms);
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
    let mut verdicts = layer
        .trials_of(&agent.head.id)
        .map(|trial| trial.verdict)
        .peekable();
    verdicts.peek().is_some() && verdicts.all(|verdict| verdict == Verdict::Safe)
}

/// Whether a method is recorded to harm layers of this make, or in this state. That a powdering
/// layer bore a trial with this agent outranks what the method's record says of powdering layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unfit {
    Never,
    UnlessBorne,
    Always,
}

/// The same of every layer.
fn unfit(method: &Method, layers: &[SceneLayer]) -> Vec<Unfit> {
    let meets = |layer: &SceneLayer, state: Option<Condition>, make: Option<Trait>| {
        let by_make = make.is_some_and(|make| layer.has(make));
        (by_make, state.filter(|state| layer.is(*state)))
    };
    // Most of what a record says here is of none of these layers, and is not read.
    let mut words: Vec<(Option<Condition>, Option<Trait>)> = Vec::new();
    for (word, facts) in method.avoid.0.iter() {
        let (state, make) = (Condition::parse(word), Trait::parse(word));
        let concerns = |layer: &SceneLayer| meets(layer, state, make) != (false, None);
        let harms = || gravest(facts).is_some_and(|(verdict, _)| verdict == Verdict::Harms);
        if layers.iter().any(concerns) && harms() {
            words.push((state, make));
        }
    }
    let of = |layer: &SceneLayer| {
        let mut out = Unfit::Never;
        for (state, make) in &words {
            match meets(layer, *state, *make) {
                (false, None) => {}
                (false, Some(Condition::Powdering)) => out = Unfit::UnlessBorne,
                _ => return Unfit::Always,
            }
        }
        out
    };
    layers.iter().map(of).collect()
}
