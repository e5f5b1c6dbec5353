//! Rules.

use super::super::rule::Rule;

pub(super) const RULES: &[Rule] = &[];
