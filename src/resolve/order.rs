//! `prepare` and `ventilate`: names to substances, units to what the bench reckons in, and the
//! figures that no bench has.

use super::Resolver;
use super::checked::{CheckedPrepare, CheckedVentilate};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Agent, Measure, Note, NoteValue, Tool};
use crate::model::naming::fold;
use crate::model::order::{Evaporation, Gel, Order, Part, Strength, Substance, Vessel, Wanted};
use crate::model::{Kind, Record};
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
            balance: (BALANCE, false),
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
            (1.0 / 3600.0, 1000.0, 3600.0, "h"),
            false,
        );
        let room = self.measure(
            &query.space,
            Dimension::VOLUME,
            "the room",
            (0.1, 1e6, 1.0, "m3"),
            false,
        );
        let air = self.air(&query.rate, room);
        let mut mixing = (MIXING, false);
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
                Some(factor) => mixing = (factor, true),
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
                (0.0, 1e7, 1.0 / 3600.0, "m3/h"),
                false,
            );
        }
        let changes = self.measure(
            rate,
            Dimension::tagged(Tag::AirChanges),
            "the air",
            (0.0, 1000.0, 1.0, "air changes"),
            false,
        )?;
        room.map(|room| changes * room)
    }

    /// One number in its unit, between two bounds; of a range the end that errs on the safe side.
    /// `bounds`: least, most, size of the unit in the base, the unit.
    fn measure(
        &mut self,
        it: &Measure,
        dimension: Dimension,
        what: &str,
        bounds: (f64, f64, f64, &str),
        highest: bool,
    ) -> Option<f64> {
        let (least, most, size, unit) = bounds;
        if it.value.unit.dimension() != dimension {
            self.wrong_unit(&it.value, it.span, what, &[dimension]);
            return None;
        }
        let base = it.value.base(Reading::Point)?;
        let value = if highest { base.high } else { base.low } / size;
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

    /// How much: a volume or a mass above zero.
    fn wanted(&mut self, it: &Measure) -> Option<Wanted> {
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

    fn strength(&mut self, query: &ast::Prepare, by_weight: bool) -> Option<Strength> {
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
    fn strength_kind(&mut self, it: &Measure) {
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
    fn stock(&mut self, it: &Measure, wanted: Strength) -> Option<f64> {
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
        let lead = fold(&ast::join(&note.lead));
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
                let _ = lead;
                self.notes
                    .push(format!("\"{plain}\": kept as a remark, not reckoned with"));
            }
        }
    }

    /// The parts of a mixture with their shares.
    fn parts(&mut self, agent: &Agent, buffer: bool, solute: bool) -> Option<Vec<Part>> {
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

    fn substance(&mut self, name: &ast::Name, buffer: bool, solute: bool) -> Option<Substance> {
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
    fn usual_solvent(
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

    /// A balance, a vessel or a gelling agent; whether it is the last.
    fn order_tool(&mut self, tool: &Tool, order: &mut Order) -> Option<bool> {
        let text = ast::join(&tool.words);
        let folded = fold(&text);
        if TOOLS.contains(&folded.as_str()) {
            let (dimension, what, most) = if folded == "balance" {
                (Dimension::MASS, "what a balance reads to", 100.0)
            } else {
                (Dimension::VOLUME, "the limit of error of a vessel", 100.0)
            };
            let size = match &tool.measure {
                Some(it) if dimension == Dimension::MASS => {
                    Some(self.measure(it, dimension, what, (1e-6, most, 1e-3, "g"), true)?)
                }
                Some(it) => {
                    Some(self.measure(it, dimension, what, (1e-4, most, 1e-6, "ml"), true)?)
                }
                None => None,
            };
            match (folded.as_str(), size) {
                ("balance", Some(digit)) => order.balance = (digit, true),
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
            return Some(false);
        }
        let found = self
            .library
            .named(&text, Some(Kind::Carrier))
            .first()
            .copied();
        let Some(Record::Carrier(carrier)) =
            found.and_then(|(_, index)| self.library.record(Kind::Carrier, index))
        else {
            self.unknown_tool(tool, &TOOLS);
            return None;
        };
        let share = match &tool.measure {
            None => None,
            Some(it) => {
                let percent = [Tag::Percent, Tag::WeightByVolume, Tag::WeightByWeight];
                let dimension = it.value.unit.dimension();
                if !percent.contains(&dimension.tag) {
                    self.wrong_unit(
                        &it.value,
                        it.span,
                        "the share of a gelling agent",
                        &percent.map(Dimension::tagged),
                    );
                    return None;
                }
                Some(self.measure(
                    it,
                    dimension,
                    "the share of a gelling agent",
                    (0.01, 60.0, 1.0, "%"),
                    true,
                )?)
            }
        };
        order.gel = Some(Gel {
            carrier: Box::new(carrier),
            share,
        });
        Some(true)
    }

    fn unknown_tool(&mut self, tool: &Tool, known: &[&str]) {
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
    fn dose_of_buffer(&mut self, query: &ast::Prepare, order: &Order) -> Option<()> {
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
