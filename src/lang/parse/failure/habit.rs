//! Habits of speech and of other query languages, each looked for where it
//! stops a sentence, and answered with what is typed here.

use crate::diag::Diagnostic;
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::{Keyword, VERBS, Verb, clauses_of};
use crate::lang::token::{Token, TokenKind};
use crate::span::Span;

use super::super::spoken::sign_for;
use super::Place;

/// Words that were taken into the name before the place, each with what would
/// have let the sentence go on there.
const STRAY: &[(&str, Keyword, &str)] = &[
    ("off", Keyword::From, "`from` says what it comes off"),
    ("of", Keyword::From, "`from` says what it comes off"),
    ("which", Keyword::That, "`that` tells what was seen"),
    ("who", Keyword::That, "`that` tells what was seen"),
    ("sort", Keyword::Rank, "`rank by` orders the answer"),
    ("sorted", Keyword::Rank, "`rank by` orders the answer"),
    ("order", Keyword::Rank, "`rank by` orders the answer"),
    ("ordered", Keyword::Rank, "`rank by` orders the answer"),
];

/// Comparisons in words, each with its sign.
const COMPARISONS: &[(&str, &str)] = &[
    ("above", ">"),
    ("exceeds", ">"),
    ("exceeding", ">"),
    ("greater than", ">"),
    ("higher than", ">"),
    ("larger than", ">"),
    ("more than", ">"),
    ("below", "<"),
    ("less than", "<"),
    ("lower than", "<"),
    ("smaller than", "<"),
    ("equals", "is"),
    ("equal", "is"),
];

/// What is typed where a clause could start, for one verb: what it shows,
/// what is told, and what to put in its place if that makes a sentence.
const CLAUSES: &[(Verb, &str, Keyword, &str, &str)] = &[
    (
        Verb::Find,
        "that",
        Keyword::Where,
        "`find` asks what the corpus records: `find coating where soluble in ethanol`",
        "where",
    ),
    (
        Verb::Find,
        "with",
        Keyword::Where,
        "`where` stands before a condition: `find coating where tg > 30 C`",
        "where",
    ),
    (
        Verb::Find,
        "without",
        Keyword::Where,
        "`where not` leaves out: `find coating where not soluble in water`",
        "where not",
    ),
    (
        Verb::Find,
        "for",
        Keyword::Where,
        "`find` takes a condition after `where`, or text after `about`; `choose` says for what",
        "",
    ),
    (
        Verb::Find,
        "on",
        Keyword::Where,
        "`find` takes a condition after `where`, or text after `about`; `choose` says for what",
        "",
    ),
    (
        Verb::Identify,
        ",",
        Keyword::That,
        "what was seen stands after `that`, what it sits on after `on`, the layers beneath after \
         `over`",
        "",
    ),
    (
        Verb::Identify,
        "with",
        Keyword::That,
        "what was seen stands after `that`: `that dissolves in ethanol`",
        "",
    ),
    (
        Verb::Identify,
        "in",
        Keyword::That,
        "what it sits on stands after `on`: `fill on marble`; a joint or pores in parentheses: \
         `adhesive (open joint)`",
        "",
    ),
    (
        Verb::Identify,
        "from",
        Keyword::Restored,
        "`restored 1920..1940` dates it; `on` says what it sits on",
        "",
    ),
    (
        Verb::Identify,
        "when",
        Keyword::Given,
        "how it was done stands after a small word or in parentheses: \
         `smells of camphor on hot needle`",
        "",
    ),
    (
        Verb::Remove,
        "with",
        Keyword::Without,
        "the plan names its means: `without` rules one out, `allowing` lets one in",
        "",
    ),
    (
        Verb::Remove,
        "using",
        Keyword::Without,
        "the plan names its means: `without` rules one out, `allowing` lets one in",
        "",
    ),
    (
        Verb::Remove,
        "by",
        Keyword::Without,
        "the plan names its means: `without` rules one out, `allowing` lets one in",
        "",
    ),
    (
        Verb::Remove,
        "where",
        Keyword::Without,
        "`without` rules out a means, `given` tells what was tried on this object",
        "",
    ),
    (
        Verb::Remove,
        "that",
        Keyword::Given,
        "`given` tells what was tried on this object: `given oak is unaffected by ethanol`",
        "",
    ),
];

impl Place<'_> {
    /// A habit that is known by name.
    pub(super) fn habit(&self) -> Option<Diagnostic> {
        self.bracketed()
            .or_else(|| self.date())
            .or_else(|| self.stray())
            .or_else(|| self.between())
            .or_else(|| self.comparison())
            .or_else(|| self.clause())
            .or_else(|| self.contrast())
            .or_else(|| self.reversible())
            .or_else(|| self.doubled())
            .or_else(|| self.either())
            .or_else(|| self.no_from())
            .or_else(|| self.strength_first())
    }

    /// `poly(vinyl acetate) resin`: a name with brackets in it, of which the bracket was read as notes.
    fn bracketed(&self) -> Option<Diagnostic> {
        let of = |index: usize| self.input.token(index);
        let is = |index: usize, kind: &TokenKind| of(index).is_some_and(|it| it.kind == *kind);
        // Notes stand apart from the name.
        let (open, first) = (self.input.at()..=self.at).rev().find_map(|index| {
            let open = of(index).filter(|it| it.kind == TokenKind::Open)?;
            let first = of(index.checked_sub(1)?).filter(|it| it.kind == TokenKind::Word)?;
            (first.span.end == open.span.start).then_some((index, first))
        })?;
        let close = (open..)
            .take_while(|index| of(*index).is_some())
            .find(|index| is(*index, &TokenKind::Close))?;
        let last = (close..)
            .skip(1)
            .map_while(of)
            .take_while(|it| matches!(it.kind, TokenKind::Word | TokenKind::Int(_)))
            .last()
            .or_else(|| of(close))?;
        let span = first.span.to(last.span);
        let quoted = format!("\"{}\"", span.slice(self.input.text));
        let error = Diagnostic::error("Q0206", "a name with brackets in it stands in quotes")
            .at(span, "brackets hold notes on what is named before them")
            .help(format!("`{quoted}`"));
        let error = self.mended(error, span, &quoted);
        error.edit.is_some().then_some(error)
    }

    /// A date told in words.
    fn date(&self) -> Option<Diagnostic> {
        if !self.wants(Expected::Years) {
            return None;
        }
        let found = self.found?;
        let word = self.spell(found);
        let next = self.input.token(self.at + 1);
        let year = next
            .filter(|token| matches!(token.kind, TokenKind::Int(_)))
            .and_then(|token| self.spell(token).parse::<i32>().ok());
        let error = Diagnostic::error("Q0206", format!("`{word}` is no year"));
        let until_next = next.map_or(found.span, |token| found.span.to(token.span));
        if let Some(number) = century(&word)
            && next.is_some_and(|token| self.spell(token).starts_with("centur"))
        {
            let years = format!("{}..{}", (number - 1) * 100 + 1, number * 100);
            let error = error
                .at(until_next, "wants a span of years")
                .help(format!("a century is a span: `restored {years}`"));
            return Some(self.mended(error, until_next, &years));
        }
        let error = error.at(found.span, self.list());
        let Some(year) = year else {
            return Some(
                error.help("`restored 1890..1935`, `restored 1950..now`, `restored 1923`"),
            );
        };
        let years = match word.as_str() {
            "in" | "at" => year.to_string(),
            "before" | "until" | "till" | "to" | "by" => format!("..{year}"),
            "after" | "since" | "from" => format!("{year}.."),
            // How wide the doubt is, only the writer knows.
            _ => {
                return Some(error.help(format!(
                    "a span as wide as the doubt: `restored {}..{}`",
                    year.saturating_sub(10),
                    year.saturating_add(10)
                )));
            }
        };
        let error = error.help(format!("`restored {years}`"));
        Some(self.mended(error, until_next, &years))
    }

    /// Tokens of the name or the words that end at the place, in order.
    fn words_before(&self) -> Vec<&Token> {
        let mut run: Vec<&Token> = (self.input.at()..self.at)
            .rev()
            .map_while(|index| self.input.token(index))
            .take_while(|token| {
                matches!(
                    token.kind,
                    TokenKind::Word | TokenKind::Int(_) | TokenKind::Unit(_)
                )
            })
            .collect();
        run.reverse();
        run
    }

    /// A word of another language inside a name: `remove shellac off oak`.
    fn stray(&self) -> Option<Diagnostic> {
        let words = self.words_before();
        // The first word of a name is what is asked for, whatever it is.
        words.iter().skip(1).find_map(|token| {
            let word = self.spell(token);
            let (_, meant, help) = STRAY.iter().find(|(stray, meant, _)| {
                *stray == word && self.wants(Expected::Keyword(*meant))
            })?;
            let error = Diagnostic::error("Q0206", format!("`{word}` does not fit here"))
                .at(token.span, format!("expected `{}`", meant.word()))
                .help(*help);
            let error = self.mended(error, token.span, meant.word());
            // Without the change it is a guess, and the list says more.
            error.edit.is_some().then_some(error)
        })
    }

    /// `tg between 20 and 40 C`.
    fn between(&self) -> Option<Diagnostic> {
        self.wants(Expected::Sign("<")).then_some(())?;
        let first = self.words_before().pop()?;
        if self.spell(first) != "between" {
            return None;
        }
        let numbers: Vec<&Token> = (self.at..)
            .map_while(|index| self.input.token(index))
            .take(5)
            .take_while(|token| {
                token.kind.takes_unit()
                    || matches!(
                        token.kind,
                        TokenKind::Unit(_) | TokenKind::Keyword(Keyword::And | Keyword::To)
                    )
            })
            .collect();
        let mut ends = numbers.iter().filter(|token| token.kind.takes_unit());
        let (low, high) = (ends.next()?, ends.next()?);
        let range = format!("is {}..{}", self.spell(low), self.spell(high));
        let span = first.span.to(high.span);
        let error = Diagnostic::error("Q0206", "`between` is written as a range")
            .at(span, "a range")
            .help(format!("`{range}`"));
        Some(self.mended(error, span, &range))
    }

    /// `tg above 30 C`.
    fn comparison(&self) -> Option<Diagnostic> {
        let found = self.found.filter(|token| token.kind.takes_unit())?;
        let words = self.words_before();
        if let Some(sign) = words.last().and_then(|word| sign_for(&self.spell(word)))
            && let [.., word] = words[..]
            && let Some(at) = self
                .at
                .checked_sub(2)
                .and_then(|index| self.input.token(index))
            && at.kind == TokenKind::Keyword(Keyword::At)
        {
            let span = at.span.to(word.span);
            let error = Diagnostic::error("Q0206", "a comparison is written by sign")
                .at(span, format!("`{sign}`"))
                .help(format!("`{sign} {}`", self.spell(found)));
            return Some(self.mended(error, span, sign));
        }
        self.wants(Expected::Sign("<")).then_some(())?;
        COMPARISONS.iter().find_map(|(typed, sign)| {
            let length = typed.split(' ').count();
            let tail = words.get(words.len().checked_sub(length)?..)?;
            let span = tail.first()?.span.to(tail.last()?.span);
            let spoken: Vec<String> = tail.iter().map(|token| self.spell(token)).collect();
            if spoken.join(" ") != *typed {
                return None;
            }
            let error = Diagnostic::error("Q0206", format!("`{typed}` is written `{sign}` here"))
                .at(span, format!("`{sign}`"))
                .help(format!("`{sign} {}`", self.spell(found)));
            Some(self.mended(error, span, sign))
        })
    }

    /// What cannot start a clause of this verb.
    fn clause(&self) -> Option<Diagnostic> {
        let found = self.found?;
        let (word, verb) = (self.spell(found), self.statement_verb()?);
        let (.., help, instead) = CLAUSES.iter().find(|(of, typed, shows, ..)| {
            *of == verb && *typed == word && self.wants(Expected::Keyword(*shows))
        })?;
        let error = Diagnostic::error("Q0206", format!("`{word}` does not fit here"))
            .at(found.span, self.list())
            .help(*help);
        Some(if instead.is_empty() {
            error
        } else {
            self.mended(error, found.span, instead)
        })
    }

    /// `dissolves in ethanol but not in water`.
    fn contrast(&self) -> Option<Diagnostic> {
        let last = self.words_before().pop()?;
        if self.spell(last) != "but" || !self.wants(Expected::Sign(",")) {
            return None;
        }
        Some(
            Diagnostic::error("Q0206", "`but` joins nothing")
                .at(last.span, "expected `,`")
                .help(
                    "each observation by itself: `dissolves in ethanol, does not dissolve in \
                     water`",
                ),
        )
    }

    /// `where clear and reversible`: the word is reserved for a clause.
    fn reversible(&self) -> Option<Diagnostic> {
        let found = self.found?;
        let asked = self.found_keyword() == Some(Keyword::Reversible)
            && self.wants(Expected::Name(Role::Test));
        asked.then(|| {
            Diagnostic::error("Q0215", "`reversible` is no property")
                .at(found.span, self.list())
                .help(
                    "`removable with ethanol when aged` asks whether it comes off again; \
                     `reversible for 50 years` is a clause of `choose`",
                )
        })
    }

    /// `prepare 5 % solution of isinglass`: how much of it is not said.
    fn strength_first(&self) -> Option<Diagnostic> {
        let found = self.found?;
        let asked = self.spell(found) == "solution" && self.wants(Expected::Word("of"));
        asked.then(|| {
            Diagnostic::error("Q0206", "`solution` says nothing here")
                .at(found.span, self.list())
                .help("how much first, then how strong: `250 ml of 5 % w/v isinglass in water`")
        })
    }

    /// `without using water`: two words where one does.
    fn doubled(&self) -> Option<Diagnostic> {
        let (found, before) = (self.found?, self.before?);
        let pair = matches!(
            before.kind,
            TokenKind::Keyword(Keyword::Without | Keyword::Allowing)
        ) && self.found_keyword() == Some(Keyword::Using);
        if !pair {
            return None;
        }
        let word = self.spell(before);
        let span = before.span.to(found.span);
        let error = Diagnostic::error("Q0215", format!("`using` says nothing after `{word}`"))
            .at(found.span, self.list())
            .help(format!("`{word}` and the name"));
        Some(self.mended(error, span, &word))
    }

    /// `without heat or water`: a list, where the two ways of reading `or` come
    /// to the same. In an observation they do not.
    fn either(&self) -> Option<Diagnostic> {
        let (found, before) = (self.found?, self.before?);
        let in_list = self.found_keyword() == Some(Keyword::Or)
            && self.wants(Expected::Sign(","))
            && !self.wants(Expected::Keyword(Keyword::In));
        if !in_list {
            return None;
        }
        let error = Diagnostic::error("Q0206", "`or` does not fit here")
            .at(found.span, self.list())
            .help("a comma joins members of a list: each of them counts");
        let span = Span::new(before.span.end as usize, found.span.end as usize);
        Some(self.mended(error, span, ","))
    }

    /// `remove wax over oil paint`: two stacks without the word between.
    fn no_from(&self) -> Option<Diagnostic> {
        let from = Expected::Keyword(Keyword::From);
        if self.found.is_some() || self.statement_verb() != Some(Verb::Remove) || !self.wants(from)
        {
            return None;
        }
        let over = self
            .input
            .tokens()
            .iter()
            .find(|token| token.kind == TokenKind::Keyword(Keyword::Over))?;
        Some(
            Diagnostic::error("Q0214", "the statement breaks off: what stays is not named")
                .at(self.span(), self.list())
                .and_at(over.span, "lists what comes off, from the top")
                .help("`remove wax over dammar from oil paint`: what comes off, then what stays"),
        )
    }

    /// A text that starts with no verb: a verb further on, a clause, a name.
    pub(super) fn no_verb(&self, error: &Diagnostic) -> Option<Diagnostic> {
        let found = self.found?;
        if let Some(keyword) = self.found_keyword() {
            let is_clause = VERBS
                .iter()
                .any(|(verb, ..)| clauses_of(*verb).contains(&keyword));
            // A clause at the very start belongs to nothing.
            if !is_clause || self.at == 0 {
                return None;
            }
            return Some(error.clone().help(format!(
                "`{}` belongs to the statement before it: no semicolon between them",
                keyword.word()
            )));
        }
        let words = self.run_of_words(self.at);
        let later = words
            .iter()
            .skip(1)
            .take(5)
            .find(|token| Verb::from_word(&self.spell(token)).is_some());
        if let Some(verb) = later {
            let before = Span::new(found.span.start as usize, verb.span.start as usize);
            let error = error.clone().help(format!(
                "a query starts with its verb: `{} ...`",
                self.spell(verb)
            ));
            return Some(self.mended(error, before, ""));
        }
        // A name alone: what is wanted of it is left open.
        let alone = words.len() == self.input.tokens().len() && words.len() <= 2;
        alone.then(|| {
            let name = words
                .iter()
                .fold(found.span, |span, token| span.to(token.span))
                .slice(self.input.text);
            error.clone().help(format!(
                "`find {name}` shows what is recorded of it; the verbs are {}",
                super::verbs()
            ))
        })
    }
}

/// The number of a century: `19` in `19th`.
fn century(word: &str) -> Option<i32> {
    ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|ending| word.strip_suffix(ending))
        .and_then(|number| number.parse().ok())
        .filter(|number| (1..=21).contains(number))
}
