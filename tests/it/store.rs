//! Files that are never half written: every step let fail, writers killed, disks full and closed.

mod faults;
mod killed;

use std::fs;
use std::io;
use std::path::PathBuf;
use std::time::Duration;

use palinode::store::{Lock, RealDisk, StoreError, backup_of, create, replace, swap};

/// A file in a folder of its own.
pub(crate) fn file(text: &[u8]) -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("case.toml");
    fs::write(&path, text).unwrap();
    (dir, path)
}

/// Names in a folder, sorted.
pub(crate) fn names(dir: &std::path::Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(dir)
        .unwrap()
        .map(|it| it.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[test]
fn a_replacement_keeps_the_version_before() {
    let (dir, path) = file(b"one");
    let lock = Lock::take(&path).unwrap();
    replace(&RealDisk, &lock, b"one", b"two").unwrap();
    replace(&RealDisk, &lock, b"two", b"three").unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"three");
    assert_eq!(fs::read(backup_of(&path)).unwrap(), b"two");
    swap(&RealDisk, &lock).unwrap();
    assert_eq!(fs::read(&path).unwrap(), b"two");
    assert_eq!(fs::read(backup_of(&path)).unwrap(), b"three");
    assert_eq!(
        names(dir.path()),
        [".case.toml.lock", "case.toml", "case.toml.bak"]
    );
}

#[test]
fn a_file_changed_meanwhile_is_not_overwritten() {
    let (dir, path) = file(b"one");
    let lock = Lock::take(&path).unwrap();
    fs::write(&path, b"by hand").unwrap();
    let error = replace(&RealDisk, &lock, b"one", b"two").unwrap_err();
    assert!(matches!(error, StoreError::Changed { .. }), "{error}");
    assert_eq!(fs::read(&path).unwrap(), b"by hand");
    fs::remove_file(&path).unwrap();
    let error = replace(&RealDisk, &lock, b"one", b"two").unwrap_err();
    assert!(matches!(error, StoreError::Changed { .. }), "{error}");
    assert_eq!(names(dir.path()), [".case.toml.lock"]);
}

#[test]
fn a_new_file_takes_nobodys_place() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("case.toml");
    let lock = Lock::take(&path).unwrap();
    create(&RealDisk, &lock, b"one").unwrap();
    let error = create(&RealDisk, &lock, b"two").unwrap_err();
    assert!(matches!(error, StoreError::Exists { .. }), "{error}");
    assert_eq!(fs::read(&path).unwrap(), b"one");
    assert_eq!(names(dir.path()), [".case.toml.lock", "case.toml"]);
}

#[test]
fn one_writer_at_a_time() {
    let (_dir, path) = file(b"one");
    let first = Lock::take(&path).unwrap();
    let second = Lock::take_within(&path, Duration::ZERO).unwrap_err();
    assert!(matches!(second, StoreError::Locked { .. }), "{second}");
    // Who waits gets it when the first is done.
    let waiting = std::thread::spawn({
        let path = path.clone();
        move || Lock::take(&path).map(drop)
    });
    std::thread::sleep(Duration::from_millis(60));
    drop(first);
    waiting.join().unwrap().unwrap();
}

#[cfg(unix)]
#[test]
fn a_link_is_followed_and_permissions_stay() {
    use std::os::unix::fs::PermissionsExt;
    let (dir, path) = file(b"one");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    let link = dir.path().join("link.toml");
    std::os::unix::fs::symlink(&path, &link).unwrap();
    let lock = Lock::take(&link).unwrap();
    replace(&RealDisk, &lock, b"one", b"two").unwrap();
    assert!(link.symlink_metadata().unwrap().is_symlink());
    assert_eq!(fs::read(&path).unwrap(), b"two");
    for it in [&path, &backup_of(&path)] {
        let mode = it.metadata().unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o640, "{}", it.display());
    }
    // A link that lies where the new version goes is not written through.
    let outside = dir.path().join("outside");
    fs::write(&outside, b"mine").unwrap();
    std::os::unix::fs::symlink(&outside, dir.path().join(".case.toml.new")).unwrap();
    replace(&RealDisk, &lock, b"two", b"three").unwrap();
    assert_eq!(fs::read(&outside).unwrap(), b"mine");
    assert_eq!(fs::read(&path).unwrap(), b"three");
}

#[test]
fn a_folder_that_is_not_there_is_an_error() {
    let dir = tempfile::tempdir().unwrap();
    let error = Lock::take(&dir.path().join("no/case.toml")).unwrap_err();
    let StoreError::Io { error, .. } = error else {
        panic!("{error}")
    };
    assert_eq!(error.kind(), io::ErrorKind::NotFound);
}
