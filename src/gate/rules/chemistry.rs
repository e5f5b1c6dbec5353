//! Acids, alkalis, chelators and enzymes on stone, proteins, fibres, wood and paint.

use super::super::rule::RuleBasis::{Practice, Published};
use super::super::rule::{Rule, When};
use super::{never, only_if};
use crate::model::{Class, Trait};

const IVORY_AND_BONE: &[&str] = &["ivory", "painted-ivory", "bone", "bone-archaeological"];

const BLEACH: &[&str] = &["7681-52-9", "sodium-hypochlorite", "hypochlorite"];

/// What holds together by something that strong acid and strong alkali split.
const EATEN: &[Trait] = &[
    Trait::OilBound,
    Trait::Tempera,
    Trait::AcrylicBound,
    Trait::ResinBound,
    Trait::SpiritFinish,
    Trait::WaxBound,
    Trait::GlueBound,
    Trait::GumBound,
    Trait::AsianLacquer,
    Trait::Collagen,
    Trait::Keratin,
    Trait::Silk,
    Trait::Wool,
    Trait::Cellulose,
    Trait::Ink,
    Trait::Photograph,
    Trait::Pearl,
    Trait::AcrylicPlastic,
    Trait::StyrenePlastic,
    Trait::NitratePlastic,
    Trait::AcetatePlastic,
    Trait::Rubber,
];

const STRONG_ACIDS: &[&str] = &["formic-acid", "64-18-6", "acetic-acid", "64-19-7"];

const LYE: &[&str] = &["sodium-hydroxide", "1310-73-2"];

pub(super) const RULES: &[Rule] = &[
    never(
        "acid-on-carbonate",
        When {
            classes: &[Class::Acid],
            agents: &["buffer-ph-5-5"],
            traits: &[Trait::Carbonate],
            ..When::ANY
        },
        "no acid, acid gel, vinegar or acid buffer on marble, limestone, chalk, lime or shell",
        "carbonate dissolves",
        Practice,
    ),
    never(
        "acid-on-rust-stained-marble",
        When {
            classes: &[Class::Acid],
            traits: &[Trait::Carbonate],
            materials: &["iron-stain"],
            ..When::ANY
        },
        "no acid rust remover on marble; a poultice of cysteine and dithionite works without acid",
        "the marble dissolves before the rust",
        Published("spile", "abstract"),
    ),
    never(
        "chelator-on-polished-marble",
        When {
            classes: &[Class::Chelator],
            except_agents: &["dithionite"],
            layers: &["marble-polished"],
            ..When::ANY
        },
        "no EDTA and no citrate on polished marble",
        "it takes calcium: the more, the lower the pH from 10 to 7, and worse when repeated or open \
         to air",
        Published("gervais2010", "abstract"),
    ),
    only_if(
        "chelator-on-carbonate",
        When {
            classes: &[Class::Chelator],
            except_agents: &["dithionite"],
            traits: &[Trait::Carbonate],
            ..When::ANY
        },
        "only at high pH and low strength, covered, once, on a surface without polish",
        "least gloss was lost that way in tests on marble",
        Published("gervais2010", "abstract"),
    ),
    never(
        "chelator-on-pearl",
        When {
            classes: &[Class::Chelator],
            traits: &[Trait::Pearl],
            ..When::ANY
        },
        "no chelator on mother-of-pearl, coral or shell",
        "it takes calcium from the very surface that gives the lustre",
        Practice,
    ),
    never(
        "acid-or-chelator-on-gypsum",
        When {
            classes: &[Class::Acid, Class::Chelator],
            traits: &[Trait::Gypsum],
            except_layers: &["plaster-sealed"],
            ..When::ANY
        },
        "no acid and no chelator on bare plaster, gypsum ground or alabaster",
        "both take calcium, and the water that carries them dissolves the rest",
        Practice,
    ),
    never(
        "acid-or-bleach-on-ivory",
        When {
            classes: &[Class::Acid, Class::Chelator],
            agents: &["hydrogen-peroxide", "7681-52-9"],
            layers: IVORY_AND_BONE,
            ..When::ANY
        },
        "no acid, lemon, chelator or bleach on ivory or bone",
        "the mineral dissolves and the protein is left soft",
        Published("wamuseum", "passage"),
    ),
    never(
        "hypochlorite-on-ware-or-fibre",
        When {
            agents: BLEACH,
            traits: &[
                Trait::Glaze,
                Trait::FiredClay,
                Trait::Silk,
                Trait::Wool,
                Trait::Keratin,
                Trait::Collagen,
                Trait::Cellulose,
            ],
            ..When::ANY
        },
        "no hypochlorite bleach on ceramics, textiles, paper or skin",
        "it leaves chloride in the pores, attacks glaze and cuts fibres",
        Practice,
    ),
    never(
        "reducing-bleach-on-dyed",
        When {
            agents: &["dithionite", "7775-14-6"],
            traits: &[Trait::Dyed],
            ..When::ANY
        },
        "no dithionite on dyed fibres, dyed wood or dye inks",
        "it takes the colour with the stain",
        Practice,
    ),
    never(
        "alkali-on-collagen",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::Collagen],
            ..When::ANY
        },
        "no alkali on parchment, leather, rawhide, ivory, bone or gelatine",
        "protein swells and breaks down",
        Practice,
    ),
    never(
        "alkali-on-silk-or-wool",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::Silk, Trait::Wool, Trait::Keratin],
            ..When::ANY
        },
        "no alkali above pH 8.5 on silk, wool, feather or horn",
        "the fibre is cut, and wool felts",
        Practice,
    ),
    never(
        "borate-gel-on-protein",
        When {
            methods: &["borate-gel"],
            traits: &[
                Trait::Collagen,
                Trait::Keratin,
                Trait::Silk,
                Trait::Wool,
                Trait::GlueBound,
                Trait::GumBound,
            ],
            ..When::ANY
        },
        "no borate gel on proteins, silk, wool, gilding or anything that glue or gum holds",
        "it is water at a pH of 8 to 9",
        Practice,
    ),
    only_if(
        "borate-gel-on-oil",
        When {
            methods: &["borate-gel"],
            traits: &[Trait::OilBound],
            ..When::ANY
        },
        "only colour by colour, with the softened film taken up by a swab and borate rinsed off",
        "no polymer or boron was found on two oil paintings, but the pH stays alkaline",
        Published("angelova2015b", "abstract"),
    ),
    only_if(
        "borate-gel-on-diterpene-varnish",
        When {
            methods: &["borate-gel"],
            materials: &["colophony", "sandarac", "copal-oil-varnish"],
            ..When::ANY
        },
        "only with extra care where the varnish may be colophony, sandarac or copal",
        "side effects were noted there, unlike on dammar, mastic and shellac",
        Published("pvohboraxicons", "abstract"),
    ),
    never(
        "chelator-on-silk",
        When {
            classes: &[Class::Chelator],
            traits: &[Trait::Silk],
            ..When::ANY
        },
        "no chelator on silk unless a test proved it unweighted",
        "tin weighting is drawn out and the silk splits",
        Practice,
    ),
    never(
        "acid-on-silk",
        When {
            classes: &[Class::Acid],
            traits: &[Trait::Silk],
            ..When::ANY
        },
        "no acid on silk unless a test proved it unweighted",
        "acid draws out tin weighting",
        Practice,
    ),
    never(
        "chemistry-on-photograph",
        When {
            classes: &[Class::Alkali, Class::Chelator, Class::Acid],
            traits: &[Trait::Photograph],
            ..When::ANY
        },
        "no alkali, acid or chelator on a photograph",
        "the binder melts or swells and the image silver goes",
        Practice,
    ),
    never(
        "alkali-on-oil",
        When {
            classes: &[Class::Alkali],
            except_agents: &["resin-soap", "ammonium-bicarbonate"],
            except_methods: &["borate-gel"],
            traits: &[Trait::OilBound],
            ..When::ANY
        },
        "no ammonia and no alkali above pH 8.5 on oil paint, oil varnish or oil gilding of any age",
        "oil saponifies",
        Practice,
    ),
    never(
        "alkali-on-young-oil",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::YoungOil],
            ..When::ANY
        },
        "nothing alkaline on young oil paint, soaps and borate gels included",
        "it softens and gives up its medium",
        Practice,
    ),
    only_if(
        "soap-is-a-solvent",
        When {
            agents: &["resin-soap", "ammonium-bicarbonate", "nonionic-surfactant"],
            traits: &[Trait::OilBound],
            ..When::ANY
        },
        "only with the same test as for a solvent: a soap is not harmless because it is none",
        "soaps and gels acted much like solvents in time and in what they took from oil paint",
        Published("tsang1992", "abstract"),
    ),
    only_if(
        "chelator-on-pigment",
        When {
            classes: &[Class::Chelator],
            traits: &[
                Trait::OilBound,
                Trait::Tempera,
                Trait::ResinBound,
                Trait::AcrylicBound,
            ],
            ..When::ANY
        },
        "only after a test on each colour; no lead white, zinc white, verdigris, azurite or malachite",
        "chelators take lead, zinc and copper out of paint",
        Practice,
    ),
    never(
        "alkali-on-resin",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::SpiritFinish, Trait::ResinBound],
            ..When::ANY
        },
        "no ammonia, alkali or resin soap on a shellac, resin or spirit finish that stays",
        "resin acids go into solution as soap",
        Practice,
    ),
    never(
        "alkali-on-tempera",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::Tempera],
            ..When::ANY
        },
        "no alkali on egg tempera or casein paint",
        "it breaks the protein and saponifies the fat",
        Practice,
    ),
    never(
        "strong-alkali-on-wood",
        When {
            agents: &[
                "sodium-hydroxide",
                "ethanol-sodium-hydroxide",
                "1310-73-2",
                "1310-58-3",
            ],
            traits: &[Trait::Wood, Trait::Cellulose],
            ..When::ANY
        },
        "no caustic soda on wood, paper or plant fibre",
        "it darkens, swells and weakens them, and cannot be rinsed out",
        Practice,
    ),
    only_if(
        "alkali-on-tannin",
        When {
            classes: &[Class::Alkali],
            traits: &[Trait::Tannin],
            ..When::ANY
        },
        "only where a hidden test left no dark patch, and never near iron",
        "tannin darkens with alkali and goes black with iron",
        Practice,
    ),
    never(
        "protease-on-protein",
        When {
            agents: &["protease"],
            traits: &[
                Trait::Collagen,
                Trait::Keratin,
                Trait::Silk,
                Trait::Wool,
                Trait::GlueBound,
                Trait::Tempera,
                Trait::Photograph,
            ],
            ..When::ANY
        },
        "no protease near ivory, bone, leather, parchment, silk, wool, egg, casein or glue layers",
        "it cuts the same bond in the original",
        Practice,
    ),
    never(
        "enzyme-on-protein-object",
        When {
            classes: &[Class::Enzyme],
            traits: &[Trait::Silk, Trait::Wool, Trait::Keratin],
            layers: &[
                "ivory",
                "painted-ivory",
                "bone",
                "bone-archaeological",
                "leather",
                "leather-vegetable",
                "leather-alum-tawed",
                "rawhide",
                "photograph-gelatine-silver",
                "gesso-chalk",
                "casein-paint",
            ],
            ..When::ANY
        },
        "no enzyme bath or gel on silk, wool, leather, ivory, bone, gelatine prints or glue grounds",
        "amylase and lipase on sale hold protease as well, and all come in water",
        Practice,
    ),
    never(
        "enzyme-on-tempera-or-young-oil",
        When {
            classes: &[Class::Enzyme],
            traits: &[Trait::Tempera, Trait::YoungOil],
            ..When::ANY
        },
        "no enzyme on egg tempera, casein paint or young oil paint",
        "one enzyme on sale brings traces of others, and all come in warm water",
        Practice,
    ),
    never(
        "lipase-on-oil",
        When {
            agents: &["lipase"],
            traits: &[Trait::OilBound, Trait::Tempera],
            ..When::ANY
        },
        "no lipase on oil paint, tempera or oil gilding",
        "it cuts the esters of the original",
        Practice,
    ),
    only_if(
        "amylase-on-paper",
        When {
            agents: &["amylase"],
            traits: &[Trait::Cellulose],
            ..When::ANY
        },
        "only on paper known to hold no starch size that matters",
        "it digests starch size along with the paste",
        Practice,
    ),
    never(
        "strong-acid-on-what-it-eats",
        When {
            agents: STRONG_ACIDS,
            traits: EATEN,
            ..When::ANY
        },
        "no formic and no glacial acetic acid on paint, varnish, lacquer, protein, paper, cloth, shell or plastic",
        "it swells and splits what holds them together",
        Practice,
    ),
    never(
        "strong-acid-on-metal",
        When {
            agents: STRONG_ACIDS,
            traits: &[
                Trait::Aluminium,
                Trait::Copper,
                Trait::Iron,
                Trait::Lead,
                Trait::Patina,
                Trait::Silver,
                Trait::Tin,
                Trait::Zinc,
            ],
            ..When::ANY
        },
        "no formic and no glacial acetic acid on metal",
        "it strips patina and corrosion that stay, corrodes base metals, and goes on in every pore and seam",
        Practice,
    ),
    never(
        "lye-on-what-it-eats",
        When {
            agents: LYE,
            traits: EATEN,
            ..When::ANY
        },
        "no lye on paint, varnish, lacquer, protein, paper, cloth, shell or plastic",
        "it turns oil, resin and protein to soap and slime, and splits what holds the others together",
        Practice,
    ),
    never(
        "lye-on-soft-metal",
        When {
            agents: LYE,
            traits: &[
                Trait::Aluminium,
                Trait::Lead,
                Trait::Patina,
                Trait::Tin,
                Trait::Zinc,
            ],
            // The piece is the cathode there, and does not dissolve; its record says what it is kept from.
            except_methods: &["electrolysis"],
            ..When::ANY
        },
        "no lye on aluminium, zinc, tin or lead, nor on a patina",
        "it dissolves the first three, eats lead, and strips what gives the surface its colour",
        Practice,
    ),
    never(
        "lye-on-glass",
        When {
            agents: LYE,
            traits: &[Trait::Glass],
            ..When::ANY
        },
        "no lye on glass or enamel",
        "hydroxides eat silicate glass, sodium hydroxide most",
        Published("glasshydroxides", "abstract"),
    ),
    only_if(
        "lye",
        When {
            agents: LYE,
            ..When::ANY
        },
        "only where nothing milder acts, on an inert body that is rinsed until the wash is neutral",
        "what stays in the pores goes on working, and burns skin and eyes",
        Practice,
    ),
    only_if(
        "formic-acid",
        When {
            agents: &["formic-acid", "64-18-6"],
            ..When::ANY
        },
        "only on an inert body without carbonate, metal, protein or paint, and rinsed to neutral",
        "it burns, gives off carbon monoxide as it breaks down and corrodes lead and zinc nearby",
        Practice,
    ),
];
