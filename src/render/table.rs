//! Tables for a terminal, readable at 80 columns and legible without colour.

use std::fmt::Write as _;

use comfy_table::{Cell, ContentArrangement, Table, presets};

use super::json::sample;
use super::{safe, safe_lines};
use crate::answer::{
    Answer, Body, Conclusion, Find, Identify, LayerHarm, Match, Remove, RuledOut, Rung,
};
use crate::cite::citation;
use crate::model::{Hazard, Verdict};

/// Reasons named in a table; the data form has them all.
const REASONS: usize = 3;
/// Agents or methods named in one row of what is ruled out.
const NAMED_TOGETHER: usize = 4;
/// Things to settle first that a table names.
const BEFORE_ROWS: usize = 7;
/// Rows of what is ruled out.
const RULED_OUT_ROWS: usize = 8;

/// An answer as text, at most `width` columns wide.
#[must_use]
pub fn table(answer: &Answer, width: u16) -> String {
    let mut out = String::new();
    let paper = Paper {
        width: width.max(40),
    };
    match &answer.body {
        Body::Find(it) => paper.find(&mut out, it),
        Body::Identify(it) => paper.identify(&mut out, it),
        Body::Remove(it) => paper.remove(&mut out, it),
    }
    for note in &answer.notes {
        paper.wrap(&mut out, "note: ", &safe(note));
    }
    if !answer.cautions.is_empty() {
        out.push('\n');
        out.push_str("Cautions\n");
        for caution in &answer.cautions {
            paper.wrap(&mut out, "- ", caution);
        }
    }
    if !answer.sources.is_empty() {
        out.push('\n');
        out.push_str("Sources\n");
        for source in &answer.sources {
            paper.wrap(
                &mut out,
                &format!("{}: ", source.head.id),
                &safe(&citation(source)),
            );
        }
    }
    let _ = writeln!(
        out,
        "\ncorpus {}, language edition {}",
        answer.corpus_version, answer.edition
    );
    // Names, bases and keys come from many places; a table has no colour of its own that this
    // could take away.
    safe_lines(&out)
}

struct Paper {
    width: u16,
}

fn percent(p: f64) -> String {
    if p > 0.0 && p < 0.01 {
        "<1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * p)
    }
}

impl Paper {
    fn grid(&self, header: &[&str]) -> Table {
        let mut table = Table::new();
        table
            .load_style(presets::UTF8_HORIZONTAL_ONLY)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(self.width)
            .set_header(header.iter().map(|h| Cell::new(*h)));
        table
    }

    fn push(&self, out: &mut String, table: &Table) {
        for line in table.to_string().lines() {
            out.push_str(line.trim_end());
            out.push('\n');
        }
    }

    /// A paragraph with a hanging indent.
    fn wrap(&self, out: &mut String, lead: &str, text: &str) {
        let width = usize::from(self.width);
        let indent = if lead.chars().count() > 8 {
            2
        } else {
            lead.chars().count()
        };
        let mut line = lead.to_owned();
        let mut used = lead.chars().count();
        let mut fresh = true;
        for word in text.split_whitespace() {
            let length = word.chars().count();
            if !fresh && used + 1 + length > width {
                out.push_str(line.trim_end());
                out.push('\n');
                line = " ".repeat(indent);
                used = indent;
                fresh = true;
            }
            if !fresh {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += length;
            fresh = false;
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }

    fn find(&self, out: &mut String, it: &Find) {
        if it.matches.is_empty() {
            out.push_str("Nothing on record matches.\n");
        } else if it.matches.len() == 1 && it.total == 1 && it.matches[0].values.len() > 3 {
            self.record(out, &it.matches[0]);
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
                    .map(|s| format!("{} on `{}`", s.records, safe(&s.condition)))
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
        if shown.is_empty() {
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
            if shown.is_empty() {
                cells.push(safe(&row.summary));
            }
            table.add_row(cells);
        }
        self.push(out, &table);
    }

    fn record(&self, out: &mut String, row: &Match) {
        let _ = writeln!(out, "{} ({}, {})", safe(&row.name), row.kind.noun(), row.id);
        if !row.summary.is_empty() {
            self.wrap(out, "", &safe(&row.summary));
        }
        let mut table = self.grid(&["field", "recorded", "basis"]);
        for value in &row.values {
            table.add_row([value.field.clone(), safe(&value.text), safe(&value.basis)]);
        }
        self.push(out, &table);
    }

    fn identify(&self, out: &mut String, it: &Identify) {
        let name = |id: &str| {
            it.candidates
                .iter()
                .find(|c| c.id == id)
                .map_or(id.to_owned(), |c| c.name.clone())
        };
        let verdict = match &it.conclusion {
            Conclusion::Material(id) => {
                let p = it
                    .candidates
                    .iter()
                    .find(|c| c.id == *id)
                    .map_or(0.0, |c| c.probability);
                format!("Probably {} ({}).", name(id), percent(p))
            }
            Conclusion::Family(id) => {
                let family = it.families.iter().find(|f| f.id == *id);
                format!(
                    "Probably of the family {} ({}); its members cannot be told apart on this \
                     evidence.",
                    family.map_or(id.as_str(), |f| f.name.as_str()),
                    percent(family.map_or(0.0, |f| f.probability))
                )
            }
            Conclusion::NotEnough => "Not enough to say; do the next test first.".to_owned(),
            Conclusion::Contradicts => {
                "The observations contradict one another or every record; repeat the tests before \
                 trusting any of this."
                    .to_owned()
            }
        };
        self.wrap(out, "", &verdict);
        for contradiction in &it.contradictions {
            self.wrap(out, "! ", &safe(contradiction));
        }
        out.push('\n');
        let mut table = self.grid(&[
            "candidate",
            "family",
            "probability",
            "most for it",
            "most against it",
        ]);
        for c in &it.candidates {
            let most = |sign: f64| {
                c.evidence
                    .iter()
                    .max_by(|a, b| (sign * a.weight_db).total_cmp(&(sign * b.weight_db)))
                    .filter(|e| sign * e.weight_db >= 0.5)
                    .map_or(String::new(), |e| {
                        format!("{:+.1} dB {}", e.weight_db, safe(short(&e.observation)))
                    })
            };
            table.add_row([
                safe(&c.name),
                c.family_name.clone(),
                percent(c.probability),
                most(1.0),
                most(-1.0),
            ]);
        }
        table.add_row([
            "none of these".to_owned(),
            String::new(),
            percent(it.none_of_these),
        ]);
        self.push(out, &table);
        if it.families.len() > 1 {
            let list: Vec<String> = it
                .families
                .iter()
                .take(4)
                .map(|f| format!("{} {}", f.name, percent(f.probability)))
                .collect();
            self.wrap(out, "families: ", &list.join(", "));
        }
        self.expected(out, it);
        for c in it.candidates.iter().take(3) {
            for contradiction in &c.contradictions {
                self.wrap(
                    out,
                    &format!("against {}: ", safe(&c.name)),
                    &safe(contradiction),
                );
            }
        }
        for u in it.unrecorded.iter().take(4) {
            self.wrap(
                out,
                "not recorded: ",
                &format!("{} for \"{}\"", safe(&u.candidate), safe(&u.observation)),
            );
        }
        if !it.hazards.is_empty() {
            out.push_str("\nHazards not excluded by a clean negative test\n");
            for h in &it.hazards {
                let test = h.test.as_ref().map_or(String::new(), |(_, name)| {
                    format!("; excluded by a negative {name} on a clean crumb")
                });
                self.wrap(
                    out,
                    "- ",
                    &format!("{} ({}){test}", hazard(h.hazard), percent(h.probability)),
                );
            }
        }
        if !it.next_tests.is_empty() {
            out.push('\n');
            let mut table = self.grid(&[
                "next test",
                "gain",
                "sample",
                "risk",
                "what it would speak for",
            ]);
            for n in &it.next_tests {
                let test = &n.test.get().test;
                let specimen = n.test.get().specimen.word();
                let name = n.liquid.as_ref().map_or_else(
                    || test.head.names.name.clone(),
                    |(_, liquid)| format!("drop of {liquid} on a detached crumb"),
                );
                let mut by_material: Vec<(&str, Vec<&str>)> = Vec::new();
                for (outcome, material) in &n.separates {
                    match by_material.iter_mut().find(|(m, _)| m == material) {
                        Some((_, outcomes)) => outcomes.push(outcome),
                        None => by_material.push((material, vec![outcome])),
                    }
                }
                let separates: Vec<String> = by_material
                    .iter()
                    .map(|(m, outcomes)| format!("{m} if {}", outcomes.join(" or ")))
                    .collect();
                table.add_row([
                    safe(&name),
                    format!("{:.2} bit", n.gain_bits),
                    sample(test.sample_ug, specimen),
                    format!("{} of 5", test.risk),
                    safe(&separates.join("; ")),
                ]);
            }
            self.push(out, &table);
        }
        for refused in &it.refused_tests {
            for broken in refused.broken() {
                self.wrap(
                    out,
                    "not now: ",
                    &format!(
                        "{}: {}",
                        refused.get().test.head.names.name,
                        broken.rule.says
                    ),
                );
            }
        }
    }

    /// Each observation against the two leading candidates.
    fn expected(&self, out: &mut String, it: &Identify) {
        let Some(best) = it.candidates.first().filter(|c| !c.evidence.is_empty()) else {
            return;
        };
        let rival = it.candidates.get(1);
        out.push('\n');
        let mut header = vec!["seen".to_owned(), format!("{}, dB", safe(&best.name))];
        header.extend(rival.map(|r| format!("{}, dB", safe(&r.name))));
        header.push(format!("on record for {}", safe(&best.name)));
        let header: Vec<&str> = header.iter().map(String::as_str).collect();
        let mut table = self.grid(&header);
        for (k, e) in best.evidence.iter().enumerate() {
            let mut basis = match e.basis.as_str() {
                "" => String::new(),
                "memory" => " [memory: check on a crumb]".to_owned(),
                words => format!(" [{words}]"),
            };
            if !e.sources.is_empty() {
                let _ = write!(basis, " {}", e.sources.join(", "));
            }
            let mut cells = vec![safe(&e.observation), format!("{:+.1}", e.weight_db)];
            cells.extend(rival.map(|r| {
                r.evidence
                    .get(k)
                    .map_or(String::new(), |e| format!("{:+.1}", e.weight_db))
            }));
            cells.push(format!("{}{basis}", safe(&e.expected)));
            table.add_row(cells);
        }
        self.push(out, &table);
    }

    fn remove(&self, out: &mut String, it: &Remove) {
        let target: Vec<String> = it
            .target
            .iter()
            .take(3)
            .map(|(_, name, p)| {
                if *p >= 0.995 {
                    name.clone()
                } else {
                    format!("{name} {}", percent(*p))
                }
            })
            .collect();
        let layers: Vec<String> = it
            .layers
            .iter()
            .map(|(_, name, conditions)| {
                if conditions.is_empty() {
                    name.clone()
                } else {
                    format!("{name} ({})", conditions.join(", "))
                }
            })
            .collect();
        self.wrap(out, "Take off: ", &safe(&target.join(", ")));
        self.wrap(out, "From: ", &safe(&layers.join(" over ")));
        if let Some(leave) = &it.leave {
            self.wrap(
                out,
                "Leave it? ",
                &format!("{} [{}]", safe(&leave.text), leave.basis),
            );
        }
        if !it.before.is_empty() {
            out.push_str("\nFirst\n");
            for b in it.before.iter().take(BEFORE_ROWS) {
                self.wrap(out, "- ", &format!("{}: {}", safe(&b.what), safe(&b.why)));
            }
            if it.before.len() > BEFORE_ROWS {
                let _ = writeln!(
                    out,
                    "- and {} more (--format json)",
                    it.before.len() - BEFORE_ROWS
                );
            }
        }
        out.push('\n');
        if it.ladder.is_empty() {
            out.push_str("No live step.\n");
        } else {
            self.ladder(out, it);
        }
        if !it.ruled_out.is_empty() {
            self.ruled_out(out, &it.ruled_out);
        }
        if !it.gaps.is_empty() {
            out.push_str("\nNot recorded: test on the object\n");
            for gap in it.gaps.iter().take(6) {
                self.wrap(out, "- ", &safe(gap));
            }
        }
        for next in &it.next {
            out.push('\n');
            let when = next.after.as_deref().unwrap_or("that is done");
            self.wrap(out, "Then, when ", &format!("{when}:"));
            self.remove(out, next);
        }
    }

    fn ladder(&self, out: &mut String, it: &Remove) {
        let mut table = self.grid(&["", "step, mildest first", "verdict", "it does", "contact"]);
        for r in &it.ladder {
            table.add_row([
                r.rank.to_string(),
                safe(&title(r)),
                r.call.word().to_owned(),
                format!("{} ({})", r.effect.response, percent(r.effect.covers)),
                safe(&r.dwell),
            ]);
        }
        self.push(out, &table);
        for r in &it.ladder {
            self.rung(out, r);
        }
        if it.considered > it.ladder.len() {
            let _ = writeln!(
                out,
                "{} live steps were weighed; the {} above differ most in what they do",
                it.considered,
                it.ladder.len()
            );
        }
    }

    fn rung(&self, out: &mut String, r: &Rung) {
        out.push('\n');
        self.wrap(out, &format!("{}. ", r.rank), &safe(&title(r)));
        for reason in r.reasons.iter().take(REASONS) {
            self.wrap(
                out,
                "   why a test: ",
                &format!("{} [{}]", safe(&reason.text), reason.basis),
            );
        }
        if r.reasons.len() > REASONS {
            let _ = writeln!(
                out,
                "   and {} more reasons (--format json)",
                r.reasons.len() - REASONS
            );
        }
        if let Some(note) = r.effect.notes.first() {
            self.wrap(out, "   record: ", &safe(note));
        }
        if !r.watch.is_empty() {
            self.wrap(out, "   watch: ", &safe(&r.watch));
        }
        self.wrap(out, "   stop: ", &safe(&r.stop));
        if !r.clearance.is_empty() {
            self.wrap(out, "   clear: ", &safe(&r.clearance));
        }
        if !r.hazards.is_empty() {
            let list: Vec<&str> = r.hazards.iter().map(|h| h.word()).collect();
            self.wrap(out, "   hazards: ", &list.join(", "));
        }
    }

    fn ruled_out(&self, out: &mut String, rows: &[RuledOut]) {
        out.push('\n');
        // What would have worked comes first: it is what a hand reaches for.
        let mut order: Vec<&RuledOut> = rows.iter().collect();
        order.sort_by_key(|r| {
            let tempting = matches!(
                r.effect.as_str(),
                "dissolves" | "partly dissolves" | "swells"
            );
            (
                !tempting,
                r.harm.iter().all(|h| h.layer.is_empty()),
                r.id.clone(),
            )
        });
        // What is ruled out on the same ground stands in one row.
        let mut groups: Vec<(String, String, Vec<String>)> = Vec::new();
        for r in order {
            let what = match (&r.method, &r.agent) {
                (Some((_, method)), Some((_, agent))) => format!("{method}, {agent}"),
                (None, Some((_, agent))) => agent.clone(),
                (Some((_, method)), None) => method.clone(),
                (None, None) => r.id.clone(),
            };
            let worst = worst(&r.harm);
            let layer = worst.map_or(String::new(), |h| h.layer.clone());
            let reason = worst.map_or(String::new(), |h| h.reason.clone());
            match groups
                .iter_mut()
                .find(|(l, why, _)| *l == layer && *why == reason)
            {
                Some((_, _, list)) => list.push(what),
                None => groups.push((layer, reason, vec![what])),
            }
        }
        let mut table = self.grid(&["ruled out", "harms", "because"]);
        for (layer, reason, list) in groups.iter().take(RULED_OUT_ROWS) {
            let mut what = list[..list.len().min(NAMED_TOGETHER)].join("; ");
            if list.len() > NAMED_TOGETHER {
                let _ = write!(what, "; and {} more", list.len() - NAMED_TOGETHER);
            }
            table.add_row([safe(&what), safe(layer), safe(reason)]);
        }
        self.push(out, &table);
        if groups.len() > RULED_OUT_ROWS {
            let _ = writeln!(
                out,
                "{} more grounds (--format json lists all)",
                groups.len() - RULED_OUT_ROWS
            );
        }
    }
}

/// An observation without its notes.
fn short(observation: &str) -> &str {
    observation
        .split_once(" (")
        .map_or(observation, |(plain, _)| plain)
}

fn title(r: &Rung) -> String {
    let step = r.step.get();
    let mut out = step.method.head.names.name.clone();
    if let Some(agent) = &step.agent {
        let _ = write!(out, ": {}", agent.head.names.name);
    }
    if let Some(then) = &r.then {
        let _ = write!(out, ", then {then}");
    }
    out
}

/// The row to show: a named layer before a rule that names none.
fn worst(harm: &[LayerHarm]) -> Option<&LayerHarm> {
    harm.iter()
        .filter(|h| h.verdict == Some(Verdict::Harms))
        .min_by_key(|h| h.layer.is_empty())
}

fn hazard(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Nitrate => "cellulose nitrate",
        Hazard::Lead => "lead",
        Hazard::Arsenic => "arsenic",
        Hazard::Mercury => "mercury",
        Hazard::Asbestos => "asbestos",
        Hazard::Mould => "mould",
        other => other.word(),
    }
}
