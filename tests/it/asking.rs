//! What may be asked and said: every kind of observation, every field of every kind of record,
//! `compare`, and `explain` at its three depths.

use palinode::answer::{Body, Cell, Explanation, Find};
use palinode::diag::Diagnostic;
use palinode::model::attribute::ATTRIBUTES;
use palinode::model::field::FIELDS;
use palinode::model::scene::Observation;
use palinode::model::{Hazard, Kind, Library};
use palinode::resolve::CheckedQuery;
use palinode::{embedded, lang, render, resolve};

use crate::engines::{NOW, ask, identify, remove};

fn find(text: &str) -> Find {
    match ask(text).pop().unwrap().body {
        Body::Find(it) => it,
        other => panic!("{other:?}"),
    }
}

fn errors(text: &str) -> Vec<Diagnostic> {
    let file = lang::parse(text).unwrap_or_else(|d| panic!("{text}: {d:#?}"));
    match resolve::resolve(&file, text, embedded(), NOW) {
        Err(list) => list,
        Ok(checked) => panic!("{text}: {checked:#?}"),
    }
}

/// What one observation is read as.
fn read(said: &str) -> Vec<Observation> {
    let text = format!("identify material on oak that {said}");
    let file = lang::parse(&text).unwrap_or_else(|d| panic!("{text}: {d:#?}"));
    let mut checked = resolve::resolve(&file, &text, embedded(), NOW)
        .unwrap_or_else(|d| panic!("{text}: {d:#?}"));
    match checked.pop().unwrap().query {
        CheckedQuery::Identify(it) => it.observations,
        other => panic!("{other:?}"),
    }
}

/// Test or liquid, and the outcome that weighs most, of an observation.
fn says(said: &str) -> (String, String) {
    let list = read(said);
    let feature = &embedded().table().features[list[0].feature.unwrap_or_else(|| panic!("{said}"))];
    let best = (0..feature.outcomes().len())
        .max_by(|a, b| {
            list[0].outcomes[*a]
                .total_cmp(&list[0].outcomes[*b])
                .then(b.cmp(a))
        })
        .unwrap();
    (feature.id.clone(), feature.outcomes()[best].to_owned())
}

/// One sentence for each kind of observation that is noted at a bench; what each means is common
/// practice.
#[test]
fn what_is_noted_at_a_bench_is_read() {
    for (said, test, outcome) in [
        ("swells in ethanol gel (1 h)", "ethanol", "swells"),
        ("swells in ethanol (in gel, 1 h)", "ethanol", "swells"),
        ("becomes tacky with acetone", "acetone", "swells"),
        ("is tacky after acetone", "acetone", "swells"),
        ("is tacky", "hardness", "sticky"),
        ("blanches in water", "water", "blanches"),
        ("the coating dissolves in acetone", "acetone", "dissolves"),
        ("the brown dissolves in acetone", "acetone", "dissolves"),
        ("picks up pigment in acetone", "acetone", "partly dissolves"),
        ("is scratched by the nail", "hardness", "nail dents"),
        ("breaks with a conchoidal fracture", "hardness", "brittle"),
        ("fractures like glass", "hardness", "brittle"),
        ("smells of burnt hair", "odour", "burnt hair"),
        ("odour is burnt hair", "odour", "burnt hair"),
        ("floats on water", "float", "floats"),
        ("sticks to the magnet", "magnet", "attracted"),
        ("smoke ph is 4", "vapour-ph", "acid"),
        ("smoke ph is 9.5", "vapour-ph", "alkaline"),
        ("refractive index is 1.49", "refractive-index", "1.45-1.50"),
        ("turns blue with iodine", "iodine", "blue"),
        ("diphenylamine is blue", "diphenylamine", "blue"),
        (
            "shows two layers in section",
            "cross-section",
            "several layers",
        ),
        ("ftir shows shellac", "ftir", "natural-resin"),
        ("contains lead by xrf", "xrf", "lead"),
        ("burns with a sooty flame", "needle", "chars"),
        ("dissolves in water (at 60 C)", "warm-water", "dissolves"),
        ("dissolves in water (at 20 C)", "water", "dissolves"),
        ("was applied in hot ethanol", "carried-in", "ethanol"),
        ("was poured in molten", "setting", "cooling"),
        ("was poured cold", "setting", "reaction"),
        ("is heavy", "heft", "1.6-4"),
        ("is reinforced with metal mesh", "inside", "metal"),
        ("contains wire", "inside", "metal"),
        ("contains lead", "xrf", "lead"),
        ("has stained the body brown", "beside", "brown stain"),
        ("has rust around it", "beside", "rust"),
        ("leaves a halo", "beside", "dark halo"),
        ("has corroded the metal", "beside", "eaten metal"),
        ("is thermoplastic", "needle", "melts"),
        // What is brown around it is not brown itself.
        ("is brown around it", "beside", "brown stain"),
    ] {
        let (id, best) = says(said);
        assert_eq!((id.as_str(), best.as_str()), (test, outcome), "{said}");
    }
}

/// A word that is left over makes it another finding: nonsense behind a verb is no outcome.
#[test]
fn a_word_that_is_left_over_is_not_passed_over() {
    for said in ["was poured zzz", "has stained zzz", "sets zzz"] {
        let list = errors(&format!("identify material on oak that {said}"));
        assert_eq!(list[0].code, "Q0309", "{said}: {list:?}");
    }
}

/// How it was told counts: contents without a means, doubt before hearsay, a class by its name.
#[test]
fn what_is_only_told_counts_less() {
    let belief = |said: &str| read(said)[0].belief;
    assert!(belief("contains lead") < belief("xrf shows lead"));
    assert!(
        (belief("contains wire") - 1.0).abs() < 1e-12,
        "seen in the break"
    );
    let share = |said: &str| {
        let notes = ask(&format!("identify coating on oak that {said}"))
            .pop()
            .unwrap()
            .notes;
        let note = notes.iter().find(|n| n.contains("with prior")).unwrap();
        note.split("with prior ").nth(1).unwrap().to_owned()
    };
    assert_eq!(share("is recorded as wax"), "80 % wax`");
    assert_eq!(share("perhaps is recorded as wax"), "44 % wax`");
    // Protein, as a laboratory writes it, is glue of skin and bone as well as casein and egg.
    let it = identify("identify adhesive on oak that is recorded as protein");
    let glue = it
        .families
        .iter()
        .find(|f| f.id == "collagen-glue")
        .unwrap();
    assert!(glue.probability > 0.3, "{}", glue.probability);
}

/// A fact answers for a test that has none of its own; what does not apply is no answer of any other.
#[test]
fn a_fact_answers_where_a_test_reads_it() {
    let table = embedded().table();
    let of = |test: &str, material: &str| {
        let feature = &table.features[table.feature(test).unwrap()];
        let row = table.material(material).unwrap();
        let set = feature.fresh.get(row);
        (0..feature.outcomes().len())
            .filter(|n| set >> n & 1 == 1)
            .map(|n| feature.outcomes()[n].to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(of("heft", "lead-setting"), ["above 4"]);
    assert_eq!(of("setting", "beeswax"), ["cooling"]);
    assert_eq!(of("carried-in", "epoxy"), ["none"]);
    // Its smell is not to be tried: that is no smell of none.
    assert_eq!(of("odour", "cyanoacrylate"), Vec::<String>::new());
    // What is told or seen by chance is no test to do next.
    for test in ["heft", "setting", "carried-in"] {
        assert!(
            !table.features[table.feature(test).unwrap()].proposed,
            "{test}"
        );
    }
}

/// Common practice: a compress on the outside of a join does less than a bath. That it did nothing says
/// less against what the liquid dissolves.
#[test]
fn a_liquid_laid_on_in_place_may_miss_a_joint() {
    let shellac = |notes: &str| {
        let it = identify(&format!(
            "identify adhesive (join) on fired clay that is unaffected by ethanol {notes}"
        ));
        let row = embedded().table().material("shellac").unwrap();
        it.posterior.materials[row]
    };
    assert!(shellac("(poultice)") > 1.2 * shellac("(crumb)"));
    assert!(shellac("(bath)") < shellac("(poultice)"));
}

/// A pin holds parts together and is no glue; a thickness that was noted is no coat.
#[test]
fn what_it_is_called_and_how_thick_it_is_weigh() {
    let iron = |noun: &str| {
        let it = identify(&format!(
            "identify {noun} (dowel-hole) on marble that looks metallic"
        ));
        it.candidates
            .iter()
            .find(|c| c.id == "iron-dowel")
            .map_or(0.0, |c| c.probability)
    };
    assert!(iron("dowel") > 2.0 * iron("adhesive"));
    let coatings = |said: &str| {
        let it = identify(&format!(
            "identify material on marble that looks white, {said}"
        ));
        let rows = embedded().table().rows.iter().zip(&it.posterior.materials);
        rows.filter(|(row, _)| row.roles.iter().eq([palinode::model::Role::Coating]))
            .map(|(_, p)| p)
            .sum::<f64>()
    };
    assert!(coatings("is 5 cm thick") < 0.5 * coatings("is hard"));
}

/// The form that a short `not` is answered with is read as what it says.
#[test]
fn can_not_is_does_not() {
    let plain = &read("does not dissolve in acetone")[0];
    for said in [
        "can not dissolve in acetone",
        "can not be dissolved in acetone",
    ] {
        assert_eq!(read(said)[0].outcomes, plain.outcomes, "{said}");
    }
}

/// What no record answers is kept and weighs nothing; it is said so.
#[test]
fn what_no_record_answers_is_kept_without_weight() {
    for said in [
        "swab is yellow with ethanol",
        "colours the swab yellow with ethanol",
        "leaves a white residue in ethanol",
        "recovers on drying",
        "hardens again on drying",
        "surface ph is 8.5",
    ] {
        let list = read(said);
        assert_eq!(list.len(), 1, "{said}");
        assert_eq!(list[0].feature, None, "{said}");
        let it = ask(&format!("identify material on oak that {said}"))
            .pop()
            .unwrap();
        assert!(
            it.notes.iter().any(|n| n.contains("weighs nothing")),
            "{:?}",
            it.notes
        );
    }
    assert!(read("diphenylamine not tried").is_empty());
}

/// A second line that says the same of the same place is no second witness; another place is one.
#[test]
fn what_is_said_twice_counts_once() {
    let weighed = |said: &str| read(said).iter().filter(|o| o.feature.is_some()).count();
    assert_eq!(weighed("looks brown, looks brown, looks brown"), 1);
    assert_eq!(
        weighed("looks brown (zone left), looks brown (zone right)"),
        2
    );
    assert_eq!(weighed("looks brown, looks red, swells in acetone"), 3);
    let once = identify("identify coating on oak that looks brown, swells in acetone");
    let twice = identify(
        "identify coating on oak that looks brown, swells in acetone, looks brown, swells in acetone",
    );
    assert_eq!(once.posterior, twice.posterior);
}

/// A bare text in parentheses is a remark; `zone` before it says where.
#[test]
fn a_remark_is_no_place() {
    assert_eq!(read("looks brown (\"like tea\")")[0].zone, "");
    assert_eq!(read("looks brown (zone \"left arm\")")[0].zone, "left arm");
}

/// What an owner or a report calls it counts like `with prior`, and is no observation.
#[test]
fn a_name_that_was_told_counts_like_a_prior() {
    let seen = "looks yellowed, is unaffected by water";
    for (told, share) in [
        ("is called", 50),
        ("is recorded as", 80),
        ("is thought", 50),
    ] {
        let heard = identify(&format!(
            "identify coating on oak that {told} beeswax, {seen}"
        ));
        let held = identify(&format!(
            "identify coating on oak that {seen} with prior {share} % beeswax"
        ));
        assert_eq!(heard.posterior, held.posterior, "{told}");
    }
    let plain = identify(&format!(
        "identify coating on oak that is called beeswax, {seen} with prior 10 % beeswax"
    ));
    let own = identify(&format!(
        "identify coating on oak that {seen} with prior 10 % beeswax"
    ));
    assert_eq!(
        plain.posterior, own.posterior,
        "the user's own share stands"
    );
    let wrong = errors("identify coating on oak that is called marvellous");
    assert_eq!(wrong[0].code, "Q0301");
}

#[test]
fn a_part_of_the_unknown_is_a_zone_and_a_layer_is_not() {
    let list = read("the brown dissolves in acetone, the core is unaffected by acetone");
    assert_eq!(list[0].zone, "the brown");
    assert_eq!(list[1].zone, "the core");
    for said in [
        "the gilding is unaffected by acetone",
        "oak is unaffected by acetone",
    ] {
        let list = errors(&format!("identify coating on oak that {said}"));
        assert_eq!(list[0].code, "Q0305", "{said}");
    }
}

#[test]
fn a_failed_control_voids_a_result_and_a_good_one_does_not() {
    assert!(read("dissolves in ethanol (control negative)")[0].blank);
    assert!(!read("dissolves in ethanol (control dissolves)")[0].blank);
    assert!(read("dissolves in ethanol (blank positive, blank negative)")[0].blank);
}

#[test]
fn quantities_in_notes_have_a_dimension_that_says_something() {
    let list = errors("identify coating that dissolves in ethanol (crumb, 5 ml)");
    assert_eq!(list[0].code, "Q0402");
    for note in ["5 min", "3 passes", "at 40 C", "5 %", "crumb 1 mm"] {
        read(&format!("dissolves in ethanol ({note})"));
    }
    let list = errors("find solvent where exposure-limit > 5 mm");
    assert_eq!(list[0].code, "Q0403");
}

/// Every field of every kind can be asked for, shown and compared; one whose key is a word of the
/// language has another name.
#[test]
fn every_field_of_every_kind_can_be_asked_for() {
    let fields = FIELDS.iter().chain(ATTRIBUTES.iter().map(|a| &a.field));
    for field in fields {
        for kind in field.kinds {
            let noun = match kind {
                Kind::Family => "families",
                kind => kind.noun(),
            };
            let key = if lang::reserved::is_reserved(field.key) {
                assert_eq!(field.key, "limit", "it wants another name in FIELD_WORDS");
                "exposure-limit"
            } else {
                field.key
            };
            let it = find(&format!(
                "find {noun} where known({key}) rank by {key} show {key} limit 3"
            ));
            let all = embedded().count(*kind);
            assert!(it.total + it.undetermined_total <= all, "{noun} {key}");
            assert!(it.shown.contains(&field.key.to_owned()), "{noun} {key}");
        }
    }
}

/// A known answer is found by the words of the trade, whichever kind of record holds it.
#[test]
fn conditions_reach_materials_layers_liquids_methods_tests_and_sources() {
    let has = |text: &str, id: &str| {
        let it = find(&format!("{text} limit 1000"));
        assert!(it.matches.iter().any(|m| m.id == id), "{text}: no {id}");
    };
    has("find material where fluoresces orange when aged", "shellac");
    has("find material where turns blue with iodine", "starch-paste");
    has("find material where family in (wax, protein)", "beeswax");
    has("find material where made-of is hide glue", "plaster-glue");
    has(
        "find material where dissolves in (acetone, toluene) when aged",
        "paraloid-b-72",
    );
    has("find material where removable with alcohols", "shellac");
    has("find material where applied in acetone", "paraloid-b-72");
    has("find layer where harmed by water", "water-gilding");
    has(
        "find layer where bears white spirit and sensitive to water",
        "water-gilding",
    );
    has(
        "find solvent where class is alcohol and parts is ethanol",
        "ethanol-water",
    );
    has(
        "find carrier where carries is ethanol",
        "hydroxypropyl-cellulose",
    );
    has(
        "find method where reach is deep joint and action is heat",
        "oven",
    );
    has("find test where sample < 200 ug and risk < 2", "uv");
    has(
        "find source where author matches \"koob\" and date matches \"1986\"",
        "koob1986",
    );
}

/// What a sound layer bears says nothing of the same layer in a worse state.
#[test]
fn safety_of_the_sound_state_does_not_carry_over() {
    let sound = find("find layer where bears heptane limit 1000");
    let flaking = find("find layer where bears heptane when flaking limit 1000");
    assert!(sound.total > flaking.total);
    assert!(flaking.undetermined_total > 0);
}

#[test]
fn silent_records_are_counted_for_each_condition() {
    let it = find("find material where tg > 30 C and shrinkage < 5 % limit 1");
    assert_eq!(it.silent.len(), 2);
    let count = embedded().count(Kind::Material);
    for silent in &it.silent {
        assert!(silent.records > 0 && silent.records < count, "{silent:?}");
    }
    assert!(it.undetermined_total <= it.silent.iter().map(|s| s.records).sum());
    // A negation matches only what is recorded not to.
    let not = find("find material where not tg < 30 C limit 1");
    let yes = find("find material where tg < 30 C limit 1");
    assert_eq!(not.silent[0].records, yes.silent[0].records);
    assert_eq!(not.total + yes.total + not.undetermined_total, count);
}

/// Alternatives are tests of their own, yet a condition that holds many is counted and repeated once.
#[test]
fn a_long_condition_is_not_repeated_for_each_alternative() {
    let many = ["ethanol"; 200].join(" or ");
    let query = format!("find material where dissolves in {many} limit 1");
    let it = find(&query);
    assert_eq!(it.silent.len(), 1, "{:?}", it.silent);
    let one = find("find material where dissolves in ethanol limit 1");
    assert_eq!(it.silent[0].records, one.silent[0].records);
    let page = render::table(&ask(&query).pop().unwrap(), 80);
    assert!(page.len() < 4000, "{page}");
}

#[test]
fn rank_takes_either_end_and_leaves_the_silent_last() {
    let tg = |text: &str| -> Vec<String> {
        let it = find(text);
        it.matches
            .iter()
            .map(|m| m.values[0].text.clone())
            .collect()
    };
    let up = tg("find material rank by tg limit 1000");
    let down = tg("find material rank by highest tg limit 1000");
    assert_ne!(up[0], down[0]);
    // What was looked for in vain and what does not apply stand with the silent.
    let is_silent = |text: &String| {
        text.is_empty() || text.starts_with("looked for") || text.starts_with("does not apply")
    };
    for list in [&up, &down] {
        let silent = list.iter().position(is_silent).unwrap();
        assert!(list[silent..].iter().all(is_silent));
    }
}

#[test]
fn a_field_of_another_kind_and_a_word_of_no_list_are_named() {
    for (text, code) in [
        ("find layer where tg > 30 C", "Q0314"),
        ("find material where ageing is yelows", "Q0315"),
        ("find material where uv is orang", "Q0309"),
        ("find material where family is waxx", "Q0301"),
        ("find material where removable with 5 ml", "Q0312"),
        ("find material where dissolvs in ethanol", "Q0308"),
        ("find material where stable to 5 mm", "Q0403"),
        ("find material where tg > 30 C when aged", "Q0304"),
        ("find layer where harmed by water when happy", "Q0304"),
        ("compare shellac, ethanol by density", "Q0316"),
        ("compare shellac (flim), dammar by tg", "Q0304"),
        ("compare shellac, dammar by blurb", "Q0313"),
    ] {
        let list = errors(text);
        assert_eq!(list[0].code, code, "{text}: {list:#?}");
        assert!(list[0].help.is_some(), "{text}");
    }
}

/// What a user leaves out by `where` nobody has excluded at the bench: its hazard binds all the same.
#[test]
fn where_lifts_no_hazard() {
    let seen = "that looks clear";
    let plain = identify(&format!("identify coating on oak {seen}"));
    for condition in ["not family is cellulose nitrate", "family is acrylic resin"] {
        let narrowed = identify(&format!("identify coating on oak where {condition} {seen}"));
        let of = |it: &palinode::answer::Identify| {
            let left = it.hazards.iter().find(|h| h.hazard == Hazard::Nitrate);
            left.map(|h| h.probability)
        };
        assert_eq!(of(&narrowed), of(&plain), "{condition}");
        let needle = |it: &palinode::answer::Identify| {
            let mut tests = it.next_tests.iter();
            tests.any(|n| n.offer.test.get().test.head.id == "needle")
        };
        assert!(!needle(&plain) && !needle(&narrowed), "{condition}");
    }
}

/// `where` in `identify` leaves out what a record denies, and nothing of which it is silent.
#[test]
fn where_in_identify_leaves_out_only_what_is_denied() {
    let seen = "that is unaffected by water, dissolves in acetone";
    let all = identify(&format!("identify coating {seen}"));
    let some = identify(&format!(
        "identify coating where not family is acrylic resin {seen}"
    ));
    let p = |it: &palinode::answer::Identify| {
        let table = embedded().table();
        let m = table.material("paraloid-b-72").unwrap();
        it.posterior.materials[m]
    };
    assert!(p(&all) > 0.001);
    assert!(p(&some) < 1e-9);
    let none = ask(&format!(
        "identify coating where family is wax and family is oil {seen}"
    ));
    assert!(none[0].notes.iter().any(|n| n.contains("set aside")));
}

#[test]
fn compare_sets_records_side_by_side() {
    let it = match ask("compare paraloid b-72, hide glue by tg, removal, application on limewood")
        .pop()
        .unwrap()
        .body
    {
        Body::Compare(it) => it,
        other => panic!("{other:?}"),
    };
    assert_eq!(it.things.len(), 2);
    assert_eq!(it.rows.len(), 3);
    match &it.rows[1].cells[0] {
        Cell::Removal { steps, .. } => {
            // The same ladder as the planner's own.
            let plan = remove("remove paraloid b-72 (later, film) from limewood");
            let ids = |list: &[palinode::answer::Rung]| -> Vec<String> {
                list.iter().map(|r| r.step.get().id()).collect()
            };
            assert_eq!(ids(steps), ids(&plan.ladder));
        }
        other => panic!("{other:?}"),
    }
    let Cell::Stated(list) = &it.rows[2].cells[0] else {
        panic!("application is stated");
    };
    assert!(list.iter().any(|v| v.text.starts_with("acetone: ")));
    // A layer has what a liquid does under its class.
    let Body::Compare(it) = ask("compare water gilding, oil gilding by water")
        .pop()
        .unwrap()
        .body
    else {
        panic!()
    };
    let Cell::Stated(list) = &it.rows[0].cells[0] else {
        panic!()
    };
    assert!(
        list.iter().any(|v| v.text.starts_with("harms (sound)")),
        "{list:?}"
    );
    // An age narrows what is shown.
    let aged = ask("compare shellac (aged), dammar by ethanol")
        .pop()
        .unwrap();
    let Body::Compare(it) = aged.body else {
        panic!()
    };
    let Cell::Stated(list) = &it.rows[0].cells[0] else {
        panic!()
    };
    assert!(list.iter().all(|v| !v.text.contains("(fresh)")), "{list:?}");
}

#[test]
fn explain_shows_stages_grounds_and_the_clause_that_emptied_it() {
    let mut plan = ask("explain plan find consolidant where tg > 30 C rank by tg");
    let Some(Explanation::Plan(stages)) = plan.pop().unwrap().explanation else {
        panic!("a plan");
    };
    let words: Vec<&str> = stages.iter().map(|s| s.stage.as_str()).collect();
    assert_eq!(words, ["read", "keep", "ask", "order", "show"]);

    let mut why = ask("explain empty find adhesive where tg > 1000 C and family is epoxy");
    let answer = why.pop().unwrap();
    let Body::Find(found) = &answer.body else {
        panic!()
    };
    assert_eq!(found.total, 0);
    let Some(Explanation::Empty { clauses, .. }) = &answer.explanation else {
        panic!("clauses");
    };
    let helps: Vec<&str> = clauses
        .iter()
        .filter(|c| c.helps)
        .map(|c| c.clause.as_str())
        .collect();
    assert_eq!(helps, ["tg > 1000 C"]);
    assert!(render::table(&answer, 80).contains("this one"));

    let bars = ask("explain empty remove shellac (film, later) from oak without alcohols");
    let Some(Explanation::Empty { clauses, .. }) = &bars[0].explanation else {
        panic!("clauses");
    };
    let alcohols = clauses
        .iter()
        .find(|c| c.clause == "without alcohols")
        .unwrap();
    assert!(alcohols.helps);
}

/// Prior and weights add up to the odds that are shown, and each weight names file and line.
#[test]
fn a_derivation_leads_down_to_facts() {
    let answer = ask("explain identify coating that fluoresces orange under uv-a limit 1")
        .pop()
        .unwrap();
    let Some(Explanation::Derivation(claims)) = &answer.explanation else {
        panic!("a derivation");
    };
    let places: Vec<_> = claims[0].because.iter().flat_map(|g| &g.places).collect();
    assert!(
        places
            .iter()
            .any(|p| p.file == "materials/shellac.toml" && p.line > 0)
    );
    let Body::Identify(it) = &answer.body else {
        panic!()
    };
    let c = &it.candidates[0];
    let db = |p: f64| 10.0 * (p / (1.0 - p)).log10();
    let sum = db(c.prior) + c.evidence.iter().map(|e| e.weight_db).sum::<f64>();
    assert!(
        claims[0]
            .because
            .last()
            .unwrap()
            .says
            .starts_with(&format!("{sum:+.1} dB in all"))
    );

    let plan = ask("explain remove shellac (film, later) from oak limit 1")
        .pop()
        .unwrap();
    let Some(Explanation::Derivation(claims)) = &plan.explanation else {
        panic!("a derivation");
    };
    let files: Vec<&str> = claims
        .iter()
        .flat_map(|c| &c.because)
        .flat_map(|g| &g.places)
        .map(|p| p.file.as_str())
        .collect();
    assert!(files.contains(&"materials/shellac.toml"), "{files:?}");
    assert!(files.contains(&"layers/oak.toml"), "{files:?}");
}

/// `shellac varnish`, `old shellac`: a material by name with a word beside it is that material alone.
#[test]
fn a_name_with_a_noun_finds_one_record() {
    for query in [
        "find shellac varnish",
        "find old shellac",
        "find brittle old shellac varnish",
    ] {
        let answers = ask(query);
        let Body::Find(it) = &answers[0].body else {
            panic!("{query}");
        };
        let ids: Vec<&str> = it.matches.iter().map(|m| m.id.as_str()).collect();
        assert_eq!(ids, ["shellac"], "{query}");
    }
}

/// A mender's cement is whatever held or filled: who means the mineral one is told that more was weighed.
#[test]
fn a_wide_noun_is_said_to_be_wide() {
    let notes = |query: &str| ask(query).pop().unwrap().notes.join("\n");
    let wide = notes("identify cement on porcelain that looks brown");
    assert!(
        wide.contains("any adhesive or fill, not as hydraulic cement alone"),
        "{wide}"
    );
    let named = notes("identify glue on porcelain that looks brown");
    assert!(!named.contains("is read as any"), "{named}");
}

/// Nothing is cut off before it is counted.
#[test]
fn what_free_text_finds_is_counted_whole() {
    let answers = ask("find anything about \"water resin oil paint glue wax acid\"");
    let Body::Find(it) = &answers[0].body else {
        panic!("no find");
    };
    assert!(it.total > 1_000, "{}", it.total);
}

/// The bare body is not offered for one that carries a coat: the plan would forget the coat.
#[test]
fn a_coated_body_is_told_as_two_layers() {
    for (query, example) in [
        (
            "remove dirt from gilded leather",
            "`gilding of unknown kind over leather`",
        ),
        ("remove dirt from painted wood", "`oil paint over wood`"),
        (
            "remove dirt from waxed bronze",
            "`original wax surface over bronze`",
        ),
    ] {
        let errors = errors(query);
        let help = errors[0].help.as_deref().unwrap_or_default();
        assert!(help.ends_with(example), "{query}: {errors:?}");
        assert!(errors[0].edit.is_none(), "{query}: {errors:?}");
    }
    assert!(errors("remove dirt from painted plaster")[0].edit.is_none());
}

/// A name with a word too many is found by the word that is known.
#[test]
fn a_known_word_in_a_longer_name_is_offered() {
    for (query, offered) in [
        ("choose fill for carrara marble", "write `marble`"),
        ("remove shellac from roman glass", "write `glass`"),
        (
            "identify coating on english oak that looks brown",
            "write `oak`",
        ),
    ] {
        let errors = errors(query);
        let help = errors[0].help.as_deref().unwrap_or_default();
        assert!(help.starts_with(offered), "{query}: {errors:?}");
    }
}

/// A loose layer said before its name would be forgotten if the name alone were offered.
#[test]
fn a_state_before_a_layer_is_not_dropped() {
    for (query, wanted) in [
        ("remove beeswax from flaking tempera", "`tempera (flaking)`"),
        (
            "remove beeswax from powdery tempera",
            "`tempera (powdering)`",
        ),
    ] {
        let found = errors(query);
        let help = found
            .iter()
            .find_map(|d| d.help.clone())
            .unwrap_or_default();
        assert!(help.contains(wanted), "{query}: {help}");
    }
}
