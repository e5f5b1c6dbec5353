//! `palinode help` and the shell's `help`: pages to read, what the arguments are, and every word of the
//! language and of the corpus.

mod words;

use clap::CommandFactory;

use super::output::Output;
use super::{Arguments, Exit};
use crate::embedded;
use crate::pack::Pack;

pub(super) use words::topics;

/// Pages to read: topic, what it is, text.
pub(super) const PAGES: [(&str, &str, &str); 6] = [
    (
        "language",
        "how a question is put",
        include_str!("pages/language.txt"),
    ),
    (
        "observations",
        "how what was seen is told",
        include_str!("pages/observations.txt"),
    ),
    (
        "ladder",
        "how to read a plan for removal",
        include_str!("pages/ladder.txt"),
    ),
    (
        "record",
        "how to write a record of your own",
        include_str!("pages/record.txt"),
    ),
    (
        "safety",
        "people and objects",
        include_str!("pages/safety.txt"),
    ),
    (
        "tutorial",
        "fifteen minutes at an invented mirror",
        include_str!("pages/tutorial.txt"),
    ),
];

/// `palinode help TOPIC`: a subcommand's arguments, or what the shell would say.
pub(super) fn run(topic: &[String], output: &mut Output) -> Exit {
    let mut command = Arguments::command();
    command.build();
    if topic.is_empty() {
        output.text(&command.render_help().to_string());
        output.text(&format!("\nTo read: palinode help TOPIC\n{}", listed()));
        return Exit::Answered;
    }
    if let Some(found) = subcommand(command, topic) {
        output.text(&found);
        return Exit::Answered;
    }
    about(&topic.join(" "), embedded(), output)
}

/// The help of a subcommand, or of one within it.
fn subcommand(mut command: clap::Command, path: &[String]) -> Option<String> {
    for name in path {
        command = command.find_subcommand(name)?.clone();
    }
    Some(command.render_help().to_string())
}

/// The help on a page or a word.
pub(super) fn about(topic: &str, pack: &Pack, output: &mut Output) -> Exit {
    if let Some(text) = page(topic) {
        output.text(text);
        // The words follow the advice on how to use them.
        if topic.trim().eq_ignore_ascii_case("observations")
            && let Ok(verbs) = words::text("verbs", pack)
        {
            output.text(&format!("\n{verbs}"));
        }
        return Exit::Answered;
    }
    match words::text(topic, pack) {
        Ok(text) => {
            output.text(&text);
            Exit::Answered
        }
        Err(near) => {
            let topic = crate::render::safe(topic);
            let help = near.map_or_else(
                || "write `help` for a list".to_owned(),
                |near| format!("write `help {near}`"),
            );
            output.error(&format!("error: no help on `{topic}`\n  help: {help}"));
            Exit::Wrong
        }
    }
}

/// The page of that name.
fn page(topic: &str) -> Option<&'static str> {
    let topic = topic.trim().trim_matches(['`', '"', '\'']);
    PAGES
        .iter()
        .find(|(name, ..)| name.eq_ignore_ascii_case(topic))
        .map(|(_, _, text)| *text)
}

/// The pages with what each is about.
fn listed() -> String {
    PAGES
        .iter()
        .map(|(name, about, _)| format!("  {name:<13}{about}\n"))
        .collect()
}
