//! Conductivity of dilute salts in water, so that a rinse can be matched to a surface.
//!
//! κ = Σ |z| c λ, in µS/cm with c in mol/l and λ the equivalent conductivity of an ion in
//! S cm²/mol. An estimate: the meter has the last word.

/// An ion as it stands in a solution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dissolved {
    /// Charge, with its sign.
    pub charge: i32,
    /// mol/l.
    pub molar: f64,
    /// Limiting equivalent conductivity at 25 °C, S cm²/mol.
    pub limiting: f64,
}

/// Size of the ion cloud in the denominator of the extended law: 1 + B å √I with å = 4 Å, which
/// carries it to 0.1 mol/l (form of Falkenhagen, Leist and Kelbg 1952, from memory).
const CLOUD: f64 = 1.3;

/// Conductivity in µS/cm at 25 °C. Each ion loses the share 0.229 |z| of its conductivity to its
/// cloud and 30.1 |z| to the drag of the water, both times √I/(1 + 1.3 √I). For single charges this
/// is Onsager's limiting law with the cloud's size.
#[must_use]
pub fn estimate(ions: &[Dissolved]) -> f64 {
    let ionic: f64 = 0.5
        * ions
            .iter()
            .map(|ion| f64::from(ion.charge * ion.charge) * ion.molar)
            .sum::<f64>();
    let root = ionic.sqrt();
    let damp = root / (1.0 + CLOUD * root);
    ions.iter()
        .map(|ion| {
            let z = f64::from(ion.charge.abs());
            let own = (ion.limiting - (0.229 * z * ion.limiting + 30.10 * z) * damp).max(0.0);
            1000.0 * z * ion.molar * own
        })
        .sum()
}

/// Strength in mol/l at which a conductivity is reached, by halving. `conducts` gives µS/cm for
/// mol/l and must rise. `None` where `most` mol/l do not reach it.
#[must_use]
pub fn strength_for(wanted: f64, most: f64, conducts: impl Fn(f64) -> f64) -> Option<f64> {
    if conducts(most) < wanted {
        return None;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if conducts(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}
