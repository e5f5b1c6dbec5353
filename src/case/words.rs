//! The facts of a case that are in the words of the query language: each is one phrase, checked
//! against the corpus by the language's own parser and resolver, so that what was written down can
//! be asked later.

use crate::diag::{Diagnostic, Edit, Label, Severity};
use crate::lang;
use crate::lang::ast::{File, Identify, Query, Remove, Thing};
use crate::model::Library;
use crate::resolve;
use crate::span::Span;

/// Stands before an observation to make a statement of it.
const BEFORE_SEEN: &str = "identify coating that ";
/// Stands before a noun.
const BEFORE_NOUN: &str = "identify ";
/// Stands before layers.
const BEFORE_LAYERS: &str = "identify coating on ";

/// What a fact of a case may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phrase<'a> {
    /// What was seen of an unknown: `dissolves in ethanol (crumb)`.
    Seen,
    /// A noun with its notes: `coating (film, later)`.
    Noun,
    /// One layer with its conditions: `gesso (flaking)`.
    Layer,
    /// What a layer bore: `is unaffected by acetone`, of the layer of that name.
    Trial(&'a str),
}

impl Phrase<'_> {
    const fn noun(self) -> &'static str {
        match self {
            Self::Seen => "an observation",
            Self::Noun => "a noun with its notes",
            Self::Layer => "one layer with its conditions",
            Self::Trial(_) => "what the layer did",
        }
    }

    const fn example(self) -> &'static str {
        match self {
            Self::Seen => "dissolves in ethanol (crumb, 1 min)",
            Self::Noun => "coating (film, later)",
            Self::Layer => "gesso (flaking)",
            Self::Trial(_) => "is unaffected by acetone",
        }
    }
}

/// Checks phrases against a corpus.
#[derive(Clone, Copy)]
pub struct Words<'a> {
    library: &'a dyn Library,
    now: i32,
}

impl<'a> Words<'a> {
    /// Words of a corpus; `now` is the current year.
    #[must_use]
    pub fn new(library: &'a dyn Library, now: i32) -> Self {
        Self { library, now }
    }

    /// Checks one phrase.
    ///
    /// # Errors
    /// What is wrong, with places in `text`.
    pub fn check(&self, phrase: Phrase<'_>, text: &str) -> Result<(), Vec<Diagnostic>> {
        let (before, file) = shape(phrase, text)?;
        self.resolve(&before, text, &file)
    }

    /// Takes a text of observations apart: each of them can be asked by itself.
    ///
    /// # Errors
    /// What is wrong, with places in `text`.
    pub fn seen(&self, text: &str) -> Result<Vec<String>, Vec<Diagnostic>> {
        let before = BEFORE_SEEN;
        let (_, file) = observations(text)?;
        let list = only_identify(&file).and_then(|it| it.that.as_ref());
        let list = list.map_or(&[][..], |that| &that.value);
        self.resolve(before, text, &file)?;
        let mut out: Vec<String> = Vec::new();
        for it in list {
            let span = shifted(it.span, before.len(), text);
            let own = span.slice(text).trim().to_owned();
            // `xrf shows copper, zinc`: what leans on the one before stays with it.
            let alone = statement(before, &own, Phrase::Seen)
                .and_then(|file| self.resolve(before, &own, &file))
                .is_ok();
            match out.last_mut() {
                Some(last) if !alone => *last = format!("{last}, {own}"),
                _ => out.push(own),
            }
        }
        Ok(out)
    }

    /// How an observation was read, where that is not plain: a stand-in for a liquid that no record
    /// answers to, a word that weighs nothing. Empty for one that is wrong.
    #[must_use]
    pub fn notes(&self, text: &str) -> Vec<String> {
        let Ok((before, file)) = observations(text) else {
            return Vec::new();
        };
        let whole = format!("{before}{text}");
        resolve::resolve(&file, &whole, self.library, self.now)
            .map(|checked| checked.into_iter().flat_map(|it| it.notes).collect())
            .unwrap_or_default()
    }

    /// Takes layers apart, from the top down.
    ///
    /// # Errors
    /// What is wrong, with places in `text`.
    pub fn layers(&self, text: &str) -> Result<Vec<String>, Vec<Diagnostic>> {
        let (before, file) = layers(text)?;
        self.resolve(&before, text, &file)?;
        let stack = only_identify(&file).and_then(|it| it.on.as_ref());
        let layers = stack.map_or(&[][..], |stack| &stack.layers);
        Ok(parts(layers, before.len(), text))
    }

    fn resolve(&self, before: &str, text: &str, file: &File) -> Result<(), Vec<Diagnostic>> {
        let whole = format!("{before}{text}");
        match resolve::resolve(file, &whole, self.library, self.now) {
            Ok(_) => Ok(()),
            Err(list) => Err(moved(list, before.len(), text)),
        }
    }
}

/// Whether a text is one phrase of its sort and nothing more, whatever its words mean: what stands
/// before it, and the statement that both make.
///
/// # Errors
/// What is wrong, with places in `text`.
pub(super) fn shape(phrase: Phrase<'_>, text: &str) -> Result<(String, File), Vec<Diagnostic>> {
    match phrase {
        Phrase::Seen => observations(text),
        Phrase::Layer => {
            let (before, file) = layers(text)?;
            let one = only_identify(&file)
                .and_then(|it| it.on.as_ref())
                .is_some_and(|on| on.layers.len() == 1);
            if one {
                Ok((before, file))
            } else {
                Err(vec![more(phrase, text)])
            }
        }
        Phrase::Noun => {
            let file = statement(BEFORE_NOUN, text, phrase)?;
            match only_identify(&file) {
                Some(it) if is_bare(it) && it.on.is_none() && it.that.is_none() => {
                    Ok((BEFORE_NOUN.to_owned(), file))
                }
                _ => Err(vec![more(phrase, text)]),
            }
        }
        Phrase::Trial(layer) => {
            let called = layer_name(layer);
            let before = format!("remove coating from {layer} given {called} ");
            let file = statement(&before, text, phrase)?;
            let one = match &file.statements[..] {
                [it] if it.explain.is_none() && it.binding.is_none() => match &it.query {
                    Query::Remove(Remove {
                        restored: None,
                        without: None,
                        allowing: None,
                        limit: None,
                        given: Some(given),
                        ..
                    }) => given.value.len() == 1,
                    _ => false,
                },
                _ => false,
            };
            if one {
                Ok((before, file))
            } else {
                Err(vec![more(phrase, text)])
            }
        }
    }
}

fn observations(text: &str) -> Result<(String, File), Vec<Diagnostic>> {
    let file = statement(BEFORE_SEEN, text, Phrase::Seen)?;
    match only_identify(&file) {
        Some(it) if is_bare(it) && it.on.is_none() && it.that.is_some() => {
            Ok((BEFORE_SEEN.to_owned(), file))
        }
        _ => Err(vec![more(Phrase::Seen, text)]),
    }
}

fn layers(text: &str) -> Result<(String, File), Vec<Diagnostic>> {
    let file = statement(BEFORE_LAYERS, text, Phrase::Layer)?;
    match only_identify(&file) {
        Some(it) if is_bare(it) && it.that.is_none() && it.on.is_some() => {
            Ok((BEFORE_LAYERS.to_owned(), file))
        }
        _ => Err(vec![more(Phrase::Layer, text)]),
    }
}

/// A layer's name without its conditions: by that it is called in `given`.
pub(super) fn layer_name(layer: &str) -> String {
    let whole = format!("{BEFORE_LAYERS}{layer}");
    let file = lang::parse(&whole).ok();
    let name = file.as_ref().and_then(only_identify).and_then(|it| {
        let first = it.on.as_ref()?.layers.first()?;
        Some(first.name.span.slice(&whole).to_owned())
    });
    name.unwrap_or_else(|| layer.to_owned())
}

fn parts(layers: &[Thing], before: usize, text: &str) -> Vec<String> {
    layers
        .iter()
        .map(|thing| {
            shifted(thing.span, before, text)
                .slice(text)
                .trim()
                .to_owned()
        })
        .collect()
}

/// One statement, parsed; without remarks, which would swallow what is put behind them.
fn statement(before: &str, text: &str, phrase: Phrase<'_>) -> Result<File, Vec<Diagnostic>> {
    let whole = format!("{before}{text}");
    let file = lang::parse(&whole).map_err(|list| moved(list, before.len(), text))?;
    if let Some(remark) = file.comments.first() {
        let span = shifted(remark.span, before.len(), text);
        return Err(vec![
            Diagnostic::error("C0110", format!("{} holds no remark", phrase.noun()))
                .at(span, "a remark")
                .help("leave it out, and write it as `note`"),
        ]);
    }
    let ends_whole = file
        .statements
        .last()
        .is_some_and(|last| whole[last.span.range().end..].trim().is_empty());
    if file.statements.len() != 1 || !ends_whole {
        return Err(vec![more(phrase, text)]);
    }
    Ok(file)
}

fn only_identify(file: &File) -> Option<&Identify> {
    match &file.statements[..] {
        [it] if it.explain.is_none() && it.binding.is_none() => match &it.query {
            Query::Identify(identify) => Some(identify),
            _ => None,
        },
        _ => None,
    }
}

/// Whether no clause but `on` and `that` stands in it.
const fn is_bare(it: &Identify) -> bool {
    // Every clause is named, so that the compiler asks about one that is new.
    matches!(
        it,
        Identify {
            thing: _,
            on: _,
            that: _,
            span: _,
            restored: None,
            prior: None,
            given: None,
            condition: None,
            limit: None,
        }
    )
}

fn more(phrase: Phrase<'_>, text: &str) -> Diagnostic {
    Diagnostic::error("C0110", format!("this is more than {}", phrase.noun()))
        .at(Span::new(0, text.len()), "more than one phrase")
        .help(format!("write for example: {}", phrase.example()))
}

/// A span of the whole statement as a span of the phrase.
fn shifted(span: Span, before: usize, text: &str) -> Span {
    let clamp = |at: u32| (at as usize).saturating_sub(before).min(text.len());
    Span::new(clamp(span.start), clamp(span.end))
}

/// Diagnostics of the whole statement as those of the phrase.
fn moved(list: Vec<Diagnostic>, before: usize, text: &str) -> Vec<Diagnostic> {
    list.into_iter()
        .filter(|d| d.severity == Severity::Error)
        .map(|mut d| {
            d.labels = d
                .labels
                .into_iter()
                .map(|label| Label {
                    span: shifted(label.span, before, text),
                    ..label
                })
                .collect();
            d.edit = d
                .edit
                .filter(|edit| edit.span.start as usize >= before)
                .map(|edit| Edit {
                    span: shifted(edit.span, before, text),
                    ..edit
                });
            d
        })
        .collect()
}
