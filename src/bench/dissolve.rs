//! Whether what is to be dissolved goes into the liquid, as far as the corpus says.

use super::facts::{liquids, name_of, names_of};
use super::mixing::{Phase, mixes};
use crate::answer::Dissolving;
use crate::model::order::{Order, Part, Place, Substance, Trouble};
use crate::model::{Age, Agent, Basis, Library, Material, Response};

/// Whether every solute goes into the liquid; a refusal where one is recorded not to.
pub(super) fn dissolving(
    library: &dyn Library,
    order: &Order,
) -> Result<Vec<Dissolving>, Box<Trouble>> {
    let solvents = liquids(library, &order.solvent);
    one_phase(&solvents, Place::Solvent)?;
    let mut out = Vec::new();
    for part in &order.solute {
        match &part.is {
            Substance::Material(it) => {
                out.push(material(library, it, &order.solvent, &solvents)?);
            }
            Substance::Carrier(it) => {
                out.push(super::gel::carried(
                    library,
                    it,
                    &solvents,
                    Place::Solvent,
                    |s| name_of(library, &part.is) + s,
                )?);
            }
            Substance::Agent(it) => {
                let mut all: Vec<(Agent, f64)> = liquids(library, std::slice::from_ref(part));
                if library.reagents().ingredient_of(&it.head.id).is_some() {
                    out.extend(salt(library, part, &solvents)?);
                } else {
                    all.extend(solvents.iter().cloned());
                    one_phase(&all, Place::Solute)?;
                    if !solvents.is_empty() {
                        out.push(liquid(library, part, it, order, &solvents));
                    }
                }
            }
            Substance::Ingredient(_) | Substance::Buffer(_) => {
                out.extend(salt(library, part, &solvents)?);
            }
        }
    }
    // In a mixture by parts the parts meet one another.
    if order.solvent.is_empty() {
        let all = liquids(library, &order.solute);
        one_phase(&all, Place::Solute)?;
        out.extend(blended(&all));
    }
    Ok(out)
}

/// Refuses liquids that are known to part into two layers.
fn one_phase(all: &[(Agent, f64)], place: Place) -> Result<(), Box<Trouble>> {
    for (k, (a, _)) in all.iter().enumerate() {
        for (b, _) in &all[k + 1..] {
            if let Some(apart) = mixes(a, b).filter(|it| it.phase == Phase::Two) {
                let (one, other) = (&a.head.names.name, &b.head.names.name);
                return Err(Box::new(Trouble {
                    code: "Q0504",
                    place,
                    message: format!("{one} and {other} do not mix"),
                    label: "two layers".to_owned(),
                    notes: vec![match &apart.note {
                        Some(note) => format!("basis: {}; {note}", apart.basis.word()),
                        None => format!("basis: {}", apart.basis.word()),
                    }],
                    help: "a third liquid that takes both, or an emulsion; else work with one after the other"
                        .to_owned(),
                }));
            }
        }
    }
    Ok(())
}

/// Whether the liquids of a mixture by parts mix, where there are several.
fn blended(all: &[(Agent, f64)]) -> Option<Dissolving> {
    let mut unsure: Vec<String> = Vec::new();
    let mut bases: Vec<Basis> = Vec::new();
    for (k, (a, _)) in all.iter().enumerate() {
        for (b, _) in &all[k + 1..] {
            let pair = format!("{} with {}", a.head.names.name, b.head.names.name);
            match mixes(a, b) {
                Some(it) if it.phase == Phase::One => bases.push(it.basis),
                Some(it) => unsure.push(format!(
                    "{pair}: {} ({})",
                    it.note.as_deref().unwrap_or("in part"),
                    it.basis.word()
                )),
                None => unsure.push(format!(
                    "{pair}: how much of one the other takes up is not on file"
                )),
            }
        }
    }
    let (first, rest) = all.split_first()?;
    if rest.is_empty() {
        return None;
    }
    let sure = unsure.is_empty();
    let others: Vec<&str> = rest
        .iter()
        .map(|(a, _)| a.head.names.name.as_str())
        .collect();
    Some(Dissolving {
        solute: first.0.head.names.name.clone(),
        solvent: others.join(" + "),
        response: if sure { "mixes" } else { "" }.to_owned(),
        sure,
        basis: if sure {
            Basis::words(bases.iter())
        } else {
            String::new()
        },
        sources: Basis::keys(bases.iter()),
        notes: unsure,
    })
}

/// Salts and buffers want water.
fn salt(
    library: &dyn Library,
    part: &Part,
    solvents: &[(Agent, f64)],
) -> Result<Option<Dissolving>, Box<Trouble>> {
    let water = |a: &Agent| {
        matches!(
            a.class,
            crate::model::Class::ColdWater | crate::model::Class::WarmWater
        )
    };
    let share: f64 = solvents
        .iter()
        .filter(|(a, _)| water(a))
        .map(|(_, s)| s)
        .sum();
    let name = name_of(library, &part.is);
    if share >= 0.999 {
        return Ok(None);
    }
    if share <= 0.0 || matches!(part.is, Substance::Buffer(_)) {
        return Err(Box::new(Trouble {
            code: "Q0504",
            place: Place::Solvent,
            message: format!("{name} is made in water"),
            label: "not water".to_owned(),
            notes: vec!["basis: practice; the constants on file are those of water".to_owned()],
            help: "write: in water".to_owned(),
        }));
    }
    Ok(Some(Dissolving {
        solute: name,
        solvent: "this mixture".to_owned(),
        response: String::new(),
        sure: false,
        basis: String::new(),
        sources: Vec::new(),
        notes: vec![
            "a salt in water with solvent may come out: try a few millilitres first".to_owned(),
        ],
    }))
}

/// A liquid in a liquid: whether they mix.
fn liquid(
    library: &dyn Library,
    part: &Part,
    it: &Agent,
    order: &Order,
    solvents: &[(Agent, f64)],
) -> Dissolving {
    let each: Option<Vec<Basis>> = solvents
        .iter()
        .filter(|(s, _)| s.head.id != it.head.id)
        .map(|(s, _)| {
            let found = mixes(it, s).filter(|it| it.phase == Phase::One);
            found.map(|it| it.basis)
        })
        .collect();
    let known = each.is_some();
    let bases = each.unwrap_or_default();
    Dissolving {
        solute: name_of(library, &part.is),
        solvent: names_of(library, &order.solvent),
        response: if known { "mixes" } else { "" }.to_owned(),
        sure: known,
        basis: Basis::words(bases.iter()),
        sources: Basis::keys(bases.iter()),
        notes: Vec::new(),
    }
}

/// What a reading of several facts comes to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Grade {
    No,
    Partly,
    Yes,
}

fn grade(response: Response) -> Grade {
    match response {
        Response::Dissolves => Grade::Yes,
        Response::PartlyDissolves
        | Response::Swells
        | Response::SwellsSlightly
        | Response::Melts => Grade::Partly,
        _ => Grade::No,
    }
}

/// What is recorded of a fresh material in one liquid, or in the liquid that stands in for it.
struct Known {
    grades: Vec<Grade>,
    words: Vec<&'static str>,
    bases: Vec<Basis>,
    notes: Vec<String>,
}

fn known(it: &Material, agent: &Agent) -> Option<Known> {
    let mut stood = None;
    let mut readings = it.readings(Age::Fresh, &agent.head.id);
    if readings.is_empty()
        && let Some(like) = &agent.like
    {
        readings = it.readings(Age::Fresh, like);
        stood = Some(like.clone());
    }
    let mut out = Known {
        grades: Vec::new(),
        words: Vec::new(),
        bases: Vec::new(),
        notes: Vec::new(),
    };
    for (response, fact) in &readings {
        out.grades.push(grade(*response));
        if !out.words.contains(&response.word()) {
            out.words.push(response.word());
        }
        out.bases.push(fact.basis.clone());
        out.notes.extend(fact.note.clone());
    }
    // Glues swell cold and go into solution warm.
    if agent.head.id == "water" {
        for (response, fact) in it.readings(Age::Fresh, "warm-water") {
            if grade(response) == Grade::Yes && !out.grades.contains(&Grade::Yes) {
                out.grades.push(Grade::Yes);
                out.words.push("dissolves warm");
                out.bases.push(fact.basis.clone());
            }
        }
    }
    // That it is put on in this liquid says that it goes into it.
    let put_on = it
        .head
        .facts
        .get("applied-in")
        .iter()
        .find(|f| f.words().contains(&agent.head.id));
    if let Some(fact) = put_on {
        out.grades.push(Grade::Yes);
        if !out.words.contains(&"dissolves") {
            out.words.push("dissolves");
        }
        out.bases.push(fact.basis.clone());
    }
    if let Some(like) = stood.filter(|_| !readings.is_empty()) {
        out.notes.push(format!("{like} stands in for it"));
    }
    (!out.grades.is_empty()).then_some(out)
}

fn material(
    library: &dyn Library,
    it: &Material,
    parts: &[Part],
    solvents: &[(Agent, f64)],
) -> Result<Dissolving, Box<Trouble>> {
    let name = it.head.names.name.clone();
    let called = names_of(library, parts);
    // The record of the mixture outranks those of its parts.
    let whole = match parts {
        [
            Part {
                is: Substance::Agent(agent),
                ..
            },
        ] => known(it, agent),
        _ => None,
    };
    let each: Vec<Option<Known>> = match whole {
        Some(found) => vec![Some(found)],
        None => solvents.iter().map(|(a, _)| known(it, a)).collect(),
    };
    let mut basis: Vec<Basis> = Vec::new();
    let (mut words, mut notes): (Vec<&str>, Vec<String>) = (Vec::new(), Vec::new());
    for found in each.iter().flatten() {
        basis.extend(found.bases.iter().cloned());
        words.extend(
            found
                .words
                .iter()
                .filter(|w| !words.contains(w))
                .collect::<Vec<_>>(),
        );
        notes.extend(found.notes.iter().cloned());
    }
    words.dedup();
    let all = |test: fn(&Known) -> bool| {
        !each.is_empty() && each.iter().all(|k| k.as_ref().is_some_and(test))
    };
    let never = all(|k| k.grades.iter().all(|g| *g == Grade::No));
    let best = |k: &Known| k.grades.iter().max() == Some(&Grade::Yes);
    let sure = all(|k| k.grades.iter().max() == Some(&Grade::Yes));
    if never && !each.is_empty() {
        let good: Vec<String> = good_solvents(library, it);
        let base = Basis::words(basis.iter());
        let cites: Vec<String> = basis.iter().map(ToString::to_string).collect();
        return Err(Box::new(Trouble {
            code: "Q0504",
            place: Place::Solvent,
            message: format!("{called} does not dissolve {name}"),
            label: format!("recorded: {} ({base})", words.join(", ")),
            notes: vec![format!("it rests on: {}", cites.join("; "))],
            help: if good.is_empty() {
                "no liquid is recorded to dissolve it: `find solvent` and a crumb".to_owned()
            } else {
                format!("recorded to dissolve it: {}", good.join(", "))
            },
        }));
    }
    let some = each.iter().flatten().any(best);
    if !sure && each.len() > 1 && some {
        notes.push("one part dissolves it, another is not recorded to: a trial with a gram shows whether the mixture does".to_owned());
    }
    if sure
        && each
            .iter()
            .flatten()
            .any(|k| k.grades.iter().min() != Some(&Grade::Yes))
    {
        notes.push("the records differ: slow or cloudy solutions are met".to_owned());
    }
    if each.len() > 1 && sure {
        notes.push("each part dissolves it; of the mixture itself nothing is recorded".to_owned());
    }
    Ok(Dissolving {
        solute: name,
        solvent: called,
        response: words.join(", "),
        sure,
        basis: Basis::words(basis.iter()),
        sources: Basis::keys(basis.iter()),
        notes,
    })
}

/// Liquids that are recorded to dissolve it fresh, the mildest first; at most six.
fn good_solvents(library: &dyn Library, it: &Material) -> Vec<String> {
    let keys = it.fresh.keys().chain(it.always.keys());
    let applied = it.head.facts.words("applied-in");
    let mut out: Vec<(u8, String)> = Vec::new();
    for id in applied.into_iter().chain(keys) {
        if let Some(agent) = library.agent(id)
            && !agent.needs_permission
            && known(it, &agent).is_some_and(|k| k.grades.iter().all(|g| *g == Grade::Yes))
        {
            let entry = (agent.strength, agent.head.names.name);
            if !out.contains(&entry) {
                out.push(entry);
            }
        }
    }
    out.sort();
    out.into_iter().map(|(_, name)| name).take(6).collect()
}
