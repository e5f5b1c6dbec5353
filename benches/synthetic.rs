//! A corpus of any size, to measure growth on: `cargo bench --bench synthetic -- [--full] RECORDS DIR [SEED]`.
//!
//! Kinds stand in the proportions of `kb`, so that three records in four are sources of some twenty words;
//! with `--full` there are no made-up sources and every record is a long one. Each record is one of ours with
//! its facts as they are, under a made-up name and with made-up words in place of every remark, so that it is
//! as long and as deep as a real one. Words follow a Zipf law (exponent 1.05 over 8 000 words, a quarter of
//! them with digits and hyphens). The first of each kind keep their ids, so that what records name is there.
//! Nothing in it is true, and every record says `invented = true`.
//!
//! `PALINODE_KB=DIR cargo scale` then makes a program that carries it.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a tool that prints and may fail"
)]

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use toml::{Table, Value};

/// Words of the made-up language.
const WORDS: usize = 8_000;
const EXPONENT: f64 = 1.05;
const SEED: u64 = 20_261_128;
/// Entries in a file of sources.
const ENTRIES: usize = 500;

/// SplitMix64 (Steele, Lea, Flood 2014; constants from memory).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn fraction(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, n: usize) -> usize {
        (self.fraction() * n as f64) as usize
    }
}

/// A made-up language.
struct Language {
    words: Vec<String>,
    /// Running sum of the weights.
    weights: Vec<f64>,
}

impl Language {
    fn new(random: &mut Random) -> Self {
        const HEADS: [&str; 16] = [
            "b", "c", "d", "f", "g", "gr", "k", "l", "m", "n", "p", "pr", "r", "s", "t", "v",
        ];
        const TAILS: [&str; 12] = [
            "a", "e", "i", "o", "u", "an", "el", "in", "or", "ur", "ax", "ol",
        ];
        let mut words: Vec<String> = Vec::with_capacity(WORDS);
        let mut seen = std::collections::BTreeSet::new();
        while words.len() < WORDS {
            let mut word = String::new();
            for _ in 0..2 + random.below(3) {
                word.push_str(HEADS[random.below(HEADS.len())]);
                word.push_str(TAILS[random.below(TAILS.len())]);
            }
            if words.len() % 4 == 3 {
                let _ = write!(word, "-{}", random.below(400));
            }
            if seen.insert(word.clone()) {
                words.push(word);
            }
        }
        let mut sum = 0.0;
        let weights = (1..=WORDS)
            .map(|rank| {
                sum += (rank as f64).powf(-EXPONENT);
                sum
            })
            .collect();
        Self { words, weights }
    }

    fn word(&self, random: &mut Random) -> &str {
        let at = random.fraction() * self.weights.last().unwrap();
        let rank = self.weights.partition_point(|w| *w < at);
        &self.words[rank.min(WORDS - 1)]
    }

    /// As many made-up words as the text has.
    fn text_like(&self, text: &str, random: &mut Random) -> String {
        let words = text.split_whitespace().count().max(1);
        let words: Vec<&str> = (0..words).map(|_| self.word(random)).collect();
        words.join(" ")
    }

    /// Puts made-up words in the place of every remark, however deep it stands.
    fn reword(&self, value: &mut Value, random: &mut Random) {
        match value {
            Value::Table(table) => {
                for (key, value) in table.iter_mut() {
                    let remark = ["note", "why", "summary", "sought"].contains(&key.as_str());
                    match value {
                        Value::String(text) if remark => *text = self.text_like(text, random),
                        _ => self.reword(value, random),
                    }
                }
            }
            Value::Array(list) => list.iter_mut().for_each(|it| self.reword(it, random)),
            _ => {}
        }
    }
}

/// Records of one kind as they are.
struct Models {
    folder: String,
    records: Vec<(String, Table)>,
}

fn models(kb: &Path, folder: &str) -> Models {
    let mut files: Vec<PathBuf> = fs::read_dir(kb.join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    let read = |path: &PathBuf| {
        let table: Table = toml::from_str(&fs::read_to_string(path).unwrap()).unwrap();
        let id = path.file_stem().unwrap().to_string_lossy().into_owned();
        (id, table)
    };
    Models {
        folder: folder.to_owned(),
        records: files.iter().map(read).collect(),
    }
}

/// Writes one record of a kind.
fn record(models: &Models, number: usize, dir: &Path, language: &Language, random: &mut Random) {
    let (own, table) = &models.records[number % models.records.len()];
    let mut table = table.clone();
    let id = match number < models.records.len() {
        true => own.clone(),
        false => format!("{}-{number:07}", models.folder),
    };
    let mut value = Value::Table(std::mem::take(&mut table));
    language.reword(&mut value, random);
    let Value::Table(mut table) = value else {
        return;
    };
    let name = |random: &mut Random| {
        let (first, second) = (language.word(random), language.word(random));
        format!("{first} {second} {number}{}", &models.folder[..1])
    };
    table.insert("id".to_owned(), Value::String(id.clone()));
    table.insert("name".to_owned(), Value::String(name(random)));
    table.insert("invented".to_owned(), Value::Boolean(true));
    for key in ["also", "de", "fr", "it", "es"] {
        if let Some(Value::Array(list)) = table.get_mut(key) {
            for (k, it) in list.iter_mut().enumerate() {
                *it = Value::String(format!("{} {key}{k}", name(random)));
            }
        }
    }
    let file = dir.join(&models.folder).join(format!("{id}.toml"));
    fs::write(file, toml::to_string(&table).unwrap()).unwrap();
}

/// Writes entries of sources.
fn sources(count: usize, dir: &Path, language: &Language, random: &mut Random) {
    let mut file = String::new();
    for number in 0..count {
        let mut words = |n: usize| {
            let words: Vec<&str> = (0..n).map(|_| language.word(random)).collect();
            words.join(" ")
        };
        let _ = write!(
            file,
            "@article{{made{number:07},\n  author = {{{}, A.}},\n  title = {{{}}},\n  \
             journal = {{{}}},\n  year = {{{}}},\n  annotation = {{opened: {}}},\n}}\n\n",
            words(1),
            words(8),
            words(3),
            1900 + number % 125,
            words(6),
        );
        if number % ENTRIES == ENTRIES - 1 || number + 1 == count {
            let name = format!("sources/made-{:05}.bib", number / ENTRIES);
            fs::write(dir.join(name), &file).unwrap();
            file.clear();
        }
    }
}

fn main() {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|a| !a.starts_with("--"))
        .collect();
    let full = std::env::args().any(|a| a == "--full");
    let (Some(wanted), Some(dir)) = (
        arguments.first().and_then(|n| n.parse::<usize>().ok()),
        arguments.get(1).map(PathBuf::from),
    ) else {
        eprintln!("usage: cargo bench --bench synthetic -- [--full] RECORDS DIR [SEED]");
        return;
    };
    let seed = arguments.get(2).map_or(SEED, |s| s.parse().unwrap());
    let kb = Path::new(env!("CARGO_MANIFEST_DIR")).join("kb");
    let mut random = Random(seed);
    let language = Language::new(&mut random);
    let folders = [
        "materials",
        "layers",
        "solvents",
        "carriers",
        "methods",
        "tests",
    ];
    let models: Vec<Models> = folders.iter().map(|f| models(&kb, f)).collect();
    let keys = if full { 0 } else { bib_entries(&kb) };
    let real: usize = models.iter().map(|m| m.records.len()).sum::<usize>() + keys;
    fs::create_dir_all(dir.join("vocab")).unwrap();
    fs::create_dir_all(dir.join("sources")).unwrap();
    for entry in fs::read_dir(kb.join("vocab")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, dir.join("vocab").join(path.file_name().unwrap())).unwrap();
    }
    fs::write(
        dir.join("kb.toml"),
        format!("version = \"made {wanted}\"\n"),
    )
    .unwrap();
    let mut written = 0;
    for kind in &models {
        let count = (kind.records.len() * wanted)
            .div_ceil(real)
            .min(wanted - written);
        fs::create_dir_all(dir.join(&kind.folder)).unwrap();
        for number in 0..count {
            record(kind, number, &dir, &language, &mut random);
        }
        written += count;
    }
    sources(wanted.saturating_sub(written), &dir, &language, &mut random);
    println!("{wanted} records in {}", dir.display());
    // Words of the ranks that a query of the benchmark takes: one rare, one common.
    println!(
        "rare: {}  common: {}",
        language.words[2_000], language.words[200]
    );
}

/// Entries in the files of sources.
fn bib_entries(kb: &Path) -> usize {
    fs::read_dir(kb.join("sources"))
        .unwrap()
        .map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap())
        .map(|text| text.lines().filter(|l| l.starts_with('@')).count())
        .sum()
}
