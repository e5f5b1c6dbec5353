//! What was not tried, was doubted or was denied lifts nothing; what stands out stays in force.
//! All of it is common practice of bench work: only a sure, clean result excludes a danger.

use palinode::answer::{Call, Identify, Remove};
use palinode::embedded;
use palinode::model::Hazard;
use palinode::{lang, resolve};

use crate::engines::{NOW, identify, remove};

fn is_offered(it: &Remove, agent: &str) -> bool {
    it.ladder.iter().any(|r| {
        r.step
            .get()
            .agent
            .as_ref()
            .is_some_and(|a| a.head.id == agent)
    })
}

fn nitrate_left(it: &Identify) -> bool {
    it.hazards.iter().any(|h| h.hazard == Hazard::Nitrate)
}

fn refused(text: &str) -> String {
    let file = lang::parse(text).unwrap();
    let list = resolve::resolve(&file, text, embedded(), NOW).unwrap_err();
    list.iter().map(|d| d.message.clone()).collect()
}

#[test]
fn only_a_sure_trial_lifts_recorded_harm() {
    let plan = |given: &str| {
        remove(&format!(
            "remove shellac (film, later) from japanning {given}"
        ))
    };
    assert!(!is_offered(&plan(""), "ethanol"));
    for note in ["not tried", "perhaps", "blank positive"] {
        let given = format!("given japanning is unaffected by ethanol ({note})");
        assert!(!is_offered(&plan(&given), "ethanol"), "{note}");
    }
    assert!(is_offered(
        &plan("given japanning is unaffected by ethanol"),
        "ethanol"
    ));
}

#[test]
fn a_trial_of_the_liquid_does_not_speak_for_the_tool() {
    let before = remove("remove epoxy (film, later) from slate");
    let after =
        remove("remove epoxy (film, later) from slate given slate is unaffected by acetone");
    let call = |it: &Remove| {
        it.ladder
            .iter()
            .find(|r| r.step.get().id() == "swell-and-lift/acetone")
            .map(|r| r.call)
    };
    assert_eq!(call(&before), Some(Call::TestFirst));
    assert_eq!(call(&after), Some(Call::TestFirst));
}

#[test]
fn a_dirty_negative_excludes_nothing() {
    let ask = |note: &str| {
        identify(&format!(
            "identify coating that is negative to diphenylamine ({note})"
        ))
    };
    assert!(!nitrate_left(&ask("clean crumb")));
    for note in [
        "crumb",
        "crumb, not clean",
        "not clean crumb",
        "clean crumb, perhaps",
    ] {
        assert!(nitrate_left(&ask(note)), "{note}");
    }
}

#[test]
fn one_positive_outweighs_a_negative() {
    for (one, two) in [("a", "b"), ("a", "a")] {
        let it = identify(&format!(
            "identify coating that turns blue with diphenylamine (crumb, zone {one}), \
             is negative to diphenylamine (clean crumb, zone {two})"
        ));
        assert!(nitrate_left(&it), "{one} {two}");
    }
}

#[test]
fn what_is_denied_is_no_statement() {
    for note in ["not film", "not aged", "not fresh"] {
        let text = format!("remove shellac ({note}) from marble");
        assert!(refused(&text).contains("leaves open"), "{note}");
    }
}

#[test]
fn a_barred_class_bars_mixtures_that_hold_it() {
    for (text, class) in [
        (
            "remove cellulose nitrate (film, later) from porcelain without alcohols",
            "alcohol",
        ),
        (
            "remove dammar (film, later) from glazed porcelain without aliphatic hydrocarbons",
            "aliphatic",
        ),
        (
            "remove colophony (film, later) from porcelain without aromatic hydrocarbons",
            "aromatic",
        ),
    ] {
        let it = remove(text);
        assert!(!it.ladder.is_empty(), "{text}");
        for rung in &it.ladder {
            let step = rung.step.get();
            assert!(
                step.classes().iter().all(|c| c.word() != class),
                "{text}: {}",
                step.id()
            );
        }
    }
}

#[test]
fn a_barred_tool_does_not_follow_either() {
    let it = remove("remove epoxy (film, later) from marble without scalpel, wood tool");
    assert!(!it.ladder.is_empty());
    for rung in &it.ladder {
        let then = rung.then.as_deref().unwrap_or_default();
        assert!(!matches!(then, "scalpel" | "wood tool"), "{then}");
    }
}

/// A tool that only a trial clears makes a trial of the step that it ends: granite bears acetone
/// vapour, and steel leaves metal marks on it (common practice).
#[test]
fn the_tool_that_follows_counts() {
    let it = remove("remove epoxy (film, later) from granite");
    let rung = it
        .ladder
        .iter()
        .find(|r| r.step.get().id() == "vapour-chamber/acetone")
        .unwrap();
    assert_eq!(rung.then.as_deref(), Some("scalpel"));
    assert!(
        rung.reasons.iter().all(|r| r.text.contains("that follows")),
        "{:?}",
        rung.reasons
    );
    assert_eq!(rung.call, Call::TestFirst);
}

#[test]
fn a_hazard_that_stands_binds_the_plan() {
    for body in ["slate", "iron"] {
        for what in ["consolidant", "adhesive", "fill"] {
            let it = remove(&format!("remove {what} (film, later) from {body}"));
            let told = it
                .before
                .iter()
                .any(|b| b.what.contains("rule out cellulose nitrate"));
            let hot = it
                .ladder
                .iter()
                .any(|r| r.step.get().method.action == palinode::model::Action::Heat);
            assert!(!(told && hot), "{what} on {body}");
        }
    }
}

#[test]
fn a_worse_state_is_not_covered_by_the_sound_one() {
    for layer in ["mahogany (damp)", "slate (salty)"] {
        let it = remove(&format!("remove beeswax (film, later) from {layer}"));
        assert!(!it.ladder.is_empty(), "{layer}");
        assert!(
            it.ladder.iter().all(|r| r.call == Call::TestFirst),
            "{layer}"
        );
    }
}

#[test]
fn a_trial_belongs_to_one_of_several_materials() {
    let text = |subject: &str| {
        format!(
            "remove beeswax over shellac (film, later) from marble given {subject} dissolves in acetone"
        )
    };
    assert!(refused(&text("it")).contains("which of the materials"));
    let it = remove(&text("shellac"));
    assert!(!it.ladder.is_empty());
    assert!(it.ladder.iter().all(|r| r.effect.basis != "tried"));
}

/// Read of the layer, it would lift harm there; read of what comes off, it would drop the liquid. Only
/// who was at the bench knows.
#[test]
fn a_result_behind_one_on_a_layer_names_its_subject() {
    let text = |given: &str| format!("remove shellac (film, later) from gesso given {given}");
    let refusal = refused(&text("gesso is harmed by water, is unaffected by ethanol"));
    assert!(refusal.contains("which of the two"), "{refusal}");
    for given in [
        "is unaffected by ethanol, gesso is harmed by water",
        "shellac swells in acetone, dissolves in ethanol",
        "gesso is harmed by water, it is unaffected by ethanol",
        "gesso is harmed by water, gesso is unaffected by ethanol",
    ] {
        remove(&text(given));
    }
}

#[test]
fn a_vague_laboratory_result_does_not_lift_the_cap() {
    let plain =
        "identify coating that fluoresces orange under uv-a, dissolves in ethanol (crumb, 1 min)";
    let none = |text: &str| identify(text).none_of_these;
    let vague = format!("{plain}, perhaps shows wax by ftir (blank positive)");
    assert!((none(plain) - none(&vague)).abs() < 1e-9);
}

#[test]
fn skin_and_core_may_differ() {
    let it = identify(
        "identify varnish that fluoresces orange under uv (surface), fluoresces blue under uv (fresh cut)",
    );
    assert!(it.contradictions.is_empty(), "{:?}", it.contradictions);
}

#[test]
fn what_is_ruled_out_says_why() {
    for given in [
        "slate swells in acetone",
        "slate is unaffected by ethanol, slate swells in ethanol",
        "slate dissolves in water",
    ] {
        let it = remove(&format!(
            "remove shellac (film, later) from slate given {given}"
        ));
        assert!(!it.ruled_out.is_empty());
        for row in &it.ruled_out {
            assert!(!row.harm.is_empty(), "{given}: {}", row.id);
        }
    }
}
