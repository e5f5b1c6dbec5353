//! What goes into the vessel: names to substances, and what they are dissolved in.

use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Agent};
use crate::model::naming::fold;
use crate::model::order::{Part, Strength, Substance};
use crate::model::{Kind, Record};
use crate::resolve::Resolver;

impl Resolver<'_> {
    /// The parts of a mixture with their shares.
    pub(super) fn parts(&mut self, agent: &Agent, buffer: bool, solute: bool) -> Option<Vec<Part>> {
        let names = &agent.mix.names;
        let shares = match &agent.mix.ratio {
            Some(ratio) => ratio.value.shares(),
            None => (names.len() == 1).then(|| vec![1.0]),
        };
        let Some(shares) = shares.filter(|s| s.len() == names.len()) else {
            let ones = vec!["1"; names.len().max(2)].join(":");
            let diagnostic = Diagnostic::error("Q0326", "the parts do not fit the names");
            let count = names.len();
            self.report(match &agent.mix.ratio {
                Some(ratio) => diagnostic
                    .at(ratio.span, format!("{count} named"))
                    .help("one number to each name"),
                None => diagnostic
                    .at(agent.mix.span, "in what parts?")
                    .help(format!("write them after the names: {ones}")),
            });
            return None;
        };
        let found: Vec<Option<Substance>> = names
            .iter()
            .map(|name| self.substance(name, buffer, solute))
            .collect();
        found
            .into_iter()
            .zip(names)
            .zip(shares)
            .map(|((is, name), share)| {
                Some(Part {
                    called: name.text(),
                    is: is?,
                    share,
                })
            })
            .collect()
    }

    pub(super) fn substance(
        &mut self,
        name: &ast::Name,
        buffer: bool,
        solute: bool,
    ) -> Option<Substance> {
        let text = name.text();
        let reagents = self.library.reagents();
        if solute {
            let whole = if fold(&text).ends_with("buffer") {
                text.clone()
            } else {
                format!("{text} buffer")
            };
            let asked = buffer || fold(&text).ends_with("buffer");
            if asked && let Some((id, _)) = reagents.buffer_named(&whole) {
                return Some(Substance::Buffer(id.to_owned()));
            }
            if buffer {
                let names = reagents.buffer.values().map(|b| b.name.as_str());
                let near = did_you_mean(&whole, names.clone()).first().cloned();
                let all: Vec<&str> = names.collect();
                let diagnostic =
                    Diagnostic::error("Q0301", format!("no buffer is called `{text}`"))
                        .at(name.span, "unknown buffer");
                self.report(match near {
                    Some(best) => diagnostic.help(format!("write `{best}`")),
                    None => diagnostic.help(format!("buffers on file: {}", all.join(", "))),
                });
                return None;
            }
            for kind in [Kind::Carrier, Kind::Material] {
                let found = self.library.named(&text, Some(kind)).first().copied();
                match found.and_then(|(_, index)| self.library.record(kind, index)) {
                    Some(Record::Carrier(it)) => return Some(Substance::Carrier(Box::new(it))),
                    Some(Record::Material(it)) => return Some(Substance::Material(Box::new(it))),
                    _ => {}
                }
            }
        }
        let found = self
            .library
            .named(&text, Some(Kind::Agent))
            .first()
            .copied();
        if let Some((_, index)) = found
            && let Some(Record::Agent(it)) = self.library.record(Kind::Agent, index)
        {
            return Some(Substance::Agent(Box::new(it)));
        }
        if solute && let Some((id, _)) = reagents.ingredient_named(&text) {
            return Some(Substance::Ingredient(id.to_owned()));
        }
        let kinds: &[Kind] = if solute {
            &[Kind::Material, Kind::Agent, Kind::Carrier]
        } else {
            &[Kind::Agent]
        };
        self.unknown_name(name, kinds);
        None
    }

    /// The liquid where none was named: water for what is weighed out for water, none for a mixture in
    /// parts.
    pub(super) fn usual_solvent(
        &mut self,
        query: &ast::Prepare,
        strength: Strength,
        solute: &[Part],
    ) -> Option<Vec<Part>> {
        if matches!(strength, Strength::PartsByVolume | Strength::PartsByWeight) {
            return Some(Vec::new());
        }
        let watery = solute.iter().all(|part| match &part.is {
            Substance::Buffer(_) | Substance::Ingredient(_) => true,
            Substance::Agent(agent) => self
                .library
                .reagents()
                .ingredient_of(&agent.head.id)
                .is_some(),
            _ => false,
        });
        if watery && let Some(water) = self.library.agent("water") {
            self.notes
                .push("the liquid was not stated: taken as water".to_owned());
            return Some(vec![Part {
                called: "water".to_owned(),
                is: Substance::Agent(Box::new(water)),
                share: 1.0,
            }]);
        }
        let mut known: Vec<String> = Vec::new();
        if let [
            Part {
                is: Substance::Material(material),
                ..
            },
        ] = solute
        {
            for id in material.head.facts.words("applied-in") {
                known.extend(self.library.agent(id).map(|a| a.head.names.name));
            }
        }
        let help = match known.as_slice() {
            [] => "for example: in water".to_owned(),
            names => format!("it is recorded to be put on in {}", names.join(", ")),
        };
        self.report(
            Diagnostic::error("Q0326", "the liquid is missing")
                .at(query.agent.span, "in what?")
                .help(help),
        );
        None
    }
}
