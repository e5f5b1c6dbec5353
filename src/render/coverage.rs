//! What a corpus records, as a table.

use comfy_table::{ContentArrangement, Table, presets};

use super::safe_lines;
use crate::lint::{Coverage, Part};

/// Records and facts by kind and basis, and the fields least often recorded.
#[must_use]
pub fn coverage(counts: &Coverage, width: u16) -> String {
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
        let share = |n: usize| {
            if total == 0 {
                "-".to_owned()
            } else {
                format!("{:.0} %", 100.0 * n as f64 / total as f64)
            }
        };
        let mut fields: Vec<_> = kind
            .fields
            .iter()
            .filter(|f| f.part == Part::Facts && f.recorded > 0)
            .collect();
        fields.sort_by(|a, b| a.recorded.cmp(&b.recorded).then_with(|| a.key.cmp(&b.key)));
        let least: Vec<String> = fields
            .iter()
            .take(2)
            .map(|f| format!("{} {}", f.key, f.recorded))
            .collect();
        table.add_row([
            kind.kind.to_owned(),
            kind.records.to_string(),
            total.to_string(),
            share(kind.facts.published),
            share(kind.facts.practice),
            share(kind.facts.memory),
            least.join(", "),
        ]);
    }
    let mut out = String::new();
    for line in table.to_string().lines() {
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out.push_str(&format!(
        "{} sources; corpus {}\n",
        counts.sources, counts.version
    ));
    safe_lines(&out)
}
