//! The record of a case: for reading at a terminal, and as data.

use std::fmt::Write as _;

use serde_json::{Map, Value, json};

use super::table::Paper;
use super::{json, safe_lines};
use crate::case::{Asked, Case, Mark, Noted, Outcome, Reviewed, standing_word};

/// A case as text, at most `width` columns wide, section by section.
#[must_use]
pub fn case(it: &Case, width: u16) -> String {
    let mut out = String::new();
    let paper = Paper::new(width);
    object(&paper, &mut out, it);
    layers(&paper, &mut out, it);
    unknowns(&paper, &mut out, it);
    trials(&paper, &mut out, it);
    questions(&paper, &mut out, it);
    actions(&paper, &mut out, it);
    photographs(&paper, &mut out, it);
    last_change(&mut out, it);
    safe_lines(out)
}

fn layers(paper: &Paper, out: &mut String, it: &Case) {
    if it.layers.is_empty() {
        return;
    }
    out.push_str("\nLayers, from the top down\n");
    for layer in &it.layers {
        entry(paper, out, &layer.id, &layer.name, &[("note", &layer.note)]);
    }
}

/// The unknowns, each with what was seen of it.
fn unknowns(paper: &Paper, out: &mut String, it: &Case) {
    for unknown in &it.unknowns {
        let called = unknown.called.as_deref().unwrap_or("unknown");
        let _ = writeln!(out, "\nUnknown {}: {called}", unknown.id);
        paper.wrap(out, "  is asked as: ", &unknown.noun);
        let over = unknown
            .over
            .as_deref()
            .or_else(|| it.layers.first().map(|l| l.id.as_str()));
        if let Some(over) = over {
            paper.wrap(out, "  lies on: ", over);
        }
        if let Some(years) = &unknown.restored {
            paper.wrap(out, "  restored: ", years);
        }
        if let Some(note) = &unknown.note {
            paper.wrap(out, "  note: ", note);
        }
        for seen in it.observations.iter().filter(|o| o.of == unknown.id) {
            noted(paper, out, &seen.id, &seen.seen, &seen.noted);
        }
    }
}

fn trials(paper: &Paper, out: &mut String, it: &Case) {
    if it.trials.is_empty() {
        return;
    }
    out.push_str("\nTrials on the layers\n");
    for trial in &it.trials {
        let text = format!("{}: {}", trial.on, trial.seen);
        noted(paper, out, &trial.id, &text, &trial.noted);
    }
}

/// The questions, each with the gist of its last answer.
fn questions(paper: &Paper, out: &mut String, it: &Case) {
    if it.questions.is_empty() {
        return;
    }
    out.push_str("\nQuestions\n");
    for question in &it.questions {
        let asked = match (&question.asked, question.corpus.as_str()) {
            (_, "") => " (not answered yet)".to_owned(),
            (Some(day), corpus) => format!(" ({}, {day}, corpus {corpus})", question.standing),
            (None, corpus) => format!(" ({}, corpus {corpus})", question.standing),
        };
        let text = format!("{}{asked}", question.ask);
        noted(paper, out, &question.id, &text, &question.noted);
        for line in &question.gist {
            paper.wrap(out, "      ", line);
        }
    }
}

fn photographs(paper: &Paper, out: &mut String, it: &Case) {
    if it.photographs.is_empty() {
        return;
    }
    out.push_str("\nPhotographs\n");
    for photograph in &it.photographs {
        let mut text = format!("{}: {}", photograph.file, photograph.shows);
        if let Some(light) = &photograph.light {
            let _ = write!(text, " [{light}]");
        }
        if !photograph.of.is_empty() {
            let _ = write!(text, " of {}", photograph.of.join(", "));
        }
        noted(paper, out, &photograph.id, &text, &photograph.noted);
    }
}

fn last_change(out: &mut String, it: &Case) {
    let Some(last) = it.changes.last() else {
        return;
    };
    let who = match last.who.as_str() {
        "" => String::new(),
        who => format!(" by {who}"),
    };
    let _ = writeln!(
        out,
        "\n{} changes, the last {} ({}){who}",
        it.changes.len(),
        last.at,
        last.did
    );
}

fn object(paper: &Paper, out: &mut String, it: &Case) {
    let object = &it.object;
    paper.wrap(out, "", &object.title);
    for (key, value) in [
        ("number", &object.number),
        ("made", &object.made),
        ("maker", &object.maker),
        ("materials", &object.materials),
        ("height", &object.height),
        ("width", &object.width),
        ("depth", &object.depth),
        ("weight", &object.weight),
        ("warmest", &object.warmest),
        ("condition", &object.condition),
        ("aim", &object.aim),
        ("note", &object.note),
    ] {
        if let Some(value) = value {
            paper.wrap(out, &format!("  {key}: "), value);
        }
    }
}

/// Proposals, decisions, uses, deviations.
fn actions(paper: &Paper, out: &mut String, it: &Case) {
    if !it.proposals.is_empty() {
        out.push_str("\nProposals\n");
        for proposal in &it.proposals {
            noted(paper, out, &proposal.id, &proposal.what, &proposal.noted);
            parts(
                paper,
                out,
                &[
                    ("from", &proposal.from),
                    ("step", &proposal.step),
                    ("risk", &proposal.risk),
                ],
            );
        }
    }
    if !it.decisions.is_empty() {
        out.push_str("\nDecisions\n");
        for decision in &it.decisions {
            noted(paper, out, &decision.id, &decision.what, &decision.noted);
            parts(
                paper,
                out,
                &[
                    ("on", &decision.on),
                    ("because", &Some(decision.because.clone())),
                ],
            );
        }
    }
    if !it.uses.is_empty() {
        out.push_str("\nMaterials used\n");
        for used in &it.uses {
            let mut text = used.material.clone();
            if let Some(strength) = &used.strength {
                text = format!("{strength} {text}");
            }
            if let Some(solvent) = &used.solvent {
                let _ = write!(text, " in {solvent}");
            }
            if let Some(amount) = &used.amount {
                let _ = write!(text, ", {amount}");
            }
            noted(paper, out, &used.id, &text, &used.noted);
            parts(
                paper,
                out,
                &[
                    ("for", &used.purpose),
                    ("batch", &used.batch),
                    ("under", &used.under),
                ],
            );
        }
    }
    if !it.deviations.is_empty() {
        out.push_str("\nDeviations\n");
        for deviation in &it.deviations {
            noted(paper, out, &deviation.id, &deviation.what, &deviation.noted);
            parts(
                paper,
                out,
                &[
                    ("from", &deviation.from),
                    ("because", &Some(deviation.because.clone())),
                ],
            );
        }
    }
}

fn parts(paper: &Paper, out: &mut String, list: &[(&str, &Option<String>)]) {
    for (key, value) in list {
        if let Some(value) = value {
            paper.wrap(out, &format!("      {key}: "), value);
        }
    }
}

/// One entry as a line, or a few: its id and what it says.
#[must_use]
pub fn line(id: &str, text: &str, width: u16) -> String {
    let mut out = String::new();
    Paper::new(width).wrap(&mut out, &format!("{id}  "), text);
    safe_lines(out)
}

fn entry(paper: &Paper, out: &mut String, id: &str, text: &str, rest: &[(&str, &Option<String>)]) {
    paper.wrap(out, &format!("  {id:<4}"), text);
    parts(paper, out, rest);
}

fn noted(paper: &Paper, out: &mut String, id: &str, text: &str, noted: &Noted) {
    let mut tail: Vec<String> = Vec::new();
    tail.extend(noted.day.map(|day| day.to_string()));
    tail.extend(noted.who.clone());
    tail.extend(noted.place.clone());
    let text = if tail.is_empty() {
        text.to_owned()
    } else {
        format!("{text} - {}", tail.join(", "))
    };
    let rest = [("note", &noted.note), ("withdrawn", &noted.withdrawn)];
    entry(paper, out, id, &text, &rest);
}

/// A case as one JSON object. What is not said is left out.
#[must_use]
pub fn case_json(it: &Case) -> Value {
    let object = &it.object;
    json!({
        "format": it.format,
        "object": record(&[
            ("title", json!(object.title)),
            ("number", json!(object.number)),
            ("made", json!(object.made)),
            ("maker", json!(object.maker)),
            ("materials", json!(object.materials)),
            ("height", json!(object.height)),
            ("width", json!(object.width)),
            ("depth", json!(object.depth)),
            ("weight", json!(object.weight)),
            ("warmest", json!(object.warmest)),
            ("condition", json!(object.condition)),
            ("aim", json!(object.aim)),
            ("note", json!(object.note)),
        ]),
        "layers": list(&it.layers, |x| record(&[
            ("id", json!(x.id)), ("name", json!(x.name)), ("note", json!(x.note)),
        ])),
        "unknowns": list(&it.unknowns, |x| record(&[
            ("id", json!(x.id)), ("called", json!(x.called)), ("noun", json!(x.noun)),
            ("over", json!(x.over)), ("restored", json!(x.restored)), ("note", json!(x.note)),
        ])),
        "observations": list(&it.observations, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("of", json!(x.of)), ("seen", json!(x.seen)),
        ])),
        "trials": list(&it.trials, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("on", json!(x.on)), ("seen", json!(x.seen)),
        ])),
        "questions": list(&it.questions, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("ask", json!(x.ask)), ("query", text(&x.query)),
            ("asked", json!(x.asked.map(|d| d.to_string()))), ("corpus_version", text(&x.corpus)),
            ("edition", json!(x.edition)), ("standing", text(&x.standing)), ("gist", json!(x.gist)),
        ])),
        "proposals": list(&it.proposals, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("what", json!(x.what)), ("from", json!(x.from)),
            ("step", json!(x.step)), ("risk", json!(x.risk)),
        ])),
        "decisions": list(&it.decisions, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("on", json!(x.on)), ("what", json!(x.what)),
            ("because", json!(x.because)),
        ])),
        "uses": list(&it.uses, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("material", json!(x.material)), ("purpose", json!(x.purpose)),
            ("strength", json!(x.strength)), ("solvent", json!(x.solvent)),
            ("amount", json!(x.amount)), ("batch", json!(x.batch)), ("under", json!(x.under)),
        ])),
        "deviations": list(&it.deviations, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("from", json!(x.from)), ("what", json!(x.what)),
            ("because", json!(x.because)),
        ])),
        "photographs": list(&it.photographs, |x| with(&x.noted, &[
            ("id", json!(x.id)), ("file", json!(x.file)), ("shows", json!(x.shows)),
            ("light", json!(x.light)), ("of", json!(x.of)),
        ])),
        "changes": list(&it.changes, |x| record(&[
            ("at", json!(x.at)), ("who", text(&x.who)), ("did", json!(x.did)), ("ids", json!(x.ids)),
        ])),
    })
}

fn text(it: &str) -> Value {
    if it.is_empty() {
        Value::Null
    } else {
        json!(it)
    }
}

fn list<T>(items: &[T], make: impl Fn(&T) -> Value) -> Vec<Value> {
    items.iter().map(make).collect()
}

fn record(fields: &[(&str, Value)]) -> Value {
    let said = fields.iter().filter(|(_, value)| !value.is_null());
    Value::Object(
        said.map(|(key, value)| ((*key).to_owned(), value.clone()))
            .collect::<Map<String, Value>>(),
    )
}

fn with(noted: &Noted, fields: &[(&str, Value)]) -> Value {
    let mut all = fields.to_vec();
    all.push(("day", json!(noted.day.map(|day| day.to_string()))));
    all.push(("place", json!(noted.place)));
    all.push(("who", json!(noted.who)));
    all.push(("note", json!(noted.note)));
    all.push(("withdrawn", json!(noted.withdrawn)));
    record(&all)
}

/// What the questions of a case are answered now, beside what they were answered.
#[must_use]
pub fn review(list: &[Reviewed], width: u16) -> String {
    let mut out = String::new();
    let paper = Paper::new(width);
    let (mut same, mut changed, mut wrong) = (0, 0, 0);
    for it in list {
        let (word, lines): (&str, Vec<(Mark, &str)>) = match &it.outcome {
            Outcome::First(asked) => ("answered for the first time", come(asked)),
            Outcome::Same(_) => {
                same += 1;
                ("unchanged", Vec::new())
            }
            Outcome::Changed(_, lines) => {
                changed += 1;
                let lines = lines.iter().map(|(m, l)| (*m, l.as_str())).collect();
                ("changed", lines)
            }
            Outcome::Wrong(_) => {
                wrong += 1;
                ("cannot be asked", Vec::new())
            }
        };
        entry(
            &paper,
            &mut out,
            &it.id,
            &format!("{}: {word}", it.ask),
            &[],
        );
        if !lines.is_empty() {
            let why = why(it);
            if !why.is_empty() {
                paper.wrap(&mut out, "      ", &why);
            }
        }
        for (mark, line) in lines {
            let sign = match mark {
                Mark::Kept => "        ",
                Mark::Gone => "      - ",
                Mark::Come => "      + ",
            };
            paper.wrap(&mut out, sign, line);
        }
    }
    let _ = write!(
        out,
        "{} questions: {same} unchanged, {changed} changed",
        list.len()
    );
    if wrong > 0 {
        let _ = write!(out, ", {wrong} cannot be asked");
    }
    out.push('\n');
    corpus(&paper, &mut out, list);
    safe_lines(out)
}

/// Which corpus answers now, and of how many questions another one did.
fn corpus(paper: &Paper, out: &mut String, list: &[Reviewed]) {
    let Some(first) = list.first() else { return };
    let changed = list
        .iter()
        .filter(|it| it.corpus_changed() == Some(true))
        .count();
    let unsaid = list
        .iter()
        .filter(|it| !it.before.is_empty() && it.corpus_changed().is_none())
        .count();
    let mut says = format!("corpus {}", first.now);
    match (changed, unsaid) {
        (0, 0) => {}
        (0, _) => {
            says.push_str(": whether it changed since is not on record; `--update` puts it there");
        }
        (n, _) => {
            let _ = write!(says, ": changed since {n} of them were answered");
        }
    }
    paper.wrap(out, "", &says);
}

fn come(asked: &Asked) -> Vec<(Mark, &str)> {
    asked
        .gist
        .iter()
        .map(|l| (Mark::Come, l.as_str()))
        .collect()
}

/// What may have changed the answer.
fn why(it: &Reviewed) -> String {
    let mut out = Vec::new();
    match it.corpus_changed() {
        Some(true) => out.push(format!("the corpus was {} and is {}", it.before, it.now)),
        Some(false) => {}
        None if it.before.is_empty() => {}
        None => out.push(format!(
            "which state of corpus {} answered is not on record; now it is {}",
            it.before, it.now
        )),
    }
    if it.case_changed {
        out.push("the case says something else than when it was asked".to_owned());
    }
    if out.is_empty() && !it.before.is_empty() {
        out.push("the case and the corpus are the same, so the program is another".to_owned());
    }
    out.join("; ")
}

/// The same as data: one object.
#[must_use]
pub fn review_json(list: &[Reviewed]) -> Value {
    let questions: Vec<Value> = list
        .iter()
        .map(|it| {
            let (outcome, asked) = match &it.outcome {
                Outcome::First(asked) => ("first", Some(asked)),
                Outcome::Same(asked) => ("unchanged", Some(asked)),
                Outcome::Changed(asked, _) => ("changed", Some(asked)),
                Outcome::Wrong(_) => ("wrong", None),
            };
            let lines: Vec<Value> = match &it.outcome {
                Outcome::Changed(_, lines) => lines
                    .iter()
                    .map(|(mark, line)| {
                        let mark = match mark {
                            Mark::Kept => "kept",
                            Mark::Gone => "gone",
                            Mark::Come => "new",
                        };
                        json!({"mark": mark, "line": line})
                    })
                    .collect(),
                _ => Vec::new(),
            };
            json!({
                "id": it.id,
                "ask": it.ask,
                "outcome": outcome,
                "corpus_before": it.before,
                "corpus_version": it.now,
                "corpus_changed": it.corpus_changed(),
                "case_changed": it.case_changed,
                "standing": asked.map(|a| standing_word(a.standing)),
                "gist": asked.map(|a| &a.gist),
                "difference": lines,
                "answer": asked.and_then(|a| a.answer()).map(json),
            })
        })
        .collect();
    json!({"questions": questions})
}
