//! A disk that fails at any one step, in every way: it refuses, it writes half, it stops for good.

use std::cell::Cell;
use std::fs::{self, File};
use std::io;
use std::path::Path;

use palinode::store::{Disk, Lock, RealDisk, StoreError, backup_of, create, replace};

use super::{file, names};

/// How the step fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fault {
    /// It is refused, as on a full disk; the steps after it work.
    Refuse,
    /// A write takes some bytes and the next is refused.
    Half,
    /// From here on nothing happens any more: the plug is pulled.
    Stop,
    /// It is interrupted once, as by a signal, and works when it is tried again.
    Interrupt,
}

/// The disk of this machine, which fails at the `at`th step.
struct Faulty {
    fault: Fault,
    at: usize,
    step: Cell<usize>,
    halved: Cell<bool>,
}

impl Faulty {
    fn new(fault: Fault, at: usize) -> Self {
        Self {
            fault,
            at,
            step: Cell::new(0),
            halved: Cell::new(false),
        }
    }

    fn steps(&self) -> usize {
        self.step.get()
    }

    fn next(&self) -> io::Result<()> {
        let step = self.step.get();
        self.step.set(step + 1);
        let fails = match self.fault {
            Fault::Stop => step >= self.at,
            Fault::Refuse | Fault::Half | Fault::Interrupt => step == self.at,
        };
        match (fails, self.fault) {
            (false, _) => Ok(()),
            (true, Fault::Interrupt) => Err(io::ErrorKind::Interrupted.into()),
            (true, _) => Err(io::ErrorKind::StorageFull.into()),
        }
    }
}

impl Disk for Faulty {
    type File = File;

    fn create(&self, path: &Path) -> io::Result<File> {
        self.next()?;
        RealDisk.create(path)
    }

    fn permit_like(&self, file: &File, model: &Path) -> io::Result<()> {
        self.next()?;
        RealDisk.permit_like(file, model)
    }

    fn write(&self, file: &mut File, bytes: &[u8]) -> io::Result<usize> {
        if self.fault == Fault::Half && !self.halved.get() && self.step.get() + 1 == self.at {
            self.halved.set(true);
            self.step.set(self.step.get() + 1);
            return RealDisk.write(file, &bytes[..bytes.len() / 2]);
        }
        self.next()?;
        RealDisk.write(file, bytes)
    }

    fn sync(&self, file: &File) -> io::Result<()> {
        self.next()?;
        RealDisk.sync(file)
    }

    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.next()?;
        RealDisk.read(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.next()?;
        RealDisk.rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.next()?;
        RealDisk.link(from, to)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.next()?;
        RealDisk.sync_folder(folder)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.next()?;
        RealDisk.remove(path)
    }
}

const OLDER: &[u8] = b"the version before";
const OLD: &[u8] = b"the old version, which is a little longer";
const NEW: &[u8] = b"the new version, which is longer than the old one by some words";

#[test]
fn a_replacement_that_fails_at_any_step_loses_nothing() {
    for fault in [Fault::Refuse, Fault::Half, Fault::Stop, Fault::Interrupt] {
        let mut failed = 0;
        let mut steps = usize::MAX;
        let mut at = 0;
        while at <= steps {
            let (dir, path) = file(OLDER);
            let lock = Lock::take(&path).unwrap();
            replace(&RealDisk, &lock, OLDER, OLD).unwrap();
            let disk = Faulty::new(fault, at);
            let result = replace(&disk, &lock, OLD, NEW);
            let now = fs::read(&path).unwrap();
            let before = fs::read(backup_of(&path)).unwrap();
            let what = format!("{fault:?} at step {at}: {result:?}");
            match &result {
                Ok(()) => {
                    assert_eq!(now, NEW, "{what}");
                    assert_eq!(before, OLD, "{what}");
                }
                Err(StoreError::Unconfirmed { .. }) => {
                    assert_eq!(now, NEW, "{what}");
                    assert_eq!(before, OLD, "{what}");
                    failed += 1;
                }
                Err(_) => {
                    assert_eq!(now, OLD, "{what}");
                    assert!(before == OLDER || before == OLD, "{what}");
                    failed += 1;
                }
            }
            // Whatever was left behind, the next writer clears it away.
            replace(&RealDisk, &lock, &now, b"after").unwrap();
            assert_eq!(fs::read(&path).unwrap(), b"after", "{what}");
            assert_eq!(fs::read(backup_of(&path)).unwrap(), now, "{what}");
            assert_eq!(
                names(dir.path()),
                [".case.toml.lock", "case.toml", "case.toml.bak"],
                "{what}"
            );
            if at == 0 {
                steps = Faulty::new(fault, usize::MAX).all(&lock);
            }
            at += 1;
        }
        assert!(steps > 8, "{steps} steps only");
        // A signal that comes between does not stop a write.
        if fault == Fault::Interrupt {
            assert!(failed < steps, "{failed} of {steps}");
        } else {
            assert!(failed >= steps / 2, "{fault:?}: {failed} of {steps}");
        }
    }
}

impl Faulty {
    /// How many steps a whole replacement takes.
    fn all(&self, lock: &Lock) -> usize {
        let old = fs::read(lock.path()).unwrap();
        replace(self, lock, &old, NEW).unwrap();
        self.steps()
    }
}

#[test]
fn a_first_version_is_there_whole_or_not_at_all() {
    for fault in [Fault::Refuse, Fault::Half, Fault::Stop] {
        for at in 0..10 {
            let dir = tempfile::tempdir().unwrap();
            let path = dir.path().join("case.toml");
            let lock = Lock::take(&path).unwrap();
            let disk = Faulty::new(fault, at);
            let result = create(&disk, &lock, NEW);
            let what = format!("{fault:?} at step {at}: {result:?}");
            match fs::read(&path) {
                Ok(now) => assert_eq!(now, NEW, "{what}"),
                Err(error) => {
                    assert_eq!(error.kind(), io::ErrorKind::NotFound, "{what}");
                    assert!(result.is_err(), "{what}");
                }
            }
            let again = create(&RealDisk, &lock, NEW);
            assert_eq!(
                again.is_ok(),
                !matches!(again, Err(StoreError::Exists { .. }))
            );
            assert_eq!(fs::read(&path).unwrap(), NEW, "{what}");
        }
    }
}
