//! The word lists of the program and of `vocab/words.toml` are the same.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{
    Ageing, Class, Condition, Custom, Effect, Group, Hazard, Met, Purpose, Role, Sets, Site,
    Specimen, Trait,
};

pub(super) const LINT: Lint = Lint {
    code: "K0209",
    name: "wordlists",
    why: "a word that the program does not know is dropped; a word without a meaning cannot be \
          explained to the reader",
    check,
};

/// A section of `vocab/words.toml` with the words that the program knows for it.
type List = (&'static str, fn() -> Vec<&'static str>);

macro_rules! lists {
    ($($name:ident),+) => {
        /// Every list that the program knows.
        pub(super) const LISTS: &[List] = &[
            $(($name::SECTION, || $name::ALL.iter().map(|it| it.word()).collect()),)+
        ];
    };
}

lists!(
    Role, Group, Met, Custom, Purpose, Sets, Site, Condition, Specimen, Class, Trait, Hazard,
    Ageing, Effect
);

/// Sections whose words only the corpus uses.
const OPEN: &[&str] = &["cluster"];

const FILE: &str = "vocab/words.toml";

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    // A studio's own folder has no vocabulary of its own.
    if scope.corpus.words.is_empty() {
        return;
    }
    for (section, words) in LISTS {
        for word in words() {
            let explained = scope
                .corpus
                .words
                .iter()
                .any(|(s, w, _)| s == section && w == word);
            if !explained {
                let diagnostic = Diagnostic::error(
                    "K0209",
                    format!("[{section}] does not explain `{word}`, which the program knows"),
                );
                out.push(scope.finding(
                    &Spot::At(&scope.section(FILE, section)),
                    diagnostic.help(format!("add {word} = \"its meaning\" under [{section}]")),
                ));
            }
        }
    }
    for (section, word, _) in &scope.corpus.words {
        if OPEN.contains(&section.as_str()) {
            continue;
        }
        let place = scope.section(FILE, section);
        let spot = Spot::KeyAfter(&place, word);
        match LISTS.iter().find(|(s, _)| s == section) {
            Some((_, words)) if words().contains(&word.as_str()) => {}
            Some((_, words)) => {
                let diagnostic = Diagnostic::error(
                    "K0209",
                    format!("`{word}` in [{section}] is no word that the program knows"),
                );
                out.push(scope.unknown(
                    &spot,
                    word,
                    &words(),
                    diagnostic,
                    "a new word has to be added to src/model/words.rs first",
                ));
            }
            None => {
                let known: Vec<&str> = LISTS
                    .iter()
                    .map(|(s, _)| *s)
                    .chain(OPEN.iter().copied())
                    .collect();
                let diagnostic =
                    Diagnostic::error("K0209", format!("no section [{section}] is known"));
                let spot = Spot::At(&place);
                out.push(scope.unknown(&spot, section, &known, diagnostic, ""));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::LISTS;

    #[test]
    fn every_list_has_a_section() {
        assert!(
            LISTS
                .iter()
                .all(|(section, words)| !section.is_empty() && !words().is_empty())
        );
    }
}
