//! `prepare`: what to weigh and measure, in what order, and what is not known.

use super::dissolve::dissolving;
use super::facts::{Ledger, liquids, names_of, refusal};
use super::recipe::Kitchen;
use super::{gel, steps};
use crate::answer::{Dissolving, Prepare, Recipe};
use crate::gate::{self, Passed};
use crate::model::order::{Order, Part, Place, Strength, Substance, Trouble, Wanted};
use crate::model::{Agent, Library};

/// Half-width of a strength from which the weighing is called too coarse.
const COARSE: f64 = 0.05;

/// Reckons a solution.
///
/// # Errors
/// A [`Trouble`] that points at a part of the order: a solute that is recorded not to dissolve, liquids
/// that the gate does not let meet, a sum that wants a figure which is not on file.
pub fn prepare(library: &dyn Library, order: &Order) -> Result<Prepare, Box<Trouble>> {
    let solvents = liquids(library, &order.solvent);
    let in_solute = liquids(library, &order.solute);
    let vessel = vessel(order, &solvents, &in_solute)?;
    let dissolving = dissolving(library, order)?;
    let mut ledger = Ledger::default();
    let mut gaps: Vec<String> = Vec::new();
    let mut kitchen = Kitchen {
        library,
        order,
        ledger: &mut ledger,
        gaps: &mut gaps,
    };
    let (mut buffer, mut conductivity) = (None, None);
    let recipes: Vec<Recipe> = match (order.solute.as_slice(), order.strength) {
        (
            [
                Part {
                    is: Substance::Buffer(id),
                    ..
                },
            ],
            _,
        ) => {
            let (recipe, seen) = kitchen.buffer(id)?;
            buffer = Some(seen);
            vec![recipe]
        }
        ([part], Strength::Conductivity(wanted)) => {
            let (recipe, seen) = kitchen.salt(part, wanted)?;
            conductivity = Some(seen);
            vec![recipe]
        }
        (_, Strength::Conductivity(_)) => {
            return Err(kitchen.trouble(
                Place::Solute,
                "one salt is made to a conductivity".to_owned(),
                "several",
                "name one",
            ));
        }
        _ => kitchen.recipes()?,
    };
    conductivity = conductivity.or_else(|| super::buffer::salt_seen(order, library.reagents()));
    let volume = recipes
        .first()
        .and_then(|r| r.total_ml)
        .or(match order.wanted {
            Wanted::Volume(ml) => Some(ml),
            Wanted::Mass(_) => None,
        });
    let gel = match &order.gel {
        Some(it) => Some(gel::gel(library, order, it, &solvents, volume)?),
        None => None,
    };
    gaps.extend(coarse(&recipes, order.balance.value, buffer.is_some()));
    gaps.extend(dissolving.iter().filter(|d| !d.sure).map(untold));
    let unsure = dissolving.iter().any(|d| !d.sure)
        || gel
            .as_ref()
            .is_some_and(|g| !g.carries || g.grams.is_none());
    Ok(Prepare {
        title: title(library, order),
        recipes,
        dissolving,
        buffer,
        conductivity,
        gel,
        vessel,
        order: steps::steps(library, order, &solvents),
        mind: steps::mind(library, order, &solvents),
        gaps,
        facts: ledger.shown,
        balance: order.balance,
        undetermined: unsure,
    })
}

/// Asks the gate what may meet in the vessel.
fn vessel(
    order: &Order,
    solvents: &[(Agent, f64)],
    in_solute: &[(Agent, f64)],
) -> Result<Passed<gate::Vessel>, Box<Trouble>> {
    let mut agents: Vec<Agent> = solvents
        .iter()
        .chain(in_solute)
        .map(|(a, _)| a.clone())
        .collect();
    agents.dedup_by(|a, b| a.head.id == b.head.id);
    let vessel = gate::Vessel {
        agents,
        carrier: order
            .gel
            .as_ref()
            .map(|g| g.carrier.as_ref().clone())
            .or_else(|| {
                order.solute.iter().find_map(|p| match &p.is {
                    Substance::Carrier(c) => Some(c.as_ref().clone()),
                    _ => None,
                })
            }),
        celsius: order.celsius,
    };
    gate::vessel(vessel, &order.permitted).map_err(|refused| {
        let warmed = refused
            .broken()
            .iter()
            .any(|c| c.rule.id == gate::rules::WARMED_VESSEL.id);
        let restricted_solvent = solvents.iter().any(|(a, _)| a.needs_permission);
        let place = if warmed {
            Place::Temperature
        } else if restricted_solvent || in_solute.is_empty() {
            Place::Solvent
        } else {
            Place::Solute
        };
        Box::new(refusal(&refused, place))
    })
}

/// What the balance hardly sees. `reads_to` is its last digit in grams.
fn coarse(recipes: &[Recipe], reads_to: f64, buffer: bool) -> Vec<String> {
    let mut out = Vec::new();
    for line in recipes.iter().flat_map(|r| &r.lines) {
        if let Some((g, digit)) = line.grams
            && buffer
            && g > 0.0
            && g < 3.0 * digit
        {
            out.push(format!(
                "{}: {:.3} g is hardly seen by a balance that reads to {digit} g; make a solution of it and \
                 bring the pH down or up with drops",
                line.what, g
            ));
        }
    }
    for recipe in recipes {
        if let Some(spread) = recipe.spread.filter(|s| *s > COARSE) {
            out.push(format!(
                "{}: the balance reads to {} g, so the strength is good to {:.0} % only; weigh a larger \
                 batch, or make a stock and dilute it",
                recipe.reading,
                reads_to,
                100.0 * spread
            ));
        }
    }
    out
}

/// What no record says of whether it dissolves.
fn untold(it: &Dissolving) -> String {
    format!(
        "whether {} goes into {} is not recorded{}: try a gram first",
        it.solute,
        it.solvent,
        if it.response.is_empty() {
            String::new()
        } else {
            format!(" beyond \"{}\"", it.response)
        }
    )
}

/// What is made, in words.
fn title(library: &dyn Library, order: &Order) -> String {
    let what = names_of(library, &order.solute);
    let (amount, strength) = &order.typed;
    let ph = order.ph.map_or_else(String::new, |ph| format!(", pH {ph}"));
    let mut text = format!("{amount} of {strength} {what}{ph}").replace("  ", " ");
    if !order.solvent.is_empty() {
        text.push_str(" in ");
        text.push_str(&names_of(library, &order.solvent));
    }
    if let Some(gel) = &order.gel {
        text.push_str(" as a gel of ");
        text.push_str(&gel.carrier.head.names.name);
    }
    text
}
