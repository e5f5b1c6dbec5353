//! A route holds on traits, sites or layers, and is kept to groups, traits or layers; a method is avoided on traits or conditions.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{self, Condition, Kind, Place, Site, Trait};

pub(super) const LINT: Lint = Lint {
    code: "K0204",
    name: "places",
    why: "a route bound to a mistyped trait never applies, and a warning bound to one is never \
          given",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let traits = || Trait::ALL.iter().map(|it| it.word());
    let sites = || Site::ALL.iter().map(|it| it.word());
    let groups = || model::Group::ALL.iter().map(|it| it.word());
    let conditions = || Condition::ALL.iter().map(|it| it.word());
    let layers = || scope.ids(Kind::Layer);
    let on = Words {
        known: traits().chain(sites()).chain(layers()).collect(),
        no: "no trait, no site and no layer",
        stand: "traits and sites stand in vocab/words.toml, layers in layers",
    };
    let only = Words {
        known: traits().chain(groups()).chain(layers()).collect(),
        no: "no group, no trait and no layer",
        stand: "groups and traits stand in vocab/words.toml, layers in layers",
    };
    let new = Words {
        known: traits()
            .chain(groups())
            .chain(conditions())
            .chain(layers())
            .collect(),
        no: "no group, no trait, no condition and no layer",
        stand: "groups, traits and conditions stand in vocab/words.toml, layers in layers",
    };
    for material in scope.materials() {
        for route in &material.removal {
            on.check(scope, &route.on, &route.place, out);
            only.check(scope, &route.only, &route.place, out);
        }
        for use_ in &material.new {
            new.check(scope, &use_.on, &use_.place, out);
        }
    }
    let mut avoid: Vec<&str> = traits().collect();
    avoid.extend(Condition::ALL.iter().map(|it| it.word()));
    for stated in scope.facts() {
        let key = stated.key;
        if stated.group != Group::Avoid || avoid.contains(&key) {
            continue;
        }
        let diagnostic =
            Diagnostic::error("K0204", format!("`{key}` is no trait and no condition"));
        out.push(scope.unknown(
            &Spot::Key(&stated.fact.place, key),
            key,
            &avoid,
            diagnostic,
            "traits and conditions stand in vocab/words.toml",
        ));
    }
}

/// Words that may stand in a list.
struct Words<'s> {
    known: Vec<&'s str>,
    /// What another word is said to be.
    no: &'static str,
    /// Where they stand.
    stand: &'static str,
}

impl Words<'_> {
    fn check(&self, scope: &Scope<'_>, list: &[String], place: &Place, out: &mut Vec<Finding>) {
        for word in list.iter().filter(|w| !self.known.contains(&w.as_str())) {
            let diagnostic = Diagnostic::error("K0204", format!("`{word}` is {}", self.no));
            let spot = Spot::Word(place, word);
            out.push(scope.unknown(&spot, word, &self.known, diagnostic, self.stand));
        }
    }
}
