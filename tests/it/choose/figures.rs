//! Figures against sources outside the project.

use palinode::choose::light::{NOTICEABLE_MLXH, years_to_fade};
use palinode::choose::load::{bedding, edge_stress, mean_stress};
use palinode::embedded;
use palinode::model::scene::GRAVITY;
use palinode::model::{Library, Value};
use palinode::units::Reading;

use super::choose;

fn near(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got} for {wanted}");
}

/// Podany et al. 2001, section 7: marble joins failed in the stone at 4.317-4.688 MPa; the paper gives
/// 595 psi as 4101 kPa and 688 psi as 4742 kPa. A 12 kg arm 150 mm out on a break of 20 by 40 mm: 117.72 N
/// at 9.81, 0.147 MPa in shear, 3.311 MPa at the edge, worked by hand: a safety of 1.3 on that marble.
#[test]
fn a_lever_on_a_break_is_worked_as_by_hand() {
    near(GRAVITY, 9.80665, 1e-9);
    let newtons = 12.0 * 9.81;
    near(mean_stress(newtons, 0.02 * 0.04), 0.147_15, 1e-5);
    let edge = edge_stress(newtons, 0.15, 0.02, 0.04);
    near(edge, 3.3109, 1e-4);
    near(4.317 / edge, 1.30, 0.005);
    let psi = 6894.757;
    near(595.0 * psi / 1e6, 4.101, 0.002);
    near(688.0 * psi / 1e6, 4.742, 0.002);
}

/// The same join asked in the language: on the adhesive alone nothing is offered, and the answer asks
/// for an engineer and speaks of a rod.
#[test]
fn the_same_arm_is_not_hung_on_adhesive_alone() {
    let it = choose("choose adhesive (lever 150 mm) for marble to marble carrying 12 kg on 8 cm2");
    let stress = it.load.unwrap().stress_mpa.unwrap();
    // A square break of the same area: 6 F L / a^1.5.
    near(
        stress,
        6.0 * 12.0 * GRAVITY * 0.15 / 0.0008_f64.powf(1.5) / 1e6,
        1e-6,
    );
    assert!(!it.pins.is_empty());
    assert!(it.choices.iter().all(|c| c.id != "paraloid-b-72"));
}

/// Pull-out by bond, any handbook on anchors: a rod of 6 mm in 30 mm of bedding at 2 MPa bears 1131 N, and
/// for the 5655 N that are 200 MPa in the rod it wants 150 mm.
#[test]
fn a_rod_is_bedded_as_by_hand() {
    near(1000.0 * bedding(1131.0, 0.006, 2.0), 30.0, 0.01);
    let in_the_rod = 200e6 * std::f64::consts::PI * 0.006_f64.powi(2) / 4.0;
    near(in_the_rod, 5654.9, 0.1);
    near(1000.0 * bedding(in_the_rod, 0.006, 2.0), 150.0, 1e-6);
}

/// A worked dose: 50 lux, 8 hours, 300 days make 0.12 Mlx h a year; blue-wool step 2 (1 Mlx h to a just
/// noticeable fading, CIE 157:2004, recalled) then lasts 8.33 years. Michalski 1990, as reported, has 0.4
/// for step 1 and 900 for step 8: within 1.4 of the values used.
#[test]
fn a_gallery_year_of_light_is_worked_as_published() {
    let dose = 50.0 * 8.0 * 300.0 / 1e6;
    near(dose, 0.12, 1e-12);
    near(years_to_fade(2, dose).unwrap(), 8.33, 0.01);
    assert!(years_to_fade(0, dose).is_none() && years_to_fade(9, dose).is_none());
    assert!(years_to_fade(2, 0.0).is_none());
    for (ours, reported) in [(NOTICEABLE_MLXH[0], 0.4), (NOTICEABLE_MLXH[7], 900.0)] {
        let ratio: f64 = ours / reported;
        assert!((1.0 / 1.4..=1.4).contains(&ratio), "{ratio}");
    }
    assert!(NOTICEABLE_MLXH.windows(2).all(|w| w[1] > w[0]));
}

/// Feller's own examples of his classes, as the literature repeats them: B-72 in A; natural rubber in T.
#[test]
fn fellers_examples_stand_in_their_classes() {
    for (id, class) in [("paraloid-b-72", "A"), ("natural-rubber-latex", "T")] {
        let words = embedded().material(id).unwrap();
        assert!(words.head.facts.words("stability").contains(&class), "{id}");
    }
}

fn spans(id: &str, key: &str) -> Vec<(f64, f64)> {
    let material = embedded().material(id).unwrap();
    material
        .head
        .facts
        .get(key)
        .iter()
        .filter_map(|f| match &f.value {
            Value::Measure(q) => q.base(Reading::Point).map(|b| (b.low, b.high)),
            _ => None,
        })
        .collect()
}

/// Nominal glass transitions of the makers' data sheets (recalled): B-72 40 C, B-48N 50 C, B-44 60 C,
/// B-67 50 C; Podany et al. 2001 for strength on marble: epoxy 4.74 and 4.52 MPa, polyester 4.10 and 4.62.
#[test]
fn transition_and_strength_are_those_of_the_sheets() {
    for (id, celsius) in [
        ("paraloid-b-72", 40.0),
        ("paraloid-b-48n", 50.0),
        ("paraloid-b-44", 60.0),
        ("paraloid-b-67", 50.0),
    ] {
        assert!(
            spans(id, "tg")
                .iter()
                .any(|(low, high)| low - 273.15 <= celsius + 0.5 && high - 273.15 >= celsius - 0.5),
            "{id}"
        );
    }
    for (id, mpa) in [
        ("epoxy", 4.74),
        ("epoxy", 4.52),
        ("unsaturated-polyester", 4.10),
        ("unsaturated-polyester", 4.62),
    ] {
        assert!(
            spans(id, "strength")
                .iter()
                .any(|(low, high)| (low / 1e6 - mpa).abs() < 0.011
                    || (high / 1e6 - mpa).abs() < 0.011),
            "{id} {mpa}"
        );
    }
}
