//! The canonical form of a text, with its remarks kept.
//!
//! The formatter works on the tokens themselves, not on a copy of the tree:
//! each token of the text is written exactly once, so nothing that was typed
//! can be lost or changed. The tree gives the statements and their verbs; the
//! clauses of a statement are put in their canonical order.

use std::ops::Range;

use super::ast::{File, Statement};
use super::lex::{Lexed, lex};
use super::reserved::{Keyword, VERBS, Verb, clauses_of};
use super::token::{Token, TokenKind, Trivia, TriviaKind, plain_number, plain_unit};
use crate::order::Arrange;

/// Widest line, in characters.
const WIDTH: usize = 80;
/// Blanks before a clause on a line of its own.
const CLAUSE: usize = 2;
/// Blanks before the rest of a clause that did not fit on its line.
const REST: usize = 4;

/// The canonical text of a parsed file: one statement on a line where it
/// fits into 80 columns, else one clause on a line; clauses in a fixed order;
/// single blanks; plain signs for units; remarks where they stood.
///
/// `text` must be the text that `file` was parsed from. The result ends with
/// a line end, parses to the same tree up to spans, and formats to itself.
#[must_use]
pub fn format(file: &File, text: &str) -> String {
    formatted(file, text, &lex(text))
}

/// The same, where the tokens of the text are at hand.
pub(super) fn formatted(file: &File, text: &str, lexed: &Lexed) -> String {
    let remarks = Remarks::new(text, &lexed.tokens, &lexed.trivia);
    let mut page = Page {
        text,
        tokens: &lexed.tokens,
        remarks: &remarks,
        in_where: in_where(&lexed.tokens),
        lines: Vec::new(),
        line: String::new(),
        broken: false,
    };
    let mut next = 0;
    if file.edition.is_some() {
        let end = end_of_statement(&lexed.tokens, next);
        page.remarks_before(next, 0, true);
        page.edition(next..end);
        page.close(end);
        next = end + 1;
    }
    for statement in &file.statements {
        let end = end_of_statement(&lexed.tokens, next);
        page.remarks_before(next, 0, true);
        page.statement(statement, next..end);
        page.close(end);
        next = end + 1;
    }
    page.finish(&remarks.last)
}

/// Index of the semicolon that ends the statement from `start`, or the number
/// of tokens.
fn end_of_statement(tokens: &[Token], start: usize) -> usize {
    tokens[start..]
        .iter()
        .position(|token| token.kind == TokenKind::Semicolon)
        .map_or(tokens.len(), |offset| start + offset)
}

/// Which tokens belong to a `where`: from the reserved word to the next
/// clause, whose reserved word stands nowhere else.
fn in_where(tokens: &[Token]) -> Vec<bool> {
    let ends = |keyword: &Keyword| {
        VERBS
            .iter()
            .filter(|(verb, ..)| !matches!(verb, Verb::Prepare | Verb::Ventilate))
            .any(|(verb, ..)| clauses_of(*verb).contains(keyword))
    };
    let mut inside = false;
    tokens
        .iter()
        .enumerate()
        .map(|(at, token)| {
            match &token.kind {
                TokenKind::Keyword(keyword) if ends(keyword) => {
                    inside = *keyword == Keyword::Where;
                }
                TokenKind::Semicolon => inside = false,
                TokenKind::Keyword(with) if *with == Keyword::Prior.begins() => {
                    let prior = TokenKind::Keyword(Keyword::Prior);
                    inside &= tokens.get(at + 1).is_none_or(|next| next.kind != prior);
                }
                _ => {}
            }
            inside
        })
        .collect()
}

/// Remarks by the token they belong to: those on lines of their own to the
/// token after them, those behind a token on its line to that token. An empty
/// string stands for an empty line.
struct Remarks {
    before: Vec<Vec<String>>,
    after: Vec<Option<String>>,
    /// Remarks after the last token, on lines of their own.
    last: Vec<String>,
}

impl Remarks {
    fn new(text: &str, tokens: &[Token], trivia: &[Trivia]) -> Self {
        // A semicolon at the very end is left out; its remarks go to the end.
        let kept = match tokens.last() {
            Some(token) if token.kind == TokenKind::Semicolon => tokens.len() - 1,
            _ => tokens.len(),
        };
        let mut remarks = Self {
            before: vec![Vec::new(); kept],
            after: vec![None; kept],
            last: Vec::new(),
        };
        let mut index = 0;
        // Line ends since the last token or remark, and whether a token
        // stands on the present line.
        let mut line_ends = 0;
        let mut behind_token = false;
        for piece in trivia {
            while tokens
                .get(index)
                .is_some_and(|token| token.span.start < piece.span.start)
            {
                remarks.empty_line(index, line_ends);
                index += 1;
                line_ends = 0;
                behind_token = true;
            }
            match piece.kind {
                TriviaKind::Blank => {}
                TriviaKind::Newline => {
                    line_ends += 1;
                    behind_token = false;
                }
                TriviaKind::Comment => {
                    remarks.empty_line(index, line_ends);
                    let remark = piece.span.slice(text).trim_end().to_owned();
                    remarks.add(remark, index, behind_token);
                    line_ends = 0;
                }
            }
        }
        if index < tokens.len() {
            remarks.empty_line(index, line_ends);
        }
        remarks
    }

    fn empty_line(&mut self, index: usize, line_ends: usize) {
        if line_ends > 1 {
            self.list(index).push(String::new());
        }
    }

    fn list(&mut self, index: usize) -> &mut Vec<String> {
        self.before.get_mut(index).unwrap_or(&mut self.last)
    }

    fn add(&mut self, remark: String, index: usize, behind_token: bool) {
        let owner = index.min(self.after.len()).checked_sub(1);
        if behind_token
            && self.last.is_empty()
            && let Some(owner) = owner
            && self.after[owner].is_none()
        {
            self.after[owner] = Some(remark);
        } else {
            self.list(index).push(remark);
        }
    }

    /// Whether a remark stands inside a statement, given its tokens and its
    /// semicolon; those before its first token stand before it.
    fn any_in(&self, range: Range<usize>) -> bool {
        let first = range.start;
        range.into_iter().any(|index| {
            let before = self
                .before
                .get(index)
                .is_some_and(|list| index > first && list.iter().any(|remark| !remark.is_empty()));
            before || self.after.get(index).is_some_and(Option::is_some)
        })
    }
}

/// The text as it is written out.
struct Page<'a> {
    text: &'a str,
    tokens: &'a [Token],
    remarks: &'a Remarks,
    /// Whether a token belongs to a `where`.
    in_where: Vec<bool>,
    lines: Vec<String>,
    line: String,
    /// Whether the present line ended with a remark, so that the next token
    /// must start a new one.
    broken: bool,
}

impl Page<'_> {
    fn statement(&mut self, statement: &Statement, range: Range<usize>) {
        let clauses = clauses_of(statement.query.verb());
        let parts = self.parts(clauses, range.clone());
        let ordered: Vec<usize> = parts.iter().flat_map(Clone::clone).collect();
        // One column is kept for the semicolon.
        let fits = self.width(&ordered) < WIDTH;
        if fits && !self.remarks.any_in(range.start..range.end + 1) {
            return self.tokens(&ordered, 0, REST);
        }
        for (index, part) in parts.into_iter().enumerate() {
            let (indent, rest) = if index == 0 {
                (0, REST)
            } else {
                (CLAUSE, REST)
            };
            self.part(part, indent, rest);
        }
    }

    /// Head and clauses of a statement, the clauses in canonical order.
    fn parts(&self, clauses: &[Keyword], range: Range<usize>) -> Vec<Range<usize>> {
        let mut depth = 0_usize;
        let mut starts = vec![(0, range.start)];
        for index in range.clone() {
            match &self.tokens[index].kind {
                TokenKind::Open => depth += 1,
                TokenKind::Close => depth = depth.saturating_sub(1),
                TokenKind::Keyword(keyword) if depth == 0 => {
                    if let Some(order) = clauses.iter().position(|clause| clause == keyword) {
                        // `with prior`: the clause begins one word earlier than its own.
                        let earlier = usize::from(keyword.head() != keyword.word());
                        starts.push((order + 1, index - earlier));
                    }
                }
                _ => {}
            }
        }
        let ends = starts
            .iter()
            .skip(1)
            .map(|(_, start)| *start)
            .chain(std::iter::once(range.end));
        let mut parts: Vec<(usize, Range<usize>)> = starts
            .iter()
            .zip(ends)
            .map(|((order, start), end)| (*order, *start..end))
            .collect();
        parts.arrange_by_key(|(order, _)| *order);
        parts.into_iter().map(|(_, part)| part).collect()
    }

    /// A head or a clause on lines of its own.
    fn part(&mut self, part: Range<usize>, indent: usize, rest: usize) {
        self.new_line();
        let whole: Vec<usize> = part.clone().collect();
        if indent + self.width(&whole) < WIDTH {
            return self.tokens(&whole, indent, rest);
        }
        let each_alone = matches!(
            self.tokens[part.start].kind,
            TokenKind::Keyword(Keyword::That | Keyword::Given)
        );
        let mut indent = indent;
        for piece in self.pieces(part) {
            let piece: Vec<usize> = piece.collect();
            let blank = usize::from(!self.line.is_empty());
            let wide = self.line.chars().count() + blank + self.width(&piece) >= WIDTH;
            if !self.line.is_empty() && (wide || each_alone) {
                self.new_line();
            }
            self.tokens(&piece, indent, rest);
            indent = rest;
        }
    }

    /// Where a clause may be broken: after commas, before `over`, before the
    /// joints of a condition and before the small words of a head.
    fn pieces(&self, part: Range<usize>) -> Vec<Range<usize>> {
        let mut pieces = Vec::new();
        let mut depth = 0_usize;
        let mut start = part.start;
        let head = !matches!(self.tokens[part.start].kind, TokenKind::Keyword(_));
        for index in part.clone() {
            let breaks = match &self.tokens[index].kind {
                TokenKind::Keyword(Keyword::Over | Keyword::And | Keyword::Or) => true,
                TokenKind::Keyword(
                    Keyword::From | Keyword::For | Keyword::To | Keyword::On | Keyword::By,
                ) => head,
                _ => false,
            };
            if depth == 0 && breaks && index > start {
                pieces.push(start..index);
                start = index;
            }
            match &self.tokens[index].kind {
                TokenKind::Open => depth += 1,
                TokenKind::Close => depth = depth.saturating_sub(1),
                TokenKind::Comma if depth == 0 => {
                    pieces.push(start..index + 1);
                    start = index + 1;
                }
                _ => {}
            }
        }
        if start < part.end {
            pieces.push(start..part.end);
        }
        pieces
    }

    fn edition(&mut self, range: Range<usize>) {
        let all: Vec<usize> = range.collect();
        self.tokens(&all, 0, REST);
    }

    /// Writes the remarks that stand on lines of their own before a token;
    /// empty lines among them only between statements.
    fn remarks_before(&mut self, index: usize, indent: usize, between: bool) {
        let Some(remarks) = self.remarks.before.get(index) else {
            return;
        };
        for remark in remarks {
            if !remark.is_empty() {
                self.new_line();
                self.lines.push(format!("{}{remark}", " ".repeat(indent)));
            } else if between {
                self.empty_line();
            }
        }
    }

    /// One empty line, but not at the top and never two.
    fn empty_line(&mut self) {
        if self.lines.last().is_some_and(|line| !line.is_empty()) {
            self.lines.push(String::new());
        }
    }

    /// Writes tokens on the present line, and on more where remarks force it:
    /// the first line starts at `indent`, the others at `rest`.
    fn tokens(&mut self, indices: &[usize], indent: usize, rest: usize) {
        let mut indent = indent;
        let mut previous = None;
        for &index in indices {
            if !self.starts_statement(index) {
                self.remarks_before(index, indent, false);
            }
            if self.broken {
                self.new_line();
            }
            if self.line.is_empty() {
                self.line = " ".repeat(indent);
            } else if previous.is_none_or(|before| self.blank_between(before, index)) {
                self.line.push(' ');
            }
            self.line.push_str(&self.spell(index));
            self.remark_after(index);
            previous = Some(index);
            indent = rest;
        }
    }

    /// Whether a token is the first of its statement, whose remarks have been
    /// written already.
    fn starts_statement(&self, index: usize) -> bool {
        index
            .checked_sub(1)
            .is_none_or(|before| self.tokens[before].kind == TokenKind::Semicolon)
    }

    fn remark_after(&mut self, index: usize) {
        if let Some(remark) = self.remarks.after.get(index).and_then(Option::as_ref) {
            self.line.push_str("  ");
            self.line.push_str(remark);
            self.broken = true;
        }
    }

    /// Ends a statement with its semicolon, unless it is the last.
    fn close(&mut self, semicolon: usize) {
        if semicolon < self.remarks.after.len() {
            self.semicolon(semicolon);
        }
        self.new_line();
    }

    fn semicolon(&mut self, index: usize) {
        self.remarks_before(index, 0, false);
        if self.broken {
            self.new_line();
        }
        self.line.push(';');
        self.remark_after(index);
    }

    fn new_line(&mut self) {
        if !self.line.is_empty() {
            self.lines.push(std::mem::take(&mut self.line));
        }
        self.broken = false;
    }

    fn finish(mut self, last: &[String]) -> String {
        self.new_line();
        for remark in last {
            if remark.is_empty() {
                self.empty_line();
            } else {
                self.lines.push(remark.clone());
            }
        }
        // An empty line at the end says nothing.
        while self.lines.last().is_some_and(String::is_empty) {
            self.lines.pop();
        }
        let mut text = self.lines.join("\n");
        text.push('\n');
        text
    }

    /// Characters that some tokens take on one line.
    fn width(&self, indices: &[usize]) -> usize {
        let spelled: usize = indices
            .iter()
            .map(|index| self.spell(*index).chars().count())
            .sum();
        let blanks = indices
            .windows(2)
            .filter(|pair| self.blank_between(pair[0], pair[1]))
            .count();
        spelled + blanks
    }

    fn blank_between(&self, before: usize, after: usize) -> bool {
        let (left, right) = (&self.tokens[before], &self.tokens[after]);
        match (&left.kind, &right.kind) {
            (TokenKind::Open, _) | (_, TokenKind::Close | TokenKind::Comma) => false,
            // `known(tg)` is written close; a note, which never stands in a
            // `where`, is set off.
            (TokenKind::Word, TokenKind::Open) => !self.in_where[after],
            _ => true,
        }
    }

    /// A token in its canonical spelling.
    fn spell(&self, index: usize) -> String {
        let token = &self.tokens[index];
        let typed = token.span.slice(self.text);
        match &token.kind {
            TokenKind::Unit(unit) => plain_unit(typed, *unit),
            TokenKind::Int(_) | TokenKind::Dec(_) | TokenKind::Span(_) => plain_number(typed),
            TokenKind::Text(content) if !content.contains('"') => format!("\"{content}\""),
            TokenKind::LessEqual => "<=".to_owned(),
            TokenKind::GreaterEqual => ">=".to_owned(),
            _ => typed.to_owned(),
        }
    }
}
