//! What was decided and done, and with what.

use super::super::Material;
use super::super::document::{Block, Part, Section, line};
use super::super::grounds::Grounds;
use super::super::words::list;
use super::{bench, cell, dot, noted, nothing, of_record};

pub(super) fn materials(material: &Material<'_>, grounds: &mut Grounds<'_>) -> Section {
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
                    of_record(&it.noted, line(it.what.clone())),
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
                .filter(|it| it.noted.holds())
                .map(|it| {
                    format!(
                        "Decided: {} The reason: {}",
                        dot(&it.what),
                        dot(&it.because)
                    )
                }),
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
                    of_record(&it.noted, line(it.material.clone())),
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
        let mut names: Vec<String> = Vec::new();
        for it in case.uses.iter().filter(|it| it.noted.holds()) {
            if !names.contains(&it.material) {
                names.push(it.material.clone());
            }
        }
        if !names.is_empty() {
            plain.push(format!("These materials were used: {}.", list(&names)));
        }
    }
    if !case.deviations.is_empty() {
        let rows = case
            .deviations
            .iter()
            .map(|it| {
                vec![
                    line(it.id.clone()),
                    of_record(&it.noted, line(it.what.clone())),
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
    for it in case.deviations.iter().filter(|it| it.noted.holds()) {
        plain.push(format!(
            "The work left the plan: {} The reason: {}",
            dot(&it.what),
            dot(&it.because)
        ));
    }
    bench::mixtures(material, grounds, &mut blocks);
    Section {
        part: Part::Materials,
        plain,
        blocks,
    }
}
