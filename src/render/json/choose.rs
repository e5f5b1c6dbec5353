//! The data form of a choice.

use serde_json::{Map, Value, json};

use super::{caveats, entry, harm, layers, object, place};
use crate::answer::{Choice, Choose, Lost, Outlook, Pair, Reason};
use crate::gate::Passed;
use crate::model::scene::Step;

pub(super) fn choose(it: &Choose) -> Map<String, Value> {
    object(json!({
        "as": it.purpose.word(),
        "layers": layers(&it.layers),
        "to": layers(&it.to),
        "site": it.site.word(),
        "years": it.years,
        "warmest_c": {"value": it.warmest.value, "stated": it.warmest.stated},
        "load": it.load.map(|l| json!({
            "newtons": l.newtons,
            "area_m2": l.area_m2,
            "arm_m": l.arm_m,
            "stress_mpa": l.stress_mpa,
        })),
        "weights": it.weights.iter()
            .map(|(c, w)| json!({"criterion": c.word(), "weight": w}))
            .collect::<Vec<_>>(),
        "choices": it.choices.iter().map(choice).collect::<Vec<_>>(),
        "more": it.more,
        "besides": it
            .besides
            .iter()
            .map(|(id, forecast)| {
                json!({"id": id, "forecast": forecast.iter().map(outlook).collect::<Vec<_>>()})
            })
            .collect::<Vec<_>>(),
        "pairs": it.pairs.iter().map(pair).collect::<Vec<_>>(),
        "rods": reasons(&it.pins),
        "lost": it.lost.iter().map(lost).collect::<Vec<_>>(),
        "undetermined": it.undetermined.iter().map(lost).collect::<Vec<_>>(),
        "took": it.took.iter()
            .map(|(rule, n)| json!({"rule": rule.id(), "says": rule.says(), "materials": n}))
            .collect::<Vec<_>>(),
        "coats": it.coats.iter().map(|c| json!({
            "upper": entry(&c.upper),
            "lower": entry(&c.lower),
            "with": c.step.as_ref().map(step),
            "basis": c.basis,
        })).collect::<Vec<_>>(),
        "light": reasons(&it.light),
        "remarks": reasons(&it.remarks),
        "considered": it.considered,
    }))
}

fn reasons(list: &[Reason]) -> Vec<Value> {
    list.iter()
        .map(|r| json!({"reason": r.text, "basis": r.basis.to_string()}))
        .collect()
}

fn step(it: &Passed<Step>) -> Value {
    let step = it.get();
    json!({
        "id": step.id(),
        "agent": step.agent.as_ref().map(|a| json!({"id": a.head.id, "name": a.head.names.name})),
        "brings": step.classes().iter().map(|c| c.word()).collect::<Vec<_>>(),
        "conditions": caveats(it.caveats()),
    })
}

fn choice(it: &Choice) -> Value {
    json!({
        "id": it.id,
        "name": it.name,
        "score": it.score,
        "use": it.custom.map(|c| c.word()),
        "applied": step(&it.applied),
        "minding": reasons(&it.minding),
        "reasons": it.marks.iter().map(|m| json!({
            "criterion": m.criterion.word(),
            "value": m.value,
            "weight": m.weight,
            "reason": m.says,
            "basis": m.basis,
            "sources": m.sources,
            "record": m.place.as_ref().map(place),
        })).collect::<Vec<_>>(),
        "forecast": it.forecast.iter().map(outlook).collect::<Vec<_>>(),
    })
}

fn outlook(it: &Outlook) -> Value {
    json!({
        "years": it.years,
        "verdict": it.verdict.word(),
        "extrapolated": it.extrapolated,
        "state": it.state,
        "route": it.route.as_ref().map(|r| json!({
            "id": r.step.get().id(),
            "says": super::super::table::route(it),
            "response": r.effect.response,
            "covers": r.effect.covers,
            "unknown": r.effect.unknown,
            "call": r.call.word(),
            "harm": harm(&r.harm),
            "conditions": caveats(r.step.caveats()),
        })),
        "layers": it.layers.iter()
            .map(|(layer, verdict)| json!({
                "layer": layer,
                "verdict": verdict.map_or("unknown", |v| v.word()),
            }))
            .collect::<Vec<_>>(),
        "basis": it.basis,
        "sources": it.sources,
    })
}

fn pair(it: &Pair) -> Value {
    json!({
        "barrier": entry(&it.barrier),
        "over": entry(&it.over),
        "applied": step(&it.applied),
        "checks": reasons(&it.checks),
        "forecast": it.forecast.iter().map(outlook).collect::<Vec<_>>(),
    })
}

fn lost(it: &Lost) -> Value {
    json!({
        "id": it.id,
        "name": it.name,
        "rule": it.rule.id(),
        "says": it.rule.says(),
        "layer": it.layer,
        "reason": it.reason.text,
        "basis": it.reason.basis.to_string(),
        "record": it.place.as_ref().map(place),
    })
}
