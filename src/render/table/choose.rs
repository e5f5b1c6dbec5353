//! What may go in, why, and how it will come out.

use std::fmt::Write as _;

use super::{Paper, some, stack};
use crate::answer::{Choice, Choose, Coats, Lost, Mark, Outlook, Pair, Reason, Reversal};
use crate::model::Verdict;
use crate::render::safe;

/// Choices that are told at length.
const AT_LENGTH: usize = 5;
/// Names in one row of what was lost.
const NAMED_TOGETHER: usize = 6;
/// Orders of two coats that are told.
const COATS_ROWS: usize = 6;
/// Reasons shown in one row of what was lost.
const LOST_ROWS: usize = 14;

impl Paper {
    pub(super) fn choose(&self, out: &mut String, it: &Choose) {
        self.wrap(out, "Choose: ", &safe(&it.called));
        self.wrap(out, "For: ", &safe(&stack(&it.layers)));
        if !it.to.is_empty() {
            self.wrap(out, "To: ", &safe(&stack(&it.to)));
        }
        if let Some(load) = &it.load {
            let mut text = format!("{:.1} N", load.newtons);
            if let Some(area) = load.area_m2 {
                let _ = write!(text, " on {:.1} cm2", area * 1e4);
            }
            if let Some(arm) = load.arm_m {
                let _ = write!(text, ", lever {:.0} mm", arm * 1000.0);
            }
            if let Some(stress) = load.stress_mpa {
                let _ = write!(text, ": highest stress {stress:.3} MPa");
            }
            self.wrap(out, "Load: ", &text);
        }
        out.push('\n');
        if it.choices.is_empty() {
            out.push_str("Nothing is left.\n");
            for (rule, n) in &it.took {
                self.wrap(out, "- ", &format!("{n} lost: {}", rule.says()));
            }
        } else {
            self.choices(out, it);
        }
        for (k, choice) in it.choices.iter().take(AT_LENGTH).enumerate() {
            self.choice(out, k + 1, choice);
        }
        if !it.pairs.is_empty() {
            out.push_str("\nWith an isolating layer beneath\n");
            for row in pairs(&it.pairs) {
                self.wrap(out, "- ", &row);
            }
        }
        self.coats(out, &it.coats);
        if !it.pins.is_empty() {
            out.push_str("\nRods\n");
            for pin in &it.pins {
                self.reason(out, "- ", pin);
            }
        }
        self.lost(out, it);
        if !it.undetermined.is_empty() {
            out.push_str("\nNot enough on record to say\n");
            for row in grouped(&it.undetermined).into_iter().take(LOST_ROWS) {
                self.wrap(out, "- ", &row);
            }
        }
        for (title, list) in [("Light", &it.light), ("Mind", &it.remarks)] {
            if !list.is_empty() {
                let _ = writeln!(out, "\n{title}");
                for reason in list {
                    self.reason(out, "- ", reason);
                }
            }
        }
        let weights: Vec<String> = it
            .weights
            .iter()
            .map(|(c, w)| format!("{} {w:.0}", c.word()))
            .collect();
        out.push('\n');
        self.wrap(
            out,
            "Weights: ",
            &format!("{} (change them with `rank by`)", weights.join(", ")),
        );
    }

    fn choices(&self, out: &mut String, it: &Choose) {
        let years: Vec<String> = it.choices[0]
            .forecast
            .iter()
            .map(|o| {
                if o.years == 0 {
                    "now".to_owned()
                } else {
                    format!("{} y", o.years)
                }
            })
            .collect();
        let mut header = vec!["", "choice", "score", "goes on with"];
        header.extend(years.iter().map(String::as_str));
        let mut table = self.grid(&header);
        for (k, choice) in it.choices.iter().enumerate() {
            let mut row = vec![
                (k + 1).to_string(),
                safe(&choice.name),
                format!("{:.0}", choice.score),
                safe(&with(choice)),
            ];
            row.extend(choice.forecast.iter().map(|o| {
                format!(
                    "{}{}",
                    o.verdict.short(),
                    if o.extrapolated { "*" } else { "" }
                )
            }));
            table.add_row(row);
        }
        self.push(out, &mut table);
        self.wrap(
            out,
            "",
            "Can it be taken back? yes; care: with a test or by softening; partly: some stays in \
             pores; tools: only mechanically; no; unknown: no ageing record. *extrapolated.",
        );
        let stays = |c: &Choice| {
            c.forecast
                .first()
                .is_some_and(|o| o.verdict == Reversal::Not)
        };
        if it.choices.iter().all(stays) {
            self.wrap(
                out,
                "",
                "None of these comes out again by any way that these layers are recorded to bear: take \
                 no more than holds, and say so in the report.",
            );
        }
        if it.more > 0 {
            let _ = writeln!(out, "and {} more that no rule excludes (`limit`)", it.more);
        }
    }

    fn choice(&self, out: &mut String, rank: usize, choice: &Choice) {
        out.push('\n');
        self.wrap(out, &format!("{rank}. "), &safe(&choice.name));
        for mark in &choice.marks {
            self.wrap(out, &format!("   {}: ", mark.criterion.word()), &said(mark));
        }
        // What is said of both sides of a join is said once.
        let mut minding: Vec<&Reason> = Vec::new();
        for reason in &choice.minding {
            if !minding.contains(&reason) {
                minding.push(reason);
            }
        }
        for reason in minding.iter().take(2) {
            self.reason(out, "   going on: ", reason);
        }
        if minding.len() > 2 {
            let _ = writeln!(
                out,
                "   and {} more to mind (--format json)",
                minding.len() - 2
            );
        }
        if let Some(outlook) = choice.forecast.iter().rev().find(|o| o.route.is_some()) {
            self.wrap(out, "   comes out: ", &safe(&route(outlook)));
        }
    }

    fn coats(&self, out: &mut String, list: &[Coats]) {
        if list.is_empty() {
            return;
        }
        out.push_str("\nCoats that come off apart, both aged\n");
        let (known, unknown): (Vec<&Coats>, Vec<&Coats>) =
            list.iter().partition(|c| c.step.is_some());
        for coats in known.iter().take(COATS_ROWS) {
            let with = coats
                .step
                .as_ref()
                .and_then(|s| s.get().agent.as_ref())
                .map_or("", |a| a.head.names.name.as_str());
            let text = format!(
                "{} over {}: {with} takes the upper and leaves the lower [{}]",
                coats.upper.name, coats.lower.name, coats.basis
            );
            self.wrap(out, "- ", &safe(&text));
        }
        if known.len() > COATS_ROWS {
            let _ = writeln!(
                out,
                "- and {} more (--format json)",
                known.len() - COATS_ROWS
            );
        }
        if !unknown.is_empty() {
            let text = format!(
                "{} other orders of these: no liquid on record takes the upper alone",
                unknown.len()
            );
            self.wrap(out, "- ", &text);
        }
    }

    fn lost(&self, out: &mut String, it: &Choose) {
        if it.lost.is_empty() {
            return;
        }
        let _ = writeln!(
            out,
            "\nLost to a hard rule ({} of {})",
            it.lost.len(),
            it.considered
        );
        let rows = grouped(&it.lost);
        for row in rows.iter().take(LOST_ROWS) {
            self.wrap(out, "- ", row);
        }
        if rows.len() > LOST_ROWS {
            let _ = writeln!(
                out,
                "- and {} more grounds (--format json lists all)",
                rows.len() - LOST_ROWS
            );
        }
    }
}

/// Pairs with the same checks in one row.
fn pairs(list: &[Pair]) -> Vec<String> {
    let mut rows: Vec<(String, Vec<&str>, Vec<&str>)> = Vec::new();
    for pair in list {
        let checks: Vec<String> = pair
            .checks
            .iter()
            .map(|c| {
                // What goes over it is named once, at the head of the row.
                let text = c
                    .text
                    .replace(&format!("the {}", pair.over.name), "what goes over it")
                    .replace(&pair.over.name, "what goes over it");
                format!("{} [{}]", safe(&text), c.basis)
            })
            .collect();
        let checks = checks.join("; ");
        match rows
            .iter_mut()
            .find(|(own, barriers, _)| *own == checks && barriers[0] == pair.barrier.name)
        {
            Some((_, _, over)) => over.push(&pair.over.name),
            None => rows.push((checks, vec![&pair.barrier.name], vec![&pair.over.name])),
        }
    }
    rows.into_iter()
        .map(|(checks, barriers, over)| {
            format!(
                "{} first, then {}: {checks}",
                safe(&barriers.join(" or ")),
                safe(&over.join(" or "))
            )
        })
        .collect()
}

fn with(choice: &Choice) -> String {
    let step = choice.applied.get();
    step.agent.as_ref().map_or_else(
        || {
            if step.method.classes.is_empty() {
                "neat".to_owned()
            } else {
                "warmth".to_owned()
            }
        },
        |a| a.head.names.name.clone(),
    )
}

fn said(mark: &Mark) -> String {
    let value = mark
        .value
        .map_or_else(|| "?".to_owned(), |v| format!("{:.0}", 100.0 * v));
    let basis = match (mark.sources.is_empty(), mark.basis.as_str()) {
        (false, _) => format!(" [{}]", mark.sources.join(", ")),
        (true, "") => String::new(),
        (true, "memory") => " [memory: check on a crumb]".to_owned(),
        (true, basis) => format!(" [{basis}]"),
    };
    format!("{value}: {}{basis}", safe(&mark.says))
}

/// The route of an outlook in one line.
pub(in crate::render) fn route(outlook: &Outlook) -> String {
    let Some(rung) = &outlook.route else {
        return "no route".to_owned();
    };
    let step = rung.step.get();
    let mut text = step.method.head.names.name.clone();
    if let Some(agent) = &step.agent {
        let _ = write!(text, ", {}", agent.head.names.name);
    }
    let _ = write!(text, ": {}", rung.effect.response);
    let mut unsure: Vec<&str> = outlook
        .layers
        .iter()
        .filter(|(_, v)| *v != Some(Verdict::Safe))
        .map(|(layer, _)| layer.as_str())
        .collect();
    // The two sides of a join may be of one stuff.
    let mut told = std::collections::BTreeSet::new();
    unsure.retain(|layer| told.insert(*layer));
    if unsure.is_empty() {
        text.push_str("; every layer bears it");
    } else {
        let _ = write!(text, "; test {}", unsure.join(", "));
    }
    text
}

/// What was lost on the same ground, in one row.
fn grouped(list: &[Lost]) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for it in list {
        let why = format!(
            "{}: {} [{}]",
            it.rule.says(),
            it.reason.text,
            it.reason.basis
        );
        match groups.iter_mut().find(|(w, _)| *w == why) {
            Some((_, names)) => names.push(&it.name),
            None => groups.push((why, vec![&it.name])),
        }
    }
    groups
        .into_iter()
        .map(|(why, names)| {
            let what = some(&names, NAMED_TOGETHER);
            format!("{}: {}", safe(&what), safe(&why))
        })
        .collect()
}
