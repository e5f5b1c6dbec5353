//! `choose`, checked: what goes in, where, under what load, heat and light.

use super::Resolver;
use super::checked::{CheckedChoose, CheckedTest};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Comparison, Condition, Measure, Relation, TestKind, Value};
use crate::lang::reserved::Verb;
use crate::model::naming::{fold, folds_to};
use crate::model::scene::Barred;
use crate::model::{Criterion, Kind, Purpose, Record, Role, Site};
use crate::resolve::CheckedCondition;
use crate::span::Spanned;
use crate::units::{Dimension, Reading, Tag};

/// Words that people use for a criterion, besides its own.
const CRITERION_WORDS: [(&str, Criterion); 12] = [
    ("forecast", Criterion::Reversibility),
    ("removal", Criterion::Reversibility),
    ("custom", Criterion::Use),
    ("availability", Criterion::Use),
    ("stability", Criterion::Ageing),
    ("warmth", Criterion::Warmth),
    ("glasstransition", Criterion::Warmth),
    ("ri", Criterion::Index),
    ("index", Criterion::Index),
    ("safety", Criterion::Health),
    ("toxicity", Criterion::Health),
    ("opentime", Criterion::WorkingTime),
];

/// What `where` says of a choice.
#[derive(Default)]
struct Service {
    /// Warmest day, Celsius.
    warmest: Option<f64>,
    /// Light in a year, lux hours.
    lux_hours: Option<f64>,
    /// What is asked of the records.
    condition: Option<CheckedCondition>,
}

impl Resolver<'_> {
    pub(super) fn choice(&mut self, query: &ast::Choose) -> Option<CheckedChoose> {
        let thing = self.thing(&query.thing);
        let layers = self.stack(&query.subject);
        let to = match &query.to {
            Some(to) => self.stack(to),
            None => Some(Vec::new()),
        };
        let service = self.service(query.condition.as_ref())?;
        let load = match &query.carrying {
            Some(load) => Some(self.load(&load.value)?),
            None => None,
        };
        let years = match &query.reversible {
            Some(measure) => Some(self.years_asked(measure)?),
            None => None,
        };
        let thing = thing?;
        let (mut layers, mut to) = (layers?, to?);
        if let Some(bound) = &thing.what.binding {
            self.bound_elsewhere(bound, query.thing.name.span, Verb::Choose);
            return None;
        }
        let purpose = self.purpose(query, &thing.what.roles, &thing.what.among)?;
        if let Some(given) = &query.given {
            // What was tried may be said of either side.
            let side = layers.len();
            layers.append(&mut to);
            let _ = self.given(&given.value, &mut layers, &[]);
            to = layers.split_off(side);
        }
        let (barred, without_materials) = self.barred(query);
        let allowing = self.allowed(query);
        let rank = match &query.rank {
            Some(rank) => self.criteria(&rank.value)?,
            None => Vec::new(),
        };
        Some(CheckedChoose {
            purpose,
            site: thing.site.unwrap_or_else(|| usual_site(purpose)),
            thing,
            layers,
            to,
            load,
            warmest: service.warmest,
            lux_hours: service.lux_hours,
            years,
            condition: service.condition,
            barred,
            without_materials,
            allowing,
            rank,
            limit: query.limit.as_ref().map(|l| l.value as usize),
        })
    }

    /// What stands after `without`: what may not be used, and materials by number that may not go in.
    fn barred(&mut self, query: &ast::Choose) -> (Barred, Vec<usize>) {
        let mut barred = Barred::default();
        let mut materials = Vec::new();
        for name in query.without.iter().flat_map(|w| &w.value) {
            // A material by its name; a liquid of the same name is meant as a liquid.
            let text = name.text();
            let liquid = !self.library.named(&text, Some(Kind::Agent)).is_empty();
            match self.library.named(&text, Some(Kind::Material)).first() {
                Some((_, index)) if !liquid => materials.push(*index),
                _ => self.without(name, &mut barred),
            }
        }
        (barred, materials)
    }

    /// Liquids that the law restricts and that are permitted. A material is let in by its name:
    /// `choose epoxy for …`.
    fn allowed(&mut self, query: &ast::Choose) -> Vec<String> {
        let mut out = Vec::new();
        for name in query.allowing.iter().flat_map(|a| &a.value) {
            let found = self.library.named(&name.text(), Some(Kind::Agent));
            let id = found
                .first()
                .and_then(|(_, index)| self.library.id(Kind::Agent, *index));
            match id {
                Some(id) => out.push(id.to_owned()),
                None => self.not_allowed(name),
            }
        }
        out
    }

    /// `allowing` with something that is no liquid.
    fn not_allowed(&mut self, name: &ast::Name) {
        let text = name.text();
        if self.library.named(&text, Some(Kind::Material)).is_empty() {
            self.unknown_name(name, &[Kind::Agent]);
            return;
        }
        self.report(
            Diagnostic::error("Q0319", format!("`{text}` is a material, not a liquid"))
                .at(
                    name.span,
                    "`allowing` permits liquids that the law restricts",
                )
                .help(format!(
                    "ask for the material itself: `choose {text} for …` says what speaks against it"
                )),
        );
    }

    /// As what it goes in: what was asked for; for a material or family by name, what it serves as.
    fn purpose(&mut self, query: &ast::Choose, roles: &[Role], among: &[usize]) -> Option<Purpose> {
        let as_purpose = |role: &Role| match role {
            Role::Coating => Some(Purpose::ForCoating),
            // A pin is chosen as what holds a join is.
            Role::Adhesive | Role::Fastener => Some(Purpose::ForAdhesive),
            Role::Consolidant => Some(Purpose::ForConsolidant),
            Role::Fill => Some(Purpose::ForFill),
            Role::Overpaint | Role::MetalPaint | Role::Deposit => None,
        };
        if roles.is_empty() {
            let joins = query.to.is_some() || query.carrying.is_some();
            let first = among
                .first()
                .and_then(|m| self.library.record(Kind::Material, *m));
            // In the order of the record, not of the table.
            let own = match &first {
                Some(Record::Material(it)) => it.roles.as_slice(),
                _ => &[],
            };
            let first = own.iter().find_map(as_purpose);
            return Some(
                if joins && (own.is_empty() || own.contains(&Role::Adhesive)) {
                    Purpose::ForAdhesive
                } else {
                    first.unwrap_or(Purpose::ForAdhesive)
                },
            );
        }
        let found = roles.iter().find_map(as_purpose);
        if found.is_none() {
            self.report(
                Diagnostic::error("Q0317", "this is nothing that goes in anew")
                    .at(query.thing.name.span, "not put in")
                    .help("write coating, adhesive, consolidant or fill, a family, or a material"),
            );
        }
        found
    }

    /// Heat and light among the conditions: they are of the place and not of the record, and become
    /// rules of the choice. The rest is asked of the records.
    fn service(&mut self, condition: Option<&Spanned<Condition>>) -> Option<Service> {
        let mut out = Service::default();
        let Some(condition) = condition else {
            return Some(out);
        };
        let parts = match &condition.value {
            Condition::And(list) => list.as_slice(),
            other => std::slice::from_ref(other),
        };
        let mut rest = Vec::new();
        for part in parts {
            if let Some(measure) = light(part) {
                out.lux_hours = Some(self.lux_hours(measure)?);
                continue;
            }
            let checked = self.condition(part, &[Kind::Material])?;
            if let CheckedCondition::Test(CheckedTest::StableTo(quantity), _) = &checked {
                let day = quantity.base(Reading::Point).map(|b| b.high - 273.15);
                if let Some(day) = day.filter(|d| d.is_finite()) {
                    out.warmest = Some(out.warmest.map_or(day, |w| w.max(day)));
                    continue;
                }
            }
            rest.push(checked);
        }
        out.condition = match rest.len() {
            0 => None,
            1 => rest.pop(),
            _ => Some(CheckedCondition::And(rest)),
        };
        Some(out)
    }

    fn wrong(&mut self, measure: &Measure, what: &str, example: &str) {
        self.report(
            Diagnostic::error("Q0402", format!("{what} is wanted here"))
                .at(
                    measure.span,
                    format!("{} given", measure.value.unit.dimension().name()),
                )
                .help(format!("write for example `{example}`")),
        );
    }

    fn lux_hours(&mut self, measure: &Measure) -> Option<f64> {
        let dose = (measure.value.unit.dimension() == Dimension::LIGHT_DOSE)
            .then(|| measure.value.base(Reading::Difference))
            .flatten()
            .map(|b| b.high)
            .filter(|v| v.is_finite() && *v >= 0.0);
        let Some(dose) = dose else {
            self.wrong(measure, "a dose of light a year", "light is 150000 lux h");
            return None;
        };
        // The base unit of a dose is the lux second.
        Some(dose / 3600.0)
    }

    fn load(&mut self, load: &ast::Load) -> Option<(f64, Option<f64>)> {
        let dimension = load.load.value.unit.dimension();
        let high = load
            .load
            .value
            .base(Reading::Difference)
            .map(|b| b.high)
            .filter(|v| v.is_finite() && *v > 0.0);
        let newtons = match high {
            Some(kg) if dimension == Dimension::MASS => kg * crate::model::scene::GRAVITY,
            Some(n) if dimension == Dimension::FORCE => n,
            _ => {
                self.wrong(
                    &load.load,
                    "a weight or a force above nothing",
                    "carrying 4 kg on 10 cm2",
                );
                return None;
            }
        };
        let area = match &load.area {
            None => None,
            Some(measure) => {
                let low = measure
                    .value
                    .base(Reading::Difference)
                    .map(|b| b.low)
                    .filter(|v| v.is_finite() && *v > 0.0);
                if measure.value.unit.dimension() != Dimension::AREA || low.is_none() {
                    self.wrong(measure, "an area above nothing", "carrying 4 kg on 10 cm2");
                    return None;
                }
                low
            }
        };
        Some((newtons, area))
    }

    fn years_asked(&mut self, measure: &Measure) -> Option<f64> {
        let years = (measure.value.unit.dimension() == Dimension::tagged(Tag::Years))
            .then(|| measure.value.base(Reading::Difference))
            .flatten()
            .map(|b| b.high)
            .filter(|v| (0.0..=1000.0).contains(v));
        if years.is_none() {
            self.wrong(
                measure,
                "a span of years up to 1000",
                "reversible for 50 years",
            );
        }
        years
    }

    fn criteria(&mut self, names: &[ast::Name]) -> Option<Vec<Criterion>> {
        let mut out = Vec::new();
        let mut whole = true;
        for name in names {
            let folded = fold(&name.text());
            let found = Criterion::ALL
                .into_iter()
                .find(|c| folds_to(c.word(), &folded))
                .or_else(|| {
                    CRITERION_WORDS
                        .iter()
                        .find(|(w, _)| *w == folded)
                        .map(|(_, c)| *c)
                });
            if let Some(criterion) = found {
                if !out.contains(&criterion) {
                    out.push(criterion);
                }
                continue;
            }
            whole = false;
            let words: Vec<&str> = Criterion::ALL.iter().map(|c| c.word()).collect();
            let near = did_you_mean(&folded, words.clone());
            let diagnostic = Diagnostic::error(
                "Q0318",
                format!("a choice is not ranked by `{}`", name.text()),
            )
            .at(name.span, "no mark of the score");
            self.report(match near.first() {
                Some(best) => diagnostic
                    .help(format!("write `{best}`"))
                    .edit(name.span, (*best).to_owned()),
                None => diagnostic.help(format!("a choice is ranked by {}", words.join(", "))),
            });
        }
        whole.then_some(out)
    }
}

/// Where it usually sits.
const fn usual_site(purpose: Purpose) -> Site {
    match purpose {
        Purpose::ForAdhesive => Site::OpenJoint,
        Purpose::ForConsolidant => Site::Pores,
        Purpose::ForCoating | Purpose::ForFill | Purpose::ForBarrier => Site::Film,
    }
}

/// `light is 150000 lux h`: the dose of a year where the object stands.
fn light(condition: &Condition) -> Option<&Measure> {
    let Condition::Test(test) = condition else {
        return None;
    };
    match &test.kind {
        TestKind::Property {
            words,
            relation: Relation::Compare(how, Value::Quantity(measure)),
            when: None,
        } if matches!(how.value, Comparison::Is) && ast::join(words) == "light" => Some(measure),
        _ => None,
    }
}
