//! `find`: candidates, what is true of them, order, and the rows that are shown.

use std::cmp::Ordering;

use super::Session;
use crate::answer::{Answered, Extent, Find, Match, Shown, Silent};
use crate::index::IndexError;
use crate::model::{Age, Asked, Basis, Fact, Kind, Library, Record, Stated, Truth, Value};
use crate::order::Arrange;
use crate::resolve::{CheckedCondition, CheckedFind, CheckedTest, Rank};
use crate::units::Reading;

/// Rows shown when the user sets no limit.
pub(super) const ROWS: usize = 20;
/// Hits of the text index that conditions are tried on and that are counted: more than this corpus has
/// records; of a far larger one the best.
const HITS: usize = 10_000;

/// Outcomes that say that nothing answered.
const UNANSWERED: [&str; 3] = ["negative", "no effect", "none"];

/// A record that may match.
pub(super) struct Hit {
    pub(super) record: Record,
    score: f64,
}

impl Session<'_> {
    pub(super) fn find(&self, find: &CheckedFind) -> Result<Find, IndexError> {
        let limit = find.limit.unwrap_or(ROWS);
        let mut yes: Vec<Hit> = Vec::new();
        let mut unsure: Vec<Hit> = Vec::new();
        let leaves = leaves_of(find.condition.as_ref());
        let mut silent: Vec<Silent> = leaves
            .iter()
            .map(|(_, text)| Silent {
                condition: (*text).to_owned(),
                records: 0,
            })
            .collect();
        let unread = self.unread(find, limit)?;
        if let Some((places, total)) = &unread
            && find.record.is_none()
            && find.show.is_empty()
        {
            return Ok(self.listed(places, *total));
        }
        let (counted, candidates) = match unread {
            Some((places, total)) => {
                let hits = places.into_iter().filter_map(|at| self.hit(at));
                (Some(total), hits.collect())
            }
            None => (None, self.candidates(find)?),
        };
        for hit in candidates {
            let mut counts = silent.iter_mut();
            let truth = find.condition.as_ref().map_or(Truth::True, |condition| {
                self.holds_noting(condition, &hit.record, &mut |truth| {
                    if let Some(count) = counts.next() {
                        count.records += usize::from(truth == Truth::Unknown);
                    }
                })
            });
            match truth {
                Truth::True => yes.push(hit),
                Truth::Unknown => unsure.push(hit),
                Truth::False => {}
            }
        }
        silent.retain(|s| s.records > 0);
        let silent = told_once(silent);
        for list in [&mut yes, &mut unsure] {
            order(list, &find.rank);
        }
        let mut shown: Vec<Asked> = find.show.clone();
        let ranked = find.rank.iter().map(|r| r.asked.clone());
        for asked in ranked.chain(asked_of(find.condition.as_ref())) {
            if !shown.contains(&asked) {
                shown.push(asked);
            }
        }
        let extent = match find.record {
            Some(_) if find.whole => Extent::Whole,
            Some(_) if shown.is_empty() => Extent::Brief,
            Some(_) => Extent::Asked,
            None => Extent::Listed,
        };
        let rows = |list: &[Hit]| -> Vec<Match> {
            list.iter()
                .take(limit)
                .map(|hit| row(&hit.record, &shown, extent, self.paged))
                .collect()
        };
        let answers = match (extent, yes.first()) {
            (Extent::Brief | Extent::Whole, Some(hit)) => self.answered(&hit.record),
            _ => Vec::new(),
        };
        Ok(Find {
            total: counted.unwrap_or(yes.len()),
            undetermined_total: unsure.len(),
            matches: rows(&yes),
            undetermined: if find.include_unknown {
                rows(&unsure)
            } else {
                Vec::new()
            },
            silent,
            shown: shown.iter().map(|a| a.key().to_owned()).collect(),
            extent,
            answers,
        })
    }

    /// Which materials answer a test, outcome by outcome; that they do not answer is said of most.
    fn answered(&self, record: &Record) -> Vec<Answered> {
        let Record::Test(test) = record else {
            return Vec::new();
        };
        let table = self.pack.table();
        let Some(feature) = table.feature(&test.head.id).map(|f| &table.features[f]) else {
            return Vec::new();
        };
        let columns = Age::BOTH.map(|age| feature.column(age).open());
        let outcomes = feature.outcomes().iter().enumerate();
        let told = outcomes.filter(|(_, outcome)| !UNANSWERED.contains(outcome));
        told.map(|(bit, outcome)| {
            let names = table.names.iter().enumerate();
            let own = names.filter(|(m, _)| columns.iter().any(|it| it.get(*m) == 1 << bit));
            Answered {
                outcome: outcome.to_owned(),
                materials: own.map(|(_, name)| name.to_owned()).collect(),
            }
        })
        .filter(|it| !it.materials.is_empty())
        .collect()
    }

    /// Records of the kind that is asked for, found by text where there is one, before any condition.
    pub(super) fn candidates(&self, find: &CheckedFind) -> Result<Vec<Hit>, IndexError> {
        let mut all = self.reached(find)?;
        all.retain(|hit| in_scope(&hit.record, find));
        Ok(all)
    }

    fn reached(&self, find: &CheckedFind) -> Result<Vec<Hit>, IndexError> {
        let places = self.places(find, HITS)?;
        Ok(places.into_iter().filter_map(|at| self.hit(at)).collect())
    }

    fn hit(&self, (kind, index, score): Place) -> Option<Hit> {
        let record = self.pack.record(kind, index)?;
        Some(Hit { record, score })
    }

    /// Where the records stand that are reached, best first, else by kind and id; of those reached by text
    /// `most`.
    fn places(&self, find: &CheckedFind, most: usize) -> Result<Vec<Place>, IndexError> {
        if let Some((kind, index)) = find.record {
            return Ok(vec![(kind, index, 0.0)]);
        }
        let kind = only(&find.kinds);
        if let Some(about) = &find.about {
            let hits = self.index()?.search(about, kind, most)?.into_iter();
            let mut places: Vec<Place> =
                hits.map(|(k, i, score)| (k, i, f64::from(score))).collect();
            places.arrange_by(|a, b| b.2.total_cmp(&a.2).then((a.0, a.1).cmp(&(b.0, b.1))));
            return Ok(places);
        }
        let kinds: Vec<Kind> = match kind {
            Some(kind) => vec![kind],
            None => Kind::ALL.to_vec(),
        };
        Ok(kinds
            .into_iter()
            .flat_map(|kind| (0..self.pack.count(kind)).map(move |index| (kind, index, 0.0)))
            .collect())
    }

    /// Where what is found stands and how much it is in all, where neither a condition nor an order asks what
    /// stands in a record: no more than `limit` records are then shown, read or even named by the text index.
    /// `None` where records have to be looked into.
    fn unread(
        &self,
        find: &CheckedFind,
        limit: usize,
    ) -> Result<Option<(Vec<Place>, usize)>, IndexError> {
        let looks_in = find.condition.is_some()
            || !find.rank.is_empty()
            || !find.roles.is_empty()
            || find.family.is_some();
        if looks_in {
            return Ok(None);
        }
        if let (Some(about), None, 0..=1) = (&find.about, find.record, find.kinds.len()) {
            let places = self.places(find, limit)?;
            let total = match places.len() {
                // Fewer than there is room for are all.
                few if few < limit => few,
                _ => self.index()?.count(about, only(&find.kinds))?,
            };
            return Ok(Some((places, total)));
        }
        let mut places = self.places(find, HITS)?;
        places.retain(|(kind, ..)| find.kinds.is_empty() || find.kinds.contains(kind));
        let total = places.len();
        places.truncate(limit);
        Ok(Some((places, total)))
    }

    /// A list of names with what they are, for which no record is decoded.
    fn listed(&self, places: &[Place], total: usize) -> Find {
        let one = |(kind, index, _): &Place| {
            let (name, summary) = self.pack.gist(*kind, *index)?;
            Some(Match {
                kind: *kind,
                id: self.pack.id(*kind, *index)?.to_owned(),
                name: name.to_owned(),
                summary: summary.to_owned(),
                values: Vec::new(),
            })
        };
        Find {
            total,
            undetermined_total: 0,
            matches: places.iter().filter_map(one).collect(),
            undetermined: Vec::new(),
            silent: Vec::new(),
            shown: Vec::new(),
            extent: Extent::Listed,
            answers: Vec::new(),
        }
    }
}

/// The one kind that is asked for, if it is one.
fn only(kinds: &[Kind]) -> Option<Kind> {
    match kinds {
        [kind] => Some(*kind),
        _ => None,
    }
}

/// Each of several alternatives is a test of its own under the words of the whole: told once, in the
/// order of the question, with the most records of any.
fn told_once(silent: Vec<Silent>) -> Vec<Silent> {
    let mut out: Vec<Silent> = Vec::new();
    for one in silent {
        match out.iter_mut().find(|told| told.condition == one.condition) {
            Some(told) => told.records = told.records.max(one.records),
            None => out.push(one),
        }
    }
    out
}

/// A record's kind and number, and how well it fits the words.
type Place = (Kind, usize, f64);

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

/// What a record is ordered by.
enum Key {
    Number(f64),
    Word(String),
}

fn key(record: &Record, asked: &Asked) -> Option<Key> {
    let all = asked.stated(record)?;
    let first = all.iter().find(|s| s.value.is_known())?;
    match &*first.value {
        Value::Measure(quantity) => quantity
            .base(Reading::Point)
            .map(|b| Key::Number(f64::midpoint(b.low, b.high))),
        Value::Years(years) => Some(Key::Number(f64::from(years.bounds(i32::MAX).0))),
        Value::Words(words) => words.first().cloned().map(Key::Word),
        Value::Text(text) => Some(Key::Word(text.clone())),
        _ => None,
    }
}

fn order(list: &mut [Hit], rank: &[Rank]) {
    list.arrange_by(|a, b| {
        for by in rank {
            // Records without the field come last, whichever end is first.
            let found = match (key(&a.record, &by.asked), key(&b.record, &by.asked)) {
                (Some(x), Some(y)) => {
                    let found = match (&x, &y) {
                        (Key::Number(x), Key::Number(y)) => x.total_cmp(y),
                        (Key::Word(x), Key::Word(y)) => x.cmp(y),
                        (Key::Number(_), Key::Word(_)) => Ordering::Less,
                        (Key::Word(_), Key::Number(_)) => Ordering::Greater,
                    };
                    if by.descending {
                        found.reverse()
                    } else {
                        found
                    }
                }
                (Some(_), None) => Ordering::Less,
                (None, Some(_)) => Ordering::Greater,
                (None, None) => Ordering::Equal,
            };
            if found.is_ne() {
                return found;
            }
        }
        b.score.total_cmp(&a.score).then_with(|| {
            (a.record.kind(), &a.record.head().id).cmp(&(b.record.kind(), &b.record.head().id))
        })
    });
}

/// Single tests of a condition, each as a condition of its own, with its words.
pub(super) fn leaves_of(condition: Option<&CheckedCondition>) -> Vec<(&CheckedCondition, &str)> {
    match condition {
        None => Vec::new(),
        Some(CheckedCondition::And(list) | CheckedCondition::Or(list)) => {
            list.iter().flat_map(|c| leaves_of(Some(c))).collect()
        }
        Some(CheckedCondition::Not(inner)) => leaves_of(Some(inner)),
        Some(leaf @ CheckedCondition::Test(_, text)) => vec![(leaf, text)],
    }
}

/// Everything that a condition asks for, to be shown beside what matches.
fn asked_of(condition: Option<&CheckedCondition>) -> Vec<Asked> {
    leaves_of(condition)
        .into_iter()
        .filter_map(|(leaf, _)| match leaf {
            CheckedCondition::Test(test, _) => match test {
                CheckedTest::Known(asked, _)
                | CheckedTest::Measure(asked, _, _)
                | CheckedTest::Years(asked, _, _)
                | CheckedTest::Word(asked, _)
                | CheckedTest::Matches(asked, _) => Some(asked.clone()),
                CheckedTest::Answers(id, ..) => Some(Asked::Answer(id.clone(), None)),
                CheckedTest::StableTo(_) => {
                    crate::model::field::field_named("tg").map(Asked::Field)
                }
                CheckedTest::Removable(..) | CheckedTest::Bears(..) | CheckedTest::ActsOn(..) => {
                    None
                }
            },
            _ => None,
        })
        .collect()
}

/// A record with the values that are shown, or with everything that it states; `paged` where that is read as
/// a page.
fn row(record: &Record, shown: &[Asked], extent: Extent, paged: bool) -> Match {
    let head = record.head();
    let values = match extent {
        Extent::Listed | Extent::Asked => shown
            .iter()
            .flat_map(|asked| values(record, asked, None))
            .collect(),
        Extent::Brief | Extent::Whole => {
            let groups = record.fact_groups();
            // Counted first: what is shown of a fact is long, and a list that grows by doubling touches twice
            // its length.
            let facts: Vec<(&str, &str, &Fact)> = groups
                .iter()
                .flat_map(|(group, facts)| facts.all().map(|(key, fact)| (&**group, key, fact)))
                .collect();
            let is_glance = paged && extent == Extent::Brief;
            let shown = facts.iter().map(|(group, key, fact)| Shown {
                group: group.trim_end().to_owned(),
                ..value((*key).to_owned(), "", &fact.value, Some(fact), is_glance)
            });
            shown.collect()
        }
    };
    Match {
        kind: record.kind(),
        id: head.id.clone(),
        name: head.names.name.clone(),
        summary: head.summary.clone(),
        values,
    }
}

/// What a record states of one thing, at one age or at any; one empty row where it is silent.
pub(super) fn values(record: &Record, asked: &Asked, age: Option<Age>) -> Vec<Shown> {
    let silent = || {
        vec![Shown {
            field: asked.key().to_owned(),
            ..Shown::default()
        }]
    };
    let holds = |it: &Stated<'_>| it.when.is_empty() || age.is_none_or(|age| it.when == age.word());
    match asked.stated(record) {
        None => silent(),
        Some(all) if !all.is_empty() && !all.iter().any(holds) => silent(),
        Some(all) if all.is_empty() => vec![Shown {
            field: asked.key().to_owned(),
            text: "none".to_owned(),
            basis: RECORD.to_owned(),
            place: Some(record.head().place.clone()),
            ..Shown::default()
        }],
        Some(all) => all
            .iter()
            .filter(|it| holds(it))
            .map(
                |Stated {
                     when,
                     value: own,
                     fact,
                 }| {
                    let mut out = value(asked.key().to_owned(), when, own, *fact, false);
                    if fact.is_none() {
                        out.place = Some(record.head().place.clone());
                    }
                    out
                },
            )
            .collect(),
    }
}

/// Facts of which every word holds, not any one of them.
const ALL_HOLD: [&str; 8] = [
    "ageing",
    "applied-in",
    "hazards",
    "immiscible",
    "miscible",
    "partly-miscible",
    "statements",
    "unifac",
];

/// Stands for a basis where a value is how the record is filed.
const RECORD: &str = "record";

/// What is stated of one field. At a glance the first source is named of what has one, and no place: neither the
/// whole basis nor the place is written then.
fn value(field: String, when: &str, value: &Value, fact: Option<&Fact>, is_glance: bool) -> Shown {
    let mut text = match value {
        // Of what is filed all words hold; of what was seen, any one.
        Value::Words(words) if fact.is_none() || ALL_HOLD.contains(&field.as_str()) => {
            words.join(", ")
        }
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
    if !when.is_empty() {
        text.push_str(&format!(" ({when})"));
    }
    let Some(fact) = fact else {
        return Shown {
            field,
            text,
            basis: RECORD.to_owned(),
            ..Shown::default()
        };
    };
    let mut note = String::new();
    for extra in [&fact.region, &fact.averaging, &fact.at, &fact.within]
        .into_iter()
        .flatten()
    {
        text.push_str(&format!(" ({extra})"));
    }
    if let Some(why) = &fact.why
        && !matches!(fact.value, Value::NotApplicable(_))
    {
        note.push_str(&format!(": {why}"));
    }
    if let Some(said) = &fact.note {
        note.push_str(&format!("; {said}"));
    }
    Shown {
        group: String::new(),
        field,
        text,
        note,
        basis: match fact.basis {
            Basis::Published { .. } if is_glance => String::new(),
            _ => fact.basis.to_string(),
        },
        sources: fact.basis.sources(),
        place: (!is_glance).then(|| fact.place.clone()),
    }
}
