//! What the words of a query mean is something that the corpus knows.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Age, Condition, Group, Kind, Response, Role, Site, Specimen};

pub(super) const LINT: Lint = Lint {
    code: "K0233",
    name: "speech",
    why: "a word that is read as something unknown makes a sentence fail that looks right",
    check,
};

const FILE: &str = "vocab/speech.toml";

/// What a verb may try, beside the tests.
const TRIED: &[&str] = &[
    "liquid", "look", "feel", "positive", "negative", "outcome", "contents", "noted", "told",
];

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let speech = &scope.corpus.speech;
    let roles: Vec<&str> = Role::ALL.iter().map(|it| it.word()).collect();
    for role in speech.nouns.iter().flat_map(|(_, roles)| roles) {
        known(scope, "noun", role, &roles, "a kind", out);
    }
    let noted = speech.notes.iter().flat_map(|notes| {
        let meanings = notes.means.iter().map(|(_, meaning)| meaning);
        meanings.map(|meaning| (notes.section.as_str(), meaning))
    });
    for (section, meaning) in noted {
        let words: Vec<&str> = match section {
            "site" => Site::ALL.iter().map(|it| it.word()).collect(),
            "condition" => Condition::ALL.iter().map(|it| it.word()).collect(),
            "specimen" => Specimen::ALL.iter().map(|it| it.word()).collect(),
            "age" => Age::BOTH.iter().map(|it| it.word()).collect(),
            "tool" => scope.ids(Kind::Test),
            "group" => Group::ALL.iter().map(|it| it.word()).collect(),
            _ => continue,
        };
        known(
            scope,
            section,
            meaning,
            &words,
            &format!("a word of [{section}]"),
            out,
        );
    }
    for answers in &speech.outcomes {
        let test = answers.test.as_str();
        let section = format!("outcome.{test}");
        let Some(found) = scope.test(test) else {
            let tests = scope.ids(Kind::Test);
            known(scope, &section, test, &tests, "a test", out);
            continue;
        };
        let outcomes: Vec<&str> = found.outcomes.iter().map(String::as_str).collect();
        for (outcome, _) in answers.means.iter().flat_map(|(_, weights)| weights) {
            known(
                scope,
                &section,
                outcome,
                &outcomes,
                &format!("an outcome of {test}"),
                out,
            );
        }
    }
    for frame in speech.frames.iter() {
        let mut tried = scope.ids(Kind::Test);
        tried.extend(TRIED);
        known(
            scope,
            "[frame]",
            &frame.of,
            &tried,
            "something that can be tried",
            out,
        );
        let outcomes: Vec<&str> = match (frame.of.as_str(), scope.test(&frame.of)) {
            ("liquid", _) => Response::ALL.iter().map(|it| it.word()).collect(),
            (_, Some(test)) => test.outcomes.iter().map(String::as_str).collect(),
            _ => continue,
        };
        for (outcome, _) in frame.outcomes.iter().chain(&frame.denied) {
            known(
                scope,
                "[frame]",
                outcome,
                &outcomes,
                &format!("an outcome of {}", frame.of),
                out,
            );
        }
    }
}

fn known(
    scope: &Scope<'_>,
    section: &str,
    word: &str,
    words: &[&str],
    what: &str,
    out: &mut Vec<Finding>,
) {
    if words.contains(&word) {
        return;
    }
    let diagnostic = Diagnostic::error("K0233", format!("`{word}` is not {what}"));
    let place = scope.section(FILE, section);
    let help = "the kinds, sites, conditions and outcomes are those of the records";
    out.push(scope.unknown(&Spot::Word(&place, word), word, words, diagnostic, help));
}
