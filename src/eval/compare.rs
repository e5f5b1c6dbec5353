//! `compare`: what the records state side by side, and how each thing would come off one object.

use super::Session;
use super::find::values;
use crate::answer::{Cell, Compare, Compared, Shown, Thing};
use crate::model::scene::{Barred, Origin, SceneLayer};
use crate::model::{Age, Fact, Kind, Library, Material, Order, Record};
use crate::resolve::{By, CheckedCompare, CheckedRemove, CheckedThing, What};

impl Session<'_> {
    pub(super) fn compare(&self, it: &CheckedCompare) -> Compare {
        let records: Vec<(Record, usize, Option<Age>)> = it
            .things
            .iter()
            .filter_map(|(kind, index, age)| Some((self.pack.record(*kind, *index)?, *index, *age)))
            .collect();
        let rows = it
            .by
            .iter()
            .map(|by| Compared {
                by: match by {
                    By::Stated(asked) => asked.key().to_owned(),
                    By::Removal => "removal".to_owned(),
                    By::Application => "application".to_owned(),
                },
                cells: records
                    .iter()
                    .map(|(record, index, age)| self.cell(by, record, *index, *age, &it.on))
                    .collect(),
            })
            .collect();
        Compare {
            things: records
                .iter()
                .map(|(record, _, age)| {
                    let head = record.head();
                    let called = match age {
                        Some(age) => format!("{} ({})", head.names.name, age.word()),
                        None => head.names.name.clone(),
                    };
                    Thing {
                        kind: record.kind(),
                        id: head.id.clone(),
                        called,
                    }
                })
                .collect(),
            on: it.on.iter().map(SceneLayer::described).collect(),
            rows,
        }
    }

    fn cell(
        &self,
        by: &By,
        record: &Record,
        index: usize,
        age: Option<Age>,
        on: &[SceneLayer],
    ) -> Cell {
        match (by, record) {
            (By::Stated(asked), _) => Cell::Stated(values(record, asked, age)),
            (By::Removal, Record::Material(material)) if on.is_empty() => {
                Cell::Stated(self.routes(material))
            }
            (By::Removal, Record::Material(material)) => self.removal(material, index, age, on),
            (By::Application, Record::Material(material)) => {
                Cell::Stated(self.application(material, on))
            }
            _ => Cell::Stated(Vec::new()),
        }
    }

    /// How it would come off this object, by the planner: a later addition, where it usually sits.
    fn removal(
        &self,
        material: &Material,
        index: usize,
        age: Option<Age>,
        on: &[SceneLayer],
    ) -> Cell {
        let asked = CheckedRemove {
            targets: vec![CheckedThing {
                called: material.head.names.name.clone(),
                what: What {
                    among: vec![index],
                    ..What::default()
                },
                site: material.sites.first().copied(),
                origin: Origin::Later,
                age,
                ..CheckedThing::default()
            }],
            layers: on.to_vec(),
            restored: None,
            barred: Barred::default(),
            allowing: Vec::new(),
            tried: Vec::new(),
            limit: None,
        };
        let mut notes = Vec::new();
        let plan = self.remove(&asked, &mut notes);
        Cell::Removal {
            steps: plan.ladder,
            ruled_out: plan.ruled_out.len(),
            leave: plan.leave,
        }
    }

    /// How the trade takes it off, where no object is named.
    fn routes(&self, material: &Material) -> Vec<Shown> {
        let name = |kind: Kind, id: &str| {
            self.pack
                .position(kind, id)
                .and_then(|index| self.pack.record(kind, index))
                .map_or_else(|| id.to_owned(), |r| r.head().names.name.clone())
        };
        material
            .removal
            .iter()
            .filter(|route| route.order != Order::Fails)
            .map(|route| {
                let agent = route.agent.as_deref().map(|id| name(Kind::Agent, id));
                let method = route.method.as_deref().map(|id| name(Kind::Method, id));
                let by: Vec<String> = [agent, method].into_iter().flatten().collect();
                let effect = route.effect.map_or("", |e| e.word());
                let on = if route.on.is_empty() {
                    String::new()
                } else {
                    format!(" on {}", route.on.join(", "))
                };
                Shown {
                    field: "removal".to_owned(),
                    text: format!("{}: {} {effect}{on}", route.order, by.join(", ")),
                    basis: route.basis.to_string(),
                    sources: route.basis.sources(),
                    place: Some(route.place.clone()),
                    ..Shown::default()
                }
            })
            .collect()
    }

    /// What it is put on with, and the gravest verdict of the layers on that.
    fn application(&self, material: &Material, on: &[SceneLayer]) -> Vec<Shown> {
        let facts = material.head.facts.get("applied-in");
        let mut out = Vec::new();
        for fact in facts {
            for id in fact.words() {
                let Some(agent) = self.pack.agent(id) else {
                    continue;
                };
                if on.is_empty() {
                    out.push(shown(agent.head.names.name.clone(), Some(fact)));
                }
                for layer in on {
                    for condition in layer.states() {
                        let found = layer.layer.verdict(*condition, Some(id), agent.class);
                        let (word, ground) = match found {
                            Some((verdict, fact)) => (verdict.word(), Some(fact)),
                            None => ("not recorded", None),
                        };
                        let text = format!(
                            "{}: {word} on {} ({condition})",
                            agent.head.names.name, layer.called
                        );
                        out.push(shown(text, ground));
                    }
                }
            }
        }
        out
    }
}

fn shown(text: String, fact: Option<&Fact>) -> Shown {
    Shown {
        field: "application".to_owned(),
        text,
        basis: fact.map_or_else(|| "not recorded".to_owned(), |f| f.basis.to_string()),
        sources: fact.map(|f| f.basis.sources()).unwrap_or_default(),
        place: fact.map(|f| f.place.clone()),
        ..Shown::default()
    }
}
