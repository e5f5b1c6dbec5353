//! The report as Markdown (CommonMark, with the tables of GitHub's dialect). Text is escaped, so that
//! what stands in a case file stays text.

use std::fmt::Write;

use super::document::{ADVICE, Block, Document, Line, Words};
use super::words::clean;
use crate::cite::Run;

/// Writes a report as Markdown. Figures stand in words; where `folder` is given, the drawing is
/// linked too, as `folder/figure-1.svg` and so on, which the caller writes. Photographs are named,
/// not shown.
#[must_use]
pub fn markdown(document: &Document, folder: Option<&str>) -> String {
    let mut out = format!("# {}\n\n", escape(&document.title));
    for (name, value) in &document.about {
        let _ = writeln!(out, "- {}: {}", escape(name), escape(value));
    }
    let mut figures = 0;
    for section in &document.sections {
        let _ = writeln!(out, "\n## {}", section.part.title());
        if !section.plain.is_empty() {
            let _ = writeln!(out, "\n### In plain words");
            for paragraph in &section.plain {
                let _ = writeln!(out, "\n{}", escape(paragraph));
            }
        }
        for it in &section.blocks {
            out.push('\n');
            block(document, it, folder, &mut figures, &mut out);
        }
    }
    let _ = writeln!(out, "\n---\n\n{ADVICE}");
    out
}

fn block(
    document: &Document,
    it: &Block,
    folder: Option<&str>,
    figures: &mut usize,
    out: &mut String,
) {
    let _ = match it {
        Block::Heading(text) => writeln!(out, "### {}", escape(text)),
        Block::Paragraph(line) => writeln!(out, "{}", words(document, line)),
        Block::Warning(line) => writeln!(out, "> **Mind:** {}", words(document, line)),
        Block::List(list) => list
            .iter()
            .try_for_each(|line| writeln!(out, "- {}", words(document, line))),
        Block::Terms(list) => list.iter().try_for_each(|(name, line)| {
            writeln!(out, "- **{}**: {}", escape(name), words(document, line))
        }),
        Block::Table {
            caption,
            head,
            rows,
        } => {
            table(document, caption, head, rows, out);
            Ok(())
        }
        Block::Figure { figure, caption } => {
            *figures += 1;
            if let Some(folder) = folder {
                let _ = writeln!(
                    out,
                    "![{}]({folder}/figure-{figures}.svg)\n",
                    escape(&figure.title)
                );
            }
            writeln!(out, "*{}* {}", escape(caption), escape(&figure.description))
        }
        Block::Photograph {
            shows,
            note,
            picture,
        } => {
            let why = match picture {
                Ok(_) => String::new(),
                Err(why) => format!(" (not shown: {})", escape(why)),
            };
            writeln!(
                out,
                "*Photograph:* {} ({}){why}",
                escape(shows),
                escape(note)
            )
        }
        Block::Query(text) => {
            let text = clean(text);
            // A fence longer than any in the text: what stands between stays as it is.
            let longest = text.split(|c| c != '`').map(str::len).max().unwrap_or(0);
            let fence = "`".repeat(longest.max(2) + 1);
            writeln!(out, "{fence}\n{text}\n{fence}")
        }
        Block::References => document.styled.references.iter().try_for_each(|it| {
            let label = if it.label.is_empty() {
                String::new()
            } else {
                format!("{}\\. ", escape(&it.label))
            };
            let read = if it.read.is_empty() {
                String::new()
            } else {
                format!(" \\[Read: {}\\]", escape(&it.read))
            };
            writeln!(out, "- {label}{}{read}", runs(&it.runs))
        }),
    };
}

fn table(
    document: &Document,
    caption: &str,
    head: &[String],
    rows: &[Vec<Line>],
    out: &mut String,
) {
    let _ = writeln!(out, "**{}**\n", escape(caption));
    let head: Vec<String> = head.iter().map(|it| escape(it)).collect();
    let _ = writeln!(out, "| {} |", head.join(" | "));
    let _ = writeln!(out, "|{}", " --- |".repeat(head.len()));
    for row in rows {
        let cells: Vec<String> = row.iter().map(|line| words(document, line)).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
}

fn words(document: &Document, line: &Line) -> String {
    let mut out = String::new();
    for it in line {
        match it {
            Words::Text(text) => out.push_str(&escape(text)),
            Words::Strong(text) => {
                let (body, after) = (text.trim_end(), &text[text.trim_end().len()..]);
                let _ = write!(out, "**{}**{after}", escape(body));
            }
            Words::Typed(text) => out.push_str(&escape(text)),
            Words::Basis(text) => {
                let _ = write!(out, "*({text})*");
            }
            Words::Cite(number) => {
                if let Some(made) = document.styled.citations.get(*number) {
                    out.push_str(&runs(made));
                }
            }
        }
    }
    out
}

fn runs(list: &[Run]) -> String {
    let mut out = String::new();
    for run in list {
        let text = escape(&run.text);
        let body = text.trim();
        let mark = match (run.italic, run.bold) {
            _ if body.is_empty() => "",
            (true, true) => "***",
            (true, false) => "*",
            (false, true) => "**",
            (false, false) => "",
        };
        let before = &text[..text.len() - text.trim_start().len()];
        let after = &text[text.trim_end().len()..];
        let _ = write!(out, "{before}{mark}{body}{mark}{after}");
    }
    out
}

/// Text that Markdown shows as it is.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let cleaned = clean(text);
    for (k, c) in cleaned.chars().enumerate() {
        match c {
            '\\' | '`' | '*' | '_' | '[' | ']' | '#' | '|' | '~' | '!' => {
                out.push('\\');
                out.push(c);
            }
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            // At its start such a sign would begin a list.
            '-' | '+' | '=' if k == 0 => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\t' => out.push(' '),
            c => out.push(c),
        }
    }
    // `1.` at the start would begin a numbered list.
    let digits = out.chars().take_while(char::is_ascii_digit).count();
    if digits > 0 && out[digits..].starts_with(['.', ')']) {
        out.insert(digits, '\\');
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_markdown_would_read_is_escaped() {
        assert_eq!(
            escape("*a* [b](c) <i> | `d`"),
            "\\*a\\* \\[b\\](c) &lt;i&gt; \\| \\`d\\`"
        );
        assert_eq!(escape("1. a"), "1\\. a");
        assert_eq!(escape("- a\n# b"), "\\- a \\# b");
    }
}
