//! What an answer rests on: its sources, and the hazards that must be named.

use std::collections::BTreeSet;

use crate::answer::{Body, Cell, Choose, Extent, Fork, LayerHarm, Outlook, Remove, Rung, Then};
use crate::gate::Caveat;
use crate::model::{Basis, Hazard, Kind, Library, Source};

/// Sources of everything in the answer, sorted by key.
pub(super) fn sources(library: &dyn Library, body: &Body) -> Vec<Source> {
    let mut keys: BTreeSet<String> = BTreeSet::new();
    match body {
        Body::Find(find) => {
            for hit in find.matches.iter().chain(&find.undetermined) {
                keys.extend(hit.values.iter().flat_map(|v| v.sources.iter().cloned()));
                // A source that is looked up by its key is what it rests on.
                if find.extent == Extent::Brief && hit.kind == Kind::Source {
                    keys.insert(hit.id.clone());
                }
            }
        }
        Body::Identify(it) => {
            for candidate in &it.candidates {
                keys.extend(
                    candidate
                        .evidence
                        .iter()
                        .flat_map(|e| e.sources.iter().cloned()),
                );
            }
            for next in &it.next_tests {
                caveats(next.offer.test.caveats(), &mut keys);
            }
            if let Some(fork) = &it.sequence {
                sequence(fork, &mut keys);
            }
        }
        Body::Prepare(it) => {
            keys.extend(it.facts.iter().flat_map(|f| f.sources.iter().cloned()));
            keys.extend(it.dissolving.iter().flat_map(|d| d.sources.iter().cloned()));
            keys.extend(it.gel.iter().flat_map(|g| g.sources.iter().cloned()));
            keys.extend(it.buffer.iter().flat_map(|b| b.sources.iter().cloned()));
            caveats(it.vessel.caveats(), &mut keys);
        }
        Body::Ventilate(it) => {
            keys.extend(it.facts.iter().flat_map(|f| f.sources.iter().cloned()));
            caveats(it.vessel.caveats(), &mut keys);
        }
        Body::Remove(it) => removal(it, &mut keys),
        Body::Choose(it) => choice(it, &mut keys),
        Body::Blend(it) => blending(it, &mut keys),
        Body::Compare(it) => {
            for cell in it.rows.iter().flat_map(|row| &row.cells) {
                match cell {
                    Cell::Stated(list) => {
                        keys.extend(list.iter().flat_map(|v| v.sources.iter().cloned()));
                    }
                    Cell::Removal { steps, leave, .. } => {
                        steps.iter().for_each(|step| rung(step, &mut keys));
                        if let Some(leave) = leave {
                            basis(&leave.basis, &mut keys);
                        }
                    }
                }
            }
        }
    }
    keys.iter().filter_map(|key| library.source(key)).collect()
}

fn choice(it: &Choose, keys: &mut BTreeSet<String>) {
    for one in &it.choices {
        keys.extend(one.marks.iter().flat_map(|m| m.sources.iter().cloned()));
        one.minding.iter().for_each(|r| basis(&r.basis, keys));
        caveats(one.applied.caveats(), keys);
        outlooks(&one.forecast, keys);
    }
    for pair in &it.pairs {
        pair.checks.iter().for_each(|r| basis(&r.basis, keys));
        caveats(pair.applied.caveats(), keys);
        outlooks(&pair.forecast, keys);
    }
    for lost in it.lost.iter().chain(&it.undetermined) {
        basis(&lost.reason.basis, keys);
    }
    for reason in it.pins.iter().chain(&it.light).chain(&it.remarks) {
        basis(&reason.basis, keys);
    }
}

fn outlooks(list: &[Outlook], keys: &mut BTreeSet<String>) {
    for it in list {
        keys.extend(it.sources.iter().cloned());
        if let Some(route) = &it.route {
            rung(route, keys);
        }
    }
}

fn sequence(fork: &Fork, keys: &mut BTreeSet<String>) {
    caveats(fork.offer.test.caveats(), keys);
    for branch in &fork.branches {
        if let Then::Test(next) = &branch.then {
            sequence(next, keys);
        }
    }
}

fn removal(it: &Remove, keys: &mut BTreeSet<String>) {
    for preliminary in &it.before {
        basis(&preliminary.basis, keys);
    }
    for step in &it.ladder {
        rung(step, keys);
    }
    for row in &it.ruled_out {
        harms(&row.harm, keys);
    }
    if let Some(leave) = &it.leave {
        basis(&leave.basis, keys);
    }
    keys.extend(it.idle.iter().flat_map(|i| i.sources.iter().cloned()));
    for next in &it.next {
        removal(next, keys);
    }
}

/// What a blend rests on: the spheres, the liquids in what is shown, and what was left out of it.
fn blending(it: &crate::answer::Blend, keys: &mut BTreeSet<String>) {
    for region in std::iter::once(&it.target).chain(&it.layers) {
        keys.extend(
            region
                .spheres
                .iter()
                .flat_map(|s| s.sources.iter().cloned()),
        );
    }
    for liquid in &it.liquids {
        let shown = it
            .blends
            .iter()
            .any(|b| b.parts.iter().any(|part| part.id == liquid.id));
        if shown {
            keys.extend(liquid.sources.iter().cloned());
        }
    }
    for left in &it.left_out {
        basis(&left.reason.basis, keys);
    }
    keys.extend(it.settle.iter().flat_map(|s| s.sources.iter().cloned()));
    for conflict in &it.conflicts {
        keys.extend(conflict.sources.iter().cloned());
    }
    for blend in &it.blends {
        harms(&blend.records, keys);
        for reason in &blend.reasons {
            basis(&reason.basis, keys);
        }
        for step in &blend.steps {
            caveats(step.caveats(), keys);
        }
    }
}

fn rung(step: &Rung, keys: &mut BTreeSet<String>) {
    keys.extend(step.effect.sources.iter().cloned());
    harms(&step.harm, keys);
    for reason in &step.reasons {
        basis(&reason.basis, keys);
    }
    caveats(step.step.caveats(), keys);
}

fn harms(rows: &[LayerHarm], keys: &mut BTreeSet<String>) {
    keys.extend(rows.iter().flat_map(|row| row.footing.sources()));
}

fn basis(basis: &Basis, keys: &mut BTreeSet<String>) {
    keys.extend(basis.source().map(str::to_owned));
}

fn caveats(list: &[Caveat], keys: &mut BTreeSet<String>) {
    for caveat in list {
        basis(&caveat.rule.basis.to_basis(), keys);
    }
}

/// Hazards of a plan and of what comes after it, however often.
fn of_plan(it: &Remove, found: &mut BTreeSet<Hazard>) {
    for rung in &it.ladder {
        found.extend(rung.hazards.iter().copied());
    }
    for next in &it.next {
        of_plan(next, found);
    }
}

/// Hazards named where a record makes them likely.
pub(super) fn named_hazards(body: &Body) -> Vec<String> {
    let mut found: BTreeSet<Hazard> = BTreeSet::new();
    match body {
        Body::Identify(it) => {
            found.extend(
                it.hazards
                    .iter()
                    .filter(|h| h.probability >= crate::gate::HAZARD_LEAST)
                    .map(|h| h.hazard),
            );
        }
        Body::Remove(it) => {
            of_plan(it, &mut found);
        }
        Body::Compare(it) => {
            for cell in it.rows.iter().flat_map(|row| &row.cells) {
                if let Cell::Removal { steps, .. } = cell {
                    found.extend(steps.iter().flat_map(|s| s.hazards.iter().copied()));
                }
            }
        }
        Body::Choose(it) => {
            for choice in &it.choices {
                found.extend(choice.applied.get().hazards());
            }
        }
        Body::Blend(it) => {
            let steps = it.blends.iter().flat_map(|blend| &blend.steps);
            found.extend(steps.flat_map(|step| step.get().hazards()));
        }
        // Told above the figures, each with its liquid.
        Body::Prepare(_) | Body::Ventilate(_) => {}
        Body::Find(_) => {}
    }
    found
        .into_iter()
        .filter_map(|hazard| {
            let text = match hazard {
                Hazard::Nitrate => {
                    "cellulose nitrate is not excluded: no flame, hot tool or spark; tiny crumbs"
                }
                Hazard::Lead => "lead is not excluded: gloves, no dry dust, bagged waste",
                Hazard::Arsenic => "arsenic is not excluded: gloves, no dust, P3 mask",
                Hazard::Mercury => "mercury is not excluded: no heat, no dust",
                Hazard::Asbestos => "asbestos is not excluded: do not cut, sand or brush it",
                Hazard::Mould => "mould: P2 mask, extraction, no dry brushing in the open",
                Hazard::Carcinogen | Hazard::Reprotoxic => {
                    "an agent here is suspected or known to cause cancer or harm fertility: \
                     substitute it, or work enclosed; not in pregnancy"
                }
                Hazard::SkinUptake => "an agent here goes through skin and thin gloves",
                _ => return None,
            };
            Some(text.to_owned())
        })
        .collect()
}
