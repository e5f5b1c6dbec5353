//! Of whom an observation speaks: of the unknown, of a part of it, of a test by name.

use super::notes::Circumstances;
use crate::diag::Diagnostic;
use crate::lang::ast::{self, Name, Word};
use crate::model::naming::{fold, folds_to};
use crate::model::{Kind, Role};
use crate::resolve::Resolver;
use crate::span::Span;

/// An observation without its subject.
#[derive(Clone, Debug)]
pub(super) struct Sentence {
    /// What is said, as typed.
    pub(super) words: Vec<Word>,
    /// The same, folded.
    pub(super) folded: Vec<String>,
    /// Whether `not` or its kin denies it.
    pub(super) denied: bool,
    /// The test that it names as its subject: `diphenylamine is blue`.
    pub(super) test: Option<String>,
    /// The liquid that it names as its subject: `acetone dissolves it`.
    pub(super) liquid: Option<String>,
    /// A name after a small word that is no liquid and no test, taken for part of what was seen.
    pub(super) unread: Option<Name>,
    /// Where.
    pub(super) span: Span,
}

/// Words before a noun that say which one is meant.
const ARTICLES: [&str; 4] = ["the", "its", "a", "an"];
/// Words that stand between a subject and its verb.
const HELPERS: [&str; 9] = [
    "does", "do", "can", "it", "has", "was", "been", "have", "to",
];
/// Words before a verb that say nothing.
const EMPTY: [&str; 5] = ["it", "also", "be", "quite", "very"];

impl Resolver<'_> {
    /// Takes an observation apart into its subject and what is said of it.
    pub(super) fn sentence(
        &mut self,
        it: &ast::Observation,
        circumstances: &mut Circumstances,
    ) -> Option<Sentence> {
        let mut out = Sentence {
            words: it.words.clone(),
            folded: Vec::new(),
            denied: it.negated.is_some(),
            test: None,
            liquid: None,
            unread: None,
            span: it.span,
        };
        if let Some(lead) = &it.lead {
            let mut subject = Vec::new();
            for word in &lead.words {
                let folded = fold(&word.text);
                match folded.as_str() {
                    "cannot" | "doesnt" | "isnt" => out.denied = true,
                    helper if HELPERS.contains(&helper) => {}
                    _ => match self.library.speech().belief(&folded) {
                        Some(belief) => circumstances.belief *= belief,
                        None => subject.push(word.clone()),
                    },
                }
            }
            self.subject_of(&subject, &mut out, circumstances)?;
        }
        while let Some(first) = out.words.first() {
            let folded = fold(&first.text);
            if let Some(belief) = self.library.speech().belief(&folded) {
                circumstances.belief *= belief;
            } else if !EMPTY.contains(&folded.as_str()) || out.words.len() == 1 {
                break;
            }
            out.words.remove(0);
        }
        if it.lead.is_none() {
            self.inner_subject(&mut out, circumstances)?;
        }
        out.folded = out.words.iter().map(|w| fold(&w.text)).collect();
        if let (Some(first), Some(last)) = (out.words.first(), out.words.last()) {
            out.span = first.span.to(last.span);
        }
        Some(out)
    }

    /// A subject that stands before its verb without `is`: `the brown dissolves`, `ftir shows`.
    fn inner_subject(
        &mut self,
        out: &mut Sentence,
        circumstances: &mut Circumstances,
    ) -> Option<()> {
        let folded: Vec<String> = out.words.iter().map(|w| fold(&w.text)).collect();
        if self.frame(&folded).is_some() {
            return Some(());
        }
        let verb = (1..folded.len()).find(|k| self.frame(&folded[*k..]).is_some());
        let Some(at) = verb else { return Some(()) };
        let called = folded[..at].concat();
        let is_named = self.test_called(&called).is_some() || self.is_agent(&folded[..at]);
        if is_named || matches!(folded[0].as_str(), "the" | "its") {
            let subject: Vec<Word> = out.words.drain(..at).collect();
            self.subject_of(&subject, out, circumstances)?;
        }
        Some(())
    }

    /// What a subject names: a test, the unknown itself, or a part of it, which is a zone of its
    /// own. A layer is none of these.
    fn subject_of(
        &mut self,
        subject: &[Word],
        out: &mut Sentence,
        circumstances: &mut Circumstances,
    ) -> Option<()> {
        let articles = subject
            .iter()
            .take_while(|w| ARTICLES.contains(&fold(&w.text).as_str()))
            .count();
        let plain = &subject[articles..];
        let (Some(first), Some(last)) = (plain.first(), plain.last()) else {
            return Some(());
        };
        let text = ast::join(plain);
        let folded = fold(&text);
        if let Some(test) = self.test_called(&folded) {
            out.test = Some(test);
            return Some(());
        }
        if let Some((_, index)) = self.library.named(&text, Some(Kind::Agent)).first() {
            out.liquid = self.library.id(Kind::Agent, *index).map(str::to_owned);
            return Some(());
        }
        let speech = self.library.speech();
        let is_noun = Role::ALL.iter().any(|r| folds_to(r.word(), &folded))
            || speech.nouns.iter().any(|(words, _)| *words == folded);
        if is_noun {
            return Some(());
        }
        let words: Vec<String> = plain.iter().map(|w| fold(&w.text)).collect();
        if self.is_noted(&words) {
            out.words.splice(0..0, plain.iter().cloned());
            return Some(());
        }
        let is_layer = !self.library.named(&text, Some(Kind::Layer)).is_empty();
        // Only what is surely a part: `the gilding` may be a layer under a name of the user's own,
        // and what it bears says nothing of the unknown.
        if articles > 0 && !is_layer && self.is_part(&words) {
            circumstances.zone = format!("the {text}");
            return Some(());
        }
        let diagnostic = Diagnostic::error("Q0305", format!("`{text}` is no subject here")).at(
            first.span.to(last.span),
            "what was seen is said of the unknown itself",
        );
        self.report(diagnostic.help(if is_layer {
            "results on a layer go in a `given` clause"
        } else {
            "say which part of the unknown is meant by its colour or place (`the brown`, `the \
             core`), or write results on a layer in a `given` clause"
        }));
        None
    }

    /// A part of the unknown: by its colour, or by a word for a place.
    fn is_part(&self, words: &[String]) -> bool {
        self.library
            .speech()
            .note("part", &words.concat())
            .is_some()
            || self.outcome("colour", words).is_some()
    }

    /// The test of this name, or the one that a tool stands for (`nail`, `blade`).
    pub(super) fn test_called(&self, name: &str) -> Option<String> {
        let named = self.library.named(name, Some(Kind::Test));
        match named.first() {
            Some((_, index)) => self.library.id(Kind::Test, *index).map(str::to_owned),
            None => self
                .library
                .speech()
                .note("tool", &fold(name))
                .map(str::to_owned),
        }
    }
}
