//! Words of a report: cleaning of what comes from files, and small phrases.

/// Makes text from a case file or a record harmless: control characters, escapes of a terminal and
/// direction marks become a visible sign. Line feeds and tabs stay.
#[must_use]
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\t' => c,
            c if c.is_control() => '\u{fffd}',
            // Marks that turn the direction of text, and what is no character for XML.
            '\u{61c}'
            | '\u{200e}'
            | '\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}'
            | '\u{fffe}'
            | '\u{ffff}' => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// A probability in plain words, for the owner.
#[must_use]
pub(super) fn likely(p: f64) -> &'static str {
    match p {
        p if p >= 0.9 => "very probably",
        p if p >= 0.7 => "probably",
        p if p >= 0.5 => "more likely than not",
        p if p >= 0.25 => "possibly",
        _ => "less likely",
    }
}

/// Words with commas, and `and` before the last.
#[must_use]
pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// With a capital at its start.
#[must_use]
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_and_direction_marks_become_visible() {
        assert_eq!(
            clean("a\u{1b}[2Jb\u{202e}c\u{0}\nd"),
            "a\u{fffd}[2Jb\u{fffd}c\u{fffd}\nd"
        );
    }

    #[test]
    fn lists_and_capitals() {
        let words = ["a".to_owned(), "b".to_owned(), "c".to_owned()];
        assert_eq!(list(&words), "a, b and c");
        assert_eq!(list(&words[..1]), "a");
        assert_eq!(capital("émail"), "Émail");
        assert_eq!(capital(""), "");
    }
}
