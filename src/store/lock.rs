//! One writer at a time.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use super::StoreError;
use super::replace::beside;

/// How long a writer waits for another before it gives up: one change takes some milliseconds.
const PATIENCE: Duration = Duration::from_secs(5);
/// Pause between two attempts.
const PAUSE: Duration = Duration::from_millis(15);

/// The right to write a file, until it is dropped or the program ends in whatever way: the system
/// itself gives the lock back, so none is ever left behind.
#[derive(Debug)]
pub struct Lock {
    /// Held open for the sake of its lock.
    _file: File,
    path: PathBuf,
}

impl Lock {
    /// Takes the lock of a file, and waits a few seconds for another writer. The lock stands on a
    /// file of its own, `.NAME.lock`, that stays: on the file itself it would go with each rename.
    ///
    /// # Errors
    /// [`StoreError::Locked`] when another holds it for too long, [`StoreError::Io`] where the folder
    /// cannot be written or the file system knows no locks.
    pub fn take(path: &Path) -> Result<Self, StoreError> {
        Self::take_within(path, PATIENCE)
    }

    /// The same with another patience.
    ///
    /// # Errors
    /// As [`Lock::take`].
    pub fn take_within(path: &Path, patience: Duration) -> Result<Self, StoreError> {
        let io = |error| StoreError::Io {
            path: path.to_owned(),
            doing: "lock it",
            error,
        };
        // What links lead to is what is written, and what is locked.
        let path = real(path).map_err(io)?;
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(beside(&path, "lock"))
            .map_err(io)?;
        let start = Instant::now();
        loop {
            match file.try_lock() {
                Ok(()) => return Ok(Self { _file: file, path }),
                Err(TryLockError::Error(error)) => return Err(io(error)),
                Err(TryLockError::WouldBlock) if start.elapsed() >= patience => {
                    return Err(StoreError::Locked { path });
                }
                Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
            }
        }
    }

    /// The file that may be written, links followed.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }
}

/// Where a file really is, or would be.
fn real(path: &Path) -> std::io::Result<PathBuf> {
    match path.canonicalize() {
        Ok(real) => Ok(real),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            let name = path.file_name().ok_or(error)?;
            let folder = match path.parent() {
                Some(folder) if !folder.as_os_str().is_empty() => folder,
                _ => Path::new("."),
            };
            Ok(folder.canonicalize()?.join(name))
        }
        Err(error) => Err(error),
    }
}
