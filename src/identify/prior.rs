//! Priors: what a material's role, its years of use and its place make of it before any test.
//! Judgment, stated here once: the factors are ours, the years are the records'.

use super::{Query, Stated};
use crate::model::scene::age_weight;
use crate::model::{Age, Group, Met, Role, Row, Set, Site, Table};
use crate::order::Arrange;

/// A material whose record does not name the role asked for: it may still have been used so.
const OTHER_ROLE: f64 = 0.06;
/// Outside the recorded years of use: records are late to begin and never end on the day.
const OUTSIDE_YEARS: f64 = 0.03;
/// Within the years of use, but outside the main years.
const MINOR_YEARS: f64 = 0.4;
/// Years unrecorded: between the two.
const UNKNOWN_YEARS: f64 = 0.3;
/// Where the record's roles do not go with the place that was stated.
const OTHER_SITE: f64 = 0.3;

/// Thickness from which a mass is no coat, in millimetres: films are measured in hundredths, brushed
/// pastes in tenths. Common practice; the figure is judgment.
const MASS_MM: f64 = 3.0;
/// In a mass: a cement that bridges a gap, and what is otherwise laid on thin. Judgment.
const MASS_ADHESIVE: f64 = 0.5;
const MASS_OTHER: f64 = 0.1;
/// Probability of the age that was said: a note may be wrong.
const SAID_AGE: f64 = 0.95;

/// On a support, or as something, of which the record does not say that it is met: less often than
/// `seldom` and a third of what it is elsewhere.
const OTHER_HOST: f64 = 0.1;

/// Prior over the materials, with what the user said of it laid over that of the records, which is given; sums
/// to 1 less [`super::NONE_PRIOR`].
pub(super) fn prior(table: &Table, query: &Query, records: &[f64]) -> Vec<f64> {
    let mut out = records.to_vec();
    if !query.prior.is_empty() {
        told(table, query, &mut out, 1.0 - super::NONE_PRIOR);
    }
    out
}

/// What the records alone make of it. The background of the tests is weighed by this one, so that what
/// was seen weighs the same whatever the user believes.
pub(super) fn of_records(table: &Table, query: &Query) -> Vec<f64> {
    let layers = query.stack.iter();
    let groups: Vec<Group> = layers
        .filter_map(|l| Group::parse(&l.layer.group))
        .collect();
    let mut out: Vec<f64> = table
        .rows
        .iter()
        .enumerate()
        .map(|(m, row)| {
            let (family, _) = &table.families[row.family as usize];
            let asked = (query.families.is_empty() || query.families.contains(family))
                && (query.among.is_empty() || query.among.contains(&m))
                && !query.set_aside.contains(&m);
            if asked {
                years(row, query) * met(row, query, &groups)
            } else {
                0.0
            }
        })
        .map(|p| p.max(0.0))
        .collect();
    let total: f64 = out.iter().sum();
    if total > 0.0 {
        for p in &mut out {
            *p *= (1.0 - super::NONE_PRIOR) / total;
        }
    }
    out
}

/// Makes what is chosen add up to `total`, in the proportions that it has; alike where it has none.
fn scale(out: &mut [f64], chosen: &[bool], total: f64) {
    let sum: f64 = out
        .iter()
        .zip(chosen)
        .filter(|(_, c)| **c)
        .map(|(p, _)| p)
        .sum();
    let own = chosen.iter().filter(|c| **c).count();
    for (p, _) in out.iter_mut().zip(chosen).filter(|(_, c)| **c) {
        *p = if sum > 0.0 {
            *p * total / sum
        } else {
            total / own as f64
        };
    }
}

/// Lays the user's own prior over that of the records: what was named gets what was said, a family in
/// the proportions of its members; the rest is shared by the rest.
fn told(table: &Table, query: &Query, out: &mut [f64], all: f64) {
    let mut free = vec![true; out.len()];
    let mut left = all;
    // A material named by itself does not draw on the share of its family.
    let mut order: Vec<&Stated> = query.prior.iter().collect();
    order.arrange_by_key(|it| it.materials.is_empty());
    for it in order {
        let chosen: Vec<bool> = table
            .rows
            .iter()
            .enumerate()
            .map(|(m, row)| {
                let family = &table.families[row.family as usize].0;
                free[m]
                    && !query.set_aside.contains(&m)
                    && (it.materials.contains(&m) || it.families.contains(family))
            })
            .collect();
        let share = it.probability.min(left);
        scale(out, &chosen, share);
        left -= share;
        for (f, c) in free.iter_mut().zip(&chosen) {
            *f &= !c;
        }
    }
    if free.iter().zip(out.iter()).any(|(f, p)| *f && *p > 0.0) {
        scale(out, &free, left.max(0.0));
    }
}

/// How readily a material of one role is met when another is asked for: a wax is called a coating
/// or a residue, a cement that holds a dowel an adhesive or a fill. Judgment.
const fn affinity(asked: Role, has: Role) -> f64 {
    use Role::{Adhesive, Coating, Consolidant, Deposit, Fastener, Fill, MetalPaint, Overpaint};
    match (asked, has) {
        (Coating, Overpaint | MetalPaint) | (Overpaint, MetalPaint) => 0.6,
        (Coating, Consolidant) | (Consolidant, Coating) | (Overpaint, Coating) => 0.4,
        (Adhesive, Fill) | (Fill, Adhesive) | (Consolidant, Adhesive) => 0.4,
        (Coating, Deposit) | (Deposit, Coating | Overpaint) | (Adhesive, Consolidant) => 0.25,
        (Adhesive, Coating) | (Coating, Adhesive) | (MetalPaint, Overpaint) => 0.15,
        // A rod is seen to be one; what is called a pin may be cement or lead cast in a hole.
        (Fastener, Fill) => 0.4,
        (Adhesive | Fill, Fastener) | (Fastener, Adhesive) => 0.15,
        _ => OTHER_ROLE,
    }
}

/// How far one of the roles asked for goes with a role that it has.
fn role(has: Role, query: &Query) -> f64 {
    if query.roles.is_empty() || query.roles.contains(&has) {
        return 1.0;
    }
    query
        .roles
        .iter()
        .map(|asked| affinity(*asked, has))
        .fold(OTHER_ROLE, f64::max)
}

/// How often it is met as what was asked for, there, on layers of these groups: the best of what its record
/// says.
fn met(row: &Row, query: &Query, groups: &[Group]) -> f64 {
    let one = |met: Met, roles: Set<Role>, on: Set<Group>| {
        let roles = if roles.is_empty() { row.roles } else { roles };
        let fits = on.is_empty() || groups.is_empty() || groups.iter().any(|g| on.contains(*g));
        let host = if fits { 1.0 } else { OTHER_HOST };
        roles
            .iter()
            .map(|has| rate(met) * host * role(has, query) * place(has, query))
            .fold(0.0, f64::max)
    };
    row.met
        .iter()
        .map(|(met, roles, on)| one(*met, *roles, *on))
        .reduce(f64::max)
        // The record does not say: as one that is met some times a year, anywhere.
        .unwrap_or_else(|| one(Met::Sometimes, Set::default(), Set::default()))
}

/// How often it is met in old restorations, as a rate beside `sometimes`, by what the vocabulary says
/// that the words mean: 12, 6, 3, 1 and 1/3 times a year.
const fn rate(met: Met) -> f64 {
    match met {
        Met::Often => 4.0,
        Met::Regularly => 2.0,
        Met::Sometimes => 1.0,
        Met::Rarely => 1.0 / 3.0,
        Met::Seldom => 1.0 / 9.0,
    }
}

fn years(row: &Row, query: &Query) -> f64 {
    let Some((from, to)) = query.restored else {
        return 1.0;
    };
    let Some((used_from, main_from, main_to, used_to)) = row.years else {
        return UNKNOWN_YEARS;
    };
    // Share of the bracket that lies in the years of use, so that a long bracket favours nobody.
    let span = f64::from(to.max(from)) - f64::from(from) + 1.0;
    let overlap = |a: i32, b: i32| {
        let years = f64::from(b.min(to)) - f64::from(a.max(from)) + 1.0;
        (years / span).clamp(0.0, 1.0)
    };
    let main = overlap(main_from, main_to);
    let used = (overlap(used_from, used_to) - main).max(0.0);
    let outside = (1.0 - main - used).max(0.0);
    main + used * MINOR_YEARS + outside * OUTSIDE_YEARS
}

fn place(has: Role, query: &Query) -> f64 {
    use Role::{Adhesive, Coating, Consolidant, Deposit, Fastener, Fill, MetalPaint, Overpaint};
    let good = match query.site {
        None => true,
        Some(Site::Film) => {
            matches!(has, Coating | Overpaint | MetalPaint | Deposit | Adhesive)
        }
        Some(Site::OpenJoint | Site::DeepJoint) => matches!(has, Adhesive | Fill | Fastener),
        Some(Site::Pores) => matches!(has, Consolidant | Coating | Deposit | Adhesive),
    };
    let thickness = match (query.thick_mm, has) {
        (Some(mm), Adhesive) if mm >= MASS_MM => MASS_ADHESIVE,
        (Some(mm), Coating | Overpaint | MetalPaint | Deposit | Consolidant) if mm >= MASS_MM => {
            MASS_OTHER
        }
        _ => 1.0,
    };
    thickness * if good { 1.0 } else { OTHER_SITE }
}

/// Probability that a part answers as aged of which that was said outright.
pub(super) fn said(age: Age) -> f64 {
    age_weight(age, SAID_AGE)
}

/// Probability that the material answers as aged. Judgment: films change within years and have
/// mostly changed by thirty; an old repair of unknown date is probably aged.
pub(super) fn aged(query: &Query) -> f64 {
    if let Some(age) = query.age {
        return said(age);
    }
    let Some((from, to)) = query.restored else {
        return 0.8;
    };
    let middle = f64::midpoint(f64::from(from.max(1000)), f64::from(to.min(query.now)));
    let age = (f64::from(query.now) - middle).max(0.0);
    (0.05 + 0.90 * (1.0 - (-age / 12.0).exp())).clamp(0.05, 0.95)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Meetings;

    fn row(years: Option<(i32, i32, i32, i32)>) -> Row {
        Row {
            roles: [Role::Coating].into_iter().collect(),
            family: 0,
            years,
            hazards: Set::default(),
            mixture: false,
            met: Meetings::new(),
        }
    }

    #[test]
    fn years_of_use_raise_and_lower_the_prior() {
        let query = |from, to| Query {
            restored: Some((from, to)),
            now: 2026,
            ..Query::default()
        };
        let nitrate = row(Some((1870, 1900, 1970, 2026)));
        let inside = years(&nitrate, &query(1930, 1940));
        let before = years(&nitrate, &query(1780, 1800));
        let late = years(&nitrate, &query(1990, 2000));
        assert!(inside > late && late > before, "{inside} {late} {before}");
        assert!((inside - 1.0).abs() < 1e-12);
        assert!((before - OUTSIDE_YEARS).abs() < 1e-12);
    }

    #[test]
    fn an_open_bracket_does_not_overflow() {
        let ancient = row(Some((i32::MIN, i32::MIN, i32::MAX, i32::MAX)));
        let query = Query {
            restored: Some((i32::MIN / 2, 2026)),
            now: 2026,
            ..Query::default()
        };
        assert!((years(&ancient, &query) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn age_grows_with_time_and_stays_a_probability() {
        let at = |year| {
            aged(&Query {
                restored: Some((year, year)),
                now: 2026,
                ..Query::default()
            })
        };
        assert!(at(2025) < at(2010) && at(2010) < at(1960));
        for year in [1000, 1960, 2026] {
            assert!((0.0..=1.0).contains(&at(year)));
        }
    }
}
