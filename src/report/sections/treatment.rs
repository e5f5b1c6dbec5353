//! What was decided and done, and with what.

use super::super::Material;
use super::super::document::{Block, Part, Section, line};
use super::super::grounds::Grounds;
use super::super::words::list;
use super::{bench, cell, dot, noted, nothing, of_record};
use crate::case::{Case, Decision, Deviation, Use};

pub(super) fn materials(material: &Material<'_>, grounds: &mut Grounds<'_>) -> Section {
    let case = material.case;
    let mut blocks = vec![decided(case), used(case)];
    blocks.extend(departed(case));
    bench::mixtures(material, grounds, &mut blocks);
    Section {
        part: Part::Materials,
        plain: plain(case),
        blocks,
    }
}

/// The section in plain words: what holds of it, and nothing that was withdrawn.
fn plain(case: &Case) -> Vec<String> {
    let mut out = Vec::new();
    if case.decisions.is_empty() {
        out.push("Nothing was decided yet.".to_owned());
    }
    for it in case.decisions.iter().filter(|it| it.noted.holds()) {
        out.push(format!(
            "Decided: {} The reason: {}",
            dot(&it.what),
            dot(&it.because)
        ));
    }
    let mut names: Vec<String> = Vec::new();
    for it in case.uses.iter().filter(|it| it.noted.holds()) {
        if !names.contains(&it.material) {
            names.push(it.material.clone());
        }
    }
    if !names.is_empty() {
        out.push(format!("These materials were used: {}.", list(&names)));
    }
    for it in case.deviations.iter().filter(|it| it.noted.holds()) {
        out.push(format!(
            "The work left the plan: {} The reason: {}",
            dot(&it.what),
            dot(&it.because)
        ));
    }
    out
}

fn decided(case: &Case) -> Block {
    if case.decisions.is_empty() {
        return nothing("No decision is recorded.");
    }
    let row = |it: &Decision| {
        vec![
            line(it.id.clone()),
            of_record(&it.noted, line(it.what.clone())),
            line(it.because.clone()),
            cell(it.on.as_deref()),
            cell(Some(&noted(&it.noted))),
        ]
    };
    Block::Table {
        caption: "What was decided, and why".to_owned(),
        head: ["No.", "Decision", "Because", "On", "Day, who"]
            .map(str::to_owned)
            .to_vec(),
        rows: case.decisions.iter().map(row).collect(),
    }
}

fn used(case: &Case) -> Block {
    if case.uses.is_empty() {
        return nothing("No material is recorded as used.");
    }
    let row = |it: &Use| {
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
    };
    Block::Table {
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
        rows: case.uses.iter().map(row).collect(),
    }
}

fn departed(case: &Case) -> Option<Block> {
    let row = |it: &Deviation| {
        vec![
            line(it.id.clone()),
            of_record(&it.noted, line(it.what.clone())),
            line(it.because.clone()),
            cell(it.from.as_deref()),
            cell(Some(&noted(&it.noted))),
        ]
    };
    (!case.deviations.is_empty()).then(|| Block::Table {
        caption: "Where the work left what was decided".to_owned(),
        head: ["No.", "Done instead", "Because", "Departs from", "Day, who"]
            .map(str::to_owned)
            .to_vec(),
        rows: case.deviations.iter().map(row).collect(),
    })
}
