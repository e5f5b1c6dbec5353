//! Answers and diagnostics for people and programs: one file a form. Nothing is decided here.

mod bench;
mod case;
mod coverage;
mod diagnostic;
mod json;
mod json_choose;
mod table;

pub use case::{case, case_json, line, review, review_json};
pub use coverage::{coverage, fields};
pub use diagnostic::{diagnostics, finding};
pub use json::json;
pub use table::table;

/// Makes text from records, queries and files safe for a terminal: control characters, escapes and
/// direction marks become visible, so that a record can neither colour nor move the cursor.
#[must_use]
pub fn safe(text: &str) -> String {
    if is_plain(text, false) {
        return text.to_owned();
    }
    text.chars()
        .map(|c| match c {
            '\n' | '\t' => ' ',
            c if acts(c) => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// The same for text of several lines, whose ends stay.
#[must_use]
pub fn safe_lines(text: &str) -> String {
    if is_plain(text, true) {
        return text.to_owned();
    }
    let lines: Vec<String> = text.split('\n').map(safe).collect();
    lines.join("\n")
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

/// Whether nothing in a text wants to be looked at: told from its bytes, because nearly every text is so.
/// The lead bytes of what [`acts`] knows also begin harmless characters, which the next byte tells apart but
/// for the dashes and quotation marks of U+2000 to U+207F.
fn is_plain(text: &str, lines: bool) -> bool {
    let bytes = text.as_bytes();
    bytes.iter().enumerate().all(|(at, byte)| {
        let next = bytes.get(at + 1).copied().unwrap_or(0);
        match byte {
            b'\n' => lines,
            0..0x20 | 0x7f => false,
            0xc2 => next >= 0xa0,
            0xd8 => next != 0x9c,
            0xe2 => !(0x80..=0x81).contains(&next),
            _ => true,
        }
    })
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
    use super::{data, safe, safe_in_place, safe_lines};

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
            let text = format!("a{c}b");
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
    fn spans_still_fit_a_text_made_safe() {
        let text = "a\tb\u{85}c\u{1b}d\u{202e}e\u{61c}f\ng\u{2028}h";
        let shown = safe_in_place(text);
        assert_eq!(shown, "a b\u{b7}c d\u{fffd}e\u{b7}f\ng\u{fffd}h");
        for letter in 'a'..='h' {
            assert_eq!(shown.find(letter), text.find(letter));
        }
    }
}
