//! From many live steps to a short ladder, mildest first.

use super::{Barred, Corpus, Plan, RUNGS, Weighed, harm, meets_porous};
use crate::answer::{Call, EffectSeen, LayerHarm, Reason, Rung};
use crate::gate::{self, Passed};
use crate::model::scene::{Origin, Step};
use crate::model::{Action, Basis, Facts, Hazard, Method, Site, Value, Verdict, Wetting};
use crate::units::{Dimension, Reading};

/// Coverage from which a step may be recommended outright.
const ENOUGH: f64 = 0.5;
/// Coverage below which a step is no rung, as a share of the best step's, and outright: where little
/// is known of the unknown no step covers much, and the rungs are then swab tests more than a plan.
const LEAST_SHARE: f64 = 0.4;
const LEAST: f64 = 0.08;

/// Rungs that are shown though little speaks for them, where there are so many live steps: one rung
/// leaves nothing to try next when it does nothing.
const FEWEST: usize = 3;

struct Scored {
    passed: Passed<Step>,
    weighed: Weighed,
    harm: Vec<LayerHarm>,
    value: f64,
    harshness: f64,
}

/// The rungs, mildest first.
pub(super) fn ladder(
    corpus: &Corpus,
    live: Vec<(Passed<Step>, Weighed)>,
    plan: &Plan,
) -> Vec<Rung> {
    let best = live
        .iter()
        .map(|(_, w)| w.effect.covers * w.reach)
        .fold(0.0, f64::max);
    let least = (LEAST_SHARE * best).max(LEAST);
    let mut scored: Vec<Scored> = live
        .into_iter()
        .filter(|(_, w)| w.effect.covers * w.reach >= least)
        .map(|(passed, weighed)| {
            let harm = harm::layers(passed.get(), &plan.scene);
            let harshness = harshness(passed.get());
            let value = value(&weighed, &harm, harshness, plan);
            Scored {
                passed,
                weighed,
                harm,
                value,
                harshness,
            }
        })
        .collect();
    scored.sort_by(|a, b| {
        b.value
            .total_cmp(&a.value)
            .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
    });
    let most = if plan.limit == 0 {
        RUNGS
    } else {
        plan.limit.min(RUNGS)
    };
    let mut chosen: Vec<Scored> = Vec::new();
    while chosen.len() < most && !scored.is_empty() {
        // Each further rung should be a different thing to try, not the same liquid again.
        let best = scored
            .iter()
            .enumerate()
            .map(|(k, s)| (k, s.value - likeness(s, &chosen)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
        match best {
            Some((k, value)) if value > 0.0 || chosen.len() < FEWEST => {
                chosen.push(scored.swap_remove(k));
                scored.sort_by(|a, b| {
                    b.value
                        .total_cmp(&a.value)
                        .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
                });
            }
            _ => break,
        }
    }
    chosen.sort_by(|a, b| {
        place(a)
            .total_cmp(&place(b))
            .then_with(|| b.value.total_cmp(&a.value))
            .then_with(|| a.passed.get().id().cmp(&b.passed.get().id()))
    });
    chosen
        .into_iter()
        .enumerate()
        .map(|(k, scored)| rung(corpus, k + 1, scored, plan))
        .collect()
}

/// The steps that secure a loose layer; nothing else is live until one of them has.
pub(super) fn securing(corpus: &Corpus, plan: &Plan) -> Vec<Rung> {
    let mut methods: Vec<_> = corpus
        .methods
        .iter()
        .filter(|m| m.action == Action::Support && !is_barred_method(m, plan))
        .collect();
    methods.sort_by(|a, b| (a.mildness, &a.head.id).cmp(&(b.mildness, &b.head.id)));
    methods
        .into_iter()
        .filter_map(|method| corpus.step(method, None))
        .filter_map(|step| gate::step(step, &plan.scene).ok())
        .enumerate()
        .map(|(k, passed)| {
            let facts = &passed.get().method.head.facts;
            let (dwell_min, dwell) = dwell(facts);
            let text = |key| facts.text(key).unwrap_or_default().to_owned();
            Rung {
                rank: k + 1,
                call: Call::TestFirst,
                effect: EffectSeen {
                    covers: 1.0,
                    unknown: 0.0,
                    computed: 0.0,
                    response: "secures".to_owned(),
                    basis: "practice".to_owned(),
                    sources: Vec::new(),
                    places: Vec::new(),
                    notes: facts.text("how").map(str::to_owned).into_iter().collect(),
                },
                harm: Vec::new(),
                reasons: vec![Reason {
                    text:
                        "a loose layer is secured before anything wets, touches or pulls it; try \
                           the securing medium at an edge first"
                            .to_owned(),
                    basis: Basis::Practice,
                }],
                dwell_min,
                dwell,
                then: None,
                watch: text("watch"),
                stop: text("stop"),
                clearance: text("clearance"),
                hazards: hazards(passed.get()),
                step: passed,
            }
        })
        .collect()
}

/// How harsh a step is, for the order of trial: the method's own grade and the agent's; a dry method
/// counts its own twice.
fn harshness(step: &Step) -> f64 {
    let method = f64::from(step.method.mildness);
    step.agent
        .as_ref()
        .map_or(2.0 * method, |agent| method + f64::from(agent.strength))
}

/// Place in the ladder: mildest first, but what the trade tries first moves up by as much as three
/// grades, for a ladder that starts with what does little only wears the surface; and what it comes
/// to last moves down by as much.
fn place(scored: &Scored) -> f64 {
    let seen = &scored.weighed.effect;
    scored.harshness - 7.5 * seen.route + 3.0 * seen.last
}

/// What a step is worth: what it takes off and what the trade says of it, less what it risks.
/// Weights are judgment; they order live steps and never make a harmful one live.
fn value(weighed: &Weighed, harm: &[LayerHarm], harshness: f64, plan: &Plan) -> f64 {
    let seen = &weighed.effect;
    let mut value = seen.covers * weighed.reach + 1.2 * seen.route - 0.6 * seen.fails;
    for (depth, layer) in harm.iter().enumerate() {
        let near = if depth == 0 { 1.0 } else { 0.4 };
        value -= near
            * match layer.verdict {
                Some(Verdict::Safe) => 0.0,
                Some(Verdict::Test) => 0.10,
                None => 0.16,
                Some(Verdict::Harms) => 0.20,
            };
    }
    value -= 0.02 * harshness;
    if seen.inferred {
        value -= 0.12;
    }
    let person = hazards(&weighed.step);
    let grave = [
        Hazard::Carcinogen,
        Hazard::Reprotoxic,
        Hazard::Toxic,
        Hazard::Corrosive,
    ];
    if person.iter().any(|h| grave.contains(h)) {
        value -= 0.15;
    }
    if matches!(weighed.step.method.wets, Wetting::Much) && meets_porous(&plan.scene) {
        value -= 0.05;
    }
    value
}

/// How like a step is to those already chosen.
fn likeness(scored: &Scored, chosen: &[Scored]) -> f64 {
    let step = scored.passed.get();
    chosen
        .iter()
        .map(|other| {
            let other = other.passed.get();
            let mut like = 0.0;
            match (&step.agent, &other.agent) {
                (Some(a), Some(b)) if a.head.id == b.head.id => like += 0.26,
                (Some(a), Some(b)) if a.class == b.class => like += 0.20,
                _ => {}
            }
            if step.method.head.id == other.method.head.id {
                like += 0.10;
            } else if step.method.action == other.method.action {
                like += 0.03;
            }
            like
        })
        .sum()
}

fn hazards(step: &Step) -> Vec<Hazard> {
    let mut out: Vec<Hazard> = step
        .agents()
        .map(|a| &a.head.facts)
        .chain([&step.method.head.facts])
        .flat_map(|facts| facts.words("hazards"))
        .filter_map(Hazard::parse)
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

fn rung(corpus: &Corpus, rank: usize, scored: Scored, plan: &Plan) -> Rung {
    let Scored {
        passed,
        weighed,
        harm,
        ..
    } = scored;
    let (mut call, mut reasons) = call(&passed, &weighed, &harm, plan);
    let seen = &weighed.effect;
    let step = passed.get();
    let word = seen.word();
    let swells = !matches!(word, "dissolves" | "melts" | "no effect");
    let then = if swells && step.method.action != Action::Mechanical {
        follow_up(corpus, step, plan)
    } else {
        None
    };
    let then = then.map(|(tool, harm)| {
        for row in harm {
            if row.verdict != Some(Verdict::Safe) && !row.sheltered {
                call = Call::TestFirst;
                let text = format!("{}, by the {tool} that follows: {}", row.layer, row.reason);
                if !reasons.iter().any(|r| r.text.contains(&row.reason)) {
                    let basis = basis_of(&row);
                    reasons.push(Reason { text, basis });
                }
            }
        }
        tool
    });
    let facts = &step.method.head.facts;
    let (dwell_min, dwell) = dwell(facts);
    let joined = |lists: &[&Facts], key: &str| {
        let mut out: Vec<String> = Vec::new();
        for text in lists.iter().flat_map(|facts| facts.texts(key)) {
            let text = text.trim_end_matches('.').to_owned();
            if !out.contains(&text) {
                out.push(text);
            }
        }
        out.join("; ")
    };
    let carrier: Vec<&Facts> = step.carrier.iter().map(|c| &c.head.facts).collect();
    let clearance = joined(&[&[facts], &carrier[..]].concat(), "clearance");
    let watch = joined(&[facts], "watch");
    let mut stop = joined(&[facts], "stop");
    if stop.is_empty() {
        stop.push_str("colour on the swab, change of gloss, softening: stop at once");
    }
    Rung {
        rank,
        call,
        effect: EffectSeen {
            covers: seen.covers.min(1.0),
            unknown: seen.unknown.min(1.0),
            computed: seen.computed.min(1.0),
            response: word.to_owned(),
            basis: if seen.tried {
                "tried".to_owned()
            } else {
                Basis::words(seen.bases.iter())
            },
            sources: sources(&seen.bases),
            places: seen.places.clone(),
            notes: seen.notes.clone(),
        },
        harm,
        reasons,
        dwell_min,
        dwell,
        then,
        watch,
        stop,
        clearance,
        hazards: hazards(step),
        step: passed,
    }
}

/// What takes up a film that only swells: the method's usual second half, or a milder tool. It
/// passes the gate like any other step, or it is not named; what it does to the layers is returned
/// with its name.
fn follow_up(corpus: &Corpus, step: &Step, plan: &Plan) -> Option<(String, Vec<LayerHarm>)> {
    let usual = step.method.then.as_deref();
    usual
        .into_iter()
        .chain(["wood-tool", "scalpel", "swab"])
        .filter(|id| *id != step.method.head.id)
        .find_map(|id| {
            let method = corpus.method(id).filter(|m| !is_barred_method(m, plan))?;
            let agent = step.agent.as_ref().filter(|_| !method.delivers.is_empty());
            let tool = corpus.step(method, agent)?;
            let passed = gate::step(tool, &plan.scene).ok()?;
            let harm = harm::layers(passed.get(), &plan.scene);
            Some((method.head.names.name.clone(), harm))
        })
}

fn is_barred_method(method: &Method, plan: &Plan) -> bool {
    let Barred {
        classes, methods, ..
    } = &plan.barred;
    methods.contains(&method.head.id) || method.classes.iter().any(|c| classes.contains(c))
}

fn sources(bases: &[Basis]) -> Vec<String> {
    let mut out: Vec<String> = bases
        .iter()
        .filter_map(|b| b.source().map(str::to_owned))
        .collect();
    out.sort();
    out.dedup();
    out
}

/// Contact time: minutes, and the first that is recorded; where sources differ, that is said.
fn dwell(facts: &Facts) -> (Option<(f64, f64)>, String) {
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

/// Recommended, or test first and why.
fn call(
    passed: &Passed<Step>,
    weighed: &Weighed,
    harm: &[LayerHarm],
    plan: &Plan,
) -> (Call, Vec<Reason>) {
    let mut reasons = Vec::new();
    let mut add = |text: String, basis: Basis| {
        if !reasons.iter().any(|r: &Reason| r.text == text) {
            reasons.push(Reason { text, basis });
        }
    };
    let practice = || Basis::Practice;
    if plan.scene.target.origin == Origin::Unknown {
        add(
            "whether it is original is not stated: say `(later)`, or `restored 1890..1935`, once \
             that is settled"
                .to_owned(),
            practice(),
        );
    }
    for layer in harm {
        match (layer.verdict, layer.sheltered) {
            (Some(Verdict::Safe), _) => {}
            (Some(Verdict::Test), false) => {
                add(
                    format!("{}: {}", layer.layer, layer.reason),
                    basis_of(layer),
                );
            }
            (Some(Verdict::Test), true) => {}
            (Some(Verdict::Harms), _) => add(
                format!(
                    "{} lies under a film and is harmed through any crack: {}",
                    layer.layer, layer.reason
                ),
                basis_of(layer),
            ),
            (None, _) => add(format!("{}: {}", layer.layer, layer.reason), practice()),
        }
    }
    for caveat in passed.caveats() {
        if caveat.rule.sort == gate::Sort::OnlyIf {
            add(caveat.rule.says.to_owned(), caveat.rule.basis.to_basis());
        }
    }
    let seen = &weighed.effect;
    if seen.covers * weighed.reach < ENOUGH {
        add(
            format!(
                "on record it acts on {:.0} % of what this may be",
                100.0 * (seen.covers * weighed.reach).min(1.0)
            ),
            practice(),
        );
    }
    if seen.inferred {
        add(
            "its effect is taken from a like liquid or from the parts of the mixture".to_owned(),
            practice(),
        );
    }
    if seen.bases.iter().all(|b| matches!(b, Basis::Memory)) && !seen.tried {
        add(
            "its effect rests on memory: check on a crumb".to_owned(),
            Basis::Memory,
        );
    }
    if plan.scene.target.site == Site::Pores {
        add(
            "in pores it is at best partly drawn out".to_owned(),
            practice(),
        );
    }
    let call = if reasons.is_empty() {
        Call::Recommended
    } else {
        Call::TestFirst
    };
    (call, reasons)
}

fn basis_of(layer: &LayerHarm) -> Basis {
    match (layer.basis.as_str(), layer.sources.first()) {
        ("published", Some(key)) => Basis::Published {
            key: key.clone(),
            through: None,
            locator: "see the layer's record".to_owned(),
        },
        ("memory", _) => Basis::Memory,
        _ => Basis::Practice,
    }
}
