//! Vapour in a room: what a source of liquid makes of the air, and what air it takes.
//!
//! The room is one well-mixed box with fresh air through it: V dC/dt = G − Q C (mass balance; the
//! same form in Burgess 1989 as quoted in a text on industrial hygiene, p. 163). A room that mixes
//! badly counts as one with less air: Q is divided by a mixing factor. Concentrations in mg/m³,
//! volumes in m³, flows in m³/h, times in hours.
//!
//! The box says nothing of the breathing zone over a tray, which may hold ten times as much.

/// Molar volume of a gas at 25 °C and 101.325 kPa, litres.
const MOLAR_VOLUME: f64 = 24.45;
/// Atmospheric pressure, pascal.
const ATMOSPHERE: f64 = 101_325.0;
/// Steps of every search by halving: past the last bit of a double.
const HALVINGS: usize = 200;

/// Parts per million of a vapour, from mg/m³ and g/mol, at 25 °C and one atmosphere.
#[must_use]
pub fn ppm(mg_per_m3: f64, molar_mass: f64) -> f64 {
    mg_per_m3 * MOLAR_VOLUME / molar_mass
}

/// Parts per million over a liquid whose vapour fills a closed space, from its vapour pressure in
/// pascal. Divided by a limit it is the vapour hazard ratio.
#[must_use]
pub fn saturation(vapour_pressure: f64) -> f64 {
    vapour_pressure / ATMOSPHERE * 1e6
}

/// Share of the lower flammable limit, from parts of vapour: (ppm, lower limit in per cent by
/// volume). Rule of Le Chatelier (1891): the mixture burns where Σ Cᵢ/LFLᵢ reaches 1.
#[must_use]
pub fn flammable_share(parts: &[(f64, f64)]) -> f64 {
    parts.iter().map(|(ppm, lfl)| ppm / 1e4 / lfl).sum()
}

/// Additive exposure: Σ Cᵢ/Lᵢ, from (concentration, limit) in one unit each. Over 1 is over the
/// limit of the mixture (29 CFR 1910.1000(d)(2)(i)).
#[must_use]
pub fn additive(parts: &[(f64, f64)]) -> f64 {
    parts.iter().map(|(found, limit)| found / limit).sum()
}

/// A source in a room: it gives off evenly for a time, then stops.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// What it gives off, mg/h.
    pub rate: f64,
    /// For how long, h.
    pub hours: f64,
    /// The room, m³.
    pub room: f64,
    /// Air that mixes with it, m³/h: the flow divided by the mixing factor. May be 0.
    pub air: f64,
}

impl Source {
    /// Air changes in an hour.
    fn changes(self) -> f64 {
        self.air / self.room
    }

    /// What it would come to if it went on for ever, mg/m³: G/Q. `None` without any air.
    #[must_use]
    pub fn steady(self) -> Option<f64> {
        (self.air > 0.0).then(|| self.rate / self.air)
    }

    /// Concentration at a time from the start, mg/m³, in air that was clean.
    #[must_use]
    pub fn at(self, hours: f64) -> f64 {
        if hours <= self.hours {
            self.rising(hours)
        } else {
            self.rising(self.hours) * (-self.changes() * (hours - self.hours)).exp()
        }
    }

    /// (G/Q)(1 − e^(−Qt/V)), written so that it holds without air too: G t/V.
    fn rising(self, hours: f64) -> f64 {
        let x = self.changes() * hours;
        let share = if x > 1e-12 { -(-x).exp_m1() / x } else { 1.0 };
        self.rate / self.room * hours * share
    }

    /// The highest concentration: when the source stops.
    #[must_use]
    pub fn peak(self) -> f64 {
        self.at(self.hours)
    }

    /// ∫ C dt from the start to a time, mg h/m³.
    #[must_use]
    pub fn dose(self, hours: f64) -> f64 {
        let up = hours.min(self.hours).max(0.0);
        let k = self.changes();
        let x = k * up;
        // ∫ of the rise: (G/Q)(t − (1 − e^(−kt))/k); for little air its series, G t²/2V.
        let rise = if x > 1e-4 {
            self.rate / self.air * (up + (-x).exp_m1() / k)
        } else {
            self.rate / self.room * up * up * (0.5 - x / 6.0)
        };
        let after = (hours - self.hours).max(0.0);
        let y = k * after;
        let share = if y > 1e-12 { -(-y).exp_m1() / y } else { 1.0 };
        rise + self.peak() * after * share
    }

    /// Mean from the start to a time, mg/m³.
    #[must_use]
    pub fn mean(self, hours: f64) -> f64 {
        if hours > 0.0 {
            self.dose(hours) / hours
        } else {
            0.0
        }
    }

    /// The working day's mean, mg/m³, for somebody who stays in the room for all its 8 hours:
    /// Σ C t / 8 (29 CFR 1910.1000(d)(1)(i)).
    #[must_use]
    pub fn day(self) -> f64 {
        self.dose(8.0) / 8.0
    }

    /// The highest mean over any window of this length, mg/m³. The course rises to one peak, so the
    /// worst window begins and ends at the same concentration.
    #[must_use]
    pub fn worst_mean(self, window: f64) -> f64 {
        let earliest = (self.hours - window).max(0.0);
        let (mut low, mut high) = (earliest, self.hours);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if self.at(middle) < self.at(middle + window) {
                low = middle;
            } else {
                high = middle;
            }
        }
        (self.dose(low + window) - self.dose(low)) / window
    }

    /// Hours after the source has stopped until a share of the peak is left. `None` without air.
    #[must_use]
    pub fn until_left(self, share: f64) -> Option<f64> {
        (self.air > 0.0 && share > 0.0).then(|| -share.ln() / self.changes())
    }

    /// The same source with other air.
    #[must_use]
    pub const fn with_air(self, air: f64) -> Self {
        Self { air, ..self }
    }
}

/// The least air, m³/h, at which a burden that falls with air is at most 1. 0 where no air is
/// wanted; `None` where not even a gale does it.
#[must_use]
pub fn air_for(burden: impl Fn(f64) -> f64) -> Option<f64> {
    if burden(0.0) <= 1.0 {
        return Some(0.0);
    }
    let mut high = 1.0;
    while burden(high) > 1.0 {
        high *= 2.0;
        if high > 1e12 {
            return None;
        }
    }
    let mut low = 0.0;
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if burden(middle) > 1.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}
