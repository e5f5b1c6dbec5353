//! Standard output and error. A reader that went away is not an error.

use std::io::{IsTerminal, Write};

use terminal_size::{Width, terminal_size_of};

use super::Exit;

/// Columns assumed where there is no terminal to ask.
const COLUMNS: u16 = 80;

/// Most columns that are filled unasked.
const WIDEST: u16 = 110;

/// Where everything is printed.
pub(super) struct Output {
    closed: bool,
    failed: bool,
    /// Whether the terminals show ASCII only.
    ascii: bool,
}

impl Output {
    pub(super) fn new() -> Self {
        Self {
            closed: false,
            failed: false,
            ascii: is_ascii(|name| std::env::var(name).ok()),
        }
    }

    /// Prints text to standard output. What goes into a file or a pipe is UTF-8 in any case.
    pub(super) fn text(&mut self, text: &str) {
        if self.closed || self.failed {
            return;
        }
        let shown;
        let text = if self.ascii && std::io::stdout().is_terminal() {
            shown = crate::render::ascii(text);
            &shown
        } else {
            text
        };
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
        let shown;
        let text = if self.ascii && std::io::stderr().is_terminal() {
            shown = crate::render::ascii(text);
            &shown
        } else {
            text
        };
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

    /// Columns to write in: what `COLUMNS` says, else what the terminal says, else 80. A terminal that is
    /// wider than lines are read with ease is not filled, unless `COLUMNS` asks for it.
    pub(super) fn columns() -> u16 {
        let asked = std::env::var("COLUMNS")
            .ok()
            .and_then(|text| text.trim().parse().ok())
            .filter(|n| (40..=400).contains(n));
        let terminal = || {
            let (Width(columns), _) = terminal_size_of(std::io::stdout())?;
            (columns > 0).then(|| columns.clamp(40, WIDEST))
        };
        asked.or_else(terminal).unwrap_or(COLUMNS)
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

/// Whether the locale names a character set other than UTF-8. The first of the three that is set and
/// not empty counts (POSIX.1-2024, base definitions, section 8.2); where none is, nobody has said that
/// the terminal cannot show UTF-8, and nearly every one can.
fn is_ascii(variable: impl Fn(&str) -> Option<String>) -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .filter_map(variable)
        .find(|value| !value.is_empty());
    locale.is_some_and(|locale| {
        let locale = locale.to_ascii_lowercase();
        !(locale.contains("utf-8") || locale.contains("utf8"))
    })
}

#[cfg(test)]
mod tests {
    use super::is_ascii;

    #[test]
    fn the_locale_says_what_a_terminal_shows() {
        let with = |set: &'static [(&str, &str)]| {
            is_ascii(|name| {
                let found = set.iter().find(|(key, _)| *key == name);
                found.map(|(_, value)| (*value).to_owned())
            })
        };
        assert!(!with(&[]));
        assert!(!with(&[("LANG", "de_DE.UTF-8")]));
        assert!(!with(&[("LANG", "C.utf8")]));
        assert!(with(&[("LANG", "C")]));
        assert!(with(&[("LANG", "en_GB.UTF-8"), ("LC_ALL", "POSIX")]));
        assert!(!with(&[
            ("LANG", "C"),
            ("LC_ALL", ""),
            ("LC_CTYPE", "C.UTF-8")
        ]));
    }
}
