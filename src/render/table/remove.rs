//! How to take it off.

use std::fmt::Write as _;

use super::{Paper, grounds, percent, some, stack};
use crate::answer::{Call, Entry, Held, Idle, LayerHarm, NOT_HERE, Reason, Remove, RuledOut, Rung};
use crate::model::Verdict;
use crate::render::safe;

/// Reasons named in a table; the data form has them all.
const REASONS: usize = 3;
/// Agents or methods named in one row of what is ruled out.
const NAMED_TOGETHER: usize = 4;
/// Liquids named with a method that is ruled out with them.
const WITH: usize = 3;
/// Rows of what is ruled out.
const RULED_OUT_ROWS: usize = 8;
/// Liquids named as doing nothing.
const IDLE_NAMED: usize = 10;
/// Parts of what is said of clearing, and of what stays, that a table shows.
const CLEARED: usize = 3;
const STAYING: usize = 2;
/// Materials named that it may be, and below what probability of the first they are but examples.
const NAMES: usize = 3;
const OPEN: f64 = 0.15;
/// Liquids named as held back.
const HELD_NAMED: usize = 6;

impl Paper {
    pub(super) fn remove(&self, out: &mut String, it: &Remove) {
        let target: Vec<String> = it
            .target
            .iter()
            .take(NAMES)
            .map(|it| {
                if it.probability >= 0.995 {
                    it.name.clone()
                } else {
                    format!("{} {}", it.name, percent(it.probability))
                }
            })
            .collect();
        let mut target = safe(&target.join(", "));
        if it.target.len() > NAMES && it.target[0].probability < OPEN {
            target.push_str(
                " and others: what it is stands open. `identify` it first: all that is seen and tried \
                 makes this plan shorter and safer",
            );
        }
        self.wrap(out, "Take off: ", &target);
        self.wrap(out, "From: ", &safe(&stack(&it.layers)));
        if let (Some(first), None) = (it.ladder.first(), &it.leave) {
            let begin = format!("{} ({})", safe(&title(first)), first.call.word());
            self.wrap(out, "Mildest step: ", &begin);
            if first.call == Call::TestFirst
                && let Some(borne) = it.ladder.iter().find(|r| r.call == Call::Recommended)
            {
                let text = format!("{} (rung {})", safe(&title(borne)), borne.rank);
                self.wrap(out, "Mildest that every layer is recorded to bear: ", &text);
            }
        }
        if let Some(leave) = &it.leave {
            self.reason(out, "Leave it? ", leave);
        }
        if !it.before.is_empty() {
            out.push_str("\nFirst\n");
            for b in &it.before {
                self.wrap(out, "- ", &format!("{}: {}", safe(&b.what), safe(&b.why)));
            }
        }
        out.push('\n');
        if it.ladder.is_empty() {
            out.push_str("There is no step that nothing forbids.\n");
        } else {
            self.ladder(out, it);
        }
        if !it.ruled_out.is_empty() {
            self.ruled_out(out, &it.ruled_out);
        }
        if !it.idle.is_empty() {
            out.push('\n');
            self.wrap(out, "Does nothing to it, on record: ", &idle(&it.idle));
        }
        self.held_back(out, it);
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
                safe(&contact(r)),
            ]);
        }
        self.push(out, &mut table);
        let shared = shared(&it.ladder);
        if !shared.is_empty() {
            out.push('\n');
        }
        for reason in &shared {
            self.reason(out, "every step is a test: ", reason);
        }
        for (k, r) in it.ladder.iter().enumerate() {
            let like = it.ladder[..k].iter().find(|other| told_alike(other, r));
            self.rung(out, r, &shared, like);
        }
        if it.considered > it.ladder.len() {
            out.push('\n');
            let shown = match it.ladder.len() {
                1 => "this one is the mildest".to_owned(),
                n => format!("the {n} above differ most in what they do"),
            };
            let text = format!(
                "{} steps were weighed that nothing forbids; {shown}",
                it.considered
            );
            self.wrap(out, "", &text);
        }
    }

    fn rung(&self, out: &mut String, r: &Rung, shared: &[&Reason], like: Option<&Rung>) {
        out.push('\n');
        self.wrap(out, &format!("{}. ", r.rank), &safe(&title(r)));
        let own: Vec<&Reason> = r.reasons.iter().filter(|x| !shared.contains(x)).collect();
        for reason in own.iter().take(REASONS) {
            self.reason(out, "   why a test: ", reason);
        }
        if own.len() > REASONS {
            let _ = writeln!(out, "   and {} more (--format json)", own.len() - REASONS);
        }
        let note = r.effect.notes.first();
        if note.is_some() || !r.effect.sources.is_empty() {
            let mut text = safe(note.unwrap_or(&r.effect.response));
            // What was seen on this object says so itself.
            if r.effect.basis != "tried" {
                let _ = write!(text, " [{}]", grounds(&r.effect.sources, &r.effect.basis));
            }
            self.wrap(out, "   record: ", &text);
        }
        if let Some(like) = like {
            let text = format!("as on rung {}", like.rank);
            self.wrap(out, "   watch, stop, clear, stays: ", &text);
        } else {
            if !r.watch.is_empty() {
                self.wrap(out, "   watch: ", &safe(&r.watch));
            }
            self.wrap(out, "   stop: ", &safe(&r.stop));
            if !r.clearance.is_empty() {
                self.wrap(out, "   clear: ", &safe(&opening(&r.clearance, CLEARED)));
            }
            if !r.residue.is_empty() {
                self.wrap(out, "   stays: ", &safe(&opening(&r.residue, STAYING)));
            }
        }
        if !r.fails.is_empty() {
            self.wrap(out, "   if it fails: ", &safe(&r.fails));
        }
        if !r.hazards.is_empty() {
            let list: Vec<&str> = r.hazards.iter().map(|h| h.word()).collect();
            self.wrap(out, "   hazards: ", &list.join(", "));
        }
    }

    fn held_back(&self, out: &mut String, it: &Remove) {
        let mut harsher: Vec<&str> = Vec::new();
        let mut milder: Vec<&str> = Vec::new();
        let mut little: Vec<&str> = Vec::new();
        let mut kin: Vec<&str> = Vec::new();
        let mut harmed: Vec<String> = Vec::new();
        for held in &it.held_back {
            match &held.why {
                Held::MilderDoes { by } => {
                    harsher.push(&held.name);
                    for Entry { name, .. } in by {
                        if !milder.contains(&name.as_str()) {
                            milder.push(name);
                        }
                    }
                }
                Held::ActsOnLittle => little.push(&held.name),
                Held::KinHarmed { by, layer } => {
                    kin.push(&held.name);
                    let who = format!("{} harmed {layer}", by.name);
                    if !harmed.contains(&who) {
                        harmed.push(who);
                    }
                }
            }
        }
        if !kin.is_empty() {
            out.push('\n');
            let text = format!(
                "{} ({}); tried on that layer alone and borne, it comes back by `given`",
                some(&kin, HELD_NAMED),
                harmed.join(", ")
            );
            self.wrap(out, "Held back, for its like did harm here: ", &safe(&text));
        }
        if !harsher.is_empty() {
            out.push('\n');
            let text = format!(
                "{}. In their place: {}; what fails is said with `given`, and they come back",
                some(&harsher, HELD_NAMED),
                some(&milder, HELD_NAMED)
            );
            self.wrap(
                out,
                "Held back, for a milder one does as much: ",
                &safe(&text),
            );
        }
        if !little.is_empty() {
            out.push('\n');
            let text = some(&little, HELD_NAMED);
            self.wrap(
                out,
                "Held back, for it acts on little of it: ",
                &safe(&text),
            );
        }
    }

    fn ruled_out(&self, out: &mut String, rows: &[RuledOut]) {
        out.push('\n');
        // What would have worked comes first: it is what a hand reaches for.
        let mut order: Vec<&RuledOut> = rows.iter().collect();
        order.sort_by_cached_key(|r| {
            let tempting = matches!(
                r.effect.as_str(),
                "dissolves" | "partly dissolves" | "swells" | NOT_HERE
            );
            (
                !tempting,
                r.harm.iter().all(|h| h.layer.is_empty()),
                r.id.clone(),
            )
        });
        // What is ruled out on the same ground stands in one row.
        let mut groups: Vec<(String, String, Vec<&RuledOut>)> = Vec::new();
        for r in order {
            let worst = worst(&r.harm);
            let layer = worst.map_or(String::new(), |h| h.layer.clone());
            let reason = worst.map_or(String::new(), |h| {
                format!(
                    "{} [{}]",
                    h.reason,
                    grounds(&h.footing.sources(), h.footing.word())
                )
            });
            match groups
                .iter_mut()
                .find(|(l, why, _)| *l == layer && *why == reason)
            {
                Some((_, _, list)) => list.push(r),
                None => groups.push((layer, reason, vec![r])),
            }
        }
        let mut table = self.grid(&["ruled out", "harms", "because"]);
        for (layer, reason, list) in groups.iter().take(RULED_OUT_ROWS) {
            let list = called(list);
            let mut what = list[..list.len().min(NAMED_TOGETHER)].join("; ");
            if list.len() > NAMED_TOGETHER {
                let _ = write!(what, "; and {} more", list.len() - NAMED_TOGETHER);
            }
            table.add_row([safe(&what), safe(layer), safe(reason)]);
        }
        self.push(out, &mut table);
        if groups.len() > RULED_OUT_ROWS {
            let _ = writeln!(
                out,
                "{} more grounds (--format json lists all)",
                groups.len() - RULED_OUT_ROWS
            );
        }
    }
}

/// What is ruled out on one ground: liquids by their names, and methods, each with its liquids where it is not
/// ruled out with all of them.
fn called(rows: &[&RuledOut]) -> Vec<String> {
    let mut out: Vec<(Option<&str>, Vec<&str>)> = Vec::new();
    for r in rows {
        let method = r.method.as_ref().map(|it| it.name.as_str());
        let agent = r.agent.as_ref().map(|it| it.name.as_str());
        match out
            .iter_mut()
            .find(|(own, _)| own.is_some() && *own == method)
        {
            Some((_, agents)) => agents.extend(agent),
            None => out.push((method, agent.into_iter().collect())),
        }
    }
    let whole = |name: &str| {
        let alone = |r: &&&RuledOut| r.agent.is_none();
        let mut methods = rows.iter().filter(alone).filter_map(|r| r.method.as_ref());
        methods.any(|it| it.name == name)
    };
    out.into_iter()
        .map(|(method, agents)| match method {
            Some(method) if agents.is_empty() || whole(method) => method.to_owned(),
            Some(method) => format!("{method} with {}", some(&agents, WITH)),
            None => agents.join(", "),
        })
        .collect()
}

/// What does nothing, each group with what says so.
fn idle(list: &[Idle]) -> String {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for it in list.iter().take(IDLE_NAMED) {
        let says = grounds(&it.sources, &it.basis);
        match groups.iter_mut().find(|(own, _)| *own == says) {
            Some((_, names)) => names.push(&it.name),
            None => groups.push((says, vec![&it.name])),
        }
    }
    let groups: Vec<String> = groups
        .into_iter()
        .map(|(says, names)| format!("{} [{says}]", safe(&names.join(", "))))
        .collect();
    let mut text = groups.join("; ");
    if list.len() > IDLE_NAMED {
        let _ = write!(text, "; and {} more", list.len() - IDLE_NAMED);
    }
    text
}

/// The first parts of a text, and how many more there are. The records say first what counts most.
fn opening(text: &str, most: usize) -> String {
    let parts: Vec<&str> = text.split("; ").collect();
    if parts.len() <= most + 1 {
        return text.to_owned();
    }
    let more = parts.len() - most;
    format!(
        "{} (and {more} more, --format json)",
        parts[..most].join("; ")
    )
}

pub(super) fn title(r: &Rung) -> String {
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

/// Whether the hand does the same on two rungs, only with another liquid.
fn told_alike(one: &Rung, other: &Rung) -> bool {
    (&one.watch, &one.stop, &one.clearance, &one.residue)
        == (&other.watch, &other.stop, &other.clearance, &other.residue)
}

/// Contact time and, where it is a number of them, passes.
fn contact(r: &Rung) -> String {
    let passes = r.passes.split([';', ',']).next().unwrap_or_default();
    if passes.is_empty() {
        r.dwell.clone()
    } else if r.dwell.is_empty() {
        passes.to_owned()
    } else if passes.ends_with(|c: char| c.is_ascii_digit()) {
        format!("{}; {passes} passes", r.dwell)
    } else {
        format!("{}; {passes}", r.dwell)
    }
}

/// Reasons that stand on every rung: they are said once, above them.
fn shared(ladder: &[Rung]) -> Vec<&Reason> {
    let [first, rest @ ..] = ladder else {
        return Vec::new();
    };
    if rest.is_empty() {
        return Vec::new();
    }
    first
        .reasons
        .iter()
        .filter(|x| rest.iter().all(|r| r.reasons.contains(x)))
        .collect()
}

/// The row to show: a named layer before a rule that names none.
fn worst(harm: &[LayerHarm]) -> Option<&LayerHarm> {
    harm.iter()
        .filter(|h| h.verdict == Some(Verdict::Harms))
        .min_by_key(|h| h.layer.is_empty())
        // Of a way that is kept to other layers no verdict is on record.
        .or_else(|| harm.first())
}
