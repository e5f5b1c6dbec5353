//! Every id that a record names is the id of a record.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::field::{Holds, field_of};
use crate::model::{Kind, Material, Record};

pub(super) const LINT: Lint = Lint {
    code: "K0201",
    name: "ids",
    why: "an id that leads nowhere takes a family, a part or a removal route out of every answer, \
          in silence",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for record in scope.records() {
        let head = record.head();
        if let Record::Material(it) = record {
            made_of(scope, it, out);
        }
        let mut need = |kind: Kind, id: &str, spot: Spot<'_>| {
            if scope.has(kind, id) {
                return;
            }
            let noun = kind.noun();
            let diagnostic = Diagnostic::error(
                "K0201",
                format!("{} names `{id}`, which is no {noun}", head.id),
            );
            out.push(scope.unknown(
                &spot,
                id,
                &scope.ids(kind),
                diagnostic,
                &format!("the ids are the file names in {}", kind.folder()),
            ));
        };
        for (key, fact) in head.facts.all() {
            if let Some(Holds::Ids(kind)) = field_of(record.kind(), key).map(|f| f.holds) {
                for id in fact.words() {
                    need(kind, id, Spot::Word(&fact.place, id));
                }
            }
        }
        match record {
            Record::Material(it) => {
                let family = Spot::FieldWord(head, "family", &it.family);
                need(Kind::Family, &it.family, family);
                for route in &it.removal {
                    if let Some(id) = &route.agent {
                        need(Kind::Agent, id, Spot::Word(&route.place, id));
                    }
                    if let Some(id) = &route.method {
                        need(Kind::Method, id, Spot::Word(&route.place, id));
                    }
                }
            }
            Record::Agent(it) => {
                for (id, _) in &it.parts {
                    need(Kind::Agent, id, Spot::FieldWord(head, "parts", id));
                }
                if let Some(id) = &it.like {
                    need(Kind::Agent, id, Spot::FieldWord(head, "like", id));
                }
            }
            Record::Method(it) => {
                if let Some(id) = &it.carrier {
                    need(Kind::Carrier, id, Spot::FieldWord(head, "carrier", id));
                }
                if let Some(id) = &it.then {
                    need(Kind::Method, id, Spot::FieldWord(head, "then", id));
                }
            }
            Record::Test(it) => {
                if let Some(id) = &it.reagent {
                    need(Kind::Agent, id, Spot::FieldWord(head, "reagent", id));
                }
            }
            Record::Family(it) => {
                for id in &it.near {
                    need(Kind::Family, id, Spot::Word(&head.place, id));
                }
            }
            Record::Layer(_) | Record::Carrier(_) | Record::Source(_) => {}
        }
    }
}

/// What a mixture is made of. The nearest name is no mend here: it would put into it what is not in it.
fn made_of(scope: &Scope<'_>, it: &Material, out: &mut Vec<Finding>) {
    for id in &it.made_of {
        if scope.has(Kind::Material, id) {
            continue;
        }
        let diagnostic = Diagnostic::error(
            "K0201",
            format!(
                "{} is made of `{id}`, which is no material on record",
                it.head.id
            ),
        );
        out.push(
            scope.finding(
                &Spot::FieldWord(&it.head, "made_of", id),
                diagnostic.help(
                    "take it out, and say it in `composition`; or write a record for it first",
                ),
            ),
        );
    }
}
