//! `kb/templates`: one complete record of each kind to copy, apart from the corpus.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use palinode::model::field::FIELDS;
use palinode::model::{Kind, Library, Record};
use palinode::{corpus, embedded};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("kb/templates")
}

/// The only template of a kind, with its text.
fn template(kind: Kind) -> (Record, String) {
    let records = corpus::load(&folder(), Vec::new()).unwrap().records;
    let mut own = records.into_iter().filter(|r| r.kind() == kind);
    let record = own.next().unwrap_or_else(|| panic!("no {}", kind.noun()));
    assert!(
        own.next().is_none(),
        "one template is enough: {}",
        kind.noun()
    );
    let text = std::fs::read_to_string(folder().join(&record.head().place.file)).unwrap();
    (record, text)
}

/// Lays them over the corpus with the same lints as a studio's own folder.
#[test]
fn templates_pass_the_check() {
    let output = Command::new(env!("CARGO_BIN_EXE_palinode"))
        .env("PALINODE_CACHE", "")
        .arg("check")
        .arg(folder())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{complaint}");
    assert!(complaint.is_empty(), "{complaint}");
    assert!(said.contains(" 0 errors, 0 warnings"), "{said}");
}

/// Every field of a kind stands in its template, each with a word on what it wants.
#[test]
fn a_template_shows_every_field_and_says_what_it_wants() {
    for kind in Kind::FILED {
        let (record, text) = template(kind);
        assert!(record.head().invented, "{} is not marked", kind.noun());
        let shown: BTreeSet<&str> = record.head().facts.keys().collect();
        let known: BTreeSet<&str> = FIELDS
            .iter()
            .filter(|f| f.kinds.contains(&kind))
            .map(|f| f.key)
            .collect();
        assert_eq!(shown, known, "{}", kind.noun());
        for key in known {
            let line = text.lines().find(|l| l.starts_with(&format!("{key} = ")));
            let line = line.unwrap_or_else(|| panic!("{}: {key}", kind.noun()));
            assert!(
                line.contains('#') || line.contains("text"),
                "{}: `{key}` does not say what it wants",
                kind.noun()
            );
        }
    }
}

/// The tables and lists that only some records need are shown as well.
#[test]
fn templates_show_what_only_some_records_have() {
    for kind in Kind::FILED {
        let (record, text) = template(kind);
        let full = match &record {
            Record::Material(it) => {
                let groups = [&it.fresh, &it.aged, &it.always];
                groups.iter().all(|g| !g.0.is_empty())
                    && !it.made_of.is_empty()
                    && !it.sites.is_empty()
                    && it.removal.len() > 1
            }
            Record::Layer(it) => it.harm.len() > 1 && !it.traits.is_empty(),
            Record::Agent(it) => {
                !it.parts.is_empty() && it.like.is_some() && text.contains("\n# cas = ")
            }
            Record::Carrier(it) => !it.carries.is_empty() && !it.carries_not.is_empty(),
            Record::Method(it) => {
                !it.avoid.0.is_empty() && it.then.is_some() && it.carrier.is_some()
            }
            Record::Test(it) => !it.near.is_empty() && it.reagent.is_some() && it.hazard.is_some(),
            Record::Family(_) | Record::Source(_) => unreachable!(),
        };
        assert!(full, "{}", kind.noun());
        for lang in corpus::LANGUAGES {
            assert!(
                text.contains(&format!("\n{lang} = [")),
                "{}: {lang}",
                kind.noun()
            );
        }
    }
}

/// What is invented never answers a question.
#[test]
fn templates_are_no_part_of_the_corpus() {
    for kind in Kind::ALL {
        for index in 0..embedded().count(kind) {
            let record = embedded().record(kind, index).unwrap();
            assert!(!record.head().invented, "{}", record.head().id);
        }
    }
    for kind in Kind::FILED {
        let id = template(kind).0.head().id.clone();
        assert!(embedded().position(kind, &id).is_none(), "{id}");
    }
}
