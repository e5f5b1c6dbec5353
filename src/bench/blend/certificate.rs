//! The exact bound, beside what can be mixed.

use super::search::{self, Watch};
use super::weigh::{self, Bench};
use super::{FINER, NEAR, STEPS, bound, space};
use crate::answer::blend::{Blend, Nearest};
use crate::chem;
use crate::model::Hansen;

/// The exact bound, and beside it the nearest blend in steps: of 5 %, or finer where those miss the
/// bound by much, as they do where the layers leave but a sliver.
pub(super) fn certificate(
    bench: &Bench<'_>,
    apart: &[(usize, usize)],
    out: &mut Blend,
    watch: &mut Watch<'_>,
) {
    let radius = bench.target.main.radius.unwrap_or(1.0);
    for steps in FINER {
        let space = space(bench, apart, steps);
        if out.bound.is_none() {
            out.bound = bound::bound(&space).map(|b| Nearest {
                parts: Vec::new(),
                step: 0.0,
                at: b.at,
                ra: b.ra,
                red: b.ra / radius,
            });
        }
        let Some(bound) = &out.bound else {
            return;
        };
        let bound = bound.ra;
        // Finer steps of four liquids are too many; three come as near.
        let most = if steps == STEPS {
            search::MOST_LIQUIDS
        } else {
            3
        };
        let Some(found) = search::nearest(&space, most, 1, &mut |done| watch(0.3 * done)) else {
            out.stopped = true;
            return;
        };
        let Some(mix) = found.first() else {
            continue;
        };
        if out.nearest.as_ref().is_some_and(|n| n.ra <= mix.ra) {
            continue;
        }
        let list: Vec<(Hansen, f64)> = mix
            .parts()
            .map(|(k, u)| (bench.liquids[k].hansen, f64::from(u)))
            .collect();
        out.nearest = Some(Nearest {
            parts: weigh::named(bench.liquids, mix, steps),
            step: 100.0 / f64::from(steps),
            at: chem::blend(&list).unwrap_or(bench.target.main),
            ra: mix.ra,
            red: mix.ra / radius,
        });
        if mix.ra - bound <= NEAR {
            return;
        }
    }
}
