//! The corpus as other programs read it, held against the JSON Schema by a library for schemas and
//! against the records themselves.

use std::process::{Command, Output};

use boon::{Compiler, Schemas};
use serde_json::Value;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_palinode"))
        .args(arguments)
        .env("PALINODE_CACHE", "")
        .output()
        .unwrap()
}

fn exported(form: &str) -> String {
    let output = run(&["export", "--format", form]);
    assert_eq!(output.status.code(), Some(0));
    String::from_utf8(output.stdout).unwrap()
}

fn compiled() -> (Schemas, boon::SchemaIndex) {
    let schema: Value = serde_json::from_str(&exported("schema")).unwrap();
    let mut compiler = Compiler::new();
    compiler.add_resource("export.json", schema).unwrap();
    let mut schemas = Schemas::new();
    let index = compiler.compile("export.json", &mut schemas).unwrap();
    (schemas, index)
}

/// JSON Schema (draft 2020-12), by the library `boon`.
#[test]
fn the_export_is_what_its_schema_says() {
    let (schemas, index) = compiled();
    let export: Value = serde_json::from_str(&exported("json")).unwrap();
    if let Err(error) = schemas.validate(&export, index) {
        panic!("{error:#}");
    }
    // The schema refuses what would mislead.
    let fact = |fact: Value| {
        serde_json::json!({
            "export": 1, "corpus": "x", "program": "x",
            "records": [{
                "kind": "material", "id": "x", "name": "x", "also": [], "foreign": {},
                "summary": "", "filed": {}, "sections": {"fresh": {"ethanol": [fact]}}
            }]
        })
    };
    let sound = fact(serde_json::json!({"is": ["dissolves"], "basis": "memory"}));
    assert!(schemas.validate(&sound, index).is_ok());
    for bad in [
        serde_json::json!({"is": ["dissolves"]}),
        serde_json::json!({"is": ["dissolves"], "basis": "hearsay"}),
        serde_json::json!({"is": ["dissolves"], "basis": "published"}),
        serde_json::json!({"basis": "memory"}),
        serde_json::json!({"is": "x", "sought": "y", "basis": "memory"}),
    ] {
        assert!(
            schemas.validate(&fact(bad.clone()), index).is_err(),
            "{bad}"
        );
    }
}

/// Nothing is lost between the corpus, the JSON and the CSV.
#[test]
fn both_forms_hold_every_fact() {
    let export: Value = serde_json::from_str(&exported("json")).unwrap();
    let records = export["records"].as_array().unwrap();
    let all = palinode::embedded().all_records();
    assert_eq!(records.len(), all.len());
    let mut in_json = Vec::new();
    for record in records {
        for (section, keys) in record["sections"].as_object().unwrap() {
            for (key, facts) in keys.as_object().unwrap() {
                for fact in facts.as_array().unwrap() {
                    in_json.push((
                        record["id"].as_str().unwrap().to_owned(),
                        section.clone(),
                        key.clone(),
                        fact["basis"].as_str().unwrap().to_owned(),
                    ));
                }
            }
        }
    }
    let csv = exported("csv");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let head = reader.headers().unwrap().clone();
    let column = |name: &str| head.iter().position(|h| h == name).unwrap();
    let (id, section, key, basis) = (
        column("id"),
        column("section"),
        column("key"),
        column("basis"),
    );
    let mut in_csv: Vec<_> = reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            (
                row[id].to_owned(),
                row[section].to_owned(),
                row[key].to_owned(),
                row[basis].to_owned(),
            )
        })
        .collect();
    let counted: usize = all
        .iter()
        .flat_map(|r| {
            r.fact_groups()
                .into_iter()
                .map(|(_, facts)| facts.all().count())
                .collect::<Vec<_>>()
        })
        .sum();
    assert!(counted > 10_000, "{counted}");
    assert_eq!(in_json.len(), counted);
    in_json.sort();
    in_csv.sort();
    assert_eq!(in_json, in_csv);
}

/// One fact, from the TOML to the cell.
#[test]
fn a_fact_arrives_with_its_unit_and_its_source() {
    let csv = exported("csv");
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let head = reader.headers().unwrap().clone();
    let cell = |row: &csv::StringRecord, name: &str| {
        let at = head.iter().position(|h| h == name).unwrap();
        row[at].to_owned()
    };
    let row = reader
        .records()
        .map(Result::unwrap)
        .find(|row| {
            cell(row, "id") == "ethanol"
                && cell(row, "key") == "density"
                && cell(row, "basis") == "published"
        })
        .unwrap();
    assert_eq!(cell(&row, "unit"), "g/ml");
    let low: f64 = cell(&row, "low").parse().unwrap();
    assert!((0.78..0.80).contains(&low), "{low}");
    assert!(!cell(&row, "source").is_empty() && !cell(&row, "locator").is_empty());
    let file = std::fs::read_to_string(format!("kb/{}", cell(&row, "file"))).unwrap();
    let line: usize = cell(&row, "line").parse().unwrap();
    assert!(
        file.lines()
            .nth(line - 1)
            .unwrap()
            .contains(&cell(&row, "locator"))
    );
}
