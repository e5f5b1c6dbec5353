//! Putting a new version in the place of an old one.

use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};

use super::{Disk, Lock, StoreError};

/// Where the version before the last change lies: `NAME.bak`.
#[must_use]
pub fn backup_of(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".bak");
    path.with_file_name(name)
}

/// A hidden file beside another: `.NAME.ending`.
pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(path.file_name().unwrap_or_default());
    name.push(".");
    name.push(ending);
    path.with_file_name(name)
}

/// Puts `new` in the place of the locked file, which must hold `old` still; `old` goes to its
/// backup.
///
/// # Errors
/// [`StoreError::Changed`] when the file holds something else, [`StoreError::Io`] when the system
/// refuses a step: in both cases the file is as it was. [`StoreError::Unconfirmed`] when the last
/// step, the flushing of the folder, failed.
pub fn replace<D: Disk>(disk: &D, lock: &Lock, old: &[u8], new: &[u8]) -> Result<(), StoreError> {
    let path = lock.path();
    let unchanged = || match disk.read(path) {
        Ok(now) if now == old => Ok(()),
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(refused(path, "read it again", error))
        }
        _ => Err(StoreError::Changed {
            path: path.to_owned(),
        }),
    };
    unchanged()?;
    let fresh = Part::write(disk, path, "new", new, Some(path))?;
    // Looked at again as late as can be: who edits by hand takes no lock.
    unchanged()?;
    let past = Part::write(disk, path, "old", old, Some(path))?;
    past.become_file(&backup_of(path), "keep the version before")?;
    fresh.become_file(path, "put the new version in place")?;
    confirm(disk, path)
}

/// Puts the version before in the place of the locked file, and that in the place of the version
/// before.
///
/// # Errors
/// When one of them cannot be read, or as [`replace`].
pub fn swap<D: Disk>(disk: &D, lock: &Lock) -> Result<(), StoreError> {
    let path = lock.path();
    let read = |file: &Path| {
        disk.read(file)
            .map_err(|error| refused(path, "read it", error))
    };
    let old = read(path)?;
    let new = read(&backup_of(path))?;
    replace(disk, lock, &old, &new)
}

/// Writes a locked file that is not there yet.
///
/// # Errors
/// [`StoreError::Exists`] when it is, else as [`replace`].
pub fn create<D: Disk>(disk: &D, lock: &Lock, new: &[u8]) -> Result<(), StoreError> {
    let path = lock.path();
    let exists = || StoreError::Exists {
        path: path.to_owned(),
    };
    if path.symlink_metadata().is_ok() {
        return Err(exists());
    }
    let fresh = Part::write(disk, path, "new", new, None)?;
    // A second name is refused where there is a file, which a rename would put away unseen.
    match disk.link(&fresh.path, path) {
        Ok(()) => {}
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Err(exists()),
        // Not every file system has second names.
        Err(_) if path.symlink_metadata().is_ok() => return Err(exists()),
        Err(_) => fresh.become_file(path, "put it in place")?,
    }
    confirm(disk, path)
}

/// Writes a locked file, whatever it holds, and keeps nothing of that: for what can be made again.
///
/// # Errors
/// [`StoreError::Io`] when the system refuses a step: the file is as it was.
/// [`StoreError::Unconfirmed`] as [`replace`].
pub fn overwrite<D: Disk>(disk: &D, lock: &Lock, new: &[u8]) -> Result<(), StoreError> {
    let path = lock.path();
    Part::write(disk, path, "new", new, None)?.become_file(path, "put it in place")?;
    confirm(disk, path)
}

fn confirm<D: Disk>(disk: &D, path: &Path) -> Result<(), StoreError> {
    let folder = path.parent().unwrap_or_else(|| Path::new("."));
    disk.sync_folder(folder)
        .map_err(|error| StoreError::Unconfirmed {
            path: path.to_owned(),
            error,
        })
}

fn refused(path: &Path, doing: &'static str, error: io::Error) -> StoreError {
    StoreError::Io {
        path: path.to_owned(),
        doing,
        error,
    }
}

/// A whole version under a name of its own, which goes when nothing comes of it.
struct Part<'a, D: Disk> {
    disk: &'a D,
    path: PathBuf,
    target: &'a Path,
}

impl<'a, D: Disk> Part<'a, D> {
    /// Writes and flushes it. `model` gives its permissions.
    fn write(
        disk: &'a D,
        target: &'a Path,
        ending: &str,
        bytes: &[u8],
        model: Option<&Path>,
    ) -> Result<Self, StoreError> {
        let path = beside(target, ending);
        let doing = "write the new version";
        // Left behind by a writer that was stopped: nobody else writes while this one has the lock.
        match disk.remove(&path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => {
                return Err(refused(
                    target,
                    "take away what a stopped writer left",
                    error,
                ));
            }
            _ => {}
        }
        let mut file = disk
            .create(&path)
            .map_err(|error| refused(target, doing, error))?;
        let part = Self { disk, path, target };
        let done = (|| {
            if let Some(model) = model {
                disk.permit_like(&file, model)?;
            }
            let mut rest = bytes;
            while !rest.is_empty() {
                match disk.write(&mut file, rest) {
                    Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
                    Ok(n) => rest = rest.get(n..).unwrap_or_default(),
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                    Err(error) => return Err(error),
                }
            }
            disk.sync(&file)
        })();
        match done {
            Ok(()) => Ok(part),
            Err(error) => Err(refused(target, doing, error)),
        }
    }

    fn become_file(&self, path: &Path, doing: &'static str) -> Result<(), StoreError> {
        self.disk
            .rename(&self.path, path)
            .map_err(|error| refused(self.target, doing, error))
    }
}

impl<D: Disk> Drop for Part<'_, D> {
    fn drop(&mut self) {
        // After a rename there is nothing left to take away. What cannot be taken away is taken away
        // by the next writer.
        let _ = self.disk.remove(&self.path);
    }
}
