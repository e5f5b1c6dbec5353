//! Units after a number, those of the dimension that is wanted there.

use super::place::{Place, keyword};
use super::{List, NAME, names};
use crate::lang::Role;
use crate::lang::reserved::{Keyword, Verb};
use crate::lang::token::TokenKind;
use crate::model::field::Holds;
use crate::units::{Dimension, Tag, UNITS};

/// Roles of names that may hold a number, which takes no unit then.
const NAMES: [Role; 7] = [
    Role::Kind,
    Role::Material,
    Role::Layer,
    Role::Agent,
    Role::Property,
    Role::Means,
    Role::Value,
];

pub(super) fn offer(place: &Place<'_>, list: &mut List<'_>) {
    let Some(number) = place.tokens.iter().rposition(|t| t.kind.takes_unit()) else {
        return;
    };
    let end = place.tokens[number].span.end as usize;
    let after = &place.text[end..];
    let begun = after.trim_start();
    // `30|` may become 300: a blank comes first.
    if after.is_empty()
        || place.tokens[number..]
            .iter()
            .any(|t| t.kind == TokenKind::Comma)
    {
        return;
    }
    let from = place.text.len() - begun.len();
    let begun = begun.split_whitespace().collect::<Vec<_>>().join(" ");
    if in_a_name(place, number) {
        return;
    }
    let Some(wanted) = wanted(place, number) else {
        return;
    };
    for row in UNITS.iter().filter(|row| !row.symbol.is_empty()) {
        let fits = wanted.is_empty() || wanted.contains(&row.dimension);
        if fits && row.symbol.starts_with(&begun) {
            list.push(NAME, from, row.symbol, row.name);
        }
    }
}

/// Whether a number is part of a name, as in `beva 371`.
fn in_a_name(place: &Place<'_>, number: usize) -> bool {
    let run = place.run_before(number);
    NAMES
        .iter()
        .any(|role| place.first_of_name(*role, run, number).is_some())
}

/// The dimensions that are wanted of a number; empty for any, `None` where a number stands alone.
fn wanted(place: &Place<'_>, number: usize) -> Option<Vec<Dimension>> {
    use Dimension as D;
    let percent = [
        Tag::Percent,
        Tag::WeightByVolume,
        Tag::WeightByWeight,
        Tag::VolumeByVolume,
    ]
    .map(D::tagged);
    let clause = place.clause_word();
    if place.open().is_some() && clause != Some(Keyword::Where) {
        return Some(match clause {
            Some(Keyword::That | Keyword::Given) => vec![D::TIME],
            _ => vec![D::LENGTH],
        });
    }
    Some(match clause {
        Some(Keyword::Restored | Keyword::Limit) => return None,
        Some(Keyword::Where) => return asked(place, number),
        Some(Keyword::Reversible) => vec![D::tagged(Tag::Years)],
        Some(Keyword::Carrying) if place.last_keyword() == Some(Keyword::On) => vec![D::AREA],
        Some(Keyword::Carrying) => vec![D::FORCE, D::MASS],
        Some(Keyword::During) => vec![D::TIME],
        Some(Keyword::In) => vec![D::VOLUME],
        Some(Keyword::At) if place.verb == Some(Verb::Prepare) => vec![D::TEMPERATURE],
        Some(Keyword::At) => vec![D::tagged(Tag::AirChanges), D::FLOW],
        Some(Keyword::With) => vec![D::MASS, D::VOLUME, D::tagged(Tag::Percent)],
        Some(Keyword::From) => percent[1..].iter().copied().chain([D::MOLARITY]).collect(),
        Some(Keyword::That | Keyword::Given) => {
            match place.tokens[..number].iter().rev().find_map(keyword) {
                Some(Keyword::At) => vec![D::TEMPERATURE],
                Some(Keyword::During | Keyword::For) => vec![D::TIME],
                _ => Vec::new(),
            }
        }
        _ => match place.verb {
            Some(Verb::Prepare) => {
                let of = (0..number).any(|k| place.spelling(k) == "of");
                if of {
                    let others = [D::MOLARITY, D::DENSITY, D::CONDUCTIVITY];
                    percent[1..].iter().copied().chain(others).collect()
                } else {
                    vec![D::VOLUME, D::MASS]
                }
            }
            Some(Verb::Ventilate) => vec![D::VOLUME, D::MASS],
            Some(_) => Vec::new(),
            None => return None,
        },
    })
}

/// Dimensions of the field that a number is held against.
fn asked(place: &Place<'_>, number: usize) -> Option<Vec<Dimension>> {
    let sign = (0..number).rev().find(|k| {
        !matches!(
            place.tokens[*k].kind,
            TokenKind::Keyword(Keyword::Not) | TokenKind::Int(_) | TokenKind::Dec(_)
        )
    })?;
    let field = names::field_before(place, sign)?;
    match field.holds {
        Holds::Measure(dimension) | Holds::MeasureOrText(dimension) => {
            (dimension != Dimension::NONE).then(|| vec![dimension])
        }
        Holds::Limit => Some(vec![Dimension::tagged(Tag::PerMillion), Dimension::DENSITY]),
        _ => None,
    }
}
