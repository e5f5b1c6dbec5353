//! Buffers and salts in water: what to weigh for a pH or a conductivity.

use super::recipe::{Kitchen, millilitres};
use crate::answer::{BufferSeen, Line, Recipe};
use crate::chem::buffer::{DAVIES_LIMIT, Settled, ph_of, recipe, settle};
use crate::chem::conductivity::{Dissolved, estimate, strength_for};
use crate::model::order::{Figure, Order, Part, Place, Strength, Substance, Trouble, Wanted};
use crate::model::reagent::{self, Buffer, Ingredient, Reagents};
use crate::units::four_figures as figure;

/// Temperature of a bench when nobody says, °C.
const BENCH: f64 = 20.0;
/// Other temperatures at which the pH is told, °C.
const ELSEWHERE: [f64; 4] = [5.0, 20.0, 25.0, 35.0];
/// How far from a pKa a buffer holds.
const REACH: f64 = 1.0;
/// Strongest buffer or salt that a conductivity is sought with, mol/l.
const STRONGEST: f64 = 0.1;
/// Share of the charge that ions without a conductivity on file may carry.
const NEGLIGIBLE: f64 = 0.01;

/// A buffer as it is ordered.
struct Ordered<'a> {
    buffer: &'a Buffer,
    acid: &'a Ingredient,
    base: &'a Ingredient,
    ph: f64,
    celsius: f64,
    /// Millilitres of it.
    volume: f64,
}

impl Ordered<'_> {
    const fn kelvin(&self) -> f64 {
        self.celsius + 273.15
    }

    /// How it stands at a strength, mol/l.
    fn settled(&self, molar: f64) -> Settled {
        settle(self.buffer, molar, self.ph, self.kelvin())
    }
}

impl<'a> Kitchen<'a> {
    /// The buffer of an order: its recipe and how it stands.
    pub(super) fn buffer(&mut self, id: &str) -> Result<(Recipe, BufferSeen), Box<Trouble>> {
        let ordered = self.ordered(id)?;
        let molar = self.buffer_strength(&ordered)?;
        let settled = ordered.settled(molar);
        let lines = self.jars(&ordered, molar, &settled)?;
        let range = range(&settled, ordered.ph);
        self.keep_figures(&ordered);
        self.doubts(&ordered, &settled, range);
        let made = Recipe {
            reading: format!(
                "{} mol/l, pH {} at {} C",
                figure(molar),
                ordered.ph,
                figure(ordered.celsius)
            ),
            lines,
            total_ml: Some(ordered.volume),
            total_g: None,
            strengths: vec![("mol/l".to_owned(), molar)],
            spread: Some(self.buffer_spread(&ordered, molar)),
        };
        Ok((made, self.buffer_seen(&ordered, molar, &settled, range)))
    }

    fn ordered(&self, id: &str) -> Result<Ordered<'a>, Box<Trouble>> {
        let reagents = self.library.reagents();
        let missing = || self.trouble(Place::Solute, format!("no buffer `{id}`"), "unknown", "");
        let buffer = reagents.buffer.get(id).ok_or_else(missing)?;
        let jar = |id: &str| reagents.ingredient.get(id).ok_or_else(missing);
        let (acid, base) = (jar(&buffer.acid)?, jar(&buffer.base)?);
        let celsius = self.order.celsius.unwrap_or(BENCH);
        if !(0.0..=60.0).contains(&celsius) {
            return Err(self.trouble(
                Place::Temperature,
                "the constants of buffers hold from 0 to 60 C".to_owned(),
                "beyond them",
                "name the temperature at which it is used",
            ));
        }
        let Wanted::Volume(volume) = self.order.wanted else {
            return Err(self.trouble(
                Place::Amount,
                "a buffer is made to a volume".to_owned(),
                "a mass",
                "write the amount in ml or l",
            ));
        };
        Ok(Ordered {
            buffer,
            acid,
            base,
            ph: self.order.ph.unwrap_or(7.0),
            celsius,
            volume,
        })
    }

    /// The strength that was ordered, mol/l; one that gives the conductivity where that was ordered.
    fn buffer_strength(&self, ordered: &Ordered<'_>) -> Result<f64, Box<Trouble>> {
        let wanted = match self.order.strength {
            Strength::Conductivity(wanted) => wanted,
            Strength::Molar(m) => return Ok(m),
            _ => return Ok(0.0),
        };
        let reagents = self.library.reagents();
        let conducts = |c: f64| conductivity(reagents, ordered.buffer, &ordered.settled(c));
        let found = conducts(STRONGEST)
            .and_then(|_| strength_for(wanted, STRONGEST, |c| conducts(c).unwrap_or(0.0)));
        found.ok_or_else(|| {
            self.trouble(
                Place::Strength,
                format!(
                    "no strength of {} is reckoned for this conductivity",
                    ordered.buffer.name
                ),
                "an ion without a conductivity on file, or above 0.1 mol/l",
                "write the strength in mol/l and measure",
            )
        })
    }

    /// What to take of the two jars, and the water.
    fn jars(
        &self,
        ordered: &Ordered<'_>,
        molar: f64,
        settled: &Settled,
    ) -> Result<Vec<Line>, Box<Trouble>> {
        let (acid, base, ph) = (ordered.acid, ordered.base, ordered.ph);
        let (a, b) = recipe(acid, base, molar, settled.strong).ok_or_else(|| {
            self.trouble(
                Place::Solute,
                format!("{} and {} do not come to pH {ph}", acid.name, base.name),
                "beyond what its two jars give",
                &format!("between about pH {}", span_of(ordered, molar)),
            )
        })?;
        let water = format!(
            "four fifths first; set the pH; make up to {}",
            millilitres(ordered.volume)
        );
        Ok(vec![
            self.jar_line(acid, a, ordered.volume),
            self.jar_line(base, b, ordered.volume),
            Line::of_liquid("water".to_owned(), water),
        ])
    }

    /// Keeps the figures on file that the recipe rests on.
    fn keep_figures(&mut self, ordered: &Ordered<'_>) {
        self.ledger.molar_mass(ordered.acid);
        self.ledger.molar_mass(ordered.base);
        let buffer = ordered.buffer;
        let pks: Vec<String> = buffer.steps.iter().map(|s| s.pk.to_string()).collect();
        self.ledger
            .reagent(&buffer.name, "pKa at 25 C", pks.join(", "), &buffer.by);
    }

    /// Where the buffer does not hold, or the sum does not.
    fn doubts(&mut self, ordered: &Ordered<'_>, settled: &Settled, range: (f64, f64)) {
        let ph = ordered.ph;
        if !(range.0..=range.1).contains(&ph) {
            self.gaps.push(format!(
                "pH {ph} lies outside what {} holds (about {:.1} to {:.1}): it hardly buffers there",
                ordered.buffer.name, range.0, range.1
            ));
        }
        if settled.ionic > DAVIES_LIMIT {
            self.gaps.push(format!(
                "ionic strength {:.2} mol/l is past what the activity equation holds for (0.5): trust the \
                 meter only",
                settled.ionic
            ));
        }
    }

    /// Half-width of the strength: what the balance makes of the buffer's amount, each jar by the moles
    /// that it brings, and the vessel of the volume.
    fn buffer_spread(&self, ordered: &Ordered<'_>, molar: f64) -> f64 {
        let volume = ordered.volume;
        let moles = molar * volume / 1000.0;
        let weighing: f64 = [ordered.acid, ordered.base]
            .iter()
            .filter(|it| it.stock.is_none() && it.carries > 0)
            .map(|it| {
                let share =
                    f64::from(it.carries) * self.order.balance.value / it.molar_mass / moles;
                (2.0 * share / 6.0_f64.sqrt()).powi(2)
            })
            .sum();
        let measuring = 2.0 * self.tolerance(volume).unwrap_or(0.0) / 3.0_f64.sqrt() / volume;
        weighing.sqrt().hypot(measuring)
    }

    /// How the buffer stands once it is made.
    fn buffer_seen(
        &self,
        ordered: &Ordered<'_>,
        molar: f64,
        settled: &Settled,
        range: (f64, f64),
    ) -> BufferSeen {
        let buffer = ordered.buffer;
        let basis = reagent::basis(&buffer.by);
        BufferSeen {
            name: buffer.name.clone(),
            ph: ordered.ph,
            celsius: Figure::or_supposed(self.order.celsius, ordered.celsius),
            molar,
            pk: nearest(&settled.pk, ordered.ph),
            range,
            ionic: settled.ionic,
            capacity: settled.capacity(),
            elsewhere: ELSEWHERE
                .iter()
                .filter(|t| (**t - ordered.celsius).abs() > 0.5)
                .map(|t| (*t, ph_of(buffer, molar, settled.strong, 0.0, t + 273.15)))
                .collect(),
            conductivity: conductivity(self.library.reagents(), buffer, settled),
            basis: basis.word().to_owned(),
            sources: basis.sources(),
        }
    }

    /// What to take of a jar for so many mol/l of it.
    fn jar_line(&self, it: &Ingredient, molar: f64, volume: f64) -> Line {
        let mol = molar * volume / 1000.0;
        let caution = it.caution.clone().unwrap_or_default();
        match it.stock {
            Some(stock) => {
                let mut line = self.measured(
                    &it.name,
                    mol / stock * 1000.0,
                    "about; the last of it by the meter",
                );
                if !caution.is_empty() {
                    line.note = format!("{}; {caution}", line.note);
                }
                line
            }
            None => {
                let mut line = self.weighed(&it.name, mol * it.molar_mass, "weigh it");
                if !caution.is_empty() {
                    line.note = caution;
                }
                line
            }
        }
    }

    /// A salt made to a conductivity: its recipe, with µS/cm and mol/l.
    pub(super) fn salt(
        &mut self,
        part: &Part,
        wanted: f64,
    ) -> Result<(Recipe, (f64, f64)), Box<Trouble>> {
        let reagents = self.library.reagents();
        let jar = jar_of(reagents, part).filter(|it| !it.ions.is_empty());
        let Some(it) = jar else {
            return Err(self.trouble(
                Place::Solute,
                format!("the ions of {} are not on file", part.called),
                "no conductivity",
                "ammonium acetate, potassium chloride, sodium chloride and buffers are made to a conductivity",
            ));
        };
        let Wanted::Volume(volume) = self.order.wanted else {
            return Err(self.trouble(
                Place::Amount,
                "a conductivity is of a volume".to_owned(),
                "a mass",
                "write the amount in ml or l",
            ));
        };
        let found = strength_for(wanted, STRONGEST, |c| salt_conducts(reagents, it, c));
        let Some(molar) = found else {
            return Err(self.trouble(
                Place::Strength,
                format!(
                    "{} reaches {} uS/cm at 0.1 mol/l, beyond which no sum is made",
                    it.name,
                    figure(salt_conducts(reagents, it, STRONGEST))
                ),
                "too strong for the sum",
                "write the strength in mol/l and measure",
            ));
        };
        let grams = molar * volume / 1000.0 * it.molar_mass;
        self.ledger.molar_mass(it);
        for (ion, _) in &it.ions {
            if let Some(found) = reagents.ion.get(ion) {
                self.ledger.reagent(
                    ion,
                    "conductivity",
                    format!("{} S cm2/mol", found.conductivity),
                    &found.by,
                );
            }
        }
        let mut line = self.weighed(&it.name, grams, "weigh it");
        if let Some(caution) = &it.caution {
            line.note.clone_from(caution);
        }
        let made = Recipe {
            reading: format!("{} uS/cm at 25 C, estimated", figure(wanted)),
            lines: vec![
                line,
                Line::of_liquid(
                    "water".to_owned(),
                    format!("make up to {}, then measure", millilitres(volume)),
                ),
            ],
            total_ml: Some(volume),
            total_g: None,
            strengths: vec![("mol/l".to_owned(), molar)],
            spread: Some(self.spread(grams, volume)),
        };
        Ok((made, (wanted, molar)))
    }
}

/// Conductivity of a salt at a strength given in mol/l, where its ions are on file and the sum holds.
pub(super) fn salt_seen(order: &Order, reagents: &Reagents) -> Option<(f64, f64)> {
    let (Strength::Molar(molar), [part]) = (order.strength, order.solute.as_slice()) else {
        return None;
    };
    let it = jar_of(reagents, part).filter(|it| !it.ions.is_empty())?;
    (molar <= STRONGEST).then(|| (salt_conducts(reagents, it, molar), molar))
}

fn jar_of<'a>(reagents: &'a Reagents, part: &Part) -> Option<&'a Ingredient> {
    match &part.is {
        Substance::Ingredient(id) => reagents.ingredient.get(id),
        Substance::Agent(agent) => reagents.ingredient_of(&agent.head.id).map(|(_, it)| it),
        _ => None,
    }
}

fn salt_conducts(reagents: &Reagents, it: &Ingredient, molar: f64) -> f64 {
    let ions: Vec<Dissolved> = it
        .ions
        .iter()
        .filter_map(|(name, count)| {
            let ion = reagents.ion.get(name)?;
            Some(Dissolved {
                charge: ion.charge,
                molar: molar * f64::from(*count),
                limiting: ion.conductivity,
            })
        })
        .collect();
    estimate(&ions)
}

/// Conductivity of a buffer; `None` where an ion that carries more than a hundredth of the charge is
/// not on file.
pub(super) fn conductivity(reagents: &Reagents, buffer: &Buffer, it: &Settled) -> Option<f64> {
    let mut ions = Vec::new();
    let mut unknown = 0.0;
    let mut all = 0.0;
    let mut add = |name: &str, charge: i32, molar: f64| {
        let carried = f64::from(charge.abs()) * molar;
        all += carried;
        match reagents.ion.get(name) {
            Some(ion) => ions.push(Dissolved {
                charge,
                molar,
                limiting: ion.conductivity,
            }),
            None => unknown += carried,
        }
    };
    for (k, (charge, molar)) in it.forms.iter().enumerate() {
        if *charge != 0 {
            add(
                buffer.forms.get(k).map_or("", String::as_str),
                *charge,
                *molar,
            );
        }
    }
    add("H+", 1, it.hydrogen);
    add("OH-", -1, it.hydroxide);
    let sign = if it.strong >= 0.0 { 1 } else { -1 };
    let strong = if it.strong >= 0.0 { "Na+" } else { "Cl-" };
    add(strong, sign, it.strong.abs());
    (unknown <= NEGLIGIBLE * all).then(|| estimate(&ions))
}

fn nearest(pks: &[f64], ph: f64) -> f64 {
    pks.iter()
        .copied()
        .min_by(|a, b| (a - ph).abs().total_cmp(&(b - ph).abs()))
        .unwrap_or(ph)
}

/// The range around the nearest pKa, grown over steps whose ranges touch it.
fn range(it: &Settled, ph: f64) -> (f64, f64) {
    let pk = nearest(&it.pk, ph);
    let (mut low, mut high) = (pk - REACH, pk + REACH);
    for _ in &it.pk {
        for other in &it.pk {
            let own = (other - REACH, other + REACH);
            if own.0 <= high && own.1 >= low {
                low = low.min(own.0);
                high = high.max(own.1);
            }
        }
    }
    (low, high)
}

/// What the two jars of a buffer can reach at a strength, in words.
fn span_of(ordered: &Ordered<'_>, molar: f64) -> String {
    let end = |it: &Ingredient, other: &Ingredient| {
        let strong = if it.carries == 0 {
            // A titrant goes on; the far end is where one equivalent is in.
            molar * (f64::from(other.strong) + f64::from(it.strong.signum()))
        } else {
            molar * f64::from(it.strong) / f64::from(it.carries)
        };
        ph_of(ordered.buffer, molar, strong, 0.0, ordered.kelvin())
    };
    let (low, high) = (
        end(ordered.acid, ordered.base),
        end(ordered.base, ordered.acid),
    );
    format!("{:.1} and {:.1}", low.min(high), low.max(high))
}
