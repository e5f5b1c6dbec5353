//! What is weighed out for a solution in water: solids, buffers, ions. Data of the corpus,
//! `kb/vocab/reagents.toml`.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::fact::Basis;
use super::naming::fold;

/// One ingredient of a buffer, or a salt, as it stands in its jar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ingredient {
    /// What stands on the jar.
    pub name: String,
    /// Other names.
    #[serde(default)]
    pub also: Vec<String>,
    /// Molar mass of what is weighed, water of crystallisation included, g/mol.
    pub molar_mass: f64,
    /// How many units of the buffer a formula unit carries; 0 for a strong acid or alkali.
    #[serde(default)]
    pub carries: u8,
    /// Strong ions in a formula unit: cations such as Na⁺ above zero, anions such as Cl⁻ below.
    #[serde(default)]
    pub strong: i8,
    /// Where it is taken as a solution: its strength, mol/l.
    #[serde(default)]
    pub stock: Option<f64>,
    /// Ions of a formula unit: (name, how many). Empty where it does not part whole.
    #[serde(default)]
    pub ions: Vec<(String, u8)>,
    /// Id of the liquid of the corpus that is its solution.
    #[serde(default)]
    pub agent: Option<String>,
    /// What to mind.
    #[serde(default)]
    pub caution: Option<String>,
    /// Where the figures come from.
    pub by: String,
}

/// One step of an acid.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// pK at 25 °C and no ionic strength.
    pub pk: f64,
    /// Enthalpy, kJ/mol.
    pub enthalpy: f64,
    /// Change of heat capacity, J/(mol K).
    #[serde(default)]
    pub heat_capacity: f64,
}

/// A buffer: an acid with its steps, and the two jars that it is made from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Buffer {
    /// Name.
    pub name: String,
    /// Other names.
    #[serde(default)]
    pub also: Vec<String>,
    /// Charge of the most protonated form.
    pub charge: i32,
    /// Steps, the most acid first.
    pub steps: Vec<Step>,
    /// Id of the acid ingredient.
    pub acid: String,
    /// Id of the basic ingredient.
    pub base: String,
    /// Ion that each form is, the most protonated first; empty where none, or none on file.
    #[serde(default)]
    pub forms: Vec<String>,
    /// The strong cation or anion that comes with it.
    pub with: String,
    /// What to mind.
    #[serde(default)]
    pub caution: Vec<String>,
    /// Where the figures come from.
    pub by: String,
    /// A short remark.
    #[serde(default)]
    pub note: Option<String>,
}

/// An ion.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ion {
    /// Charge.
    pub charge: i32,
    /// Limiting equivalent conductivity in water at 25 °C, S cm²/mol.
    pub conductivity: f64,
    /// Where the figure comes from.
    pub by: String,
}

/// Everything that is weighed out for solutions in water.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reagents {
    /// What stands in jars, by id.
    pub ingredient: BTreeMap<String, Ingredient>,
    /// Buffers, by id.
    pub buffer: BTreeMap<String, Buffer>,
    /// Ions, by name.
    pub ion: BTreeMap<String, Ion>,
}

impl Reagents {
    /// The buffer that a name means, with its id.
    #[must_use]
    pub fn buffer_named(&self, name: &str) -> Option<(&str, &Buffer)> {
        let wanted = fold(name);
        self.buffer
            .iter()
            .find(|(id, it)| is_called(&wanted, id, &it.name, &it.also))
            .map(|(id, it)| (id.as_str(), it))
    }

    /// The ingredient that a name means, with its id.
    #[must_use]
    pub fn ingredient_named(&self, name: &str) -> Option<(&str, &Ingredient)> {
        let wanted = fold(name);
        self.ingredient
            .iter()
            .find(|(id, it)| is_called(&wanted, id, &it.name, &it.also))
            .map(|(id, it)| (id.as_str(), it))
    }

    /// The ingredient that dissolves to a liquid of the corpus.
    #[must_use]
    pub fn ingredient_of(&self, agent: &str) -> Option<(&str, &Ingredient)> {
        self.ingredient
            .iter()
            .find(|(_, it)| it.agent.as_deref() == Some(agent))
            .map(|(id, it)| (id.as_str(), it))
    }
}

/// Whether a folded name is one of these.
fn is_called(wanted: &str, id: &str, name: &str, also: &[String]) -> bool {
    [id, name]
        .into_iter()
        .chain(also.iter().map(String::as_str))
        .any(|own| fold(own) == wanted)
}

/// The basis that a `by` names: `memory`, `practice`, or `key, locator`.
#[must_use]
pub fn basis(by: &str) -> Basis {
    match by {
        "memory" => Basis::Memory,
        "practice" => Basis::Practice,
        published => {
            let (key, locator) = published.split_once(", ").unwrap_or((published, ""));
            Basis::Published {
                key: key.to_owned(),
                through: None,
                locator: locator.to_owned(),
            }
        }
    }
}
