//! The query language, edition 1: tokens, tree, parser, formatter.
//!
//! This module knows no corpus. Names, verbs of observation and properties
//! stay words here and are resolved afterwards. The grammar is written down
//! in `grammar/query.ebnf`, which the tests hold against this parser.

pub mod ast;
mod canonical;
pub mod expected;
mod format;
pub mod lex;
mod parse;
pub mod reserved;
mod slip;
pub mod token;

pub use ast::File;
pub use canonical::{canonical, canonical_in};
pub use expected::{Expected, Role, expected_at};
pub use format::format;
pub use parse::{DEEPEST, EDITION, parse};
