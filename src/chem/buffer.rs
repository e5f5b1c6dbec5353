//! Buffers: shares of the forms of an acid, ionic strength, and what to weigh for a pH.
//!
//! pH = pKa′ + log([base]/[acid]) with pKa′ = pKa + log γ(base) − log γ(acid) and activity
//! coefficients by Davies: log γ = −A z² (√I/(1 + √I) − 0.3 I), good to about I = 0.5 mol/l (Davies
//! 1962, from memory). Concentrations in mol/l, temperatures in kelvin. The pH that counts is the
//! one that is measured.

use crate::model::reagent::{Buffer, Ingredient};

/// Gas constant, J/(mol K).
const R: f64 = 8.314_462_618;
/// Reference temperature, K.
const THETA: f64 = 298.15;
/// Ionic strength, mol/l, past which Davies' equation is no longer trusted.
pub const DAVIES_LIMIT: f64 = 0.5;
/// Ionic product of water: pK, enthalpy kJ/mol, heat capacity J/(mol K) (CRC Handbook, from memory).
const WATER: (f64, f64, f64) = (13.995, 55.815, -224.6);
/// Rounds of settling ionic strength against shares; it converges in about ten.
const ROUNDS: usize = 60;

/// pK at a temperature, from pK, enthalpy (kJ/mol) and change of heat capacity (J/(mol K)) at
/// 25 °C: the integrated van 't Hoff equation (form as in the CRC Handbook's table of buffers,
/// section 7, opening).
#[must_use]
pub fn pk_at(pk: f64, enthalpy: f64, heat_capacity: f64, kelvin: f64) -> f64 {
    let ln10 = std::f64::consts::LN_10;
    pk + enthalpy * 1e3 / (R * ln10) * (1.0 / kelvin - 1.0 / THETA)
        - heat_capacity / (R * ln10) * (THETA / kelvin - 1.0 + (kelvin / THETA).ln())
}

/// The Debye–Hückel constant A of water at a temperature: 1.8246e6 (ε T)^(−3/2), with the dielectric
/// constant of Malmberg and Maryott 1956 (both from memory). 0.509 at 25 °C.
#[must_use]
pub fn debye_huckel(kelvin: f64) -> f64 {
    let t = kelvin - 273.15;
    let dielectric = 87.740 - 0.400_08 * t + 9.398e-4 * t * t - 1.410e-6 * t * t * t;
    1.8246e6 * (dielectric * kelvin).powf(-1.5)
}

/// log10 of the activity coefficient of an ion of charge `z` at ionic strength `ionic`.
#[must_use]
pub fn log_gamma(z: i32, ionic: f64, a: f64) -> f64 {
    let root = ionic.sqrt();
    -a * f64::from(z * z) * (root / (1.0 + root) - 0.3 * ionic)
}

/// A buffer solution that has settled.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    /// pH.
    pub ph: f64,
    /// Ionic strength, mol/l.
    pub ionic: f64,
    /// Concentration of each form, the most protonated first: charge, mol/l.
    pub forms: Vec<(i32, f64)>,
    /// Apparent pKa of each step at this ionic strength and temperature.
    pub pk: Vec<f64>,
    /// H⁺, mol/l.
    pub hydrogen: f64,
    /// OH⁻, mol/l.
    pub hydroxide: f64,
    /// Strong ions that keep the charge even, mol/l: Na⁺ or K⁺ above zero, Cl⁻ below.
    pub strong: f64,
}

impl Settled {
    /// Buffer capacity, mol/l per unit of pH: what strong acid or base moves it by one unit.
    #[must_use]
    pub fn capacity(&self) -> f64 {
        let total: f64 = self.forms.iter().map(|(_, c)| c).sum();
        if total <= 0.0 {
            return 0.0;
        }
        let mean: f64 = self
            .forms
            .iter()
            .map(|(z, c)| f64::from(*z) * c)
            .sum::<f64>()
            / total;
        let spread: f64 = self
            .forms
            .iter()
            .map(|(z, c)| (f64::from(*z) - mean).powi(2) * c)
            .sum();
        std::f64::consts::LN_10 * (spread + self.hydrogen + self.hydroxide)
    }
}

/// The forms of a buffer at a pH, `total` mol/l of it, with strong ions to keep the charge even.
#[must_use]
pub fn settle(buffer: &Buffer, total: f64, ph: f64, kelvin: f64) -> Settled {
    settle_with(buffer, total, ph, kelvin, 0.0)
}

/// The same in water that holds `salt` mol/l of a salt of single charges besides.
fn settle_with(buffer: &Buffer, total: f64, ph: f64, kelvin: f64, salt: f64) -> Settled {
    let a = debye_huckel(kelvin);
    let water = pk_at(WATER.0, WATER.1, WATER.2, kelvin);
    let mut ionic = total;
    let mut out = Settled {
        ph,
        ionic,
        forms: Vec::new(),
        pk: Vec::new(),
        hydrogen: 0.0,
        hydroxide: 0.0,
        strong: 0.0,
    };
    for _ in 0..ROUNDS {
        // Beyond its range the equation turns up again; it is held at its end, and the answer says so.
        let held = ionic.min(DAVIES_LIMIT);
        let mut weights = vec![0.0_f64];
        out.pk.clear();
        for (k, step) in buffer.steps.iter().enumerate() {
            let z = buffer.charge - i32::try_from(k).unwrap_or(0);
            let pk = pk_at(step.pk, step.enthalpy, step.heat_capacity, kelvin)
                + log_gamma(z - 1, held, a)
                - log_gamma(z, held, a);
            out.pk.push(pk);
            weights.push(weights[k] + ph - pk);
        }
        // Against the largest, so that no power of ten overflows.
        let largest = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let shares: Vec<f64> = weights.iter().map(|w| 10f64.powf(w - largest)).collect();
        let sum: f64 = shares.iter().sum();
        out.forms = shares
            .iter()
            .enumerate()
            .map(|(k, s)| {
                (
                    buffer.charge - i32::try_from(k).unwrap_or(0),
                    total * s / sum,
                )
            })
            .collect();
        let single = log_gamma(1, held, a);
        out.hydrogen = 10f64.powf(-ph - single);
        out.hydroxide = 10f64.powf(ph - water - single);
        let charge: f64 = out.forms.iter().map(|(z, c)| f64::from(*z) * c).sum();
        out.strong = out.hydroxide - out.hydrogen - charge;
        let next = 0.5
            * (out
                .forms
                .iter()
                .map(|(z, c)| f64::from(z * z) * c)
                .sum::<f64>()
                + out.hydrogen
                + out.hydroxide
                + out.strong.abs())
            + salt;
        let settled = (next - ionic).abs() < 1e-12;
        ionic = f64::midpoint(ionic, next);
        out.ionic = next;
        if settled {
            break;
        }
    }
    out
}

/// The pH at which `total` mol/l of a buffer hold `strong` mol/l of strong cations (negative:
/// anions), besides `salt` mol/l of a neutral salt. Between pH 0 and 14.
#[must_use]
pub fn ph_of(buffer: &Buffer, total: f64, strong: f64, salt: f64, kelvin: f64) -> f64 {
    let (mut low, mut high) = (0.0, 14.0);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if settle_with(buffer, total, middle, kelvin, salt).strong < strong {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// What to take of the two ingredients of a buffer, mol/l of each: the acid and the basic one.
/// Together they hold `total` mol/l of the buffer and `strong` mol/l of strong ions. `None` when one
/// would have to be taken away.
#[must_use]
pub fn recipe(acid: &Ingredient, base: &Ingredient, total: f64, strong: f64) -> Option<(f64, f64)> {
    // a·n(a) + b·n(b) = total; a·k(a) + b·k(b) = strong.
    let (na, nb) = (f64::from(acid.carries), f64::from(base.carries));
    let (ka, kb) = (f64::from(acid.strong), f64::from(base.strong));
    let determinant = na * kb - nb * ka;
    if determinant == 0.0 {
        return None;
    }
    let a = (total * kb - nb * strong) / determinant;
    let b = (na * strong - total * ka) / determinant;
    // What is less than a thousandth below zero is the water's own H⁺ and OH⁻.
    let least = -1e-3 * total;
    (a >= least && b >= least).then(|| (a.max(0.0), b.max(0.0)))
}
