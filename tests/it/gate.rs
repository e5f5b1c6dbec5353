//! The gate: a case for every hard rule, what the rules refer to, and random stacks.

mod random;
mod scene;

use std::collections::BTreeSet;

use palinode::gate::{self, Caveat, ProposedTest, Rule, RuleBasis, Sort, rules};
use palinode::model::{
    Class, Condition, Hazard, Kind, Library, Record, Site, Specimen, Verdict, gravest,
};

use scene::{corpus, ids, records};

/// Family of a material.
fn corpus_family(id: &str) -> String {
    corpus().material(id).map(|m| m.family).unwrap_or_default()
}

/// (rule, a case that it must catch, a near one that it must not).
fn cases() -> Vec<(&'static str, &'static str, &'static str)> {
    [
        include_str!("gate/layers.cases"),
        include_str!("gate/work.cases"),
    ]
    .into_iter()
    .flat_map(str::lines)
    .filter(|line| !line.is_empty() && !line.starts_with('#'))
    .map(|line| {
        let mut parts = line.split(" :: ");
        let mut next = || parts.next().unwrap_or_else(|| panic!("cut short: {line}"));
        let case = (next(), next(), next());
        assert_eq!(parts.next(), None, "too long: {line}");
        case
    })
    .collect()
}

/// What a step or test met: whether it passed, the rules that it broke, and its caveats.
struct Met {
    passed: bool,
    rules: Vec<Caveat>,
}

impl Met {
    fn has(&self, rule: &str) -> bool {
        self.rules.iter().any(|c| c.rule.id == rule)
    }
}

fn met<T>(answer: Result<gate::Passed<T>, gate::Refused<T>>) -> Met {
    match answer {
        Ok(passed) => Met {
            passed: true,
            rules: passed.caveats().to_vec(),
        },
        Err(refused) => Met {
            passed: false,
            rules: refused.broken().to_vec(),
        },
    }
}

fn try_case(case: &str) -> Met {
    if let Some(words) = case.strip_prefix("test ") {
        // `test ID SPECIMEN [hazard=probability …] [over LAYER, …]`
        let (words, beneath) = words.split_once(" over ").unwrap_or((words, ""));
        let layers = scene::layers(beneath);
        let mut words = words.split_whitespace();
        let test = words.next().expect("a test");
        let test = corpus()
            .test(test)
            .unwrap_or_else(|| panic!("no test {test}"));
        let specimen = Specimen::parse(words.next().expect("a specimen")).expect("a specimen");
        let hazards: Vec<(Hazard, f64)> = words
            .map(|w| {
                let (hazard, p) = w.split_once('=').expect("hazard=probability");
                (
                    Hazard::parse(hazard).expect("a hazard"),
                    p.parse().expect("a probability"),
                )
            })
            .collect();
        let reagent = test.reagent.as_deref().and_then(|id| corpus().agent(id));
        let ground = gate::Ground {
            layers: &layers,
            site: Site::Film,
        };
        let proposed = ProposedTest { test, specimen };
        return met(gate::test(proposed, reagent.as_ref(), &hazards, ground));
    }
    // `vessel 60 ethanol, water`: °C, then what meets in it.
    if let Some(words) = case.strip_prefix("vessel ") {
        let (celsius, agents) = words.split_once(' ').expect("a temperature and liquids");
        let vessel = gate::Vessel {
            agents: agents
                .split(", ")
                .map(|id| {
                    corpus()
                        .agent(id)
                        .unwrap_or_else(|| panic!("no liquid {id}"))
                })
                .collect(),
            carrier: None,
            celsius: Some(celsius.parse().expect("a temperature")),
        };
        return met(gate::vessel(vessel, &[]));
    }
    let (step, scene) = scene::read(case);
    met(gate::step(step, &scene))
}

#[test]
fn every_rule_catches_its_case_and_spares_a_near_one() {
    let cases = cases();
    let mut wrong = Vec::new();
    for rule in rules::every() {
        let own: Vec<_> = cases.iter().filter(|(id, _, _)| *id == rule.id).collect();
        if own.is_empty() {
            wrong.push(format!("{}: no case", rule.id));
        }
        for (_, hit, miss) in own {
            let met = try_case(hit);
            let names = |m: &Met| {
                m.rules
                    .iter()
                    .map(|c| c.rule.id)
                    .collect::<Vec<_>>()
                    .join(", ")
            };
            if !met.has(rule.id) || met.passed != (rule.sort != Sort::Never) {
                wrong.push(format!(
                    "{}: does not catch {hit}: {}",
                    rule.id,
                    names(&met)
                ));
            }
            let met = try_case(miss);
            // The caveats of a step that is refused for another reason are not shown, so that a
            // near case of a condition must pass to say anything.
            if met.has(rule.id) || (rule.sort != Sort::Never && !met.passed) {
                wrong.push(format!("{}: near case {miss}: {}", rule.id, names(&met)));
            }
        }
    }
    for (id, _, _) in &cases {
        if !rules::every().any(|r| r.id == *id) {
            wrong.push(format!("{id}: a case for no rule"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Rules are passed over at once by a bit of the names that they ask for. Every liquid that a rule asks for in so
/// many words, or by its class, is caught in the place of the one in its case.
#[test]
fn no_rule_is_passed_over_for_another_liquid_that_it_names() {
    let agents: Vec<_> = records(Kind::Agent)
        .into_iter()
        .filter_map(|record| corpus().agent(&record.head().id))
        .collect();
    let mut tried = 0;
    for (id, hit, _) in cases() {
        let rule = rules::every().find(|r| r.id == id).unwrap();
        let asks = &rule.when;
        let of_liquids =
            !(asks.agents.is_empty() && asks.classes.is_empty() && asks.agent_hazards.is_empty());
        if !of_liquids || hit.starts_with("test ") || hit.starts_with("vessel ") {
            continue;
        }
        let (step, scene) = scene::read(hit);
        if step.agent.is_none() || !step.parts.is_empty() {
            continue;
        }
        for agent in &agents {
            let mut step = step.clone();
            step.agent = Some(agent.clone().into());
            if !agent.parts.is_empty() || !rule.when.meets_step(&step) {
                continue;
            }
            tried += 1;
            let met = met(gate::step(step, &scene));
            // Of a step that is refused for another reason no caveats are shown.
            let hidden = !met.passed && rule.sort != Sort::Never;
            assert!(met.has(id) || hidden, "{id}: {}", agent.head.id);
        }
    }
    assert!(tried > 1_000, "{tried}");
}

#[test]
fn ids_are_unique_and_plain_and_no_text_is_empty() {
    let mut seen = BTreeSet::new();
    for rule in rules::every() {
        assert!(seen.insert(rule.id), "{} twice", rule.id);
        assert!(
            rule.id.chars().all(|c| c.is_ascii_lowercase() || c == '-')
                && !rule.id.starts_with('-')
                && !rule.id.ends_with('-'),
            "{}",
            rule.id
        );
        for text in [rule.says, rule.why] {
            assert!(text.trim().len() > 5, "{}", rule.id);
            assert!(
                !text.ends_with('.') && !text.contains("  "),
                "{}: {text}",
                rule.id
            );
        }
        if rule.sort == Sort::OnlyIf {
            assert!(rule.says.starts_with("only"), "{}: {}", rule.id, rule.says);
        }
    }
}

#[test]
fn there_are_rules_of_every_sort() {
    for (sort, least) in [(Sort::Never, 100), (Sort::OnlyIf, 50), (Sort::Before, 25)] {
        let count = rules::every().filter(|r| r.sort == sort).count();
        assert!(count >= least, "{count} rules of {sort:?}");
    }
}

#[test]
fn every_published_rule_names_a_source_of_the_corpus() {
    for rule in rules::every() {
        let keys = match rule.basis {
            RuleBasis::Published(key, _) => vec![key],
            RuleBasis::Through(key, through, _) => vec![key, through],
            RuleBasis::Practice | RuleBasis::Memory => Vec::new(),
        };
        for key in keys {
            assert!(
                corpus().source(key).is_some(),
                "{}: no source {key}",
                rule.id
            );
        }
    }
}

/// Named in a rule though the corpus has no record: a studio may bring one.
const NOT_ON_FILE: &[&str] = &[
    "hydrofluoric-acid",
    "ammonium-bifluoride",
    "hypochlorite",
    "sodium-hypochlorite",
    "nitric-acid",
];

#[test]
fn every_id_in_a_rule_is_on_file() {
    let known = |kind: Kind| ids(kind).into_iter().collect::<BTreeSet<String>>();
    let (layers, agents) = (known(Kind::Layer), known(Kind::Agent));
    let (methods, carriers) = (known(Kind::Method), known(Kind::Carrier));
    let (mut materials, tests) = (known(Kind::Material), known(Kind::Test));
    materials.extend(records(Kind::Material).into_iter().filter_map(|r| match r {
        Record::Material(m) => Some(m.family),
        _ => None,
    }));
    let check = |rule: &Rule, what: &str, list: &[&str], known: &BTreeSet<String>| {
        for id in list {
            let number = id.starts_with(|c: char| c.is_ascii_digit()) && id.contains('-') && {
                id.chars().all(|c| c.is_ascii_digit() || c == '-')
            };
            assert!(
                number || known.contains(*id) || NOT_ON_FILE.contains(id),
                "{}: no {what} {id}",
                rule.id
            );
        }
    };
    for rule in rules::every() {
        let when = rule.when;
        check(rule, "layer", when.layers, &layers);
        check(rule, "layer", when.except_layers, &layers);
        check(rule, "agent", when.agents, &agents);
        check(rule, "agent", when.beside_agents, &agents);
        check(rule, "agent", when.except_agents, &agents);
        check(rule, "method", when.methods, &methods);
        check(rule, "method", when.except_methods, &methods);
        check(rule, "carrier", when.carriers, &carriers);
        check(rule, "material", when.materials, &materials);
    }
    for rule in rules::of_tests() {
        check(&rule.rule, "test", rule.when.tests, &tests);
    }
}

/// A rule that forbids a class of agent on a layer outright, whatever the method, may not forbid
/// what the corpus records as safe on that layer when sound.
#[test]
fn no_rule_forbids_what_is_recorded_as_safe() {
    let mut wrong = Vec::new();
    for record in records(Kind::Layer) {
        let Record::Layer(layer) = record else {
            continue;
        };
        let on_object = scene::layer(&layer.head.id);
        for rule in rules::all() {
            let when = rule.when;
            let outright = rule.sort == Sort::Never
                && when.names_layer()
                && when.methods.is_empty()
                && when.actions.is_empty()
                && when.carriers.is_empty()
                && when.wets.is_empty()
                && when.materials.is_empty()
                && when.beside_classes.is_empty();
            if !outright || !when.meets_layer(&on_object) {
                continue;
            }
            for class in when.classes {
                let facts = layer.verdicts(Condition::Sound, None, *class);
                if gravest(facts).is_some_and(|(verdict, _)| verdict == Verdict::Safe) {
                    wrong.push(format!("{} on {}: {class}", rule.id, layer.head.id));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Work that is done every day passes; where it may stand at most as a test, that is said here.
#[test]
fn common_work_is_not_forbidden() {
    for (case, unconditional) in [
        ("fired-clay | water-swab water", true),
        ("terracotta | water-swab water", true),
        ("porcelain | immersion acetone | deep-joint", true),
        ("porcelain | warm-compress warm-water | open-joint", true),
        ("limestone | swab ethanol", true),
        ("limestone | swab acetone", true),
        ("granite | water-swab water", true),
        ("marble | xanthan-gel water", true),
        ("oak | scalpel", true),
        ("oak | swab ethanol", true),
        ("oil-paint-old | swab white-spirit", true),
        ("oil-paint-old | swab ethanol-isooctane", true),
        ("oil-paint-old | swab acetone", false),
        ("oil-gilding | swab white-spirit", true),
        ("water-gilding | swab white-spirit", true),
        ("brass | swab acetone", true),
        ("bronze-patina | swab white-spirit", true),
        ("glass-sound | swab acetone", true),
        ("glass-sound | water-swab water", true),
        (
            "terracotta | vapour-chamber acetone | cellulose-nitrate=0.9 deep-joint",
            true,
        ),
        (
            "terracotta | immersion acetone | cellulose-nitrate=0.9 deep-joint",
            true,
        ),
        ("stoneware | oven | epoxy=0.9 deep-joint", false),
        ("@gypsum | agar-gel water", false),
        ("ivory | swab ethanol", true),
        ("paper | grated-agar water", true),
        ("urushi | swab white-spirit", true),
        ("iron | swab acetone", true),
        ("silver | swab ethanol", true),
        ("oil-paint-old(flaking) | consolidate-first", true),
        ("glaze, earthenware-glazed | swab acetone", true),
    ] {
        let (step, scene) = scene::read(case);
        match gate::step(step, &scene) {
            Ok(passed) => assert_eq!(
                !passed.is_conditional(),
                unconditional,
                "{case}: {:?}",
                passed
                    .caveats()
                    .iter()
                    .map(|c| c.rule.id)
                    .collect::<Vec<_>>()
            ),
            Err(refused) => panic!(
                "{case}: {:?}",
                refused
                    .broken()
                    .iter()
                    .map(|c| c.rule.id)
                    .collect::<Vec<_>>()
            ),
        }
    }
}

/// A film keeps liquid off; a bath, vapour, heat and weight come round or through it.
#[test]
fn a_whole_film_shelters_from_what_stays_on_top() {
    let passes = |case: &str| {
        let (step, scene) = scene::read(case);
        gate::step(step, &scene).is_ok()
    };
    assert!(passes("glaze, unfired-clay | water-swab water"));
    assert!(!passes("glaze(cracked), unfired-clay | water-swab water"));
    assert!(!passes(
        "glaze, unfired-clay | water-swab water | open-joint"
    ));
    assert!(!passes("glaze, unfired-clay | immersion water"));
    assert!(!passes("glaze, unfired-clay | humidity-chamber water"));
    assert!(!passes("glaze, wax-surface | hot-spatula"));
    assert!(!passes(
        "original-varnish, oil-paint-old(flaking) | swab white-spirit"
    ));
    assert!(!passes("glaze, lead | water-swab dilute-acid"));
    // What was tried on this object outranks the record, but no hard rule.
    assert!(passes("bone(~cyclohexane) | swab cyclohexane"));
    assert!(!passes("water-gilding(~water) | water-swab water"));
}

#[test]
fn classes_of_a_mixture_are_all_met() {
    for part in [Class::KetoneEster, Class::ColdWater] {
        let (step, _) = scene::read("granite | swab acetone-water");
        assert!(step.classes().contains(&part));
    }
    assert!(!try_case("water-gilding | swab acetone-water").passed);
}

/// Every hard rule with its reason and its basis, for whoever reads and not runs: a page that the
/// rules write.
#[test]
fn the_page_of_rules_is_what_the_rules_say() {
    let file = "src/gate/RULES.md";
    let count = |sort| rules::every().filter(|r| r.sort == sort).count();
    let mut page = format!(
        "# Hard rules\n\nWritten by a test: `PALINODE_WRITE=1 cargo test page_of_rules`.\n\n{} rules: {} \
         *never*, {} *only if*, {} *first*. What the records of layers say of harm binds as well \
         (`recorded-harm`).\n\n| rule | sort | says | why | basis |\n|---|---|---|---|---|\n",
        rules::every().count(),
        count(Sort::Never),
        count(Sort::OnlyIf),
        count(Sort::Before),
    );
    for rule in rules::every() {
        page.push_str(&format!(
            "| `{}` | {} | {} | {} | {} |\n",
            rule.id,
            rule.sort.word(),
            rule.says.replace('|', "\\|"),
            rule.why.replace('|', "\\|"),
            rule.basis.to_basis()
        ));
    }
    crate::written::holds(file, &page, |_| format!("{file} is not what the rules say"));
}
