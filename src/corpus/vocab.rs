//! Reads the controlled words and the families.

use toml::de::DeValue;

use super::walk::{Reading, Table, span_of};
use crate::model::{Family, Head, Names};

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
                    also,
                    foreign: Vec::new(),
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
