//! How a blend follows: from spheres, tests, records and rules.

use super::derivation::from_harm;
use crate::answer::blend::{Blend, Practical, Region};
use crate::answer::{Claim, Ground};

fn ground(says: String, basis: &str, sources: &[String]) -> Ground {
    Ground {
        says,
        basis: basis.to_owned(),
        sources: sources.to_vec(),
        places: Vec::new(),
    }
}

/// Claims of the answer, each with its grounds.
pub(super) fn derive(it: &Blend, out: &mut Vec<Claim>) {
    for region in std::iter::once(&it.target).chain(&it.layers) {
        out.push(of_region(region));
    }
    for blend in &it.blends {
        out.push(of_blend(it, blend));
    }
    if let (Some(bound), Some(nearest)) = (&it.bound, &it.nearest) {
        out.push(Claim {
            says: format!(
                "no proportion of these liquids comes nearer than RED {:.3}",
                bound.red
            ),
            because: vec![ground(
                format!(
                    "the exact bound is {:.3} MPa^0.5 from the centre, the nearest blend in steps {:.3}",
                    bound.ra, nearest.ra
                ),
                "reckoned",
                &[],
            )],
        });
    }
    for missing in &it.missing {
        out.push(Claim {
            says: format!("undetermined: {missing}"),
            because: it
                .settle
                .iter()
                .map(|s| ground(format!("{} on {}: {}", s.liquid.name, s.on, s.why), "", &[]))
                .collect(),
        });
    }
    for left in &it.left_out {
        let basis = &left.reason.basis;
        let sources: Vec<String> = basis.sources();
        out.push(Claim {
            says: format!("left out: {}", left.name),
            because: vec![ground(
                left.reason.text.clone(),
                &basis.to_string(),
                &sources,
            )],
        });
    }
}

fn of_region(region: &Region) -> Claim {
    let mut because: Vec<Ground> = region
        .spheres
        .iter()
        .map(|s| Ground {
            says: format!(
                "sphere {:.1}/{:.1}/{:.1} R {:.1}{}{}",
                s.sphere.d,
                s.sphere.p,
                s.sphere.h,
                s.sphere.radius.unwrap_or(0.0),
                if s.note.is_empty() { "" } else { ": " },
                s.note
            ),
            basis: s.basis.clone(),
            sources: s.sources.clone(),
            places: s.place.iter().cloned().collect(),
        })
        .collect();
    if let Some(fit) = &region.fit {
        because.push(ground(
            format!(
                "{} liquids that do it and {} that do not: DATAFIT {:.3}, centres that fit as well lie \
                 up to {:.1} MPa^0.5 apart",
                fit.good, fit.poor, fit.datafit, fit.spread
            ),
            "tried",
            &[],
        ));
    }
    if region.by_record {
        because.push(ground(
            "nothing in it goes into a solvent: its record speaks for a blend too".to_owned(),
            "practice",
            &[],
        ));
    }
    Claim {
        says: region.called.clone(),
        because,
    }
}

fn of_blend(it: &Blend, blend: &Practical) -> Claim {
    let mut because = vec![ground(
        format!(
            "RED {:.2} to {} at the start; {} mixing on the way",
            blend.red,
            it.target.called,
            blend.mixing.word()
        ),
        "reckoned",
        &[],
    )];
    for (layer, least) in it.layers.iter().zip(&blend.least) {
        if let Some(least) = least {
            because.push(ground(
                format!(
                    "least RED to {} down to the last tenth: {least:.2}",
                    layer.called
                ),
                "reckoned",
                &[],
            ));
        }
    }
    for part in &blend.parts {
        if let Some(liquid) = it.liquids.iter().find(|l| l.id == part.id) {
            because.push(ground(
                format!(
                    "{}: {:.1}/{:.1}/{:.1}{}",
                    liquid.name,
                    liquid.hansen.d,
                    liquid.hansen.p,
                    liquid.hansen.h,
                    liquid.limit.as_ref().map_or(
                        "; no exposure limit on file".to_owned(),
                        |l| format!(
                            "; lowest limit {} ppm ({}, {})",
                            l.ppm.round(),
                            l.region,
                            l.averaging
                        )
                    )
                ),
                &liquid.basis,
                &liquid.sources,
            ));
        }
    }
    because.extend(blend.records.iter().map(from_harm));
    for reason in &blend.reasons {
        let basis = &reason.basis;
        let sources: Vec<String> = basis.sources();
        because.push(ground(
            format!("why a test: {}", reason.text),
            &basis.to_string(),
            &sources,
        ));
    }
    let names: Vec<&str> = blend.parts.iter().map(|part| part.name.as_str()).collect();
    Claim {
        says: format!(
            "{}. {} {}: {}",
            blend.rank,
            names.join(" + "),
            blend.ratio,
            blend.call.word()
        ),
        because,
    }
}
