//! The records of the corpus: what a thing is called, and what is known of it.

use serde::{Deserialize, Serialize};

use super::fact::{Fact, Facts, Hansen, Place};
use super::lazy::{Lazy, Part};
pub use super::material::{Age, Material, Meeting, NewUse, Route};
use super::words::{
    Action, Class, Condition, Hazard, Response, Site, Specimen, Trait, Verdict, Wetting,
};

/// Kinds of record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Kind {
    /// Restoration material.
    Material,
    /// Layer or support that must survive.
    Layer,
    /// Liquid or reagent.
    Agent,
    /// Gelling agent or other carrier.
    Carrier,
    /// Removal method.
    Method,
    /// Bench or laboratory test.
    Test,
    /// Family of materials.
    Family,
    /// Published source.
    Source,
}

impl Kind {
    /// All kinds, in the order of the pack.
    pub const ALL: [Self; 8] = [
        Self::Material,
        Self::Layer,
        Self::Agent,
        Self::Carrier,
        Self::Method,
        Self::Test,
        Self::Family,
        Self::Source,
    ];

    /// Kinds of which each record has a file of its own.
    pub const FILED: [Self; 6] = [
        Self::Material,
        Self::Layer,
        Self::Agent,
        Self::Carrier,
        Self::Method,
        Self::Test,
    ];

    /// Folder below the corpus root (for families: the vocabulary file).
    #[must_use]
    pub const fn folder(self) -> &'static str {
        match self {
            Self::Material => "materials",
            Self::Layer => "layers",
            Self::Agent => "solvents",
            Self::Carrier => "carriers",
            Self::Method => "methods",
            Self::Test => "tests",
            Self::Family => "vocab",
            Self::Source => "sources",
        }
    }

    /// The noun a user reads.
    #[must_use]
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Material => "material",
            Self::Layer => "layer",
            Self::Agent => "solvent",
            Self::Carrier => "carrier",
            Self::Method => "method",
            Self::Test => "test",
            Self::Family => "family",
            Self::Source => "source",
        }
    }
}

/// What a thing is called.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Names {
    /// Canonical name.
    pub name: String,
    /// Synonyms and trade words, English.
    pub also: Lazy<Vec<String>>,
    /// Names in other languages: (language code, name).
    pub foreign: Lazy<Vec<(String, String)>>,
}

impl Names {
    /// Every name a user may type, canonical first.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        std::iter::once(self.name.as_str())
            .chain(self.also.iter().map(String::as_str))
            .chain(self.foreign.iter().map(|(_, name)| name.as_str()))
    }
}

/// What every record has.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Head {
    /// Stable id: lower-case words joined by hyphens, equal to the file name.
    pub id: String,
    /// Names.
    pub names: Names,
    /// One line that says what it is.
    pub summary: String,
    /// Named facts.
    pub facts: Facts,
    /// Invented, for the demo.
    pub invented: bool,
    /// Where the record stands.
    pub place: Place,
}

/// Layer or support that must survive.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Layer {
    /// Id, names, facts.
    pub head: Head,
    /// Group, e.g. `gilding`.
    pub group: String,
    /// What it is made of or held by.
    pub traits: Vec<Trait>,
    /// Verdicts by condition; keys are agent classes or agent ids.
    pub harm: Vec<(Condition, Facts)>,
}

impl Layer {
    /// Whether the layer carries a trait.
    #[must_use]
    pub fn has(&self, it: Trait) -> bool {
        self.traits.contains(&it)
    }

    /// Key of a verdict on every liquid of which the condition says nothing apart.
    pub const ANY_LIQUID: &'static str = "any-liquid";

    /// Under which keys a condition may speak of an agent or of what else is brought, first the one
    /// that outranks the others.
    pub fn keys(agent: Option<&str>, class: Class) -> impl Iterator<Item = &str> {
        let any = class.is_liquid().then_some(Self::ANY_LIQUID);
        agent.into_iter().chain([class.word()]).chain(any)
    }

    /// What is recorded for an agent in a condition: the agent itself outranks its class, the class
    /// what is said of any liquid, the given condition `sound`.
    #[must_use]
    pub fn verdicts(&self, condition: Condition, agent: Option<&str>, class: Class) -> &[Fact] {
        for wanted in [condition, Condition::Sound] {
            let Some((_, facts)) = self.harm.iter().find(|(c, _)| *c == wanted) else {
                continue;
            };
            for key in Self::keys(agent, class) {
                let found = facts.get(key);
                if !found.is_empty() {
                    return found;
                }
            }
        }
        &[]
    }

    /// Liquids of which the record speaks by their own names and not by their class, in order.
    #[must_use]
    pub fn named_liquids(&self) -> Vec<&str> {
        let keys = self.harm.iter().flat_map(|(_, facts)| facts.keys());
        let mut named: Vec<&str> = keys
            .filter(|key| Class::parse(key).is_none() && *key != Self::ANY_LIQUID)
            .collect();
        named.sort_unstable();
        named
    }

    /// Whether the layer's record speaks of this very condition, and not only of the sound state.
    #[must_use]
    pub fn speaks_of(&self, condition: Condition, agent: Option<&str>, class: Class) -> bool {
        self.harm
            .iter()
            .filter(|(c, _)| *c == condition)
            .any(|(_, facts)| Self::keys(agent, class).any(|key| !facts.get(key).is_empty()))
    }

    /// The gravest verdict on record for an agent in a condition, with the fact that says it; none where
    /// nothing is recorded. What a sound layer bears says nothing of one in a worse state.
    #[must_use]
    pub fn verdict(
        &self,
        condition: Condition,
        agent: Option<&str>,
        class: Class,
    ) -> Option<(Verdict, &Fact)> {
        let found = gravest(self.verdicts(condition, agent, class));
        found.filter(|(verdict, _)| {
            *verdict != Verdict::Safe || self.speaks_of(condition, agent, class)
        })
    }
}

/// The graver of the verdicts that a set of facts holds, with the fact that says it.
#[must_use]
pub fn gravest(facts: &[Fact]) -> Option<(Verdict, &Fact)> {
    facts
        .iter()
        .filter_map(|f| {
            f.words()
                .first()
                .and_then(|w| Verdict::parse(w))
                .map(|v| (v, f))
        })
        .max_by_key(|(v, _)| *v)
}

/// What sort of liquid an agent is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum AgentSort {
    /// Organic solvent.
    Solvent,
    /// Mixture of liquids.
    Mixture,
    /// Water and what is dissolved in it.
    Aqueous,
    /// Reagent.
    Reagent,
    /// Enzyme preparation.
    Enzyme,
}

impl AgentSort {
    /// The sort that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Some(match word {
            "solvent" => Self::Solvent,
            "mixture" => Self::Mixture,
            "aqueous" => Self::Aqueous,
            "reagent" => Self::Reagent,
            "enzyme" => Self::Enzyme,
            _ => return None,
        })
    }
}

/// Liquid or reagent that is put on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Agent {
    /// Id, names, facts.
    pub head: Head,
    /// Sort.
    pub sort: AgentSort,
    /// Agent class; a mixture takes the harshest of its parts.
    pub class: Class,
    /// CAS registry number.
    pub cas: Option<String>,
    /// Parts of a mixture: (agent id, parts by volume).
    pub parts: Vec<(String, f64)>,
    /// The bench liquid whose recorded responses may stand in for it.
    pub like: Option<String>,
    /// 1 mildest … 9 harshest.
    pub strength: u8,
    /// Carcinogen, mutagen or reprotoxic class, where it applies.
    pub cmr: Option<String>,
    /// Restricted by law in places: never proposed unless the user permits it.
    pub needs_permission: bool,
    /// What its facts under `hazards` say, each once, in their order. Every rule asks for it of every
    /// liquid; the facts, which also say on what ground, then stay packed.
    pub hazards: Vec<Hazard>,
    /// The first of its facts under `hansen`, kept here for the same reason.
    pub hansen: Option<Hansen>,
}

/// Gelling agent or other carrier.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Carrier {
    /// Id, names, facts.
    pub head: Head,
    /// Classes or agent ids that it carries.
    pub carries: Vec<String>,
    /// Classes or agent ids that it is known not to carry.
    pub carries_not: Vec<String>,
    /// Whether it holds the liquid at the surface.
    pub limits_penetration: bool,
}

/// Removal method.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Method {
    /// Id, names, facts.
    pub head: Head,
    /// How it acts.
    pub action: Action,
    /// Agent classes or agent ids that it delivers; empty for dry methods.
    pub delivers: Vec<String>,
    /// Carrier id.
    pub carrier: Option<String>,
    /// Classes of harm that it brings of itself.
    pub classes: Vec<Class>,
    /// Where it reaches.
    pub reach: Vec<Site>,
    /// Where it reaches only partly or slowly.
    pub reach_partly: Vec<Site>,
    /// Liquid that goes into what lies beneath.
    pub wets: Wetting,
    /// 1 mildest … 9 harshest.
    pub mildness: u8,
    /// The usual second half: a method id.
    pub then: Option<String>,
    /// What the agent must do for this method to serve; empty when any effect will do.
    pub responses: Vec<Response>,
    /// Layer traits or conditions on which it is not used.
    pub avoid: Facts,
}

/// Bench or laboratory test.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BenchTest {
    /// Id, names, facts.
    pub head: Head,
    /// Cluster: tests of one cluster are not independent witnesses.
    pub cluster: String,
    /// On what it is done, best first.
    pub specimens: Vec<Specimen>,
    /// Whether the specimen is used up.
    pub destructive: bool,
    /// Laboratory result: outranks the bench.
    pub laboratory: bool,
    /// Sample, micrograms.
    pub sample_ug: f64,
    /// Risk to the object, 0 none … 5 grave.
    pub risk: u8,
    /// Harm to the worker, 0 none … 5 grave.
    pub toxicity: u8,
    /// Time, minutes.
    pub minutes: f64,
    /// Agent id, if a liquid is put on.
    pub reagent: Option<String>,
    /// Outcomes; the first is the positive one.
    pub outcomes: Vec<String>,
    /// Outcomes easily mistaken for one another.
    pub near: Vec<(String, String)>,
    /// The hazard that a clean negative excludes.
    pub hazard: Option<Hazard>,
    /// The fact of a material that tells what this shows, where materials record no answers to it:
    /// `density` for the weight in the hand.
    pub reads: Option<String>,
    /// Whether it may be proposed. What is told of an object, or seen by chance, is no test to do next.
    pub proposed: bool,
}

/// Family of materials.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Family {
    /// Id and names.
    pub head: Head,
    /// Families whose members are easily taken for one another.
    pub near: Vec<String>,
}

/// A published source, as far as a citation needs it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Source {
    /// Key, names (title), facts (none).
    pub head: Head,
    /// BibLaTeX entry type, lower case.
    pub entry: String,
    /// Authors or editors, "Family, Given".
    pub authors: Vec<String>,
    /// Year or date as printed.
    pub date: String,
    /// Title.
    pub title: String,
    /// Journal, book, series, publisher or site, in printing order.
    pub container: String,
    /// Volume, number, pages.
    pub detail: String,
    /// DOI or address.
    pub locator: String,
    /// What of it was read.
    pub read: String,
    /// The whole entry as BibLaTeX, from which a citation in a style is made.
    pub raw: String,
}

/// A record of any kind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Record {
    /// Material.
    Material(Material),
    /// Layer.
    Layer(Layer),
    /// Agent.
    Agent(Agent),
    /// Carrier.
    Carrier(Carrier),
    /// Method.
    Method(Method),
    /// Test.
    Test(BenchTest),
    /// Family.
    Family(Family),
    /// Source.
    Source(Source),
}

impl Record {
    /// What every record has.
    #[must_use]
    pub const fn head(&self) -> &Head {
        match self {
            Self::Material(it) => &it.head,
            Self::Layer(it) => &it.head,
            Self::Agent(it) => &it.head,
            Self::Carrier(it) => &it.head,
            Self::Method(it) => &it.head,
            Self::Test(it) => &it.head,
            Self::Family(it) => &it.head,
            Self::Source(it) => &it.head,
        }
    }

    const fn head_mut(&mut self) -> &mut Head {
        match self {
            Self::Material(it) => &mut it.head,
            Self::Layer(it) => &mut it.head,
            Self::Agent(it) => &mut it.head,
            Self::Carrier(it) => &mut it.head,
            Self::Method(it) => &mut it.head,
            Self::Test(it) => &mut it.head,
            Self::Family(it) => &mut it.head,
            Self::Source(it) => &mut it.head,
        }
    }

    /// Its kind.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Material(_) => Kind::Material,
            Self::Layer(_) => Kind::Layer,
            Self::Agent(_) => Kind::Agent,
            Self::Carrier(_) => Kind::Carrier,
            Self::Method(_) => Kind::Method,
            Self::Test(_) => Kind::Test,
            Self::Family(_) => Kind::Family,
            Self::Source(_) => Kind::Source,
        }
    }

    /// Goes through the parts that are decoded when they are asked for, always in one order.
    ///
    /// # Errors
    /// The first error of `of`, which ends it.
    pub(crate) fn parts<E>(
        &mut self,
        mut of: impl FnMut(&mut dyn Part) -> Result<(), E>,
    ) -> Result<(), E> {
        let head = self.head_mut();
        of(&mut head.names.also)?;
        of(&mut head.names.foreign)?;
        of(&mut head.facts.0)?;
        match self {
            Self::Material(it) => {
                of(&mut it.fresh.0)?;
                of(&mut it.aged.0)?;
                of(&mut it.always.0)
            }
            Self::Layer(it) => it
                .harm
                .iter_mut()
                .try_for_each(|(_, facts)| of(&mut facts.0)),
            Self::Method(it) => of(&mut it.avoid.0),
            Self::Agent(_)
            | Self::Carrier(_)
            | Self::Test(_)
            | Self::Family(_)
            | Self::Source(_) => Ok(()),
        }
    }

    /// Every group of facts, with a prefix that tells groups apart (`fresh ethanol`).
    #[must_use]
    pub fn fact_groups(&self) -> Vec<(String, &Facts)> {
        let mut out = vec![(String::new(), &self.head().facts)];
        match self {
            Self::Material(it) => {
                out.push(("fresh ".to_owned(), &it.fresh));
                out.push(("aged ".to_owned(), &it.aged));
                out.push(("always ".to_owned(), &it.always));
            }
            Self::Layer(it) => {
                for (condition, facts) in &it.harm {
                    out.push((format!("harm {condition} "), facts));
                }
            }
            Self::Method(it) => out.push(("avoid ".to_owned(), &it.avoid)),
            _ => {}
        }
        out
    }
}
