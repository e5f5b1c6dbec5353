//! How a blend changes while it dries: what is left of it, and of what that consists.
//!
//! Gas-side control with one transfer coefficient for all: every liquid leaves at a rate that goes as
//! its partial pressure x γ p° (Poling, Prausnitz and O'Connell 2001, ch. 8; from memory). That holds for
//! a free surface. Under a gel, a film or a cover the liquid leaves as that lets it.

use super::unifac::Unifac;

/// Temperature at which blends are reckoned, kelvin: the vapour pressures of the corpus are at 25 °C.
pub const BENCH_KELVIN: f64 = 298.15;
/// Share of a liquid, by volume, below which it counts as gone.
const GONE: f64 = 1e-7;
/// Greatest part of any liquid that one step may take away, so that what leaves fast is followed.
const GREATEST_LOSS: f64 = 0.05;

/// What the path needs of a liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volatile {
    /// Molar volume, ml/mol.
    pub molar_volume: f64,
    /// Vapour pressure at the temperature of the bench, pascal.
    pub vapour_pressure: f64,
}

/// How the liquids of a blend act on one another.
#[derive(Clone, Debug)]
pub enum Activity {
    /// By groups.
    Unifac(Unifac),
    /// As if they did not: never a ground for "safe" with an alcohol beside an alkane.
    Ideal,
}

impl Activity {
    /// Activity coefficients at mole fractions `x`.
    #[must_use]
    pub fn coefficients(&self, x: &[f64]) -> Vec<f64> {
        match self {
            Self::Unifac(it) => it.coefficients(x),
            Self::Ideal => vec![1.0; x.len()],
        }
    }
}

/// One point of a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    /// Share of the liquid that is left, by volume, 1 at the start.
    pub left: f64,
    /// Shares of the liquids in it, by volume; they sum to 1.
    pub shares: Vec<f64>,
}

/// Mole fractions of volume fractions. Empty when nothing is there.
#[must_use]
pub fn mole_fractions(liquids: &[Volatile], shares: &[f64]) -> Vec<f64> {
    let moles: Vec<f64> = liquids
        .iter()
        .zip(shares)
        .map(|(l, s)| s / l.molar_volume)
        .collect();
    let total: f64 = moles.iter().sum();
    if total <= 0.0 {
        return Vec::new();
    }
    moles.iter().map(|n| n / total).collect()
}

/// Partial pressures over a blend of these volume shares, pascal.
#[must_use]
pub fn partial_pressures(liquids: &[Volatile], activity: &Activity, shares: &[f64]) -> Vec<f64> {
    let x = mole_fractions(liquids, shares);
    if x.is_empty() {
        return vec![0.0; liquids.len()];
    }
    let y = activity.coefficients(&x);
    liquids
        .iter()
        .zip(x.iter().zip(&y))
        .map(|(l, (x, y))| x * y * l.vapour_pressure)
        .collect()
}

/// The path of a blend from the start down to the share `to` of its volume, with a point at every
/// `step` of the starting volume; the first point is the start, the last is at `to`. Empty when a
/// share is negative, none is above zero, or a liquid has no volume or no pressure.
#[must_use]
pub fn path(
    liquids: &[Volatile],
    activity: &Activity,
    start: &[f64],
    to: f64,
    step: f64,
) -> Vec<Left> {
    let total: f64 = start.iter().sum();
    let sound = liquids.len() == start.len()
        && total > 0.0
        && start.iter().all(|s| *s >= 0.0)
        && step > 0.0
        && (0.0..1.0).contains(&to)
        && liquids
            .iter()
            .all(|l| l.molar_volume > 0.0 && l.vapour_pressure > 0.0);
    if !sound {
        return Vec::new();
    }
    // Volumes left, of one in all.
    let mut volumes: Vec<f64> = start.iter().map(|s| s / total).collect();
    let mut left = 1.0;
    let mut out = vec![point(&volumes)];
    let mut next = 1.0 - step;
    while left > to + 1e-12 {
        let until = next.max(to);
        let rates = rates(liquids, activity, &volumes);
        let mut h: f64 = left - until;
        for (v, r) in volumes.iter().zip(&rates) {
            if *v > GONE && *r > 0.0 {
                h = h.min(GREATEST_LOSS * v / r);
            }
        }
        // What is all but gone does not hold the step up.
        let h = h.max(1e-6).min(left - until);
        let middle: Vec<f64> = volumes
            .iter()
            .zip(&rates)
            .map(|(v, r)| (v - 0.5 * h * r).max(0.0))
            .collect();
        let rates = self::rates(liquids, activity, &middle);
        for (v, r) in volumes.iter_mut().zip(&rates) {
            *v = (*v - h * r).max(0.0);
            if *v < GONE {
                *v = 0.0;
            }
        }
        let now: f64 = volumes.iter().sum();
        if now <= 0.0 {
            break;
        }
        left = now;
        if left <= until + 1e-9 {
            out.push(point(&volumes));
            next -= step;
        }
    }
    out
}

fn point(volumes: &[f64]) -> Left {
    let left: f64 = volumes.iter().sum();
    Left {
        left,
        shares: volumes.iter().map(|v| v / left).collect(),
    }
}

/// Volume of each liquid that leaves for a unit of volume that leaves in all.
fn rates(liquids: &[Volatile], activity: &Activity, volumes: &[f64]) -> Vec<f64> {
    let mut out = partial_pressures(liquids, activity, volumes);
    for (rate, liquid) in out.iter_mut().zip(liquids) {
        *rate *= liquid.molar_volume;
    }
    let total: f64 = out.iter().sum();
    if total > 0.0 {
        out.iter_mut().for_each(|r| *r /= total);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn of(molar_volume: f64, vapour_pressure: f64) -> Volatile {
        Volatile {
            molar_volume,
            vapour_pressure,
        }
    }

    /// Where the liquids do not act on one another, n1/n1⁰ = (n2/n2⁰)^(p1/p2) holds exactly.
    #[test]
    fn an_ideal_path_keeps_the_exact_law() {
        let liquids = [of(74.0, 30_727.0), of(147.4, 6100.0)];
        let path = path(&liquids, &Activity::Ideal, &[0.4, 0.6], 0.1, 0.01);
        assert!(path.len() > 80);
        for p in &path {
            let (a, b) = (p.left * p.shares[0] / 0.4, p.left * p.shares[1] / 0.6);
            assert!(
                (a - b.powf(30_727.0 / 6100.0)).abs() < 1e-3,
                "{p:?}: {a} {b}"
            );
        }
        assert!((path.last().unwrap().left - 0.1).abs() < 1e-6);
    }

    #[test]
    fn one_liquid_stays_itself_and_nonsense_has_no_path() {
        let one = path(&[of(58.7, 7885.0)], &Activity::Ideal, &[2.0], 0.1, 0.05);
        assert!(one.iter().all(|p| (p.shares[0] - 1.0).abs() < 1e-12));
        let two = [of(58.7, 7885.0), of(74.0, 30_727.0)];
        for (start, to, step) in [
            (vec![0.0, 0.0], 0.1, 0.01),
            (vec![-1.0, 2.0], 0.1, 0.01),
            (vec![1.0], 0.1, 0.01),
            (vec![1.0, 1.0], 1.5, 0.01),
            (vec![1.0, 1.0], 0.1, 0.0),
        ] {
            assert!(path(&two, &Activity::Ideal, &start, to, step).is_empty());
        }
    }
}
