//! Command lines that nobody would type: the program answers or refuses, and never falls over.

use std::ffi::OsString;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use palinode::lang::reserved::{KEYWORDS, VERBS};

use crate::random::{Random, long, seed};

/// A single command may take this long, on a busy machine in a build that is not optimised.
const PATIENCE: Duration = Duration::from_secs(60);

const SUBCOMMANDS: [&str; 11] = [
    "ask",
    "shell",
    "demo",
    "case",
    "report",
    "check",
    "fmt",
    "explain",
    "completions",
    "man",
    "help",
];
const CASE: [&str; 10] = [
    "new", "show", "layer", "unknown", "observe", "ask", "decide", "review", "check", "restore",
];
const FLAGS: [&str; 12] = [
    "--format",
    "json",
    "--kb",
    "--skip-bad",
    "--fields",
    "--help",
    "--version",
    "-",
    "--",
    "-o",
    "--style",
    "--sections",
];
const ODD: [&str; 12] = [
    "",
    " ",
    "\u{1b}[31mred\u{1b}[0m",
    "\u{202e}backwards",
    "\u{7}\u{8}\r\n\t",
    "𝔲𝔫𝔨𝔫𝔬𝔴𝔫",
    "é\u{301}\u{301}\u{301}",
    "../../../etc/passwd",
    "a/b\\c:d",
    "999999999999999999999999 %",
    "1e309 mm",
    "'\"`;$(true)",
];

fn word(random: &mut Random) -> OsString {
    match random.below(7) {
        0 => (*random.pick(&ODD)).into(),
        1 => (*random.pick(&FLAGS)).into(),
        2 => random.pick(KEYWORDS).1.into(),
        3 => "(".repeat(random.below(400)).into(),
        4 => bytes(random),
        5 => random
            .pick(&["oak", "shellac", "ethanol", "u1", "Q0301", "case.toml", "."])
            .to_string()
            .into(),
        _ => query(random).into(),
    }
}

/// Not even text, where the system allows that.
fn bytes(random: &mut Random) -> OsString {
    let bytes: Vec<u8> = (0..random.below(40))
        .map(|_| 1 + random.below(255) as u8)
        .collect();
    #[cfg(unix)]
    return std::os::unix::ffi::OsStringExt::from_vec(bytes);
    #[cfg(not(unix))]
    return String::from_utf8_lossy(&bytes).into_owned().into();
}

/// An example of the language with some of its characters taken out, doubled or replaced.
fn query(random: &mut Random) -> String {
    let (.., example) = random.pick(VERBS);
    let mut text: Vec<char> = example.chars().collect();
    for _ in 0..random.below(6) {
        let at = random.below(text.len().max(1));
        match random.below(4) {
            0 if at < text.len() => {
                text.remove(at);
            }
            1 if at < text.len() => text.insert(at, text[at]),
            2 => text.extend(random.pick(&ODD).chars().filter(|c| *c != '\0')),
            _ => text.truncate(at),
        }
    }
    text.into_iter().collect()
}

fn line(random: &mut Random) -> Vec<OsString> {
    let mut out: Vec<OsString> = Vec::new();
    if random.yes(90) {
        let verb = random.pick(&SUBCOMMANDS);
        out.push(verb.into());
        if *verb == "case" {
            out.push(random.pick(&CASE).into());
        }
    }
    for _ in 0..random.below(5) {
        out.push(word(random));
    }
    out
}

fn survives(line: &[OsString], dir: &Path) {
    let child = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .args(line)
        .current_dir(dir)
        .env("PALINODE_CACHE", "")
        .env("PALINODE_HISTORY", "")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let start = Instant::now();
    // What it prints is drained by threads of the standard library's own once it is waited for; a
    // program that hangs is stopped before that.
    let output = {
        let id = child.id();
        let watch = std::thread::spawn(move || child.wait_with_output());
        while !watch.is_finished() {
            assert!(start.elapsed() < PATIENCE, "{line:?} hangs (process {id})");
            std::thread::sleep(Duration::from_millis(2));
        }
        watch.join().unwrap().unwrap()
    };
    let error = String::from_utf8_lossy(&output.stderr);
    let code = output.status.code();
    assert!(matches!(code, Some(0..=3)), "{line:?}: {code:?}\n{error}");
    assert!(!error.contains("panicked"), "{line:?}\n{error}");
    for stream in [&output.stdout, &output.stderr] {
        assert!(
            !stream.contains(&0x1b),
            "{line:?}: an escape reaches the terminal"
        );
    }
}

#[test]
fn no_command_line_brings_it_down() {
    let count = if long() { 10_000 } else { 300 };
    let dir = tempfile::tempdir().unwrap();
    let mut random = Random::new(seed(11));
    let lines: Vec<Vec<OsString>> = (0..count).map(|_| line(&mut random)).collect();
    let half = lines.len() / 2;
    std::thread::scope(|scope| {
        for part in [&lines[..half], &lines[half..]] {
            let dir = dir.path();
            scope.spawn(move || part.iter().for_each(|line| survives(line, dir)));
        }
    });
}

/// Long runs and long lists are refused in words, not chewed on: each of these took seconds to minutes,
/// the first ended in a fault.
#[test]
fn what_is_pasted_by_mistake_is_refused_at_once() {
    let many = |one: &str, n: usize| one.repeat(n);
    for query in [
        format!("find {}varnish", many("old ", 12_000)),
        format!("identify coating that {}looks brown", many("the ", 12_000)),
        format!("identify coating that looks {}", many("brown ", 800)),
        format!(
            "blend to dissolve dammar sparing marble{}",
            many(", marble", 5_000)
        ),
        format!("find material show tg{}", many(", tg", 10_000)),
        format!(
            "find material where tg > 30 C{}",
            many(" and tg > 30 C", 3_000)
        ),
    ] {
        let output = Command::new(env!("CARGO_BIN_EXE_palinode"))
            .args(["ask", &query])
            .output()
            .unwrap();
        let error = String::from_utf8_lossy(&output.stderr);
        let start: String = query.chars().take(60).collect();
        assert_eq!(output.status.code(), Some(2), "{start}: {error}");
        assert!(
            error.contains("Q0220") || error.contains("Q0101"),
            "{start}: {error}"
        );
        assert!(error.len() < 200_000, "{start}: {}", error.len());
    }
}
