//! What is proposed, with the options that were weighed and what may go wrong.

use super::super::document::{Block, Part, Section, line, text};
use super::super::grounds::Grounds;
use super::super::{Heard, Material};
use super::removal::{removal, step};
use super::{Figures, cell, dot, noted, nothing, of_record, strong};
use crate::answer::{Answer, Body, Call, shortened};
use crate::case::Question;

pub(super) fn proposal(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
) -> Section {
    let mut blocks = Vec::new();
    proposed(material, &mut blocks);
    for heard in &material.heard {
        asked(material, heard, grounds, figures, &mut blocks);
    }
    for question in material
        .case
        .questions
        .iter()
        .filter(|it| !it.noted.holds())
    {
        withdrawn(question, &mut blocks);
    }
    Section {
        part: Part::Proposal,
        plain: plain(material),
        blocks,
    }
}

/// A question with its answer. What is mixed at the bench stands with the materials, and what the air
/// of the room holds with health and safety.
fn asked(
    material: &Material<'_>,
    heard: &Heard,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
    blocks: &mut Vec<Block>,
) {
    let asked = match &heard.asked {
        Ok(asked) => asked,
        Err(why) => {
            blocks.push(Block::Heading(title(heard)));
            blocks.push(Block::Query(heard.ask.clone()));
            blocks.push(Block::Warning(line(format!(
                "This question could not be answered: {why}"
            ))));
            return;
        }
    };
    let Some(answer) = asked.answer() else {
        return;
    };
    if matches!(
        answer.body,
        Body::Identify(_) | Body::Prepare(_) | Body::Ventilate(_)
    ) {
        return;
    }
    blocks.push(Block::Heading(title(heard)));
    blocks.push(Block::Query(answer.query.clone()));
    if asked.query.trim() != answer.query.trim() {
        let stand: Vec<String> = material
            .case
            .unknowns
            .iter()
            .filter(|it| asked.query.contains(&format!("let {} =", it.id)))
            .map(|it| format!("{} for {}", it.id, Material::called(it)))
            .collect();
        if !stand.is_empty() {
            blocks.push(nothing(&format!(
                "Here stands {}, with all that was seen of it. The whole text is kept in the case file.",
                super::super::words::list(&stand)
            )));
        }
    }
    notes(answer, blocks);
    match &answer.body {
        Body::Remove(it) => removal(it, material, grounds, figures, blocks),
        Body::Choose(it) => super::choose::choose(it, grounds, figures, blocks),
        Body::Blend(it) => super::blend::blend(it, grounds, figures, blocks),
        _ => blocks.push(Block::List(asked.gist.iter().map(line).collect())),
    }
}

/// A question that does not hold any more: it is not asked again.
fn withdrawn(question: &Question, blocks: &mut Vec<Block>) {
    blocks.push(Block::Heading(format!(
        "Question {}: withdrawn",
        question.id
    )));
    blocks.push(Block::Query(question.ask.clone()));
    let why = question.noted.withdrawn.as_deref().unwrap_or_default();
    blocks.push(Block::Paragraph(vec![
        strong("Withdrawn: "),
        text(format!("{} It was not asked again.", dot(why))),
    ]));
}

pub(super) fn title(heard: &Heard) -> String {
    // The whole stands below it; a heading of ten lines heads nothing.
    let ask = shortened(&heard.ask, HEADING);
    if heard.id.is_empty() {
        format!("Question: {ask}")
    } else {
        format!("Question {}: {ask}", heard.id)
    }
}

/// Letters of a question that its heading shows.
const HEADING: usize = 90;

pub(super) fn notes(answer: &Answer, blocks: &mut Vec<Block>) {
    if !answer.notes.is_empty() {
        blocks.push(Block::List(answer.notes.iter().map(line).collect()));
    }
}

fn plain(material: &Material<'_>) -> Vec<String> {
    let mut out = Vec::new();
    for (_, _, it) in material.removals() {
        let what = it
            .target
            .first()
            .map_or("the old material", |it| it.name.as_str());
        if let Some(leave) = &it.leave {
            out.push(format!(
                "It may be best to leave {what} where it is: {}.",
                leave.text.trim_end_matches('.')
            ));
        }
        match it.ladder.first() {
            Some(first) => {
                let sure = match first.call {
                    Call::Recommended => "after a test on a hidden spot",
                    Call::TestFirst => "only if a test on a hidden spot of this object goes well",
                };
                let ruled_out = match it.ruled_out.len() {
                    0 => String::new(),
                    1 => "; one way was ruled out because it would harm what lies beneath, or people"
                        .to_owned(),
                    n => format!(
                        "; {n} ways were ruled out because they would harm what lies beneath, or people"
                    ),
                };
                out.push(format!(
                    "To take off {what}, the mildest way that is on record is {}, {sure}. Harsher ways \
                     follow only if that is not enough{ruled_out}.",
                    step(first)
                ));
            }
            None => out.push(format!(
                "No way of taking off {what} without harm is on record. It stays, unless a test on this \
                 object shows a way."
            )),
        }
    }
    out.extend(material.heard.iter().filter_map(|heard| {
        let answer = heard.asked.as_ref().ok()?.answer()?;
        match &answer.body {
            Body::Choose(it) => Some(super::choose::in_words(it)),
            Body::Blend(it) => Some(super::blend::in_words(it)),
            _ => None,
        }
    }));
    for it in material.case.proposals.iter().filter(|it| it.noted.holds()) {
        out.push(format!("Proposed: {}", it.what));
        if let Some(risk) = &it.risk {
            out.push(format!("What may go wrong: {risk}"));
        }
    }
    if out.is_empty() {
        out.push("Nothing is proposed yet.".to_owned());
    }
    out
}

fn proposed(material: &Material<'_>, blocks: &mut Vec<Block>) {
    if material.case.proposals.is_empty() {
        blocks.push(nothing("No proposal is recorded in this case."));
        return;
    }
    let rows = material
        .case
        .proposals
        .iter()
        .map(|it| {
            vec![
                line(it.id.clone()),
                of_record(&it.noted, line(it.what.clone())),
                cell(it.step.as_deref()),
                match &it.risk {
                    Some(risk) => line(risk.clone()),
                    None => line("not stated"),
                },
                cell(it.from.as_deref()),
                cell(Some(&noted(&it.noted))),
            ]
        })
        .collect();
    blocks.push(Block::table(
        "What is proposed",
        &["No.", "Proposal", "Step", "Risk", "Question", "Day, who"],
        rows,
    ));
}
