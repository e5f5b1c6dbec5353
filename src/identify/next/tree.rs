//! A sequence of tests as a small tree: at each fork the test that is best there, and what each
//! answer would lead to. Answers that lead the same way are one branch; what comes seldom, or would
//! change nothing, is cut off.

use super::ahead::{Rate, State};
use super::{LEADING, LEAST_BITS, LEAST_VALUE, Plan};
use crate::answer::{Branch, Conclusion, End, Fork, Leaf, Then};
use crate::model::Hazard;
use crate::order::Arrange;

/// Tests in a row.
const DEPTH: usize = 3;
/// A way is followed while it comes at least so often.
const FOLLOWED: f64 = 0.15;
/// An answer that comes more seldom than this is put with the others left over.
const RARE: f64 = 0.05;
/// Branches of a fork beside the one for what is left over.
const BRANCHES: usize = 3;
/// Names told at the end of a way.
const NAMES: usize = 2;

/// Where the sequence stands.
struct Place<'s> {
    state: &'s State,
    /// Hazards that a negative on the way excluded.
    excluded: Vec<Hazard>,
    depth: usize,
    chance: f64,
}

/// The sequence from here; `None` when no test is worth its cost.
pub(super) fn grow(plan: &Plan<'_>, state: &State) -> Option<Fork> {
    fork(
        plan,
        &Place {
            state,
            excluded: Vec::new(),
            depth: 0,
            chance: 1.0,
        },
    )
}

fn fork(plan: &Plan<'_>, place: &Place<'_>) -> Option<Fork> {
    let hazards = plan.hazards_at(&place.state.belief, &place.excluded);
    let mut state = place.state.clone();
    plan.allow(&mut state, &hazards);
    let is_worth_it = |(t, rate): &(usize, Rate)| {
        rate.value >= LEAST_VALUE
            && (rate.opens.is_some() || plan.field.bits(&state, *t).0 >= LEAST_BITS)
    };
    // The best nearly always is; all are ranked only where it is not.
    let (test, _) = [1, usize::MAX].into_iter().find_map(|wanted| {
        let ranked = plan.field.ranked(&state, LEADING, wanted);
        ranked.into_iter().find(is_worth_it)
    })?;
    let offer = plan.on_file[test].offer(&hazards).ok()?;
    let (gain_bits, _) = plan.field.bits(&state, test);
    state.open = vec![true; state.open.len()];
    for (t, open) in state.open.iter_mut().enumerate() {
        *open = place.state.open[t] && t != test;
    }
    state.asked[plan.field.cluster[test]] = true;
    let branches = answers(plan, &state, test)
        .into_iter()
        .map(|(any, rest)| {
            let (belief, probability) = plan.field.outcomes.after_any(&state.belief, test, &any);
            let after = State {
                belief,
                crumb: plan.field.crumb_after(state.crumb, test, &any),
                ..state.clone()
            };
            let mut excluded = place.excluded.clone();
            // The first outcome is the positive one.
            if let Some(hazard) = plan.on_file[test].excludes
                && !any.contains(&0)
            {
                excluded.push(hazard);
            }
            let words = plan.table.features[plan.features[test]].outcomes();
            let at = Place {
                state: &after,
                excluded,
                depth: place.depth + 1,
                chance: place.chance * probability,
            };
            Branch {
                outcomes: any.iter().map(|o| words[*o].to_owned()).collect(),
                rest,
                probability,
                chance: at.chance,
                then: then(plan, &at, rest),
            }
        })
        .collect();
    Some(Fork {
        offer,
        gain_bits,
        branches,
    })
}

fn then(plan: &Plan<'_>, place: &Place<'_>, rest: bool) -> Then {
    let belief = &place.state.belief;
    if plan.stop(belief).is_some() {
        return Then::Leaf(leaf(plan, belief, End::Family));
    }
    if rest || place.depth == DEPTH || place.chance < FOLLOWED {
        return Then::Leaf(leaf(plan, belief, End::AskAgain));
    }
    match fork(plan, place) {
        Some(fork) => Then::Test(Box::new(fork)),
        None => Then::Leaf(leaf(plan, belief, End::NotWorth)),
    }
}

/// Outcomes that lead the same way, most probable first; the rare ones together at the end.
fn answers(plan: &Plan<'_>, state: &State, test: usize) -> Vec<(Vec<usize>, bool)> {
    let outcomes = &plan.field.outcomes;
    let lead = |belief: &[f64]| plan.leading_family(belief).map(|(family, _)| family);
    let share = |belief: &[f64], family: Option<usize>| {
        plan.leading_family(belief)
            .filter(|(own, _)| Some(*own) == family)
            .map_or(0.0, |(_, share)| share)
    };
    let now = share(&state.belief, lead(&state.belief));
    type Way = (Option<usize>, bool);
    let mut ways: Vec<(Way, Vec<usize>, f64)> = Vec::new();
    for outcome in 0..outcomes.outcomes(test) {
        let (belief, p) = outcomes.after_any(&state.belief, test, &[outcome]);
        let family = lead(&belief);
        let way = (family, share(&belief, family) >= now);
        match ways.iter_mut().find(|(own, _, _)| *own == way) {
            Some((_, any, sum)) => {
                any.push(outcome);
                *sum += p;
            }
            None => ways.push((way, vec![outcome], p)),
        }
    }
    // All lead the same way: then each outcome is told by itself.
    if ways.len() == 1 {
        let (way, any, _) = ways.remove(0);
        ways.extend(any.into_iter().map(|o| {
            let p = outcomes.probability(&state.belief, test, o);
            (way, vec![o], p)
        }));
    }
    ways.arrange_by(|a, b| b.2.total_cmp(&a.2).then(a.1.cmp(&b.1)));
    let mut out: Vec<(Vec<usize>, bool)> = Vec::new();
    let mut left: Vec<usize> = Vec::new();
    for (_, any, p) in ways {
        if out.len() < BRANCHES && p >= RARE {
            out.push((any, false));
        } else {
            left.extend(any);
        }
    }
    if !left.is_empty() {
        left.sort_unstable();
        out.push((left, true));
    }
    out
}

/// What would be concluded at a belief, by the rules by which `identify` concludes.
fn leaf(plan: &Plan<'_>, belief: &[f64], end: End) -> Leaf {
    // The floor under "none of these" holds here too.
    let none = belief.last().copied().unwrap_or(0.0);
    let floor = crate::identify::NONE_FLOOR;
    let scale = if none < floor && none < 1.0 {
        (1.0 - floor) / (1.0 - none)
    } else {
        1.0
    };
    let mut order: Vec<(usize, f64)> = plan
        .candidates
        .iter()
        .zip(belief)
        .map(|(m, p)| (*m, p * scale))
        .collect();
    order.arrange_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let names = |count: usize| -> Vec<(String, f64)> {
        let shown = order.iter().take(count);
        shown
            .map(|(m, p)| (plan.table.names.get(*m).to_owned(), *p))
            .collect()
    };
    let family = plan.leading_family(belief);
    let threshold = crate::identify::THRESHOLD;
    let (conclusion, leading) = match (order.first(), family) {
        (Some((m, p)), _) if *p >= threshold => (
            Conclusion::Material(plan.table.ids.get(*m).to_owned()),
            names(1),
        ),
        (_, Some((family, share))) if share * scale >= threshold => {
            let (id, name) = &plan.table.families[family];
            (
                Conclusion::Family(id.clone()),
                vec![(name.clone(), share * scale)],
            )
        }
        _ => (Conclusion::NotEnough, names(NAMES)),
    };
    Leaf {
        conclusion,
        leading,
        end,
    }
}
