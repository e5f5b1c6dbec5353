//! Light: the photochemical class of a material with its published limits and, kept apart, what a
//! dose does to light-sensitive parts of the object.

use super::{Ask, Shelf};
use crate::answer::{Choice, Reason};
use crate::model::scene::SceneLayer;
use crate::model::{Basis, Material, Trait};
use crate::order::Arrange;

/// Photochemical stability classes.
/// Source: Feller, Accelerated Aging, 1994, table 1.1 (recalled): years at ordinary gallery light.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Temporary: less than six months.
    T,
    /// Unstable: less than 20 years.
    C,
    /// Intermediate: 20 to 100 years.
    B,
    /// Excellent: more than 100 years.
    A,
    /// A, 100 to 500 years.
    A2,
    /// A, more than 500 years.
    A1,
}

impl Class {
    /// The class that a word names.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Some(match word {
            "T" => Self::T,
            "C" => Self::C,
            "B" => Self::B,
            "A" => Self::A,
            "A2" => Self::A2,
            "A1" => Self::A1,
            _ => return None,
        })
    }

    /// The word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::T => "T",
            Self::C => "C",
            Self::B => "B",
            Self::A => "A",
            Self::A2 => "A2",
            Self::A1 => "A1",
        }
    }

    /// Years at ordinary gallery light after which it has changed; none where no limit is given.
    #[must_use]
    pub const fn limit_years(self) -> Option<f64> {
        match self {
            Self::T => Some(0.5),
            Self::C => Some(20.0),
            Self::B => Some(100.0),
            Self::A2 => Some(500.0),
            Self::A | Self::A1 => None,
        }
    }

    /// The published limits in words.
    #[must_use]
    pub const fn limits(self) -> &'static str {
        match self {
            Self::T => "less than 6 months",
            Self::C => "less than 20 years",
            Self::B => "20 to 100 years",
            Self::A => "more than 100 years",
            Self::A2 => "100 to 500 years",
            Self::A1 => "more than 500 years",
        }
    }
}

/// Light in a year that the classes suppose, million lux hours. Source: Thomson's table of blue wool
/// standards, as kept in methods.md section 12: about 1 Mlx h a year.
pub const CLASS_MLXH_A_YEAR: f64 = 1.0;

/// Dose to a just noticeable fading, million lux hours, by blue-wool step 1-8, ultraviolet filtered.
/// Source: CIE 157:2004 after Michalski (recalled). Michalski 1990, as reported, has 0.4 for step 1
/// and 900 for step 8: a spread of about 1.3.
pub const NOTICEABLE_MLXH: [f64; 8] = [0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1100.0];

/// Years to a just noticeable fading of a blue-wool step (1-8) at a yearly dose in million lux
/// hours; none for a step that there is not, or without light.
#[must_use]
pub fn years_to_fade(step: usize, mlxh_a_year: f64) -> Option<f64> {
    let dose = NOTICEABLE_MLXH.get(step.checked_sub(1)?)?;
    (mlxh_a_year > 0.0).then(|| dose / mlxh_a_year)
}

/// The poorest class that a record gives.
pub(super) fn worst_class(material: &Material) -> Option<Class> {
    material
        .head
        .facts
        .words("stability")
        .into_iter()
        .filter_map(Class::parse)
        .min()
}

fn is_light_sensitive(layer: &SceneLayer) -> bool {
    [
        Trait::Dyed,
        Trait::Ink,
        Trait::Photograph,
        Trait::GumBound,
        Trait::Silk,
    ]
    .iter()
    .any(|t| layer.has(*t))
}

/// Notes on light for an answer.
pub(super) fn notes(ask: &Ask, choices: &[Choice], shelf: &Shelf) -> Vec<Reason> {
    let mut out = Vec::new();
    let mut classes: Vec<(Class, Vec<&str>)> = Vec::new();
    for choice in choices {
        let material = shelf.materials.iter().find(|(_, m)| m.head.id == choice.id);
        if let Some(class) = material.and_then(|(_, m)| worst_class(m)) {
            match classes.iter_mut().find(|(c, _)| *c == class) {
                Some((_, list)) => list.push(&choice.name),
                None => classes.push((class, vec![&choice.name])),
            }
        }
    }
    classes.arrange_by_key(|c| std::cmp::Reverse(c.0));
    for (class, names) in &classes {
        out.push(Reason {
            text: format!(
                "photochemical class {} ({}, at about 1 Mlx h a year): {}",
                class.word(),
                class.limits(),
                names.join(", ")
            ),
            basis: Basis::Memory,
        });
    }
    let Some(lux_hours) = ask.lux_hours else {
        return out;
    };
    let yearly = lux_hours / 1e6;
    for (class, _) in &classes {
        if let Some(years) = class.limit_years().filter(|_| yearly > 0.0) {
            out.push(Reason {
                text: format!(
                    "class {} reaches its limit after about {:.0} years at {yearly:.3} Mlx h a year, \
                     if only the dose counts",
                    class.word(),
                    years * CLASS_MLXH_A_YEAR / yearly
                ),
                basis: Basis::Memory,
            });
        }
    }
    for layer in ask.all_layers().iter().filter(|l| is_light_sensitive(l)) {
        let steps: Vec<String> = [1, 2, 3, 4]
            .into_iter()
            .filter_map(|step| {
                years_to_fade(step, yearly).map(|years| format!("step {step} {years:.1}"))
            })
            .collect();
        out.push(Reason {
            text: format!(
                "{} fades for itself, whatever is chosen: years to a just noticeable change at \
                 {yearly:.3} Mlx h a year, ultraviolet filtered, by blue-wool step: {}; divide and \
                 multiply by 1.3 for what the sources differ",
                layer.called,
                steps.join(", ")
            ),
            basis: Basis::Memory,
        });
    }
    out
}
