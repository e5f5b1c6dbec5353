//! Single figures of records, with what they rest on.

use crate::answer::Shown;
use crate::gate::{Refused, Vessel};
use crate::model::order::{Part, Place, Substance, Trouble};
use crate::model::reagent::{self, Ingredient};
use crate::model::{Agent, Fact, Facts, Head, Library, Value};
use crate::units::{Reading, Unit};

/// Figures that a sum used, each once.
#[derive(Default)]
pub(super) struct Ledger {
    pub(super) shown: Vec<Shown>,
}

impl Ledger {
    /// Keeps a fact, and says in what sum it stands.
    pub(super) fn keep(&mut self, head: &Head, key: &str, fact: &Fact) {
        let shown = Shown {
            field: format!("{}: {key}", head.names.name),
            text: text(fact),
            basis: fact.basis.word().to_owned(),
            sources: fact.basis.sources(),
            place: Some(fact.place.clone()),
            ..Shown::default()
        };
        if !self.shown.iter().any(|s| s.field == shown.field) {
            self.shown.push(shown);
        }
    }

    /// Keeps a figure that stands among the reagents.
    pub(super) fn reagent(&mut self, name: &str, what: &str, value: String, by: &str) {
        let basis = reagent::basis(by);
        let field = format!("{name}: {what}");
        if !self.shown.iter().any(|s| s.field == field) {
            self.shown.push(Shown {
                field,
                text: value,
                basis: basis.word().to_owned(),
                sources: basis.sources(),
                place: None,
                ..Shown::default()
            });
        }
    }

    /// Keeps the molar mass of a jar.
    pub(super) fn molar_mass(&mut self, it: &Ingredient) {
        self.reagent(
            &it.name,
            "molar mass",
            format!("{} g/mol", it.molar_mass),
            &it.by,
        );
    }

    /// A recorded figure in a unit: the middle of a range. `None` where it is not on file.
    pub(super) fn figure(&mut self, head: &Head, key: &str, unit: &str) -> Option<f64> {
        let unit = Unit::from_symbol(unit)?;
        let fact = head.facts.first(key)?;
        let Value::Measure(it) = &fact.value else {
            return None;
        };
        let bounds = it.convert(unit, Reading::Point)?;
        if !(bounds.low.is_finite() && bounds.high.is_finite()) {
            return None;
        }
        self.keep(head, key, fact);
        Some(f64::midpoint(bounds.low, bounds.high))
    }
}

fn text(fact: &Fact) -> String {
    match &fact.value {
        Value::Measure(it) => it.literal.clone(),
        Value::Words(words) => words.join(", "),
        Value::Text(text) => text.clone(),
        _ => String::new(),
    }
}

/// Density of a substance, g/ml; of a jar that is taken as a solution, that of water.
pub(super) fn density(it: &Substance, ledger: &mut Ledger) -> Option<f64> {
    match it {
        Substance::Material(m) => ledger.figure(&m.head, "density", "g/ml"),
        Substance::Agent(a) => ledger.figure(&a.head, "density", "g/ml"),
        Substance::Carrier(_) | Substance::Ingredient(_) | Substance::Buffer(_) => None,
    }
}

/// What a substance is called.
pub(super) fn name_of(library: &dyn Library, it: &Substance) -> String {
    match it {
        Substance::Material(m) => m.head.names.name.clone(),
        Substance::Agent(a) => a.head.names.name.clone(),
        Substance::Carrier(c) => c.head.names.name.clone(),
        Substance::Ingredient(id) => library
            .reagents()
            .ingredient
            .get(id)
            .map_or_else(|| id.clone(), |i| i.name.clone()),
        Substance::Buffer(id) => library
            .reagents()
            .buffer
            .get(id)
            .map_or_else(|| id.clone(), |b| b.name.clone()),
    }
}

/// The names of several parts with their parts: `ethanol + acetone 1:1`.
pub(super) fn names_of(library: &dyn Library, parts: &[Part]) -> String {
    let names: Vec<String> = parts.iter().map(|p| name_of(library, &p.is)).collect();
    if parts.len() < 2 {
        return names.concat();
    }
    let least = parts.iter().map(|p| p.share).fold(f64::INFINITY, f64::min);
    let ratio: Vec<String> = parts
        .iter()
        .map(|p| {
            let whole = p.share / least;
            let text = format!("{whole:.2}");
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        })
        .collect();
    format!("{} {}", names.join(" + "), ratio.join(":"))
}

/// Liquids with recorded mixtures taken apart: each with its share by volume.
pub(super) fn liquids(library: &dyn Library, parts: &[Part]) -> Vec<(Agent, f64)> {
    let mut out: Vec<(Agent, f64)> = Vec::new();
    for part in parts {
        if let Substance::Agent(agent) = &part.is {
            apart(library, agent, part.share, 0, &mut out);
        }
    }
    out
}

fn apart(
    library: &dyn Library,
    agent: &Agent,
    share: f64,
    depth: usize,
    out: &mut Vec<(Agent, f64)>,
) {
    let whole: f64 = agent.parts.iter().map(|(_, p)| p).sum();
    let known: Vec<(Agent, f64)> = agent
        .parts
        .iter()
        .filter_map(|(id, p)| library.agent(id).map(|a| (a, p / whole)))
        .collect();
    if depth < 3 && !known.is_empty() && known.len() == agent.parts.len() {
        for (inner, part) in &known {
            apart(library, inner, share * part, depth + 1, out);
        }
        return;
    }
    match out.iter_mut().find(|(a, _)| a.head.id == agent.head.id) {
        Some((_, own)) => *own += share,
        None => out.push((agent.clone(), share)),
    }
}

/// A refusal of the gate as a message with its place.
pub(super) fn refusal(refused: &Refused<Vessel>, place: Place) -> Trouble {
    let broken = refused.broken();
    let says: Vec<&str> = broken.iter().map(|c| c.rule.says).collect();
    let permission = broken.iter().all(|c| c.rule.id == "restricted-by-law");
    let named: Vec<String> = refused
        .get()
        .agents
        .iter()
        .filter(|a| a.needs_permission)
        .map(|a| a.head.names.name.clone())
        .collect();
    Trouble {
        code: "Q0503",
        place,
        message: if permission {
            format!("the law restricts {}", named.join(", "))
        } else {
            "the gate lets nothing like this be made".to_owned()
        },
        label: broken
            .first()
            .map_or_else(String::new, |c| c.rule.id.replace('-', " ")),
        notes: broken
            .iter()
            .map(|c| {
                format!(
                    "{}: {} ({})",
                    c.rule.says,
                    c.rule.why,
                    c.rule.basis.to_basis()
                )
            })
            .collect(),
        help: if permission {
            format!(
                "where the law of the place leaves room for it and extraction is there: allowing {}",
                named.join(", ")
            )
        } else {
            says.first().map_or_else(String::new, |s| (*s).to_owned())
        },
    }
}

/// All texts under a key of a record.
pub(super) fn texts(facts: &Facts, key: &str) -> Vec<String> {
    facts.texts(key).map(str::to_owned).collect()
}
