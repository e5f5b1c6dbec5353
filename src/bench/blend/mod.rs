//! Blends of two to four liquids that dissolve one thing and keep off others, from the first drop to the
//! last tenth that dries.
//!
//! The order of grounds: what was tried on this object, what the records say of single liquids, and
//! only then a sphere. A layer without a sphere is spared by a blend only if nothing in it dissolves;
//! otherwise, and for an aged target without one, the answer is which swab tests would settle it.

pub mod bound;
mod certificate;
mod liquids;
mod records;
pub mod search;
mod settle;
mod shown;
mod spheres;
mod walk;
mod weigh;

use crate::answer::blend::{Apart, Blend, Region, Sifted};
use crate::model::scene::{Described, Scene, TargetTrial};
use crate::model::{Age, Does, Hansen, Library, Material};
use crate::order::Arrange;

use certificate::certificate;
use liquids::Means;
use search::{Ball, Mix, Space, Watch};
use shown::{shown, sifted};
use spheres::{Known, Tried};
use weigh::{Bench, Lost};

/// Blends that are shown, unless another number is asked for.
pub const SHOWN: usize = 5;
/// Equal parts into which a blend is measured: steps of 5 %.
const STEPS: u8 = 20;
/// Steps of the nearest blend beside the exact bound: finer ones where it is missed by more than [`NEAR`].
const FINER: [u8; 3] = [STEPS, 50, 100];
/// How far short of the exact bound a blend in steps may fall, `MPa^0.5`.
const NEAR: f64 = 0.1;
/// Liquids up to which all blends of four are gone through; beyond it, the nearest of them.
const ALL_OF_FOUR: usize = 20;
/// Of blends of four of many liquids, how many of the nearest are weighed.
const NEAREST_OF_FOUR: usize = 400;
/// Blends whose drying is followed at the most.
const FOLLOWED: usize = 4000;

/// What is asked.
#[derive(Clone, Debug)]
pub struct Ask {
    /// What the blend is to do.
    pub does: Does,
    /// What the user called the target.
    pub called: String,
    /// The target's record, where one material is meant.
    pub material: Option<Material>,
    /// Its age, where it was said.
    pub age: Option<Age>,
    /// What was tried on it.
    pub tried: Vec<TargetTrial>,
    /// Layers to spare with what was tried on them, the target for the gate, liquids that are permitted.
    pub scene: Scene,
    /// Ids of the liquids at hand; empty for all solvents of the corpus.
    pub using: Vec<String>,
    /// Most blends to show; 0 for the usual number.
    pub limit: usize,
}

/// Works out the blends. `watch` hears what share of the search is done, and says whether to go on.
#[must_use]
pub fn blend(library: &dyn Library, ask: &Ask, watch: &mut Watch<'_>) -> Blend {
    let mut out = Blend {
        action: ask.does,
        step: 100.0 / f64::from(STEPS),
        ..Blend::default()
    };
    let Some(means) = Means::read(library) else {
        out.missing
            .push("the corpus has no swab to put a blend on with".to_owned());
        return out;
    };
    let target = target(library, ask, &mut out);
    let layers = layers(library, ask, &mut out);
    let shelf = liquids::shelf(
        library,
        &ask.using,
        &ask.scene.permitted,
        &means,
        &ask.scene,
    );
    out.left_out = shelf.left_out;
    let liquids = shelf.liquids;
    let known: Vec<Option<Known>> = layers.iter().map(|l| l.clone().unwrap_or(None)).collect();
    out.liquids = liquids
        .iter()
        .map(|c| shown(c, target.as_ref(), &known))
        .collect();
    let Some(target) = target.filter(|_| out.missing.is_empty()) else {
        return out;
    };
    let material = ask
        .material
        .as_ref()
        .map(|m| (m, ask.age.unwrap_or(Age::Aged)));
    out.conflicts = records::conflicts(material, &ask.tried, ask.does, &target, &liquids);
    let apart = liquids::apart(&liquids, &means, &ask.scene);
    let pairs: Vec<(usize, usize)> = apart.iter().map(|(a, b, _)| (*a, *b)).collect();
    let doubted = weigh::doubted(&liquids, &ask.scene, &out.conflicts);
    for sure in [true, false] {
        let bench = Bench {
            liquids: &liquids,
            target: &target,
            layers: &known,
            scene: &ask.scene,
            means: &means,
            conflicts: &out.conflicts.clone(),
            doubted: doubted.clone(),
            steps: STEPS,
            sure,
        };
        let space = space(&bench, &pairs, STEPS);
        if sure {
            out.weighed = space.count(search::MOST_LIQUIDS);
            certificate(&bench, &pairs, &mut out, watch);
        }
        let sifted = practical(&space, &bench, ask, &mut out, watch);
        if sure {
            out.sifted = sifted;
        }
        if !out.blends.is_empty() || out.stopped {
            break;
        }
    }
    watch(1.0);
    out.apart = apart
        .into_iter()
        .map(|(a, b, reason)| {
            let id = |k: usize| liquids[k].agent.head.id.clone();
            let liquids = [id(a), id(b)];
            Apart { liquids, reason }
        })
        .collect();
    out
}

/// The target's region, or what is missing of it and the tests that would give it.
fn target(library: &dyn Library, ask: &Ask, out: &mut Blend) -> Option<Known> {
    let mut shown = Region {
        id: ask.material.as_ref().map(|m| m.head.id.clone()),
        called: ask.called.clone(),
        state: ask.age.iter().map(|a| a.word().to_owned()).collect(),
        ..Region::default()
    };
    let tried = Tried::on_target(library, &ask.tried, ask.does);
    let facts = ask.material.as_ref().map(|m| &m.head.facts);
    let swell = ask.does == Does::Swell;
    let age = ask.age;
    let holds = move |fact: &crate::model::Fact| match spheres::sphere_age(fact) {
        Some(of) => age == Some(of),
        // What swells a cured film is asked of a sphere of attack and swelling.
        None => swell && age.is_some(),
    };
    let known = spheres::known(&mut shown, &tried, facts, &holds);
    if known.is_none() {
        out.missing.push(why_no_target(ask, &tried));
        out.settle.extend(settle::target(
            library,
            &ask.called,
            ask.material.as_ref(),
            &tried,
            ask.does,
            (&ask.using, &ask.scene.permitted),
        ));
    }
    out.missing_notes(&ask.called, &tried);
    out.target = shown;
    known
}

fn why_no_target(ask: &Ask, tried: &Tried) -> String {
    let called = &ask.called;
    let mut text = match ask.age {
        Some(age) => format!(
            "{called} ({}): no sphere of that state is known",
            age.word()
        ),
        None => format!("{called}: whether it is fresh or aged was not said, and no test tells"),
    };
    let fresh = ask.material.as_ref().is_some_and(|m| {
        m.head
            .facts
            .get("hansen")
            .iter()
            .any(|f| spheres::sphere_age(f) == Some(Age::Fresh))
    });
    if fresh {
        text.push_str("; the sphere of the fresh resin says nothing of an aged film");
    }
    text.push_str(&unfit_words(tried));
    text
}

fn unfit_words(tried: &Tried) -> String {
    let tests = &tried.trials[..tried.trials.len() - tried.recorded];
    let good = tests.iter().filter(|t| t.good).count();
    let recorded = match tried.recorded {
        0 => String::new(),
        1 => ", beside a liquid that is recorded to harm it".to_owned(),
        n => format!(", beside {n} liquids that are recorded to harm it"),
    };
    format!(
        "; swab tests so far: {good} that do it, {} that do not{recorded}",
        tests.len() - good
    )
}

/// The layers' regions: known by a sphere, or by the record alone, or missing.
fn layers(library: &dyn Library, ask: &Ask, out: &mut Blend) -> Vec<Option<Option<Known>>> {
    let mut all = Vec::new();
    for layer in &ask.scene.layers {
        let Described {
            id,
            called,
            conditions: mut state,
        } = layer.described();
        // `oil paint (young)` is a record of its own: its name says what was meant.
        let name = &layer.layer.head.names.name;
        if !name.eq_ignore_ascii_case(&called) {
            state.insert(0, name.clone());
        }
        let mut shown = Region {
            id: Some(id),
            called: called.clone(),
            state,
            ..Region::default()
        };
        let tried = Tried::on_layer(library, layer);
        let known = spheres::known(&mut shown, &tried, Some(&layer.layer.head.facts), &|_| true);
        shown.by_record = known.is_none() && spheres::insoluble(layer);
        if known.is_none() && !shown.by_record {
            out.missing.push(format!(
                "{called}: no sphere is known{}",
                unfit_words(&tried)
            ));
            out.settle.extend(settle::layer(
                library,
                layer,
                &tried,
                (&ask.using, &ask.scene.permitted),
            ));
        }
        out.missing_notes(&called, &tried);
        out.layers.push(shown);
        all.push(Some(known));
    }
    all
}

impl Blend {
    /// Tests that could not be used are told where something is missing.
    fn missing_notes(&mut self, called: &str, tried: &Tried) {
        for note in &tried.notes {
            self.notes.push(format!("{called}: {note}"));
        }
    }
}

/// The space of the search: what the first sphere of the target is the middle of.
fn space(bench: &Bench<'_>, apart: &[(usize, usize)], steps: u8) -> Space {
    let points: Vec<Hansen> = bench.liquids.iter().map(|c| c.hansen).collect();
    let mut balls: Vec<Ball> = Vec::new();
    for (layer, known) in bench.layers.iter().enumerate() {
        for (centre, radius) in known.iter().flat_map(|k| k.keep_out(bench.sure)) {
            balls.push(Ball {
                centre,
                radius,
                layer,
            });
        }
    }
    let mut out = Space::new(&points, bench.target.main, &balls, steps);
    for (a, b) in apart {
        out.keep_apart(*a, *b);
    }
    out
}

/// Blends that are worth following, as far as they were gathered.
struct Gathered {
    /// Each with what it costs at first sight, the least first.
    mixes: Vec<(f64, Mix)>,
    /// Blends that dissolve the target.
    within: u64,
    /// Of these, how many each layer by itself would leave.
    outside: Vec<u64>,
}

/// Gathers the blends that reach the target; none where the search was stopped. Of very many liquids four
/// in one are only sought near the target.
fn gather(space: &Space, bench: &Bench<'_>, watch: &mut Watch<'_>) -> Option<Gathered> {
    let reach = bench.target.reach(bench.sure);
    let cost = |mix: &Mix| bench.first_cost(mix);
    let mut out = Gathered {
        mixes: Vec::new(),
        within: 0,
        outside: Vec::new(),
    };
    let many = bench.liquids.len() > ALL_OF_FOUR;
    let sizes = if many {
        2..=3
    } else {
        2..=search::MOST_LIQUIDS
    };
    for size in sizes {
        let share = |done: f64| 0.3 + 0.3 * done;
        let pool = search::pool(space, size, reach, &cost, &mut |done| watch(share(done)))?;
        out.within += pool.within;
        out.outside.resize(pool.outside.len(), 0);
        for (sum, own) in out.outside.iter_mut().zip(&pool.outside) {
            *sum += own;
        }
        out.mixes.extend(pool.mixes);
    }
    if many {
        let near = search::nearest(space, search::MOST_LIQUIDS, NEAREST_OF_FOUR, &mut |done| {
            watch(0.6 + 0.2 * done)
        })?;
        out.mixes.extend(
            near.into_iter()
                .filter(|m| m.ra <= reach && m.parts().count() == search::MOST_LIQUIDS)
                .map(|m| (cost(&m), m)),
        );
    }
    out.mixes.arrange_by(|a, b| a.0.total_cmp(&b.0));
    Some(out)
}

/// Goes through the blends, cheapest first, and keeps those that hold; says how many were left after
/// each demand.
fn practical(
    space: &Space,
    bench: &Bench<'_>,
    ask: &Ask,
    out: &mut Blend,
    watch: &mut Watch<'_>,
) -> Vec<Sifted> {
    let Some(gathered) = gather(space, bench, watch) else {
        out.stopped = true;
        return Vec::new();
    };
    let limit = if ask.limit == 0 { SHOWN } else { ask.limit };
    let mut lost = [0_u64; 4];
    let (mut followed, mut held) = (0_usize, 0_u64);
    for (_, mix) in &gathered.mixes {
        if out.blends.len() >= limit || followed >= FOLLOWED {
            break;
        }
        let names = weigh::named(bench.liquids, mix, STEPS);
        if out.blends.iter().any(|b| weigh::alike(&b.parts, &names)) {
            continue;
        }
        followed += 1;
        if followed % 64 == 0 && !watch(0.8 + 0.2 * followed as f64 / FOLLOWED as f64) {
            out.stopped = true;
            break;
        }
        match bench.weigh(mix) {
            Ok(practical) => {
                held += 1;
                out.blends.push(practical);
            }
            Err(Lost::Target) => lost[0] += 1,
            Err(Lost::Path) => lost[1] += 1,
            Err(Lost::Ideal) => lost[2] += 1,
            Err(Lost::Gate) => lost[3] += 1,
        }
    }
    out.blends
        .arrange_by(|a, b| a.call.cmp(&b.call).then(a.score.total_cmp(&b.score)));
    for (k, blend) in out.blends.iter_mut().enumerate() {
        blend.rank = k + 1;
    }
    sifted(
        bench,
        ask,
        (gathered.within, &gathered.outside),
        (followed as u64, held, lost),
        space,
    )
}
