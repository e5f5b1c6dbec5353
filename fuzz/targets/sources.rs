//! Feeds the fuzzer's texts to `fuzz/bodies.rs` as bibliographies.
#![no_main]

#[path = "../bodies.rs"]
mod bodies;

libfuzzer_sys::fuzz_target!(|text: &str| bodies::sources(text));
