//! `prepare` and `ventilate`: names to substances, units to what the bench reckons in, and the
//! figures that no bench has.

mod strength;
mod substance;
mod tool;

use super::Resolver;
use super::checked::{CheckedPrepare, CheckedVentilate};
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Measure, Note, NoteValue};
use crate::model::Kind;
use crate::model::naming::fold;
use crate::model::order::{Evaporation, Figure, Order, Vessel};
use crate::span::Span;
use crate::units::{Amount, Dimension, Quantity, Reading, Tag, units_of};

/// What a balance reads to when nobody says, grams.
const BALANCE: f64 = 0.01;
/// Mixing factor when nobody says: a studio with a few obstacles and no fan (common practice: 3 to 10
/// for rooms, 1 for perfect mixing).
const MIXING: f64 = 3.0;
/// Most liquid that is reckoned with, litres.
const MOST_LITRES: f64 = 10_000.0;
/// Tools that a solution is made with.
const TOOLS: [&str; 3] = ["balance", "cylinder", "flask"];

/// Between what figures a measure of the bench lies.
struct Bounds {
    least: f64,
    most: f64,
    /// The unit in the base unit of its dimension.
    size: f64,
    unit: &'static str,
}

/// The end of a range that errs on the safe side.
enum End {
    Low,
    High,
}

/// What was said in parentheses.
#[derive(Default)]
struct Said {
    ph: Option<f64>,
    celsius: Option<f64>,
    by_weight: bool,
    stock: Option<Measure>,
}

impl Resolver<'_> {
    pub(super) fn order(&mut self, query: &ast::Prepare) -> Option<CheckedPrepare> {
        let mut said = Said::default();
        for agent in std::iter::once(&query.agent).chain(&query.solvent) {
            for note in &agent.notes {
                self.order_note(note, &mut said);
            }
        }
        let wanted = self.wanted(&query.amount);
        let strength = self.strength(query, said.by_weight);
        let solute = self.parts(&query.agent, said.ph.is_some(), true);
        let solvent = match &query.solvent {
            Some(agent) => self.parts(agent, false, false),
            None => Some(Vec::new()),
        };
        let celsius = match &query.at {
            Some(at) => Some(self.celsius(at)?),
            None => said.celsius,
        };
        let (strength, solute, mut solvent) = (strength?, solute?, solvent?);
        if solvent.is_empty() {
            solvent = self.usual_solvent(query, strength, &solute)?;
        }
        let stock = match query.stock.as_ref().or(said.stock.as_ref()) {
            Some(stock) => Some(self.stock(stock, strength)?),
            None => None,
        };
        let mut order = Order {
            wanted: wanted?,
            strength,
            typed: (
                query.amount.value.literal.clone(),
                query
                    .strength
                    .as_ref()
                    .map_or_else(String::new, |s| s.value.literal.clone()),
            ),
            solute,
            solvent,
            stock,
            ph: said.ph,
            celsius,
            balance: Figure::supposed(BALANCE),
            vessel: Vessel::Cylinder(None),
            gel: None,
            permitted: Vec::new(),
        };
        let mut gel_at = query.agent.span;
        for tool in query.tools.iter().flat_map(|t| &t.value) {
            if self.order_tool(tool, &mut order)? {
                gel_at = tool.span;
            }
        }
        for name in query.allowing.iter().flat_map(|list| &list.value) {
            let index = self.record(name, Kind::Agent)?;
            order
                .permitted
                .extend(self.library.id(Kind::Agent, index).map(str::to_owned));
        }
        self.dose_of_buffer(query, &order)?;
        let solvent_at = query.solvent.as_ref().map_or(query.agent.span, |s| s.span);
        Some(CheckedPrepare {
            amount_at: query.amount.span,
            strength_at: query.strength.as_ref().map_or(query.agent.span, |s| s.span),
            solute_at: query.agent.mix.span,
            solvent_at,
            stock_at: query.stock.as_ref().map_or(query.agent.span, |s| s.span),
            celsius_at: query.at.as_ref().map_or(solvent_at, |s| s.span),
            gel_at,
            order,
        })
    }

    pub(super) fn evaporation(&mut self, query: &ast::Ventilate) -> Option<CheckedVentilate> {
        let mut ignored = Said::default();
        for note in &query.agent.notes {
            self.order_note(note, &mut ignored);
        }
        let wanted = self.wanted(&query.amount);
        let parts = self.parts(&query.agent, false, false);
        let hours = self.measure(
            &query.during,
            Dimension::TIME,
            "the time",
            Bounds {
                least: 1.0 / 3600.0,
                most: 1000.0,
                size: 3600.0,
                unit: "h",
            },
            End::Low,
        );
        let room = self.measure(
            &query.space,
            Dimension::VOLUME,
            "the room",
            Bounds {
                least: 0.1,
                most: 1e6,
                size: 1.0,
                unit: "m3",
            },
            End::Low,
        );
        let air = self.air(&query.rate, room);
        let mut mixing = Figure::supposed(MIXING);
        for tool in query.tools.iter().flat_map(|t| &t.value) {
            let words = fold(&ast::join(&tool.words));
            if !matches!(words.as_str(), "mixing" | "mixingfactor") {
                self.unknown_tool(tool, &["mixing"]);
                return None;
            }
            let factor = tool.measure.as_ref().and_then(|m| match m.value.amount {
                Amount::Exact(value) if m.value.unit.is_none() => Some(value),
                _ => None,
            });
            match factor.filter(|f| (1.0..=10.0).contains(f)) {
                Some(factor) => mixing = Figure::stated(factor),
                None => {
                    self.report(
                        Diagnostic::error("Q0325", "a mixing factor is a number from 1 to 10")
                            .at(tool.span, "not one")
                            .help("1 is perfect mixing, 3 a usual room, 10 a dead corner: with mixing 3"),
                    );
                    return None;
                }
            }
        }
        Some(CheckedVentilate {
            evaporation: Evaporation {
                wanted: wanted?,
                typed: query.amount.value.literal.clone(),
                parts: parts?,
                hours: hours?,
                room: room?,
                air: air?,
                mixing,
            },
            amount_at: query.amount.span,
            liquid_at: query.agent.mix.span,
        })
    }

    /// Air in m³/h, from air changes or a flow. None at all is a closed room.
    fn air(&mut self, rate: &Measure, room: Option<f64>) -> Option<f64> {
        if rate.value.unit.dimension() == Dimension::FLOW {
            return self.measure(
                rate,
                Dimension::FLOW,
                "the air",
                Bounds {
                    least: 0.0,
                    most: 1e7,
                    size: 1.0 / 3600.0,
                    unit: "m3/h",
                },
                End::Low,
            );
        }
        let changes = self.measure(
            rate,
            Dimension::tagged(Tag::AirChanges),
            "the air",
            Bounds {
                least: 0.0,
                most: 1000.0,
                size: 1.0,
                unit: "air changes",
            },
            End::Low,
        )?;
        room.map(|room| changes * room)
    }

    /// One number in its unit, between two bounds; of a range the end that errs on the safe side.
    fn measure(
        &mut self,
        it: &Measure,
        dimension: Dimension,
        what: &str,
        Bounds {
            least,
            most,
            size,
            unit,
        }: Bounds,
        end: End,
    ) -> Option<f64> {
        if it.value.unit.dimension() != dimension {
            self.wrong_unit(&it.value, it.span, what, &[dimension]);
            return None;
        }
        let base = it.value.base(Reading::Point)?;
        let value = match end {
            End::Low => base.low,
            End::High => base.high,
        } / size;
        if base.low.is_finite() && base.high.is_finite() && (least..=most).contains(&value) {
            return Some(value);
        }
        self.report(
            Diagnostic::error("Q0325", format!("{what} cannot be `{}`", it.value.literal))
                .at(it.span, "not a figure of the bench")
                .help(format!("from {least} to {most} {unit}")),
        );
        None
    }

    fn wrong_unit(&mut self, it: &Quantity, span: Span, what: &str, fit: &[Dimension]) {
        let units: Vec<&str> = fit.iter().flat_map(|d| units_of(*d)).collect();
        let wrong = if it.unit.is_none() {
            "the unit is missing".to_owned()
        } else {
            format!("`{}` is {}", it.literal, it.unit.dimension().name())
        };
        let names: Vec<&str> = fit.iter().map(|d| d.name()).collect();
        self.report(
            Diagnostic::error("Q0403", format!("{what} is {}", names.join(" or ")))
                .at(span, wrong)
                .help(format!("units: {}", units.join(", "))),
        );
    }

    fn celsius(&mut self, it: &Measure) -> Option<f64> {
        if it.value.unit.dimension() != Dimension::TEMPERATURE {
            self.wrong_unit(
                &it.value,
                it.span,
                "what stands after `at`",
                &[Dimension::TEMPERATURE],
            );
            return None;
        }
        let celsius = it.value.base(Reading::Point).map(|b| b.high - 273.15);
        if let Some(celsius) = celsius.filter(|c| (-20.0..=150.0).contains(c)) {
            return Some(celsius);
        }
        self.report(
            Diagnostic::error(
                "Q0325",
                format!("no solution is made at `{}`", it.value.literal),
            )
            .at(it.span, "not a temperature of the bench")
            .help("from -20 to 150 C"),
        );
        None
    }

    /// What parentheses say of a solution: its pH, its temperature, how its parts are meant. The rest is
    /// kept as a remark.
    fn order_note(&mut self, note: &Note, said: &mut Said) {
        let words = fold(&ast::join(&note.words));
        let value = match &note.value {
            Some(NoteValue::Quantity(measure)) => Some(measure),
            _ => None,
        };
        let number = value.and_then(|m| match m.value.amount {
            Amount::Exact(value) if m.value.unit.is_none() => Some(value),
            _ => None,
        });
        match (words.as_str(), value) {
            ("ph", Some(measure)) => match number.filter(|n| (0.0..=14.0).contains(n)) {
                Some(ph) => said.ph = Some(ph),
                None => self.report(
                    Diagnostic::error("Q0325", "a pH is a number from 0 to 14")
                        .at(measure.span, "no pH")
                        .help("for example (pH 6.5)"),
                ),
            },
            ("weight", None) => said.by_weight = true,
            ("volume", None) => said.by_weight = false,
            (_, Some(measure)) if measure.value.unit.dimension() == Dimension::TEMPERATURE => {
                said.celsius = self.celsius(measure);
            }
            ("stock" | "", Some(measure))
                if matches!(
                    measure.value.unit.dimension().tag,
                    Tag::WeightByVolume | Tag::WeightByWeight | Tag::VolumeByVolume
                ) =>
            {
                said.stock = Some(measure.clone());
            }
            _ => {
                let plain = note.span.slice(self.text);
                self.notes
                    .push(format!("\"{plain}\": kept as a remark, not reckoned with"));
            }
        }
    }
}
