//! What is mixed at the bench, and what the air of the room then holds.

use super::super::Material;
use super::super::document::{Block, Line, line};
use super::super::grounds::Grounds;
use super::proposal::{notes, title};
use super::{based, cell, grounded, nothing, strong, text};
use crate::answer::{
    AgainstLimit, Body, BufferSeen, GelSeen, InAir, Prepare, Recipe, Shown, Ventilate,
};
use crate::gate::Caveat;
use crate::units::{four_figures, three_figures};

/// The questions of the case about what is to be made up.
pub(super) fn mixtures(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    blocks: &mut Vec<Block>,
) {
    for heard in &material.heard {
        let Some(answer) = heard.asked.as_ref().ok().and_then(|it| it.answer()) else {
            continue;
        };
        if let Body::Prepare(it) = &answer.body {
            blocks.push(Block::Heading(title(heard)));
            notes(answer, blocks);
            prepare(it, grounds, blocks);
        }
    }
}

/// The questions of the case about the air of the room; returns what the owner is told of them.
pub(super) fn air(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    blocks: &mut Vec<Block>,
) -> Vec<String> {
    let mut plain = Vec::new();
    for heard in &material.heard {
        let Some(answer) = heard.asked.as_ref().ok().and_then(|it| it.answer()) else {
            continue;
        };
        if let Body::Ventilate(it) = &answer.body {
            blocks.push(Block::Heading(title(heard)));
            notes(answer, blocks);
            ventilate(it, grounds, blocks);
            plain.push(in_words(it));
        }
    }
    plain
}

fn prepare(it: &Prepare, grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    if it.undetermined {
        blocks.push(Block::Warning(line(
            "Something that was asked cannot be told; it stands under \u{201c}not known\u{201d} below.",
        )));
    }
    for recipe in &it.recipes {
        blocks.push(weighing(recipe));
        let says = comes_to(recipe);
        if !says.is_empty() {
            blocks.push(nothing(&says));
        }
    }
    if it.recipes.len() > 1 {
        blocks.push(Block::Warning(line(
            "Both readings of the strength are in use: the label says which one was made.",
        )));
    }
    let dissolving: Vec<Line> = it
        .dissolving
        .iter()
        .map(|d| {
            let response = if d.response.is_empty() {
                "not recorded"
            } else {
                &d.response
            };
            let said = format!("{} in {}: {response}", d.solute, d.solvent);
            let on = grounds.on(&said, &[], &d.sources, &d.basis);
            let mut out = grounded(said, on);
            for note in &d.notes {
                out.push(text(format!("; {note}")));
            }
            out
        })
        .collect();
    if !dissolving.is_empty() {
        blocks.push(Block::Paragraph(line("Whether it goes in:")));
        blocks.push(Block::List(dissolving));
    }
    if let Some(it) = &it.buffer {
        blocks.push(buffer(it, grounds));
    }
    if let Some((value, molar)) = it.conductivity {
        blocks.push(nothing(&format!(
            "Conductivity: about {} µS/cm at 25 °C for {} mol/l; it is to be measured.",
            four_figures(value),
            three_figures(molar)
        )));
    }
    if !it.balance.stated
        && it
            .recipes
            .iter()
            .flat_map(|r| &r.lines)
            .any(|l| l.grams.is_some())
    {
        blocks.push(nothing(&format!(
            "The balance is taken to read to {} g; the question did not say.",
            four_figures(it.balance.value)
        )));
    }
    listed("Order of work:", &it.order, blocks);
    if let Some(it) = &it.gel {
        gel(it, grounds, blocks);
    }
    conditions(it.vessel.caveats(), grounds, blocks);
    listed("To be minded:", &it.mind, blocks);
    listed("Not known:", &it.gaps, blocks);
    facts(&it.facts, grounds, blocks);
}

fn weighing(it: &Recipe) -> Block {
    Block::table(
        format!("To weigh and to measure, {}", it.reading),
        &["What", "Weigh, g", "Measure, ml", "How"],
        it.lines
            .iter()
            .map(|l| {
                vec![
                    line(l.what.clone()),
                    cell(Some(&l.weighed())),
                    cell(Some(&l.measured())),
                    cell(Some(&l.note)),
                ]
            })
            .collect(),
    )
}

/// What a recipe comes to, and how sure its strength is.
fn comes_to(it: &Recipe) -> String {
    let mut says: Vec<String> = Vec::new();
    let amounts: Vec<String> = [(it.total_ml, "ml"), (it.total_g, "g")]
        .into_iter()
        .filter_map(|(amount, unit)| Some(format!("{} {unit}", four_figures(amount?))))
        .collect();
    if !amounts.is_empty() {
        says.push(format!("It comes to {}", amounts.join(", ")));
    }
    if !it.strengths.is_empty() {
        let list: Vec<String> = it
            .strengths
            .iter()
            .map(|(unit, value)| format!("{} {unit}", three_figures(*value)))
            .collect();
        says.push(format!("strength {}", list.join(" = ")));
    }
    if let Some(spread) = it.spread {
        says.push(format!(
            "sure to ± {:.1} % of it, by balance and vessel",
            100.0 * spread
        ));
    }
    if says.is_empty() {
        String::new()
    } else {
        super::super::words::capital(&format!("{}.", says.join("; ")))
    }
}

fn buffer(it: &BufferSeen, grounds: &mut Grounds<'_>) -> Block {
    let elsewhere: Vec<String> = it
        .elsewhere
        .iter()
        .map(|(t, ph)| format!("{ph:.2} at {} °C", four_figures(*t)))
        .collect();
    let stated = if it.celsius.stated {
        ""
    } else {
        ", which was not stated"
    };
    let conducts = it.conductivity.map_or_else(
        || "Its conductivity is not reckoned: an ion of it is not on file.".to_owned(),
        |value| {
            format!(
                "It conducts about {} µS/cm at 25 °C, to a tenth.",
                four_figures(value)
            )
        },
    );
    let said = format!(
        "{}: apparent pKa {:.2} at {} °C{stated} and ionic strength {} mol/l; it holds from about pH {:.1} \
         to {:.1}, and {} mol/l of strong acid or alkali move it by one unit. The same solution reads pH \
         {}. {conducts} pH and conductivity are to be measured.",
        it.name,
        it.pk,
        four_figures(it.celsius.value),
        four_figures(it.ionic),
        it.range.0,
        it.range.1,
        four_figures(it.capacity),
        elsewhere.join(", ")
    );
    let on = grounds.on(
        &format!("constants of {}", it.name),
        &[],
        &it.sources,
        &it.basis,
    );
    Block::Paragraph(grounded(said, on))
}

fn gel(it: &GelSeen, grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    let amount = match it.grams {
        Some((a, b)) if (b - a).abs() < 1e-9 => format!("{} g", four_figures(a)),
        Some((a, b)) => format!("{} to {} g", four_figures(a), four_figures(b)),
        None => "an amount that is not recorded".to_owned(),
    };
    let share = if it.share.is_empty() {
        String::new()
    } else {
        format!(" ({})", it.share.replace("..", " to "))
    };
    let carries = if it.carries {
        ""
    } else {
        "; that it carries this liquid is not recorded"
    };
    let said = format!("{amount} of {}{share}{carries}.", it.name);
    let on = grounds.on(&said, &[], &it.sources, &it.basis);
    let mut words = vec![strong("Gel: ")];
    words.extend(grounded(said, on));
    blocks.push(Block::Paragraph(words));
    if !it.how.is_empty() {
        blocks.push(Block::List(it.how.iter().map(line).collect()));
    }
    let mind: Vec<String> = it
        .mind
        .iter()
        .map(|(what, says)| format!("{}: {says}", what.replace('-', " ")))
        .collect();
    listed("To be minded with the gel:", &mind, blocks);
}

fn ventilate(it: &Ventilate, grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    for flag in &it.flags {
        blocks.push(Block::Warning(line(flag)));
    }
    if it.undetermined {
        blocks.push(Block::Warning(line(
            "Undetermined: for a part of it no limit is on file, and what has no limit is not safe.",
        )));
    }
    let stated = if it.mixing.stated {
        ""
    } else {
        ", which was not stated"
    };
    blocks.push(nothing(&format!(
        "{}. The room is taken as one box of {} m³ with {} m³ of fresh air an hour, divided by a mixing \
         factor of {}{stated}. Over a tray the air that is breathed may hold ten times as much as the room.",
        super::super::words::capital(&it.title),
        four_figures(it.room),
        four_figures(it.air),
        four_figures(it.mixing.value)
    )));
    blocks.push(in_the_room(it));
    if let Some((tenth, hundredth)) = it.clearing {
        blocks.push(nothing(&format!(
            "After it stops, a tenth is left after {} min and a hundredth after {} min.",
            three_figures(tenth),
            three_figures(hundredth)
        )));
    }
    blocks.push(limits(&it.parts, grounds));
    blocks.push(against(it));
    if let Some(over) = it.fire.over_liquid {
        let flash = it
            .fire
            .flash
            .as_ref()
            .map_or_else(String::new, |(t, name)| {
                format!("; flash point {} °C ({name})", four_figures(*t))
            });
        let says = if over >= 1.0 {
            "somewhere between it and clean air the vapour can catch fire, whatever the room"
        } else {
            "too lean to catch fire there at 25 °C"
        };
        blocks.push(nothing(&format!(
            "Right over the liquid: {} times the lower flammable limit; {says}{flash}.",
            three_figures(over)
        )));
    }
    if !it.needed.is_empty() {
        blocks.push(needed(it));
    }
    conditions(it.vessel.caveats(), grounds, blocks);
    listed("To be minded:", &it.mind, blocks);
    let mut gaps = it.gaps.clone();
    gaps.extend(it.parts.iter().flat_map(|part| part.notes.iter().cloned()));
    listed("Not known:", &gaps, blocks);
    facts(&it.facts, grounds, blocks);
}

fn in_the_room(it: &Ventilate) -> Block {
    let ppm =
        |value: Option<f64>| line(value.map_or_else(|| "not known".to_owned(), three_figures));
    Block::table(
        "Vapour in the room, parts in a million (ppm)",
        &[
            "Liquid",
            "When it stops",
            "Mean",
            "Worst 15 min",
            "Mean of 8 h",
            "If it went on",
        ],
        it.parts
            .iter()
            .map(|part| {
                let grams = part
                    .grams
                    .map_or_else(String::new, |g| format!(", {} g", three_figures(g)));
                vec![
                    line(format!("{}{grams}", part.name)),
                    ppm(part.peak),
                    ppm(part.mean),
                    ppm(part.quarter),
                    ppm(part.day),
                    if it.air > 0.0 {
                        ppm(part.steady)
                    } else {
                        line("no end")
                    },
                ]
            })
            .collect(),
    )
}

/// The lowest limit on file for each liquid and time. What has none is said to have none.
fn limits(parts: &[InAir], grounds: &mut Grounds<'_>) -> Block {
    let mut rows = Vec::new();
    for part in parts.iter().filter(|part| !part.harmless) {
        for (over, limit) in [
            ("8 h", &part.limit_day),
            ("15 min", &part.limit_quarter),
            ("ceiling", &part.limit_ceiling),
        ] {
            match limit {
                Some(limit) => {
                    let said = format!("limit of {}, {over}: {}", part.name, limit.literal);
                    let on = grounds.on(&said, &[], &limit.sources, &limit.basis);
                    rows.push(vec![
                        line(part.name.clone()),
                        line(over),
                        line(four_figures(limit.ppm)),
                        grounded(limit.whose(), on),
                    ]);
                }
                None if over != "ceiling" => rows.push(vec![
                    line(part.name.clone()),
                    line(over),
                    line("not known"),
                    line("none on file"),
                ]),
                None => {}
            }
        }
    }
    Block::table(
        "The lowest limit on file",
        &["Liquid", "Over", "ppm", "Whose"],
        rows,
    )
}

fn against(it: &Ventilate) -> Block {
    let mut rows: Vec<Vec<Line>> = it
        .burdens
        .iter()
        .map(|b| {
            let sum = |value: f64| match (b.unknown.is_empty(), value > 0.0) {
                (true, _) => three_figures(value),
                (false, true) => format!("at least {}", three_figures(value)),
                (false, false) => "not known".to_owned(),
            };
            vec![
                line(format!("Limits over {}, summed", b.over)),
                line(sum(b.room)),
                line(sum(b.near)),
                line(b.in_words()),
            ]
        })
        .collect();
    let least = if it.fire.unknown.is_empty() {
        ""
    } else {
        "at least "
    };
    rows.push(vec![
        line("Fire: share of the lower flammable limit"),
        line(format!("{least}{}", three_figures(it.fire.room))),
        line(format!("{least}{}", three_figures(it.fire.near))),
        line(it.fire.verdict.in_words().to_owned()),
    ]);
    Block::table(
        "Against the limits: 1 is the limit itself",
        &["Against", "In the room", "At the tray", "Verdict"],
        rows,
    )
}

fn needed(it: &Ventilate) -> Block {
    let amount = |value: Option<f64>| match value {
        None => "no air does it".to_owned(),
        Some(v) if v <= 0.0 => "none".to_owned(),
        Some(v) if v < 0.1 => "below 0.1".to_owned(),
        Some(v) => three_figures(v),
    };
    Block::table(
        "Fresh air that would do",
        &["For", "m³ an hour", "Air changes an hour"],
        it.needed
            .iter()
            .map(|n| {
                let far = n.changes.is_some_and(|c| c > 15.0);
                let changes = amount(n.changes);
                vec![
                    line(n.goal.clone()),
                    line(amount(n.air)),
                    line(if far {
                        format!("{changes}: no room fan, extraction at the work")
                    } else {
                        changes
                    }),
                ]
            })
            .collect(),
    )
}

/// The air of the room for who is no chemist: the gravest verdict counts.
fn in_words(it: &Ventilate) -> String {
    let has = |verdict| it.burdens.iter().any(|b| b.verdict == verdict);
    let says = if it.undetermined || has(AgainstLimit::Undetermined) {
        "for a part of them no limit is on file, so it counts as not safe without extraction"
    } else if has(AgainstLimit::Over) {
        "the air of the room would be over the limit, so the work wants extraction or less liquid"
    } else if has(AgainstLimit::OverAtTray) {
        "the air of the room stays within the limits on file, but over the tray it may not"
    } else {
        "the air stays within the limits on file"
    };
    format!(
        "The vapours of the work were reckoned for the room ({}): {says}. Nobody but who works there \
         should be in the room.",
        it.title
    )
}

fn conditions(list: &[Caveat], grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    if list.is_empty() {
        return;
    }
    blocks.push(Block::Paragraph(line("First, or only if:")));
    let list = list
        .iter()
        .map(|c| {
            based(
                format!("{}: {}", c.rule.says, c.rule.why),
                &c.rule.basis.to_basis(),
                grounds,
            )
        })
        .collect();
    blocks.push(Block::List(list));
}

fn listed(title: &str, list: &[String], blocks: &mut Vec<Block>) {
    if !list.is_empty() {
        blocks.push(Block::Paragraph(line(title)));
        blocks.push(Block::List(list.iter().map(line).collect()));
    }
}

/// What the sums rest on.
fn facts(list: &[Shown], grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    if list.is_empty() {
        return;
    }
    blocks.push(Block::Paragraph(line("The sums rest on:")));
    let list = list
        .iter()
        .map(|f| {
            let said = format!("{} {}", f.field, f.text);
            let places: Vec<_> = f.place.iter().cloned().collect();
            let on = grounds.on(&said, &places, &f.sources, &f.basis);
            grounded(said, on)
        })
        .collect();
    blocks.push(Block::List(list));
}
