//! The arithmetic of the bench against published tables and worked examples.

use palinode::chem::{buffer, conductivity, solution, vapour};
use palinode::model::Library;
use palinode::model::reagent::Buffer;
use proptest::prelude::*;

fn named(id: &str) -> &'static Buffer {
    palinode::embedded()
        .reagents()
        .buffer
        .get(id)
        .unwrap_or_else(|| panic!("no buffer {id}"))
}

fn near(found: f64, wanted: f64, within: f64, what: &str) {
    assert!(
        (found - wanted).abs() <= within,
        "{what}: {found} against {wanted}"
    );
}

const KELVIN: f64 = 273.15;

/// Phosphate 0.025 + 0.025, borax 0.01, carbonate 0.025 + 0.025 mol/l at 0 to 50 °C, as JIS Z 8802
/// (2011) gives them, in a maker's table of reference solutions (opened). Borax holds four borons with
/// two sodiums.
#[test]
fn standard_solutions_have_their_ph_at_every_temperature() {
    let phosphate = [
        (0, 6.98),
        (5, 6.95),
        (10, 6.92),
        (15, 6.90),
        (20, 6.88),
        (25, 6.86),
        (30, 6.85),
        (35, 6.84),
        (40, 6.84),
        (45, 6.83),
        (50, 6.83),
    ];
    for (t, ph) in phosphate {
        let found = buffer::ph_of(named("phosphate"), 0.05, 0.075, 0.0, f64::from(t) + KELVIN);
        near(found, ph, 0.03, &format!("phosphate at {t} C"));
    }
    let borax = [
        (0, 9.46),
        (5, 9.39),
        (10, 9.33),
        (15, 9.27),
        (20, 9.22),
        (25, 9.18),
        (30, 9.14),
        (35, 9.10),
        (40, 9.07),
        (45, 9.04),
        (50, 9.01),
    ];
    for (t, ph) in borax {
        let found = buffer::ph_of(named("borate"), 0.04, 0.02, 0.0, f64::from(t) + KELVIN);
        near(found, ph, 0.03, &format!("borax at {t} C"));
    }
    let carbonate = [
        (0, 10.32),
        (10, 10.18),
        (20, 10.07),
        (25, 10.02),
        (30, 9.97),
        (35, 9.93),
    ];
    for (t, ph) in carbonate {
        let found = buffer::ph_of(named("carbonate"), 0.05, 0.075, 0.0, f64::from(t) + KELVIN);
        near(found, ph, 0.03, &format!("carbonate at {t} C"));
    }
}

/// 0.05 mol/kg potassium dihydrogen citrate reads 3.776 at 25 °C, and 0.025 + 0.025 carbonate 10.012
/// (Staples and Bates 1969, J. Res. NBS 73A, 37-41, abstract opened).
#[test]
fn citrate_and_carbonate_have_the_bureaus_ph() {
    near(
        buffer::ph_of(named("citrate"), 0.05, 0.05, 0.0, 298.15),
        3.776,
        0.03,
        "citrate",
    );
    near(
        buffer::ph_of(named("carbonate"), 0.05, 0.075, 0.0, 298.15),
        10.012,
        0.03,
        "carbonate",
    );
}

/// Acetic acid with sodium acetate, 0.1 mol/l together, ml of each of 200: Pearse 1980 as quoted in an
/// opened hand-out of buffers.
#[test]
fn acetate_mixtures_have_the_handbooks_ph() {
    for (acid, salt, ph) in [
        (185.0, 15.0, 3.6),
        (176.0, 24.0, 3.8),
        (164.0, 36.0, 4.0),
        (147.0, 53.0, 4.2),
        (126.0, 74.0, 4.4),
        (102.0, 98.0, 4.6),
        (80.0, 120.0, 4.8),
        (59.0, 141.0, 5.0),
        (42.0, 158.0, 5.2),
        (29.0, 171.0, 5.4),
        (19.0, 181.0, 5.6),
    ] {
        let strong = 0.1 * salt / (acid + salt);
        let found = buffer::ph_of(named("acetate"), 0.1, strong, 0.0, 298.15);
        near(found, ph, 0.1, &format!("acetate {acid}:{salt}"));
    }
}

/// Sodium phosphates, ml of 0.1 mol/l monobasic in 100 of both, made up to 200: a maker's guide to
/// buffers (opened page, its table 6). At 0.05 mol/l.
#[test]
fn phosphate_mixtures_have_the_handbooks_ph() {
    for (mono, ph) in [
        (92.0, 5.8),
        (81.5, 6.2),
        (73.5, 6.4),
        (62.5, 6.6),
        (51.0, 6.8),
        (39.0, 7.0),
        (28.0, 7.2),
        (19.0, 7.4),
        (13.0, 7.6),
        (8.5, 7.8),
        (5.3, 8.0),
    ] {
        let strong = 0.05 * (mono + 2.0 * (100.0 - mono)) / 100.0;
        let found = buffer::ph_of(named("phosphate"), 0.05, strong, 0.0, 298.15);
        near(found, ph, 0.1, &format!("phosphate {mono}"));
    }
}

/// Tris hydrochloride and base, g/l, 0.05 mol/l together, read at 5, 25 and 37 °C: a maker's table
/// (opened).
#[test]
fn tris_has_its_published_ph_at_three_temperatures() {
    for (cold, bench, warm, salt, base) in [
        (7.76, 7.20, 6.91, 7.02, 0.67),
        (7.89, 7.30, 7.02, 6.85, 0.80),
        (7.97, 7.40, 7.12, 6.61, 0.97),
        (8.07, 7.50, 7.22, 6.35, 1.18),
        (8.18, 7.60, 7.30, 6.06, 1.39),
    ] {
        let strong = -salt / 157.60;
        let total = salt / 157.60 + base / 121.14;
        for (t, ph) in [(5.0, cold), (25.0, bench), (37.0, warm)] {
            let found = buffer::ph_of(named("tris"), total, strong, 0.0, t + KELVIN);
            near(found, ph, 0.1, &format!("tris {salt} g/l at {t} C"));
        }
    }
}

/// Citric acid with trisodium citrate: 20 mmol/l 16.7:3.3 is pH 3.1 and 10:10 is 4.6 (a laboratory's
/// page of recipes, opened); 0.1 mol/l of 5.358 g monohydrate with 21.910 g dihydrate is 5.4 (a
/// supplier's table as quoted in an opened forum). Gomori's table of 1955 (opened in a hand-out) reads
/// 0.2 to 0.3 above all of these and above the activity equation for the same mixtures; it is not
/// followed.
#[test]
fn citrate_recipes_give_their_ph() {
    let citrate = named("citrate");
    for (total, share, ph) in [(0.02, 0.165, 3.1), (0.02, 0.5, 4.6)] {
        let found = buffer::ph_of(citrate, total, 3.0 * total * share, 0.0, 298.15);
        near(found, ph, 0.1, &format!("citrate {share}"));
    }
    let (acid, salt) = (5.358 / 210.14, 21.910 / 294.10);
    near(
        buffer::ph_of(citrate, acid + salt, 3.0 * salt, 0.0, 298.15),
        5.4,
        0.1,
        "citrate 0.1 mol/l",
    );
}

/// Tris at zero ionic strength, and the shares of citrate, as reckoned by hand from the same constants
/// without heat capacity (the project's own reference sheet).
#[test]
fn constants_move_with_temperature_as_reckoned_by_hand() {
    for (t, pk) in [(10.0, 8.512), (20.0, 8.214), (30.0, 7.935), (37.0, 7.750)] {
        near(
            buffer::pk_at(8.072, 47.45, 0.0, t + KELVIN),
            pk,
            0.001,
            "tris",
        );
    }
    near(
        buffer::pk_at(7.198, 3.6, 0.0, 310.15),
        7.174,
        0.001,
        "phosphate",
    );
    near(
        buffer::debye_huckel(298.15),
        0.51,
        0.003,
        "Debye-Hueckel A at 25 C",
    );
    for (z, log) in [(1, -0.107_019), (2, -0.428_075), (3, -0.963_169)] {
        near(
            buffer::log_gamma(z, 0.1, 0.509),
            log,
            1e-5,
            "Davies at I 0.1",
        );
    }
    let ideal = buffer::settle(named("citrate"), 1e-7, 6.5, 298.15);
    let all: f64 = ideal.forms.iter().map(|(_, c)| c).sum();
    for ((_, c), share) in ideal.forms.iter().zip([0.0, 0.0080, 0.4369, 0.5551]) {
        near(c / all, share, 0.002, "citrate at pH 6.5");
    }
}

/// Conductivity of a salt of single charges, µS/cm, from mol/l and what its two ions conduct.
fn conducts(molar: f64, cation: f64, anion: f64) -> f64 {
    let ion = |charge, limiting| conductivity::Dissolved {
        charge,
        molar,
        limiting,
    };
    conductivity::estimate(&[ion(1, cation), ion(-1, anion)])
}

/// KCl at 25 °C: 0.01 and 0.1 mol/kg by the National Institute (1408.23 and 12824.6 µS/cm, Pratt, Koch,
/// Wu and Berezansky 2001, table opened), 0.9970 kg of water to the litre; 0.001 mol/l 146.9 and 0.005
/// mol/l 717.5 (CRC Handbook, from memory).
#[test]
fn potassium_chloride_conducts_as_the_standards_do() {
    let kcl = |c: f64| conducts(c, 73.48, 76.31);
    // mol/l from mol/kg: density of the solution less its salt.
    near(kcl(0.009_968), 1408.23, 15.0, "0.01 mol/kg");
    near(kcl(0.099_36), 12_824.6, 130.0, "0.1 mol/kg");
    near(kcl(0.001), 146.9, 0.5, "0.001 mol/l");
    near(kcl(0.005), 717.5, 5.0, "0.005 mol/l");
}

/// The limiting law of Onsager for a salt of single charges in water at 25 °C, Λ = Λ₀ − (60.20 + 0.229
/// Λ₀)√c (Robinson and Stokes 1959, from memory): the estimate falls together with it as the solution thins.
#[test]
fn thin_solutions_follow_the_limiting_law() {
    let law = |limiting: f64, c: f64| limiting - (60.20 + 0.229 * limiting) * c.sqrt();
    near(
        law(149.8, 0.001),
        146.8,
        0.05,
        "worked for potassium chloride",
    );
    for (cation, anion) in [(73.48, 76.31), (50.10, 40.9)] {
        for c in [1e-6, 1e-5, 1e-4] {
            let ours = conducts(c, cation, anion) / (1000.0 * c);
            // What the size of the cloud adds grows as the strength itself.
            near(
                ours,
                law(cation + anion, c),
                150.0 * c,
                "equivalent conductivity",
            );
        }
    }
}

/// Equivalent conductivities of sodium chloride and sodium acetate (Robinson and Stokes 1959, from
/// memory).
#[test]
fn other_salts_conduct_as_published_to_a_tenth_mole() {
    for (anion, rows) in [
        (
            76.31,
            [
                (0.001, 123.68),
                (0.01, 118.45),
                (0.05, 111.01),
                (0.1, 106.69),
            ],
        ),
        (
            40.9,
            [(0.001, 88.5), (0.01, 83.72), (0.05, 76.88), (0.1, 72.76)],
        ),
    ] {
        for (c, wanted) in rows {
            let found = conducts(c, 50.08, anion) / 1000.0 / c;
            near(found, wanted, 0.01 * wanted, &format!("{c} mol/l"));
        }
    }
}

/// 30 ml of acetone over an hour into 60 m³ with two air changes, well mixed: closed form, by hand
/// (project's reference sheet, section 10).
#[test]
fn acetone_in_a_studio_is_worked_as_by_hand() {
    let source = vapour::Source {
        rate: 30.0 * 0.784 * 1000.0,
        hours: 1.0,
        room: 60.0,
        air: 120.0,
    };
    let ppm = |mg: f64| vapour::ppm(mg, 58.08);
    near(source.steady().unwrap(), 196.0, 0.01, "steady");
    near(ppm(source.steady().unwrap()), 82.51, 0.01, "steady ppm");
    near(ppm(source.at(0.25)), 32.47, 0.01, "15 min");
    near(ppm(source.at(1.0)), 71.34, 0.01, "1 h");
    near(ppm(source.mean(1.0)), 46.84, 0.01, "mean");
    near(ppm(source.at(2.0)), 9.655, 0.01, "1 h after");
    near(
        vapour::saturation(30_727.0) / 500.0,
        606.5,
        0.1,
        "hazard ratio",
    );
    near(
        vapour::flammable_share(&[(82.5, 2.5)]),
        0.0033,
        1e-4,
        "share of the flammable limit",
    );
    near(
        vapour::flammable_share(&[(vapour::saturation(30_727.0), 2.5)]),
        12.13,
        0.01,
        "over the liquid",
    );
}

/// A published problem: benzene 1 g/min into 6 x 6 x 3 m with 10 m³/min comes to 0.1 g/m³, and to 95 %
/// of it after 32.35 min (textbook problem, statement opened; the answer by its own formula).
#[test]
fn benzene_rises_as_the_textbook_has_it() {
    let source = vapour::Source {
        rate: 60_000.0,
        hours: 100.0,
        room: 108.0,
        air: 600.0,
    };
    near(source.steady().unwrap(), 100.0, 1e-9, "steady");
    near(source.at(32.35 / 60.0), 95.0, 0.01, "95 %");
}

/// The dilution formula of the trade, Q = 403 · 10⁶ · SG · ER · K / (MW · C) with pints a minute and cubic
/// feet (a university's page of ventilation formulae, opened): its 403 ft³ of vapour to the pint is at 70
/// °F, ours at 25 °C, so the two differ by the hundredth that the gas law says.
#[test]
fn the_dilution_formula_holds_in_pints_and_feet() {
    // Toluene, half a pint an hour, to 50 ppm, K 4.
    let (gravity, mass, limit, mixing, pints) = (0.866, 92.14, 50.0, 4.0, 0.5 / 60.0);
    let feet_a_minute = 403.0 * gravity * 1e6 * pints * mixing / (mass * limit);
    let printed = feet_a_minute * 0.028_316_8 * 60.0;
    let source = vapour::Source {
        rate: 0.5 * 473.176 * gravity * 1000.0,
        hours: 1e4,
        room: 50.0,
        air: 0.0,
    };
    let found = vapour::air_for(|air| {
        vapour::ppm(
            source
                .with_air(air / mixing)
                .steady()
                .unwrap_or(f64::INFINITY),
            mass,
        ) / limit
    })
    .unwrap();
    near(found / printed, 298.15 / 294.26, 0.01, "air for toluene");
}

/// 500/1000 + 45/200 + 40/200 = 0.925 (29 CFR 1910.1000(d)(2)(ii), opened); 150, 75 and 50 ppm for 2, 2
/// and 4 h are 81.25 ppm (paragraph (d)(1)(ii), opened).
#[test]
fn exposures_add_up_as_in_the_laws_examples() {
    near(
        vapour::additive(&[(500.0, 1000.0), (45.0, 200.0), (40.0, 200.0)]),
        0.925,
        1e-12,
        "mixture",
    );
    // The day of the example as three sources that hold their level: 8 h mean from doses.
    let dose = 150.0 * 2.0 + 75.0 * 2.0 + 50.0 * 4.0;
    near(dose / 8.0, 81.25, 1e-12, "day");
    let steady = vapour::Source {
        rate: 1e4,
        hours: 8.0,
        room: 0.1,
        air: 100.0,
    };
    near(
        steady.day(),
        100.0,
        0.02,
        "a level that holds all day is its own mean",
    );
}

/// A liquid of half heptane (1640), three tenths methyl chloroform (1910), a fifth perchloroethylene (170
/// mg/m³) has 610 mg/m³ (hygienists' booklet of limits, from memory).
#[test]
fn mixtures_of_vapour_have_their_published_limits() {
    let at = |mg: f64| [(0.5 * mg, 1640.0), (0.3 * mg, 1910.0), (0.2 * mg, 170.0)];
    near(
        vapour::additive(&at(610.35)),
        1.0,
        2e-4,
        "at the limit of the mixture",
    );
    // Acetone and toluene, 3 to 2: Le Chatelier gives the mixture 1.5625 %.
    let share = |percent: f64| {
        let ppm = 1e4 * percent;
        vapour::flammable_share(&[(0.6 * ppm, 2.5), (0.4 * ppm, 1.0)])
    };
    near(
        share(1.5625),
        1.0,
        1e-9,
        "at the lower limit of the mixture",
    );
    near(vapour::additive(&[]), 0.0, 0.0, "nothing in the air");
}

/// Worked by hand: 10 % w/v, 250 ml is 25 g; 200 ml of 15 % from 50 % takes 60 ml; 500 ml of 70 % v/v from
/// 96 % takes 364.58 ml; 20 % w/v of B-72 in acetone is 23.595 % w/w by densities 1.15 and 0.784.
#[test]
fn solutions_are_weighed_as_by_hand() {
    near(
        solution::per_solution(10.0, 250.0, None, None).solute_g,
        25.0,
        1e-9,
        "w/v",
    );
    near(
        solution::dilute(50.0, 15.0, 200.0).unwrap(),
        60.0,
        1e-9,
        "dilution",
    );
    near(
        solution::dilute(96.0, 70.0, 500.0).unwrap(),
        364.58,
        0.01,
        "ethanol",
    );
    assert!(solution::dilute(10.0, 15.0, 200.0).is_none());
    let mixed = solution::per_solution(20.0, 100.0, Some(1.15), Some(0.784));
    near(mixed.weight_by_weight().unwrap(), 23.595, 0.001, "w/w");
    near(mixed.solvent_g.unwrap(), 64.765, 0.001, "acetone");
    // Two weighings on a 0.01 g balance and a cylinder good to 1 ml, 10 g in 100 ml: 1.16 %.
    near(
        solution::spread(10.0, 0.01, 100.0, 1.0),
        0.011_58,
        1e-4,
        "spread",
    );
}

proptest! {
    #![proptest_config(crate::random::drawn(256, 20_000))]

    #[test]
    fn what_is_weighed_and_measured_adds_up(
        c in 0.1..60.0_f64,
        volume in 1.0..5000.0_f64,
        solute in 0.9..3.0_f64,
        solvent in 0.6..1.6_f64,
    ) {
        let a = solution::per_solution(c, volume, Some(solute), Some(solvent));
        let b = solution::per_solvent(c, volume, Some(solute), Some(solvent));
        for mixed in [a, b] {
            let ml = mixed.solvent_ml.unwrap() + mixed.solute_g / solute;
            prop_assert!((ml - volume).abs() < 1e-6 * volume);
            prop_assert!((mixed.total_ml.unwrap() - volume).abs() < 1e-6 * volume);
            prop_assert!((mixed.total_g.unwrap() - mixed.solute_g - mixed.solvent_g.unwrap()).abs() < 1e-6);
        }
        // Read again: the strength that was asked for.
        prop_assert!((a.weight_by_volume().unwrap() - c).abs() < 1e-9 * c);
        prop_assert!((b.weight_by_solvent().unwrap() - c).abs() < 1e-9 * c);
        // The reading per solvent is the weaker.
        prop_assert!(b.solute_g < a.solute_g);
        let w = a.weight_by_weight().unwrap();
        let by_weight = solution::by_weight(w, a.total_g.unwrap(), Some(solute), Some(solvent));
        prop_assert!((by_weight.solute_g - a.solute_g).abs() < 1e-6);
        let mass = solution::mass_of_volume(w, volume, solute, solvent);
        prop_assert!((mass - a.total_g.unwrap()).abs() < 1e-6 * mass);
        let back = solution::volume_of_mass(c, mass, solute, solvent);
        prop_assert!((back - volume).abs() < 1e-6 * volume);
    }

    #[test]
    fn a_stock_diluted_and_read_again_is_what_was_asked(
        stock in 1.0..100.0_f64,
        share in 0.01..1.0_f64,
        amount in 1.0..5000.0_f64,
    ) {
        let wanted = stock * share;
        let take = solution::dilute(stock, wanted, amount).unwrap();
        prop_assert!((take * stock / amount - wanted).abs() < 1e-9 * wanted);
        prop_assert!(take <= amount * (1.0 + 1e-12));
    }

    #[test]
    fn a_buffer_weighed_for_a_ph_reads_that_ph(
        ph in 4.0..9.5_f64,
        molar in 0.002..0.2_f64,
        celsius in 2.0..55.0_f64,
    ) {
        let reagents = palinode::embedded().reagents();
        for it in reagents.buffer.values() {
            let kelvin = celsius + KELVIN;
            let settled = buffer::settle(it, molar, ph, kelvin);
            let total: f64 = settled.forms.iter().map(|(_, c)| c).sum();
            prop_assert!((total - molar).abs() < 1e-9);
            let charge: f64 = settled.forms.iter().map(|(z, c)| f64::from(*z) * c).sum();
            let even = charge + settled.hydrogen - settled.hydroxide + settled.strong;
            prop_assert!(even.abs() < 1e-9, "{}: charge {even}", it.name);
            if settled.ionic < 0.4 {
                let back = buffer::ph_of(it, molar, settled.strong, 0.0, kelvin);
                prop_assert!((back - ph).abs() < 1e-3, "{}: {back} against {ph}", it.name);
            }
            let (acid, base) = (&reagents.ingredient[&it.acid], &reagents.ingredient[&it.base]);
            if let Some((a, b)) = buffer::recipe(acid, base, molar, settled.strong) {
                let held = a * f64::from(acid.carries) + b * f64::from(base.carries);
                prop_assert!((held - molar).abs() < 6e-3 * molar, "{}: {held}", it.name);
            }
        }
    }

    #[test]
    fn air_follows_amount_and_fresh_air(
        rate in 1.0..1e6_f64,
        hours in 0.02..6.0_f64,
        room in 5.0..500.0_f64,
        air in 0.0..3000.0_f64,
    ) {
        let it = vapour::Source { rate, hours, room, air };
        let more = vapour::Source { rate: 2.0 * rate, ..it };
        let fresher = it.with_air(air + 50.0);
        prop_assert!((more.peak() - 2.0 * it.peak()).abs() < 1e-6 * it.peak());
        prop_assert!(fresher.peak() < it.peak());
        prop_assert!(fresher.day() < it.day());
        prop_assert!(it.mean(hours) <= it.peak() * (1.0 + 1e-9));
        prop_assert!(it.worst_mean(0.25) <= it.peak() * (1.0 + 1e-9));
        prop_assert!(it.worst_mean(0.25) + 1e-9 >= it.mean(hours.max(0.25)).min(it.peak()) * 0.5);
        if let Some(steady) = it.steady() {
            prop_assert!(it.peak() <= steady * (1.0 + 1e-9));
            let long = vapour::Source { hours: 60.0 * room / air + 1.0, ..it };
            prop_assert!((long.peak() - steady).abs() < 1e-6 * steady, "steady state");
            // What went in goes out: the whole dose is the mass over the air.
            let dose = it.dose(hours + 60.0 * room / air);
            prop_assert!((dose - rate * hours / air).abs() < 1e-4 * dose);
        }
        // The dose by small steps.
        let steps = 4000;
        let end = hours + 1.0;
        let step = end / f64::from(steps);
        let sum: f64 = (0..steps).map(|k| it.at((f64::from(k) + 0.5) * step) * step).sum();
        prop_assert!((sum - it.dose(end)).abs() < 2e-3 * sum, "{sum} against {}", it.dose(end));
        // The air that is asked for does what it was asked for.
        let limit = it.peak() / 3.0;
        let wanted = vapour::air_for(|a| it.with_air(a).peak() / limit).unwrap();
        prop_assert!((it.with_air(wanted).peak() - limit).abs() < 1e-6 * limit);
    }
}
