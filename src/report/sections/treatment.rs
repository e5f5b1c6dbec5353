//! What was decided and done, and whether it can be undone.

use super::super::Material;
use super::super::document::{Block, Line, Part, Section, line};
use super::super::figure::{Outlook, Strip, StripRow, strip};
use super::super::grounds::Grounds;
use super::super::words::{capital, list};
use super::proposal::step;
use super::{Figures, cell, grounded, noted, nothing, strong};
use crate::answer::{Body, Call, Remove, Rung};
use crate::case::{Use, ask};
use crate::model::naming::fold;
use crate::model::{Kind, Library};

pub(super) fn materials(material: &Material<'_>) -> Section {
    let case = material.case;
    let mut blocks = Vec::new();
    let mut plain = Vec::new();
    if case.decisions.is_empty() {
        blocks.push(nothing("No decision is recorded."));
        plain.push("Nothing was decided yet.".to_owned());
    } else {
        let rows = case
            .decisions
            .iter()
            .map(|it| {
                vec![
                    line(it.id.clone()),
                    line(it.what.clone()),
                    line(it.because.clone()),
                    cell(it.on.as_deref()),
                    cell(Some(&noted(&it.noted))),
                ]
            })
            .collect();
        blocks.push(Block::Table {
            caption: "What was decided, and why".to_owned(),
            head: ["No.", "Decision", "Because", "On", "Day, who"]
                .map(str::to_owned)
                .to_vec(),
            rows,
        });
        plain.extend(
            case.decisions
                .iter()
                .map(|it| format!("Decided: {} The reason: {}", dot(&it.what), it.because)),
        );
    }
    if case.uses.is_empty() {
        blocks.push(nothing("No material is recorded as used."));
    } else {
        let rows = case
            .uses
            .iter()
            .map(|it| {
                let made = match (&it.strength, &it.solvent) {
                    (Some(strength), Some(solvent)) => format!("{strength} in {solvent}"),
                    (Some(one), None) | (None, Some(one)) => one.clone(),
                    (None, None) => String::new(),
                };
                vec![
                    line(it.id.clone()),
                    line(it.material.clone()),
                    cell(Some(&made)),
                    cell(it.amount.as_deref()),
                    cell(it.batch.as_deref()),
                    cell(it.purpose.as_deref()),
                    cell(Some(&noted(&it.noted))),
                ]
            })
            .collect();
        blocks.push(Block::Table {
            caption: "Materials that were really used".to_owned(),
            head: [
                "No.",
                "Material",
                "Strength and solvent",
                "Amount",
                "Batch",
                "What for",
                "Day, place, who",
            ]
            .map(str::to_owned)
            .to_vec(),
            rows,
        });
        let names: Vec<String> = case.uses.iter().map(|it| it.material.clone()).collect();
        plain.push(format!("These materials were used: {}.", list(&names)));
    }
    if !case.deviations.is_empty() {
        let rows = case
            .deviations
            .iter()
            .map(|it| {
                vec![
                    line(it.id.clone()),
                    line(it.what.clone()),
                    line(it.because.clone()),
                    cell(it.from.as_deref()),
                    cell(Some(&noted(&it.noted))),
                ]
            })
            .collect();
        blocks.push(Block::Table {
            caption: "Where the work left what was decided".to_owned(),
            head: ["No.", "Done instead", "Because", "Departs from", "Day, who"]
                .map(str::to_owned)
                .to_vec(),
            rows,
        });
    }
    Section {
        part: Part::Materials,
        plain,
        blocks,
    }
}

/// A text that ends with a full stop.
fn dot(text: &str) -> String {
    let text = text.trim_end();
    if text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// States of a new material that are asked about, with the note that the language has for each.
const STATES: [(&str, &str); 2] = [("while fresh", "fresh"), ("when aged", "aged")];

pub(super) fn reversibility(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
) -> Section {
    let mut blocks = Vec::new();
    let mut plain = Vec::new();
    let mut rows = Vec::new();
    let mut seen: Vec<String> = Vec::new();
    for used in &material.case.uses {
        let folded = fold(&used.material);
        if seen.contains(&folded) {
            continue;
        }
        seen.push(folded.clone());
        match kind_of(material, &folded) {
            Some(Kind::Material) => {
                let mut cells = Vec::new();
                let mut told = Vec::new();
                for (state, note) in STATES {
                    let (outlook, word, by) = outlook(material, used, note);
                    told.push(vec![
                        line(state),
                        line(outlook.word()),
                        by.unwrap_or_else(|| line(word.clone())),
                    ]);
                    cells.push((outlook, word));
                }
                plain.push(in_words(&capital(&used.material), &cells));
                blocks.push(Block::Table {
                    caption: format!("Taking {} off this object again", used.material),
                    head: ["State", "Outlook", "Mildest way on record"]
                        .map(str::to_owned)
                        .to_vec(),
                    rows: told,
                });
                blocks.extend(remark(material, &folded, grounds));
                rows.push(StripRow {
                    name: used.material.clone(),
                    cells,
                });
            }
            // A liquid is gone when the work is done.
            Some(Kind::Agent | Kind::Carrier) => {}
            _ => {
                let said = format!(
                    "{} is not on file: whether it comes off these layers again is unknown, so it counts \
                     as not reversible until somebody has tried.",
                    used.material
                );
                plain.push(said.clone());
                blocks.push(Block::Warning(line(said)));
                rows.push(StripRow {
                    name: used.material.clone(),
                    cells: vec![(Outlook::Unknown, String::new()); STATES.len()],
                });
            }
        }
    }
    if rows.is_empty() {
        blocks.push(nothing(
            "No material that stays on the object is recorded as used.",
        ));
        plain.push("Nothing was put in that would have to come off again.".to_owned());
    } else {
        let times = STATES
            .iter()
            .map(|(state, _)| (*state).to_owned())
            .collect();
        let drawn = strip(&figures.next(), &Strip { times, rows });
        blocks.push(figures.block(
            drawn,
            "Whether what was put in comes off the layers of this object again.",
        ));
    }
    blocks.push(Block::Paragraph(vec![
        strong("What this says: "),
        super::text(
            "being reversible is no property of a material; it holds between a material, its age and \
             the layers that it touches. It is asked here of a film that lies on top; in a join or in pores it \
             is harder. The outlook is what is on record for these layers now. It is \
             no promise: the next conservator tests again.",
        ),
    ]));
    Section {
        part: Part::Reversibility,
        plain,
        blocks,
    }
}

/// What kind of record a name means.
fn kind_of(material: &Material<'_>, folded: &str) -> Option<Kind> {
    let kinds: Vec<Kind> = material
        .pack
        .names()
        .iter()
        .filter(|it| it.folded == folded)
        .map(|it| it.kind)
        .collect();
    [Kind::Material, Kind::Agent, Kind::Carrier]
        .into_iter()
        .find(|kind| kinds.contains(kind))
}

/// Asks how a used material would come off the layers of the case.
fn outlook(material: &Material<'_>, used: &Use, note: &str) -> (Outlook, String, Option<Line>) {
    if material.case.layers.is_empty() {
        return (Outlook::Unknown, "no layers recorded".to_owned(), None);
    }
    let layers: Vec<&str> = material
        .case
        .layers
        .iter()
        .map(|it| it.name.trim())
        .collect();
    // What is not a name in one piece would be read as more than a name.
    let name = used.material.replace(['"', '\n', '\r'], " ");
    let text = format!(
        "remove \"{name}\" (film, later, {note}) from {}",
        layers.join(" over ")
    );
    let asked = match ask(material.case, &text, material.pack, material.now) {
        Ok(asked) => asked,
        Err(_) => return (Outlook::Unknown, "could not be asked".to_owned(), None),
    };
    let Some(Body::Remove(it)) = asked.answer().map(|it| &it.body) else {
        return (Outlook::Unknown, String::new(), None);
    };
    seen(it)
}

fn seen(it: &Remove) -> (Outlook, String, Option<Line>) {
    let best = it
        .ladder
        .iter()
        .find(|rung| rung.call == Call::Recommended && dissolves(rung))
        .or_else(|| it.ladder.iter().find(|rung| dissolves(rung)))
        .or_else(|| it.ladder.first());
    match best {
        Some(rung) => {
            // What only swells or softens wants tools besides, so it is a test at best.
            let outlook = match rung.call {
                Call::Recommended if dissolves(rung) => Outlook::Open,
                Call::Recommended | Call::TestFirst => Outlook::Test,
            };
            let agent = rung.step.get().agent.as_ref();
            let mut word = agent.map_or_else(
                || rung.step.get().method.head.names.name.clone(),
                |agent| agent.head.names.name.clone(),
            );
            if !dissolves(rung) {
                word = format!("{word}: {}", rung.effect.response);
            }
            (
                outlook,
                word,
                Some(line(format!("{}: {}", step(rung), rung.effect.response))),
            )
        }
        None if it.gaps.is_empty() => (Outlook::Closed, String::new(), Some(line("none"))),
        None => (
            Outlook::Unknown,
            String::new(),
            Some(line("none; facts are missing")),
        ),
    }
}

fn dissolves(rung: &Rung) -> bool {
    rung.effect.response.starts_with("dissolves")
}

fn in_words(name: &str, cells: &[(Outlook, String)]) -> String {
    let worst = cells
        .iter()
        .map(|(outlook, _)| match outlook {
            Outlook::Open => 0,
            Outlook::Test | Outlook::Partly => 1,
            Outlook::Unknown => 2,
            Outlook::Closed => 3,
        })
        .max()
        .unwrap_or(2);
    match worst {
        0 => format!(
            "{name} can be taken off again by ways that are on record, now and when it is old."
        ),
        1 => format!(
            "{name} may come off again, but nobody can promise it: the next conservator must first try \
             it on a hidden spot of this object."
        ),
        2 => format!("Whether {name} can be taken off again is not on record for these layers."),
        _ => format!("{name} cannot be taken off again without harm, as far as is on record."),
    }
}

/// What the record says of taking it off.
fn remark(material: &Material<'_>, folded: &str, grounds: &mut Grounds<'_>) -> Vec<Block> {
    let Some(named) = material
        .pack
        .names()
        .iter()
        .find(|it| it.folded == folded && it.kind == Kind::Material)
    else {
        return Vec::new();
    };
    let Some(record) = material.pack.record(Kind::Material, named.index as usize) else {
        return Vec::new();
    };
    let head = record.head();
    head.facts
        .get("reversibility")
        .iter()
        .filter_map(|fact| {
            let crate::model::Value::Text(text) = &fact.value else {
                return None;
            };
            let said = format!("{}: {text}", head.names.name);
            let on = grounds.on(
                &said,
                std::slice::from_ref(&fact.place),
                &[],
                fact.basis.word(),
            );
            Some(Block::Paragraph(grounded(said, on)))
        })
        .collect()
}
