//! Results on this object, after `given`.

use super::Object;
use super::liquid::liquid;
use super::subject::Sentence;
use crate::diag::Diagnostic;
use crate::lang::ast;
use crate::model::naming::{fold, folds_to};
use crate::model::scene::{LayerTrial, SceneLayer, TargetTrial};
use crate::model::{Kind, Response, Verdict};
use crate::resolve::Resolver;
use crate::span::Span;

/// Belief from which a trial on the object counts.
const SURE: f64 = 0.9;

/// A result that was really had: on whom (nothing where nobody is named), with what, what came of it.
struct Trial {
    subject: String,
    agent: String,
    response: Response,
    text: String,
    span: Span,
}

impl Trial {
    /// The same, where the target is the one that it was had on.
    fn on_target(self) -> TargetTrial {
        TargetTrial {
            agent: self.agent,
            response: self.response,
        }
    }
}

impl Resolver<'_> {
    /// Results on this object: on its layers (written into them) and on the targets (returned, each
    /// with the position of its target). A result counts only if it was really had: what was not
    /// tried, was doubted, or came out of a blank as well, lifts nothing.
    pub(in crate::resolve) fn given(
        &mut self,
        list: &[ast::Observation],
        layers: &mut [SceneLayer],
        targets: &[String],
    ) -> Vec<(usize, TargetTrial)> {
        let mut out = Vec::new();
        // The layer that the result before was had on: what follows without a subject may speak of it.
        let mut before: Option<String> = None;
        let each: Vec<ast::Observation> = list
            .iter()
            .flat_map(|it| self.each_liquid(it))
            .map(|(one, _)| one)
            .collect();
        for it in &each {
            let Some(trial) = self.trial(it, layers, targets) else {
                continue;
            };
            let layer_before = before.take();
            let wanted = fold(&trial.subject);
            if let Some(k) = targets.iter().position(|t| folds_to(t, &wanted)) {
                out.push((k, trial.on_target()));
            } else if trial.subject.is_empty()
                || matches!(wanted.as_str(), "it" | "unknown" | "target")
            {
                match layer_before.filter(|_| trial.subject.is_empty()) {
                    Some(layer) => self.of_two(&trial, &layer, targets),
                    None if targets.len() > 1 => self.of_several(&trial, targets),
                    None => out.push((0, trial.on_target())),
                }
            } else if let Some(layer) = layers.iter_mut().find(|l| is_called(l, &wanted)) {
                let verdict = match trial.response {
                    Response::NoEffect => Verdict::Safe,
                    _ => Verdict::Harms,
                };
                layer.tried.push(LayerTrial {
                    agent: trial.agent,
                    verdict,
                    text: trial.text,
                });
                before = Some(trial.subject);
            } else {
                let at = it.lead.as_ref().map_or(it.span, |l| l.span);
                self.of_nobody(&trial.subject, at, layers);
            }
        }
        out
    }

    /// Reads one result. What is wrong with it is reported, what is in doubt noted.
    fn trial(
        &mut self,
        it: &ast::Observation,
        layers: &[SceneLayer],
        targets: &[String],
    ) -> Option<Trial> {
        let text = it.span.slice(self.text).trim().to_owned();
        let (mut subject, denied) = self.subject(it);
        let mut circumstances = self.circumstances(it)?;
        let mut said = Sentence {
            words: it.words.clone(),
            folded: it.words.iter().map(|w| fold(&w.text)).collect(),
            denied,
            test: None,
            liquid: None,
            unread: None,
            span: it.span,
        };
        let object = self.object(it, &mut said, &mut circumstances)?;
        if circumstances.blank || circumstances.belief < SURE {
            self.notes.push(format!(
                "\"{text}\" is in doubt, and was left out: a trial on the object counts only \
                 when its result is sure"
            ));
            return None;
        }
        let mut folded = said.folded;
        // `oil paint dissolves in acetone`: the layer's name stands before the verb.
        if subject.is_empty() {
            let names = |said: &str| {
                matches!(said, "it" | "unknown" | "target")
                    || layers.iter().any(|l| is_called(l, said))
                    || targets.iter().any(|t| folds_to(t, said))
            };
            let named = (1..folded.len())
                .rev()
                .find(|k| names(&folded[..*k].concat()));
            if let Some(k) = named {
                subject = ast::join(&it.words[..k]);
                folded.drain(..k);
            }
        }
        let span = it.words.first().map_or(it.span, |w| w.span);
        let Some(Object::Liquid(agent)) = object else {
            self.without_liquid(it, &subject, span);
            return None;
        };
        let Some((frame, _)) = self.frame(&folded).filter(|(f, _)| f.of == "liquid") else {
            let _ = self.reagent_test(&agent, &folded, denied, span);
            return None;
        };
        let response = liquid(&agent, frame, denied)
            .weights
            .iter()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .and_then(|(word, _)| Response::parse(word))?;
        Some(Trial {
            subject,
            agent,
            response,
            text,
            span,
        })
    }

    fn without_liquid(&mut self, it: &ast::Observation, subject: &str, span: Span) {
        let first = if subject.is_empty() {
            it.words.first().map_or("", |w| w.text.as_str())
        } else {
            subject
        };
        let is_liquid = !self.library.named(first, Some(Kind::Agent)).is_empty();
        self.report(
            Diagnostic::error("Q0306", "the liquid is missing")
                .at(span, "in what?")
                .help(if is_liquid {
                    format!(
                        "the layer or the material comes first: `given oak is unaffected by {first}`"
                    )
                } else {
                    "write for example `given glaze is unaffected by acetone`".to_owned()
                }),
        );
    }

    /// Behind a result on a layer, one without a subject could be read of that layer or of the target.
    fn of_two(&mut self, trial: &Trial, layer: &str, targets: &[String]) {
        let target = targets.first().map_or("it", String::as_str);
        let text = &trial.text;
        self.report(
            Diagnostic::error("Q0327", "which of the two was tried?")
                .at(trial.span, format!("{layer}, or what is to come off?"))
                .help(format!(
                    "name it again: `{layer} {text}`, or `{target} {text}`"
                )),
        );
    }

    fn of_several(&mut self, trial: &Trial, targets: &[String]) {
        self.report(
            Diagnostic::error("Q0321", "which of the materials was tried?")
                .at(trial.span, "several are to come off")
                .help(format!("name it: {}", targets.join(", "))),
        );
    }

    fn of_nobody(&mut self, subject: &str, at: Span, layers: &[SceneLayer]) {
        let known: Vec<&str> = layers.iter().map(|l| l.called.as_str()).collect();
        self.report(
            Diagnostic::error("Q0310", format!("`{subject}` is not in this stack"))
                .at(at, "not a layer here")
                .help(format!("layers of this stack: {}", known.join(", "))),
        );
    }

    /// Whom a result speaks of, and whether it is denied.
    fn subject(&self, it: &ast::Observation) -> (String, bool) {
        let mut words: Vec<&str> = it
            .lead
            .iter()
            .flat_map(|l| l.words.iter().map(|w| w.text.as_str()))
            .collect();
        if matches!(words.last().copied(), Some("does" | "do" | "was" | "has")) {
            words.pop();
        }
        if matches!(words.first().copied(), Some("the" | "its")) {
            words.remove(0);
        }
        (words.join(" "), it.negated.is_some())
    }
}

/// Whether a layer bears this name, folded: as it is called here, or as its record is.
fn is_called(layer: &SceneLayer, folded: &str) -> bool {
    folds_to(&layer.called, folded) || layer.layer.head.names.all().any(|n| folds_to(n, folded))
}
