//! The pack of a studio's folder, kept between two questions: reading and linting two thousand
//! records takes a hundred times as long as finding that none of them changed.
//!
//! One file a folder, in the user's cache folder. It counts only when the seal at its end is that of
//! its bytes, of this very program and of every file of the studio's folder as it is now; anything
//! else is made anew. So it may be deleted at any time, two programs may make it at once, and one
//! that was cut short or changed is never read.

use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

use twox_hash::XxHash3_128;

use crate::corpus::{self, LoadError};
use crate::store::{Lock, RealDisk, overwrite};

/// Files of a folder from which the pack is read and summed up while they are: both take as long then.
const MANY: usize = 200;

/// Seal at the end of a kept pack: key, sum over the pack and the number of warnings, that number.
const SEAL: usize = 16 + 16 + 4;

/// A pack that was kept for this folder as it is now.
pub(super) struct Kept {
    pub(super) pack: Vec<u8>,
    /// Warnings that reading the folder gave.
    pub(super) warnings: u32,
}

/// Where the pack of a folder is kept, and what it must have been made of.
pub(super) struct Cache {
    path: PathBuf,
    key: u128,
}

impl Cache {
    /// The cache of a folder, and what was kept, if it holds for the folder as it is; `None` where there is no
    /// folder for caches, or this program cannot tell itself from another.
    ///
    /// # Errors
    /// When the studio's folder cannot be read.
    pub(super) fn of(dir: &Path) -> Result<Option<(Self, Option<Kept>)>, LoadError> {
        let (Some(caches), Some(program)) = (caches(), program()) else {
            return Ok(None);
        };
        let whole = dir.canonicalize().unwrap_or_else(|_| dir.to_owned());
        let name = XxHash3_128::oneshot(whole.as_os_str().as_encoded_bytes());
        let path = caches.join(format!("overlay-{name:032x}.pack"));
        let files = corpus::files_of(dir)?;
        let (key, sealed) = if files.len() < MANY {
            (key(&program, dir, &files)?, Sealed::read(&path))
        } else {
            std::thread::scope(|scope| {
                let sealed = scope.spawn(|| Sealed::read(&path));
                let key = key(&program, dir, &files)?;
                // One that could not be read is made anew.
                Ok((key, sealed.join().ok().flatten()))
            })?
        };
        let kept = sealed.filter(|it| it.key == key).map(|it| it.kept);
        Ok(Some((Self { path, key }, kept)))
    }

    /// Keeps a pack. What goes wrong is nobody's concern: the next question makes it again.
    pub(super) fn keep(&self, pack: &[u8], warnings: usize) {
        let _ = self.try_keep(pack, warnings);
    }

    fn try_keep(&self, pack: &[u8], warnings: usize) -> io::Result<()> {
        if let Some(folder) = self.path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let mut bytes = Vec::with_capacity(pack.len() + SEAL);
        bytes.extend_from_slice(pack);
        bytes.extend_from_slice(&self.key.to_le_bytes());
        let warnings = u32::try_from(warnings).unwrap_or(u32::MAX);
        bytes.extend_from_slice(&sum_of(pack, warnings).to_le_bytes());
        bytes.extend_from_slice(&warnings.to_le_bytes());
        // Who holds the lock is writing the same.
        let lock =
            Lock::take_within(&self.path, std::time::Duration::ZERO).map_err(io::Error::other)?;
        overwrite(&RealDisk, &lock, &bytes).map_err(io::Error::other)
    }
}

/// A kept pack whose sum holds, and what it was made of.
struct Sealed {
    key: u128,
    kept: Kept,
}

impl Sealed {
    fn read(path: &Path) -> Option<Self> {
        let mut bytes = std::fs::read(path).ok()?;
        let (body, seal) = bytes.split_last_chunk::<SEAL>()?;
        let (key, rest) = seal.split_first_chunk::<16>()?;
        let (sum, warnings) = rest.split_first_chunk::<16>()?;
        let warnings = u32::from_le_bytes(*warnings.first_chunk()?);
        let key = u128::from_le_bytes(*key);
        let holds = u128::from_le_bytes(*sum) == sum_of(body, warnings);
        bytes.truncate(bytes.len() - SEAL);
        let kept = Kept {
            pack: bytes,
            warnings,
        };
        holds.then_some(Self { key, kept })
    }
}

/// What a pack must have been made of: this program, the folder by the name that was typed, which the answer
/// repeats, and every file of it.
fn key(program: &[u8], dir: &Path, files: &[PathBuf]) -> Result<u128, LoadError> {
    let mut hash = Hash::new();
    hash.add(program);
    hash.add(dir.as_os_str().as_encoded_bytes());
    let mut bytes = Vec::new();
    for file in files {
        let path = dir.join(file);
        bytes.clear();
        std::fs::File::open(&path)
            // Its length is not asked for first: that takes as long as reading it.
            .and_then(|it| it.take(u64::MAX).read_to_end(&mut bytes))
            .map_err(|error| LoadError::Unreadable(path.clone(), error))?;
        hash.add(file.as_os_str().as_encoded_bytes());
        hash.add(&bytes);
    }
    Ok(hash.done())
}

/// Sums up parts, each with its length, so that no two lists of parts read alike.
struct Hash(twox_hash::xxhash3_128::Hasher);

impl Hash {
    fn new() -> Self {
        Self(twox_hash::xxhash3_128::Hasher::new())
    }

    fn add(&mut self, part: &[u8]) {
        self.0.write(&(part.len() as u64).to_le_bytes());
        self.0.write(part);
    }

    fn done(self) -> u128 {
        self.0.finish_128()
    }
}

fn sum_of(pack: &[u8], warnings: u32) -> u128 {
    let mut hash = Hash::new();
    hash.add(pack);
    hash.add(&warnings.to_le_bytes());
    hash.done()
}

/// The folder for caches: what `PALINODE_CACHE` names (empty: none), else the user's.
fn caches() -> Option<PathBuf> {
    if let Some(own) = std::env::var_os("PALINODE_CACHE") {
        return (!own.is_empty()).then(|| PathBuf::from(own));
    }
    // A relative folder is to be ignored, as the specification of base directories says.
    let absolute = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
    };
    let caches =
        absolute("XDG_CACHE_HOME").or_else(|| absolute("HOME").map(|home| home.join(".cache")))?;
    Some(caches.join("palinode"))
}

/// What tells this program from one that was built another time: its version, length and date.
fn program() -> Option<Vec<u8>> {
    let file = std::env::current_exe().ok()?.metadata().ok()?;
    let built = file.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    let mut out = env!("CARGO_PKG_VERSION").as_bytes().to_vec();
    out.extend(file.len().to_le_bytes());
    out.extend(built.as_nanos().to_le_bytes());
    Some(out)
}
