//! A read-only directory over bytes that are already in memory: nothing is copied.

use std::path::Path;
use std::sync::Arc;
use std::{fmt, io};

use tantivy::Directory;
use tantivy::directory::error::{DeleteError, LockError, OpenReadError, OpenWriteError};
use tantivy::directory::{
    DirectoryLock, FileHandle, Lock, OwnedBytes, WatchCallback, WatchHandle, WritePtr,
};

/// Bytes of one file.
#[derive(Clone)]
pub enum Bytes {
    /// Part of the program.
    Static(&'static [u8]),
    /// Made at run time, shared.
    Shared(Arc<[u8]>),
}

impl Bytes {
    fn owned(&self) -> OwnedBytes {
        match self {
            Self::Static(bytes) => OwnedBytes::new(*bytes),
            Self::Shared(bytes) => OwnedBytes::new(Arc::clone(bytes)),
        }
    }
}

#[derive(Clone)]
pub(super) struct Embedded {
    files: Arc<Vec<(String, Bytes)>>,
}

impl Embedded {
    pub(super) fn new(files: Vec<(String, Bytes)>) -> Self {
        Self {
            files: Arc::new(files),
        }
    }

    fn find(&self, path: &Path) -> Result<OwnedBytes, OpenReadError> {
        let name = path.to_string_lossy();
        self.files
            .iter()
            .find(|(own, _)| *own == name)
            .map(|(_, bytes)| bytes.owned())
            .ok_or_else(|| OpenReadError::FileDoesNotExist(path.to_owned()))
    }
}

impl fmt::Debug for Embedded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Embedded({} files)", self.files.len())
    }
}

fn read_only() -> io::Error {
    io::Error::new(
        io::ErrorKind::ReadOnlyFilesystem,
        "the embedded index is read-only",
    )
}

impl Directory for Embedded {
    fn get_file_handle(&self, path: &Path) -> Result<Arc<dyn FileHandle>, OpenReadError> {
        Ok(Arc::new(self.find(path)?))
    }

    fn delete(&self, path: &Path) -> Result<(), DeleteError> {
        Err(DeleteError::IoError {
            io_error: Arc::new(read_only()),
            filepath: path.to_owned(),
        })
    }

    fn exists(&self, path: &Path) -> Result<bool, OpenReadError> {
        let name = path.to_string_lossy();
        Ok(self.files.iter().any(|(own, _)| *own == name))
    }

    fn open_write(&self, path: &Path) -> Result<WritePtr, OpenWriteError> {
        Err(OpenWriteError::wrap_io_error(read_only(), path.to_owned()))
    }

    fn atomic_read(&self, path: &Path) -> Result<Vec<u8>, OpenReadError> {
        Ok(self.find(path)?.to_vec())
    }

    fn atomic_write(&self, _path: &Path, _data: &[u8]) -> io::Result<()> {
        Err(read_only())
    }

    fn sync_directory(&self) -> io::Result<()> {
        Ok(())
    }

    // Nobody can write, so nobody need be kept out.
    fn acquire_lock(&self, _lock: &Lock) -> Result<DirectoryLock, LockError> {
        Ok(DirectoryLock::from(Box::new(())))
    }

    fn watch(&self, _callback: WatchCallback) -> tantivy::Result<WatchHandle> {
        Ok(WatchHandle::empty())
    }
}
