//! Tables of records.

use std::fmt::Write as _;

use comfy_table::LineStyle;

use super::Paper;
use crate::answer::{Find, Match, shortened};
use crate::render::safe;

/// Letters of a condition that are repeated where records are silent on it.
const CONDITION: usize = 60;

impl Paper {
    pub(super) fn find(&self, out: &mut String, it: &Find) {
        if it.matches.is_empty() {
            out.push_str("Nothing on record matches.\n");
        } else if let [one] = &it.matches[..]
            && it.total == 1
            && one.values.iter().any(|v| !it.shown.contains(&v.field))
        {
            // Asked for by name it comes with all that is on file, be that one fact.
            self.record(out, one);
        } else {
            self.rows(out, &it.matches, &it.shown);
            if it.total > it.matches.len() {
                let _ = writeln!(
                    out,
                    "{} of {}; add `limit {}` to see more",
                    it.matches.len(),
                    it.total,
                    it.total.min(1000)
                );
            }
        }
        if it.undetermined_total > 0 {
            let more = format!(
                "{} more of which the corpus does not say enough to tell{}",
                it.undetermined_total,
                if it.undetermined.is_empty() {
                    " (add `include unknown` to list them)"
                } else {
                    ":"
                }
            );
            self.wrap(out, "", &more);
            if it.silent.len() > 1 || it.silent.iter().any(|s| s.records != it.undetermined_total) {
                let silent: Vec<String> = it
                    .silent
                    .iter()
                    .map(|s| {
                        format!(
                            "{} on `{}`",
                            s.records,
                            shortened(&safe(&s.condition), CONDITION)
                        )
                    })
                    .collect();
                self.wrap(out, "silent: ", &silent.join(", "));
            }
            if !it.undetermined.is_empty() {
                self.rows(out, &it.undetermined, &it.shown);
            }
        }
    }

    fn rows(&self, out: &mut String, rows: &[Match], shown: &[String]) {
        let mut header = vec!["name", "kind"];
        header.extend(shown.iter().map(String::as_str));
        let told = shown.is_empty() && rows.iter().any(|row| !row.summary.is_empty());
        if told {
            header.push("what it is");
        }
        let mut table = self.grid(&header);
        for row in rows {
            let mut cells = vec![safe(&row.name), row.kind.noun().to_owned()];
            for field in shown {
                let values: Vec<String> = row
                    .values
                    .iter()
                    .filter(|v| v.field == *field)
                    .map(|v| match v.basis.as_str() {
                        "" => "not recorded".to_owned(),
                        basis => format!("{} [{basis}]", safe(&v.text)),
                    })
                    .collect();
                cells.push(values.join("\n"));
            }
            if told {
                cells.push(safe(&row.summary));
            }
            table.add_row(cells);
        }
        self.push(out, &mut table);
    }

    fn record(&self, out: &mut String, row: &Match) {
        let _ = writeln!(out, "{} ({}, {})", safe(&row.name), row.kind.noun(), row.id);
        if !row.summary.is_empty() {
            self.wrap(out, "", &safe(&row.summary));
        }
        let mut table = self.grid(&["field", "recorded", "basis"]);
        // Every row begins with its field: no rule is needed to part them, and a record is long.
        table.style_mut().row_separator = LineStyle::none();
        for value in &row.values {
            table.add_row([value.field.clone(), safe(&value.text), safe(&value.basis)]);
        }
        self.push(out, &mut table);
    }
}
