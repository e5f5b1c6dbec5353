//! What to test next, whether to stop, and the sequence of tests.

use super::{Paper, percent};
use crate::answer::{Branch, Conclusion, End, Fork, Identify, Leaf, Pointer, Rivals, Stop, Then};
use crate::render::json::sample;
use crate::render::safe;

/// Outcomes named of those left over.
const NAMED: usize = 3;

impl Paper {
    pub(super) fn next(&self, out: &mut String, it: &Identify) {
        if let Some(stop) = &it.stop {
            out.push('\n');
            let hazards = if it.hazards.is_empty() {
                ""
            } else {
                " A hazard that is not excluded still wants its own test."
            };
            let says = match stop {
                Stop::Family(name, p) => format!(
                    "Testing may end here: the family {} stands at {}. What is left would mostly \
                     tell its members apart.{hazards}",
                    safe(name),
                    percent(*p)
                ),
                Stop::NotWorth(_) => format!(
                    "Testing may end here: no bench test that is left tells enough for its sample, \
                     risk and time.{hazards}"
                ),
            };
            self.wrap(out, "", &says);
        }
        if let Some(it) = &it.rivals {
            out.push('\n');
            self.wrap(out, "rivals: ", &safe(&rivals(it)));
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
                let test = &n.offer.test.get().test;
                let specimen = n.offer.test.get().specimen.word();
                let mut by_material: Vec<(&str, Vec<&str>)> = Vec::new();
                for Pointer { outcome, leader } in &n.separates {
                    match by_material.iter_mut().find(|(m, _)| m == leader) {
                        Some((_, outcomes)) => outcomes.push(outcome),
                        None => by_material.push((leader, vec![outcome])),
                    }
                }
                let mut speaks: Vec<String> = by_material
                    .iter()
                    .map(|(m, outcomes)| format!("{m} if {}", outcomes.join(" or ")))
                    .collect();
                if let Some(opens) = &n.opens {
                    speaks.push(format!("next after it: {opens}"));
                }
                let because = n
                    .offer
                    .crumb_because
                    .as_ref()
                    .map_or(String::new(), |why| format!(": {why}"));
                table.add_row([
                    safe(&format!("{}{because}", n.offer.called())),
                    format!("{:.2} bit", n.gain_bits),
                    if n.same_crumb {
                        "the same crumb".to_owned()
                    } else {
                        sample(test.sample_ug, specimen)
                    },
                    format!("{} of 5", test.risk),
                    safe(&speaks.join("; ")),
                ]);
            }
            self.push(out, &mut table);
            self.wrap(
                out,
                "",
                "Best first: by what each tells for its sample, risk and time, alone or with the one \
                 named after it.",
            );
        }
        if let Some(fork) = &it.sequence {
            out.push_str("\nIn turn, with the chance of each answer and what it would then be\n");
            self.fork(out, fork, 1);
        }
    }

    fn fork(&self, out: &mut String, fork: &Fork, depth: usize) {
        let lead = format!("  {}", "     ".repeat(depth - 1));
        self.indented(out, &lead, &format!("{depth}. {}", fork.offer.called()));
        for branch in &fork.branches {
            let said = format!("{}, {}", answer(branch), percent(branch.probability));
            match &branch.then {
                Then::Leaf(it) => {
                    self.indented(out, &format!("{lead}   "), &format!("{said}: {}", leaf(it)));
                }
                Then::Test(next) => {
                    self.indented(out, &format!("{lead}   "), &format!("{said}:"));
                    self.fork(out, next, depth + 1);
                }
            }
        }
    }

    /// A line that hangs under its own indent.
    fn indented(&self, out: &mut String, lead: &str, text: &str) {
        let inner = Self {
            width: self
                .width
                .saturating_sub(u16::try_from(lead.len() + 2).unwrap_or(0)),
            spoken: self.spoken,
        };
        let mut own = String::new();
        inner.wrap(&mut own, "", &safe(text));
        for (k, line) in own.lines().enumerate() {
            out.push_str(lead);
            if k > 0 {
                out.push_str("  ");
            }
            out.push_str(line);
            out.push('\n');
        }
    }
}

/// The two strongest rivals and what parts them.
fn rivals(it: &Rivals) -> String {
    let [first, second] = &it.between;
    let parted = it.separator.as_ref().map_or_else(
        || "no test that may be done parts them".to_owned(),
        |separator| {
            let test = separator.offer.called();
            format!("best parted by {test} ({:.2} bit)", separator.bits)
        },
    );
    format!(
        "{} {}, {} {}; {parted}",
        first.name,
        percent(first.probability),
        second.name,
        percent(second.probability)
    )
}

fn answer(branch: &Branch) -> String {
    let words = &branch.outcomes;
    if branch.rest && words.len() > NAMED {
        "anything else".to_owned()
    } else {
        words.join(" or ")
    }
}

fn leaf(it: &Leaf) -> String {
    let names: Vec<String> = it
        .leading
        .iter()
        .map(|(name, p)| format!("{name} {}", percent(*p)))
        .collect();
    let names = names.join(", ");
    let said = match it.conclusion {
        Conclusion::Material(_) => names,
        Conclusion::Family(_) => format!("the family {names}"),
        Conclusion::NotEnough | Conclusion::Contradicts => format!("open ({names})"),
    };
    match it.end {
        End::Family => format!("{said}; end"),
        End::NotWorth => format!("{said}; no test worth it is left"),
        End::AskAgain => format!("{said}; ask again"),
    }
}
