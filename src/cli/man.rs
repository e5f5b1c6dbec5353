//! `palinode man`: the arguments as `clap` knows them, the language as its tables have it.

use std::fmt::Write;

use clap::CommandFactory;
use clap_mangen::Man;
use clap_mangen::roff::{Inline, Roff, bold, italic, roman};

use super::output::Output;
use super::{Arguments, Exit};
use crate::lang::reserved::{CLAUSE_FORMS, VERBS, clauses_of};

/// Exit codes with their meanings.
const EXITS: [(&str, &str); 5] = [
    ("0", "answered"),
    ("1", "answered: nothing matched"),
    ("2", "the query, a file or the command is wrong"),
    (
        "3",
        "undetermined: facts are missing, or the observations contradict",
    ),
    ("4", "a fault of the program"),
];

/// What the program reads from its surroundings.
const ENVIRONMENT: [(&str, &str); 9] = [
    (
        "COLUMNS",
        "columns to write in; where it is not set, those of the terminal, 110 at most, and 80 in a file or pipe",
    ),
    ("NO_COLOR", "set and not empty: no colours"),
    (
        "PALINODE_CACHE",
        "folder in which what was read of a folder named by --kb is kept; empty: nothing is kept",
    ),
    (
        "PALINODE_HISTORY",
        "file for the history of the shell; empty: no history is kept",
    ),
    (
        "PALINODE_WHO",
        "who writes into a case, where --who does not say it",
    ),
    (
        "SOURCE_DATE_EPOCH",
        "seconds since 1970: the moment that answers and cases are given in place of the clock's",
    ),
    (
        "XDG_CACHE_HOME",
        "folder below which palinode/ holds what is kept of folders when PALINODE_CACHE is not set; \
         ~/.cache where it is not set either",
    ),
    (
        "XDG_DATA_HOME",
        "folder below which palinode/history stands when PALINODE_HISTORY is not set; \
         ~/.local/share where it is not set either",
    ),
    ("TERM", "dumb: no line editing"),
];

pub(super) fn run(output: &mut Output) -> Exit {
    match page() {
        Ok(page) => {
            output.text(&page);
            Exit::Answered
        }
        Err(error) => {
            output.error(&format!("error: {error}"));
            Exit::Internal
        }
    }
}

fn page() -> std::io::Result<String> {
    let mut command = Arguments::command();
    command.build();
    let man = Man::new(command.clone());
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    subcommands(&command).to_writer(&mut page)?;
    language().to_writer(&mut page)?;
    listed("EXIT STATUS", &EXITS).to_writer(&mut page)?;
    listed("ENVIRONMENT", &ENVIRONMENT).to_writer(&mut page)?;
    cautions().to_writer(&mut page)?;
    man.render_version_section(&mut page)?;
    Ok(String::from_utf8_lossy(&page).into_owned())
}

/// Each subcommand with its arguments, those of `case` among them: one page is enough.
fn subcommands(command: &clap::Command) -> Roff {
    let mut roff = Roff::new();
    roff.control("SH", ["SUBCOMMANDS"]);
    for sub in command.get_subcommands() {
        subcommand(&mut roff, "palinode", sub);
        for inner in own(sub) {
            subcommand(&mut roff, &format!("palinode {}", sub.get_name()), inner);
        }
    }
    roff
}

/// The subcommands of a subcommand, without the `help` that every one has.
fn own(command: &clap::Command) -> impl Iterator<Item = &clap::Command> {
    command
        .get_subcommands()
        .filter(|sub| sub.get_name() != "help")
}

fn subcommand(roff: &mut Roff, before: &str, sub: &clap::Command) {
    let mut head = vec![bold(format!("{before} {}", sub.get_name()))];
    for argument in sub.get_positionals() {
        head.push(roman(" "));
        let name = argument.get_id().as_str().to_uppercase();
        head.push(if argument.is_required_set() {
            italic(name)
        } else {
            roman(format!("[{name}]"))
        });
    }
    let about = sub.get_about().map(ToString::to_string);
    roff.control("TP", []);
    roff.text(head);
    roff.text([roman(about.unwrap_or_default())]);
    roff.control("RS", []);
    for argument in sub.get_arguments() {
        let mut shown = String::new();
        if let Some(long) = argument.get_long() {
            let _ = write!(shown, "--{long}");
            if argument.get_action().takes_values() {
                let value = argument.get_value_names().and_then(|names| names.first());
                let value = value.map_or_else(|| "FORM".to_owned(), ToString::to_string);
                let _ = write!(shown, " {value}");
            }
        } else {
            shown = argument.get_id().as_str().to_uppercase();
        }
        if argument.get_id() == "help" {
            continue;
        }
        let mut help = argument
            .get_help()
            .map(ToString::to_string)
            .unwrap_or_default();
        let values: Vec<String> = argument
            .get_possible_values()
            .iter()
            .map(|value| value.get_name().to_owned())
            .collect();
        if argument.get_action().takes_values() && !values.is_empty() {
            let _ = write!(help, ": {}", values.join(", "));
        }
        roff.control("TP", []);
        roff.text([bold(shown)]);
        roff.text([roman(help)]);
    }
    roff.control("RE", []);
}

/// The statements and their clauses.
fn language() -> Roff {
    let mut roff = Roff::new();
    roff.control("SH", ["STATEMENTS"]);
    roff.text([
        roman("A statement is a verb, a noun and clauses in any order, each at most once. "),
        roman("Several are parted by semicolons. "),
        bold("let"),
        roman(" NAME "),
        bold("="),
        roman(" before an "),
        bold("identify"),
        roman(" keeps its answer for a later "),
        bold("remove"),
        roman("."),
    ]);
    for (verb, word, about, example) in VERBS {
        let mut about = vec![roman(format!("{about}."))];
        about.push(roman(" Clauses: "));
        let clauses = clauses_of(*verb);
        if clauses.is_empty() {
            about.push(roman("none."));
        }
        for (k, clause) in clauses.iter().enumerate() {
            let after = if k + 1 < clauses.len() { ", " } else { "." };
            about.push(bold(clause.word()));
            about.push(roman(after));
        }
        let form = verb.form().strip_prefix(word).unwrap_or_default();
        roff.control("TP", []);
        roff.text([bold(*word), roman(form)]);
        roff.text(about);
        roff.control("RS", []);
        roff.control("PP", []);
        roff.text([italic(*example)]);
        roff.control("RE", []);
    }
    roff.control("SS", ["Clauses"]);
    for (keyword, form) in CLAUSE_FORMS {
        let rest = form.strip_prefix(keyword.head()).unwrap_or_default();
        roff.control("TP", []);
        roff.text([bold(keyword.head()), roman(rest)]);
        roff.text([roman(keyword.about())]);
    }
    roff
}

fn listed(title: &str, rows: &[(&str, &str)]) -> Roff {
    let mut roff = Roff::new();
    roff.control("SH", [title]);
    for (name, meaning) in rows {
        let name: Inline = bold(*name);
        roff.control("TP", []);
        roff.text([name]);
        roff.text([roman(*meaning)]);
    }
    roff
}

fn cautions() -> Roff {
    let mut roff = Roff::new();
    roff.control("SH", ["CAUTION"]);
    roff.text([roman(
        "Advice for trained conservators. Test on a hidden spot first, shortest time first. Local \
         regulation, safety data sheets and a licensed practitioner's judgment come first.",
    )]);
    roff
}
