//! Codes of the case file. The examples are lines of a case: a test holds that the wrong one earns
//! its code and that the right one does not.

use super::{CodeEntry, bare, entry};

pub(super) const CODES: &[CodeEntry] = &[
    entry(
        "C0101",
        "not TOML",
        "A case file is TOML: each fact on a line of its own, texts in double quotes, lists in square \
         brackets. Nothing of a file that cannot be read is changed: mend the marked place, or take \
         the last good version, which lies beside it under the same name with `.bak` at its end.",
        "note = \"the rebate",
        "note = \"the rebate\"",
    ),
    bare(
        "C0102",
        "format not known",
        "A case file begins with `palinode = 1`, the format in which it is written. A higher number \
         was written by a newer program, which may have put facts where this one does not look; so \
         it is not read, and not written.",
    ),
    entry(
        "C0103",
        "part missing",
        "A case needs an object with a title; every entry an id and what makes it one: a layer its \
         name, an observation what was seen and of which unknown, a decision its reason. The help \
         names the line to add.",
        "[[layer]]\nid = \"l9\"",
        "[[layer]]\nid = \"l9\"\nname = \"gesso\"",
    ),
    entry(
        "C0104",
        "value of another sort",
        "The key is known, and its value is of the wrong sort: a number where a text is wanted, a \
         moment where a day is, or a text of many pages. Quantities with a unit are texts and stand in \
         quotes; days are written year, month, day.",
        "note = 3",
        "note = \"3 losses\"",
    ),
    entry(
        "C0105",
        "id not usable",
        "An id is a word of lower-case letters and digits, given once in a case and never again, so \
         that what names it still names the same thing years later. An unknown is asked for by its \
         id, so a word of the language cannot be one.",
        "[[layer]]\nid = \"over\"\nname = \"gesso\"",
        "[[layer]]\nid = \"l9\"\nname = \"gesso\"",
    ),
    entry(
        "C0106",
        "id leads nowhere",
        "An observation names its unknown, a trial its layer, a decision what it decides, by id. Where \
         there is no such entry, or one of another sort, the fact hangs in the air and no question \
         would find it.",
        "[[trial]]\nid = \"t9\"\non = \"l77\"\nseen = \"is unaffected by acetone\"",
        "[[layer]]\nid = \"l77\"\nname = \"gesso\"\n[[trial]]\nid = \"t9\"\non = \"l77\"\nseen = \"is unaffected by acetone\"",
    ),
    entry(
        "C0107",
        "quantity not understood",
        "Sizes, strengths and amounts are a number with a unit that measures the right thing. A bare \
         `8 %` of a resin is read as it is, but says not of what: `% w/v` does.",
        "height = \"1240\"",
        "height = \"1240 mm\"",
    ),
    entry(
        "C0108",
        "photograph outside the case",
        "A photograph lies in the folder of the case or below it, and its path is written from there, \
         with `/`. So the folder can be copied, sent and filed whole, and a case from elsewhere cannot \
         make the program open what lies around it.",
        "[[photograph]]\nid = \"f9\"\nshows = \"front\"\nfile = \"../front.jpg\"",
        "[[photograph]]\nid = \"f9\"\nshows = \"front\"\nfile = \"photographs/front.jpg\"",
    ),
    entry(
        "C0109",
        "key not read",
        "The program does not know the key. It stays in the file through every change, but no question \
         and no report sees it. If it is a slip of a known key, the help names that.",
        "heigth = \"1240 mm\"",
        "height = \"1240 mm\"",
    ),
    entry(
        "C0110",
        "more than was asked for",
        "A fact of a case is one phrase of the language: an observation is what was seen, a layer is \
         one layer, a noun is a noun with its notes. A clause, a semicolon or a remark in it would \
         change the questions that are built from it. Remarks go into `note`.",
        "[[unknown]]\nid = \"u9\"\nnoun = \"coating limit 3\"",
        "[[unknown]]\nid = \"u9\"\nnoun = \"coating (film)\"",
    ),
    bare(
        "C0111",
        "material not of the corpus",
        "What was really used is written as the label has it, and often the corpus has no record of \
         it. That is no mistake; but no question can be asked of it, and the next conservator finds \
         no record of how it comes off. If the corpus knows it by another name, write that one.",
    ),
];
