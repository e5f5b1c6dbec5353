//! Three-valued truth of a condition about one record: true, false, or not enough on file.

use super::Session;
use crate::model::naming::fold;
use crate::model::{
    Age, Asked, Condition, Fact, Layer, Library, Material, Record, Response, Truth, Value, Verdict,
};
use crate::resolve::{CheckedCondition, CheckedTest, Compare, Means, is_removal};
use crate::units::{Quantity, Reading};

impl Session<'_> {
    /// Whether a condition holds of a record.
    pub(super) fn holds(&self, condition: &CheckedCondition, record: &Record) -> Truth {
        self.holds_noting(condition, record, &mut |_| {})
    }

    /// The same; `note` is told the truth of every single test, in the order in which they stand.
    pub(super) fn holds_noting(
        &self,
        condition: &CheckedCondition,
        record: &Record,
        note: &mut dyn FnMut(Truth),
    ) -> Truth {
        match condition {
            CheckedCondition::And(list) => list.iter().fold(Truth::True, |t, c| {
                t.and(self.holds_noting(c, record, note))
            }),
            CheckedCondition::Or(list) => list.iter().fold(Truth::False, |t, c| {
                t.or(self.holds_noting(c, record, note))
            }),
            CheckedCondition::Not(inner) => !self.holds_noting(inner, record, note),
            CheckedCondition::Test(test, _) => {
                let truth = self.test(test, record);
                note(truth);
                truth
            }
        }
    }

    fn test(&self, test: &CheckedTest, record: &Record) -> Truth {
        match test {
            CheckedTest::Known(asked, wanted) => {
                // An attribute is known even where it says that there is none.
                let known = asked.stated(record).is_some_and(|all| {
                    matches!(asked, Asked::Attribute(_)) || all.iter().any(|s| s.value.is_known())
                });
                Truth::from(known == *wanted)
            }
            CheckedTest::Measure(asked, compare, quantity) => {
                stated(asked, record, |value| match value {
                    Value::Measure(own) => measure(own, *compare, quantity),
                    _ => None,
                })
            }
            CheckedTest::Years(asked, from, to) => stated(asked, record, |value| match value {
                Value::Years(years) => {
                    let (a, b) = years.bounds(self.now);
                    Some(a <= *to && b >= *from)
                }
                _ => None,
            }),
            CheckedTest::Word(asked, words) => {
                let wanted: Vec<String> = words.iter().map(|w| fold(w)).collect();
                stated(asked, record, |value| match value {
                    Value::Words(words) => Some(words.iter().any(|w| wanted.contains(&fold(w)))),
                    Value::Text(text) => {
                        let text = fold(text);
                        Some(wanted.iter().any(|w| text.contains(w)))
                    }
                    _ => None,
                })
            }
            CheckedTest::Matches(asked, wanted) => stated(asked, record, |value| match value {
                Value::Words(words) => Some(words.iter().any(|w| fold(w).contains(wanted))),
                Value::Text(text) => Some(fold(text).contains(wanted)),
                _ => None,
            }),
            CheckedTest::Answers(id, words, age) => {
                let Record::Material(material) = record else {
                    // Layers have what a test shows among their plain facts.
                    return any(record.head().facts.get(id), |fact| match &fact.value {
                        Value::Words(own) => {
                            Some(own.iter().any(|o| words.iter().any(|w| fold(w) == fold(o))))
                        }
                        _ => None,
                    });
                };
                answers(material, id, *age, |word| {
                    words.iter().any(|w| fold(w) == fold(word))
                })
            }
            CheckedTest::ActsOn(material, words, age) => match record {
                Record::Agent(agent) => answers(material, &agent.head.id, *age, |word| {
                    words.iter().any(|w| fold(w) == fold(word))
                }),
                _ => Truth::Unknown,
            },
            CheckedTest::Removable(means, age) => match record {
                Record::Material(material) => self.removable(material, means, *age),
                _ => Truth::Unknown,
            },
            CheckedTest::Bears(means, verdicts, condition) => match record {
                Record::Layer(layer) => self.bears(layer, means, verdicts, *condition),
                _ => Truth::Unknown,
            },
            CheckedTest::StableTo(quantity) => stable_to(record, quantity),
        }
    }

    /// Dissolves or swells, or a route of the trade says so.
    fn removable(&self, material: &Material, means: &Means, age: Option<Age>) -> Truth {
        let routes = |fits: &dyn Fn(&crate::model::Route) -> bool| {
            material
                .removal
                .iter()
                .filter(|r| fits(r))
                .map(|r| Truth::from(r.order != crate::model::Order::Fails))
                .reduce(Truth::or)
                .unwrap_or(Truth::Unknown)
        };
        let is_removed = |word: &str| Response::parse(word).is_some_and(is_removal);
        match means {
            Means::Agent(id, _) => {
                match answers(material, id, age, is_removed) {
                    // A route of the trade answers where the grid is silent.
                    Truth::Unknown => routes(&|r| r.agent.as_deref() == Some(id)),
                    truth => truth,
                }
            }
            Means::Method(id) => routes(&|r| r.method.as_deref() == Some(id)),
            Means::Class(_, members) => {
                let of_class = |id: &str| members.iter().any(|member| member == id);
                let grid = material
                    .fresh
                    .keys()
                    .chain(material.aged.keys())
                    .chain(material.always.keys())
                    .filter(|id| of_class(id))
                    .map(|id| answers(material, id, age, is_removed))
                    .reduce(Truth::or)
                    .unwrap_or(Truth::Unknown);
                // One liquid of a class that fails does not speak for the others.
                if grid == Truth::True {
                    grid
                } else {
                    match routes(&|r| r.agent.as_deref().is_some_and(of_class)) {
                        Truth::True => Truth::True,
                        _ => Truth::Unknown,
                    }
                }
            }
        }
    }

    /// What a layer bears. The sound state answers where no state was asked for; harm of the sound
    /// state holds in any other, safety does not.
    fn bears(
        &self,
        layer: &Layer,
        means: &Means,
        wanted: &[Verdict],
        condition: Option<Condition>,
    ) -> Truth {
        let asked = condition.unwrap_or(Condition::Sound);
        let (agent, class) = match means {
            Means::Agent(id, class) => (Some(id.as_str()), *class),
            Means::Class(class, _) => (None, *class),
            Means::Method(id) => {
                let classes = self.pack.method(id).map_or_else(Vec::new, |m| m.classes);
                // The gravest of what the tool brings of itself.
                return classes
                    .into_iter()
                    .map(|class| {
                        let means = Means::Class(class, Vec::new());
                        self.bears(layer, &means, wanted, condition)
                    })
                    .reduce(|a, b| {
                        if wanted.contains(&Verdict::Safe) {
                            a.and(b)
                        } else {
                            a.or(b)
                        }
                    })
                    .unwrap_or(Truth::Unknown);
            }
        };
        layer
            .verdict(asked, agent, class)
            .map_or(Truth::Unknown, |(verdict, _)| {
                Truth::from(wanted.contains(&verdict))
            })
    }
}

/// Whether what a record states says so: true if any value does, false if all say no or the record
/// says that there is none, unknown if it is silent or a value leaves it open.
fn stated(asked: &Asked, record: &Record, says: impl Fn(&Value) -> Option<bool>) -> Truth {
    let Some(all) = asked.stated(record) else {
        return Truth::Unknown;
    };
    all.iter()
        .map(|it| says(&it.value).map_or(Truth::Unknown, Truth::from))
        .reduce(Truth::or)
        .unwrap_or(Truth::False)
}

/// True if any fact says so, false if all say no, unknown if there is none, or if one leaves it open
/// and none says so: a source that does not decide may hide a yes.
fn any<'f>(
    facts: impl IntoIterator<Item = &'f Fact>,
    says: impl Fn(&Fact) -> Option<bool>,
) -> Truth {
    facts
        .into_iter()
        .map(|fact| says(fact).map_or(Truth::Unknown, Truth::from))
        .reduce(Truth::or)
        .unwrap_or(Truth::Unknown)
}

/// A range lies beyond the bound, short of it, or across it: across, nobody knows which.
///
/// `is` holds when the two share a value, as it does for years: a range that is recorded is the
/// answer to every number in it. Values of another dimension (an exposure limit by mass against one
/// in ppm) are not converted, and so not known.
fn measure(own: &Quantity, compare: Compare, wanted: &Quantity) -> Option<bool> {
    if own.unit.dimension() != wanted.unit.dimension() {
        return None;
    }
    let own = own.base(Reading::Point)?;
    let wanted = wanted.base(Reading::Point)?;
    let (yes, no) = match compare {
        Compare::Less => (own.high < wanted.low, own.low >= wanted.high),
        Compare::LessEqual => (own.high <= wanted.low, own.low > wanted.high),
        Compare::Greater => (own.low > wanted.high, own.high <= wanted.low),
        Compare::GreaterEqual => (own.low >= wanted.high, own.high < wanted.low),
        Compare::Is => {
            let shared = own.low <= wanted.high && own.high >= wanted.low;
            (shared, !shared)
        }
    };
    if yes {
        Some(true)
    } else if no {
        Some(false)
    } else {
        None
    }
}

/// Every recorded temperature of softening must lie above; one below is enough for a no.
fn stable_to(record: &Record, wanted: &Quantity) -> Truth {
    let facts = &record.head().facts;
    let all: Vec<Truth> = ["tg", "softens", "melts"]
        .iter()
        .flat_map(|key| facts.get(key))
        .filter_map(|fact| match &fact.value {
            Value::Measure(own) => {
                Some(measure(own, Compare::Greater, wanted).map_or(Truth::Unknown, Truth::from))
            }
            _ => None,
        })
        .collect();
    all.into_iter().reduce(Truth::and).unwrap_or(Truth::Unknown)
}

/// What a material answers; with no age given, either age will do, and an age without a record
/// leaves a "no" of the other open.
fn answers(
    material: &Material,
    id: &str,
    age: Option<Age>,
    wanted: impl Fn(&str) -> bool,
) -> Truth {
    let ages: Vec<Age> = age.map_or_else(|| Age::BOTH.to_vec(), |age| vec![age]);
    ages.into_iter()
        .map(|age| {
            any(material.response(age, id), |fact| match &fact.value {
                Value::Words(words) => Some(words.iter().any(|w| wanted(w))),
                _ => None,
            })
        })
        .fold(Truth::False, Truth::or)
}
