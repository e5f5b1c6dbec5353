//! What comes first, and what is a question of value before it is one of solvents.

use super::super::rule::RuleBasis::{Practice, Published, Through};
use super::super::rule::{Rule, When};
use super::solvents::SOLVENT;
use super::{REMOVING, before, never, only_if};
use crate::model::scene::Origin;
use crate::model::{Action, Class, Site, Trait, Wetting};

const JOINT: &[Site] = &[Site::OpenJoint, Site::DeepJoint];

const SOFTENING: &[Action] = &[
    Action::Solvent,
    Action::Aqueous,
    Action::Vapour,
    Action::Heat,
];

pub(super) const RULES: &[Rule] = &[
    before(
        "test-patch",
        When {
            actions: REMOVING,
            ..When::ANY
        },
        "make a test patch on every layer and every colour first, and read it when fully dry",
        "bloom, tide lines, lost gloss and leaching show late",
        Practice,
    ),
    never(
        "taking-off-the-original",
        When {
            actions: REMOVING,
            origins: &[Origin::Original],
            ..When::ANY
        },
        "nothing that was called original is taken off",
        "it belongs to the object",
        Practice,
    ),
    only_if(
        "taking-off-the-historic",
        When {
            actions: REMOVING,
            origins: &[Origin::Historic],
            ..When::ANY
        },
        "only once owner and curator have decided, on record, that this old repair may go",
        "an old repair may be evidence, the maker's own, signed, or part of a rite",
        Practice,
    ),
    before(
        "support-that-stays",
        When {
            actions: &[Action::Support],
            ..When::ANY
        },
        "choose first a securing adhesive that the liquid planned next does not touch",
        "facing or consolidant lets go in the middle of the work",
        Practice,
    ),
    before(
        "take-the-weight-off",
        When {
            actions: SOFTENING,
            sites: JOINT,
            ..When::ANY
        },
        "prop and pad both parts first, so that no weight hangs on the joint, fill or pin",
        "a softened joint lets its part drop",
        Practice,
    ),
    before(
        "hold-before-the-pin",
        When {
            methods: &["saw-pin", "part-joint", "core-out", "micro-drill"],
            sites: JOINT,
            ..When::ANY
        },
        "before a rod, dowel or pin is drawn, drilled out or sawn: lay the figure in a padded cradle \
         that takes its whole weight, with straps against a fall",
        "the old pin may be all that holds the part up",
        Practice,
    ),
    before(
        "part-what-parts",
        When {
            actions: REMOVING,
            sites: JOINT,
            ..When::ANY
        },
        "part what can be parted, mark every part, and clean each for itself",
        "what suits one part may harm its neighbour",
        Practice,
    ),
    before(
        "clear-the-recess",
        When {
            actions: REMOVING,
            sites: JOINT,
            ..When::ANY
        },
        "plan to clear joint or recess of all the old adhesive or fill before anything is joined there \
         again, and fit it dry",
        "a new joint on what is left of the old is only as strong, and as well aligned, as that",
        Practice,
    ),
    before(
        "pre-wet-porous-edges",
        When {
            classes: &[
                Class::Alcohol,
                Class::KetoneEster,
                Class::Aromatic,
                Class::Chlorinated,
                Class::Aprotic,
                Class::Acid,
            ],
            actions: &[Action::Solvent, Action::Aqueous],
            sites: JOINT,
            traits: &[Trait::FiredClay],
            and_traits: &[Trait::Porous],
            ..When::ANY
        },
        "wet the porous edges of the joint first with the same solvent, or with water before an acid",
        "full pores take up less of the dissolved glue",
        Practice,
    ),
    only_if(
        "feed-from-the-break",
        When {
            classes: SOLVENT,
            methods: &["drip-joint", "brush-and-blot"],
            sites: &[Site::OpenJoint, Site::DeepJoint, Site::Pores],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "only fed from the back or the break side into pre-wetted pores, never from the display face",
        "dissolved glue, dirt and colour travel into a dry porous body and show as a stain",
        Practice,
    ),
    before(
        "drop-test-for-halo",
        When {
            classes: SOLVENT,
            methods: &[
                "vapour-chamber",
                "vapour-tent",
                "wrapped-compress",
                "solvent-poultice",
            ],
            traits: &[
                Trait::FiredClay,
                Trait::Carbonate,
                Trait::Silicate,
                Trait::Gypsum,
            ],
            and_traits: &[Trait::Porous],
            ..When::ANY
        },
        "before vapour, compress or poultice on a porous body: one drop on a break edge, wait a day, and \
         look for a coloured halo",
        "stains show only once the body is dry",
        Practice,
    ),
    before(
        "dry-to-the-end",
        When {
            wets: &[Wetting::Much],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "before a porous body is soaked, see that it can dry evenly and to the end without a stop",
        "what is soluble gathers where drying stops, as a tide line",
        Practice,
    ),
    before(
        "plan-the-desalting",
        When {
            actions: REMOVING,
            materials: &["lime", "cement"],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "plan the desalting first, by bath or poultice as far as the body bears water, with conductivity \
         logged",
        "lime and cement bring salts that come out afterwards",
        Practice,
    ),
    before(
        "desalt-after-acid",
        When {
            classes: &[Class::Acid],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "before an acid, plan the rinse and the desalting, with conductivity logged",
        "an acid leaves its salts in the pores",
        Practice,
    ),
    before(
        "rinse-enzyme-before-alcohol",
        When {
            classes: &[Class::Enzyme],
            ..When::ANY
        },
        "before an enzyme, plan two rinses with water; no alcohol and no heat until they are done",
        "two rinses took out over 99 % in a test; alcohol fixes what is still there",
        Published("andrews1992", "abstract"),
    ),
    only_if(
        "enzyme-dose",
        When {
            classes: &[Class::Enzyme],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "only in a dose and time that a test on this piece set; a stronger one leaves more behind",
        "what stays in the sheet rises with the concentration",
        Published("andrews1992", "abstract"),
    ),
    only_if(
        "gellan-on-paper",
        When {
            methods: &["gellan-gel"],
            traits: &[Trait::Cellulose],
            ..When::ANY
        },
        "only through thin tissue where no residue is allowed",
        "gellan was found in paper after direct contact",
        Published("gellanresidues2024", "abstract"),
    ),
    before(
        "look-after-three-passes",
        When {
            methods: &["swab", "water-swab", "brush-and-blot"],
            ..When::ANY
        },
        "plan to look again, dry and under magnification, after every third short pass on one spot",
        "swelling adds up",
        Practice,
    ),
    only_if(
        "soluble-nylon-stays",
        When {
            actions: REMOVING,
            materials: &["soluble-nylon"],
            above: 0.2,
            ..When::ANY
        },
        "only to thin it or to free an edge: plan to reduce or to leave it, never to dissolve it all",
        "it turns insoluble, contracts and pulls the surface with it",
        Through("sease1981", "abbey1982", "whole posting"),
    ),
    only_if(
        "network-in-pores-stays",
        When {
            actions: REMOVING,
            materials: &["alkoxysilane", "polyurethane", "acrylate-network"],
            sites: &[Site::Pores],
            above: 0.2,
            ..When::ANY
        },
        "only at the surface: plan no chemical removal of silane or polymer formed inside the stone",
        "the network is bound in the pores",
        Practice,
    ),
    only_if(
        "cyanoacrylate-in-pores-stays",
        When {
            actions: REMOVING,
            materials: &["cyanoacrylate"],
            sites: &[Site::Pores],
            above: 0.2,
            ..When::ANY
        },
        "only on the face: plan to leave what sits in the pores of bone or stone",
        "the polymer stays in the pores whatever is done",
        Practice,
    ),
    before(
        "clear-silicone-before-gluing",
        When {
            actions: REMOVING,
            materials: &["silicone"],
            ..When::ANY
        },
        "plan a clearing step for the oil halo before anything is glued there again",
        "silicone oil stops every adhesive",
        Practice,
    ),
    before(
        "clear-silicone-gel",
        When {
            carriers: &["silicone-elastomer"],
            ..When::ANY
        },
        "have a volatile siloxane or aliphatic ready to clear the gel before gluing or retouching",
        "silicone that is left stops every adhesive",
        Practice,
    ),
    before(
        "soften-round-the-rivet",
        When {
            methods: &["saw-pin", "part-joint"],
            traits: &[Trait::FiredClay],
            ..When::ANY
        },
        "soften the plaster or cement round each rivet or pin first, then ease its legs out in line, \
         or cut it at mid-span over padding",
        "a tight rivet that is pulled breaks the edge of its hole",
        Published("westdean", "passage"),
    ),
    only_if(
        "fittings-in-ceramic",
        When {
            actions: REMOVING,
            materials: &["soft-solder", "gutta-percha", "lead-setting", "iron-cement"],
            traits: &[Trait::FiredClay],
            ..When::ANY
        },
        "only after weighing to leave it, and with support planned before anything is pulled",
        "such fittings have harmed ceramics both when put on and when taken off",
        Published("koob1998", "abstract"),
    ),
    before(
        "dry-clean-soot",
        When {
            actions: &[Action::Aqueous, Action::Solvent],
            materials: &["soot"],
            ..When::ANY
        },
        "vacuum and dry-sponge the soot first",
        "liquid drives loose soot in",
        Practice,
    ),
    before(
        "tissue-under-poultice",
        When {
            methods: &["solvent-poultice", "salt-poultice", "microemulsion-pulp"],
            traits: &[Trait::Porous],
            ..When::ANY
        },
        "lay tissue first between poultice and a rough or light surface",
        "fibres and clay fines stay in the pores, and some clays stain with iron",
        Practice,
    ),
];
