//! Bench tests: reagents, flame, smoke, and what a crumb may hold.

use super::super::rule::RuleBasis::{Practice, Published};
use super::super::rule::{RuleBasis, Sort, TestRule, WhenTest};
use super::{HOT_TESTS, own};
use crate::model::{Hazard, Specimen};

const fn rule(
    id: &'static str,
    sort: Sort,
    when: WhenTest,
    says: &'static str,
    why: &'static str,
    basis: RuleBasis,
) -> TestRule {
    TestRule {
        rule: own(id, sort, says, why, basis),
        when,
    }
}

/// The rules on bench tests.
#[must_use]
pub const fn of_tests() -> &'static [TestRule] {
    RULES
}

const RULES: &[TestRule] = &[
    rule(
        "strong-reagent-in-hood",
        Sort::OnlyIf,
        WhenTest {
            toxicity: 4,
            ..WhenTest::ANY
        },
        "only in a fume hood with face shield and acid gloves, on a crumb smaller than a pinhead",
        "strong acids and poisons burn and give off gas",
        Practice,
    ),
    rule(
        "goggles-for-reagent",
        Sort::Before,
        WhenTest {
            test_hazards: &[Hazard::Corrosive],
            ..WhenTest::ANY
        },
        "gloves and goggles on first, the crumb on glass, a blank and a known positive beside it",
        "the reagent burns skin and eyes, and marks an object for good",
        Practice,
    ),
    rule(
        "heat-test-in-hood",
        Sort::OnlyIf,
        WhenTest {
            tests: HOT_TESTS,
            ..WhenTest::ANY
        },
        "only on a crumb smaller than a pinhead, in a fume hood, away from the object",
        "hot crumbs spit, flare and smoke",
        Practice,
    ),
    rule(
        "flame-without-solvent",
        Sort::Before,
        WhenTest {
            tests: &["beilstein", "ash"],
            ..WhenTest::ANY
        },
        "clear every solvent out of the room first",
        "a naked flame lights vapour from metres away",
        Practice,
    ),
    rule(
        "smell-only-the-first-vapour",
        Sort::OnlyIf,
        WhenTest {
            tests: &["odour"],
            ..WhenTest::ANY
        },
        "only wafted once from a hand away; never the smoke of sulphur, polyurethane, cyanoacrylate \
         or chlorinated rubber",
        "their smoke injures the lungs",
        Practice,
    ),
    rule(
        "no-smelling-of-arsenic-or-mercury",
        Sort::Never,
        WhenTest {
            tests: &["odour"],
            hazards: &[Hazard::Arsenic, Hazard::Mercury],
            ..WhenTest::ANY
        },
        "no smelling at a hot crumb while arsenic or mercury stands at 1 % or more",
        "both go into the smoke",
        Practice,
    ),
    rule(
        "no-burning-of-toxic-metal",
        Sort::Never,
        WhenTest {
            tests: &["ash"],
            hazards: &[Hazard::Lead, Hazard::Arsenic, Hazard::Mercury],
            ..WhenTest::ANY
        },
        "no burning off while lead, arsenic or mercury stands at 1 % or more: spot test or X-rays first",
        "smoke and ash are poisonous",
        Practice,
    ),
    rule(
        "hot-wire-touches-a-fragment",
        Sort::OnlyIf,
        WhenTest {
            tests: &["beilstein"],
            ..WhenTest::ANY
        },
        "only by touching a fragment with the wire, never with the whole sample in the flame",
        "a nitrate may burst into flame, and chlorinated smoke is toxic",
        Published("cci171", "long quotation"),
    ),
    rule(
        "small-crumb-of-nitrate",
        Sort::OnlyIf,
        WhenTest {
            tests: &["diphenylamine"],
            hazards: &[Hazard::Nitrate],
            ..WhenTest::ANY
        },
        "only on less than a pinhead, away from the object and from solvent; waste kept wet as acid",
        "strong acid heats nitrate as it attacks it",
        Practice,
    ),
    rule(
        "azide-in-laboratory",
        Sort::OnlyIf,
        WhenTest {
            tests: &["azide"],
            ..WhenTest::ANY
        },
        "only in a trained laboratory, never with acid, never into a metal drain",
        "it is very toxic, and metal azides explode",
        Practice,
    ),
    rule(
        "ferrocyanide-cold-and-dilute",
        Sort::OnlyIf,
        WhenTest {
            tests: &["iron-spot"],
            ..WhenTest::ANY
        },
        "only with dilute, cold acid",
        "ferrocyanide with strong hot acid gives off prussic acid",
        Practice,
    ),
    rule(
        "sulphide-without-acid",
        Sort::OnlyIf,
        WhenTest {
            tests: &["lead-spot"],
            ..WhenTest::ANY
        },
        "only with the acid neutralised before any sulphide, and the waste bagged as lead",
        "sulphide with acid gives off hydrogen sulphide",
        Practice,
    ),
    rule(
        "drop-on-the-object",
        Sort::OnlyIf,
        WhenTest {
            tests: &["water-drop", "solvent-drop"],
            specimens: &[Specimen::Surface],
            ..WhenTest::ANY
        },
        "only after a crumb bore it, and where every layer beneath bears it: no water on water \
         gilding, glue paint, unfired clay, light-aged lacquer or weeping glass",
        "one drop leaves a mark on a layer that dissolves in it",
        Practice,
    ),
    rule(
        "asbestos-crumb",
        Sort::OnlyIf,
        WhenTest {
            specimens: &[Specimen::Crumb, Specimen::FreshCut, Specimen::Section],
            hazards: &[Hazard::Asbestos],
            ..WhenTest::ANY
        },
        "only on a damp crumb that is never broken or ground dry, or send it sealed to a laboratory",
        "asbestos fibres come free when it breaks",
        Practice,
    ),
    rule(
        "mouldy-specimen",
        Sort::Before,
        WhenTest {
            hazards: &[Hazard::Mould],
            above: 0.3,
            ..WhenTest::ANY
        },
        "mask and gloves on first",
        "spores cause allergy and infection",
        Practice,
    ),
    rule(
        "ultraviolet-eyes",
        Sort::Before,
        WhenTest {
            tests: &["uv"],
            ..WhenTest::ANY
        },
        "goggles that stop ultraviolet on first, and the exposure of light-sensitive things kept short",
        "ultraviolet injures eyes and skin, and fades dyes",
        Practice,
    ),
    rule(
        "x-ray-licence",
        Sort::Before,
        WhenTest {
            tests: &["xrf"],
            ..WhenTest::ANY
        },
        "a trained or licensed user first, the beam aimed away from everybody, no hand under it",
        "X-rays do harm without being felt",
        Practice,
    ),
];
