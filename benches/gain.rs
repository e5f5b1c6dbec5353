//! Bayes' rule and expected information: 8 tests done and 32 left, over 1 000 and 10 000 materials.
//! `benches/gain.py` does the same with stacked arrays; run it after this, on the same machine.
//!
//! What both reckon is drawn by the same generator. The sums go to a file, so that the script
//! compares before it times.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints and may fail"
)]

use std::fmt::Write as _;
use std::hint::black_box;
use std::time::Instant;

use palinode::identify::gain::Outcomes;

const TESTS: usize = 40;
const DONE: usize = 8;
/// Runs of which the quickest counts: whatever else the machine does only adds to it.
const ROUNDS: usize = 1_001;

/// Linear congruential, 64 bits, constants of Knuth's MMIX (from memory); `gain.py` has it too.
struct Random(u64);

impl Random {
    fn fraction(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Likelihoods of 40 tests of 3 to 6 outcomes, and a prior.
fn drawn(materials: usize) -> (Outcomes, Vec<f64>) {
    let mut random = Random(20_261_128);
    let mut prior: Vec<f64> = (0..materials).map(|_| random.fraction() + 1e-3).collect();
    let total: f64 = prior.iter().sum();
    for p in &mut prior {
        *p /= total;
    }
    let mut outcomes = Outcomes::new(materials);
    for test in 0..TESTS {
        let n = 3 + test % 4;
        let mut rows: Vec<f64> = (0..n * materials)
            .map(|_| random.fraction() + 0.01)
            .collect();
        for m in 0..materials {
            let sum: f64 = (0..n).map(|o| rows[o * materials + m]).sum();
            for o in 0..n {
                rows[o * materials + m] /= sum;
            }
        }
        outcomes.push(&rows);
    }
    (outcomes, prior)
}

/// The quickest of many runs, microseconds.
fn quickest(mut run: impl FnMut()) -> f64 {
    (0..ROUNDS)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64() * 1e6
        })
        .fold(f64::INFINITY, f64::min)
}

fn main() {
    let seen: Vec<(usize, usize)> = (0..DONE).map(|t| (t, t % 3)).collect();
    let mut last = 0.0;
    for materials in [1_000, 10_000] {
        let (outcomes, prior) = drawn(materials);
        let posterior = outcomes.posterior(&prior, &seen);
        let gains: Vec<f64> = (DONE..TESTS)
            .map(|t| outcomes.gain(&posterior, t))
            .collect();
        let mut text = String::new();
        for value in gains.iter().chain(&posterior[..20]) {
            writeln!(text, "{value:e}").unwrap();
        }
        let path = format!("{}/gain-{materials}.txt", std::env::temp_dir().display());
        std::fs::write(&path, text).unwrap();
        let update = quickest(|| {
            black_box(outcomes.posterior(black_box(&prior), black_box(&seen)));
        });
        let gain = quickest(|| {
            for t in DONE..TESTS {
                black_box(outcomes.gain(black_box(&posterior), t));
            }
        });
        println!(
            "{materials} materials: update {update:.1} us, gains of 32 tests {gain:.1} us, \
             together {:.1} us; {path}",
            update + gain
        );
        if last > 0.0 {
            println!(
                "ten times the materials: {:.1} times the time",
                (update + gain) / last
            );
        }
        last = update + gain;
    }
}
