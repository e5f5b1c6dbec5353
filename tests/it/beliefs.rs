//! What the user knows beside the tests: a prior of their own, the age of a part, a thickness; and
//! what a single observation carries.

use palinode::answer::{Body, Identify};

use crate::engines::{ask, family};

fn identify(query: &str) -> Identify {
    match ask(query).remove(0).body {
        Body::Identify(it) => *it,
        other => panic!("{query}: {other:?}"),
    }
}

fn of(it: &Identify, id: &str) -> f64 {
    let table = palinode::model::Library::table(palinode::embedded());
    let at = table.material(id).unwrap();
    it.posterior.materials[at]
}

/// Before any test the shares are what was said, a family's in the proportions of its members, and a
/// tenth stays for what the corpus does not hold.
#[test]
fn without_tests_the_prior_is_what_was_said() {
    let it = identify("identify coating on oak with prior 40 % shellac, 20 % wax");
    assert!(
        (of(&it, "shellac") - 0.40).abs() < 1e-9,
        "{}",
        of(&it, "shellac")
    );
    assert!((family(&it, "wax") - 0.20).abs() < 1e-9);
    assert!((it.none_of_these - palinode::identify::NONE_PRIOR).abs() < 1e-9);
    let plain = identify("identify coating on oak");
    let ratio = |it: &Identify| of(it, "beeswax") / of(it, "paraffin-wax");
    assert!((ratio(&it) - ratio(&plain)).abs() < 1e-9);
    // A material named beside its family has its own share, and the family's goes to the others.
    let both = identify("identify coating on oak with prior 20 % wax, 30 % beeswax");
    assert!((of(&both, "beeswax") - 0.30).abs() < 1e-9);
    assert!((family(&both, "wax") - 0.50).abs() < 1e-9);
}

/// Bayes: whatever was seen, the odds of two materials change as their prior odds do.
#[test]
fn evidence_works_on_the_prior_that_was_said() {
    let seen = "that fluoresces orange under uv-a, dissolves in ethanol (crumb)";
    let odds = |share: &str| {
        let it = identify(&format!(
            "identify coating on oak with prior {share} % shellac, 10 % dammar {seen}"
        ));
        of(&it, "shellac") / of(&it, "dammar")
    };
    let ratio = odds("40") / odds("20");
    assert!((ratio - 2.0).abs() < 1e-9, "{ratio}");
    let told = identify(&format!(
        "identify coating on oak with prior 5 % shellac {seen}"
    ));
    let more = identify(&format!(
        "identify coating on oak with prior 60 % shellac {seen}"
    ));
    assert!(of(&more, "shellac") > of(&told, "shellac"));
}

#[test]
fn a_prior_that_does_not_add_up_is_refused() {
    for (query, at) in [
        (
            "identify coating with prior 80 % shellac, 40 % wax",
            "120 %",
        ),
        ("identify coating with prior 0 % shellac", "above nought"),
        ("identify coating with prior 40 mm shellac", "above nought"),
        (
            "identify coating with prior 40 % varnish",
            "no one material",
        ),
        (
            "identify coating with prior 40 % wax, 10 % wax",
            "share already",
        ),
    ] {
        let file = palinode::lang::parse(query).unwrap();
        let found = palinode::resolve::resolve(&file, query, palinode::embedded(), 2026);
        let report = format!("{:?}", found.err());
        assert!(
            report.contains("Q0330") && report.contains(at),
            "{query}: {report}"
        );
    }
}

/// A rubber cement answers petrol spirit while young and hardly anything when old (common practice):
/// said of parts, the two do not contradict.
#[test]
fn parts_of_two_ages_speak_each_for_its_own() {
    let said = identify(
        "identify adhesive (film) on paper that dissolves in white spirit (young), \
         is unaffected by white spirit (old)",
    );
    let unsaid = identify(
        "identify adhesive (film) on paper that dissolves in white spirit, \
         is unaffected by white spirit",
    );
    assert!(said.contradictions.is_empty(), "{:?}", said.contradictions);
    assert!(!unsaid.contradictions.is_empty());
    let young = identify("identify adhesive (fresh) on paper");
    assert!(young.posterior.aged < 0.1, "{}", young.posterior.aged);
}

/// Nothing brushed on is five centimetres thick (common practice).
#[test]
fn a_thick_mass_is_no_coat() {
    let share = |query: &str| {
        let it = identify(query);
        let table = palinode::model::Library::table(palinode::embedded());
        table
            .rows
            .iter()
            .zip(&it.posterior.materials)
            .filter(|(row, _)| row.roles.contains(palinode::model::Role::Fill))
            .map(|(_, p)| p)
            .sum::<f64>()
    };
    let thick = share("identify material (thick 5 cm) on porous ceramic");
    let plain = share("identify material on porous ceramic");
    assert!(thick > plain && thick > 0.4, "{thick} {plain}");
}

/// The test that carries the answer is named, with who would lead without it.
#[test]
fn the_answer_says_on_what_it_hangs() {
    let seen = [
        "looks yellowed",
        "fluoresces yellow under uv-a",
        "turns blue with diphenylamine (clean crumb)",
    ];
    let with = |seen: &[&str]| {
        let query = format!("identify coating on bronze that {}", seen.join(", "));
        identify(&query)
    };
    let it = with(&seen);
    assert!(!it.hinges.is_empty());
    for (k, one) in seen.iter().enumerate() {
        let mut others = seen.to_vec();
        others.remove(k);
        let leader = with(&others).candidates.remove(0).id;
        let hinge = it.hinges.iter().find(|h| h.observation == *one);
        match hinge {
            Some(hinge) => assert_eq!(hinge.leader.id, leader, "{one}"),
            None => assert_eq!(it.candidates[0].id, leader, "{one}"),
        }
    }
}

/// Two layers: the surface feels and wets like wax, the crumb from beneath goes in alcohol and glows
/// orange as shellac does (common practice: an old polish is waxed).
const WAXED: &str = "identify coating on oak that looks waxy, is marked by the nail, \
    fluoresces orange under uv-a, dissolves in ethanol (crumb), is unaffected by white spirit (crumb), \
    smells of sealing wax (crumb)";

#[test]
fn a_waxy_surface_over_a_resin_crumb_is_two_layers() {
    let it = identify(WAXED);
    let skin = it.skins.first().expect("a skin");
    assert_eq!(skin.name, "wax");
    assert!(skin.probability > 2.0 * skin.prior, "{skin:?}");
    assert_eq!(skin.over.id, "shellac");
    assert!(skin.over.probability <= skin.probability);
    let answer = ask(WAXED).remove(0);
    let text = palinode::render::table(&answer, 80);
    assert!(
        text.contains("two layers? wax may lie over shellac"),
        "{text}"
    );
    let json = palinode::render::json(&answer);
    assert_eq!(json["skins"][0]["skin"], "wax");
    assert_eq!(json["skins"][0]["over"]["id"], "shellac");
}

/// The same said of one crumb is no second layer, and what was seen of the surface alone parts none
/// from another material.
#[test]
fn one_specimen_is_one_layer() {
    let crumb = WAXED
        .replace("looks waxy", "looks waxy (crumb)")
        .replace("by the nail", "by the nail (crumb)")
        .replace("under uv-a", "under uv-a (crumb)");
    assert!(identify(&crumb).skins.is_empty());
    let surface = "identify coating on oak that looks waxy, is marked by the nail";
    assert!(identify(surface).skins.is_empty());
    // With a skin to put it down to, a waxy surface speaks less against the resin beneath.
    assert!(of(&identify(WAXED), "shellac") > of(&identify(&crumb), "shellac"));
}

/// A mixture on record is a hypothesis of its own beside its parts.
#[test]
fn mixtures_are_hypotheses_too() {
    let it = identify(
        "identify adhesive (film) on canvas that melts under the hot needle, smells of pine (crumb), \
         looks waxy, dissolves in white spirit (crumb)",
    );
    let table = palinode::model::Library::table(palinode::embedded());
    let mixed: f64 = table
        .rows
        .iter()
        .zip(&it.posterior.materials)
        .filter(|(row, _)| row.mixture)
        .map(|(_, p)| p)
        .sum();
    assert!(mixed > 0.3, "{mixed} {:?}", it.families);
}

/// What is said not to have been tried weighs nothing, and what is not said neither.
#[test]
fn what_was_not_tried_says_nothing() {
    let with = identify("identify coating on oak that looks amber, not tried in ethanol");
    let without = identify("identify coating on oak that looks amber");
    assert_eq!(with.posterior, without.posterior);
}

/// Zones share no specimen: opposite answers of two zones do not contradict, of one they do.
#[test]
fn zones_are_specimens_of_their_own() {
    let two = identify(
        "identify coating on oak that dissolves in ethanol (crumb, zone a), \
         is unaffected by ethanol (crumb, zone b)",
    );
    assert!(two.contradictions.is_empty(), "{:?}", two.contradictions);
    let one = identify(
        "identify coating on oak that dissolves in ethanol (crumb, zone a), \
         is unaffected by ethanol (crumb, zone a)",
    );
    assert!(!one.contradictions.is_empty());
}

/// Everything takes it, and it answers every spot test: no record fits, and the tests are asked for
/// again.
#[test]
fn nonsense_is_a_contradiction_and_a_request_to_repeat() {
    let it = identify(
        "identify coating on oak that dissolves in water (crumb), dissolves in white spirit (crumb), \
         dissolves in ethanol (crumb), dissolves in toluene (crumb), dissolves in dilute acid (crumb), \
         is positive to biuret (crumb), turns blue with iodine (crumb), \
         turns blue with diphenylamine (crumb), fizzes in dilute acid (crumb)",
    );
    println!("{:?} {}", it.conclusion, it.none_of_these);
    for c in &it.candidates {
        println!("{} {:.3} {:?}", c.id, c.probability, c.contradictions);
    }
    assert_eq!(it.conclusion, palinode::answer::Conclusion::Contradicts);
    assert!(it.contradictions.iter().any(|c| c.contains("repeat")));
}

/// `unaffected by common solvents` does not say which were tried: it weighs less than each by name.
#[test]
fn a_group_of_liquids_weighs_less_than_each_by_name() {
    let group = identify("identify coating on oak that is unaffected by organic solvents");
    let each = identify(
        "identify coating on oak that is unaffected by ethanol, is unaffected by acetone, \
         is unaffected by toluene, is unaffected by white spirit",
    );
    let plain = identify("identify coating on oak");
    let [p, g, e] = [&plain, &group, &each].map(|it| of(it, "shellac"));
    assert!(p > g && g > e, "{p} {g} {e}");
}

/// A clean crumb is at the better end of the range on record, so its positive says more.
#[test]
fn a_clean_positive_says_more() {
    let with = |note: &str| {
        let it = identify(&format!(
            "identify adhesive on terracotta that turns blue with diphenylamine ({note})"
        ));
        of(&it, "cellulose-nitrate")
    };
    assert!(with("clean crumb") > with("crumb"));
}
