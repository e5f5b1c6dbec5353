//! How strong it is to be, and of what it is thinned.

use super::MOST_LITRES;
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Measure};
use crate::model::order::{Strength, Wanted};
use crate::resolve::Resolver;
use crate::units::{Amount, Dimension, Reading, Tag, units_of};

impl Resolver<'_> {
    /// How much: a volume or a mass above zero.
    pub(super) fn wanted(&mut self, it: &Measure) -> Option<Wanted> {
        let dimension = it.value.unit.dimension();
        let bounds = it.value.base(Reading::Point);
        let amount = match dimension {
            Dimension::VOLUME => bounds.map(|b| (b.high * 1e6, Wanted::Volume(b.high * 1e6))),
            Dimension::MASS => bounds.map(|b| (b.high * 1e3, Wanted::Mass(b.high * 1e3))),
            _ => {
                self.wrong_unit(
                    &it.value,
                    it.span,
                    "the amount",
                    &[Dimension::VOLUME, Dimension::MASS],
                );
                return None;
            }
        };
        match amount {
            Some((size, wanted)) if (1e-3..=MOST_LITRES * 1e3).contains(&size) => Some(wanted),
            _ => {
                self.report(
                    Diagnostic::error("Q0325", format!("`{}` is no amount", it.value.literal))
                        .at(it.span, "not an amount of the bench")
                        .help(format!(
                            "above zero, at most {MOST_LITRES} litres or kilograms"
                        )),
                );
                None
            }
        }
    }

    pub(super) fn strength(&mut self, query: &ast::Prepare, by_weight: bool) -> Option<Strength> {
        let Some(it) = &query.strength else {
            if query.agent.mix.ratio.is_some() {
                return Some(if by_weight {
                    Strength::PartsByWeight
                } else {
                    Strength::PartsByVolume
                });
            }
            self.report(
                Diagnostic::error("Q0326", "the strength is missing")
                    .at(query.agent.span, "how strong?")
                    .help("for example: 250 ml of 8 % w/v ...; parts stand after the names: ethanol + acetone 1:1"),
            );
            return None;
        };
        let dimension = it.value.unit.dimension();
        let value = match it.value.amount {
            Amount::Exact(value) => value,
            _ => {
                self.report(
                    Diagnostic::error("Q0325", format!("`{}` is a range", it.value.literal))
                        .at(it.span, "which of them is weighed?")
                        .help("one strength at a time"),
                );
                return None;
            }
        };
        let base = it.value.base(Reading::Point).map_or(value, |b| b.low);
        let (strength, most) = if dimension == Dimension::tagged(Tag::WeightByVolume) {
            (Strength::WeightByVolume(value), 100.0)
        } else if dimension == Dimension::tagged(Tag::WeightByWeight) {
            (Strength::WeightByWeight(value), 99.0)
        } else if dimension == Dimension::tagged(Tag::VolumeByVolume) {
            (Strength::VolumeByVolume(value), 99.0)
        } else if dimension == Dimension::DENSITY {
            (Strength::WeightByVolume(base / 10.0), 1000.0)
        } else if dimension == Dimension::MOLARITY {
            (Strength::Molar(base / 1e3), 20.0)
        } else if dimension == Dimension::CONDUCTIVITY {
            (Strength::Conductivity(base * 1e4), 1e5)
        } else {
            self.strength_kind(it);
            return None;
        };
        let size = match strength {
            Strength::Molar(m) => m,
            Strength::Conductivity(c) => c,
            _ if dimension == Dimension::DENSITY => base,
            _ => value,
        };
        if size <= 0.0 || size > most {
            let help = if size <= 0.0 {
                "a strength is above zero".to_owned()
            } else {
                match strength {
                    Strength::WeightByVolume(_) => {
                        "more than 100 g in 100 ml is no solution of the bench; parts by weight are written after the names: resin + solvent 3:1 (by weight)".to_owned()
                    }
                    Strength::Molar(_) => "at most 20 mol/l".to_owned(),
                    Strength::Conductivity(_) => "at most 100 mS/cm".to_owned(),
                    _ => "below 100: some of it is solvent".to_owned(),
                }
            };
            self.report(
                Diagnostic::error("Q0325", format!("`{}` is no strength", it.value.literal))
                    .at(it.span, "not a strength of the bench")
                    .help(help),
            );
            return None;
        }
        Some(strength)
    }

    /// A strength without its kind, or in a unit that measures something else.
    pub(super) fn strength_kind(&mut self, it: &Measure) {
        let dimension = it.value.unit.dimension();
        if dimension == Dimension::tagged(Tag::Percent) || it.value.unit.is_none() {
            let number = it.value.literal.trim_end_matches('%').trim_end().to_owned();
            self.report(
                Diagnostic::error("Q0326", format!("`{}` of what?", it.value.literal))
                    .at(it.span, "its kind is missing")
                    .note("a recipe without its basis is made in several ways, which differ")
                    .help(format!(
                        "{number} % w/v (grams in 100 ml), {number} % w/w (grams in 100 g) or {number} % v/v (ml in 100 ml)"
                    )),
            );
            return;
        }
        let fit = [
            Dimension::tagged(Tag::WeightByVolume),
            Dimension::tagged(Tag::WeightByWeight),
            Dimension::tagged(Tag::VolumeByVolume),
            Dimension::DENSITY,
            Dimension::MOLARITY,
            Dimension::CONDUCTIVITY,
        ];
        let units: Vec<&str> = fit.iter().flat_map(|d| units_of(*d)).collect();
        self.report(
            Diagnostic::error("Q0403", "a strength is a share or an amount in a volume")
                .at(
                    it.span,
                    format!("`{}` is {}", it.value.literal, dimension.name()),
                )
                .help(format!("units: {}", units.join(", "))),
        );
    }

    /// The strength of the stock, in the kind of what is wanted.
    pub(super) fn stock(&mut self, it: &Measure, wanted: Strength) -> Option<f64> {
        let dimension = it.value.unit.dimension();
        let value = match it.value.amount {
            Amount::Exact(value) => value,
            _ => f64::NAN,
        };
        let base = it.value.base(Reading::Point).map_or(value, |b| b.low);
        let stock = match wanted {
            Strength::WeightByVolume(_) if dimension == Dimension::DENSITY => Some(base / 10.0),
            Strength::WeightByVolume(_) if dimension == Dimension::tagged(Tag::WeightByVolume) => {
                Some(value)
            }
            Strength::WeightByWeight(_) if dimension == Dimension::tagged(Tag::WeightByWeight) => {
                Some(value)
            }
            Strength::VolumeByVolume(_) if dimension == Dimension::tagged(Tag::VolumeByVolume) => {
                Some(value)
            }
            Strength::Molar(_) if dimension == Dimension::MOLARITY => Some(base / 1e3),
            _ => None,
        };
        let Some(stock) = stock else {
            self.report(
                Diagnostic::error(
                    "Q0403",
                    "the stock and what is made of it want the same kind of strength",
                )
                .at(
                    it.span,
                    format!("`{}` is {}", it.value.literal, dimension.name()),
                )
                .help("both in % w/v, both in % w/w, both in % v/v or both in mol/l"),
            );
            return None;
        };
        let target = match wanted {
            Strength::WeightByVolume(s)
            | Strength::WeightByWeight(s)
            | Strength::VolumeByVolume(s)
            | Strength::Molar(s) => s,
            _ => f64::NAN,
        };
        if stock >= target && stock <= 100.0 {
            return Some(stock);
        }
        self.report(
            Diagnostic::error(
                "Q0325",
                format!("a stock of `{}` makes no such strength", it.value.literal),
            )
            .at(it.span, "weaker than what is wanted, or no strength")
            .help("a stock is diluted, never strengthened: name one at least as strong"),
        );
        None
    }
}
