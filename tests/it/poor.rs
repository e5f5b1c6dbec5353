//! Wrong queries whose message does not help yet: `tests/poor-messages.txt`.
//!
//! Each entry says what the program answers now and what it should say. A message that changes
//! fails here until its entry goes (or tells the new message), so the list only shrinks.

use palinode::diag::Diagnostic;
use palinode::{embedded, lang, resolve};

use crate::engines::NOW;

/// Entries when the list was begun; the number may only go down.
const MOST: usize = 33;

/// One entry of the list.
struct Entry<'a> {
    line: usize,
    query: &'a str,
    now: &'a str,
    should: &'a str,
}

fn entries(list: &str) -> Vec<Entry<'_>> {
    let lines: Vec<(usize, &str)> = list
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'))
        .collect();
    lines
        .chunks(3)
        .map(|chunk| {
            let part = |index: usize, head: &str| {
                let (line, text) = chunk.get(index).copied().unwrap_or((0, ""));
                text.strip_prefix(head)
                    .unwrap_or_else(|| panic!("poor-messages.txt:{line}: wants `{head}`"))
                    .trim()
            };
            Entry {
                line: chunk[0].0,
                query: part(0, "query:"),
                now: part(1, "now:"),
                should: part(2, "should:"),
            }
        })
        .collect()
}

/// Letters of a message that count: the lists of all there is, further on, grow with the corpus.
const LETTERS: usize = 120;

/// The first mistake that the program tells of a query, in one line.
fn told(query: &str) -> Option<String> {
    let errors = match lang::parse(query) {
        Err(errors) => errors,
        Ok(file) => resolve::resolve(&file, query, embedded(), NOW).err()?,
    };
    errors.first().map(line)
}

fn line(error: &Diagnostic) -> String {
    let help = error.help.as_deref().unwrap_or_default();
    format!("{} {}; {help}", error.code, error.message)
        .chars()
        .take(LETTERS)
        .collect::<String>()
        .trim_end()
        .to_owned()
}

#[test]
fn poor_messages_are_as_listed() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/poor-messages.txt");
    let list = std::fs::read_to_string(path).unwrap();
    let entries = entries(&list);
    assert!(
        entries.len() <= MOST,
        "{} messages are listed as poor; {MOST} were when the list was begun",
        entries.len()
    );
    let mut wrong = Vec::new();
    for entry in &entries {
        assert!(entry.should.len() > 20, "poor-messages.txt:{}", entry.line);
        let found = told(entry.query).unwrap_or_else(|| "answered".to_owned());
        if found != entry.now {
            wrong.push(format!(
                "poor-messages.txt:{}: {}\n  listed: {}\n  now:    {found}",
                entry.line, entry.query, entry.now
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "mended? then its entry goes:\n{}",
        wrong.join("\n")
    );
}
