//! The seeds of the fuzz targets: made from the examples of the grammar and the records of the
//! corpus, and run through the targets' bodies, so that a stable build holds what the fuzzer holds.
//!
//! `PALINODE_WRITE=1 cargo test seeds` writes them to `fuzz/seeds` for the fuzzer to start from.

#[path = "../../fuzz/bodies.rs"]
pub(crate) mod bodies;

use std::fs;
use std::path::{Path, PathBuf};

use palinode::lang::reserved::{KEYWORDS, VERBS};
use palinode::units::UNITS;

use crate::grammar::conformance::blocks;
use crate::random::{Random, long, seed, writing};

/// A target with its seeds.
struct Target {
    name: &'static str,
    run: fn(&str),
    seeds: Vec<String>,
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every query of the examples, right or wrong.
fn queries() -> Vec<String> {
    blocks()
        .into_iter()
        .filter(|block| block.is_query())
        .map(|block| block.text)
        .collect()
}

/// The queries of the published cases, which the engines answer.
fn cases() -> Vec<String> {
    texts(&root().join("tests/cases"), "query")
        .into_iter()
        .map(|(_, text)| text)
        .collect()
}

/// Every record of the corpus, its folder in the line before it.
fn records() -> Vec<String> {
    [
        "materials",
        "layers",
        "solvents",
        "carriers",
        "methods",
        "tests",
    ]
    .into_iter()
    .flat_map(|folder| {
        texts(&root().join("kb").join(folder), "toml")
            .into_iter()
            .map(move |(_, text)| format!("{folder}\n{text}"))
    })
    .collect()
}

/// The case of the demonstration, and what stands of it when each of its entries is the last.
fn jobs() -> Vec<String> {
    let demo = fs::read_to_string(root().join("kb/demo/overmantel/case.toml")).unwrap();
    let mut out: Vec<String> = demo
        .match_indices("\n[")
        .map(|(at, _)| demo[..=at].to_owned())
        .collect();
    out.push(demo);
    out
}

/// Every source of the corpus, and a few after one another.
fn sources() -> Vec<String> {
    let mut out = Vec::new();
    for (_, text) in texts(&root().join("kb/sources"), "bib") {
        let starts: Vec<usize> = std::iter::once(0)
            .chain(text.match_indices("\n@").map(|(at, _)| at + 1))
            .chain([text.len()])
            .collect();
        for pair in starts.windows(2) {
            out.push(text[pair[0]..pair[1]].to_owned());
        }
    }
    out.retain(|text| text.trim_start().starts_with('@'));
    // Found by the fuzzer: mathematics keeps its line ends.
    out.push("@misc{k,\n  title = {a $x\ny$ b},\n}\n".to_owned());
    // And circles, which the library that reads them follows for ever.
    for text in [
        "@string{a = b} @string{b = {x} # a} @misc{k, title = a}\n",
        "@article{a, title = {x}, crossref = {b}} @book{b, xdata = {a}}\n",
    ] {
        out.push(text.to_owned());
    }
    out
}

/// Texts of the files of a folder with an ending, by name.
fn texts(folder: &Path, ending: &str) -> Vec<(PathBuf, String)> {
    let mut out: Vec<(PathBuf, String)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|found| found == ending))
        .map(|path| (path.clone(), fs::read_to_string(path).unwrap()))
        .collect();
    out.sort();
    out
}

fn targets() -> Vec<Target> {
    let mut answered = queries();
    answered.extend(cases());
    vec![
        Target {
            name: "parse",
            run: bodies::parse,
            seeds: queries(),
        },
        Target {
            name: "format",
            run: bodies::format,
            seeds: queries(),
        },
        Target {
            name: "evaluate",
            run: bodies::evaluate,
            seeds: answered,
        },
        Target {
            name: "overlay",
            run: bodies::overlay,
            seeds: records(),
        },
        Target {
            name: "case_file",
            run: bodies::case_file,
            seeds: jobs(),
        },
        Target {
            name: "sources",
            run: bodies::sources,
            seeds: sources(),
        },
    ]
}

#[test]
fn every_target_of_the_fuzzer_takes_its_seeds() {
    for target in targets() {
        assert!(
            target.seeds.len() >= 20,
            "{}: {}",
            target.name,
            target.seeds.len()
        );
        assert!(
            root()
                .join(format!("fuzz/targets/{}.rs", target.name))
                .is_file(),
            "{} has no target",
            target.name
        );
        for text in &target.seeds {
            (target.run)(text);
        }
        if writing() {
            write(&target);
        }
    }
    if writing() {
        fs::write(root().join("fuzz/seeds/words.dict"), dictionary()).unwrap();
    }
    let files = fs::read_dir(root().join("fuzz/targets")).unwrap().count();
    assert_eq!(files, targets().len(), "a target without seeds");
}

/// A few spoiled seeds of each target: the fuzzer's work in small.
#[test]
fn spoiled_seeds_break_nothing() {
    let rounds = if long() { 4_000 } else { 200 };
    let mut random = Random::new(seed(1_848));
    for target in targets() {
        for _ in 0..rounds {
            let text: &String = random.pick(&target.seeds);
            let text = spoil(text, &target.seeds, &mut random);
            (target.run)(&text);
        }
    }
}

/// A text with pieces cut out, doubled, or put in from another.
fn spoil(text: &str, others: &[String], random: &mut Random) -> String {
    let mut text: Vec<char> = text.chars().collect();
    for _ in 0..=random.below(3) {
        if text.is_empty() {
            break;
        }
        let start = random.below(text.len());
        let end = (start + random.below(12)).min(text.len());
        match random.below(3) {
            0 => {
                text.drain(start..end);
            }
            1 => {
                let piece: Vec<char> = text[start..end].to_vec();
                text.splice(start..start, piece);
            }
            _ => {
                let other: Vec<char> = random.pick(others).chars().collect();
                let from = random.below(other.len().max(1)).min(other.len());
                let to = (from + random.below(20)).min(other.len());
                text.splice(start..end, other[from..to].iter().copied());
            }
        }
    }
    text.into_iter().collect()
}

/// The words of the language as the fuzzer reads them.
fn dictionary() -> String {
    KEYWORDS
        .iter()
        .map(|(_, word, _)| *word)
        .chain(VERBS.iter().map(|(_, word, ..)| *word))
        .chain(UNITS.iter().map(|unit| unit.symbol))
        .filter(|word| !word.is_empty())
        .map(|word| format!("\"{word}\"\n"))
        .collect()
}

/// Writes the seeds of a target afresh: those of examples that are gone would stay otherwise.
fn write(target: &Target) {
    let folder = root().join("fuzz/seeds").join(target.name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (index, text) in target.seeds.iter().enumerate() {
        fs::write(folder.join(format!("{index:04}")), text).unwrap();
    }
}
