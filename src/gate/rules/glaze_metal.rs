//! Chemistry on glaze, glass, fired clay and metal.

use super::super::rule::RuleBasis::{Practice, Published};
use super::super::rule::{Rule, When};
use super::{never, only_if};
use crate::model::{Class, Trait};

/// Ammonia, amines and salts of ammonia.
const AMMONIA: &[&str] = &[
    "dilute-ammonia",
    "ethanol-ammonia",
    "ammonium-bicarbonate",
    "citrate",
    "morpholine",
    "triethanolamine",
    "pyridine",
    "1336-21-6",
    "7664-41-7",
    "3458-72-8",
    "1066-33-7",
    "506-87-6",
];

const CAUSTIC: &[&str] = &[
    "sodium-hydroxide",
    "ethanol-sodium-hydroxide",
    "1310-73-2",
    "1310-58-3",
];

const PEROXIDE: &[&str] = &["hydrogen-peroxide", "7722-84-1"];

pub(super) const RULES: &[Rule] = &[
    never(
        "hydrofluoric-acid",
        When {
            agents: &[
                "7664-39-3",
                "1341-49-7",
                "hydrofluoric-acid",
                "ammonium-bifluoride",
            ],
            ..When::ANY
        },
        "no hydrofluoric acid and no fluoride rust remover, on anything",
        "it dissolves silicates, and a splash on the skin can kill",
        Practice,
    ),
    only_if(
        "hydrochloric-acid",
        When {
            agents: &["dilute-hydrochloric-acid", "7647-01-0"],
            ..When::ANY
        },
        "only on dense stoneware or porcelain with whole glaze, soaked with water first, desalted \
         long after",
        "chloride and iron stain stay in anything that takes them up",
        Practice,
    ),
    never(
        "acid-on-overglaze-gilding",
        When {
            classes: &[Class::Acid, Class::Chelator],
            layers: &["overglaze-gilding", "lustre"],
            ..When::ANY
        },
        "no acid and no chelator on overglaze gilding or lustre",
        "the metal film is so thin that the first bite goes through",
        Practice,
    ),
    never(
        "acid-on-overglaze-enamel",
        When {
            classes: &[Class::Acid, Class::Chelator],
            layers: &["overglaze-enamel"],
            ..When::ANY
        },
        "no acid and no chelator on overglaze enamel colours",
        "lead and flux are leached and the colours go matt",
        Practice,
    ),
    never(
        "acid-on-lead-glaze",
        When {
            classes: &[Class::Acid, Class::Chelator],
            except_methods: &["water-swab"],
            traits: &[Trait::LeadGlaze],
            ..When::ANY
        },
        "no acid and no chelator left standing on a lead or tin glaze",
        "lead is leached and the glaze goes matt",
        Practice,
    ),
    only_if(
        "acid-swab-on-lead-glaze",
        When {
            classes: &[Class::Acid, Class::Chelator],
            methods: &["water-swab"],
            traits: &[Trait::LeadGlaze],
            ..When::ANY
        },
        "only for seconds, by hand, on a place tried first, and rinsed at once",
        "lead is leached and the glaze goes matt",
        Practice,
    ),
    never(
        "caustic-on-lead-glaze",
        When {
            agents: CAUSTIC,
            traits: &[
                Trait::LeadGlaze,
                Trait::ThinMetal,
                Trait::OilBound,
                Trait::GlueBound,
            ],
            layers: &["slip"],
            ..When::ANY
        },
        "no caustic soda, free or in a gel, on lead glaze, slip, cold paint or gilding",
        "it etches glaze and lifts slip and paint",
        Practice,
    ),
    only_if(
        "caustic-on-ceramic",
        When {
            agents: CAUSTIC,
            traits: &[Trait::FiredClay],
            ..When::ANY
        },
        "only in a gel, rinsed and brought back to the pH of the body, with salts logged",
        "it leaves sodium in the pores",
        Published("uclashellac", "abstract"),
    ),
    never(
        "chemistry-on-patina",
        When {
            classes: &[Class::Acid, Class::Alkali, Class::Chelator],
            traits: &[Trait::Patina],
            ..When::ANY
        },
        "no acid, ammonia, alkali or chelator on metal whose patina is wanted",
        "the patina is what they dissolve",
        Practice,
    ),
    never(
        "ammonia-on-copper-alloy",
        When {
            agents: AMMONIA,
            traits: &[Trait::Copper],
            ..When::ANY
        },
        "no ammonia, amine or ammonium salt on copper alloy: ammonium citrate is one",
        "it dissolves copper, and stressed brass cracks",
        Practice,
    ),
    never(
        "alkali-on-brass",
        When {
            classes: &[Class::Alkali],
            layers: &["brass", "lacquered-brass"],
            ..When::ANY
        },
        "no alkali of any kind on brass",
        "it takes zinc out of the alloy and leaves it red and weak",
        Practice,
    ),
    never(
        "acid-near-lead",
        When {
            classes: &[Class::Acid],
            agents: &["buffer-ph-5-5"],
            traits: &[Trait::Lead],
            through_film: true,
            ..When::ANY
        },
        "no acetic, formic or other acid on or beside lead, not even as vapour",
        "organic acid vapour corrodes lead from about 0.1 ppm",
        Published("svadlena2020", "abstract"),
    ),
    never(
        "acid-near-zinc",
        When {
            classes: &[Class::Acid],
            agents: &["buffer-ph-5-5"],
            traits: &[Trait::Zinc],
            through_film: true,
            ..When::ANY
        },
        "no acetic, formic or other acid on or beside zinc, not even as vapour",
        "it grows white corrosion",
        Practice,
    ),
    never(
        "chelator-on-lead",
        When {
            classes: &[Class::Chelator],
            traits: &[Trait::Lead],
            ..When::ANY
        },
        "no EDTA or other chelator on lead",
        "EDTA strips its carbonate crust quickly",
        Published("bogojevic", "abstract"),
    ),
    never(
        "chelator-on-zinc",
        When {
            classes: &[Class::Chelator],
            traits: &[Trait::Zinc],
            ..When::ANY
        },
        "no chelator on zinc",
        "it dissolves the skin that protects the metal",
        Practice,
    ),
    never(
        "chelator-on-silver",
        When {
            classes: &[Class::Chelator],
            traits: &[Trait::Silver],
            ..When::ANY
        },
        "no chelator, thiourea or silver dip on silver, silver gilt, niello or plate",
        "it etches the silver, and what clings tarnishes it",
        Practice,
    ),
    only_if(
        "acid-or-chelator-on-iron",
        When {
            classes: &[Class::Acid, Class::Chelator],
            traits: &[Trait::Iron],
            without_traits: &[Trait::Ink],
            ..When::ANY
        },
        "only where bare metal is the aim, watched and stopped by eye",
        "EDTA and citric acid take the crust unevenly",
        Published("bogojevic", "abstract"),
    ),
    never(
        "alkali-on-aluminium",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::Aluminium],
            ..When::ANY
        },
        "no alkali above pH 8.5 on aluminium, borate gel and ammonia included",
        "aluminium dissolves with gas",
        Practice,
    ),
    only_if(
        "acid-on-aluminium",
        When {
            classes: &[Class::Acid],
            traits: &[Trait::Aluminium],
            ..When::ANY
        },
        "only above pH 5 and for seconds",
        "its oxide skin dissolves in acid as well",
        Practice,
    ),
    never(
        "chlorinated-on-aluminium",
        When {
            classes: &[Class::Chlorinated],
            traits: &[Trait::Aluminium],
            ..When::ANY
        },
        "no chlorinated solvent on aluminium, nor in an aluminium vessel",
        "they can react with violence",
        Practice,
    ),
    never(
        "peroxide-on-metal",
        When {
            agents: PEROXIDE,
            traits: &[
                Trait::Iron,
                Trait::Copper,
                Trait::Lead,
                Trait::Silver,
                Trait::Zinc,
            ],
            ..When::ANY
        },
        "no peroxide on metal, nor on a body with metal in it",
        "metal breaks it down with heat and gas, and corrodes",
        Practice,
    ),
    only_if(
        "acid-on-porous-ware",
        When {
            classes: &[Class::Acid],
            traits: &[Trait::FiredClay],
            and_traits: &[Trait::Porous],
            ..When::ANY
        },
        "only on a body soaked with water first and shown to hold no lime, rinsed to neutral after",
        "acid eats lime temper and leaves salts",
        Practice,
    ),
];
