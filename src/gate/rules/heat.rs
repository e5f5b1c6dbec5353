//! Heat, hot water, and cold.

use super::super::rule::RuleBasis::{Memory, Practice};
use super::super::rule::{Rule, When};
use super::{never, only_if};
use crate::model::{Action, Class, Condition, Hazard, Trait, Wetting};

const HOT: &[Class] = &[Class::Heat60, Class::Heat100];

const HOT_WATER: &[Class] = &[Class::WarmWater, Class::Steam];

const PAINTED: &[Trait] = &[
    Trait::OilBound,
    Trait::Tempera,
    Trait::AcrylicBound,
    Trait::GlueBound,
    Trait::GumBound,
    Trait::ResinBound,
    Trait::SpiritFinish,
    Trait::AsianLacquer,
];

pub(super) const RULES: &[Rule] = &[
    never(
        "heat-near-nitrate",
        When {
            actions: &[Action::Heat, Action::Light],
            hazards: &[Hazard::Nitrate],
            ..When::ANY
        },
        "no hot tool, hot air, steam or laser while the material may be cellulose nitrate",
        "it burns fiercely, degraded nitrate below its usual ignition point; test with \
         diphenylamine first",
        Practice,
    ),
    never(
        "heat-on-nitrate-object",
        When {
            actions: &[Action::Heat, Action::Light],
            traits: &[Trait::NitratePlastic],
            ..When::ANY
        },
        "no heat, steam or laser on or beside celluloid or collodion",
        "it carries its own oxygen and burns fiercely",
        Practice,
    ),
    only_if(
        "friction-near-nitrate",
        When {
            methods: &[
                "micro-drill",
                "saw-pin",
                "core-out",
                "ultrasonic-scaler",
                "air-abrasive",
            ],
            hazards: &[Hazard::Nitrate],
            ..When::ANY
        },
        "only once a diphenylamine test on a clean crumb is negative, or slowly, by hand and damp",
        "friction heats nitrate, and its dust burns",
        Practice,
    ),
    never(
        "heat-with-flammable",
        When {
            actions: &[Action::Heat, Action::Light],
            agent_hazards: &[Hazard::Flammable],
            ..When::ANY
        },
        "no hot tool, lamp or laser on anything wet with flammable solvent",
        "the vapour ignites",
        Practice,
    ),
    never(
        "heat-with-chlorinated",
        When {
            actions: &[Action::Heat, Action::Light],
            classes: &[Class::Chlorinated],
            ..When::ANY
        },
        "no hot tool, flame or laser in chlorinated vapour",
        "it breaks down to phosgene and hydrogen chloride",
        Practice,
    ),
    never(
        "heat-on-glass",
        When {
            classes: &[Class::Heat100, Class::Steam],
            traits: &[Trait::Glass],
            ..When::ANY
        },
        "no hot air from one side, no oven and no steam on glass or enamel",
        "glass cracks where it is heated unevenly",
        Practice,
    ),
    only_if(
        "uneven-heat-on-ware",
        When {
            classes: &[Class::Heat100],
            traits: &[Trait::Glaze, Trait::Carbonate, Trait::Silicate],
            ..When::ANY
        },
        "only with a slow ramp, from all round, and a thermocouple on the surface",
        "hot air on one side of glaze or thick stone cracks it",
        Practice,
    ),
    never(
        "heat-on-cracked",
        When {
            classes: &[Class::Heat100, Class::Steam],
            conditions: &[Condition::Cracked],
            through_film: true,
            ..When::ANY
        },
        "no hot air, oven or steam on anything cracked or crazed",
        "a crack runs on in the heat",
        Practice,
    ),
    only_if(
        "heat-release-of-thermoset",
        When {
            classes: &[Class::Heat100],
            materials: &["epoxy", "polyester"],
            traits: &[Trait::FiredClay],
            ..When::ANY
        },
        "only on a sound body without salts, crack or gilding, slowly, to just above softening",
        "softening is enough; burning the glue out stains and cracks the body",
        Practice,
    ),
    never(
        "heat-on-salty",
        When {
            classes: &[Class::Heat100],
            conditions: &[Condition::Salty],
            ..When::ANY
        },
        "no hot air or oven on a salty body",
        "salts lose and take up water as it heats and cools, and burst the surface",
        Practice,
    ),
    never(
        "hot-tool-on-glue-laid-leaf",
        When {
            methods: &["hot-spatula", "hot-wire", "moist-heat"],
            traits: &[Trait::Gold, Trait::Silver, Trait::ThinMetal],
            and_traits: &[Trait::GlueBound],
            ..When::ANY
        },
        "no hot spatula and no hot tool on leaf that is laid with glue",
        "a tip drags and dulls the burnish, and steam from the glue ground lifts leaf in blisters",
        Practice,
    ),
    only_if(
        "blotting-warm-on-glue-laid-leaf",
        When {
            methods: &["blot-warm", "ir-lamp"],
            traits: &[Trait::Gold, Trait::Silver, Trait::ThinMetal],
            and_traits: &[Trait::GlueBound],
            ..When::ANY
        },
        "only below 60 C, through tissue and release film, laid down and lifted straight up, never \
         pressed or slid, after a trial on an edge of loss",
        "wax that melts goes into bole and gesso, and warm glue lets the leaf go",
        Practice,
    ),
    never(
        "heat-on-lacquer",
        When {
            classes: &[Class::Heat100],
            traits: &[Trait::AsianLacquer, Trait::SpiritFinish],
            ..When::ANY
        },
        "no hot air, hot wire or oven on or beside lacquer or a spirit finish",
        "lacquer softens, whitens and cracks as it shrinks",
        Practice,
    ),
    only_if(
        "warmth-on-lacquer",
        When {
            classes: &[Class::Heat60],
            traits: &[Trait::AsianLacquer, Trait::SpiritFinish],
            ..When::ANY
        },
        "only below 50 C, measured at the surface",
        "lacquer softens and whitens above that",
        Practice,
    ),
    never(
        "hot-water-on-veneer",
        When {
            classes: HOT_WATER,
            layers: &["veneer-marquetry"],
            ..When::ANY
        },
        "no warm water or steam on veneer or marquetry that is to stay down",
        "its glue melts and the veneer lifts and warps",
        Practice,
    ),
    never(
        "hot-water-on-spirit-finish",
        When {
            classes: HOT_WATER,
            traits: &[Trait::SpiritFinish],
            ..When::ANY
        },
        "no hot water or steam on a shellac or spirit finish",
        "it softens and turns white",
        Practice,
    ),
    never(
        "steam-on-paint",
        When {
            classes: &[Class::Steam],
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::GlueBound,
                Trait::GumBound,
                Trait::ResinBound,
                Trait::WaxBound,
                Trait::AsianLacquer,
            ],
            ..When::ANY
        },
        "no steam on paint, varnish, wax, lacquer or gilding",
        "heat and water together blister, whiten and lift it",
        Practice,
    ),
    never(
        "heat-on-wax",
        When {
            classes: HOT,
            traits: &[Trait::WaxBound],
            ..When::ANY
        },
        "no heat on original wax or a wax-resin lining",
        "it flows from about 45 C",
        Practice,
    ),
    never(
        "heat-on-acrylic-paint",
        When {
            classes: HOT,
            traits: &[Trait::AcrylicBound],
            ..When::ANY
        },
        "no hot tool on acrylic or vinyl paint",
        "it is sticky above about 35 C",
        Practice,
    ),
    never(
        "heat-on-gypsum",
        When {
            classes: &[Class::Heat100],
            traits: &[Trait::Gypsum],
            ..When::ANY
        },
        "no hot air or oven on plaster, gypsum ground or alabaster",
        "gypsum loses its bound water above 60 C and turns to powder",
        Practice,
    ),
    only_if(
        "warmth-on-gypsum",
        When {
            classes: &[Class::Heat60],
            traits: &[Trait::Gypsum],
            ..When::ANY
        },
        "only briefly and below 45 C at the surface",
        "gypsum begins to lose its bound water when kept above that",
        Memory,
    ),
    only_if(
        "heat-beside-low-melting",
        When {
            actions: &[Action::Heat],
            traits: &[
                Trait::LowMelting,
                Trait::WaxBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::Tin,
            ],
            ..When::ANY
        },
        "only with a thermocouple and a heat shield over wax, resin, shellac or solder near by",
        "the layer beside or beneath melts first",
        Practice,
    ),
    never(
        "oven-on-mixed-or-organic",
        When {
            methods: &["oven"],
            traits: &[
                Trait::Organic,
                Trait::Wood,
                Trait::Cellulose,
                Trait::Glass,
                Trait::Gypsum,
                Trait::Tin,
                Trait::Lead,
                Trait::Gold,
                Trait::GlueBound,
                Trait::OilBound,
            ],
            ..When::ANY
        },
        "no oven for anything organic, painted, gilded or soldered, or of glass or plaster",
        "the whole object gets as hot as the glue",
        Practice,
    ),
    never(
        "hot-wire-near-organic",
        When {
            methods: &["hot-wire"],
            traits: &[
                Trait::Organic,
                Trait::Wood,
                Trait::Cellulose,
                Trait::LowMelting,
                Trait::OilBound,
            ],
            ..When::ANY
        },
        "no hot wire near wood, fibre, skin, paint or anything that melts low",
        "it scorches what it passes",
        Practice,
    ),
    never(
        "heat-on-protein",
        When {
            classes: &[Class::Heat100],
            traits: &[Trait::Collagen, Trait::Keratin, Trait::Silk, Trait::Wool],
            ..When::ANY
        },
        "no hot air or oven on ivory, bone, skin, horn, feather, silk or wool",
        "protein shrinks, splits and chars",
        Practice,
    ),
    never(
        "wet-heat-on-collagen",
        When {
            actions: &[Action::Heat],
            wets: &[Wetting::Little, Wetting::Much],
            traits: &[Trait::Collagen],
            ..When::ANY
        },
        "no heat on damp parchment, leather, gut or rawhide",
        "wet collagen shrinks and turns to glue",
        Practice,
    ),
    never(
        "warmth-on-parchment",
        When {
            classes: &[Class::Heat60],
            layers: &["parchment", "leather-alum-tawed"],
            ..When::ANY
        },
        "no heated tool on parchment or alum-tawed skin",
        "it shrinks for good, aged skin far sooner than new",
        Practice,
    ),
    never(
        "heat-on-amber-jet-shell",
        When {
            classes: &[Class::Heat100],
            layers: &["amber", "jet", "tortoiseshell"],
            traits: &[Trait::Pearl],
            ..When::ANY
        },
        "no hot air or oven on amber, jet, tortoiseshell or mother-of-pearl",
        "they craze, warp and split into layers",
        Practice,
    ),
    never(
        "heat-on-photograph",
        When {
            classes: &[Class::Heat100, Class::Steam],
            traits: &[Trait::Photograph],
            ..When::ANY
        },
        "no hot air, oven or steam on a photograph",
        "the image layer melts, blisters or curls off",
        Practice,
    ),
    never(
        "warmth-on-gelatine-print",
        When {
            classes: &[Class::Heat60],
            traits: &[Trait::Photograph],
            and_traits: &[Trait::Collagen],
            ..When::ANY
        },
        "no heated tool on a gelatine photograph",
        "gelatine melts with the least moisture",
        Practice,
    ),
    never(
        "dry-ice-on-glazed-or-painted",
        When {
            methods: &["dry-ice"],
            traits: &[
                Trait::Glass,
                Trait::Glaze,
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::GlueBound,
                Trait::GumBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::AsianLacquer,
                Trait::WaxBound,
                Trait::Unfired,
            ],
            ..When::ANY
        },
        "no dry ice jet on glass, glaze, paint, lacquer, wax or anything glued",
        "cold shock cracks it, and the jet takes what is soft",
        Practice,
    ),
    never(
        "cold-on-glass-or-lacquer",
        When {
            classes: &[Class::Cold],
            traits: &[Trait::Glass, Trait::Weeping, Trait::AsianLacquer],
            ..When::ANY
        },
        "no freezing, cold spray or snow jet on glass, enamel or lacquer",
        "cold shock cracks it, and condensed water follows",
        Practice,
    ),
    never(
        "cold-on-paint",
        When {
            classes: &[Class::Cold],
            traits: PAINTED,
            ..When::ANY
        },
        "no freezing or cold spray on paint, varnish or gilding",
        "layers shrink unlike in the cold and part from each other",
        Practice,
    ),
    never(
        "cold-on-cracked",
        When {
            classes: &[Class::Cold],
            conditions: &[Condition::Cracked],
            through_film: true,
            ..When::ANY
        },
        "no freezing or cold spray on anything cracked or crazed",
        "the crack runs on",
        Practice,
    ),
    never(
        "frost-in-damp-body",
        When {
            classes: &[Class::Cold],
            conditions: &[Condition::Damp],
            ..When::ANY
        },
        "no freezing or cold spray on a damp body",
        "water freezes in the pores and bursts them",
        Practice,
    ),
];
