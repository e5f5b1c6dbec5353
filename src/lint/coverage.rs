//! What the corpus records and what it does not, as plain numbers.

use serde::Serialize;

use crate::corpus::Corpus;
use crate::model::field::FIELDS;
use crate::model::{Age, Basis, Class, Condition, Fact, Kind, Material, Record, Value};

/// Numbers of facts by basis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Bases {
    /// Read in a source.
    pub published: usize,
    /// Common practice of the trade.
    pub practice: usize,
    /// Recalled.
    pub memory: usize,
}

impl Bases {
    fn add(&mut self, basis: &Basis) {
        match basis {
            Basis::Published { .. } => self.published += 1,
            Basis::Practice => self.practice += 1,
            Basis::Memory => self.memory += 1,
        }
    }

    /// All of them.
    #[must_use]
    pub const fn total(&self) -> usize {
        self.published + self.practice + self.memory
    }
}

/// The part of a record in which a field stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// A named field.
    Facts,
    /// What a liquid or test does to the material when fresh.
    Fresh,
    /// The same when aged.
    Aged,
    /// What an agent class does to the sound layer.
    Harm,
}

impl Part {
    /// What stands in it, as a heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Facts => "facts",
            Self::Fresh => "answers when fresh",
            Self::Aged => "answers when aged",
            Self::Harm => "harm to the sound layer",
        }
    }
}

/// One field over all records of a kind. Each record counts once, under the best that it says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FieldCoverage {
    /// Where it stands.
    pub part: Part,
    /// Its key.
    pub key: String,
    /// Records that state it.
    pub recorded: usize,
    /// Records to which it does not apply.
    pub not_applicable: usize,
    /// Records for which it was looked for and not found.
    pub sought: usize,
    /// Records that say nothing.
    pub unrecorded: usize,
    /// Facts that state it, by basis.
    pub bases: Bases,
}

/// All records of a kind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct KindCoverage {
    /// The noun of the kind.
    pub kind: &'static str,
    /// Records.
    pub records: usize,
    /// Facts of any sort, and removal routes, by basis.
    pub facts: Bases,
    /// Field by field.
    pub fields: Vec<FieldCoverage>,
}

/// The whole corpus.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Coverage {
    /// Version of the corpus.
    pub version: String,
    /// Sources in the bibliography.
    pub sources: usize,
    /// Facts of every kind, and removal routes, by basis.
    pub facts: Bases,
    /// Judgments of how often a material is met. They are estimates of two readers, which no source
    /// states, and count as no facts.
    pub judgments: usize,
    /// By kind, in the order of the pack.
    pub kinds: Vec<KindCoverage>,
}

/// Counts.
#[must_use]
pub fn coverage(corpus: &Corpus) -> Coverage {
    let of = |kind: Kind| corpus.records.iter().filter(move |r| r.kind() == kind);
    let kinds = Kind::FILED;
    let kinds: Vec<KindCoverage> = kinds
        .into_iter()
        .map(|kind| kind_coverage(kind, &of(kind).collect::<Vec<_>>()))
        .collect();
    Coverage {
        version: corpus.version.clone(),
        sources: of(Kind::Source).count(),
        facts: kinds.iter().fold(Bases::default(), |all, kind| Bases {
            published: all.published + kind.facts.published,
            practice: all.practice + kind.facts.practice,
            memory: all.memory + kind.facts.memory,
        }),
        judgments: of(Kind::Material).map(judgments).sum(),
        kinds,
    }
}

fn judgments(record: &Record) -> usize {
    match record {
        Record::Material(it) => it.met.len(),
        _ => 0,
    }
}

fn kind_coverage(kind: Kind, records: &[&Record]) -> KindCoverage {
    let mut facts = Bases::default();
    for record in records {
        for (_, group) in record.fact_groups() {
            for (_, fact) in group.all().filter(|(_, f)| f.value.is_known()) {
                facts.add(&fact.basis);
            }
        }
        if let Record::Material(it) = record {
            it.removal.iter().for_each(|route| facts.add(&route.basis));
            it.new.iter().for_each(|new| facts.add(&new.basis));
        }
    }
    let mut fields: Vec<FieldCoverage> = FIELDS
        .iter()
        .filter(|field| field.kinds.contains(&kind))
        .map(|field| {
            let stated = records.iter().map(|r| r.head().facts.get(field.key));
            count(Part::Facts, field.key, stated)
        })
        .collect();
    match kind {
        Kind::Material => fields.extend(answers(records)),
        Kind::Layer => fields.extend(harm(records)),
        _ => {}
    }
    KindCoverage {
        kind: kind.noun(),
        records: records.len(),
        facts,
        fields,
    }
}

/// What liquids and tests do, age by age, for every liquid and test that any material names.
fn answers(records: &[&Record]) -> Vec<FieldCoverage> {
    let materials: Vec<&Material> = records
        .iter()
        .filter_map(|r| match r {
            Record::Material(it) => Some(it),
            _ => None,
        })
        .collect();
    let mut keys: Vec<&str> = materials
        .iter()
        .flat_map(|it| [&it.fresh, &it.aged, &it.always])
        .flat_map(|facts| facts.keys())
        .collect();
    keys.sort_unstable();
    keys.dedup();
    let mut out = Vec::new();
    for (part, age) in [(Part::Fresh, Age::Fresh), (Part::Aged, Age::Aged)] {
        for key in &keys {
            let stated = materials.iter().map(|it| it.response(age, key));
            out.push(count(part, key, stated));
        }
    }
    out
}

/// What each agent class does to the sound layer.
fn harm(records: &[&Record]) -> Vec<FieldCoverage> {
    let verdicts = |record: &&Record, class: Class| -> Vec<Fact> {
        let Record::Layer(layer) = record else {
            return Vec::new();
        };
        let sound = layer.harm.iter().find(|(c, _)| *c == Condition::Sound);
        sound.map_or_else(Vec::new, |(_, facts)| facts.get(class.word()).to_vec())
    };
    Class::ALL
        .iter()
        .map(|class| {
            let stated: Vec<Vec<Fact>> = records.iter().map(|r| verdicts(r, *class)).collect();
            count(Part::Harm, class.word(), stated.iter().map(Vec::as_slice))
        })
        .collect()
}

fn count<'a>(part: Part, key: &str, stated: impl Iterator<Item = &'a [Fact]>) -> FieldCoverage {
    let mut out = FieldCoverage {
        part,
        key: key.to_owned(),
        recorded: 0,
        not_applicable: 0,
        sought: 0,
        unrecorded: 0,
        bases: Bases::default(),
    };
    for facts in stated {
        let any = |is: fn(&Value) -> bool| facts.iter().any(|f| is(&f.value));
        if any(Value::is_known) {
            out.recorded += 1;
        } else if any(|v| matches!(v, Value::NotApplicable(_))) {
            out.not_applicable += 1;
        } else if any(|v| matches!(v, Value::Sought(_))) {
            out.sought += 1;
        } else {
            out.unrecorded += 1;
        }
        for fact in facts.iter().filter(|f| f.value.is_known()) {
            out.bases.add(&fact.basis);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Part, coverage};
    use crate::corpus::Corpus;
    use crate::model::{Basis, Condition, Fact, Head, Layer, Material, Record, Role, Value};

    fn words(word: &str, basis: Basis) -> Fact {
        Fact::new(Value::Words(vec![word.to_owned()]), basis)
    }

    fn material(id: &str) -> Material {
        Material {
            head: Head {
                id: id.to_owned(),
                ..Head::default()
            },
            roles: vec![Role::Coating],
            family: "wax".to_owned(),
            made_of: Vec::new(),
            sites: Vec::new(),
            fresh: crate::model::Facts::default(),
            aged: crate::model::Facts::default(),
            always: crate::model::Facts::default(),
            met: Vec::new(),
            new: Vec::new(),
            removal: Vec::new(),
        }
    }

    #[test]
    fn each_record_counts_once_under_the_best_that_it_says() {
        let mut stated = material("a");
        stated
            .always
            .push("water", words("no effect", Basis::Memory));
        stated.fresh.push("water", words("swells", Basis::Practice));
        stated
            .fresh
            .push("water", words("dissolves", Basis::Memory));
        let mut sought = material("b");
        sought.head.facts.push(
            "tg",
            Fact::new(Value::Sought("two sheets".to_owned()), Basis::Memory),
        );
        let mut none = material("c");
        none.head.facts.push(
            "tg",
            Fact::new(
                Value::NotApplicable("crystalline".to_owned()),
                Basis::Practice,
            ),
        );
        let mut layer = Layer {
            head: Head::default(),
            group: "gilding".to_owned(),
            traits: Vec::new(),
            harm: Vec::new(),
        };
        let mut sound = crate::model::Facts::default();
        sound.push("steam", words("harms", Basis::Practice));
        layer.harm.push((Condition::Sound, sound));
        let corpus = Corpus {
            records: vec![
                Record::Material(stated),
                Record::Material(sought),
                Record::Material(none),
                Record::Layer(layer),
            ],
            ..Corpus::default()
        };
        let found = coverage(&corpus);
        let of = |kind: usize, part: Part, key: &str| {
            let all = &found.kinds[kind].fields;
            let row = all.iter().find(|f| f.part == part && f.key == key);
            let row = row.expect("a row");
            (row.recorded, row.not_applicable, row.sought, row.unrecorded)
        };
        assert_eq!(found.kinds[0].records, 3);
        assert_eq!(of(0, Part::Facts, "tg"), (0, 1, 1, 1));
        assert_eq!(of(0, Part::Fresh, "water"), (1, 0, 0, 2));
        assert_eq!(of(0, Part::Aged, "water"), (1, 0, 0, 2));
        assert_eq!(of(1, Part::Harm, "steam"), (1, 0, 0, 0));
        assert_eq!(of(1, Part::Harm, "laser"), (0, 0, 0, 1));
        // Statements of a search or of what does not apply are no facts of the thing.
        assert_eq!(found.kinds[0].facts.total(), 3);
        assert_eq!(found.kinds[0].facts.memory, 2);
        assert_eq!(found.facts.total(), 4, "with that of the layer");
    }
}
