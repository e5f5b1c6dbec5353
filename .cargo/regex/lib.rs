//! `regex-lite`, of the same authors and with the same interface, under the name of `regex`. The text index
//! brings `regex` along for one expression, which writes a kind of value that no record has; its tables and engines
//! were half a megabyte of the program.
#![forbid(unsafe_code)]

pub use regex_lite::*;
