//! What can hurt whoever does it: vapour, fire, dust, light, cold.

use super::super::rule::RuleBasis::{Memory, Practice, Published};
use super::super::rule::{Rule, When};
use super::{REMOVING, before, never, only_if};
use crate::model::{Action, Class, Hazard, Trait};

/// Methods that raise dust.
const DUSTY: &[&str] = &[
    "air-abrasive",
    "micro-drill",
    "core-out",
    "saw-pin",
    "dry-ice",
];

/// Methods that disturb a dry surface.
const DISTURBING: &[Action] = &[Action::Mechanical, Action::Cold, Action::Light];

/// Probability from which asbestos forbids dry work outright; below it a laboratory is asked first. Judgment:
/// any unknown fill may hold a fibrous plaster by one chance in a hundred, and who works on one has it
/// looked at; at one in twenty nobody touches it.
const ASBESTOS_LIKELY: f64 = 0.05;

pub(super) const RULES: &[Rule] = &[
    never(
        "benzene-and-carbon-tetrachloride",
        When {
            agents: &["benzene", "carbon-tetrachloride", "71-43-2", "56-23-5"],
            ..When::ANY
        },
        "no benzene and no carbon tetrachloride at the bench: another liquid does what they do",
        "one causes leukaemia; the other poisons liver and kidneys and is out of use worldwide",
        Memory,
    ),
    only_if(
        "chlorinated-with-supplied-air",
        When {
            classes: &[Class::Chlorinated],
            ..When::ANY
        },
        "only in a hood, or with supplied air in a closed room; laminate gloves; law of the place read",
        "the vapour kills, filter masks pass it unseen, and nitrile fails in minutes",
        Practice,
    ),
    only_if(
        "dichloromethane-programme",
        When {
            agents: &["dichloromethane", "75-09-2"],
            ..When::ANY
        },
        "only where the law leaves room for it: United States rules ask for a marked area, exhaust, \
         supplied air or monitoring, and records, even on things of cultural value",
        "rules differ by country and by year",
        Published("cfr751117", "section 751.117"),
    ),
    before(
        "no-warm-closed-vessel",
        When {
            classes: &[Class::Chlorinated],
            methods: &[
                "vapour-chamber",
                "vapour-tent",
                "immersion",
                "wrapped-compress",
            ],
            ..When::ANY
        },
        "a closed vessel with chlorinated solvent: keep it and the room cool first, vented into the hood",
        "dichloromethane boils near 40 C and bursts a closed warm vessel",
        Practice,
    ),
    before(
        "reproductive-toxin",
        When {
            agent_hazards: &[Hazard::Reprotoxic],
            ..When::ANY
        },
        "a liquid that harms fertility or the unborn child: settle first who does it, nobody pregnant or \
         planning a child, with hood and the right gloves",
        "such harm is not noticed while it is done",
        Practice,
    ),
    before(
        "carcinogen",
        When {
            agent_hazards: &[Hazard::Carcinogen],
            ..When::ANY
        },
        "a carcinogen: ask first whether another liquid does it; if not, the least amount, in a hood",
        "it is classed as, or suspected of, causing cancer",
        Practice,
    ),
    before(
        "gloves-against-skin-uptake",
        When {
            agent_hazards: &[Hazard::SkinUptake],
            ..When::ANY
        },
        "a liquid that goes through skin: put on first the gloves that its data sheet names, butyl or \
         laminate for most",
        "thin nitrile lets many of them through within minutes",
        Practice,
    ),
    before(
        "dimethyl-sulphoxide-carries",
        When {
            agents: &["dimethyl-sulphoxide", "67-68-5"],
            ..When::ANY
        },
        "dimethyl sulphoxide: rule out lead, arsenic, borate and other toxic matter in the target first",
        "it carries what is dissolved in it through the skin",
        Practice,
    ),
    before(
        "toxic-agent",
        When {
            agent_hazards: &[Hazard::Toxic],
            ..When::ANY
        },
        "a toxic liquid: set up hood or local exhaust first, and read the data sheet of this bottle",
        "it is toxic by breath or skin, and a filter mask may pass it unseen",
        Practice,
    ),
    before(
        "corrosive-agent",
        When {
            agent_hazards: &[Hazard::Corrosive],
            ..When::ANY
        },
        "a corrosive liquid: goggles, apron and gloves on first, a rinse and a neutraliser at hand",
        "it burns skin and eyes",
        Practice,
    ),
    before(
        "sensitiser",
        When {
            agent_hazards: &[Hazard::Sensitiser],
            ..When::ANY
        },
        "enzymes and other sensitisers: gloves on first, and no powder in the air",
        "skin and lungs may answer with allergy, for life",
        Practice,
    ),
    before(
        "peroxide-in-old-stock",
        When {
            agent_hazards: &[Hazard::PeroxideFormer],
            ..When::ANY
        },
        "ethers, glycol ethers, propan-2-ol, turpentine and their like: test old stock for peroxide first; \
         an unmarked bottle stays shut",
        "peroxide in old stock explodes when warmed or dried down",
        Practice,
    ),
    before(
        "extraction-for-fume",
        When {
            agent_hazards: &[Hazard::Fume],
            ..When::ANY
        },
        "a liquid that gives off harmful gas: switch on the extraction first",
        "what it gives off harms, sometimes only hours later",
        Practice,
    ),
    before(
        "vapour-chamber-without-spark",
        When {
            actions: &[Action::Vapour],
            agent_hazards: &[Hazard::Flammable],
            ..When::ANY
        },
        "a chamber or tent with flammable vapour: seal and label it, clear plugs, heating pads and lamps \
         away first, and open it in a hood",
        "the vapour inside is rich enough to burn or explode",
        Practice,
    ),
    before(
        "bath-of-flammable-solvent",
        When {
            methods: &[
                "immersion",
                "solvent-poultice",
                "wrapped-compress",
                "stripper",
            ],
            agent_hazards: &[Hazard::Flammable],
            ..When::ANY
        },
        "a bath, poultice or compress of flammable solvent: lid, extraction, no spark and no flame first; \
         tins bonded and earthed when litres are poured",
        "static from pouring is enough to light it",
        Practice,
    ),
    before(
        "no-vapour-before-heat",
        When {
            actions: &[Action::Heat, Action::Light],
            ..When::ANY
        },
        "before any heat or beam, clear solvents and wet swabs from bench, bin and object, and air the place",
        "what is left in pores or bin ignites",
        Practice,
    ),
    before(
        "fume-of-heated-plastic",
        When {
            actions: &[Action::Heat, Action::Light],
            materials: &[
                "polyurethane",
                "polyester",
                "epoxy",
                "cyanoacrylate",
                "sulphur",
                "formaldehyde-resin",
                "rubber",
                "styrene-polymer",
            ],
            ..When::ANY
        },
        "before old plastics, sulphur or rubber are heated, switch on the extraction, and do not smell at it",
        "hot polymers and sulphur give off isocyanate, hydrogen cyanide, styrene, formaldehyde or \
         sulphur dioxide",
        Practice,
    ),
    never(
        "asbestos-dust",
        When {
            actions: DISTURBING,
            hazards: &[Hazard::Asbestos],
            hazard_from: ASBESTOS_LIKELY,
            ..When::ANY
        },
        "no dry work at all while the material may hold asbestos: stop, seal, have it analysed",
        "the fibres cannot be seen, and the law leaves this to licensed people",
        Practice,
    ),
    only_if(
        "asbestos-chance",
        When {
            actions: DISTURBING,
            hazards: &[Hazard::Asbestos],
            ..When::ANY
        },
        "only once a laboratory has excluded asbestos",
        "the fibres cannot be seen, and a few fills and sealants held them",
        Practice,
    ),
    only_if(
        "asbestos-wet-work",
        When {
            actions: &[
                Action::Solvent,
                Action::Aqueous,
                Action::Vapour,
                Action::Heat,
            ],
            hazards: &[Hazard::Asbestos],
            ..When::ANY
        },
        "only once a laboratory has excluded asbestos",
        "residues dry and shed fibres",
        Practice,
    ),
    only_if(
        "lead-dust",
        When {
            methods: DUSTY,
            hazards: &[Hazard::Lead],
            ..When::ANY
        },
        "only wet or in an extraction cabinet, with a P3 mask and the waste bagged as lead",
        "lead dust poisons at amounts that cannot be seen",
        Practice,
    ),
    only_if(
        "lead-metal-dust",
        When {
            classes: &[Class::Abrasion],
            traits: &[Trait::Lead],
            ..When::ANY
        },
        "only wet or in an extraction cabinet, with a P3 mask and the waste bagged as lead",
        "lead dust poisons at amounts that cannot be seen",
        Practice,
    ),
    before(
        "lead-by-hand",
        When {
            actions: &[Action::Mechanical],
            except_methods: DUSTY,
            hazards: &[Hazard::Lead],
            ..When::ANY
        },
        "test for lead first, or treat all chips as lead: kept from dusting (damp only where the layers bear it), bagged, no food, hands washed",
        "lead goes in by the mouth",
        Practice,
    ),
    only_if(
        "laser-on-lead-or-mercury",
        When {
            classes: &[Class::Laser],
            hazards: &[Hazard::Lead, Hazard::Mercury, Hazard::Arsenic],
            ..When::ANY
        },
        "only with extraction at the spot and a test: crusts and paints may hold lead, mercury or \
         arsenic",
        "the plume carries the metal, and such pigments blacken",
        Practice,
    ),
    never(
        "heat-with-arsenic-or-mercury",
        When {
            actions: &[Action::Heat],
            hazards: &[Hazard::Arsenic, Hazard::Mercury],
            ..When::ANY
        },
        "no heat while arsenic or mercury has not been excluded by a test",
        "both go into the air",
        Practice,
    ),
    only_if(
        "dry-brush-with-arsenic-or-mercury",
        When {
            methods: &["brush-and-vacuum", "dry-sponge", "dry-eraser"],
            hazards: &[Hazard::Arsenic, Hazard::Mercury],
            ..When::ANY
        },
        "only after a test for arsenic and mercury, then with a fine-filter vacuum, mask and gloves",
        "the dust is toxic",
        Practice,
    ),
    before(
        "pesticide-history",
        When {
            actions: &[Action::Mechanical, Action::Heat],
            traits: &[Trait::Keratin, Trait::Wool],
            ..When::ANY
        },
        "ask for the pesticide history of hide, hair, horn and feather first, and test for arsenic \
         and mercury",
        "collections were dusted with both",
        Practice,
    ),
    only_if(
        "silica-dust-from-body",
        When {
            methods: &["air-abrasive", "micro-drill", "core-out"],
            traits: &[Trait::Silicate],
            ..When::ANY
        },
        "only wet or in an extraction cabinet, with a P3 mask",
        "stone and fired clay give respirable silica",
        Practice,
    ),
    only_if(
        "silica-dust-from-fill",
        When {
            methods: DUSTY,
            materials: &["cement", "silicate", "soil-encrustation"],
            ..When::ANY
        },
        "only wet or in an extraction cabinet, with a P3 mask",
        "cement, sand and silica fillers give respirable silica",
        Practice,
    ),
    before(
        "dust-mask",
        When {
            methods: DUSTY,
            ..When::ANY
        },
        "before anything that raises dust: extraction and P3 mask on, ears covered where it is loud",
        "fine dust of any kind harms the lungs",
        Practice,
    ),
    never(
        "damp-with-mould",
        When {
            classes: &[Class::DampAir],
            hazards: &[Hazard::Mould],
            above: 0.3,
            ..When::ANY
        },
        "no damp chamber for anything mouldy",
        "the mould grows",
        Practice,
    ),
    only_if(
        "dry-brush-with-mould",
        When {
            methods: &[
                "brush-and-vacuum",
                "dry-sponge",
                "dry-eraser",
                "air-abrasive",
            ],
            hazards: &[Hazard::Mould],
            above: 0.3,
            ..When::ANY
        },
        "only dry and dead, with a fine-filter vacuum, mask, gloves and goggles",
        "spores cause allergy and infection",
        Practice,
    ),
    before(
        "air-for-dry-ice",
        When {
            methods: &["dry-ice", "co2-snow"],
            ..When::ANY
        },
        "before dry ice or snow: air the room, set up a carbon dioxide meter, gloves, goggles, ear muffs",
        "the gas smothers and gives no warning, and the jet burns with cold",
        Practice,
    ),
    before(
        "laser-eyes",
        When {
            actions: &[Action::Light],
            ..When::ANY
        },
        "before a laser: room interlocked, goggles for this wavelength on everybody, no shiny tools, plume \
         extracted",
        "a class 4 beam blinds, also by reflection",
        Practice,
    ),
    before(
        "oily-swabs",
        When {
            actions: &[Action::Solvent, Action::Aqueous],
            materials: &["oil", "oil-resin"],
            ..When::ANY
        },
        "have a lidded metal bin with water ready first for swabs and rags with oil on them",
        "cloth soaked with drying oil heats and lights itself",
        Practice,
    ),
    before(
        "nitrate-waste",
        When {
            actions: REMOVING,
            hazards: &[Hazard::Nitrate],
            ..When::ANY
        },
        "keep swabs and chips of possible nitrate wet, lidded and few, away from heat",
        "dry nitrate waste lights easily and must not be stored shut in",
        Practice,
    ),
    only_if(
        "nitromethane-small",
        When {
            agents: &["nitromethane", "75-52-5"],
            ..When::ANY
        },
        "only by the millilitre, cold, in open vessels, away from alkali, amines and metal oxides",
        "it can detonate when it is confined or contaminated",
        Practice,
    ),
    before(
        "peroxide-alone",
        When {
            agents: &["hydrogen-peroxide", "7722-84-1"],
            ..When::ANY
        },
        "before peroxide, rinse away acetone, alcohol and acid, and never stopper bottle or waste tight",
        "with acetone and acid it makes an explosive, and it gives off oxygen by itself",
        Practice,
    ),
    before(
        "dithionite-gas",
        When {
            agents: &["dithionite", "7775-14-6"],
            ..When::ANY
        },
        "before dithionite: extraction on, every acid rinsed away, the powder kept dry",
        "it gives off sulphur dioxide, and damp powder heats itself",
        Practice,
    ),
];
