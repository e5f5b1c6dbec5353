//! What a replacement asks of the system, one method a step, so that a test can let any of them
//! fail.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

/// The steps of writing a file.
pub trait Disk {
    /// An open file.
    type File;

    /// Creates a file that must not be there yet, links not followed.
    ///
    /// # Errors
    /// As the system has them.
    fn create(&self, path: &Path) -> io::Result<Self::File>;

    /// Gives a file the permissions of another.
    ///
    /// # Errors
    /// As the system has them.
    fn permit_like(&self, file: &Self::File, model: &Path) -> io::Result<()>;

    /// Writes some bytes and says how many.
    ///
    /// # Errors
    /// As the system has them: a full disk among others.
    fn write(&self, file: &mut Self::File, bytes: &[u8]) -> io::Result<usize>;

    /// Flushes a file to the disk.
    ///
    /// # Errors
    /// As the system has them.
    fn sync(&self, file: &Self::File) -> io::Result<()>;

    /// Reads a file whole.
    ///
    /// # Errors
    /// As the system has them.
    fn read(&self, path: &Path) -> io::Result<Vec<u8>>;

    /// Puts a file in the place of another.
    ///
    /// # Errors
    /// As the system has them.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Gives a file a second name that must not be there yet.
    ///
    /// # Errors
    /// As the system has them.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Flushes a folder to the disk.
    ///
    /// # Errors
    /// As the system has them.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;

    /// Takes a file away.
    ///
    /// # Errors
    /// As the system has them.
    fn remove(&self, path: &Path) -> io::Result<()>;
}

/// The disk of this machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    type File = File;

    fn create(&self, path: &Path) -> io::Result<File> {
        OpenOptions::new().write(true).create_new(true).open(path)
    }

    fn permit_like(&self, file: &File, model: &Path) -> io::Result<()> {
        file.set_permissions(fs::metadata(model)?.permissions())
    }

    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<usize> {
        file.write(bytes)
    }

    fn sync(&self, file: &File) -> io::Result<()> {
        file.sync_all()
    }

    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        fs::read(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        // Some systems cannot open a folder, some file systems cannot flush one: there the rename is
        // as lasting as it gets.
        #[cfg(unix)]
        match File::open(folder).and_then(|it| it.sync_all()) {
            Err(error)
                if !matches!(
                    error.kind(),
                    io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported
                ) =>
            {
                return Err(error);
            }
            _ => {}
        }
        #[cfg(not(unix))]
        let _ = folder;
        Ok(())
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }
}
