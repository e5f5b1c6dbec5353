//! What the user knows beside the tests: a prior of their own, the age of a part, a thickness; and
//! what a single observation carries.

use palinode::answer::{Body, Identify};

use crate::engines::ask;

fn identify(query: &str) -> Identify {
    match ask(query).remove(0).body {
        Body::Identify(it) => *it,
        other => panic!("{query}: {other:?}"),
    }
}

fn of(it: &Identify, id: &str) -> f64 {
    let table = palinode::model::Library::table(palinode::embedded());
    let at = table.rows.iter().position(|r| r.id == id).unwrap();
    it.posterior.materials[at]
}

fn family(it: &Identify, id: &str) -> f64 {
    it.families
        .iter()
        .find(|f| f.id == id)
        .map_or(0.0, |f| f.probability)
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
            .filter(|(row, _)| row.roles.contains(&palinode::model::Role::Fill))
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
            Some(hinge) => assert_eq!(hinge.leader.0, leader, "{one}"),
            None => assert_eq!(it.candidates[0].id, leader, "{one}"),
        }
    }
}
