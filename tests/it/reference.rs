//! `grammar/REFERENCE.md`: the language on one page, made from the grammar and the tables of the
//! program. `PALINODE_WRITE=1 cargo test reference` writes it; without that, a stale page fails.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;

use palinode::diag::{AREAS, CODES};
use palinode::embedded;
use palinode::lang::EDITION;
use palinode::lang::reserved::{KEYWORDS, Keyword, VERBS, clauses_of};
use palinode::model::attribute::every_field;
use palinode::model::field::Holds;
use palinode::model::speech::Notes;
use palinode::model::{Condition, Kind, Library};
use palinode::units::UNITS;

use crate::grammar::{placed_words, productions, read};
use crate::random::writing;

/// Sections of `query.ebnf` that no statement has for itself, by the remark above them.
const PARTS: &[(&str, &str)] = &[
    ("nouns", "Nouns and quantities"),
    ("observations", "Observations"),
    ("conditions", "Conditions"),
];

fn page() -> String {
    let mut out = String::new();
    head(&mut out);
    statements(&mut out);
    shared(&mut out);
    words(&mut out);
    tokens(&mut out);
    units(&mut out);
    fields(&mut out);
    notes(&mut out);
    verbs_of_the_bench(&mut out);
    codes(&mut out);
    while out.ends_with("\n\n") {
        out.pop();
    }
    out
}

fn head(out: &mut String) {
    let grammar = read("query.ebnf");
    let rules = productions(&grammar);
    writeln!(
        out,
        "# The query language, edition {EDITION}\n\n\
         Made by `PALINODE_WRITE=1 cargo test reference` from `query.ebnf`, `lexical.ebnf` and the\n\
         tables of the program: what is wrong here is mended there. Examples of everything stand in\n\
         [conformance.md](conformance.md). Productions are ISO/IEC 14977: a comma joins, `|` parts\n\
         alternatives, brackets hold what may be left out, braces what may stand any number of\n\
         times.\n\n\
         ## A text\n\n\
         A text is one statement or several, with semicolons between them. `edition {EDITION};` at the\n\
         start names the edition it was written in; without that line, edition {EDITION} is meant.\n"
    )
    .unwrap();
    ebnf(out, &rules, &["file", "statement", "query"]);
}

/// Productions by name, as they stand in the grammar.
fn ebnf(out: &mut String, rules: &[(String, String)], names: &[&str]) {
    out.push_str("```ebnf\n");
    for name in names {
        let (_, text) = rules
            .iter()
            .find(|(own, _)| own == name)
            .unwrap_or_else(|| panic!("no production `{name}`"));
        writeln!(out, "{text}").unwrap();
    }
    out.push_str("```\n\n");
}

fn statements(out: &mut String) {
    let grammar = read("query.ebnf");
    let rules = productions(&grammar);
    out.push_str("## Statements\n\n");
    for (verb, word, about, example) in VERBS {
        writeln!(out, "### `{word}`: {about}\n\n```query\n{example}\n```\n").unwrap();
        let clause = format!("{word} clause");
        let mut own = vec![*word];
        if rules.iter().any(|(name, _)| *name == clause) {
            own.push(&clause);
        }
        ebnf(out, &rules, &own);
        let clauses = clauses_of(*verb);
        if clauses.is_empty() {
            continue;
        }
        out.push_str("Clauses in canonical order, typed in any order, each once:\n\n");
        out.push_str("| clause | production | meaning |\n|---|---|---|\n");
        for keyword in clauses {
            let form = rules
                .iter()
                .find(|(_, text)| {
                    let other = Keyword::Prior;
                    starts_with(text, keyword.head())
                        && (*keyword == other || !starts_with(text, other.head()))
                })
                .unwrap_or_else(|| panic!("no clause `{}`", keyword.head()));
            let body = form.1.split_once('=').map_or("", |(_, body)| body);
            row(
                out,
                &[
                    &code(keyword.head()),
                    &code(body.trim().trim_end_matches(';')),
                    keyword.about(),
                ],
            );
        }
        out.push('\n');
    }
}

/// Whether a production is a clause that starts with these words.
fn starts_with(production: &str, words: &str) -> bool {
    let head = format!("\"{}\"", words.replace(' ', "\", \""));
    production
        .split_once('=')
        .is_some_and(|(name, body)| !name.contains("preposition") && body.trim().starts_with(&head))
}

fn shared(out: &mut String) {
    let grammar = read("query.ebnf");
    let rules = productions(&grammar);
    for (remark, title) in PARTS {
        let start = grammar.find(&format!("(* {remark} *)")).expect(remark);
        let rest = &grammar[start + 3..];
        let end = rest.find("(*").unwrap_or(rest.len());
        let own = productions(&rest[rest.find("*)").expect("a remark") + 2..end]);
        let names: Vec<&str> = own.iter().map(|(name, _)| name.as_str()).collect();
        writeln!(out, "## {title}\n").unwrap();
        ebnf(out, &rules, &names);
    }
}

fn words(out: &mut String) {
    out.push_str(
        "## Reserved words\n\n\
         A reserved word ends a name wherever it stands; a name that holds one is put in quotes.\n\
         Reserved words are written in lower case.\n\n\
         | word | meaning |\n|---|---|\n",
    );
    for (_, word, about) in KEYWORDS {
        row(out, &[&code(word), about]);
    }
    let placed: Vec<String> = placed_words().iter().map(|word| code(word)).collect();
    writeln!(
        out,
        "\nThese mean something in one place only, and are words of names anywhere else:\n{}.\n",
        placed.join(", ")
    )
    .unwrap();
}

fn tokens(out: &mut String) {
    let grammar = read("lexical.ebnf");
    let rules = productions(&grammar);
    let names: Vec<&str> = rules.iter().map(|(name, _)| name.as_str()).collect();
    out.push_str(
        "## Tokens\n\n\
         The longest token wins. A unit is a token of its own only after a number; anywhere else\n\
         the same letters are a word. A remark starts with `#` and ends with its line.\n\n",
    );
    ebnf(out, &rules, &names);
}

fn units(out: &mut String) {
    out.push_str(
        "## Units\n\n\
         Case matters. The degree sign may stand before `C` and `F`, the micro sign for `u`, raised\n\
         figures for `2` and `3`.\n\n\
         | measures | unit | called | also read |\n|---|---|---|---|\n",
    );
    let mut seen = Vec::new();
    for first in UNITS.iter().filter(|row| !row.symbol.is_empty()) {
        if seen.contains(&first.dimension) {
            continue;
        }
        seen.push(first.dimension);
        for (index, unit) in UNITS
            .iter()
            .filter(|unit| unit.dimension == first.dimension && !unit.symbol.is_empty())
            .enumerate()
        {
            let also: Vec<String> = unit.also.iter().map(|text| code(text)).collect();
            let measures = if index == 0 {
                unit.dimension.name()
            } else {
                ""
            };
            row(
                out,
                &[measures, &code(unit.symbol), unit.name, &also.join(", ")],
            );
        }
    }
    out.push('\n');
}

fn fields(out: &mut String) {
    out.push_str(
        "## Fields\n\n\
         What `where`, `show`, `rank` and `compare` ask of a record. What a liquid does to a\n\
         material, and what a test shows of it, are asked by the name of the liquid or the test.\n\n",
    );
    for kind in &[&Kind::FILED[..], &[Kind::Source]].concat() {
        let own: Vec<_> = every_field()
            .filter(|field| field.kinds.contains(kind))
            .collect();
        if own.is_empty() {
            continue;
        }
        writeln!(
            out,
            "### Of a {}\n\n| field | holds | meaning |\n|---|---|---|",
            kind.noun()
        )
        .unwrap();
        for field in own {
            row(out, &[&code(field.key), &holds(field.holds), field.meaning]);
        }
        out.push('\n');
    }
}

fn holds(what: Holds) -> String {
    match what {
        Holds::Words(list) => format!("words of the list `{list}`"),
        Holds::Outcomes => "outcomes of the test of that name".to_owned(),
        Holds::Ids(kind) => format!("names of records: {}", kind.noun()),
        Holds::Measure(dimension) => dimension.name().to_owned(),
        Holds::MeasureOrText(dimension) => format!("{}, or words", dimension.name()),
        Holds::Years => "years".to_owned(),
        Holds::Hansen => "Hansen parameters".to_owned(),
        Holds::Teas => "Teas fractions".to_owned(),
        Holds::Text => "text".to_owned(),
        Holds::Limit => "parts per million, or a mass in a volume".to_owned(),
        Holds::OpenWords => "words".to_owned(),
    }
}

fn notes(out: &mut String) {
    let speech = embedded().speech();
    out.push_str(
        "## Notes\n\n\
         What parentheses may hold, beside a quantity, a time, a temperature and text in quotes.\n\
         The words are data: `kb/vocab/speech.toml`.\n\n",
    );
    for Notes { section, means } in &speech.notes {
        writeln!(
            out,
            "### {}\n\n| note | words |\n|---|---|",
            heading(section)
        )
        .unwrap();
        let mut by_meaning: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        for (words, meaning) in means.iter() {
            let written = code(speech.written(words));
            by_meaning.entry(meaning).or_default().push(written);
        }
        // The conditions are words of the model; the list of speech holds what else is said.
        for condition in Condition::ALL.iter().filter(|_| section == "condition") {
            let words = by_meaning.entry(condition.word()).or_default();
            words.insert(0, code(condition.word()));
        }
        for (meaning, words) in by_meaning {
            row(out, &[meaning, &words.join(", ")]);
        }
        out.push('\n');
    }
    out.push_str(
        "### How sure\n\n\
         In front of the verb, or as a note: the share of trust that the observer gives.\n\n\
         | word | share |\n|---|---|\n",
    );
    for (word, share) in &speech.beliefs {
        row(out, &[&code(speech.written(word)), &share.to_string()]);
    }
    out.push('\n');
}

fn heading(section: &str) -> &str {
    match section {
        "site" => "Where it sits",
        "condition" => "State of a layer",
        "origin" => "Whether it belongs to the object",
        "age" => "Age of a material",
        "thickness" => "Thickness",
        "specimen" => "What a test was done on",
        other => other,
    }
}

fn verbs_of_the_bench(out: &mut String) {
    let speech = embedded().speech();
    out.push_str(
        "## Verbs of the bench\n\n\
         The longest that fits the words of an observation is taken. A verb of a liquid wants its\n\
         liquid after a small word; a verb of a test names its outcome, or is one.\n\n\
         | of | verbs | means |\n|---|---|---|\n",
    );
    for frame in speech.frames.iter() {
        let says: Vec<String> = frame
            .says
            .iter()
            .map(|text| code(speech.written(text)))
            .collect();
        let outcomes: Vec<&str> = frame
            .outcomes
            .iter()
            .map(|(word, _)| word.as_str())
            .collect();
        let means = if outcomes.is_empty() {
            "the outcome that the words name".to_owned()
        } else {
            outcomes.join(", ")
        };
        row(out, &[&frame.of, &says.join(", "), &means]);
    }
    out.push('\n');
}

fn codes(out: &mut String) {
    out.push_str(
        "## Codes of the language\n\n\
         `palinode explain CODE` shows the page of one. Codes of the corpus (`K...`) are for who\n\
         writes records.\n\n",
    );
    for (area, title) in AREAS.iter().filter(|(area, _)| area.starts_with('Q')) {
        writeln!(out, "### {area}..: {title}\n").unwrap();
        for entry in CODES.iter().filter(|entry| entry.code.starts_with(area)) {
            writeln!(out, "**{}, {}.** {}\n", entry.code, entry.title, entry.page).unwrap();
            for (label, example) in [("wrong", entry.wrong), ("right", entry.right)] {
                if let Some(example) = example {
                    // What cannot be seen is written out, or the page would hold it.
                    let shown = example.replace('\u{200b}', "<U+200B>");
                    writeln!(out, "- {label}: `{shown}`").unwrap();
                }
            }
            if entry.wrong.is_some() {
                out.push('\n');
            }
        }
    }
}

fn code(text: &str) -> String {
    format!("`{text}`")
}

/// One row of a table; a stroke inside a cell would part it.
fn row(out: &mut String, cells: &[&str]) {
    out.push('|');
    for cell in cells {
        let cell = cell.split_whitespace().collect::<Vec<_>>().join(" ");
        write!(out, " {} |", cell.replace('|', "\\|")).unwrap();
    }
    out.push('\n');
}

#[test]
fn the_reference_is_what_the_tables_say() {
    let path = format!("{}/grammar/REFERENCE.md", env!("CARGO_MANIFEST_DIR"));
    let page = page();
    if writing() {
        fs::write(&path, &page).unwrap();
    }
    let found = fs::read_to_string(&path).unwrap_or_default();
    if let Some((line, (old, new))) = found
        .lines()
        .chain(std::iter::repeat(""))
        .zip(page.lines())
        .enumerate()
        .find(|(_, (old, new))| old != new)
    {
        panic!(
            "grammar/REFERENCE.md:{}: stale; `PALINODE_WRITE=1 cargo test reference` writes it\n\
             is: {old}\nnow: {new}",
            line + 1
        );
    }
    assert_eq!(
        found.len(),
        page.len(),
        "grammar/REFERENCE.md: stale at its end"
    );
}

#[test]
fn the_reference_names_all_there_is() {
    let page = page();
    let has = |wanted: &str| assert!(page.contains(wanted), "the page lacks {wanted}");
    for (_, word, ..) in VERBS {
        has(&format!("### `{word}`"));
    }
    for (_, word, about) in KEYWORDS {
        has(&format!("| `{word}` | {about} |"));
    }
    for unit in UNITS.iter().filter(|unit| !unit.symbol.is_empty()) {
        has(&code(unit.symbol));
    }
    for field in every_field() {
        has(&format!("| `{}` |", field.key));
    }
    for entry in CODES.iter().filter(|entry| entry.code.starts_with('Q')) {
        has(&format!("**{}, {}.**", entry.code, entry.title));
    }
    // Every production of both grammars stands on the page, in a block or in a table.
    for grammar in ["query.ebnf", "lexical.ebnf"] {
        for (name, text) in productions(&read(grammar)) {
            let body = text.split_once('=').map_or("", |(_, body)| body);
            let line: Vec<&str> = body.trim_end_matches(';').split_whitespace().collect();
            let in_table = code(&line.join(" ").replace('|', "\\|"));
            assert!(
                page.contains(&text) || page.contains(&in_table),
                "the page lacks `{name}`"
            );
        }
    }
}
