//! Gels: which carrier carries which liquid, how much of it, and how it is made.

use super::facts::{liquids, texts};
use crate::answer::{Dissolving, GelSeen};
use crate::model::order::{Gel, Order, Place, Substance, Trouble, Wanted};
use crate::model::{Agent, Basis, Carrier, Class, Fact, Facts, Library, Value};

/// Whether a carrier carries a liquid: `None` where neither is on file.
fn takes(carrier: &Carrier, agent: &Agent) -> Option<bool> {
    let names = |list: &[String]| {
        list.contains(&agent.head.id)
            || (agent.sort != crate::model::AgentSort::Mixture
                && list.iter().any(|w| w == agent.class.word()))
    };
    let own = |list: &[String]| list.contains(&agent.head.id);
    match (own(&carrier.carries), own(&carrier.carries_not)) {
        (true, _) => return Some(true),
        (_, true) => return Some(false),
        _ => {}
    }
    if names(&carrier.carries_not) {
        return Some(false);
    }
    names(&carrier.carries).then_some(true)
}

/// Whether a liquid is one of those that a gel of water may take in: the others part from water.
const fn polar(agent: &Agent) -> bool {
    matches!(
        agent.class,
        Class::Alcohol | Class::KetoneEster | Class::Aprotic
    )
}

/// What is on file for a gel of water with so much of a polar liquid in it; none where that is more
/// than is recorded, or nothing is.
fn borne(carrier: &Carrier, share: f64) -> Option<&Fact> {
    let holds = |fact: &&Fact| match &fact.value {
        Value::Measure(q) => q.bounds().is_some_and(|b| share <= b.high / 100.0 + 1e-9),
        _ => false,
    };
    carrier.head.facts.get("co-solvent").iter().find(holds)
}

fn borne_in_words(agent: &Agent, fact: &Fact) -> String {
    let most = match &fact.value {
        Value::Measure(q) => q.literal.as_str(),
        _ => "",
    };
    let note = fact
        .note
        .as_ref()
        .map_or_else(String::new, |n| format!("; {n}"));
    format!(
        "{} up to {most} in its gel of water ({}{note})",
        agent.head.names.name,
        fact.basis.word()
    )
}

/// Most by which a mixture may differ from the one that the record of a carrier names, in share by
/// volume of any part, to be taken for it.
const ALIKE: f64 = 0.15;

/// How near liquids come to a mixture that a carrier is recorded to carry: the greatest difference in
/// share of a part; none where it carries no mixture of just these.
fn beside_recorded(
    library: &dyn Library,
    carrier: &Carrier,
    solvents: &[(Agent, f64)],
) -> Option<f64> {
    let of = |id: &str| {
        solvents
            .iter()
            .find(|(a, _)| a.head.id == id)
            .map(|(_, s)| *s)
    };
    carrier
        .carries
        .iter()
        .filter_map(|id| library.agent(id))
        .filter(|it| it.parts.len() > 1 && it.parts.len() == solvents.len())
        .filter_map(|it| {
            let whole: f64 = it.parts.iter().map(|(_, p)| p).sum();
            it.parts.iter().try_fold(0.0_f64, |most, (id, p)| {
                Some(most.max((of(id)? - p / whole).abs()))
            })
        })
        .min_by(f64::total_cmp)
}

/// Whether a carrier carries every liquid of a mixture; a refusal where it is recorded not to.
pub(super) fn carried(
    library: &dyn Library,
    carrier: &Carrier,
    solvents: &[(Agent, f64)],
    place: Place,
    name: impl Fn(&str) -> String,
) -> Result<Dissolving, Box<Trouble>> {
    let water: f64 = solvents
        .iter()
        .filter(|(a, _)| a.class.is_aqueous())
        .map(|(_, s)| s)
        .sum();
    let mut notes = Vec::new();
    let mut unsure = Vec::new();
    let beside = beside_recorded(library, carrier, solvents);
    for (agent, share) in solvents {
        match takes(carrier, agent) {
            Some(true) => {}
            // The mixture was recorded, so what is said of its parts alone does not hold.
            Some(false) | None if beside.is_some_and(|it| it <= ALIKE) => {}
            Some(false) if beside.is_some() => unsure.push(agent.head.names.name.clone()),
            Some(false) if water > 0.0 && polar(agent) && borne(carrier, *share).is_some() => {
                notes.extend(borne(carrier, *share).map(|fact| borne_in_words(agent, fact)));
            }
            Some(false) => {
                let carries = carrier.carries.join(", ");
                return Err(Box::new(Trouble {
                    code: "Q0504",
                    place,
                    message: format!(
                        "{} does not gel {}",
                        carrier.head.names.name, agent.head.names.name
                    ),
                    label: "recorded as not carried".to_owned(),
                    notes: vec![format!("it carries: {carries}")],
                    help: "`find carrier` lists the others; `show carries` what they carry"
                        .to_owned(),
                }));
            }
            None => unsure.push(agent.head.names.name.clone()),
        }
    }
    if !unsure.is_empty() {
        notes.push(format!(
            "not recorded for {}: try ten millilitres first",
            unsure.join(", ")
        ));
    }
    let sure = unsure.is_empty() && !solvents.is_empty();
    let liquids: Vec<&str> = solvents
        .iter()
        .map(|(a, _)| a.head.names.name.as_str())
        .collect();
    Ok(Dissolving {
        solute: name(""),
        solvent: liquids.join(" + "),
        response: if sure { "gels" } else { "" }.to_owned(),
        sure,
        basis: if sure { "practice" } else { "" }.to_owned(),
        sources: Vec::new(),
        notes,
    })
}

/// The gel that a solution is to become.
pub(super) fn gel(
    library: &dyn Library,
    order: &Order,
    gel: &Gel,
    solvents: &[(Agent, f64)],
    millilitres: Option<f64>,
) -> Result<GelSeen, Box<Trouble>> {
    let carrier = &gel.carrier;
    let mut all = solvents.to_vec();
    // In a mixture by parts the parts are the liquid.
    if order.solvent.is_empty() {
        all = liquids(library, &order.solute);
    }
    // What is dissolved in the water meets the gel as well: a chelator in gellan, an acid in agar.
    for part in &order.solute {
        if let Substance::Agent(agent) = &part.is
            && agent.class.is_aqueous()
            && !order.solvent.is_empty()
        {
            all.push((agent.as_ref().clone(), 1.0));
        }
    }
    let seen = carried(library, carrier, &all, Place::Gel, |_| {
        carrier.head.names.name.clone()
    })?;
    let batch = millilitres.or(match order.wanted {
        Wanted::Volume(ml) => Some(ml),
        Wanted::Mass(_) => None,
    });
    let facts = &carrier.head.facts;
    let recorded: Vec<Share<'_>> = facts.get("share").iter().filter_map(Share::of).collect();
    let span = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
    let bounds = recorded.iter().map(|it| it.percent).reduce(span);
    let mut mind = Vec::new();
    if let (Some(share), Some((low, high))) = (gel.share, bounds)
        && !(low..=high).contains(&share)
    {
        mind.push((
            "share".to_owned(),
            format!("{share} % lies outside what is recorded ({low} to {high} %)"),
        ));
    }
    mind.extend(seen.notes.iter().map(|n| ("liquid".to_owned(), n.clone())));
    mind.extend(to_mind(facts, order.ph));
    let share = gel.share.map(|s| (s, s)).or(bounds);
    Ok(GelSeen {
        id: carrier.head.id.clone(),
        name: carrier.head.names.name.clone(),
        grams: share
            .zip(batch)
            .map(|((l, h), ml)| (l * ml / 100.0, h * ml / 100.0)),
        share: match gel.share {
            Some(s) => format!("{s} g in 100 ml, as asked"),
            None => {
                let texts: Vec<&str> = recorded.iter().map(|it| it.literal).collect();
                texts.join("; ")
            }
        },
        carries: seen.sure,
        basis: Basis::words(recorded.iter().map(|it| it.basis)),
        sources: Basis::keys(recorded.iter().map(|it| it.basis)),
        how: texts(facts, "how"),
        mind,
    })
}

/// A share of a gelling agent, as recorded.
struct Share<'a> {
    /// Grams in 100 ml, from and to.
    percent: (f64, f64),
    basis: &'a Basis,
    literal: &'a str,
}

impl<'a> Share<'a> {
    fn of(fact: &'a Fact) -> Option<Self> {
        let Value::Measure(quantity) = &fact.value else {
            return None;
        };
        let bounds = quantity.bounds()?;
        Some(Self {
            percent: (bounds.low, bounds.high),
            basis: &fact.basis,
            literal: &quantity.literal,
        })
    }
}

/// What the record of a gelling agent has to be minded: of what, and what it says.
fn to_mind(facts: &Facts, ph: Option<f64>) -> Vec<(String, String)> {
    let mut out = Vec::new();
    if let (Some(ph), Some((low, high))) = (ph, ph_range(facts))
        && !(low..=high).contains(&ph)
    {
        out.push((
            "pH".to_owned(),
            format!("pH {ph} lies outside what it is recorded to bear ({low} to {high})"),
        ));
    }
    for key in ["salts", "caution", "clearance", "residue", "not-when"] {
        out.extend(texts(facts, key).into_iter().map(|t| (key.to_owned(), t)));
    }
    let notes = facts.get("share").iter().filter_map(|f| f.note.clone());
    out.extend(notes.map(|n| ("share".to_owned(), n)));
    out
}

fn ph_range(facts: &Facts) -> Option<(f64, f64)> {
    facts
        .get("ph")
        .iter()
        .filter_map(|f| match &f.value {
            Value::Measure(q) => q.bounds().map(|b| (b.low, b.high)),
            _ => None,
        })
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}
