//! A statement that did not fit, in words.
//!
//! The parser knows how far it came and what could have stood there. Frequent
//! slips are looked for by name first; what is left gets the list.

mod habit;

use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::PREPS;
use crate::lang::expected::{Expected, Role};
use crate::lang::reserved::{Keyword, VERBS, Verb, clauses_of, verb_for};
use crate::lang::token::{Token, TokenKind};
use crate::span::Span;
use crate::units::foreign_unit;

use super::input::{Miss, Tokens};
use super::report::{no_unit, touching};
use super::swap::SWAPS;

/// Most things listed after "expected".
const MOST_LISTED: usize = 8;

/// Turns a failed parse into a diagnostic.
pub(super) fn failure(input: Tokens<'_>, error: nom::Err<Miss>) -> Diagnostic {
    if let nom::Err::Error(miss) | nom::Err::Failure(miss) = error
        && let Some(known) = miss.known
    {
        return *known;
    }
    let (at, mut expected) = input.furthest();
    expected.sort_unstable();
    let before = at.checked_sub(1).filter(|index| *index >= input.at());
    let place = Place {
        input,
        at,
        found: input.token(at).filter(|_| at >= input.at()),
        before: before.and_then(|index| input.token(index)),
        expected,
    };
    place
        .verb()
        .or_else(|| place.equals())
        .or_else(|| place.unit())
        .or_else(|| place.range())
        .or_else(|| place.decade())
        .or_else(|| place.closing())
        .or_else(|| place.quotes())
        .or_else(|| place.long_binding())
        .or_else(|| place.habit())
        .or_else(|| place.missing_name())
        .unwrap_or_else(|| place.general())
}

/// The place where a statement stopped making sense.
struct Place<'a> {
    input: Tokens<'a>,
    at: usize,
    found: Option<&'a Token>,
    before: Option<&'a Token>,
    expected: Vec<Expected>,
}

impl Place<'_> {
    fn wants(&self, expected: Expected) -> bool {
        self.expected.contains(&expected)
    }

    fn wants_name(&self) -> Option<Role> {
        self.expected.iter().find_map(|expected| match expected {
            Expected::Name(role) => Some(*role),
            _ => None,
        })
    }

    fn found_keyword(&self) -> Option<Keyword> {
        match self.found?.kind {
            TokenKind::Keyword(keyword) => Some(keyword),
            _ => None,
        }
    }

    fn spell(&self, token: &Token) -> String {
        self.input.spelling(token).to_owned()
    }

    /// The place as a span: the token, or just past the last one.
    fn span(&self) -> Span {
        match (self.found, self.before) {
            (Some(found), _) => found.span,
            (None, Some(before)) => Span::at(before.span.end as usize),
            (None, None) => Span::default(),
        }
    }

    /// The verb of the statement, as far as it has one.
    fn statement_verb(&self) -> Option<Verb> {
        // `let NAME =` is the longest thing before a verb.
        self.input
            .tokens()
            .iter()
            .take(4)
            .filter(|token| token.kind == TokenKind::Word)
            .find_map(|token| Verb::from_word(self.input.spelling(token)))
    }

    /// No verb where a query starts.
    fn verb(&self) -> Option<Diagnostic> {
        if !self.wants(Expected::Word(Verb::Find.word())) {
            return None;
        }
        let Some(found) = self.found else {
            return Some(
                Diagnostic::error("Q0205", "a verb is missing")
                    .at(self.span(), "wants a verb")
                    .help(format!("one of {}", verbs())),
            );
        };
        let word = self.spell(found);
        let lower = word.to_lowercase();
        if lower != word && (Verb::from_word(&lower).is_some() || is_opener(&lower)) {
            return Some(
                Diagnostic::error("Q0110", format!("`{lower}` is written in lower case"))
                    .at(found.span, format!("`{lower}`"))
                    .help(format!("`{lower}`"))
                    .edit(found.span, lower),
            );
        }
        let error = Diagnostic::error("Q0205", format!("`{word}` is no verb"))
            .at(found.span, "wants a verb");
        let near = did_you_mean(&word, VERBS.iter().map(|(_, word, ..)| *word));
        let verb = verb_for(&word).or_else(|| near.first().and_then(|word| Verb::from_word(word)));
        Some(match verb {
            Some(verb) => self.mended(
                error.help(format!("`{}`", verb.example())),
                found.span,
                verb.word(),
            ),
            None => self
                .no_verb(&error)
                .unwrap_or_else(|| error.help(format!("one of {}", verbs()))),
        })
    }

    /// `=` where a comparison is meant.
    fn equals(&self) -> Option<Diagnostic> {
        let found = self.found.filter(|token| token.kind == TokenKind::Equals)?;
        let error = Diagnostic::error("Q0212", "`=` only binds a name after `let`");
        if self.wants(Expected::Keyword(Keyword::Is)) {
            let error = error
                .at(found.span, "`is`")
                .help("`is` compares: `family is acrylic`");
            return Some(self.mended(error, found.span, &self.spaced(found, "is")));
        }
        Some(
            error
                .at(found.span, "binds nothing here")
                .help("`let old = identify ...`; a comparison in `where` is `is`, `<` or `>`"),
        )
    }

    /// A number with something after it that was meant as a unit.
    fn unit(&self) -> Option<Diagnostic> {
        let found = self.found.filter(|token| token.kind == TokenKind::Word)?;
        let word = self.input.spelling(found);
        if self.before.is_some_and(|token| token.kind.takes_unit()) {
            return foreign_unit(word).map(|advice| no_unit(word, found.span, advice));
        }
        if self.wants(Expected::Quantity) {
            return touching(word, found.span.start as usize, true);
        }
        None
    }

    /// `5 to 10` where a range is meant.
    fn range(&self) -> Option<Diagnostic> {
        let found = self.found?;
        let to = found.kind == TokenKind::Keyword(Keyword::To);
        let (before, next) = (self.before?, self.input.token(self.at + 1)?);
        if !(to && before.kind.takes_unit() && next.kind.takes_unit()) {
            return None;
        }
        let range = format!("{}..{}", self.spell(before), self.spell(next));
        let span = before.span.to(next.span);
        let error = Diagnostic::error("Q0107", "a range is written with two dots")
            .at(span, "a range")
            .help(format!("`{range}`"));
        Some(self.mended(error, span, &range))
    }

    /// `restored 1920s`: the lexer reads seconds.
    fn decade(&self) -> Option<Diagnostic> {
        let (found, before) = (self.found?, self.before?);
        let touches = before.span.end == found.span.start;
        let year: i32 = self.input.spelling(before).parse().ok()?;
        if !(touches && self.input.spelling(found) == "s" && year % 10 == 0) {
            return None;
        }
        let years = format!("{year}..{}", year + 9);
        let span = before.span.to(found.span);
        let error = Diagnostic::error("Q0211", "a decade is written as a range")
            .at(span, "no span of years")
            .help(format!("`{years}`"));
        Some(self.mended(error, span, &years))
    }

    /// A parenthesis too many, or one that is not closed.
    fn closing(&self) -> Option<Diagnostic> {
        let open = self.open_parenthesis();
        match (self.found, open) {
            (Some(found), None) if found.kind == TokenKind::Close => {
                let error = Diagnostic::error("Q0216", "a parenthesis closes nothing")
                    .at(found.span, "no parenthesis is open here")
                    .help("as many closing parentheses as opening ones");
                Some(self.mended(error, found.span, ""))
            }
            (found, Some(open)) if self.wants(Expected::Sign(")")) => {
                let end = Span::at(self.before?.span.end as usize);
                let error = Diagnostic::error("Q0216", "a parenthesis is not closed")
                    .at(end, "wants `)`")
                    .and_at(open, "opened here")
                    .help("`)` after the last word of the parenthesis");
                let error = self.mended(error, end, ")");
                // A word that does not fit may be at fault in another way.
                (found.is_none() || error.edit.is_some()).then_some(error)
            }
            _ => None,
        }
    }

    /// The innermost parenthesis that is open at the place.
    fn open_parenthesis(&self) -> Option<Span> {
        let mut open = Vec::new();
        for token in &self.input.tokens()[..self.at.saturating_sub(self.input.at())] {
            match token.kind {
                TokenKind::Open => open.push(token.span),
                TokenKind::Close => {
                    open.pop();
                }
                _ => {}
            }
        }
        open.pop()
    }

    /// Words where only a quotation fits.
    fn quotes(&self) -> Option<Diagnostic> {
        if !self.wants(Expected::Text) || self.wants_name().is_some() {
            return None;
        }
        let found = self.found.filter(|token| token.kind == TokenKind::Word)?;
        let words = self.run_of_words(self.at);
        let span = words
            .iter()
            .fold(found.span, |span, token| span.to(token.span));
        let quoted = format!("\"{}\"", span.slice(self.input.text));
        let error = Diagnostic::error("Q0206", format!("`{}` wants quotes", self.spell(found)))
            .at(span, self.list())
            .help(format!("`{quoted}`"));
        Some(self.mended(error, span, &quoted))
    }

    /// `let old paint = ...`: a bound name is one word.
    fn long_binding(&self) -> Option<Diagnostic> {
        let (found, before) = (self.found?, self.before?);
        if self.listed() != [Expected::Sign("=")] || found.kind != TokenKind::Word {
            return None;
        }
        let words = self.run_of_words(self.at);
        let equals = self.input.token(self.at + words.len())?;
        if equals.kind != TokenKind::Equals {
            return None;
        }
        let span = words
            .iter()
            .fold(before.span, |span, token| span.to(token.span));
        let joined: Vec<&str> = span.slice(self.input.text).split_whitespace().collect();
        let joined = joined.join("-");
        let error = Diagnostic::error("Q0206", "a name after `let` is one word")
            .at(found.span, self.list())
            .help(format!("`let {joined} = ...`"));
        Some(self.mended(error, span, &joined))
    }

    fn run_of_words(&self, start: usize) -> Vec<&Token> {
        (start..)
            .map_while(|index| self.input.token(index))
            .take_while(|token| token.kind == TokenKind::Word)
            .collect()
    }

    /// A reserved word where a name is wanted.
    fn missing_name(&self) -> Option<Diagnostic> {
        let (found, keyword) = (self.found?, self.found_keyword()?);
        let role = self.wants_name()?;
        let word = keyword.word();
        let error = Diagnostic::error(
            "Q0215",
            format!("{} is missing before `{word}`", role.describe()),
        )
        .at(found.span, self.list());
        let words = self.run_of_words(self.at + 1);
        let small = keyword == Keyword::Over || PREPS.iter().any(|(_, prep)| *prep == keyword);
        // `remove over paint from oak`: the small word belongs to the name.
        if let (true, Some(last)) = (small, words.last()) {
            let span = found.span.to(last.span);
            let quoted = format!("\"{}\"", span.slice(self.input.text));
            let error = error.help(format!("a name that holds a reserved word: `{quoted}`"));
            return Some(self.mended(error, span, &quoted));
        }
        if keyword == Keyword::Not {
            return Some(error.help("one `not` before what it negates"));
        }
        // `show limit`: the corpus has a property of that name.
        let next = self.input.token(self.at + 1);
        if keyword == Keyword::Limit && next.is_none_or(|token| !token.kind.takes_unit()) {
            let quoted = format!("\"{word}\"");
            let error = error.help(format!("the property of that name: `{quoted}`"));
            return Some(self.mended(error, found.span, &quoted));
        }
        Some(error.help(self.advice()))
    }

    /// All the rest: what stands there, and what could have.
    fn general(&self) -> Diagnostic {
        let Some(found) = self.found else {
            let error = Diagnostic::error("Q0214", "the statement breaks off")
                .at(self.span(), self.list())
                .help(self.advice());
            return error;
        };
        let word = self.spell(found);
        let error = match found.kind {
            TokenKind::Text(_) => Diagnostic::error("Q0206", "a quoted text does not fit here"),
            _ => Diagnostic::error("Q0206", format!("`{word}` does not fit here")),
        };
        let error = error.at(found.span, self.list());
        if matches!(word.as_str(), "and" | "or")
            && self.wants(Expected::Sign("+"))
            && self.wants(Expected::Sign(","))
        {
            // A mixture, or two tests: neither is guessed at.
            return error.help(
                "each observation by itself: `dissolves in ethanol, dissolves in acetone`; \
                 a mixture with `+`: `dissolves in ethanol + acetone`",
            );
        }
        let swap = SWAPS
            .iter()
            .find(|(typed, meant, _)| *typed == word && self.wants(*meant));
        if let Some((",", Expected::Keyword(Keyword::Over), note)) = swap {
            // Two layers, or two jobs: a comma does not say which.
            return error.note(*note).help(self.advice());
        }
        if let Some((_, meant, help)) = swap {
            let instead = match meant {
                Expected::Keyword(keyword) => keyword.word(),
                Expected::Sign(sign) | Expected::Word(sign) => sign,
                _ => "",
            };
            let replacement = self.spaced(found, instead);
            let (span, replacement) = if instead == "," {
                // A comma touches the word before it.
                let end = self
                    .before
                    .map_or(found.span.start, |before| before.span.end);
                (
                    Span::new(end as usize, found.span.end as usize),
                    ",".to_owned(),
                )
            } else {
                (found.span, replacement)
            };
            return self.mended(error.help(*help), span, &replacement);
        }
        if let Some(error) = self.head_first(&error) {
            return error;
        }
        if let [only] = &self.listed()[..]
            && let Expected::Keyword(_) | Expected::Word(_) | Expected::Sign(_) = only
        {
            let wanted = only.describe();
            let typed = wanted.trim_matches('`');
            let hint = error.clone().help(format!("{wanted} before `{word}`"));
            let at = Span::at(found.span.start as usize);
            let hint = self.mended(hint, at, &format!("{typed} "));
            // If that does not make a sentence, more is amiss than one word.
            if hint.edit.is_some() {
                return hint;
            }
        }
        error.help(self.advice())
    }

    /// A clause before the head is whole: `choose adhesive where ...`.
    fn head_first(&self, error: &Diagnostic) -> Option<Diagnostic> {
        let keyword = self.found_keyword()?;
        let verb = self.statement_verb()?;
        let head = [Keyword::From, Keyword::For, Keyword::By]
            .into_iter()
            .find(|head| self.wants(Expected::Keyword(*head)))?;
        clauses_of(verb).contains(&keyword).then(|| {
            error.clone().help(format!(
                "`{}` comes before `{}`: `{}`",
                head.word(),
                keyword.word(),
                verb.example()
            ))
        })
    }

    /// What to list of what was expected: going on with a name goes without
    /// saying.
    fn listed(&self) -> Vec<Expected> {
        self.expected
            .iter()
            .copied()
            .filter(|expected| !matches!(expected, Expected::More(_)))
            .collect()
    }

    /// What was expected, as a label.
    fn list(&self) -> String {
        let mut listed = self.listed();
        let small = |expected: &Expected| {
            matches!(expected, Expected::Keyword(keyword)
                if PREPS.iter().any(|(_, prep)| prep == keyword))
        };
        // All the small words at once say no more than their name.
        let all_small = listed.iter().filter(|expected| small(expected)).count() >= PREPS.len();
        if all_small {
            listed.retain(|expected| !small(expected));
        }
        let mut shown: Vec<String> = listed.into_iter().map(Expected::describe).collect();
        if all_small {
            shown.push("a preposition".to_owned());
        }
        let left = shown.len().saturating_sub(MOST_LISTED);
        if left > 1 {
            shown.truncate(MOST_LISTED);
        }
        let list = match shown.pop() {
            None => return "expected nothing more".to_owned(),
            Some(last) if shown.is_empty() => last,
            Some(last) if left > 1 => format!("{}, {last} or {left} others", shown.join(", ")),
            Some(last) => format!("{} or {last}", shown.join(", ")),
        };
        format!("expected {list}")
    }

    /// An example to type: the shortest query with the verb of the statement.
    fn advice(&self) -> String {
        match self.statement_verb() {
            Some(verb) => format!("`{}`", verb.example()),
            None => format!("one of {}", verbs()),
        }
    }

    /// A word put in place of a sign, with blanks only where there are none.
    fn spaced(&self, found: &Token, word: &str) -> String {
        let text = self.input.text;
        let before = text[..found.span.start as usize].ends_with(char::is_whitespace);
        let after = text[found.span.end as usize..].starts_with(char::is_whitespace);
        let (left, right) = (if before { "" } else { " " }, if after { "" } else { " " });
        format!("{left}{word}{right}")
    }

    /// Adds a change, if with it the statement can be read: an edit that does
    /// not help is worse than none.
    fn mended(&self, error: Diagnostic, span: Span, replacement: &str) -> Diagnostic {
        let tokens = self.input.tokens();
        let (Some(first), Some(last)) = (tokens.first(), tokens.last()) else {
            return error;
        };
        let whole = first.span.to(last.span).to(span);
        let text = self.input.text;
        let (start, end) = (whole.start as usize, whole.end as usize);
        let changed = format!(
            "{}{replacement}{}",
            &text[start..span.start as usize],
            &text[span.end as usize..end]
        );
        if super::accepts(&changed) {
            error.edit(span, replacement)
        } else {
            error
        }
    }
}

/// Words that may stand before a verb.
fn is_opener(word: &str) -> bool {
    matches!(word, "let" | "explain" | "edition")
}

fn verbs() -> String {
    let verbs: Vec<String> = VERBS
        .iter()
        .map(|(_, word, ..)| format!("`{word}`"))
        .collect();
    verbs.join(", ")
}
