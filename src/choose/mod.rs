//! Chooses what may go into this object, so that the next conservator can take it out again.
//!
//! Hard rules first: what the trade refuses, what harms a layer as it goes on (every application
//! passes the gate), what softens on the warmest day, gives off acid, or does not carry the load.
//! What is left is scored by stated weights; the heaviest is the forecast, which asks `remove`
//! whether a route spares these layers now and after the years.

mod apply;
mod barrier;
mod coats;
mod facts;
mod forecast;
mod hardness;
pub mod light;
pub mod load;
mod rules;
mod score;

pub use facts::Taken;
pub use score::{default_weights, weighted};

use crate::model::order::Figure;
use crate::order::Arrange;
use std::sync::Arc;

use crate::answer::{Choice, Choose, JoinLoad, Lost, Outlook, Pair, Reason, Reversal, Rule};
use crate::model::scene::{Barred, SceneLayer};
use crate::model::{
    Agent, Basis, Condition, Criterion, Custom, Kind, Library, Material, Purpose, Record, Site,
    Trait, Truth,
};

/// Most choices that are shown, unless the user says.
pub const SHOWN: usize = 15;
/// Warmest day where none was stated, Celsius. Judgment: a heated house in summer.
pub const USUAL_WARMEST: f64 = 25.0;
/// Years by which a choice is judged where none were asked for. Judgment: one working life.
pub const USUAL_YEARS: f64 = 50.0;

/// What is asked.
#[derive(Clone, Debug)]
pub struct Ask {
    /// What it goes in as.
    pub purpose: Purpose,
    /// What the user called it.
    pub called: String,
    /// Families to keep to; empty for any.
    pub families: Vec<String>,
    /// Materials to keep to, by number; empty for any.
    pub among: Vec<usize>,
    /// The one side, top down.
    pub layers: Vec<SceneLayer>,
    /// The other side of a join.
    pub to: Vec<SceneLayer>,
    /// Where it will sit.
    pub site: Site,
    /// Depth, millimetres.
    pub depth_mm: Option<f64>,
    /// Load on the join.
    pub load: Option<JoinLoad>,
    /// Warmest day, Celsius.
    pub warmest: Option<f64>,
    /// Light in a year, lux hours.
    pub lux_hours: Option<f64>,
    /// Years for which it must be reversible.
    pub years: Option<f64>,
    /// What may not be used, now or later.
    pub barred: Barred,
    /// Agents permitted by name.
    pub permitted: Vec<String>,
    /// Truth of the user's condition, by material number; empty where there is none.
    pub condition: Vec<Truth>,
    /// The condition as typed.
    pub condition_text: String,
    /// What orders the answer, first the weightiest.
    pub rank: Vec<Criterion>,
    /// Most choices; 0 for the usual number.
    pub limit: usize,
    /// The current year.
    pub now: i32,
}

impl Ask {
    /// Every layer that meets the material, each once.
    pub(crate) fn all_layers(&self) -> Vec<SceneLayer> {
        let mut out = self.layers.clone();
        for layer in &self.to {
            let known = out.iter().any(|l| {
                l.layer.head.id == layer.layer.head.id && l.conditions == layer.conditions
            });
            if !known {
                out.push(layer.clone());
            }
        }
        out
    }

    /// The layers for whose sake it goes in: what is loose, else the body of a join, the top of a
    /// stack that is coated, every layer of a loss.
    pub(crate) fn targets(&self) -> Vec<&SceneLayer> {
        let loose: Vec<&SceneLayer> = self
            .layers
            .iter()
            .chain(&self.to)
            .filter(|l| l.conditions.iter().any(|c| c.needs_support()))
            .collect();
        match self.purpose {
            Purpose::ForConsolidant | Purpose::ForAdhesive if !loose.is_empty() => loose,
            Purpose::ForAdhesive | Purpose::ForBarrier => self
                .layers
                .last()
                .into_iter()
                .chain(self.to.last())
                .collect(),
            Purpose::ForConsolidant | Purpose::ForCoating => {
                self.layers.first().into_iter().collect()
            }
            Purpose::ForFill => self.layers.iter().collect(),
        }
    }

    /// Whether it holds down what flakes, fed in from beneath.
    pub(crate) fn is_under_flakes(&self) -> bool {
        matches!(self.purpose, Purpose::ForAdhesive | Purpose::ForConsolidant)
            && self
                .layers
                .iter()
                .any(|l| l.is(Condition::Flaking) || l.is(Condition::Powdering))
    }
}

/// What is read of the corpus once.
pub(crate) struct Shelf {
    pub(crate) materials: Vec<(usize, Material)>,
    pub(crate) agents: Vec<Arc<Agent>>,
}

impl Shelf {
    fn read(library: &dyn Library) -> Self {
        let agents = library.equipment().agents.clone();
        let materials = (0..library.count(Kind::Material))
            .filter_map(|k| match library.record(Kind::Material, k) {
                Some(Record::Material(it)) => Some((k, it)),
                _ => None,
            })
            .collect();
        Self { materials, agents }
    }

    pub(crate) fn agent(&self, id: &str) -> Option<&Arc<Agent>> {
        self.agents.iter().find(|a| a.head.id == id)
    }
}

/// A material that no hard rule has taken out.
struct Candidate<'s> {
    index: usize,
    material: &'s Material,
    applied: apply::Applied,
    taken: Taken,
}

/// What the hard rules took out, and why.
#[derive(Default)]
struct Out<'s> {
    lost: Vec<Lost>,
    undetermined: Vec<Lost>,
    /// Those that are lost to their forecast or their strength alone: over an isolating layer they may
    /// still do.
    hard: Vec<(&'s Material, Rule)>,
}

/// Chooses.
#[must_use]
pub fn choose(library: &dyn Library, ask: &Ask) -> Choose {
    let shelf = Shelf::read(library);
    let weights = weighted(&ask.rank);
    let years = forecast::years(ask);
    let pins = pins(&shelf, ask);
    let mut out = Out::default();
    let live = live(&shelf, ask, &mut out);
    let considered = live.len() + out.lost.len() + out.undetermined.len();
    let mut choices: Vec<Choice> = live
        .into_iter()
        .filter_map(|it| weigh(&shelf, library, ask, it, &weights, &years, &mut out))
        .collect();
    choices.arrange_by(|a, b| b.score.total_cmp(&a.score).then_with(|| a.id.cmp(&b.id)));
    let pairs = barrier::pairs(&shelf, library, ask, &choices, &out.hard, &years);
    let limit = if ask.limit == 0 { SHOWN } else { ask.limit };
    let more = choices.len().saturating_sub(limit);
    choices.truncate(limit);
    let took = took(&out);
    let Out {
        mut lost,
        undetermined,
        ..
    } = out;
    // What this object rules out is told before what no object gets any more.
    let general = |it: &Lost| matches!(it.rule, Rule::Refused | Rule::NoRecord | Rule::Hazard);
    lost.arrange_by(|a, b| (general(a), a.rule, &a.id).cmp(&(general(b), b.rule, &b.id)));
    let described = |list: &[SceneLayer]| list.iter().map(SceneLayer::described).collect();
    Choose {
        purpose: ask.purpose,
        called: ask.called.clone(),
        layers: described(&ask.layers),
        to: described(&ask.to),
        site: ask.site,
        years: ask.years,
        warmest: Figure::or_supposed(ask.warmest, USUAL_WARMEST),
        load: ask.load,
        weights,
        light: light::notes(ask, &choices, &shelf),
        remarks: remarks(ask, &choices, &pairs),
        coats: coats::apart(&shelf, library, ask, &choices),
        choices,
        more,
        pairs,
        pins,
        besides: besides(&shelf, library, ask, &lost, &years),
        lost,
        undetermined,
        took,
        considered,
    }
}

/// Whether it is told as a rod: a rod is no adhesive, unless it was asked for.
fn is_rod(material: &Material, ask: &Ask) -> bool {
    material.family == "metal" && ask.families.is_empty() && ask.among.is_empty()
}

/// What is said of rods beside the adhesives.
fn pins(shelf: &Shelf, ask: &Ask) -> Vec<Reason> {
    shelf
        .materials
        .iter()
        .filter(|(index, it)| rules::is_asked(ask, *index, it) && is_rod(it, ask))
        .filter_map(|(_, it)| load::pin(it, &facts::taken(it, ask), ask))
        .collect()
}

/// The materials that are asked for and that every rule lets by which needs no forecast.
fn live<'s>(shelf: &'s Shelf, ask: &Ask, out: &mut Out<'s>) -> Vec<Candidate<'s>> {
    let mut live = Vec::new();
    for (index, material) in &shelf.materials {
        if !rules::is_asked(ask, *index, material) {
            continue;
        }
        let taken = facts::taken(material, ask);
        // A rod that is refused is told as lost.
        if is_rod(material, ask) && taken.custom != Some(Custom::Refused) {
            continue;
        }
        match rules::judge(shelf, ask, *index, material, &taken) {
            rules::Judged::Lost(it) => out.lost.push(it),
            rules::Judged::Unknown(it) => out.undetermined.push(it),
            rules::Judged::Live(applied) => live.push(Candidate {
                index: *index,
                material,
                applied: *applied,
                taken,
            }),
        }
    }
    live
}

/// A candidate with its forecast and its marks; none where the forecast takes it out.
fn weigh<'s>(
    shelf: &'s Shelf,
    library: &dyn Library,
    ask: &Ask,
    it: Candidate<'s>,
    weights: &[(Criterion, f64)],
    years: &[u32],
    out: &mut Out<'s>,
) -> Option<Choice> {
    let material = it.material;
    let forecast = forecast::forecast(library, ask, it.index, material, years);
    let verdict = forecast::at(&forecast, forecast::judged_by(ask));
    let lost = rules::taken_back(ask, material, &forecast);
    if lost.is_some() && verdict == Reversal::Unknown {
        out.undetermined.extend(lost);
        return None;
    }
    if let Some(lost) = lost.or_else(|| rules::too_strong(ask, material, verdict)) {
        out.hard.push((material, lost.rule));
        out.lost.push(lost);
        return None;
    }
    let marks = score::marks(
        shelf,
        ask,
        material,
        &it.taken,
        &it.applied,
        &forecast,
        weights,
    );
    Some(Choice {
        id: material.head.id.clone(),
        name: material.head.names.name.clone(),
        score: score::total(&marks),
        custom: it.taken.custom,
        minding: sheen(ask, material)
            .into_iter()
            .chain(hardness::against_body(ask, material))
            .chain(it.applied.minding)
            .collect(),
        applied: it.applied.passed,
        marks,
        forecast,
    })
}

/// How many materials each rule took out, the most first.
fn took(out: &Out<'_>) -> Vec<(Rule, usize)> {
    let mut took: Vec<(Rule, usize)> = Vec::new();
    for it in out.lost.iter().chain(&out.undetermined) {
        match took.iter_mut().find(|(rule, _)| *rule == it.rule) {
            Some((_, n)) => *n += 1,
            None => took.push((it.rule, 1)),
        }
    }
    took.arrange_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    took
}

/// The forecasts of what was lost although it was asked for by name.
fn besides(
    shelf: &Shelf,
    library: &dyn Library,
    ask: &Ask,
    lost: &[Lost],
    years: &[u32],
) -> Vec<(String, Vec<Outlook>)> {
    shelf
        .materials
        .iter()
        .filter(|(index, it)| {
            ask.among.contains(index) && lost.iter().any(|lost| lost.id == it.head.id)
        })
        .map(|(index, it)| {
            let forecast = forecast::forecast(library, ask, *index, it, years);
            (it.head.id.clone(), forecast)
        })
        .collect()
}

/// The sheen of a coat, which is chosen with it.
fn sheen(ask: &Ask, material: &Material) -> Option<Reason> {
    let fact = material.head.facts.first("sheen")?;
    (ask.purpose == Purpose::ForCoating).then(|| Reason {
        text: format!("a thin coat is {}", fact.words().join(" or ")),
        basis: fact.basis.clone(),
    })
}

/// What holds for the whole choice.
fn remarks(ask: &Ask, choices: &[Choice], pairs: &[Pair]) -> Vec<Reason> {
    let mut out = Vec::new();
    let mut say = |text: &str| {
        out.push(Reason {
            text: text.to_owned(),
            basis: Basis::Practice,
        });
    };
    let layers = ask.all_layers();
    let porous = layers.iter().any(|l| l.has(Trait::Porous));
    // Wood, paper and cloth are glued as they are: their adhesives want to grip the fibre.
    let drinks = ask.targets().iter().any(|l| {
        l.has(Trait::Porous) && matches!(l.layer.group.as_str(), "ceramic" | "earth" | "stone")
    });
    match ask.purpose {
        Purpose::ForCoating => {
            say("start with one thin coat; a second only once the first is dry and looked at");
            say(
                "let each coat come off in something that the one beneath bears: leave a gap of \
                 solubility between them, and write down which is which",
            );
            say(
                "a resin that yellows does so less with a light stabiliser, and only where \
                 ultraviolet is filtered out; say in the record when the coat is to be looked at, \
                 and with what it is renewed",
            );
        }
        Purpose::ForFill if porous => say(
            "the body is porous: size the edges of the loss with a soluble barrier first, or what is \
             wet in the fill goes into the body and stays",
        ),
        Purpose::ForAdhesive if drinks && ask.site != Site::Pores => say(
            "the body is porous: some of any adhesive goes in beside the join and stays; size both \
             faces thinly with a soluble barrier first",
        ),
        Purpose::ForConsolidant => say(
            "what is drawn into pores does not come out whole: use the least that holds, and try it \
             beside the place first",
        ),
        _ => {}
    }
    if !pairs.is_empty() {
        say("an isolating layer must be quite dry, or it holds solvent and weakens the join");
    }
    if ask.load.is_some() {
        say("always have an engineer confirm where a fall can hurt someone");
    }
    let cures = |id: &str| id.contains("epoxy");
    if choices.iter().any(|c| cures(&c.id)) || pairs.iter().any(|p| cures(&p.over.id)) {
        say(
            "a structural epoxy is clamped and held still overnight, and goes behind an isolating \
             layer where the join must open again",
        );
    }
    out
}
