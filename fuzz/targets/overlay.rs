//! Feeds the fuzzer's texts to `fuzz/bodies.rs` as records laid over the corpus.
#![no_main]

#[path = "../bodies.rs"]
mod bodies;

libfuzzer_sys::fuzz_target!(|text: &str| bodies::overlay(text));
