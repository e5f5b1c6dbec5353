//! A record that is asked for by name: at a glance, in part, and whole.

use std::collections::BTreeSet;

use palinode::answer::{Answer, Body, Extent, Match};
use palinode::model::{Kind, Library};
use palinode::{embedded, render};

use crate::engines::{NOW, ask};

fn one(answer: &Answer) -> (&Match, Extent) {
    match &answer.body {
        Body::Find(it) => (&it.matches[0], it.extent),
        other => panic!("{other:?}"),
    }
}

/// An answer, and its page of 80 columns.
fn page(question: &str) -> (Answer, String) {
    let answer = ask(question).pop().unwrap();
    let page = render::table(&answer, 80);
    (answer, page)
}

/// A question on a record is answered with something, in the extent that it asks for.
fn check(question: &str, id: &str) {
    let answer = ask(question).pop().unwrap();
    let (told, extent) = one(&answer);
    let wanted = match question.ends_with(" all") {
        true => Extent::Whole,
        false => Extent::Asked,
    };
    assert_eq!((told.id.as_str(), extent), (id, wanted), "{question}");
    assert!(
        told.values.iter().any(|v| !v.basis.is_empty()),
        "{question}"
    );
}

/// Without rules, line ends and what pads the columns.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whatever a record states can be read at a glance: every value of every group, under the name of its group,
/// and by whom it is said first; and the line under it names two questions that are answered.
#[test]
fn a_glance_leaves_no_value_out() {
    let pack = embedded();
    for kind in Kind::ALL {
        if kind == Kind::Source {
            continue;
        }
        for index in 0..pack.count(kind) {
            let id = pack.id(kind, index).unwrap();
            let id = match id.starts_with(char::is_alphabetic) {
                true => id.to_owned(),
                false => format!("\"{id}\""),
            };
            let answer = ask(&format!("find {id}")).pop().unwrap();
            let (row, extent) = one(&answer);
            if row.id != id.trim_matches('"') || row.values.is_empty() {
                continue;
            }
            assert_eq!(extent, Extent::Brief, "{id}");
            // So wide that no line is broken.
            let page = render::table(&answer, 4000);
            let page = words(&page);
            for value in &row.values {
                assert!(
                    page.contains(&words(&value.text)),
                    "{id}: {} {}",
                    value.called(),
                    value.text
                );
            }
            for group in ["fresh", "aged"] {
                let has = row.values.iter().any(|v| v.group == group);
                assert!(
                    !has || page.contains(&format!(" {group}: ")),
                    "{id}: {group}"
                );
            }
            let mut fields = row.values.iter().map(|v| v.field.as_str());
            let first = fields.find(|field| *field != "limit").unwrap_or("all");
            for end in ["all", first] {
                let question = format!("find {id} show {end}");
                assert!(page.contains(&question), "{question}");
                check(&question, &row.id);
            }
            // And so is every other line of it, where lines have names of their own.
            if matches!(kind, Kind::Layer | Kind::Method) {
                let fields: BTreeSet<&str> = row.values.iter().map(|v| v.field.as_str()).collect();
                for field in fields {
                    check(&format!("find {id} show {field}"), &row.id);
                }
            }
        }
    }
}

/// What is said of fresh material only stands as that: nothing is to be read of an old coat in it.
#[test]
fn what_is_said_of_one_age_is_not_said_of_both() {
    let (_, page) = page("find shellac");
    let line = page
        .lines()
        .find(|line| line.starts_with("methanol"))
        .unwrap();
    assert!(line.contains("fresh: dissolves"), "{line}");
    let body = page.split("\n\n").nth(1).unwrap();
    let fields: Vec<&str> = body
        .lines()
        .filter(|line| !line.starts_with(' '))
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(fields.len() > 40, "{fields:?}");
    let distinct: BTreeSet<&&str> = fields.iter().collect();
    assert_eq!(fields.len(), distinct.len(), "a line a field: {fields:?}");
}

/// The longest record is read in some screens, not in a dozen.
#[test]
fn a_glance_is_short() {
    let lines = |question: &str| page(question).1.lines().count();
    let (glance, whole) = (lines("find shellac"), lines("find shellac show all"));
    assert!(glance < 110, "{glance}");
    assert!(whole > 4 * glance, "{glance} of {whole}");
}

/// What is asked of a record comes with its notes, and nothing else does.
#[test]
fn show_gives_what_is_asked_and_its_notes() {
    let (answer, page) = page("find shellac show ethanol, ignites");
    let (row, _) = one(&answer);
    let fields: BTreeSet<&str> = row.values.iter().map(|v| v.field.as_str()).collect();
    assert_eq!(fields, BTreeSet::from(["ethanol", "ignites"]));
    assert!(row.values.iter().any(|v| !v.note.is_empty()));
    let page = words(&page);
    assert!(page.contains("ignites not recorded"), "{page}");
}

/// What harms people is told whole even at a glance.
#[test]
fn hazards_keep_their_notes_at_a_glance() {
    let (answer, page) = page("find acetone");
    let (row, _) = one(&answer);
    let page = words(&page);
    let grave: Vec<&palinode::answer::Shown> = row
        .values
        .iter()
        .filter(|v| v.field == "hazards" && !v.note.is_empty())
        .collect();
    assert!(!grave.is_empty());
    for value in grave {
        assert!(page.contains(&words(&value.whole())), "{}", value.whole());
    }
}

/// What a test shows is what it is looked up for: starch turns iodine blue (any handbook of spot tests).
#[test]
fn a_test_says_what_answers_it() {
    let (_, page) = page("find iodine");
    let blue = page
        .lines()
        .find(|line| line.starts_with("blue: "))
        .unwrap();
    assert!(blue.contains("starch paste"), "{blue}");
}

/// A verdict of two schools is told with the one that a plan keeps to, and no `safe` without its note.
#[test]
fn verdicts_of_a_layer_are_not_read_as_milder_than_they_are() {
    let (answer, page) = page("find ivory");
    let page = words(&page);
    assert!(
        page.contains("when sound: test [wamuseum]; harms"),
        "{page}"
    );
    assert!(page.contains("a plan keeps to the harsher"), "{page}");
    let (row, _) = one(&answer);
    for value in row.values.iter().filter(|v| v.text == "safe") {
        assert!(page.contains(&words(&value.whole())), "{}", value.whole());
    }
}

/// A glance names its sources by keys, so a key can be looked up.
#[test]
fn a_key_leads_to_its_source() {
    let (_, glance) = page("find shellac");
    assert!(glance.contains("[koob2007]") && !glance.contains("Koob, Stephen"));
    let (_, source) = page("find koob2007");
    for said in ["Koob, Stephen (2007)", "DistList", "[whole posting]"] {
        assert!(words(&source).contains(said), "{said}: {source}");
    }
}

/// What is left unread for a page is what it does not show: it reads the same, but for the sources behind the
/// other candidates.
#[test]
fn a_page_shows_the_same_when_only_what_it_shows_is_read() {
    let shown = |text: &str, paged: bool| {
        let file = palinode::lang::parse(text).unwrap();
        let checked = palinode::resolve::resolve(&file, text, embedded(), NOW).unwrap();
        let mut session = palinode::eval::Session::new(embedded(), NOW);
        if paged {
            session.for_pages();
        }
        let answer = session.run(&checked[0], String::new()).unwrap();
        let page = render::table(&answer, 80);
        let until = page.find("\nSources").unwrap_or(page.len());
        page[..until].to_owned()
    };
    for text in [
        "find shellac",
        "find ethanol show boiling-point",
        "find paraloid-b-72",
        "identify coating",
        "identify varnish that dissolves in ethanol, fluoresces orange under uv-a, looks white",
        "identify adhesive (join) on porcelain restored 1960..1990 that is brittle, looks yellowed",
        "identify coating that chars, is black, is unaffected by acetone limit 12",
        "explain identify coating on oak that dissolves in ethanol",
    ] {
        assert_eq!(shown(text, true), shown(text, false), "{text}");
    }
}
