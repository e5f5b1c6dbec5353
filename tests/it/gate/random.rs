//! Random stacks, conditions, targets and steps.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use palinode::gate::{self, Gate, Passed, Refused};
use palinode::model::scene::{Origin, Scene, SceneLayer, Step, Suspect};
use palinode::model::{Class, Condition, Facts, Hazard, Kind, Record, Site, Trait};
use proptest::prelude::*;

use super::scene::{ids, layer, records, scene, step};

/// Pairs that must never meet, written out apart from the rules: layer, classes blocked whatever
/// the method but those that are excepted below.
const FORBIDDEN: &[(&str, &[Class])] = {
    use Class::{
        Abrasion, Acid, Alcohol, Aliphatic, Alkali, Aprotic, Aromatic, Chelator, Chlorinated,
        ColdWater, DampAir, Enzyme, Heat60, Heat100, KetoneEster, Laser, Steam, WarmWater,
    };
    &[
        (
            "water-gilding",
            &[
                ColdWater, WarmWater, Acid, Alkali, Chelator, Enzyme, Steam, DampAir,
            ],
        ),
        (
            "bole",
            &[
                ColdWater, WarmWater, Acid, Alkali, Chelator, Enzyme, Steam, DampAir,
            ],
        ),
        ("oil-gilding", &[KetoneEster, Aromatic]),
        ("silver-leaf-coloured-resin", &[Alcohol, KetoneEster]),
        ("overglaze-gilding", &[Abrasion, Acid, Chelator, Laser]),
        ("lustre", &[Abrasion, Acid, Chelator]),
        ("overglaze-enamel", &[Acid, Chelator]),
        ("marble-polished", &[Acid]),
        ("marble", &[Acid]),
        ("limestone", &[Acid]),
        ("alabaster-calcite", &[Acid]),
        ("mother-of-pearl", &[Acid]),
        ("coral-shell", &[Acid]),
        ("gesso-chalk", &[Acid, Enzyme]),
        ("lime-fresco", &[Acid]),
        ("alabaster-gypsum", &[ColdWater, WarmWater, Steam, Heat100]),
        ("plaster-gypsum", &[WarmWater, Steam, Heat100]),
        (
            "unfired-clay",
            &[ColdWater, WarmWater, Steam, Acid, Alkali, Chelator, Enzyme],
        ),
        (
            "ivory",
            &[WarmWater, Steam, DampAir, Acid, Chelator, Enzyme],
        ),
        ("bone", &[WarmWater, Steam, DampAir, Enzyme]),
        ("tortoiseshell", &[WarmWater, Steam]),
        ("horn", &[WarmWater, Steam]),
        ("painted-ivory", &[ColdWater, WarmWater]),
        ("leather-vegetable", &[Enzyme]),
        ("silk", &[Enzyme, Alkali, Chelator]),
        ("wool", &[Enzyme, Alkali]),
        (
            "photograph-gelatine-silver",
            &[Enzyme, WarmWater, Chelator, Alkali, Heat60],
        ),
        ("casein-paint", &[Enzyme]),
        ("egg-tempera-young", &[Enzyme]),
        (
            "oil-paint-young",
            &[Alcohol, KetoneEster, Chlorinated, Aprotic, Alkali, Enzyme],
        ),
        ("oil-paint-water-sensitive", &[ColdWater, WarmWater]),
        (
            "acrylic-dispersion-paint",
            &[Alcohol, KetoneEster, Aromatic, Heat60, Heat100],
        ),
        ("urushi-light-aged", &[ColdWater, WarmWater, Alkali, Steam]),
        ("urushi-foundation", &[ColdWater, WarmWater, Steam]),
        ("urushi", &[Heat100]),
        ("lacquered-brass", &[Heat100]),
        ("shellac-finish", &[Alcohol, Alkali, WarmWater, Steam]),
        ("wax-surface", &[Aliphatic, Aromatic, Heat60, Heat100]),
        ("parchment", &[WarmWater, Heat60, Alkali]),
        ("rawhide", &[WarmWater, Alkali, Heat100]),
        ("leather-alum-tawed", &[WarmWater, Alkali, Heat60]),
        ("paper-dye-ink", &[Alcohol, KetoneEster]),
        ("paper-iron-gall", &[ColdWater, WarmWater, Steam]),
        ("photograph-collodion", &[Alcohol, KetoneEster]),
        ("pmma", &[KetoneEster, Aromatic, Chlorinated]),
        ("cellulose-nitrate-object", &[Heat100, Alkali, KetoneEster]),
        ("amber", &[Alcohol, KetoneEster, Chlorinated, Heat100]),
        ("bronze-patina", &[Acid, Alkali, Chelator, Abrasion]),
        ("brass", &[Alkali]),
        ("iron-archaeological", &[ColdWater, WarmWater, DampAir]),
        ("bronze-chloride-active", &[ColdWater, WarmWater, DampAir]),
        ("lead", &[Acid]),
        ("zinc-spelter", &[Acid]),
        ("aluminium", &[Alkali]),
        ("silver", &[Chelator, Abrasion]),
        ("niello", &[Acid, Chelator]),
        ("silver-gilt", &[Abrasion]),
        ("plated-metal", &[Abrasion]),
        ("tinned-copper", &[Abrasion]),
        ("glass-sound", &[Heat100, Steam]),
        (
            "glass-crizzled",
            &[ColdWater, WarmWater, Abrasion, Heat100, DampAir],
        ),
    ]
};

/// What the same list lets past: a desalting of its own, and moist air, which is damp air and not
/// a liquid though the agent is called water.
const EXCEPTED: &[(&str, &str)] = &[
    ("iron-archaeological", "salt-bath"),
    ("iron-archaeological", "salt-poultice"),
    ("bronze-chloride-active", "salt-bath"),
    ("bronze-chloride-active", "salt-poultice"),
];

static LAYERS: LazyLock<Vec<String>> = LazyLock::new(|| ids(Kind::Layer));
static MATERIALS: LazyLock<Vec<String>> = LazyLock::new(|| ids(Kind::Material));

/// Every method dry and with every agent, whether or not it would bring that agent.
static STEPS: LazyLock<Vec<Step>> = LazyLock::new(|| {
    let agents = ids(Kind::Agent);
    let agents = || std::iter::once(None).chain(agents.iter().map(|a| Some(a.as_str())));
    ids(Kind::Method)
        .iter()
        .flat_map(|m| agents().map(|a| step(m, a, None)))
        .collect()
});

fn one_of(list: &'static LazyLock<Vec<String>>) -> impl Strategy<Value = &'static str> {
    (0..list.len()).prop_map(|i| list[i].as_str())
}

fn a_layer() -> impl Strategy<Value = SceneLayer> {
    let condition = prop::sample::subsequence(Condition::ALL.to_vec(), 0..3);
    // Half of the layers are ones of which the list above speaks.
    let listed = (0..FORBIDDEN.len()).prop_map(|i| FORBIDDEN[i].0);
    (
        prop_oneof![one_of(&LAYERS), listed],
        prop::bool::weighted(0.3),
        condition,
    )
        .prop_map(|(id, stated, conditions)| {
            let mut out = layer(id);
            if stated {
                out.conditions = conditions;
            }
            out
        })
}

fn a_scene() -> impl Strategy<Value = Scene> {
    let site = prop::sample::select(Site::ALL);
    let origin = prop::sample::select(vec![
        Origin::Later,
        Origin::Unknown,
        Origin::Historic,
        Origin::Later,
    ]);
    let materials = prop::collection::vec((one_of(&MATERIALS), 0.0..1.0_f64), 0..3);
    let hazards = prop::collection::vec((prop::sample::select(Hazard::HIDDEN), 0.0..0.2_f64), 0..2);
    (
        prop::collection::vec(a_layer(), 1..4),
        site,
        origin,
        materials,
        hazards,
    )
        .prop_map(|(layers, site, origin, materials, hazards)| {
            let mut out = scene(layers, "");
            out.target.site = site;
            out.target.origin = origin;
            out.target.hazards = hazards;
            let share = materials.len().max(1) as f64;
            for (id, p) in materials {
                out.materials.push(Suspect {
                    id: id.to_owned(),
                    family: super::corpus_family(id),
                    probability: p / share,
                });
            }
            out
        })
}

fn a_step() -> impl Strategy<Value = Step> {
    (0..STEPS.len()).prop_map(|i| STEPS[i].clone())
}

/// Whether a step passed, and the rules that it met, each with the layer.
type Met = (bool, BTreeSet<(&'static str, Option<String>)>);

/// Names of the rules that a step met, with the layers on which it did.
fn met(step: Step, scene: &Scene) -> Met {
    told(gate::step(step, scene))
}

fn told(answer: Result<Passed<Step>, Refused<Step>>) -> Met {
    let (passed, rules) = match answer {
        Ok(it) => (true, it.caveats().to_vec()),
        Err(it) => (false, it.broken().to_vec()),
    };
    (
        passed,
        rules
            .into_iter()
            .map(|c| (c.rule.id, c.layer.map(|l| l.to_string())))
            .collect(),
    )
}

/// Whether a sound film lies over layer `i`, written apart from the gate.
fn sheltered(scene: &Scene, i: usize) -> bool {
    let sound = |l: &SceneLayer| l.conditions.iter().all(|c| *c == Condition::Sound);
    scene.target.site == Site::Film
        && scene.layers[..i]
            .iter()
            .any(|l| l.has(Trait::Seals) && sound(l))
}

fn breaks_a_forbidden_pair(step: &Step, scene: &Scene) -> Option<String> {
    let method = step.method.head.id.as_str();
    let mut classes = step.classes();
    if method == "humidity-chamber" {
        classes.retain(|c| *c == Class::DampAir);
    }
    scene.layers.iter().enumerate().find_map(|(i, layer)| {
        let id = layer.layer.head.id.as_str();
        let (_, blocked) = FORBIDDEN.iter().find(|(name, _)| *name == id)?;
        let class = classes.iter().find(|c| blocked.contains(c))?;
        (!sheltered(scene, i) && !EXCEPTED.contains(&(id, method)))
            .then(|| format!("{} on {id}: {class}", step.id()))
    })
}

proptest! {
    #![proptest_config(crate::random::drawn(2_000, 20_000))]

    #[test]
    fn what_passed_breaks_no_forbidden_pair(step in a_step(), scene in a_scene()) {
        if let Ok(passed) = gate::step(step, &scene) {
            prop_assert_eq!(breaks_a_forbidden_pair(passed.get(), &scene), None);
        }
    }

    /// Unless the new layer is itself a whole film over the others, one layer more never turns
    /// "no" into "yes", and never takes a caveat away from a step that still passes.
    #[test]
    fn one_layer_more_never_permits(
        step in a_step(),
        scene in a_scene(),
        more in a_layer(),
        at in 0..4_usize,
    ) {
        let (passed, rules) = met(step.clone(), &scene);
        let at = at.min(scene.layers.len());
        let mut wider = scene.clone();
        wider.layers.insert(at, more);
        let shelters = sheltered(&wider, at + 1) && at < scene.layers.len();
        prop_assume!(!shelters || sheltered(&scene, at));
        let (still, more_rules) = met(step, &wider);
        prop_assert!(passed || !still, "refused {rules:?}, then passed");
        if passed == still {
            prop_assert!(rules.is_subset(&more_rules), "{rules:?} lost from {more_rules:?}");
        }
    }

    #[test]
    fn the_order_of_conditions_is_nothing(step in a_step(), scene in a_scene()) {
        let mut turned = scene.clone();
        for layer in &mut turned.layers {
            layer.conditions.reverse();
        }
        prop_assert_eq!(met(step.clone(), &scene), met(step, &turned));
    }

    /// The gate that was settled for one method says of its steps what the whole gate says, and of a step
    /// of another method as well.
    #[test]
    fn a_gate_for_one_method_is_the_whole_gate(scene in a_scene(), step in a_step(), other in a_step()) {
        let gate = Gate::of(&scene);
        for method in [&step.method, &other.method] {
            let narrow = gate.for_method(method);
            prop_assert_eq!(told(narrow.step(step.clone())), met(step.clone(), &scene));
        }
    }
}

/// Every pair of the list with every method and every agent, on the bare layer. What the records
/// say of harm is taken out first, so that the rules alone must hold.
#[test]
fn no_step_at_all_passes_a_forbidden_pair() {
    let mut wrong = BTreeSet::new();
    for (id, _) in FORBIDDEN {
        let mut bare = layer(id);
        std::sync::Arc::make_mut(&mut bare.layer).harm.clear();
        let scene = scene(vec![bare], "");
        for step in STEPS.iter() {
            if let Some(pair) = breaks_a_forbidden_pair(step, &scene) {
                let mut step = step.clone();
                std::sync::Arc::make_mut(&mut step.method).avoid = Facts::default();
                if gate::step(step, &scene).is_ok() {
                    wrong.insert(pair);
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{}",
        wrong.into_iter().collect::<Vec<_>>().join("\n")
    );
}

/// The list names layers that are on file, and no condition of the list of rules is left untried.
#[test]
fn the_list_names_layers_on_file() {
    for record in FORBIDDEN {
        assert!(
            LAYERS.iter().any(|id| id == record.0),
            "no layer {}",
            record.0
        );
    }
    assert!(
        records(Kind::Layer)
            .iter()
            .all(|r| matches!(r, Record::Layer(_)))
    );
}
