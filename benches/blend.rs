//! How long the search for blends takes beside numpy, in one run: 60 liquids, steps of 5 %, one thread,
//! three layers to keep off; the target once free, once inside of one of them.
//!
//! ```text
//! PALINODE_PYTHON=venv/bin/python cargo bench --bench blend
//! ```
//!
//! The ten least distances of both are compared before a time is told. Ours is the best wall time of some
//! runs, theirs processor time, so that a busy machine does not flatter us. Without a Python that has numpy
//! only our own times are told. Nothing fails for being slow.
#![allow(
    missing_docs,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a program that measures"
)]

use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Instant;

use palinode::bench::blend::bound::bound;
use palinode::bench::blend::search::{Ball, Space, nearest};
use palinode::model::Hansen;

const RUNS: usize = 7;
const SAMPLE: usize = 8_000;

fn point(d: f64, p: f64, h: f64) -> Hansen {
    Hansen {
        d,
        p,
        h,
        radius: None,
    }
}

/// Sixty liquids drawn over the room that solvents fill, the same on every machine.
fn sixty() -> Vec<Hansen> {
    let mut state = 20_261_128_u64;
    let mut next = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / (1_u64 << 31) as f64
    };
    (0..60)
        .map(|_| {
            let (d, p, h) = (
                14.0 + 6.0 * next(),
                18.0 * next() * next(),
                26.0 * next() * next(),
            );
            point(
                (10.0 * d).round() / 10.0,
                (10.0 * p).round() / 10.0,
                (10.0 * h).round() / 10.0,
            )
        })
        .collect()
}

fn main() {
    let liquids = sixty();
    let ball = |d, p, h, radius, layer| Ball {
        centre: point(d, p, h),
        radius: 1.1 * radius,
        layer,
    };
    let balls = [
        ball(16.5, 2.0, 4.0, 4.5, 0),
        ball(17.0, 11.0, 14.0, 4.0, 1),
        ball(18.6, 5.0, 7.0, 3.6, 2),
    ];
    for (name, target) in [
        ("free", point(16.6, 8.0, 7.5)),
        ("bound", point(18.2, 5.4, 7.6)),
    ] {
        let space = Space::new(&liquids, target, &balls, 20);
        let time = |most: usize| {
            let mut best = f64::INFINITY;
            let mut found = Vec::new();
            for _ in 0..RUNS {
                let start = Instant::now();
                found = nearest(&space, most, 10, &mut |_| true).unwrap();
                best = best.min(start.elapsed().as_secs_f64());
            }
            (best, found)
        };
        let (three, kept) = time(3);
        let (four, kept_of_four) = time(4);
        let exact = bound(&space).unwrap().ra;
        println!(
            "{name}: up to three {:.3} ms, up to four {:.3} ms; exact bound {exact:.5}, nearest of three \
             {:.5}, of four {:.5}",
            1e3 * three,
            1e3 * four,
            kept[0].ra,
            kept_of_four[0].ra
        );
        let Some(theirs) = numpy(&liquids, target, &balls) else {
            println!("{name}: no numpy; set PALINODE_PYTHON");
            continue;
        };
        let best: Vec<f64> = theirs["three"]["best"]
            .as_array()
            .unwrap()
            .iter()
            .map(|x| x.as_f64().unwrap())
            .collect();
        for (a, b) in kept.iter().zip(&best) {
            assert!((a.ra - b).abs() < 2e-3, "{name}: {} and {b}", a.ra);
        }
        let of = |key: &str| theirs[key]["seconds"].as_f64().unwrap();
        println!(
            "{name}: the ten least agree; numpy / ours: up to three {:.0}, up to four {:.0} (numpy \
             reckoned from {} of {} sets)",
            of("three") / three,
            of("four") / four,
            theirs["four"]["sample"],
            theirs["four"]["of"]
        );
    }
}

fn numpy(liquids: &[Hansen], target: Hansen, balls: &[Ball]) -> Option<serde_json::Value> {
    let python = std::env::var("PALINODE_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let list = |it: Hansen| serde_json::json!([it.d, it.p, it.h]);
    let given = serde_json::json!({
        "liquids": liquids.iter().map(|l| list(*l)).collect::<Vec<_>>(),
        "target": list(target),
        "balls": balls.iter().map(|b| serde_json::json!({"centre": list(b.centre), "radius": b.radius})).collect::<Vec<_>>(),
        "steps": 20,
        "runs": 2,
        "four": true,
        "sample": SAMPLE,
    });
    let mut child = Command::new(python)
        .arg(concat!(env!("CARGO_MANIFEST_DIR"), "/benches/blend.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    child
        .stdin
        .take()?
        .write_all(given.to_string().as_bytes())
        .ok()?;
    let output = child.wait_with_output().ok()?;
    serde_json::from_slice(&output.stdout).ok()
}
