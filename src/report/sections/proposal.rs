//! What is proposed, with the options that were weighed and what may go wrong.

use std::collections::BTreeMap;

use super::super::document::{Block, Line, Part, Section, line, text};
use super::super::figure::{Dot, Mark, Triangle, triangle};
use super::super::grounds::Grounds;
use super::super::{Heard, Material};
use super::{Figures, cell, grounded, noted, nothing, strong, typed};
use crate::answer::{Answer, Body, Call, LayerHarm, Remove, RuledOut, Rung};
use crate::chem;
use crate::model::{Kind, Library, Value, Verdict};

pub(super) fn proposal(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
) -> Section {
    let mut blocks = Vec::new();
    proposed(material, &mut blocks);
    for heard in &material.heard {
        match &heard.asked {
            Err(why) => {
                blocks.push(Block::Heading(title(heard)));
                blocks.push(Block::Query(heard.ask.clone()));
                blocks.push(Block::Warning(line(format!(
                    "This question could not be answered: {why}"
                ))));
            }
            Ok(asked) => match asked.answer().map(|it| (it, &it.body)) {
                Some((_, Body::Identify(_))) | None => {}
                Some((answer, Body::Remove(it))) => {
                    blocks.push(Block::Heading(title(heard)));
                    blocks.push(Block::Query(asked.query.clone()));
                    notes(answer, &mut blocks);
                    removal(it, material, grounds, figures, &mut blocks);
                }
                Some((answer, Body::Choose(it))) => {
                    blocks.push(Block::Heading(title(heard)));
                    blocks.push(Block::Query(asked.query.clone()));
                    notes(answer, &mut blocks);
                    super::choose::choose(it, grounds, figures, &mut blocks);
                }
                Some((answer, Body::Blend(it))) => {
                    blocks.push(Block::Heading(title(heard)));
                    blocks.push(Block::Query(asked.query.clone()));
                    notes(answer, &mut blocks);
                    super::blend::blend(it, grounds, figures, &mut blocks);
                }
                Some((answer, _)) => {
                    blocks.push(Block::Heading(title(heard)));
                    blocks.push(Block::Query(asked.query.clone()));
                    notes(answer, &mut blocks);
                    blocks.push(Block::List(asked.gist.iter().map(line).collect()));
                }
            },
        }
    }
    Section {
        part: Part::Proposal,
        plain: plain(material),
        blocks,
    }
}

fn title(heard: &Heard) -> String {
    if heard.id.is_empty() {
        format!("Question: {}", heard.ask)
    } else {
        format!("Question {}: {}", heard.id, heard.ask)
    }
}

fn notes(answer: &Answer, blocks: &mut Vec<Block>) {
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
            .map_or("the old material", |(_, name, _)| name.as_str());
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
                out.push(format!(
                    "To take off {what}, the mildest way that is on record is {}, {sure}. Harsher ways \
                     follow only if that is not enough; {} ways were ruled out because they would harm \
                     what lies beneath, or people.",
                    step(first),
                    it.ruled_out.len()
                ));
            }
            None => out.push(format!(
                "No way of taking off {what} without harm is on record. It stays, unless a test on this \
                 object shows a way."
            )),
        }
    }
    for it in &material.case.proposals {
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
                line(it.what.clone()),
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
    blocks.push(Block::Table {
        caption: "What is proposed".to_owned(),
        head: ["No.", "Proposal", "Step", "Risk", "Question", "Day, who"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    });
}

/// A step in words.
pub(super) fn step(rung: &Rung) -> String {
    let step = rung.step.get();
    let mut out = step.method.head.names.name.clone();
    if let Some(agent) = &step.agent {
        out.push_str(&format!(" with {}", agent.head.names.name));
    }
    if let Some(carrier) = &step.carrier {
        out.push_str(&format!(" in {}", carrier.head.names.name));
    }
    out
}

fn removal(
    it: &Remove,
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
    blocks: &mut Vec<Block>,
) {
    if let Some(after) = &it.after {
        blocks.push(Block::Paragraph(line(format!(
            "This plan holds when: {after}."
        ))));
    }
    if let Some(leave) = &it.leave {
        let on = grounds.of(&leave.text, &leave.basis);
        let mut words = vec![strong("Leaving it is an answer: ")];
        words.extend(grounded(leave.text.clone(), on));
        blocks.push(Block::Warning(words));
    }
    if !it.before.is_empty() {
        blocks.push(Block::Paragraph(line("Before anything else:")));
        let list = it
            .before
            .iter()
            .map(|b| {
                let said = format!("{}: {}", b.what, b.why);
                let on = grounds.of(&said, &b.basis);
                grounded(said, on)
            })
            .collect();
        blocks.push(Block::List(list));
    }
    if it.ladder.is_empty() {
        blocks.push(nothing("No step is live."));
    } else {
        blocks.push(ladder(it, grounds));
        for rung in &it.ladder {
            blocks.push(Block::Terms(vec![(
                format!("{}. {}", rung.rank, step(rung)),
                bench(rung),
            )]));
        }
        if it.considered > it.ladder.len() {
            blocks.push(nothing(&format!(
                "{} live steps were considered; the ladder is cut to the mildest {}.",
                it.considered,
                it.ladder.len()
            )));
        }
    }
    if let Some(drawing) = solubility(it, material) {
        let drawn = triangle(&figures.next(), &drawing);
        blocks.push(figures.block(
            drawn,
            "Where the liquids of this plan lie in the solubility triangle.",
        ));
    }
    ruled_out(it, grounds, blocks);
    for next in &it.next {
        blocks.push(Block::Paragraph(vec![strong("What follows")]));
        removal(next, material, grounds, figures, blocks);
    }
}

fn ladder(it: &Remove, grounds: &mut Grounds<'_>) -> Block {
    let rows = it
        .ladder
        .iter()
        .map(|rung| {
            let name = step(rung);
            let said = format!("{name}: {}", rung.effect.response);
            let on = grounds.on(
                &said,
                &rung.effect.places,
                &rung.effect.sources,
                &rung.effect.basis,
            );
            let effect = grounded(
                format!(
                    "{} (recorded for {:.0} % of what it may be, not recorded for {:.0} %)",
                    rung.effect.response,
                    100.0 * rung.effect.covers,
                    100.0 * rung.effect.unknown
                ),
                on,
            );
            let mut layers = Line::new();
            for harm in &rung.harm {
                if !layers.is_empty() {
                    layers.push(text("; "));
                }
                layers.extend(harmed(&name, harm, grounds));
            }
            let why = conditions(it, rung, grounds);
            let call = match rung.call {
                Call::Recommended => "recommended, after a test spot",
                Call::TestFirst => "test first",
            };
            vec![
                line(rung.rank.to_string()),
                line(name),
                line(call),
                effect,
                if layers.is_empty() {
                    line("–")
                } else {
                    layers
                },
                if why.is_empty() { line("–") } else { why },
            ]
        })
        .collect();
    Block::Table {
        caption: "Steps that are live, mildest first".to_owned(),
        head: [
            "Rank",
            "Step",
            "Call",
            "Effect",
            "On the layers",
            "Reasons and conditions",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    }
}

/// Reasons and conditions of a step that are not told elsewhere: those of its layers stand beside it,
/// and what comes before every step stands above.
fn conditions(it: &Remove, rung: &Rung, grounds: &mut Grounds<'_>) -> Line {
    let mut said: Vec<String> = rung
        .harm
        .iter()
        .map(|harm| format!("{}: {}", harm.layer, harm.reason))
        .chain(it.before.iter().map(|b| b.what.clone()))
        .collect();
    let mut out = Line::new();
    let reasons = rung
        .reasons
        .iter()
        .map(|reason| (reason.text.clone(), reason.basis.clone()));
    let caveats = rung
        .step
        .caveats()
        .iter()
        .map(|caveat| (caveat.rule.says.to_owned(), caveat.rule.basis.to_basis()));
    for (says, basis) in reasons.chain(caveats) {
        if said.contains(&says) {
            continue;
        }
        if !out.is_empty() {
            out.push(text("; "));
        }
        let on = grounds.of(&says, &basis);
        out.extend(grounded(says.clone(), on));
        said.push(says);
    }
    out
}

fn harmed(step: &str, harm: &LayerHarm, grounds: &mut Grounds<'_>) -> Line {
    let verdict = harm.verdict.map_or("not recorded", Verdict::word);
    let what = if harm.layer.is_empty() {
        "rule"
    } else {
        &harm.layer
    };
    let said = format!(
        "{what}: {verdict}{}{}{}",
        if harm.sheltered {
            ", sheltered by what lies above"
        } else {
            ""
        },
        if harm.reason.is_empty() { "" } else { ", " },
        harm.reason
    );
    let places: Vec<_> = harm.place.iter().cloned().collect();
    let on = grounds.on(
        &format!("{step}; {said}"),
        &places,
        &harm.sources,
        &harm.basis,
    );
    grounded(said, on)
}

/// What is done and watched at the bench.
fn bench(rung: &Rung) -> Line {
    let mut out = Line::new();
    let mut add = |name: &str, value: &str| {
        if !value.is_empty() {
            if !out.is_empty() {
                out.push(text(" "));
            }
            out.push(strong(format!("{name}: ")));
            let end = if value.ends_with(['.', '!']) { "" } else { "." };
            out.push(text(format!("{value}{end}")));
        }
    };
    add("Contact", &rung.dwell);
    add("Then", rung.then.as_deref().unwrap_or(""));
    add("Watch", &rung.watch);
    add("Stop", &rung.stop);
    add("Clearance", &rung.clearance);
    let hazards: Vec<&str> = rung.hazards.iter().map(|h| h.word()).collect();
    add("Hazards", &hazards.join(", "));
    out.push(text(" "));
    out.push(typed(rung.step.get().id()));
    out
}

fn ruled_out(it: &Remove, grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    if it.ruled_out.is_empty() {
        return;
    }
    let rows = it
        .ruled_out
        .iter()
        .map(|row| {
            let mut why = Line::new();
            for harm in &row.harm {
                if !why.is_empty() {
                    why.push(text("; "));
                }
                why.extend(harmed(&named(row), harm, grounds));
            }
            vec![vec![text(named(row))], line(row.effect.clone()), why]
        })
        .collect();
    blocks.push(Block::Table {
        caption: "Ruled out, and why".to_owned(),
        head: ["Step", "Effect on the old material", "Reason"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    });
}

fn named(row: &RuledOut) -> String {
    match (&row.method, &row.agent) {
        (Some((_, method)), Some((_, agent))) => format!("{method} with {agent}"),
        (Some((_, method)), None) => method.clone(),
        (None, Some((_, agent))) => format!("{agent}, by any method"),
        (None, None) => row.id.clone(),
    }
}

/// Liquids that are drawn at most: more numbers would lie on one another.
const LIQUIDS: usize = 14;

/// The liquids of a plan in the triangle: live ones first, then those ruled out. None where fewer
/// than two of them have fractions on file.
fn solubility(it: &Remove, material: &Material<'_>) -> Option<Triangle> {
    let mut marks: BTreeMap<String, Mark> = BTreeMap::new();
    let mut order: Vec<String> = Vec::new();
    let live = it
        .ladder
        .iter()
        .filter_map(|rung| rung.step.get().agent.as_ref())
        .map(|agent| (agent.head.id.clone(), Mark::Live));
    let out = it
        .ruled_out
        .iter()
        .filter_map(|row| row.agent.as_ref())
        .map(|(id, _)| (id.clone(), Mark::Out));
    for (id, mark) in live.chain(out) {
        if !marks.contains_key(&id) {
            order.push(id.clone());
            marks.insert(id, mark);
        }
    }
    let dots: Vec<Dot> = order
        .iter()
        .filter_map(|id| {
            let (name, at) = fractions(material, id)?;
            Some(Dot {
                name,
                at,
                mark: marks[id],
            })
        })
        .take(LIQUIDS)
        .collect();
    (dots.len() > 1).then(|| Triangle {
        dots,
        remark: "Places come from published fractions where they are on file, else from Hansen \
                 parameters. They show which liquids are alike; they prove nothing of an aged film."
            .to_owned(),
        ..Triangle::default()
    })
}

/// The fractions of a liquid: as recorded, else from its Hansen parameters.
fn fractions(material: &Material<'_>, id: &str) -> Option<(String, (f64, f64, f64))> {
    let index = material.pack.position(Kind::Agent, id)?;
    let record = material.pack.record(Kind::Agent, index)?;
    let head = record.head();
    let of = |key: &str| {
        head.facts
            .get(key)
            .iter()
            .find_map(|fact| match &fact.value {
                Value::Teas(d, p, h) => Some((*d, *p, *h)),
                Value::Hansen(it) => chem::teas(*it),
                _ => None,
            })
    };
    let (d, p, h) = of("teas").or_else(|| of("hansen"))?;
    // The engine's fractions may sum to 1 or to 100; the figure wants per cent.
    let scale = 100.0 / (d + p + h);
    scale
        .is_finite()
        .then(|| (head.names.name.clone(), (d * scale, p * scale, h * scale)))
}
