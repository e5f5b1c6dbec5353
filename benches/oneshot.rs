//! Whole processes beside what people would otherwise use, as ratios in one run:
//! `cargo bench --bench oneshot [-- --binary FILE] [--kb DIR] [--words "RARE COMMON"] [--rounds N]
//! [--beside FILE] [--pack FILE]`. `--beside` names a second program, of another corpus, that answers the same
//! text query; of a pack (`corpus.pack` among what the build script wrote) it says how large its parts are.
//!
//! What is timed is from starting a process to its end, files in the page cache, each command by turns with what
//! it is compared with and with nothing between; the ratio is the median of the ratios of the pairs, so that a machine
//! that slows down slows both. Of all commands in turn an empty program would come after the longest one and find its
//! caches gone, as none of the others does: it took 1.1 ms so, and 0.7 in pairs, and every ratio was flattered.
//! Beside the clock stands the time of the processor: where others are at work the clock counts their turns too, and
//! the more the longer a process runs. Outputs and exit codes are checked before anything is timed: a crash looks
//! fast. The binary is copied afresh first, because the layout of its pages in the cache counts.
//!
//! Beside it: `sqlite3` with FTS5 over the same texts, the same column weights and the same query;
//! `rg` over the TOML; `jq` over one JSON file (not of more than ten thousand records); an empty static Rust
//! program. What is not installed is left out and said. The peak of memory is what GNU time says: what a
//! process says of its child counts the pages of who started it.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench prints and may fail"
)]

use std::borrow::Cow;
use std::fmt::Write as _;
use std::fs;
use std::io::{BufWriter, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::time::Instant;

use palinode::corpus;
use palinode::index::texts;
use palinode::model::Record;
use palinode::pack::Pack;
use wait4::Wait4;

const IDENTIFY: &str = "identify coating on water gilding over bole over gesso restored 1890..1935
  that fluoresces orange under uv-a, dissolves in ethanol (crumb, 1 min),
    is unaffected by white spirit, softens in acetone, is unaffected by water,
    looks amber, is brittle, smells of sealing wax";

const REMOVE: &str = "remove shellac (film, later) from oil paint (flaking)
    over oil gilding over water gilding over bole over gesso over limewood
  without heat";

/// Most records that are written as one JSON file, which `jq` reads whole for each question.
const MOST_JSON: usize = 10_000;

/// One command that is timed.
struct Rival {
    name: &'static str,
    program: PathBuf,
    arguments: Vec<String>,
    /// What its output must hold, one of them at least.
    says: Vec<String>,
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
            self.says.iter().any(|words| text.contains(words.as_str())),
            "{} does not say {:?}:\n{text}",
            self.name,
            self.says
        );
    }

    /// Seconds of one run: by the clock, and of the processor.
    fn run(&self) -> [f64; 2] {
        let mut command = self.command();
        command.stdout(Stdio::null());
        let start = Instant::now();
        let done = command.spawn().unwrap().wait4().unwrap();
        let clock = start.elapsed().as_secs_f64();
        assert!(done.status.success());
        let processor = done.rusage.utime + done.rusage.stime;
        [clock, processor.as_secs_f64()]
    }

    /// Peak memory of one run, kilobytes.
    fn memory(&self, time: &Path) -> u64 {
        let output = Command::new(time)
            .args(["-f", "%M"])
            .arg(&self.program)
            .args(&self.arguments)
            .env("COLUMNS", "80")
            .env_remove("PALINODE_CACHE")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .output()
            .unwrap();
        let text = String::from_utf8_lossy(&output.stderr);
        text.lines().last().unwrap().trim().parse().unwrap()
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
struct Database {
    child: Child,
    script: BufWriter<ChildStdin>,
}

impl Database {
    fn new(sqlite: &Path, file: &Path) -> Self {
        let mut child = Command::new(sqlite)
            .arg(file)
            .stdin(Stdio::piped())
            .spawn()
            .unwrap();
        let mut script = BufWriter::new(child.stdin.take().unwrap());
        script
            .write_all(
                b"create virtual table docs using fts5(name, body, content='', tokenize='porter unicode61');\n\
                 create table ids(id integer primary key, key text, name text, summary text);\nbegin;\n",
            )
            .unwrap();
        Self { child, script }
    }

    fn add(&mut self, number: usize, record: &Record, names: &str, body: &str) {
        let quoted = |text: &str| text.replace('\'', "''");
        let head = record.head();
        writeln!(
            self.script,
            "insert into docs(rowid, name, body) values ({number}, '{}', '{}');\n\
             insert into ids values ({number}, '{}', '{}', '{}');",
            quoted(names),
            quoted(body),
            quoted(&head.id),
            quoted(&head.names.name),
            quoted(&head.summary),
        )
        .unwrap();
    }

    fn finish(mut self) {
        self.script
            .write_all(b"commit;\ninsert into docs(docs) values ('optimize');\nvacuum;\n")
            .unwrap();
        drop(self.script.into_inner().unwrap());
        assert!(self.child.wait().unwrap().success());
    }
}

/// What the corpus was written out to for the others.
struct Written {
    records: usize,
    /// Words of all texts.
    words: usize,
    json: Option<PathBuf>,
}

/// Writes the texts of a corpus for the others, record by record.
fn write_out(kb: &Path, dir: &Path, sqlite: Option<&Path>) -> Written {
    let mut database = sqlite.map(|sqlite| Database::new(sqlite, &dir.join("records.db")));
    let file = dir.join("records.json");
    let mut json = BufWriter::new(fs::File::create(&file).unwrap());
    let mut out = Written {
        records: 0,
        words: 0,
        json: None,
    };
    let corpus = corpus::each(kb, |record| -> Result<(), std::io::Error> {
        let (names, body) = texts(&record);
        let names = names.join("\n");
        out.words += names.split_whitespace().count() + body.split_whitespace().count();
        if let Some(database) = &mut database {
            database.add(out.records, &record, &names, &body);
        }
        if out.records < MOST_JSON {
            let separator = if out.records == 0 { '[' } else { ',' };
            let id = &record.head().id;
            write!(
                json,
                "{separator}{}",
                serde_json::json!({"id": id, "name": names, "body": body})
            )?;
        }
        out.records += 1;
        Ok(())
    })
    .unwrap();
    assert!(corpus.findings.is_empty(), "{:?}", corpus.findings.first());
    json.write_all(b"]").unwrap();
    json.flush().unwrap();
    out.json = (out.records <= MOST_JSON).then_some(file);
    if let Some(database) = database {
        database.finish();
    }
    out
}

/// Both text queries find as many, and of the ten best some are the same: how many is said. They cut
/// words and weigh those that stand together in different ways, so not all are.
fn agree(own: &Path, about: &str, sqlite: &Path, arguments: &[String]) {
    let said = |command: &mut Command| String::from_utf8(command.output().unwrap().stdout).unwrap();
    let ours = said(Command::new(own).args(["ask", about, "--format", "json"]));
    let ours: serde_json::Value = serde_json::from_str(&ours).unwrap();
    let ours: Vec<&str> = ours["matches"]
        .as_array()
        .unwrap()
        .iter()
        .map(|found| found["id"].as_str().unwrap())
        .collect();
    let theirs = said(Command::new(sqlite).args(arguments));
    let theirs: Vec<&str> = theirs
        .lines()
        .filter_map(|line| line.split('|').nth(1))
        .collect();
    assert!(!ours.is_empty() && ours.len() == theirs.len());
    let both = theirs.iter().filter(|id| ours.contains(id)).count();
    println!("of {} found by FTS5 {both} are among ours", theirs.len());
    assert!(both > 0, "{ours:?} {theirs:?}");
}

/// The id of the material whose file is the longest of this share of them all.
fn by_length(kb: &Path, of: usize, all: usize) -> String {
    let mut files: Vec<(u64, String)> = fs::read_dir(kb.join("materials"))
        .unwrap()
        .map(Result::unwrap)
        .map(|file| {
            let id = file
                .path()
                .file_stem()
                .unwrap()
                .to_string_lossy()
                .into_owned();
            (file.metadata().unwrap().len(), id)
        })
        .collect();
    files.sort();
    files[files.len() * of / all - 1].1.clone()
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

    if let Some(file) = option("--pack") {
        let bytes = fs::read(file).unwrap();
        let whole = bytes.len();
        let pack = Pack::open(Cow::Owned(bytes)).unwrap();
        let index: usize = pack.index_files().map(|(_, bytes)| bytes.len()).sum();
        println!("pack: {whole} bytes, of which the text index {index}");
    }
    let sqlite = installed("sqlite3");
    let start = Instant::now();
    let written = write_out(&kb, dir.path(), sqlite.as_deref());
    println!(
        "{} records of {:.0} words, {rounds} rounds, words \"{words}\"; read and written for the others in {:.0} s",
        written.records,
        written.words as f64 / written.records as f64,
        start.elapsed().as_secs_f64(),
    );
    let (rare, common) = words.split_once(' ').unwrap();
    let says = [rare, common, " of "].map(str::to_lowercase).to_vec();
    let ours = |name, query: &str, says: &[&str]| Rival {
        name,
        program: own.clone(),
        arguments: vec!["ask".to_owned(), query.to_owned()],
        says: says.iter().map(|&words| words.to_owned()).collect(),
    };
    let about = format!("find anything about \"{words}\" limit 10");
    let mut rivals = vec![
        Rival {
            name: "empty static",
            program: empty_program(dir.path()),
            arguments: Vec::new(),
            says: vec![String::new()],
        },
        ours("text query", &about, &[rare, common, " of "]),
    ];
    if real {
        let (middle, longest) = (by_length(&kb, 1, 2), by_length(&kb, 1, 1));
        println!("material of middle length {middle}, the longest {longest}");
        rivals.push(ours("a liquid", "find ethanol", &["ethanol"]));
        rivals.push(ours(
            "middle material",
            &format!("find {middle}"),
            &["show all"],
        ));
        rivals.push(ours(
            "longest material",
            &format!("find {longest}"),
            &["show all"],
        ));
        rivals.push(ours(
            "longest, whole",
            &format!("find {longest} show all"),
            &["basis"],
        ));
        rivals.push(ours("identify, 8 seen", IDENTIFY, &["shellac"]));
        let held = REMOVE.replace(" (flaking)", "");
        rivals.push(ours(
            "remove, 6 layers",
            &held,
            &["mildest step", "scalpel"],
        ));
        rivals.push(ours("remove, 6, loose", REMOVE, &["consolid"]));
    }
    if let Some(beside) = option("--beside") {
        let other = dir.path().join("beside");
        fs::copy(&beside, &other).unwrap();
        rivals.push(Rival {
            name: "other program",
            program: other,
            arguments: vec!["ask".to_owned(), about.clone()],
            says: says.clone(),
        });
    }
    if let Some(sqlite) = sqlite {
        let file = dir.path().join("records.db");
        println!("FTS5: {} bytes", fs::metadata(&file).unwrap().len());
        // The quicker of two forms of the query (`perf`: ranking by bm25 in a join).
        let query = format!(
            "select ids.name, ids.key, ids.summary from docs join ids on ids.id = docs.rowid where docs match \
             '\"{rare}\" or \"{common}\" or \"{words}\"' order by bm25(docs, 3.0, 1.0) limit 10"
        )
        .replace(" or \"", " OR \"");
        let arguments = vec![file.to_string_lossy().into_owned(), query];
        agree(&own, &about, &sqlite, &arguments);
        rivals.push(Rival {
            name: "sqlite3 FTS5",
            program: sqlite.clone(),
            arguments,
            says: vec!["|".to_owned()],
        });
        rivals.push(Rival {
            name: "sqlite3 select 1",
            program: sqlite,
            arguments: vec![":memory:".to_owned(), "select 1".to_owned()],
            says: vec!["1".to_owned()],
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
    if let Some(file) = written.json
        && let Some(jq) = installed("jq")
    {
        rivals.push(Rival {
            name: "jq over one JSON",
            program: jq,
            arguments: vec![
                format!("[.[] | select(.body | test(\"{rare}|{common}\"; \"i\")) | .name][:10]"),
                file.to_string_lossy().into_owned(),
            ],
            says: vec![String::new()],
        });
    }
    for rival in &rivals {
        rival.check();
        for _ in 0..3 {
            rival.run();
        }
    }
    let time = installed("time");
    let memory: Vec<u64> = rivals
        .iter()
        .map(|rival| time.as_ref().map_or(0, |time| rival.memory(time)))
        .collect();
    let others = [
        "empty static",
        "sqlite3 FTS5",
        "rg over the TOML",
        "other program",
    ];
    let others = others.map(|name| rivals.iter().find(|r| r.name == name));
    // By rival and by what it is compared with.
    let mut pairs: Vec<[Vec<[[f64; 2]; 2]>; 4]> =
        rivals.iter().map(|_| Default::default()).collect();
    for (rival, pairs) in rivals.iter().zip(&mut pairs) {
        for (other, pairs) in others.iter().zip(pairs) {
            let Some(other) = other else { continue };
            pairs.extend((0..rounds).map(|_| [rival.run(), other.run()]));
        }
    }
    for (measure, of) in [("by the clock", 0), ("of the processor", 1)] {
        println!(
            "{measure:<18} {:>9} {:>8}   of empty  of FTS5  of rg   of other",
            "median ms", "peak MB"
        );
        for (k, rival) in rivals.iter().enumerate() {
            let mut line = format!(
                "{:<18} {:>9.2} {:>8.1}",
                rival.name,
                1e3 * median(pairs[k].iter().flatten().map(|[own, _]| own[of]).collect()),
                memory[k] as f64 / 1024.0
            );
            for pairs in &pairs[k] {
                let ratios: Vec<f64> = pairs
                    .iter()
                    .map(|[own, other]| own[of] / other[of])
                    .collect();
                let ratio = if ratios.is_empty() {
                    String::new()
                } else {
                    format!("{:.2}", median(ratios))
                };
                let _ = write!(line, " {ratio:>9}");
            }
            println!("{line}");
        }
    }
}
