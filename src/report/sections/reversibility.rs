//! Whether what was put in can be taken out again: the forecast of `choose` for each material that was
//! used, beside what its record says.

use super::super::Material;
use super::super::document::{Block, Part, Section, line};
use super::super::figure::{Outlook, Strip, StripRow, strip};
use super::super::grounds::Grounds;
use super::super::words::{capital, list};
use super::choose::{cell as outlook_of, time};
use super::removal::step;
use super::{Figures, based, grounded, nothing, strong};
use crate::answer::{Body, Choose};
use crate::case::Use;
use crate::model::naming::fold;
use crate::model::{Kind, Library};

pub(super) fn reversibility(
    material: &Material<'_>,
    grounds: &mut Grounds<'_>,
    figures: &mut Figures,
) -> Section {
    let mut blocks = Vec::new();
    let mut plain = Vec::new();
    let mut strip_of = Strip::default();
    let mut seen: Vec<String> = Vec::new();
    for used in material.case.uses.iter().filter(|it| it.noted.holds()) {
        let folded = fold(&used.material);
        if seen.contains(&folded) {
            continue;
        }
        seen.push(folded.clone());
        match kind_of(material, &folded) {
            Some(Kind::Material) => {
                let found = forecast(material, used, grounds);
                plain.push(in_words(&used.material, &found));
                blocks.extend(found.blocks);
                blocks.extend(remark(material, &folded, grounds));
                if strip_of.times.is_empty() {
                    strip_of.times = found.times;
                }
                strip_of.rows.push(StripRow {
                    name: used.material.clone(),
                    cells: found.cells,
                });
            }
            // A liquid is gone when the work is done.
            Some(Kind::Agent | Kind::Carrier) => {}
            _ => {
                let said = format!(
                    "{} is not on file: whether it comes off these layers again is unknown, so it counts \
                     as not reversible until somebody has tried.",
                    used.material
                );
                plain.push(capital(&said));
                blocks.push(Block::Warning(line(capital(&said))));
                strip_of.rows.push(StripRow {
                    name: used.material.clone(),
                    cells: Vec::new(),
                });
            }
        }
    }
    if strip_of.rows.is_empty() {
        blocks.push(nothing(
            "No material that stays on the object is recorded as used.",
        ));
        plain.push("Nothing was put in that would have to come off again.".to_owned());
    } else {
        if strip_of.times.is_empty() {
            strip_of.times = vec!["at any time".to_owned()];
        }
        let columns = strip_of.times.len();
        for row in &mut strip_of.rows {
            // What is not on file, and what is not judged, is unknown at every time.
            row.cells.resize(columns, (Outlook::Unknown, String::new()));
        }
        let drawn = strip(&figures.next(), &strip_of);
        blocks.push(figures.block(
            drawn,
            "How what was put in will come off these layers again, with the liquid that takes it. A sign ≈ \
             stands where the years go beyond the recorded ageing: there it is a guess.",
        ));
    }
    blocks.push(Block::Paragraph(vec![
        strong("What this says: "),
        super::text(
            "being reversible is no property of a material; it holds between a material, its age and \
             the layers that it touches. The outlook is what is on record for these layers now. It is \
             no promise: the next conservator tests again.",
        ),
    ]));
    Section {
        part: Part::Reversibility,
        plain,
        blocks,
    }
}

/// What is foretold of a material.
struct Foretold {
    times: Vec<String>,
    cells: Vec<(Outlook, String)>,
    blocks: Vec<Block>,
}

/// Asks the planner of new materials how a used one will come off the layers of the case. One that a
/// hard rule refuses today has no forecast there: the rule is told in its place.
fn forecast(material: &Material<'_>, used: &Use, grounds: &mut Grounds<'_>) -> Foretold {
    let mut out = Foretold {
        times: Vec::new(),
        cells: Vec::new(),
        blocks: Vec::new(),
    };
    let layers: Vec<&str> = material
        .case
        .layers
        .iter()
        .map(|it| it.name.trim())
        .collect();
    if layers.is_empty() {
        out.blocks.push(nothing(&format!(
            "How {} comes off again is not told: the case names no layers.",
            used.material
        )));
        return out;
    }
    // What is not a name in one piece would be read as more than a name.
    let name = used.material.replace(['"', '\n', '\r'], " ");
    let text = format!("choose \"{name}\" for {}", layers.join(" over "));
    let asked = material.ask(&text);
    let Some((answer, Body::Choose(it))) = asked
        .as_ref()
        .ok()
        .and_then(|it| it.answer())
        .map(|it| (it, &it.body))
    else {
        out.blocks.push(nothing(&format!(
            "How {} comes off again could not be asked.",
            used.material
        )));
        return out;
    };
    told(it, used, grounds, &mut out);
    // How to ask it otherwise helps nobody who reads a report.
    let taken: Vec<&str> = answer
        .notes
        .iter()
        .filter_map(|note| note.split("; say ").next())
        .collect();
    if !taken.is_empty() {
        out.blocks.push(nothing(&format!(
            "Taken for the forecast of {}: {}.",
            used.material,
            taken.join("; ")
        )));
    }
    out
}

fn told(it: &Choose, used: &Use, grounds: &mut Grounds<'_>, out: &mut Foretold) {
    let (name, forecast) = match (it.choices.first(), it.besides.first()) {
        (Some(choice), _) => (choice.name.as_str(), &choice.forecast),
        (None, beside) => {
            for lost in it.lost.iter().chain(&it.undetermined) {
                let mut words = vec![strong(
                    "By the rules of today it would not be chosen here: ",
                )];
                words.extend(based(
                    format!("{}: {}", lost.name, lost.reason.text),
                    &lost.reason.basis,
                    grounds,
                ));
                out.blocks.push(Block::Warning(words));
            }
            match beside {
                Some((_, forecast)) => (used.material.as_str(), forecast),
                None => return,
            }
        }
    };
    let rows = forecast
        .iter()
        .map(|at| {
            let by = at.route.as_ref().map_or_else(
                || line("none"),
                |rung| line(format!("{}: {}", step(rung), rung.effect.response)),
            );
            let how = if at.extrapolated {
                format!("{}, beyond the recorded ageing", at.verdict.word())
            } else {
                at.verdict.word().to_owned()
            };
            let said = format!("{name}, {}: {how}", time(at.years));
            let on = grounds.on(&said, &[], &at.sources, &at.basis);
            vec![line(time(at.years)), grounded(how, on), by]
        })
        .collect();
    out.times = forecast.iter().map(|at| time(at.years)).collect();
    out.cells = forecast.iter().map(outlook_of).collect();
    out.blocks.push(Block::table(
        format!("Taking {} off this object again", used.material),
        &["When", "Outlook", "Mildest way on record"],
        rows,
    ));
}

/// What kind of record a name means.
fn kind_of(material: &Material<'_>, folded: &str) -> Option<Kind> {
    let kinds: Vec<Kind> = material
        .pack
        .names()
        .iter()
        .filter(|it| it.folded == folded)
        .map(|it| it.kind)
        .collect();
    [Kind::Material, Kind::Agent, Kind::Carrier]
        .into_iter()
        .find(|kind| kinds.contains(kind))
}

/// The forecast for the owner.
fn in_words(name: &str, found: &Foretold) -> String {
    let Some(first) = found.cells.first() else {
        return format!("Whether {name} can be taken off again is not on record for these layers.");
    };
    let says = |outlook: Outlook| match outlook {
        Outlook::Open => "can be taken off again by ways that are on record",
        Outlook::Test => {
            "may come off again after a trial on a hidden spot of this object; nobody can promise it"
        }
        Outlook::Partly => "comes off only in part, or only by tools",
        Outlook::Closed => "cannot be taken off again without harm, as far as is on record",
        Outlook::Unknown => "may or may not come off again: it is not on record",
    };
    let mut changes: Vec<String> = Vec::new();
    let mut last = first.0;
    for (time, (outlook, _)) in found.times.iter().zip(&found.cells).skip(1) {
        if *outlook != last {
            changes.push(format!("{time} it {}", says(*outlook)));
            last = *outlook;
        }
    }
    if changes.is_empty() {
        return capital(&format!(
            "{name} {}, now and when it is old.",
            says(first.0)
        ));
    }
    format!("Now {name} {}; {}.", says(first.0), list(&changes))
}

/// What the record says of taking it off.
fn remark(material: &Material<'_>, folded: &str, grounds: &mut Grounds<'_>) -> Vec<Block> {
    let Some(named) = material
        .pack
        .names()
        .iter()
        .find(|it| it.folded == folded && it.kind == Kind::Material)
    else {
        return Vec::new();
    };
    let Some(record) = material.pack.record(Kind::Material, named.index as usize) else {
        return Vec::new();
    };
    let head = record.head();
    head.facts
        .get("reversibility")
        .iter()
        .filter_map(|fact| {
            let crate::model::Value::Text(text) = &fact.value else {
                return None;
            };
            let said = format!("{}: {text}", head.names.name);
            let on = grounds.on(
                &said,
                std::slice::from_ref(&fact.place),
                &[],
                fact.basis.word(),
            );
            Some(Block::Paragraph(grounded(said, on)))
        })
        .collect()
}
