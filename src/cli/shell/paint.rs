//! Colours for a line that is being typed.

use crate::lang::lex::lex;
use crate::lang::reserved::{PLACED_WORDS, Verb};
use crate::lang::token::{TokenKind, TriviaKind};

const VERB: &str = "1";
const KEYWORD: &str = "36";
const NUMBER: &str = "33";
const TEXT: &str = "32";
const REMARK: &str = "2";
const UNREADABLE: &str = "4;31";

/// The text with colours: verbs, reserved words, numbers with their units, quotations, remarks, and
/// what the lexer cannot read.
pub(super) fn paint(text: &str) -> String {
    let mut marks = marks(text);
    marks.sort_unstable();
    let mut out = String::with_capacity(text.len() + 16 * marks.len());
    let mut at = 0;
    for (start, end, style) in marks {
        let (Some(before), Some(own)) = (text.get(at..start), text.get(start..end)) else {
            continue;
        };
        out.push_str(before);
        out.push_str(&format!("\u{1b}[{style}m{own}\u{1b}[0m"));
        at = end;
    }
    out.push_str(text.get(at..).unwrap_or_default());
    out
}

fn marks(text: &str) -> Vec<(usize, usize, &'static str)> {
    let lexed = lex(text);
    let mut marks = Vec::new();
    let mut first = 0;
    for (k, token) in lexed.tokens.iter().enumerate() {
        let style = match &token.kind {
            TokenKind::Semicolon => {
                first = k + 1;
                None
            }
            // A verb is a word like any other, but where a statement starts.
            TokenKind::Word => {
                let word = token.span.slice(text);
                let leads = k == first
                    || (k == first + 3 && lexed.tokens[k - 1].kind == TokenKind::Equals)
                    || (k > first
                        && lexed.tokens[first..k]
                            .iter()
                            .all(|t| matches!(t.span.slice(text), "explain" | "plan" | "empty")));
                let known =
                    Verb::from_word(word).is_some() || PLACED_WORDS.iter().any(|(w, _)| *w == word);
                (leads && known).then_some(VERB)
            }
            TokenKind::Keyword(_) => Some(KEYWORD),
            TokenKind::Int(_)
            | TokenKind::Dec(_)
            | TokenKind::Span(_)
            | TokenKind::Ratio(_)
            | TokenKind::Unit(_) => Some(NUMBER),
            TokenKind::Text(_) => Some(TEXT),
            _ => None,
        };
        if let Some(style) = style {
            marks.push((token.span.start as usize, token.span.end as usize, style));
        }
    }
    for trivia in &lexed.trivia {
        if trivia.kind == TriviaKind::Comment {
            marks.push((trivia.span.start as usize, trivia.span.end as usize, REMARK));
        }
    }
    for error in &lexed.errors {
        if let Some(span) = error.span() {
            // A quotation that is still being typed is no mistake yet.
            let quoted = span.slice(text).starts_with(['"', '“', '„', '«', '»', '‘']);
            let style = if quoted && span.end as usize == text.len() {
                TEXT
            } else {
                UNREADABLE
            };
            marks.push((span.start as usize, span.end as usize, style));
        }
    }
    marks
}

#[cfg(test)]
mod tests {
    use super::paint;

    /// A painted text without its escapes.
    fn plain(painted: &str) -> String {
        let mut parts = painted.split('\u{1b}');
        let mut out = parts.next().unwrap_or_default().to_owned();
        for part in parts {
            out.push_str(part.split_once('m').map_or(part, |(_, rest)| rest));
        }
        out
    }

    #[test]
    fn colours_take_nothing_and_add_nothing() {
        for text in [
            "",
            "find coating where tg > 30 C # warm",
            "let old = identify adhesive (deep joint 12 mm) on bronze;\nremove old from bronze",
            "find material about \"flaking",
            "find coating ! ° é “flaking paint”",
            "find \u{202e}coating \"a\u{200b}b\"",
        ] {
            assert_eq!(plain(&paint(text)), text);
        }
    }

    #[test]
    fn each_kind_has_its_colour() {
        let painted = paint("find find over 3 mm \"x\" !\n# note");
        assert!(
            painted.starts_with("\u{1b}[1mfind\u{1b}[0m find "),
            "{painted:?}"
        );
        for part in [
            "[36mover",
            "[33m3",
            "[33mmm",
            "[32m\"x\"",
            "[4;31m!",
            "[2m# note",
        ] {
            assert!(painted.contains(part), "no {part} in {painted:?}");
        }
        assert!(paint("about \"fla").contains("[32m\"fla"));
        assert!(paint("about \"fla\nlimit 3").contains("[4;31m\"fla"));
    }
}
