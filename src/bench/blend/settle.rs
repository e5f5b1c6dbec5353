//! The fewest swab tests that would hold a sphere.

use super::records;
use super::spheres;
use super::spheres::Tried;
use crate::answer::Entry;
use crate::answer::blend::Swab;
use crate::chem::fit::{Trial, Unfit, sufficient};
use crate::model::scene::SceneLayer;
use crate::model::{Age, Agent, Does, Hansen, Library, Material, Verdict};

/// Liquids of most benches, the usual ones first; spread over polarity and hydrogen bonding.
pub(super) const BENCH: &[&str] = &[
    "acetone",
    "ethanol",
    "propan-2-ol",
    "ethyl-acetate",
    "isooctane",
    "water",
    "white-spirit",
    "butanone",
    "benzyl-alcohol",
    "n-butyl-acetate",
    "m-xylene",
    "dimethyl-sulphoxide",
    "1-methoxypropan-2-ol",
    "ethyl-lactate",
    "methanol",
    "propylene-carbonate",
    "cyclohexane",
    "diethyl-ether",
];

/// A liquid that may be tried, and what is expected of it: that it does it, that it does not, or
/// nothing.
struct Choice {
    agent: Agent,
    at: Hansen,
    expected: Option<bool>,
    why: String,
    sources: Vec<String>,
}

/// What is expected of a liquid, in words, with the keys of what says so.
type Expected = (Option<bool>, String, Vec<String>);

/// Liquids to choose from: those at hand, then those of the bench, less what was tried and what nobody
/// should open without need.
fn choices(
    library: &dyn Library,
    using: &[String],
    allowing: &[String],
    tried: &Tried,
    expect: &dyn Fn(&Agent) -> Expected,
) -> Vec<Choice> {
    let mut ids: Vec<&str> = using.iter().map(String::as_str).collect();
    for id in BENCH {
        if !ids.contains(id) {
            ids.push(id);
        }
    }
    let mine = |id: &str| using.is_empty() || using.iter().any(|own| own == id);
    ids.into_iter()
        .filter(|id| !tried.ids.iter().any(|t| t == id))
        .filter_map(|id| library.agent(id))
        .filter(|a| (a.cmr.is_none() && !a.needs_permission) || allowing.contains(&a.head.id))
        .filter(|a| a.parts.is_empty())
        .filter_map(|agent| {
            let at = agent.hansen?;
            let (expected, mut why, sources) = expect(&agent);
            if !mine(&agent.head.id) {
                let comma = if why.is_empty() { "" } else { "; " };
                why.push_str(comma);
                why.push_str("not among your liquids");
            }
            Some(Choice {
                agent,
                at,
                expected,
                why,
                sources,
            })
        })
        .collect()
}

/// Picks tests until the trials, with what is expected of them, can hold a sphere.
fn pick(tried: &Tried, mut choices: Vec<Choice>, called: &str) -> Vec<Swab> {
    let mut trials: Vec<Trial> = tried.trials.clone();
    let mut out = Vec::new();
    while let Err(unfit) = sufficient(&trials) {
        let Some((at, good, reason)) = next(&unfit, &trials, &choices) else {
            break;
        };
        let choice = choices.remove(at);
        trials.push(Trial {
            at: choice.at,
            good,
        });
        out.push(Swab {
            on: called.to_owned(),
            liquid: Entry::of(&choice.agent.head),
            why: if choice.why.is_empty() {
                reason
            } else {
                format!("{reason}; {}", choice.why)
            },
            sources: choice.sources,
        });
    }
    out
}

/// The next test: one that should be good while good ones are wanted, then the one that closes most of
/// the open sides.
fn next(unfit: &Unfit, trials: &[Trial], choices: &[Choice]) -> Option<(usize, bool, String)> {
    if unfit.good_wanted > 0 {
        // What is expected to be good comes before what nobody knows; among these, the order stands.
        let at = [Some(true), None]
            .into_iter()
            .find_map(|e| choices.iter().position(|c| c.expected == e))?;
        return Some((
            at,
            true,
            match unfit.good_wanted {
                1 => "one more liquid that acts on it is wanted".to_owned(),
                n => format!("{n} liquids that act on it are wanted, with this one"),
            },
        ));
    }
    let good: Vec<Hansen> = trials.iter().filter(|t| t.good).map(|t| t.at).collect();
    let centre = crate::chem::middle(&good);
    let closes = |c: &Choice| unfit.open.iter().filter(|s| s.holds(centre, c.at)).count();
    let (at, choice) = choices
        .iter()
        .enumerate()
        .filter(|(_, c)| c.expected != Some(true) && closes(c) > 0)
        .max_by(|(i, a), (j, b)| {
            let far = |c: &Choice| crate::chem::distance(centre, c.at);
            closes(a)
                .cmp(&closes(b))
                .then((a.expected == Some(false)).cmp(&(b.expected == Some(false))))
                .then(far(a).total_cmp(&far(b)))
                .then(j.cmp(i))
        })?;
    let sides: Vec<&str> = unfit
        .open
        .iter()
        .filter(|s| s.holds(centre, choice.at))
        .map(|s| s.words())
        .collect();
    Some((
        at,
        false,
        format!("one that does not is wanted, {}", sides.join(" and ")),
    ))
}

/// Tests on the target.
pub(super) fn target(
    library: &dyn Library,
    called: &str,
    material: Option<&Material>,
    tried: &Tried,
    does: Does,
    (using, allowing): (&[String], &[String]),
) -> Vec<Swab> {
    let expect = |agent: &Agent| -> Expected {
        let Some(material) = material else {
            return (None, String::new(), Vec::new());
        };
        let id = &agent.head.id;
        let readings = material.readings(Age::Aged, id);
        if let Some((response, fact)) = readings.first() {
            return (
                does.good(*response),
                format!(
                    "recorded of the aged film: {} [{}]",
                    response.word(),
                    fact.basis
                ),
                fact.basis.sources(),
            );
        }
        let fresh = material
            .head
            .facts
            .get("hansen")
            .iter()
            .filter(|f| spheres::sphere_age(f) == Some(Age::Fresh))
            .find_map(|f| match f.value {
                crate::model::Value::Hansen(it) => Some(it),
                _ => None,
            });
        let red = fresh
            .zip(agent.hansen)
            .and_then(|(polymer, liquid)| crate::chem::red(polymer, liquid));
        let expected = red.and_then(|red| {
            if red < crate::chem::GOOD {
                Some(true)
            } else if red > crate::chem::POOR {
                Some(false)
            } else {
                None
            }
        });
        (expected, String::new(), Vec::new())
    };
    pick(
        tried,
        choices(library, using, allowing, tried, &expect),
        called,
    )
}

/// Tests on a layer: never with what is recorded to harm it, which counts as known.
pub(super) fn layer(
    library: &dyn Library,
    layer: &SceneLayer,
    tried: &Tried,
    (using, allowing): (&[String], &[String]),
) -> Vec<Swab> {
    let expect = |agent: &Agent| -> Expected {
        let row = records::on_layer(layer, agent);
        let said = |word: &str| format!("recorded: {word} [{}]", row.footing.or_practice());
        match row.verdict {
            Some(Verdict::Harms) => (Some(true), said("harms"), row.footing.sources()),
            Some(Verdict::Safe) => (Some(false), said("safe"), row.footing.sources()),
            Some(Verdict::Test) | None => (None, String::new(), Vec::new()),
        }
    };
    let mut choices = choices(library, using, allowing, tried, &expect);
    choices.retain(|c| c.expected != Some(true));
    pick(tried, choices, &layer.called)
}
