//! The line editor: it asks elsewhere what may follow, what is whole, and how a line is coloured.

use std::borrow::Cow;

use rustyline::completion::{Completer, Pair};
use rustyline::config::{BellStyle, ColorMode, Config};
use rustyline::highlight::{CmdKind, Highlighter};
use rustyline::hint::Hinter;
use rustyline::history::FileHistory;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{CompletionType, Context, Helper, Result};

use super::{COMMANDS, command, help, is_ready, paint};
use crate::cli::output::Output;
use crate::complete::{Bound, Candidate, Vocabulary, complete};
use crate::render::safe;
use crate::resolve::Bindings;

/// The editor with its history.
pub(super) type Editor = rustyline::Editor<Editing, FileHistory>;

/// Lines of history that are kept.
const MOST_LINES: usize = 2_000;
/// Lines of the screen where there is no terminal to ask.
const ROWS: usize = 24;
/// Lines of the screen that stay free of candidates.
const FREE: usize = 4;
/// Widest column of names in a list of candidates.
const WIDEST_NAME: usize = 34;

/// Opens the terminal for editing.
pub(super) fn open(editing: Editing) -> Result<Editor> {
    let colour = if Output::colour() {
        ColorMode::Enabled
    } else {
        ColorMode::Disabled
    };
    let config = Config::builder()
        .max_history_size(MOST_LINES)?
        .history_ignore_dups(true)?
        .completion_type(CompletionType::List)
        .completion_show_all_if_ambiguous(true)
        .completion_prompt_limit(usize::MAX)
        .bell_style(BellStyle::None)
        .color_mode(colour)
        .build();
    let mut editor = Editor::with_config(config)?;
    editor.set_helper(Some(editing));
    Ok(editor)
}

/// What the editor asks.
pub(super) struct Editing {
    vocabulary: Vocabulary,
    bound: Vec<Bound>,
    columns: usize,
    rows: usize,
}

impl Editing {
    pub(super) fn new(vocabulary: Vocabulary) -> Self {
        Self {
            vocabulary,
            bound: Vec::new(),
            columns: usize::from(Output::columns()),
            rows: ROWS,
        }
    }

    /// Takes over the `let` names of the session.
    pub(super) fn bind(&mut self, bindings: &Bindings) {
        self.bound = bindings
            .iter()
            .map(|(name, verb)| Bound {
                name: name.clone(),
                verb: *verb,
            })
            .collect();
    }

    /// Takes over the size of the terminal.
    pub(super) fn fit(&mut self, columns: u16, rows: u16) {
        self.columns = usize::from(columns);
        self.rows = usize::from(rows);
    }

    fn candidates(&self, text: &str) -> Vec<Candidate> {
        if let Some(topic) = text.trim_start().strip_prefix("help ") {
            return help::topics(topic, text.len() - topic.len());
        }
        let mut list = complete(text, text.len(), &self.vocabulary, &self.bound);
        let word = text.trim_start();
        if !word.contains(char::is_whitespace) {
            let from = text.len() - word.len();
            let fits = COMMANDS.iter().filter(|(name, _)| name.starts_with(word));
            list.extend(fits.map(|(name, about)| Candidate {
                from,
                replacement: (*name).to_owned(),
                display: (*name).to_owned(),
                description: (*about).to_owned(),
            }));
        }
        list
    }
}

impl Helper for Editing {}

impl Hinter for Editing {
    type Hint = String;
}

impl Completer for Editing {
    type Candidate = Pair;

    fn complete(&self, line: &str, pos: usize, _: &Context<'_>) -> Result<(usize, Vec<Pair>)> {
        let text = line.get(..pos).unwrap_or(line);
        let list = self.candidates(text);
        // The editor wants one start for all.
        let start = list.iter().map(|c| c.from).min().unwrap_or(pos);
        let shown = shown(&list, self.columns);
        let pairs = list.iter().zip(shown).map(|(candidate, display)| Pair {
            display,
            replacement: format!(
                "{}{}",
                text.get(start..candidate.from).unwrap_or_default(),
                candidate.replacement
            ),
        });
        let most = self.rows.saturating_sub(FREE).max(5);
        Ok((start, cut(pairs.collect(), most)))
    }
}

/// As many candidates as fit the screen. The editor would ask and page instead, and take what is
/// typed meanwhile for an answer. What all of them begin with stays what they all begin with.
fn cut(mut pairs: Vec<Pair>, most: usize) -> Vec<Pair> {
    if pairs.len() <= most {
        return pairs;
    }
    let mut common = pairs[0].replacement.as_str();
    for pair in &pairs {
        let same = common
            .char_indices()
            .zip(pair.replacement.chars())
            .find(|((_, a), b)| a != b)
            .map_or(pair.replacement.len(), |((at, _), _)| at);
        common = &common[..same.min(common.len())];
    }
    let rest = Pair {
        display: format!("... and {} more: type a letter or two", pairs.len() - most),
        replacement: common.to_owned(),
    };
    pairs.truncate(most);
    pairs.push(rest);
    pairs
}

/// One line a candidate: its name, and what it is, cut at the edge of the screen.
fn shown(list: &[Candidate], columns: usize) -> Vec<String> {
    let names: Vec<String> = list.iter().map(|c| safe(c.display.trim_start())).collect();
    let widest = names.iter().map(|n| n.chars().count()).max().unwrap_or(0);
    let width = widest.min(WIDEST_NAME);
    let mut out: Vec<String> = names
        .iter()
        .zip(list)
        .map(|(name, candidate)| {
            let line = format!("{name:<width$}  {}", safe(&candidate.description));
            let line = line.trim_end();
            let most = columns.saturating_sub(1).max(1);
            if line.chars().count() <= most {
                return line.to_owned();
            }
            let cut: String = line.chars().take(most.saturating_sub(3)).collect();
            format!("{}...", cut.trim_end())
        })
        .collect();
    // The editor sets short lines side by side; beside each other these could not be read.
    if let Some(first) = out.first_mut() {
        let half = columns / 2 + 1;
        *first = format!("{first:<half$}");
    }
    out
}

impl Highlighter for Editing {
    fn highlight<'l>(&self, line: &'l str, _: usize) -> Cow<'l, str> {
        if command(line).is_some() {
            return Cow::Borrowed(line);
        }
        Cow::Owned(paint::paint(line))
    }

    fn highlight_char(&self, _: &str, _: usize, kind: CmdKind) -> bool {
        kind != CmdKind::MoveCursor
    }
}

impl Validator for Editing {
    fn validate(&self, context: &mut ValidationContext<'_>) -> Result<ValidationResult> {
        Ok(if is_ready(context.input(), true) {
            ValidationResult::Valid(None)
        } else {
            ValidationResult::Incomplete
        })
    }
}

#[cfg(test)]
mod tests {
    use super::{Pair, cut, shown};
    use crate::complete::Candidate;

    #[test]
    fn a_long_list_is_cut_and_keeps_its_common_beginning() {
        let pair = |text: &str| Pair {
            display: text.to_owned(),
            replacement: text.to_owned(),
        };
        let all = ["glühen", "glas", "glatt", "gl"].map(pair).to_vec();
        let some = cut(all.clone(), 2);
        assert_eq!(some.len(), 3);
        assert_eq!(some[2].replacement, "gl");
        assert!(some[2].display.contains("2 more"));
        assert_eq!(cut(all, 4).len(), 4);
        let apart = cut(["über", "ödem"].map(pair).to_vec(), 1);
        assert_eq!(apart[1].replacement, "");
    }

    #[test]
    fn candidates_fit_the_screen_one_a_line() {
        let one = |name: &str, about: &str| Candidate {
            from: 0,
            replacement: name.to_owned(),
            display: name.to_owned(),
            description: about.to_owned(),
        };
        let list = [
            one("bole", "clay"),
            one("water gilding", &"long ".repeat(40)),
            one("a\u{1b}[31m", "x"),
        ];
        let lines = shown(&list, 40);
        assert!(lines.iter().all(|l| l.chars().count() < 40), "{lines:?}");
        // More than half of the screen each, so that the editor sets none beside another.
        assert!(
            lines.iter().any(|l| l.chars().count() + 2 > 20),
            "{lines:?}"
        );
        assert!(lines[0].starts_with("bole           clay"), "{lines:?}");
        assert!(lines.iter().all(|l| !l.contains('\u{1b}')), "{lines:?}");
    }
}
