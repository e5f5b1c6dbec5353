//! Plastics, rubber and film bases that must stay.

use super::super::rule::RuleBasis::{Practice, Published};
use super::super::rule::{Rule, When};
use super::{never, only_if};
use crate::model::{Action, Class, Condition, Trait};

const CELLULOSE_ESTERS: &[Trait] = &[Trait::NitratePlastic, Trait::AcetatePlastic];

pub(super) const RULES: &[Rule] = &[
    never(
        "solvent-on-acrylic-plastic",
        When {
            classes: &[
                Class::KetoneEster,
                Class::Aromatic,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            traits: &[Trait::AcrylicPlastic],
            ..When::ANY
        },
        "no ketone, ester, aromatic or chlorinated solvent on acrylic sheet or castings",
        "it dissolves or crazes at once",
        Practice,
    ),
    never(
        "alcohol-on-stressed-acrylic",
        When {
            classes: &[Class::Alcohol],
            traits: &[Trait::AcrylicPlastic],
            conditions: &[Condition::Cracked],
            ..When::ANY
        },
        "no alcohol on acrylic plastic that is crazed, bent, bonded or otherwise under stress",
        "alcohol opens crazes where there is stress",
        Practice,
    ),
    never(
        "alcohol-soak-of-acrylic",
        When {
            classes: &[Class::Alcohol],
            methods: &[
                "immersion",
                "wrapped-compress",
                "solvent-poultice",
                "vapour-chamber",
                "vapour-tent",
                "alcohol-into-joint",
                "drip-joint",
                "amine-gel",
                "hpc-gel",
            ],
            traits: &[Trait::AcrylicPlastic],
            ..When::ANY
        },
        "no alcohol left standing on acrylic plastic, in a bath, a gel or a compress",
        "long contact with alcohols crazed it in tests; water and petroleum ether left it unchanged",
        Published("kavda2023", "abstract"),
    ),
    only_if(
        "alcohol-on-acrylic-glazing",
        When {
            classes: &[Class::Alcohol],
            traits: &[Trait::AcrylicPlastic],
            ..When::ANY
        },
        "only as one quick wipe on a part that is neither bent, bonded nor held under stress",
        "alcohols craze stressed acrylic; water or an aliphatic is the safer wipe",
        Published("kavda2023", "abstract"),
    ),
    never(
        "solvent-on-styrene-plastic",
        When {
            classes: &[
                Class::KetoneEster,
                Class::Aromatic,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            traits: &[Trait::StyrenePlastic],
            ..When::ANY
        },
        "no ketone, ester, aromatic or chlorinated solvent on polystyrene",
        "it dissolves or crazes at once",
        Practice,
    ),
    never(
        "solvent-on-cellulose-ester",
        When {
            classes: &[
                Class::Alcohol,
                Class::KetoneEster,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            traits: CELLULOSE_ESTERS,
            ..When::ANY
        },
        "no alcohol, ketone, ester or chlorinated solvent on collodion, celluloid, cellulose acetate \
         or a film base of either",
        "they dissolve, or lose their plasticiser",
        Practice,
    ),
    never(
        "alkali-on-cellulose-ester",
        When {
            classes: &[Class::Alkali],
            traits: CELLULOSE_ESTERS,
            ..When::ANY
        },
        "no alkali on celluloid, collodion or cellulose acetate",
        "it splits off the acid groups, and nitrate breaks down faster from then on",
        Practice,
    ),
    never(
        "solvent-on-rubber",
        When {
            classes: &[
                Class::Aliphatic,
                Class::Aromatic,
                Class::Chlorinated,
                Class::KetoneEster,
            ],
            traits: &[Trait::Rubber],
            ..When::ANY
        },
        "no hydrocarbon, ketone or chlorinated solvent on rubber that stays",
        "it swells, turns sticky and loses its fillers",
        Practice,
    ),
    never(
        "vapour-on-plastic",
        When {
            actions: &[Action::Vapour],
            except_methods: &["humidity-chamber"],
            traits: &[
                Trait::AcrylicPlastic,
                Trait::StyrenePlastic,
                Trait::NitratePlastic,
                Trait::AcetatePlastic,
                Trait::Rubber,
            ],
            ..When::ANY
        },
        "no solvent vapour round plastics",
        "they take vapour up as fast as the old glue does",
        Practice,
    ),
    only_if(
        "gel-on-plastic",
        When {
            carriers: &[
                "agar",
                "gellan",
                "xanthan",
                "hydroxypropyl-cellulose",
                "hydroxypropylmethyl-cellulose",
                "methyl-cellulose",
                "borate-pvoh",
                "chemical-network",
                "polyacrylic-acid",
            ],
            traits: &[Trait::AcrylicPlastic, Trait::StyrenePlastic],
            ..When::ANY
        },
        "only after a mock-up in the same plastic was weighed or looked at under the microscope",
        "a gel changes the dose, not the chemistry, and gels gave uneven results",
        Published("pmmagels2017", "abstract"),
    ),
    never(
        "abrasion-on-plastic",
        When {
            classes: &[Class::Abrasion],
            traits: &[
                Trait::AcrylicPlastic,
                Trait::StyrenePlastic,
                Trait::NitratePlastic,
                Trait::AcetatePlastic,
            ],
            ..When::ANY
        },
        "no abrasion on clear or glossy plastics",
        "they scratch at a touch, and dust of celluloid burns",
        Practice,
    ),
    never(
        "heat-on-plastic",
        When {
            classes: &[Class::Heat100],
            traits: &[
                Trait::AcrylicPlastic,
                Trait::StyrenePlastic,
                Trait::AcetatePlastic,
            ],
            ..When::ANY
        },
        "no hot air, hot wire or oven on plastics",
        "they soften, craze and warp",
        Practice,
    ),
];
