//! The data form of a blend: spheres, liquids, blends and the points of their drying, enough to draw
//! them from.

use serde_json::{Map, Value, json};

use super::{caveats, entry, harm, object, place};
use crate::answer::Part;
use crate::answer::blend::{Blend, Flash, Limit, Nearest, Practical, Region};
use crate::model::Hansen;

pub(super) fn blend(it: &Blend) -> Map<String, Value> {
    let liquids: Vec<Value> = it
        .liquids
        .iter()
        .map(|l| {
            json!({
                "id": l.id,
                "name": l.name,
                "hansen": point(l.hansen),
                "teas": l.teas.map(triple),
                "teas_published": l.teas_published,
                "red": l.red,
                "layers": l.layers,
                "limit": l.limit.as_ref().map(limit),
                "hazard_ratio": l.hazard,
                "flash_c": flash(l.flash),
                "burns": burns(l.flash),
                "basis": l.basis,
                "sources": l.sources,
            })
        })
        .collect();
    let left_out: Vec<Value> = it
        .left_out
        .iter()
        .map(|l| {
            json!({
                "id": l.id,
                "name": l.name,
                "sort": l.sort.word(),
                "reason": l.reason.text,
                "basis": l.reason.basis.to_string(),
                "allowing": l.allowing,
            })
        })
        .collect();
    object(json!({
        "action": it.action.word(),
        "target": region(&it.target),
        "layers": it.layers.iter().map(region).collect::<Vec<_>>(),
        "blends": it.blends.iter().map(practical).collect::<Vec<_>>(),
        "bound": it.bound.as_ref().map(nearest),
        "nearest": it.nearest.as_ref().map(nearest),
        "step_percent": it.step,
        "weighed": it.weighed,
        "sifted": it.sifted.iter().map(|s| json!({"demand": s.demand, "left": s.left})).collect::<Vec<_>>(),
        "liquids": liquids,
        "left_out": left_out,
        "apart": it.apart.iter().map(|a| json!({"liquids": a.liquids, "reason": a.reason.text, "basis": a.reason.basis.to_string()})).collect::<Vec<_>>(),
        "conflicts": it.conflicts.iter().map(|c| json!({"id": c.id, "says": c.says, "basis": c.basis, "sources": c.sources})).collect::<Vec<_>>(),
        "missing": it.missing,
        "settle": it.settle.iter().map(|s| json!({"on": s.on, "liquid": entry(&s.liquid), "why": s.why, "sources": s.sources})).collect::<Vec<_>>(),
        "left_out_of_fit": it.notes,
        "stopped": it.stopped,
    }))
}

fn point(it: Hansen) -> Value {
    json!([it.d, it.p, it.h])
}

fn triple((a, b, c): (f64, f64, f64)) -> Value {
    json!([a, b, c])
}

fn flash(it: Flash) -> Option<f64> {
    match it {
        Flash::At(c) => Some((c * 10.0).round() / 10.0),
        Flash::None | Flash::Unknown => None,
    }
}

/// `null` where nothing is on file.
fn burns(it: Flash) -> Option<bool> {
    match it {
        Flash::At(_) => Some(true),
        Flash::None => Some(false),
        Flash::Unknown => None,
    }
}

fn limit(it: &Limit) -> Value {
    json!({"ppm": it.ppm, "where": it.region, "averaging": it.averaging, "basis": it.basis, "sources": it.sources})
}

fn region(it: &Region) -> Value {
    let spheres: Vec<Value> = it
        .spheres
        .iter()
        .map(|s| {
            json!({
                "centre": point(s.sphere),
                "radius": s.sphere.radius,
                "basis": s.basis,
                "sources": s.sources,
                "record": s.place.as_ref().map(place),
                "note": s.note,
            })
        })
        .collect();
    let range = |(low, high): (f64, f64)| json!([low, high]);
    json!({
        "id": it.id,
        "called": it.called,
        "state": it.state,
        "spheres": spheres,
        "fit": it.fit.as_ref().map(|f| json!({
            "good": f.good,
            "poor": f.poor,
            "datafit": f.datafit,
            "spread": f.spread,
            "range": {"d": range(f.range[0]), "p": range(f.range[1]), "h": range(f.range[2]), "radius": range(f.range[3])},
            "misfits": f.misfits,
        })),
        "by_record": it.by_record,
    })
}

fn nearest(it: &Nearest) -> Value {
    let parts: Vec<Value> = it.parts.iter().map(part).collect();
    json!({"parts": parts, "step_percent": it.step, "hansen": point(it.at), "ra": it.ra, "red": it.red})
}

fn practical(it: &Practical) -> Value {
    let parts: Vec<Value> = it.parts.iter().map(part).collect();
    let path: Vec<Value> = it
        .path
        .iter()
        .map(|p| {
            json!({
                "left": p.left,
                "shares": p.shares,
                "hansen": point(p.at),
                "teas": p.teas.map(triple),
                "red": p.red,
                "layers": p.layers,
            })
        })
        .collect();
    let conditions: Vec<Value> = it.steps.iter().flat_map(|s| caveats(s.caveats())).collect();
    json!({
        "rank": it.rank,
        "verdict": it.call.word(),
        "parts": parts,
        "ratio": it.ratio,
        "hansen": point(it.start),
        "red": it.red,
        "least_red": it.least,
        "solvent_until": it.solvent_until,
        "mixing": it.mixing.word(),
        "hazard_ratio": it.hazard,
        "no_limit": it.no_limit,
        "flash_c": flash(it.flash),
        "burns": burns(it.flash),
        "reasons": it.reasons.iter().map(|r| json!({"reason": r.text, "basis": r.basis.to_string()})).collect::<Vec<_>>(),
        "records": harm(&it.records),
        "conditions": conditions,
        "score": it.score,
        "path": path,
    })
}

fn part(it: &Part) -> Value {
    json!({"id": it.id, "name": it.name, "share": it.share})
}
