//! `explain`: the stages of a query, the derivation of its answer, the clause that emptied it.

use super::Session;
use super::find::leaves_of;
use crate::answer::{
    Body, Cell, Claim, Clause, Conclusion, Explanation, Ground, LayerHarm, Remove, Rung, Shown,
    Stage,
};
use crate::identify::identify;
use crate::index::IndexError;
use crate::model::{Kind, Library, Place};
use crate::resolve::{
    CheckedCondition, CheckedFind, CheckedIdentify, CheckedQuery, CheckedRemove, CheckedThing,
};

fn stage(stage: &str, does: impl Into<String>) -> Stage {
    Stage {
        stage: stage.to_owned(),
        does: does.into(),
    }
}

impl Session<'_> {
    /// The stages of a query, with what each meets in this corpus.
    pub(super) fn explain_plan(&self, query: &CheckedQuery, body: &Body) -> Explanation {
        Explanation::Plan(match (query, body) {
            (CheckedQuery::Find(it), Body::Find(found)) => self.plan_find(it, found.total),
            (CheckedQuery::Identify(it), Body::Identify(_)) => self.plan_identify(it),
            (CheckedQuery::Remove(it), Body::Remove(found)) => self.plan_remove(it, found),
            (CheckedQuery::Compare(it), _) => vec![
                stage("read", format!("{} records, one by one", it.things.len())),
                stage(
                    "compare",
                    format!("{} properties, each as its record states it", it.by.len()),
                ),
            ],
            _ => Vec::new(),
        })
    }

    fn plan_find(&self, it: &CheckedFind, total: usize) -> Vec<Stage> {
        let kinds: Vec<&str> = if it.kinds.is_empty() {
            vec!["record of any kind"]
        } else {
            it.kinds.iter().map(|k| k.noun()).collect()
        };
        let mut out = Vec::new();
        match (&it.record, &it.about) {
            (Some(_), _) => out.push(stage("look up", "one record by its name")),
            (None, Some(about)) => out.push(stage(
                "search",
                format!("the text index for \"{about}\", at most 1000 hits"),
            )),
            (None, None) => {
                let count: usize = if it.kinds.is_empty() {
                    Kind::ALL.iter().map(|k| self.pack.count(*k)).sum()
                } else {
                    it.kinds.iter().map(|k| self.pack.count(*k)).sum()
                };
                out.push(stage(
                    "read",
                    format!("every {}: {count} records", kinds.join(" or ")),
                ));
            }
        }
        if !it.roles.is_empty() {
            let roles: Vec<&str> = it.roles.iter().map(|r| r.word()).collect();
            out.push(stage(
                "keep",
                format!("what serves as {}", roles.join(" or ")),
            ));
        }
        if let Some(family) = &it.family {
            out.push(stage("keep", format!("the family {family}")));
        }
        for (_, text) in leaves_of(it.condition.as_ref()) {
            out.push(stage(
                "ask",
                format!("{text}: true, false, or not enough on file"),
            ));
        }
        for rank in &it.rank {
            let end = if rank.descending { "highest" } else { "lowest" };
            out.push(stage(
                "order",
                format!("by {}, {end} first; silent records last", rank.asked.key()),
            ));
        }
        if it.rank.is_empty() && it.about.is_some() {
            out.push(stage("order", "by how well the text matches (BM25)"));
        }
        let rows = it.limit.unwrap_or(super::find::ROWS);
        out.push(stage(
            "show",
            if rows < total {
                format!("the first {rows} of {total}")
            } else {
                format!("all that match: {total}")
            },
        ));
        out
    }

    fn plan_identify(&self, it: &CheckedIdentify) -> Vec<Stage> {
        let table = self.pack.table();
        let mut out = vec![stage(
            "suppose",
            format!(
                "{} materials and \"none of these\", each with a prior from kind, years, place and how \
                 often it is met",
                table.rows.len()
            ),
        )];
        if let Some((from, to)) = it.restored {
            out.push(stage("date", format!("put on between {from} and {to}")));
        }
        for layer in &it.stack {
            out.push(stage("beneath", layer.called.clone()));
        }
        for (_, text) in leaves_of(it.condition.as_ref()) {
            out.push(stage(
                "leave out",
                format!("what its record denies: {text}"),
            ));
        }
        for o in &it.observations {
            let does = match o.feature {
                Some(f) => {
                    let feature = &table.features[f];
                    let recorded = feature
                        .fresh
                        .iter()
                        .zip(&feature.aged)
                        .filter(|(a, b)| **a | **b != 0)
                        .count();
                    format!(
                        "{}: read as {} ({} of {} materials answer), cluster {}",
                        o.text,
                        feature.id,
                        recorded,
                        table.rows.len(),
                        feature.cluster
                    )
                }
                None => format!("{}: kept, weighs nothing", o.text),
            };
            out.push(stage("weigh", does));
        }
        out.push(stage(
            "next",
            "tests by expected information over cost; the gate passes or refuses each",
        ));
        out
    }

    fn plan_remove(&self, it: &CheckedRemove, found: &Remove) -> Vec<Stage> {
        let mut out = Vec::new();
        for target in &it.targets {
            out.push(stage("take off", target.called.clone()));
        }
        for layer in &it.layers {
            out.push(stage("spare", layer.called.clone()));
        }
        out.push(stage(
            "propose",
            format!(
                "{} methods, each with every one of {} liquids that it delivers and its carrier carries",
                self.pack.count(Kind::Method),
                self.pack.count(Kind::Agent)
            ),
        ));
        out.push(stage(
            "weigh",
            "effect over the candidates, harm on each layer: this object's own results, then the records",
        ));
        out.push(stage(
            "pass the gate",
            format!(
                "every step: {} live, {} ruled out in the answer",
                found.considered,
                found.ruled_out.len()
            ),
        ));
        out.push(stage(
            "order",
            format!("mildest first, at most {} rungs", crate::remove::RUNGS),
        ));
        out
    }

    /// Each clause, with what the answer would hold without it.
    pub(super) fn explain_empty(&self, query: &CheckedQuery) -> Result<Explanation, IndexError> {
        let (now, clauses) = match query {
            CheckedQuery::Find(it) => self.without_each(it)?,
            CheckedQuery::Identify(it) => self.without_each_observation(it),
            CheckedQuery::Remove(it) => self.without_each_bar(it),
            CheckedQuery::Compare(_) | CheckedQuery::NotYet(_) => {
                ("a comparison is never empty".to_owned(), Vec::new())
            }
        };
        Ok(Explanation::Empty { now, clauses })
    }

    fn without_each(&self, it: &CheckedFind) -> Result<(String, Vec<Clause>), IndexError> {
        let total = self.find(it)?.total;
        let mut out = Vec::new();
        let mut push = |clause: String, alone: Option<usize>, without: usize| {
            out.push(Clause {
                clause,
                alone,
                without: format!("{without} match"),
                helps: without > total,
            });
        };
        if let Some(about) = &it.about {
            let alone = CheckedFind {
                condition: None,
                ..it.clone()
            };
            let without = CheckedFind {
                about: None,
                ..it.clone()
            };
            push(
                format!("about \"{about}\""),
                Some(self.find(&alone)?.total),
                self.find(&without)?.total,
            );
        }
        for (part, text) in members(it.condition.as_ref()) {
            let alone = CheckedFind {
                about: None,
                condition: Some(part.clone()),
                ..it.clone()
            };
            let without = CheckedFind {
                condition: rest_of(it.condition.as_ref(), &text),
                ..it.clone()
            };
            push(
                text,
                Some(self.find(&alone)?.total),
                self.find(&without)?.total,
            );
        }
        if !it.roles.is_empty() || it.family.is_some() {
            let without = CheckedFind {
                roles: Vec::new(),
                family: None,
                ..it.clone()
            };
            let alone = CheckedFind {
                about: None,
                condition: None,
                ..it.clone()
            };
            push(
                "the kind or family".to_owned(),
                Some(self.find(&alone)?.total),
                self.find(&without)?.total,
            );
        }
        Ok((format!("{total} match"), out))
    }

    fn without_each_observation(&self, it: &CheckedIdentify) -> (String, Vec<Clause>) {
        let says = |it: &CheckedIdentify| {
            let found = identify(self.pack, &self.question(it, &mut Vec::new()));
            let best = found.candidates.first().map_or_else(String::new, |c| {
                format!("; first {} {:.0} %", c.name, 100.0 * c.probability)
            });
            match &found.conclusion {
                Conclusion::Material(_) => (true, format!("a material is named{best}")),
                Conclusion::Family(id) => (true, format!("the family {id} is named{best}")),
                Conclusion::NotEnough => (false, format!("not enough to say{best}")),
                Conclusion::Contradicts => (false, format!("a contradiction{best}")),
            }
        };
        let (answered, now) = says(it);
        let clauses = (0..it.observations.len())
            .map(|k| {
                let mut other = it.clone();
                let gone = other.observations.remove(k);
                let (better, without) = says(&other);
                Clause {
                    clause: gone.text,
                    alone: None,
                    without,
                    helps: better && !answered,
                }
            })
            .collect();
        (now, clauses)
    }

    fn without_each_bar(&self, it: &CheckedRemove) -> (String, Vec<Clause>) {
        let live = |it: &CheckedRemove| self.remove(it, &mut Vec::new()).considered;
        let now = live(it);
        let mut variants: Vec<(String, CheckedRemove)> = Vec::new();
        for k in 0..it.layers.len() {
            let mut other = it.clone();
            let gone = other.layers.remove(k);
            if other.layers.is_empty() {
                continue;
            }
            variants.push((format!("the layer {}", gone.called), other));
            for condition in it.layers[k].conditions.clone() {
                let mut other = it.clone();
                other.layers[k].conditions.retain(|c| *c != condition);
                variants.push((format!("{} ({condition})", it.layers[k].called), other));
            }
        }
        let mut bar = |clause: String, change: &dyn Fn(&mut CheckedRemove)| {
            let mut other = it.clone();
            change(&mut other);
            variants.push((clause, other));
        };
        for id in &it.without_agents {
            bar(format!("without {id}"), &|o| {
                o.without_agents.retain(|a| a != id)
            });
        }
        for class in &it.without_classes {
            bar(format!("without {}", class.plain()), &|o| {
                o.without_classes.retain(|c| c != class);
            });
        }
        for id in &it.without_methods {
            bar(format!("without {id}"), &|o| {
                o.without_methods.retain(|m| m != id)
            });
        }
        for (_, agent, _) in &it.tried {
            bar(format!("given: {agent} was tried"), &|o| {
                o.tried.retain(|(_, a, _)| a != agent);
            });
        }
        if it.targets.iter().any(is_kept) {
            bar("the material is original or historic".to_owned(), &|o| {
                for target in &mut o.targets {
                    target.origin = crate::model::scene::Origin::Later;
                }
            });
        }
        let clauses = variants
            .into_iter()
            .map(|(clause, other)| {
                let without = live(&other);
                Clause {
                    clause,
                    alone: None,
                    without: format!("{without} live steps"),
                    helps: without > now,
                }
            })
            .collect();
        (format!("{now} live steps"), clauses)
    }
}

fn is_kept(thing: &CheckedThing) -> bool {
    use crate::model::scene::Origin;
    matches!(thing.origin, Origin::Original | Origin::Historic)
}

/// Conditions joined by `and` at the top, each with its words; a condition of another form is one.
fn members(condition: Option<&CheckedCondition>) -> Vec<(&CheckedCondition, String)> {
    let words = |it: &CheckedCondition| {
        let leaves = leaves_of(Some(it));
        let list: Vec<&str> = leaves.iter().map(|(_, text)| *text).collect();
        match it {
            CheckedCondition::Or(_) => list.join(" or "),
            CheckedCondition::Not(_) => format!("not {}", list.join(", ")),
            _ => list.join(" and "),
        }
    };
    match condition {
        None => Vec::new(),
        Some(CheckedCondition::And(list)) => list.iter().map(|c| (c, words(c))).collect(),
        Some(other) => vec![(other, words(other))],
    }
}

/// A condition without the member that has these words.
fn rest_of(condition: Option<&CheckedCondition>, gone: &str) -> Option<CheckedCondition> {
    let mut left: Vec<CheckedCondition> = members(condition)
        .into_iter()
        .filter(|(_, words)| words != gone)
        .map(|(it, _)| it.clone())
        .collect();
    if left.len() < 2 {
        return left.pop();
    }
    Some(CheckedCondition::And(left))
}

/// How each claim of an answer follows from facts, rules and trials.
pub(super) fn derivation(body: &Body) -> Explanation {
    let mut out = Vec::new();
    match body {
        Body::Find(it) => {
            for hit in it.matches.iter().chain(&it.undetermined) {
                out.push(Claim {
                    says: hit.name.clone(),
                    because: hit.values.iter().map(from_shown).collect(),
                });
            }
        }
        Body::Compare(it) => {
            for row in &it.rows {
                for (cell, (_, _, name)) in row.cells.iter().zip(&it.things) {
                    match cell {
                        Cell::Stated(list) => out.push(Claim {
                            says: format!("{name}: {}", row.by),
                            because: list.iter().map(from_shown).collect(),
                        }),
                        Cell::Removal { steps, .. } => {
                            out.extend(steps.iter().map(|s| from_rung(s, Some(name))));
                        }
                    }
                }
            }
        }
        Body::Identify(it) => {
            for c in &it.candidates {
                let db = |p: f64| 10.0 * (p / (1.0 - p)).log10();
                let mut because = vec![Ground {
                    says: format!(
                        "{:+.1} dB before anything was seen (prior {:.1} %)",
                        db(c.prior),
                        100.0 * c.prior
                    ),
                    basis: String::new(),
                    sources: Vec::new(),
                    places: Vec::new(),
                }];
                because.extend(c.evidence.iter().map(|e| Ground {
                    says: format!(
                        "{:+.1} dB {}: expected {}",
                        e.weight_db, e.observation, e.expected
                    ),
                    basis: e.basis.clone(),
                    sources: e.sources.clone(),
                    places: e.places.clone(),
                }));
                let sum = db(c.prior) + c.evidence.iter().map(|e| e.weight_db).sum::<f64>();
                let odds = 10f64.powf(sum / 10.0);
                because.push(Ground {
                    says: format!(
                        "{sum:+.1} dB in all: {:.1} %{}",
                        100.0 * odds / (1.0 + odds),
                        if (odds / (1.0 + odds) - c.probability).abs() > 0.0005 {
                            format!(
                                ", shown as {:.1} %: \"none of these\" keeps its floor",
                                100.0 * c.probability
                            )
                        } else {
                            String::new()
                        }
                    ),
                    basis: String::new(),
                    sources: Vec::new(),
                    places: Vec::new(),
                });
                out.push(Claim {
                    says: format!("{} {:.0} %", c.name, 100.0 * c.probability),
                    because,
                });
            }
        }
        Body::Remove(it) => removal(it, &mut out),
    }
    Explanation::Derivation(out)
}

fn removal(it: &Remove, out: &mut Vec<Claim>) {
    for rung in &it.ladder {
        out.push(from_rung(rung, None));
    }
    for row in &it.ruled_out {
        out.push(Claim {
            says: format!("ruled out: {}", row.id),
            because: row.harm.iter().map(from_harm).collect(),
        });
    }
    for next in &it.next {
        removal(next, out);
    }
}

fn from_shown(it: &Shown) -> Ground {
    Ground {
        says: if it.text.is_empty() {
            format!("{}: not recorded", it.field)
        } else {
            format!("{}: {}", it.field, it.text)
        },
        basis: it.basis.clone(),
        sources: it.sources.clone(),
        places: it.place.iter().cloned().collect(),
    }
}

fn from_harm(it: &LayerHarm) -> Ground {
    let layer = if it.layer.is_empty() {
        "rule".to_owned()
    } else {
        it.layer.clone()
    };
    Ground {
        says: format!(
            "{layer}: {}{}: {}",
            it.verdict.map_or("not recorded", |v| v.word()),
            if it.sheltered { ", sheltered" } else { "" },
            it.reason
        ),
        basis: it.basis.clone(),
        sources: it.sources.clone(),
        places: it.place.iter().cloned().collect(),
    }
}

fn from_rung(rung: &Rung, of: Option<&str>) -> Claim {
    let mut because = vec![Ground {
        says: format!(
            "{} on {:.0} % of what it may be, {:.0} % not recorded",
            rung.effect.response,
            100.0 * rung.effect.covers,
            100.0 * rung.effect.unknown
        ),
        basis: rung.effect.basis.clone(),
        sources: rung.effect.sources.clone(),
        places: rung.effect.places.clone(),
    }];
    because.extend(rung.harm.iter().map(from_harm));
    because.extend(rung.step.caveats().iter().map(|caveat| {
        let basis = caveat.rule.basis.to_basis();
        Ground {
            says: format!("rule {}: {}", caveat.rule.id, caveat.rule.says),
            basis: basis.to_string(),
            sources: basis.source().map(str::to_owned).into_iter().collect(),
            places: Vec::<Place>::new(),
        }
    }));
    let id = rung.step.get().id();
    let call = rung.call.word();
    Claim {
        says: match of {
            Some(name) => format!("{name}, {}. {id}: {call}", rung.rank),
            None => format!("{}. {id}: {call}", rung.rank),
        },
        because,
    }
}
