//! Water and what is dissolved in it.

use super::super::rule::{Rule, RuleBasis, Sort, When};
use crate::model::{Class, Trait};

/// Classes that wet with water.
pub(super) const WATER: &[Class] = &[
    Class::ColdWater,
    Class::WarmWater,
    Class::Acid,
    Class::Alkali,
    Class::Chelator,
    Class::Enzyme,
    Class::Steam,
    Class::DampAir,
];

pub(super) const RULES: &[Rule] = &[
    Rule {
        id: "water-on-water-gilding",
        sort: Sort::Never,
        when: When {
            classes: WATER,
            layers: &["water-gilding", "bole"],
            ..When::ANY
        },
        says: "no water in any form on water gilding or bole: no saliva, damp air, steam, aqueous gel",
        why: "glue of bole and gesso swells and the leaf lifts",
        basis: RuleBasis::Published("deller", "captions"),
    },
    Rule {
        id: "water-on-unfired-clay",
        sort: Sort::Never,
        when: When {
            classes: WATER,
            traits: &[Trait::Unfired],
            ..When::ANY
        },
        says: "no water in any form on unfired clay or slip",
        why: "it slakes",
        basis: RuleBasis::Practice,
    },
];
