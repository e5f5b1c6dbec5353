//! Codes of the corpus: the shape of records.
//!
//! The examples are lines of the cases in `tests/lint`: a test holds that the wrong one earns its
//! code and that the right one does not.

use super::{CodeEntry, bare, entry};

pub(super) const CODES: &[CodeEntry] = &[
    entry(
        "K0100",
        "not TOML",
        "A record is a TOML file: text in double quotes, lists in square brackets, a fact in braces \
         with commas between its parts. What stands before the marked place was read; mend it there \
         and check again.",
        "tg = {is = \"40 C\" by = \"memory\"}",
        "tg = {is = \"40 C\", by = \"memory\"}",
    ),
    bare(
        "K0101",
        "part missing",
        "A record needs what makes it one: an id, a name, and by its kind the family and kinds of a \
         material, the group of a layer, the kind, class and strength of a liquid, the action and \
         mildness of a method, the cluster and outcomes of a test. The help names the line to add.",
    ),
    entry(
        "K0102",
        "unknown key",
        "A key that nobody reads is a fact that nobody finds. The keys of each kind of record, and \
         the fields that a fact may have, stand in kb/README.md; the help gives the nearest of them.",
        "colour-change = {is = [\"yellows\"], by = \"memory\"}",
        "ageing = {is = [\"yellows\"], by = \"memory\"}",
    ),
    entry(
        "K0103",
        "value of another sort",
        "The key is known, and its value is of the wrong sort: a number where a text is wanted, one \
         value where a list is, or the reverse. Quantities with a unit are texts and stand in quotes.",
        "also = 3",
        "also = [\"pine resin\", \"test varnish\"]",
    ),
    entry(
        "K0104",
        "grade out of range",
        "Grades are whole numbers: strength and mildness from 1 to 9, risk and toxicity from 0 to 5. \
         They set the order of trial, so a half or a ten would leave the scale.",
        "risk = 9",
        "risk = 2",
    ),
    entry(
        "K0105",
        "no fact",
        "A fact is written {is = VALUE, by = \"BASIS\"}, never as a bare value: without a basis \
         nobody can tell a measured number from a remembered one.",
        "tg = \"40 C\"",
        "tg = {is = \"40 C\", by = \"memory\"}",
    ),
    entry(
        "K0106",
        "basis missing",
        "Every fact and every removal route says where it comes from. What was looked for and not \
         found says where it was looked for; what does not apply says why.",
        "tg = {is = \"40 C\"}",
        "tg = {is = \"40 C\", by = \"memory\"}",
    ),
    entry(
        "K0107",
        "basis not understood",
        "A basis is \"practice\", \"memory\", or a source key with a comma and a locator: a page, a \
         table, a section, or what part was read. What one source reports of another is written \
         \"key through other, p. 3\".",
        "tg = {is = \"40 C\", by = \"doe2001\"}",
        "tg = {is = \"40 C\", by = \"doe2001, p. 64\"}",
    ),
    entry(
        "K0108",
        "value not understood",
        "A quantity is a number or a range with two dots and a unit; years run from one to another, \
         with antiquity and now for open ends; Hansen parameters and Teas fractions are three \
         numbers with strokes between them.",
        "tg = {is = \"warm\", by = \"memory\"}",
        "tg = {is = \"40 C\", by = \"memory\"}",
    ),
    entry(
        "K0109",
        "unknown word",
        "Kinds, sites, conditions, traits, classes and other controlled words come from closed lists \
         with a meaning each, in kb/vocab/words.toml. A word outside them would be found by no \
         question. The help gives the nearest word of the list.",
        "sites = [\"flim\"]",
        "sites = [\"film\"]",
    ),
    entry(
        "K0110",
        "part of a mixture not understood",
        "A part of a mixture is the id of a liquid and its parts by volume, above zero, in one text.",
        "parts = [\"acetone\", \"ethanol 1\"]",
        "parts = [\"acetone 1\", \"ethanol 1\"]",
    ),
    entry(
        "K0111",
        "not BibLaTeX",
        "Sources are BibLaTeX entries: a type, a key, and fields in braces with commas between them. \
         Nothing of a file that cannot be parsed is read, so one slip hides all its sources.",
        "@article{roe1999, title = {On resins}",
        "@article{roe1999, title = {On resins}, year = {1999}, annotation = {abstract opened}}",
    ),
    entry(
        "K0112",
        "id is not the file name",
        "A record is looked for by its id in the file of that name. Where the two differ one of them \
         is a slip.",
        "id = \"tolune\"",
        "id = \"toluene\"",
    ),
    entry(
        "K0113",
        "defined twice",
        "Two records of one kind with the same id, or two sources with the same key: only the first \
         is read. Give one of them another id, or make them one.",
        "@misc{doe2001, title = {Another title}, annotation = {abstract opened}}",
        "@misc{doe2001b, title = {Another title}, annotation = {abstract opened}}",
    ),
];
