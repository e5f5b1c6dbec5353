//! What the engines see of the corpus: records by number, names, and the table of responses.

use std::ops::{Deref, DerefMut};
use std::sync::{Arc, LazyLock};

use serde::{Deserialize, Serialize};
use smallvec::SmallVec;

use super::column::Column;
use super::lazy::Lazy;
use super::naming::fold;
use super::reagent::Reagents;
use super::record::{
    Age, Agent, BenchTest, Carrier, Kind, Layer, Material, Method, Record, Source,
};
use super::set::{Set, TextColumn};
use super::speech::Speech;
use super::words::{Group, Hazard, Met, Role};

/// A name that a user may type.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Named {
    /// Folded form.
    pub folded: String,
    /// As written in the record.
    pub shown: String,
    /// Kind of record.
    pub kind: Kind,
    /// Number of the record.
    pub index: u32,
}

/// A look-up by id for each kind of record; none where there is no such record, or it cannot be read.
macro_rules! look_ups {
    ($($(#[$about:meta])* $name:ident: $kind:ident => $record:ty,)*) => {$(
        $(#[$about])*
        fn $name(&self, id: &str) -> Option<$record> {
            match self.record(Kind::$kind, self.position(Kind::$kind, id)?)? {
                Record::$kind(it) => Some(it),
                _ => None,
            }
        }
    )*};
}

/// A corpus as the engines use it. Records are decoded one by one on demand; what is needed for
/// all materials at once stands in [`Table`].
pub trait Library {
    /// Number of records of a kind.
    fn count(&self, kind: Kind) -> usize;
    /// The record with this number, `None` when out of range or unreadable.
    fn record(&self, kind: Kind, index: usize) -> Option<Record>;
    /// Number of the record with this id.
    fn position(&self, kind: Kind, id: &str) -> Option<usize>;
    /// Response table over all materials.
    fn table(&self) -> &Table;
    /// Every name, sorted by its folded form.
    fn names(&self) -> &[Named];
    /// How the words of a query are read.
    fn speech(&self) -> &Speech;
    /// What is weighed out for solutions in water.
    fn reagents(&self) -> &Reagents;
    /// Controlled words: (list, word, meaning).
    fn vocabulary(&self) -> &[(String, String, String)];
    /// Version of the corpus.
    fn version(&self) -> &str;

    /// Id of a record.
    fn id(&self, kind: Kind, index: usize) -> Option<&str>;

    /// Records that a name may mean, of one kind or of any.
    fn named(&self, name: &str, kind: Option<Kind>) -> Vec<(Kind, usize)> {
        let folded = fold(name);
        let names = self.names();
        let from = names.partition_point(|n| n.folded < folded);
        let mut out: Vec<(Kind, usize)> = names[from..]
            .iter()
            .take_while(|n| n.folded == folded)
            .filter(|n| kind.is_none_or(|k| k == n.kind))
            .map(|n| (n.kind, n.index as usize))
            .collect();
        out.dedup();
        out
    }

    /// Layer by number, to be held on to: whoever asks of a stack asks of the same layers again.
    fn shared_layer(&self, index: usize) -> Option<Arc<Layer>> {
        match self.record(Kind::Layer, index)? {
            Record::Layer(it) => Some(Arc::new(it)),
            _ => None,
        }
    }

    /// Every method, agent and carrier, in table order, to be held on to: a plan tries all of
    /// them, and one question may want many plans.
    fn equipment(&self) -> Arc<Equipment> {
        Arc::new(Equipment::read(self))
    }

    look_ups! {
        /// Material by id.
        material: Material => Material,
        /// Layer by id.
        layer: Layer => Layer,
        /// Agent by id.
        agent: Agent => Agent,
        /// Carrier by id.
        carrier: Carrier => Carrier,
        /// Method by id.
        method: Method => Method,
        /// Test by id.
        test: Test => BenchTest,
        /// Source by key.
        source: Source => Source,
    }
}

/// What an answer is read on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Scale {
    /// Outcomes; the first is the positive one. At most 64.
    pub outcomes: TextColumn,
    /// Pairs of outcomes easily mistaken for one another, by position.
    pub near: Vec<(u8, u8)>,
}

impl Scale {
    /// One without outcomes, which stands in until it is known which it is.
    fn none() -> Arc<Self> {
        static NONE: LazyLock<Arc<Scale>> = LazyLock::new(Arc::default);
        Arc::clone(&NONE)
    }
}

/// Something a material answers to: a liquid or a test, with its outcomes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Feature {
    /// Id of the liquid or the test.
    pub id: String,
    /// Whether it is a liquid put on a crumb.
    pub liquid: bool,
    /// Cluster of like tests.
    pub cluster: String,
    /// Position of its scale among those of the table.
    pub scale: u16,
    /// What it is read on: that of all liquids is one.
    #[serde(skip, default = "Scale::none")]
    pub read_on: Arc<Scale>,
    /// Laboratory result.
    pub laboratory: bool,
    /// Chance of a positive when the target is present, for yes-or-no tests.
    pub positive: Option<f64>,
    /// Chance of a positive when a rival is present, for yes-or-no tests.
    pub false_positive: Option<f64>,
    /// The better ends of the two ranges on record, for a clean specimen: of the positive the upper,
    /// of the false positive the lower.
    pub when_clean: Option<(f64, f64)>,
    /// Chance that a trained eye reads a graded outcome right.
    pub reliability: f64,
    /// Sample, micrograms.
    pub sample_ug: f64,
    /// Risk to the object, 0-5.
    pub risk: u8,
    /// Harm to the worker, 0-5.
    pub toxicity: u8,
    /// Minutes.
    pub minutes: f64,
    /// Hazard that a clean negative excludes.
    pub hazard: Option<Hazard>,
    /// The fact of a material that it reads, where materials record no answers to it.
    pub reads: Option<String>,
    /// Whether it may be proposed as a next test.
    pub proposed: bool,
    /// Recorded outcomes when fresh, a bit set per material; 0 where unrecorded.
    pub fresh: Column,
    /// The same when aged.
    pub aged: Column,
}

impl Feature {
    /// Its outcomes; the first is the positive one.
    #[must_use]
    pub fn outcomes(&self) -> &TextColumn {
        &self.read_on.outcomes
    }

    /// Recorded outcomes of one material at an age; 0 where unrecorded.
    #[must_use]
    pub fn recorded(&self, age: Age, material: usize) -> u64 {
        self.column(age).get(material)
    }

    /// Recorded outcomes of all materials at an age.
    #[must_use]
    pub const fn column(&self, age: Age) -> &Column {
        match age {
            Age::Fresh => &self.fresh,
            Age::Aged => &self.aged,
        }
    }
}

/// How often a material is met: as what (empty for all that it serves as), on what groups of layer (empty for
/// any). Most are told three or four of these.
pub type Meetings = SmallVec<[(Met, Set<Role>, Set<Group>); 4]>;

/// What the engines need of a material without decoding its record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Roles.
    pub roles: Set<Role>,
    /// Position of the family among the families of the table.
    pub family: u16,
    /// Years met in restoration: from, main from, main to, to (astronomical years).
    pub years: Option<(i32, i32, i32, i32)>,
    /// Hazards of the material itself.
    pub hazards: Set<Hazard>,
    /// Whether it is a recorded mixture.
    pub mixture: bool,
    /// How often it is met.
    pub met: Meetings,
}

/// All materials against all liquids and tests.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// One row a material, in the order of the pack.
    pub rows: Vec<Row>,
    /// Their ids.
    pub ids: TextColumn,
    /// Their canonical names.
    pub names: TextColumn,
    /// Family ids with names, in order.
    pub families: Vec<(String, String)>,
    /// One feature a liquid or test that any material answers to; read when something was seen.
    pub features: Lazy<Features>,
}

/// Features, each with the scale that it is read on.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(try_from = "(Vec<Feature>, Vec<Scale>)")]
pub struct Features(Vec<Feature>);

impl TryFrom<(Vec<Feature>, Vec<Scale>)> for Features {
    type Error = &'static str;

    fn try_from((mut features, scales): (Vec<Feature>, Vec<Scale>)) -> Result<Self, Self::Error> {
        let scales: Vec<Arc<Scale>> = scales.into_iter().map(Arc::new).collect();
        for feature in &mut features {
            let scale = scales.get(usize::from(feature.scale));
            feature.read_on = Arc::clone(scale.ok_or("a feature without a scale")?);
        }
        Ok(Self(features))
    }
}

impl From<Vec<Feature>> for Features {
    fn from(features: Vec<Feature>) -> Self {
        Self(features)
    }
}

impl Deref for Features {
    type Target = Vec<Feature>;

    fn deref(&self) -> &Vec<Feature> {
        &self.0
    }
}

impl DerefMut for Features {
    fn deref_mut(&mut self) -> &mut Vec<Feature> {
        &mut self.0
    }
}

impl Table {
    /// Position of a material.
    #[must_use]
    pub fn material(&self, id: &str) -> Option<usize> {
        self.ids.iter().position(|own| own == id)
    }

    /// Position of a feature.
    #[must_use]
    pub fn feature(&self, id: &str) -> Option<usize> {
        self.features.iter().position(|f| f.id == id)
    }
}

/// Everything that something may be taken off with.
#[derive(Clone, Debug, Default)]
pub struct Equipment {
    /// Methods, in table order.
    pub methods: Vec<Arc<Method>>,
    /// Agents, in table order.
    pub agents: Vec<Arc<Agent>>,
    /// Carriers, in table order.
    pub carriers: Vec<Arc<Carrier>>,
}

impl Equipment {
    /// Decodes them all; what cannot be read is left out.
    pub fn read<L: Library + ?Sized>(library: &L) -> Self {
        let mut out = Self::default();
        for kind in [Kind::Method, Kind::Agent, Kind::Carrier] {
            for index in 0..library.count(kind) {
                match library.record(kind, index) {
                    Some(Record::Method(it)) => out.methods.push(Arc::new(it)),
                    Some(Record::Agent(it)) => out.agents.push(Arc::new(it)),
                    Some(Record::Carrier(it)) => out.carriers.push(Arc::new(it)),
                    _ => {}
                }
            }
        }
        out
    }

    /// Agent by id.
    #[must_use]
    pub fn agent(&self, id: &str) -> Option<&Arc<Agent>> {
        by_id(&self.agents, id, |a| &a.head.id)
    }

    /// Method by id.
    #[must_use]
    pub fn method(&self, id: &str) -> Option<&Arc<Method>> {
        by_id(&self.methods, id, |m| &m.head.id)
    }

    /// Carrier by id.
    #[must_use]
    pub fn carrier(&self, id: &str) -> Option<&Arc<Carrier>> {
        by_id(&self.carriers, id, |c| &c.head.id)
    }
}

/// Records stand in the order of their ids in a pack; a library of another order is searched whole.
fn by_id<'a, T>(list: &'a [Arc<T>], id: &str, of: impl Fn(&T) -> &String) -> Option<&'a Arc<T>> {
    match list.binary_search_by(|it| of(it).as_str().cmp(id)) {
        Ok(k) => list.get(k),
        Err(_) => list.iter().find(|it| of(it) == id),
    }
}
