//! Citations: one line for tables and data, a style of the Citation Style Language for reports, and
//! the sources for other programs.

mod export;
mod styled;

pub use export::{biblatex, csl_json};
pub use styled::{Cite, Reference, Run, Style, StyleError, Styled, styled};

use crate::model::Source;

/// One line that leads a reader to the source, and says what of it was read.
#[must_use]
pub fn citation(source: &Source) -> String {
    let mut out = reference(source);
    if !source.read.is_empty() {
        out.push_str(&format!(" [{}]", source.read));
    }
    out
}

/// One line that leads a reader to the source.
#[must_use]
pub fn reference(source: &Source) -> String {
    let mut out = String::new();
    let authors = authors(&source.authors);
    let year = source.date.get(..4).unwrap_or(&source.date);
    match (authors.is_empty(), year.is_empty()) {
        (true, true) => {}
        (false, true) => out.push_str(&format!("{authors} (undated). ")),
        (true, false) => out.push_str(&format!("({year}). ")),
        (false, false) => out.push_str(&format!("{authors} ({year}). ")),
    }
    if !source.title.is_empty() {
        out.push_str(source.title.trim_end_matches('.'));
        out.push('.');
    }
    if !source.container.is_empty() {
        out.push(' ');
        out.push_str(&source.container);
        if !source.detail.is_empty() {
            out.push(' ');
            out.push_str(&source.detail);
        }
        out.push('.');
    } else if !source.detail.is_empty() {
        out.push_str(&format!(" {}.", source.detail));
    }
    if !source.locator.is_empty() {
        out.push_str(&format!(" {}", source.locator));
    }
    out
}

/// Up to three names, then "and others".
fn authors(list: &[String]) -> String {
    let named: Vec<&str> = list
        .iter()
        .map(String::as_str)
        .filter(|a| *a != "others")
        .collect();
    let more = named.len() < list.len() || named.len() > 3;
    let mut out = match &named[..] {
        [] => return String::new(),
        [one] => (*one).to_owned(),
        [one, two] if !more => format!("{one} and {two}"),
        [one, two, three] if !more => format!("{one}, {two} and {three}"),
        many => many[..many.len().min(3)].join(", "),
    };
    if more {
        out.push_str(" and others");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Head;

    fn source(authors: &[&str], date: &str) -> Source {
        Source {
            head: Head {
                id: "key".into(),
                ..Head::default()
            },
            entry: "article".into(),
            authors: authors.iter().map(|a| (*a).to_owned()).collect(),
            date: date.into(),
            title: "Reversibility of a resin".into(),
            container: "Journal".into(),
            detail: "21(9), 1-2".into(),
            locator: "doi:10.1/x".into(),
            read: "abstract opened".into(),
            raw: String::new(),
        }
    }

    #[test]
    fn reads_like_a_reference() {
        assert_eq!(
            citation(&source(&["Koob, Stephen P."], "2007")),
            "Koob, Stephen P. (2007). Reversibility of a resin. Journal 21(9), 1-2. doi:10.1/x \
             [abstract opened]"
        );
    }

    #[test]
    fn many_authors_are_cut_and_others_is_no_name() {
        let text = citation(&source(&["A, B", "C, D", "E, F", "G, H"], "2020-05-01"));
        assert!(
            text.starts_with("A, B, C, D, E, F and others (2020)."),
            "{text}"
        );
        let text = citation(&source(&["A, B", "others"], ""));
        assert!(text.starts_with("A, B and others (undated)."), "{text}");
    }
}
