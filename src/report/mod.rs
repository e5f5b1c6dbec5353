//! The report of a case: what owner, insurer and the next conservator can rely on.
//!
//! The questions of the case are asked again, so that every answer carries its basis and its source;
//! sections are built from the answers and from what the case records; a form (HTML, Markdown)
//! writes them out. Nothing here reads or writes a file: pictures come through a function.
//!
//! The sections follow the documentation that the *Guidelines for Practice* of the American
//! Institute for Conservation ask for (24 documentation, 25 examination, 26 treatment plan, 27
//! treatment, with their Commentaries); `README.md` has the table.

mod document;
pub mod figure;
mod grounds;
mod html;
mod markdown;
mod sections;
mod style;
mod words;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::sync::Arc;

use crate::answer::{Body, Identify, Remove};
use crate::case::{AskError, Asked, Asker, Case};
use crate::cite::{Style, StyleError, styled};
use crate::model::{Library, Source};
use crate::pack::Pack;

pub use document::{Block, Document, LARGEST_PICTURE, Line, Part, Picture, Section, Words};
pub use html::html;
pub use markdown::markdown;
pub use style::Paper;
pub use words::clean;

use grounds::Grounds;

/// What a report is made from.
pub struct Request<'a> {
    /// The case.
    pub case: &'a Case,
    /// The corpus that answers.
    pub pack: &'a Pack,
    /// Year in which the questions are asked.
    pub now: i32,
    /// Sections; each once, in the order of [`Part::ALL`] whatever their order here.
    pub parts: &'a [Part],
    /// Citation style.
    pub style: Style,
}

/// A question that is put for the report.
struct Put {
    /// Its id; empty when the report asks by itself.
    id: String,
    /// As it is asked.
    ask: String,
}

/// A question of the case with its present answer.
pub(crate) struct Heard {
    /// Id of the question; empty when the report asked by itself.
    pub(crate) id: String,
    /// As it was asked.
    pub(crate) ask: String,
    /// What was answered, or why nothing was.
    pub(crate) asked: Result<Arc<Asked>, String>,
}

/// What every section is built from.
pub(crate) struct Material<'a> {
    pub(crate) case: &'a Case,
    pub(crate) pack: &'a Pack,
    pub(crate) now: i32,
    pub(crate) heard: Vec<Heard>,
    /// Asks what a section wants to know besides.
    asker: RefCell<Asker<'a>>,
}

impl Material<'_> {
    /// The identification of each unknown that was asked about: the last one counts.
    pub(crate) fn identified(&self) -> Vec<(&crate::case::Unknown, &Asked, &Identify)> {
        let mut out = Vec::new();
        for unknown in &self.case.unknowns {
            let last = self.heard.iter().rev().find_map(|heard| {
                if !names(&heard.ask, "identify", &unknown.id) {
                    return None;
                }
                let asked = heard.asked.as_deref().ok()?;
                match &asked.answer()?.body {
                    Body::Identify(it) => Some((asked, &**it)),
                    _ => None,
                }
            });
            if let Some((asked, it)) = last {
                out.push((unknown, asked, it));
            }
        }
        out
    }

    /// The plans for removal, in the order of the questions.
    pub(crate) fn removals(&self) -> Vec<(&Heard, &Asked, &Remove)> {
        self.heard
            .iter()
            .filter_map(|heard| {
                let asked = heard.asked.as_deref().ok()?;
                match &asked.answer()?.body {
                    Body::Remove(it) => Some((heard, asked, &**it)),
                    _ => None,
                }
            })
            .collect()
    }

    /// Asks a question by the way.
    pub(crate) fn ask(&self, text: &str) -> Result<Arc<Asked>, AskError> {
        self.asker.borrow_mut().ask(text)
    }

    /// What the bench calls an unknown.
    pub(crate) fn called(unknown: &crate::case::Unknown) -> &str {
        unknown.called.as_deref().unwrap_or(&unknown.noun)
    }
}

/// Whether a question begins with a verb and then the id of an unknown.
fn names(ask: &str, verb: &str, id: &str) -> bool {
    let mut words = ask.split_whitespace();
    let mut word = words.next();
    if word == Some("explain") {
        word = words.next();
    }
    word == Some(verb)
        && words
            .next()
            .is_some_and(|it| it.trim_end_matches(';') == id)
}

/// Asks the questions of a case and builds its report. `picture` opens a photograph of the case by
/// its path; `progress` is told of each question before it is asked: number, of how many, and id.
///
/// # Errors
/// When a style sheet that is built in is damaged.
pub fn report(
    request: &Request<'_>,
    picture: &dyn Fn(&str) -> Result<Picture, String>,
    progress: &mut dyn FnMut(usize, usize, &str),
) -> Result<Document, StyleError> {
    let material = hear(request, progress);
    let mut grounds = Grounds::new(request.pack);
    let mut chosen: Vec<Part> = request.parts.to_vec();
    chosen.sort_unstable();
    chosen.dedup();
    let mut figures = sections::Figures::default();
    let mut built: Vec<Section> = chosen
        .iter()
        .map(|part| sections::build(*part, &material, &mut grounds, &mut figures, picture))
        .collect();
    let sources = grounds.sources();
    let styled = styled(&sources, &grounds.groups, request.style)?;
    // Only now is it known what rests on no source.
    for section in &mut built {
        if section.part == Part::References {
            *section = sections::references(&material, &grounds);
        }
    }
    Ok(Document {
        title: clean(&request.case.object.title),
        about: sections::about(&material),
        sections: built,
        groups: grounds.groups,
        styled,
    })
}

/// The sources that the present answers of a case rest on, sorted by key: for a list of references
/// without a report.
#[must_use]
pub fn cited(request: &Request<'_>, progress: &mut dyn FnMut(usize, usize, &str)) -> Vec<Source> {
    let material = hear(request, progress);
    let keys: BTreeSet<String> = material
        .heard
        .iter()
        .filter_map(|heard| heard.asked.as_ref().ok())
        .flat_map(|asked| &asked.answers)
        .flat_map(|answer| answer.sources.iter().map(|s| s.head.id.clone()))
        .collect();
    keys.iter()
        .filter_map(|key| request.pack.source(key))
        .collect()
}

/// Asks every question of the case that holds, and what an unknown is that nobody asked about.
fn hear<'a>(request: &Request<'a>, progress: &mut dyn FnMut(usize, usize, &str)) -> Material<'a> {
    let case = request.case;
    let mut texts: Vec<Put> = case
        .questions
        .iter()
        .filter(|it| it.noted.holds())
        .map(|it| Put {
            id: it.id.clone(),
            ask: it.ask.clone(),
        })
        .collect();
    for unknown in &case.unknowns {
        let asked = texts
            .iter()
            .any(|put| names(&put.ask, "identify", &unknown.id));
        let seen = case
            .observations
            .iter()
            .any(|it| it.of == unknown.id && it.noted.holds());
        if !asked && seen {
            texts.push(Put {
                id: String::new(),
                ask: format!("identify {}", unknown.id),
            });
        }
    }
    let mut asker = Asker::new(case, request.pack, request.now);
    let heard = at_once(request, texts, &mut asker, progress);
    Material {
        case,
        pack: request.pack,
        now: request.now,
        heard,
        asker: RefCell::new(asker),
    }
}

/// Most questions that are asked at a time.
const AT_ONCE: usize = 4;

/// Asks on as many cores as there are, the questions on one unknown on the same one, so that what it is
/// gets reckoned once. The answers come in the order of the questions, whoever was first.
fn at_once(
    request: &Request<'_>,
    texts: Vec<Put>,
    asker: &mut Asker<'_>,
    progress: &mut dyn FnMut(usize, usize, &str),
) -> Vec<Heard> {
    let count = texts.len();
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let lanes = cores.min(AT_ONCE).min(count.max(1));
    let unknowns = &request.case.unknowns;
    let about = |text: &str| {
        let said = |id: &str| text.split(|c: char| !c.is_alphanumeric()).any(|w| w == id);
        unknowns.iter().position(|unknown| said(&unknown.id))
    };
    let mut shares: Vec<Vec<(usize, &Put)>> = vec![Vec::new(); lanes];
    for (k, asked) in texts.iter().enumerate() {
        shares[about(&asked.ask).unwrap_or(k) % lanes].push((k, asked));
    }
    let (send, told) = std::sync::mpsc::channel::<usize>();
    let mut heard: Vec<Option<Heard>> = std::iter::repeat_with(|| None).take(count).collect();
    std::thread::scope(|scope| {
        let workers: Vec<_> = shares
            .into_iter()
            .map(|share| {
                let send = send.clone();
                scope.spawn(move || {
                    let mut own = Asker::new(request.case, request.pack, request.now);
                    let answers: Vec<(usize, Heard)> = share
                        .into_iter()
                        .map(|(k, Put { id, ask })| {
                            // Nobody listens any more only when the report was given up.
                            let _ = send.send(k);
                            let asked = own.ask(ask).map_err(|error| wrong(&error));
                            let (id, ask) = (id.clone(), ask.clone());
                            (k, Heard { id, ask, asked })
                        })
                        .collect();
                    (answers, own.into_answers())
                })
            })
            .collect();
        drop(send);
        for (begun, k) in told.into_iter().enumerate() {
            progress(begun + 1, count, &texts[k].id);
        }
        for worker in workers {
            match worker.join() {
                Ok((answers, known)) => {
                    for (k, answer) in answers {
                        heard[k] = Some(answer);
                    }
                    asker.take_over(known);
                }
                Err(fault) => std::panic::resume_unwind(fault),
            }
        }
    });
    heard.into_iter().flatten().collect()
}

fn wrong(error: &AskError) -> String {
    match error {
        AskError::Wrong { diagnostics, .. } => diagnostics
            .first()
            .map_or_else(|| error.to_string(), |first| first.message.clone()),
        AskError::Eval(_) => error.to_string(),
    }
}
