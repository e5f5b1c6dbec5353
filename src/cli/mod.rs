//! The command line: arguments, one file a subcommand, and the only place that prints.

mod ask;
mod case;
mod check;
mod completions;
mod demo;
mod export;
mod format;
mod help;
mod man;
mod output;
mod overlay;
mod page;
mod progress;
mod report;
mod shell;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use crate::answer::Standing;
use output::Output;

/// Exit codes, as other programs rely on them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Answered.
    Answered = 0,
    /// Answered: nothing matched.
    Nothing = 1,
    /// The query, a file or the command is wrong.
    Wrong = 2,
    /// Facts are missing.
    Undetermined = 3,
    /// A fault of the program.
    Internal = 4,
}

impl Exit {
    /// The worse of two: a fault of the program, then a mistake, then missing facts, then nothing
    /// found.
    const fn worse(self, other: Self) -> Self {
        const fn rank(exit: Exit) -> u8 {
            match exit {
                Exit::Answered => 0,
                Exit::Nothing => 1,
                Exit::Undetermined => 2,
                Exit::Wrong => 3,
                Exit::Internal => 4,
            }
        }
        if rank(other) > rank(self) {
            other
        } else {
            self
        }
    }
}

impl From<Standing> for Exit {
    fn from(standing: Standing) -> Self {
        match standing {
            Standing::Answered => Self::Answered,
            Standing::Nothing => Self::Nothing,
            Standing::Undetermined => Self::Undetermined,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

#[derive(Parser, Debug)]
#[command(
    name = "palinode",
    version,
    about = "Identify, take off and replace the materials of old restorations, with sources",
    after_help = "Exit codes: 0 answered, 1 nothing matched, 2 the query, file or command is wrong,\n\
                  3 facts are missing, 4 a fault of the program.\n\n\
                  Advice for trained conservators. Test on a hidden spot first; local regulation,\n\
                  safety data sheets and a licensed practitioner's judgment come first."
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

// No doc comment: clap would show it in place of what the subcommand is for.
// What a question is asked with.
#[derive(clap::Args, Debug)]
struct With {
    /// Form of the answer
    #[arg(long, value_enum, default_value_t = Form::Table)]
    format: Form,
    #[command(flatten)]
    over: overlay::Over,
}

#[derive(Subcommand, Debug)]
// What a subcommand takes is only worked out for the one that is called.
#[command(defer = true, disable_help_subcommand = true)]
enum Command {
    /// Ask a question: `identify`, `remove`, `choose`, `blend`, `prepare`, `ventilate`, `find`, `compare`
    Ask {
        /// The query; `-` reads it from standard input
        query: String,
        #[command(flatten)]
        with: With,
    },
    /// Ask one question after another: line editing, completion, help; or statements from a pipe
    Shell {
        #[command(flatten)]
        with: With,
    },
    /// Run the main job on an invented object
    Demo {
        /// Form of the answers
        #[arg(long, value_enum, default_value_t = Form::Table)]
        format: Form,
    },
    /// Keep the record of a job: the object, what was seen, asked, decided and done
    Case {
        #[command(subcommand)]
        command: Box<case::CaseCommand>,
    },
    /// Write the report of a case: HTML, Markdown, or the sources that it rests on
    Report(Box<report::Arguments>),
    /// Check a corpus or an overlay; the embedded corpus when no folder is named
    Check {
        /// Folder with materials, layers, solvents, methods, tests, vocab or sources
        dir: Option<PathBuf>,
        /// Form of the findings and the coverage
        #[arg(long, value_enum, default_value_t = Form::Table)]
        format: Form,
        /// Count field by field, too (JSON always does)
        #[arg(long)]
        fields: bool,
    },
    /// Write the whole corpus for other programs: JSON, CSV, or the JSON Schema
    Export {
        /// Form of what is written
        #[arg(long, value_enum, default_value_t = export::As::Json)]
        format: export::As,
        #[command(flatten)]
        over: overlay::Over,
    },
    /// Print a query in canonical form, remarks kept
    Fmt {
        /// The query; `-` reads it from standard input
        query: String,
    },
    /// Explain a code of a message, such as Q0301
    Explain {
        /// The code
        code: String,
    },
    /// Print a script that completes this program's arguments in a command shell
    Completions {
        /// The command shell
        #[arg(value_enum)]
        shell: clap_complete::Shell,
    },
    /// Print the manual page, the statements of the language included
    Man,
    /// Help on a subcommand, or on language, observations, ladder, record, safety, tutorial, or a word
    Help {
        /// What it is about; nothing for a list
        topic: Vec<String>,
    },
}

/// Form of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// Tables for a terminal
    Table,
    /// The same words line by line, without rules and columns: for a screen reader, or to search
    Text,
    /// One JSON object (several statements: one a line)
    Json,
}

/// Runs the program.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let mut output = Output::new();
    let exit = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => dispatch(arguments.command, &mut output),
        Err(error) => {
            let shown = error.render().to_string();
            // `--help` and `--version` are answers, not mistakes.
            if error.use_stderr() {
                // It echoes what was typed, which may have been pasted from anywhere.
                output.error(&crate::render::safe_lines(shown));
                Exit::Wrong
            } else {
                output.text(&shown);
                Exit::Answered
            }
        }
    };
    output.finish(exit).into()
}

fn dispatch(command: Command, output: &mut Output) -> Exit {
    match command {
        Command::Ask { query, with } => ask::run(&query, &with, output),
        Command::Shell { with } => shell::run(&with, output),
        Command::Demo { format } => demo::run(format, output),
        Command::Case { command } => command.run(output),
        Command::Report(arguments) => report::run(&arguments, output),
        Command::Check {
            dir,
            format,
            fields,
        } => check::run(dir.as_deref(), format, fields, output),
        Command::Export { format, over } => export::run(format, &over, output),
        Command::Fmt { query } => format::run(&query, output),
        Command::Explain { code } => page::run(&code, output),
        Command::Completions { shell } => completions::run(shell, output),
        Command::Man => man::run(output),
        Command::Help { topic } => help::run(&topic, output),
    }
}
