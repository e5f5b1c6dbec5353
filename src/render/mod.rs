//! Answers and diagnostics for people and programs: one file a form. Nothing is decided here.

mod coverage;
mod diagnostic;
mod json;
mod table;

pub use coverage::coverage;
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
            c if c.is_control() => '\u{fffd}',
            '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
                '\u{fffd}'
            }
            c => c,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::safe;

    #[test]
    fn escapes_are_neutralised() {
        assert_eq!(safe("a\u{1b}[31mred\nb"), "a\u{fffd}[31mred b");
        assert_eq!(safe("x\u{202e}y"), "x\u{fffd}y");
        assert_eq!(safe("65 °C, Weißleim"), "65 °C, Weißleim");
    }
}
