//! Reads the lists of debts that a lint allows: `exceptions/<lint>.txt`, one entry a line.

use crate::model::Place;
use crate::span::Source;

/// One entry of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exception {
    /// Name of the list: the file without its ending.
    pub list: String,
    /// What is allowed.
    pub entry: String,
    /// Where it stands.
    pub place: Place,
}

/// The entries of a list: the first word of each line; what follows `#` is a remark.
#[must_use]
pub fn entries(source: &Source) -> Vec<Exception> {
    let list = source
        .name
        .rsplit('/')
        .next()
        .and_then(|name| name.strip_suffix(".txt"))
        .unwrap_or(&source.name);
    let mut out = Vec::new();
    for (number, line) in (1_u32..).zip(source.text.lines()) {
        let written = line.split('#').next().unwrap_or("");
        let Some(entry) = written.split_whitespace().next() else {
            continue;
        };
        let before = written.chars().take_while(|c| c.is_whitespace()).count();
        out.push(Exception {
            list: list.to_owned(),
            entry: entry.to_owned(),
            place: Place {
                file: source.name.clone(),
                line: number,
                column: u32::try_from(before).map_or(1, |n| n + 1),
            },
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::entries;
    use crate::span::Source;

    #[test]
    fn remarks_and_blanks_are_no_entries() {
        let source = Source::new(
            "exceptions/unused-sources.txt",
            "# why\n\nhansen2007  # a test\n  ure\n",
        );
        let found: Vec<(String, u32, u32)> = entries(&source)
            .into_iter()
            .map(|e| (e.entry, e.place.line, e.place.column))
            .collect();
        assert_eq!(
            found,
            [("hansen2007".to_owned(), 3, 1), ("ure".to_owned(), 4, 3)]
        );
        assert!(entries(&source).iter().all(|e| e.list == "unused-sources"));
    }
}
