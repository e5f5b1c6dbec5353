//! `compare`: things of one kind, by properties, on an object.

use super::Resolver;
use super::checked::{By, CheckedCompare};
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Name};
use crate::lang::reserved::Verb;
use crate::model::naming::fold;
use crate::model::{Age, Kind};

/// Most things side by side.
const MOST: usize = 12;

impl Resolver<'_> {
    pub(super) fn comparison(&mut self, query: &ast::Compare) -> Option<CheckedCompare> {
        let things: Vec<Option<(Kind, usize, Option<Age>)>> =
            query.things.iter().map(|t| self.compared(t)).collect();
        let things: Vec<(Kind, usize, Option<Age>)> = things.into_iter().collect::<Option<_>>()?;
        let first = things.first()?.0;
        if let Some(at) = things.iter().position(|(kind, ..)| *kind != first) {
            let (one, other) = (first.noun(), things[at].0.noun());
            self.report(
                Diagnostic::error(
                    "Q0316",
                    format!("a {one} and a {other} have no fields in common"),
                )
                .at(query.things[at].span, format!("a {other}"))
                .and_at(query.things[0].span, format!("a {one}"))
                .help("compare materials with materials, liquids with liquids"),
            );
            return None;
        }
        if let Some(thing) = query.things.get(MOST) {
            self.report(
                Diagnostic::error("Q0316", "too many things to see side by side")
                    .at(thing.span, "from here on")
                    .help(format!("the most is {MOST}; `find … show …` lists more")),
            );
            return None;
        }
        let by: Vec<Option<By>> = query.by.iter().map(|name| self.by(name, first)).collect();
        let on = match &query.on {
            Some(stack) => self.stack(stack)?,
            None => Vec::new(),
        };
        Some(CheckedCompare {
            things,
            by: by.into_iter().collect::<Option<_>>()?,
            on,
        })
    }

    /// A record of any kind, a material before all others.
    fn compared(&mut self, thing: &ast::Thing) -> Option<(Kind, usize, Option<Age>)> {
        let text = thing.name.text();
        if self.bindings.contains_key(&text) {
            self.bound_elsewhere(&text, thing.name.span, Verb::Compare);
            return None;
        }
        let found = self.library.named(&text, Some(Kind::Material));
        let found = found.first().copied().or_else(|| {
            let any = self.library.named(&text, None);
            any.into_iter().find(|(kind, _)| *kind != Kind::Family)
        });
        let Some((kind, index)) = found else {
            self.unknown_name(
                &thing.name,
                &[Kind::Material, Kind::Agent, Kind::Layer, Kind::Method],
            );
            return None;
        };
        let mut age = None;
        for note in &thing.notes {
            let words = fold(&ast::join(&note.words));
            age = match self.library.speech().note("age", &words) {
                Some("aged") if note.negated.is_none() => Some(Age::Aged),
                Some("fresh") if note.negated.is_none() => Some(Age::Fresh),
                _ => {
                    let plain = ast::join(&note.words);
                    self.report(
                        Diagnostic::error("Q0304", format!("`{plain}` says nothing here"))
                            .at(note.span, "unknown note")
                            .help("write `(aged)` or `(fresh)`"),
                    );
                    return None;
                }
            };
        }
        Some((kind, index, age))
    }

    fn by(&mut self, name: &Name, kind: Kind) -> Option<By> {
        let text = name.text();
        if kind == Kind::Material {
            match fold(&text).as_str() {
                "removal" | "reversal" => return Some(By::Removal),
                "application" => return Some(By::Application),
                _ => {}
            }
        }
        self.asked(&text, name.span, &[kind]).map(By::Stated)
    }
}
