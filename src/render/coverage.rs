//! What a corpus records, as tables.

use comfy_table::{ContentArrangement, Table, presets};

use super::safe_lines;
use super::table::speak;
use crate::lint::{Bases, Coverage, FieldCoverage, Part};
use crate::order::Arrange;

/// Records and facts by kind and basis, and the fields least often recorded; `spoken` without columns.
#[must_use]
pub fn coverage(counts: &Coverage, width: u16, spoken: bool) -> String {
    let mut table = Table::new();
    table
        .load_style(presets::UTF8_HORIZONTAL_ONLY)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width)
        .set_header([
            "kind",
            "records",
            "facts",
            "published",
            "practice",
            "memory",
            "least recorded",
        ]);
    for kind in &counts.kinds {
        let total = kind.facts.total();
        let mut fields: Vec<_> = kind
            .fields
            .iter()
            .filter(|f| f.part == Part::Facts && f.recorded > 0)
            .collect();
        fields.arrange_by(|a, b| a.recorded.cmp(&b.recorded).then_with(|| a.key.cmp(&b.key)));
        let least: Vec<String> = fields
            .iter()
            .take(2)
            .map(|f| format!("{} {}", f.key, f.recorded))
            .collect();
        table.add_row([
            kind.kind.to_owned(),
            kind.records.to_string(),
            total.to_string(),
            share(kind.facts.published, total),
            share(kind.facts.practice, total),
            share(kind.facts.memory, total),
            least.join(", "),
        ]);
    }
    let mut out = String::new();
    if spoken {
        speak(&mut out, &table);
    } else {
        for line in table.to_string().lines() {
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }
    out.push_str(&format!(
        "all kinds: {}\nbeside them {} judgments of how often a material is met\n{} sources; corpus {}\n",
        overall(&counts.facts),
        counts.judgments,
        counts.sources,
        counts.version
    ));
    safe_lines(out)
}

/// Field by field: how many records state it, to how many it does not apply, for how many it was
/// sought in vain, how many are silent; and on what the facts that state it rest.
///
/// One line a field and no rules between, for there are hundreds.
#[must_use]
pub fn fields(counts: &Coverage) -> String {
    let keys = counts.kinds.iter().flat_map(|kind| &kind.fields);
    let widest = keys.map(|f| f.key.chars().count()).max().unwrap_or(0);
    let mut out = String::new();
    for kind in &counts.kinds {
        for part in [Part::Facts, Part::Fresh, Part::Aged, Part::Harm] {
            let mut rows = kind.fields.iter().filter(|f| f.part == part).peekable();
            if rows.peek().is_none() {
                continue;
            }
            out.push_str(&format!(
                "{} ({} records): {}\n{:widest$} stated  n/a sought silent publ. practice memory\n",
                kind.kind,
                kind.records,
                part.heading(),
                ""
            ));
            for row in rows {
                out.push_str(&line(row, widest));
            }
            out.push('\n');
        }
    }
    safe_lines(out)
}

fn line(row: &FieldCoverage, widest: usize) -> String {
    // A nought is easier seen as a gap in the column.
    let cell = |n: usize| {
        if n == 0 {
            "-".to_owned()
        } else {
            n.to_string()
        }
    };
    format!(
        "{:widest$} {:>6} {:>4} {:>6} {:>6} {:>5} {:>8} {:>6}\n",
        row.key,
        cell(row.recorded),
        cell(row.not_applicable),
        cell(row.sought),
        cell(row.unrecorded),
        cell(row.bases.published),
        cell(row.bases.practice),
        cell(row.bases.memory)
    )
}

/// All facts in a line.
fn overall(facts: &Bases) -> String {
    let total = facts.total();
    format!(
        "{total} facts, {} published, {} practice, {} memory",
        share(facts.published, total),
        share(facts.practice, total),
        share(facts.memory, total)
    )
}

fn share(n: usize, total: usize) -> String {
    if total == 0 {
        "-".to_owned()
    } else {
        format!("{:.0} %", 100.0 * n as f64 / total as f64)
    }
}
