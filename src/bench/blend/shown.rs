//! What an answer shows of the liquids, and of what the demands left.

use super::liquids::Candidate;
use super::search::{self, Space};
use super::spheres::Known;
use super::weigh::Bench;
use super::{ALL_OF_FOUR, Ask, STEPS};
use crate::answer::blend::{Liquid, Sifted};
use crate::chem;
use crate::model::Basis;

/// How many blends each demand left.
pub(super) fn sifted(
    bench: &Bench<'_>,
    ask: &Ask,
    (within, outside): (u64, &[u64]),
    (followed, held, lost): (u64, u64, [u64; 4]),
    space: &Space,
) -> Vec<Sifted> {
    let many = bench.liquids.len() > ALL_OF_FOUR;
    let most = if many { 3 } else { search::MOST_LIQUIDS };
    let mut out = vec![
        Sifted {
            demand: format!(
                "blends of 2 to {most} of {} liquids in steps of {:.0} %",
                bench.liquids.len(),
                100.0 / f64::from(STEPS)
            ),
            left: space.count(most),
        },
        Sifted {
            demand: format!(
                "{} {}: RED {} at the most, every pair mixes",
                ask.does.word(),
                ask.called,
                if bench.sure { chem::GOOD } else { 1.0 }
            ),
            left: within,
        },
    ];
    for (layer, left) in ask.scene.layers.iter().zip(outside) {
        out.push(Sifted {
            demand: format!("spare {} at the start", layer.called),
            left: *left,
        });
    }
    out.push(Sifted {
        demand: format!(
            "of the {followed} that were followed, best first: hold to the last tenth and pass the gate"
        ),
        left: held,
    });
    for (count, why) in lost.iter().zip([
        "lost: another sphere that fits the target as well holds them outside",
        "lost: touch a layer while they dry",
        "lost: an alcohol beside an alkane, and no figures for how they act on one another",
        "lost: refused by a hard rule",
    ]) {
        if *count > 0 {
            out.push(Sifted {
                demand: why.to_owned(),
                left: *count,
            });
        }
    }
    out
}

/// A liquid as the answer shows it.
pub(super) fn shown(it: &Candidate, target: Option<&Known>, layers: &[Option<Known>]) -> Liquid {
    let mut sources = Basis::keys(it.facts.iter());
    sources.extend(it.limit.iter().flat_map(|l| l.sources.iter().cloned()));
    sources.sort();
    sources.dedup();
    Liquid {
        id: it.agent.head.id.clone(),
        name: it.agent.head.names.name.clone(),
        hansen: it.hansen,
        teas: it.teas.or_else(|| chem::teas(it.hansen)),
        teas_published: it.teas.is_some(),
        red: target.map(|t| t.red(it.hansen)),
        layers: layers
            .iter()
            .map(|l| l.as_ref().map(|l| l.red(it.hansen)))
            .collect(),
        limit: it.limit.clone(),
        hazard: it.hazard(),
        flash: it.flash,
        basis: Basis::words(it.facts.iter()),
        sources,
    }
}
