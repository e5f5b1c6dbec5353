//! What a question asks of a record: a field, an attribute, or what a liquid or test does to it.

use std::borrow::Cow;

use super::attribute::Attribute;
use super::fact::{Fact, Value};
use super::field::Field;
use super::record::{Age, Layer, Record};
use super::words::Class;

/// Something that a record may state.
#[derive(Clone, Debug)]
pub enum Asked {
    /// A field with facts of its own.
    Field(&'static Field),
    /// How the record is filed.
    Attribute(&'static Attribute),
    /// What a liquid or a test does: its id, and the class of a liquid, under which layers have it.
    Answer(String, Option<Class>),
}

impl PartialEq for Asked {
    fn eq(&self, other: &Self) -> bool {
        self.key() == other.key()
    }
}

/// One value that a record states.
#[derive(Clone, Debug)]
pub struct Stated<'r> {
    /// At which age or in which condition; empty when it always holds.
    pub when: &'static str,
    /// The value.
    pub value: Cow<'r, Value>,
    /// The fact behind it; none for an attribute.
    pub fact: Option<&'r Fact>,
}

impl Asked {
    /// Its key, as a column is headed.
    #[must_use]
    pub fn key(&self) -> &str {
        match self {
            Self::Field(field) => field.key,
            Self::Attribute(attribute) => attribute.field.key,
            Self::Answer(id, _) => id,
        }
    }

    /// The field or the attribute's field; none for an answer.
    #[must_use]
    pub fn field(&self) -> Option<&'static Field> {
        match self {
            Self::Field(field) => Some(field),
            Self::Attribute(attribute) => Some(&attribute.field),
            Self::Answer(..) => None,
        }
    }

    /// Everything that a record states of it; none where it is silent. An empty list says that
    /// there is none, which is not silence.
    #[must_use]
    pub fn stated<'r>(&self, record: &'r Record) -> Option<Vec<Stated<'r>>> {
        match self {
            Self::Field(field) => facts("", record.head().facts.get(field.key)),
            Self::Attribute(attribute) => Some(
                attribute
                    .values(record)?
                    .into_iter()
                    .map(|value| Stated {
                        when: "",
                        value: Cow::Owned(value),
                        fact: None,
                    })
                    .collect(),
            ),
            Self::Answer(id, class) => answers(record, id, *class),
        }
    }
}

fn facts<'r>(when: &'static str, list: &'r [Fact]) -> Option<Vec<Stated<'r>>> {
    (!list.is_empty()).then(|| {
        list.iter()
            .map(|fact| Stated {
                when,
                value: Cow::Borrowed(&fact.value),
                fact: Some(fact),
            })
            .collect()
    })
}

fn answers<'r>(record: &'r Record, id: &str, class: Option<Class>) -> Option<Vec<Stated<'r>>> {
    let mut out = Vec::new();
    match record {
        Record::Material(it) => {
            out.extend(facts("", it.always.get(id)).into_iter().flatten());
            for (age, own) in [(Age::Fresh, &it.fresh), (Age::Aged, &it.aged)] {
                out.extend(facts(age.word(), own.get(id)).into_iter().flatten());
            }
        }
        Record::Layer(it) => {
            out.extend(facts("", it.head.facts.get(id)).into_iter().flatten());
            for (condition, own) in &it.harm {
                let found = match class.or_else(|| Class::parse(id)) {
                    Some(class) => Layer::keys(Some(id), class)
                        .map(|key| own.get(key))
                        .find(|found| !found.is_empty())
                        .unwrap_or_default(),
                    None => own.get(id),
                };
                out.extend(facts(condition.word(), found).into_iter().flatten());
            }
        }
        Record::Method(it) => out.extend(facts("avoid", it.avoid.get(id)).into_iter().flatten()),
        _ => {}
    }
    (!out.is_empty()).then_some(out)
}
