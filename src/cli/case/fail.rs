//! Why a case was not read or not changed, told so that it can be mended.

use std::io::ErrorKind;
use std::path::Path;

use crate::case::{self, AskError, EditError, ReadError};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::diag::Diagnostic;
use crate::render;
use crate::span::Source;
use crate::store::{StoreError, backup_of};

/// Why a change was refused before anything was written.
pub(super) enum Refusal {
    /// A text of the user's is wrong.
    Text(Box<Source>, Vec<Diagnostic>),
    /// Something else, with its mend.
    Plain(String, String),
}

impl Refusal {
    pub(super) fn of(name: &str, text: &str, list: Vec<Diagnostic>) -> Self {
        Self::Text(Box::new(Source::new(name, text)), list)
    }

    /// An id that the case does not have.
    pub(super) fn no_such(what: &str, id: &str, there: &[&str]) -> Self {
        let help = if there.is_empty() {
            format!("the case has none yet; `palinode case {what}` adds one")
        } else {
            format!("there are: {}", there.join(", "))
        };
        Self::Plain(format!("`{id}` is no {what} of this case"), help)
    }
}

pub(super) fn told(error: EditError<Refusal>, output: &mut Output) -> Exit {
    match error {
        EditError::Read(error) => unread(&error, output),
        EditError::Store(error) => unwritten(&error, output),
        EditError::Refused(Refusal::Text(source, list)) => wrong(&list, &source, output),
        EditError::Refused(Refusal::Plain(message, help)) => plain(&message, &help, output),
        EditError::Broken { text, diagnostics } => broken(&text, &diagnostics, output),
    }
}

/// What would have made the case unreadable.
pub(super) fn broken(text: &Source, diagnostics: &[Diagnostic], output: &mut Output) -> Exit {
    let _ = wrong(diagnostics, text, output);
    output.error("error: nothing was written: the case could not be read afterwards");
    Exit::Wrong
}

pub(super) fn plain(message: &str, help: &str, output: &mut Output) -> Exit {
    output.error(&format!(
        "error: {}\n  help: {}",
        render::safe(message),
        render::safe(help)
    ));
    Exit::Wrong
}

pub(super) fn wrong(list: &[Diagnostic], source: &Source, output: &mut Output) -> Exit {
    output.error(&render::diagnostics(list, source, Output::colour()));
    Exit::Wrong
}

pub(super) fn unasked(error: &AskError, output: &mut Output) -> Exit {
    match error {
        AskError::Wrong { text, diagnostics } => wrong(diagnostics, text, output),
        AskError::Eval(error) => {
            output.error(&format!("error: {error}"));
            Exit::Internal
        }
    }
}

pub(in crate::cli) fn unread(error: &ReadError, output: &mut Output) -> Exit {
    let path = match error {
        ReadError::Damaged { text, diagnostics } => {
            let _ = wrong(diagnostics, text, output);
            output.error(&format!(
                "error: the case is damaged and was left as it is: {} to mend",
                match diagnostics.len() {
                    1 => "one place".to_owned(),
                    n => format!("{n} places"),
                }
            ));
            Path::new(&text.name)
        }
        ReadError::Io { path, error } if error.kind() == ErrorKind::NotFound => {
            return plain(
                &format!("{}: there is no such case", path.display()),
                &format!("`palinode case new {} 'TITLE'` begins one", path.display()),
                output,
            );
        }
        ReadError::Io { path, .. } | ReadError::TooLarge { path } => {
            return plain(
                &error.to_string(),
                &format!(
                    "name a case file that can be read; {} was left as it is",
                    path.display()
                ),
                output,
            );
        }
        ReadError::NoText { path, .. } => {
            let _ = plain(
                &error.to_string(),
                "save it as UTF-8; the file was left as it is",
                output,
            );
            path
        }
    };
    let backup = backup_of(path);
    if case::load(&backup).is_ok() {
        output.error(&format!(
            "  help: the version before the last change is sound; `palinode case restore {}` puts it \
             back and keeps the damaged one",
            render::safe(&path.display().to_string())
        ));
    }
    Exit::Wrong
}

pub(super) fn unwritten(error: &StoreError, output: &mut Output) -> Exit {
    let help = match error {
        StoreError::Locked { .. } => {
            "wait until it is done, and repeat the command; nothing was changed".to_owned()
        }
        StoreError::Changed { .. } => {
            "repeat the command: it starts from the new version; nothing was changed".to_owned()
        }
        StoreError::Exists { path } => format!(
            "name another file, or go on with this one: `palinode case show {}`",
            path.display()
        ),
        StoreError::Io { error, .. } => match error.kind() {
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
                "the folder of the case must be writable; nothing was changed"
            }
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
                "make room on the disk, and repeat the command; nothing was changed"
            }
            ErrorKind::NotFound => "the folder of the case must be there; nothing was changed",
            ErrorKind::Unsupported => {
                "this file system knows no locks, so two writers could meet: keep the case on a disk \
                 of this machine; nothing was changed"
            }
            _ => "nothing was changed",
        }
        .to_owned(),
        StoreError::Unconfirmed { .. } => {
            "look at the case, and at the disk, before going on".to_owned()
        }
    };
    let _ = plain(&error.to_string(), &help, output);
    if matches!(error, StoreError::Unconfirmed { .. }) {
        Exit::Internal
    } else {
        Exit::Wrong
    }
}
