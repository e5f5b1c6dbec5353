//! Numbers are of a size that a conservator would believe.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Hansen, Kind, Value};
use crate::units::{Reading, Unit, YearEnd};

pub(super) const LINT: Lint = Lint {
    code: "K0218",
    name: "bounds",
    why: "a slipped point or a lost minus sign is still a number; only its size gives it away",
    check,
};

/// Kind, field, unit, lowest and highest believable value.
type Row = (Kind, &'static str, &'static str, f64, f64);

/// The bounds are wide on purpose, from memory: they catch slips, not surprises.
const BOUNDS: &[Row] = &[
    (Kind::Material, "tg", "C", -150.0, 300.0),
    (Kind::Material, "softens", "C", -50.0, 1300.0),
    (Kind::Material, "melts", "C", -50.0, 1800.0),
    (Kind::Material, "ignites", "C", 30.0, 1000.0),
    (Kind::Material, "refractive-index", "", 1.3, 3.0),
    (Kind::Material, "density", "g/ml", 0.05, 12.0),
    (Kind::Material, "ph", "", 0.0, 14.0),
    (Kind::Material, "shrinkage", "%", 0.0, 90.0),
    (Kind::Material, "strength", "MPa", 0.0, 200.0),
    (Kind::Agent, "density", "g/ml", 0.5, 3.5),
    (Kind::Agent, "ph", "", 0.0, 14.0),
    (Kind::Agent, "molar-mass", "g/mol", 15.0, 1000.0),
    (Kind::Agent, "molar-volume", "ml/mol", 15.0, 1000.0),
    (Kind::Agent, "boils", "C", -50.0, 400.0),
    (Kind::Agent, "vapour-pressure", "kPa", 0.0, 100.0),
    (Kind::Agent, "evaporation", "", 0.0, 40.0),
    (Kind::Agent, "flash", "C", -60.0, 250.0),
    (Kind::Agent, "lfl", "%", 0.3, 30.0),
    (Kind::Agent, "limit", "ppm", 0.001, 5000.0),
    (Kind::Agent, "limit", "mg/m3", 1e-6, 10000.0),
    (Kind::Carrier, "share", "%", 0.05, 100.0),
    (Kind::Carrier, "ph", "", 0.0, 14.0),
    (Kind::Method, "dwell", "d", 0.0, 365.0),
    (Kind::Method, "passes", "", 1.0, 50.0),
    (Kind::Method, "temperature", "C", -200.0, 400.0),
    (Kind::Test, "positive", "", 0.0, 1.0),
    (Kind::Test, "false-positive", "", 0.0, 1.0),
    (Kind::Test, "reliability", "", 0.0, 1.0),
];

/// Hansen parameters in `MPa^0.5`: dispersion, polarity, hydrogen bonding, radius.
const HANSEN: [(&str, f64, f64); 4] = [
    ("dispersion", 10.0, 30.0),
    ("polarity", 0.0, 35.0),
    ("hydrogen bonding", 0.0, 45.0),
    ("radius", 0.5, 35.0),
];

/// Years of the common era from which, and to which, restorations are dated.
const YEARS: (i32, i32) = (-3000, 2100);

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for stated in scope
        .facts()
        .into_iter()
        .filter(|s| s.group == Group::Fields)
    {
        let kind = stated.record.kind();
        let beyond = match &stated.fact.value {
            Value::Measure(quantity) => BOUNDS
                .iter()
                .filter(|(k, key, ..)| *k == kind && *key == stated.key)
                .find_map(|(.., unit, low, high)| {
                    let found = quantity.convert(Unit::from_symbol(unit)?, Reading::Point)?;
                    let fits = |end: f64| end.is_infinite() || (*low..=*high).contains(&end);
                    (!fits(found.low) || !fits(found.high))
                        .then(|| format!("{low}..{high} {unit}").trim_end().to_owned())
                }),
            Value::Hansen(hansen) => hansen_beyond(*hansen),
            Value::Years(span) => {
                let fits = |end| match end {
                    YearEnd::Year(year) => (YEARS.0..=YEARS.1).contains(&year),
                    YearEnd::Open | YearEnd::Antiquity | YearEnd::Now => true,
                };
                (!fits(span.from) || !fits(span.to)).then(|| format!("{}..{}", YEARS.0, YEARS.1))
            }
            _ => None,
        };
        if let Some(bounds) = beyond {
            let diagnostic = Diagnostic::error(
                "K0218",
                format!("`{}` is outside what is believable", stated.key),
            )
            .help(format!(
                "expected within {bounds}; a true value beyond it moves the bound in src/lint/bounds.rs"
            ));
            out.push(scope.finding(&Spot::At(&stated.fact.place), diagnostic));
        }
    }
}

fn hansen_beyond(hansen: Hansen) -> Option<String> {
    let values = [
        Some(hansen.d),
        Some(hansen.p),
        Some(hansen.h),
        hansen.radius,
    ];
    values
        .into_iter()
        .zip(HANSEN)
        .find_map(|(value, (name, low, high))| {
            (!(low..=high).contains(&value?)).then(|| format!("{name} {low}..{high} MPa^0.5"))
        })
}

#[cfg(test)]
mod tests {
    use super::BOUNDS;
    use crate::model::field::{Holds, field_of};
    use crate::units::{Tag, Unit};

    #[test]
    fn every_row_is_a_field_in_a_unit_of_its_own() {
        for (kind, key, unit, low, high) in BOUNDS {
            let unit = Unit::from_symbol(unit)
                .expect("a unit of the table")
                .dimension();
            let field = field_of(*kind, key).expect("a field");
            assert!(low < high, "{key}");
            match field.holds {
                Holds::Measure(d) | Holds::MeasureOrText(d) => assert_eq!(d, unit, "{key}"),
                Holds::Limit => assert!(unit.tag == Tag::PerMillion || unit.tag == Tag::None),
                other => panic!("{key} holds {other:?}"),
            }
        }
    }
}
