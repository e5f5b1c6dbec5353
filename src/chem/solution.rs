//! Solutions: what to weigh and measure for a strength, and how sure it then is.
//!
//! Grams, millilitres and g/ml throughout; strengths in per cent. Where a volume is made of two,
//! they are taken to add up, which resin in solvent does within a per cent or two, and alcohol with
//! water does not: such a mixture is made up to the mark. What lacks a density is left out, not
//! guessed.

/// What goes in, and what comes of it. A figure that wants a density that is not on file is absent.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mixed {
    /// Solute, grams.
    pub solute_g: f64,
    /// Solvent, millilitres.
    pub solvent_ml: Option<f64>,
    /// Solvent, grams.
    pub solvent_g: Option<f64>,
    /// The whole, millilitres.
    pub total_ml: Option<f64>,
    /// The whole, grams.
    pub total_g: Option<f64>,
}

impl Mixed {
    /// From the solute and the solvent by weight.
    fn of_weights(
        solute_g: f64,
        solvent_g: f64,
        solute: Option<f64>,
        solvent: Option<f64>,
    ) -> Self {
        let solvent_ml = solvent.map(|d| solvent_g / d);
        Self {
            solute_g,
            solvent_ml,
            solvent_g: Some(solvent_g),
            total_ml: solute.zip(solvent_ml).map(|(d, ml)| solute_g / d + ml),
            total_g: Some(solute_g + solvent_g),
        }
    }

    /// Grams in 100 ml of the whole.
    #[must_use]
    pub fn weight_by_volume(&self) -> Option<f64> {
        self.total_ml.map(|ml| 100.0 * self.solute_g / ml)
    }

    /// Grams in 100 ml of the solvent.
    #[must_use]
    pub fn weight_by_solvent(&self) -> Option<f64> {
        self.solvent_ml.map(|ml| 100.0 * self.solute_g / ml)
    }

    /// Grams in 100 g of the whole.
    #[must_use]
    pub fn weight_by_weight(&self) -> Option<f64> {
        self.total_g.map(|g| 100.0 * self.solute_g / g)
    }
}

/// `strength` grams in 100 ml of solution, `volume` ml of it. Densities in g/ml, where known.
#[must_use]
pub fn per_solution(
    strength: f64,
    volume: f64,
    solute: Option<f64>,
    solvent: Option<f64>,
) -> Mixed {
    let solute_g = strength * volume / 100.0;
    let solvent_ml = solute.map(|d| volume - solute_g / d).filter(|ml| *ml > 0.0);
    let solvent_g = solvent_ml.zip(solvent).map(|(ml, d)| ml * d);
    Mixed {
        solute_g,
        solvent_ml,
        solvent_g,
        total_ml: Some(volume),
        total_g: solvent_g.map(|g| g + solute_g),
    }
}

/// `strength` grams to each 100 ml of solvent, so much that it comes to `volume` ml. Where the
/// solute's density is not known, it is so much that the solvent alone is `volume` ml.
#[must_use]
pub fn per_solvent(strength: f64, volume: f64, solute: Option<f64>, solvent: Option<f64>) -> Mixed {
    let solvent_ml = solute.map_or(volume, |d| volume / (1.0 + strength / 100.0 / d));
    let solute_g = strength * solvent_ml / 100.0;
    let solvent_g = solvent.map(|d| solvent_ml * d);
    Mixed {
        solute_g,
        solvent_ml: Some(solvent_ml),
        solvent_g,
        total_ml: solute.map(|d| solvent_ml + solute_g / d),
        total_g: solvent_g.map(|g| g + solute_g),
    }
}

/// `strength` grams in 100 g, `mass` grams of it.
#[must_use]
pub fn by_weight(strength: f64, mass: f64, solute: Option<f64>, solvent: Option<f64>) -> Mixed {
    let solute_g = strength * mass / 100.0;
    Mixed::of_weights(solute_g, mass - solute_g, solute, solvent)
}

/// Grams of a solution of `strength` grams in 100 g that fill `volume` ml, volumes adding up.
#[must_use]
pub fn mass_of_volume(strength: f64, volume: f64, solute: f64, solvent: f64) -> f64 {
    let share = strength / 100.0;
    volume / (share / solute + (1.0 - share) / solvent)
}

/// Millilitres of a solution of `strength` grams in 100 ml that weigh `mass` grams, volumes adding
/// up.
#[must_use]
pub fn volume_of_mass(strength: f64, mass: f64, solute: f64, solvent: f64) -> f64 {
    let density = strength / 100.0 + (1.0 - strength / 100.0 / solute) * solvent;
    mass / density
}

/// How much of a stock goes into `amount` of what is wanted: C₁V₁ = C₂V₂. For strengths by volume
/// with amounts in volume, and for % w/w with amounts in grams. `None` for a stock too weak.
#[must_use]
pub fn dilute(stock: f64, wanted: f64, amount: f64) -> Option<f64> {
    (stock > 0.0 && wanted <= stock).then(|| wanted * amount / stock)
}

/// Half-width at about 95 % of a strength, as a share of it, from a balance that reads to `digit`
/// grams and a vessel good to `tolerance` ml. Two readings of the balance, each rectangular over
/// one digit; the vessel rectangular over its tolerance; coverage factor 2 (JCGM 100:2008, 4.3.7,
/// from memory).
#[must_use]
pub fn spread(mass: f64, digit: f64, volume: f64, tolerance: f64) -> f64 {
    let weighing = digit / 6.0_f64.sqrt() / mass;
    let measuring = if volume > 0.0 {
        tolerance / 3.0_f64.sqrt() / volume
    } else {
        0.0
    };
    2.0 * weighing.hypot(measuring)
}

/// Graduated cylinders: (holds, ml; limit of error, ml), class B (ISO 4788, from memory).
const CYLINDERS: &[(f64, f64)] = &[
    (5.0, 0.1),
    (10.0, 0.2),
    (25.0, 0.5),
    (50.0, 1.0),
    (100.0, 1.0),
    (250.0, 2.0),
    (500.0, 5.0),
    (1000.0, 10.0),
    (2000.0, 20.0),
];

/// One-mark volumetric flasks: (holds, ml; limit of error, ml), class B (ISO 1042, from memory).
const FLASKS: &[(f64, f64)] = &[
    (5.0, 0.05),
    (10.0, 0.05),
    (25.0, 0.08),
    (50.0, 0.12),
    (100.0, 0.2),
    (250.0, 0.3),
    (500.0, 0.5),
    (1000.0, 0.8),
    (2000.0, 1.2),
];

/// The smallest cylinder that holds a volume: its size and its limit of error, ml. `None` above
/// two litres.
#[must_use]
pub fn cylinder(volume: f64) -> Option<(f64, f64)> {
    CYLINDERS
        .iter()
        .find(|(holds, _)| *holds >= volume)
        .copied()
}

/// The smallest volumetric flask that holds a volume: its size and its limit of error, ml.
#[must_use]
pub fn flask(volume: f64) -> Option<(f64, f64)> {
    FLASKS.iter().find(|(holds, _)| *holds >= volume).copied()
}
