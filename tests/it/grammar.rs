//! The grammar files against the parser and the lexer.

pub(crate) mod conformance;
mod ebnf;
mod generate;
mod recogniser;

use std::collections::BTreeSet;
use std::fs;

use palinode::lang::lex::lex;
use palinode::lang::reserved::{KEYWORDS, VERBS};
use palinode::lang::token::TokenKind;
use palinode::lang::{format, parse};
use palinode::units::UNITS;

use crate::random::{Random, seed};
pub(crate) use ebnf::productions;
use ebnf::{Grammar, Node};
use generate::{Generator, spellings};
use recogniser::Recogniser;

/// Tokens that lexical.ebnf defines for query.ebnf.
const LEXICAL: &[&str] = &["word", "int", "dec", "span", "ratio", "unit", "string"];

/// Codes of rules beyond the grammar: a sentence that earns only these is one
/// to the recogniser.
const BEYOND: &[&str] = &["Q0204", "Q0208", "Q0209", "Q0210", "Q0211"];

/// Codes of words that the grammar takes for names, and a person for slips.
/// The generator has none of these words, and no line ends.
const SLIPS: &[&str] = &["Q0217", "Q0218", "Q0219", "Q0220", "Q0401"];

/// Sentences and mutations that are tried. The long run (`.ci/run full`) takes
/// ten times as many, from other seeds.
fn rounds() -> usize {
    if crate::random::long() { 20_000 } else { 2_000 }
}

pub(crate) fn read(name: &str) -> String {
    let path = format!("{}/grammar/{name}", env!("CARGO_MANIFEST_DIR"));
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn query_grammar() -> Grammar {
    Grammar::read(&read("query.ebnf"))
}

/// Words of the grammar that are not reserved: they mean something in one
/// place only.
pub(crate) fn placed_words() -> Vec<String> {
    query_grammar()
        .literals()
        .into_iter()
        .filter(|text| text.starts_with(char::is_alphabetic))
        .filter(|text| KEYWORDS.iter().all(|(_, word, _)| word != text))
        .collect()
}

/// Whether the parser takes a text for a sentence of the grammar.
fn parser_takes(text: &str) -> bool {
    match parse(text) {
        Ok(_) => true,
        Err(errors) => errors.iter().all(|error| BEYOND.contains(&error.code)),
    }
}

/// Number of trees that the grammar gives a text; `None` if it has no tokens.
fn trees(grammar: &Grammar, text: &str) -> Option<u64> {
    let lexed = lex(text);
    lexed
        .errors
        .is_empty()
        .then(|| Recogniser::new(grammar, text, &lexed.tokens).trees())
}

#[test]
fn the_grammar_is_well_formed() {
    let grammar = query_grammar();
    assert_eq!(grammar.first, "file");
    let lexical: BTreeSet<String> = LEXICAL.iter().map(|name| (*name).to_owned()).collect();
    assert_eq!(grammar.undefined(), lexical);
    let reachable = grammar.reachable();
    for name in grammar.rules.keys() {
        assert!(reachable.contains(name), "`{name}` is out of reach");
        let mut leading = BTreeSet::new();
        grammar.leading(&grammar.rules[name], &mut leading);
        assert!(!leading.contains(name), "`{name}` is left recursive");
        assert!(
            !grammar.nullable(&grammar.rules[name]),
            "`{name}` can be empty"
        );
    }
    assert!(read("query.ebnf").contains("edition 1"));
}

#[test]
fn the_grammar_and_the_tables_hold_the_same_words() {
    let literals = query_grammar().literals();
    let words: BTreeSet<&str> = literals
        .iter()
        .map(String::as_str)
        .filter(|text| text.starts_with(char::is_alphabetic))
        .collect();
    for (_, word, _) in KEYWORDS {
        assert!(words.contains(word), "`{word}` is reserved without use");
    }
    let verbs = VERBS.iter().map(|(_, word, ..)| *word);
    let elsewhere = [
        "edition", "let", "explain", "plan", "empty", "of", "unknown",
    ];
    let known: BTreeSet<&str> = KEYWORDS
        .iter()
        .map(|(_, word, _)| *word)
        .chain(verbs)
        .chain(elsewhere)
        .collect();
    assert_eq!(words, known);
}

#[test]
fn sentences_of_the_grammar_parse_with_one_tree() {
    let grammar = query_grammar();
    let rounds = rounds();
    let mut generator = Generator::new(&grammar, seed(19_261_103));
    let (mut clean, mut asked) = (0, 0);
    let mut longest = 0;
    let mut used = BTreeSet::new();
    // A branch that is seldom drawn is given more time, not another seed.
    let all: BTreeSet<_> = grammar.branches.keys().collect();
    for round in 0..5 * rounds {
        if round >= rounds && all.iter().all(|branch| used.contains(*branch)) {
            break;
        }
        asked += 1;
        let text = generator.sentence().join(" ");
        let lexed = lex(&text);
        assert!(lexed.errors.is_empty(), "{text}\n{:#?}", lexed.errors);
        let mut recogniser = Recogniser::new(&grammar, &text, &lexed.tokens);
        assert_eq!(recogniser.trees(), 1, "round {round}: {text}");
        recogniser.branches(&mut used);
        match parse(&text) {
            Ok(file) => {
                clean += 1;
                let once = format(&file, &text);
                let again = parse(&once).unwrap_or_else(|errors| {
                    panic!("formatted from\n{text}\nto\n{once}\n{errors:#?}")
                });
                assert_eq!(format(&again, &once), once, "from\n{text}");
                assert_eq!(
                    crate::seeds::bodies::fingerprint(&file),
                    crate::seeds::bodies::fingerprint(&again),
                    "{text}\n{once}"
                );
            }
            Err(errors) => assert!(
                errors.iter().all(|error| BEYOND.contains(&error.code)),
                "round {round}: {text}\n{errors:#?}"
            ),
        }
        longest = longest.max(lexed.tokens.len());
    }
    assert!(
        clean * 10 > asked * 8,
        "only {clean} of {asked} sentences are clean"
    );
    assert!(longest > 40, "the longest sentence has {longest} tokens");
    let missed: BTreeSet<&String> = grammar
        .branches
        .iter()
        .filter(|(branch, _)| !used.contains(branch))
        .map(|(_, rule)| rule)
        .collect();
    assert!(missed.is_empty(), "never generated: a branch of {missed:?}");
}

#[test]
fn spoiled_sentences_get_the_same_verdict() {
    let grammar = query_grammar();
    let rounds = rounds();
    let mut generator = Generator::new(&grammar, seed(8_675_309));
    let mut pool: Vec<String> = grammar.literals().into_iter().collect();
    for name in LEXICAL {
        pool.extend(spellings(name).iter().map(|text| (*text).to_owned()));
    }
    // Units without a number are words; foreign signs of no meaning are not
    // in the pool, for they never come to the parser.
    pool.extend(["mm", "h"].map(str::to_owned));
    let mut wrong: Option<String> = None;
    let (mut taken, mut refused) = (0, 0);
    while taken + refused < rounds && wrong.is_none() {
        let sentence = generator.sentence();
        let text = generator.spoil(&sentence, &pool).join(" ");
        // Some are no tokens at all: a percent sign without its number.
        let Some(trees) = trees(&grammar, &text) else {
            continue;
        };
        assert!(trees <= 1, "{trees} trees: {text}");
        if (trees == 1) == parser_takes(&text) {
            *(if trees == 1 { &mut taken } else { &mut refused }) += 1;
        } else {
            wrong = Some(text);
        }
    }
    if let Some(text) = wrong {
        panic!(
            "a disagreement: {text}\ngrammar: {:?} trees\nparser: {:#?}",
            trees(&grammar, &text),
            parse(&text)
        );
    }
    assert!(
        taken > rounds / 10 && refused > rounds / 4,
        "{taken} {refused}"
    );
}

/// Makes a lexeme of a rule of lexical.ebnf.
fn lexeme(grammar: &Grammar, node: &Node, random: &mut Random, out: &mut String) {
    match node {
        Node::Literal(text) => out.push_str(text),
        Node::Special(class) => match class.as_str() {
            "letter" => out.push(*random.pick(&['a', 'k', 'z', 'Q', 'é', 'ß', 'ж', '_'])),
            "digit" => out.push(*random.pick(&['0', '1', '2', '7', '9'])),
            "inside" | "rest" => out.push(*random.pick(&['a', ' ', ';', '(', '°', ',', '1'])),
            "unit" => {
                let row = random.pick(&UNITS[1..]);
                let spellings: Vec<&str> = std::iter::once(row.symbol)
                    .chain(row.also.iter().copied())
                    .collect();
                let spelling: &&str = random.pick(&spellings[..]);
                out.push_str(spelling);
            }
            other => panic!("a class of its own: {other}"),
        },
        Node::Rule(name) => lexeme(grammar, &grammar.rules[name], random, out),
        Node::Sequence(nodes) => {
            for node in nodes {
                lexeme(grammar, node, random, out);
            }
        }
        Node::Choice(_, nodes) => {
            let node = random.pick(nodes);
            lexeme(grammar, node, random, out);
        }
        Node::Optional(_, node) => {
            if random.yes(50) {
                lexeme(grammar, node, random, out);
            }
        }
        Node::Repeat(_, node) => {
            while random.yes(40) {
                lexeme(grammar, node, random, out);
            }
        }
    }
}

#[test]
fn lexemes_of_the_lexical_grammar_are_single_tokens() {
    let grammar = Grammar::read(&read("lexical.ebnf"));
    assert!(grammar.undefined().is_empty());
    for name in LEXICAL {
        assert!(grammar.rules.contains_key(*name), "`{name}` is not defined");
    }
    let mut random = Random::new(seed(42));
    for name in LEXICAL.iter().copied().chain(["remark"]) {
        let mut tried = 0;
        for _ in 0..1_000 {
            let mut text = String::new();
            lexeme(&grammar, &grammar.rules[name], &mut random, &mut text);
            if is_excepted(name, &text) {
                continue;
            }
            tried += 1;
            // A unit needs its number.
            let whole = if name == "unit" {
                format!("7 {text}")
            } else {
                text.clone()
            };
            let lexed = lex(&whole);
            assert!(
                lexed.errors.is_empty(),
                "{name}: {whole}\n{:#?}",
                lexed.errors
            );
            let kinds: Vec<&str> = lexed.tokens.iter().map(|token| kind(&token.kind)).collect();
            match name {
                "unit" => assert_eq!(kinds, ["int", "unit"], "{whole}"),
                "remark" => assert!(kinds.is_empty(), "{whole}"),
                _ => assert_eq!(kinds, [name], "{whole}"),
            }
        }
        assert!(tried > 300, "{name}: only {tried} lexemes");
    }
}

/// Lexemes for which the prose of lexical.ebnf makes an exception.
fn is_excepted(name: &str, text: &str) -> bool {
    match name {
        // Reserved words, and a number that touches a unit.
        "word" => {
            palinode::lang::reserved::is_reserved(text)
                || palinode::units::leading_unit(
                    text.trim_start_matches(|c: char| c.is_ascii_digit()),
                )
                .is_some_and(|_| text.starts_with(|c: char| c.is_ascii_digit()))
        }
        // The lower end comes first, and a ratio has parts above zero.
        "span" | "ratio" => matches!(palinode::units::scan(text), Some(Err(_))),
        // Long digits are refused.
        "int" | "dec" => text.len() > 30,
        "string" => text.trim_matches('"').trim().is_empty(),
        _ => false,
    }
}

fn kind(kind: &TokenKind) -> &'static str {
    match kind {
        TokenKind::Word => "word",
        TokenKind::Int(_) => "int",
        TokenKind::Dec(_) => "dec",
        TokenKind::Span(_) => "span",
        TokenKind::Ratio(_) => "ratio",
        TokenKind::Unit(_) => "unit",
        TokenKind::Text(_) => "string",
        _ => "sign",
    }
}
