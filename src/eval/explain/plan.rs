//! The stages of a query, with what each meets in this corpus.

use super::super::find::{ROWS, leaves_of};
use super::super::{Session, bench};
use crate::answer::{Blend, Body, Choose, Explanation, Remove, Stage};
use crate::model::{Kind, Library};
use crate::resolve::{
    CheckedBlend, CheckedChoose, CheckedFind, CheckedIdentify, CheckedQuery, CheckedRemove,
};

fn stage(stage: &str, does: impl Into<String>) -> Stage {
    Stage {
        stage: stage.to_owned(),
        does: does.into(),
    }
}

impl Session<'_> {
    /// The stages of a query, with what each meets in this corpus.
    pub(in crate::eval) fn explain_plan(&self, query: &CheckedQuery, body: &Body) -> Explanation {
        Explanation::Plan(match (query, body) {
            (CheckedQuery::Find(it), Body::Find(found)) => self.plan_find(it, found.total),
            (CheckedQuery::Identify(it), Body::Identify(_)) => self.plan_identify(it),
            (CheckedQuery::Remove(it), Body::Remove(found)) => self.plan_remove(it, found),
            (CheckedQuery::Prepare(_), _) => bench::plan_of_solution(),
            (CheckedQuery::Ventilate(_), _) => bench::plan_of_air(),
            (CheckedQuery::Compare(it), _) => vec![
                stage("read", format!("{} records, one by one", it.things.len())),
                stage(
                    "compare",
                    format!("{} properties, each as its record states it", it.by.len()),
                ),
            ],
            (CheckedQuery::Choose(it), Body::Choose(found)) => self.plan_choose(it, found),
            (CheckedQuery::Blend(it), Body::Blend(found)) => plan_blend(it, found),
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
        let rows = it.limit.unwrap_or(ROWS);
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
                        .zip(feature.aged.iter())
                        .filter(|(a, b)| a | b != 0)
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

    fn plan_choose(&self, it: &CheckedChoose, found: &Choose) -> Vec<Stage> {
        let mut out = vec![stage(
            "suppose",
            format!(
                "{} of {} materials serve as {}",
                found.considered,
                self.pack.count(Kind::Material),
                it.purpose
            ),
        )];
        for (rule, n) in &found.took {
            out.push(stage("rule", format!("{}: takes {n}", rule.says())));
        }
        out.push(stage(
            "forecast",
            format!(
                "each that is left, fresh and aged, is put to the planner as {} on these layers",
                it.site
            ),
        ));
        for (criterion, weight) in &found.weights {
            out.push(stage(
                "score",
                format!("{}: {weight:.1} of 100", criterion.word()),
            ));
        }
        out.push(stage(
            "show",
            format!("{} choices, {} more fit", found.choices.len(), found.more),
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
}

fn plan_blend(it: &CheckedBlend, found: &Blend) -> Vec<Stage> {
    let mut out = vec![stage(it.action.word(), it.target.called.clone())];
    for region in std::iter::once(&found.target).chain(&found.layers) {
        let does = match (&region.fit, region.spheres.first()) {
            (Some(fit), _) => format!(
                "{}: a sphere from {} swab tests on this object",
                region.called,
                fit.good + fit.poor
            ),
            (None, Some(sphere)) => {
                format!(
                    "{}: {} on file, {}",
                    region.called,
                    region.spheres.len(),
                    sphere.basis
                )
            }
            (None, None) if region.by_record => {
                format!(
                    "{}: nothing in it dissolves; its record speaks",
                    region.called
                )
            }
            (None, None) => format!("{}: none", region.called),
        };
        out.push(stage("sphere", does));
    }
    out.push(stage(
        "gather",
        format!(
            "{} liquids; {} left out by law, record, rule or want of figures",
            found.liquids.len(),
            found.left_out.len()
        ),
    ));
    out.push(stage(
        "keep apart",
        format!(
            "{} pairs that do not mix or must not meet",
            found.apart.len()
        ),
    ));
    for sifted in &found.sifted {
        out.push(stage("sift", format!("{}: {}", sifted.demand, sifted.left)));
    }
    out.push(stage(
        "order",
        "by distance, vapour over the lowest limit, and flash point; much the same ones once",
    ));
    out
}
