//! What a record is, as fields that a question can ask for: its kind, family, class, parts, cost.
//! These have no basis of their own: they say how the record is filed, not what was measured.

use super::fact::Value;
use super::field::{FIELDS, Field, Holds};
use super::record::{AgentSort, Kind, Record};
use crate::units::{Amount, Dimension, Quantity, Unit};

/// A field that is read off the record itself.
#[derive(Clone, Copy, Debug)]
pub struct Attribute {
    /// Key, kinds, what it holds, meaning.
    pub field: Field,
    of: fn(&Record) -> Option<Vec<Value>>,
}

impl Attribute {
    /// Its values; none where the record does not say, an empty list where it says that there is
    /// none.
    #[must_use]
    pub fn values(&self, record: &Record) -> Option<Vec<Value>> {
        (self.of)(record)
    }
}

/// Every field that can be asked for: those with facts, then the attributes.
pub fn every_field() -> impl Iterator<Item = &'static Field> {
    FIELDS.iter().chain(ATTRIBUTES.iter().map(|a| &a.field))
}

const ANY: &[Kind] = &Kind::ALL;
const M: &[Kind] = &[Kind::Material];
const L: &[Kind] = &[Kind::Layer];
const A: &[Kind] = &[Kind::Agent];
const C: &[Kind] = &[Kind::Carrier];
const ME: &[Kind] = &[Kind::Method];
const T: &[Kind] = &[Kind::Test];
const S: &[Kind] = &[Kind::Source];

const fn attribute(
    key: &'static str,
    kinds: &'static [Kind],
    holds: Holds,
    meaning: &'static str,
    of: fn(&Record) -> Option<Vec<Value>>,
) -> Attribute {
    Attribute {
        field: Field {
            key,
            kinds,
            holds,
            meaning,
        },
        of,
    }
}

fn words<I: IntoIterator<Item = S>, S: Into<String>>(list: I) -> Option<Vec<Value>> {
    let words: Vec<String> = list.into_iter().map(Into::into).collect();
    Some(if words.is_empty() {
        Vec::new()
    } else {
        vec![Value::Words(words)]
    })
}

/// Words, each once, in order; an empty list says nothing.
fn each<'w>(list: impl Iterator<Item = &'w str>) -> Option<Vec<Value>> {
    let mut words: Vec<&str> = list.collect();
    words.sort_unstable();
    words.dedup();
    some_words(words)
}

/// Words of which an empty list says nothing.
fn some_words<I: IntoIterator<Item = S>, S: Into<String>>(list: I) -> Option<Vec<Value>> {
    words(list).filter(|values| !values.is_empty())
}

fn yes(it: bool) -> Option<Vec<Value>> {
    words([if it { "yes" } else { "no" }])
}

fn text(it: &str) -> Option<Vec<Value>> {
    (!it.is_empty()).then(|| vec![Value::Text(it.to_owned())])
}

fn number(value: f64, symbol: &str) -> Option<Vec<Value>> {
    let unit = Unit::from_symbol(symbol).unwrap_or(Unit::NONE);
    let literal = format!("{value} {symbol}").trim_end().to_owned();
    Some(vec![Value::Measure(Quantity {
        amount: Amount::Exact(value),
        unit,
        literal,
    })])
}

/// Defines the closure that reads one kind of record and is silent on any other.
macro_rules! of {
    ($variant:ident, $it:ident => $value:expr) => {
        |record| match record {
            Record::$variant($it) => $value,
            _ => None,
        }
    };
}

/// Every attribute, by kind of record.
pub const ATTRIBUTES: &[Attribute] = &[
    attribute("id", ANY, Holds::Text, "id of the record", |r| {
        text(&r.head().id)
    }),
    attribute(
        "name",
        ANY,
        Holds::OpenWords,
        "what it is called, in all languages on file",
        |r| words(r.head().names.all()),
    ),
    attribute(
        "summary",
        ANY,
        Holds::Text,
        "what it is, in one line",
        |r| text(&r.head().summary),
    ),
    attribute(
        "kinds",
        M,
        Holds::Words("kind"),
        "what it serves as",
        of!(Material, it => words(it.roles.iter().map(|r| r.word()))),
    ),
    attribute(
        "family",
        M,
        Holds::Ids(Kind::Family),
        "family",
        of!(Material, it => words([it.family.as_str()])),
    ),
    attribute(
        "made-of",
        M,
        Holds::Ids(Kind::Material),
        "parts of a mixture or of a system of layers",
        of!(Material, it => words(it.made_of.iter().map(String::as_str))),
    ),
    attribute(
        "met",
        M,
        Holds::Words("met"),
        "how often it is met in old restorations (judgment)",
        of!(Material, it => each(it.met.iter().map(|m| m.met.word()))),
    ),
    attribute(
        "met-on",
        M,
        Holds::Words("group"),
        "groups of layer that it is met on (judgment)",
        of!(Material, it => each(it.met.iter().flat_map(|m| m.groups.iter().map(|g| g.word())))),
    ),
    attribute(
        "new-use",
        M,
        Holds::Words("custom"),
        "whether it is taken for new work",
        of!(Material, it => each(it.new.iter().map(|n| n.custom.word()))),
    ),
    attribute(
        "new-as",
        M,
        Holds::Words("purpose"),
        "what it is taken for in new work",
        of!(Material, it => each(
            it.new
                .iter()
                .filter(|n| n.custom != super::Custom::Refused)
                .flat_map(|n| n.purposes.iter().map(|p| p.word()))
        )),
    ),
    attribute(
        "sites",
        M,
        Holds::Words("site"),
        "where it is met, if narrower than its kinds say",
        of!(Material, it => some_words(it.sites.iter().map(|s| s.word()))),
    ),
    attribute(
        "group",
        L,
        Holds::Words("group"),
        "group of layers",
        of!(Layer, it => words([it.group.as_str()])),
    ),
    attribute(
        "traits",
        L,
        Holds::Words("trait"),
        "what it is made of or held by",
        of!(Layer, it => words(it.traits.iter().map(|t| t.word()))),
    ),
    attribute(
        "states",
        L,
        Holds::Words("condition"),
        "conditions that the record speaks of",
        of!(Layer, it => words(it.harm.iter().map(|(c, _)| c.word()))),
    ),
    attribute(
        "sort",
        A,
        Holds::OpenWords,
        "solvent, mixture, aqueous, reagent or enzyme",
        of!(Agent, it => words([match it.sort {
            AgentSort::Solvent => "solvent",
            AgentSort::Mixture => "mixture",
            AgentSort::Aqueous => "aqueous",
            AgentSort::Reagent => "reagent",
            AgentSort::Enzyme => "enzyme",
        }])),
    ),
    attribute(
        "class",
        A,
        Holds::Words("class"),
        "class of agent",
        of!(Agent, it => words([it.class.word()])),
    ),
    attribute(
        "cas",
        A,
        Holds::Text,
        "CAS registry number",
        of!(Agent, it => it.cas.as_deref().and_then(text)),
    ),
    attribute(
        "parts",
        A,
        Holds::Ids(Kind::Agent),
        "liquids of a mixture",
        of!(Agent, it => words(it.parts.iter().map(|(id, _)| id.as_str()))),
    ),
    attribute(
        "like",
        A,
        Holds::Ids(Kind::Agent),
        "bench liquid whose responses may stand in",
        of!(Agent, it => some_words(it.like.as_deref())),
    ),
    attribute(
        "harshness",
        A,
        Holds::Measure(Dimension::NONE),
        "1 mildest to 9 harshest, for the order of trial",
        of!(Agent, it => number(f64::from(it.strength), "")),
    ),
    attribute(
        "cmr",
        A,
        Holds::Text,
        "class of carcinogen, mutagen or reprotoxic",
        of!(Agent, it => it.cmr.as_deref().map_or_else(|| Some(Vec::new()), text)),
    ),
    attribute(
        "restricted",
        A,
        Holds::OpenWords,
        "restricted by law in places: yes or no",
        of!(Agent, it => yes(it.needs_permission)),
    ),
    attribute(
        "carries",
        C,
        Holds::OpenWords,
        "classes or liquids that it carries",
        of!(Carrier, it => some_words(it.carries.iter().map(String::as_str))),
    ),
    attribute(
        "carries-not",
        C,
        Holds::OpenWords,
        "classes or liquids that it is known not to carry",
        of!(Carrier, it => some_words(it.carries_not.iter().map(String::as_str))),
    ),
    attribute(
        "holds-back",
        C,
        Holds::OpenWords,
        "keeps the liquid at the surface: yes or no",
        of!(Carrier, it => yes(it.limits_penetration)),
    ),
    attribute(
        "action",
        ME,
        Holds::Words("action"),
        "how it acts",
        of!(Method, it => words([it.action.word()])),
    ),
    attribute(
        "delivers",
        ME,
        Holds::OpenWords,
        "classes or liquids that it brings",
        of!(Method, it => words(it.delivers.iter().map(String::as_str))),
    ),
    attribute(
        "carrier",
        ME,
        Holds::Ids(Kind::Carrier),
        "carrier",
        of!(Method, it => words(it.carrier.as_deref())),
    ),
    attribute(
        "brings",
        ME,
        Holds::Words("class"),
        "classes of harm that it brings of itself",
        of!(Method, it => words(it.classes.iter().map(|c| c.word()))),
    ),
    attribute(
        "reach",
        ME,
        Holds::Words("site"),
        "where it reaches",
        of!(Method, it => words(it.reach.iter().map(|s| s.word()))),
    ),
    attribute(
        "reach-partly",
        ME,
        Holds::Words("site"),
        "where it reaches only partly or slowly",
        of!(Method, it => words(it.reach_partly.iter().map(|s| s.word()))),
    ),
    attribute(
        "wets",
        ME,
        Holds::OpenWords,
        "liquid that goes into what lies beneath: none, little or much",
        of!(Method, it => words([it.wets.word()])),
    ),
    attribute(
        "mildness",
        ME,
        Holds::Measure(Dimension::NONE),
        "1 mildest to 9 harshest",
        of!(Method, it => number(f64::from(it.mildness), "")),
    ),
    attribute(
        "then",
        ME,
        Holds::Ids(Kind::Method),
        "the usual second half",
        of!(Method, it => words(it.then.as_deref())),
    ),
    attribute(
        "cluster",
        T,
        Holds::Words("cluster"),
        "tests of one cluster are no independent witnesses",
        of!(Test, it => words([it.cluster.as_str()])),
    ),
    attribute(
        "specimens",
        T,
        Holds::Words("specimen"),
        "on what it is done, best first",
        of!(Test, it => words(it.specimens.iter().map(|s| s.word()))),
    ),
    attribute(
        "destructive",
        T,
        Holds::OpenWords,
        "uses its specimen up: yes or no",
        of!(Test, it => yes(it.destructive)),
    ),
    attribute(
        "laboratory",
        T,
        Holds::OpenWords,
        "done in a laboratory: yes or no",
        of!(Test, it => yes(it.laboratory)),
    ),
    attribute(
        "sample",
        T,
        Holds::Measure(Dimension::MASS),
        "sample that it takes",
        of!(Test, it => number(it.sample_ug, "ug")),
    ),
    attribute(
        "risk",
        T,
        Holds::Measure(Dimension::NONE),
        "risk to the object, 0 none to 5 grave",
        of!(Test, it => number(f64::from(it.risk), "")),
    ),
    attribute(
        "toxicity",
        T,
        Holds::Measure(Dimension::NONE),
        "harm to the worker, 0 none to 5 grave",
        of!(Test, it => number(f64::from(it.toxicity), "")),
    ),
    attribute(
        "takes",
        T,
        Holds::Measure(Dimension::TIME),
        "time that it takes",
        of!(Test, it => number(it.minutes, "min")),
    ),
    attribute(
        "reagent",
        T,
        Holds::Ids(Kind::Agent),
        "liquid that is put on",
        of!(Test, it => words(it.reagent.as_deref())),
    ),
    attribute(
        "outcomes",
        T,
        Holds::OpenWords,
        "what it can show, the positive first",
        of!(Test, it => words(it.outcomes.iter().map(String::as_str))),
    ),
    attribute(
        "excludes",
        T,
        Holds::Words("hazard"),
        "hazard that a clean negative excludes",
        of!(Test, it => words(it.hazard.iter().map(|h| h.word()))),
    ),
    attribute(
        "reads",
        T,
        Holds::OpenWords,
        "fact of the materials that answers it",
        of!(Test, it => words(it.reads.as_deref())),
    ),
    attribute(
        "proposed",
        T,
        Holds::OpenWords,
        "may be proposed as a next test: yes or no",
        of!(Test, it => yes(it.proposed)),
    ),
    attribute(
        "author",
        S,
        Holds::OpenWords,
        "authors or editors",
        of!(Source, it => some_words(it.authors.iter().map(String::as_str))),
    ),
    attribute(
        "date",
        S,
        Holds::Text,
        "year or date as printed",
        of!(Source, it => text(&it.date)),
    ),
    attribute(
        "title",
        S,
        Holds::Text,
        "title",
        of!(Source, it => text(&it.title)),
    ),
    attribute(
        "published-in",
        S,
        Holds::Text,
        "journal, book, series, publisher or site",
        of!(Source, it => text(&it.container)),
    ),
    attribute(
        "opened",
        S,
        Holds::Text,
        "what of it was read",
        of!(Source, it => text(&it.read)),
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_those_of_no_other_field() {
        for (k, it) in ATTRIBUTES.iter().enumerate() {
            let key = it.field.key;
            assert!(super::super::field::field_named(key).is_none(), "{key}");
            assert!(ATTRIBUTES[..k].iter().all(|a| a.field.key != key), "{key}");
        }
    }

    #[test]
    fn numbers_have_the_dimension_that_is_promised() {
        for (symbol, dimension) in [("ug", Dimension::MASS), ("min", Dimension::TIME)] {
            let unit = Unit::from_symbol(symbol).expect("a unit");
            assert_eq!(unit.dimension(), dimension);
        }
    }
}
