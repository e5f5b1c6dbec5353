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
