//! Solutions and air in data form.

use serde_json::{Value, json};

use super::{caveats, shown};
use crate::answer::{
    BufferSeen, Burden, Fire, GelSeen, InAir, LimitSeen, Line, Prepare, Recipe, Ventilate,
};

pub(super) fn prepare(it: &Prepare) -> Value {
    json!({
        "title": it.title,
        "recipes": it.recipes.iter().map(recipe).collect::<Vec<_>>(),
        "dissolving": it.dissolving.iter().map(|d| json!({
            "solute": d.solute,
            "solvent": d.solvent,
            "response": d.response,
            "recorded": d.sure,
            "basis": d.basis,
            "sources": d.sources,
            "notes": d.notes,
        })).collect::<Vec<_>>(),
        "buffer": it.buffer.as_ref().map(buffer),
        "conductivity": it.conductivity.map(|(value, molar)| json!({"us_cm": value, "mol_l": molar})),
        "gel": it.gel.as_ref().map(gel),
        "conditions": caveats(it.vessel.caveats()),
        "order": it.order,
        "mind": it.mind,
        "gaps": it.gaps,
        "facts": it.facts.iter().map(shown).collect::<Vec<_>>(),
        "balance_g": it.balance.value,
        "balance_stated": it.balance.stated,
        "undetermined": it.undetermined,
    })
}

fn recipe(it: &Recipe) -> Value {
    json!({
        "reading": it.reading,
        "lines": it.lines.iter().map(line).collect::<Vec<_>>(),
        "total_ml": it.total_ml,
        "total_g": it.total_g,
        "strengths": it.strengths.iter().map(|(unit, value)| json!({"unit": unit, "value": value})).collect::<Vec<_>>(),
        "spread": it.spread,
    })
}

fn line(it: &Line) -> Value {
    json!({
        "what": it.what,
        "g": it.grams.map(|(g, _)| g),
        "g_digit": it.grams.map(|(_, d)| d),
        "ml": it.millilitres.map(|(ml, _)| ml),
        "ml_limit": it.millilitres.and_then(|(_, l)| l),
        "note": it.note,
    })
}

fn buffer(it: &BufferSeen) -> Value {
    json!({
        "name": it.name,
        "ph": it.ph,
        "celsius": it.celsius.value,
        "mol_l": it.molar,
        "pka": it.pk,
        "useful_ph": [it.range.0, it.range.1],
        "ionic_strength": it.ionic,
        "capacity": it.capacity,
        "ph_at": it.elsewhere.iter().map(|(t, ph)| json!({"celsius": t, "ph": ph})).collect::<Vec<_>>(),
        "us_cm": it.conductivity,
        "basis": it.basis,
        "sources": it.sources,
    })
}

fn gel(it: &GelSeen) -> Value {
    json!({
        "id": it.id,
        "name": it.name,
        "g": it.grams.map(|(a, b)| json!([a, b])),
        "share": it.share,
        "carries": it.carries,
        "basis": it.basis,
        "sources": it.sources,
        "how": it.how,
        "mind": it.mind.iter().map(|(what, says)| json!({"what": what, "says": says})).collect::<Vec<_>>(),
    })
}

pub(super) fn ventilate(it: &Ventilate) -> Value {
    json!({
        "title": it.title,
        "flags": it.flags,
        "room_m3": it.room,
        "air_m3_h": it.air,
        "mixing": it.mixing.value,
        "mixing_stated": it.mixing.stated,
        "hours": it.hours,
        "parts": it.parts.iter().map(part).collect::<Vec<_>>(),
        "burdens": it.burdens.iter().map(burden).collect::<Vec<_>>(),
        "fire": fire(&it.fire),
        "clearing_min": it.clearing.map(|(tenth, hundredth)| json!({"tenth": tenth, "hundredth": hundredth})),
        "needed": it.needed.iter().map(|n| json!({"goal": n.goal, "air_m3_h": n.air, "air_changes": n.changes})).collect::<Vec<_>>(),
        "conditions": caveats(it.vessel.caveats()),
        "mind": it.mind,
        "gaps": it.gaps,
        "facts": it.facts.iter().map(shown).collect::<Vec<_>>(),
        "undetermined": it.undetermined,
    })
}

fn part(it: &InAir) -> Value {
    json!({
        "id": it.id,
        "name": it.name,
        "g": it.grams,
        "ppm": {
            "steady": it.steady,
            "peak": it.peak,
            "mean": it.mean,
            "worst_15_min": it.quarter,
            "day": it.day,
        },
        "limits": {
            "8 h": it.limit_day.as_ref().map(limit),
            "15 min": it.limit_quarter.as_ref().map(limit),
            "ceiling": it.limit_ceiling.as_ref().map(limit),
        },
        "needs_limit": !it.harmless,
        "notes": it.notes,
    })
}

fn limit(it: &LimitSeen) -> Value {
    json!({
        "ppm": it.ppm,
        "as_recorded": it.literal,
        "where": it.region,
        "source_year": it.source_year,
        "note": it.note,
        "basis": it.basis,
        "sources": it.sources,
    })
}

fn burden(it: &Burden) -> Value {
    json!({
        "over": it.over,
        "room": it.room,
        "near": it.near,
        "unknown": it.unknown,
        "stood_in": it.stood_in,
        "verdict": it.verdict.word(),
    })
}

fn fire(it: &Fire) -> Value {
    json!({
        "room": it.room,
        "near": it.near,
        "over_liquid": it.over_liquid,
        "unknown": it.unknown,
        "flash_celsius": it.flash.as_ref().map(|(t, _)| t),
        "flash_of": it.flash.as_ref().map(|(_, name)| name),
        "verdict": it.verdict.in_words(),
    })
}
