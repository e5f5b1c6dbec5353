//! Liquids that must not meet in one vessel, gel or poultice.

use super::super::rule::RuleBasis::Practice;
use super::super::rule::{Rule, When};
use super::never;
use crate::model::Class;

const AMINE_GELS: &[&str] = &["polyacrylic-acid-low-amine", "polyacrylic-acid-high-amine"];

const PEROXIDE: &[&str] = &["hydrogen-peroxide", "7722-84-1"];
const HYPOCHLORITE: &[&str] = &["sodium-hypochlorite", "hypochlorite", "7681-52-9"];
const CHLOROFORM: &[&str] = &["chloroform", "67-66-3"];
const NITROMETHANE: &[&str] = &["nitromethane", "75-52-5"];
const DITHIONITE: &[&str] = &["dithionite", "7775-14-6"];
const NITRIC: &[&str] = &["nitric-acid", "7697-37-2"];
const SULPHOXIDE: &[&str] = &["dimethyl-sulphoxide", "67-68-5"];
const FORMAMIDE: &[&str] = &["dimethylformamide", "68-12-2"];

pub(super) const RULES: &[Rule] = &[
    never(
        "peroxide-with-solvent",
        When {
            agents: PEROXIDE,
            beside_classes: &[Class::Alcohol, Class::KetoneEster, Class::Aprotic],
            ..When::ANY
        },
        "no peroxide in one mixture with acetone, alcohol or dimethyl sulphoxide",
        "it makes explosive peroxides, with acetone at once where there is acid",
        Practice,
    ),
    never(
        "peroxide-with-acid",
        When {
            agents: PEROXIDE,
            beside_classes: &[Class::Acid],
            ..When::ANY
        },
        "no peroxide in one mixture with an acid",
        "it makes a peracid, and an explosive with any acetone near by",
        Practice,
    ),
    never(
        "chloroform-with-ketone",
        When {
            agents: CHLOROFORM,
            beside_classes: &[Class::KetoneEster],
            ..When::ANY
        },
        "no chloroform in one mixture with acetone or another ketone",
        "a trace of alkali sets off a violent reaction",
        Practice,
    ),
    never(
        "chloroform-with-alkali",
        When {
            agents: CHLOROFORM,
            beside_classes: &[Class::Alkali],
            ..When::ANY
        },
        "no chloroform with alkali or an amine",
        "they react with violence, all the more with acetone",
        Practice,
    ),
    never(
        "chloroform-in-amine-gel",
        When {
            agents: CHLOROFORM,
            carriers: AMINE_GELS,
            ..When::ANY
        },
        "no chloroform in a gel that an amine neutralises",
        "chloroform and bases react with violence",
        Practice,
    ),
    never(
        "hypochlorite-with-acid",
        When {
            agents: HYPOCHLORITE,
            beside_classes: &[Class::Acid, Class::Chelator],
            ..When::ANY
        },
        "no hypochlorite bleach with acid or citrate",
        "chlorine gas comes off",
        Practice,
    ),
    never(
        "hypochlorite-with-ammonia",
        When {
            agents: HYPOCHLORITE,
            beside_classes: &[Class::Alkali, Class::Alcohol, Class::KetoneEster],
            ..When::ANY
        },
        "no hypochlorite bleach with ammonia, amines, alcohol or acetone",
        "chloramine, chloroform and explosive products form",
        Practice,
    ),
    never(
        "nitromethane-with-base",
        When {
            agents: NITROMETHANE,
            beside_classes: &[Class::Alkali],
            beside_agents: &["pyridine", "110-86-1"],
            ..When::ANY
        },
        "no nitromethane with alkali or amine",
        "the salt that forms explodes",
        Practice,
    ),
    never(
        "nitromethane-in-amine-gel",
        When {
            agents: NITROMETHANE,
            carriers: AMINE_GELS,
            ..When::ANY
        },
        "no nitromethane in a gel that an amine neutralises",
        "amines make nitromethane explosive",
        Practice,
    ),
    never(
        "dithionite-with-acid",
        When {
            agents: DITHIONITE,
            beside_classes: &[Class::Acid],
            ..When::ANY
        },
        "no dithionite in one mixture with acid",
        "sulphur dioxide comes off",
        Practice,
    ),
    never(
        "nitric-acid-with-solvent",
        When {
            agents: NITRIC,
            beside_classes: &[
                Class::Alcohol,
                Class::KetoneEster,
                Class::Aromatic,
                Class::Aliphatic,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            ..When::ANY
        },
        "no nitric acid with any organic solvent",
        "fire, toxic gas or explosion follows, sometimes hours later",
        Practice,
    ),
    never(
        "formamide-with-chlorinated",
        When {
            agents: FORMAMIDE,
            beside_classes: &[Class::Chlorinated],
            ..When::ANY
        },
        "no dimethylformamide with chlorinated solvents",
        "some of these mixtures run away",
        Practice,
    ),
    never(
        "borate-gel-with-sulphoxide",
        When {
            agents: SULPHOXIDE,
            carriers: &["borate-pvoh"],
            ..When::ANY
        },
        "no dimethyl sulphoxide in a borate gel",
        "borate harms fertility, and the sulphoxide carries it through the skin",
        Practice,
    ),
    never(
        "amylase-with-chelator",
        When {
            agents: &["amylase"],
            beside_classes: &[Class::Chelator],
            ..When::ANY
        },
        "no chelator in one mixture with amylase",
        "amylase needs the calcium that the chelator binds",
        Practice,
    ),
    never(
        "chelator-in-gellan",
        When {
            classes: &[Class::Chelator],
            carriers: &["gellan"],
            ..When::ANY
        },
        "no chelator or citrate in a gellan gel, nor in any gel that calcium sets",
        "the gel loses its calcium, softens and bleeds",
        Practice,
    ),
];
