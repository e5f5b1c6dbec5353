//! `with prior 40 % shellac, 10 % wax`: what the user holds probable before any test; and what an owner
//! or an old report calls it, which is no test either and counts the same way.

use super::Resolver;
use super::checked::Share;
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Measure, Name};
use crate::model::naming::fold;
use crate::span::{Span, Spanned};
use crate::units::{Dimension, Reading, Tag};

/// Most that shares may add up to: the rest is kept for what the corpus does not hold. The engine
/// keeps the same (`identify::NONE_PRIOR`); a test holds the two together.
pub(crate) const MOST: f64 = 0.90;

/// What a frame of the bench's words is `of` when it tells by what name the unknown goes.
const TOLD: &str = "told";

/// The test whose outcomes are classes of material as a laboratory writes them.
const CLASSES: &str = "ftir";

impl Resolver<'_> {
    /// Takes what the unknown is said to be (`is called wax`, `is recorded as shellac`) out of what was
    /// seen, and makes a share of it: how often such a name is right stands with its words in the speech of
    /// the corpus. What the user holds of the same material in so many words outranks it.
    pub(super) fn hearsay(
        &mut self,
        list: &[ast::Observation],
        shares: &mut Vec<Share>,
    ) -> Option<Vec<ast::Observation>> {
        let mut seen = Vec::with_capacity(list.len());
        for it in list {
            let folded: Vec<String> = it.words.iter().map(|w| fold(&w.text)).collect();
            let doubt = self.doubt(it);
            let frames = self.library.speech().frames.iter();
            let told = frames.filter(|frame| frame.of == TOLD).find_map(|frame| {
                let words = (1..folded.len())
                    .rev()
                    .find(|k| frame.says.contains(&folded[..*k].concat()))
                    .filter(|_| it.negated.is_none())?;
                Some((words, frame.outcomes.first()?.1))
            });
            let Some((words, probability)) = told else {
                seen.push(it.clone());
                continue;
            };
            let rest = &it.words[words..];
            let name = Name {
                words: rest.to_vec(),
                quoted: false,
                span: rest.first()?.span.to(rest.last()?.span),
            };
            let mut what = self.what(&name)?;
            self.widen(&name, &mut what.families);
            if what.among.is_empty() && what.families.is_empty() {
                self.report(
                    Diagnostic::error("Q0330", format!("`{}` names no one material", name.text()))
                        .at(name.span, "which one is meant?")
                        .help("name a material or a family: `is called shellac`, `is recorded as wax`"),
                );
                return None;
            }
            let known = |s: &Share| s.materials == what.among && s.families == what.families;
            if shares.iter().any(known) {
                continue;
            }
            let left = MOST - shares.iter().map(|s| s.probability).sum::<f64>();
            let probability = (probability * doubt).min(left);
            if probability <= 0.0 {
                continue;
            }
            self.notes.push(format!(
                "\"{}\": no test; counted like `with prior {:.0} % {}`",
                it.span.slice(self.text).trim(),
                100.0 * probability,
                name.text()
            ));
            shares.push(Share {
                materials: what.among,
                families: what.families,
                probability,
                called: name.text(),
            });
        }
        Some(seen)
    }

    /// What goes by the name of a family may be a class of several, as a laboratory writes it: protein is
    /// glue of skin and bone as well as casein and egg.
    fn widen(&self, name: &Name, families: &mut Vec<String>) {
        if families.is_empty() {
            return;
        }
        let said = fold(&name.text());
        let class = self.library.speech().answers(CLASSES);
        let known = &self.library.table().families;
        let whole = class.and_then(|it| it.get(&said)).unwrap_or_default();
        for (id, _) in whole.into_iter().filter(|(_, w)| *w >= 1.0) {
            if !families.contains(&id) && known.iter().any(|(family, _)| *family == id) {
                families.push(id);
            }
        }
    }

    /// How far the words of doubt in an observation let it count: `perhaps is recorded as wax`.
    fn doubt(&self, it: &ast::Observation) -> f64 {
        let speech = self.library.speech();
        let lead = it.lead.iter().flat_map(|name| &name.words);
        let notes = it.notes.iter().flat_map(|note| &note.words);
        lead.chain(notes)
            .filter_map(|word| speech.belief(&fold(&word.text)))
            .product()
    }

    /// The shares, each of a material or a family, none twice and no more than 90 % in all.
    pub(super) fn shares(&mut self, prior: &Spanned<Vec<(Measure, Name)>>) -> Option<Vec<Share>> {
        let mut out: Vec<Share> = Vec::new();
        for (measure, name) in &prior.value {
            let probability = self.probability(measure)?;
            let mut what = self.what(name)?;
            self.widen(name, &mut what.families);
            if what.among.is_empty() && what.families.is_empty() {
                self.report(
                    Diagnostic::error("Q0330", format!("`{}` names no one material", name.text()))
                        .at(name.span, "which one is meant?")
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
