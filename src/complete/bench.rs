//! What is noted at the bench: verbs, what they give, what was used, remarks in parentheses.

use super::place::{Place, keyword};
use super::vocabulary::{BenchVerb, Phrase, VerbForm, Vocabulary};
use super::{List, names};
use crate::lang::reserved::{Keyword, Verb};
use crate::lang::token::TokenKind;
use crate::lang::{Expected, Role};
use crate::model::Kind;
use crate::model::naming::fold;
use crate::resolve::{FEELS, LOOKS, STATES};

/// Small words between an observation and what it was made with.
const SMALL: [Keyword; 10] = [
    Keyword::In,
    Keyword::With,
    Keyword::By,
    Keyword::Under,
    Keyword::To,
    Keyword::On,
    Keyword::At,
    Keyword::From,
    Keyword::For,
    Keyword::During,
];

/// A verb, and what it denies or gives.
pub(super) fn observation(place: &Place<'_>, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let given = place.clause_word() == Some(Keyword::Given);
    let run = place.run().max(place.observation());
    let denied = place.keyword_before(run) == Some(Keyword::Not);
    let at = if denied {
        run
    } else {
        after_lead(place, vocabulary, run)
    };
    let from = byte(place, at);
    if !denied && at == run && given {
        let things = place.things();
        let things: Vec<Phrase> = things
            .iter()
            .map(|thing| Phrase::plain(thing, "tried on this object"))
            .collect();
        list.phrases(from, &things);
    }
    let form = if denied {
        VerbForm::Base
    } else {
        VerbForm::Third
    };
    let verbs = vocabulary
        .verbs
        .iter()
        .filter(|v| v.form == form && (!given || v.of == "liquid"));
    list.phrases(from, verbs.map(|v| &v.phrase));
    if denied {
        if !given {
            let tried = Phrase::plain("tried", "says nothing, and is left out");
            list.phrases(from, std::iter::once(&tried));
        }
    } else {
        if !given {
            list.phrases(from, &vocabulary.beliefs);
        }
        let not = Phrase::plain("does not", "denies the verb after it");
        list.phrases(from, std::iter::once(&not));
    }
    if let Some((verb, next)) = verb_at(place, vocabulary, at) {
        outcomes(verb, byte(place, next), vocabulary, list);
    }
}

/// Token after the words that may stand before the verb: how sure it is, or whom it is said of.
fn after_lead(place: &Place<'_>, vocabulary: &Vocabulary, run: usize) -> usize {
    let end = place.tokens.len();
    if place.clause_word() == Some(Keyword::Given) {
        let things = place.things();
        return (run + 1..=end)
            .rev()
            .find(|k| {
                let said = fold(words(place, run, *k));
                things.iter().any(|thing| fold(thing) == said)
            })
            .unwrap_or(run);
    }
    let sure = |k: &usize| {
        let word = place.spelling(*k);
        vocabulary.beliefs.iter().any(|b| b.is(word))
    };
    run + (run..end).take_while(sure).count()
}

/// The longest verb of the bench that starts at a token, and the token after it.
fn verb_at<'v>(
    place: &Place<'_>,
    vocabulary: &'v Vocabulary,
    at: usize,
) -> Option<(&'v BenchVerb, usize)> {
    let end = (at..place.tokens.len())
        .take_while(|k| place.tokens[*k].kind == TokenKind::Word)
        .last()?
        + 1;
    (at + 1..=end).rev().find_map(|k| {
        let said = words(place, at, k);
        let verb = vocabulary.verbs.iter().find(|v| v.phrase.is(said))?;
        Some((verb, k))
    })
}

/// The verb of the observation that the cursor is in, and whether it is denied.
fn verb_said<'v>(place: &Place<'_>, vocabulary: &'v Vocabulary) -> Option<(&'v BenchVerb, bool)> {
    let start = place.observation();
    let end = place.tokens.len();
    let head = (start..end)
        .find(|k| keyword(&place.tokens[*k]).is_some_and(|w| SMALL.contains(&w)))
        .unwrap_or(end);
    let denied = place.tokens[start..head]
        .iter()
        .any(|t| keyword(t) == Some(Keyword::Not));
    (start..head).find_map(|k| {
        let (verb, _) = verb_at(place, vocabulary, k)?;
        Some((verb, denied))
    })
}

/// What a verb may give, after it.
fn outcomes(verb: &BenchVerb, from: usize, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let mut of_each = |tests: &[&str]| {
        for test in tests {
            list.phrases(from, vocabulary.outcomes(test));
        }
    };
    match verb.of.as_str() {
        "liquid" | "positive" | "negative" => {}
        "look" => of_each(&LOOKS),
        "feel" => of_each(&FEELS),
        "outcome" => {
            of_each(&STATES);
            // `turns blue with iodine`: the test is named afterwards.
            let every = vocabulary.every_outcome().map(|(_, phrase)| phrase);
            list.phrases(from, every);
        }
        test => of_each(&[test]),
    }
}

/// After `is` and `is not`: a state; after `when`: an age.
pub(super) fn state(place: &Place<'_>, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let run = place.run();
    let from = byte(place, run);
    if place.keyword_before(run) == Some(Keyword::When) {
        list.phrases(from, vocabulary.notes("age"));
        return;
    }
    let given = place.clause_word() == Some(Keyword::Given);
    let verbs = vocabulary
        .verbs
        .iter()
        .filter(|v| v.form == VerbForm::State && (!given || v.of == "liquid"));
    list.phrases(from, verbs.map(|v| &v.phrase));
    if given {
        return;
    }
    for test in STATES {
        list.phrases(from, vocabulary.outcomes(test));
    }
    if let Some((verb, next)) = verb_at(place, vocabulary, run) {
        outcomes(verb, byte(place, next), vocabulary, list);
    }
}

/// What an observation was made with, and the liquids of other clauses.
pub(super) fn agents(place: &Place<'_>, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let from = place.name_start(Role::Agent);
    let liquids = vocabulary.records(Kind::Agent);
    let tests = vocabulary.records(Kind::Test);
    if place.clause_word() != Some(Keyword::That) {
        return list.phrases(from, liquids);
    }
    let Some((verb, denied)) = verb_said(place, vocabulary) else {
        list.phrases(from, tests);
        return list.phrases(from, liquids);
    };
    let own = |id: &str| -> Vec<&Phrase> {
        let wanted = (Kind::Test, id.to_owned());
        tests
            .iter()
            .filter(|p| p.record.as_ref() == Some(&wanted))
            .collect()
    };
    match verb.of.as_str() {
        "liquid" => {
            list.phrases(from, liquids);
            // What nothing does can be said of several at once.
            if verb.denies != denied {
                list.phrases(from, &vocabulary.groups);
            }
        }
        "positive" | "negative" => list.phrases(from, tests),
        "look" | "feel" => {
            for test in LOOKS {
                list.phrases(from, own(test));
            }
        }
        "outcome" => {
            list.phrases(from, tests);
            list.phrases(from, liquids);
        }
        test => {
            list.phrases(from, own(test));
            if test != "uv" {
                list.phrases(from, liquids);
            }
        }
    }
}

/// A remark in parentheses, by what stands before them.
pub(super) fn note(place: &Place<'_>, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let Some(open) = place.open() else { return };
    let run = place.run().max(open + 1);
    let from = byte(place, run);
    let denied = place.keyword_before(run) == Some(Keyword::Not);
    let mut sections = |names: &[&str]| {
        for name in names {
            list.phrases(from, vocabulary.notes(name));
        }
    };
    if matches!(place.clause_word(), Some(Keyword::That | Keyword::Given)) {
        let clean = Phrase::plain("clean", "the specimen was seen to be clean");
        if denied {
            let tried = Phrase::plain("tried", "says nothing, and is left out");
            return list.phrases(from, &[clean, tried]);
        }
        sections(&["specimen"]);
        list.phrases(from, &vocabulary.beliefs);
        let blank = |word: &str, about: &str| Phrase::plain(&format!("blank {word}"), about);
        return list.phrases(
            from,
            &[
                clean,
                blank("positive", "a blank answered as well"),
                blank("negative", "a blank did not answer"),
            ],
        );
    }
    let name = place.run_before(open);
    let before = place.keyword_before(name);
    let layer = matches!(
        before,
        Some(Keyword::On | Keyword::Over | Keyword::From | Keyword::For | Keyword::To)
    ) && (place.verb != Some(Verb::Remove) || place.has(Keyword::From));
    match (layer, denied) {
        (true, _) => {
            list.phrases(from, &vocabulary.conditions);
            list.phrases(from, vocabulary.notes("condition"));
            if !denied {
                list.phrases(from, vocabulary.notes("origin"));
            }
        }
        (false, true) => sections(&["origin", "thickness"]),
        (false, false) => sections(&["site", "origin", "age", "thickness"]),
    }
}

/// Whether a reserved word is offered. More may stand at most places than makes sense there; what
/// does not is offered to who begins to type it.
pub(super) fn wants(place: &Place<'_>, vocabulary: &Vocabulary, word: Keyword) -> bool {
    if !place.word().is_empty() {
        return true;
    }
    let small = SMALL.contains(&word);
    if noting(place) {
        return !small;
    }
    match place.clause_word() {
        Some(Keyword::That | Keyword::Given) => {
            let Some((verb, _)) = verb_said(place, vocabulary) else {
                return true;
            };
            if matches!(word, Keyword::Is | Keyword::Not) {
                return false;
            }
            if !small {
                return true;
            }
            match verb.of.as_str() {
                "liquid" => matches!(word, Keyword::In | Keyword::With | Keyword::By),
                "uv" => word == Keyword::Under,
                "positive" | "negative" => matches!(word, Keyword::To | Keyword::With),
                _ => matches!(
                    word,
                    Keyword::In | Keyword::With | Keyword::Under | Keyword::To | Keyword::At
                ),
            }
        }
        Some(Keyword::Where) => match compared(place, vocabulary) {
            Some(true) => !small,
            Some(false) if small => matches!(word, Keyword::With | Keyword::In | Keyword::By),
            Some(false) => !matches!(word, Keyword::Is | Keyword::Matches),
            None => true,
        },
        _ => true,
    }
}

/// Whether a sign is offered.
pub(super) fn wants_sign(place: &Place<'_>, vocabulary: &Vocabulary, sign: &str) -> bool {
    if place.clause_word() == Some(Keyword::Where) && matches!(sign, "<" | "<=" | ">" | ">=" | "(")
    {
        // `tg (` would be a call, which only `known` and `unknown` are.
        return match compared(place, vocabulary) {
            Some(compared) => compared && sign != "(",
            None => true,
        };
    }
    true
}

/// Whether a remark may stand here.
fn noting(place: &Place<'_>) -> bool {
    place
        .expected
        .iter()
        .any(|e| matches!(e, Expected::Name(Role::Note) | Expected::More(Role::Note)))
}

/// In a condition, right after its words: whether they name what is compared (a field, a test)
/// rather than what a liquid does. `None` elsewhere.
fn compared(place: &Place<'_>, vocabulary: &Vocabulary) -> Option<bool> {
    let end = place.tokens.len();
    if !place.expected.contains(&Expected::More(Role::Test)) {
        return None;
    }
    if names::field_before(place, end).is_some()
        || names::test_before(place, vocabulary, end).is_some()
    {
        return Some(true);
    }
    let at = place.first_of_name(Role::Test, place.run(), end)?;
    let said = words(place, at, end);
    let known = matches!(said, "removable" | "reversible" | "removed")
        || vocabulary.verbs.iter().any(|v| v.phrase.is(said));
    known.then_some(false)
}

/// Where a token starts; the half-typed word after the last.
fn byte(place: &Place<'_>, k: usize) -> usize {
    place
        .tokens
        .get(k)
        .map_or(place.partial, |t| t.span.start as usize)
}

/// Tokens as typed.
fn words<'a>(place: &Place<'a>, from: usize, to: usize) -> &'a str {
    let span = place.tokens[from].span.to(place.tokens[to - 1].span);
    span.slice(place.text)
}
