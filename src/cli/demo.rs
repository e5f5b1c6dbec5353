//! `palinode demo`: the main job on an invented object.

use super::output::Output;
use super::{Exit, Form, ask};
use crate::embedded;

/// The invented object and its questions.
const DEMO: &str = include_str!("../../kb/demo/overmantel.query");

pub(super) fn run(form: Form, output: &mut Output) -> Exit {
    if form != Form::Json {
        let lines: Vec<&str> = DEMO.lines().take_while(|l| l.starts_with('#')).collect();
        for line in lines {
            output.text(&format!("{}\n", line.trim_start_matches('#').trim()));
        }
        let query: Vec<&str> = DEMO.lines().filter(|l| !l.starts_with('#')).collect();
        output.text(&format!("{}\n\n", query.join("\n").trim_end()));
    }
    ask::answer(DEMO, form, embedded(), output)
}
