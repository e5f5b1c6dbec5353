//! Codes of spelling and syntax.

use super::{CodeEntry, bare, entry};

pub(super) const CODES: &[CodeEntry] = &[
    bare(
        "Q0101",
        "text too long",
        "A text of queries holds at most 64 KiB. A longer one is more likely a file of another \
         kind; a long list of queries is split at a semicolon into several files.",
    ),
    entry(
        "Q0102",
        "sign without meaning",
        "The language is written in words. Few signs have a meaning: comma, semicolon, plus, \
         round parentheses, comparison signs, quotes, and `=` after `let`. A name that holds \
         another sign is put in double quotes.",
        "find adhesive where tg: 30 C",
        "find adhesive where tg > 30 C",
    ),
    entry(
        "Q0103",
        "hidden character",
        "Control characters, characters of no width and marks that turn the direction of writing \
         make a line mean something else than it shows. They come along when text is copied. \
         They are refused everywhere, in remarks too.",
        "find coat\u{200b}ing",
        "find coating",
    ),
    entry(
        "Q0104",
        "quotation not closed",
        "A quotation ends on the line on which it starts. Straight and typographic quotes are \
         accepted; each wants its closing mark.",
        "find coating about \"flaking paint",
        "find coating about \"flaking paint\"",
    ),
    entry(
        "Q0105",
        "empty quotation",
        "Quotes enclose the text to look for, or a name. Nothing can be found for nothing.",
        "find coating about \"\"",
        "find coating about \"flaking paint\"",
    ),
    entry(
        "Q0106",
        "comma between digits",
        "A comma separates the members of a list; the decimal sign is a point. Since 1,500 may \
         mean one and a half or fifteen hundred, it is never guessed at.",
        "find adhesive where shrinkage < 0,5 %",
        "find adhesive where shrinkage < 0.5 %",
    ),
    entry(
        "Q0107",
        "range without two dots",
        "A range is written with two dots and no blanks: `5..10 min`. A hyphen is a letter inside \
         words such as `b-72`, and a minus at the start of a number, so it cannot mean a range too.",
        "identify coating that dissolves in ethanol (5-10 min)",
        "identify coating that dissolves in ethanol (5..10 min)",
    ),
    entry(
        "Q0108",
        "malformed number",
        "A number has digits on both sides of its point and at most one point. The dots of a range \
         touch the numbers. A ratio has two to eight parts, each above zero.",
        "find adhesive where shrinkage < .5 %",
        "find adhesive where shrinkage < 0.5 %",
    ),
    entry(
        "Q0109",
        "range backwards",
        "The lower end of a range comes first. A range with its ends turned round is more often a \
         slip of a digit, so it is not turned back in silence.",
        "identify coating restored 1935..1890",
        "identify coating restored 1890..1935",
    ),
    entry(
        "Q0110",
        "reserved word with capitals",
        "Reserved words are written in lower case, so that a name with a capital can never be \
         mistaken for one. A name that does hold a reserved word is put in quotes.",
        "find adhesive where stable AND clear",
        "find adhesive where stable and clear",
    ),
    entry(
        "Q0111",
        "sign in place of a word",
        "Conditions are joined by `and` and `or`, negated by `not` and compared with `is`, as they \
         are read aloud. The signs of programming languages are known, and refused with the word \
         that is meant.",
        "find adhesive where stable && clear",
        "find adhesive where stable and clear",
    ),
    entry(
        "Q0112",
        "parenthesis of another shape",
        "Only round parentheses are used: for notes after a noun or an observation, and to group \
         conditions.",
        "remove shellac [film] from oak",
        "remove shellac (film) from oak",
    ),
    entry(
        "Q0113",
        "single quotes",
        "Text stands between double quotes. The single quote is an apostrophe: a letter of names \
         such as `painter's putty`.",
        "find coating about 'flaking paint'",
        "find coating about \"flaking paint\"",
    ),
    bare(
        "Q0201",
        "no query",
        "The text holds nothing but blanks, remarks, or the line that names the edition. A query \
         starts with a verb.",
    ),
    entry(
        "Q0202",
        "empty statement",
        "A semicolon stands between two statements; one more at the end of the text is allowed. \
         Two in a row usually mean that a statement was lost.",
        "find coating;; find adhesive",
        "find coating; find adhesive",
    ),
    bare(
        "Q0203",
        "nested too deep",
        "Parentheses nest at most 64 deep. No condition that a person can read comes near.",
    ),
    entry(
        "Q0204",
        "edition unknown",
        "A text may start with the edition of the language it was written in: `edition 1;`. \
         Without it, edition 1 is meant. A later edition may hold words that this program does \
         not know, so it reads no other.",
        "edition 9; find coating",
        "edition 1; find coating",
    ),
    entry(
        "Q0205",
        "no verb",
        "A query starts with one of eight verbs, in lower case. Before it may stand `explain`, or \
         `let` with a name and `=`.",
        "select coating where tg > 30 C",
        "find coating where tg > 30 C",
    ),
    entry(
        "Q0206",
        "does not fit",
        "The sentence was understood up to this word. The label lists what could have stood there; \
         the help shows a whole sentence with the same verb.",
        "compare isinglass and epoxy by tg",
        "compare isinglass, epoxy by tg",
    ),
    entry(
        "Q0207",
        "and with or",
        "Readers differ on which of `and` and `or` binds first, so parentheses must say it. The \
         help shows both ways.",
        "find adhesive where stable and clear or cheap",
        "find adhesive where (stable and clear) or cheap",
    ),
    entry(
        "Q0208",
        "clause repeated",
        "Clauses come in any order, each once. Two of a kind would leave open whether both count.",
        "find adhesive limit 5 limit 6",
        "find adhesive limit 5",
    ),
    entry(
        "Q0209",
        "clause missing",
        "`ventilate` needs the time, the room and the exchange of air: without one of them there is \
         no concentration to work out.",
        "ventilate 80 ml ethanol during 20 min in 60 m3",
        "ventilate 80 ml ethanol during 20 min in 60 m3 at 4 air changes",
    ),
    entry(
        "Q0210",
        "limit out of range",
        "A limit is a whole number from 1 to 1000. Without the clause 20 rows are shown.",
        "find adhesive limit 0",
        "find adhesive limit 10",
    ),
    entry(
        "Q0211",
        "no span of years",
        "A restoration is dated by a year or a span of years in whole numbers, open at an end where \
         that is all that is known: `1890..1935`, `1890..`, `..1935`, `1950..now`.",
        "identify coating restored 0.5..2",
        "identify coating restored 1890..1935",
    ),
    entry(
        "Q0212",
        "equals sign out of place",
        "`=` binds a name after `let` and does nothing else. A comparison with a word is `is`, one \
         with a number `is`, `<`, `<=`, `>` or `>=`.",
        "find adhesive where family = acrylic",
        "find adhesive where family is acrylic",
    ),
    entry(
        "Q0213",
        "edition not named in full",
        "The line that names the edition is the word `edition`, a whole number and a semicolon, \
         before all else.",
        "edition one; find coating",
        "edition 1; find coating",
    ),
    entry(
        "Q0214",
        "statement breaks off",
        "The sentence was understood to its end, and something is still missing. The label lists \
         what could follow.",
        "remove shellac",
        "remove shellac from oak",
    ),
    entry(
        "Q0215",
        "name missing before a reserved word",
        "A name ends at the first reserved word, so a name that starts with one must be put in \
         quotes. More often a name was left out.",
        "remove over paint from oak",
        "remove \"over paint\" from oak",
    ),
    entry(
        "Q0216",
        "parentheses out of balance",
        "Each parenthesis that is opened is closed in the same statement, and none is closed twice.",
        "remove shellac (film from oak",
        "remove shellac (film) from oak",
    ),
    entry(
        "Q0217",
        "not in short form",
        "`not` turns an observation round, so it is a word of its own: inside another word, or as \
         `never` and `cannot`, a reader in haste takes the sentence for its opposite. Typed are \
         `does not dissolve`, `is not tacky`.",
        "identify coating that doesn't dissolve in ethanol",
        "identify coating that does not dissolve in ethanol",
    ),
    entry(
        "Q0218",
        "comparison in words",
        "Sizes are compared by sign: `<`, `<=`, `>`, `>=`. After `at`, the words `least` and `most` \
         would be the start of a liquid's name.",
        "find adhesive where tg at least 30 C",
        "find adhesive where tg >= 30 C",
    ),
    entry(
        "Q0219",
        "two statements without a semicolon",
        "A line end ends nothing, so that a query may run over as many lines as it likes. Where a \
         line starts with a verb, and what stands before it is a statement already, a semicolon \
         was left out.",
        "find coating\nfind adhesive",
        "find coating;\nfind adhesive",
    ),
    bare(
        "Q0220",
        "statement too long",
        "At most 60 words stand after one another without a comma, a sign or a word of the language, \
         and a statement holds at most 4 000 words and signs. More was pasted by mistake, or wants \
         several statements, parted by semicolons.",
    ),
];
