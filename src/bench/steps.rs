//! Order of work and cautions: water before acid, liquid before resin, no lump and no flame.

use super::recipe::is_liquid;
use crate::model::order::{Order, Substance};
use crate::model::{Agent, Class, Hazard, Library};

/// Families that are soaked cold and warmed, never boiled.
const GLUES: [&str; 3] = ["glue", "protein", "collagen"];

/// Steps of the work, in order (common practice).
pub(super) fn steps(
    library: &dyn Library,
    order: &Order,
    solvents: &[(Agent, f64)],
) -> Vec<String> {
    let holds = |test: fn(&Substance) -> bool| order.solute.iter().any(|p| test(&p.is));
    let mut out: Vec<&str> = Vec::new();
    if order.stock.is_some() && !order.solute.iter().all(|p| is_liquid(library, p)) {
        out.push("stir the stock first: what has settled is weaker on top");
    }
    if solvents.len() > 1 {
        out.push(
            "mix the liquids first, each measured by itself, and let the mixture come to room temperature",
        );
    }
    if holds(|it| matches!(it, Substance::Buffer(_))) {
        out.extend(BUFFER);
        return out.into_iter().map(str::to_owned).collect();
    }
    if holds(|it| matches!(it, Substance::Agent(a) if a.class == Class::Acid)) {
        out.push(
            "water first, then the acid into it, a little at a time with stirring; never water into acid",
        );
    }
    if holds(|it| matches!(it, Substance::Agent(a) if a.class == Class::Alkali)) {
        out.push("water first, then the alkali into it, a little at a time: it warms");
    }
    let resin = order.solute.iter().find_map(|p| match &p.is {
        Substance::Material(m) => Some(m),
        _ => None,
    });
    if let Some(resin) = resin
        && order.stock.is_none()
    {
        let watery = solvents.iter().any(|(a, _)| a.class.is_aqueous());
        out.extend(into_solution(&resin.family, watery));
    }
    // A gelling agent is made as its own record says: some want heat, which others do not bear.
    for part in &order.solute {
        if let Substance::Carrier(it) = &part.is {
            let how: Vec<&str> = it.head.facts.texts("how").collect();
            if how.is_empty() {
                out.push(POWDER);
            }
            out.extend(how);
        }
    }
    if out.is_empty() || order.stock.is_some() {
        out.push("measure into the vessel, mix, make up to the mark with the last of the liquid");
    }
    if order.gel.is_some() {
        out.push("make the gel of it, as below");
    }
    out.push("label: what, how strong and by which reading, liquid, date, hazard");
    out.into_iter().map(str::to_owned).collect()
}

/// How a buffer is made.
const BUFFER: &[&str] = &[
    "dissolve the solids in about four fifths of the water",
    "bring it to the temperature of use; calibrate the meter with two buffers that span the pH",
    "set the pH with the more acid or the more basic jar, drop by drop, then make up to the mark",
    "write down the pH that is measured, not the one that was reckoned",
];

/// How a powder that swells is wetted.
const POWDER: &str =
    "stir the liquid to a vortex, sprinkle the powder in slowly, no lumps; leave it overnight";

/// How a material of some family goes into its liquid.
fn into_solution(family: &str, watery: bool) -> &'static [&'static str] {
    let glue = GLUES.iter().any(|f| family.contains(f));
    if watery && glue {
        &[
            "soak it in the cold water until it is swollen through, some hours",
            "warm it in a water bath to 40 to 60 C until it is clear; never boil it",
        ]
    } else if matches!(family, "cellulose-ether" | "polysaccharide") {
        &[POWDER]
    } else if family == "wax" {
        &[
            "shave the wax thin into the liquid",
            "lid on, leave it overnight, stir now and then; no warming over a ring or flame",
        ]
    } else {
        &[
            "weigh the resin into a bag of gauze or a tea strainer and hang it in the top of the liquid, or sprinkle it into the stirred liquid: thrown in at once it cakes",
            "lid on, leave it overnight, stir now and then; no warming over a ring or flame",
        ]
    }
}

/// What to mind with these liquids and jars.
pub(super) fn mind(library: &dyn Library, order: &Order, solvents: &[(Agent, f64)]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut add = |text: String| {
        if !out.contains(&text) {
            out.push(text);
        }
    };
    let reagents = library.reagents();
    let mut liquids: Vec<&Agent> = solvents.iter().map(|(a, _)| a).collect();
    for part in &order.solute {
        match &part.is {
            Substance::Agent(a) => {
                liquids.push(a);
                if let Some((_, jar)) = reagents.ingredient_of(&a.head.id)
                    && let Some(caution) = &jar.caution
                {
                    add(format!("{}: {caution}", jar.name));
                }
            }
            Substance::Ingredient(id) => {
                if let Some(jar) = reagents.ingredient.get(id)
                    && let Some(caution) = &jar.caution
                {
                    add(format!("{}: {caution}", jar.name));
                }
            }
            Substance::Buffer(id) => {
                if let Some(buffer) = reagents.buffer.get(id) {
                    for caution in &buffer.caution {
                        add(format!("{}: {caution}", buffer.name));
                    }
                    if let Some(note) = &buffer.note {
                        add(format!("{}: {note}", buffer.name));
                    }
                }
            }
            _ => {}
        }
    }
    let flammable: Vec<&str> = liquids
        .iter()
        .filter(|a| a.hazards.contains(&Hazard::Flammable))
        .map(|a| a.head.names.name.as_str())
        .collect();
    if !flammable.is_empty() {
        let mut names = flammable;
        names.sort_unstable();
        names.dedup();
        add(format!(
            "{}: flammable; no flame, spark or hot plate; stir with a sealed or air-driven stirrer; extraction on",
            names.join(", ")
        ));
    }
    for agent in liquids {
        if let Some(cmr) = &agent.cmr {
            add(format!(
                "{}: classed {cmr}; ask first whether another liquid does it",
                agent.head.names.name
            ));
        }
        if agent.needs_permission {
            let law: Vec<&str> = agent.head.facts.texts("legal").collect();
            add(format!(
                "{}: restricted by law in places. {}",
                agent.head.names.name,
                law.join(" ")
            ));
        }
    }
    out
}
