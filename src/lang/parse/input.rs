//! Tokens as input for nom, and the record of how far the parser came.

use std::cell::RefCell;
use std::iter::Enumerate;
use std::ops::Range;
use std::slice::Iter;

use nom::error::{ErrorKind, ParseError};
use nom::{IResult, Input, Needed};

use crate::diag::Diagnostic;
use crate::lang::expected::Expected;
use crate::lang::token::Token;
use crate::span::Span;

/// A run of tokens still to be read. Copies are free.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tokens<'a> {
    /// The whole text, for spellings.
    pub(super) text: &'a str,
    all: &'a [Token],
    at: usize,
    end: usize,
    track: &'a Track,
}

/// How far the parser came, what could have stood there, and which rules
/// beyond the grammar were broken. nom drops the errors of alternatives that
/// were tried in vain beside one that fit; this keeps them.
#[derive(Debug, Default)]
pub(super) struct Track {
    furthest: RefCell<(usize, Vec<Expected>)>,
    slips: RefCell<Vec<Diagnostic>>,
}

impl Track {
    /// Index of the furthest token that was looked at in vain, and what was
    /// looked for there.
    pub(super) fn furthest(&self) -> (usize, Vec<Expected>) {
        self.furthest.borrow().clone()
    }

    /// Broken rules, in order of finding.
    pub(super) fn take_slips(&self) -> Vec<Diagnostic> {
        self.slips.take()
    }
}

/// A parse that did not fit. The place and what was expected are in the
/// [`Track`], except for mistakes that are known by name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Miss {
    /// Index of the token that did not fit.
    pub(super) at: usize,
    /// The mistake, if it is known by name.
    pub(super) known: Option<Box<Diagnostic>>,
}

/// Result of a parser over tokens.
pub(super) type Parsed<'a, T> = IResult<Tokens<'a>, T, Miss>;

impl<'a> Tokens<'a> {
    pub(super) fn new(
        text: &'a str,
        all: &'a [Token],
        part: Range<usize>,
        track: &'a Track,
    ) -> Self {
        Self {
            text,
            all,
            at: part.start,
            end: part.end,
            track,
        }
    }

    /// The next token, if any.
    pub(super) fn next(self) -> Option<&'a Token> {
        self.tokens().first()
    }

    /// The tokens still to be read.
    pub(super) fn tokens(self) -> &'a [Token] {
        &self.all[self.at..self.end]
    }

    /// Index of the next token in the whole text.
    pub(super) fn at(self) -> usize {
        self.at
    }

    /// The token at an index of the whole text, if it is in this run.
    pub(super) fn token(self, index: usize) -> Option<&'a Token> {
        self.all[..self.end].get(index)
    }

    /// The input after one token.
    pub(super) fn skip(self) -> Self {
        Self {
            at: (self.at + 1).min(self.end),
            ..self
        }
    }

    /// Spelling of a token.
    pub(super) fn spelling(self, token: &Token) -> &'a str {
        token.span.slice(self.text)
    }

    /// The span of all tokens from here up to `rest`.
    pub(super) fn span_to(self, rest: Self) -> Span {
        super::span_of(&self.all[self.at..rest.at.max(self.at)])
    }

    /// Remembers that `expected` was looked for here in vain.
    pub(super) fn note(self, expected: Expected) {
        let mut furthest = self.track.furthest.borrow_mut();
        if self.at > furthest.0 {
            *furthest = (self.at, Vec::new());
        }
        if self.at == furthest.0 && !furthest.1.contains(&expected) {
            furthest.1.push(expected);
        }
    }

    /// Remembers `expected`, and fails softly.
    pub(super) fn miss<T>(self, expected: Expected) -> Parsed<'a, T> {
        self.note(expected);
        Err(nom::Err::Error(Miss {
            at: self.at,
            known: None,
        }))
    }

    /// Fails for good with a mistake known by name.
    pub(super) fn fail<T>(self, known: Diagnostic) -> Parsed<'a, T> {
        Err(nom::Err::Failure(Miss {
            at: self.at,
            known: Some(Box::new(known)),
        }))
    }

    /// Index of the furthest token looked at in vain, and what was wanted.
    pub(super) fn furthest(self) -> (usize, Vec<Expected>) {
        self.track.furthest()
    }

    /// Reports a broken rule and goes on.
    pub(super) fn slip(self, slip: Diagnostic) {
        self.track.slips.borrow_mut().push(slip);
    }
}

impl ParseError<Tokens<'_>> for Miss {
    fn from_error_kind(input: Tokens<'_>, _: ErrorKind) -> Self {
        Self {
            at: input.at,
            known: None,
        }
    }

    fn append(_: Tokens<'_>, _: ErrorKind, other: Self) -> Self {
        other
    }

    fn or(self, other: Self) -> Self {
        if self.at > other.at { self } else { other }
    }
}

impl<'a> Input for Tokens<'a> {
    type Item = &'a Token;
    type Iter = Iter<'a, Token>;
    type IterIndices = Enumerate<Iter<'a, Token>>;

    fn input_len(&self) -> usize {
        self.end - self.at
    }

    fn take(&self, index: usize) -> Self {
        Self {
            end: (self.at + index).min(self.end),
            ..*self
        }
    }

    fn take_from(&self, index: usize) -> Self {
        Self {
            at: (self.at + index).min(self.end),
            ..*self
        }
    }

    fn take_split(&self, index: usize) -> (Self, Self) {
        (self.take_from(index), self.take(index))
    }

    fn position<P>(&self, predicate: P) -> Option<usize>
    where
        P: Fn(Self::Item) -> bool,
    {
        self.tokens().iter().position(predicate)
    }

    fn iter_elements(&self) -> Self::Iter {
        self.tokens().iter()
    }

    fn iter_indices(&self) -> Self::IterIndices {
        self.tokens().iter().enumerate()
    }

    fn slice_index(&self, count: usize) -> Result<usize, Needed> {
        if count <= self.input_len() {
            Ok(count)
        } else {
            Err(Needed::new(count - self.input_len()))
        }
    }
}
