//! Questions built from a case: who asks `remove u1` need not type the layers, the observations and
//! the trials again.

use super::record::{Case, Unknown};
use super::words::{Phrase, layer_name, shape};
use crate::diag::Diagnostic;
use crate::lang::lex::lex;
use crate::lang::reserved::Keyword;
use crate::lang::token::{Token, TokenKind};
use crate::span::Span;

/// Builds the text that is run for a question, from the case as it stands.
///
/// What the question leaves out is filled in:
///
/// - `identify u1`: the noun of the unknown, the layers beneath it, its years, what was seen of it,
///   what the layers bore. More of `that` and `given` may follow and is added.
/// - `remove u1`, `remove u1 over u2`: the same, then `remove` from the layers beneath. A `from` of
///   one's own stands in place of those.
/// - `choose adhesive`: for the layers of the case.
/// - the id of a layer after `on`, `from`, `for` or `to` stands for it and all beneath it, and after
///   `sparing` for itself.
///
/// Anything else, and several statements at once, is run as it is.
///
/// # Errors
/// With places in `ask`.
pub fn build(case: &Case, ask: &str) -> Result<String, Vec<Diagnostic>> {
    let lexed = lex(ask);
    if !lexed.errors.is_empty() {
        return Err(lexed.errors);
    }
    let mut tokens = &lexed.tokens[..];
    if let Some((last, rest)) = tokens.split_last()
        && last.kind == TokenKind::Semicolon
    {
        tokens = rest;
    }
    let asking = Asking { case, ask, tokens };
    for layer in &case.layers {
        asking.phrase(Phrase::Layer, &layer.id, &layer.name)?;
    }
    let explain = match asking.word(0) {
        "explain" if matches!(asking.word(1), "plan" | "empty") => 2,
        "explain" => 1,
        _ => 0,
    };
    let several = tokens.iter().any(|it| it.kind == TokenKind::Semicolon);
    match asking.word(explain) {
        "identify" if !several => asking.identify(explain),
        "remove" if !several => asking.remove(explain),
        "choose" if !several => asking.choose(explain),
        // Several statements are run as they are: which of them the case fills in would be a guess.
        _ => Ok(asking.expanded(0..asking.tokens.len())),
    }
}

struct Asking<'a> {
    case: &'a Case,
    ask: &'a str,
    tokens: &'a [Token],
}

impl Asking<'_> {
    fn word(&self, at: usize) -> &str {
        self.tokens
            .get(at)
            .map_or("", |token| token.span.slice(self.ask))
    }

    fn keyword(&self, at: usize) -> Option<Keyword> {
        match self.tokens.get(at)?.kind {
            TokenKind::Keyword(keyword) => Some(keyword),
            _ => None,
        }
    }

    /// The unknown whose id stands there, alone.
    fn unknown(&self, at: usize) -> Option<&Unknown> {
        let token = self.tokens.get(at)?;
        if token.kind != TokenKind::Word || !self.ends_name(at + 1) {
            return None;
        }
        self.case.unknown(token.span.slice(self.ask))
    }

    /// Whether a name cannot go on at a token.
    fn ends_name(&self, at: usize) -> bool {
        self.tokens.get(at).is_none_or(|token| {
            matches!(
                token.kind,
                TokenKind::Keyword(_) | TokenKind::Semicolon | TokenKind::Comma
            )
        })
    }

    /// The text of some tokens, with ids of layers replaced by the layers.
    fn expanded(&self, range: std::ops::Range<usize>) -> String {
        let Some(first) = self.tokens.get(range.start).filter(|_| !range.is_empty()) else {
            return String::new();
        };
        let mut out = String::new();
        let mut from = first.span.range().start;
        let mut sparing = false;
        for at in range.clone() {
            let Some(token) = self.tokens.get(at) else {
                break;
            };
            if let Some(keyword) = self.keyword(at) {
                sparing = keyword == Keyword::Sparing;
            }
            let after = at.checked_sub(1).and_then(|before| self.keyword(before));
            let stands = matches!(
                after,
                Some(Keyword::On | Keyword::From | Keyword::For | Keyword::To)
            );
            if token.kind != TokenKind::Word || !self.ends_name(at + 1) {
                continue;
            }
            let id = token.span.slice(self.ask);
            let filled = if stands && self.keyword(at + 1) != Some(Keyword::Over) {
                self.stack(Some(id))
            } else if sparing {
                self.case.layer(id).map(|it| it.name.trim().to_owned())
            } else {
                None
            };
            if let Some(filled) = filled {
                let span = token.span.range();
                out.push_str(self.ask.get(from..span.start).unwrap_or_default());
                out.push_str(&filled);
                from = span.end;
            }
        }
        let end = self.tokens[..range.end.min(self.tokens.len())]
            .last()
            .map_or(from, |token| token.span.range().end);
        out.push_str(self.ask.get(from..end).unwrap_or_default());
        out
    }

    /// The layers from one of them down; from the top where none is named. None where there is no
    /// such layer, or none at all.
    fn stack(&self, from: Option<&str>) -> Option<String> {
        let start = match from {
            Some(id) => self.case.layers.iter().position(|it| it.id == id)?,
            None => 0,
        };
        let names: Vec<&str> = self.case.layers[start..]
            .iter()
            .map(|it| it.name.trim())
            .collect();
        (!names.is_empty()).then(|| names.join(" over "))
    }

    /// What the layers bore, of those from one of them down.
    fn trials(&self, from: Option<&str>) -> Vec<String> {
        let start = from
            .and_then(|id| self.case.layers.iter().position(|it| it.id == id))
            .unwrap_or(0);
        let below = &self.case.layers[start.min(self.case.layers.len())..];
        self.case
            .trials
            .iter()
            .filter(|it| it.noted.holds())
            .filter_map(|trial| {
                let layer = below.iter().find(|it| it.id == trial.on)?;
                Some(format!("{} {}", layer_name(&layer.name), trial.seen.trim()))
            })
            .collect()
    }

    /// Whether everything that is filled in for some unknowns is one phrase each. A person may have
    /// edited the file, and a clause or a semicolon hidden in a fact would change the question.
    fn phrases(&self, unknowns: &[&Unknown]) -> Result<(), Vec<Diagnostic>> {
        for unknown in unknowns {
            self.phrase(Phrase::Noun, &unknown.id, &unknown.noun)?;
        }
        for it in self.case.observations.iter().filter(|it| it.noted.holds()) {
            if unknowns.iter().any(|unknown| unknown.id == it.of) {
                self.phrase(Phrase::Seen, &it.id, &it.seen)?;
            }
        }
        for it in self.case.trials.iter().filter(|it| it.noted.holds()) {
            if let Some(layer) = self.case.layer(&it.on) {
                self.phrase(Phrase::Trial(&layer.name), &it.id, &it.seen)?;
            }
        }
        Ok(())
    }

    fn phrase(&self, phrase: Phrase<'_>, id: &str, text: &str) -> Result<(), Vec<Diagnostic>> {
        let Err(found) = shape(phrase, text) else {
            return Ok(());
        };
        let why = found.first().map_or("", |d| d.message.as_str());
        Err(vec![
            Diagnostic::error(
                "C0110",
                format!("`{id}` of the case cannot be asked: {why}"),
            )
            .at(Span::new(0, self.ask.len()), "filled in from the case")
            .note(format!("{id}: {text}"))
            .help("`palinode case check` names the place in the file and the mend"),
        ])
    }

    /// The clauses from a token on, each with the keyword that begins it.
    fn clauses(&self, from: usize) -> Vec<(Keyword, std::ops::Range<usize>)> {
        let mut out: Vec<(Keyword, std::ops::Range<usize>)> = Vec::new();
        let mut depth = 0_usize;
        for at in from..self.tokens.len() {
            match self.tokens[at].kind {
                TokenKind::Open => depth += 1,
                TokenKind::Close => depth = depth.saturating_sub(1),
                _ => {}
            }
            // `on` and `from` begin a clause behind the noun only; later they are small words of an
            // observation.
            let begins = |k: &Keyword| {
                depth == 0
                    && CLAUSES.contains(k)
                    && (at == from || !matches!(k, Keyword::On | Keyword::From))
            };
            match self.keyword(at).filter(begins) {
                Some(keyword) => out.push((keyword, at..at + 1)),
                None => match out.last_mut() {
                    Some((_, range)) => range.end = at + 1,
                    // What begins no clause known here is asked as it stands, so that the parser takes
                    // it or refuses it: nothing that was typed may fall by the way.
                    None => out.push((self.keyword(at).unwrap_or(Keyword::Show), at..at + 1)),
                },
            }
        }
        out
    }

    fn identify(&self, explain: usize) -> Result<String, Vec<Diagnostic>> {
        let Some(unknown) = self.unknown(explain + 1) else {
            return self.as_typed(explain + 1);
        };
        self.phrases(&[unknown])?;
        let clauses = self.clauses(explain + 2);
        Ok(format!(
            "{}{}",
            self.explain(explain),
            self.identification(unknown, &clauses)
        ))
    }

    /// The `identify` of an unknown, with clauses of one's own.
    fn identification(
        &self,
        unknown: &Unknown,
        clauses: &[(Keyword, std::ops::Range<usize>)],
    ) -> String {
        let own = |keyword| clauses.iter().find(|(k, _)| *k == keyword);
        let mut out = format!("identify {}", unknown.noun.trim());
        if let Some((_, range)) = own(Keyword::On) {
            out.push_str(&format!(" {}", self.expanded(range.clone())));
        } else if let Some(stack) = self.stack(unknown.over.as_deref()) {
            out.push_str(&format!(" on {stack}"));
        }
        if let Some((_, range)) = own(Keyword::Restored) {
            out.push_str(&format!("\n  {}", self.expanded(range.clone())));
        } else if let Some(years) = &unknown.restored {
            out.push_str(&format!("\n  restored {}", years.trim()));
        }
        let seen: Vec<String> = self
            .case
            .observations
            .iter()
            .filter(|it| it.of == unknown.id && it.noted.holds())
            .map(|it| it.seen.trim().to_owned())
            .collect();
        self.list(&mut out, "that", seen, own(Keyword::That));
        let bore = self.trials(unknown.over.as_deref());
        self.list(&mut out, "given", bore, own(Keyword::Given));
        for (keyword, range) in clauses {
            if !matches!(
                keyword,
                Keyword::On | Keyword::Restored | Keyword::That | Keyword::Given
            ) {
                out.push_str(&format!("\n  {}", self.expanded(range.clone())));
            }
        }
        out
    }

    /// A clause that lists what the case holds, and then what was typed.
    fn list(
        &self,
        out: &mut String,
        word: &str,
        mut held: Vec<String>,
        own: Option<&(Keyword, std::ops::Range<usize>)>,
    ) {
        if let Some((_, range)) = own {
            held.push(self.expanded(range.start + 1..range.end));
        }
        if !held.is_empty() {
            out.push_str(&format!("\n  {word} {}", held.join(",\n    ")));
        }
    }

    fn remove(&self, explain: usize) -> Result<String, Vec<Diagnostic>> {
        // The targets: ids with `over` between.
        let mut targets: Vec<&Unknown> = Vec::new();
        let mut at = explain + 1;
        loop {
            let Some(unknown) = self.unknown(at) else {
                if targets.is_empty() {
                    return self.as_typed(explain + 1);
                }
                return Err(vec![self.no_unknown(at)]);
            };
            targets.push(unknown);
            at += 1;
            if self.keyword(at) != Some(Keyword::Over) {
                break;
            }
            at += 1;
        }
        self.phrases(&targets)?;
        let clauses = self.clauses(at);
        let own = |keyword| clauses.iter().find(|(k, _)| *k == keyword);
        let mut out = String::new();
        for unknown in &targets {
            out.push_str(&format!(
                "let {} = {};\n",
                unknown.id,
                self.identification(unknown, &[])
            ));
        }
        let ids: Vec<&str> = targets.iter().map(|it| it.id.as_str()).collect();
        out.push_str(&format!(
            "{}remove {}",
            self.explain(explain),
            ids.join(" over ")
        ));
        let lowest = targets.last().and_then(|it| it.over.as_deref());
        match (own(Keyword::From), self.stack(lowest)) {
            (Some((_, range)), _) => out.push_str(&format!(" {}", self.expanded(range.clone()))),
            (None, Some(stack)) => out.push_str(&format!(" from {stack}")),
            (None, None) => return Err(vec![self.no_layers(explain)]),
        }
        if own(Keyword::From).is_none() {
            self.list(&mut out, "given", self.trials(lowest), own(Keyword::Given));
        }
        for (keyword, range) in &clauses {
            let said = *keyword == Keyword::From
                || (*keyword == Keyword::Given && own(Keyword::From).is_none());
            if !said {
                out.push_str(&format!("\n  {}", self.expanded(range.clone())));
            }
        }
        Ok(out)
    }

    fn choose(&self, explain: usize) -> Result<String, Vec<Diagnostic>> {
        let end = self.tokens.len();
        let first = (explain..end).find(|at| {
            self.keyword(*at)
                .is_some_and(|k| k == Keyword::For || CLAUSES.contains(&k))
        });
        let first = first.unwrap_or(end);
        if self.keyword(first) == Some(Keyword::For) {
            return Ok(self.expanded(0..end));
        }
        let Some(stack) = self.stack(None) else {
            return Err(vec![self.no_layers(explain)]);
        };
        self.phrases(&[])?;
        let mut out = format!("{} for {stack}", self.expanded(0..first));
        let clauses = self.clauses(first);
        let given = clauses.iter().find(|(k, _)| *k == Keyword::Given);
        self.list(&mut out, "given", self.trials(None), given);
        for (keyword, range) in &clauses {
            if *keyword != Keyword::Given {
                out.push_str(&format!("\n  {}", self.expanded(range.clone())));
            }
        }
        Ok(out)
    }

    fn explain(&self, explain: usize) -> String {
        let mut out = self.expanded(0..explain);
        if !out.is_empty() {
            out.push(' ');
        }
        out
    }

    /// A question that names no unknown is run as it is, unless it can only have meant one.
    fn as_typed(&self, at: usize) -> Result<String, Vec<Diagnostic>> {
        let alone = self.tokens.get(at).is_some_and(|token| {
            token.kind == TokenKind::Word
                && self.ends_name(at + 1)
                && is_numbered(token.span.slice(self.ask))
        });
        if alone || at >= self.tokens.len() {
            return Err(vec![self.no_unknown(at)]);
        }
        Ok(self.expanded(0..self.tokens.len()))
    }

    fn no_unknown(&self, at: usize) -> Diagnostic {
        let span = self
            .tokens
            .get(at)
            .map_or_else(|| Span::at(self.ask.len()), |token| token.span);
        let ids: Vec<&str> = self.case.unknowns.iter().map(|it| it.id.as_str()).collect();
        let help = if ids.is_empty() {
            "the case holds no unknown yet: `palinode case unknown` adds one".to_owned()
        } else {
            format!("unknowns of the case: {}", ids.join(", "))
        };
        Diagnostic::error("C0106", "no unknown of the case stands here")
            .at(span, "which unknown?")
            .help(help)
    }

    fn no_layers(&self, at: usize) -> Diagnostic {
        let span = self.tokens.get(at).map_or(Span::at(0), |token| token.span);
        Diagnostic::error(
            "C0106",
            "the case holds no layers, so there is nothing to spare",
        )
        .at(span, "from what?")
        .help("`palinode case layer` adds them, from the top down")
    }
}

/// Whether a word looks like an id that the program gives: `u7`.
fn is_numbered(word: &str) -> bool {
    let mut chars = word.chars();
    chars.next().is_some_and(|c| c.is_ascii_lowercase())
        && !chars.as_str().is_empty()
        && chars.all(|c| c.is_ascii_digit())
}

/// Keywords that begin a clause of `identify`, `remove` or `choose`.
const CLAUSES: &[Keyword] = &[
    Keyword::On,
    Keyword::From,
    Keyword::Restored,
    Keyword::That,
    Keyword::Given,
    Keyword::Where,
    Keyword::Without,
    Keyword::Allowing,
    Keyword::Limit,
    Keyword::Reversible,
    Keyword::Carrying,
    Keyword::Rank,
];
