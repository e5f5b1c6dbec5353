//! What harms a layer, what a method delivers, what a carrier carries and what a liquid does not mix
//! with are agent classes or liquids.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Class, Kind, Layer, Record};

pub(super) const LINT: Lint = Lint {
    code: "K0203",
    name: "agents",
    why: "a verdict under a mistyped class is never found, so that a liquid that harms the layer \
          counts as unrecorded",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let mut known: Vec<&str> = Class::ALL.iter().map(|c| c.word()).collect();
    known.extend(scope.ids(Kind::Agent));
    let mut need = |word: &str, spot: Spot<'_>| {
        if known.contains(&word) {
            return;
        }
        let diagnostic = Diagnostic::error(
            "K0203",
            format!("`{word}` is neither an agent class nor a liquid"),
        );
        out.push(scope.unknown(
            &spot,
            word,
            &known,
            diagnostic,
            "the classes stand in vocab/words.toml, the liquids in solvents",
        ));
    };
    for stated in scope.facts() {
        if matches!(stated.group, Group::Harm(_)) && stated.key != Layer::ANY_LIQUID {
            need(stated.key, Spot::Key(&stated.fact.place, stated.key));
        }
        if stated.group == Group::Fields
            && matches!(stated.key, "immiscible" | "miscible" | "partly-miscible")
        {
            for word in stated.fact.words() {
                need(word, Spot::Word(&stated.fact.place, word));
            }
        }
    }
    for record in scope.records() {
        let head = record.head();
        let lists: &[(&str, &Vec<String>)] = match record {
            Record::Method(it) => &[("delivers", &it.delivers)],
            Record::Carrier(it) => &[("carries", &it.carries), ("carries_not", &it.carries_not)],
            _ => &[],
        };
        for (key, words) in lists {
            for word in *words {
                need(word, Spot::FieldWord(head, key, word));
            }
        }
    }
}
