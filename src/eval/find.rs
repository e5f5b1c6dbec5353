//! `find`: three-valued conditions over the records, full text, ranking.

use super::Session;
use crate::answer::{Find, Match, Shown};
use crate::index::IndexError;
use crate::model::field::Field;
use crate::model::naming::fold;
use crate::model::{Age, Fact, Facts, Kind, Library, Material, Record, Response, Truth, Value};
use crate::resolve::{CheckedCondition, CheckedFind, CheckedTest, Compare, is_removal};
use crate::units::Reading;

/// Rows shown when the user sets no limit.
const ROWS: usize = 20;
/// Hits of the text index that conditions are tried on.
const HITS: usize = 1000;

struct Hit {
    record: Record,
    score: f64,
}

impl Session<'_> {
    pub(super) fn find(&self, find: &CheckedFind) -> Result<Find, IndexError> {
        let limit = find.limit.unwrap_or(ROWS);
        let mut yes: Vec<Hit> = Vec::new();
        let mut unsure: Vec<Hit> = Vec::new();
        for hit in self.candidates(find)? {
            if !in_scope(&hit.record, find) {
                continue;
            }
            let truth = find
                .condition
                .as_ref()
                .map_or(Truth::True, |condition| self.holds(condition, &hit.record));
            match truth {
                Truth::True => yes.push(hit),
                Truth::Unknown => unsure.push(hit),
                Truth::False => {}
            }
        }
        for list in [&mut yes, &mut unsure] {
            order(list, &find.rank);
        }
        let mut shown: Vec<&'static Field> = find.show.clone();
        for field in find
            .rank
            .iter()
            .copied()
            .chain(fields_of(find.condition.as_ref()))
        {
            if !shown.iter().any(|f| f.key == field.key) {
                shown.push(field);
            }
        }
        let one = find.record.is_some();
        Ok(Find {
            total: yes.len(),
            undetermined_total: unsure.len(),
            matches: yes
                .iter()
                .take(limit)
                .map(|h| row(h, &shown, one))
                .collect(),
            undetermined: if find.include_unknown {
                unsure
                    .iter()
                    .take(limit)
                    .map(|h| row(h, &shown, one))
                    .collect()
            } else {
                Vec::new()
            },
            shown: shown.iter().map(|f| f.key.to_owned()).collect(),
        })
    }

    fn candidates(&self, find: &CheckedFind) -> Result<Vec<Hit>, IndexError> {
        if let Some((kind, index)) = find.record {
            return Ok(self
                .pack
                .record(kind, index)
                .map(|record| Hit { record, score: 0.0 })
                .into_iter()
                .collect());
        }
        let kind = match &find.kinds[..] {
            [kind] => Some(*kind),
            _ => None,
        };
        if let Some(about) = &find.about {
            let hits = self.index()?.search(about, kind, HITS)?;
            return Ok(hits
                .into_iter()
                .filter_map(|(kind, index, score)| {
                    let record = self.pack.record(kind, index)?;
                    Some(Hit {
                        record,
                        score: f64::from(score),
                    })
                })
                .collect());
        }
        let kinds: Vec<Kind> = match kind {
            Some(kind) => vec![kind],
            None => Kind::ALL.to_vec(),
        };
        Ok(kinds
            .into_iter()
            .flat_map(|kind| {
                (0..self.pack.count(kind)).filter_map(move |i| self.pack.record(kind, i))
            })
            .map(|record| Hit { record, score: 0.0 })
            .collect())
    }

    fn holds(&self, condition: &CheckedCondition, record: &Record) -> Truth {
        match condition {
            CheckedCondition::And(list) => list
                .iter()
                .fold(Truth::True, |t, c| t.and(self.holds(c, record))),
            CheckedCondition::Or(list) => list
                .iter()
                .fold(Truth::False, |t, c| t.or(self.holds(c, record))),
            CheckedCondition::Not(inner) => !self.holds(inner, record),
            CheckedCondition::Test(test) => self.test(test, record),
        }
    }

    fn test(&self, test: &CheckedTest, record: &Record) -> Truth {
        let facts = &record.head().facts;
        match test {
            CheckedTest::Known(field, wanted) => {
                Truth::from(facts.first(field.key).is_some() == *wanted)
            }
            CheckedTest::Measure(field, compare, quantity) => {
                any(facts.get(field.key), |fact| match &fact.value {
                    Value::Measure(own) => measure(own, *compare, quantity),
                    _ => None,
                })
            }
            CheckedTest::Years(field, from, to) => {
                any(facts.get(field.key), |fact| match &fact.value {
                    Value::Years(years) => {
                        let (a, b) = years.bounds(self.now);
                        Some(a <= *to && b >= *from)
                    }
                    _ => None,
                })
            }
            CheckedTest::Word(field, word) => {
                let wanted = fold(word);
                any(facts.get(field.key), |fact| match &fact.value {
                    Value::Words(words) => Some(words.iter().any(|w| fold(w) == wanted)),
                    Value::Text(text) => Some(fold(text).contains(&wanted)),
                    _ => None,
                })
            }
            CheckedTest::Matches(field, wanted) => {
                any(facts.get(field.key), |fact| match &fact.value {
                    Value::Words(words) => Some(words.iter().any(|w| fold(w).contains(wanted))),
                    Value::Text(text) => Some(fold(text).contains(wanted)),
                    _ => None,
                })
            }
            CheckedTest::Answers(id, words, age) => {
                let Record::Material(material) = record else {
                    // Layers have what a test shows among their plain facts.
                    return any(facts.get(id), |fact| match &fact.value {
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
            CheckedTest::Removable(agent, age) => {
                let Record::Material(material) = record else {
                    return Truth::Unknown;
                };
                let truth = answers(material, agent, *age, |word| {
                    Response::parse(word).is_some_and(is_removal)
                });
                let route = material
                    .removal
                    .iter()
                    .find(|r| r.agent.as_deref() == Some(agent));
                match (truth, route) {
                    // A route of the trade answers where the grid is silent.
                    (Truth::Unknown, Some(route)) => {
                        Truth::from(route.order != crate::model::Order::Fails)
                    }
                    (truth, _) => truth,
                }
            }
        }
    }
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
/// answer to every number in it.
fn measure(
    own: &crate::units::Quantity,
    compare: Compare,
    wanted: &crate::units::Quantity,
) -> Option<bool> {
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

fn in_scope(record: &Record, find: &CheckedFind) -> bool {
    if !find.kinds.is_empty() && !find.kinds.contains(&record.kind()) {
        return false;
    }
    match record {
        Record::Material(m) => {
            (find.roles.is_empty() || m.roles.iter().any(|r| find.roles.contains(r)))
                && find.family.as_ref().is_none_or(|f| *f == m.family)
        }
        _ => find.roles.is_empty() && find.family.is_none(),
    }
}

fn order(list: &mut [Hit], rank: &[&'static Field]) {
    list.sort_by(|a, b| {
        for field in rank {
            let key = |hit: &Hit| {
                hit.record
                    .head()
                    .facts
                    .measure(field.key)
                    .and_then(|q| q.base(Reading::Point))
                    .map(|bounds| f64::midpoint(bounds.low, bounds.high))
            };
            // Records without the field come last.
            let by = match (key(a), key(b)) {
                (Some(x), Some(y)) => x.total_cmp(&y),
                (Some(_), None) => std::cmp::Ordering::Less,
                (None, Some(_)) => std::cmp::Ordering::Greater,
                (None, None) => std::cmp::Ordering::Equal,
            };
            if by.is_ne() {
                return by;
            }
        }
        b.score.total_cmp(&a.score).then_with(|| {
            (a.record.kind(), &a.record.head().id).cmp(&(b.record.kind(), &b.record.head().id))
        })
    });
}

fn fields_of(condition: Option<&CheckedCondition>) -> Vec<&'static Field> {
    match condition {
        None => Vec::new(),
        Some(CheckedCondition::And(list) | CheckedCondition::Or(list)) => {
            list.iter().flat_map(|c| fields_of(Some(c))).collect()
        }
        Some(CheckedCondition::Not(inner)) => fields_of(Some(inner)),
        Some(CheckedCondition::Test(test)) => match test {
            CheckedTest::Known(field, _)
            | CheckedTest::Measure(field, _, _)
            | CheckedTest::Years(field, _, _)
            | CheckedTest::Word(field, _)
            | CheckedTest::Matches(field, _) => vec![*field],
            CheckedTest::Answers(..) | CheckedTest::Removable(..) => Vec::new(),
        },
    }
}

fn row(hit: &Hit, shown: &[&'static Field], everything: bool) -> Match {
    let head = hit.record.head();
    let values = if everything {
        hit.record
            .fact_groups()
            .iter()
            .flat_map(|(prefix, facts)| {
                facts
                    .all()
                    .map(|(key, fact)| value(format!("{prefix}{key}"), fact))
                    .collect::<Vec<_>>()
            })
            .collect()
    } else {
        shown
            .iter()
            .flat_map(|field| values(&head.facts, field))
            .collect()
    };
    Match {
        kind: hit.record.kind(),
        id: head.id.clone(),
        name: head.names.name.clone(),
        summary: head.summary.clone(),
        values,
    }
}

fn values(facts: &Facts, field: &Field) -> Vec<Shown> {
    let own = facts.get(field.key);
    if own.is_empty() {
        return vec![Shown {
            field: field.key.to_owned(),
            text: String::new(),
            basis: String::new(),
            sources: Vec::new(),
        }];
    }
    own.iter()
        .map(|fact| value(field.key.to_owned(), fact))
        .collect()
}

fn value(field: String, fact: &Fact) -> Shown {
    let mut text = match &fact.value {
        Value::Words(words) => words.join(" or "),
        Value::Measure(quantity) => quantity.literal.clone(),
        Value::Years(years) => years.to_string(),
        Value::Hansen(h) => match h.radius {
            Some(radius) => format!("{}/{}/{} R {radius}", h.d, h.p, h.h),
            None => format!("{}/{}/{}", h.d, h.p, h.h),
        },
        Value::Teas(d, p, h) => format!("{d}/{p}/{h}"),
        Value::Text(text) => text.clone(),
        Value::NotApplicable(why) => format!("does not apply: {why}"),
        Value::Sought(search) => format!("looked for, not found: {search}"),
    };
    for extra in [&fact.region, &fact.averaging, &fact.at, &fact.within]
        .into_iter()
        .flatten()
    {
        text.push_str(&format!(" ({extra})"));
    }
    if let Some(why) = &fact.why
        && !matches!(fact.value, Value::NotApplicable(_))
    {
        text.push_str(&format!(": {why}"));
    }
    if let Some(note) = &fact.note {
        text.push_str(&format!("; {note}"));
    }
    Shown {
        field,
        text,
        basis: fact.basis.to_string(),
        sources: fact
            .basis
            .source()
            .map(|k| vec![k.to_owned()])
            .unwrap_or_default(),
    }
}
