//! Feeds the fuzzer's texts to `fuzz/bodies.rs` as files of cases.
#![no_main]

#[path = "../bodies.rs"]
mod bodies;

libfuzzer_sys::fuzz_target!(|text: &str| bodies::case_file(text));
