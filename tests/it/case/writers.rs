//! Two writers, a closed folder, a full disk, a kill.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use palinode::case;

use super::{NOON, SMALL, done, err, run, written};
use crate::random::{Random, long, seed};

const READY: &str = "[[unknown]]\nid = \"u1\"\nnoun = \"coating\"\n";

fn observe(path: &str, note: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_palinode"));
    command
        .args(["case", "observe", path, "u1", "looks brown", "--note", note])
        .env("SOURCE_DATE_EPOCH", NOON)
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// Writers that come at once wait for one another: none is lost, no id is given twice.
#[test]
fn writers_at_the_same_time_lose_nothing() {
    let (_dir, path) = written(&format!("{SMALL}{READY}"));
    let writers = 12;
    let children: Vec<_> = (0..writers)
        .map(|k| observe(&path, &format!("writer {k}")).spawn().unwrap())
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    let case = case::load(Path::new(&path)).unwrap().case;
    let mut notes: Vec<_> = case
        .observations
        .iter()
        .map(|o| o.noted.note.clone())
        .collect();
    notes.sort();
    notes.dedup();
    assert_eq!(notes.len(), writers);
    assert_eq!(case.changes.len(), writers);
}

#[test]
fn a_writer_that_does_not_end_is_told() {
    let (_dir, path) = written(&format!("{SMALL}{READY}"));
    let _lock = palinode::store::Lock::take(Path::new(&path)).unwrap();
    let output = run(&["observe", &path, "u1", "looks brown"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        err(&output).contains("another program is writing"),
        "{}",
        err(&output)
    );
    assert!(
        err(&output).contains("nothing was changed"),
        "{}",
        err(&output)
    );
    // Reading needs no lock.
    done(&["show", &path]);
}

/// The program itself, killed at any moment of its run: the case is as before or has the observation.
#[test]
fn a_command_killed_at_any_moment_loses_nothing() {
    let (_dir, path) = written(&format!("{SMALL}{READY}"));
    let mut random = Random::new(seed(11));
    let kills = if long() { 1_000 } else { 40 };
    let mut written = 0;
    // The kills fall within the run of a command, however long that takes on this machine.
    let (_other, warm) = super::written(&format!("{SMALL}{READY}"));
    let start = std::time::Instant::now();
    assert!(observe(&warm, "warm").status().unwrap().success());
    let span = usize::try_from(start.elapsed().as_micros()).unwrap() * 5 / 4;
    for k in 0..kills {
        let before = std::fs::read_to_string(&path).unwrap();
        let mut child = observe(&path, &format!("kill {k}")).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(random.below(span) as u64));
        let _ = child.kill();
        child.wait().unwrap();
        let after = std::fs::read_to_string(&path).unwrap();
        let file = case::load(Path::new(&path)).unwrap();
        if after != before {
            written += 1;
            let note = file.case.observations.last().unwrap().noted.note.clone();
            assert_eq!(note, Some(format!("kill {k}")));
        }
        assert_eq!(file.case.observations.len(), written);
        assert_eq!(file.case.changes.len(), written);
    }
    println!("{kills} kills, {written} after the writing");
    let output = run(&["observe", &path, "u1", "is brittle"]);
    assert!(output.status.success(), "{}", err(&output));
}

/// A folder that may not be written. The super-user may write everywhere, so there the command is run
/// as nobody, where the system has the tool for that.
#[cfg(unix)]
#[test]
fn a_closed_folder_is_told_and_nothing_is_lost() {
    use std::fs;
    use std::os::unix::fs::PermissionsExt;
    let text = format!("{SMALL}{READY}");
    let (dir, path) = written(&text);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o555)).unwrap();
    let probe = dir.path().join("probe");
    let program = env!("CARGO_BIN_EXE_palinode");
    let arguments = ["case", "observe", &path, "u1", "looks brown"];
    let output = if fs::write(&probe, b"").is_ok() {
        fs::remove_file(&probe).unwrap();
        let run = Command::new("setpriv")
            .args(["--reuid=65534", "--regid=65534", "--clear-groups", program])
            .args(arguments)
            .output();
        match run {
            Ok(output) if output.status.code() == Some(2) => output,
            // No such tool, or nobody may not run the program.
            other => {
                println!("not tried: this is the super-user, and {other:?}");
                fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o755)).unwrap();
                return;
            }
        }
    } else {
        Command::new(program).args(arguments).output().unwrap()
    };
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o755)).unwrap();
    let said = err(&output);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("must be writable"), "{said}");
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    assert_eq!(crate::store::names(dir.path()), ["case.toml"]);
}

/// A disk that is full in the middle of the new version, by the system's own limit on the size of a
/// file.
#[cfg(unix)]
#[test]
fn a_full_disk_is_told_and_nothing_is_lost() {
    let long = "x".repeat(15_000);
    let text = format!("{SMALL}note = \"{long}\"\n{READY}note = \"{long}\"\n");
    let (dir, path) = written(&text);
    // 16 blocks are 8 or 16 KiB, by the shell; the case has 30.
    let output = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 16; exec \"$@\"", "sh"])
        .arg(env!("CARGO_BIN_EXE_palinode"))
        .args(["case", "observe", &path, "u1", "looks brown"])
        .output()
        .unwrap();
    let said = err(&output);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("make room"), "{said}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    assert_eq!(
        crate::store::names(dir.path()),
        [".case.toml.lock", "case.toml"]
    );
    done(&["observe", &path, "u1", "looks brown"]);
}

/// The same on a real disk of a few kilobytes, where the system lets us make one.
#[cfg(target_os = "linux")]
#[test]
fn a_small_disk_that_is_full_is_told_and_nothing_is_lost() {
    let long = "x".repeat(15_000);
    let (dir, path) = written(&format!("{SMALL}note = \"{long}\"\n{READY}"));
    let script = "set -e; mkdir \"$1/disk\"; mount -t tmpfs -o size=64k none \"$1/disk\"; \
                  cp \"$2\" \"$1/disk/case.toml\"; \
                  dd if=/dev/zero of=\"$1/disk/full\" bs=1k 2>/dev/null || true; \
                  set +e; \"$3\" case observe \"$1/disk/case.toml\" u1 'looks brown'; echo exit $?; \
                  cmp \"$2\" \"$1/disk/case.toml\" && echo same; rm \"$1/disk/full\"; \
                  \"$3\" case observe \"$1/disk/case.toml\" u1 'looks brown'; echo again $?";
    let output = Command::new("unshare")
        .args([
            "--user",
            "--map-root-user",
            "--mount",
            "sh",
            "-c",
            script,
            "sh",
        ])
        .arg(dir.path())
        .arg(&path)
        .arg(env!("CARGO_BIN_EXE_palinode"))
        .output();
    let output = match output {
        Ok(output) if super::out(&output).contains("exit ") => output,
        other => {
            println!("not tried, no disk could be made: {other:?}");
            return;
        }
    };
    let said = super::out(&output);
    for wanted in ["exit 2", "same", "again 0"] {
        assert!(
            said.contains(wanted),
            "no {wanted} in {said}{}",
            err(&output)
        );
    }
    assert!(err(&output).contains("make room"), "{}", err(&output));
}
