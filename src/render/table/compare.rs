//! Things side by side.

use super::remove::title;
use super::{Paper, percent, stack};
use crate::answer::{Cell, Compare};
use crate::render::safe;

/// Most things that stand in columns of a table of 80 columns.
const COLUMNS: usize = 3;
/// Steps of a ladder named in one cell.
const STEPS: usize = 2;

impl Paper {
    pub(super) fn compare(&self, out: &mut String, it: &Compare) {
        if !it.on.is_empty() {
            self.wrap(out, "On: ", &safe(&stack(&it.on)));
        }
        if it.things.len() <= COLUMNS {
            let mut header = vec![String::new()];
            header.extend(it.things.iter().map(|thing| safe(&thing.called)));
            let header: Vec<&str> = header.iter().map(String::as_str).collect();
            let mut table = self.grid(&header);
            for row in &it.rows {
                let mut cells = vec![row.by.clone()];
                cells.extend(row.cells.iter().map(cell));
                table.add_row(cells);
            }
            self.push(out, &mut table);
            return;
        }
        // More than fit side by side: one table a property.
        for (k, row) in it.rows.iter().enumerate() {
            if k > 0 {
                out.push('\n');
            }
            let mut table = self.grid(&["", &row.by]);
            for (thing, own) in it.things.iter().zip(&row.cells) {
                table.add_row([safe(&thing.called), cell(own)]);
            }
            self.push(out, &mut table);
        }
    }
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Stated(list) => {
            let all: Vec<String> = list
                .iter()
                .map(|v| {
                    if v.text.is_empty() {
                        "not recorded".to_owned()
                    } else {
                        format!("{} [{}]", safe(&v.whole()), safe(&v.basis))
                    }
                })
                .collect();
            if all.is_empty() {
                "not recorded".to_owned()
            } else {
                all.join("\n")
            }
        }
        Cell::Removal {
            steps,
            ruled_out,
            leave,
        } => {
            let mut lines: Vec<String> = steps
                .iter()
                .take(STEPS)
                .map(|r| {
                    format!(
                        "{}: {} ({})",
                        r.call.word(),
                        safe(&title(r)),
                        percent(r.effect.covers)
                    )
                })
                .collect();
            if lines.is_empty() {
                lines.push("no step that nothing forbids".to_owned());
            }
            if let Some(leave) = leave {
                lines.push(format!("leave it? {}", safe(&leave.text)));
            }
            lines.push(format!("{ruled_out} ways ruled out"));
            lines.join("\n")
        }
    }
}
