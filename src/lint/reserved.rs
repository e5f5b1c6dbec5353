//! A name can be typed without quotes.

use super::Lint;
use super::aliases::names;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::Kind;
use crate::units::is_word_character;

pub(super) const LINT: Lint = Lint {
    code: "K0220",
    name: "reserved",
    why: "the language ends a name at the first reserved word, so a name that holds one is only \
          found in quotes, which nobody guesses",
    check,
};

/// The reserved words of the language. A test holds the list against the language's own.
pub const RESERVED: &[&str] = &[
    "over",
    "on",
    "from",
    "for",
    "to",
    "in",
    "with",
    "without",
    "by",
    "under",
    "at",
    "where",
    "that",
    "restored",
    "prior",
    "about",
    "rank",
    "show",
    "limit",
    "and",
    "or",
    "not",
    "is",
    "matches",
    "when",
    "given",
    "using",
    "sparing",
    "allowing",
    "reversible",
    "carrying",
    "during",
    "include",
];

/// Signs that join parts of one word between letters.
const JOINTS: &[char] = &['-', '‐', '‑', '\'', '’', '/', '.'];

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for record in scope.records() {
        // Tests and carriers are described, not named, by their canonical name; the id serves.
        let described = matches!(record.kind(), Kind::Test | Kind::Carrier);
        if matches!(record.kind(), Kind::Source | Kind::Family) {
            continue;
        }
        for (key, name) in names(record.head()) {
            if described && key == "name" {
                continue;
            }
            let Some(word) = words(name).find(|w| RESERVED.contains(&w.to_lowercase().as_str()))
            else {
                continue;
            };
            let diagnostic = Diagnostic::error(
                "K0220",
                format!("the name `{name}` holds the reserved word `{word}`"),
            )
            .help("turn the name round, or join its words with hyphens");
            out.push(scope.finding(&Spot::FieldWord(record.head(), key, name), diagnostic));
        }
    }
}

/// The words of a name, as the language takes it apart.
fn words(name: &str) -> impl Iterator<Item = &str> {
    name.split(|c: char| !is_word_character(c) && !JOINTS.contains(&c))
        .map(|word| word.trim_matches(JOINTS))
        .filter(|word| !word.is_empty())
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn joined_words_are_one() {
        let all = |name| words(name).collect::<Vec<_>>();
        assert_eq!(all("oil-in-water emulsion"), ["oil-in-water", "emulsion"]);
        assert_eq!(
            all("painter's putty (in tubes)"),
            ["painter's", "putty", "in", "tubes"]
        );
        assert_eq!(all("feuille d'or"), ["feuille", "d'or"]);
    }
}
