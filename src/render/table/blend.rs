//! Blends, with the way each dries.

use std::fmt::Write as _;

use super::{Paper, some};
use crate::answer::blend::{Blend, Flash, LeftOut, LeftOutFor, Practical, Region};
use crate::model::Does;
use crate::order::Arrange;
use crate::render::safe;

/// Liquids left out that a table names on one ground.
const NAMED: usize = 8;
/// Grounds on which liquids were left out that a table shows.
const GROUNDS: usize = 8;
/// Reasons named under a blend.
const REASONS: usize = 4;
/// Shares of the liquid at which a table shows the way.
const STOPS: [f64; 4] = [1.0, 0.75, 0.5, 0.1];

impl Paper {
    pub(super) fn blend(&self, out: &mut String, it: &Blend) {
        let lead = match it.action {
            Does::Dissolve => "Dissolve: ",
            Does::Swell => "Swell: ",
        };
        self.wrap(out, lead, &safe(&region(&it.target)));
        for layer in &it.layers {
            self.wrap(out, "Spare: ", &safe(&region(layer)));
        }
        for note in &it.notes {
            self.wrap(out, "- ", &safe(note));
        }
        if !it.missing.is_empty() {
            self.undetermined(out, it);
        } else if it.blends.is_empty() {
            self.nothing(out, it);
        } else {
            self.practical(out, it);
        }
        self.conflicts(out, it);
        self.left_out(out, &it.left_out);
        if it.stopped {
            out.push_str("\nStopped before the end: there may be better ones.\n");
        }
    }

    fn undetermined(&self, out: &mut String, it: &Blend) {
        out.push_str("\nUndetermined\n");
        for missing in &it.missing {
            self.wrap(out, "- ", &safe(missing));
        }
        if let [only] = &it.liquids[..] {
            let text = format!(
                "Of your liquids only {} may be used, so no test can lead to a blend of them. Name others \
                 with `using`, or say with `given` what the layers bore on this object.",
                safe(&only.name)
            );
            self.wrap(out, "", &text);
            return;
        }
        if it.settle.is_empty() {
            return;
        }
        out.push_str("\nSwab tests that would settle it, the fewest that can\n");
        let mut table = self.grid(&["on", "liquid", "why this one"]);
        for swab in &it.settle {
            table.add_row([safe(&swab.on), safe(&swab.liquid.name), safe(&swab.why)]);
        }
        self.push(out, &mut table);
        self.wrap(
            out,
            "",
            "Try them on a crumb; what must stay only on a detached flake, a mock-up or a hidden spot, for \
             some of these are meant to act on it. Then ask again with `given`. What turns out otherwise \
             than hoped may want one more.",
        );
    }

    fn nothing(&self, out: &mut String, it: &Blend) {
        let _ = writeln!(out, "\nNo blend does it. What emptied the set:");
        self.sieve(out, it);
        if let Some(bound) = &it.bound {
            self.wrap(
                out,
                "",
                &format!(
                    "The nearest that any proportion of these liquids comes while it spares the layers: \
                     RED {:.2} at the start (exact).",
                    bound.red
                ),
            );
        } else if !it.layers.is_empty() {
            self.wrap(
                out,
                "",
                "No proportion of these liquids at all spares the layers at the start (exact).",
            );
        }
    }

    fn sieve(&self, out: &mut String, it: &Blend) {
        let mut table = self.grid(&["demand", "left"]);
        for sifted in &it.sifted {
            table.add_row([safe(&sifted.demand), grouped(sifted.left)]);
        }
        self.push(out, &mut table);
    }

    fn practical(&self, out: &mut String, it: &Blend) {
        out.push('\n');
        let mut header = vec!["", "blend, parts by volume", "verdict", "RED"];
        if !it.layers.is_empty() {
            header.push("least RED, layers");
        }
        header.extend(["vapour/limit", "flash C"]);
        let mut table = self.grid(&header);
        for b in &it.blends {
            let mut row = vec![
                b.rank.to_string(),
                safe(&title(b)),
                b.call.word().to_owned(),
                format!("{:.2}", b.red),
            ];
            if !it.layers.is_empty() {
                let least: Vec<String> = b
                    .least
                    .iter()
                    .map(|l| l.map_or("record".to_owned(), |l| format!("{l:.2}")))
                    .collect();
                row.push(least.join(", "));
            }
            row.push(hazard(b));
            row.push(match b.flash {
                Flash::Unknown => "unknown".to_owned(),
                Flash::None => "none".to_owned(),
                Flash::At(c) => format!("{c:.0}"),
            });
            table.add_row(row);
        }
        self.push(out, &mut table);
        for b in &it.blends {
            self.one(out, it, b);
        }
        out.push('\n');
        if let (Some(bound), Some(nearest)) = (&it.bound, &it.nearest) {
            let parts: Vec<String> = nearest
                .parts
                .iter()
                .map(|part| format!("{} {:.0} %", part.name, 100.0 * part.share))
                .collect();
            self.wrap(
                out,
                "Bound: ",
                &safe(&format!(
                    "no proportion of these liquids comes nearer than RED {:.3} (exact); in steps of {:.0} \
                     % the nearest is RED {:.3}, {}, {:.3} MPa^0.5 short of it",
                    bound.red,
                    nearest.step,
                    nearest.red,
                    parts.join(" + "),
                    nearest.ra - bound.ra
                )),
            );
        }
        let _ = writeln!(
            out,
            "{} blends of 2 to 4 liquids were to be had",
            grouped(it.weighed)
        );
        self.wrap(
            out,
            "",
            "vapour/limit: partial pressures over the lowest exposure limit on file, summed; flash: the \
             lowest of its liquids, the blend may flash below it. Drying: in the open at 25 C, not under \
             a gel.",
        );
    }

    fn one(&self, out: &mut String, it: &Blend, b: &Practical) {
        out.push('\n');
        self.wrap(out, &format!("{}. ", b.rank), &safe(&title(b)));
        let mut stops = Vec::new();
        for stop in STOPS {
            let point = b
                .path
                .iter()
                .min_by(|x, y| (x.left - stop).abs().total_cmp(&(y.left - stop).abs()));
            if let Some(point) = point {
                let shares: Vec<String> = point
                    .shares
                    .iter()
                    .map(|s| format!("{:.0}", 100.0 * s))
                    .collect();
                stops.push(format!(
                    "{:.0} % left {} (RED {:.2})",
                    100.0 * point.left,
                    shares.join(":"),
                    point.red
                ));
            }
        }
        self.wrap(
            out,
            "   dries: ",
            &format!("{} [{} mixing]", stops.join("; "), b.mixing.word()),
        );
        if let Some(until) = b.solvent_until {
            self.wrap(
                out,
                "   turns: ",
                &safe(&format!(
                    "no longer a solvent of {} with {:.0} % of it left: clear before that",
                    it.target.called,
                    100.0 * until
                )),
            );
        }
        for reason in b.reasons.iter().take(REASONS) {
            self.wrap(
                out,
                "   why a test: ",
                &safe(&format!("{} [{}]", reason.text, reason.basis)),
            );
        }
        if b.reasons.len() > REASONS {
            let _ = writeln!(
                out,
                "   and {} more (--format json)",
                b.reasons.len() - REASONS
            );
        }
        if !b.no_limit.is_empty() {
            self.wrap(
                out,
                "   no limit on file: ",
                &safe(&format!(
                    "{}: unknown, not harmless; the figure leaves it out",
                    b.no_limit.join(", ")
                )),
            );
        }
    }

    fn conflicts(&self, out: &mut String, it: &Blend) {
        if it.conflicts.is_empty() {
            return;
        }
        out.push_str("\nWhere sphere and bench disagree, the bench outranks the sphere\n");
        for c in it.conflicts.iter().take(NAMED) {
            self.wrap(out, "- ", &safe(&format!("{} [{}]", c.says, c.basis)));
        }
        if it.conflicts.len() > NAMED {
            let _ = writeln!(
                out,
                "- and {} more (--format json)",
                it.conflicts.len() - NAMED
            );
        }
    }

    fn left_out(&self, out: &mut String, list: &[LeftOut]) {
        if list.is_empty() {
            return;
        }
        // What is left out on the same ground stands in one row.
        let mut groups: Vec<(String, Vec<&str>, bool)> = Vec::new();
        for it in list {
            let why = match it.sort {
                LeftOutFor::Cmr => {
                    "suspected or known to cause cancer, to change genes or to harm fertility; \
                          `allowing` by name brings one back"
                        .to_owned()
                }
                LeftOutFor::Law => {
                    "restricted by law; `allowing` by name brings one back where it is permitted"
                        .to_owned()
                }
                // The liquid's own name at the front would keep like grounds apart.
                _ => format!(
                    "{} [{}]",
                    it.reason.text.replace(&format!("{}: ", it.name), ""),
                    it.reason.basis
                ),
            };
            match groups.iter_mut().find(|(w, ..)| *w == why) {
                Some((_, names, _)) => names.push(&it.name),
                None => groups.push((why, vec![&it.name], it.allowing)),
            }
        }
        groups.arrange_by_key(|(_, names, _)| std::cmp::Reverse(names.len()));
        out.push('\n');
        let mut table = self.grid(&["left out", "because"]);
        for (why, names, _) in groups.iter().take(GROUNDS) {
            table.add_row([safe(&some(names, NAMED)), safe(why)]);
        }
        self.push(out, &mut table);
        if groups.len() > GROUNDS {
            let _ = writeln!(
                out,
                "{} more grounds (--format json lists all)",
                groups.len() - GROUNDS
            );
        }
    }
}

fn title(b: &Practical) -> String {
    let names: Vec<&str> = b.parts.iter().map(|part| part.name.as_str()).collect();
    format!("{} {}", names.join(" + "), b.ratio)
}

fn hazard(b: &Practical) -> String {
    match (b.hazard > 0.0, b.no_limit.is_empty()) {
        (true, true) => format!("{:.0}", b.hazard),
        (true, false) => format!("{:.0}, and more", b.hazard),
        (false, _) => "unknown".to_owned(),
    }
}

/// A region in one line.
fn region(it: &Region) -> String {
    let mut out = it.called.clone();
    if !it.state.is_empty() {
        let _ = write!(out, " ({})", it.state.join(", "));
    }
    for (k, s) in it.spheres.iter().enumerate() {
        let _ = write!(
            out,
            "{} {:.1}/{:.1}/{:.1} R {:.1} [{}]",
            if k == 0 { ", sphere" } else { " and" },
            s.sphere.d,
            s.sphere.p,
            s.sphere.h,
            s.sphere.radius.unwrap_or(0.0),
            s.basis
        );
    }
    if let Some(fit) = &it.fit {
        let _ = write!(
            out,
            "; {} liquids do it, {} do not, DATAFIT {:.3}; R {:.1}..{:.1}, centres that fit as well up to \
             {:.1} MPa^0.5 apart",
            fit.good, fit.poor, fit.datafit, fit.range[3].0, fit.range[3].1, fit.spread
        );
    }
    if it.by_record {
        out.push_str(": nothing in it dissolves, judged by its record");
    }
    out
}

/// A count in groups of three.
fn grouped(n: u64) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (k, digit) in digits.chars().enumerate() {
        if k > 0 && (digits.len() - k).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}
