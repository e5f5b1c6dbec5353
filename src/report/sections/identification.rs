//! What the old materials probably are, and on what evidence.

use super::super::Material;
use super::super::document::{Block, Line, Part, Section, line, text};
use super::super::figure::{Bar, Bars, Weight, bars};
use super::super::grounds::Grounds;
use super::super::words::{likely, list};
use super::{Figures, grounded, nothing, strong};
use crate::answer::{Candidate, Conclusion, HazardLeft, Identify, decibels, percent};
use crate::model::Hazard;

/// Most candidates that are drawn and listed.
const SHOWN: usize = 6;
/// Candidates whose evidence is listed one by one.
const ARGUED: usize = 3;
/// Least probability of a candidate that is listed.
const LEAST: f64 = 0.01;

pub(super) fn identification(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
) -> Section {
    let mut blocks = Vec::new();
    let mut plain = Vec::new();
    let found = material.identified();
    if found.is_empty() {
        blocks.push(nothing(
            "No old material of this case was identified: none was observed, or none was asked about.",
        ));
        plain.push("What the old materials are was not looked into.".to_owned());
    }
    for (unknown, asked, it) in found {
        let called = Material::called(unknown);
        plain.push(in_words(called, it));
        plain.extend(dangers(it));
        blocks.push(Block::Heading(format!("{called} ({})", unknown.id)));
        blocks.push(Block::Query(asked.query.clone()));
        blocks.push(Block::Paragraph(conclusion(it)));
        let shown: Vec<&Candidate> = it
            .candidates
            .iter()
            .filter(|c| c.probability >= LEAST)
            .take(SHOWN)
            .collect();
        let drawn = bars(&figures.next(), &drawing(&shown, it));
        blocks.push(figures.block(
            drawn,
            &format!(
                "How probable each candidate for {called} is, and what speaks for and against it."
            ),
        ));
        blocks.extend(evidence(&shown[..shown.len().min(ARGUED)], grounds));
        if !it.contradictions.is_empty() {
            blocks.push(Block::Warning(line(
                "These observations contradict one another:",
            )));
            blocks.push(Block::List(it.contradictions.iter().map(line).collect()));
        }
        hazards(it, &mut blocks);
        next(it, &mut blocks);
    }
    Section {
        part: Part::Identification,
        plain,
        blocks,
    }
}

/// Probability from which the owner is told of another candidate, too: one chance in ten.
const WORTH_NAMING: f64 = 0.1;

fn leader(it: &Identify) -> Option<&Candidate> {
    it.candidates.first()
}

fn in_words(called: &str, it: &Identify) -> String {
    match &it.conclusion {
        Conclusion::Material(_) => match leader(it) {
            Some(c) => format!(
                "{}: {} {} ({}).{} That is a conclusion from small tests, not a proof.",
                super::super::words::capital(called),
                likely(c.probability),
                c.name,
                percent(c.probability),
                others(it)
            ),
            None => format!("{called}: nothing can be said."),
        },
        Conclusion::Family(_) => {
            let family = it.families.first();
            format!(
                "{}: {} one of the group {} ({}); which one, these tests cannot tell.",
                super::super::words::capital(called),
                family.map_or("possibly", |f| likely(f.probability)),
                family.map_or("", |f| f.name.as_str()),
                family.map_or(String::new(), |f| percent(f.probability))
            )
        }
        Conclusion::NotEnough => format!(
            "{}: what was seen is not enough to say what it is.",
            super::super::words::capital(called)
        ),
        Conclusion::Contradicts => format!(
            "{}: what was seen contradicts itself, so nothing is concluded from it.",
            super::super::words::capital(called)
        ),
    }
}

/// What else it may well be: who reads one name takes it for the answer.
fn others(it: &Identify) -> String {
    let others: Vec<String> = it
        .candidates
        .iter()
        .skip(1)
        .take(2)
        .filter(|c| c.probability >= WORTH_NAMING)
        .map(|c| format!("{} ({})", c.name, percent(c.probability)))
        .collect();
    if others.is_empty() {
        String::new()
    } else {
        format!(" It may also be {}.", others.join(" or "))
    }
}

/// What may harm somebody, for who is no chemist. What is less probable than binds the plan is told in
/// the technical part.
fn dangers(it: &Identify) -> Option<String> {
    let told: Vec<&HazardLeft> = it
        .hazards
        .iter()
        .filter(|h| h.probability >= 0.01)
        .collect();
    let nitrate = told.iter().find(|h| h.hazard == Hazard::Nitrate);
    let words: Vec<String> = told
        .iter()
        .map(|h| match h.hazard {
            Hazard::Nitrate => "cellulose nitrate, which catches fire very easily".to_owned(),
            Hazard::Lead => "lead, which is poisonous as dust".to_owned(),
            Hazard::Arsenic => "arsenic, which is poisonous".to_owned(),
            Hazard::Mercury => "mercury, which is poisonous as dust and when warm".to_owned(),
            Hazard::Asbestos => "asbestos, whose dust causes cancer".to_owned(),
            Hazard::Mould => "mould, which should not be breathed in".to_owned(),
            other => other.word().to_owned(),
        })
        .collect();
    if words.is_empty() {
        return None;
    }
    // Of nitrate the probability is that of the material itself; of the others, that of materials that
    // may carry them.
    let holds = match nitrate {
        Some(h) if h.probability >= 0.5 && words.len() == 1 => "probably holds",
        _ => "may hold",
    };
    let heat = if nitrate.is_some() {
        "keep flame, heat and strong light away, and "
    } else {
        ""
    };
    Some(format!(
        "It {holds} {}. Until that is ruled out, {heat}do not scrape, sand or brush it.",
        list(&words)
    ))
}

fn conclusion(it: &Identify) -> Line {
    match (&it.conclusion, leader(it)) {
        (Conclusion::Material(_), Some(c)) => vec![
            text("Conclusion: "),
            strong(c.name.clone()),
            text(format!(
                ", {}; none of the materials on file: {}.",
                percent(c.probability),
                percent(it.none_of_these)
            )),
        ],
        (Conclusion::Family(_), _) => vec![
            text("Conclusion: the family "),
            strong(it.families.first().map_or("", |f| f.name.as_str())),
            text(format!(
                ", {}; its members cannot be told apart. None of the materials on file: {}.",
                it.families
                    .first()
                    .map_or(String::new(), |f| percent(f.probability)),
                percent(it.none_of_these)
            )),
        ],
        (Conclusion::Contradicts, _) => {
            line("Conclusion: none. The observations contradict one another or every record.")
        }
        _ => line(format!(
            "Conclusion: not enough to say. None of the materials on file: {}.",
            percent(it.none_of_these)
        )),
    }
}

fn drawing(shown: &[&Candidate], it: &Identify) -> Bars {
    Bars {
        bars: shown
            .iter()
            .map(|c| Bar {
                name: c.name.clone(),
                share: c.probability,
                before: c.prior,
                weights: c
                    .evidence
                    .iter()
                    .map(|e| Weight {
                        db: e.weight_db,
                        recorded: !e.places.is_empty() || !e.basis.is_empty(),
                    })
                    .collect(),
            })
            .collect(),
        none: it.none_of_these,
        observations: shown
            .first()
            .map(|c| c.evidence.iter().map(|e| e.observation.clone()).collect())
            .unwrap_or_default(),
    }
}

/// What each observation says of the first candidates, side by side.
fn evidence(shown: &[&Candidate], grounds: &mut Grounds<'_>) -> Option<Block> {
    let first = shown.first().filter(|it| !it.evidence.is_empty())?;
    let rows = first
        .evidence
        .iter()
        .enumerate()
        .map(|(k, seen)| {
            let mut row = vec![line(seen.observation.clone())];
            for candidate in shown {
                let Some(e) = candidate.evidence.get(k) else {
                    row.push(line("–"));
                    continue;
                };
                let said = format!("{}: {}", e.observation, e.expected);
                let on = grounds.on(&said, &e.places, &e.sources, &e.basis);
                row.push(if on.is_empty() {
                    line("not recorded")
                } else {
                    grounded(format!("{} dB: {}", decibels(e.weight_db), e.expected), on)
                });
            }
            row
        })
        .collect();
    let mut head = vec!["Seen".to_owned()];
    head.extend(shown.iter().enumerate().map(|(k, c)| {
        format!(
            "{}. {}, {} (before the observations {})",
            k + 1,
            c.name,
            percent(c.probability),
            percent(c.prior)
        )
    }));
    Some(Block::Table {
        caption:
            "The evidence: what each observation weighs (above 0 dB: for it), and what the records \
                  expect there"
                .to_owned(),
        head,
        rows,
    })
}

fn hazards(it: &Identify, blocks: &mut Vec<Block>) {
    if it.hazards.iter().all(|h| h.probability <= 0.0) {
        return;
    }
    // What no material of the kind asked for carries is no news.
    let list = it
        .hazards
        .iter()
        .filter(|h| h.probability > 0.0)
        .map(|h| {
            let so = if h.probability >= 0.5 {
                ", so it is handled as if it were there".to_owned()
            } else {
                h.test.as_ref().map_or(String::new(), |test| {
                    format!(
                        "; a clean negative of this test would exclude it: {}",
                        test.name
                    )
                })
            };
            line(format!(
                "{}: {}{so}",
                if h.hazard == Hazard::Nitrate {
                    "cellulose nitrate"
                } else {
                    h.hazard.word()
                },
                percent(h.probability)
            ))
        })
        .collect();
    blocks.push(Block::Warning(line(
        "Hazards that no clean negative test has excluded:",
    )));
    blocks.push(Block::List(list));
}

fn next(it: &Identify, blocks: &mut Vec<Block>) {
    let list: Vec<Line> = it
        .next_tests
        .iter()
        .filter(|next| next.gain_bits >= 0.005)
        .take(3)
        .map(|next| {
            let test = &next.offer.test.get().test.head.names.name;
            let with = next
                .offer
                .liquid
                .as_ref()
                .map_or(String::new(), |liquid| format!(" with {}", liquid.name));
            grounded(
                format!("{test}{with} ({:.2} bit expected)", next.gain_bits),
                Line::new(),
            )
        })
        .collect();
    if list.is_empty() {
        return;
    }
    blocks.push(Block::Paragraph(line(
        "Tests that would tell most, should more certainty be wanted:",
    )));
    blocks.push(Block::List(list));
}
