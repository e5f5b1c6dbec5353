//! What is left to a conservator of its own kind, and what is tried colour by colour: whatever is brought.

use super::super::rule::RuleBasis::{Practice, Published};
use super::super::rule::{Rule, When};
use super::{REMOVING, never, only_if};
use crate::model::Trait;

pub(super) const RULES: &[Rule] = &[
    never(
        "loose-medium-is-not-touched",
        When {
            actions: REMOVING,
            traits: &[Trait::Friable],
            through_film: true,
            ..When::ANY
        },
        "nothing on pastel, chalk or charcoal, neither brush nor swab, warmth nor vapour: a paper conservator \
         takes at most what air lifts from above it",
        "the grains lie in the tooth of the paper, and what takes the dirt takes the drawing",
        Practice,
    ),
    only_if(
        "sick-glass-to-its-conservator",
        When {
            actions: REMOVING,
            layers: &["glass-archaeological", "glass-crizzled", "glass-weeping"],
            ..When::ANY
        },
        "only by a conservator of glass, or on their advice",
        "degraded glass, crizzled and weeping too, is not cleaned without one",
        Published("wamglass", "cleaning"),
    ),
    only_if(
        "lean-paint-colour-by-colour",
        When {
            actions: REMOVING,
            layers: &[
                "casein-paint",
                "glue-paint",
                "gum-watercolour",
                "painted-bark",
                "secco-wall-paint",
            ],
            ..When::ANY
        },
        "only after a spot on every colour, under a lens and in raking light",
        "lean and matt paint burnishes, darkens or lifts at a touch, each colour in its own way",
        Practice,
    ),
    only_if(
        "photograph-to-its-conservator",
        When {
            actions: REMOVING,
            traits: &[Trait::Photograph],
            ..When::ANY
        },
        "only by a conservator of photographs, or on their advice",
        "albumen, gelatine and collodion lose in a moment what nothing brings back, and processes are easily \
         mistaken for one another",
        Practice,
    ),
];
