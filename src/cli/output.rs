//! Standard output and error. A reader that went away is not an error.

use std::io::{IsTerminal, Write};

use super::Exit;

/// Columns assumed where there is no terminal to ask.
const COLUMNS: u16 = 80;

/// Where everything is printed.
pub(super) struct Output {
    closed: bool,
    failed: bool,
}

impl Output {
    pub(super) const fn new() -> Self {
        Self {
            closed: false,
            failed: false,
        }
    }

    /// Prints text to standard output.
    pub(super) fn text(&mut self, text: &str) {
        if self.closed || self.failed {
            return;
        }
        let mut stdout = std::io::stdout().lock();
        if let Err(error) = stdout
            .write_all(text.as_bytes())
            .and_then(|()| stdout.flush())
        {
            if error.kind() == std::io::ErrorKind::BrokenPipe {
                self.closed = true;
            } else {
                self.failed = true;
            }
        }
    }

    /// Prints text to standard error. If even that fails there is nobody left to tell.
    pub(super) fn error(&mut self, text: &str) {
        let mut stderr = std::io::stderr().lock();
        let _ = stderr.write_all(text.as_bytes());
        if !text.ends_with('\n') {
            let _ = stderr.write_all(b"\n");
        }
    }

    /// Whether messages may be coloured: a terminal, and nobody said no.
    pub(super) fn colour() -> bool {
        std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()) && std::io::stderr().is_terminal()
    }

    /// Columns of the terminal, from `COLUMNS` or 80.
    pub(super) fn columns() -> u16 {
        std::env::var("COLUMNS")
            .ok()
            .and_then(|text| text.trim().parse().ok())
            .filter(|n| (40..=400).contains(n))
            .unwrap_or(COLUMNS)
    }

    /// Whether nobody reads any more.
    pub(super) const fn is_closed(&self) -> bool {
        self.closed || self.failed
    }

    /// The exit code: a closed pipe is no fault, a full disk is.
    pub(super) const fn finish(&self, exit: Exit) -> Exit {
        if self.closed {
            Exit::Answered
        } else if self.failed {
            Exit::Internal
        } else {
            exit
        }
    }
}
