//! Results on this object, after `given`.

use super::Object;
use super::liquid::liquid;
use super::subject::Sentence;
use crate::diag::Diagnostic;
use crate::lang::ast;
use crate::model::naming::fold;
use crate::model::scene::SceneLayer;
use crate::model::{Kind, Response, Verdict};
use crate::resolve::Resolver;

/// Belief from which a trial on the object counts.
const SURE: f64 = 0.9;

impl Resolver<'_> {
    /// Results on this object: on its layers (written into them) and on the targets (returned, each
    /// with the position of its target). A result counts only if it was really had: what was not
    /// tried, was doubted, or came out of a blank as well, lifts nothing.
    pub(in crate::resolve) fn given(
        &mut self,
        list: &[ast::Observation],
        layers: &mut [SceneLayer],
        targets: &[String],
    ) -> Vec<(usize, String, Response)> {
        let mut out = Vec::new();
        // The layer that the result before was had on: what follows without a subject may speak of it.
        let mut before: Option<String> = None;
        for it in list {
            let text = it.span.slice(self.text).trim().to_owned();
            let (mut subject, denied) = self.subject(it);
            let Some(mut circumstances) = self.circumstances(it) else {
                continue;
            };
            let mut said = Sentence {
                words: it.words.clone(),
                folded: it.words.iter().map(|w| fold(&w.text)).collect(),
                denied,
                test: None,
                liquid: None,
                unread: None,
                span: it.span,
            };
            let Some(object) = self.object(it, &mut said, &mut circumstances) else {
                continue;
            };
            if circumstances.blank || circumstances.belief < SURE {
                self.notes.push(format!(
                    "\"{text}\" is in doubt, and was left out: a trial on the object counts only \
                     when its result is sure"
                ));
                continue;
            }
            let mut folded = said.folded;
            // `oil paint dissolves in acetone`: the layer's name stands before the verb.
            if subject.is_empty() {
                let names = |said: &str| {
                    matches!(said, "it" | "unknown" | "target")
                        || layers.iter().any(|l| {
                            fold(&l.called) == said
                                || l.layer.head.names.all().any(|n| fold(n) == said)
                        })
                        || targets.iter().any(|t| fold(t) == said)
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
                let first = if subject.is_empty() {
                    it.words.first().map(|w| w.text.clone()).unwrap_or_default()
                } else {
                    subject.clone()
                };
                let is_liquid = !self.library.named(&first, Some(Kind::Agent)).is_empty();
                self.report(
                    Diagnostic::error("Q0306", "the liquid is missing")
                        .at(span, "in what?")
                        .help(if is_liquid {
                            format!(
                                "the layer or the material comes first: `given oak is unaffected by \
                                 {first}`"
                            )
                        } else {
                            "write for example `given glaze is unaffected by acetone`".to_owned()
                        }),
                );
                continue;
            };
            let Some((frame, _)) = self.frame(&folded).filter(|(f, _)| f.of == "liquid") else {
                let _ = self.reagent_test(&agent, &folded, denied, span);
                continue;
            };
            let seen = liquid(&agent, &frame, denied);
            let main = seen
                .weights
                .iter()
                .max_by(|a, b| a.1.total_cmp(&b.1))
                .and_then(|(word, _)| Response::parse(word));
            let Some(main) = main else { continue };
            let wanted = fold(&subject);
            let layer_before = before.take();
            if let Some(k) = targets.iter().position(|t| fold(t) == wanted) {
                out.push((k, agent, main));
                continue;
            }
            if subject.is_empty() || matches!(wanted.as_str(), "it" | "unknown" | "target") {
                if subject.is_empty()
                    && let Some(layer) = layer_before
                {
                    let target = targets.first().map_or("it", String::as_str);
                    self.report(
                        Diagnostic::error("Q0327", "which of the two was tried?")
                            .at(span, format!("{layer}, or what is to come off?"))
                            .help(format!(
                                "name it again: `{layer} {text}`, or `{target} {text}`"
                            )),
                    );
                } else if targets.len() > 1 {
                    let help = format!("name it: {}", targets.join(", "));
                    self.report(
                        Diagnostic::error("Q0321", "which of the materials was tried?")
                            .at(span, "several are to come off")
                            .help(help),
                    );
                } else {
                    out.push((0, agent, main));
                }
                continue;
            }
            let hit = layers.iter_mut().find(|l| {
                fold(&l.called) == wanted || l.layer.head.names.all().any(|n| fold(n) == wanted)
            });
            match hit {
                Some(layer) => {
                    let verdict = match main {
                        Response::NoEffect => Verdict::Safe,
                        _ => Verdict::Harms,
                    };
                    layer.tried.push((agent, verdict, text));
                    before = Some(subject);
                }
                None => {
                    let known: Vec<&str> = layers.iter().map(|l| l.called.as_str()).collect();
                    let help = format!("layers of this stack: {}", known.join(", "));
                    let at = it.lead.as_ref().map_or(it.span, |l| l.span);
                    self.report(
                        Diagnostic::error("Q0310", format!("`{subject}` is not in this stack"))
                            .at(at, "not a layer here")
                            .help(help),
                    );
                }
            }
        }
        out
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
