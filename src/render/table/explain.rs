//! What `explain` adds: plan, derivation, what emptied the answer.

use super::Paper;
use crate::answer::{Explanation, Ground};
use crate::render::safe;

impl Paper {
    pub(super) fn explain(&self, out: &mut String, it: &Explanation) {
        match it {
            Explanation::Plan(stages) => {
                out.push_str("Plan\n");
                for (k, stage) in stages.iter().enumerate() {
                    self.wrap(
                        out,
                        &format!("{}. ", k + 1),
                        &safe(&format!("{}: {}", stage.stage, stage.does)),
                    );
                }
            }
            Explanation::Derivation(claims) => {
                out.push_str("Derivation\n");
                for claim in claims {
                    self.wrap(out, "", &safe(&claim.says));
                    for ground in &claim.because {
                        self.wrap(out, "  - ", &safe(&line(ground)));
                    }
                }
            }
            Explanation::Empty { now, clauses } => {
                self.wrap(out, "As asked: ", &safe(now));
                if clauses.is_empty() {
                    out.push_str("There is no clause that could be left out.\n");
                    return;
                }
                let alone = clauses.iter().any(|c| c.alone.is_some());
                let header: &[&str] = if alone {
                    &["clause", "alone", "the rest without it", ""]
                } else {
                    &["clause", "the rest without it", ""]
                };
                let mut table = self.grid(header);
                for clause in clauses {
                    let mut cells = vec![safe(&clause.clause)];
                    if alone {
                        cells.push(clause.alone.map_or(String::new(), |n| format!("{n} match")));
                    }
                    cells.push(safe(&clause.without));
                    cells.push(if clause.helps { "<- this one" } else { "" }.to_owned());
                    table.add_row(cells);
                }
                self.push(out, &mut table);
                if !clauses.iter().any(|c| c.helps) {
                    self.wrap(
                        out,
                        "",
                        "No single clause does it: the answer is no better without any one of them.",
                    );
                }
            }
        }
    }
}

/// A ground with its basis, its sources and the file and line of its facts.
fn line(it: &Ground) -> String {
    let mut out = it.says.clone();
    if !it.basis.is_empty() {
        out.push_str(&format!(" [{}]", it.basis));
    }
    let places: Vec<String> = it
        .places
        .iter()
        .map(|p| format!("kb/{}:{}", p.file, p.line))
        .collect();
    if !places.is_empty() {
        out.push_str(&format!(" {}", places.join(" ")));
    }
    out
}
