//! The two strongest rivals, and the test that parts them best.

use super::ahead::State;
use super::{Columns, LEAST_BITS, Plan};
use crate::answer::{Entry, Likely, Rivals, Separator};
use crate::identify::gain::entropy;
use crate::model::Hazard;
use crate::order::Arrange;

/// Two hypotheses by place, each with its share of the two.
type Pair = [(usize, f64); 2];

/// Expected information on the two alone, bits.
pub(super) fn parts(columns: &Columns, outcomes: usize, pair: Pair) -> f64 {
    let of = |(k, _): (usize, f64)| {
        let from = usize::from(columns.of[k]) * outcomes;
        &columns.all[from..from + outcomes]
    };
    between(of(pair[0]), of(pair[1]), pair)
}

/// H(o) less what of it is left where it is known which of the two it is.
fn between(first: &[f64], second: &[f64], [(_, p), (_, q)]: Pair) -> f64 {
    let gain: f64 = first
        .iter()
        .zip(second)
        .map(|(a, b)| entropy(p * a + q * b) - p * entropy(*a) - q * entropy(*b))
        .sum();
    gain.max(0.0)
}

impl Plan<'_> {
    /// The two most probable candidates; `None` where there are not two, or one has next to nothing.
    pub(super) fn pair(&self, belief: &[f64]) -> Option<Pair> {
        let mut order: Vec<usize> = (0..self.candidates.len()).collect();
        let id = |k: usize| self.table.ids.get(self.candidates[k]);
        order.arrange_by(|a, b| {
            belief[*b]
                .total_cmp(&belief[*a])
                .then_with(|| id(*a).cmp(id(*b)))
        });
        let (first, second) = (*order.first()?, *order.get(1)?);
        let sum = belief[first] + belief[second];
        (sum > 0.0).then(|| [(first, belief[first] / sum), (second, belief[second] / sum)])
    }

    /// The two strongest, with the test that the gate lets pass and that tells most of which of the
    /// two it is; of two that tell the same, the cheaper.
    pub(super) fn rivals(&self, state: &State, hazards: &[(Hazard, f64)]) -> Option<Rivals> {
        let pair = self.pair(&state.belief)?;
        let outcomes = &self.field.outcomes;
        let bits = |test: usize| -> f64 {
            let gain: f64 = (0..outcomes.outcomes(test))
                .map(|o| {
                    let row = outcomes.row(test, o);
                    between(&[row[pair[0].0]], &[row[pair[1].0]], pair)
                })
                .sum();
            gain
        };
        let rounded = |bits: f64| (bits * 1e6).round();
        let best = (0..outcomes.tests())
            .filter(|t| state.open[*t])
            .map(|t| (bits(t), self.field.cost(state.crumb, t), t))
            .filter(|(bits, ..)| *bits >= LEAST_BITS)
            .max_by(|a, b| {
                rounded(a.0)
                    .total_cmp(&rounded(b.0))
                    .then(b.1.total_cmp(&a.1))
                    .then(b.2.cmp(&a.2))
            });
        let separator = best.and_then(|(bits, _, t)| {
            let offer = self.on_file[t].offer(hazards).ok()?;
            let words = &self.table.features[self.features[t]].outcomes();
            // For each, the outcome that raises it most over the other.
            let speaks = |own: usize, other: usize| {
                (0..words.len())
                    .map(|o| {
                        let row = outcomes.row(t, o);
                        (row[pair[own].0] - row[pair[other].0], o)
                    })
                    .max_by(|a, b| rounded(a.0).total_cmp(&rounded(b.0)).then(b.1.cmp(&a.1)))
                    .map_or_else(String::new, |(_, o)| words[o].to_owned())
            };
            Some(Separator {
                offer,
                bits,
                outcomes: [speaks(0, 1), speaks(1, 0)],
            })
        });
        let told = |k: usize| {
            let material = self.candidates[pair[k].0];
            Likely::new(Entry::of_row(self.table, material), state.belief[pair[k].0])
        };
        Some(Rivals {
            between: [told(0), told(1)],
            separator,
        })
    }
}
