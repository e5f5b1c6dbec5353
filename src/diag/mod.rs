//! Diagnostics as plain data: what went wrong, where, and what to type.
//!
//! The modules that find a mistake build a [`Diagnostic`]; `render` and `cli`
//! turn it into text or JSON. Messages are lower case, without a final stop
//! and without a second person; `help` says the exact text to type.

mod codes;
mod suggest;

use serde::Serialize;

use crate::span::Span;

pub use codes::{AREAS, CODES, CodeEntry, code_entry};
pub use suggest::{did_you_mean, turns_round};

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; the answer stands.
    Note,
    /// Likely a slip; the answer stands.
    Warning,
    /// No answer.
    Error,
}

impl Severity {
    /// The word shown before the code.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// A remark at one place of the source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// What is wrong, or what matters, just there.
    pub text: String,
    /// Whether this is the place of the mistake itself; exactly one label of
    /// a diagnostic is.
    pub primary: bool,
}

/// A change of the source that puts the mistake right.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Edit {
    /// What to replace; empty to insert.
    pub span: Span,
    /// What to put there.
    pub replacement: String,
}

impl Edit {
    /// The text with the change made; unchanged when the span does not fit.
    #[must_use]
    pub fn apply(&self, text: &str) -> String {
        let range = self.span.range();
        match (text.get(..range.start), text.get(range.end..)) {
            (Some(before), Some(after)) => format!("{before}{}{after}", self.replacement),
            _ => text.to_owned(),
        }
    }
}

/// One mistake or remark.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// Stable code, listed in [`CODES`].
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong, in one line.
    pub message: String,
    /// Where; the primary label first.
    pub labels: Vec<Label>,
    /// Facts that bear on it.
    pub notes: Vec<String>,
    /// What to type.
    pub help: Option<String>,
    /// The change that does it, where there is only one.
    pub edit: Option<Edit>,
}

impl Diagnostic {
    /// A diagnostic without a place yet.
    #[must_use]
    pub fn new(code: &'static str, severity: Severity, message: impl Into<String>) -> Self {
        Self {
            code,
            severity,
            message: message.into(),
            labels: Vec::new(),
            notes: Vec::new(),
            help: None,
            edit: None,
        }
    }

    /// An error without a place yet.
    #[must_use]
    pub fn error(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, message)
    }

    /// A warning without a place yet.
    #[must_use]
    pub fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, message)
    }

    /// Adds the label at the place of the mistake.
    #[must_use]
    pub fn at(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.insert(
            0,
            Label {
                span,
                text: text.into(),
                primary: true,
            },
        );
        self
    }

    /// Adds a label at another place that matters.
    #[must_use]
    pub fn and_at(mut self, span: Span, text: impl Into<String>) -> Self {
        self.labels.push(Label {
            span,
            text: text.into(),
            primary: false,
        });
        self
    }

    /// Adds a fact.
    #[must_use]
    pub fn note(mut self, text: impl Into<String>) -> Self {
        self.notes.push(text.into());
        self
    }

    /// Says what to type.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// Gives the change that puts it right.
    #[must_use]
    pub fn edit(mut self, span: Span, replacement: impl Into<String>) -> Self {
        self.edit = Some(Edit {
            span,
            replacement: replacement.into(),
        });
        self
    }

    /// Where the mistake is; `None` if it has no place.
    #[must_use]
    pub fn span(&self) -> Option<Span> {
        self.labels
            .iter()
            .find(|label| label.primary)
            .map(|label| label.span)
    }
}
