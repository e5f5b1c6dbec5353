//! Names by role: which records, fields and words of the corpus may stand at the cursor.

use super::place::Place;
use super::vocabulary::{Phrase, VerbForm, Vocabulary};
use super::{Bound, List, OWN, bench};
use crate::lang::Role;
use crate::lang::reserved::{Keyword, Verb};
use crate::lang::token::TokenKind;
use crate::model::Kind;
use crate::model::attribute::every_field;
use crate::model::field::{Field, Holds};
use crate::model::naming::fold;
use crate::resolve::{BORNE, KIND_NOUNS};

/// What `find` looks for, in the order of the offer.
fn found() -> impl Iterator<Item = Kind> {
    Kind::FILED.into_iter().chain([Kind::Source])
}

pub(super) fn offer(
    role: Role,
    place: &Place<'_>,
    vocabulary: &Vocabulary,
    bound: &[Bound],
    list: &mut List<'_>,
) {
    let records = |kind| vocabulary.records(kind);
    match role {
        Role::Kind | Role::Material | Role::Layer => {
            let from = place.name_start(role);
            thing(role, from, place, vocabulary, bound, list);
        }
        Role::Agent => bench::agents(place, vocabulary, list),
        Role::Observation => bench::observation(place, vocabulary, list),
        Role::State => bench::state(place, vocabulary, list),
        Role::Note => bench::note(place, vocabulary, list),
        Role::Means => {
            let from = place.name_start(role);
            if place.clause_word() == Some(Keyword::Without) {
                list.phrases(from, &vocabulary.means);
                list.phrases(from, records(Kind::Method));
            }
            list.phrases(from, records(Kind::Agent));
        }
        Role::Property => {
            let from = place.name_start(role);
            list.phrases(from, &fields(place, vocabulary));
        }
        Role::Tool => {
            let from = place.name_start(role);
            let own: &[(&str, &str)] = match place.verb {
                Some(Verb::Ventilate) => &[("mixing", "how badly the air mixes, 1 to 10")],
                _ => &[
                    ("balance", "what it reads to"),
                    ("cylinder", "its limit of error"),
                    ("flask", "volumetric flask, its limit of error"),
                ],
            };
            let own: Vec<Phrase> = own.iter().map(|(t, a)| Phrase::plain(t, *a)).collect();
            list.phrases(from, &own);
            if place.verb == Some(Verb::Prepare) {
                let gels = records(Kind::Carrier).iter().filter(|p| p.is_words());
                list.phrases(from, &gels.cloned().collect::<Vec<_>>());
            }
        }
        Role::Test => test(place, vocabulary, list),
        Role::Value => value(place, vocabulary, list),
        Role::Action => {
            let dissolve = Phrase::plain("dissolve", "bring it into solution");
            let swell = Phrase::plain("swell", "bring it to swell");
            list.phrases(place.partial, &[dissolve, swell]);
        }
        // A name of the user's own.
        Role::Binding => {}
    }
}

/// The unknown, the target, a layer.
fn thing(
    role: Role,
    from: usize,
    place: &Place<'_>,
    vocabulary: &Vocabulary,
    bound: &[Bound],
    list: &mut List<'_>,
) {
    let records = |kind| vocabulary.records(kind);
    let target = place.verb == Some(Verb::Remove) && !place.has(Keyword::From);
    match (place.verb, role) {
        (Some(Verb::Find), _) => {
            let nouns: Vec<Phrase> = found()
                .map(|kind| Phrase::plain(kind.noun(), format!("every {} on file", kind.noun())))
                .collect();
            list.phrases(from, &nouns);
            list.phrases(from, &vocabulary.kinds);
            list.phrases(from, records(Kind::Family));
            for kind in found() {
                list.phrases(from, records(kind));
            }
        }
        (Some(Verb::Remove), _) if target => {
            let typed = &place.text[from..];
            for own in bound_here(place, bound) {
                let phrase = Phrase::plain(&own, "what was identified under this name");
                if phrase.begins_with(typed) {
                    list.push(OWN, from, &own, &phrase.about);
                }
            }
            list.phrases(from, &vocabulary.kinds);
            list.phrases(from, records(Kind::Family));
            list.phrases(from, records(Kind::Material));
        }
        (_, Role::Kind) => {
            list.phrases(from, &vocabulary.kinds);
            list.phrases(from, records(Kind::Family));
            list.phrases(from, records(Kind::Material));
        }
        (Some(Verb::Prepare), _) => {
            for kind in [Kind::Material, Kind::Agent, Kind::Carrier] {
                list.phrases(from, records(kind));
            }
        }
        (_, Role::Material) => list.phrases(from, records(Kind::Material)),
        _ => list.phrases(from, records(Kind::Layer)),
    }
}

/// `let` names bound to an `identify`: those of the session, and of the statements before this one.
fn bound_here(place: &Place<'_>, bound: &[Bound]) -> Vec<String> {
    let mut out: Vec<String> = bound
        .iter()
        .filter(|b| b.verb == Verb::Identify)
        .map(|b| b.name.clone())
        .collect();
    let tokens = crate::lang::lex::lex(place.text).tokens;
    let spelled = |k: usize| tokens.get(k).map(|t| t.span.slice(place.text));
    for k in 0..tokens.len() {
        let starts = k == 0 || tokens[k - 1].kind == TokenKind::Semicolon;
        if starts
            && spelled(k) == Some("let")
            && spelled(k + 2) == Some("=")
            && spelled(k + 3) == Some(Verb::Identify.word())
            && let Some(name) = spelled(k + 1)
            && !out.iter().any(|own| own == name)
        {
            out.push(name.to_owned());
        }
    }
    out
}

/// Fields of what is asked for.
fn fields(place: &Place<'_>, vocabulary: &Vocabulary) -> Vec<Phrase> {
    let kind = kind_found(place, vocabulary);
    every_field()
        .filter(|f| kind.is_none_or(|kind| f.kinds.contains(&kind)))
        .map(|f| Phrase::plain(field_word(f), f.meaning))
        .collect()
}

/// How a field is written in a query: by its key, unless that is a reserved word.
#[must_use]
pub fn field_word(field: &Field) -> &'static str {
    match field.key {
        "limit" => "exposure-limit",
        key => key,
    }
}

/// The kind of record that the query speaks of; `None` for all.
fn kind_found(place: &Place<'_>, vocabulary: &Vocabulary) -> Option<Kind> {
    if place.verb != Some(Verb::Find) {
        return Some(Kind::Material);
    }
    let end = place.clause?;
    let start = place.run_before(end);
    let first = place.first_of_name(Role::Kind, start, end)?;
    let name = place.tokens[first].span.to(place.tokens[end - 1].span);
    let name = name.slice(place.text);
    let folded = fold(name);
    if let Some((_, kind)) = KIND_NOUNS.iter().find(|(noun, _)| *noun == folded) {
        return Some(*kind);
    }
    if matches!(
        folded.as_str(),
        "anything" | "everything" | "record" | "records"
    ) {
        return None;
    }
    found()
        .find(|kind| vocabulary.records(*kind).iter().any(|p| p.is(name)))
        .or(Some(Kind::Material))
}

/// What `where` may ask: a field, a test, a verb of the bench.
fn test(place: &Place<'_>, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let from = place.name_start(Role::Test);
    list.phrases(from, &fields(place, vocabulary));
    if kind_found(place, vocabulary).is_none_or(|kind| kind == Kind::Material) {
        let removable = Phrase::plain("removable", "comes off with a liquid");
        list.phrases(from, std::iter::once(&removable));
        let verbs = vocabulary
            .verbs
            .iter()
            .filter(|v| v.of == "liquid" && v.form == VerbForm::Third);
        list.phrases(from, verbs.map(|v| &v.phrase));
        let tests = vocabulary.records(Kind::Test).iter();
        list.phrases(from, tests.filter(|p| p.is_words()));
    }
    if kind_found(place, vocabulary).is_none_or(|kind| kind == Kind::Layer) {
        let borne: Vec<Phrase> = BORNE
            .iter()
            .map(|(word, about, _)| Phrase::plain(word, *about))
            .collect();
        list.phrases(from, &borne);
    }
    if from == place.partial {
        list.word(from, "known(", "whether a field is recorded");
        list.word(from, "unknown(", "whether a field is not recorded");
    }
}

/// The words of a condition that end before a token, as typed.
fn asked_words<'a>(place: &Place<'a>, end: usize) -> Option<&'a str> {
    let start = place.run_before(end);
    let first = place.first_of_name(Role::Test, start, end)?;
    let span = place.tokens[first].span.to(place.tokens[end - 1].span);
    Some(span.slice(place.text))
}

/// The field that ends before a token.
pub(super) fn field_before(place: &Place<'_>, end: usize) -> Option<&'static Field> {
    let folded = fold(asked_words(place, end)?);
    every_field().find(|f| fold(f.key) == folded || fold(field_word(f)) == folded)
}

/// The id of the test that ends before a token.
pub(super) fn test_before<'a>(
    place: &Place<'_>,
    vocabulary: &'a Vocabulary,
    end: usize,
) -> Option<&'a str> {
    let words = asked_words(place, end)?;
    let tests = vocabulary.records(Kind::Test);
    let (_, id) = tests.iter().find(|p| p.is(words))?.record.as_ref()?;
    Some(id)
}

/// What a field or a test may be.
fn value(place: &Place<'_>, vocabulary: &Vocabulary, list: &mut List<'_>) {
    let from = place.name_start(Role::Value);
    let is = place
        .tokens
        .iter()
        .rposition(|t| t.kind == TokenKind::Keyword(Keyword::Is));
    let Some(is) = is else { return };
    // A layer has some tests as fields too; of a material they are asked as tests.
    match field_before(place, is).filter(|f| f.holds != Holds::Outcomes) {
        Some(field) => match field.holds {
            Holds::Words(section) => list.phrases(from, vocabulary.words(section)),
            Holds::Ids(kind) => list.phrases(from, vocabulary.records(kind)),
            _ => {}
        },
        // The records hold outcomes by their own words only.
        None => {
            if let Some(id) = test_before(place, vocabulary, is) {
                let own = vocabulary.outcomes(id).iter().filter(|p| p.canonical);
                list.phrases(from, own);
            }
        }
    }
}
