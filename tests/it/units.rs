//! Units and quantities.
//!
//! Factors are held against NIST Special Publication 811 (2008), Guide for the
//! Use of the International System of Units, appendices B.8 and B.9, and the
//! SI Brochure, 9th edition, tables 4, 5 and 8 (both from memory; the values
//! are definitions of the units and exact).

use std::collections::BTreeSet;

use palinode::units::{
    Amount, Bounds, Dimension, FaultKind, Quantity, QuantityError, Reading, Tag, UNITS, Unit,
    YearEnd, YearSpan, foreign_unit, leading_unit, parse_quantity, parse_years, units_of,
};

fn unit(symbol: &str) -> Unit {
    Unit::from_symbol(symbol).unwrap_or_else(|| panic!("no unit {symbol}"))
}

fn quantity(text: &str) -> Quantity {
    parse_quantity(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

fn near(found: f64, wanted: f64) -> bool {
    (found - wanted).abs() <= 1e-12 * wanted.abs().max(1.0)
}

#[test]
fn factors_are_those_of_the_si() {
    let table: &[(&str, f64, &str, f64)] = &[
        // SP 811 B.8: bar 1.0 E+05 Pa, millibar 1.0 E+02 Pa.
        ("bar", 1.0, "Pa", 1.0e5),
        ("mbar", 1.0, "Pa", 1.0e2),
        // SP 811 B.8: centipoise 1.0 E-03 Pa s.
        ("cP", 1.0, "Pa s", 1.0e-3),
        // SP 811 B.8: micron 1.0 E-06 m.
        ("um", 1.0, "m", 1.0e-6),
        // SP 811 B.8: day 8.64 E+04 s, hour 3.6 E+03 s, litre 1.0 E-03 m3.
        ("d", 1.0, "s", 8.64e4),
        ("h", 1.0, "s", 3.6e3),
        ("l", 1.0, "m3", 1.0e-3),
        // SP 811 B.8: gram per cubic centimetre 1.0 E+03 kg/m3.
        ("g/ml", 1.0, "kg/m3", 1.0e3),
        // SI Brochure table 4: 1 N/mm2 is 1 MPa.
        ("N/mm2", 1.0, "MPa", 1.0),
        // A joule on a square metre is a newton on a metre.
        ("J/cm2", 1.0, "mN/m", 1.0e7),
        // Hildebrand: 1 MPa^0.5 is 1000 Pa^0.5, so its square is 1e6 Pa.
        ("weeks", 1.0, "d", 7.0),
        ("Mlx h", 1.0, "lux h", 1.0e6),
        ("mS/cm", 1.0, "uS/cm", 1.0e3),
        ("mol/l", 1.0, "mmol/l", 1.0e3),
        ("MPa", 1.0, "kPa", 1.0e3),
        ("GPa", 1.0, "MPa", 1.0e3),
        ("kN", 1.0, "N", 1.0e3),
        ("m2", 1.0, "cm2", 1.0e4),
        ("cm2", 1.0, "mm2", 1.0e2),
        ("ml", 1.0, "ul", 1.0e3),
        ("cm3", 1.0, "ml", 1.0),
        ("mg", 1.0, "ug", 1.0e3),
        ("g/l", 1.0, "mg/m3", 1.0e6),
    ];
    for (from, value, to, wanted) in table {
        assert_eq!(unit(from).dimension(), unit(to).dimension(), "{from} {to}");
        let found = unit(to).of_base(unit(from).to_base(*value));
        assert!(
            near(found, *wanted),
            "{value} {from} is {found} {to}, not {wanted}"
        );
    }
    let root = unit("MPa^0.5").to_base(1.0);
    assert!(near(root * root, unit("MPa").to_base(1.0)));
    assert_eq!(Dimension::SOLUBILITY.mass * 2, Dimension::PRESSURE.mass);
}

#[test]
fn a_temperature_is_a_point_or_a_difference() {
    // SP 811 B.9: T/K = t/C + 273.15; T/K = (t/F + 459.67)/1.8.
    let point = |text: &str| quantity(text).base(Reading::Point).expect("bounds").low;
    assert!(near(point("0 C"), 273.15));
    assert!(near(point("35 C"), 308.15));
    assert!(near(point("32 F"), 273.15));
    assert!(near(point("212 F"), 373.15));
    assert!(near(point("-40 F"), point("-40 C")));
    assert!(near(point("300 K"), 300.0));
    let difference = |text: &str| {
        quantity(text)
            .base(Reading::Difference)
            .expect("bounds")
            .low
    };
    assert!(near(difference("10 K"), 10.0));
    assert!(near(difference("10 C"), 10.0));
    assert!(near(difference("18 F"), 10.0));
    let range = quantity("65..75 C")
        .convert(unit("K"), Reading::Point)
        .expect("K");
    assert!(near(range.low, 338.15) && near(range.high, 348.15));
    assert!(quantity("-300 C").below_absolute_zero());
    assert!(!quantity("-20 C").below_absolute_zero());
    assert!(quantity("-500..20 F").below_absolute_zero());
}

#[test]
fn percents_parts_and_years_stay_apart() {
    let apart = [
        "%",
        "% RH",
        "% w/v",
        "% w/w",
        "% v/v",
        "parts",
        "ppm",
        "passes",
        "years",
        "air changes",
        "",
    ];
    let dimensions: BTreeSet<Dimension> = apart
        .iter()
        .map(|symbol| unit(symbol).dimension())
        .collect();
    assert_eq!(dimensions.len(), apart.len());
    assert_eq!(
        quantity("8 % w/v").convert(unit("% w/w"), Reading::Point),
        None
    );
    assert_eq!(
        quantity("50 years").convert(unit("d"), Reading::Point),
        None
    );
    assert_eq!(unit("years").dimension().tag, Tag::Years);
}

#[test]
fn quantities_of_the_corpus_are_read() {
    let range = |low: Option<f64>, high: Option<f64>| Amount::Range { low, high };
    let table: &[(&str, Amount, &str)] = &[
        ("65..75 C", range(Some(65.0), Some(75.0)), "C"),
        ("-20 C", Amount::Exact(-20.0), "C"),
        ("−20 °C", Amount::Exact(-20.0), "C"),
        ("0.5..2 %", range(Some(0.5), Some(2.0)), "%"),
        ("30 s", Amount::Exact(30.0), "s"),
        ("30s", Amount::Exact(30.0), "s"),
        ("1..10 min", range(Some(1.0), Some(10.0)), "min"),
        ("60..", range(Some(60.0), None), ""),
        ("1.47", Amount::Exact(1.47), ""),
        ("100", Amount::Exact(100.0), ""),
        ("0.95..0.98", range(Some(0.95), Some(0.98)), ""),
        ("1890..1935", range(Some(1890.0), Some(1935.0)), ""),
        ("1:1", Amount::Ratio(vec![1.0, 1.0]), "parts"),
        ("1:2:0.5", Amount::Ratio(vec![1.0, 2.0, 0.5]), "parts"),
        (
            "antiquity..now",
            Amount::Years(YearSpan {
                from: YearEnd::Antiquity,
                to: YearEnd::Now,
            }),
            "years",
        ),
        (" 5 µm ", Amount::Exact(5.0), "um"),
        ("24 hours", Amount::Exact(24.0), "h"),
        ("1 year", Amount::Exact(1.0), "years"),
        ("3 lx h", Amount::Exact(3.0), "lux h"),
        ("60 m³", Amount::Exact(60.0), "m3"),
    ];
    for (text, amount, symbol) in table {
        let found = quantity(text);
        assert_eq!(found.amount, *amount, "{text}");
        assert_eq!(found.unit.symbol(), *symbol, "{text}");
        assert_eq!(found.to_string(), text.trim(), "the literal is echoed");
    }
}

#[test]
fn what_is_no_quantity_is_refused() {
    let refused = |text: &str| parse_quantity(text).expect_err(text);
    assert_eq!(refused("  "), QuantityError::Empty);
    assert!(matches!(refused("soft"), QuantityError::NotANumber { .. }));
    assert!(matches!(refused("now"), QuantityError::NotANumber { .. }));
    let kind = |text: &str| match refused(text) {
        QuantityError::Refused { kind, .. } => kind,
        other => panic!("{text}: {other:?}"),
    };
    assert_eq!(kind("0,5 %"), FaultKind::Comma);
    assert_eq!(kind("5-10 min"), FaultKind::Hyphen);
    assert_eq!(kind("5–10 min"), FaultKind::Hyphen);
    assert_eq!(kind("75..65 C"), FaultKind::Backwards);
    assert_eq!(kind("now..1900"), FaultKind::Backwards);
    assert_eq!(kind("1.2.3"), FaultKind::Points);
    assert_eq!(kind(".5"), FaultKind::BarePoint);
    assert_eq!(kind(".."), FaultKind::LoneDots);
    assert_eq!(kind("0:1"), FaultKind::Ratio);
    assert_eq!(kind(&"9".repeat(400)), FaultKind::Long);
    assert!(matches!(
        refused("30 c"),
        QuantityError::NoUnit {
            advice: Some("C"),
            ..
        }
    ));
    assert!(matches!(refused("30 C 5"), QuantityError::NoUnit { .. }));
    assert!(matches!(refused("1:1 ml"), QuantityError::NoUnit { .. }));
    for text in ["", "soft", "0,5 %", "30 c", "30 xyz"] {
        let message = refused(text).to_string();
        assert!(!message.ends_with('.') && !message.starts_with(char::is_uppercase));
    }
    assert!(matches!(
        parse_years("5 C"),
        Err(QuantityError::NotYears { .. })
    ));
    assert!(matches!(
        parse_years("0.5..2"),
        Err(QuantityError::NotYears { .. })
    ));
}

#[test]
fn years_have_open_ends() {
    let years = |text: &str| parse_years(text).unwrap_or_else(|error| panic!("{text}: {error}"));
    assert_eq!(years("1890..1935").bounds(2026), (1890, 1935));
    assert_eq!(years("1923").bounds(2026), (1923, 1923));
    assert_eq!(years("1950..now").bounds(2026), (1950, 2026));
    assert_eq!(years("1950..").bounds(2026), (1950, i32::MAX));
    assert_eq!(years("antiquity..1900").bounds(2026), (i32::MIN, 1900));
    assert_eq!(years("-500..1200").bounds(2026), (-500, 1200));
    assert_eq!(years("antiquity..now").to_string(), "antiquity..now");
}

#[test]
fn the_table_of_units_is_sound() {
    let mut spellings = BTreeSet::new();
    for row in &UNITS[1..] {
        assert!(row.factor.is_finite() && row.factor > 0.0, "{}", row.symbol);
        assert_ne!(
            row.dimension.name(),
            "a compound quantity",
            "{}",
            row.symbol
        );
        for symbol in std::iter::once(&row.symbol).chain(row.also) {
            assert!(spellings.insert(*symbol), "`{symbol}` stands twice");
            assert!(symbol.is_ascii());
            assert_eq!(
                Unit::from_symbol(symbol).map(Unit::symbol),
                Some(row.symbol),
                "{symbol}"
            );
            assert_eq!(foreign_unit(symbol), None, "{symbol}");
        }
    }
    assert_eq!(UNITS[0].symbol, "");
    assert!(units_of(Dimension::TEMPERATURE).starts_with(&["C", "K", "F"]));
    // The words a unit could be taken for in a sentence are none.
    for word in ["in", "at", "on", "to", "by"] {
        assert_eq!(Unit::from_symbol(word), None);
    }
}

#[test]
fn the_longest_unit_wins_and_ends_with_its_word() {
    let found = |text: &str| leading_unit(text).map(|(unit, length)| (unit.symbol(), length));
    assert_eq!(found("mm2"), Some(("mm2", 3)));
    assert_eq!(found("mm thick"), Some(("mm", 2)));
    assert_eq!(found("mm-thick"), None);
    assert_eq!(found("mmx"), None);
    assert_eq!(found("g/ml"), Some(("g/ml", 4)));
    assert_eq!(found("g/mlx"), None);
    assert_eq!(found("lux  h"), Some(("lux h", 6)));
    assert_eq!(found("lux house"), Some(("lux", 3)));
    assert_eq!(found("%w/v"), Some(("% w/v", 4)));
    assert_eq!(found("% water"), Some(("%", 1)));
    assert_eq!(found("Pa)"), Some(("Pa", 2)));
    assert_eq!(found("ML"), None);
    assert_eq!(foreign_unit("ML"), Some("ml"));
    assert_eq!(foreign_unit("psi"), Some("kPa, 6.895 to the psi"));
    assert_eq!(foreign_unit("ethanol"), None);
}

#[test]
fn ratios_are_shares() {
    let shares = quantity("1:3").shares().expect("a ratio");
    assert!(near(shares[0], 0.25) && near(shares[1], 0.75));
    assert_eq!(quantity("5 ml").shares(), None);
    assert_eq!(quantity("1:3").bounds(), None);
    assert_eq!(
        quantity("5.. ml").bounds(),
        Some(Bounds {
            low: 5.0,
            high: f64::INFINITY
        })
    );
}
