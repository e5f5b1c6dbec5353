//! Which clause emptied an answer: each is left out in turn, and the rest asked again.

use super::super::Session;
use super::super::find::leaves_of;
use crate::answer::{Clause, Conclusion, Explanation};
use crate::identify::identify;
use crate::index::IndexError;
use crate::model::scene::{Barred, Origin, TargetTrial};
use crate::resolve::{
    CheckedBlend, CheckedChoose, CheckedCondition, CheckedFind, CheckedIdentify, CheckedQuery,
    CheckedRemove, CheckedThing,
};

impl Session<'_> {
    /// Each clause, with what the answer would hold without it.
    pub(in crate::eval) fn explain_empty(
        &self,
        query: &CheckedQuery,
    ) -> Result<Explanation, IndexError> {
        let (now, clauses) = match query {
            CheckedQuery::Find(it) => self.without_each(it)?,
            CheckedQuery::Identify(it) => self.without_each_observation(it),
            CheckedQuery::Remove(it) => self.without_each_bar(it),
            CheckedQuery::Choose(it) => self.without_each_wish(it),
            CheckedQuery::Blend(it) => self.without_each_demand(it),
            CheckedQuery::Prepare(_) | CheckedQuery::Ventilate(_) => {
                ("a sum of the bench is never empty".to_owned(), Vec::new())
            }
            CheckedQuery::Compare(_) => ("a comparison is never empty".to_owned(), Vec::new()),
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

    /// Each demand on a choice, with what would be left without it.
    fn without_each_wish(&self, it: &CheckedChoose) -> (String, Vec<Clause>) {
        let left = |it: &CheckedChoose| {
            let found = self.choice(it, &mut Vec::new());
            found.choices.len() + found.more
        };
        let now = left(it);
        let mut variants: Vec<(String, CheckedChoose)> = Vec::new();
        let mut ask = |clause: &str, change: &dyn Fn(&mut CheckedChoose)| {
            let mut other = it.clone();
            change(&mut other);
            variants.push((clause.to_owned(), other));
        };
        if it.years.is_some() {
            ask("reversible for", &|o| o.years = None);
        }
        if it.load.is_some() {
            ask("carrying", &|o| o.load = None);
        }
        if it.warmest.is_some() {
            ask("where stable to", &|o| o.warmest = None);
        }
        if it.condition.is_some() {
            ask("where", &|o| o.condition = None);
        }
        if !it.barred.is_empty() || !it.without_materials.is_empty() {
            ask("without", &|o| {
                o.barred = Barred::default();
                o.without_materials.clear();
            });
        }
        for k in 0..it.layers.len() {
            if it.layers.len() > 1 {
                let called = it.layers[k].called.clone();
                ask(&called, &|o| {
                    o.layers.remove(k);
                });
            }
        }
        let clauses = variants
            .into_iter()
            .map(|(clause, other)| {
                let without = left(&other);
                Clause {
                    clause,
                    alone: None,
                    without: format!("{without} choices"),
                    helps: without > now,
                }
            })
            .collect();
        (format!("{now} choices"), clauses)
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
        for id in &it.barred.agents {
            bar(format!("without {id}"), &|o| {
                o.barred.agents.retain(|a| a != id)
            });
        }
        for class in &it.barred.classes {
            bar(format!("without {}", class.plain()), &|o| {
                o.barred.classes.retain(|c| c != class);
            });
        }
        for id in &it.barred.methods {
            bar(format!("without {id}"), &|o| {
                o.barred.methods.retain(|m| m != id)
            });
        }
        for (_, TargetTrial { agent, .. }) in &it.tried {
            bar(format!("given: {agent} was tried"), &|o| {
                o.tried.retain(|(_, trial)| trial.agent != *agent);
            });
        }
        if it.targets.iter().any(is_kept) {
            bar("the material is original or historic".to_owned(), &|o| {
                for target in &mut o.targets {
                    target.origin = Origin::Later;
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

    /// A blend without each of the layers, with all liquids, and without each trial.
    fn without_each_demand(&self, it: &CheckedBlend) -> (String, Vec<Clause>) {
        let found = |it: &CheckedBlend| {
            let ask = self.blend_question(it);
            crate::bench::blend::blend(self.pack, &ask, &mut |_| true)
        };
        let says = |it: &crate::answer::Blend| {
            if it.missing.is_empty() {
                format!("{} blends", it.blends.len())
            } else {
                "undetermined".to_owned()
            }
        };
        let now = found(it);
        let mut variants: Vec<(String, CheckedBlend)> = Vec::new();
        for (k, layer) in it.layers.iter().enumerate() {
            let mut other = it.clone();
            other.layers.remove(k);
            variants.push((format!("sparing {}", layer.called), other));
        }
        if !it.using.is_empty() {
            let mut other = it.clone();
            other.using.clear();
            variants.push((format!("using {}", it.using.join(", ")), other));
        }
        let clauses = variants
            .into_iter()
            .map(|(clause, other)| {
                let without = found(&other);
                Clause {
                    clause,
                    alone: None,
                    helps: without.blends.len() > now.blends.len(),
                    without: says(&without),
                }
            })
            .collect();
        (says(&now), clauses)
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
