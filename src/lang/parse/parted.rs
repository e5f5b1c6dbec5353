//! Two statements on two lines without a semicolon between: the grammar reads
//! on, and finds at best a name that runs over the line end.

use std::ops::Range;

use crate::diag::Diagnostic;
use crate::lang::reserved::Verb;
use crate::lang::token::{Token, TokenKind};
use crate::span::Span;

/// The mistake, if what stands before and after a line end is a statement
/// each, the second with its verb first on its line.
pub(super) fn parted(text: &str, tokens: &[Token], part: Range<usize>) -> Option<Diagnostic> {
    let end = part.end;
    let mut starts = (part.start + 1..end).filter(|index| starts_line(text, tokens, *index));
    let start = starts.next()?;
    // Only up to the next: each is told in its turn.
    let next = starts.next().unwrap_or(end);
    let whole = |range: Range<usize>| {
        let span = super::span_of(&tokens[range]);
        super::accepts(span.slice(text))
    };
    if !(whole(part.start..start) && whole(start..next)) {
        return None;
    }
    let at = Span::at(tokens[start - 1].span.end as usize);
    Some(
        Diagnostic::error("Q0219", "two statements without a semicolon")
            .at(at, "wants `;`")
            .and_at(tokens[start].span, "starts the next statement")
            .help("a semicolon stands between two statements")
            .edit(at, ";"),
    )
}

/// Whether a token is a verb at the very start of its line. One that is set in goes on with what stands
/// above it, as the formatter writes it.
fn starts_line(text: &str, tokens: &[Token], index: usize) -> bool {
    let token = &tokens[index];
    let before = tokens[index - 1].span.end as usize;
    token.kind == TokenKind::Word
        && Verb::from_word(token.span.slice(text)).is_some()
        && text[before..token.span.start as usize].ends_with('\n')
}
