//! By what, at which age, in which state: what stands around the verb of a condition.

use super::Resolver;
use super::checked::{CheckedCondition, Means};
use super::condition::{BORNE, REMOVABLE};
use crate::diag::{Diagnostic, did_you_mean, turns_round};
use crate::lang::ast::{self, Value, Word};
use crate::model::naming::{fold, folds_to};
use crate::model::{self, Age, Class, Kind, Record};
use crate::span::Span;

impl Resolver<'_> {
    pub(super) fn means(&mut self, value: &Value, verb: &str, span: Span) -> Option<Means> {
        match value {
            Value::Mix(mix) if mix.names.len() == 1 => self.means_named(&mix.names[0]),
            Value::Mix(mix) => {
                let id = self.agent(mix)?;
                let class = self.library.agent(&id)?.class;
                Some(Means::Agent(id, class))
            }
            Value::Quantity(_) => {
                self.wants_means(verb, span);
                None
            }
        }
    }

    /// A liquid, a method, or a class of agents.
    pub(super) fn means_named(&mut self, name: &ast::Name) -> Option<Means> {
        let text = name.text();
        if let Some((_, index)) = self.library.named(&text, Some(Kind::Agent)).first() {
            let id = self.library.id(Kind::Agent, *index)?.to_owned();
            let class = self.library.agent(&id)?.class;
            return Some(Means::Agent(id, class));
        }
        if let Some((_, index)) = self.library.named(&text, Some(Kind::Method)).first() {
            let id = self.library.id(Kind::Method, *index)?;
            return Some(Means::Method(id.to_owned()));
        }
        if let Some(class) = self.class_called(&text) {
            let agents = (0..self.library.count(Kind::Agent)).filter_map(|index| {
                match self.library.record(Kind::Agent, index)? {
                    Record::Agent(agent) if agent.class == class => Some(agent.head.id),
                    _ => None,
                }
            });
            return Some(Means::Class(class, agents.collect()));
        }
        self.unknown_name(name, &[Kind::Agent, Kind::Method]);
        None
    }

    /// The class of agents that words name: `alcohols`, `ketones`, `steam`.
    pub(super) fn class_called(&self, text: &str) -> Option<Class> {
        let folded = fold(text);
        let single = folded.trim_end_matches('s');
        Class::ALL.iter().copied().find(|class| {
            folds_to(class.word(), &folded)
                || class
                    .plain()
                    .split(" and ")
                    .chain([class.plain()])
                    .any(|part| fold(part).trim_end_matches('s') == single)
        })
    }

    pub(super) fn wants_means(&mut self, verb: &str, span: Span) {
        let folded = fold(verb);
        let speech = self.library.speech();
        if speech.verb_of_liquids(&folded).is_some()
            || REMOVABLE.contains(&folded.as_str())
            || BORNE.iter().any(|(w, ..)| *w == folded)
        {
            self.report(
                Diagnostic::error("Q0312", format!("`{verb}` wants a liquid or a method"))
                    .at(span, "with what?")
                    .help("write for example `removable with ethanol when aged`"),
            );
            return;
        }
        let mut verbs: Vec<String> = speech
            .frames
            .iter()
            .filter(|f| f.of == "liquid")
            .flat_map(|f| f.says.iter().map(str::to_owned))
            .collect();
        verbs.extend(REMOVABLE.iter().map(|w| (*w).to_owned()));
        verbs.extend(BORNE.iter().map(|(w, ..)| (*w).to_owned()));
        let verbs = verbs.iter().map(String::as_str);
        let near = did_you_mean(&folded, verbs.filter(|verb| !turns_round(&folded, verb)))
            .first()
            .map(|n| self.library.speech().written(n).to_owned());
        let diagnostic = Diagnostic::error("Q0308", format!("`{verb}` is no verb of the bench"))
            .at(span, "unknown verb");
        self.report(match near {
            Some(best) => diagnostic.help(format!("write `{best}`")),
            None => diagnostic.help("known: removable, dissolves, swells, is unaffected, harmed"),
        });
    }

    pub(super) fn wants_temperature(&mut self, span: Span) -> Option<CheckedCondition> {
        self.report(
            Diagnostic::error("Q0403", "`stable to` wants a temperature")
                .at(span, "not a temperature")
                .help("write for example `stable to 35 C`"),
        );
        None
    }

    /// `when fresh`, `when aged`; `Some(None)` when nothing is said.
    #[expect(
        clippy::option_option,
        reason = "the outer one says that a diagnostic was reported"
    )]
    pub(super) fn age(&mut self, when: Option<&[Word]>) -> Option<Option<Age>> {
        let Some(words) = when else {
            return Some(None);
        };
        let text = ast::join(words);
        match self.library.speech().note("age", &fold(&text)) {
            Some("aged") => Some(Some(Age::Aged)),
            Some("fresh") => Some(Some(Age::Fresh)),
            _ => {
                self.report(
                    Diagnostic::error("Q0304", format!("`{text}` is no age"))
                        .at(span_of(words), "unknown")
                        .help("write `when fresh` or `when aged`"),
                );
                None
            }
        }
    }

    /// `when flaking`: a condition of a layer; `Some(None)` when nothing is said.
    #[expect(
        clippy::option_option,
        reason = "the outer one says that a diagnostic was reported"
    )]
    pub(super) fn state(&mut self, when: Option<&[Word]>) -> Option<Option<model::Condition>> {
        let Some(words) = when else {
            return Some(None);
        };
        let text = ast::join(words);
        let folded = fold(&text);
        let own = model::Condition::ALL
            .iter()
            .copied()
            .find(|c| folds_to(c.word(), &folded));
        let speech = self.library.speech();
        let found = own.or_else(|| {
            speech
                .note("condition", &folded)
                .and_then(model::Condition::parse)
        });
        if found.is_none() {
            let all: Vec<&str> = model::Condition::ALL.iter().map(|c| c.word()).collect();
            self.report(
                Diagnostic::error("Q0304", format!("`{text}` is no state of a layer"))
                    .at(span_of(words), "unknown")
                    .help(format!("states: {}", all.join(", "))),
            );
            return None;
        }
        Some(found)
    }

    /// Refuses `when` where a field has one value for all ages.
    pub(super) fn no_age(&mut self, when: Option<&[Word]>, field: &str) -> Option<()> {
        let Some(words) = when else {
            return Some(());
        };
        self.report(
            Diagnostic::error("Q0304", format!("`{field}` is not recorded by age"))
                .at(span_of(words), "says nothing here")
                .help("leave `when` out: it goes with what a liquid or a test does"),
        );
        None
    }
}

fn span_of(words: &[Word]) -> Span {
    match (words.first(), words.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => Span::at(0),
    }
}
