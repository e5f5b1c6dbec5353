//! A case file on disk.

use std::path::{Path, PathBuf};

use super::read::parse;
use super::record::Case;
use crate::diag::Diagnostic;
use crate::span::Source;

/// Largest case file that is read, in bytes.
const LARGEST: u64 = 16 << 20;

/// A case file that was read.
#[derive(Clone, Debug)]
pub struct CaseFile {
    /// Where it is.
    pub path: PathBuf,
    /// Its text, for messages.
    pub source: Source,
    /// What it holds.
    pub case: Case,
    /// Remarks that do not stand in the way.
    pub remarks: Vec<Diagnostic>,
}

impl CaseFile {
    /// The folder of the case, from which photographs are named.
    #[must_use]
    pub fn folder(&self) -> &Path {
        match self.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        }
    }
}

/// Why a case file cannot be read. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// The file cannot be opened or read.
    #[error("{}: {error}", path.display())]
    Io {
        /// Where.
        path: PathBuf,
        /// Why.
        error: std::io::Error,
    },
    /// It is larger than any case.
    #[error("{}: larger than {LARGEST} bytes, so it is no case file", path.display())]
    TooLarge {
        /// Where.
        path: PathBuf,
    },
    /// It is not UTF-8 text.
    #[error("{}: not UTF-8 text: byte {at} is none", path.display())]
    NoText {
        /// Where.
        path: PathBuf,
        /// Offset of the first byte that is no text.
        at: usize,
    },
    /// It is damaged: each place with its mend.
    #[error("{}: damaged in {} places", text.name, diagnostics.len())]
    Damaged {
        /// The text.
        text: Box<Source>,
        /// What is wrong, in the order of the file.
        diagnostics: Vec<Diagnostic>,
    },
}

/// Reads a case file.
///
/// # Errors
/// When it cannot be read, or is damaged; then every place is named.
pub fn load(path: &Path) -> Result<CaseFile, ReadError> {
    let io = |error| ReadError::Io {
        path: path.to_owned(),
        error,
    };
    let bytes = std::fs::read(path).map_err(io)?;
    from_bytes(path, bytes)
}

/// The case in the bytes of a file.
///
/// # Errors
/// As [`load`].
pub(super) fn from_bytes(path: &Path, bytes: Vec<u8>) -> Result<CaseFile, ReadError> {
    if bytes.len() as u64 > LARGEST {
        return Err(ReadError::TooLarge {
            path: path.to_owned(),
        });
    }
    let text = String::from_utf8(bytes).map_err(|error| ReadError::NoText {
        path: path.to_owned(),
        at: error.utf8_error().valid_up_to(),
    })?;
    let source = Source::new(path.display().to_string(), text);
    match parse(&source.text) {
        Ok((case, remarks)) => Ok(CaseFile {
            path: path.to_owned(),
            source,
            case,
            remarks,
        }),
        Err(diagnostics) => Err(ReadError::Damaged {
            text: Box::new(source),
            diagnostics,
        }),
    }
}
