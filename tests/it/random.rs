//! A small generator of pseudo-random numbers with a fixed seed, so that a
//! red test is red again; and the two switches of a run of the tests.

use proptest::test_runner::{Config as ProptestConfig, RngSeed};

/// Whether the long run is asked for: `.ci/run full` sets the variable.
pub(crate) fn long() -> bool {
    std::env::var_os("PALINODE_LONG").is_some()
}

/// Whether files that are made from tables are to be written afresh:
/// `PALINODE_WRITE=1 cargo test reference`.
pub(crate) fn writing() -> bool {
    std::env::var_os("PALINODE_WRITE").is_some()
}

/// A seed, or another one in the long run, so that it tries what the short
/// run does not.
pub(crate) fn seed(short: u64) -> u64 {
    if long() {
        short.wrapping_mul(31).wrapping_add(2_026)
    } else {
        short
    }
}

/// How a property is drawn: `short` cases from a fixed seed, so that the same commit always gives
/// the same verdict; in the long run `long` cases that no run has drawn before.
pub(crate) fn drawn(short: u32, many: u32) -> ProptestConfig {
    let (cases, rng_seed) = if long() {
        (many, RngSeed::Random)
    } else {
        (short, RngSeed::Fixed(2_026))
    };
    ProptestConfig {
        cases,
        rng_seed,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Linear congruential, 64 bits; constants of Knuth's MMIX (Knuth, The Art of
/// Computer Programming, vol. 2, 3.3.4, table 1; from memory).
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below `below`, which is above zero.
    pub(crate) fn below(&mut self, below: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        // The upper bits are the good ones.
        usize::try_from(self.0 >> 33).expect("31 bits") % below
    }

    pub(crate) fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }

    pub(crate) fn yes(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }
}
