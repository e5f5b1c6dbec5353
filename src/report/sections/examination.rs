//! The object, its layers, its state, what was seen and tried.

use std::collections::BTreeSet;

use super::super::Material;
use super::super::document::{Block, Part, Picture, Section, line};
use super::super::figure::{Slab, Stack, stack};
use super::super::words::list;
use super::{Figures, cell, noted, nothing, of_record};
use crate::case::{Case, Day, Noted, Photograph};

pub(super) fn examination(
    material: &Material<'_>,
    figures: &mut Figures,
    picture: &dyn Fn(&str) -> Result<Picture, String>,
) -> Section {
    let case = material.case;
    let mut terms = object(case);
    terms.extend(by_whom(case));
    let mut blocks = vec![Block::Terms(terms)];
    blocks.push(Block::Heading("Layers".to_owned()));
    if case.layers.is_empty() && case.unknowns.is_empty() {
        blocks.push(nothing("No layers are recorded."));
    } else {
        let drawn = stack(&figures.next(), &section(case));
        blocks.push(figures.block(
            drawn,
            "The layers as they are recorded, from the top down, with the old materials on them.",
        ));
    }
    observations(case, &mut blocks);
    trials(case, &mut blocks);
    photographs(case, &mut blocks, picture);
    Section {
        part: Part::Examination,
        plain: plain(case),
        blocks,
    }
}

fn plain(case: &Case) -> Vec<String> {
    let mut out = vec![format!(
        "This part records the state of the object as it came: {}.",
        case.object.title
    )];
    if let Some(condition) = &case.object.condition {
        out.push(format!(
            "Its state on arrival: {}.",
            condition.trim_end_matches('.')
        ));
    }
    let old: Vec<String> = case
        .unknowns
        .iter()
        .map(|it| Material::called(it).to_owned())
        .collect();
    if !old.is_empty() {
        out.push(format!(
            "Earlier repairs left {}. What that is, nobody wrote down, so it was looked at and tried \
             with small, careful tests. The layers beneath must not be harmed.",
            list(&old)
        ));
    }
    out
}

fn object(case: &Case) -> Vec<(String, Vec<super::Words>)> {
    let it = &case.object;
    let size: Vec<String> = [
        ("height", &it.height),
        ("width", &it.width),
        ("depth", &it.depth),
    ]
    .into_iter()
    .filter_map(|(name, value)| Some(format!("{name} {}", value.as_ref()?)))
    .collect();
    let size = (!size.is_empty()).then(|| size.join(", "));
    [
        ("Object", Some(it.title.clone())),
        ("Number", it.number.clone()),
        ("Made", it.made.clone()),
        ("Maker", it.maker.clone()),
        ("Materials", it.materials.clone()),
        ("Size", size),
        ("Weight", it.weight.clone()),
        ("Warmest where it stands", it.warmest.clone()),
        ("State on arrival", it.condition.clone()),
        ("Aim of the treatment", it.aim.clone()),
        ("Note", it.note.clone()),
    ]
    .into_iter()
    .filter_map(|(name, value)| Some((name.to_owned(), line(value?))))
    .collect()
}

/// Who examined and worked, and from when to when: by the entries that hold.
fn by_whom(case: &Case) -> Vec<(String, Vec<super::Words>)> {
    let noted: Vec<&Noted> = (case.observations.iter().map(|it| &it.noted))
        .chain(case.trials.iter().map(|it| &it.noted))
        .chain(case.proposals.iter().map(|it| &it.noted))
        .chain(case.decisions.iter().map(|it| &it.noted))
        .chain(case.uses.iter().map(|it| &it.noted))
        .chain(case.deviations.iter().map(|it| &it.noted))
        .chain(case.photographs.iter().map(|it| &it.noted))
        .filter(|it| it.holds())
        .collect();
    let who: BTreeSet<&str> = noted.iter().filter_map(|it| it.who.as_deref()).collect();
    let days: BTreeSet<Day> = noted.iter().filter_map(|it| it.day).collect();
    let mut out = Vec::new();
    if !who.is_empty() {
        let who: Vec<String> = who.into_iter().map(str::to_owned).collect();
        out.push(("Examined and recorded by".to_owned(), line(list(&who))));
    }
    if let (Some(first), Some(last)) = (days.first(), days.last()) {
        let days = if first == last {
            first.to_string()
        } else {
            format!("{first} to {last}")
        };
        out.push(("Recorded".to_owned(), line(days)));
    }
    out
}

/// The layers with the unknowns above the layer that each lies on.
pub(super) fn section(case: &Case) -> Stack {
    let mut slabs = Vec::new();
    slabs.extend(lying_on(case, None));
    for layer in &case.layers {
        slabs.extend(lying_on(case, Some(&layer.id)));
        let (name, state) = match layer.name.split_once('(') {
            Some((name, state)) => (name.trim(), state.trim_end_matches(')').trim()),
            None => (layer.name.trim(), ""),
        };
        slabs.push(Slab {
            name: name.to_owned(),
            note: state.to_owned(),
            unknown: false,
        });
    }
    Stack { slabs }
}

/// The unknowns that lie on a layer; on none that is named: on the top one.
fn lying_on(case: &Case, layer: Option<&str>) -> Vec<Slab> {
    case.unknowns
        .iter()
        .filter(|it| it.over.as_deref() == layer)
        .map(|it| Slab {
            name: Material::called(it).to_owned(),
            note: it.restored.as_ref().map_or(String::new(), |years| {
                format!("put on {}", years.replace("..", " to "))
            }),
            unknown: true,
        })
        .collect()
}

fn observations(case: &Case, blocks: &mut Vec<Block>) {
    blocks.push(Block::Heading("What was seen".to_owned()));
    if case.observations.is_empty() {
        blocks.push(nothing("No observation is recorded."));
        return;
    }
    let rows = case
        .observations
        .iter()
        .map(|it| {
            let of = case
                .unknown(&it.of)
                .map_or(it.of.as_str(), Material::called);
            vec![
                line(it.id.clone()),
                line(of),
                of_record(&it.noted, line(it.seen.clone())),
                cell(Some(&noted(&it.noted))),
            ]
        })
        .collect();
    blocks.push(Block::table(
        "Observations of the old materials",
        &["No.", "Of", "Seen", "Day, place, who"],
        rows,
    ));
}

fn trials(case: &Case, blocks: &mut Vec<Block>) {
    if case.trials.is_empty() {
        return;
    }
    let rows = case
        .trials
        .iter()
        .map(|it| {
            let on = case
                .layer(&it.on)
                .map_or(it.on.as_str(), |layer| layer.name.as_str());
            vec![
                line(it.id.clone()),
                line(on),
                of_record(&it.noted, line(it.seen.clone())),
                cell(Some(&noted(&it.noted))),
            ]
        })
        .collect();
    blocks.push(Block::table(
        "What the layers bore when it was tried on this object",
        &["No.", "Layer", "Seen", "Day, place, who"],
        rows,
    ));
}

fn photographs(
    case: &Case,
    blocks: &mut Vec<Block>,
    picture: &dyn Fn(&str) -> Result<Picture, String>,
) {
    if case.photographs.is_empty() {
        return;
    }
    blocks.push(Block::Heading("Photographs".to_owned()));
    for it in &case.photographs {
        if !it.noted.holds() {
            let said = line(format!("{} ({}).", it.shows, remark(it)));
            blocks.push(Block::Paragraph(of_record(&it.noted, said)));
            continue;
        }
        blocks.push(Block::Photograph {
            shows: it.shows.clone(),
            note: remark(it),
            picture: picture(&it.file),
        });
    }
}

fn remark(it: &Photograph) -> String {
    let mut out = vec![it.id.clone()];
    out.extend(it.light.clone());
    let when = noted(&it.noted);
    if !when.is_empty() {
        out.push(when);
    }
    out.join("; ")
}
