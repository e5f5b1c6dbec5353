//! Finds, in the written text, the word that a finding is about. Records keep the place of their
//! facts; what else a finding names (a key, a word of a list) is looked up in the text.

use crate::model::{Head, Place};
use crate::span::{Source, Span};

/// What a finding is about.
#[derive(Clone, Copy, Debug)]
pub(super) enum Spot<'a> {
    /// A fact, a route or a record.
    At(&'a Place),
    /// A quoted word of the fact or route at a place.
    Word(&'a Place, &'a str),
    /// The key of the fact at a place.
    Key(&'a Place, &'a str),
    /// A key below a place, at the start of a line.
    KeyAfter(&'a Place, &'a str),
    /// A key of a record outside its tables of facts.
    Field(&'a Head, &'a str),
    /// A quoted word under such a key.
    FieldWord(&'a Head, &'a str, &'a str),
}

/// Where it is.
#[derive(Clone, Debug)]
pub(super) struct Located {
    /// File, line, column.
    pub(super) place: Place,
    /// The word or key itself, without quotes.
    pub(super) word: Option<Span>,
    /// The rest of the line, where there is no single word.
    pub(super) whole: Option<Span>,
}

impl Spot<'_> {
    /// Looks it up. Without the text, or where the text does not hold the word (a record laid over
    /// another), the place of the fact or the record stands.
    pub(super) fn locate<'s>(&self, text: impl FnOnce(&str) -> Option<&'s Source>) -> Located {
        let known = match self {
            Self::At(place)
            | Self::Word(place, _)
            | Self::Key(place, _)
            | Self::KeyAfter(place, _) => place,
            Self::Field(head, _) | Self::FieldWord(head, _, _) => &head.place,
        };
        let bare = Located {
            place: known.clone(),
            word: None,
            whole: None,
        };
        let Some((source, start)) =
            text(&known.file).and_then(|source| Some((source, offset(source, known)?)))
        else {
            return bare;
        };
        let word = match self {
            Self::At(_) => None,
            Self::Word(_, word) => quoted(&source.text, start, word),
            Self::Key(_, key) => key_before(&source.text, start, key),
            Self::KeyAfter(_, key) => key_after(&source.text, start, key),
            Self::Field(_, key) => field(&source.text, key),
            Self::FieldWord(_, key, word) => field(&source.text, key)
                .map(|found| quoted(&source.text, found.end as usize, word).unwrap_or(found)),
        };
        let place = word.map_or_else(
            || known.clone(),
            |span| {
                let at = source.place(span.start as usize);
                Place {
                    file: source.name.clone(),
                    line: at.line,
                    column: at.column,
                }
            },
        );
        let rest = source.text[start..].lines().next().map_or(0, str::len);
        Located {
            place,
            word,
            whole: Some(Span::new(start, start + rest)),
        }
    }
}

/// Byte offset of a place.
fn offset(source: &Source, place: &Place) -> Option<usize> {
    if place.line == 0 || place.column == 0 {
        return None;
    }
    let mut start = 0;
    for _ in 1..place.line {
        start += source.text.get(start..)?.find('\n')? + 1;
    }
    let line = source.text.get(start..)?.lines().next().unwrap_or("");
    let before: usize = line
        .chars()
        .take(place.column as usize - 1)
        .map(char::len_utf8)
        .sum();
    Some(start + before)
}

/// The first `"word"`, or `"word …"`, at or after an offset.
fn quoted(text: &str, from: usize, word: &str) -> Option<Span> {
    let rest = text.get(from..)?;
    ["\"", " "].iter().find_map(|end| {
        let at = from + rest.find(&format!("\"{word}{end}"))? + 1;
        Some(Span::new(at, at + word.len()))
    })
}

/// The key that stands last before an offset, at the start of a line.
fn key_before(text: &str, before: usize, key: &str) -> Option<Span> {
    let mut found = None;
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if start > before {
            break;
        }
        found = key_of_line(line, key)
            .map(|span| Span::new(start + span.0, start + span.1))
            .or(found);
        start += line.len();
    }
    found
}

/// The first key at the start of a line after an offset.
fn key_after(text: &str, after: usize, key: &str) -> Option<Span> {
    let mut start = after;
    for line in text.get(after..)?.split_inclusive('\n') {
        if let Some((from, to)) = key_of_line(line, key) {
            return Some(Span::new(start + from, start + to));
        }
        start += line.len();
    }
    None
}

/// A key before the first table.
fn field(text: &str, key: &str) -> Option<Span> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if line.starts_with('[') {
            return None;
        }
        if let Some((from, to)) = key_of_line(line, key) {
            return Some(Span::new(start + from, start + to));
        }
        start += line.len();
    }
    None
}

/// Where the key of a line stands, without quotes, if it is this one.
fn key_of_line(line: &str, key: &str) -> Option<(usize, usize)> {
    let quote = usize::from(line.starts_with('"'));
    let rest = line.get(quote..)?.strip_prefix(key)?;
    let rest = rest.strip_prefix('"').unwrap_or(rest);
    rest.trim_start()
        .starts_with('=')
        .then_some((quote, quote + key.len()))
}

#[cfg(test)]
mod tests {
    use super::Spot;
    use crate::model::{Head, Place};
    use crate::span::Source;

    const TEXT: &str = "id = \"lac\"\nmade_of = [\"wax\", \"dammar\"]\n\n[fresh]\nétanol = {is = \"swells\", by = \"memory\"}\nwater = [\n  {is = \"swells\", by = \"memory\"},\n  {is = \"melts\", by = \"memory\"},\n]\n";

    fn at(line: u32, column: u32) -> Place {
        Place {
            file: "materials/lac.toml".to_owned(),
            line,
            column,
        }
    }

    fn found(spot: Spot<'_>) -> (u32, u32, String) {
        let source = Source::new("materials/lac.toml", TEXT);
        let located = spot.locate(|_| Some(&source));
        let word = located
            .word
            .map_or("", |span| span.slice(&source.text))
            .to_owned();
        (located.place.line, located.place.column, word)
    }

    #[test]
    fn words_keys_and_fields_are_found() {
        let head = Head {
            place: at(1, 6),
            ..Head::default()
        };
        assert_eq!(
            found(Spot::FieldWord(&head, "made_of", "dammar")),
            (2, 20, "dammar".to_owned())
        );
        assert_eq!(
            found(Spot::Field(&head, "made_of")),
            (2, 1, "made_of".to_owned())
        );
        assert_eq!(
            found(Spot::Word(&at(8, 3), "melts")),
            (8, 10, "melts".to_owned())
        );
        assert_eq!(
            found(Spot::Key(&at(8, 3), "water")),
            (6, 1, "water".to_owned())
        );
        assert_eq!(
            found(Spot::KeyAfter(&at(4, 1), "water")),
            (6, 1, "water".to_owned())
        );
        assert_eq!(
            found(Spot::Key(&at(5, 10), "étanol")),
            (5, 1, "étanol".to_owned())
        );
    }

    #[test]
    fn what_is_not_in_the_text_keeps_the_place_of_the_record() {
        let head = Head {
            place: at(1, 6),
            ..Head::default()
        };
        assert_eq!(found(Spot::Field(&head, "parts")), (1, 6, String::new()));
        assert_eq!(found(Spot::At(&at(40, 2))), (40, 2, String::new()));
    }
}
