//! Water and what is dissolved in it.

use super::super::rule::RuleBasis::{Practice, Published};
use super::super::rule::{Rule, When};
use super::{before, never, only_if};
use crate::model::{Class, Condition, Trait};

/// Classes that wet with water, moist air included.
const WATER: &[Class] = Class::AQUEOUS;

/// Water as a liquid or as steam.
const WET: &[Class] = &[
    Class::ColdWater,
    Class::WarmWater,
    Class::Acid,
    Class::Alkali,
    Class::Chelator,
    Class::Enzyme,
    Class::Steam,
];

/// Water without a remedy in it, as liquid, steam or moist air.
const PLAIN: &[Class] = &[
    Class::ColdWater,
    Class::WarmWater,
    Class::Steam,
    Class::DampAir,
];

const HOT: &[Class] = &[Class::WarmWater, Class::Steam];

const DESALTING: &[&str] = &["salt-bath", "salt-poultice"];

/// What holds water on a surface as long as it lies there.
const WATER_PACKS: &[&str] = &[
    "agar-gel",
    "chelator-poultice",
    "enzyme-gel",
    "gellan-gel",
    "microemulsion-gel",
    "microemulsion-pulp",
    "salt-poultice",
    "solvent-poultice",
    "swell-and-lift",
    "warm-compress",
    "wet-and-pare",
    "wrapped-compress",
];

/// Moist air, which the agent `water` would otherwise bring under the rules for liquid water.
const MOIST_AIR: &[&str] = &["humidity-chamber"];

pub(super) const RULES: &[Rule] = &[
    never(
        "water-on-water-gilding",
        When {
            classes: WATER,
            layers: &["water-gilding", "bole"],
            ..When::ANY
        },
        "no water in any form on water gilding or bole: no saliva, damp air, steam or aqueous gel",
        "glue of bole and gesso swells and the leaf lifts",
        Published("deller", "captions"),
    ),
    never(
        "water-on-glue-laid-leaf",
        When {
            classes: WET,
            traits: &[Trait::Gold, Trait::Silver, Trait::ThinMetal],
            and_traits: &[Trait::GlueBound],
            ..When::ANY
        },
        "no water, damp swab or steam on leaf that is laid or toned with glue",
        "the glue under or over the leaf softens and the leaf goes with it",
        Practice,
    ),
    never(
        "water-on-glue-paint",
        When {
            classes: WET,
            traits: &[Trait::GlueBound],
            without_traits: &[Trait::Wood],
            except_layers: &["canvas"],
            except_methods: MOIST_AIR,
            ..When::ANY
        },
        "no water on glue paint, gesso, size or anything else that glue alone holds",
        "the binder swells and dissolves",
        Practice,
    ),
    never(
        "water-on-gum-paint",
        When {
            classes: WET,
            traits: &[Trait::GumBound],
            without_traits: &[Trait::OilBound],
            except_methods: MOIST_AIR,
            ..When::ANY
        },
        "no water on gum-bound colour",
        "gum dissolves in cold water, and the colour runs",
        Practice,
    ),
    never(
        "water-on-painted-ivory",
        When {
            classes: WET,
            layers: &["painted-ivory"],
            except_methods: MOIST_AIR,
            ..When::ANY
        },
        "no damp swab on painted ivory before the medium of the paint is known",
        "the medium is mostly gum or glue",
        Practice,
    ),
    never(
        "water-on-unfired-clay",
        When {
            classes: WATER,
            traits: &[Trait::Unfired],
            ..When::ANY
        },
        "no water in any form on unfired clay or slip",
        "it slakes",
        Practice,
    ),
    never(
        "no-soaking-of-the-finely-made",
        When {
            classes: WET,
            methods: &["immersion", "solvent-poultice"],
            traits: &[Trait::Pearl, Trait::Patina],
            layers: &[
                "enamelled-metal",
                "imitation-leaf",
                "lead",
                "lustre",
                "overglaze-gilding",
            ],
            ..When::ANY
        },
        "no bath and no wet pack of hours on shell, enamel, patinated metal, niello, lead, lustre or leaf",
        "it bears a damp swab: wet for hours shell parts in leaves, enamel corrodes from its metal, and patina and \
         lead spot",
        Practice,
    ),
    never(
        "water-pack-on-veneer",
        When {
            classes: WET,
            methods: &["agar-gel", "immersion", "solvent-poultice"],
            layers: &["veneer-marquetry"],
            ..When::ANY
        },
        "no wet pack, gel or bath on veneer",
        "its glue wakes, the veneer lifts and curls, and dyes and tannin run",
        Practice,
    ),
    only_if(
        "water-lies-for-minutes",
        When {
            classes: WET,
            methods: WATER_PACKS,
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::AsianLacquer,
                Trait::Collagen,
                Trait::Keratin,
                Trait::Pearl,
            ],
            layers: &["enamelled-metal", "lustre", "overglaze-gilding"],
            without_traits: &[Trait::Wool],
            ..When::ANY
        },
        "only for minutes, damp and not wet, lifted to look each time",
        "what bears a damp swab blooms, swells or lets water through to its ground when it lies wet",
        Practice,
    ),
    never(
        "water-on-rusting-iron",
        When {
            classes: PLAIN,
            traits: &[Trait::Iron],
            without_traits: &[Trait::Ink],
            conditions: &[Condition::Corroded],
            except_methods: DESALTING,
            ..When::ANY
        },
        "no plain water, steam or damp air on rusting iron",
        "corrosion starts again under what is left wet",
        Practice,
    ),
    never(
        "water-on-chloride-metal",
        When {
            classes: PLAIN,
            layers: &["iron-archaeological", "bronze-chloride-active"],
            except_methods: DESALTING,
            ..When::ANY
        },
        "no water or damp air on excavated iron or on bronze with active chloride, apart from a \
         planned desalting or stabilising bath",
        "chloride and water restart the corrosion",
        Practice,
    ),
    only_if(
        "desalting-chloride-metal",
        When {
            classes: PLAIN,
            layers: &["iron-archaeological", "bronze-chloride-active"],
            methods: DESALTING,
            ..When::ANY
        },
        "only as a desalting of its own, with inhibitor, conductivity log and drying planned",
        "chloride and water restart the corrosion",
        Practice,
    ),
    only_if(
        "water-on-iron",
        When {
            classes: WET,
            traits: &[Trait::Iron],
            without_traits: &[Trait::Ink],
            ..When::ANY
        },
        "only damp, never wet, and dried at once with alcohol and warm air",
        "bare iron flash-rusts within minutes",
        Practice,
    ),
    never(
        "damp-air-on-iron",
        When {
            classes: &[Class::DampAir],
            traits: &[Trait::Iron],
            without_traits: &[Trait::Ink],
            ..When::ANY
        },
        "no damp chamber with iron in it",
        "iron rusts in moist air",
        Practice,
    ),
    never(
        "water-on-iron-gall-ink",
        When {
            classes: WATER,
            traits: &[Trait::Iron],
            and_traits: &[Trait::Ink],
            ..When::ANY
        },
        "no local damp treatment on iron-gall ink",
        "iron ions travel in the damp and darken and rot the paper",
        Practice,
    ),
    never(
        "water-on-copper-green-paper",
        When {
            classes: WATER,
            traits: &[Trait::Copper],
            and_traits: &[Trait::Cellulose],
            ..When::ANY
        },
        "no local damp treatment on paper painted or printed with copper green",
        "copper ions travel in the damp and brown the paper",
        Practice,
    ),
    never(
        "water-on-alabaster",
        When {
            classes: WET,
            layers: &["alabaster-gypsum"],
            except_methods: MOIST_AIR,
            ..When::ANY
        },
        "no water, aqueous gel or steam on gypsum alabaster",
        "gypsum dissolves, and the polish goes first",
        Practice,
    ),
    never(
        "water-on-gypsum",
        When {
            classes: &[Class::ColdWater],
            traits: &[Trait::Gypsum],
            except_layers: &["plaster-sealed"],
            except_methods: &["agar-gel", "grated-agar", "humidity-chamber"],
            ..When::ANY
        },
        "no free water on bare plaster or any other gypsum; agar that gives off little is the most",
        "gypsum dissolves, and dirt travels in with the water",
        Practice,
    ),
    only_if(
        "agar-on-gypsum",
        When {
            methods: &["agar-gel", "grated-agar"],
            traits: &[Trait::Gypsum],
            ..When::ANY
        },
        "only with stiff agar, tried for time on a hidden place and lifted before it dries",
        "rigid agar gives its water off slowly, but it does give it off",
        Practice,
    ),
    never(
        "hot-water-on-gypsum",
        When {
            classes: HOT,
            traits: &[Trait::Gypsum],
            ..When::ANY
        },
        "no warm water or steam on gypsum, sealed or bare",
        "it dissolves and loses its bound water",
        Practice,
    ),
    never(
        "bath-of-gypsum",
        When {
            methods: super::BATHS,
            classes: WET,
            traits: &[Trait::Gypsum],
            ..When::ANY
        },
        "no bath for plaster or alabaster",
        "gypsum dissolves at about two grams a litre, and the piece loses its strength",
        Practice,
    ),
    never(
        "water-on-weeping-glass",
        When {
            classes: WATER,
            traits: &[Trait::Weeping],
            ..When::ANY
        },
        "no water, damp air or steam on weeping or crizzled glass, or on the crust of buried glass",
        "water draws more alkali out, and drying opens the cracks",
        Practice,
    ),
    never(
        "water-on-glass-that-weeps",
        When {
            classes: WATER,
            traits: &[Trait::Glass, Trait::Glaze],
            conditions: &[Condition::Weeping],
            ..When::ANY
        },
        "no water, damp air or steam where glass or enamel weeps",
        "water draws more alkali out, and drying opens the cracks",
        Practice,
    ),
    never(
        "water-on-light-aged-lacquer",
        When {
            classes: WET,
            layers: &["urushi-light-aged"],
            except_methods: MOIST_AIR,
            ..When::ANY
        },
        "no water, saliva, ammonia or steam on light-aged lacquer",
        "its degraded acid skin dissolves, and its fine cracks take the water",
        Published("thei2016", "abstract"),
    ),
    never(
        "water-on-light-damaged-lacquer",
        When {
            classes: WET,
            traits: &[Trait::AsianLacquer],
            conditions: &[Condition::LightDamaged],
            except_methods: MOIST_AIR,
            ..When::ANY
        },
        "no water, saliva, ammonia or steam on lacquer that light has damaged",
        "its degraded acid skin dissolves, and its fine cracks take the water",
        Published("thei2016", "abstract"),
    ),
    never(
        "water-near-lacquer-crack",
        When {
            classes: WATER,
            traits: &[Trait::AsianLacquer],
            conditions: &[Condition::Cracked],
            ..When::ANY
        },
        "nothing wet near an open crack in lacquer",
        "the clay or glue ground swells and the lacquer cups",
        Published("thei2016", "abstract"),
    ),
    never(
        "water-on-lacquer-ground",
        When {
            classes: WATER,
            layers: &["urushi-foundation"],
            ..When::ANY
        },
        "nothing wet on the bare ground of lacquer",
        "clay and glue swell and throw the lacquer off",
        Published("thei2016", "abstract"),
    ),
    never(
        "water-on-salty-ware",
        When {
            classes: WATER,
            conditions: &[Condition::Salty],
            except_methods: DESALTING,
            ..When::ANY
        },
        "no water on a salty body except as a desalting of its own",
        "salts dissolve, travel and burst the surface as it dries",
        Practice,
    ),
    only_if(
        "desalting-salty-ware",
        When {
            methods: DESALTING,
            conditions: &[Condition::Salty],
            ..When::ANY
        },
        "only once glaze, slip and paint are known to hold, with conductivity logged to the end",
        "salts that come out also push off what is loose",
        Practice,
    ),
    only_if(
        "bath-of-low-fired-ware",
        When {
            methods: super::BATHS,
            classes: &[Class::ColdWater, Class::WarmWater],
            traits: &[Trait::FiredClay],
            and_traits: &[Trait::Porous],
            ..When::ANY
        },
        "only after a hidden sherd stood one hour in water unharmed, and with the salts known",
        "low-fired clay may slake, and salts travel",
        Practice,
    ),
    never(
        "hot-water-on-ivory",
        When {
            classes: HOT,
            layers: &[
                "ivory",
                "painted-ivory",
                "bone",
                "bone-archaeological",
                "tortoiseshell",
                "horn",
            ],
            ..When::ANY
        },
        "no hot water or steam on ivory, bone, antler, tortoiseshell or horn",
        "they swell unlike along and across, split and come apart in layers",
        Practice,
    ),
    never(
        "damp-air-on-ivory",
        When {
            classes: &[Class::DampAir],
            layers: &["ivory", "bone"],
            ..When::ANY
        },
        "no damp chamber for ivory or bone, nor any jump of more than 10 % in humidity",
        "they swell unlike along and across, and split",
        Practice,
    ),
    never(
        "bath-of-ivory",
        When {
            methods: super::BATHS,
            layers: &["ivory", "painted-ivory", "bone"],
            ..When::ANY
        },
        "no bath of any liquid for ivory or bone",
        "they swell, warp and lose matter",
        Published("wamuseum", "passage"),
    ),
    never(
        "bath-of-horn-or-shell",
        When {
            methods: super::BATHS,
            layers: &["tortoiseshell", "horn"],
            ..When::ANY
        },
        "no bath of any liquid for tortoiseshell or horn",
        "they swell unlike along and across, and come apart in layers",
        Practice,
    ),
    never(
        "hot-water-on-skin",
        When {
            classes: HOT,
            traits: &[Trait::Collagen],
            ..When::ANY
        },
        "no warm water or steam on parchment, leather, rawhide, gelatine or other collagen",
        "wet collagen shrinks, and gelatine melts, at the warmth of a hand-hot pad",
        Practice,
    ),
    never(
        "water-on-water-sensitive-oil",
        When {
            classes: WET,
            layers: &["oil-paint-water-sensitive"],
            ..When::ANY
        },
        "no water, saliva or emulsion on water-sensitive oil paint",
        "colour comes off on a damp swab",
        Practice,
    ),
    only_if(
        "water-on-acrylic-paint",
        When {
            classes: &[Class::ColdWater],
            traits: &[Trait::AcrylicBound],
            ..When::ANY
        },
        "only in short passes, with water at or above the conductivity of the film",
        "below the matching ionic strength the film swells and loses surfactant",
        Published("dillon2014", "abstract"),
    ),
    before(
        "measure-before-wetting",
        When {
            classes: &[Class::ColdWater],
            traits: &[
                Trait::OilBound,
                Trait::AcrylicBound,
                Trait::Tempera,
                Trait::Cellulose,
                Trait::Silk,
                Trait::Wool,
            ],
            ..When::ANY
        },
        "measure surface pH and conductivity first, and match the water to them",
        "water that is much too pure draws ions out and drives itself in",
        Published("pavitt2012", "passage"),
    ),
    only_if(
        "wet-on-dyed",
        When {
            classes: WET,
            traits: &[Trait::Dyed],
            ..When::ANY
        },
        "only after every colour passed a blot test with this very liquid",
        "dyes bleed and leave a halo",
        Practice,
    ),
];
