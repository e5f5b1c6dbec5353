//! Reads the controlled words and the families.

use toml::de::DeValue;

use super::walk::{Reading, Table, span_of, text_of, texts_of};
use crate::diag::Diagnostic;
use crate::model::naming::fold;
use crate::model::reagent::Reagents;
use crate::model::speech::{Answers, Frame, Meanings, Notes, Speech, Weights};
use crate::model::{Family, Head, Lazy, Names, TextColumn};
use crate::span::Span;

/// Controlled words: (section, word, meaning).
pub type Vocabulary = Vec<(String, String, String)>;

/// Reads `words.toml`.
pub(super) fn words(reading: &Reading<'_>, table: &Table<'_, '_>) -> Vocabulary {
    let mut out = Vec::new();
    for (section, _, value) in table.entries() {
        let DeValue::Table(inner) = value.get_ref() else {
            reading.error(
                "K0103",
                span_of(value),
                format!("`{section}` wants a table"),
                "",
            );
            continue;
        };
        for (word, _, meaning) in Table::new(reading, inner, span_of(value)).entries() {
            match meaning.get_ref() {
                DeValue::String(text) => {
                    out.push((section.to_owned(), word.to_owned(), text.to_string()));
                }
                _ => reading.error(
                    "K0103",
                    span_of(meaning),
                    format!("`{word}` wants its meaning in quotes"),
                    "",
                ),
            }
        }
    }
    out
}

/// Reads `families.toml`.
pub(super) fn families(reading: &Reading<'_>, table: &Table<'_, '_>) -> Vec<Family> {
    let mut out = Vec::new();
    let Some(all) = table.table("family") else {
        reading.error("K0101", table.span(), "no [family] table", "add [family]");
        return out;
    };
    for (id, key_span, value) in all.entries() {
        let DeValue::Table(inner) = value.get_ref() else {
            reading.error("K0103", span_of(value), "a family wants {name = …}", "");
            continue;
        };
        let own = Table::new(reading, inner, span_of(value));
        let name = own.text("name").map_or_else(|| id.to_owned(), |(t, _)| t);
        let texts = |key| {
            own.texts(key)
                .into_iter()
                .map(|(t, _)| t)
                .collect::<Vec<_>>()
        };
        let also = texts("also");
        let near = texts("near");
        own.refuse_others("a family");
        out.push(Family {
            head: Head {
                id: id.to_owned(),
                names: Names {
                    name,
                    also: also.into(),
                    foreign: Lazy::default(),
                },
                place: reading.place(key_span),
                ..Head::default()
            },
            near,
        });
    }
    table.refuse_others("families.toml");
    out
}

/// Reads `reagents.toml`. Its shape is that of [`Reagents`].
pub(super) fn reagents(reading: &Reading<'_>) -> Reagents {
    match toml::from_str::<Reagents>(&reading.source.text) {
        Ok(reagents) => {
            unknown_in(reading, &reagents);
            reagents
        }
        Err(error) => {
            let at = error
                .span()
                .map_or(Span::at(0), |r| Span::new(r.start, r.end));
            reading.report(
                Diagnostic::error("K0103", format!("reagents: {}", error.message().trim()))
                    .at(at, "")
                    .help("the top of the file says what an entry holds"),
            );
            Reagents::default()
        }
    }
}

/// Reports ids and ions that an entry names and the file does not have.
fn unknown_in(reading: &Reading<'_>, it: &Reagents) {
    let mut names: Vec<(&str, &str)> = Vec::new();
    for buffer in it.buffer.values() {
        for id in [&buffer.acid, &buffer.base] {
            if !it.ingredient.contains_key(id) {
                names.push(("ingredient", id));
            }
        }
        let ions = buffer.forms.iter().filter(|ion| !ion.is_empty());
        names.extend(
            ions.chain([&buffer.with])
                .filter(|ion| !it.ion.contains_key(*ion))
                .map(|ion| ("ion", ion.as_str())),
        );
    }
    for ingredient in it.ingredient.values() {
        let ions = ingredient.ions.iter().map(|(ion, _)| ion);
        names.extend(
            ions.filter(|ion| !it.ion.contains_key(*ion))
                .map(|ion| ("ion", ion.as_str())),
        );
    }
    for (what, name) in names {
        let at = reading.source.text.find(&format!("\"{name}\""));
        let span = at.map_or(Span::at(0), |at| Span::new(at, at + name.len() + 2));
        reading.report(
            Diagnostic::error("K0103", format!("no {what} `{name}` in this file"))
                .at(span, "")
                .help(format!("add [{what}.…], or mend the name")),
        );
    }
}

/// Sections of `speech.toml` that give notes their meaning.
const NOTE_SECTIONS: [&str; 11] = [
    "site",
    "condition",
    "origin",
    "age",
    "thickness",
    "specimen",
    "carrier",
    "tool",
    "part",
    "group",
    "ambiguous",
];

/// Reads `speech.toml`.
pub(super) fn speech(reading: &Reading<'_>, table: &Table<'_, '_>) -> Speech {
    let mut out = Speech::default();
    out.nouns = lists(reading, table, "noun", &mut out.written).into();
    out.groups = lists(reading, table, "liquids", &mut out.written).into();
    notes(reading, table, &mut out);
    beliefs(reading, table, &mut out);
    outcomes(reading, table, &mut out);
    frames(reading, table, &mut out);
    table.refuse_others("speech.toml");
    out.written.sort();
    out.written.dedup();
    out
}

/// A section of words that stand for lists, the words folded; as they are written they go into
/// `written`.
fn lists(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    section: &'static str,
    written: &mut Vec<(String, String)>,
) -> Vec<(String, Vec<String>)> {
    let Some(own) = table.table(section) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for (words, _, value) in own.entries() {
        let list = texts_of(reading, value, words);
        written.push((fold(words), words.to_owned()));
        out.push((fold(words), list.into_iter().map(|(t, _)| t).collect()));
    }
    out
}

fn notes(reading: &Reading<'_>, table: &Table<'_, '_>, out: &mut Speech) {
    for section in NOTE_SECTIONS {
        let Some(own) = table.table(section) else {
            continue;
        };
        let mut means = Vec::new();
        for (words, _, value) in own.entries() {
            if let Some((meaning, _)) = text_of(reading, value, words) {
                out.written.push((fold(words), words.to_owned()));
                means.push((fold(words), meaning));
            }
        }
        out.notes.push(Notes {
            section: section.to_owned(),
            means: means.into(),
        });
    }
}

fn beliefs(reading: &Reading<'_>, table: &Table<'_, '_>, out: &mut Speech) {
    let Some(own) = table.table("belief") else {
        return;
    };
    for (word, _, value) in own.entries() {
        match number(value.get_ref()) {
            Some(number) => out.beliefs.push((fold(word), number)),
            None => reading.error(
                "K0103",
                span_of(value),
                "a belief wants a number from 0 to 1",
                "",
            ),
        }
    }
}

fn outcomes(reading: &Reading<'_>, table: &Table<'_, '_>, out: &mut Speech) {
    let Some(own) = table.table("outcome") else {
        return;
    };
    for (test, _, value) in own.entries() {
        let DeValue::Table(inner) = value.get_ref() else {
            reading.error(
                "K0103",
                span_of(value),
                "an outcome section wants a table",
                "",
            );
            continue;
        };
        let mut means = Vec::new();
        for (words, _, value) in Table::new(reading, inner, span_of(value)).entries() {
            out.written.push((fold(words), words.to_owned()));
            means.push((fold(words), weights(reading, value)));
        }
        out.outcomes.push(Answers {
            test: test.to_owned(),
            means: means.into_iter().collect::<Meanings>().into(),
        });
    }
}

fn frames(reading: &Reading<'_>, table: &Table<'_, '_>, out: &mut Speech) {
    let Some(frames) = table.get("frame") else {
        return;
    };
    let DeValue::Array(items) = frames.get_ref() else {
        reading.error(
            "K0103",
            span_of(frames),
            "`frame` wants [[frame]] tables",
            "",
        );
        return;
    };
    for item in items.iter() {
        if let DeValue::Table(inner) = item.get_ref() {
            let own = Table::new(reading, inner, span_of(item));
            let says = own.texts("says");
            out.written
                .extend(says.into_iter().map(|(t, _)| (fold(&t), t)));
            out.frames.extend(frame(reading, &own));
        }
    }
}

fn frame(reading: &Reading<'_>, table: &Table<'_, '_>) -> Option<Frame> {
    let says: TextColumn = table
        .texts("says")
        .iter()
        .map(|(text, _)| fold(text))
        .collect();
    let of = table.text("of").map(|(text, _)| text);
    let read = |key| {
        table
            .get(key)
            .map(|value| weights(reading, value))
            .unwrap_or_default()
    };
    let outcomes = read("outcomes");
    let denied = read("denied");
    table.refuse_others("a frame");
    let Some(of) = of.filter(|_| !says.is_empty()) else {
        reading.error(
            "K0101",
            table.span(),
            "a frame wants `says` and `of`",
            "add says = [\"verb\"] and of = \"liquid\" or the id of a test",
        );
        return None;
    };
    Some(Frame {
        says,
        of,
        outcomes,
        denied,
    })
}

/// `"outcome"`, or a table of outcomes with their weights.
fn weights(reading: &Reading<'_>, value: &toml::Spanned<DeValue<'_>>) -> Weights {
    match value.get_ref() {
        DeValue::String(text) => vec![(text.to_string(), 1.0)],
        DeValue::Table(inner) => Table::new(reading, inner, span_of(value))
            .entries()
            .into_iter()
            .filter_map(|(word, _, weight)| number(weight.get_ref()).map(|n| (word.to_owned(), n)))
            .collect(),
        _ => {
            reading.error(
                "K0103",
                span_of(value),
                "wants an outcome or a table of weights",
                "",
            );
            Vec::new()
        }
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    let number: f64 = match value {
        DeValue::Integer(it) => it.as_str().parse().ok()?,
        DeValue::Float(it) => it.as_str().parse().ok()?,
        _ => return None,
    };
    (0.0..=1.0).contains(&number).then_some(number)
}
