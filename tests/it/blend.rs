//! `blend` through the language, and its promise: a blend called safe is safe all the way.

use std::collections::BTreeMap;
use std::sync::Arc;

use palinode::answer::blend::{Blend, LeftOutFor, Mixing, Practical};
use palinode::answer::{Answer, Body, Call, Standing};
use palinode::bench::blend::{Ask, blend};
use palinode::embedded;
use palinode::eval::standing;
use palinode::model::scene::{Origin, Scene, SceneLayer, Target};
use palinode::model::{
    Age, Agent, Basis, Does, Fact, Facts, Hansen, Head, Layer, Library, Material, Names, Place,
    Site, Trait, Value, Verdict,
};
use palinode::render;
use proptest::prelude::*;

use crate::chem::middle;
use crate::engines::ask;
use crate::exits::IMPOSSIBLE;

fn answer(text: &str) -> Answer {
    ask(text).pop().unwrap()
}

fn blended(text: &str) -> Blend {
    match answer(text).body {
        Body::Blend(it) => *it,
        other => panic!("{other:?}"),
    }
}

const TESTS: &str = "dissolves in ethanol, dissolves in acetone, dissolves in propan-2-ol,
   dissolves in ethyl acetate, is unaffected by isooctane, is unaffected by water";

/// The sphere of the fresh resin says nothing of the aged film: no number is made of it.
#[test]
fn an_aged_target_without_a_sphere_is_undetermined() {
    let text = "blend to dissolve dammar (aged) sparing oil paint (young) using ethanol, isooctane, acetone";
    let whole = answer(text);
    assert_eq!(standing(&whole), Standing::Undetermined);
    let Body::Blend(it) = &whole.body else {
        panic!()
    };
    assert!(it.blends.is_empty() && it.bound.is_none());
    assert!(it.target.spheres.is_empty());
    assert_eq!(it.missing.len(), 2, "{:?}", it.missing);
    // Four that dissolve it and two that do not are the fewest that can hold a sphere.
    let on = |name: &str| it.settle.iter().filter(|s| s.on == name).count();
    assert_eq!(on("dammar"), 6, "{:?}", it.settle);
    // What is recorded to harm the paint is known: nobody is sent to harm it again.
    assert!(on("oil paint") >= 1, "{:?}", it.settle);
    let harmful = |s: &palinode::answer::blend::Swab| s.why.contains("recorded: harms");
    assert!(!it.settle.iter().any(harmful), "{:?}", it.settle);
    assert!(
        it.missing.iter().any(|m| m.contains("recorded to harm it")),
        "{:?}",
        it.missing
    );
    let first: Vec<&str> = it.settle.iter().map(|s| s.liquid.id.as_str()).collect();
    assert!(first.contains(&"ethanol") && first.contains(&"acetone"));
    // What is recorded to harm the layer is left out, with its source.
    assert!(
        it.left_out
            .iter()
            .any(|l| l.id == "ethanol" && l.reason.text.contains("oil paint"))
    );
    assert!(whole.sources.iter().any(|s| s.head.id == "hedley1990"));
    // The same where the age was not said.
    let unsaid = answer("blend to dissolve dammar using ethanol, isooctane, acetone");
    assert_eq!(standing(&unsaid), Standing::Undetermined);
}

/// Swab tests on the object hold a sphere, and the blend stands on it.
#[test]
fn swab_tests_hold_a_sphere_for_the_aged_film() {
    let it = blended(&format!(
        "blend to dissolve dammar (aged) given {TESTS} using ethanol, isooctane, acetone, propan-2-ol"
    ));
    let fit = it.target.fit.as_ref().unwrap();
    assert_eq!((fit.good, fit.poor), (4, 2));
    assert!((fit.datafit - 1.0).abs() < 1e-9);
    assert!(!it.blends.is_empty() && it.missing.is_empty());
    for b in &it.blends {
        assert!(b.red <= 0.8 + 1e-9);
        assert!((b.parts.iter().map(|p| p.share).sum::<f64>() - 1.0).abs() < 1e-9);
        assert!((b.path.last().unwrap().left - 0.1).abs() < 1e-6);
        assert_eq!(b.steps.len(), 1);
    }
    // One test fewer, and it is undetermined again, with one more to do.
    let fewer = TESTS.replace("dissolves in acetone, ", "");
    let it = blended(&format!(
        "blend to dissolve dammar (aged) given {fewer} using ethanol, isooctane, acetone"
    ));
    assert_eq!(it.settle.len(), 1, "{:?}", it.settle);
    assert_eq!(it.settle[0].liquid.id, "acetone");
}

/// What was identified is asked with the tests that identified it.
#[test]
fn what_was_tried_to_identify_counts() {
    let it = blended(&format!(
        "let old = identify coating on marble that {}; blend to dissolve old using ethanol, isooctane, acetone",
        TESTS.replace("isooctane", "white spirit")
    ));
    assert_eq!(it.target.fit.as_ref().unwrap().good, 4);
}

/// Nothing in marble dissolves: its record speaks for blends too, and a fresh film has its sphere.
#[test]
fn a_fresh_film_on_stone_is_answered_from_the_file() {
    let it = blended(
        "blend to dissolve paraloid b-72 (fresh) sparing marble using acetone, ethanol, ethyl acetate, isooctane",
    );
    assert!(it.layers[0].by_record && it.layers[0].spheres.is_empty());
    assert!(!it.blends.is_empty(), "{:?}", it.sifted);
    let (bound, nearest) = (it.bound.as_ref().unwrap(), it.nearest.as_ref().unwrap());
    assert!(bound.ra <= nearest.ra + 1e-9 && nearest.ra - bound.ra <= 0.1);
    for b in &it.blends {
        assert!(b.red >= bound.red - 1e-6);
        assert!(b.hazard > 0.0);
        // Alcohol beside an alkane is followed by groups, never as an ideal mixture.
        assert_eq!(b.mixing, Mixing::Unifac);
    }
}

#[test]
fn what_is_suspected_is_left_out_unless_it_is_allowed() {
    let without =
        blended("blend to dissolve paraloid b-72 (fresh) using acetone, toluene, ethyl acetate");
    let left = without.left_out.iter().find(|l| l.id == "toluene").unwrap();
    assert_eq!(left.sort, LeftOutFor::Cmr);
    assert!(left.allowing && left.reason.text.contains("Repr. 2"));
    let with = blended(
        "blend to dissolve paraloid b-72 (fresh) using acetone, toluene, ethyl acetate allowing toluene",
    );
    assert!(with.left_out.is_empty(), "{:?}", with.left_out);
    assert!(with.liquids.iter().any(|l| l.id == "toluene"));
}

#[test]
fn what_does_not_mix_or_must_not_meet_is_kept_apart() {
    let it = blended(
        "blend to dissolve paraloid b-72 (fresh) using acetone, methanol, heptane, chloroform allowing chloroform, methanol",
    );
    let pair = |a: &str, b: &str| {
        it.apart
            .iter()
            .find(|apart| apart.liquids == [a, b] || apart.liquids == [b, a])
    };
    assert!(
        pair("methanol", "heptane")
            .unwrap()
            .reason
            .text
            .contains("do not mix")
    );
    assert!(pair("acetone", "chloroform").is_some(), "{:?}", it.apart);
    for b in &it.blends {
        let has = |id: &str| b.parts.iter().any(|part| part.id == id);
        assert!(!(has("methanol") && has("heptane")));
        assert!(!(has("acetone") && has("chloroform")));
    }
}

/// Where a layer holds everything that would dissolve the target, the answer names what emptied the set.
#[test]
fn an_impossible_wish_names_what_emptied_it() {
    let whole = answer(IMPOSSIBLE);
    assert_eq!(standing(&whole), Standing::Nothing);
    let Body::Blend(it) = &whole.body else {
        panic!()
    };
    assert!(
        it.blends.is_empty() && it.missing.is_empty(),
        "{:?}",
        it.missing
    );
    assert!(
        it.sifted
            .iter()
            .any(|s| s.demand.contains("paraloid b-72") && s.left == 0)
    );
    let text = render::table(&whole, 80);
    assert!(text.contains("What emptied the set"), "{text}");
}

/// A liquid that harmed a layer on this object goes into no blend for it, however far off the sphere
/// lies when it is let down.
#[test]
fn what_harmed_a_layer_is_in_no_blend() {
    let it = blended(
        "blend to dissolve paraloid b-72 (fresh) sparing marble given marble dissolves in acetone
           using acetone, ethyl acetate, isooctane",
    );
    assert!(
        it.left_out
            .iter()
            .any(|l| l.id == "acetone" && l.reason.text.contains("tried"))
    );
    assert!(
        it.blends
            .iter()
            .all(|b| b.parts.iter().all(|part| part.id != "acetone"))
    );
}

#[test]
fn tables_fit_eighty_columns_and_json_can_be_drawn_from() {
    for text in [
        "blend to dissolve dammar (aged) sparing oil paint (young) using ethanol, isooctane, acetone",
        "blend to dissolve paraloid b-72 (fresh) sparing marble using acetone, ethanol, ethyl acetate, isooctane",
        "explain blend to dissolve paraloid b-72 (fresh) sparing marble using acetone, ethanol",
        "explain plan blend to dissolve paraloid b-72 (fresh) sparing marble using acetone, ethanol",
        "explain empty blend to dissolve paraloid b-72 (fresh) sparing marble using ethanol, heptane",
        "blend to dissolve paraloid b-72 (fresh) sparing marble limit 3",
    ] {
        let whole = answer(text);
        let table = render::table(&whole, 80);
        for line in table.lines() {
            // An address is one word.
            let fits = line.chars().count() <= 80 || line.contains("://");
            assert!(fits, "{text}: {line}");
        }
        let json = render::json(&whole);
        assert_eq!(json["statement"], "blend");
        let list = json["blends"].as_array().unwrap();
        for b in list {
            assert!(b["path"].as_array().unwrap().len() > 50);
            assert_eq!(b["path"][0]["teas"].as_array().unwrap().len(), 3);
        }
        if !list.is_empty() {
            assert!(json["target"]["spheres"][0]["radius"].as_f64().unwrap() > 0.0);
        }
    }
}

// ---- The promise, recomputed by a routine of its own.

const TABLE: &str = include_str!("../../src/chem/unifac/table.rs");

/// The table of groups, read as text: nothing of the program's own arithmetic is used.
struct Groups {
    own: BTreeMap<String, (u32, f64, f64)>,
    pairs: BTreeMap<(u32, u32), f64>,
}

impl Groups {
    fn read() -> Self {
        let (mut own, mut pairs) = (BTreeMap::new(), BTreeMap::new());
        for piece in TABLE.split('(').skip(1) {
            let inner: Vec<&str> = piece.split(')').next().unwrap().split(", ").collect();
            match inner[..] {
                [name, main, r, q] if name.starts_with('"') => {
                    let name = name.trim_matches('"').to_owned();
                    own.insert(
                        name,
                        (
                            main.parse().unwrap(),
                            r.parse().unwrap(),
                            q.parse().unwrap(),
                        ),
                    );
                }
                // A name that holds a bracket of its own: `AM(CH3)2`.
                [m, n, a] => {
                    if let (Ok(m), Ok(n), Ok(a)) = (m.parse(), n.parse(), a.parse()) {
                        pairs.insert((m, n), a);
                    }
                }
                _ => {}
            }
        }
        Self { own, pairs }
    }

    fn a(&self, m: &str, n: &str) -> f64 {
        let (m, n) = (self.own[m].0, self.own[n].0);
        if m == n { 0.0 } else { self.pairs[&(m, n)] }
    }

    /// ln Γ of a group in a mixture of groups, straight from the textbook.
    fn ln_gamma(&self, k: &str, amounts: &BTreeMap<String, f64>) -> f64 {
        let total: f64 = amounts.iter().map(|(g, n)| n * self.own[g].2).sum();
        let theta = |g: &str| amounts[g] * self.own[g].2 / total;
        let psi = |m: &str, n: &str| (-self.a(m, n) / 298.15).exp();
        let sum: f64 = amounts.keys().map(|m| theta(m) * psi(m, k)).sum();
        let across: f64 = amounts
            .keys()
            .map(|m| {
                let under: f64 = amounts.keys().map(|n| theta(n) * psi(n, m)).sum();
                theta(m) * psi(k, m) / under
            })
            .sum();
        self.own[k].2 * (1.0 - sum.ln() - across)
    }

    fn gammas(&self, molecules: &[BTreeMap<String, f64>], x: &[f64]) -> Vec<f64> {
        let mut mixed: BTreeMap<String, f64> = BTreeMap::new();
        for (m, x) in molecules.iter().zip(x) {
            for (g, n) in m {
                *mixed.entry(g.clone()).or_default() += n * x;
            }
        }
        let r: Vec<f64> = molecules
            .iter()
            .map(|m| m.iter().map(|(g, n)| n * self.own[g].1).sum())
            .collect();
        let q: Vec<f64> = molecules
            .iter()
            .map(|m| m.iter().map(|(g, n)| n * self.own[g].2).sum())
            .collect();
        let (rx, qx): (f64, f64) = (
            r.iter().zip(x).map(|(a, b)| a * b).sum(),
            q.iter().zip(x).map(|(a, b)| a * b).sum(),
        );
        (0..molecules.len())
            .map(|i| {
                let (phi, theta) = (r[i] / rx, q[i] / qx);
                let own =
                    1.0 - phi + phi.ln() - 5.0 * q[i] * (1.0 - phi / theta + (phi / theta).ln());
                let rest: f64 = molecules[i]
                    .iter()
                    .map(|(g, n)| n * (self.ln_gamma(g, &mixed) - self.ln_gamma(g, &molecules[i])))
                    .sum();
                (own + rest).exp()
            })
            .collect()
    }
}

fn ra(a: Hansen, b: Hansen) -> f64 {
    (4.0 * (a.d - b.d).powi(2) + (a.p - b.p).powi(2) + (a.h - b.h).powi(2)).sqrt()
}

/// Follows a blend by small steps of time with the first rule of Euler, and shows each point.
fn follow(groups: &Groups, b: &Practical, mut see: impl FnMut(f64, Hansen)) {
    let agents: Vec<Agent> = b
        .parts
        .iter()
        .map(|part| embedded().agent(&part.id).unwrap())
        .collect();
    let molecules: Vec<BTreeMap<String, f64>> = agents
        .iter()
        .map(|a| {
            a.head
                .facts
                .words("unifac")
                .iter()
                .map(|w| {
                    let (g, n) = w.rsplit_once(' ').unwrap();
                    (g.to_owned(), n.parse().unwrap())
                })
                .collect()
        })
        .collect();
    let volume: Vec<f64> = agents.iter().map(|a| middle(a, "molar-volume")).collect();
    let pressure: Vec<f64> = agents
        .iter()
        .map(|a| middle(a, "vapour-pressure"))
        .collect();
    let hansen: Vec<Hansen> = agents
        .iter()
        .map(|a| match a.head.facts.get("hansen")[0].value {
            Value::Hansen(it) => it,
            _ => panic!(),
        })
        .collect();
    let mut moles: Vec<f64> = b
        .parts
        .iter()
        .zip(&volume)
        .map(|(part, v)| part.share / v)
        .collect();
    let start: f64 = moles.iter().zip(&volume).map(|(n, v)| n * v).sum();
    loop {
        let left: f64 = moles.iter().zip(&volume).map(|(n, v)| n * v).sum::<f64>() / start;
        if left < 0.1 {
            return;
        }
        let share = |pick: fn(&Hansen) -> f64| -> f64 {
            moles
                .iter()
                .zip(&volume)
                .zip(&hansen)
                .map(|((n, v), h)| n * v / start / left * pick(h))
                .sum()
        };
        let at = Hansen {
            d: share(|h| h.d),
            p: share(|h| h.p),
            h: share(|h| h.h),
            radius: None,
        };
        see(left, at);
        let total: f64 = moles.iter().sum();
        let x: Vec<f64> = moles.iter().map(|n| (n / total).max(1e-12)).collect();
        let gammas = if b.mixing == Mixing::Unifac {
            groups.gammas(&molecules, &x)
        } else {
            vec![1.0; x.len()]
        };
        let flow: Vec<f64> = (0..x.len())
            .map(|i| x[i] * gammas[i] * pressure[i])
            .collect();
        let lost: f64 = flow.iter().zip(&volume).map(|(f, v)| f * v).sum();
        // A four-hundredth of the start, or a tenth of what leaves fastest.
        let mut step = 0.0025 * start / lost;
        for (n, f) in moles.iter().zip(&flow) {
            if *n * 1e6 > total {
                step = step.min(0.1 * n / f);
            }
        }
        for (n, f) in moles.iter_mut().zip(&flow) {
            *n = (*n - step * f).max(0.0);
        }
    }
}

fn sphere_fact(it: Hansen, note: &str) -> Facts {
    let mut fact = Fact::new(Value::Hansen(it), Basis::Memory);
    fact.note = Some(note.to_owned());
    let mut facts = Facts::default();
    facts.push("hansen", fact);
    facts
}

fn head(id: &str, facts: Facts) -> Head {
    Head {
        id: id.to_owned(),
        names: Names {
            name: id.to_owned(),
            ..Names::default()
        },
        facts,
        invented: true,
        place: Place::default(),
        summary: String::new(),
    }
}

const SHELF: &[&str] = &[
    "acetone",
    "ethanol",
    "propan-2-ol",
    "ethyl-acetate",
    "isooctane",
    "white-spirit",
    "butanone",
    "n-butyl-acetate",
    "m-xylene",
    "1-methoxypropan-2-ol",
    "ethyl-lactate",
    "benzyl-alcohol",
    "cyclohexane",
    "n-butanol",
    "dimethyl-carbonate",
    "heptane",
    "hexamethyldisiloxane",
];

proptest! {
    #![proptest_config(ProptestConfig { max_shrink_iters: 50, ..crate::random::drawn(1_000, 5_000) })]

    /// A thousand targets and layers, drawn at random: what is offered dissolves the target at the start
    /// and stays off the layer, all the way down to a tenth, by other arithmetic than the program's.
    #[test]
    fn what_is_called_safe_is_safe_all_the_way(
        target in (15.0..20.0f64, 1.0..16.0f64, 1.0..20.0f64, 5.0..11.0f64),
        layer in (15.0..21.0f64, 0.0..16.0f64, 0.0..22.0f64, 3.0..8.0f64),
        picks in proptest::sample::subsequence((0..SHELF.len()).collect::<Vec<_>>(), 4),
    ) {
        let sphere = |(d, p, h, r): (f64, f64, f64, f64)| Hansen { d, p, h, radius: Some(r) };
        let (target, layer) = (sphere(target), sphere(layer));
        let material = Material {
            head: head("invented resin", sphere_fact(target, "fresh resin")),
            roles: Vec::new(), family: "natural-resin".to_owned(), made_of: Vec::new(), sites: Vec::new(),
            fresh: Facts::default(), aged: Facts::default(), always: Facts::default(),
            met: Vec::new(), new: Vec::new(), removal: Vec::new(),
        };
        let record = Layer {
            head: head("invented paint", sphere_fact(layer, "")),
            group: "paint".to_owned(), traits: vec![Trait::ResinBound], harm: Vec::new(),
        };
        let question = Ask {
            does: Does::Dissolve, called: "resin".to_owned(), material: Some(material),
            age: Some(Age::Fresh), tried: Vec::new(),
            scene: Scene {
                layers: vec![SceneLayer { layer: Arc::new(record), called: "paint".to_owned(), conditions: Vec::new(), tried: Vec::new() }],
                target: Target {
                    candidates: Vec::new(), site: Site::Film, depth_mm: None, origin: Origin::Later, aged: 0.05,
                    thick: false, tried: Vec::new(), hazards: Vec::new(),
                },
                materials: Vec::new(), permitted: Vec::new(),
            },
            using: picks.iter().map(|k| SHELF[*k].to_owned()).collect(),
            limit: 3,
        };
        let found = blend(embedded(), &question, &mut |_| true);
        prop_assert!(found.missing.is_empty());
        let groups = Groups::read();
        for b in &found.blends {
            let sure = !b.reasons.iter().any(|r| r.text.contains("cannot tell"));
            let (inside, outside) = if sure { (0.8, 1.3) } else { (1.0, 1.1) };
            prop_assert!(sure || b.call == Call::TestFirst);
            // Unrecorded on the layer: a test, never a recommendation.
            prop_assert!(b.call == Call::TestFirst);
            prop_assert!(b.records.iter().all(|r| r.verdict != Some(Verdict::Safe)));
            let mut begins = true;
            let mut wrong = None;
            follow(&groups, b, |left, at| {
                if begins && ra(target, at) > inside * target.radius.unwrap() + 1e-6 {
                    wrong = Some((left, at));
                }
                begins = false;
                if ra(layer, at) < outside * layer.radius.unwrap() - 1e-6 {
                    wrong = Some((left, at));
                }
            });
            prop_assert!(wrong.is_none(), "{:?} {:?}", b.parts, wrong);
        }
        if let (Some(bound), Some(best)) = (&found.bound, &found.nearest) {
            prop_assert!(bound.ra <= best.ra + 1e-6);
        }
    }
}
