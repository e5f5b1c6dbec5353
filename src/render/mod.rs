//! Answers and diagnostics for people and programs: one file a form. Nothing is decided here.

mod case;
mod coverage;
mod diagnostic;
mod export;
mod json;
mod table;

use std::borrow::Cow;

pub use case::{case, case_json, line, review, review_json};
pub use coverage::{coverage, fields};
pub use diagnostic::{diagnostics, finding};
pub use export::{EXPORT_SCHEMA, export_csv, export_json};
pub use json::json;
pub use table::{table, text};

/// Makes text from records, queries and files safe for a terminal: control characters, escapes and
/// direction marks become visible, so that a record can neither colour nor move the cursor.
#[must_use]
pub fn safe(text: &str) -> String {
    shown(text).into_owned()
}

/// [`safe`] without a copy of what is safe as it stands.
fn shown(text: &str) -> Cow<'_, str> {
    if is_plain(text, false) {
        return Cow::Borrowed(text);
    }
    let shown = text.chars().map(|c| match c {
        '\n' | '\t' => ' ',
        c if acts(c) => '\u{fffd}',
        c => c,
    });
    Cow::Owned(shown.collect())
}

/// The same for text of several lines, whose ends stay.
#[must_use]
pub fn safe_lines(text: impl Into<String>) -> String {
    let text = text.into();
    if is_plain(&text, true) {
        return text;
    }
    let lines: Vec<String> = text.split('\n').map(safe).collect();
    lines.join("\n")
}

/// A text for a terminal that shows nothing but ASCII: accents are left off, signs are spelt, and what
/// is left is a question mark.
#[must_use]
pub fn ascii(text: &str) -> String {
    use unicode_normalization::UnicodeNormalization as _;
    if text.is_ascii() {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    for c in text.nfkd() {
        match c {
            c if c.is_ascii() => out.push(c),
            '\u{300}'..='\u{36f}' => {}
            '─' | '━' | '═' | '╌' | '┄' | '–' | '−' | '‐' | '‑' => out.push('-'),
            '—' => out.push_str("--"),
            '│' | '┆' | '╎' | '┃' | '║' => out.push('|'),
            '┌' | '┐' | '└' | '┘' | '├' | '┤' | '┬' | '┴' | '┼' | '╪' | '╞' | '╡' | '╭' | '╮'
            | '╰' | '╯' => out.push('+'),
            '‘' | '’' | '′' => out.push('\''),
            '“' | '”' | '„' | '″' | '«' | '»' => out.push('"'),
            '·' | '•' | '▲' | '●' => out.push('*'),
            '×' => out.push('x'),
            '°' => out.push_str("deg "),
            '±' => out.push_str("+/-"),
            '≤' => out.push_str("<="),
            '≥' => out.push_str(">="),
            '≈' => out.push('~'),
            '→' | '▶' => out.push_str("->"),
            '←' => out.push_str("<-"),
            'µ' | 'μ' => out.push('u'),
            'ß' => out.push_str("ss"),
            'æ' => out.push_str("ae"),
            'Æ' => out.push_str("Ae"),
            'œ' => out.push_str("oe"),
            'ø' => out.push('o'),
            'Ø' => out.push('O'),
            'ł' => out.push('l'),
            'Ł' => out.push('L'),
            'đ' => out.push('d'),
            'ı' => out.push('i'),
            '\u{2044}' => out.push('/'),
            _ => out.push('?'),
        }
    }
    out
}

/// The same for a text at which spans point: what takes the place of a character is as many bytes
/// long, so that every span still points at its word.
fn safe_in_place(text: &str) -> String {
    text.chars()
        .map(|c| match (c, c.len_utf8()) {
            ('\n', _) => c,
            (c, 1) if acts(c) => ' ',
            (c, 2) if acts(c) => '\u{b7}',
            (c, _) if acts(c) => '\u{fffd}',
            (c, _) => c,
        })
        .collect()
}

/// Data as text on one line. What a terminal would act upon is written as an escape of JSON, so that
/// nothing is lost and nothing is obeyed.
#[must_use]
pub fn data(value: &serde_json::Value) -> String {
    let text = value.to_string();
    if !text.chars().any(acts) {
        return text;
    }
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if acts(c) {
            // All of them lie in the basic plane.
            out.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
}

/// Whether nothing in a text wants to be changed: told from its bytes, because nearly every text is so, and
/// a rule across a table is three bytes a column.
fn is_plain(text: &str, lines: bool) -> bool {
    const RULE: &[u8] = "────────".as_bytes();
    let bytes = text.as_bytes();
    let mut at = 0;
    while let Some(rest) = bytes.get(at..).filter(|rest| !rest.is_empty()) {
        if let Some(eight) = rest.first_chunk::<8>()
            && is_printable_ascii(u64::from_ne_bytes(*eight))
        {
            at += 8;
            continue;
        }
        if rest.starts_with(RULE) {
            at += RULE.len();
            continue;
        }
        // What `acts` knows, in UTF-8.
        at += match *rest {
            [b'\n', ..] if lines => 1,
            [0..=0x1f | 0x7f, ..] | [0xc2, 0..=0x9f, ..] | [0xd8, 0x9c, ..] => return false,
            [0xe2, 0x80, 0x8e | 0x8f | 0xa8..=0xae, ..] | [0xe2, 0x81, 0xa6..=0xa9, ..] => {
                return false;
            }
            [0..=0x7f, ..] => 1,
            [0x80..=0xdf, ..] => 2,
            [0xe0..=0xef, ..] => 3,
            _ => 4,
        };
    }
    true
}

/// Whether eight bytes at once are printable ASCII: none from 0x80 on, none below a blank, no delete.
/// Zero bytes are found as in Warren, *Hacker's Delight*, section 6-1 (recalled).
const fn is_printable_ascii(eight: u64) -> bool {
    const ONES: u64 = u64::MAX / 255;
    const HIGH: u64 = ONES << 7;
    let below_blank = eight.wrapping_sub(ONES * 0x20) & !eight;
    let delete = eight ^ (ONES * 0x7f);
    let is_delete = delete.wrapping_sub(ONES) & !delete;
    (eight | below_blank | is_delete) & HIGH == 0
}

/// Whether a terminal acts upon a character instead of showing it: controls, marks of direction,
/// and the separators that some take for the end of a line.
fn acts(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
        )
}

#[cfg(test)]
mod tests {
    use super::{ascii, data, safe, safe_in_place, safe_lines};

    #[test]
    fn escapes_are_neutralised() {
        assert_eq!(safe("a\u{1b}[31mred\nb"), "a\u{fffd}[31mred b");
        assert_eq!(safe("x\u{202e}y"), "x\u{fffd}y");
        assert_eq!(safe("65 °C, Weißleim"), "65 °C, Weißleim");
        for c in ['\u{61c}', '\u{2028}', '\u{2029}', '\u{9b}', '\u{7f}', '\r'] {
            assert_eq!(safe(&c.to_string()), "\u{fffd}");
        }
        assert_eq!(safe_lines("a\u{1b}\nb\n"), "a\u{fffd}\nb\n");
    }

    /// Every character, alone and among others: what is taken for plain is what would come out the same.
    #[test]
    fn what_is_plain_needs_no_change() {
        for c in (0..=0x10_ffff).filter_map(char::from_u32) {
            // With eight and more characters around it, and with fewer.
            let text = if u32::from(c) % 2 == 0 {
                format!("a{c}b")
            } else {
                format!("a plain start {c} and a plain end")
            };
            let slowly: String = text
                .chars()
                .map(|c| match c {
                    '\n' | '\t' => ' ',
                    c if super::acts(c) => '\u{fffd}',
                    c => c,
                })
                .collect();
            assert_eq!(safe(&text), slowly, "{:x}", u32::from(c));
            if c != '\n' {
                assert_eq!(safe_lines(&text), slowly, "{:x}", u32::from(c));
            }
        }
    }

    #[test]
    fn data_are_escaped_and_nothing_is_lost() {
        let value = serde_json::json!({"a": "x\u{9b}31m\u{7f}\u{202e}\u{1b}y ä"});
        let text = data(&value);
        assert!(!text.chars().any(super::acts), "{text:?}");
        assert_eq!(
            serde_json::from_str::<serde_json::Value>(&text).ok(),
            Some(value)
        );
    }

    #[test]
    fn a_terminal_without_utf8_is_shown_what_it_has() {
        assert_eq!(
            ascii("Weißleim, 65 °C → gelée ½"),
            "Weissleim, 65 deg C -> gelee 1/2"
        );
        assert_eq!(ascii("─│┌ “a” 漆"), "-|+ \"a\" ?");
        assert_eq!(ascii("plain"), "plain");
    }

    #[test]
    fn spans_still_fit_a_text_made_safe() {
        let text = "a\tb\u{85}c\u{1b}d\u{202e}e\u{61c}f\ng\u{2028}h";
        let shown = safe_in_place(text);
        assert_eq!(shown, "a b\u{b7}c d\u{fffd}e\u{b7}f\ng\u{fffd}h");
        for letter in 'a'..='h' {
            assert_eq!(shown.find(letter), text.find(letter));
        }
    }
}
