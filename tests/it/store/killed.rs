//! Writers that are killed while they write.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use palinode::store::{Lock, RealDisk, backup_of, replace};

use super::file;
use crate::random::{Random, long, seed};

/// Names the file to the writer.
const FILE: &str = "PALINODE_TEST_KILL";

/// A version that shows whether it is whole: its number, so many bytes of it, its number.
fn version(number: u64) -> Vec<u8> {
    let middle = "0123456789".repeat(1 + usize::try_from(number % 4_000).unwrap());
    format!("{number}\n{middle}\n{number}\n").into_bytes()
}

/// The number of a whole version.
fn number(path: &Path) -> u64 {
    let bytes = fs::read(path).unwrap();
    let text = String::from_utf8(bytes.clone()).unwrap();
    let number: u64 = text.lines().next().unwrap().parse().unwrap();
    assert!(bytes == version(number), "{} is cut", path.display());
    number
}

/// Writes one version after another, tells each, and never ends. Started by the test below only.
#[test]
#[ignore = "a writer for another test to kill"]
fn writer() {
    let Some(path) = std::env::var_os(FILE) else {
        return;
    };
    let path = Path::new(&path);
    let mut out = std::io::stdout().lock();
    let lock = Lock::take(path).unwrap();
    let mut now = number(path);
    loop {
        replace(&RealDisk, &lock, &version(now), &version(now + 1)).unwrap();
        now += 1;
        writeln!(out, "wrote {now}").unwrap();
    }
}

fn start(path: &Path) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "store::killed::writer",
            "--ignored",
            "--nocapture",
        ])
        .env(FILE, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// After each kill the file is whole, holds all that was told, and at most one version more; and so
/// is the version before.
#[test]
fn a_writer_killed_at_any_moment_loses_nothing() {
    let (_dir, path) = file(&version(1));
    let mut random = Random::new(seed(7));
    let kills = if long() { 1_000 } else { 40 };
    let mut last = 1;
    let mut mid_write = 0;
    for _ in 0..kills {
        let mut child = start(&path);
        let mut told = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        // The harness of the tests says a few words first.
        while !line.starts_with("wrote") {
            line.clear();
            assert!(told.read_line(&mut line).unwrap() > 0, "the writer ended");
        }
        std::thread::sleep(Duration::from_micros(random.below(12_000) as u64));
        child.kill().unwrap();
        child.wait().unwrap();
        let mut rest = String::new();
        told.read_to_string(&mut rest).unwrap();
        // What was cut off in the middle of a line was not told.
        let end = rest.rfind('\n').map_or(0, |end| end + 1);
        let confirmed: u64 = rest[..end]
            .lines()
            .last()
            .unwrap_or(line.trim_end())
            .trim_start_matches("wrote ")
            .parse()
            .unwrap();
        let now = number(&path);
        assert!(
            now == confirmed || now == confirmed + 1,
            "told {confirmed}, holds {now}"
        );
        assert!(now >= last, "{last} went back to {now}");
        let before = number(&backup_of(&path));
        assert!(before == now || before + 1 == now, "{before} before {now}");
        let left = path.with_file_name(".case.toml.new").exists()
            || path.with_file_name(".case.toml.old").exists();
        mid_write += usize::from(left);
        last = now;
    }
    // The kills fell within writes, not between them.
    assert!(mid_write * 10 >= kills, "{mid_write} of {kills} in a write");
    println!("{kills} kills, {mid_write} of them within a write, {last} versions");
}
