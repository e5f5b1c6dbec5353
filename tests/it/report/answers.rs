//! What the answers of a case become in its report: figures of a real blend and a real choice, what is
//! mixed and what is in the air, what was withdrawn, and how it all will come off again.

use std::path::Path;

use palinode::answer::Body;
use palinode::case::{self, Asker, Case};
use palinode::cite::Style;
use palinode::embedded;
use palinode::report::{Block, Document, Part, Section, markdown};

use super::{NOW, demo, document, page};

/// An invented box whose questions want every section and every figure.
fn painted_box() -> Case {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/painted-box/case.toml");
    case::load(&path).unwrap().case
}

fn section(made: &Document, part: Part) -> &Section {
    made.sections.iter().find(|it| it.part == part).unwrap()
}

/// Title and description of the figures of a section.
fn figures(section: &Section) -> Vec<(&str, &str)> {
    section
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Figure { figure, .. } => {
                Some((figure.title.as_str(), figure.description.as_str()))
            }
            _ => None,
        })
        .collect()
}

/// Captions of the tables of a section.
fn captions(section: &Section) -> Vec<&str> {
    section
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Table { caption, .. } => Some(caption.as_str()),
            _ => None,
        })
        .collect()
}

/// The text of one section, as Markdown has it.
fn text(case: &Case, part: Part) -> String {
    markdown(&document(case, &[part], Style::AuthorDate), None)
}

#[test]
fn a_real_blend_and_a_real_choice_are_drawn() {
    let case = painted_box();
    let made = document(&case, &Part::ALL, Style::AuthorDate);
    let drawn = figures(section(&made, Part::Proposal));
    let has = |title: &str, words: &[&str]| {
        drawn
            .iter()
            .any(|(t, d)| *t == title && words.iter().all(|w| d.contains(w)))
    };
    assert!(
        has(
            "Solubility triangle",
            &[
                "dammar, to be dissolved",
                "aged oil paint, to be spared",
                "the blend at",
                "nearly dry at"
            ]
        ),
        "{drawn:?}"
    );
    assert!(has(
        "What the blend does as it dries",
        &["dammar, to dissolve", "aged oil paint, to spare"]
    ));
    assert!(has(
        "Whether the new materials come off again",
        &["now: ", "in 25 years: ", "in 100 years: "]
    ));
    let plain = section(&made, Part::Proposal).plain.join("\n");
    for wanted in [
        "A mixture of liquids that dissolves dammar and leaves aged oil paint alone",
        "Asked for as new material: coating.",
    ] {
        assert!(plain.contains(wanted), "{wanted}: {plain}");
    }
    for part in &made.sections {
        for block in &part.blocks {
            if let Block::Heading(text) = block {
                assert!(text.chars().count() < 120, "{text}");
            }
        }
    }
    // The target's line is drawn last, so that no hatching lies over it.
    let svg = section(&made, Part::Proposal)
        .blocks
        .iter()
        .find_map(|block| match block {
            Block::Figure { figure, .. } if figure.description.contains("to be spared") => {
                Some(figure.svg.as_str())
            }
            _ => None,
        })
        .unwrap();
    assert!(svg.find("fill-opacity=\"0.5\"").unwrap() < svg.find("stroke-width=\"3\"").unwrap());
}

/// The strip of what was put in is the forecast of `choose` for these layers, time by time.
#[test]
fn the_strip_is_the_forecast_of_the_planner() {
    let case = painted_box();
    let made = document(&case, &Part::ALL, Style::AuthorDate);
    let drawn = figures(section(&made, Part::Reversibility));
    let (_, strip) = drawn.first().unwrap();
    let layers: Vec<&str> = case.layers.iter().map(|it| it.name.as_str()).collect();
    let asked = Asker::new(&case, embedded(), NOW)
        .ask(&format!(
            "choose \"paraloid b-72\" for {}",
            layers.join(" over ")
        ))
        .unwrap();
    let Body::Choose(it) = &asked.answer().unwrap().body else {
        panic!()
    };
    let forecast = &it.choices[0].forecast;
    assert!(forecast.len() >= 3);
    for at in forecast {
        let time = match at.years {
            0 => "now".to_owned(),
            years => format!("in {years} years"),
        };
        let agent = at
            .route
            .as_ref()
            .and_then(|rung| rung.step.get().agent.as_ref())
            .map_or("", |agent| agent.head.names.name.as_str());
        let said = strip
            .split("; ")
            .find(|it| it.starts_with(&format!("paraloid b-72, {time}: ")))
            .unwrap_or_else(|| panic!("{time}: {strip}"));
        assert!(said.contains(agent), "{said}");
        assert_eq!(said.contains('≈'), at.extrapolated, "{said}");
    }
    assert!(
        strip.contains("studio filler 12, now: not recorded"),
        "{strip}"
    );
    // One that a hard rule refuses today has its forecast all the same, for it is on the object.
    let epoxy: Vec<&str> = strip
        .split("; ")
        .filter(|it| it.starts_with("epoxy, "))
        .collect();
    assert_eq!(epoxy.len(), forecast.len());
    assert!(
        !epoxy.iter().any(|it| it.contains("not recorded")),
        "{epoxy:?}"
    );
    // What a hard rule refuses today says which.
    let text = text(&case, Part::Reversibility);
    assert!(
        text.contains("By the rules of today it would not be chosen here"),
        "{text}"
    );
    assert!(text.contains("counts as not reversible until somebody has tried"));
}

#[test]
fn what_is_mixed_has_its_weighing_table() {
    let case = painted_box();
    let made = document(&case, &Part::ALL, Style::AuthorDate);
    let it = section(&made, Part::Materials);
    let tables = captions(it);
    for wanted in [
        "To weigh and to measure, per 100 ml of solution (make up to the mark)",
        "To weigh and to measure, per 100 ml of solvent",
        "To weigh and to measure, 0.05 mol/l, pH 6.5 at 20 C",
    ] {
        assert!(tables.contains(&wanted), "{wanted}: {tables:?}");
    }
    let text = text(&case, Part::Materials);
    // 8 % w/v of 250 ml is 20 g, by either reading of the balance to 0.1 g.
    assert!(text.contains("| Paraloid B-72 | 20\\.0 |"), "{text}");
    for wanted in [
        "Both readings of the strength are in use",
        "Order of work:",
        "apparent pKa",
        "are to be measured",
        "**Gel:** 15 g of agar",
        "The sums rest on:",
    ] {
        assert!(text.contains(wanted), "{wanted}");
    }
    assert!(
        !captions(section(&made, Part::Proposal))
            .iter()
            .any(|it| it.starts_with("To weigh"))
    );
}

#[test]
fn what_is_in_the_air_stands_with_health_and_safety() {
    let case = painted_box();
    let made = document(&case, &Part::ALL, Style::AuthorDate);
    let it = section(&made, Part::Safety);
    let tables = captions(it);
    for wanted in [
        "Vapour in the room, parts in a million (ppm)",
        "The lowest limit on file",
        "Against the limits: 1 is the limit itself",
        "Fresh air that would do",
    ] {
        assert!(tables.contains(&wanted), "{wanted}: {tables:?}");
    }
    assert!(
        it.plain.iter().any(|p| p.contains("reckoned for the room")),
        "{:?}",
        it.plain
    );
    let text = text(&case, Part::Safety);
    for wanted in [
        "ten times as much as the room",
        "which was not stated",
        "flash point",
    ] {
        assert!(text.contains(wanted), "{wanted}: {text}");
    }
    // What has no limit on file is never called fine.
    let mut unknown = case.clone();
    unknown.questions.truncate(1);
    unknown.questions[0].ask =
        "ventilate 20 ml glycerol during 30 min in 40 m3 at 2 air changes".to_owned();
    let made = document(&unknown, &[Part::Safety], Style::AuthorDate);
    let plain = &section(&made, Part::Safety).plain;
    assert!(
        plain
            .iter()
            .any(|p| p.contains("not safe without extraction")),
        "{plain:?}"
    );
}

/// Shown in its own place, marked, with its reason; in no figure, no plain words and no answer.
#[test]
fn what_was_withdrawn_stays_in_its_place_and_counts_for_nothing() {
    let case = painted_box();
    let made = document(&case, &Part::ALL, Style::AuthorDate);
    let whole = markdown(&made, None);
    for reason in [
        "the crumb was of the wax in the keyhole. It said: ",
        "asked again with swabs on this box. It was not asked again.",
        "the paint whitened under it at the hinge. It said: ",
    ] {
        assert!(
            whole.contains(&format!("**Withdrawn:** {reason}")),
            "{reason}: {whole}"
        );
    }
    assert!(whole.contains("Question q3: withdrawn"));
    for part in &made.sections {
        for plain in &part.plain {
            assert!(!plain.contains("Swabs with acetone."), "{plain}");
        }
    }
    // The observation is weighed by no figure.
    for (title, description) in figures(section(&made, Part::Identification)) {
        assert!(
            !description.contains("swells in white spirit"),
            "{title}: {description}"
        );
    }
    // Every kind of entry that can be withdrawn.
    let mut case = demo();
    let why = Some("written down twice".to_owned());
    case.observations[0].noted.withdrawn.clone_from(&why);
    case.trials[0].noted.withdrawn.clone_from(&why);
    case.questions[1].noted.withdrawn.clone_from(&why);
    case.proposals[0].noted.withdrawn.clone_from(&why);
    case.decisions[0].noted.withdrawn.clone_from(&why);
    case.uses[0].noted.withdrawn.clone_from(&why);
    case.deviations[0].noted.withdrawn.clone_from(&why);
    case.photographs[0].noted.withdrawn.clone_from(&why);
    let made = document(&case, &Part::ALL, Style::AuthorDate);
    let whole = markdown(&made, None);
    assert_eq!(whole.matches("written down twice").count(), 8, "{whole}");
    for part in &made.sections {
        for plain in &part.plain {
            for gone in [
                "Take the brown paint off",
                "Test patch of 10 mm",
                "acetone.",
            ] {
                assert!(!plain.contains(gone), "{plain}");
            }
        }
    }
}

/// What was said of one step is not said again of the next, and refusals for one reason stand together.
#[test]
fn the_report_does_not_repeat_itself() {
    let text = text(&demo(), Part::Proposal);
    for line in ["as at step 1", "by any method"] {
        assert!(text.contains(line), "{line}");
    }
    let layer = "gesso: test, stricter school; alcohols and ketones judged as one";
    assert!(text.matches(layer).count() <= 1, "{text}");
    assert!(!text.contains("not recorded for 0 %"));
    assert!(!text.contains("let u1 ="));
    let whole = markdown(&document(&demo(), &Part::ALL, Style::AuthorDate), None);
    assert!(whole.len() < 40_000, "{} bytes", whole.len());
}

#[test]
fn the_report_says_who_when_and_on_what_it_rests() {
    let page = page(&demo());
    for wanted in [
        "Examined and recorded by",
        "AB and CD",
        "2026-11-28",
        "rest on a source",
        "cellulose nitrate, which catches fire very easily",
        &embedded().identity(),
    ] {
        assert!(page.contains(wanted), "{wanted}");
    }
}
