//! What is weighed and measured with, and what a buffer wants beside.

use super::{Bounds, End, TOOLS};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Measure, Tool};
use crate::model::naming::fold;
use crate::model::order::{Figure, Gel, Order, Strength, Substance, Vessel};
use crate::model::{Kind, Record};
use crate::resolve::Resolver;
use crate::units::{Dimension, Tag};

impl Resolver<'_> {
    /// A balance, a vessel or a gelling agent; whether it is the last.
    pub(super) fn order_tool(&mut self, tool: &Tool, order: &mut Order) -> Option<bool> {
        let folded = fold(&ast::join(&tool.words));
        if TOOLS.contains(&folded.as_str()) {
            self.measuring_tool(tool, &folded, order)?;
            return Some(false);
        }
        order.gel = Some(self.gelling_agent(tool)?);
        Some(true)
    }

    /// A balance with what it reads to, or a vessel with its limit of error.
    fn measuring_tool(&mut self, tool: &Tool, folded: &str, order: &mut Order) -> Option<()> {
        let (dimension, what, bounds) = if folded == "balance" {
            let grams = Bounds {
                least: 1e-6,
                most: 100.0,
                size: 1e-3,
                unit: "g",
            };
            (Dimension::MASS, "what a balance reads to", grams)
        } else {
            let millilitres = Bounds {
                least: 1e-4,
                most: 100.0,
                size: 1e-6,
                unit: "ml",
            };
            let what = "the limit of error of a vessel";
            (Dimension::VOLUME, what, millilitres)
        };
        let size = match &tool.measure {
            Some(it) => Some(self.measure(it, dimension, what, bounds, End::High)?),
            None => None,
        };
        match (folded, size) {
            ("balance", Some(digit)) => order.balance = Figure::stated(digit),
            ("cylinder", size) => order.vessel = Vessel::Cylinder(size),
            ("flask", size) => order.vessel = Vessel::Flask(size),
            _ => {
                self.report(
                    Diagnostic::error("Q0326", "what the balance reads to is missing")
                        .at(tool.span, "to what?")
                        .help("for example: with balance 0.1 g"),
                );
                return None;
            }
        }
        Some(())
    }

    /// A gelling agent, with its share in per cent where that is stated.
    fn gelling_agent(&mut self, tool: &Tool) -> Option<Gel> {
        let named = self
            .library
            .named(&ast::join(&tool.words), Some(Kind::Carrier));
        let found = named.first().copied();
        let Some(Record::Carrier(carrier)) =
            found.and_then(|(_, index)| self.library.record(Kind::Carrier, index))
        else {
            self.unknown_tool(tool, &TOOLS);
            return None;
        };
        let share = match &tool.measure {
            Some(it) => Some(self.share_of_gel(it)?),
            None => None,
        };
        Some(Gel {
            carrier: Box::new(carrier),
            share,
        })
    }

    fn share_of_gel(&mut self, it: &Measure) -> Option<f64> {
        let what = "the share of a gelling agent";
        let percent = [Tag::Percent, Tag::WeightByVolume, Tag::WeightByWeight];
        let dimension = it.value.unit.dimension();
        if !percent.contains(&dimension.tag) {
            let wanted = percent.map(Dimension::tagged);
            self.wrong_unit(&it.value, it.span, what, &wanted);
            return None;
        }
        let bounds = Bounds {
            least: 0.01,
            most: 60.0,
            size: 1.0,
            unit: "%",
        };
        self.measure(it, dimension, what, bounds, End::High)
    }

    pub(super) fn unknown_tool(&mut self, tool: &Tool, known: &[&str]) {
        let text = ast::join(&tool.words);
        let diagnostic = Diagnostic::error("Q0324", format!("`{text}` is no tool of this work"))
            .at(tool.span, "unknown here");
        let liquid = !self.library.named(&text, Some(Kind::Agent)).is_empty();
        let near = did_you_mean(&text, known.iter().copied()).first().cloned();
        self.report(if let Some(best) = near {
            diagnostic.help(format!("write `{best}`"))
        } else if liquid {
            diagnostic.help(format!("a liquid stands after `in`: in {text}"))
        } else {
            diagnostic.help(format!(
                "known: {}{}",
                known.join(", "),
                if known.len() > 1 {
                    ", and the gelling agents (`find carrier` lists them)"
                } else {
                    ""
                }
            ))
        });
    }

    /// A buffer wants its pH, and an amount of the buffer or a conductivity.
    pub(super) fn dose_of_buffer(&mut self, query: &ast::Prepare, order: &Order) -> Option<()> {
        let buffers = order
            .solute
            .iter()
            .filter(|p| matches!(p.is, Substance::Buffer(_)))
            .count();
        if buffers == 0 {
            return Some(());
        }
        let (span, message, help) = if order.solute.len() > 1 {
            (
                query.agent.mix.span,
                "a buffer is made by itself",
                "one buffer a statement; what else goes in is added after its pH was set",
            )
        } else if order.ph.is_none() {
            (
                query.agent.mix.span,
                "the pH is missing",
                "for example: 0.05 mol/l citrate buffer (pH 6.5)",
            )
        } else if !matches!(
            order.strength,
            Strength::Molar(_) | Strength::Conductivity(_)
        ) {
            (
                query.strength.as_ref().map_or(query.agent.span, |s| s.span),
                "the strength of a buffer is an amount in a volume",
                "in mol/l or mmol/l of the buffer, or in uS/cm",
            )
        } else {
            return Some(());
        };
        self.report(
            Diagnostic::error("Q0326", message)
                .at(span, "not enough to weigh by")
                .help(help),
        );
        None
    }
}
