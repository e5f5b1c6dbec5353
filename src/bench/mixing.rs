//! Whether liquids make one phase: as their records say, in either of the two.

use crate::model::{Agent, AgentSort, Basis, Class, Fact};

/// What is known of two liquids in one vessel.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Mixing {
    /// Whether they mix.
    pub(super) phase: Phase,
    /// What that rests on.
    pub(super) basis: Basis,
    /// Remark of the record.
    pub(super) note: Option<String>,
}

/// What two liquids make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Phase {
    /// One liquid, in every share.
    One,
    /// Water takes up some of the other; how much, the note says.
    InPart,
    /// Two layers.
    Two,
}

/// Whether two liquids mix; none where neither record says and their classes do not either.
///
/// Of two organic liquids of which no record says that they part it is taken that they mix (common
/// practice); so it is of two liquids that are mostly water. Between the two a record is wanted: what
/// stands of water holds for all that is mostly water.
pub(super) fn mixes(a: &Agent, b: &Agent) -> Option<Mixing> {
    let (one, other) = (watery(a), watery(b));
    let said = |fact: &Fact, phase| Mixing {
        phase,
        basis: fact.basis.clone(),
        note: fact.note.clone(),
    };
    let recorded = |key| stated(a, b, key).or_else(|| stated(b, a, key));
    if let Some(fact) = recorded("miscible") {
        return Some(said(fact, Phase::One));
    }
    if let Some(fact) = recorded("partly-miscible") {
        return Some(said(fact, Phase::InPart));
    }
    if let Some(fact) = recorded("immiscible") {
        return Some(said(fact, Phase::Two));
    }
    let taken = (one && other) || (organic(a.class) && organic(b.class));
    taken.then_some(Mixing {
        phase: Phase::One,
        basis: Basis::Practice,
        note: None,
    })
}

/// What the record of one says of the other.
pub(super) fn stated<'a>(a: &'a Agent, b: &Agent, key: &str) -> Option<&'a Fact> {
    a.head.facts.get(key).iter().find(|fact| {
        fact.words().iter().any(|word| {
            *word == b.head.id || word == b.class.word() || (word == "water" && watery(b))
        })
    })
}

const fn organic(class: Class) -> bool {
    matches!(
        class,
        Class::Alcohol
            | Class::KetoneEster
            | Class::Aromatic
            | Class::Aliphatic
            | Class::Chlorinated
    )
}

/// Whether a liquid is mostly water. A reagent with solubility parameters is a liquid of its own: acetic
/// acid, an amine.
fn watery(agent: &Agent) -> bool {
    match agent.class {
        Class::ColdWater | Class::WarmWater => true,
        Class::Acid | Class::Alkali | Class::Chelator | Class::Enzyme => match agent.sort {
            AgentSort::Aqueous | AgentSort::Enzyme => true,
            AgentSort::Reagent => agent.head.facts.get("hansen").is_empty(),
            AgentSort::Solvent | AgentSort::Mixture => false,
        },
        _ => false,
    }
}
