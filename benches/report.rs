//! How long a report takes: the case from its text to the finished page. `cargo bench --bench report`;
//! nothing here fails when it is slow, for a slow machine is no mistake.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "criterion writes functions"
)]

use std::hint::black_box;
use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};

use palinode::case::{self, Case};
use palinode::cite::Style;
use palinode::embedded;
use palinode::report::{Paper, Part, Request, html, report};

#[path = "../tests/it/report/large.rs"]
mod large;

const NOW: i32 = 2026;

fn page(case: &Case) -> String {
    let request = Request {
        case,
        pack: embedded(),
        now: NOW,
        parts: &Part::ALL,
        style: Style::AuthorDate,
    };
    let made = report(
        &request,
        &|_| Err("no pictures here".to_owned()),
        &mut |_, _, _| {},
    );
    html(&made.unwrap(), Paper::A4)
}

fn reports(c: &mut Criterion) {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("kb/demo/overmantel/case.toml");
    let demo = case::load(&demo).unwrap().case;
    let text = large::large(1);
    let (big, _) = case::parse(&text).unwrap();
    let mut group = c.benchmark_group("report");
    group.sample_size(10);
    group.bench_function("the demo case", |b| b.iter(|| page(black_box(&demo))));
    group.bench_function("500 observations, 40 questions", |b| {
        b.iter(|| page(black_box(&big)));
    });
    group.bench_function("reading that case", |b| {
        b.iter(|| case::parse(black_box(&text)).unwrap());
    });
    group.finish();
}

criterion_group!(benches, reports);
criterion_main!(benches);
