//! Whole processes beside what people would otherwise use, as ratios in one run:
//! `cargo bench --bench oneshot [-- --binary FILE] [--kb DIR] [--words "RARE COMMON"] [--rounds N]`.
//!
//! What is timed is from starting a process to its end, files in the page cache, commands in turn, round
//! after round; the ratio is the median of the ratios within a round, so that a machine that slows down
//! slows both. Outputs and exit codes are checked before anything is timed: a crash looks fast. The
//! binary is copied afresh first, because the layout of its pages in the cache counts.
//!
//! Beside it: `sqlite3` with FTS5 over the same texts, the same column weights and the same query;
//! `rg` over the TOML; `jq` over one JSON file; an empty static Rust program. What is not installed is
//! left out and said.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench prints and may fail"
)]

use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

use palinode::corpus;
use palinode::index::texts;
use palinode::model::Record;
use wait4::Wait4;

const IDENTIFY: &str = "identify coating on water gilding over bole over gesso restored 1890..1935
  that fluoresces orange under uv-a, dissolves in ethanol (crumb, 1 min),
    is unaffected by white spirit, softens in acetone, is unaffected by water,
    looks amber, is brittle, smells of sealing wax";

const REMOVE: &str = "remove shellac (film, later) from oil paint (flaking)
    over oil gilding over water gilding over bole over gesso over limewood
  without heat";

/// One command that is timed.
struct Rival {
    name: &'static str,
    program: PathBuf,
    arguments: Vec<String>,
    /// What its output must hold.
    says: String,
}

impl Rival {
    fn command(&self) -> Command {
        let mut command = Command::new(&self.program);
        command
            .args(&self.arguments)
            .env("COLUMNS", "80")
            .env_remove("PALINODE_CACHE")
            .stdin(Stdio::null())
            .stderr(Stdio::null());
        command
    }

    /// Runs it once and looks at what it says.
    fn check(&self) {
        let output = self.command().output().unwrap();
        let text = String::from_utf8_lossy(&output.stdout).to_lowercase();
        assert!(
            output.status.success(),
            "{}: {:?}",
            self.name,
            output.status
        );
        assert!(
            text.contains(&self.says),
            "{} does not say {:?}:\n{text}",
            self.name,
            self.says
        );
    }

    /// Seconds of one run, and its peak memory in kilobytes.
    fn run(&self) -> (f64, u64) {
        let mut command = self.command();
        command.stdout(Stdio::null());
        let start = Instant::now();
        let child = command.spawn().unwrap();
        let done = child.wait4().unwrap();
        (start.elapsed().as_secs_f64(), done.rusage.maxrss / 1024)
    }
}

fn median(mut list: Vec<f64>) -> f64 {
    list.sort_by(f64::total_cmp);
    list[list.len() / 2]
}

fn installed(name: &str) -> Option<PathBuf> {
    let paths = std::env::var_os("PATH")?;
    let found = std::env::split_paths(&paths)
        .map(|p| p.join(name))
        .find(|p| p.is_file());
    if found.is_none() {
        println!("{name} is not installed: left out");
    }
    found
}

fn option(name: &str) -> Option<String> {
    let mut arguments = std::env::args();
    arguments.by_ref().find(|a| a == name)?;
    arguments.next()
}

fn empty_program(dir: &Path) -> PathBuf {
    let source = dir.join("empty.rs");
    fs::write(&source, "fn main() {}\n").unwrap();
    let program = dir.join("empty");
    let status = Command::new("rustc")
        .args([
            "-O",
            "-C",
            "panic=abort",
            "-C",
            "target-feature=+crt-static",
            "-o",
        ])
        .arg(&program)
        .arg(&source)
        .status()
        .unwrap();
    assert!(status.success());
    program
}

/// The same texts in FTS5: contentless, ids in a table beside it, English stemmer.
fn database(sqlite: &Path, records: &[Record], file: &Path) {
    let mut script = String::from(
        "create virtual table docs using fts5(name, body, content='', tokenize='porter unicode61');\n\
         create table ids(id integer primary key, key text, name text, summary text);\nbegin;\n",
    );
    let quoted = |text: &str| text.replace('\'', "''");
    for (number, record) in records.iter().enumerate() {
        let (names, body) = texts(record);
        let head = record.head();
        let _ = writeln!(
            script,
            "insert into docs(rowid, name, body) values ({number}, '{}', '{}');\n\
             insert into ids values ({number}, '{}', '{}', '{}');",
            quoted(&names.join("\n")),
            quoted(&body),
            quoted(&head.id),
            quoted(&head.names.name),
            quoted(&head.summary),
        );
    }
    script.push_str("commit;\ninsert into docs(docs) values ('optimize');\nvacuum;\n");
    let mut child = Command::new(sqlite)
        .arg(file)
        .stdin(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(script.as_bytes())
        .unwrap();
    assert!(child.wait().unwrap().success());
}

fn json(records: &[Record], file: &Path) {
    let list: Vec<serde_json::Value> = records
        .iter()
        .map(|record| {
            let (names, body) = texts(record);
            serde_json::json!({"id": record.head().id, "name": names.join("\n"), "body": body})
        })
        .collect();
    fs::write(file, serde_json::to_string(&list).unwrap()).unwrap();
}

fn main() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let binary = option("--binary").map_or_else(
        || PathBuf::from(env!("CARGO_BIN_EXE_palinode")),
        PathBuf::from,
    );
    let kb = option("--kb").map_or_else(|| root.join("kb"), PathBuf::from);
    let words = option("--words").unwrap_or_else(|| "flaking gilding".to_owned());
    let rounds: usize = option("--rounds").map_or(61, |n| n.parse().unwrap());
    let real = option("--kb").is_none();
    let dir = tempfile::tempdir().unwrap();
    let own = dir.path().join("palinode");
    fs::copy(&binary, &own).unwrap();
    println!(
        "{}: {} bytes",
        binary.display(),
        fs::metadata(&own).unwrap().len()
    );

    let loaded = corpus::load(&kb, Vec::new()).unwrap();
    println!(
        "{} records, {rounds} rounds, words \"{words}\"",
        loaded.records.len()
    );
    let (rare, common) = words.split_once(' ').unwrap();
    let says = rare.trim_end_matches(|c: char| !c.is_alphabetic())[..4].to_owned();
    let ours = |name, query: &str, says: &str| Rival {
        name,
        program: own.clone(),
        arguments: vec!["ask".to_owned(), query.to_owned()],
        says: says.to_owned(),
    };
    let about = format!("find anything about \"{words}\" limit 10");
    let mut rivals = vec![
        Rival {
            name: "empty static",
            program: empty_program(dir.path()),
            arguments: Vec::new(),
            says: String::new(),
        },
        ours("text query", &about, &says),
    ];
    if real {
        rivals.push(ours("one record", "find shellac", "shellac"));
        rivals.push(ours("a liquid", "find ethanol", "ethanol"));
        rivals.push(ours("identify, 8 seen", IDENTIFY, "shellac"));
        rivals.push(ours("remove, 6 layers", REMOVE, "consolid"));
    }
    if let Some(sqlite) = installed("sqlite3") {
        let file = dir.path().join("records.db");
        database(&sqlite, &loaded.records, &file);
        // The quicker of two forms of the query (`perf`: ranking by bm25 in a join).
        let query = format!(
            "select ids.name, ids.key, ids.summary from docs join ids on ids.id = docs.rowid where docs match \
             '\"{rare}\" or \"{common}\" or \"{words}\"' order by bm25(docs, 3.0, 1.0) limit 10"
        )
        .replace(" or \"", " OR \"");
        rivals.push(Rival {
            name: "sqlite3 FTS5",
            program: sqlite.clone(),
            arguments: vec![file.to_string_lossy().into_owned(), query],
            says: says.clone(),
        });
        rivals.push(Rival {
            name: "sqlite3 select 1",
            program: sqlite,
            arguments: vec![":memory:".to_owned(), "select 1".to_owned()],
            says: "1".to_owned(),
        });
    }
    if let Some(rg) = installed("rg") {
        rivals.push(Rival {
            name: "rg over the TOML",
            program: rg,
            arguments: ["-i", "-F", "-e", rare, "-e", common]
                .map(str::to_owned)
                .into_iter()
                .chain([kb.to_string_lossy().into_owned()])
                .collect(),
            says: says.clone(),
        });
    }
    if let Some(jq) = installed("jq") {
        let file = dir.path().join("records.json");
        json(&loaded.records, &file);
        rivals.push(Rival {
            name: "jq over one JSON",
            program: jq,
            arguments: vec![
                format!("[.[] | select(.body | test(\"{rare}|{common}\"; \"i\")) | .name][:10]"),
                file.to_string_lossy().into_owned(),
            ],
            says: String::new(),
        });
    }
    drop(loaded);
    for rival in &rivals {
        rival.check();
        for _ in 0..3 {
            rival.run();
        }
    }
    let mut times: Vec<Vec<f64>> = vec![Vec::new(); rivals.len()];
    let mut memory = vec![0; rivals.len()];
    for _ in 0..rounds {
        for (k, rival) in rivals.iter().enumerate() {
            let (seconds, kilobytes) = rival.run();
            times[k].push(seconds);
            memory[k] = memory[k].max(kilobytes);
        }
    }
    println!(
        "{:<18} {:>9} {:>8}   of empty  of FTS5  of rg",
        "", "median ms", "peak MB"
    );
    let at = |name: &str| rivals.iter().position(|r| r.name == name);
    for (k, rival) in rivals.iter().enumerate() {
        let mut line = format!(
            "{:<18} {:>9.2} {:>8.1}",
            rival.name,
            1e3 * median(times[k].clone()),
            memory[k] as f64 / 1024.0
        );
        for other in ["empty static", "sqlite3 FTS5", "rg over the TOML"] {
            let ratio = at(other)
                .map(|o| median(times[k].iter().zip(&times[o]).map(|(a, b)| a / b).collect()));
            let _ = write!(
                line,
                " {:>9}",
                ratio.map_or(String::new(), |r| format!("{r:.2}"))
            );
        }
        println!("{line}");
    }
}
