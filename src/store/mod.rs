//! Files that are never half written: a file is replaced whole or not at all, one writer at a time,
//! and what it held before lies beside it.
//!
//! What happens in a replacement, in this order:
//!
//! 1. the new version goes into a file of its own in the same folder, which is flushed to the disk;
//! 2. the file is compared with what the writer had read: if somebody changed it since, the writer
//!    gives up;
//! 3. the old version goes, by the same way, to `NAME.bak`;
//! 4. the new version takes the place of the old one by a rename, which the system does at once or
//!    not at all;
//! 5. the folder is flushed, so that the rename holds when the power fails.
//!
//! Whatever stops the program, `NAME` holds the old version or the new one, whole. What a stopped
//! writer left behind (`.NAME.new`, `.NAME.old`) is taken away by the next.

mod disk;
mod lock;
mod replace;

pub use disk::{Disk, RealDisk};
pub use lock::Lock;
pub use replace::{backup_of, create, overwrite, replace, swap};

use std::path::PathBuf;

/// Why a file was not written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Another writer holds the lock.
    #[error("{}: another program is writing to it", path.display())]
    Locked {
        /// The file.
        path: PathBuf,
    },
    /// It is not what was read: somebody changed it meanwhile.
    #[error("{}: changed by another program meanwhile", path.display())]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// There is a file of this name already.
    #[error("{}: there is one already", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The system refused; the file is as it was.
    #[error("{}: cannot {doing}: {error}", path.display())]
    Io {
        /// The file that was to be written.
        path: PathBuf,
        /// What was being done.
        doing: &'static str,
        /// Why it was refused.
        error: std::io::Error,
    },
    /// The new version is in place, but the disk did not say that it will stay.
    #[error("{}: written, but the disk did not confirm it: {error}", path.display())]
    Unconfirmed {
        /// The file.
        path: PathBuf,
        /// What the disk said.
        error: std::io::Error,
    },
}
