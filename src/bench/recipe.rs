//! What to weigh and measure for a strength.

mod parts;

use super::facts::{Ledger, density, liquids, name_of, names_of};
use crate::answer::{Line, Recipe};
use crate::chem::solution::{
    self, Mixed, by_weight, cylinder, flask, mass_of_volume, per_solution, per_solvent,
    volume_of_mass,
};
use crate::model::Library;
use crate::model::order::{Order, Part, Place, Strength, Substance, Trouble, Vessel, Wanted};
use crate::units::four_figures as figure;

/// What the recipes of an order are made of.
pub(super) struct Kitchen<'a> {
    pub(super) library: &'a dyn Library,
    pub(super) order: &'a Order,
    pub(super) ledger: &'a mut Ledger,
    pub(super) gaps: &'a mut Vec<String>,
}

impl Kitchen<'_> {
    /// Recipes for every reading of the strength, the usual first.
    pub(super) fn recipes(&mut self) -> Result<Vec<Recipe>, Box<Trouble>> {
        if let Some(stock) = self.order.stock {
            return self.dilution(stock).map(|r| vec![r]);
        }
        match self.order.strength {
            Strength::WeightByVolume(c) => self.weight_by_volume(c),
            Strength::WeightByWeight(w) => self.weight_by_weight(w),
            Strength::VolumeByVolume(v) => self.volume_by_volume(v),
            Strength::Molar(m) => self.molar(m),
            Strength::PartsByVolume => self.parts_by_volume(),
            Strength::PartsByWeight => self.parts_by_weight(),
            // Reckoned where the ions are known.
            Strength::Conductivity(_) => Ok(Vec::new()),
        }
    }

    /// Density of the solutes together, by their shares of weight.
    fn solute_density(&mut self) -> Option<f64> {
        let parts: Vec<(f64, Option<f64>)> = self
            .order
            .solute
            .iter()
            .map(|p| (p.share, density(&p.is, self.ledger)))
            .collect();
        let volume: Option<f64> = parts.iter().map(|(s, d)| d.map(|d| s / d)).sum();
        volume.map(|v| 1.0 / v)
    }

    /// Density of the liquid, by its parts' shares of volume.
    fn solvent_density(&mut self) -> Option<f64> {
        let parts = liquids(self.library, &self.order.solvent);
        (!parts.is_empty()).then_some(())?;
        parts
            .iter()
            .map(|(a, s)| {
                self.ledger
                    .figure(&a.head, "density", "g/ml")
                    .map(|d| s * d)
            })
            .sum()
    }

    fn solute_name(&self) -> String {
        names_of(self.library, &self.order.solute)
    }

    fn solvent_name(&self) -> String {
        names_of(self.library, &self.order.solvent)
    }

    fn weight_by_volume(&mut self, c: f64) -> Result<Vec<Recipe>, Box<Trouble>> {
        let (solute, solvent) = (self.solute_density(), self.solvent_density());
        if let Some(d) = solute
            && c / d >= 100.0
        {
            return Err(self.trouble(
                Place::Strength,
                format!("{c} g in 100 ml leave no room for liquid"),
                "more than its own volume",
                "parts by weight after the names: resin + solvent 3:1 (by weight)",
            ));
        }
        let volume = match self.order.wanted {
            Wanted::Volume(ml) => ml,
            Wanted::Mass(g) => {
                let (Some(d), Some(s)) = (solute, solvent) else {
                    return Err(self.no_density("a mass of a solution in % w/v"));
                };
                volume_of_mass(c, g, d, s)
            }
        };
        let a = per_solution(c, volume, solute, solvent);
        let b = per_solvent(c, volume, solute, solvent);
        if solute.is_none() && !self.salts_only() {
            self.gaps.push(format!(
                "density of {} not recorded: how much liquid goes in before the mark, and how much comes of \
                 the second reading, cannot be said",
                self.solute_name()
            ));
        }
        let solution = self.recipe(
            "per 100 ml of solution (make up to the mark)",
            &a,
            format!("about this; make up to {}", millilitres(volume)),
            Some(c),
        );
        if self.salts_only() {
            return Ok(vec![solution]);
        }
        let note = match solute {
            Some(_) => "measure it, then add the solute".to_owned(),
            None => "measure it, then add the solute: it comes to more than this".to_owned(),
        };
        let solvent = self.recipe("per 100 ml of solvent", &b, note, None);
        Ok(vec![solution, solvent])
    }

    /// Whether only salts and buffers are dissolved: there one reading alone is in use.
    fn salts_only(&self) -> bool {
        self.order.solute.iter().all(|p| match &p.is {
            Substance::Ingredient(_) | Substance::Buffer(_) => true,
            Substance::Agent(a) => self.library.reagents().ingredient_of(&a.head.id).is_some(),
            _ => false,
        })
    }

    fn weight_by_weight(&mut self, w: f64) -> Result<Vec<Recipe>, Box<Trouble>> {
        let (solute, solvent) = (self.solute_density(), self.solvent_density());
        let mass = match (self.order.wanted, solute.zip(solvent)) {
            (Wanted::Mass(g), _) => g,
            (Wanted::Volume(ml), Some((d, s))) => mass_of_volume(w, ml, d, s),
            (Wanted::Volume(_), None) => {
                return Err(self.no_density("a volume of a solution in % w/w"));
            }
        };
        let mixed = by_weight(w, mass, solute, solvent);
        if solute.is_none() {
            self.gaps.push(format!(
                "density of {} not recorded: what volume comes of it cannot be said",
                self.solute_name()
            ));
        }
        Ok(vec![self.recipe(
            "per 100 g of solution",
            &mixed,
            "weigh it in".to_owned(),
            None,
        )])
    }

    fn volume_by_volume(&mut self, v: f64) -> Result<Vec<Recipe>, Box<Trouble>> {
        if let Some(name) = self.solid() {
            return Err(self.trouble(
                Place::Strength,
                format!("{name} is weighed, not measured"),
                "% v/v is of liquids",
                "write % w/v or % w/w",
            ));
        }
        let volume = match self.order.wanted {
            Wanted::Volume(ml) => ml,
            Wanted::Mass(g) => {
                let (Some(d), Some(s)) = (self.solute_density(), self.solvent_density()) else {
                    return Err(self.no_density("a mass of a mixture in % v/v"));
                };
                g / (v / 100.0 * d + (1.0 - v / 100.0) * s)
            }
        };
        let mut lines = Vec::new();
        for part in &self.order.solute {
            let ml = volume * v / 100.0 * part.share;
            lines.push(self.measured(&name_of(self.library, &part.is), ml, "measure it"));
        }
        lines.push(Line::of_liquid(
            self.solvent_name(),
            format!(
                "make up to {}, not by the difference: volumes shrink on mixing",
                millilitres(volume)
            ),
        ));
        Ok(vec![Recipe {
            reading: "ml in 100 ml of mixture".to_owned(),
            lines,
            total_ml: Some(volume),
            total_g: None,
            strengths: vec![("% v/v".to_owned(), v)],
            spread: None,
        }])
    }

    fn molar(&mut self, m: f64) -> Result<Vec<Recipe>, Box<Trouble>> {
        let Wanted::Volume(volume) = self.order.wanted else {
            return Err(self.trouble(
                Place::Amount,
                "mol/l is of a volume".to_owned(),
                "a mass",
                "write the amount in ml or l",
            ));
        };
        let mut lines = Vec::new();
        let mut spread = None;
        for part in &self.order.solute {
            let Some(mass) = self.molar_mass(part) else {
                let name = name_of(self.library, &part.is);
                return Err(self.trouble(
                    Place::Solute,
                    format!("the molar mass of {name} is not recorded"),
                    "no molar mass",
                    "write % w/v or % w/w",
                ));
            };
            let grams = m * part.share * volume / 1000.0 * mass;
            lines.push(self.weighed(&self.jar(part), grams, "weigh it"));
            spread = Some(self.spread(grams, volume));
        }
        lines.push(Line::of_liquid(
            self.solvent_name(),
            format!("make up to {}", millilitres(volume)),
        ));
        Ok(vec![Recipe {
            reading: "mol in a litre of solution".to_owned(),
            lines,
            total_ml: Some(volume),
            total_g: None,
            strengths: vec![("mol/l".to_owned(), m)],
            spread: spread.filter(|_| self.order.solute.len() == 1),
        }])
    }

    /// The name of a part of the solute that is weighed and cannot be measured.
    fn solid(&self) -> Option<String> {
        let mut parts = self.order.solute.iter();
        let solid = parts.find(|p| !is_liquid(self.library, p))?;
        Some(name_of(self.library, &solid.is))
    }

    /// What stands on the jar that is weighed from.
    fn jar(&self, part: &Part) -> String {
        if let Substance::Agent(agent) = &part.is
            && let Some((_, jar)) = self.library.reagents().ingredient_of(&agent.head.id)
        {
            return jar.name.clone();
        }
        name_of(self.library, &part.is)
    }

    fn molar_mass(&mut self, part: &Part) -> Option<f64> {
        let reagents = self.library.reagents();
        let jar = match &part.is {
            Substance::Ingredient(id) => reagents.ingredient.get(id)?,
            Substance::Agent(agent) => match reagents.ingredient_of(&agent.head.id) {
                Some((_, jar)) => jar,
                None => return self.ledger.figure(&agent.head, "molar-mass", "g/mol"),
            },
            _ => return None,
        };
        self.ledger.molar_mass(jar);
        Some(jar.molar_mass)
    }

    /// A recipe with its solutes weighed, and its liquid.
    fn recipe(&mut self, reading: &str, mixed: &Mixed, how: String, stated: Option<f64>) -> Recipe {
        let mut lines: Vec<Line> = Vec::new();
        for part in &self.order.solute {
            let grams = mixed.solute_g * part.share;
            let mut line = self.weighed(&self.jar(part), grams, "weigh it");
            // A liquid may be measured instead.
            if is_liquid(self.library, part)
                && let Some(d) = density(&part.is, self.ledger)
            {
                line.note = format!("weigh it, or measure {}", millilitres(grams / d));
            }
            lines.push(line);
        }
        let tolerance = mixed.solvent_ml.and_then(|ml| self.tolerance(ml));
        lines.push(Line {
            what: self.solvent_name(),
            grams: mixed.solvent_g.map(|g| (g, self.order.balance.value)),
            millilitres: mixed.solvent_ml.map(|ml| (ml, tolerance)),
            note: how,
        });
        let mut strengths: Vec<(String, f64)> = Vec::new();
        if let Some(c) = stated.or_else(|| mixed.weight_by_volume()) {
            strengths.push(("% w/v of solution".to_owned(), c));
        }
        if let Some(c) = mixed.weight_by_solvent() {
            strengths.push(("g per 100 ml of solvent".to_owned(), c));
        }
        if let Some(c) = mixed.weight_by_weight() {
            strengths.push(("% w/w".to_owned(), c));
        }
        let volume = mixed.total_ml.or(mixed.solvent_ml).unwrap_or(0.0);
        Recipe {
            reading: reading.to_owned(),
            lines,
            total_ml: mixed.total_ml,
            total_g: mixed.total_g,
            strengths,
            spread: Some(self.spread(mixed.solute_g, volume)),
        }
    }

    /// Half-width of a strength that hangs on one weighing and one volume.
    pub(super) fn spread(&self, grams: f64, volume: f64) -> f64 {
        solution::spread(
            grams,
            self.order.balance.value,
            volume,
            self.tolerance(volume).unwrap_or(0.0),
        )
    }

    pub(super) fn weighed(&self, what: &str, grams: f64, note: &str) -> Line {
        Line {
            what: what.to_owned(),
            grams: Some((grams, self.order.balance.value)),
            millilitres: None,
            note: note.to_owned(),
        }
    }

    pub(super) fn measured(&self, what: &str, ml: f64, note: &str) -> Line {
        Line {
            what: what.to_owned(),
            grams: None,
            millilitres: Some((ml, self.tolerance(ml))),
            note: note.to_owned(),
        }
    }

    /// The limit of error of the vessel that a volume is measured in.
    pub(super) fn tolerance(&self, ml: f64) -> Option<f64> {
        match self.order.vessel {
            Vessel::Cylinder(Some(limit)) | Vessel::Flask(Some(limit)) => Some(limit),
            Vessel::Cylinder(None) => cylinder(ml).map(|(_, limit)| limit),
            Vessel::Flask(None) => flask(ml).map(|(_, limit)| limit),
        }
    }

    fn no_density(&self, what: &str) -> Box<Trouble> {
        let mut without: Vec<String> = Vec::new();
        let mut ledger = Ledger::default();
        for part in self.order.solute.iter().chain(&self.order.solvent) {
            if density(&part.is, &mut ledger).is_none() {
                without.push(name_of(self.library, &part.is));
            }
        }
        let mut trouble = self.trouble(
            Place::Amount,
            format!("{what} wants a density that is not on file"),
            "cannot be reckoned",
            match self.order.wanted {
                Wanted::Mass(_) => "write the amount in ml",
                Wanted::Volume(_) => "write the amount in g",
            },
        );
        let note = format!("no density recorded: {}", without.join(", "));
        trouble.notes.push(note);
        trouble
    }

    pub(super) fn trouble(
        &self,
        place: Place,
        message: String,
        label: &str,
        help: &str,
    ) -> Box<Trouble> {
        Box::new(Trouble {
            code: "Q0324",
            place,
            message,
            label: label.to_owned(),
            notes: Vec::new(),
            help: help.to_owned(),
        })
    }
}

/// Whether a substance is measured: a liquid of the corpus that is no solution of a salt.
pub(super) fn is_liquid(library: &dyn Library, part: &Part) -> bool {
    match &part.is {
        Substance::Agent(a) => library.reagents().ingredient_of(&a.head.id).is_none(),
        _ => false,
    }
}

/// A volume in words.
pub(super) fn millilitres(ml: f64) -> String {
    if ml >= 1000.0 {
        format!("{} l", figure(ml / 1000.0))
    } else {
        format!("{} ml", figure(ml))
    }
}
