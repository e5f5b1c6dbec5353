//! A hard rule as data: when it applies, and why.

use super::HAZARD_LEAST;
use crate::model::scene::{Origin, Scene, SceneLayer, Step};
use crate::model::{
    Action, Agent, Basis, BenchTest, Class, Condition, Hazard, Method, Site, Specimen, Trait,
    Wetting,
};

/// What a rule does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// Blocks.
    Never,
    /// Lets pass only under the condition that the rule states: never more than a test.
    OnlyIf,
    /// Puts another step first.
    Before,
}

impl Sort {
    /// Plain word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Never => "never",
            Self::OnlyIf => "only if",
            Self::Before => "first",
        }
    }
}

/// Where a rule comes from, in a form that a constant can hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RuleBasis {
    /// Source key and locator.
    Published(&'static str, &'static str),
    /// Source that reports it of another: key, the one opened, locator.
    Through(&'static str, &'static str, &'static str),
    /// Common practice.
    Practice,
    /// Recalled.
    Memory,
}

impl RuleBasis {
    /// The same as the basis of a fact.
    #[must_use]
    pub fn to_basis(self) -> Basis {
        match self {
            Self::Published(key, locator) => Basis::Published {
                key: key.to_owned(),
                through: None,
                locator: locator.to_owned(),
            },
            Self::Through(key, through, locator) => Basis::Published {
                key: key.to_owned(),
                through: Some(through.to_owned()),
                locator: locator.to_owned(),
            },
            Self::Practice => Basis::Practice,
            Self::Memory => Basis::Memory,
        }
    }
}

/// Classes and hazards, a bit each; and ids and CAS numbers, of which several share a bit.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Brought {
    classes: u64,
    hazards: u64,
    names: u64,
}

// Each of the two lists has a bit for every word.
const _: () = assert!(Class::ALL.len() <= 64 && Hazard::ALL.len() <= 64);

impl Brought {
    /// What a step brings with it.
    pub(super) fn by(step: &Step) -> Self {
        let mut out = Self::of(&step.method.classes, &[], &[]);
        for agent in step.agents() {
            out.classes |= 1 << agent.class as u64;
            out.names |= bit(&agent.head.id) | agent.cas.as_deref().map_or(0, bit);
            for hazard in &agent.hazards {
                out.hazards |= 1 << *hazard as u64;
            }
        }
        out
    }

    fn of(classes: &[Class], hazards: &[Hazard], names: &[&str]) -> Self {
        Self {
            classes: classes.iter().fold(0, |all, it| all | 1 << *it as u64),
            hazards: hazards.iter().fold(0, |all, it| all | 1 << *it as u64),
            names: names.iter().fold(0, |all, it| all | bit(it)),
        }
    }

    const fn shares(self, other: Self) -> bool {
        self.classes & other.classes != 0 || self.hazards & other.hazards != 0
    }
}

/// The bit of a name.
fn bit(name: &str) -> u64 {
    let hash = name.bytes().fold(0_u32, |hash, byte| {
        hash.wrapping_mul(31).wrapping_add(byte.into())
    });
    1 << (hash % u64::BITS)
}

/// What a rule asks of what is brought, to pass over those at once that a step cannot meet.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asks {
    one_of: Brought,
    /// Whether it asks for nothing.
    is_open: bool,
    /// Whether that is all that the rule asks of a step beside its method.
    is_all: bool,
}

impl Asks {
    /// Whether what is brought may meet the rule.
    pub(super) const fn may_meet(self, brought: Brought) -> bool {
        self.is_open || self.one_of.shares(brought) || self.one_of.names & brought.names != 0
    }

    /// Whether what may meet the rule does.
    pub(super) const fn is_all(self) -> bool {
        self.is_all
    }
}

/// When a rule applies. An empty list asks for nothing; every list that is not empty must be met
/// by at least one of its entries. The step meets the rule, and so must the target, and (where
/// the rule names layers) one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct When {
    /// Agent classes that the step brings, of its agent, of any part of a mixture, or of the
    /// method itself. Met together with `agents` and `agent_hazards`: one entry of any is enough.
    pub classes: &'static [Class],
    /// Agent ids, or CAS numbers, which find an agent whatever a studio calls it.
    pub agents: &'static [&'static str],
    /// Hazards recorded for the agent or for a part of it.
    pub agent_hazards: &'static [Hazard],
    /// Classes of a second ingredient, another part of the same mixture. Met together with
    /// `beside_agents`; where either is given, `classes` and `agents` ask for a first ingredient.
    pub beside_classes: &'static [Class],
    /// Ids or CAS numbers of a second ingredient.
    pub beside_agents: &'static [&'static str],
    /// Method ids. Met together with `actions`.
    pub methods: &'static [&'static str],
    /// How the method acts.
    pub actions: &'static [Action],
    /// Carrier ids.
    pub carriers: &'static [&'static str],
    /// How much the method wets.
    pub wets: &'static [Wetting],
    /// Method ids to which the rule does not apply.
    pub except_methods: &'static [&'static str],
    /// Agent ids to which the rule does not apply.
    pub except_agents: &'static [&'static str],
    /// Layer traits. Met together with `layers`.
    pub traits: &'static [Trait],
    /// Layer ids.
    pub layers: &'static [&'static str],
    /// Layer ids to which the rule does not apply.
    pub except_layers: &'static [&'static str],
    /// Traits that the same layer must have as well, all of them.
    pub and_traits: &'static [Trait],
    /// Traits that take the layer out of the rule.
    pub without_traits: &'static [Trait],
    /// Conditions that were stated for the layer.
    pub conditions: &'static [Condition],
    /// Whether a whole film above the layer does not help: drag, weight and shock go through it.
    pub through_film: bool,
    /// Whether a trial of this very agent on this very layer that did no harm lifts the rule. Only
    /// for rules on the state of a layer, which a trial can answer.
    pub yields_to_trial: bool,
    /// Family or id of the material to come off, at or above `above`.
    pub materials: &'static [&'static str],
    /// Hazards of the material that no clean negative has excluded, at or above `above`.
    pub hazards: &'static [Hazard],
    /// Probability from which `hazards` bind, where the mere chance asks for less than this rule.
    pub hazard_from: f64,
    /// Where the material sits.
    pub sites: &'static [Site],
    /// Whether the material belongs to the object.
    pub origins: &'static [Origin],
    /// Probability from which `materials` and `hazards` count.
    pub above: f64,
}

impl When {
    /// Applies to everything.
    pub const ANY: Self = Self {
        classes: &[],
        agents: &[],
        agent_hazards: &[],
        beside_classes: &[],
        beside_agents: &[],
        methods: &[],
        actions: &[],
        carriers: &[],
        wets: &[],
        except_methods: &[],
        except_agents: &[],
        traits: &[],
        layers: &[],
        except_layers: &[],
        and_traits: &[],
        without_traits: &[],
        conditions: &[],
        through_film: false,
        yields_to_trial: false,
        materials: &[],
        hazards: &[],
        hazard_from: 0.0,
        sites: &[],
        origins: &[],
        above: 0.05,
    };

    /// Whether the rule speaks of a layer at all.
    #[must_use]
    pub const fn names_layer(&self) -> bool {
        !(self.traits.is_empty()
            && self.layers.is_empty()
            && self.and_traits.is_empty()
            && self.conditions.is_empty())
    }

    /// Whether the rule forbids water for its own sake: every class that it names wets with water, or
    /// comes in it.
    #[must_use]
    pub fn is_of_water(&self) -> bool {
        !self.classes.is_empty()
            && self.agents.is_empty()
            && self.classes.iter().all(|c| Class::AQUEOUS.contains(c))
    }

    /// What the rule asks of what is brought.
    pub(super) fn asks(&self) -> Asks {
        let named = !(self.agents.is_empty()
            && self.beside_classes.is_empty()
            && self.beside_agents.is_empty());
        Asks {
            one_of: Brought::of(self.classes, self.agent_hazards, self.agents),
            is_open: self.classes.is_empty()
                && self.agent_hazards.is_empty()
                && self.agents.is_empty(),
            is_all: !named && self.carriers.is_empty() && self.except_agents.is_empty(),
        }
    }

    /// Whether the step meets the rule.
    #[must_use]
    pub fn meets_step(&self, step: &Step) -> bool {
        self.meets_method(&step.method) && self.meets_liquid(step, Brought::by(step), self.asks())
    }

    /// The same of a step whose method is known to meet the rule, with what it brings gathered once for
    /// all rules, and what the rule asks of that once for all steps.
    pub(super) fn meets_liquid(&self, step: &Step, brought: Brought, asks: Asks) -> bool {
        if step
            .agent
            .as_ref()
            .is_some_and(|a| self.except_agents.contains(&a.head.id.as_str()))
        {
            return false;
        }
        let carried = self.carriers.is_empty()
            || step
                .carrier
                .as_ref()
                .is_some_and(|c| self.carriers.contains(&c.head.id.as_str()));
        carried && self.brings(step, brought, asks)
    }

    /// Whether a step of this method can meet the rule at all.
    #[must_use]
    pub fn meets_method(&self, method: &Method) -> bool {
        let id = method.head.id.as_str();
        let how = (self.methods.is_empty() && self.actions.is_empty())
            || self.methods.contains(&id)
            || self.actions.contains(&method.action);
        let wet = self.wets.is_empty() || self.wets.contains(&method.wets);
        how && wet && !self.except_methods.contains(&id)
    }

    fn brings(&self, step: &Step, brought: Brought, asks: Asks) -> bool {
        if !self.beside_classes.is_empty() || !self.beside_agents.is_empty() {
            // The mixture itself is not asked: its class is only the harshest of its parts.
            return step.parts.iter().enumerate().any(|(i, first)| {
                self.names(first)
                    && step.parts.iter().enumerate().any(|(j, other)| {
                        i != j
                            && (self.beside_classes.contains(&other.class)
                                || named(self.beside_agents, other))
                    })
            });
        }
        (self.classes.is_empty() && self.agents.is_empty() && self.agent_hazards.is_empty())
            || asks.one_of.shares(brought)
            || (!self.agents.is_empty() && step.agents().any(|a| named(self.agents, a)))
    }

    fn names(&self, agent: &Agent) -> bool {
        self.classes.contains(&agent.class)
            || named(self.agents, agent)
            || self.agent_hazards.iter().any(|h| agent.hazards.contains(h))
    }

    /// Whether the layer meets the rule.
    #[must_use]
    pub fn meets_layer(&self, layer: &SceneLayer) -> bool {
        let named = (self.traits.is_empty() && self.layers.is_empty())
            || self.traits.iter().any(|t| layer.has(*t))
            || self.layers.contains(&layer.layer.head.id.as_str());
        named
            && !self.except_layers.contains(&layer.layer.head.id.as_str())
            && self.and_traits.iter().all(|t| layer.has(*t))
            && !self.without_traits.iter().any(|t| layer.has(*t))
            && (self.conditions.is_empty() || self.conditions.iter().any(|c| layer.is(*c)))
    }

    /// Whether what is to come off, and where it sits, meet the rule.
    #[must_use]
    pub fn meets_target(&self, scene: &Scene) -> bool {
        let material = self.materials.is_empty()
            || self
                .materials
                .iter()
                .map(|m| scene.probability(m))
                .sum::<f64>()
                >= self.above;
        let hazard = self.hazards.is_empty()
            || self
                .hazards
                .iter()
                .map(|h| (*h, scene.hazard(*h)))
                .any(|(h, p)| p >= self.hazard_from && binds(h, p, self.above));
        let site = self.sites.is_empty() || self.sites.contains(&scene.target.site);
        let origin = self.origins.is_empty() || self.origins.contains(&scene.target.origin);
        material && hazard && site && origin
    }
}

/// Whether a hazard that was not excluded is probable enough to bind. Half of all organic materials
/// may turn mouldy, and mould is seen: its rules say themselves from where they hold.
fn binds(hazard: Hazard, probability: f64, above: f64) -> bool {
    let least = if hazard == Hazard::Mould {
        above
    } else {
        above.min(HAZARD_LEAST)
    };
    probability >= least
}

/// Whether a list of ids and CAS numbers names the agent.
fn named(list: &[&str], agent: &Agent) -> bool {
    list.contains(&agent.head.id.as_str())
        || agent.cas.as_deref().is_some_and(|cas| list.contains(&cas))
}

/// A hard rule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Stable id in plain words.
    pub id: &'static str,
    /// What it does.
    pub sort: Sort,
    /// When it applies.
    pub when: When,
    /// The rule as a conservator reads it: what is forbidden, the condition, or what comes first.
    pub says: &'static str,
    /// Why.
    pub why: &'static str,
    /// Where it comes from.
    pub basis: RuleBasis,
}

/// When a rule on bench tests applies. As with [`When`], an empty list asks for nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WhenTest {
    /// Test ids.
    pub tests: &'static [&'static str],
    /// Hazards recorded for the test itself.
    pub test_hazards: &'static [Hazard],
    /// Toxicity from which it applies.
    pub toxicity: u8,
    /// On what the test is done.
    pub specimens: &'static [Specimen],
    /// Hazards of the material that no clean negative has excluded, at or above `above`.
    pub hazards: &'static [Hazard],
    /// Probability from which `hazards` count.
    pub above: f64,
}

impl WhenTest {
    /// Applies to every test.
    pub const ANY: Self = Self {
        tests: &[],
        test_hazards: &[],
        toxicity: 0,
        specimens: &[],
        hazards: &[],
        above: 0.05,
    };

    /// Whether the test, the specimen and what the material may hold meet the rule.
    #[must_use]
    pub fn meets(&self, test: &BenchTest, specimen: Specimen, hazards: &[(Hazard, f64)]) -> bool {
        let own = |wanted: &Hazard| test.head.facts.words("hazards").contains(&wanted.word());
        (self.tests.is_empty() || self.tests.contains(&test.head.id.as_str()))
            && (self.test_hazards.is_empty() || self.test_hazards.iter().any(own))
            && test.toxicity >= self.toxicity
            && (self.specimens.is_empty() || self.specimens.contains(&specimen))
            && (self.hazards.is_empty()
                || hazards
                    .iter()
                    .any(|(h, p)| self.hazards.contains(h) && binds(*h, *p, self.above)))
    }
}

/// A hard rule on bench tests.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TestRule {
    /// The rule; its own `when`, which speaks of steps, is not asked.
    pub rule: Rule,
    /// When it applies.
    pub when: WhenTest,
}
