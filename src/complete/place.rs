//! Where in a statement the cursor stands.

use crate::lang::lex::lex;
use crate::lang::reserved::{Keyword, Verb, clauses_of};
use crate::lang::token::{Token, TokenKind};
use crate::lang::{Expected, Role, expected_at};

/// The cursor's place: what stands before it, and what may stand there.
pub(super) struct Place<'a> {
    /// The text up to the cursor.
    pub(super) text: &'a str,
    /// The tokens of the statement, without the half-typed word.
    pub(super) tokens: Vec<Token>,
    /// Where the half-typed word starts; the cursor if there is none.
    pub(super) partial: usize,
    /// What may stand at `partial`.
    pub(super) expected: Vec<Expected>,
    /// The statement's verb.
    pub(super) verb: Option<Verb>,
    /// Position in `tokens` of the reserved word of the clause that the cursor is in; `None` in the
    /// head.
    pub(super) clause: Option<usize>,
}

impl<'a> Place<'a> {
    /// Reads the text up to the cursor. `None` where nothing can be completed: in a text that
    /// cannot be read, and in a remark.
    pub(super) fn of(text: &'a str) -> Option<Self> {
        let lexed = lex(text);
        if !lexed.errors.is_empty() {
            return None;
        }
        let expected = expected_at(text, text.len());
        let mut tokens = lexed.tokens;
        let mut partial = text.len();
        if let Some(last) = tokens.last()
            && last.span.end as usize == text.len()
            && matches!(last.kind, TokenKind::Word | TokenKind::Keyword(_))
        {
            partial = last.span.start as usize;
            tokens.pop();
        }
        let start = tokens
            .iter()
            .rposition(|t| t.kind == TokenKind::Semicolon)
            .map_or(0, |k| k + 1);
        let tokens = tokens.split_off(start);
        let verb = verb(text, &tokens);
        let clause = verb.and_then(|(verb, at)| {
            let clauses = clauses_of(verb);
            let found = tokens.iter().rposition(
                |t| matches!(t.kind, TokenKind::Keyword(keyword) if clauses.contains(&keyword)),
            );
            found.filter(|k| *k > at)
        });
        Some(Self {
            text,
            tokens,
            partial,
            expected,
            verb: verb.map(|(verb, _)| verb),
            clause,
        })
    }

    /// The half-typed word.
    pub(super) fn word(&self) -> &'a str {
        &self.text[self.partial..]
    }

    /// The reserved word of the clause that the cursor is in.
    pub(super) fn clause_word(&self) -> Option<Keyword> {
        match self.tokens[self.clause?].kind {
            TokenKind::Keyword(keyword) => Some(keyword),
            _ => None,
        }
    }

    /// The last reserved word before the cursor.
    pub(super) fn last_keyword(&self) -> Option<Keyword> {
        self.tokens.iter().rev().find_map(keyword)
    }

    /// The reserved word right before the cursor's word or run of words.
    pub(super) fn keyword_before(&self, run: usize) -> Option<Keyword> {
        run.checked_sub(1).and_then(|k| keyword(&self.tokens[k]))
    }

    /// Whether a reserved word stands in the statement.
    pub(super) fn has(&self, wanted: Keyword) -> bool {
        self.tokens.iter().any(|t| keyword(t) == Some(wanted))
    }

    /// Spelling of a token.
    pub(super) fn spelling(&self, k: usize) -> &'a str {
        self.tokens[k].span.slice(self.text)
    }

    /// Start of the run of words, whole numbers and units that ends at the cursor: position among
    /// the tokens, which is their count when there is none.
    pub(super) fn run(&self) -> usize {
        self.run_before(self.tokens.len())
    }

    /// The same for the run that ends before a token.
    pub(super) fn run_before(&self, end: usize) -> usize {
        let runs = |t: &&Token| {
            matches!(
                t.kind,
                TokenKind::Word | TokenKind::Int(_) | TokenKind::Unit(_)
            )
        };
        end - self.tokens[..end].iter().rev().take_while(runs).count()
    }

    /// Where the name of this role that ends at the cursor starts, as a byte of the text: not all
    /// words of a run belong to it, for a verb is a word like any other.
    pub(super) fn name_start(&self, role: Role) -> usize {
        self.first_of_name(role, self.run(), self.tokens.len())
            .map_or(self.partial, |k| self.tokens[k].span.start as usize)
    }

    /// The first token from `from` on at which a name of this role may start.
    pub(super) fn first_of_name(&self, role: Role, from: usize, to: usize) -> Option<usize> {
        (from..to).find(|k| {
            let start = self.tokens[*k].span.start as usize;
            expected_at(self.text, start).contains(&Expected::Name(role))
        })
    }

    /// Position of the parenthesis that is open at the cursor.
    pub(super) fn open(&self) -> Option<usize> {
        let mut depth = 0_usize;
        for (k, token) in self.tokens.iter().enumerate().rev() {
            match token.kind {
                TokenKind::Close => depth += 1,
                TokenKind::Open if depth == 0 => return Some(k),
                TokenKind::Open => depth -= 1,
                _ => {}
            }
        }
        None
    }

    /// First token of the observation that the cursor is in: after the clause's word or the last
    /// comma outside parentheses.
    pub(super) fn observation(&self) -> usize {
        let from = self.clause.map_or(0, |k| k + 1);
        let mut depth = 0_usize;
        let mut start = from;
        for (k, token) in self.tokens.iter().enumerate().skip(from) {
            match token.kind {
                TokenKind::Open => depth += 1,
                TokenKind::Close => depth = depth.saturating_sub(1),
                TokenKind::Comma if depth == 0 => start = k + 1,
                _ => {}
            }
        }
        start
    }

    /// Names of the layers and materials of the head, as typed.
    pub(super) fn things(&self) -> Vec<&'a str> {
        let end = self.clause.unwrap_or(self.tokens.len());
        let mut out = Vec::new();
        for k in 0..end {
            let starts = matches!(
                keyword(&self.tokens[k]),
                Some(Keyword::From | Keyword::Over | Keyword::On | Keyword::For | Keyword::To)
            ) || (self.verb == Some(Verb::Remove)
                && self.tokens[k].kind == TokenKind::Word
                && self.spelling(k) == Verb::Remove.word());
            let first = k + 1;
            let last = (first..end)
                .take_while(|j| {
                    matches!(
                        self.tokens[*j].kind,
                        TokenKind::Word | TokenKind::Int(_) | TokenKind::Unit(_)
                    )
                })
                .last();
            if let Some(last) = last.filter(|_| starts) {
                let span = self.tokens[first].span.to(self.tokens[last].span);
                out.push(span.slice(self.text));
            }
        }
        out
    }
}

/// The reserved word that a token is.
pub(super) fn keyword(token: &Token) -> Option<Keyword> {
    match token.kind {
        TokenKind::Keyword(keyword) => Some(keyword),
        _ => None,
    }
}

/// The verb of a statement and its position, after `let NAME =` or `explain`.
fn verb(text: &str, tokens: &[Token]) -> Option<(Verb, usize)> {
    let spelling = |k: usize| tokens.get(k).map(|t| t.span.slice(text));
    let at = match spelling(0)? {
        "let" => 3,
        "explain" if matches!(spelling(1), Some("plan" | "empty")) => 2,
        "explain" => 1,
        _ => 0,
    };
    let token = tokens.get(at).filter(|t| t.kind == TokenKind::Word)?;
    Some((Verb::from_word(token.span.slice(text))?, at))
}
