//! Help on words: made from the tables of the language, the units and the fields, and from the words of
//! the corpus.

use std::fmt::Write;

use super::super::page;
use super::super::shell::COMMANDS;
use super::PAGES;
use crate::complete::{Candidate, Vocabulary, field_word};
use crate::diag::{CODES, code_entry, did_you_mean};
use crate::lang::reserved::{
    CLAUSE_FORMS, KEYWORDS, Keyword, PLACED_WORDS, VERBS, Verb, about_word, clause_form, clauses_of,
};
use crate::model::attribute::every_field;
use crate::model::field::{Field, Holds};
use crate::model::naming::fold;
use crate::model::{Kind, Library};
use crate::pack::Pack;
use crate::units::{UNITS, Unit, units_of};

/// Columns of the text.
const COLUMNS: usize = 79;
/// Column in which meanings start.
const MEANINGS: usize = 28;

/// Topics that are no word of the language.
const GENERAL: [(&str, &str); 6] = [
    ("clauses", "what may follow the head of a query"),
    (
        "fields",
        "what the records say, for `where`, `rank by`, `show`",
    ),
    ("units", "what may stand after a number"),
    ("notes", "what may stand in parentheses"),
    ("verbs", "how what was seen at the bench is said"),
    ("keys", "the keys of the line editor"),
];

/// Sections of notes, and after what they stand.
const NOTES: [(&str, &str); 6] = [
    ("site", "after the unknown: where it sits"),
    (
        "origin",
        "after the unknown or a layer: whether it belongs to the object",
    ),
    ("age", "after the unknown: its age"),
    ("thickness", "after the unknown: its thickness"),
    ("condition", "after a layer: its state"),
    ("specimen", "after an observation: on what it was made"),
];

/// Keys of the line editor.
const KEYS: [(&str, &str); 8] = [
    ("Tab", "complete, or list what may follow"),
    (
        "Enter",
        "end the line; an empty line or `;` at its end ends the statement",
    ),
    (
        "Up, Down",
        "the line above or below, then earlier and later statements",
    ),
    ("Ctrl-R", "search the earlier statements"),
    ("Ctrl-A, Ctrl-E", "start and end of the line"),
    (
        "Ctrl-W, Ctrl-U",
        "delete the word, or all before the cursor",
    ),
    ("Ctrl-C", "drop what was typed"),
    ("Ctrl-D", "leave, on an empty line"),
];

/// Topics that start with what was typed, for completion.
pub(in crate::cli) fn topics(typed: &str, from: usize) -> Vec<Candidate> {
    let fields = every_field().map(|f| (field_word(f), f.meaning));
    let codes = CODES.iter().map(|c| (c.code, c.title));
    let mut out: Vec<Candidate> = Vec::new();
    let topics = words().chain(fields);
    for (topic, about) in topics.chain(codes.filter(|_| !typed.is_empty())) {
        let begun = topic
            .get(..typed.len())
            .is_some_and(|start| start.eq_ignore_ascii_case(typed));
        if begun && out.iter().all(|c| c.replacement != topic) {
            out.push(Candidate {
                from,
                replacement: topic.to_owned(),
                display: topic.to_owned(),
                description: about.to_owned(),
            });
        }
    }
    out
}

/// Topics that are words of the language or general.
fn words() -> impl Iterator<Item = (&'static str, &'static str)> {
    let verbs = VERBS.iter().map(|(_, word, about, _)| (*word, *about));
    let keywords = KEYWORDS.iter().map(|(_, word, about)| (*word, *about));
    PAGES
        .iter()
        .map(|(name, about, _)| (*name, *about))
        .chain(GENERAL)
        .chain(verbs)
        .chain(keywords)
        .chain(PLACED_WORDS.iter().copied())
}

/// The help on a topic.
///
/// # Errors
/// With the nearest topic, if one is near, when there is none.
pub(super) fn text(topic: &str, pack: &Pack) -> Result<String, Option<String>> {
    let topic = topic.trim().trim_matches(['`', '"', '\'']);
    if let Some(page) = general(topic, pack) {
        return Ok(page);
    }
    // `limit` is a clause and a field: both are told.
    let mut parts: Vec<String> = [
        reserved(topic),
        field(topic),
        unit(topic),
        code_entry(topic).map(|entry| folded_page(&page::page(entry))),
    ]
    .into_iter()
    .flatten()
    .collect();
    let vocabulary = Vocabulary::of(pack);
    parts.extend(records(topic, &vocabulary));
    if parts.is_empty() {
        parts.extend(bench_verb(topic, &vocabulary));
    }
    parts.extend(noun(topic, pack));
    if parts.is_empty() {
        return Err(nearest(topic));
    }
    Ok(parts.join("\n"))
}

/// The page of a general topic, or of a statement.
fn general(topic: &str, pack: &Pack) -> Option<String> {
    let lower = topic.to_lowercase();
    Some(match lower.as_str() {
        "" => overview(),
        "clauses" => clauses(),
        "fields" | "field" => fields(),
        "units" | "unit" => units(),
        "notes" | "note" => notes(&Vocabulary::of(pack)),
        "verbs" => bench(&Vocabulary::of(pack)),
        "keys" => list("Keys of the line editor", KEYS),
        _ => return Verb::from_word(&lower).map(verb_page),
    })
}

/// A reserved word, or one that is reserved in its place.
fn reserved(topic: &str) -> Option<String> {
    let lower = topic.to_lowercase();
    match Keyword::from_word(&lower) {
        Some(keyword) => Some(keyword_page(keyword)),
        None => about_word(&lower).map(|about| format!("{lower}: {about}\n")),
    }
}

fn field(topic: &str) -> Option<String> {
    let is_named = |f: &&Field| {
        [f.key, field_word(f)]
            .iter()
            .any(|w| fold(w) == fold(topic))
    };
    every_field().find(is_named).map(field_page)
}

fn unit(topic: &str) -> Option<String> {
    let symbol = Unit::from_symbol(topic)?.to_string();
    let row = UNITS.iter().find(|row| row.symbol == symbol)?;
    (!row.symbol.is_empty()).then(|| {
        let of = row.dimension.name();
        format!("{}: {}, a unit of {of}\n", row.symbol, row.name)
    })
}

/// The records that are called so, a line a kind.
fn records(topic: &str, vocabulary: &Vocabulary) -> Vec<String> {
    let called = |kind: &Kind| {
        let named = vocabulary
            .records(*kind)
            .iter()
            .find(|p| fold(&p.typed) == fold(topic))?;
        let about = format!("{} ({}): {}", named.typed, kind.noun(), named.about);
        Some(wrapped("", &about))
    };
    Kind::ALL.iter().filter_map(called).collect()
}

fn bench_verb(topic: &str, vocabulary: &Vocabulary) -> Option<String> {
    let mut verbs = vocabulary.bench();
    let (word, of) = verbs.find(|(word, _)| fold(word) == fold(topic))?;
    Some(format!("{word}: verb of the bench, said of: {of}\n"))
}

/// A noun of the unknown, with the kinds that it asks for.
fn noun(topic: &str, pack: &Pack) -> Option<String> {
    let mut nouns = pack.speech().nouns.iter();
    let (_, roles) = nouns.find(|(word, _)| *word == fold(topic))?;
    let asks = if roles.is_empty() {
        "anything".to_owned()
    } else {
        roles.join(", ")
    };
    Some(format!(
        "{topic}: noun of the unknown; `identify {topic}` asks for: {asks}\n"
    ))
}

/// The topic that may have been meant.
fn nearest(topic: &str) -> Option<String> {
    let codes = || CODES.iter().map(|c| c.code);
    let known: Vec<&str> = words()
        .map(|(word, _)| word)
        .chain(every_field().map(|f| f.key))
        .chain(codes())
        .collect();
    let lower = did_you_mean(&topic.to_lowercase(), known.iter().copied());
    let upper = || did_you_mean(&topic.to_uppercase(), codes());
    let near = lower.first().copied().or_else(|| upper().first().copied());
    near.map(str::to_owned)
}

/// The page of a code in lines that fit; its examples stay as they are.
fn folded_page(page: &str) -> String {
    let example = |line: &str| line.starts_with("wrong:") || line.starts_with("right:");
    page.lines()
        .map(|line| {
            if example(line) || line.chars().count() <= COLUMNS {
                format!("{line}\n")
            } else {
                wrapped("", line)
            }
        })
        .collect()
}

fn overview() -> String {
    let mut out = String::from("Statements\n");
    for (_, word, about, _) in VERBS {
        out.push_str(&row(word, about));
    }
    out.push('\n');
    out.push_str(&list("In this shell", COMMANDS));
    out.push('\n');
    out.push_str(&list(
        "To read",
        PAGES.iter().map(|(name, about, _)| (*name, *about)),
    ));
    out.push('\n');
    out.push_str(&list("Topics", GENERAL));
    out.push_str(&row(
        "a word",
        "any verb, reserved word, field, unit, code (Q0301) or name of the corpus",
    ));
    out.push('\n');
    out.push_str(&wrapped(
        "",
        "A statement ends with `;` at the end of a line, or with an empty line. `let old = \
         identify ...` keeps the answer; `remove old from ...` uses it, also in a later statement.",
    ));
    out.push_str("\nfor example\n");
    for (_, _, _, example) in VERBS {
        let _ = writeln!(out, "  {example};");
    }
    out
}

fn verb_page(verb: Verb) -> String {
    let mut out = format!("{}\n  {}\n", verb.form(), verb.about());
    let clauses = clauses_of(verb);
    if !clauses.is_empty() {
        out.push_str("\nclauses, each at most once, in any order\n");
        for keyword in clauses {
            out.push_str(&row(keyword.head(), keyword.about()));
        }
    }
    let _ = writeln!(out, "\nfor example\n  {}", verb.example());
    out
}

fn keyword_page(keyword: Keyword) -> String {
    let mut out = format!("{}: {}\n", keyword.head(), keyword.about());
    let verbs: Vec<&str> = VERBS
        .iter()
        .filter(|(verb, ..)| clauses_of(*verb).contains(&keyword))
        .map(|(_, word, ..)| *word)
        .collect();
    if !verbs.is_empty() {
        if let Some(form) = clause_form(keyword) {
            let _ = writeln!(out, "  {form}");
        }
        let _ = writeln!(out, "  a clause of: {}", verbs.join(", "));
    }
    let heads: Vec<&str> = VERBS
        .iter()
        .map(|(verb, ..)| verb.form())
        .filter(|form| form.split([' ', '[', ']']).any(|w| w == keyword.word()))
        .collect();
    for head in heads {
        let _ = writeln!(out, "  {head}");
    }
    out
}

fn clauses() -> String {
    let mut out = String::from("Clauses, each at most once in a query, in any order\n");
    for (keyword, form) in CLAUSE_FORMS {
        let _ = writeln!(out, "  {form}");
        out.push_str(&wrapped("      ", keyword.about()));
    }
    out
}

fn field_page(field: &Field) -> String {
    let kinds: Vec<&str> = field.kinds.iter().map(|k| k.noun()).collect();
    let mut out = format!(
        "{}: {}\n  a field of: {}\n",
        field.key,
        field.meaning,
        kinds.join(", ")
    );
    let holds = match field.holds {
        Holds::Words(section) => format!("words of the list `{section}`"),
        Holds::Outcomes => "outcomes of the test of that name".to_owned(),
        Holds::Ids(kind) => format!("names of a {}", kind.noun()),
        Holds::Measure(dimension) | Holds::MeasureOrText(dimension) => {
            let units = units_of(dimension);
            if units.is_empty() {
                "a bare number".to_owned()
            } else {
                format!("{}, in {}", dimension.name(), units.join(", "))
            }
        }
        Holds::Years => "years, as in 1890..1935".to_owned(),
        Holds::Hansen => "three parameters and a radius".to_owned(),
        Holds::Teas => "three fractions".to_owned(),
        Holds::Text => "text, for `matches \"...\"`".to_owned(),
        Holds::Limit => "ppm or mg/m3".to_owned(),
        Holds::OpenWords => "words".to_owned(),
    };
    let _ = writeln!(out, "  holds {holds}");
    let written = field_word(field);
    if written != field.key {
        let _ = writeln!(out, "  written `{written}` in a query");
    }
    out
}

fn fields() -> String {
    let rows = every_field().map(|f| (f.key, f.meaning));
    list("Fields", rows)
}

fn units() -> String {
    let mut out = String::from("Units; each stands after a number\n");
    let mut dimensions = Vec::new();
    for row in UNITS.iter().filter(|row| !row.symbol.is_empty()) {
        if !dimensions.contains(&row.dimension) {
            dimensions.push(row.dimension);
        }
    }
    for dimension in dimensions {
        out.push_str(&row(dimension.name(), &units_of(dimension).join(", ")));
    }
    out
}

fn notes(vocabulary: &Vocabulary) -> String {
    let mut out = String::from("Notes stand in parentheses, with commas between\n");
    for (section, about) in NOTES {
        let mut known: Vec<&str> = Vec::new();
        if section == "condition" {
            let own = vocabulary.words("condition").iter();
            known.extend(own.map(|p| p.typed.as_str()));
        }
        known.extend(vocabulary.notes(section).iter().map(|p| p.typed.as_str()));
        let _ = writeln!(out, "\n{about}");
        out.push_str(&wrapped("  ", &known.join(", ")));
    }
    out.push_str(
        "\nalso\n  a depth after the unknown (deep joint 12 mm), the time after an observation\n  \
         (crumb, 1 min), the zone in quotes, `blank positive`, `probably`\n",
    );
    out
}

fn bench(vocabulary: &Vocabulary) -> String {
    let mut out = String::from(
        "Verbs of the bench, after `that` and `given`; some after `is` or `does not`\n",
    );
    let mut kinds: Vec<&str> = Vec::new();
    for (_, of) in vocabulary.bench() {
        if !kinds.contains(&of) {
            kinds.push(of);
        }
    }
    for kind in kinds {
        let words: Vec<&str> = vocabulary
            .bench()
            .filter(|(_, of)| *of == kind)
            .map(|(word, _)| word)
            .collect();
        out.push_str(&row(kind, &words.join(", ")));
    }
    out
}

fn list<'a>(title: &str, rows: impl IntoIterator<Item = (&'a str, &'a str)>) -> String {
    let mut out = format!("{title}\n");
    for (name, about) in rows {
        out.push_str(&row(name, about));
    }
    out
}

/// A name and its meaning, the meaning in a column of its own.
fn row(name: &str, about: &str) -> String {
    let head = format!("  {name}");
    let indent = " ".repeat(MEANINGS);
    let lines = wrapped(&indent, about);
    if head.chars().count() + 1 > MEANINGS {
        return format!("{head}\n{lines}");
    }
    let rest = lines.strip_prefix(&indent).unwrap_or(&lines);
    format!("{head:<MEANINGS$}{rest}")
}

/// Running text in lines, each with an indent.
fn wrapped(indent: &str, text: &str) -> String {
    let text = crate::render::safe(text);
    let mut out = String::new();
    let mut line = indent.to_owned();
    for word in text.split_whitespace() {
        let width = line.chars().count() + 1 + word.chars().count();
        if line.len() > indent.len() && width > COLUMNS {
            let _ = writeln!(out, "{}", line.trim_end());
            line = indent.to_owned();
        }
        line.push_str(word);
        line.push(' ');
    }
    let _ = writeln!(out, "{}", line.trim_end());
    out
}
