//! `with prior 40 % shellac, 10 % wax`: what the user holds probable before any test.

use super::Resolver;
use super::checked::Share;
use crate::diag::Diagnostic;
use crate::lang::ast::{Measure, Name};
use crate::span::{Span, Spanned};
use crate::units::{Dimension, Reading, Tag};

/// Most that shares may add up to: the rest is kept for what the corpus does not hold. The engine
/// keeps the same (`identify::NONE_PRIOR`); a test holds the two together.
pub(crate) const MOST: f64 = 0.90;

impl Resolver<'_> {
    /// The shares, each of a material or a family, none twice and no more than 90 % in all.
    pub(super) fn shares(&mut self, prior: &Spanned<Vec<(Measure, Name)>>) -> Option<Vec<Share>> {
        let mut out: Vec<Share> = Vec::new();
        for (measure, name) in &prior.value {
            let probability = self.probability(measure)?;
            let what = self.what(name)?;
            if what.among.is_empty() && what.families.is_empty() {
                self.report(
                    Diagnostic::error("Q0330", format!("`{}` is no one material", name.text()))
                        .at(name.span, "how is this to be shared out?")
                        .help("name a material or a family: `with prior 40 % shellac, 20 % wax`"),
                );
                return None;
            }
            let share = Share {
                materials: what.among,
                families: what.families,
                probability,
                called: name.text(),
            };
            if out
                .iter()
                .any(|s| s.materials == share.materials && s.families == share.families)
            {
                self.report(
                    Diagnostic::error("Q0330", format!("`{}` has a share already", share.called))
                        .at(name.span, "again here")
                        .help("give each material one share"),
                );
                return None;
            }
            out.push(share);
        }
        let total: f64 = out.iter().map(|s| s.probability).sum();
        if total > MOST + 1e-9 {
            self.too_much(prior.span, total);
            return None;
        }
        Some(out)
    }

    fn probability(&mut self, measure: &Measure) -> Option<f64> {
        let value = &measure.value;
        let per_cent = value.unit.dimension() == Dimension::tagged(Tag::Percent);
        let bounds = value.base(Reading::Point).filter(|_| per_cent);
        let Some(bounds) = bounds.filter(|b| b.low > 0.0 && b.high >= b.low) else {
            self.report(
                Diagnostic::error("Q0330", "a share is a percentage above nought")
                    .at(measure.span, "not a share")
                    .help("write for example `with prior 40 % shellac`"),
            );
            return None;
        };
        // Of a span the middle is taken.
        Some(f64::midpoint(bounds.low, bounds.high) / 100.0)
    }

    fn too_much(&mut self, span: Span, total: f64) {
        self.report(
            Diagnostic::error(
                "Q0330",
                format!("the shares add up to {:.0} %", 100.0 * total),
            )
            .at(span, format!("more than {:.0} %", 100.0 * MOST))
            .help(format!(
                "{:.0} % is kept for what the corpus does not hold: lower the shares",
                100.0 * (1.0 - MOST)
            )),
        );
    }
}
