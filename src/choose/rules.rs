//! The hard rules of a choice, asked in turn. What is lost is lost to the first that it breaks.

use super::apply::{self, Applied, lost};
use super::{Ask, Shelf, Taken, USUAL_WARMEST, facts, forecast, load};
use crate::answer::{Lost, Outlook, Reversal, Rule};
use crate::model::scene::SceneLayer;
use crate::model::{
    Ageing, Basis, Custom, Fact, Hazard, Material, Purpose, Role, Trait, Truth, Value,
};

/// What the rules say of a candidate.
pub(super) enum Judged {
    Live(Box<Applied>),
    Lost(Lost),
    /// A fact is missing that a rule asks for.
    Unknown(Lost),
}

/// Kelvin between the warmest day and the glass transition of what carries a load: the lower end of
/// the trade's 10-15 K (common practice).
const MARGIN: f64 = 10.0;

/// Whether a material is asked for at all.
pub(super) fn is_asked(ask: &Ask, index: usize, material: &Material) -> bool {
    if !ask.among.is_empty() {
        return ask.among.contains(&index);
    }
    if !ask.families.is_empty() && !ask.families.contains(&material.family) {
        return false;
    }
    let roles: &[Role] = match ask.purpose {
        Purpose::ForCoating => &[Role::Coating],
        Purpose::ForAdhesive => &[Role::Adhesive, Role::Fastener],
        Purpose::ForConsolidant => &[Role::Consolidant],
        Purpose::ForFill => &[Role::Fill],
        Purpose::ForBarrier => {
            return material
                .new
                .iter()
                .any(|n| n.purposes.contains(&Purpose::ForBarrier));
        }
    };
    material.roles.iter().any(|role| roles.contains(role))
}

/// Asks the rules that need no forecast. That nobody takes it today comes last: what it would do to
/// these layers says more.
pub(super) fn judge(
    shelf: &Shelf,
    ask: &Ask,
    index: usize,
    material: &Material,
    taken: &Taken,
) -> Judged {
    let judged = judge_as_taken(shelf, ask, index, material, taken);
    let named = ask.among.len() == 1;
    if taken.custom.is_some() || named || matches!(judged, Judged::Lost(_)) {
        return judged;
    }
    Judged::Lost(lost(
        material,
        Rule::NoRecord,
        None,
        "nothing on record says that it is taken for this today".to_owned(),
        Basis::Practice,
    ))
}

/// The same, of a material that somebody takes for this.
fn judge_as_taken(
    shelf: &Shelf,
    ask: &Ask,
    index: usize,
    material: &Material,
    taken: &Taken,
) -> Judged {
    let no = |rule, layer: Option<String>, text: String, basis: Basis| {
        Judged::Lost(lost(material, rule, layer, text, basis))
    };
    if taken.custom == Some(Custom::Refused) {
        let said = taken.said.as_ref();
        let mut it = lost(
            material,
            Rule::Refused,
            None,
            said.and_then(|s| s.why.clone()).unwrap_or_default(),
            said.map_or(Basis::Practice, |s| s.basis.clone()),
        );
        it.place = said.map(|s| s.place.clone());
        return Judged::Lost(it);
    }
    if let Some(hazard) = material
        .hazards()
        .into_iter()
        .find(|h| Hazard::HIDDEN.contains(h) && *h != Hazard::Mould)
    {
        return no(
            Rule::Hazard,
            None,
            format!("{hazard} is in it: nothing of the kind goes in anew"),
            Basis::Practice,
        );
    }
    match ask.condition.get(index) {
        Some(Truth::False) => {
            return no(
                Rule::Where,
                None,
                format!("its record denies: {}", ask.condition_text),
                Basis::Practice,
            );
        }
        Some(Truth::Unknown) => {
            return Judged::Unknown(lost(
                material,
                Rule::Where,
                None,
                format!("not enough on record for: {}", ask.condition_text),
                Basis::Practice,
            ));
        }
        _ => {}
    }
    let layers = ask.all_layers();
    if let Some(it) = emissions(material, &layers).or_else(|| acidity(material, &layers)) {
        return Judged::Lost(it);
    }
    if let Some(judged) = warmth(ask, material) {
        return judged;
    }
    if let Some(judged) = carries(ask, material) {
        return judged;
    }
    match apply::apply(shelf, ask, material) {
        Ok(applied) => Judged::Live(Box::new(applied)),
        Err(it) => Judged::Lost(*it),
    }
}

fn is_metal(layer: &SceneLayer) -> bool {
    [
        Trait::Copper,
        Trait::Iron,
        Trait::Lead,
        Trait::Zinc,
        Trait::Silver,
        Trait::Tin,
        Trait::Aluminium,
    ]
    .iter()
    .any(|t| layer.has(*t))
}

/// Acid vapour beside what it corrodes or weakens.
fn emissions(material: &Material, layers: &[SceneLayer]) -> Option<Lost> {
    let fact = facts::ages(material, Ageing::EmitsAcid)?;
    let layer = layers.iter().find(|l| {
        is_metal(l)
            || [Trait::Photograph, Trait::Pearl].iter().any(|t| l.has(*t))
            || l.layer.group == "paper"
    })?;
    Some(by_record(
        material,
        Rule::Emissions,
        Some(layer.called.clone()),
        format!("it gives off acid as it ages, beside {}", layer.called),
        fact,
    ))
}

/// pH outside what a layer bears. Bounds are common practice: metal 5 to 9.5, carbonate from 5, paper
/// and cloth of cellulose from 4.5, silk and wool up to 9.5.
fn acidity(material: &Material, layers: &[SceneLayer]) -> Option<Lost> {
    let (low, high, fact) = facts::span(&material.head.facts, "ph")?;
    let (layer, what) = layers.iter().find_map(|l| {
        let bad = if is_metal(l) {
            (high < 5.0 || low > 9.5) || low < 3.5
        } else if l.has(Trait::Carbonate) {
            high < 5.0
        } else if l.has(Trait::Silk) || l.has(Trait::Wool) {
            low > 9.5
        } else if l.has(Trait::Cellulose) {
            high < 4.5
        } else {
            false
        };
        bad.then_some((l, if high < 7.0 { "acid" } else { "alkaline" }))
    })?;
    Some(by_record(
        material,
        Rule::Acidity,
        Some(layer.called.clone()),
        format!("pH {low:.1} to {high:.1}: too {what} for {}", layer.called),
        fact,
    ))
}

/// The warmest day against the glass transition. A stated day, or a load, makes it a hard rule.
fn warmth(ask: &Ask, material: &Material) -> Option<Judged> {
    if ask.purpose == Purpose::ForConsolidant && ask.warmest.is_none() {
        return None;
    }
    let stated = ask.warmest.is_some();
    if !stated && ask.load.is_none() {
        return None;
    }
    let day = ask.warmest.unwrap_or(USUAL_WARMEST);
    let carries = matches!(ask.purpose, Purpose::ForAdhesive | Purpose::ForFill);
    let margin = if carries && ask.load.is_some() {
        MARGIN
    } else {
        0.0
    };
    let network = facts::sets(material).contains(&"reaction");
    match facts::transition(material) {
        facts::Transition::At(nominal, lowest, fact) if nominal < day + margin => {
            let held = if lowest < nominal {
                format!("; held solvent can bring it to {lowest:.0} C")
            } else {
                String::new()
            };
            Some(Judged::Lost(by_record(
                material,
                Rule::Warmth,
                None,
                format!(
                    "it softens at {nominal:.0} C; {:.0} C are wanted for a day of {day:.0} C{held}",
                    day + margin
                ),
                fact,
            )))
        }
        // A glue or a plaster of which nobody gives a transition does not soften dry.
        facts::Transition::Unrecorded
            if !network
                && !matches!(
                    material.family.as_str(),
                    "collagen-glue"
                        | "polysaccharide"
                        | "cellulose-ether"
                        | "glue-chalk"
                        | "gypsum"
                        | "lime"
                        | "protein"
                        | "paper-pulp"
                ) =>
        {
            Some(Judged::Unknown(lost(
                material,
                Rule::Warmth,
                None,
                "its glass transition is not recorded".to_owned(),
                Basis::Practice,
            )))
        }
        _ => None,
    }
}

/// The load against the strength on record.
fn carries(ask: &Ask, material: &Material) -> Option<Judged> {
    let load = ask.load?;
    if let Some(fact) = facts::ages(material, Ageing::Creeps) {
        return Some(Judged::Lost(by_record(
            material,
            Rule::Load,
            None,
            "it creeps under a standing load".to_owned(),
            fact,
        )));
    }
    let stress = load.stress_mpa?;
    let safety = load::wanted(material);
    let Some((low, _, fact)) = facts::strength(&material.head.facts) else {
        return Some(Judged::Unknown(lost(
            material,
            Rule::Load,
            None,
            "its strength is not recorded".to_owned(),
            Basis::Practice,
        )));
    };
    (low < stress * safety).then(|| {
        Judged::Lost(by_record(
            material,
            Rule::Load,
            None,
            format!(
                "{low:.2} MPa on record, {:.2} MPa wanted: {stress:.3} MPa at a safety of {safety:.0}",
                stress * safety
            ),
            fact,
        ))
    })
}

/// Whether it can be taken back after the years asked for.
pub(super) fn taken_back(ask: &Ask, material: &Material, all: &[Outlook]) -> Option<Lost> {
    let years = ask.years?;
    let verdict = forecast::at(all, years);
    let good = match verdict {
        Reversal::Reversible | Reversal::WithCare | Reversal::PartlyExtractable => true,
        Reversal::OnlyMechanically => ask.purpose == Purpose::ForFill,
        Reversal::Not | Reversal::Unknown => false,
    };
    (!good).then(|| {
        let text = match verdict {
            Reversal::Unknown => "no record of how it ages".to_owned(),
            it => format!("after {years:.0} years: {}", it.word()),
        };
        let basis = material
            .head
            .facts
            .first("ageing")
            .map_or(Basis::Practice, |f| f.basis.clone());
        lost(material, Rule::Reversibility, None, text, basis)
    })
}

/// Whether it is stronger than the body and cannot be taken off: the next break is then in the
/// object.
pub(super) fn too_strong(ask: &Ask, material: &Material, verdict: Reversal) -> Option<Lost> {
    if !matches!(ask.purpose, Purpose::ForAdhesive | Purpose::ForFill) {
        return None;
    }
    // Under flakes it is a film between layers, and no join that a break would look for.
    if ask.is_under_flakes() || facts::dissolves(material) {
        return None;
    }
    // A mineral fill is pared or wetted out; a network only swells.
    if matches!(material.family.as_str(), "gypsum" | "lime")
        && matches!(verdict, Reversal::Reversible | Reversal::WithCare)
    {
        return None;
    }
    let (_, own, fact) = facts::strength(&material.head.facts)?;
    let (body, _, called, _) = load::body(ask)?;
    (own > body).then(|| {
        by_record(
            material,
            Rule::Strength,
            Some(called.clone()),
            format!(
                "up to {own:.0} MPa against {body:.1} MPa of {called}, and no liquid dissolves it: the \
                 next break is in the object"
            ),
            fact,
        )
    })
}

/// What is lost to a fact on record, with its place.
fn by_record(
    material: &Material,
    rule: Rule,
    layer: Option<String>,
    text: String,
    fact: &Fact,
) -> Lost {
    Lost {
        place: Some(fact.place.clone()),
        ..lost(material, rule, layer, text, fact.basis.clone())
    }
}

/// A value of a fact as a reader sees it.
pub(super) fn shown(value: &Value) -> String {
    match value {
        Value::Measure(q) => q.literal.clone(),
        Value::Words(list) => list.join(", "),
        Value::Text(text) | Value::NotApplicable(text) => text.clone(),
        _ => String::new(),
    }
}
