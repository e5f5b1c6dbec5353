//! How long a query takes, piece by piece. `cargo bench`; nothing here fails when it is slow, for
//! a slow machine is no mistake.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "criterion writes functions"
)]

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};

use palinode::eval::Session;
use palinode::{embedded, lang, resolve};

/// The year in which the queries are asked.
const NOW: i32 = 2026;

const EXAMPLES: &str = include_str!("../grammar/conformance.md");

const EIGHT: &str = "identify coating on water gilding over bole over gesso restored 1890..1935
  that fluoresces orange under uv-a, dissolves in ethanol (crumb, 1 min),
    is unaffected by white spirit, softens in acetone, is unaffected by water,
    looks amber, is brittle, smells of sealing wax";

const SIX_LAYERS: &str = "remove shellac (film, later) from oil paint (flaking)
    over oil gilding over water gilding over bole over gesso over limewood
  without heat";

/// The longest accepted example whose names the corpus knows.
fn longest() -> String {
    let mut examples: Vec<&str> = EXAMPLES
        .split("```query ok\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .filter(|text| checks(text))
        .collect();
    examples.sort_by_key(|text| text.len());
    examples.pop().unwrap().to_owned()
}

fn checks(text: &str) -> bool {
    lang::parse(text)
        .ok()
        .is_some_and(|file| resolve::resolve(&file, text, embedded(), NOW).is_ok())
}

fn resolved(text: &str) -> usize {
    let file = lang::parse(text).unwrap();
    resolve::resolve(&file, text, embedded(), NOW)
        .unwrap()
        .len()
}

fn answered(text: &str) -> usize {
    let file = lang::parse(text).unwrap();
    let checked = resolve::resolve(&file, text, embedded(), NOW).unwrap();
    let mut session = Session::new(embedded(), NOW);
    checked
        .iter()
        .map(|statement| session.run(statement, String::new()).unwrap().sources.len())
        .sum()
}

fn reading(c: &mut Criterion) {
    let text = longest();
    // Bytes in the name, so that a longer example is not taken for a slower program.
    c.bench_function(
        &format!(
            "parse and resolve the longest example, {} bytes",
            text.len()
        ),
        |b| {
            b.iter(|| resolved(black_box(&text)));
        },
    );
    c.bench_function("parse it alone", |b| {
        b.iter(|| lang::parse(black_box(&text)).unwrap().statements.len());
    });
    let prefixes: Vec<&str> = (1..=20)
        .map(|part| {
            let mut end = text.len() * part / 20;
            while !text.is_char_boundary(end) {
                end -= 1;
            }
            &text[..end]
        })
        .collect();
    c.bench_function("what may follow, at 20 places of it", |b| {
        b.iter(|| {
            prefixes
                .iter()
                .map(|prefix| lang::expected_at(black_box(prefix), prefix.len()).len())
                .sum::<usize>()
        });
    });
    let piece = "find adhesive where (tg >= 30 C and removable with ethanol when aged);\n";
    let long = piece.repeat(64 * 1024 / piece.len());
    c.bench_function("parse 64 KiB", |b| {
        b.iter(|| lang::parse(black_box(&long)).unwrap().statements.len());
    });
}

fn answering(c: &mut Criterion) {
    c.bench_function("identify with eight observations", |b| {
        b.iter(|| answered(black_box(EIGHT)));
    });
    c.bench_function("remove from six layers", |b| {
        b.iter(|| answered(black_box(SIX_LAYERS)));
    });
    c.bench_function("choose, adhesive, all materials", |b| {
        b.iter(|| {
            answered(black_box(
                "choose adhesive for walnut to walnut reversible for 50 years",
            ))
        });
    });
}

criterion_group!(benches, reading, answering);
criterion_main!(benches);
