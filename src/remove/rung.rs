//! A step as the bench reads it: how long, how often, what to look for, when to stop, how to clear
//! it, and what to do when it fails.

use std::rc::Rc;

use super::besides::Lines;
use super::effect::Seen;
use super::harm;
use super::{Plan, Weighed, site};
use crate::answer::{Call, EffectSeen, LayerHarm, Reason, Rung, TRIED};
use crate::gate::{self, Gate, Passed};
use crate::model::scene::{Origin, Step};
use crate::model::{Action, Basis, Equipment, Facts, Site, Value, Verdict};
use crate::units::{Dimension, Reading};

/// Coverage from which a step may be recommended outright.
const ENOUGH: f64 = 0.5;
/// Share of what this may be whose record is of the fresh film alone, from which that is told.
const YOUNG: f64 = 0.2;
/// What a method's record says to look for that stands on the rung; the rest are remarks.
const WATCHED: usize = 3;
/// Rules that let a liquid lie for minutes only, whatever the method's record says of other layers.
const MINUTES: [&str; 4] = [
    "solvent-compress-on-paint",
    "compress-on-ivory",
    "compress-on-lacquer",
    "water-lies-for-minutes",
];
/// The longest contact that they leave, minutes, before it is lifted to look. Judgment: as long as a
/// solvent gel is left.
const MINUTES_MOST: f64 = 10.0;
/// A swab takes up by itself what it rolls off.
const SWAB: &str = "swab";
/// Words of an opening that says what a line is about; a longer one is part of the sentence.
const ABOUT_MOST: usize = 3;

/// The rung of a step that passed.
pub(super) fn rung(
    means: &Equipment,
    rank: usize,
    (passed, weighed, harm): (Passed<Step>, Rc<Weighed<'_>>, Vec<LayerHarm>),
    plan: &Plan,
    gate: &Gate<'_>,
) -> Rung {
    let mut doubts = Doubts::of(&passed, &weighed, &harm, plan);
    let then = finish(
        means,
        passed.get(),
        &weighed.effect,
        plan,
        gate,
        &mut doubts,
    );
    let step = passed.get();
    let facts = &step.method.head.facts;
    let carrier: Vec<&Facts> = step.carrier.iter().map(|c| &c.head.facts).collect();
    let both = [&[facts], &carrier[..]].concat();
    let (dwell_min, dwell) = contact(&passed);
    let (watch, remarks) = watch(step, plan);
    let meant = |lists: &[&Facts], key| -> Vec<String> {
        let mut lines = texts(lists, key);
        lines.retain(|line| is_to_the_point(line, step, plan));
        lines
    };
    let mut stop = meant(&[facts], "stop").join("; ");
    if stop.is_empty() {
        stop.push_str("colour that comes off, change of gloss, softening: stop at once");
    }
    Rung {
        rank,
        call: doubts.call(),
        effect: expected(&weighed.effect),
        harm,
        reasons: doubts.0,
        dwell_min,
        dwell,
        passes: first(facts, "passes"),
        then,
        watch,
        remarks,
        stop,
        clearance: Lines::new(means, plan, gate).borne(meant(&both, "clearance")),
        residue: meant(&both, "residue").join("; "),
        fails: String::new(),
        hazards: step.hazards(),
        step: passed,
    }
}

/// What a step is expected to do, as an answer tells it.
fn expected(seen: &Seen<'_>) -> EffectSeen {
    EffectSeen {
        covers: seen.covers.min(1.0),
        unknown: seen.unknown.min(1.0),
        computed: seen.computed.min(1.0),
        response: seen.word().to_owned(),
        basis: if seen.tried {
            TRIED.to_owned()
        } else {
            Basis::words(seen.bases.iter().copied())
        },
        sources: Basis::keys(seen.bases.iter().copied()),
        places: seen.places.iter().copied().cloned().collect(),
        notes: seen.notes.iter().map(|note| (*note).to_owned()).collect(),
    }
}

/// The tool that takes up what a step leaves softened; none where the step finishes by itself. What the
/// tool does to the layers joins the doubts.
fn finish(
    means: &Equipment,
    step: &Step,
    seen: &Seen<'_>,
    plan: &Plan,
    gate: &Gate<'_>,
    doubts: &mut Doubts,
) -> Option<String> {
    let word = seen.word();
    // What goes into solution, if only in part, is taken up by what brings it or by the method's own
    // second half; a tool is for what only swells.
    let goes = matches!(word, "dissolves" | "melts" | "no effect")
        || (word == "partly dissolves" && step.method.then.is_none());
    if goes || step.method.action == Action::Mechanical {
        return None;
    }
    let follows = follow_up(means, step, plan, gate);
    if let Some(tool) = follows.refused {
        let text = match &follows.tool {
            Some((milder, _)) => {
                format!(
                    "the {tool} that takes it up is not borne here: see whether a {milder} does"
                )
            }
            None if step.method.head.id == SWAB => {
                format!("it softens only, and the {tool} that takes it up is not borne here")
            }
            None => format!("it softens only, and neither the {tool} nor a swab may follow here"),
        };
        doubts.push(text, Basis::Practice);
    }
    let (tool, harm) = follows.tool?;
    for row in &harm {
        let borne = row.verdict == Some(Verdict::Safe) || row.sheltered;
        if !borne && !doubts.mention(&row.reason) {
            let text = format!("{}, by the {tool} that follows: {}", row.layer, row.reason);
            doubts.push(text, row.footing.or_practice());
        }
    }
    Some(tool)
}

/// Contact time, minutes and in words, where a rule may allow less than the method's record.
fn contact(passed: &Passed<Step>) -> (Option<(f64, f64)>, String) {
    let recorded = dwell(&passed.get().method.head.facts);
    let is_short = passed
        .caveats()
        .iter()
        .any(|c| MINUTES.contains(&c.rule.id));
    if is_short && recorded.0.is_none_or(|(_, most)| most > MINUTES_MOST) {
        return (
            Some((1.0, MINUTES_MOST)),
            format!("1..{MINUTES_MOST:.0} min here"),
        );
    }
    recorded
}

/// What to look for: what the place asks, then what the method's record says first of this job. The rest
/// of the record's remarks come after it, apart.
fn watch(step: &Step, plan: &Plan) -> (String, Vec<String>) {
    let mut watch = site::asks(step, &plan.scene.target);
    let (mut said, mut remarks): (Vec<String>, Vec<String>) =
        texts(&[&step.method.head.facts], "watch")
            .into_iter()
            .partition(|line| is_to_the_point(line, step, plan));
    remarks.splice(0..0, said.split_off(said.len().min(WATCHED)));
    watch.extend(said);
    (watch.join("; "), remarks)
}

/// Whether a line of a method's record is meant for this job. One that opens with what it is about
/// ("epoxy: …") is left to jobs that have to do with that.
fn is_to_the_point(line: &str, step: &Step, plan: &Plan) -> bool {
    let Some((about, _)) = line.split_once(": ") else {
        return true;
    };
    if about.split_whitespace().count() > ABOUT_MOST {
        return true;
    }
    let scene = &plan.scene;
    let layers = scene.layers.iter();
    let job = scene
        .materials
        .iter()
        .flat_map(|it| [it.id.as_str(), it.family.as_str()])
        .chain([plan.called.as_str(), scene.target.site.word()])
        .chain(layers.flat_map(|l| [l.called.as_str(), l.layer.head.id.as_str(), &l.layer.group]))
        .chain(
            step.agents()
                .flat_map(|a| [a.head.id.as_str(), a.class.word()]),
        )
        .chain(site::is_deep(&scene.target).then_some("deep"));
    let job: Vec<String> = job.flat_map(words).collect();
    words(about).any(|word| job.contains(&word))
}

/// Words of a name or an id, in lower case, those of three letters or fewer left out.
fn words(text: &str) -> impl Iterator<Item = String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|w| w.len() > 3)
        .map(str::to_lowercase)
}

/// Share of its words, from which a text only repeats one that was said. Judgment.
const REPEATS: f64 = 0.75;

/// Whether a text says little that another does not: method and carrier often say the same of the rinse.
fn repeats(text: &str, said: &str) -> bool {
    let said: Vec<String> = words(said).collect();
    let own: Vec<String> = words(text).collect();
    let again = own.iter().filter(|w| said.contains(w)).count();
    !own.is_empty() && again as f64 >= REPEATS * own.len() as f64
}

/// Texts of a field in the order of the records, each once; what only opens like one that was said
/// already, or repeats it, is left out.
fn texts(lists: &[&Facts], key: &str) -> Vec<String> {
    let opening = |text: &str| {
        let first = text.split([',', ';', ':']).next().unwrap_or_default();
        first.to_lowercase()
    };
    let mut out: Vec<String> = Vec::new();
    for text in lists.iter().flat_map(|facts| facts.texts(key)) {
        let text = text.trim_end_matches('.').to_owned();
        if !out
            .iter()
            .any(|o| opening(o) == opening(&text) || repeats(&text, o))
        {
            out.push(text);
        }
    }
    // "lift", "fibre": what goes without saying beside the rest.
    if out.len() > 1 {
        out.retain(|text| text.contains(' '));
    }
    out
}

/// The first number or text of a field, as recorded.
fn first(facts: &Facts, key: &str) -> String {
    let found = facts.get(key).iter().find_map(|f| match &f.value {
        Value::Measure(quantity) => Some(quantity.literal.clone()),
        Value::Text(text) => Some(text.clone()),
        _ => None,
    });
    found.unwrap_or_default()
}

/// Says on each rung what to do when it fails. A result is worth more than the step: it goes back
/// into the question, and the ladder is ranked anew.
pub(super) fn branches(rungs: &mut [Rung], plan: &Plan, others: usize, thinned: bool) {
    let named = plan.scene.target.candidates.len() == 1;
    let joint = matches!(plan.scene.target.site, Site::OpenJoint | Site::DeepJoint);
    let titles: Vec<(Option<String>, String)> = rungs
        .iter()
        .map(|r| {
            let step = r.step.get();
            let agent = step.agent.as_ref().map(|a| a.head.id.clone());
            (agent, step.method.head.id.clone())
        })
        .collect();
    for (k, rung) in rungs.iter_mut().enumerate() {
        let step = rung.step.get();
        let note = step.agent.as_ref().map(|agent| {
            format!(
                "and ask again with `given {} is unaffected by {}`",
                plan.called, agent.head.names.name
            )
        });
        let way = match titles.get(k + 1) {
            Some((agent, method)) => {
                let how = if agent.is_some() && *agent == titles[k].0 {
                    ", the same liquid brought another way"
                } else if *method == titles[k].1 {
                    ", the same way with another liquid"
                } else {
                    ""
                };
                format!("rung {}{how}", k + 2)
            }
            None if others > 0 => "other steps are borne than those shown".to_owned(),
            None if joint => "nothing stronger is borne: leave the joint closed, or have it cut \
                              free by a plan of its own"
                .to_owned(),
            None if thinned => {
                "nothing stronger is borne: thin what disturbs by hand and leave the rest"
                    .to_owned()
            }
            None => "nothing stronger is borne, and no tool: leave it".to_owned(),
        };
        let doubt = if named {
            ""
        } else {
            ", for it may be something else"
        };
        rung.fails = match note {
            Some(note) => format!("{way}; {note}{doubt}"),
            None if others > 0 && k + 1 == titles.len() => {
                format!("{way}: ask again with what failed, as `given` says it")
            }
            None => way,
        };
    }
}

/// What takes up a film that only swells.
pub(super) struct FollowUp {
    /// The tool by name, and what it does to the layers.
    pub tool: Option<(String, Vec<LayerHarm>)>,
    /// The tool that would have come first, where the gate refuses it on these layers. What follows in
    /// its place does less, so a layer more must not make the step look surer.
    refused: Option<String>,
}

/// What takes up a film that only swells: the method's usual second half, or a milder tool. It
/// passes the gate like any other step, or it is not named.
pub(super) fn follow_up(means: &Equipment, step: &Step, plan: &Plan, gate: &Gate<'_>) -> FollowUp {
    let site = plan.scene.target.site;
    // The faces of a joint that opened are reached by anything.
    let opened = matches!(site, Site::OpenJoint | Site::DeepJoint);
    let usual = step.method.then.as_deref();
    let mut refused = None;
    let tool = usual
        .into_iter()
        .chain(["wood-tool", "scalpel", "swab"])
        .filter(|id| *id != step.method.head.id)
        .find_map(|id| {
            let method = means.method(id).filter(|m| {
                !plan.barred.bars_method(m)
                    && (opened || m.reach.contains(&site) || m.reach_partly.contains(&site))
            })?;
            let agent = step.agent.as_ref().filter(|_| !method.delivers.is_empty());
            let tool = super::step(means, method, agent)?;
            let name = &method.head.names.name;
            if let Ok(passed) = gate.step(tool) {
                let harm = harm::layers(passed.get(), &plan.scene);
                Some((name.clone(), harm))
            } else {
                refused.get_or_insert_with(|| name.clone());
                None
            }
        });
    FollowUp { tool, refused }
}

/// Contact time: minutes, and the first that is recorded; where sources differ, that is said.
pub(super) fn dwell(facts: &Facts) -> (Option<(f64, f64)>, String) {
    let recorded = facts.get("dwell");
    let mut texts = recorded.iter().filter_map(|f| match &f.value {
        Value::Measure(quantity) => Some(quantity.literal.as_str()),
        Value::Text(text) => Some(text.as_str()),
        _ => None,
    });
    let mut text = texts.next().unwrap_or_default().to_owned();
    if texts.next().is_some() {
        text.push_str("; sources differ");
    }
    let minutes = recorded.iter().find_map(|f| match &f.value {
        Value::Measure(q) if q.unit.dimension() == Dimension::TIME => {
            let bounds = q.base(Reading::Point)?;
            (bounds.low.is_finite() && bounds.high.is_finite())
                .then_some((bounds.low / 60.0, bounds.high / 60.0))
        }
        _ => None,
    });
    (minutes, text)
}

/// Why a step is no more than a test; a step of which there is no doubt may be recommended.
struct Doubts(Vec<Reason>);

impl Doubts {
    /// Everything that is in doubt of a step before anybody asks what follows it.
    fn of(passed: &Passed<Step>, weighed: &Weighed<'_>, harm: &[LayerHarm], plan: &Plan) -> Self {
        let mut out = Self(Vec::new());
        if plan.scene.target.origin == Origin::Unknown {
            out.practice(
                "whether it is original is not stated: say `(later)`, or `restored 1890..1935`, once \
                 that is settled",
            );
        }
        out.of_layers(harm);
        for caveat in passed.caveats() {
            if caveat.rule.sort == gate::Sort::OnlyIf {
                out.add(caveat.rule.says.to_owned(), caveat.rule.basis.to_basis());
            }
        }
        out.of_reach(weighed, plan);
        out.of_record(&weighed.effect);
        if plan.scene.target.site == Site::Pores {
            out.practice("in pores it is at best partly drawn out");
        }
        out
    }

    fn call(&self) -> Call {
        if self.0.is_empty() {
            Call::Recommended
        } else {
            Call::TestFirst
        }
    }

    fn push(&mut self, text: String, basis: Basis) {
        self.0.push(Reason { text, basis });
    }

    fn add(&mut self, text: String, basis: Basis) {
        if !self.0.iter().any(|r| r.text == text) {
            self.push(text, basis);
        }
    }

    fn practice(&mut self, text: &str) {
        self.add(text.to_owned(), Basis::Practice);
    }

    /// Whether a reason was given already, by itself or as part of another.
    fn mention(&self, reason: &str) -> bool {
        self.0.iter().any(|r| r.text.contains(reason))
    }

    /// What is in doubt of the layers. What is said of several alike is said once, with all of them.
    fn of_layers(&mut self, harm: &[LayerHarm]) {
        let mut grounds: Vec<(Vec<&str>, &str, String, Basis)> = Vec::new();
        for layer in harm {
            let (says, basis) = match (layer.verdict, layer.sheltered) {
                (Some(Verdict::Safe), _) | (Some(Verdict::Test), true) => continue,
                (Some(Verdict::Test), false) => (":", layer.footing.or_practice()),
                (Some(Verdict::Harms), _) => (
                    " under a film, harmed through any crack:",
                    layer.footing.or_practice(),
                ),
                (None, _) => (":", Basis::Practice),
            };
            let same = grounds
                .iter_mut()
                .find(|(_, s, reason, b)| *s == says && *reason == layer.reason && *b == basis);
            match same {
                Some((layers, ..)) => layers.push(&layer.layer),
                None => grounds.push((vec![&layer.layer], says, layer.reason.clone(), basis)),
            }
        }
        for (layers, says, reason, basis) in grounds {
            self.add(format!("{}{says} {reason}", layers.join(", ")), basis);
        }
    }

    /// How much of what this may be, and of what sits here, the step takes.
    fn of_reach(&mut self, weighed: &Weighed<'_>, plan: &Plan) {
        let covers = weighed.effect.covers;
        let named = plan.scene.target.candidates.len() == 1;
        if covers < ENOUGH && named {
            self.practice("on record it acts in part only");
        } else if covers < ENOUGH {
            let share = 100.0 * covers.min(1.0);
            self.practice(&format!(
                "on record it acts on {share:.0} % of what this may be"
            ));
        } else if covers * weighed.reach < ENOUGH {
            self.practice("it reaches only part of what sits here");
        }
    }

    /// How good the record of its effect is.
    fn of_record(&mut self, seen: &Seen<'_>) {
        if seen.young > YOUNG {
            self.practice(
                "recorded of a young film only; an old one may answer less: a crumb first",
            );
        }
        if seen.disputed {
            self.practice(
                "two results on this object contradict one another: repeat it on a fresh crumb",
            );
        }
        if seen.inferred {
            self.practice(
                "its effect is taken from a like liquid or from the parts of the mixture",
            );
        }
        if seen.bases.iter().all(|b| matches!(b, Basis::Memory)) && !seen.tried {
            self.add(
                "its effect rests on memory: check on a crumb".to_owned(),
                Basis::Memory,
            );
        }
    }
}
