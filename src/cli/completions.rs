//! `palinode completions SHELL`

use clap::CommandFactory;
use clap_complete::{Shell, generate};

use super::output::Output;
use super::{Arguments, Exit};

pub(super) fn run(shell: Shell, output: &mut Output) -> Exit {
    let mut script = Vec::new();
    let mut command = Arguments::command();
    generate(shell, &mut command, "palinode", &mut script);
    output.text(&String::from_utf8_lossy(&script));
    Exit::Answered
}
