//! Mistakes of spelling: diagnostics of the lexer, one function for each.

use crate::diag::Diagnostic;
use crate::span::Span;
use crate::units::FaultKind;

use super::token::{Token, TokenKind};

/// Signs of other query languages, each with what is typed here. An empty
/// replacement has no single right form.
const FOREIGN: &[(&str, &str, &str)] = &[
    ("&&", "and", "`and` joins conditions"),
    ("||", "or", "`or` joins conditions"),
    (":=", "=", "`=` binds a name after `let`"),
    ("===", "is", "`is` compares with a word"),
    ("==", "is", "`is` compares with a word"),
    ("!=", "is not", "`is not` compares with a word"),
    ("<>", "is not", "`is not` compares with a word"),
    ("=<", "<=", "`<=` is at most"),
    ("=>", ">=", "`>=` is at least"),
    ("->", "", "`over` lists layers from the top down"),
    ("...", "..", "a range has two dots: `5..10`"),
    ("…", "..", "a range has two dots: `5..10`"),
    ("--", "", "a remark starts with `#`"),
    ("//", "", "a remark starts with `#`"),
    ("/*", "", "a remark starts with `#` and ends with its line"),
    ("&", "and", "`and` joins conditions; `+` joins liquids"),
    ("|", "or", "`or` joins conditions"),
    ("!", "not", "`not` negates"),
    ("*", "", "a kind finds all of it: `find coating`"),
    ("[", "(", "only round parentheses are used"),
    ("]", ")", "only round parentheses are used"),
    ("{", "(", "only round parentheses are used"),
    ("}", ")", "only round parentheses are used"),
    (
        ":",
        "",
        "a property is compared with `is`, `<` or `>`: `tg > 30 C`; an observation is one \
         sentence: `is unaffected by acetone`",
    ),
    ("/", "", "layers are joined by `over`, liquids by `+`"),
    ("\\", "", "a query is written on as many lines as it needs"),
    ("±", "", "a range says the same: `3.8..4.2 g`"),
    ("~", "", "a range says how near: `25..35 C`"),
    ("≈", "", "a range says how near: `25..35 C`"),
    ("×", "", "a size is one number with its unit: `12 mm`"),
    ("?", "", "a query ends without a mark"),
    (".", "", "a query ends without a stop"),
    (
        "°",
        "",
        "a degree sign stands between a number and C or F: `35 C`",
    ),
    ("%", "", "a percent sign follows its number: `8 % w/v`"),
    ("@", "at", "`at` gives a temperature or a rate"),
];

pub(super) fn too_long(length: usize, most: usize) -> Diagnostic {
    Diagnostic::error(
        "Q0101",
        format!("the text has {length} bytes, {most} is the most"),
    )
    .at(Span::at(0), "starts here")
    .help("split the file at a semicolon")
}

/// How much of the text a foreign sign takes.
pub(super) fn foreign_length(text: &str) -> usize {
    if let Some(inside) = text.strip_prefix('\'') {
        let line = inside.split('\n').next().unwrap_or("");
        return line.find('\'').map_or(1, |end| end + 2);
    }
    FOREIGN
        .iter()
        .find(|(sign, ..)| text.starts_with(sign))
        .map_or_else(
            || text.chars().next().map_or(1, char::len_utf8),
            |(sign, ..)| sign.len(),
        )
}

/// A sign that is not of the language.
pub(super) fn foreign_sign(span: Span, found: &str, before: Option<&Token>) -> Diagnostic {
    if found.chars().any(super::lex::is_hidden) {
        return hidden(span, found);
    }
    if found.starts_with('\'') || found == "`" {
        return single_quotes(span, found);
    }
    if matches!(found, "-" | "–" | "—" | "−") {
        return lone_hyphen(span, found, before);
    }
    let Some((_, instead, help)) = FOREIGN.iter().find(|(sign, ..)| *sign == found) else {
        return Diagnostic::error("Q0102", format!("`{found}` has no meaning here"))
            .at(span, "not a sign of the language")
            .help("a name that holds it is put in quotes: `\"...\"`");
    };
    let bracket = matches!(found, "[" | "]" | "{" | "}");
    let code = match (bracket, instead.is_empty()) {
        (true, _) => "Q0112",
        (false, true) => "Q0102",
        (false, false) => "Q0111",
    };
    let error = if instead.is_empty() {
        Diagnostic::error(code, format!("`{found}` has no meaning here"))
            .at(span, "not a sign of the language")
    } else {
        Diagnostic::error(code, format!("`{found}` is written `{instead}` here"))
            .at(span, format!("`{instead}`"))
            .edit(span, spaced(instead, bracket))
    };
    error.help(*help)
}

/// A word put in place of a sign needs blanks of its own.
fn spaced(instead: &str, bracket: bool) -> String {
    if bracket || instead == ".." {
        instead.to_owned()
    } else {
        format!(" {instead} ")
    }
}

fn single_quotes(span: Span, found: &str) -> Diagnostic {
    let inside = found.trim_matches('\'');
    let error = Diagnostic::error("Q0113", "single quotes enclose nothing here")
        .at(span, "wants double quotes");
    if found.len() > 2 && !inside.trim().is_empty() && !inside.contains('"') {
        let quoted = format!("\"{inside}\"");
        error.help(format!("`{quoted}`")).edit(span, quoted)
    } else {
        error.help("text and odd names stand between double quotes: `\"...\"`")
    }
}

fn lone_hyphen(span: Span, found: &str, before: Option<&Token>) -> Diagnostic {
    let error =
        Diagnostic::error("Q0102", format!("`{found}` stands alone")).at(span, "joins nothing");
    if before
        .is_some_and(|token| token.kind.takes_unit() || matches!(token.kind, TokenKind::Unit(_)))
    {
        error.help("a range has two dots and no blanks: `5..10`")
    } else {
        error.help("a hyphen joins words without blanks: `b-72`; a minus touches its number: `-20`")
    }
}

pub(super) fn hidden(span: Span, found: &str) -> Diagnostic {
    let code = found
        .chars()
        .find(|c| super::lex::is_hidden(*c))
        .map_or(0, u32::from);
    Diagnostic::error(
        "Q0103",
        format!("the character U+{code:04X} cannot be seen"),
    )
    .at(span, "hidden character")
    .help("type the line afresh, or delete the character")
    .edit(span, "")
}

pub(super) fn unclosed(span: Span, found: &str) -> Diagnostic {
    let close = match found.chars().next() {
        Some('“' | '„') => '”',
        Some('«') => '»',
        Some('»') => '«',
        Some('‘') => '’',
        _ => '"',
    };
    let end = Span::at(span.end as usize);
    Diagnostic::error("Q0104", "a quotation is not closed on its line")
        .at(span, "opens here")
        .help(format!("`{close}` after the last word of the text"))
        .edit(end, close)
}

pub(super) fn empty_text(span: Span, _: &str) -> Diagnostic {
    Diagnostic::error("Q0105", "a quotation without text")
        .at(span, "nothing inside")
        .help("`about \"flaking paint\"`")
}

/// A number in a refused form.
pub(super) fn number(span: Span, found: &str, kind: FaultKind) -> Diagnostic {
    let error = |code| Diagnostic::error(code, kind.reason());
    match kind {
        FaultKind::Comma => comma(span, found, error("Q0106")),
        FaultKind::Hyphen => {
            let dotted = found
                .char_indices()
                .skip(1)
                .find(|(_, c)| matches!(c, '-' | '–' | '—' | '−'))
                .map(|(at, dash)| format!("{}..{}", &found[..at], &found[at + dash.len_utf8()..]));
            let error = error("Q0107").at(span, "a range wants two dots");
            match dotted {
                Some(dotted) if in_order(&dotted) => {
                    error.help(format!("`{dotted}`")).edit(span, dotted)
                }
                _ => error.help("a range has the lower end first: `5..10`"),
            }
        }
        FaultKind::Points => error("Q0108")
            .at(span, "no number")
            .help("one decimal point: `1.5`; a range has two dots: `1..5`"),
        FaultKind::BarePoint => {
            let whole = format!("0{found}");
            error("Q0108")
                .at(span, "wants a digit before the point")
                .help(format!("`{whole}`"))
                .edit(span, whole)
        }
        FaultKind::LoneDots => error("Q0108")
            .at(span, "touches no number")
            .help("the dots touch their numbers: `5..10`, `1890..`, `..1935`"),
        FaultKind::Ratio => error("Q0108").at(span, "no ratio").help("`1:3` or `1:1:2`"),
        FaultKind::Long => error("Q0108")
            .at(span, "too many digits")
            .help("a larger unit, or fewer digits"),
        FaultKind::Backwards => {
            let error = error("Q0109").at(span, "ends in the wrong order");
            match found.split_once("..") {
                Some((high, low)) => {
                    let turned = format!("{low}..{high}");
                    error.help(format!("`{turned}`")).edit(span, turned)
                }
                None => error.help("the lower end comes first"),
            }
        }
    }
}

/// A range with three dots: `20...30`.
pub(super) fn three_dots(span: Span, range: &str) -> Diagnostic {
    Diagnostic::error("Q0107", "a range has two dots")
        .at(span, "three dots")
        .help(format!("`{range}`"))
        .edit(span, range)
}

/// A range with blanks in it.
pub(super) fn parted_range(span: Span, range: &str) -> Diagnostic {
    Diagnostic::error("Q0108", "the dots of a range touch both numbers")
        .at(span, "blanks in a range")
        .help(format!("`{range}`"))
        .edit(span, range)
}

fn in_order(dotted: &str) -> bool {
    matches!(crate::units::scan(dotted), Some(Ok(scanned)) if scanned.length == dotted.len())
}

fn comma(span: Span, found: &str, error: Diagnostic) -> Diagnostic {
    let error = error.at(
        span,
        "a decimal point, or a blank after the comma of a list",
    );
    match found.split_once(',') {
        // Three digits after the comma may be thousands: no guess is safe.
        Some((whole, part)) if part.len() != 3 && !part.contains(',') => {
            let dotted = format!("{whole}.{part}");
            error
                .help(format!("`{dotted}`, or `{whole}, {part}` for two numbers"))
                .edit(span, dotted)
        }
        _ => error.help("`0.5` for a fraction, `1000` for a thousand, `1, 5` for two numbers"),
    }
}

/// `doesn't`: a `not` that could be overlooked inside a word.
pub(super) fn short_not(span: Span, found: &str) -> Diagnostic {
    let lower = found.to_lowercase().replace(['’', '\''], "");
    let long = match lower.as_str() {
        "wont" | "dont" | "didnt" => "does not".to_owned(),
        "wasnt" | "arent" | "werent" => "is not".to_owned(),
        "cant" => "can not".to_owned(),
        other => format!("{} not", other.trim_end_matches("nt")),
    };
    Diagnostic::error("Q0217", format!("`{found}` is written out here"))
        .at(span, format!("`{long}`"))
        .help(format!("`{long}`"))
        .edit(span, long)
}

/// Whether a word is a verb run together with `not`, its sign left out or not.
pub(super) fn is_short_not(word: &str) -> bool {
    const WITHOUT_SIGN: [&str; 7] = ["arent", "didnt", "doesnt", "dont", "isnt", "wasnt", "wont"];
    let lower = word.to_lowercase().replace('’', "'");
    lower.ends_with("n't") || WITHOUT_SIGN.contains(&lower.as_str())
}

/// A reserved word with capitals.
pub(super) fn capital(span: Span, found: &str) -> Diagnostic {
    let lower = found.to_lowercase();
    Diagnostic::error("Q0110", format!("`{lower}` is written in lower case"))
        .at(span, format!("`{lower}`"))
        .help(format!(
            "`{lower}`; a name that holds the word is put in quotes: `\"{found} ...\"`"
        ))
        .edit(span, lower)
}
