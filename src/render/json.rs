//! The stable data form of an answer, documented in `DEVELOPERS.md`.

mod bench;
mod blend;
mod choose;

use serde_json::{Map, Value, json};

use crate::answer::{
    Answer, Body, Call, Candidate, Cell, Compare, Conclusion, Entry, Explanation, Find, Fork, Held,
    HeldBack, Identify, LayerHarm, Likely, Match, Offer, Remove, Rivals, RuledOut, Rung, Shown,
    Stop, Then,
};
use crate::cite::citation;
use crate::gate::Caveat;
use crate::model::scene::Described;
use crate::model::{Place, Role};

/// An answer as one JSON object.
#[must_use]
pub fn json(answer: &Answer) -> Value {
    let mut out = match &answer.body {
        Body::Find(it) => find(it),
        Body::Identify(it) => identify(it),
        Body::Remove(it) => remove(it),
        Body::Compare(it) => compare(it),
        Body::Choose(it) => choose::choose(it),
        Body::Blend(it) => blend::blend(it),
        Body::Prepare(it) => object(bench::prepare(it)),
        Body::Ventilate(it) => object(bench::ventilate(it)),
    };
    if let Some(explanation) = &answer.explanation {
        out.insert("explanation".to_owned(), explain(explanation));
    }
    out.insert("statement".to_owned(), json!(answer.body.statement()));
    out.insert("query".to_owned(), json!(answer.query));
    out.insert("notes".to_owned(), json!(answer.notes));
    out.insert("cautions".to_owned(), json!(answer.cautions));
    let sources: Vec<Value> = answer
        .sources
        .iter()
        .map(|s| json!({"key": s.head.id, "citation": citation(s)}))
        .collect();
    out.insert("sources".to_owned(), json!(sources));
    out.insert("corpus_version".to_owned(), json!(answer.corpus_version));
    out.insert("edition".to_owned(), json!(answer.edition));
    Value::Object(out)
}

pub(super) fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

fn find(it: &Find) -> Map<String, Value> {
    let rows = |list: &[Match]| -> Vec<Value> {
        list.iter()
            .map(|m| {
                let values: Vec<Value> = m.values.iter().map(shown).collect();
                json!({"kind": m.kind.noun(), "id": m.id, "name": m.name, "summary": m.summary, "values": values})
            })
            .collect()
    };
    object(json!({
        "matches": rows(&it.matches),
        "total": it.total,
        "undetermined": rows(&it.undetermined),
        "undetermined_total": it.undetermined_total,
        "answers": it.answers.iter().map(|a| json!({"outcome": a.outcome, "materials": a.materials})).collect::<Vec<_>>(),
        "silent": it.silent.iter().map(|s| json!({"condition": s.condition, "records": s.records})).collect::<Vec<_>>(),
    }))
}

fn compare(it: &Compare) -> Map<String, Value> {
    let things: Vec<Value> = it
        .things
        .iter()
        .enumerate()
        .map(|(k, thing)| {
            let cells: Vec<Value> = it
                .rows
                .iter()
                .filter_map(|row| row.cells.get(k).map(|cell| (row, cell)))
                .map(|(row, cell)| match cell {
                    Cell::Stated(list) => {
                        json!({"by": row.by, "values": list.iter().map(shown).collect::<Vec<_>>()})
                    }
                    Cell::Removal { steps, ruled_out, leave } => json!({
                        "by": row.by,
                        "steps": steps.iter().map(rung).collect::<Vec<_>>(),
                        "ruled_out": ruled_out,
                        "leave": leave.as_ref().map(|l| json!({"reason": l.text, "basis": l.basis.to_string()})),
                    }),
                })
                .collect();
            json!({"kind": thing.kind.noun(), "id": thing.id, "name": thing.called, "cells": cells})
        })
        .collect();
    object(json!({
        "things": things,
        "by": it.rows.iter().map(|row| &row.by).collect::<Vec<_>>(),
        "layers": layers(&it.on),
    }))
}

pub(super) fn layers(list: &[Described]) -> Vec<Value> {
    list.iter()
        .map(|it| json!({"id": it.id, "called": it.called, "conditions": it.conditions}))
        .collect()
}

fn explain(it: &Explanation) -> Value {
    match it {
        Explanation::Plan(stages) => json!({
            "depth": "plan",
            "stages": stages.iter().map(|s| json!({"stage": s.stage, "does": s.does})).collect::<Vec<_>>(),
        }),
        Explanation::Derivation(claims) => json!({
            "depth": "answer",
            "claims": claims.iter().map(|c| json!({
                "says": c.says,
                "because": c.because.iter().map(|g| json!({
                    "says": g.says,
                    "basis": g.basis,
                    "sources": g.sources,
                    "records": g.places.iter().map(place).collect::<Vec<_>>(),
                })).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
        }),
        Explanation::Empty { now, clauses } => json!({
            "depth": "empty",
            "now": now,
            "clauses": clauses.iter().map(|c| json!({
                "clause": c.clause,
                "alone": c.alone,
                "without": c.without,
                "helps": c.helps,
            })).collect::<Vec<_>>(),
        }),
    }
}

pub(super) fn shown(v: &Shown) -> Value {
    json!({"field": v.called(), "value": v.whole(), "basis": v.basis, "sources": v.sources, "record": v.place.as_ref().map(place)})
}

fn roles(list: &[Role]) -> Vec<&'static str> {
    list.iter().map(|r| r.word()).collect()
}

fn conclusion(it: &Conclusion) -> Value {
    let (kind, id) = match it {
        Conclusion::Material(id) => ("material", Some(id)),
        Conclusion::Family(id) => ("family", Some(id)),
        Conclusion::NotEnough => ("not-enough", None),
        Conclusion::Contradicts => ("contradicts", None),
    };
    json!({"kind": kind, "id": id})
}

fn offer(it: &Offer) -> Map<String, Value> {
    let proposed = it.test.get();
    let test = &proposed.test;
    let name = it.liquid.as_ref().map_or_else(
        || test.head.names.name.clone(),
        |liquid| format!("{}: {}", test.head.names.name, liquid.name),
    );
    object(json!({
        "id": it.id(),
        "name": name,
        "sample": sample(test.sample_ug, proposed.specimen.word()),
        "risk": test.risk,
        "specimen": proposed.specimen.word(),
        "clean": it.clean,
        "crumb_because": it.crumb_because,
        "conditions": caveats(it.test.caveats()),
    }))
}

fn rivals(it: &Rivals) -> Value {
    let between: Vec<Value> = it.between.iter().map(likely).collect();
    let test = it.separator.as_ref().map(|s| {
        let mut own = offer(&s.offer);
        own.insert("gain_bits".to_owned(), json!(s.bits));
        own.insert("speaks_for".to_owned(), json!(s.outcomes));
        Value::Object(own)
    });
    json!({"between": between, "test": test})
}

fn stop(it: &Stop) -> Value {
    match it {
        Stop::Family(name, p) => {
            json!({"reason": it.word(), "family": name, "probability": p, "best_value": null})
        }
        Stop::NotWorth(value) => {
            json!({"reason": it.word(), "family": null, "probability": null, "best_value": value})
        }
    }
}

fn fork(it: &Fork) -> Value {
    let answers: Vec<Value> = it
        .branches
        .iter()
        .map(|b| {
            let (test, leaf) = match &b.then {
                Then::Test(next) => (Some(fork(next)), None),
                Then::Leaf(leaf) => (
                    None,
                    Some(json!({
                        "conclusion": conclusion(&leaf.conclusion),
                        "leading": leaf.leading.iter().map(|(name, p)| json!({"name": name, "probability": p})).collect::<Vec<_>>(),
                        "end": leaf.end.word(),
                    })),
                ),
            };
            json!({
                "outcomes": b.outcomes,
                "probability": b.probability,
                "chance": b.chance,
                "test": test,
                "concludes": leaf,
            })
        })
        .collect();
    let mut out = offer(&it.offer);
    out.insert("gain_bits".to_owned(), json!(it.gain_bits));
    out.insert("answers".to_owned(), json!(answers));
    Value::Object(out)
}

fn identify(it: &Identify) -> Map<String, Value> {
    let hazards: Vec<Value> = it
        .hazards
        .iter()
        .map(|h| {
            json!({
                "hazard": h.hazard.word(),
                "probability": h.probability,
                "test": h.test.as_ref().map(|test| &test.id),
            })
        })
        .collect();
    let next: Vec<Value> = it
        .next_tests
        .iter()
        .map(|n| {
            let mut own = offer(&n.offer);
            own.extend(object(json!({
                "gain_bits": n.gain_bits,
                "family_bits": n.family_bits,
                "cost": n.cost,
                "same_crumb": n.same_crumb,
                "value": n.value,
                "opens": n.opens,
                "separates": n.separates.iter().map(|p| json!({"outcome": p.outcome, "speaks_for": p.leader})).collect::<Vec<_>>(),
            })));
            Value::Object(own)
        })
        .collect();
    let refused: Vec<Value> = it
        .refused_tests
        .iter()
        .map(|r| json!({"id": r.get().test.head.id, "because": caveats(r.broken())}))
        .collect();
    object(json!({
        "conclusion": conclusion(&it.conclusion),
        "candidates": it.candidates.iter().map(candidate).collect::<Vec<_>>(),
        "families": it.families.iter().map(|f| json!({"id": f.id, "name": f.name, "probability": f.probability})).collect::<Vec<_>>(),
        "none_of_these": it.none_of_these,
        "hazards_not_excluded": hazards,
        "next_tests": next,
        "rivals": it.rivals.as_ref().map(rivals),
        "skins": it.skins.iter().map(|s| json!({
            "skin": s.name,
            "probability": s.probability,
            "prior": s.prior,
            "over": likely(&s.over),
        })).collect::<Vec<_>>(),
        "stop": it.stop.as_ref().map(stop),
        "sequence": it.sequence.as_ref().map(fork),
        "refused_tests": refused,
        "contradictions": it.contradictions,
        "hinges": it.hinges.iter().map(|h| json!({"observation": h.observation, "leader": h.leader.id, "name": h.leader.name, "probability": h.probability})).collect::<Vec<_>>(),
        "unrecorded": it.unrecorded.iter().map(|u| json!({"candidate": u.candidate, "observation": u.observation})).collect::<Vec<_>>(),
    }))
}

pub(super) fn sample(micrograms: f64, specimen: &str) -> String {
    if micrograms <= 0.0 || specimen == "surface" || specimen == "vapour" {
        "none".to_owned()
    } else if micrograms >= 1000.0 {
        format!("{:.0} mg", micrograms / 1000.0)
    } else {
        format!("{micrograms:.0} ug")
    }
}

fn candidate(c: &Candidate) -> Value {
    let evidence: Vec<Value> = c
        .evidence
        .iter()
        .map(|e| {
            json!({
                "observation": e.observation,
                "weight_db": e.weight_db,
                "expected": e.expected,
                "basis": e.basis,
                "sources": e.sources,
                "records": e.places.iter().map(place).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "id": c.id,
        "name": c.name,
        "kinds": roles(&c.roles),
        "family": c.family,
        "probability": c.probability,
        "prior": c.prior,
        "evidence": evidence,
        "contradictions": c.contradictions,
    })
}

pub(super) fn place(it: &Place) -> String {
    format!("kb/{}:{}", it.file, it.line)
}

pub(super) fn caveats(list: &[Caveat]) -> Vec<Value> {
    list.iter()
        .map(|c| {
            json!({
                "rule": c.rule.id,
                "sort": c.rule.sort.word(),
                "layer": c.layer.as_deref(),
                "says": c.rule.says,
                "why": c.rule.why,
                "basis": c.rule.basis.to_basis().to_string(),
            })
        })
        .collect()
}

fn remove(it: &Remove) -> Map<String, Value> {
    let mut steps: Vec<Value> = it.ladder.iter().map(rung).collect();
    steps.extend(it.ruled_out.iter().map(ruled_out));
    let before: Vec<Value> = it
        .before
        .iter()
        .map(|b| json!({"what": b.what, "why": b.why, "basis": b.basis.to_string()}))
        .collect();
    let layers = layers(&it.layers);
    let next: Vec<Value> = it.next.iter().map(|n| Value::Object(remove(n))).collect();
    object(json!({
        "target": it.target.iter().map(likely).collect::<Vec<_>>(),
        "layers": layers,
        "before": before,
        "steps": steps,
        "leave": it.leave.as_ref().map(|l| json!({"reason": l.text, "basis": l.basis.to_string()})),
        "idle": it.idle.iter().map(|i| json!({"id": i.id, "name": i.name, "basis": i.basis, "sources": i.sources})).collect::<Vec<_>>(),
        "held_back": it.held_back.iter().map(held_back).collect::<Vec<_>>(),
        "live_agents": it.live_agents,
        "gaps": it.gaps,
        "considered": it.considered,
        "next": next,
        "after": it.after,
    }))
}

pub(super) fn harm(rows: &[LayerHarm]) -> Vec<Value> {
    rows.iter()
        .map(|h| {
            json!({
                "layer": h.layer,
                "verdict": h.verdict.map_or("unknown", |v| v.word()),
                "sheltered": h.sheltered,
                "reason": h.reason,
                "basis": h.footing.word(),
                "sources": h.footing.sources(),
            })
        })
        .collect()
}

fn rung(r: &Rung) -> Value {
    let step = r.step.get();
    json!({
        "rank": r.rank,
        "id": step.id(),
        "method": {"id": step.method.head.id, "name": step.method.head.names.name},
        "agent": step.agent.as_ref().map(|a| json!({"id": a.head.id, "name": a.head.names.name})),
        "carrier": step.carrier.as_ref().map(|c| json!({"id": c.head.id, "name": c.head.names.name})),
        "verdict": r.call.word(),
        "effect": {
            "covers": r.effect.covers,
            "unknown": r.effect.unknown,
            "computed": r.effect.computed,
            "response": r.effect.response,
            "basis": r.effect.basis,
            "sources": r.effect.sources,
            "notes": r.effect.notes,
        },
        "harm": harm(&r.harm),
        "reasons": r.reasons.iter().map(|x| json!({"reason": x.text, "basis": x.basis.to_string()})).collect::<Vec<_>>(),
        "conditions": caveats(r.step.caveats()),
        "dwell_min": r.dwell_min.map(|(a, b)| json!([a, b])),
        "dwell": r.dwell,
        "passes": r.passes,
        "then": r.then,
        "watch": r.watch,
        "remarks": r.remarks,
        "stop": r.stop,
        "clearance": r.clearance,
        "residue": r.residue,
        "if_it_fails": r.fails,
        "hazards": r.hazards.iter().map(|h| h.word()).collect::<Vec<_>>(),
        "recommended": r.call == Call::Recommended,
    })
}

fn ruled_out(r: &RuledOut) -> Value {
    json!({
        "rank": null,
        "id": r.id,
        "method": r.method.as_ref().map(entry),
        "agent": r.agent.as_ref().map(entry),
        "carrier": null,
        "verdict": "ruled-out",
        "effect": {"response": r.effect},
        "harm": harm(&r.harm),
        "dwell_min": null,
        "stop": null,
        "clearance": null,
        "hazards": [],
    })
}

fn entry(it: &Entry) -> Value {
    json!({"id": it.id, "name": it.name})
}

fn likely(it: &Likely) -> Value {
    json!({"id": it.id, "name": it.name, "probability": it.probability})
}

fn held_back(it: &HeldBack) -> Value {
    let (why, by) = match &it.why {
        Held::MilderDoes { by } => ("milder-does", by.first().map(|it| &it.id)),
        Held::ActsOnLittle => ("acts-on-little", None),
        Held::KinHarmed { by, .. } => ("kin-harmed", Some(&by.id)),
    };
    json!({"id": it.id, "name": it.name, "why": why, "by": by})
}
