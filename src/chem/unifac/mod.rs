//! Activity coefficients in a liquid mixture by the original UNIFAC method (Fredenslund, Jones and
//! Prausnitz 1975; form as in Poling, Prausnitz and O'Connell 2001, ch. 8; from memory).
//!
//! Good to some ten per cent for the vapour over ordinary solvents near room temperature. Says
//! nothing of salts, polymers, or of what a film holds back.

mod table;

use table::{INTERACTIONS, SUBGROUPS};

/// Coordination number of the lattice, as the method fixes it.
const Z: f64 = 10.0;

/// A molecule as groups: position in the table, and how many of it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Molecule(Vec<(usize, f64)>);

/// Why activity coefficients cannot be had.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoActivity {
    /// A word that names no group with its number.
    #[error("`{0}` is no group of the table with its number, for example `CH3 2`")]
    NoGroup(String),
    /// The table has no figures for two groups beside one another.
    #[error("the table has no figures for {0} beside {1}")]
    NoInteraction(&'static str, &'static str),
    /// A molecule without groups.
    #[error("a molecule without groups")]
    Empty,
}

impl Molecule {
    /// Reads groups as a record writes them: `CH3 2`, `OH 1`.
    ///
    /// # Errors
    /// [`NoActivity::NoGroup`] for a word that is none, [`NoActivity::Empty`] for no word at all.
    pub fn read<S: AsRef<str>>(words: &[S]) -> Result<Self, NoActivity> {
        let mut out = Vec::new();
        for word in words {
            let word = word.as_ref();
            let group = word.rsplit_once(' ').and_then(|(name, count)| {
                let at = SUBGROUPS.iter().position(|(g, ..)| *g == name)?;
                let count: u32 = count.parse().ok().filter(|n| (1..=100).contains(n))?;
                Some((at, f64::from(count)))
            });
            match group {
                Some(group) => out.push(group),
                None => return Err(NoActivity::NoGroup(word.to_owned())),
            }
        }
        if out.is_empty() {
            return Err(NoActivity::Empty);
        }
        Ok(Self(out))
    }

    fn volume(&self) -> f64 {
        self.0.iter().map(|(k, n)| n * SUBGROUPS[*k].2).sum()
    }

    fn surface(&self) -> f64 {
        self.0.iter().map(|(k, n)| n * SUBGROUPS[*k].3).sum()
    }
}

/// The method for one set of molecules at one temperature, with all that does not depend on their
/// shares worked out once.
#[derive(Clone, Debug)]
pub struct Unifac {
    /// Volume and surface of each molecule.
    shapes: Vec<(f64, f64)>,
    /// Number of each group in each molecule: molecules × groups.
    counts: Vec<f64>,
    /// Surface of each group.
    surfaces: Vec<f64>,
    /// exp(−a/T) of every pair of groups, row m, column n.
    psi: Vec<f64>,
    /// Logarithm of the residual coefficient of each group in each pure liquid.
    pure: Vec<f64>,
}

impl Unifac {
    /// Prepares the method for these molecules at `kelvin`.
    ///
    /// # Errors
    /// [`NoActivity`] when a molecule has no groups, or the table lacks a pair.
    pub fn new(molecules: &[&Molecule], kelvin: f64) -> Result<Self, NoActivity> {
        let mut groups: Vec<usize> = Vec::new();
        for molecule in molecules {
            if molecule.0.is_empty() {
                return Err(NoActivity::Empty);
            }
            for (group, _) in &molecule.0 {
                if !groups.contains(group) {
                    groups.push(*group);
                }
            }
        }
        let g = groups.len();
        let mut psi = vec![1.0; g * g];
        for (row, m) in groups.iter().enumerate() {
            for (column, n) in groups.iter().enumerate() {
                let (from, to) = (SUBGROUPS[*m].1, SUBGROUPS[*n].1);
                if from != to {
                    let a = INTERACTIONS
                        .iter()
                        .find(|(x, y, _)| *x == from && *y == to)
                        .map(|(.., a)| *a)
                        .ok_or(NoActivity::NoInteraction(SUBGROUPS[*m].0, SUBGROUPS[*n].0))?;
                    psi[row * g + column] = (-a / kelvin).exp();
                }
            }
        }
        let mut counts = vec![0.0; molecules.len() * g];
        for (i, molecule) in molecules.iter().enumerate() {
            for (group, n) in &molecule.0 {
                if let Some(k) = groups.iter().position(|x| x == group) {
                    counts[i * g + k] += n;
                }
            }
        }
        let mut out = Self {
            shapes: molecules
                .iter()
                .map(|m| (m.volume(), m.surface()))
                .collect(),
            counts,
            surfaces: groups.iter().map(|k| SUBGROUPS[*k].3).collect(),
            psi,
            pure: vec![0.0; molecules.len() * g],
        };
        for i in 0..molecules.len() {
            let mut alone = vec![0.0; molecules.len()];
            alone[i] = 1.0;
            let own = out.residuals(&alone);
            out.pure[i * g..(i + 1) * g].copy_from_slice(&own);
        }
        Ok(out)
    }

    /// Logarithm of the residual activity coefficient of each group in a mixture.
    fn residuals(&self, x: &[f64]) -> Vec<f64> {
        let g = self.surfaces.len();
        let mut share = vec![0.0; g];
        for (i, x) in x.iter().enumerate() {
            for (k, share) in share.iter_mut().enumerate() {
                *share += x * self.counts[i * g + k];
            }
        }
        let total: f64 = share.iter().zip(&self.surfaces).map(|(s, q)| s * q).sum();
        if total <= 0.0 {
            return vec![0.0; g];
        }
        let theta: Vec<f64> = share
            .iter()
            .zip(&self.surfaces)
            .map(|(s, q)| s * q / total)
            .collect();
        // Σ_m θ_m ψ(m, k) of every k.
        let mut under = vec![0.0; g];
        for (m, theta) in theta.iter().enumerate() {
            for (k, under) in under.iter_mut().enumerate() {
                *under += theta * self.psi[m * g + k];
            }
        }
        (0..g)
            .map(|k| {
                let across: f64 = (0..g)
                    .map(|m| theta[m] * self.psi[k * g + m] / under[m])
                    .sum();
                self.surfaces[k] * (1.0 - under[k].ln() - across)
            })
            .collect()
    }

    /// Activity coefficients at mole fractions `x`, which sum to 1, one a molecule. A molecule of
    /// which nothing is left has the coefficient at infinite dilution.
    #[must_use]
    pub fn coefficients(&self, x: &[f64]) -> Vec<f64> {
        let g = self.surfaces.len();
        let mixed = self.residuals(x);
        let (mut volume, mut surface) = (0.0, 0.0);
        for (x, (r, q)) in x.iter().zip(&self.shapes) {
            volume += x * r;
            surface += x * q;
        }
        self.shapes
            .iter()
            .enumerate()
            .map(|(i, (r, q))| {
                // V = φ/x, F = θ/x (Staverman and Guggenheim).
                let (v, f) = (r / volume, q / surface);
                let combinatorial = 1.0 - v + v.ln() - 0.5 * Z * q * (1.0 - v / f + (v / f).ln());
                let residual: f64 = (0..g)
                    .map(|k| self.counts[i * g + k] * (mixed[k] - self.pure[i * g + k]))
                    .sum();
                (combinatorial + residual).exp()
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(a: &[&str], b: &[&str], kelvin: f64) -> Unifac {
        let (a, b) = (Molecule::read(a).unwrap(), Molecule::read(b).unwrap());
        Unifac::new(&[&a, &b], kelvin).unwrap()
    }

    /// Acetone and n-pentane at 307 K, x 0.047: 4.99 and 1.005 (Poling, Prausnitz and O'Connell 2001,
    /// example 8-12; from memory, and `thermo` 0.6.1 gives 4.992034 and 1.005260).
    #[test]
    fn acetone_in_pentane() {
        let it = pair(&["CH3 1", "CH3CO 1"], &["CH3 2", "CH2 3"], 307.0);
        let y = it.coefficients(&[0.047, 0.953]);
        assert!((y[0] - 4.992_034).abs() < 1e-5, "{y:?}");
        assert!((y[1] - 1.005_260).abs() < 1e-5, "{y:?}");
    }

    /// Diethylamine and n-heptane at 308.15 K, x 0.4: 1.133 and 1.047 (Smith, Van Ness and Abbott,
    /// App. H; from memory).
    #[test]
    fn diethylamine_in_heptane() {
        let it = pair(&["CH3 2", "CH2 1", "CH2NH 1"], &["CH3 2", "CH2 5"], 308.15);
        let y = it.coefficients(&[0.4, 0.6]);
        assert!(
            (y[0] - 1.133).abs() < 5e-4 && (y[1] - 1.047).abs() < 5e-4,
            "{y:?}"
        );
    }

    #[test]
    fn a_pure_liquid_has_one_and_what_is_gone_stays_finite() {
        let it = pair(
            &["CH3 1", "CH2 1", "OH 1"],
            &["CH3 5", "CH2 1", "CH 1", "C 1"],
            298.15,
        );
        let y = it.coefficients(&[1.0, 0.0]);
        assert!((y[0] - 1.0).abs() < 1e-12 && y[1].is_finite() && y[1] > 1.0);
    }

    #[test]
    fn what_the_table_lacks_is_said() {
        assert_eq!(
            Molecule::read(&["CH3 2", "XX 1"]),
            Err(NoActivity::NoGroup("XX 1".to_owned()))
        );
        assert_eq!(Molecule::read::<&str>(&[]), Err(NoActivity::Empty));
        assert!(Molecule::read(&["CH3 0"]).is_err() && Molecule::read(&["CH3"]).is_err());
        let (a, b) = (
            Molecule::read(&["SIO 4", "CH3 8"]).unwrap(),
            Molecule::read(&["NMP 1"]).unwrap(),
        );
        assert!(matches!(
            Unifac::new(&[&a, &b], 298.15),
            Err(NoActivity::NoInteraction(..))
        ));
    }
}
