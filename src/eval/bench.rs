//! `prepare` and `ventilate`: their engines, and a refusal as a message with its place.

use super::EvalError;
use crate::answer::{Claim, Ground, Prepare, Shown, Stage, Ventilate};
use crate::bench;
use crate::diag::Diagnostic;
use crate::model::Library;
use crate::model::order::{Place, Trouble};
use crate::resolve::{CheckedPrepare, CheckedVentilate};
use crate::span::Span;

/// Runs `prepare`.
pub(super) fn prepare(library: &dyn Library, it: &CheckedPrepare) -> Result<Prepare, EvalError> {
    bench::prepare(library, &it.order).map_err(|t| refused(*t, |place| it.at(place)))
}

/// Runs `ventilate`.
pub(super) fn ventilate(
    library: &dyn Library,
    it: &CheckedVentilate,
) -> Result<Ventilate, EvalError> {
    bench::ventilate(library, &it.evaporation).map_err(|t| {
        refused(*t, |place| match place {
            Place::Amount => it.amount_at,
            _ => it.liquid_at,
        })
    })
}

fn refused(it: Trouble, at: impl Fn(Place) -> Span) -> EvalError {
    let mut diagnostic = Diagnostic::error(it.code, it.message).at(at(it.place), it.label);
    for note in it.notes {
        diagnostic = diagnostic.note(note);
    }
    if !it.help.is_empty() {
        diagnostic = diagnostic.help(it.help);
    }
    EvalError::Refused(Box::new(diagnostic))
}

fn from_shown(it: &Shown) -> Ground {
    Ground {
        says: format!("{} {}", it.field, it.text),
        basis: it.basis.clone(),
        sources: it.sources.clone(),
        places: it.place.clone().into_iter().collect(),
    }
}

fn plain(says: impl Into<String>, basis: &str) -> Ground {
    Ground {
        says: says.into(),
        basis: basis.to_owned(),
        sources: Vec::new(),
        places: Vec::new(),
    }
}

/// How a solution follows.
pub(super) fn claims_of_solution(it: &Prepare) -> Vec<Claim> {
    let facts: Vec<Ground> = it.facts.iter().map(from_shown).collect();
    let mut out = Vec::new();
    for recipe in &it.recipes {
        let mut because = facts.clone();
        because.push(plain(
            "volumes of solute and liquid are taken to add up; the spread is that of the balance and the \
             vessel",
            "practice",
        ));
        out.push(Claim {
            says: format!("{}: {}", it.title, recipe.reading),
            because,
        });
    }
    for d in &it.dissolving {
        out.push(Claim {
            says: format!("{} in {}: {}", d.solute, d.solvent, told(&d.response)),
            because: vec![Ground {
                says: "response of the fresh material, and what it is put on in".to_owned(),
                basis: d.basis.clone(),
                sources: d.sources.clone(),
                places: Vec::new(),
            }],
        });
    }
    if let Some(b) = &it.buffer {
        out.push(Claim {
            says: format!("pKa' {:.2} at ionic strength {:.3} mol/l", b.pk, b.ionic),
            because: vec![
                plain(
                    "pH = pKa' + log([base]/[acid]); activity by Davies, pKa by van 't Hoff with its heat \
                     capacity",
                    "memory",
                ),
                Ground {
                    says: format!("constants of {}", b.name),
                    basis: b.basis.clone(),
                    sources: b.sources.clone(),
                    places: Vec::new(),
                },
            ],
        });
    }
    out
}

fn told(response: &str) -> &str {
    if response.is_empty() {
        "not recorded"
    } else {
        response
    }
}

/// How a verdict on air follows.
pub(super) fn claims_of_air(it: &Ventilate) -> Vec<Claim> {
    let facts: Vec<Ground> = it.facts.iter().map(from_shown).collect();
    let mut out = Vec::new();
    for b in &it.burdens {
        let mut because = vec![plain(
            format!(
                "V dC/dt = G - Q C with Q = {:.1} m3/h divided by a mixing factor of {}",
                it.air, it.mixing.value
            ),
            "practice",
        )];
        because.extend(facts.iter().cloned());
        out.push(Claim {
            says: format!("{}: sum of C/L {:.2}, {}", b.over, b.room, b.verdict.word()),
            because,
        });
    }
    out.push(Claim {
        says: format!("fire: {}", it.fire.verdict.in_words()),
        because: vec![plain(
            "sum of C/LFL (Le Chatelier); act at 0.10, stop at 0.25",
            "practice",
        )],
    });
    out
}

fn stage(stage: &str, does: &str) -> Stage {
    Stage {
        stage: stage.to_owned(),
        does: does.to_owned(),
    }
}

/// The stages of `prepare`.
pub(super) fn plan_of_solution() -> Vec<Stage> {
    vec![
        stage(
            "gate",
            "what meets in the vessel: dangerous mixtures, warming, the law",
        ),
        stage(
            "dissolve",
            "what the records say of each solute in each liquid; a no ends it",
        ),
        stage(
            "reckon",
            "every reading of the strength in use, from densities and molar masses on file",
        ),
        stage("spread", "what balance and vessel make of it"),
        stage("order", "order of work, and what to mind"),
    ]
}

/// The stages of `ventilate`.
pub(super) fn plan_of_air() -> Vec<Stage> {
    vec![
        stage("gate", "what meets in the vessel"),
        stage("give off", "each liquid's grams, evenly over the time"),
        stage(
            "room",
            "one box with fresh air through it, divided by the mixing factor",
        ),
        stage(
            "limits",
            "the lowest on file for 8 h, 15 min and ceiling; sum of C/L",
        ),
        stage(
            "fire",
            "sum of C/LFL in the room, at ten times the room, over the liquid",
        ),
        stage("turn round", "the air at which each would be met"),
    ]
}
