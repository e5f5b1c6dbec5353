//! The examples of `grammar/conformance.md`: each is a test.

use std::collections::BTreeSet;

use palinode::diag::{CODES, Edit};
use palinode::lang::lex::lex;
use palinode::lang::{format, parse};
use palinode::span::Source;

use super::ebnf::Grammar;
use super::recogniser::Recogniser;
use super::{BEYOND, SLIPS, query_grammar, read, trees};

/// Fewest accepted and fewest rejected examples.
const FEWEST: (usize, usize) = (150, 80);

/// One fenced block of conformance.md.
pub(crate) struct Block {
    pub(crate) line: usize,
    pub(crate) info: Vec<String>,
    pub(crate) text: String,
}

impl Block {
    /// Whether it is a query, accepted or rejected.
    pub(crate) fn is_query(&self) -> bool {
        self.info.first().is_some_and(|word| word == "query")
    }

    /// Whether it is a query that parses.
    pub(crate) fn is_accepted(&self) -> bool {
        self.info == ["query", "ok"]
    }
}

/// Every block, in order.
pub(crate) fn blocks() -> Vec<Block> {
    let text = read("conformance.md");
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for (index, line) in text.lines().enumerate() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(info), None) => {
                open = Some(Block {
                    line: index + 1,
                    info: info.split_whitespace().map(str::to_owned).collect(),
                    text: String::new(),
                });
            }
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (None, Some(block)) => {
                block.text.push_str(line);
                block.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a block is not closed");
    blocks
}

/// What is wrong with a block, if anything; notes what it shows.
fn check(
    block: &Block,
    grammar: &Grammar,
    shown: &mut Shown,
    last: &mut Option<String>,
) -> Result<(), String> {
    let info: Vec<&str> = block.info.iter().map(String::as_str).collect();
    let text = &block.text;
    match info[..] {
        ["query", "ok"] => {
            let file = parse(text).map_err(|errors| format!("{errors:#?}"))?;
            if trees(grammar, text) != Some(1) {
                return Err("not one tree".to_owned());
            }
            let lexed = lex(text);
            Recogniser::new(grammar, text, &lexed.tokens).branches(&mut shown.branches);
            *last = Some(format(&file, text));
            Ok(())
        }
        ["canonical"] => {
            let formatted = last.take().ok_or("follows no query")?;
            if formatted == *text {
                Ok(())
            } else {
                Err(format!("formats to\n{formatted}"))
            }
        }
        ["query", "error", code, wanted] => {
            *last = None;
            shown.codes.insert(code.to_owned());
            let errors = parse(text).err().ok_or("parses")?;
            let source = Source::new("query", text.as_str());
            let found: Vec<String> = errors
                .iter()
                .map(|error| {
                    let place = source.place(error.span().map_or(0, |span| span.range().start));
                    format!("{} {}:{}", error.code, place.line, place.column)
                })
                .collect();
            if found != [format!("{code} {wanted}")] {
                return Err(format!("earns {found:?}"));
            }
            match trees(grammar, text) {
                Some(trees) if trees > 0 && !BEYOND.contains(&code) && !SLIPS.contains(&code) => {
                    Err("the grammar takes it".to_owned())
                }
                _ => Ok(()),
            }
        }
        _ => Err("unknown kind of block".to_owned()),
    }
}

/// What the examples show.
#[derive(Default)]
struct Shown {
    branches: BTreeSet<(usize, usize)>,
    codes: BTreeSet<String>,
}

#[test]
fn conformance_examples_hold() {
    let grammar = query_grammar();
    let mut shown = Shown::default();
    let mut last = None;
    let mut wrong = Vec::new();
    for block in blocks() {
        if let Err(reason) = check(&block, &grammar, &mut shown, &mut last) {
            wrong.push(format!(
                "conformance.md:{} `{}`: {reason}",
                block.line,
                block.info.join(" ")
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let missed: Vec<&String> = grammar
        .branches
        .iter()
        .filter(|(branch, _)| !shown.branches.contains(branch))
        .map(|(_, rule)| rule)
        .collect();
    assert!(missed.is_empty(), "no example for a branch of {missed:?}");
    // Limits that no readable example reaches are tested in lang.rs.
    let too_large = ["Q0101", "Q0203"];
    for entry in CODES {
        let ours =
            entry.code.starts_with("Q01") || entry.code.starts_with("Q02") || entry.code == "Q0401";
        if ours && !too_large.contains(&entry.code) {
            let has = shown.codes.contains(entry.code);
            assert!(has, "no example of {}", entry.code);
        }
    }
}

#[test]
fn there_are_enough_examples() {
    let blocks = blocks();
    let mut texts = BTreeSet::new();
    for block in blocks.iter().filter(|block| block.is_query()) {
        assert!(
            texts.insert(block.text.split_whitespace().collect::<Vec<_>>().join(" ")),
            "conformance.md:{}: the example stands twice",
            block.line
        );
    }
    let accepted = blocks.iter().filter(|block| block.is_accepted()).count();
    let rejected = texts.len() - accepted;
    let (fewest_accepted, fewest_rejected) = FEWEST;
    assert!(
        accepted >= fewest_accepted && rejected >= fewest_rejected,
        "{accepted} accepted, {rejected} rejected"
    );
}

/// A change that a message offers makes a sentence of every rejected example.
#[test]
fn changes_that_are_offered_put_the_examples_right() {
    let mut changed = 0;
    for block in blocks().iter().filter(|block| block.is_query()) {
        let Err(errors) = parse(&block.text) else {
            continue;
        };
        let edits: Vec<&Edit> = errors
            .iter()
            .filter_map(|error| error.edit.as_ref())
            .collect();
        for edit in edits {
            changed += 1;
            let text = edit.apply(&block.text);
            assert!(
                parse(&text).is_ok(),
                "conformance.md:{}: {text}\n{:#?}",
                block.line,
                parse(&text)
            );
        }
    }
    assert!(changed >= 40, "{changed} changes");
}
