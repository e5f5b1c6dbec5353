//! From the text of a case file to the typed record, with every mistake and its place.

use std::cell::RefCell;
use std::collections::BTreeMap;

use toml_edit::{Document, Item, Table};

use super::entry::{Entry, Findings, Measure, place};
use super::photograph::relative;
use super::record::{
    Case, Change, Decision, Deviation, FORMAT, Layer, Object, Observation, Photograph, Proposal,
    Question, Trial, Unknown, Use,
};
use super::section::Section;
use crate::diag::{Diagnostic, Severity};
use crate::lang::reserved::is_reserved;
use crate::order::Arrange;
use crate::span::Span;

/// Reads the text of a case file. With it come remarks that do not stand in the way: keys that
/// nobody reads.
///
/// # Errors
/// Every mistake found, in the order of the file.
pub fn parse(text: &str) -> Result<(Case, Vec<Diagnostic>), Vec<Diagnostic>> {
    let document = match Document::parse(text) {
        Ok(document) => document,
        Err(error) => return Err(vec![not_toml(&error, text)]),
    };
    let findings: Findings = RefCell::new(Vec::new());
    let case = case(document.as_table(), &findings);
    references(&case, &document, &findings);
    let mut findings = findings.into_inner();
    findings.arrange_by_key(|d| d.span().map_or(0, |span| span.start));
    if findings.iter().any(|d| d.severity == Severity::Error) {
        findings.retain(|d| d.severity == Severity::Error);
        Err(findings)
    } else {
        Ok((case, findings))
    }
}

pub(super) fn not_toml(error: &toml_edit::TomlError, text: &str) -> Diagnostic {
    let span = error
        .span()
        .map_or_else(|| Span::at(text.len()), |s| Span::new(s.start, s.end));
    let words = error.message();
    Diagnostic::error("C0101", format!("the case file cannot be read: {words}"))
        .at(span, "reading stopped here")
        .help(
            "texts stand in double quotes, lists in square brackets, each fact on a line of its own: \
             mend the marked place",
        )
}

fn case(root: &Table, findings: &Findings) -> Case {
    let top = Entry::new(root, Span::at(0), "the case file", findings);
    let sections = Sections { root, findings };
    let case = Case {
        format: format(&top, root),
        object: object(root, findings),
        layers: sections.each(Section::Layer, layer),
        unknowns: sections.each(Section::Unknown, unknown),
        observations: sections.each(Section::Observation, observation),
        trials: sections.each(Section::Trial, trial),
        questions: sections.each(Section::Question, question),
        proposals: sections.each(Section::Proposal, proposal),
        decisions: sections.each(Section::Decision, decision),
        uses: sections.each(Section::Use, used),
        deviations: sections.each(Section::Deviation, deviation),
        photographs: sections.each(Section::Photograph, photograph),
        changes: changes(root, findings),
    };
    others(root, findings);
    case
}

fn layer(e: &Entry<'_>, id: String) -> Layer {
    Layer {
        id,
        name: e.wanted("name", "\"gesso (sound)\""),
        note: e.text("note"),
        span: e.span,
    }
}

fn unknown(e: &Entry<'_>, id: String) -> Unknown {
    Unknown {
        id,
        called: e.text("called"),
        noun: e.wanted("noun", "\"coating (film, later)\""),
        over: e.text("over"),
        restored: e.quantity("restored", Measure::Years),
        note: e.text("note"),
        span: e.span,
    }
}

fn observation(e: &Entry<'_>, id: String) -> Observation {
    Observation {
        id,
        of: e.wanted("of", "\"u1\""),
        seen: e.wanted("seen", "\"looks brown\""),
        noted: e.noted(),
        span: e.span,
    }
}

fn trial(e: &Entry<'_>, id: String) -> Trial {
    Trial {
        id,
        on: e.wanted("on", "\"l1\""),
        seen: e.wanted("seen", "\"is unaffected by acetone\""),
        noted: e.noted(),
        span: e.span,
    }
}

fn question(e: &Entry<'_>, id: String) -> Question {
    Question {
        id,
        ask: e.wanted("ask", "\"identify u1\""),
        query: e.text("query").unwrap_or_default(),
        asked: e.day("asked"),
        corpus: e.text("corpus").unwrap_or_default(),
        edition: e.number("edition").unwrap_or(1),
        standing: e.text("standing").unwrap_or_default(),
        gist: e.texts("gist"),
        noted: e.noted(),
        span: e.span,
    }
}

fn proposal(e: &Entry<'_>, id: String) -> Proposal {
    Proposal {
        id,
        what: e.wanted("what", "\"...\""),
        from: e.text("from"),
        step: e.text("step"),
        risk: e.text("risk"),
        noted: e.noted(),
        span: e.span,
    }
}

fn decision(e: &Entry<'_>, id: String) -> Decision {
    Decision {
        id,
        on: e.text("on"),
        what: e.wanted("what", "\"...\""),
        because: e.wanted("because", "\"...\""),
        noted: e.noted(),
        span: e.span,
    }
}

fn used(e: &Entry<'_>, id: String) -> Use {
    Use {
        id,
        material: e.wanted("material", "\"ethanol\""),
        purpose: e.text("purpose"),
        strength: e.quantity("strength", Measure::Strength),
        solvent: e.text("solvent"),
        amount: e.quantity("amount", Measure::Amount),
        batch: e.text("batch"),
        under: e.text("under"),
        noted: e.noted(),
        span: e.span,
    }
}

fn deviation(e: &Entry<'_>, id: String) -> Deviation {
    Deviation {
        id,
        from: e.text("from"),
        what: e.wanted("what", "\"...\""),
        because: e.wanted("because", "\"...\""),
        noted: e.noted(),
        span: e.span,
    }
}

fn photograph(e: &Entry<'_>, id: String) -> Photograph {
    let file = e.wanted("file", "\"photographs/front.jpg\"");
    // A missing path was told as missing.
    if !file.is_empty()
        && let Err(why) = relative(&file)
    {
        e.report(
            Diagnostic::error("C0108", format!("`file` {why}"))
                .at(e.span_of("file"), "not a path within the case's folder")
                .help(
                    "put the picture into the folder of the case, or below it, and write the path \
                     from there: \"photographs/front.jpg\"",
                ),
        );
    }
    Photograph {
        id,
        file,
        shows: e.wanted("shows", "\"front, before treatment\""),
        light: e.text("light"),
        of: e.texts("of"),
        noted: e.noted(),
        span: e.span,
    }
}

fn format(top: &Entry<'_>, root: &Table) -> i64 {
    match top.number("palinode") {
        Some(FORMAT) => FORMAT,
        Some(other) => {
            let newer = other > FORMAT;
            top.report(
                Diagnostic::error(
                    "C0102",
                    format!("format {other} of case files is not known here"),
                )
                .at(top.span_of("palinode"), "not read")
                .help(if newer {
                    "the file was written by a newer palinode: use that one"
                } else {
                    "write palinode = 1"
                }),
            );
            other
        }
        None if root.contains_key("palinode") => FORMAT,
        None => {
            top.report(
                Diagnostic::error("C0102", "the file does not say that it is a case")
                    .at(Span::at(0), "`palinode = 1` is missing")
                    .help("a case file begins with the line: palinode = 1"),
            );
            FORMAT
        }
    }
}

fn object(root: &Table, findings: &Findings) -> Object {
    let Some(item) = root.get("object") else {
        findings.borrow_mut().push(
            Diagnostic::error("C0103", "the case has no object")
                .at(Span::at(0), "`[object]` is missing")
                .help("add the lines: [object] and title = \"...\""),
        );
        return Object::default();
    };
    let Some(table) = item.as_table_like() else {
        findings.borrow_mut().push(
            Diagnostic::error("C0104", "`object` wants a table")
                .at(place(item, Span::at(0)), "not a table")
                .help("write [object] on a line of its own, and its facts below"),
        );
        return Object::default();
    };
    let e = Entry::new(table, place(item, Span::at(0)), "the object", findings);
    let object = Object {
        title: e.wanted("title", "\"Overmantel mirror\""),
        number: e.text("number"),
        made: e.text("made"),
        maker: e.text("maker"),
        materials: e.text("materials"),
        height: e.quantity("height", Measure::Length),
        width: e.quantity("width", Measure::Length),
        depth: e.quantity("depth", Measure::Length),
        weight: e.quantity("weight", Measure::Mass),
        warmest: e.quantity("warmest", Measure::Temperature),
        condition: e.text("condition"),
        aim: e.text("aim"),
        note: e.text("note"),
    };
    e.others();
    object
}

struct Sections<'a> {
    root: &'a Table,
    findings: &'a Findings,
}

impl<'a> Sections<'a> {
    fn each<T>(&self, section: Section, make: impl Fn(&Entry<'a>, String) -> T) -> Vec<T> {
        let key = section.key();
        let Some(item) = self.root.get(key) else {
            return Vec::new();
        };
        let Some(tables) = item.as_array_of_tables() else {
            self.findings.borrow_mut().push(
                Diagnostic::error("C0104", format!("`{key}` is a list of tables"))
                    .at(place(item, Span::at(0)), "not a list of tables")
                    .help(format!("write [[{key}]] on a line of its own before each")),
            );
            return Vec::new();
        };
        tables
            .iter()
            .map(|table| {
                let span = table
                    .span()
                    .map_or(Span::at(0), |s| Span::new(s.start, s.end));
                let e = Entry::new(table, span, section.with_article(), self.findings);
                let example = format!("\"{}1\"", section.letter());
                let id = e.wanted("id", &example);
                if !id.is_empty() && !is_id(&id) {
                    e.report(
                        Diagnostic::error("C0105", format!("`{id}` cannot be an id"))
                            .at(e.span_of("id"), "not an id")
                            .help(format!(
                                "lower-case letters and digits, a letter first, no word of the \
                                 language: {example}"
                            )),
                    );
                }
                let made = make(&e, id);
                e.others();
                made
            })
            .collect()
    }
}

/// Whether a text may be an id: it stands in a question as one word.
pub(super) fn is_id(text: &str) -> bool {
    text.len() <= 40
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
        && !is_reserved(text)
}

fn changes(root: &Table, findings: &Findings) -> Vec<Change> {
    let Some(item) = root.get("log") else {
        return Vec::new();
    };
    let wrong = |item: &Item, what: &str| {
        findings.borrow_mut().push(
            Diagnostic::error("C0104", format!("the log {what}"))
                .at(place(item, Span::at(0)), "not as the program writes it")
                .help(
                    "write: changes = [{at = \"2026-11-28T10:15:02Z\", who = \"AB\", did = \"observe\", \
                     ids = [\"o1\"]}]",
                ),
        );
    };
    let Some(table) = item.as_table_like() else {
        wrong(item, "wants a table");
        return Vec::new();
    };
    let e = Entry::new(table, place(item, Span::at(0)), "the log", findings);
    let changes = table.get("changes");
    e.elsewhere("changes");
    e.others();
    let Some(item) = changes else {
        return Vec::new();
    };
    let Some(array) = item.as_array() else {
        wrong(item, "wants a list of changes");
        return Vec::new();
    };
    let mut out = Vec::new();
    for value in array {
        let Some(table) = value.as_inline_table() else {
            wrong(item, "holds something that is no change");
            continue;
        };
        let span = value
            .span()
            .map_or(Span::at(0), |s| Span::new(s.start, s.end));
        let e = Entry::new(table, span, "a change", findings);
        out.push(Change {
            at: e.wanted("at", "\"2026-11-28T10:15:02Z\""),
            who: e.text("who").unwrap_or_default(),
            did: e.wanted("did", "\"observe\""),
            ids: e.texts("ids"),
        });
        e.others();
    }
    out
}

/// Sections that nobody reads.
fn others(root: &Table, findings: &Findings) {
    let mut known: Vec<&'static str> = vec!["palinode", "object"];
    known.extend(Section::ALL.iter().map(|s| s.key()));
    known.push("log");
    let e = Entry::new(root, Span::at(0), "the case file", findings);
    for key in known {
        e.elsewhere(key);
    }
    e.others();
}

/// Ids are given once, and what names one names one that is there.
fn references(case: &Case, document: &Document<&str>, findings: &Findings) {
    let given = ids_given_once(case, findings);
    let root = document.as_table();
    for section in Section::ALL {
        let Some(tables) = root.get(section.key()).and_then(Item::as_array_of_tables) else {
            continue;
        };
        for &(key, allowed) in section.references() {
            for item in tables.iter().filter_map(|table| table.get(key)) {
                for (id, span) in ids_named(item) {
                    let right = match given.get(id) {
                        Some((found, _)) => allowed.is_empty() || allowed.contains(found),
                        None => id.trim().is_empty(),
                    };
                    if !right {
                        findings
                            .borrow_mut()
                            .push(leads_nowhere(case, id, span, key, allowed));
                    }
                }
            }
        }
    }
}

/// Every id with its section and place; one that is given a second time is reported.
fn ids_given_once<'a>(case: &'a Case, findings: &Findings) -> BTreeMap<&'a str, (Section, Span)> {
    let mut given: BTreeMap<&str, (Section, Span)> = BTreeMap::new();
    for (id, section, span) in case.ids() {
        // An empty id was told as missing.
        if id.is_empty() {
            continue;
        }
        if let Some((other, first)) = given.get(id) {
            findings.borrow_mut().push(
                Diagnostic::error("C0105", format!("the id `{id}` is given twice"))
                    .at(span, "the second time")
                    .and_at(
                        *first,
                        format!("the first time, to {}", other.with_article()),
                    )
                    .help("give one of them another id; what names it stays with the first"),
            );
        } else {
            given.insert(id, (section, span));
        }
    }
    given
}

/// The ids in a value, which may be one text or a list of them, each with its place.
fn ids_named(item: &Item) -> Vec<(&str, Span)> {
    let span = place(item, Span::at(0));
    match item.as_array() {
        Some(array) => array
            .iter()
            .filter_map(|v| {
                let at = v.span().map_or(span, |s| Span::new(s.start, s.end));
                v.as_str().map(|text| (text, at))
            })
            .collect(),
        None => item.as_str().map(|text| (text, span)).into_iter().collect(),
    }
}

fn leads_nowhere(
    case: &Case,
    id: &str,
    span: Span,
    key: &str,
    allowed: &'static [Section],
) -> Diagnostic {
    let there: Vec<&str> = case
        .ids()
        .into_iter()
        .filter(|(it, section, _)| {
            !it.is_empty() && (allowed.is_empty() || allowed.contains(section))
        })
        .map(|(it, _, _)| it)
        .collect();
    let wanted: Vec<&str> = allowed.iter().map(|s| s.with_article()).collect();
    let wanted = if wanted.is_empty() {
        "anything".to_owned()
    } else {
        wanted.join(" or ")
    };
    let help = if there.is_empty() {
        format!("`{key}` names {wanted}, and the case holds none yet")
    } else {
        let shown: Vec<&str> = there.iter().copied().take(12).collect();
        format!("`{key}` names {wanted}: {}", shown.join(", "))
    };
    Diagnostic::error(
        "C0106",
        format!("`{id}` is not the id of {wanted} in this case"),
    )
    .at(span, "leads nowhere")
    .help(help)
}
