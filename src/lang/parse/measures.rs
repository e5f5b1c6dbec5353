//! All measures, values and observations of a statement, for rules about them.

use crate::lang::ast::{
    Agent, Condition, Measure, Note, NoteValue, Observation, Query, Relation, Statement, TestKind,
    Thing, Tool, Value,
};
use crate::span::Spanned;

/// Every measure, in no particular order.
pub(super) fn measures(statement: &Statement) -> Vec<&Measure> {
    let mut found = Found::default();
    found.query(&statement.query);
    found.measures
}

/// Every value after a small word or a comparison, in no particular order.
pub(super) fn values(statement: &Statement) -> Vec<&Value> {
    let mut found = Found::default();
    found.query(&statement.query);
    found.values
}

/// Every observation, in no particular order.
pub(super) fn observations(statement: &Statement) -> Vec<&Observation> {
    let mut found = Found::default();
    found.query(&statement.query);
    found.observations
}

#[derive(Default)]
struct Found<'a> {
    measures: Vec<&'a Measure>,
    values: Vec<&'a Value>,
    observations: Vec<&'a Observation>,
}

impl<'a> Found<'a> {
    fn query(&mut self, query: &'a Query) {
        match query {
            Query::Find(query) => self.conditions(query.condition.as_ref()),
            Query::Identify(query) => {
                self.thing(&query.thing);
                self.stacks(query.on.iter());
                let shares = query.prior.iter().flat_map(|prior| &prior.value);
                self.measures.extend(shares.map(|(share, _)| share));
                self.observations(query.that.as_ref());
                self.observations(query.given.as_ref());
                self.conditions(query.condition.as_ref());
            }
            Query::Remove(query) => {
                self.stacks([&query.target, &query.from].into_iter());
                self.observations(query.given.as_ref());
            }
            Query::Choose(query) => {
                self.thing(&query.thing);
                self.stacks(std::iter::once(&query.subject).chain(&query.to));
                if let Some(load) = &query.carrying {
                    self.measures.push(&load.value.load);
                    self.measures.extend(&load.value.area);
                }
                self.conditions(query.condition.as_ref());
                self.measures.extend(&query.reversible);
                self.observations(query.given.as_ref());
            }
            Query::Compare(query) => {
                query.things.iter().for_each(|thing| self.thing(thing));
                self.stacks(query.on.iter());
            }
            Query::Blend(query) => {
                self.thing(&query.target);
                if let Some(things) = &query.sparing {
                    things.value.iter().for_each(|thing| self.thing(thing));
                }
                self.observations(query.given.as_ref());
            }
            Query::Prepare(query) => {
                self.measures.push(&query.amount);
                self.measures.extend(&query.strength);
                self.agent(&query.agent);
                query.solvent.iter().for_each(|agent| self.agent(agent));
                self.measures.extend(&query.stock);
                self.measures.extend(&query.at);
                self.tools(query.tools.as_ref());
            }
            Query::Ventilate(query) => {
                self.measures
                    .extend([&query.amount, &query.during, &query.space, &query.rate]);
                self.agent(&query.agent);
                self.tools(query.tools.as_ref());
            }
        }
    }

    fn stacks(&mut self, stacks: impl Iterator<Item = &'a crate::lang::ast::Stack>) {
        for stack in stacks {
            stack.layers.iter().for_each(|thing| self.thing(thing));
        }
    }

    fn thing(&mut self, thing: &'a Thing) {
        self.notes(&thing.notes);
    }

    fn tools(&mut self, tools: Option<&'a Spanned<Vec<Tool>>>) {
        for tool in tools.iter().flat_map(|list| &list.value) {
            self.measures.extend(&tool.measure);
        }
    }

    fn agent(&mut self, agent: &'a Agent) {
        self.notes(&agent.notes);
    }

    fn notes(&mut self, notes: &'a [Note]) {
        for note in notes {
            if let Some(NoteValue::Quantity(measure)) = &note.value {
                self.measures.push(measure);
            }
        }
    }

    fn value(&mut self, value: &'a Value) {
        self.values.push(value);
        match value {
            Value::Quantity(measure) => self.measures.push(measure),
            Value::Mix(mix) => self.measures.extend(&mix.strength),
        }
    }

    fn observations(&mut self, observations: Option<&'a Spanned<Vec<Observation>>>) {
        for observation in observations.iter().flat_map(|list| &list.value) {
            self.observations.push(observation);
            self.measures.extend(&observation.quantity);
            for phrase in &observation.phrases {
                phrase.values.iter().for_each(|value| self.value(value));
            }
            self.notes(&observation.notes);
        }
    }

    fn conditions(&mut self, condition: Option<&'a Spanned<Condition>>) {
        if let Some(condition) = condition {
            self.condition(&condition.value);
        }
    }

    fn condition(&mut self, condition: &'a Condition) {
        match condition {
            Condition::And(parts) | Condition::Or(parts) => {
                for part in parts {
                    self.condition(part);
                }
            }
            Condition::Not { condition, .. } => self.condition(condition),
            Condition::Test(test) => match &test.kind {
                TestKind::Property {
                    relation: Relation::Compare(_, value),
                    ..
                } => self.value(value),
                TestKind::Property {
                    relation: Relation::Phrases(phrases),
                    ..
                } => {
                    for phrase in phrases {
                        phrase.values.iter().for_each(|value| self.value(value));
                    }
                }
                TestKind::Property { .. } | TestKind::Call { .. } => {}
            },
        }
    }
}
