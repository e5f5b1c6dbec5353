//! Blades, abrasives, light, and the other dry ways.

use super::super::rule::RuleBasis::{Memory, Practice, Published};
use super::super::rule::{Rule, When};
use super::{REMOVING, before, never, only_if};
use crate::model::{Action, Class, Condition, Site, Trait};

const TOUCHING: &[Action] = &[
    Action::Solvent,
    Action::Aqueous,
    Action::Mechanical,
    Action::Cold,
    Action::Light,
];

/// Heat that touches: with a jet, with water, or as a hot face pressed on.
const TOUCHING_HEAT: &[&str] = &[
    "steam-pencil",
    "hot-air",
    "moist-heat",
    "blot-warm",
    "hot-spatula",
];

/// Tools that a motor or a jet drives.
const POWERED: &[&str] = &[
    "air-abrasive",
    "co2-snow",
    "core-out",
    "dry-ice",
    "micro-drill",
    "saw-pin",
    "ultrasonic-scaler",
    "vibro-tool",
];

const LOOSE: &[Condition] = &[Condition::Flaking, Condition::Powdering];

/// Beams that act by colour and heat; the mid-infrared one acts on water and has rules of its own.
const NOT_MID_INFRARED: &[&str] = &["laser-er"];

pub(super) const RULES: &[Rule] = &[
    never(
        "secure-flakes-before-touching",
        When {
            actions: TOUCHING,
            methods: TOUCHING_HEAT,
            conditions: &[Condition::Flaking],
            through_film: true,
            ..When::ANY
        },
        "no swab, gel, compress, blade, brush, hot tool, jet or beam before the flakes are secured",
        "flakes come away with the first touch",
        Practice,
    ),
    never(
        "secure-powder-before-touching",
        When {
            actions: TOUCHING,
            methods: TOUCHING_HEAT,
            conditions: &[Condition::Powdering],
            through_film: true,
            yields_to_trial: true,
            ..When::ANY
        },
        "no swab, gel, compress, blade, brush, hot tool, jet or beam before the powdering layer is secured, \
         unless this liquid was tried on it and took no grain",
        "grains come away with the first touch",
        Practice,
    ),
    never(
        "power-tool-on-coat-or-sheet",
        When {
            methods: POWERED,
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::WaxBound,
                Trait::GlueBound,
                Trait::GumBound,
                Trait::AsianLacquer,
                Trait::Cellulose,
                Trait::Ink,
                Trait::Keratin,
                Trait::Rubber,
                Trait::Silk,
            ],
            sites: &[Site::Film],
            ..When::ANY
        },
        "no burr, drill, saw or jet on what lies upon a coat, a sheet, a cloth or horn",
        "the tool cannot stop at a layer that is softer than what it cuts",
        Practice,
    ),
    only_if(
        "powder-as-it-was-tried",
        When {
            actions: &[Action::Solvent, Action::Aqueous],
            conditions: &[Condition::Powdering],
            through_film: true,
            ..When::ANY
        },
        "only as in the trial: the same liquid, as light a touch, clean cotton looked at each time",
        "a trial on one spot does not speak for every spot",
        Practice,
    ),
    before(
        "secure-first",
        When {
            actions: &[Action::Vapour, Action::Heat],
            conditions: LOOSE,
            ..When::ANY
        },
        "consolidate, face or prop the loose layer first",
        "what is loose falls as soon as the glue or film beside it moves",
        Practice,
    ),
    never(
        "rubbing-overglaze-gilding",
        When {
            classes: &[Class::Abrasion, Class::HandTool],
            layers: &["overglaze-gilding", "lustre"],
            ..When::ANY
        },
        "no abrasive, eraser, blade, scaler or hard rubbing on overglaze gilding or lustre",
        "the metal film is thinner than any scratch",
        Practice,
    ),
    never(
        "abrasion-on-thin-metal",
        When {
            classes: &[Class::Abrasion],
            traits: &[Trait::ThinMetal],
            ..When::ANY
        },
        "no abrasive, drill or scaler on leaf, plating, tinning, foil or gilding",
        "it wears through",
        Practice,
    ),
    never(
        "abrasion-on-patina",
        When {
            classes: &[Class::Abrasion],
            traits: &[Trait::Patina],
            ..When::ANY
        },
        "no abrasive on metal whose patina is wanted",
        "the patina goes first",
        Practice,
    ),
    never(
        "abrasion-on-silver",
        When {
            classes: &[Class::Abrasion],
            traits: &[Trait::Silver],
            ..When::ANY
        },
        "no abrasive on silver, niello or silver leaf",
        "silver is soft, and engraving, niello and marks wear away",
        Practice,
    ),
    only_if(
        "sulphur-eraser-on-metal",
        When {
            methods: &["dry-eraser", "dry-sponge"],
            traits: &[Trait::Silver, Trait::Copper, Trait::Lead],
            ..When::ANY
        },
        "only with a rubber or sponge known to be free of sulphur",
        "crumbs of vulcanised rubber tarnish metal",
        Practice,
    ),
    never(
        "eraser-on-gilding",
        When {
            methods: &["dry-eraser"],
            traits: &[Trait::Gold, Trait::ThinMetal],
            ..When::ANY
        },
        "no eraser on gilding",
        "it takes the leaf",
        Practice,
    ),
    never(
        "touching-weeping-glass",
        When {
            classes: &[
                Class::Abrasion,
                Class::HandTool,
                Class::Heat60,
                Class::Heat100,
                Class::Laser,
                Class::Cold,
            ],
            traits: &[Trait::Weeping],
            ..When::ANY
        },
        "no rubbing, scraping, jet, beam, heat or cold on crizzled or weeping glass",
        "its cracks open",
        Practice,
    ),
    before(
        "humidity-for-weeping-glass",
        When {
            actions: REMOVING,
            traits: &[Trait::Weeping],
            ..When::ANY
        },
        "hold the humidity between 40 and 55 % first, during the work and after it",
        "below that cracks open, above it the glass weeps",
        Published("koob2004", "abstract"),
    ),
    never(
        "touching-glass-that-weeps",
        When {
            classes: &[
                Class::Abrasion,
                Class::HandTool,
                Class::Heat60,
                Class::Heat100,
            ],
            traits: &[Trait::Glass, Trait::Glaze],
            conditions: &[Condition::Weeping],
            ..When::ANY
        },
        "no rubbing, scraping or heat where glass or enamel weeps",
        "its cracks open",
        Practice,
    ),
    never(
        "ultrasonics-on-glass",
        When {
            methods: &["ultrasonic-scaler"],
            traits: &[Trait::Glass, Trait::ThinMetal],
            ..When::ANY
        },
        "no ultrasonic tool or bath for glass, enamel, hollow plating or leaf",
        "glass shatters or cracks from flaws that cannot be seen, and plating lifts",
        Practice,
    ),
    never(
        "vibration-on-cracked",
        When {
            methods: &["ultrasonic-scaler", "micro-drill", "core-out", "saw-pin"],
            conditions: &[Condition::Cracked],
            through_film: true,
            ..When::ANY
        },
        "no ultrasonic tool, drill or saw on a cracked body or crazed glaze",
        "vibration runs the crack on",
        Practice,
    ),
    only_if(
        "air-abrasive-powder",
        When {
            methods: &["air-abrasive"],
            ..When::ANY
        },
        "only with a powder softer than what stays, from 0.5 bar upward, at 45 to 60 degrees, into \
         a catcher",
        "a harder grain cuts",
        Memory,
    ),
    never(
        "air-abrasive-on-polish",
        When {
            methods: &["air-abrasive"],
            traits: &[
                Trait::Glass,
                Trait::Glaze,
                Trait::Gold,
                Trait::Collagen,
                Trait::Pearl,
                Trait::GlueBound,
                Trait::GumBound,
            ],
            layers: &[
                "marble-polished",
                "overglaze-enamel",
                "amber",
                "jet",
                "tortoiseshell",
            ],
            ..When::ANY
        },
        "no air abrasion on glazed, glassy, gilded or polished surfaces, ivory, pearl or glue paint",
        "the gloss or the surface itself goes",
        Practice,
    ),
    never(
        "blade-on-soft-surface",
        When {
            classes: &[Class::HandTool],
            layers: &[
                "water-gilding",
                "imitation-leaf",
                "silver-leaf-coloured-resin",
                "glue-paint",
                "alabaster-gypsum",
            ],
            ..When::ANY
        },
        "no blade, stick or peeling on burnished or metal leaf, glue paint or alabaster",
        "the surface is softer than any tool",
        Practice,
    ),
    never(
        "wall-painting-stays-on-its-wall",
        When {
            methods: &[
                "immersion",
                "salt-bath",
                "ultrasonic-bath",
                "vapour-chamber",
                "humidity-chamber",
                "oven",
                "freezer",
                "suction-table",
                "blotter-wash",
            ],
            layers: &["lime-fresco", "secco-wall-paint"],
            ..When::ANY
        },
        "no bath, chamber, oven or freezer for a wall painting: work on it where it is, patch by patch",
        "it is part of a wall; and a piece that was cut from one bears neither soaking nor heating whole",
        Practice,
    ),
    never(
        "laser-on-paint",
        When {
            classes: &[Class::Laser],
            except_methods: NOT_MID_INFRARED,
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::GumBound,
                Trait::ResinBound,
                Trait::SpiritFinish,
                Trait::AsianLacquer,
            ],
            ..When::ANY
        },
        "no laser on paint, varnish or lacquer: lead white, red lead, vermilion or unknown pigment \
         may be there",
        "cinnabar and lead white changed phase or composition, and organic films burn",
        Published("laserpigments2001", "abstract"),
    ),
    only_if(
        "mid-infrared-on-paint",
        When {
            methods: NOT_MID_INFRARED,
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::AcrylicBound,
                Trait::ResinBound,
                Trait::Carbonate,
                Trait::Gypsum,
            ],
            ..When::ANY
        },
        "only from the lowest energy up, on a patch of each colour, wetted as the test was",
        "cemented dust came off limestone and painted plaster; paint in general is not on record",
        Published("melita2020", "abstract"),
    ),
    only_if(
        "laser-on-glue-paint",
        When {
            classes: &[Class::Laser],
            except_methods: NOT_MID_INFRARED,
            traits: &[Trait::GlueBound],
            ..When::ANY
        },
        "only after both wavelengths were tried at their lowest energy on each pigment",
        "one study of painted cartonnage found less change at 1064 nm than at 532 nm",
        Published("afifi2023", "abstract"),
    ),
    never(
        "laser-on-gilding",
        When {
            classes: &[Class::Laser],
            traits: &[Trait::Gold, Trait::ThinMetal],
            without_traits: &[Trait::Copper],
            ..When::ANY
        },
        "no laser on leaf or gilded film",
        "thin metal melts at its overlaps and lifts",
        Practice,
    ),
    never(
        "laser-on-glass",
        When {
            classes: &[Class::Laser],
            traits: &[Trait::Glass],
            ..When::ANY
        },
        "no laser on glass, enamel or glassy inlay",
        "it fuses or spalls",
        Practice,
    ),
    never(
        "infrared-laser-on-organic",
        When {
            methods: &["laser-1064"],
            traits: &[Trait::Organic],
            ..When::ANY
        },
        "no infrared laser on wood, skin, bone, fibre or anything else organic",
        "it chars",
        Practice,
    ),
    never(
        "green-laser-on-colour",
        When {
            methods: &["laser-532"],
            traits: &[Trait::Dyed, Trait::Ink],
            ..When::ANY
        },
        "no green laser on dyes, inks or red colour",
        "they take the beam up and burn or fade",
        Practice,
    ),
    only_if(
        "infrared-laser-on-marble",
        When {
            methods: &["laser-1064"],
            traits: &[Trait::Carbonate],
            ..When::ANY
        },
        "only after a test for yellowing; the second or third harmonic did better",
        "marble cleaned at 1064 nm alone can turn yellow",
        Published("klein2001", "abstract"),
    ),
    only_if(
        "saw-through-pin",
        When {
            methods: &["saw-pin"],
            ..When::ANY
        },
        "only where the gap is wider than the blade and the joint can be seen all round",
        "otherwise the saw cuts original",
        Practice,
    ),
    only_if(
        "part-joint-by-force",
        When {
            methods: &["part-joint"],
            ..When::ANY
        },
        "only once the glue gives under a needle; stop at the first creak and soften again",
        "a hard glue is stronger than the body, which breaks beside it",
        Practice,
    ),
    before(
        "last-millimetre-by-hand",
        When {
            methods: &["micro-drill", "core-out"],
            ..When::ANY
        },
        "mark the depth first, and stop 1 mm short: the rim comes off by hand",
        "a burr does not tell fill from original",
        Practice,
    ),
    only_if(
        "bit-in-close-join",
        When {
            methods: &["core-out", "micro-drill"],
            traits: &[
                Trait::Glaze,
                Trait::Glass,
                Trait::FiredClay,
                Trait::Carbonate,
            ],
            sites: &[Site::OpenJoint],
            ..When::ANY
        },
        "only in a fill or a gap wider than the bit, never in a close join",
        "in a close join the bit cuts the break edges, and the parts never fit again",
        Practice,
    ),
    only_if(
        "peeling-off-weak-surface",
        When {
            methods: &["peel"],
            traits: &[
                Trait::Cellulose,
                Trait::GlueBound,
                Trait::GumBound,
                Trait::Porous,
            ],
            ..When::ANY
        },
        "only at a low angle, and while the film holds the surface less than the surface holds \
         itself",
        "a strong film takes fibre, grain or paint with it",
        Practice,
    ),
    never(
        "snow-jet-on-soft",
        When {
            methods: &["co2-snow"],
            traits: &[
                Trait::ThinMetal,
                Trait::Gold,
                Trait::GlueBound,
                Trait::GumBound,
            ],
            ..When::ANY
        },
        "no snow jet on gilding, leaf or glue paint",
        "the jet lifts it",
        Practice,
    ),
];
