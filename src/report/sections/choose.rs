//! New materials that were weighed, and how each will come out again.

use super::super::document::{Block, Line, line};
use super::super::figure::{Outlook as Sign, Strip, StripRow, strip};
use super::super::grounds::Grounds;
use super::{Figures, based, nothing};
use crate::answer::{Choice, Choose, Outlook, Reason, Reversal};

/// Choices whose marks are told one by one.
const ARGUED: usize = 3;

pub(super) fn choose(
    it: &Choose,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
    blocks: &mut Vec<Block>,
) {
    if it.choices.is_empty() {
        blocks.push(nothing("No material on file is feasible here."));
    } else {
        table(it, grounds, blocks);
        for choice in it.choices.iter().take(ARGUED) {
            blocks.push(marks(choice, grounds));
        }
        let rows: Vec<StripRow> = it
            .choices
            .iter()
            .map(|choice| row(&choice.name, &choice.forecast))
            .chain(it.pairs.iter().map(|pair| {
                row(
                    &format!("{} under {}", pair.barrier.name, pair.over.name),
                    &pair.forecast,
                )
            }))
            .collect();
        let times: Vec<String> = it.choices[0]
            .forecast
            .iter()
            .map(|at| time(at.years))
            .collect();
        let drawn = strip(&figures.next(), &Strip { times, rows });
        blocks.push(figures.block(
            drawn,
            "How each choice will come off these layers again, with the liquid that takes it. A sign ≈ \
             stands where the years go beyond the recorded ageing: there it is a guess.",
        ));
    }
    if !it.undetermined.is_empty() {
        blocks.push(nothing("Not judged, because a fact is missing:"));
        let list = it.undetermined.iter().map(|lost| {
            based(
                format!("{}: {}", lost.name, lost.reason.text),
                &lost.reason.basis,
                grounds,
            )
        });
        blocks.push(Block::List(list.collect()));
    }
    let mut remarks: Vec<Line> = Vec::new();
    for reason in it.remarks.iter().chain(&it.pins).chain(&it.light) {
        remarks.push(based(&reason.text, &reason.basis, grounds));
    }
    if !remarks.is_empty() {
        blocks.push(Block::List(remarks));
    }
}

/// The choices; what is to be minded of several is told once, under a letter.
fn table(it: &Choose, grounds: &mut Grounds<'_>, blocks: &mut Vec<Block>) {
    let mut minded: Vec<(&Reason, String)> = Vec::new();
    let rows = it
        .choices
        .iter()
        .enumerate()
        .map(|(k, choice)| {
            let letters: Vec<String> = choice
                .minding
                .iter()
                .map(|reason| {
                    if let Some((_, letter)) =
                        minded.iter().find(|(own, _)| own.text == reason.text)
                    {
                        return letter.clone();
                    }
                    let letter = lettered(minded.len());
                    minded.push((reason, letter.clone()));
                    letter
                })
                .collect();
            let worst = choice.forecast.iter().map(|at| at.verdict).max();
            vec![
                line((k + 1).to_string()),
                line(choice.name.clone()),
                line(format!("{:.0}", choice.score)),
                line(worst.map_or("–", Reversal::word)),
                cell_of(&letters),
            ]
        })
        .collect();
    blocks.push(Block::table(
        format!("Materials that may go in as {}", it.called),
        &[
            "Rank",
            "Material",
            "Score of 100",
            "Reversible, at worst",
            "To be minded as it goes on",
        ],
        rows,
    ));
    if !minded.is_empty() {
        blocks.push(Block::Paragraph(line("To be minded, by its letter:")));
        let list = minded
            .into_iter()
            .map(|(reason, letter)| (letter, based(&reason.text, &reason.basis, grounds)))
            .collect();
        blocks.push(Block::Terms(list));
    }
}

/// `a` to `z`, then `a2` and so on.
fn lettered(k: usize) -> String {
    let letter = char::from(b'a' + u8::try_from(k % 26).unwrap_or(0));
    match k / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

fn cell_of(letters: &[String]) -> Line {
    if letters.is_empty() {
        line("–")
    } else {
        line(letters.join(", "))
    }
}

/// The choice for the owner.
pub(super) fn in_words(it: &Choose) -> String {
    let Some(first) = it.choices.first() else {
        return format!(
            "Asked for as new material: {}. None on file is fit for these layers, as far as is on record.",
            it.called
        );
    };
    let worst = first.forecast.iter().map(|at| at.verdict).max();
    let out = match worst {
        Some(Reversal::Reversible) => "it can be taken off again, as far as is foretold",
        Some(Reversal::WithCare) => "it can be taken off again with care",
        Some(Reversal::PartlyExtractable) => "some of it would stay for good",
        Some(Reversal::OnlyMechanically) => "in the end it comes off only by tools",
        Some(Reversal::Not) => "it cannot be taken off again",
        Some(Reversal::Unknown) | None => "whether it comes off again is not on record",
    };
    format!(
        "Asked for as new material: {}. {} comes first of {} that may go in; {out}.",
        it.called,
        first.name,
        it.choices.len() + it.more
    )
}

fn marks(choice: &Choice, grounds: &mut Grounds<'_>) -> Block {
    let rows = choice
        .marks
        .iter()
        .map(|mark| {
            let said = format!("{}: {}", choice.name, mark.says);
            let places: Vec<_> = mark.place.iter().cloned().collect();
            let on = grounds.on(&said, &places, &mark.sources, &mark.basis);
            vec![
                line(mark.says.replace("..", " to ")),
                line(
                    mark.value
                        .map_or("not recorded".to_owned(), |v| format!("{v:.2}")),
                ),
                line(format!("{:.0}", mark.weight)),
                if on.is_empty() { line("–") } else { on },
            ]
        })
        .collect();
    Block::table(
        format!("Marks of {} (1 is best)", choice.name),
        &["Why", "Mark", "Weight", "Rests on"],
        rows,
    )
}

fn row(name: &str, forecast: &[Outlook]) -> StripRow {
    StripRow {
        name: name.to_owned(),
        cells: forecast.iter().map(cell).collect(),
    }
}

/// A time of the forecast in words.
pub(super) fn time(years: u32) -> String {
    match years {
        0 => "now".to_owned(),
        years => format!("in {years} years"),
    }
}

/// What the strip shows of one time.
pub(super) fn cell(at: &Outlook) -> (Sign, String) {
    let sign = match at.verdict {
        Reversal::Reversible => Sign::Open,
        Reversal::WithCare => Sign::Test,
        Reversal::PartlyExtractable | Reversal::OnlyMechanically => Sign::Partly,
        Reversal::Not => Sign::Closed,
        Reversal::Unknown => Sign::Unknown,
    };
    let mut word = match at.verdict {
        Reversal::OnlyMechanically => "by tools".to_owned(),
        _ => at
            .route
            .as_ref()
            .and_then(|rung| rung.step.get().agent.as_ref())
            .map_or(String::new(), |agent| agent.head.names.name.clone()),
    };
    if at.extrapolated {
        word = format!("≈ {word}").trim_end().to_owned();
    }
    (sign, word)
}
