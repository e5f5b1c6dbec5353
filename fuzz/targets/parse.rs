//! Feeds the fuzzer's texts to `fuzz/bodies.rs` as queries that are parsed.
#![no_main]

#[path = "../bodies.rs"]
mod bodies;

libfuzzer_sys::fuzz_target!(|text: &str| bodies::parse(text));
