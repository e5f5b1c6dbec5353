//! Solutions and air as tables.

use std::fmt::Write as _;

use comfy_table::Cell;

use super::{Paper, keys, safe};
use crate::answer::{
    AirNeeded, BufferSeen, Fire, GelSeen, InAir, Prepare, Recipe, Shown, Ventilate,
};
use crate::gate::Caveat;
use crate::units::{four_figures as figure, three_figures as short};

impl Paper {
    pub(super) fn prepare(&self, out: &mut String, it: &Prepare) {
        self.wrap(out, "Prepare ", &safe(&it.title));
        for recipe in &it.recipes {
            out.push('\n');
            self.recipe(out, recipe);
        }
        if it.recipes.len() > 1 {
            self.wrap(
                out,
                "",
                "Both readings are in use: write on the label which one was made.",
            );
        }
        for d in &it.dissolving {
            let says = if d.response.is_empty() {
                "not recorded".to_owned()
            } else {
                format!("{} [{}]", d.response, keys(&d.sources, &d.basis))
            };
            self.wrap(
                out,
                "",
                &safe(&format!("{} in {}: {says}", d.solute, d.solvent)),
            );
            for note in &d.notes {
                self.wrap(out, "  - ", &safe(note));
            }
        }
        if let Some(buffer) = &it.buffer {
            self.buffer(out, buffer);
        }
        if let Some((value, molar)) = it.conductivity {
            self.wrap(
                out,
                "",
                &format!(
                    "Conductivity: about {} uS/cm at 25 C for {} mol/l; measure it.",
                    figure(value),
                    short(molar)
                ),
            );
        }
        let weighed = it
            .recipes
            .iter()
            .flat_map(|r| &r.lines)
            .any(|l| l.grams.is_some());
        if weighed && !it.balance.stated {
            self.wrap(
                out,
                "",
                &format!(
                    "The balance is taken to read to {} g (not stated: `with balance 0.1 g`).",
                    figure(it.balance.value)
                ),
            );
        }
        self.numbered(out, "Order of work", &it.order);
        if let Some(gel) = &it.gel {
            self.gel(out, gel);
        }
        self.conditions(out, it.vessel.caveats());
        self.listed(out, "Mind", &it.mind);
        self.listed(out, "Not known", &it.gaps);
        self.facts(out, &it.facts);
    }

    fn recipe(&self, out: &mut String, it: &Recipe) {
        self.wrap(out, "", &safe(&it.reading));
        let mut table = self.grid(&["what", "g", "ml", "how"]);
        for line in &it.lines {
            table.add_row([
                Cell::new(safe(&line.what)),
                Cell::new(line.weighed()),
                Cell::new(line.measured()),
                Cell::new(safe(&line.note)),
            ]);
        }
        self.push(out, &mut table);
        let mut says: Vec<String> = Vec::new();
        match (it.total_ml, it.total_g) {
            (Some(ml), Some(g)) => {
                says.push(format!("comes to {} ml, {} g", figure(ml), figure(g)))
            }
            (Some(ml), None) => says.push(format!("comes to {} ml", figure(ml))),
            (None, Some(g)) => says.push(format!("comes to {} g", figure(g))),
            (None, None) => {}
        }
        if !it.strengths.is_empty() {
            let list: Vec<String> = it
                .strengths
                .iter()
                .map(|(unit, value)| format!("{} {unit}", short(*value)))
                .collect();
            says.push(list.join(" = "));
        }
        if let Some(spread) = it.spread {
            says.push(format!(
                "strength ± {:.1} % by balance and vessel",
                100.0 * spread
            ));
        }
        if !says.is_empty() {
            self.wrap(out, "", &format!("{}.", says.join("; ")));
        }
    }

    fn buffer(&self, out: &mut String, it: &BufferSeen) {
        let stated = if it.celsius.stated {
            ""
        } else {
            " (not stated)"
        };
        self.wrap(
            out,
            "",
            &format!(
                "{}: pKa' {:.2} at {} C{stated} and ionic strength {} mol/l; holds from about pH {:.1} to {:.1}; \
                 {} mol/l of strong acid or alkali move it by one unit ({}).",
                it.name,
                it.pk,
                figure(it.celsius.value),
                figure(it.ionic),
                it.range.0,
                it.range.1,
                figure(it.capacity),
                it.basis
            ),
        );
        let elsewhere: Vec<String> = it
            .elsewhere
            .iter()
            .map(|(t, ph)| format!("{ph:.2} at {} C", figure(*t)))
            .collect();
        self.wrap(
            out,
            "",
            &format!("The same solution reads pH {}.", elsewhere.join(", ")),
        );
        match it.conductivity {
            Some(value) => self.wrap(
                out,
                "",
                &format!(
                    "Conductivity: about {} uS/cm at 25 C, to a tenth; measure it.",
                    figure(value)
                ),
            ),
            None => self.wrap(
                out,
                "",
                "Conductivity: not reckoned, an ion of it is not on file; measure it.",
            ),
        }
    }

    fn gel(&self, out: &mut String, it: &GelSeen) {
        let amount = match it.grams {
            Some((a, b)) if (b - a).abs() < 1e-9 => format!("{} g", figure(a)),
            Some((a, b)) => format!("{} to {} g", figure(a), figure(b)),
            None => "amount not recorded".to_owned(),
        };
        let share = if it.share.is_empty() {
            String::new()
        } else {
            format!(" ({})", it.share)
        };
        out.push('\n');
        self.wrap(
            out,
            "Gel: ",
            &safe(&format!("{} of {}{share}", amount, it.name)),
        );
        for (k, step) in it.how.iter().enumerate() {
            self.wrap(out, &format!("  {}. ", k + 1), &safe(step));
        }
        for (what, says) in &it.mind {
            self.wrap(out, "  - ", &safe(&format!("{what}: {says}")));
        }
    }

    pub(super) fn ventilate(&self, out: &mut String, it: &Ventilate) {
        self.wrap(out, "Air ", &safe(&it.title));
        for flag in &it.flags {
            self.wrap(out, "! ", &safe(flag));
        }
        let stated = if it.mixing.stated {
            ""
        } else {
            " (not stated)"
        };
        self.wrap(
            out,
            "",
            &format!(
                "Mixing factor {}{stated}: the sums use {} m3/h, {} air changes in an hour.",
                figure(it.mixing.value),
                short(it.air / it.mixing.value),
                short(it.air / it.mixing.value / it.room)
            ),
        );
        out.push('\n');
        self.in_the_room(out, it);
        out.push('\n');
        self.limits(out, &it.parts);
        out.push('\n');
        self.against_limits(out, it);
        self.over_the_liquid(out, &it.fire);
        out.push('\n');
        self.air_that_would_do(out, &it.needed);
        self.conditions(out, it.vessel.caveats());
        self.listed(out, "Mind", &it.mind);
        let mut gaps = it.gaps.clone();
        gaps.extend(it.parts.iter().flat_map(|p| p.notes.iter().cloned()));
        self.listed(out, "Not known", &gaps);
        self.facts(out, &it.facts);
    }

    /// How much of each liquid the air of the room comes to hold.
    fn in_the_room(&self, out: &mut String, it: &Ventilate) {
        let mut table = self.grid(&[
            "ppm in the room",
            "at its end",
            "mean",
            "worst 15 min",
            "8 h",
            "if it went on",
        ]);
        for part in &it.parts {
            let cell = |v: Option<f64>| Cell::new(v.map_or_else(|| "?".to_owned(), short));
            let name = part.grams.map_or_else(
                || part.name.clone(),
                |g| format!("{}, {} g", part.name, short(g)),
            );
            table.add_row([
                Cell::new(safe(&name)),
                cell(part.peak),
                cell(part.mean),
                cell(part.quarter),
                cell(part.day),
                if it.air > 0.0 {
                    cell(part.steady)
                } else {
                    Cell::new("no end")
                },
            ]);
        }
        self.push(out, &mut table);
        if let Some((tenth, hundredth)) = it.clearing {
            self.wrap(
                out,
                "",
                &format!(
                    "After it stops: a tenth is left after {} min, a hundredth after {} min.",
                    short(tenth),
                    short(hundredth)
                ),
            );
        }
    }

    /// What the air comes to hold beside what it may: the limits of exposure, and of fire.
    fn against_limits(&self, out: &mut String, it: &Ventilate) {
        let mut table = self.grid(&["against the limits", "room", "at the tray, x 10", "verdict"]);
        for b in &it.burdens {
            let sum = |value: f64| match (b.unknown.is_empty(), value > 0.0) {
                (true, _) => short(value),
                (false, true) => format!(">= {}", short(value)),
                (false, false) => "unknown".to_owned(),
            };
            table.add_row([
                Cell::new(format!("{}, sum of C/L", b.over)),
                Cell::new(sum(b.room)),
                Cell::new(sum(b.near)),
                Cell::new(safe(&b.in_words())),
            ]);
        }
        let fire = &it.fire;
        let least = if fire.unknown.is_empty() { "" } else { ">= " };
        table.add_row([
            Cell::new("fire, share of LFL"),
            Cell::new(format!("{least}{}", short(fire.room))),
            Cell::new(format!("{least}{}", short(fire.near))),
            Cell::new(fire.verdict.in_words()),
        ]);
        self.push(out, &mut table);
        if !it.flags.is_empty() {
            self.wrap(
                out,
                "",
                "What is flagged above stays flagged, whatever the sums: a limit that is kept is no proof of safety.",
            );
        }
    }

    fn over_the_liquid(&self, out: &mut String, fire: &Fire) {
        let Some(over) = fire.over_liquid else { return };
        let flash = fire.flash.as_ref().map_or_else(String::new, |(t, name)| {
            format!("; flash point {} C ({name})", figure(*t))
        });
        let says = if over >= 1.0 {
            "between it and clean air it can light, whatever the room"
        } else {
            "too lean to light there at 25 C"
        };
        self.wrap(
            out,
            "",
            &safe(&format!(
                "Right over the liquid: {} times the lower flammable limit at 25 C, ideal mixing: {says}{flash}.",
                short(over)
            )),
        );
    }

    fn air_that_would_do(&self, out: &mut String, needed: &[AirNeeded]) {
        let mut table = self.grid(&["air that would do, for", "m3/h", "air changes"]);
        for n in needed {
            let cell = |v: Option<f64>| match v {
                None => "no air does it".to_owned(),
                Some(v) if v <= 0.0 => "none".to_owned(),
                Some(v) if v < 0.1 => "< 0.1".to_owned(),
                Some(v) => short(v),
            };
            let far = n.changes.is_some_and(|c| c > 15.0);
            let changes = if far {
                format!("{}: no room fan, extract at the work", cell(n.changes))
            } else {
                cell(n.changes)
            };
            table.add_row([
                Cell::new(safe(&n.goal)),
                Cell::new(cell(n.air)),
                Cell::new(changes),
            ]);
        }
        self.push(out, &mut table);
    }

    fn limits(&self, out: &mut String, parts: &[InAir]) {
        let mut table = self.grid(&[
            "lowest limit on file",
            "over",
            "ppm",
            "whose; source of",
            "basis",
        ]);
        for part in parts {
            if part.harmless {
                continue;
            }
            let all = [
                ("8 h", &part.limit_day),
                ("15 min", &part.limit_quarter),
                ("ceiling", &part.limit_ceiling),
            ];
            for (over, limit) in all {
                match limit {
                    Some(limit) => {
                        table.add_row([
                            Cell::new(safe(&part.name)),
                            Cell::new(over),
                            Cell::new(figure(limit.ppm)),
                            Cell::new(safe(&limit.whose())),
                            Cell::new(keys(&limit.sources, &limit.basis)),
                        ]);
                    }
                    None if over != "ceiling" => {
                        table.add_row([
                            Cell::new(safe(&part.name)),
                            Cell::new(over),
                            Cell::new("unknown"),
                            Cell::new("none on file"),
                            Cell::new(""),
                        ]);
                    }
                    None => {}
                }
            }
        }
        self.push(out, &mut table);
    }

    fn conditions(&self, out: &mut String, list: &[Caveat]) {
        let says: Vec<String> = list
            .iter()
            .map(|c| format!("{}: {}", c.rule.says, c.rule.why))
            .collect();
        self.listed(out, "First, or only if", &says);
    }

    fn listed(&self, out: &mut String, title: &str, list: &[String]) {
        if list.is_empty() {
            return;
        }
        let _ = writeln!(out, "\n{title}");
        for text in list {
            self.wrap(out, "- ", &safe(text));
        }
    }

    fn numbered(&self, out: &mut String, title: &str, list: &[String]) {
        let _ = writeln!(out, "\n{title}");
        for (k, text) in list.iter().enumerate() {
            self.wrap(out, &format!("{}. ", k + 1), &safe(text));
        }
    }

    /// What the sums rest on, in one paragraph.
    fn facts(&self, out: &mut String, list: &[Shown]) {
        if list.is_empty() {
            return;
        }
        let says: Vec<String> = list
            .iter()
            .map(|f| {
                let says = keys(&f.sources, &f.basis);
                format!("{} {} [{says}]", f.field, f.text)
            })
            .collect();
        out.push('\n');
        self.wrap(out, "Rests on: ", &safe(&format!("{}.", says.join("; "))));
    }
}
