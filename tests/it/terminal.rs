//! What only a terminal shows: how far long work has come, and that it can be broken off. `script` of
//! util-linux lends the terminal.
#![cfg(target_os = "linux")]

use std::io::{Read, Write};
use std::os::unix::process::ExitStatusExt;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

const PROGRAM: &str = env!("CARGO_BIN_EXE_palinode");

/// A command line at a terminal of its own, its output read as it comes. A shell starts what it runs in the
/// background deaf to the interrupt key, and that is handed down: `env` of coreutils lends the terminal its ears back.
fn at_a_terminal(line: &str) -> Child {
    Command::new("env")
        .args([
            "--default-signal=INT",
            "script",
            "--quiet",
            "--return",
            "--flush",
            "--command",
            line,
            "/dev/null",
        ])
        .env("TERM", "xterm")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("`env` of coreutils")
}

#[test]
fn a_report_tells_which_question_it_asks() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/kb/demo/overmantel/case.toml");
    let dir = tempfile::tempdir().unwrap();
    let page = dir.path().join("report.html");
    let line = format!("{PROGRAM} report {demo} -o {}", page.display());
    let output = at_a_terminal(&line).wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}");
    assert!(
        said.contains("asking 1 of 2") && said.contains("asking 2 of 2"),
        "{said:?}"
    );
    assert!(page.exists());
    // A pipe gets none of it.
    let output = Command::new(PROGRAM)
        .args(["report", demo, "-o"])
        .arg(&page)
        .output()
        .unwrap();
    assert!(output.stderr.is_empty() && output.stdout.is_empty());
}

/// A search of some seconds says how far it is, and the interrupt key ends it at once.
#[test]
fn a_long_search_shows_progress_and_can_be_broken_off() {
    let query = "blend to dissolve dammar (fresh) sparing shellac finish, oil paint \
         given shellac finish dissolves in ethanol, shellac finish dissolves in methanol, \
         shellac finish dissolves in propan-2-ol, shellac finish dissolves in benzyl alcohol, \
         shellac finish is unaffected by isooctane, shellac finish is unaffected by water, \
         shellac finish is unaffected by toluene, oil paint dissolves in dichloromethane, \
         oil paint dissolves in acetone, oil paint dissolves in ethanol, \
         oil paint swells in toluene, oil paint is unaffected by isooctane, \
         oil paint is unaffected by water";
    // Said many times over, so that no machine is done before the key is pressed.
    let text = [query; 10].join(";\n");
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("long.query");
    std::fs::write(&file, text).unwrap();
    let mut child = at_a_terminal(&format!("{PROGRAM} ask - < {}", file.display()));
    let mut out = child.stdout.take().unwrap();
    let mut keys = child.stdin.take().unwrap();
    let start = Instant::now();
    let mut said = Vec::new();
    let mut piece = [0; 4096];
    // A line may come in pieces: it is whole with its last word.
    while !String::from_utf8_lossy(&said).contains("(Ctrl-C ends it)") {
        assert!(
            start.elapsed() < Duration::from_secs(120),
            "no progress was told"
        );
        let n = out.read(&mut piece).unwrap();
        assert!(n > 0, "it ended: {}", String::from_utf8_lossy(&said));
        said.extend_from_slice(&piece[..n]);
    }
    let told = String::from_utf8_lossy(&said);
    assert!(
        told.contains("weighing blends: ") && told.contains(" %"),
        "{told}"
    );
    keys.write_all(b"\x03").unwrap();
    keys.flush().unwrap();
    // Read on, so that nobody waits for a full pipe. How it ended says whether the key was heard: done with its
    // work it would have ended otherwise.
    while out.read(&mut piece).unwrap_or(0) > 0 {}
    let status = child.wait().unwrap();
    let ended = status
        .signal()
        .or_else(|| status.code().map(|code| code - 128));
    assert_eq!(ended, Some(2), "ended by the interrupt: {status:?}");
}
