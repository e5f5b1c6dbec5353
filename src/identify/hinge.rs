//! Which single observation carries the answer: leave each out in turn and see who leads.

use super::Query;
use super::chosen::Chosen;
use super::evidence::Evidence;
use crate::answer::{Entry, Hinge};

/// Observations without which another material than `best` would lead, in the order in which they
/// were told.
pub(super) fn hinges(
    query: &Query,
    evidence: &Evidence<'_>,
    prior: &[f64],
    best: usize,
) -> Vec<Hinge> {
    let n = evidence.usable.len();
    let mut out = Vec::new();
    for (u, (i, _)) in evidence.usable.iter().enumerate() {
        let mut chosen = Chosen::all(n);
        chosen.remove(u);
        let (posterior, _) = evidence.raw(prior, &chosen);
        let table = evidence.table;
        let leader = (0..posterior.len()).max_by(|a, b| {
            posterior[*a]
                .total_cmp(&posterior[*b])
                // Of two alike the one that leads now, else the first by name, as in the answer.
                .then_with(|| (*a == best).cmp(&(*b == best)))
                .then_with(|| table.ids.get(*b).cmp(table.ids.get(*a)))
        });
        if let Some(leader) = leader.filter(|l| *l != best) {
            out.push(Hinge {
                observation: query.observations[*i].text.clone(),
                leader: Entry::of_row(table, leader),
                probability: posterior[leader],
            });
        }
    }
    out
}
