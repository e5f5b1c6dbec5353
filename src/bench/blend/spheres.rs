//! Which spheres hold for the target and for each layer: those of swab tests on this object, else those
//! on file for that very state. A sphere of the fresh resin never stands in for an aged film.

use super::{records, settle};
use crate::answer::blend::{Fitted, Region, Sphere};
use crate::chem::fit::{Fit, Trial, fit};
use crate::chem::{self, GOOD, POOR};
use crate::model::scene::{SceneLayer, TargetTrial};
use crate::model::{Age, Agent, Does, Fact, Facts, Hansen, Library, Trait, Value, Verdict};

/// RED by every sphere beyond the first up to which a blend dissolves the target, and from which it
/// spares a layer: the other spheres say as much as the first, and none may be crossed.
const SURFACE: f64 = 1.0;
/// RED up to which, or from which, a blend is offered as a test where nothing better is left. Judgment:
/// the inner half of what the sphere cannot tell.
const UNSURE_INSIDE: f64 = 1.0;
const UNSURE_OUTSIDE: f64 = 1.1;

/// A sphere as it is reckoned with: centre, least and greatest radius.
pub(super) type Surface = (Hansen, f64, f64);

/// What is known of a region.
#[derive(Clone, Debug)]
pub(super) struct Known {
    /// The first sphere: with its radius.
    pub(super) main: Hansen,
    /// Every sphere that holds, the first among them.
    pub(super) all: Vec<Surface>,
    /// Whether it was fitted to tests on this object.
    pub(super) fitted: bool,
}

impl Known {
    /// RED to the first sphere.
    pub(super) fn red(&self, it: Hansen) -> f64 {
        chem::red(self.main, it).unwrap_or(f64::INFINITY)
    }

    /// How near the first sphere's centre a blend must come to dissolve, `MPa^0.5`.
    pub(super) fn reach(&self, sure: bool) -> f64 {
        let radius = self.main.radius.unwrap_or(0.0);
        radius * if sure { GOOD } else { UNSURE_INSIDE }
    }

    /// Whether a point is inside of every sphere.
    pub(super) fn inside_all(&self, it: Hansen) -> bool {
        self.all
            .iter()
            .all(|(centre, low, _)| chem::distance(*centre, it) <= low * SURFACE + 1e-9)
    }

    /// The balls that a blend must stay out of to spare the layer.
    pub(super) fn keep_out(&self, sure: bool) -> Vec<(Hansen, f64)> {
        let margin = if sure { POOR } else { UNSURE_OUTSIDE };
        let mut out: Vec<(Hansen, f64)> = Vec::new();
        let radius = self.main.radius.unwrap_or(0.0);
        out.push((self.main, radius * margin));
        for (centre, _, high) in &self.all {
            // Spheres on file that disagree are each kept out of by the whole margin.
            let factor = if self.fitted { SURFACE } else { margin };
            out.push((*centre, high * factor));
        }
        out
    }
}

/// What liquids were tried, with what came of it, as far as they have parameters.
pub(super) struct Tried {
    pub(super) trials: Vec<Trial>,
    /// Liquid of each trial.
    pub(super) ids: Vec<String>,
    /// How many of them, the last, rest on the record and not on a test.
    pub(super) recorded: usize,
    /// What could not be used, and why.
    pub(super) notes: Vec<String>,
}

/// Parameters of a liquid: its own, or those of its parts.
pub(super) fn hansen_of(library: &dyn Library, agent: &Agent) -> Option<Hansen> {
    agent.hansen.or_else(|| {
        let parts: Option<Vec<(Hansen, f64)>> = agent
            .parts
            .iter()
            .map(|(id, share)| {
                let part = library.agent(id)?;
                Some((part.hansen?, *share))
            })
            .collect();
        chem::blend(&parts?)
    })
}

impl Tried {
    fn read(library: &dyn Library, results: impl Iterator<Item = (String, Option<bool>)>) -> Self {
        let mut out = Self {
            trials: Vec::new(),
            ids: Vec::new(),
            recorded: 0,
            notes: Vec::new(),
        };
        let mut twice: Vec<String> = Vec::new();
        for (id, good) in results {
            let Some(agent) = library.agent(&id) else {
                continue;
            };
            let name = &agent.head.names.name;
            let Some(good) = good else {
                out.notes.push(format!(
                    "{name}: in part, neither one nor the other; left out"
                ));
                continue;
            };
            let Some(at) = hansen_of(library, &agent) else {
                out.notes
                    .push(format!("{name} has no Hansen parameters on file; left out"));
                continue;
            };
            if let Some(k) = out.ids.iter().position(|own| *own == id) {
                if out.trials[k].good != good {
                    twice.push(id);
                }
                continue;
            }
            out.trials.push(Trial { at, good });
            out.ids.push(id);
        }
        for id in twice {
            if let Some(k) = out.ids.iter().position(|own| *own == id) {
                out.ids.remove(k);
                out.trials.remove(k);
                out.notes
                    .push(format!("{id} was found to do it and not to; left out"));
            }
        }
        out
    }

    /// Results on the target.
    pub(super) fn on_target(library: &dyn Library, tried: &[TargetTrial], does: Does) -> Self {
        Self::read(
            library,
            tried
                .iter()
                .map(|trial| (trial.agent.clone(), does.good(trial.response))),
        )
    }

    /// Results on a layer: whatever is not "unaffected" harms it. What is recorded to harm it counts with
    /// them: it widens the sphere to be kept out of, and nobody need harm the object to learn it again.
    /// What is recorded to spare it does not count: that is for a test on this object.
    pub(super) fn on_layer(library: &dyn Library, layer: &SceneLayer) -> Self {
        let results = layer
            .tried
            .iter()
            .map(|trial| (trial.agent.clone(), Some(trial.verdict != Verdict::Safe)));
        let mut out = Self::read(library, results);
        for id in settle::BENCH {
            if layer.trials_of(id).next().is_some() {
                continue;
            }
            let Some(agent) = library.agent(id) else {
                continue;
            };
            if records::on_layer(layer, &agent).verdict == Some(Verdict::Harms)
                && let Some(at) = agent.hansen
            {
                out.trials.push(Trial { at, good: true });
                out.ids.push((*id).to_owned());
                out.recorded += 1;
            }
        }
        out
    }
}

/// For which state a sphere on file holds; none where it is not one of going into solution.
pub(super) fn sphere_age(fact: &Fact) -> Option<Age> {
    let note = fact.note.as_deref().unwrap_or_default();
    let says = |word: &str| note.split([' ', ',', ';']).any(|w| w == word);
    if note.contains("not solution") || says("resistance") || says("cured") && !says("uncured") {
        None
    } else if says("aged") {
        Some(Age::Aged)
    } else if says("fresh") {
        Some(Age::Fresh)
    } else {
        None
    }
}

/// The spheres on file that hold for a state.
fn on_file<'a>(
    facts: &'a Facts,
    holds: &'a dyn Fn(&Fact) -> bool,
) -> impl Iterator<Item = (&'a Fact, Hansen)> {
    facts
        .get("hansen")
        .iter()
        .filter_map(|fact| match fact.value {
            Value::Hansen(it) if it.radius.is_some_and(|r| r > 0.0) && holds(fact) => {
                Some((fact, it))
            }
            _ => None,
        })
}

/// Reads a region: tests first, then the file. Its spheres are put into what is shown.
pub(super) fn known(
    shown: &mut Region,
    tried: &Tried,
    facts: Option<&Facts>,
    holds: &dyn Fn(&Fact) -> bool,
) -> Option<Known> {
    if let Ok(fitted) = fit(&tried.trials) {
        show_fit(shown, &fitted, tried);
        return Some(Known {
            main: fitted.sphere,
            all: fitted
                .ties
                .iter()
                .map(|t| (t.centre, t.radius.0, t.radius.1))
                .collect(),
            fitted: true,
        });
    }
    let mut all: Vec<Surface> = Vec::new();
    let mut main = None;
    for (fact, it) in facts.into_iter().flat_map(|f| on_file(f, holds)) {
        let radius = it.radius.unwrap_or(0.0);
        main = main.or(Some(it));
        all.push((it, radius, radius));
        shown.spheres.push(Sphere {
            sphere: it,
            basis: fact.basis.to_string(),
            sources: fact.basis.sources(),
            place: Some(fact.place.clone()),
            note: fact.note.clone().unwrap_or_default(),
        });
    }
    Some(Known {
        main: main?,
        all,
        fitted: false,
    })
}

fn show_fit(shown: &mut Region, fitted: &Fit, tried: &Tried) {
    shown.spheres.push(Sphere {
        sphere: fitted.sphere,
        basis: match tried.recorded {
            0 => "swab tests on this object".to_owned(),
            1 => "swab tests on this object, and a liquid recorded to harm it".to_owned(),
            n => format!("swab tests on this object, and {n} liquids recorded to harm it"),
        },
        sources: Vec::new(),
        place: None,
        note: String::new(),
    });
    shown.fit = Some(Fitted {
        good: fitted.good,
        poor: fitted.poor,
        datafit: fitted.datafit,
        spread: fitted.spread,
        range: fitted.range,
        misfits: fitted
            .misfits
            .iter()
            .map(|k| tried.ids[*k].clone())
            .collect(),
    });
}

/// Whether nothing in a layer goes into a solvent: the record then speaks for a blend too. Of anything
/// that is bound, dyed or made of matter once alive, two harmless liquids may make a harmful blend.
pub(super) fn insoluble(layer: &SceneLayer) -> bool {
    const GROUPS: [&str; 4] = ["ceramic", "glass", "metal", "stone"];
    const SOLUBLE: [Trait; 19] = [
        Trait::GlueBound,
        Trait::GumBound,
        Trait::OilBound,
        Trait::YoungOil,
        Trait::ResinBound,
        Trait::WaxBound,
        Trait::Tempera,
        Trait::AcrylicBound,
        Trait::SpiritFinish,
        Trait::AsianLacquer,
        Trait::Collagen,
        Trait::Keratin,
        Trait::Dyed,
        Trait::Ink,
        Trait::Photograph,
        Trait::Rubber,
        Trait::Organic,
        Trait::Patina,
        Trait::Pearl,
    ];
    GROUPS.contains(&layer.layer.group.as_str()) && !SOLUBLE.iter().any(|t| layer.has(*t))
}
