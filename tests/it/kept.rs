//! The pack of a studio's folder that is kept between two questions: it must never be seen but by its
//! speed.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use palinode::corpus::{self, files_of};
use tempfile::TempDir;

use crate::random::{Random, long, seed};

const QUERY: &str = "find \"my ground\"";

struct Studio {
    dir: TempDir,
    cache: PathBuf,
}

impl Studio {
    fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let cache = dir.path().join("cache");
        fs::create_dir_all(dir.path().join("kb/layers")).unwrap();
        let studio = Self { dir, cache };
        studio.write("my-ground", "porous", "it swells");
        studio
    }

    fn kb(&self) -> PathBuf {
        self.dir.path().join("kb")
    }

    fn write(&self, id: &str, word: &str, why: &str) {
        let file = self.kb().join(format!("layers/{id}.toml"));
        let text = format!(
            "id = \"{id}\"\nname = \"{}\"\ngroup = \"ground\"\ntraits = [\"{word}\"]\n\
             summary = \"Invented for this test.\"\n[harm.sound]\n\
             cold-water = {{is = \"harms\", why = \"{why}\", by = \"practice\"}}\n",
            id.replace('-', " ")
        );
        fs::write(file, text).unwrap();
    }

    fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_palinode"));
        command
            .args(["ask", QUERY, "--format", "json", "--kb"])
            .arg(self.kb())
            .env("PALINODE_CACHE", &self.cache);
        command
    }

    fn ask(&self) -> Output {
        self.command().output().unwrap()
    }

    fn without_cache(&self) -> Output {
        self.command().env("PALINODE_CACHE", "").output().unwrap()
    }

    /// The kept packs.
    fn kept(&self) -> Vec<PathBuf> {
        let Ok(entries) = fs::read_dir(&self.cache) else {
            return Vec::new();
        };
        entries
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|e| e == "pack"))
            .collect()
    }
}

fn said(output: &Output) -> (Option<i32>, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (
        output.status.code(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

#[test]
fn what_is_kept_answers_as_what_is_read() {
    let studio = Studio::new();
    let plain = said(&studio.without_cache());
    assert_eq!(plain.0, Some(0), "{plain:?}");
    assert!(plain.1.contains("it swells"), "{plain:?}");
    assert!(studio.kept().is_empty());
    assert_eq!(said(&studio.ask()), plain, "made");
    let kept = studio.kept();
    assert_eq!(kept.len(), 1);
    let written = fs::metadata(&kept[0]).unwrap().modified().unwrap();
    assert_eq!(said(&studio.ask()), plain, "kept");
    let after = fs::metadata(&kept[0]).unwrap().modified().unwrap();
    assert_eq!(written, after, "made a second time");
}

#[test]
fn a_change_in_the_folder_is_seen() {
    let studio = Studio::new();
    studio.ask();
    studio.write("my-ground", "porous", "it lifts");
    let changed = said(&studio.ask());
    assert!(changed.1.contains("it lifts"), "{changed:?}");
    assert_eq!(said(&studio.ask()), changed);
    fs::remove_file(studio.kb().join("layers/my-ground.toml")).unwrap();
    let (code, ..) = said(&studio.ask());
    assert_ne!(code, Some(0), "a record that is gone was found");
    studio.write("another-ground", "porous", "it swells");
    studio.write("my-ground", "porous", "it swells");
    assert_eq!(studio.ask().status.code(), Some(0));
    assert_eq!(studio.kept().len(), 1, "one file a folder");
}

/// Of a large folder the kept pack is read while the folder is summed up: the same holds of it.
#[test]
fn a_large_folder_is_kept_and_watched_like_a_small_one() {
    let studio = Studio::new();
    for number in 0..240 {
        studio.write(&format!("ground-{number}"), "porous", "it swells");
    }
    let plain = said(&studio.ask());
    assert_eq!(plain.0, Some(0), "{plain:?}");
    let kept = studio.kept().remove(0);
    let written = fs::metadata(&kept).unwrap().modified().unwrap();
    assert_eq!(said(&studio.ask()), plain, "kept");
    let after = fs::metadata(&kept).unwrap().modified().unwrap();
    assert_eq!(written, after, "made a second time");
    let mut bytes = fs::read(&kept).unwrap();
    bytes[1_000] ^= 0x40;
    fs::write(&kept, &bytes).unwrap();
    assert_eq!(said(&studio.ask()), plain, "damaged");
    assert!(fs::read(&kept).unwrap() != bytes, "a damaged pack stayed");
    studio.write("my-ground", "porous", "it lifts");
    let changed = said(&studio.ask());
    assert!(changed.1.contains("it lifts"), "{changed:?}");
}

/// Every byte of the seal, and bytes all over the pack.
#[test]
fn a_kept_pack_that_is_damaged_is_made_anew() {
    let studio = Studio::new();
    let plain = said(&studio.ask());
    let kept = studio.kept().remove(0);
    let sound = fs::read(&kept).unwrap();
    let spots = (1..=36)
        .map(|back| sound.len() - back)
        .filter(|at| at % 5 == 0)
        .chain((0..6).map(|n| n * sound.len() / 7));
    for at in spots {
        let mut bytes = sound.clone();
        bytes[at] ^= 0x40;
        fs::write(&kept, &bytes).unwrap();
        assert_eq!(said(&studio.ask()), plain, "byte {at}");
        assert!(fs::read(&kept).unwrap() != bytes, "byte {at} stayed");
    }
    for length in [0, 10, 36, sound.len() / 2, sound.len() - 1] {
        fs::write(&kept, &sound[..length]).unwrap();
        assert_eq!(said(&studio.ask()), plain, "cut at {length}");
    }
}

#[test]
fn what_is_wrong_in_a_folder_is_told_every_time() {
    let studio = Studio::new();
    studio.write("bad-ground", "no such trait", "it swells");
    for _ in 0..2 {
        let (code, _, error) = said(&studio.ask());
        assert_eq!(code, Some(2));
        assert!(error.contains("bad-ground.toml"), "{error}");
        let skipping = studio.command().arg("--skip-bad").output().unwrap();
        let (code, _, error) = said(&skipping);
        assert_eq!(code, Some(0), "{error}");
        assert!(
            error.contains("left out: layers/bad-ground.toml"),
            "{error}"
        );
    }
    assert!(studio.kept().is_empty(), "a folder with errors was kept");
}

#[test]
fn eight_questions_at_once_make_one_sound_pack() {
    let studio = Studio::new();
    let plain = said(&studio.without_cache());
    for _ in 0..3 {
        let children: Vec<_> = (0..8)
            .map(|_| {
                let mut command = studio.command();
                command
                    .stdout(std::process::Stdio::piped())
                    .stderr(std::process::Stdio::piped());
                command.spawn().unwrap()
            })
            .collect();
        for child in children {
            assert_eq!(said(&child.wait_with_output().unwrap()), plain);
        }
        let kept = studio.kept();
        assert_eq!(kept.len(), 1);
        fs::remove_file(&kept[0]).unwrap();
    }
}

#[test]
fn no_cache_is_no_hindrance() {
    let studio = Studio::new();
    let plain = said(&studio.without_cache());
    // A file where the folder should be: nothing can be kept below it.
    fs::write(&studio.cache, "in the way").unwrap();
    assert_eq!(said(&studio.ask()), plain);
    assert_eq!(fs::read(&studio.cache).unwrap(), b"in the way");
}

/// What is summed up is what is read: a file that one sees and the other does not would be a change
/// that nobody notices.
#[test]
fn every_file_that_is_read_is_summed_up() {
    let kb = Path::new(env!("CARGO_MANIFEST_DIR")).join("kb");
    let mut read: Vec<String> = corpus::load(&kb, Vec::new())
        .unwrap()
        .sources
        .into_iter()
        .map(|source| source.name)
        .collect();
    let mut listed: Vec<String> = files_of(&kb)
        .unwrap()
        .iter()
        .map(|file| file.to_string_lossy().into_owned())
        .collect();
    read.sort();
    listed.sort();
    assert_eq!(read, listed);
}

/// Killed at any moment while the pack is made: what is left is whole or of no account, and the next
/// question is answered as if nothing had been kept.
#[test]
fn a_builder_killed_at_any_moment_leaves_nothing_half_made() {
    let studio = Studio::new();
    let plain = said(&studio.without_cache());
    // How long it takes to make and keep one, here and now.
    let start = std::time::Instant::now();
    assert_eq!(said(&studio.ask()), plain);
    let whole = start.elapsed().as_micros() as usize;
    let mut random = Random::new(seed(11));
    let kills = if long() { 1_000 } else { 30 };
    let (mut before, mut after) = (0, 0);
    for round in 0..kills {
        for kept in studio.kept() {
            fs::remove_file(kept).unwrap();
        }
        let mut child = studio
            .command()
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_micros(
            random.below(whole + whole / 8) as u64,
        ));
        child.kill().unwrap();
        child.wait().unwrap();
        match studio.kept().len() {
            0 => before += 1,
            _ => after += 1,
        }
        // Asking takes long beside killing, so not after every kill.
        if round % 5 == 0 || studio.kept().len() == 1 {
            assert_eq!(said(&studio.ask()), plain, "after kill {round}");
        }
    }
    assert!(before > 0, "every kill came too late");
    println!("{kills} kills: {before} before a pack was kept, {after} after");
}
