//! Steps that an independent reader of the trade's rules forbids (`tests/forbidden.toml`, each row
//! with its source or marked practice), drawn up without sight of the gate. None may be live.

use serde::Deserialize;

use palinode::model::scene::Step;

use crate::engines::remove;

#[derive(Deserialize)]
struct List {
    forbidden: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    id: String,
    target: String,
    notes: String,
    layers: String,
    agents: Vec<String>,
    classes: Vec<String>,
    methods: Vec<String>,
    why: String,
    source: String,
}

impl Row {
    fn query(&self) -> String {
        format!(
            "remove {} ({}) from {}",
            self.target, self.notes, self.layers
        )
    }

    fn names(&self, step: &Step) -> bool {
        let by_agent = step.agent.as_ref().is_some_and(|agent| {
            self.agents.contains(&agent.head.id)
                || self.classes.iter().any(|c| c == agent.class.word())
        });
        by_agent || self.methods.contains(&step.method.head.id)
    }
}

fn rows() -> Vec<Row> {
    let list: List = toml::from_str(include_str!("../forbidden.toml")).unwrap();
    list.forbidden
}

/// At least 100 rows, each of them saying why and after whom.
#[test]
fn the_list_is_long_and_sourced() {
    let rows = rows();
    assert!(rows.len() >= 100, "{}", rows.len());
    for row in &rows {
        assert!(!row.why.is_empty() && !row.source.is_empty(), "{}", row.id);
        assert!(
            row.agents.len() + row.classes.len() + row.methods.len() > 0,
            "{} forbids nothing",
            row.id
        );
    }
}

#[test]
fn no_forbidden_step_is_live() {
    let mut violated = Vec::new();
    let mut silent = 0;
    let rows = rows();
    for row in &rows {
        let answer = remove(&row.query());
        silent += usize::from(answer.ladder.is_empty());
        for step in answer.ladder.iter().map(|r| r.step.get()) {
            if row.names(step) {
                violated.push(format!("{}: {} ({})", row.id, step.id(), row.query()));
            }
        }
    }
    assert!(violated.is_empty(), "{}", violated.join("\n"));
    // A list that only ever met empty answers would prove nothing.
    assert!(
        2 * silent < rows.len(),
        "{silent} of {} rows got no live step at all",
        rows.len()
    );
}
