//! What it probably is.

use std::fmt::Write as _;

use super::{Paper, percent};
use crate::answer::{Conclusion, Identify, QUARRELS_TOLD, decibels};
use crate::model::Hazard;
use crate::render::safe;

impl Paper {
    pub(super) fn identify(&self, out: &mut String, it: &Identify) {
        self.wrap(out, "", &verdict(it));
        for contradiction in &it.contradictions {
            self.wrap(out, "! ", &safe(contradiction));
        }
        out.push('\n');
        self.candidates(out, it);
        self.expected(out, it);
        self.doubts(out, it);
        self.hazards(out, it);
        self.next(out, it);
        self.refused(out, it);
    }

    /// The candidates, their families, and what skin may lie over them.
    fn candidates(&self, out: &mut String, it: &Identify) {
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
                        format!(
                            "{} dB {}",
                            decibels(e.weight_db),
                            safe(short(&e.observation))
                        )
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
        self.push(out, &mut table);
        if it.families.len() > 1 {
            let list: Vec<String> = it
                .families
                .iter()
                .take(4)
                .map(|f| format!("{} {}", f.name, percent(f.probability)))
                .collect();
            self.wrap(out, "families: ", &list.join(", "));
        }
        for skin in &it.skins {
            self.wrap(
                out,
                "two layers? ",
                &format!(
                    "{} may lie over {} ({}; before any test {}): look at a fresh cut or a section",
                    skin.name,
                    safe(&skin.over.name),
                    percent(skin.probability),
                    percent(skin.prior)
                ),
            );
        }
    }

    /// What speaks against the first, what the order hangs on, what no record says.
    fn doubts(&self, out: &mut String, it: &Identify) {
        for c in it.candidates.iter().take(QUARRELS_TOLD) {
            for contradiction in &c.contradictions {
                self.wrap(
                    out,
                    &format!("against {}: ", safe(&c.name)),
                    &safe(contradiction),
                );
            }
        }
        // With one observation it is no news that all hangs on it.
        let several = it.candidates.first().is_some_and(|c| c.evidence.len() > 1);
        for h in it.hinges.iter().take(3).filter(|_| several) {
            self.wrap(
                out,
                "hangs on: ",
                &format!(
                    "\"{}\"; were it wrong, {} would lead ({})",
                    safe(short(&h.observation)),
                    safe(&h.leader.name),
                    percent(h.probability)
                ),
            );
        }
        for u in it.unrecorded.iter().take(4) {
            self.wrap(
                out,
                "not recorded: ",
                &format!("{} for \"{}\"", safe(&u.candidate), safe(&u.observation)),
            );
        }
    }

    fn hazards(&self, out: &mut String, it: &Identify) {
        // What no material of the kind asked for carries is no news.
        if it.hazards.iter().all(|h| h.probability <= 0.0) {
            return;
        }
        out.push_str("\nHazards not excluded by a clean negative test\n");
        for h in it.hazards.iter().filter(|h| h.probability > 0.0) {
            let test = h.test.as_ref().map_or(String::new(), |test| {
                format!("; excluded by a negative {} on a clean crumb", test.name)
            });
            self.wrap(
                out,
                "- ",
                &format!("{} ({}){test}", hazard(h.hazard), percent(h.probability)),
            );
        }
    }

    /// Tests that the gate does not let do yet.
    fn refused(&self, out: &mut String, it: &Identify) {
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
            let mut cells = vec![safe(&e.observation), decibels(e.weight_db)];
            cells.extend(rival.map(|r| {
                r.evidence
                    .get(k)
                    .map_or(String::new(), |e| decibels(e.weight_db))
            }));
            cells.push(format!("{}{basis}", safe(&e.expected)));
            table.add_row(cells);
        }
        self.push(out, &mut table);
    }
}

/// An observation without its notes.
fn short(observation: &str) -> &str {
    observation
        .split_once(" (")
        .map_or(observation, |(plain, _)| plain)
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

/// What is said of it in a sentence.
fn verdict(it: &Identify) -> String {
    let name = |id: &str| {
        it.candidates
            .iter()
            .find(|c| c.id == id)
            .map_or(id.to_owned(), |c| c.name.clone())
    };
    match &it.conclusion {
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
        Conclusion::NotEnough => match it.next_tests.first() {
            Some(next) => format!(
                "Not enough to say; test first: {}.",
                safe(&next.offer.called())
            ),
            None => "Not enough to say, and no test is left that would tell more.".to_owned(),
        },
        Conclusion::Contradicts => {
            "The observations contradict one another or every record; repeat the tests before \
                 trusting any of this."
                .to_owned()
        }
    }
}
