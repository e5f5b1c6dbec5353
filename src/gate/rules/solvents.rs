//! Organic solvents on what must stay.

use super::super::rule::RuleBasis::{Memory, Practice, Published, Through};
use super::super::rule::{Rule, When};
use super::{never, only_if};
use crate::model::{Action, Class, Condition, Site, Trait, Wetting};

/// Probability from which shellac counts as possible: the stain is for good, so that an unknown
/// glue must be shown not to be shellac before vapour is tried.
const SHELLAC_POSSIBLE: f64 = 0.02;

/// Every class of organic solvent.
pub(super) const SOLVENT: &[Class] = Class::SOLVENTS;

/// What brings a liquid in a gel, a cream or a paste that must be cleared.
const GELS: &[&str] = &[
    "agar-gel",
    "amine-gel",
    "amine-gel-low",
    "borate-gel",
    "ec-gel",
    "enzyme-gel",
    "gellan-gel",
    "grated-agar",
    "hpc-gel",
    "hydrocarbon-gel",
    "latex-peel",
    "microemulsion-gel",
    "network-gel",
    "silicone-gel",
    "stripper",
    "thick-emulsion",
    "water-gel",
    "xanthan-gel",
];

/// What hours of solvent vapour soften or leach.
const VAPOUR_TAKES: &[Trait] = &[
    Trait::OilBound,
    Trait::AcrylicBound,
    Trait::ResinBound,
    Trait::WaxBound,
    Trait::Tempera,
    Trait::GlueBound,
];

/// Solvents that stay in a film for days and soften it meanwhile.
const SLOW: &[&str] = &[
    "benzyl-alcohol",
    "benzyl-alcohol-emulsion",
    "n-methylpyrrolidone",
    "dimethyl-sulphoxide",
    "cyclohexanol",
    "propylene-carbonate",
    "2-butoxyethanol",
    "2-ethoxyethanol",
    "2-2-butoxyethoxy-ethanol",
    "1-methoxypropan-2-ol",
    "dipropylene-glycol-methyl-ether",
];

/// Leaf and other thin metal.
const LEAF: &[Trait] = &[Trait::Gold, Trait::Silver, Trait::ThinMetal];

const SILOXANES: &[&str] = &[
    "cyclomethicone",
    "octamethylcyclotetrasiloxane",
    "hexamethyldisiloxane",
];

/// Moist air goes by the rules for water.
const MOIST_AIR: &[&str] = &["humidity-chamber"];

pub(super) const RULES: &[Rule] = &[
    never(
        "pack-on-glue-laid-leaf",
        When {
            methods: &["solvent-poultice", "wrapped-compress", "microemulsion-pulp"],
            traits: &[Trait::Gold, Trait::Silver, Trait::ThinMetal],
            and_traits: &[Trait::GlueBound],
            ..When::ANY
        },
        "no poultice and no compress on leaf that is laid with glue",
        "hours of liquid soak bole and gesso, and what dries on the leaf takes it along when it is \
         lifted",
        Practice,
    ),
    only_if(
        "alcohol-on-water-gilding",
        When {
            classes: &[Class::Alcohol],
            layers: &["water-gilding", "bole"],
            ..When::ANY
        },
        "only dry alcohol, in touches, tried beforehand where the gilding is lost anyway",
        "alcohol from the shelf holds water enough to lift leaf",
        Practice,
    ),
    never(
        "aromatic-on-oil-gilding",
        When {
            classes: &[Class::Aromatic],
            traits: LEAF,
            and_traits: &[Trait::OilBound],
            ..When::ANY
        },
        "no toluene, xylene or other aromatic on oil gilding",
        "the oil size swells and the leaf slides off it",
        Published("rivers2003", "passage"),
    ),
    never(
        "ketone-on-oil-gilding",
        When {
            classes: &[Class::KetoneEster],
            traits: LEAF,
            and_traits: &[Trait::OilBound],
            ..When::ANY
        },
        "no ketone or ester on oil gilding",
        "the oil size swells and the leaf slides off it",
        Practice,
    ),
    never(
        "solvent-on-coloured-leaf",
        When {
            classes: &[Class::Alcohol, Class::KetoneEster, Class::Alkali],
            traits: LEAF,
            and_traits: &[Trait::ResinBound],
            ..When::ANY
        },
        "no alcohol, ketone, ester or resin soap on leaf with a coloured resin coat",
        "the coat is the gold colour, not a dirty varnish",
        Practice,
    ),
    never(
        "solvent-on-young-oil",
        When {
            classes: &[
                Class::Alcohol,
                Class::KetoneEster,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            traits: &[Trait::YoungOil],
            ..When::ANY
        },
        "no alcohol, ketone, ester, chlorinated or polar aprotic solvent on oil paint under fifty \
         years old, or of unknown age",
        "it swells, leaches and softens",
        Practice,
    ),
    only_if(
        "aromatic-on-young-oil",
        When {
            classes: &[Class::Aromatic],
            traits: &[Trait::YoungOil],
            ..When::ANY
        },
        "only after a test colour by colour, read when dry",
        "lean and dark colours of young oil swell in aromatics",
        Practice,
    ),
    only_if(
        "mid-polar-on-oil",
        When {
            classes: &[Class::KetoneEster, Class::Aromatic],
            traits: &[Trait::OilBound],
            ..When::ANY
        },
        "only in the shortest contact that works, or thinned with an aliphatic until out of the \
         range near 18 to 22.5 MPa^1/2",
        "reference oil films swelled most at this middle polarity",
        Through("stolow", "phenix1998", "passage"),
    ),
    only_if(
        "slow-solvent-on-paint",
        When {
            agents: SLOW,
            traits: &[Trait::OilBound, Trait::Tempera, Trait::ResinBound],
            ..When::ANY
        },
        "only where a faster liquid clears it, so that the slow one is never the last to leave",
        "it stays in the film and keeps it soft for weeks",
        Practice,
    ),
    never(
        "solvent-pack-on-paint",
        When {
            classes: SOLVENT,
            methods: &["solvent-poultice", "immersion"],
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::WaxBound,
                Trait::GumBound,
                Trait::AsianLacquer,
            ],
            layers: &["glue-paint", "veneer-marquetry"],
            except_layers: &["secco-wall-paint"],
            ..When::ANY
        },
        "no solvent poultice and no solvent bath on paint, varnish, lacquer, wax, glaze or veneer that stays",
        "hours of solvent swell the film and leach it; what it loses does not come back",
        Practice,
    ),
    only_if(
        "solvent-compress-on-paint",
        When {
            classes: SOLVENT,
            methods: &["wrapped-compress", "swell-and-lift"],
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::ResinBound,
                Trait::GumBound,
            ],
            layers: &["glue-paint"],
            ..When::ANY
        },
        "only for minutes, colour by colour, lifted to look each time",
        "a compress or a cover holds the solvent on the film as long as it lies there",
        Practice,
    ),
    only_if(
        "soak-on-modern-oil",
        When {
            classes: &[Class::ColdWater, Class::Aliphatic],
            wets: &[Wetting::Much],
            traits: &[Trait::YoungOil],
            ..When::ANY
        },
        "only for seconds by sponge or swab, never as a soak",
        "a day in water or low-aromatic spirit changed the stiffness of a test film; a sponge did not \
         measurably",
        Published("ochre2021", "abstract"),
    ),
    only_if(
        "siloxane-on-modern-oil",
        When {
            agents: SILOXANES,
            traits: &[Trait::YoungOil],
            ..When::ANY
        },
        "only after a leaching test on this paint",
        "whether cyclic siloxane is inert towards modern oil is in doubt and was measured",
        Published("casoli2023", "abstract"),
    ),
    never(
        "solvent-on-acrylic-paint",
        When {
            classes: &[
                Class::Alcohol,
                Class::KetoneEster,
                Class::Aromatic,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            traits: &[Trait::AcrylicBound],
            ..When::ANY
        },
        "no solvent but an aliphatic on acrylic or vinyl paint",
        "it swells and dissolves within seconds",
        Practice,
    ),
    never(
        "solvent-on-spirit-finish",
        When {
            classes: &[Class::Alcohol, Class::Aprotic],
            traits: &[Trait::SpiritFinish],
            ..When::ANY
        },
        "no alcohol on an original shellac or spirit finish",
        "that is what it was dissolved in",
        Practice,
    ),
    never(
        "hydrocarbon-on-wax",
        When {
            classes: &[Class::Aliphatic, Class::Aromatic, Class::Chlorinated],
            traits: &[Trait::WaxBound],
            ..When::ANY
        },
        "no hydrocarbon or chlorinated solvent on original wax or a wax-resin lining",
        "wax dissolves in it",
        Practice,
    ),
    never(
        "solvent-on-amber-jet-shell",
        When {
            classes: &[Class::Alcohol, Class::KetoneEster, Class::Chlorinated],
            layers: &["amber", "jet", "tortoiseshell"],
            ..When::ANY
        },
        "no alcohol, ketone, ester or chlorinated solvent on amber, jet or tortoiseshell",
        "they craze and lose their polish",
        Practice,
    ),
    never(
        "solvent-soak-of-ivory",
        When {
            classes: &[Class::Aromatic, Class::Aliphatic],
            methods: &["solvent-poultice", "wrapped-compress", "swell-and-lift"],
            layers: &["ivory", "painted-ivory", "bone"],
            ..When::ANY
        },
        "no long contact of ivory or bone with hydrocarbons",
        "the fats and other organic matter in it move",
        Published("wamuseum", "passage"),
    ),
    only_if(
        "compress-on-ivory",
        When {
            classes: SOLVENT,
            methods: &["wrapped-compress", "swell-and-lift"],
            traits: &[Trait::Collagen, Trait::Keratin],
            without_traits: &[Trait::Wool],
            ..When::ANY
        },
        "only for minutes, on the old material alone, lifted to look each time",
        "hours of solvent draw water and fat out of ivory, bone, horn and skin, and they crack, shrink and warp",
        Practice,
    ),
    only_if(
        "compress-on-lacquer",
        When {
            classes: SOLVENT,
            methods: &["wrapped-compress", "swell-and-lift"],
            traits: &[Trait::AsianLacquer],
            ..When::ANY
        },
        "only for minutes, lifted to look each time",
        "it bears alcohol for a short time; long contact may bring trouble, with other solvents too (practice)",
        Published("hakumin", "care"),
    ),
    never(
        "solvent-on-dye-ink",
        When {
            classes: &[
                Class::Alcohol,
                Class::KetoneEster,
                Class::Chlorinated,
                Class::Aprotic,
            ],
            traits: &[Trait::Dyed],
            and_traits: &[Trait::Ink],
            ..When::ANY
        },
        "no polar solvent on ball-point, stamp, felt-pen or printer ink",
        "the dye bleeds through the sheet",
        Practice,
    ),
    only_if(
        "solvent-on-dyed",
        When {
            classes: SOLVENT,
            traits: &[Trait::Dyed],
            ..When::ANY
        },
        "only after every colour passed a blot test with this very liquid",
        "some dyes bleed in solvents that leave others alone",
        Practice,
    ),
    only_if(
        "acetone-on-decayed-wood",
        When {
            classes: &[Class::KetoneEster],
            traits: &[Trait::Wood],
            conditions: &[Condition::Powdering, Condition::Cracked, Condition::Damp],
            ..When::ANY
        },
        "only in small doses with the part held in shape, or carried in an aliphatic",
        "decayed lime panels swelled and warped in acetone",
        Published("moraruavram2023", "abstract"),
    ),
    never(
        "vapour-on-shellac-in-clay",
        When {
            actions: &[Action::Vapour],
            except_methods: MOIST_AIR,
            materials: &["shellac", "shellac-stick"],
            traits: &[Trait::FiredClay],
            and_traits: &[Trait::Porous],
            above: SHELLAC_POSSIBLE,
            ..When::ANY
        },
        "no solvent vapour while the glue in porous fired clay may be unbleached shellac",
        "lac dye goes into solution, binds metal in the body and leaves a lasting purple-pink stain",
        Published("uclashellac", "abstract"),
    ),
    never(
        "face-feeding-shellac-in-clay",
        When {
            classes: SOLVENT,
            methods: &["drip-joint", "brush-and-blot"],
            materials: &["shellac", "shellac-stick"],
            traits: &[Trait::FiredClay],
            and_traits: &[Trait::Porous],
            above: SHELLAC_POSSIBLE,
            ..When::ANY
        },
        "no solvent fed from the face into a porous body while the glue may be unbleached shellac",
        "the dye is carried into the clay and stains it purple-pink for good",
        Published("uclashellac", "abstract"),
    ),
    only_if(
        "acetone-flood-of-epoxy",
        When {
            classes: &[Class::KetoneEster],
            methods: &["immersion", "drip-joint"],
            materials: &["epoxy"],
            sites: &[Site::OpenJoint, Site::DeepJoint, Site::Pores],
            traits: &[Trait::FiredClay],
            and_traits: &[Trait::Porous],
            above: 0.3,
            ..When::ANY
        },
        "only where the body holds no stain or dirt, and to swell the epoxy, not in the hope that it lets go",
        "the epoxy only swells, stain is driven in and glaze flakes open",
        Practice,
    ),
    never(
        "vapour-chamber-on-painted",
        When {
            methods: &["vapour-chamber"],
            traits: &[
                Trait::OilBound,
                Trait::AcrylicBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::AsianLacquer,
                Trait::WaxBound,
            ],
            ..When::ANY
        },
        "no solvent chamber for anything painted, varnished, lacquered or waxed",
        "the vapour reaches every surface for hours",
        Practice,
    ),
    never(
        "vapour-chamber-on-leaf",
        When {
            methods: &["vapour-chamber"],
            traits: &[Trait::ThinMetal],
            and_traits: &[Trait::GlueBound],
            ..When::ANY
        },
        "no solvent chamber for leaf that is laid on a glue ground",
        "the vapour reaches every size, toning and mend for hours, and the leaf bears no touch while the \
         old coat is soft",
        Practice,
    ),
    never(
        "vapour-tent-over-paint",
        When {
            methods: &["vapour-tent"],
            traits: VAPOUR_TAKES,
            without_traits: &[Trait::Wood, Trait::Cellulose],
            sites: &[Site::Film],
            ..When::ANY
        },
        "no vapour tent over a face of paint, varnish or wax that stays",
        "hours of vapour soften and leach it as the liquid would",
        Practice,
    ),
    only_if(
        "vapour-tent-on-painted",
        When {
            methods: &["vapour-tent"],
            traits: VAPOUR_TAKES,
            ..When::ANY
        },
        "only where the tent covers the joint alone, and neither foil nor drop touches the paint",
        "vapour under a tent does what the liquid does, more slowly",
        Practice,
    ),
    never(
        "gel-on-feather",
        When {
            methods: GELS,
            layers: &["feather"],
            ..When::ANY
        },
        "no gel, cream, paste or skin of latex on feather",
        "barbs hold it and mat, and it cannot be rinsed out of them",
        Practice,
    ),
    only_if(
        "gel-residue-on-absorbent",
        When {
            carriers: &[
                "polyacrylic-acid-low-amine",
                "polyacrylic-acid-high-amine",
                "silicone-elastomer",
                "ethyl-cellulose",
            ],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "only with a rinse that was tried on this body and shown to clear the gel",
        "amine, silicone and cellulose ether do not evaporate, and clear badly from pores",
        Published("gettygels", "passage"),
    ),
    never(
        "amine-gel-on-copper-or-zinc",
        When {
            carriers: &["polyacrylic-acid-low-amine", "polyacrylic-acid-high-amine"],
            traits: &[Trait::Copper, Trait::Zinc],
            ..When::ANY
        },
        "no gel neutralised with an amine on copper alloy or zinc",
        "amine and carboxylate bind the metal",
        Practice,
    ),
    only_if(
        "water-gel-on-kept-varnish",
        When {
            methods: &["water-gel", "xanthan-gel", "network-gel", "agar-gel"],
            traits: &[Trait::ResinBound],
            materials: &["dirt"],
            above: 0.3,
            ..When::ANY
        },
        "only if losing the top of the varnish with the dirt is acceptable",
        "gels at pH 5.5 and 7.8 both took soil and part of aged mastic, shellac and ketone resin",
        Published("galatis2012", "abstract"),
    ),
    never(
        "stripper-on-decorated",
        When {
            methods: &["stripper"],
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::GlueBound,
                Trait::GumBound,
                Trait::ResinBound,
                Trait::WaxBound,
                Trait::SpiritFinish,
                Trait::AsianLacquer,
                Trait::Collagen,
            ],
            ..When::ANY
        },
        "no paint stripper on anything painted, lacquered, waxed or made of ivory, bone or skin",
        "it does not stop at the old coat",
        Practice,
    ),
    only_if(
        "stripper-of-known-content",
        When {
            methods: &["stripper"],
            ..When::ANY
        },
        "only a product whose content its data sheet states, on an inert and robust base",
        "a stripper may hold acid, amine, alkali or a restricted solvent",
        Practice,
    ),
    only_if(
        "aprotic-on-wood-or-skin",
        When {
            classes: &[Class::Aprotic],
            traits: &[Trait::Wood, Trait::Collagen],
            ..When::ANY
        },
        "only where swelling of the support does no harm, with a rinse that takes it out again",
        "polar aprotic solvents swell wood and skin and are slow to leave",
        Memory,
    ),
];
