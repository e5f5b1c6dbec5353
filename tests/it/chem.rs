//! Solubility arithmetic against general-purpose libraries: `tests/chem/reference.json`, made by
//! `tests/chem/reference.py` with HSPiPy 1.1.8, thermo 0.6.1 and scipy.

use palinode::bench::blend::bound::bound;
use palinode::bench::blend::search::{Ball, Space, nearest};
use palinode::chem;
use palinode::chem::drying::{Activity, BENCH_KELVIN, Volatile, mole_fractions, path};
use palinode::chem::fit::{Trial, datafit, fit};
use palinode::chem::unifac::{Molecule, Unifac};
use palinode::embedded;
use palinode::model::{Agent, Hansen, Library, Value};
use palinode::units::Reading;
use serde_json::Value as Json;

const REFERENCE: &str = include_str!("../chem/reference.json");

fn reference(key: &str) -> Json {
    serde_json::from_str::<Json>(REFERENCE).unwrap()[key].clone()
}

fn numbers(it: &Json) -> Vec<f64> {
    it.as_array()
        .unwrap()
        .iter()
        .map(|x| x.as_f64().unwrap())
        .collect()
}

fn point(it: &Json) -> Hansen {
    let n = numbers(it);
    Hansen {
        d: n[0],
        p: n[1],
        h: n[2],
        radius: None,
    }
}

fn trials(it: &Json) -> Vec<Trial> {
    it.as_array()
        .unwrap()
        .iter()
        .map(|t| Trial {
            at: point(&t["hansen"]),
            good: t["good"].as_bool().unwrap(),
        })
        .collect()
}

/// The objective is reached at least as well as HSPiPy reaches it, and liquids that were held back are
/// told apart. Where every sphere that ties agrees on a liquid it counts as said, else as unsure.
#[test]
fn spheres_are_fitted_as_well_as_by_a_general_library() {
    let (mut right, mut wrong, mut unsure) = (0, 0, 0);
    let sets = reference("spheres");
    let sets = sets.as_array().unwrap();
    assert_eq!(sets.len(), 5);
    for set in sets {
        let name = set["name"].as_str().unwrap();
        let known = trials(&set["trials"]);
        let found = fit(&known).unwrap();
        let theirs = &set["hspipy"];
        let value = theirs["datafit"].as_f64().unwrap();
        // Their own sphere has the same value by our objective.
        let sphere = Hansen {
            radius: theirs["radius"].as_f64(),
            ..point(&theirs["centre"])
        };
        assert!((datafit(sphere, &known) - value).abs() < 1e-6, "{name}");
        assert!(
            found.datafit >= value - 1e-9,
            "{name}: {} and {value}",
            found.datafit
        );
        for held in trials(&set["held"]) {
            let inside: Vec<bool> = found
                .ties
                .iter()
                .map(|t| chem::distance(t.centre, held.at) <= t.radius.0)
                .collect();
            let outside: Vec<bool> = found
                .ties
                .iter()
                .map(|t| chem::distance(t.centre, held.at) > t.radius.1)
                .collect();
            if inside.iter().all(|x| *x) || outside.iter().all(|x| *x) {
                let said = inside[0];
                right += usize::from(said == held.good);
                wrong += usize::from(said != held.good);
            } else {
                unsure += 1;
            }
        }
        println!(
            "{name}: DATAFIT {:.6} (HSPiPy {value:.6}), spread {:.2}",
            found.datafit, found.spread
        );
    }
    println!("held back: {right} right, {wrong} wrong, {unsure} unsure");
    assert!(right + wrong + unsure == 60, "{right} {wrong} {unsure}");
    assert!(right >= 40 && wrong <= 3, "{right} {wrong} {unsure}");
}

fn liquid(id: &str) -> Agent {
    // Names of the reference that are not ids of the corpus.
    embedded().agent(id).unwrap_or_else(|| panic!("{id}"))
}

/// The middle of the first figure under a key, in base units.
pub(crate) fn middle(agent: &Agent, key: &str) -> f64 {
    let bounds = agent
        .head
        .facts
        .measure(key)
        .unwrap()
        .base(Reading::Point)
        .unwrap();
    f64::midpoint(bounds.low, bounds.high)
}

/// Five blends that are not ideal, an alcohol with an alkane among them, followed as `thermo` and an
/// ODE solver follow them. The bar is ten per cent of the share; what is met is written beside it.
#[test]
fn blends_dry_as_thermo_has_it() {
    let mut worst = 0.0_f64;
    let cases = reference("drying");
    let cases = cases.as_array().unwrap();
    assert_eq!(cases.len(), 5);
    for case in cases {
        let agents: Vec<Agent> = case["liquids"]
            .as_array()
            .unwrap()
            .iter()
            .map(|n| liquid(n.as_str().unwrap()))
            .collect();
        let volatile: Vec<Volatile> = agents
            .iter()
            .map(|a| Volatile {
                molar_volume: 1e6 * middle(a, "molar-volume"),
                vapour_pressure: middle(a, "vapour-pressure"),
            })
            .collect();
        let molecules: Vec<Molecule> = agents
            .iter()
            .map(|a| Molecule::read(&a.head.facts.words("unifac")).unwrap())
            .collect();
        let list: Vec<&Molecule> = molecules.iter().collect();
        let unifac = Unifac::new(&list, BENCH_KELVIN).unwrap();
        let start = numbers(&case["start"]);
        let ours = unifac.coefficients(&mole_fractions(&volatile, &start));
        for (a, b) in ours.iter().zip(numbers(&case["gammas"])) {
            assert!((a / b - 1.0).abs() < 1e-3, "{a} {b}");
        }
        let way = path(&volatile, &Activity::Unifac(unifac), &start, 0.1, 0.01);
        for (left, shares) in numbers(&case["left"])
            .iter()
            .zip(case["shares"].as_array().unwrap())
        {
            let at = way
                .iter()
                .min_by(|a, b| (a.left - left).abs().total_cmp(&(b.left - left).abs()))
                .unwrap();
            assert!((at.left - left).abs() < 1e-6);
            for (a, b) in at.shares.iter().zip(numbers(shares)) {
                // A share of less than one hundredth is judged by what it is of the whole.
                let off = (a - b).abs() / b.max(0.01);
                worst = worst.max(off);
                assert!(off < 0.1, "{}: {a} {b} at {left}", case["liquids"]);
            }
        }
    }
    println!("greatest difference of a share: {:.2} %", 100.0 * worst);
    assert!(worst < 0.02, "{worst}");
}

/// Ethanol beside isooctane has its azeotrope near x 0.53: a blend poorer in ethanol loses it while it
/// dries, one richer in it keeps it, where ideal mixing has it grow poorer throughout.
#[test]
fn an_alcohol_beside_an_alkane_dries_away_from_its_azeotrope() {
    let [a, b] = ["ethanol", "isooctane"].map(liquid);
    let volatile = [&a, &b].map(|x| Volatile {
        molar_volume: 1e6 * middle(x, "molar-volume"),
        vapour_pressure: middle(x, "vapour-pressure"),
    });
    let groups = [&a, &b].map(|x| Molecule::read(&x.head.facts.words("unifac")).unwrap());
    let unifac = Unifac::new(&[&groups[0], &groups[1]], BENCH_KELVIN).unwrap();
    // γ and vapour of the table that thermo 0.6.1 gives for x 0.1 … 0.9.
    for (x, first, second, vapour) in [
        (0.1, 8.39, 1.05, 0.515),
        (0.3, 3.01, 1.34, 0.535),
        (0.5, 1.74, 1.93, 0.519),
        (0.7, 1.24, 3.20, 0.519),
        (0.9, 1.03, 6.82, 0.619),
    ] {
        let y = unifac.coefficients(&[x, 1.0 - x]);
        assert!((y[0] / first - 1.0).abs() < 0.01 && (y[1] / second - 1.0).abs() < 0.01);
        let p = [x * y[0] * 7885.0, (1.0 - x) * y[1] * 6584.0];
        assert!((p[0] / (p[0] + p[1]) - vapour).abs() < 0.002);
    }
    let activity = Activity::Unifac(unifac);
    let share_at = |moles: f64| {
        let v = [
            moles * volatile[0].molar_volume,
            (1.0 - moles) * volatile[1].molar_volume,
        ];
        [v[0] / (v[0] + v[1]), v[1] / (v[0] + v[1])]
    };
    let end = |activity: &Activity, start: [f64; 2]| {
        path(&volatile, activity, &start, 0.1, 0.01)
            .last()
            .unwrap()
            .shares[0]
    };
    let (poor, rich) = (share_at(0.3), share_at(0.8));
    assert!(end(&activity, poor) < poor[0] && end(&activity, rich) > rich[0]);
    assert!(end(&Activity::Ideal, rich) < rich[0]);
}

/// The table of start points and paths of textbook blends, as `thermo` 0.6.1 has them.
#[test]
fn a_solution_turns_poor_before_a_quarter_is_gone() {
    let b72 = Hansen {
        d: 19.2,
        p: 11.2,
        h: 1.8,
        radius: Some(11.0),
    };
    let liquids = ["acetone", "heptane"].map(liquid);
    let hansen = liquids
        .each_ref()
        .map(|a| match a.head.facts.get("hansen")[0].value {
            Value::Hansen(it) => it,
            _ => panic!(),
        });
    let volatile = liquids.each_ref().map(|x| Volatile {
        molar_volume: 1e6 * middle(x, "molar-volume"),
        vapour_pressure: middle(x, "vapour-pressure"),
    });
    let groups = liquids
        .each_ref()
        .map(|x| Molecule::read(&x.head.facts.words("unifac")).unwrap());
    let unifac = Unifac::new(&[&groups[0], &groups[1]], BENCH_KELVIN).unwrap();
    let way = path(&volatile, &Activity::Unifac(unifac), &[0.4, 0.6], 0.1, 0.01);
    for (left, share, red) in [
        (1.0, 0.4, 0.949),
        (0.9, 0.3634, 0.972),
        (0.75, 0.2917, 1.020),
        (0.5, 0.0925, 1.173),
        (0.25, 0.0, 1.252),
    ] {
        let at = way
            .iter()
            .min_by(|a, b| {
                let off = |p: &chem::drying::Left| (p.left - left).abs();
                off(a).total_cmp(&off(b))
            })
            .unwrap();
        assert!(
            (at.shares[0] - share).abs() < 0.002,
            "{left}: {:?}",
            at.shares
        );
        let mixed = chem::blend(&[(hansen[0], at.shares[0]), (hansen[1], at.shares[1])]).unwrap();
        let got = chem::red(b72, mixed).unwrap();
        assert!((got - red).abs() < 0.01, "{left}: {got}");
    }
}

/// The exact bound is not beaten by SLSQP of scipy from many starts, keeps out of the balls, and the
/// best blend in steps comes within 0.1 MPa^0.5 of it: of 5 % in all cases but one, finer in that.
#[test]
fn the_bound_is_exact_and_blends_in_steps_come_near_it() {
    let all = reference("bounds");
    let liquids: Vec<Hansen> = all["liquids"]
        .as_array()
        .unwrap()
        .iter()
        .map(point)
        .collect();
    let (mut worst, mut near) = (0.0_f64, 0);
    for case in all["cases"].as_array().unwrap() {
        let balls: Vec<Ball> = case["balls"]
            .as_array()
            .unwrap()
            .iter()
            .map(|b| Ball {
                centre: point(&b["centre"]),
                radius: b["radius"].as_f64().unwrap(),
                layer: 0,
            })
            .collect();
        let target = point(&case["target"]);
        let space = Space::new(&liquids, target, &balls, 20);
        let exact = bound(&space).unwrap();
        for ball in &balls {
            assert!(chem::distance(ball.centre, exact.at) >= ball.radius - 1e-5);
        }
        assert!((chem::distance(target, exact.at) - exact.ra).abs() < 1e-9);
        let theirs = case["slsqp"].as_f64().unwrap();
        assert!(exact.ra <= theirs + 1e-4, "{} {theirs}", exact.ra);
        // A search from many starts finds it, but for a hair.
        assert!(theirs - exact.ra < 0.05, "{} {theirs}", exact.ra);
        let gap = |steps: u8, most: usize| {
            let space = Space::new(&liquids, target, &balls, steps);
            let best = nearest(&space, most, 1, &mut |_| true).unwrap()[0].ra;
            assert!(best >= exact.ra - 1e-6);
            best - exact.ra
        };
        let five = gap(20, 4);
        near += usize::from(five <= 0.1);
        // Where the balls leave but a sliver of the hull, finer steps are wanted.
        let least =
            [(50, 3), (100, 3)].into_iter().fold(
                five,
                |g, (s, m)| if g <= 0.1 { g } else { g.min(gap(s, m)) },
            );
        worst = worst.max(least);
        println!(
            "bound {:.4}: {five:.4} in steps of 5 %, {least:.4} at the finest",
            exact.ra
        );
        assert!(least <= 0.1, "{least}");
    }
    println!("greatest gap: {worst:.4} MPa^0.5; {near} of 8 within 0.1 in steps of 5 %");
    assert!(near >= 7, "{near}");
}

/// Hildebrand parameter from heat of vaporisation and molar volume beside √(δD² + δP² + δH²): ΔHvap of
/// `chemicals` 1.5.2. They agree within half a unit for liquids whose vapour is not associated.
#[test]
fn totals_agree_with_the_heat_of_vaporisation() {
    for (id, heat) in [
        ("acetone", 31_025.4),
        ("toluene", 38_039.5),
        ("ethanol", 42_413.4),
        ("n-hexane", 31_556.7),
        ("ethyl-acetate", 35_661.8),
        ("heptane", 36_574.9),
    ] {
        let agent = liquid(id);
        let volume = middle(&agent, "molar-volume");
        let total = ((heat - 8.314_462_618 * BENCH_KELVIN) / volume).sqrt() / 1000.0;
        let Value::Hansen(it) = agent.head.facts.get("hansen")[0].value else {
            panic!("{id}");
        };
        let own = (it.d * it.d + it.p * it.p + it.h * it.h).sqrt();
        assert!((own - total).abs() < 0.5, "{id}: {own} {total}");
    }
}

/// Every liquid that a blend may take is followed with groups, or is known not to be.
#[test]
fn most_solvents_have_groups_and_all_groups_are_read() {
    let (mut with, mut without) = (0, Vec::new());
    for index in 0..embedded().count(palinode::model::Kind::Agent) {
        let Some(palinode::model::Record::Agent(agent)) =
            embedded().record(palinode::model::Kind::Agent, index)
        else {
            continue;
        };
        let words = agent.head.facts.words("unifac");
        if words.is_empty() {
            if agent.sort == palinode::model::AgentSort::Solvent {
                without.push(agent.head.id);
            }
            continue;
        }
        Molecule::read(&words).unwrap_or_else(|e| panic!("{}: {e}", agent.head.id));
        with += 1;
    }
    println!(
        "{with} liquids with groups; without: {}",
        without.join(", ")
    );
    assert!(with >= 110 && without.len() <= 12, "{with} {without:?}");
}
