//! Hazards to people, cautions, and what is not known.

use std::collections::{BTreeMap, BTreeSet};

use super::super::document::{Block, Line, Part, Section, line};
use super::super::grounds::Grounds;
use super::super::{Heard, Material};
use super::removal::step;
use super::{bench, nothing, strong};
use crate::answer::{Body, CAUTIONS, Identify, Remove, Standing, percent};
use crate::model::Library;
use crate::model::naming::fold;

pub(super) fn safety(material: &Material<'_>, grounds: &mut Grounds<'_>) -> Section {
    let mut blocks = Vec::new();
    let mut by: BTreeMap<&'static str, BTreeSet<String>> = BTreeMap::new();
    let mut all: BTreeSet<String> = BTreeSet::new();
    for (_, _, it) in material.removals() {
        plan(it, &mut by, &mut all);
    }
    let mut named: BTreeSet<&str> = BTreeSet::new();
    for asked in material
        .heard
        .iter()
        .filter_map(|heard| heard.asked.as_ref().ok())
    {
        for answer in &asked.answers {
            named.extend(
                answer
                    .cautions
                    .iter()
                    .map(String::as_str)
                    .filter(|it| !CAUTIONS.contains(it)),
            );
        }
    }
    if !named.is_empty() {
        blocks.push(Block::Warning(line(
            "Named hazards of this object and this plan:",
        )));
        blocks.push(Block::List(named.iter().map(|it| line(*it)).collect()));
    }
    let used = of_what_was_used(material);
    if !used.is_empty() {
        blocks.push(Block::table(
            "Hazards on record of what was really used",
            &["Used", "Hazards"],
            used,
        ));
    }
    if by.is_empty() {
        blocks.push(nothing(
            "No step in this report's plans has a hazard on record.",
        ));
    } else {
        let rows = by
            .iter()
            .map(|(hazard, steps)| {
                if steps.len() == all.len() && all.len() > 1 {
                    return vec![line(*hazard), line("every step")];
                }
                let steps: Vec<&str> = steps.iter().map(String::as_str).collect();
                vec![line(*hazard), line(steps.join("; "))]
            })
            .collect();
        blocks.push(Block::table(
            "Hazards to people, by step",
            &["Hazard", "Steps"],
            rows,
        ));
    }
    let air = bench::air(material, grounds, &mut blocks);
    blocks.push(nothing(
        "Safety data sheets of the products in hand, local regulation and a risk assessment for the \
         room come before this list; it names only what is on record.",
    ));
    let mut plain = if named.is_empty() && by.is_empty() && air.is_empty() {
        vec!["No special danger to people is on record for what is proposed.".to_owned()]
    } else {
        vec![
            "Some of the old materials, or of what would be used on them, can harm people. The work \
             is for a trained conservator with extraction and gloves; nobody should scrape, sand, heat \
             or wet the old material before that."
                .to_owned(),
        ]
    };
    plain.extend(air);
    Section {
        part: Part::Safety,
        plain,
        blocks,
    }
}

/// What was used comes before what was only planned: a row for each liquid or material, once.
fn of_what_was_used(material: &Material<'_>) -> Vec<Vec<Line>> {
    let mut seen: BTreeSet<String> = BTreeSet::new();
    let mut rows = Vec::new();
    for used in material.case.uses.iter().filter(|it| it.noted.holds()) {
        if !seen.insert(fold(&used.material)) {
            continue;
        }
        let records = material.pack.named(&used.material, None);
        let Some(record) = records
            .into_iter()
            .find_map(|(kind, index)| material.pack.record(kind, index))
        else {
            rows.push(vec![
                line(used.material.as_str()),
                line("not on file: see the safety data sheet"),
            ]);
            continue;
        };
        let hazards = record.head().facts.words("hazards").join(", ");
        rows.push(vec![
            line(used.material.as_str()),
            line(if hazards.is_empty() {
                "none on record, which does not mean none".to_owned()
            } else {
                hazards
            }),
        ]);
    }
    rows
}

fn plan(
    it: &Remove,
    by: &mut BTreeMap<&'static str, BTreeSet<String>>,
    all: &mut BTreeSet<String>,
) {
    for rung in &it.ladder {
        all.insert(step(rung));
        for hazard in &rung.hazards {
            by.entry(hazard.word()).or_default().insert(step(rung));
        }
    }
    for next in &it.next {
        plan(next, by, all);
    }
}

pub(super) fn cautions(material: &Material<'_>) -> Section {
    let mut blocks = vec![Block::List(CAUTIONS.iter().map(|it| line(*it)).collect())];
    let mut stops: BTreeSet<&str> = BTreeSet::new();
    for (_, _, it) in material.removals() {
        stops.extend(
            it.ladder
                .iter()
                .map(|rung| rung.stop.as_str())
                .filter(|it| !it.is_empty()),
        );
    }
    if !stops.is_empty() {
        blocks.push(Block::Paragraph(line(
            "Stop at once when one of these is seen:",
        )));
        blocks.push(Block::List(stops.into_iter().map(line).collect()));
    }
    Section {
        part: Part::Cautions,
        plain: vec![
            "This report is advice between professionals. Please do not try any of it at home: what \
             looks like dirt may be the original surface."
                .to_owned(),
        ],
        blocks,
    }
}

pub(super) fn uncertainty(material: &Material<'_>) -> Section {
    let mut open: Vec<Line> = Vec::new();
    for (unknown, _, it) in material.identified() {
        open.extend(left_open(Material::called(unknown), it));
    }
    for (heard, _, it) in material.removals() {
        gaps(&heard.id, it, &mut open);
    }
    open.extend(
        material
            .heard
            .iter()
            .filter_map(|it| unanswered(material, it)),
    );
    let mut blocks = vec![Block::Paragraph(vec![
        strong("How to read this report: "),
        super::text(
            "probabilities come from a model over what is on record; they are judgment made \
             countable, not measurement. What is not recorded never counts as safe. A fact with a \
             source is only as good as what of that source was read, which the references state.",
        ),
    ])];
    blocks.push(if open.is_empty() {
        nothing("Nothing else was left open by the questions of this case.")
    } else {
        Block::List(open)
    });
    let mut plain = vec![
        "Nobody can be certain from small tests alone. This part says what is not known."
            .to_owned(),
    ];
    let identified = material
        .heard
        .iter()
        .filter_map(|heard| heard.asked.as_ref().ok())
        .filter_map(|asked| asked.answer())
        .any(|answer| matches!(&answer.body, Body::Identify(_)));
    if identified {
        plain.push(
            "If more certainty is wanted, a laboratory can examine a crumb of the material; that costs \
             money and a little of the old material."
                .to_owned(),
        );
    }
    Section {
        part: Part::Uncertainty,
        plain,
        blocks,
    }
}

/// What an identification leaves open.
fn left_open(called: &str, it: &Identify) -> Vec<Line> {
    let mut out = vec![line(format!(
        "{called}: with a probability of {} it is none of the materials on file.",
        percent(it.none_of_these)
    ))];
    for gap in &it.unrecorded {
        out.push(line(format!(
            "{called}: for {} nothing is recorded on this observation: {}.",
            gap.candidate, gap.observation
        )));
    }
    for hinge in &it.hinges {
        out.push(line(format!(
            "{called}: it hangs on one observation ({}); without it {} would lead, with {}.",
            hinge.observation,
            hinge.leader.name,
            percent(hinge.probability)
        )));
    }
    for both in &it.contradictions {
        out.push(line(format!("{called}: {both}")));
    }
    out
}

/// What became of a question that has no sure answer any more.
fn unanswered(material: &Material<'_>, heard: &Heard) -> Option<Line> {
    let name = if heard.id.is_empty() {
        &heard.ask
    } else {
        &heard.id
    };
    let asked = match &heard.asked {
        Ok(asked) => asked,
        Err(why) => return Some(line(format!("{name}: could not be asked again: {why}"))),
    };
    if asked.standing == Standing::Undetermined {
        return Some(line(format!(
            "{name}: undetermined; facts are missing, or the observations contradict."
        )));
    }
    let then = material.case.question(&heard.id)?;
    (then.gist != asked.gist).then(|| {
        line(format!(
            "{name}: the answer is no longer the one that the case holds{}: the corpus or \
             the case has changed since. `palinode case review` shows what.",
            then.asked
                .map_or(String::new(), |day| format!(" (of {day})"))
        ))
    })
}

fn gaps(id: &str, it: &Remove, open: &mut Vec<Line>) {
    open.extend(it.gaps.iter().map(|gap| line(format!("{id}: {gap}"))));
    for next in &it.next {
        gaps(id, next, open);
    }
}
