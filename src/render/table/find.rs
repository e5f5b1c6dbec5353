//! Tables of records.

use std::fmt::Write as _;

use comfy_table::LineStyle;

use super::{Paper, some};
use crate::answer::{Extent, Find, Match, Shown, shortened};
use crate::model::Verdict;
use crate::order::Arrange;
use crate::render::{safe, shown};

/// Fields of which nothing is left out at a glance: people and the object depend on them.
const GRAVE: [&str; 3] = ["caution", "hazards", "legal"];
/// Basis of what no source was found for.
const RECALLED: &str = "memory";
/// What a bench tries first, in the order that is common practice: looks, then liquids from weak to strong.
const BENCH: [&str; 18] = [
    "uv",
    "colour",
    "texture",
    "hardness",
    "odour",
    "needle",
    "lens",
    "float",
    "water",
    "warm-water",
    "white-spirit",
    "ethanol",
    "propan-2-ol",
    "acetone",
    "toluene",
    "dichloromethane",
    "dilute-ammonia",
    "dilute-acid",
];
/// Materials that are named for an outcome of a test.
const NAMES: usize = 8;
/// Letters of a condition that are repeated where records are silent on it.
const CONDITION: usize = 60;

/// What one group of a record's facts states of one field.
struct Group<'a> {
    name: &'a str,
    claims: Vec<Said<'a>>,
}

/// A value, with its note where that must be read, and what says so: the first source or kind of basis, and
/// how many more there are.
struct Said<'a> {
    text: &'a str,
    note: &'a str,
    by: &'a str,
    more: usize,
}

impl<'a> Group<'a> {
    fn add(&mut self, value: &'a Shown) {
        // Nobody should read that something is safe without what is said of it.
        let is_grave = GRAVE.contains(&value.field.as_str()) || value.text == Verdict::Safe.word();
        let note = if is_grave { value.note.as_str() } else { "" };
        let same = |it: &&mut Said| (it.text, it.note) == (value.text.as_str(), note);
        match self.claims.iter_mut().find(same) {
            Some(said) => said.more += value.sources.len().max(1),
            None => self.claims.push(Said {
                text: &value.text,
                note,
                by: value.sources.first().unwrap_or(&value.basis),
                more: value.sources.len().saturating_sub(1),
            }),
        }
    }

    /// Writes its claims in one line, behind the name of the group; what holds at any age is said so only
    /// beside others.
    fn line(&self, several: bool, out: &mut String) {
        match self.name {
            "always" if several => out.push_str("at any age: "),
            "" | "always" => {}
            name => {
                // What layers bear is told by their state.
                let state = name.strip_prefix("harm ");
                out.push_str(if state.is_some() { "when " } else { "" });
                out.push_str(state.unwrap_or(name));
                out.push_str(": ");
            }
        }
        for (k, said) in self.claims.iter().enumerate() {
            let part = if k > 0 { "; " } else { "" };
            for text in [
                part,
                &shown(said.text),
                &shown(said.note),
                " [",
                &shown(said.by),
            ] {
                out.push_str(text);
            }
            if said.more > 0 {
                let _ = write!(out, " +{}", said.more);
            }
            out.push(']');
        }
    }
}

impl Paper {
    pub(super) fn find(&self, out: &mut String, it: &Find) {
        if it.matches.is_empty() {
            out.push_str("Nothing on record matches.\n");
        } else if let ([one], Extent::Brief) = (&it.matches[..], it.extent) {
            self.brief(out, one, it);
        } else if let ([one], Extent::Asked | Extent::Whole) = (&it.matches[..], it.extent) {
            self.record(out, one);
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
                    .map(|s| {
                        format!(
                            "{} on `{}`",
                            s.records,
                            shortened(&safe(&s.condition), CONDITION)
                        )
                    })
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
        let told = shown.is_empty() && rows.iter().any(|row| !row.summary.is_empty());
        if told {
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
                        basis => format!("{} [{basis}]", safe(&v.whole())),
                    })
                    .collect();
                cells.push(values.join("\n"));
            }
            if told {
                cells.push(safe(&row.summary));
            }
            table.add_row(cells);
        }
        self.push(out, &mut table);
    }

    /// A record at a glance: a line a field, and in it what each group of its facts states, each value once
    /// with what it rests on. No table: two columns want no rules, and to be read at once.
    fn brief(&self, out: &mut String, row: &Match, it: &Find) {
        self.head(out, row);
        if row.values.is_empty() {
            return;
        }
        let mut fields: Vec<(&str, Vec<Group>)> = Vec::with_capacity(row.values.len());
        for value in &row.values {
            let groups = match fields.iter_mut().find(|(field, _)| *field == value.field) {
                Some((_, groups)) => groups,
                None => &mut fields.push_mut((&value.field, Vec::with_capacity(1))).1,
            };
            let group = match groups.iter_mut().find(|it| it.name == value.group) {
                Some(group) => group,
                None => groups.push_mut(Group {
                    name: &value.group,
                    // Mostly one.
                    claims: Vec::with_capacity(1),
                }),
            };
            group.add(value);
        }
        out.push('\n');
        let differs = fields
            .iter()
            .flat_map(|(_, groups)| groups)
            .filter(|it| it.name.starts_with("harm "))
            .any(|it| it.claims.iter().any(|said| said.text != it.claims[0].text));
        // What is tried first stands first of what was tried; the rest as it is recorded.
        let is_tried = |groups: &[Group]| groups.iter().all(|it| !it.name.is_empty());
        let place = |field: &str| BENCH.iter().position(|it| *it == field);
        let key = |(field, groups): &(&str, Vec<Group>)| match is_tried(groups) {
            true => 1 + place(field).unwrap_or(BENCH.len()),
            false => 0,
        };
        let mut fields: Vec<_> = fields.into_iter().map(|it| (key(&it), it)).collect();
        fields.arrange_by_key(|(key, _)| *key);
        let names = fields.iter().map(|(_, (field, _))| field.chars().count());
        let indent = names.max().unwrap_or(0) + 2;
        let blank = " ".repeat(indent);
        // Of a long record some hundred lines are made.
        let (mut lead, mut line) = (String::new(), String::new());
        for (_, (field, groups)) in fields {
            line.clear();
            if self.spoken {
                for (k, it) in groups.iter().enumerate() {
                    line.push_str(if k > 0 { "; " } else { "" });
                    it.line(groups.len() > 1, &mut line);
                }
                self.wrap(out, &format!("{field}: "), &line);
                continue;
            }
            lead.clear();
            let _ = write!(lead, "{field:indent$}");
            for (k, it) in groups.iter().enumerate() {
                line.clear();
                it.line(groups.len() > 1, &mut line);
                let lead = if k > 0 { &blank } else { &lead };
                self.wrap_beneath(out, lead, indent, &line);
            }
        }
        if !it.answers.is_empty() {
            out.push_str("\nOn record, as its only outcome\n");
        }
        for answer in &it.answers {
            let names: Vec<&str> = answer.materials.iter().map(String::as_str).collect();
            let names = safe(&some(&names, NAMES));
            self.wrap(out, &format!("{}: ", safe(&answer.outcome)), &names);
        }
        out.push('\n');
        if differs {
            self.wrap(
                out,
                "",
                "Where verdicts differ, a plan keeps to the harsher.",
            );
        }
        if row.values.iter().any(|value| value.basis == RECALLED) {
            self.wrap(out, "", "[memory]: check on a crumb.");
        }
        // What begins with a figure would be read as a number.
        let id = match row.id.starts_with(char::is_alphabetic) {
            true => row.id.clone(),
            false => format!("\"{}\"", row.id),
        };
        // `limit` is a word of the language.
        let mut fields = row.values.iter().map(|value| value.field.as_str());
        let part = match fields.find(|field| *field != "limit") {
            Some(field) => format!(", or of one line `find {id} show {field}`"),
            None => String::new(),
        };
        let more = format!(
            "In brackets who says so, [… +2] with two more. With notes, pages and sources: \
             `find {id} show all`{part}"
        );
        self.wrap(out, "", &more);
    }

    fn head(&self, out: &mut String, row: &Match) {
        let _ = writeln!(out, "{} ({}, {})", safe(&row.name), row.kind.noun(), row.id);
        if !row.summary.is_empty() {
            self.wrap(out, "", &safe(&row.summary));
        }
    }

    fn record(&self, out: &mut String, row: &Match) {
        self.head(out, row);
        let mut table = self.grid(&["field", "recorded", "basis"]);
        // Every row begins with its field: no rule is needed to part them, and a record is long.
        table.style_mut().row_separator = LineStyle::none();
        for value in &row.values {
            let told = match value.basis.as_str() {
                "" => "not recorded".to_owned(),
                _ => safe(&value.whole()),
            };
            table.add_row([value.called(), told, safe(&value.basis)]);
        }
        self.push(out, &mut table);
    }
}
