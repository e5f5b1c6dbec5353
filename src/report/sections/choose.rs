//! New materials that were weighed, and how each will come out again.

use super::super::document::{Block, Line, line, text};
use super::super::figure::{Outlook as Sign, Strip, StripRow, strip};
use super::super::grounds::Grounds;
use super::{Figures, grounded, nothing};
use crate::answer::{Choice, Choose, Outlook, Reversal};

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
        blocks.push(table(it, grounds));
        for choice in it.choices.iter().take(ARGUED) {
            blocks.push(marks(choice, grounds));
        }
        let rows: Vec<StripRow> = it
            .choices
            .iter()
            .map(|choice| row(&choice.name, &choice.forecast))
            .chain(it.pairs.iter().map(|pair| {
                row(
                    &format!("{} under {}", pair.barrier.1, pair.over.1),
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
            let said = format!("{}: {}", lost.name, lost.reason.text);
            let on = grounds.of(&said, &lost.reason.basis);
            grounded(said, on)
        });
        blocks.push(Block::List(list.collect()));
    }
    let mut remarks: Vec<Line> = Vec::new();
    for reason in it.remarks.iter().chain(&it.pins).chain(&it.light) {
        let on = grounds.of(&reason.text, &reason.basis);
        remarks.push(grounded(reason.text.clone(), on));
    }
    if !remarks.is_empty() {
        blocks.push(Block::List(remarks));
    }
}

fn table(it: &Choose, grounds: &mut Grounds<'_>) -> Block {
    let rows = it
        .choices
        .iter()
        .enumerate()
        .map(|(k, choice)| {
            let mut mind = Line::new();
            for reason in &choice.minding {
                if !mind.is_empty() {
                    mind.push(text("; "));
                }
                let on = grounds.of(&reason.text, &reason.basis);
                mind.extend(grounded(reason.text.clone(), on));
            }
            let worst = choice.forecast.iter().map(|at| at.verdict).max();
            vec![
                line((k + 1).to_string()),
                line(choice.name.clone()),
                line(format!("{:.0}", choice.score)),
                line(worst.map_or("–", Reversal::word)),
                if mind.is_empty() { line("–") } else { mind },
            ]
        })
        .collect();
    Block::Table {
        caption: format!("Materials that may go in as {}", it.called),
        head: [
            "Rank",
            "Material",
            "Score of 100",
            "Reversible, at worst",
            "To be minded as it goes on",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
    }
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
                line(mark.says.clone()),
                line(
                    mark.value
                        .map_or("not recorded".to_owned(), |v| format!("{v:.2}")),
                ),
                line(format!("{:.0}", mark.weight)),
                if on.is_empty() { line("–") } else { on },
            ]
        })
        .collect();
    Block::Table {
        caption: format!("Marks of {} (1 is best)", choice.name),
        head: ["Why", "Mark", "Weight", "Rests on"]
            .map(str::to_owned)
            .to_vec(),
        rows,
    }
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
