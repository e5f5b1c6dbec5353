//! The hard rules, by what they protect. Each is one entry; each has a test of its own.
//!
//! A rule is written for the traits of a layer, so that a studio's own layers are covered; it
//! names a layer where the trait would be too wide. `OnlyIf` keeps a step at "test first", so it
//! stands only where the condition cannot be met by an ordinary careful worker as a matter of
//! course; what a careful worker simply does first is a `Before`.

mod bench;
mod chemistry;
mod dry;
mod glaze_metal;
mod heat;
mod mixtures;
mod order;
mod own_kind;
mod people;
mod plastics;
mod solvents;
mod specialists;
mod water;

use super::rule::{Rule, RuleBasis, Sort, When};
use crate::model::Action;

pub use bench::of_tests;
pub(super) use own_kind::may_be_own_kind;
pub use own_kind::{OWN_GLUE, OWN_PLASTER, PutOn, own_kind};

/// Every hard rule on steps, in a fixed order.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    [
        water::RULES,
        solvents::RULES,
        plastics::RULES,
        chemistry::RULES,
        glaze_metal::RULES,
        heat::RULES,
        dry::RULES,
        specialists::RULES,
        order::RULES,
        people::RULES,
        mixtures::RULES,
    ]
    .into_iter()
    .flatten()
}

/// Every rule there is, those on bench tests and those that the gate applies by its own code
/// included.
pub fn every() -> impl Iterator<Item = &'static Rule> {
    all().chain(of_tests().iter().map(|t| &t.rule)).chain([
        &OWN_GLUE,
        &OWN_PLASTER,
        &RECORDED_HARM,
        &METHOD_UNFIT,
        &WHOLE_FILM,
        &PERMISSION,
        &WARMED_VESSEL,
        &NO_HOT_NEEDLE,
        &CRUMB_ONLY,
        &SAMPLING,
        &REAGENT_NOT_BORNE,
    ])
}

/// Tests that bring heat or flame to a specimen.
pub const HOT_TESTS: &[&str] = &["needle", "odour", "beilstein", "vapour-ph", "ash"];

/// Methods that wet the whole object, its edges and its back.
pub const BATHS: &[&str] = &["immersion", "salt-bath"];

/// Every way of taking something off; securing and leaving alone are not among them.
const REMOVING: &[Action] = &[
    Action::Solvent,
    Action::Aqueous,
    Action::Vapour,
    Action::Heat,
    Action::Cold,
    Action::Mechanical,
    Action::Light,
];

const fn rule(
    id: &'static str,
    sort: Sort,
    when: When,
    says: &'static str,
    why: &'static str,
    basis: RuleBasis,
) -> Rule {
    Rule {
        id,
        sort,
        when,
        says,
        why,
        basis,
    }
}

/// A rule that the gate applies by its own code.
const fn own(
    id: &'static str,
    sort: Sort,
    says: &'static str,
    why: &'static str,
    basis: RuleBasis,
) -> Rule {
    rule(id, sort, When::ANY, says, why, basis)
}

const fn never(
    id: &'static str,
    when: When,
    says: &'static str,
    why: &'static str,
    basis: RuleBasis,
) -> Rule {
    rule(id, Sort::Never, when, says, why, basis)
}

const fn only_if(
    id: &'static str,
    when: When,
    says: &'static str,
    why: &'static str,
    basis: RuleBasis,
) -> Rule {
    rule(id, Sort::OnlyIf, when, says, why, basis)
}

const fn before(
    id: &'static str,
    when: When,
    says: &'static str,
    why: &'static str,
    basis: RuleBasis,
) -> Rule {
    rule(id, Sort::Before, when, says, why, basis)
}

/// A layer is recorded to be harmed by what the step brings.
pub const RECORDED_HARM: Rule = own(
    "recorded-harm",
    Sort::Never,
    "the layer is recorded to be harmed by this",
    "known harm is ruled out, not merely left unrecommended",
    RuleBasis::Practice,
);

/// A method is recorded to harm what the layer is made of, or the state that it is in.
pub const METHOD_UNFIT: Rule = own(
    "method-unfit-for-layer",
    Sort::Never,
    "the method is recorded to harm layers of this make or in this state",
    "known harm is ruled out, not merely left unrecommended",
    RuleBasis::Practice,
);

/// A forbidden layer lies under a film that keeps the agent off.
pub const WHOLE_FILM: Rule = own(
    "film-above-is-whole",
    Sort::OnlyIf,
    "only where the film above is whole: no crack, loss or edge",
    "through a crack the agent reaches a layer that it harms",
    RuleBasis::Practice,
);

/// Law restricts the agent and the user has not permitted it.
pub const PERMISSION: Rule = own(
    "restricted-by-law",
    Sort::Never,
    "not without `allowing` it by name, under the law of the place and with extraction",
    "the law restricts its use in places; check before planning with it",
    RuleBasis::Practice,
);

/// A flammable liquid is warmed in a vessel.
pub const WARMED_VESSEL: Rule = own(
    "no-warming-to-the-flash-point",
    Sort::Never,
    "no flammable liquid warmed to within 10 K of its flash point, or above it",
    "at the flash point the vapour over it lights; dissolve cold, with time and stirring",
    RuleBasis::Practice,
);

/// Heat near a possible nitrate.
pub const NO_HOT_NEEDLE: Rule = own(
    "no-hot-needle-on-nitrate",
    Sort::Never,
    "no hot needle, flame or dry heating while cellulose nitrate stands at 1 % or more",
    "a nitrate crumb flashes; test with diphenylamine first",
    RuleBasis::Practice,
);

/// Destructive tests on the object.
pub const CRUMB_ONLY: Rule = own(
    "crumb-only",
    Sort::Never,
    "on a detached crumb only, never on the object",
    "the reagent or the heat stays in what it touches",
    RuleBasis::Practice,
);

/// Sampling.
pub const SAMPLING: Rule = own(
    "sampling",
    Sort::OnlyIf,
    "only with the owner's consent to sampling, from an edge of loss, the least that will do",
    "a sample does not grow back",
    RuleBasis::Published("aiccode1994", "guidelines 16-19"),
);

/// A drop on the object over a layer that is not known to bear it.
pub const REAGENT_NOT_BORNE: Rule = own(
    "reagent-not-borne",
    Sort::Never,
    "not on the object unless every layer beneath is known to bear the reagent: a detached crumb only",
    "a drop runs through cracks and over edges to what lies beneath",
    RuleBasis::Practice,
);
