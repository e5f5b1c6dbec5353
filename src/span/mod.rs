//! Byte spans, source texts and lines.
//!
//! Spans are made at the lowest level, by the lexer or the TOML reader, and
//! are never dropped on the way up: every diagnostic points at real text.

use std::ops::Range;

use serde::{Deserialize, Serialize};

/// A half-open range of byte offsets into one source text.
///
/// Offsets are `u32`: sources are small (a query is at most 64 KiB, a record
/// a few pages), and spans are carried by every node.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct Span {
    /// Offset of the first byte.
    pub start: u32,
    /// Offset just past the last byte; never below `start`.
    pub end: u32,
}

impl Span {
    /// A span from byte `start` up to, not including, byte `end`.
    ///
    /// Offsets past `u32::MAX` are clamped, and an `end` below `start` gives
    /// an empty span at `start`: a wrong span must not become a crash.
    #[must_use]
    pub fn new(start: usize, end: usize) -> Self {
        let start = u32::try_from(start).unwrap_or(u32::MAX);
        let end = u32::try_from(end).unwrap_or(u32::MAX);
        Self {
            start,
            end: end.max(start),
        }
    }

    /// An empty span at one offset, for something missing there.
    #[must_use]
    pub fn at(offset: usize) -> Self {
        Self::new(offset, offset)
    }

    /// The smallest span that holds both.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// The span as a range of `usize`, for slicing.
    #[must_use]
    pub fn range(self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// The text that the span covers; empty when the span does not fit
    /// `text` or would cut a character.
    #[must_use]
    pub fn slice(self, text: &str) -> &str {
        text.get(self.range()).unwrap_or("")
    }
}

/// A value together with the text it came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// A value at a span.
    pub const fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// A place in a text as a person counts: both from 1, columns in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Place {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

/// A named text: a query, a file of queries, a record of the corpus.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// What to call it in a message: a path, or a word such as `query`.
    pub name: String,
    /// The whole text.
    pub text: String,
    /// Offset of the first byte of every line.
    lines: Vec<usize>,
}

impl Source {
    /// A source with its lines found. Lines end with a line feed; a carriage
    /// return before it belongs to the line end.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let mut lines = vec![0];
        lines.extend(text.match_indices('\n').map(|(offset, _)| offset + 1));
        Self {
            name: name.into(),
            text,
            lines,
        }
    }

    /// Line and column of a byte offset.
    ///
    /// An offset past the end is taken as the end; one inside a character is
    /// taken as the start of that character.
    #[must_use]
    pub fn place(&self, offset: usize) -> Place {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.lines.partition_point(|&start| start <= offset) - 1;
        let column = self.text[self.lines[line]..offset].chars().count() + 1;
        Place {
            line: u32::try_from(line + 1).unwrap_or(u32::MAX),
            column: u32::try_from(column).unwrap_or(u32::MAX),
        }
    }

    /// The text of a line (from 1) without its line end; `None` past the last.
    #[must_use]
    pub fn line(&self, line: u32) -> Option<&str> {
        let index = (line as usize).checked_sub(1)?;
        let start = *self.lines.get(index)?;
        let end = self
            .lines
            .get(index + 1)
            .map_or(self.text.len(), |&next| next - 1);
        Some(self.text[start..end].trim_end_matches('\r'))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters() {
        let source = Source::new("query", "find coating\r\n35 °C über\n");
        let offset = source.text.find("über").expect("there");
        assert_eq!(source.place(offset), Place { line: 2, column: 7 });
        assert_eq!(source.line(1), Some("find coating"));
        assert_eq!(source.line(3), Some(""));
        assert_eq!(source.line(4), None);
        assert_eq!(source.line(0), None);
        assert_eq!(source.place(9999).line, 3);
    }

    #[test]
    fn a_bad_span_slices_to_nothing() {
        assert_eq!(Span::new(1, 2).slice("°"), "");
        assert_eq!(Span::new(0, 99).slice("abc"), "");
        assert_eq!(Span::new(5, 3).slice("abcdef"), "");
    }
}
