//! How each claim of an answer follows, down to facts with file and line.

use super::super::bench;
use crate::answer::{
    Body, Candidate, Cell, Choose, Claim, Explanation, Ground, LayerHarm, Remove, Rung, Shown,
};
use crate::model::Place;

/// How each claim of an answer follows from facts, rules and trials.
pub(in crate::eval) fn derivation(body: &Body) -> Explanation {
    let mut out = Vec::new();
    match body {
        Body::Find(it) => {
            for hit in it.matches.iter().chain(&it.undetermined) {
                out.push(Claim {
                    says: hit.name.clone(),
                    because: hit.values.iter().map(from_shown).collect(),
                });
            }
        }
        Body::Prepare(it) => out.extend(bench::claims_of_solution(it)),
        Body::Ventilate(it) => out.extend(bench::claims_of_air(it)),
        Body::Compare(it) => {
            for row in &it.rows {
                for (cell, thing) in row.cells.iter().zip(&it.things) {
                    match cell {
                        Cell::Stated(list) => out.push(Claim {
                            says: format!("{}: {}", thing.called, row.by),
                            because: list.iter().map(from_shown).collect(),
                        }),
                        Cell::Removal { steps, .. } => {
                            out.extend(steps.iter().map(|s| from_rung(s, Some(&thing.called))));
                        }
                    }
                }
            }
        }
        Body::Identify(it) => out.extend(it.candidates.iter().map(candidacy)),
        Body::Remove(it) => removal(it, &mut out),
        Body::Choose(it) => choice(it, &mut out),
        Body::Blend(it) => super::blend::derive(it, &mut out),
    }
    Explanation::Derivation(out)
}

/// How the probability of a candidate follows from its prior and the weights, in decibels of the odds.
fn candidacy(c: &Candidate) -> Claim {
    let db = |p: f64| 10.0 * (p / (1.0 - p)).log10();
    let reckoned = |says: String| Ground {
        says,
        basis: String::new(),
        sources: Vec::new(),
        places: Vec::new(),
    };
    let mut because = vec![reckoned(format!(
        "{:+.1} dB before anything was seen (prior {:.1} %)",
        db(c.prior),
        100.0 * c.prior
    ))];
    because.extend(c.evidence.iter().map(|e| Ground {
        says: format!(
            "{:+.1} dB {}: expected {}",
            e.weight_db, e.observation, e.expected
        ),
        basis: e.basis.clone(),
        sources: e.sources.clone(),
        places: e.places.clone(),
    }));
    let sum = db(c.prior) + c.evidence.iter().map(|e| e.weight_db).sum::<f64>();
    let odds = 10f64.powf(sum / 10.0);
    let probability = odds / (1.0 + odds);
    let floor = if (probability - c.probability).abs() > 0.0005 {
        format!(
            ", shown as {:.1} %: \"none of these\" keeps its floor",
            100.0 * c.probability
        )
    } else {
        String::new()
    };
    because.push(reckoned(format!(
        "{sum:+.1} dB in all: {:.1} %{floor}",
        100.0 * probability
    )));
    Claim {
        says: format!("{} {:.0} %", c.name, 100.0 * c.probability),
        because,
    }
}

fn choice(it: &Choose, out: &mut Vec<Claim>) {
    for (k, one) in it.choices.iter().enumerate() {
        let mut because: Vec<Ground> = one
            .marks
            .iter()
            .map(|m| Ground {
                says: format!(
                    "{} of weight {:.1}, {}: {}",
                    m.value
                        .map_or_else(|| "unrecorded".to_owned(), |v| format!("{v:.2}")),
                    m.weight,
                    m.criterion.word(),
                    m.says
                ),
                basis: m.basis.clone(),
                sources: m.sources.clone(),
                places: m.place.iter().cloned().collect(),
            })
            .collect();
        for outlook in &one.forecast {
            because.push(Ground {
                says: format!(
                    "after {} years: {}{} ({})",
                    outlook.years,
                    outlook.verdict.word(),
                    if outlook.extrapolated {
                        ", extrapolated"
                    } else {
                        ""
                    },
                    outlook.state
                ),
                basis: outlook.basis.clone(),
                sources: outlook.sources.clone(),
                places: outlook
                    .route
                    .iter()
                    .flat_map(|r| r.effect.places.iter().cloned())
                    .collect(),
            });
        }
        out.push(Claim {
            says: format!("{}. {}: score {:.1}", k + 1, one.name, one.score),
            because,
        });
    }
    for lost in it.lost.iter().chain(&it.undetermined) {
        out.push(Claim {
            says: format!("lost: {} ({})", lost.name, lost.rule.says()),
            because: vec![Ground {
                says: lost.reason.text.clone(),
                basis: lost.reason.basis.to_string(),
                sources: lost.reason.basis.sources(),
                places: lost.place.iter().cloned().collect(),
            }],
        });
    }
}

fn removal(it: &Remove, out: &mut Vec<Claim>) {
    for rung in &it.ladder {
        out.push(from_rung(rung, None));
    }
    for row in &it.ruled_out {
        out.push(Claim {
            says: format!("ruled out: {}", row.id),
            because: row.harm.iter().map(from_harm).collect(),
        });
    }
    for next in &it.next {
        removal(next, out);
    }
}

fn from_shown(it: &Shown) -> Ground {
    Ground {
        says: if it.text.is_empty() {
            format!("{}: not recorded", it.called())
        } else {
            format!("{}: {}", it.called(), it.whole())
        },
        basis: it.basis.clone(),
        sources: it.sources.clone(),
        places: it.place.iter().cloned().collect(),
    }
}

pub(super) fn from_harm(it: &LayerHarm) -> Ground {
    let layer = if it.layer.is_empty() {
        "rule".to_owned()
    } else {
        it.layer.clone()
    };
    Ground {
        says: format!(
            "{layer}: {}{}: {}",
            it.verdict.map_or("not recorded", |v| v.word()),
            if it.sheltered { ", sheltered" } else { "" },
            it.reason
        ),
        basis: it.footing.word().to_owned(),
        sources: it.footing.sources(),
        places: it.place.iter().cloned().collect(),
    }
}

fn from_rung(rung: &Rung, of: Option<&str>) -> Claim {
    let mut because = vec![Ground {
        says: format!(
            "{} on {:.0} % of what it may be, {:.0} % not recorded",
            rung.effect.response,
            100.0 * rung.effect.covers,
            100.0 * rung.effect.unknown
        ),
        basis: rung.effect.basis.clone(),
        sources: rung.effect.sources.clone(),
        places: rung.effect.places.clone(),
    }];
    because.extend(rung.harm.iter().map(from_harm));
    because.extend(rung.step.caveats().iter().map(|caveat| {
        let basis = caveat.rule.basis.to_basis();
        Ground {
            says: format!("rule {}: {}", caveat.rule.id, caveat.rule.says),
            basis: basis.to_string(),
            sources: basis.sources(),
            places: Vec::<Place>::new(),
        }
    }));
    let id = rung.step.get().id();
    let call = rung.call.word();
    Claim {
        says: match of {
            Some(name) => format!("{name}, {}. {id}: {call}", rung.rank),
            None => format!("{}. {id}: {call}", rung.rank),
        },
        because,
    }
}
