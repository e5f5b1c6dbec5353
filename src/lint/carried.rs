//! A method delivers nothing that its carrier is known not to carry.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Class, Kind, Record};

pub(super) const LINT: Lint = Lint {
    code: "K0231",
    name: "carried",
    why: "a plan with a gel that cannot be made fails at the bench",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for record in scope.records() {
        let Record::Method(method) = record else {
            continue;
        };
        let Some(Record::Carrier(carrier)) = method
            .carrier
            .as_deref()
            .and_then(|id| scope.get(Kind::Carrier, id))
        else {
            continue;
        };
        // A liquid that a method names outright goes with it, whatever its class; a class goes only
        // where the carrier takes it, or a liquid of it.
        let takes = |class: &str| {
            carrier.carries.iter().any(|word| {
                word == class || scope.agent(word).is_some_and(|a| a.class.word() == class)
            })
        };
        for word in &method.delivers {
            let refused = carrier.carries_not.contains(word) && !carrier.carries.contains(word);
            let named = scope.agent(word).is_some();
            let dropped = Class::parse(word).is_some() && !named && !takes(word);
            if !refused && !dropped {
                continue;
            }
            let id = &carrier.head.id;
            let diagnostic = Diagnostic::error("K0231", format!("{id} does not carry `{word}`"))
                .note(format!("{id} stands in {}", carrier.head.place.file))
                .help(format!(
                    "take `{word}` out, or add to `carries` of {id} what it does carry"
                ));
            let spot = Spot::FieldWord(&method.head, "delivers", word);
            out.push(scope.finding(&spot, diagnostic));
        }
    }
}
