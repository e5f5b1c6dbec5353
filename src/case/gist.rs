//! The gist of an answer: a few lines in a stable order that a person can read in the case file and
//! that can be held against those of a later corpus.

use crate::answer::{
    Answer, Blend, Body, Call, Choose, Compare, Conclusion, Find, Identify, Prepare, Remove,
    Ventilate, percent,
};

/// Most candidates that a gist names.
const CANDIDATES: usize = 5;
/// Least probability of a candidate that a gist names.
const LEAST: f64 = 0.01;
/// Most records of a `find` that a gist names.
const RECORDS: usize = 20;

/// The gist of an answer, a line each.
#[must_use]
pub fn gist(answer: &Answer) -> Vec<String> {
    let mut out = Vec::new();
    match &answer.body {
        Body::Identify(it) => identify(it, &mut out),
        Body::Remove(it) => remove(it, "", &mut out),
        Body::Find(it) => find(it, &mut out),
        Body::Compare(it) => compare(it, &mut out),
        Body::Choose(it) => choose(it, &mut out),
        Body::Blend(it) => blend(it, &mut out),
        Body::Prepare(it) => prepare(it, &mut out),
        Body::Ventilate(it) => ventilate(it, &mut out),
    }
    out
}

/// Choices that a gist names.
const CHOICES: usize = 8;

fn choose(it: &Choose, out: &mut Vec<String>) {
    for (k, choice) in it.choices.iter().take(CHOICES).enumerate() {
        let verdicts: Vec<&str> = choice.forecast.iter().map(|o| o.verdict.short()).collect();
        out.push(format!("{}. {}: {}", k + 1, choice.id, verdicts.join(", ")));
    }
    for pair in &it.pairs {
        out.push(format!("{} beneath {}", pair.barrier.id, pair.over.id));
    }
    if it.choices.is_empty() {
        out.push("nothing is left".to_owned());
    }
}

fn identify(it: &Identify, out: &mut Vec<String>) {
    out.push(match &it.conclusion {
        Conclusion::Material(id) => format!("probably {id}"),
        Conclusion::Family(id) => format!("probably of the family {id}"),
        Conclusion::NotEnough => "not enough to say".to_owned(),
        Conclusion::Contradicts => "the observations contradict one another".to_owned(),
    });
    let named = it
        .candidates
        .iter()
        .filter(|c| c.probability >= LEAST)
        .take(CANDIDATES);
    for candidate in named {
        out.push(format!(
            "{}: {}",
            candidate.id,
            percent(candidate.probability)
        ));
    }
    out.push(format!("none of these: {}", percent(it.none_of_these)));
    for left in &it.hazards {
        out.push(format!(
            "hazard not excluded, {}: {}",
            left.hazard.word(),
            percent(left.probability)
        ));
    }
    if let Some(next) = it.next_tests.first() {
        let test = &next.offer.test.get().test.head.id;
        out.push(match &next.offer.liquid {
            Some(liquid) => format!("next test: {test} with {}", liquid.id),
            None => format!("next test: {test}"),
        });
    }
}

const fn called(call: Call) -> &'static str {
    match call {
        Call::Recommended => "recommended",
        Call::TestFirst => "test first",
    }
}

fn remove(it: &Remove, when: &str, out: &mut Vec<String>) {
    if let Some(leave) = &it.leave {
        out.push(format!("{when}leave it: {}", leave.text));
    }
    for rung in &it.ladder {
        let call = called(rung.call);
        let step = rung.step.get();
        let carrier = step
            .carrier
            .as_ref()
            .map_or(String::new(), |c| format!(" in {}", c.head.id));
        out.push(format!(
            "{when}{}. {}{carrier}: {call}, {}",
            rung.rank,
            step.id(),
            rung.effect.response
        ));
    }
    if it.ladder.is_empty() && it.leave.is_none() {
        out.push(format!("{when}no step is live"));
    }
    out.push(format!("{when}ruled out: {}", it.ruled_out.len()));
    if !it.gaps.is_empty() {
        out.push(format!("{when}not recorded: {}", it.gaps.len()));
    }
    for (k, next) in it.next.iter().enumerate() {
        remove(next, &format!("{when}then {}, ", k + 1), out);
    }
}

fn find(it: &Find, out: &mut Vec<String>) {
    out.push(format!("matched: {}", it.total));
    for record in it.matches.iter().take(RECORDS) {
        out.push(format!("{} {}", record.kind.noun(), record.id));
    }
    if it.undetermined_total > 0 {
        out.push(format!("not enough on file: {}", it.undetermined_total));
    }
}

fn compare(it: &Compare, out: &mut Vec<String>) {
    let things: Vec<&str> = it.things.iter().map(|thing| thing.id.as_str()).collect();
    out.push(format!("compared: {}", things.join(", ")));
    for row in &it.rows {
        let mut cells = Vec::new();
        for cell in &row.cells {
            cells.push(match cell {
                crate::answer::Cell::Stated(values) => {
                    let texts: Vec<String> =
                        values.iter().map(crate::answer::Shown::whole).collect();
                    texts.join("; ")
                }
                crate::answer::Cell::Removal {
                    steps, ruled_out, ..
                } => {
                    let first = steps
                        .first()
                        .map_or_else(|| "no step".to_owned(), |s| s.step.get().id());
                    format!("{first}, {ruled_out} ruled out")
                }
            });
        }
        out.push(format!("{}: {}", row.by, cells.join(" | ")));
    }
}

fn blend(it: &Blend, out: &mut Vec<String>) {
    for practical in &it.blends {
        let parts: Vec<&str> = practical
            .parts
            .iter()
            .map(|part| part.id.as_str())
            .collect();
        out.push(format!(
            "{}. {} {}: {}",
            practical.rank,
            parts.join(" + "),
            practical.ratio,
            called(practical.call)
        ));
    }
    if it.blends.is_empty() && it.missing.is_empty() {
        out.push("no blend of these liquids does it and spares the layers".to_owned());
    }
    out.extend(it.missing.iter().map(|what| format!("not known: {what}")));
    out.extend(
        it.settle
            .iter()
            .map(|swab| format!("swab {} on {}", swab.liquid.id, swab.on)),
    );
}

fn prepare(it: &Prepare, out: &mut Vec<String>) {
    out.push(it.title.clone());
    for recipe in &it.recipes {
        out.push(recipe.reading.clone());
        for line in &recipe.lines {
            let amount = match (line.grams, line.millilitres) {
                (Some((grams, _)), _) => format!("{grams:.3} g"),
                (None, Some((millilitres, _))) => format!("{millilitres:.2} ml"),
                (None, None) => "not told".to_owned(),
            };
            out.push(format!("{}: {amount}", line.what));
        }
    }
    for it in &it.dissolving {
        let response = match it.response.as_str() {
            "" => "not recorded",
            word => word,
        };
        out.push(format!("{} in {}: {response}", it.solute, it.solvent));
    }
    if let Some(gel) = &it.gel {
        let carries = if gel.carries {
            "carries it"
        } else {
            "not recorded to carry it"
        };
        out.push(format!("gel {}: {carries}", gel.id));
    }
}

fn ventilate(it: &Ventilate, out: &mut Vec<String>) {
    out.push(it.title.clone());
    for burden in &it.burdens {
        out.push(format!("{}: {}", burden.over, burden.verdict.word()));
    }
    out.push(format!("fire: {}", it.fire.verdict.in_words()));
    for needed in &it.needed {
        out.push(match needed.air {
            Some(air) => format!("{}: {air:.0} m3/h", needed.goal),
            None => format!("{}: no air does it", needed.goal),
        });
    }
}
