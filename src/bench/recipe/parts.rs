//! What is made from a stock, or by parts.

use super::super::facts::{density, liquids, name_of};
use super::{Kitchen, millilitres};
use crate::answer::{Line, Recipe};
use crate::chem::solution;
use crate::model::order::{Place, Strength, Trouble, Wanted};

impl Kitchen<'_> {
    pub(super) fn dilution(&mut self, stock: f64) -> Result<Recipe, Box<Trouble>> {
        let (wanted, unit, by_mass) = match self.order.strength {
            Strength::WeightByVolume(s) => (s, "% w/v", false),
            Strength::WeightByWeight(s) => (s, "% w/w", true),
            Strength::VolumeByVolume(s) => (s, "% v/v", false),
            Strength::Molar(s) => (s, "mol/l", false),
            _ => {
                return Err(self.trouble(
                    Place::Stock,
                    "parts and conductivities are not diluted by sum".to_owned(),
                    "no sum for it",
                    "leave out `from`",
                ));
            }
        };
        let amount = match (self.order.wanted, by_mass) {
            (Wanted::Volume(ml), false) => ml,
            (Wanted::Mass(g), true) => g,
            (Wanted::Volume(_), true) => {
                return Err(self.trouble(
                    Place::Amount,
                    "a stock in % w/w is diluted by weight".to_owned(),
                    "a volume",
                    "write the amount in g",
                ));
            }
            (Wanted::Mass(_), false) => {
                return Err(self.trouble(
                    Place::Amount,
                    "a stock by volume is diluted by volume".to_owned(),
                    "a mass",
                    "write the amount in ml",
                ));
            }
        };
        let take = solution::dilute(stock, wanted, amount).ok_or_else(|| {
            self.trouble(
                Place::Stock,
                format!("a stock of {stock} {unit} makes no {wanted} {unit}"),
                "weaker than what is wanted",
                "a stock is diluted, never strengthened",
            )
        })?;
        let stock_name = format!("{} stock, {stock} {unit}", self.solute_name());
        let solvent = self.solvent_name();
        let lines = if by_mass {
            vec![
                self.weighed(&stock_name, take, "weigh it"),
                self.weighed(&solvent, amount - take, "weigh it in"),
            ]
        } else {
            vec![
                self.measured(&stock_name, take, "measure it"),
                Line::of_liquid(solvent, format!("make up to {}", millilitres(amount))),
            ]
        };
        if !by_mass && unit == "% w/v" {
            self.gaps.push(
                "the stock is read as grams in 100 ml of solution; one made per 100 ml of solvent is weaker \
                 than its label"
                    .to_owned(),
            );
        }
        Ok(Recipe {
            reading: "diluted from stock".to_owned(),
            lines,
            total_ml: (!by_mass).then_some(amount),
            total_g: by_mass.then_some(amount),
            strengths: vec![(unit.to_owned(), wanted)],
            spread: None,
        })
    }

    pub(super) fn parts_by_volume(&mut self) -> Result<Vec<Recipe>, Box<Trouble>> {
        if let Some(name) = self.solid() {
            return Err(self.trouble(
                Place::Solute,
                format!("{name} has no parts by volume"),
                "weighed, not measured",
                "parts by weight: write (by weight) after the parts",
            ));
        }
        let volume = match self.order.wanted {
            Wanted::Volume(ml) => ml,
            Wanted::Mass(g) => {
                let mut density_of = 0.0;
                for part in &self.order.solute {
                    let Some(d) = density(&part.is, self.ledger) else {
                        return Err(self.no_density("a mass of a mixture in parts by volume"));
                    };
                    density_of += part.share * d;
                }
                g / density_of
            }
        };
        let parts = liquids(self.library, &self.order.solute);
        let water = parts.iter().any(|(a, _)| a.class.is_aqueous());
        if water && parts.iter().any(|(a, _)| a.class.is_solvent()) {
            self.gaps.push(
                "water with solvent shrinks as it mixes: it comes to some per cent less than the sum"
                    .to_owned(),
            );
        }
        let lines = self
            .order
            .solute
            .iter()
            .map(|p| {
                self.measured(
                    &name_of(self.library, &p.is),
                    volume * p.share,
                    "measure it",
                )
            })
            .collect();
        Ok(vec![Recipe {
            reading: "parts by volume".to_owned(),
            lines,
            total_ml: Some(volume),
            total_g: None,
            strengths: Vec::new(),
            spread: None,
        }])
    }

    pub(super) fn parts_by_weight(&mut self) -> Result<Vec<Recipe>, Box<Trouble>> {
        let mass = match self.order.wanted {
            Wanted::Mass(g) => Some(g),
            Wanted::Volume(ml) => self.solute_density().map(|d| ml * d),
        };
        let Some(mass) = mass else {
            return Err(self.no_density("a volume of a mixture in parts by weight"));
        };
        let lines = self
            .order
            .solute
            .iter()
            .map(|p| self.weighed(&name_of(self.library, &p.is), mass * p.share, "weigh it"))
            .collect();
        let total_ml = self.solute_density().map(|d| mass / d);
        Ok(vec![Recipe {
            reading: "parts by weight".to_owned(),
            lines,
            total_ml,
            total_g: Some(mass),
            strengths: Vec::new(),
            spread: None,
        }])
    }
}
