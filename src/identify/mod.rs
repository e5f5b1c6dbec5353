//! Ranks what an unknown may be: clustered Bayes over the corpus and an explicit "none of these".
//!
//! Model (our own; its parts are textbook). For a material *m*, latent age *a*, quality *q* of each
//! specimen, and tests in clusters *g*:
//!
//! ```text
//! P(O | m) = Σ_q P(q) Σ_a π(a) Π_g [ (1 - ε_g) Π_{i in g} L_i(o_i | r_m,a,i, q) + ε_g B_g(o_g) ]
//! ```
//!
//! `L` mixes what the record expects (`expectation.rs`), blurred by reading error, with noise
//! (`specimen.rs`), and on the surface with what a skin over it shows (`skin.rs`, summed like *q*);
//! `B` is the joint background, the mean over the corpus, so that like tests correlate as they do in
//! the corpus and no cluster decides alone. *None of these* is `Π_g B_g`. Weights of evidence are Owen values
//! (Owen 1977: Shapley over clusters, then inside), so that prior and weights add up to the final
//! odds in any order.

mod chosen;
mod evidence;
mod expectation;
mod explain;
pub mod gain;
mod hinge;
mod next;
mod prior;
mod product;
mod skin;
mod specimen;
mod weights;

use crate::answer::{Conclusion, Entry, FamilyShare, HazardLeft, Identify, Likely, NextTest, Skin};
use crate::model::scene::{Observation, Posterior, SceneLayer};
use crate::model::{Age, Hazard, Library, Role, Site, Table};
use crate::order::Arrange;

use evidence::Evidence;

/// What is asked.
#[derive(Clone, Debug, Default)]
pub struct Query {
    /// Roles asked for; empty for any.
    pub roles: Vec<Role>,
    /// Families asked for by name; empty for any.
    pub families: Vec<String>,
    /// Materials to which the question is narrowed, by number; empty for any.
    pub among: Vec<usize>,
    /// Materials that a condition of the user leaves out, by number. Nothing was seen that excludes
    /// them, so the hazards that they carry stay.
    pub set_aside: Vec<usize>,
    /// Years between which it was put on.
    pub restored: Option<(i32, i32)>,
    /// Where it sits.
    pub site: Option<Site>,
    /// Its age, where that was said outright.
    pub age: Option<Age>,
    /// Thickness in millimetres, where that was measured.
    pub thick_mm: Option<f64>,
    /// The user's own prior, which outranks that of the records.
    pub prior: Vec<Stated>,
    /// Layers beneath, top down.
    pub stack: Vec<SceneLayer>,
    /// What was seen.
    pub observations: Vec<Observation>,
    /// Candidates to show.
    pub limit: usize,
    /// The current year.
    pub now: i32,
    /// Whether the answer is read as a page. Of the first candidate alone it is told there what is on record,
    /// and of the others where that quarrels with what was seen; the rest is not read then.
    pub paged: bool,
}

/// How probable the user holds something before any test.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// Materials by number; empty where a family is meant.
    pub materials: Vec<usize>,
    /// Families by id.
    pub families: Vec<String>,
    /// Probability of all these together, above 0.
    pub probability: f64,
}

/// Probability below which no single material or family is named.
pub const THRESHOLD: f64 = 0.5;
/// Prior of "none of these": judgment, of the order of the share of undecided specimens in
/// surveys of old repairs (6 % of 500 films stayed undecided: walsh1995, opening).
pub const NONE_PRIOR: f64 = 0.10;
/// "None of these" never falls lower than this without a laboratory result, so nothing else rises
/// above 95 %.
pub const NONE_FLOOR: f64 = 0.05;
/// The same with a laboratory result.
pub const NONE_FLOOR_LAB: f64 = 0.01;
/// Probability from which a skin over the unknown is told: one in five is worth a fresh cut.
pub const SKIN_TOLD: f64 = 0.2;
/// Candidates shown when the user sets no limit.
pub const SHOWN: usize = 6;

/// The probabilities alone, without what explains them and what to do next.
#[must_use]
pub fn posterior(library: &dyn Library, query: &Query) -> Posterior {
    let table = library.table();
    let records = prior::of_records(table, query);
    let prior = prior::prior(table, query, &records);
    let evidence = Evidence::new(table, query, &records);
    weighed(library, query, &evidence, &prior)
}

/// What to test next, best first, without what else an answer holds.
#[must_use]
pub fn next_tests(library: &dyn Library, query: &Query) -> Vec<NextTest> {
    let table = library.table();
    let records = prior::of_records(table, query);
    let prior = prior::prior(table, query, &records);
    let evidence = Evidence::new(table, query, &records);
    let posterior = weighed(library, query, &evidence, &prior);
    let asked = evidence.into_asked();
    next::next(library, query, &posterior, asked, &records, false).tests
}

fn weighed(
    library: &dyn Library,
    query: &Query,
    evidence: &Evidence<'_>,
    prior: &[f64],
) -> Posterior {
    let table = library.table();
    let aged = prior::aged(query);
    let (materials, none) = evidence.posterior(prior);
    let hazards = if query.set_aside.is_empty() {
        hazards(library, query, &materials)
    } else {
        let whole = Query {
            set_aside: Vec::new(),
            ..query.clone()
        };
        let records = prior::of_records(table, &whole);
        let prior = prior::prior(table, &whole, &records);
        let evidence = Evidence::new(table, &whole, &records);
        hazards(library, &whole, &evidence.posterior(&prior).0)
    };
    Posterior {
        materials,
        none,
        aged,
        hazards,
    }
}

/// Ranks the candidates.
#[must_use]
pub fn identify(library: &dyn Library, query: &Query) -> Identify {
    let table = library.table();
    let records = prior::of_records(table, query);
    let prior = prior::prior(table, query, &records);
    let aged = prior::aged(query);
    let evidence = Evidence::new(table, query, &records);
    let posterior = weighed(library, query, &evidence, &prior);

    let limit = if query.limit == 0 { SHOWN } else { query.limit };
    let order = first(table, &posterior, limit);
    let shown: Vec<usize> = order
        .iter()
        .copied()
        .filter(|m| posterior.materials[*m] >= 0.002)
        .collect();
    let weights = weights::owen(&evidence, &prior, &shown);
    let candidates = explain::candidates(
        library, query, &evidence, &prior, &posterior, &shown, &weights,
    );
    let families = families(library, &posterior.materials);
    let contradictions = explain::contradictions(query, table);
    let fits_nothing =
        evidence.fits_nothing(&posterior) || explain::misfits(query, &evidence, &posterior);
    let conclusion = conclude(
        &posterior,
        &order,
        &families,
        library,
        &contradictions,
        fits_nothing,
    );
    let skins = skins(library, &evidence, &prior);
    let unrecorded = explain::unrecorded(query, table, &shown, aged);
    let hinges = order.first().map_or_else(Vec::new, |best| {
        hinge::hinges(query, &evidence, &prior, *best)
    });
    // Last, when what was weighed makes room: what to do next takes as much.
    let asked = evidence.into_asked();
    let next = next::next(library, query, &posterior, asked, &records, true);
    Identify {
        conclusion,
        candidates,
        families,
        none_of_these: posterior.none,
        hazards: hazards_left(library, &posterior),
        next_tests: next.tests,
        stop: next.stop,
        sequence: next.sequence,
        refused_tests: next.refused,
        rivals: next.rivals,
        skins,
        unrecorded,
        hinges,
        contradictions: if contradictions.is_empty() && fits_nothing {
            vec![
                "no record fits these observations together: repeat the tests on a fresh crumb, \
                 with a blank"
                    .to_owned(),
            ]
        } else {
            contradictions
        },
        posterior,
    }
}

/// So many materials, at least one, the most probable first.
fn first(table: &Table, posterior: &Posterior, limit: usize) -> Vec<usize> {
    let before = |a: &usize, b: &usize| {
        posterior.materials[*b]
            .total_cmp(&posterior.materials[*a])
            .then_with(|| table.ids.get(*a).cmp(table.ids.get(*b)))
    };
    let mut order: Vec<usize> = (0..table.rows.len()).collect();
    if limit < order.len() {
        order.select_nth_unstable_by(limit, before);
        order.truncate(limit);
    }
    order.arrange_by(before);
    order
}

/// Skins that became likelier by what was seen and may well be there, most probable first.
fn skins(library: &dyn Library, evidence: &Evidence<'_>, prior: &[f64]) -> Vec<Skin> {
    let table = library.table();
    let mut out: Vec<Skin> = evidence
        .over(prior)
        .into_iter()
        .filter_map(|(which, probability, with)| {
            let skin = &skin::SKINS[which];
            let beneath = (0..with.len()).max_by(|a, b| {
                with[*a]
                    .total_cmp(&with[*b])
                    .then_with(|| table.ids.get(*b).cmp(table.ids.get(*a)))
            })?;
            let told = probability >= SKIN_TOLD && probability >= 2.0 * skin.prior;
            told.then(|| Skin {
                name: skin.name,
                prior: skin.prior,
                probability,
                over: Likely::new(Entry::of_row(table, beneath), with[beneath]),
            })
        })
        .collect();
    out.arrange_by(|a, b| b.probability.total_cmp(&a.probability));
    out
}

fn conclude(
    posterior: &Posterior,
    order: &[usize],
    families: &[FamilyShare],
    library: &dyn Library,
    contradictions: &[String],
    fits_nothing: bool,
) -> Conclusion {
    if !contradictions.is_empty() || fits_nothing {
        return Conclusion::Contradicts;
    }
    let table = library.table();
    let first = order.first().copied();
    if let Some(best) = first
        && posterior.materials[best] >= THRESHOLD
    {
        return Conclusion::Material(table.ids.get(best).to_owned());
    }
    match families.first() {
        Some(family) if family.probability >= THRESHOLD => Conclusion::Family(family.id.clone()),
        _ => Conclusion::NotEnough,
    }
}

fn families(library: &dyn Library, posterior: &[f64]) -> Vec<FamilyShare> {
    let table = library.table();
    let mut sums = vec![0.0; table.families.len()];
    for (row, p) in table.rows.iter().zip(posterior) {
        sums[row.family as usize] += p;
    }
    let mut out: Vec<FamilyShare> = table
        .families
        .iter()
        .zip(sums)
        .filter(|(_, p)| *p >= 0.005)
        .map(|((id, name), probability)| FamilyShare {
            id: id.clone(),
            name: name.clone(),
            probability,
        })
        .collect();
    out.arrange_by(|a, b| {
        b.probability
            .total_cmp(&a.probability)
            .then_with(|| a.id.cmp(&b.id))
    });
    out
}

/// Hazards that some possible material carries and that no clean negative test has excluded. The
/// question is not how probable the material is, but whether the evidence rules it out: a hazard
/// with no clean negative stands, however small its share.
fn hazards(library: &dyn Library, query: &Query, posterior: &[f64]) -> Vec<(Hazard, f64)> {
    let table = library.table();
    let mut out = Vec::new();
    for hazard in Hazard::HIDDEN {
        let mut probability = 0.0;
        let mut possible = false;
        for (row, p) in table.rows.iter().zip(posterior) {
            let asked =
                query.roles.is_empty() || row.roles.iter().any(|r| query.roles.contains(&r));
            if row.hazards.contains(*hazard) {
                probability += p;
                possible |= asked || *p > 0.001;
            }
        }
        let own = || {
            query.observations.iter().filter(|o| {
                o.feature
                    .is_some_and(|f| table.features[f].hazard == Some(*hazard))
            })
        };
        // One positive, wherever it was had, outweighs every negative.
        let positive = |o: &Observation| !o.blank && o.outcomes.first().is_some_and(|p| *p > 0.5);
        let excluded = own().any(is_clean_negative) && !own().any(positive);
        if possible && !excluded {
            out.push((*hazard, probability));
        }
    }
    out
}

/// A negative that may be relied on: said of a clean crumb, a fresh cut or a section, sure, and
/// with no doubt thrown on it by a blank.
fn is_clean_negative(observation: &Observation) -> bool {
    use crate::model::Specimen::{FreshCut, Section};
    let negative = observation.outcomes.first().is_some_and(|p| *p <= 0.01)
        && observation.outcomes.iter().skip(1).any(|p| *p > 0.5);
    let specimen = observation.clean || matches!(observation.specimen, FreshCut | Section);
    negative && specimen && !observation.blank && observation.belief >= 0.99
}

fn hazards_left(library: &dyn Library, posterior: &Posterior) -> Vec<HazardLeft> {
    posterior
        .hazards
        .iter()
        .map(|(hazard, probability)| {
            // The table knows which test it is without a record being read for each.
            let table = library.table();
            let own = |f: &&crate::model::Feature| f.hazard == Some(*hazard) && !f.laboratory;
            let test = table.features.iter().find(own).and_then(|f| {
                let test = library.test(&f.id)?;
                Some(Entry::of(&test.head))
            });
            HazardLeft {
                hazard: *hazard,
                probability: *probability,
                test,
            }
        })
        .collect()
}
