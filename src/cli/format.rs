//! `palinode fmt`

use super::output::Output;
use super::{Exit, ask};
use crate::span::Source;
use crate::{lang, render};

pub(super) fn run(query: &str, output: &mut Output) -> Exit {
    let Some(text) = ask::read(query, output) else {
        return Exit::Wrong;
    };
    match lang::parse(&text) {
        Ok(file) => {
            let shown = lang::format(&file, &text);
            output.text(shown.trim_end());
            output.text("\n");
            Exit::Answered
        }
        Err(list) => {
            let source = Source::new("query", text);
            output.error(&render::diagnostics(&list, &source, Output::colour()));
            Exit::Wrong
        }
    }
}
