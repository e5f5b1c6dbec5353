//! `blend`: what is to be dissolved, what spared, and what was tried.

use super::Resolver;
use super::checked::CheckedBlend;
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Name};
use crate::lang::reserved::Verb;
use crate::model::{Does, Kind};

impl Resolver<'_> {
    pub(super) fn blend(&mut self, query: &ast::Blend) -> Option<CheckedBlend> {
        let action = Does::parse(&query.action.text.to_lowercase());
        if action.is_none() {
            self.report(
                Diagnostic::error(
                    "Q0322",
                    format!(
                        "`{}` is nothing that a blend is worked out for",
                        query.action.text
                    ),
                )
                .at(query.action.span, "neither dissolve nor swell")
                .help(
                    "write `blend to dissolve`, or `blend to swell` for what no longer dissolves",
                ),
            );
        }
        let target = self.thing(&query.target);
        let bound = target.as_ref().and_then(|t| t.what.binding.clone());
        if let Some(bound) = bound
            && self
                .bindings
                .get(&bound)
                .is_some_and(|v| *v != Verb::Identify)
        {
            self.bound_elsewhere(&bound, query.target.name.span, Verb::Blend);
            return None;
        }
        let layers: Vec<_> = query
            .sparing
            .iter()
            .flat_map(|s| &s.value)
            .map(|thing| self.layer(thing))
            .collect();
        let using = self.liquids(query.using.as_ref().map(|u| u.value.as_slice()));
        let allowing = self.liquids(query.allowing.as_ref().map(|a| a.value.as_slice()));
        let target = target?;
        let mut layers = layers.into_iter().collect::<Option<Vec<_>>>()?;
        let tried = match &query.given {
            Some(given) => {
                let called = [target.called.clone()];
                let found = self.given(&given.value, &mut layers, &called);
                found.into_iter().map(|(_, trial)| trial).collect()
            }
            None => Vec::new(),
        };
        let using = using?;
        if using.len() == 1 {
            let span = query.using.as_ref().map_or(query.span, |u| u.span);
            self.report(
                Diagnostic::error("Q0323", "one liquid makes no blend")
                    .at(span, "only one")
                    .help("name two liquids or more, or leave `using` out for all solvents"),
            );
            return None;
        }
        Some(CheckedBlend {
            action: action?,
            target,
            layers,
            tried,
            using,
            allowing: allowing?,
            limit: query.limit.as_ref().map(|l| l.value as usize),
        })
    }

    /// Ids of liquids that were named, each once.
    fn liquids(&mut self, names: Option<&[Name]>) -> Option<Vec<String>> {
        let mut out = Vec::new();
        let mut whole = true;
        for name in names.unwrap_or_default() {
            match self.record(name, Kind::Agent) {
                Some(index) => {
                    let id = self.library.id(Kind::Agent, index)?.to_owned();
                    if !out.contains(&id) {
                        out.push(id);
                    }
                }
                None => whole = false,
            }
        }
        whole.then_some(out)
    }
}
