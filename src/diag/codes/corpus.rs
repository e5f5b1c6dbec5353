//! Codes of the corpus: the shape of records.

use super::{CodeEntry, bare};

pub(super) const CODES: &[CodeEntry] = &[
    bare(
        "K0100",
        "not TOML",
        "The file is not TOML. The message says where reading stopped.",
    ),
    bare(
        "K0101",
        "required key missing",
        "A record has an `id` equal to its file name, a `name`, and the keys that its kind wants; \
         `kb/README.md` lists them.",
    ),
    bare(
        "K0102",
        "unknown key",
        "A key that no one reads would be lost in silence, so it is an error.",
    ),
    bare(
        "K0103",
        "value of the wrong sort",
        "The key wants text, a list, a number or a table.",
    ),
    bare(
        "K0104",
        "grade out of range",
        "Grades are whole numbers within the range named.",
    ),
    bare(
        "K0105",
        "not a fact",
        "A fact is written {is = VALUE, by = \"BASIS\"}.",
    ),
    bare(
        "K0106",
        "no basis",
        "Every fact says where it comes from: a source with a locator, `practice` or `memory`. A \
         fact that was looked for and not found says where; one that does not apply says why.",
    ),
    bare(
        "K0107",
        "not a basis",
        "A basis is `practice`, `memory`, `key, locator`, or `key through other, locator`.",
    ),
    bare(
        "K0108",
        "value that cannot be read",
        "The field wants a number with its unit, years, or parameters.",
    ),
    bare(
        "K0109",
        "unknown word",
        "The key takes words of a closed list; the nearest is named.",
    ),
    bare(
        "K0110",
        "not a part of a mixture",
        "A part is the id of a liquid and its parts by volume.",
    ),
    bare(
        "K0111",
        "not BibLaTeX",
        "The file of sources cannot be read.",
    ),
    bare(
        "K0112",
        "id is not the file name",
        "A record is found by its file name; the two must agree.",
    ),
    bare("K0113", "defined twice", "Two files define one record."),
];
