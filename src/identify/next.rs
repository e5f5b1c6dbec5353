//! The next test: the most expected information (Lindley 1956) for the least sample, risk, harm
//! and time. Each passes the gate before it is named.

use super::Query;
use super::likelihood::{Evidence, Expectation};
use crate::answer::NextTest;
use crate::gate::{self, ProposedTest, Refused};
use crate::model::scene::{Posterior, age_weight};
use crate::model::{Age, BenchTest, Feature, Library, Specimen, Table};

/// Tests named.
const NAMED: usize = 4;
/// Refused tests named, if they would have told much.
const REFUSED_NAMED: usize = 2;
/// Gain below which a test is not worth a sample, bits.
const LEAST_GAIN: f64 = 0.02;
/// A second test of a cluster tells less than its own figures say.
const SAME_CLUSTER: f64 = 0.6;
/// Probability below which an outcome of a test is not told.
const LEAST_OUTCOME: f64 = 0.03;
/// The test whose record stands for a drop of any liquid.
const LIQUID_TEST: &str = "solvent-drop";

pub(super) fn next_tests(
    library: &dyn Library,
    query: &Query,
    posterior: &Posterior,
    evidence: &Evidence<'_>,
) -> (Vec<NextTest>, Vec<Refused<ProposedTest>>) {
    let table = library.table();
    let mut ranked: Vec<(f64, f64, usize)> = table
        .features
        .iter()
        .enumerate()
        .filter(|(f, feature)| {
            !feature.laboratory && !query.observations.iter().any(|o| o.feature == Some(*f))
        })
        .filter_map(|(f, feature)| {
            let mut bits = gain(feature, table, posterior);
            if evidence.clusters.iter().any(|(c, _)| *c == feature.cluster) {
                bits *= SAME_CLUSTER;
            }
            (bits >= LEAST_GAIN).then(|| (bits / cost(feature), bits, f))
        })
        .collect();
    ranked.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then_with(|| table.features[a.2].id.cmp(&table.features[b.2].id))
    });
    let mut named: Vec<NextTest> = Vec::new();
    let mut refused = Vec::new();
    for (value, bits, f) in ranked {
        if named.len() == NAMED {
            break;
        }
        let feature = &table.features[f];
        let Some((test, liquid)) = record(library, feature) else {
            continue;
        };
        let specimen = test.specimens.first().copied().unwrap_or(Specimen::Crumb);
        // A drop of liquid is always tried on a detached crumb: what the layers beneath bear is
        // not asked of them.
        let specimen = if liquid.is_some() {
            Specimen::Crumb
        } else {
            specimen
        };
        let separates = separates(feature, table, posterior);
        // A test that speaks for the same material however it comes out settles nothing, and one
        // that says just what a better one says is a crumb wasted.
        if separates.iter().all(|(_, m)| *m == separates[0].1)
            || named.iter().any(|n| n.separates == separates)
        {
            continue;
        }
        match gate::test(ProposedTest { test, specimen }, &posterior.hazards) {
            Ok(passed) => named.push(NextTest {
                test: passed,
                liquid,
                gain_bits: bits,
                value,
                separates,
            }),
            Err(no) if refused.len() < REFUSED_NAMED => refused.push(no),
            Err(_) => {}
        }
    }
    (named, refused)
}

fn record(
    library: &dyn Library,
    feature: &Feature,
) -> Option<(BenchTest, Option<(String, String)>)> {
    if feature.liquid {
        let agent = library.agent(&feature.id)?;
        // A restricted liquid is not worth a crumb.
        if agent.needs_permission {
            return None;
        }
        let test = library.test(LIQUID_TEST)?;
        Some((test, Some((agent.head.id, agent.head.names.name))))
    } else {
        Some((library.test(&feature.id)?, None))
    }
}

/// What a test costs: sample, risk to the object, harm to the worker, time. Judgment: a milligram,
/// two grades of risk, three of harm or two hours each double it.
fn cost(feature: &Feature) -> f64 {
    1.0 + feature.sample_ug / 1000.0
        + f64::from(feature.risk) / 2.0
        + f64::from(feature.toxicity) / 3.0
        + feature.minutes / 120.0
}

/// Expected information of a test, bits: entropy now less expected entropy after.
pub(super) fn gain(feature: &Feature, table: &Table, posterior: &Posterior) -> f64 {
    let expectation =
        Expectation::new(feature).with_marginals(feature, table, &posterior.materials);
    let noise = expectation.noise();
    let n = feature.outcomes.len();
    let mut joint = vec![Vec::with_capacity(posterior.materials.len() + 1); n];
    for (m, p) in posterior.materials.iter().enumerate() {
        if *p < 1e-6 {
            continue;
        }
        let mut expected = vec![0.0; n];
        for age in Age::BOTH {
            for (e, x) in expected
                .iter_mut()
                .zip(expectation.of(feature, table, m, age))
            {
                *e += age_weight(age, posterior.aged) * x;
            }
        }
        for (o, e) in expected.iter().enumerate() {
            joint[o].push(p * (0.93 * e + 0.07 * noise[o]));
        }
    }
    for (o, column) in joint.iter_mut().enumerate() {
        column.push(posterior.none * noise[o]);
    }
    information(&joint)
}

/// Mutual information of a joint table `[outcome][hypothesis]`, bits.
pub(super) fn information(joint: &[Vec<f64>]) -> f64 {
    let total: f64 = joint.iter().flatten().sum();
    if total <= 0.0 {
        return 0.0;
    }
    let hypotheses = joint.first().map_or(0, Vec::len);
    let prior: Vec<f64> = (0..hypotheses)
        .map(|h| joint.iter().map(|c| c[h]).sum::<f64>() / total)
        .collect();
    let entropy = |p: f64| if p > 0.0 { -p * p.log2() } else { 0.0 };
    let before: f64 = prior.iter().map(|p| entropy(*p)).sum();
    let after: f64 = joint
        .iter()
        .map(|column| {
            let mass: f64 = column.iter().sum::<f64>();
            if mass <= 0.0 {
                return 0.0;
            }
            let own: f64 = column.iter().map(|p| entropy(p / mass)).sum();
            mass / total * own
        })
        .sum();
    (before - after).max(0.0)
}

/// For each outcome that may well come, the material that it would raise most.
fn separates(feature: &Feature, table: &Table, posterior: &Posterior) -> Vec<(String, String)> {
    let expectation =
        Expectation::new(feature).with_marginals(feature, table, &posterior.materials);
    let expected: Vec<(usize, f64, Vec<f64>)> = posterior
        .materials
        .iter()
        .enumerate()
        .filter(|(_, p)| **p >= 0.01)
        .map(|(m, p)| {
            let mut mean = vec![0.0; feature.outcomes.len()];
            for age in Age::BOTH {
                for (e, x) in mean.iter_mut().zip(expectation.of(feature, table, m, age)) {
                    *e += age_weight(age, posterior.aged) * x;
                }
            }
            (m, *p, mean)
        })
        .collect();
    let mut out = Vec::new();
    for (o, word) in feature.outcomes.iter().enumerate() {
        let mass: f64 = expected.iter().map(|(_, p, e)| p * e[o]).sum();
        if mass < LEAST_OUTCOME {
            continue;
        }
        let raised = expected
            .iter()
            .map(|(m, p, e)| (p * e[o] / mass - p, *m))
            .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(&a.1)));
        if let Some((gain, m)) = raised
            && gain > 0.02
        {
            out.push((word.clone(), table.rows[m].name.clone()));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::information;

    /// Prior ½/½, P(pos|A) = 0.9, P(pos|B) = 0.2: 0.397313 bit, by hand and by SciPy's `entropy`
    /// (scipy 1.17.1).
    #[test]
    fn a_test_of_two_hypotheses() {
        let joint = [vec![0.45, 0.10], vec![0.05, 0.40]];
        assert!(
            (information(&joint) - 0.397_312_609_7).abs() < 1e-9,
            "{}",
            information(&joint)
        );
    }

    /// Four hypotheses 0.4 0.3 0.2 0.1 with P(+) .02 .02 .95 .02: 0.56334 bit (closed form).
    #[test]
    fn a_test_that_finds_one_of_four() {
        let prior = [0.4, 0.3, 0.2, 0.1];
        let hit = [0.02, 0.02, 0.95, 0.02];
        let joint = [
            prior
                .iter()
                .zip(hit)
                .map(|(p, h)| p * h)
                .collect::<Vec<f64>>(),
            prior.iter().zip(hit).map(|(p, h)| p * (1.0 - h)).collect(),
        ];
        assert!(
            (information(&joint) - 0.563_34).abs() < 1e-5,
            "{}",
            information(&joint)
        );
    }

    #[test]
    fn a_test_that_says_nothing_gains_nothing() {
        assert!(information(&[vec![0.25, 0.25], vec![0.25, 0.25]]).abs() < 1e-12);
        assert!(information(&[]).abs() < 1e-12);
    }
}
