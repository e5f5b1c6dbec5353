//! Words and signs that are typed where another is meant.

use crate::lang::expected::Expected;
use crate::lang::reserved::Keyword;

/// What is typed, what is meant, and what to say of it. The first row whose
/// first two members fit is taken.
pub(super) const SWAPS: &[(&str, Expected, &str)] = &[
    (
        ",",
        Expected::Keyword(Keyword::And),
        "`and` joins conditions; a comma joins members of a list",
    ),
    (
        ",",
        Expected::Keyword(Keyword::To),
        "`to` stands before the other side of a join, `over` before the layer beneath",
    ),
    (
        ",",
        Expected::Keyword(Keyword::Over),
        "`over` lists layers from the top down",
    ),
    (
        ",",
        Expected::Sign("+"),
        "`+` joins liquids to a mixture: `ethanol + acetone 1:1`",
    ),
    (
        "and",
        Expected::Sign(","),
        "a comma joins members of a list; `and` joins conditions",
    ),
    (
        "and",
        Expected::Sign("+"),
        "`+` joins liquids to a mixture: `ethanol + acetone 1:1`",
    ),
    (
        "over",
        Expected::Keyword(Keyword::On),
        "`on` says what it sits on, `over` what lies beneath that",
    ),
    (
        "from",
        Expected::Keyword(Keyword::On),
        "`on` says what it sits on",
    ),
    (
        "on",
        Expected::Keyword(Keyword::From),
        "`from` says what it comes off",
    ),
    (
        "on",
        Expected::Keyword(Keyword::Over),
        "`over` lists layers from the top down",
    ),
    (
        "on",
        Expected::Keyword(Keyword::For),
        "`for` says where it goes",
    ),
    (
        "with",
        Expected::Keyword(Keyword::In),
        "`in` stands before what it is dissolved in",
    ),
    (
        "for",
        Expected::Keyword(Keyword::During),
        "`during` stands before the time it takes",
    ),
    (
        "without",
        Expected::Keyword(Keyword::Sparing),
        "`sparing` stands before what the blend must not touch",
    ),
    (
        "with",
        Expected::Keyword(Keyword::Using),
        "`using` stands before the liquids at hand",
    ),
    (
        "by",
        Expected::Keyword(Keyword::Rank),
        "`rank by` orders the answer",
    ),
];
