//! A route holds on traits, sites or layers; a method is avoided on traits or conditions.

use super::Lint;
use super::scope::{Group, Scope};
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{self, Condition, Kind, Site, Trait};

pub(super) const LINT: Lint = Lint {
    code: "K0204",
    name: "places",
    why: "a route bound to a mistyped trait never applies, and a warning bound to one is never \
          given",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let traits = || Trait::ALL.iter().map(|it| it.word());
    let mut on: Vec<&str> = traits().collect();
    on.extend(Site::ALL.iter().map(|it| it.word()));
    on.extend(scope.ids(Kind::Layer));
    for material in scope.materials() {
        for route in &material.removal {
            for word in route.on.iter().filter(|w| !on.contains(&w.as_str())) {
                let diagnostic = Diagnostic::error(
                    "K0204",
                    format!("`{word}` is no trait, no site and no layer"),
                );
                out.push(scope.unknown(
                    &Spot::Word(&route.place, word),
                    word,
                    &on,
                    diagnostic,
                    "traits and sites stand in vocab/words.toml, layers in layers",
                ));
            }
        }
    }
    let mut only: Vec<&str> = traits().collect();
    only.extend(model::Group::ALL.iter().map(|it| it.word()));
    only.extend(scope.ids(Kind::Layer));
    for material in scope.materials() {
        for route in &material.removal {
            for word in route.only.iter().filter(|w| !only.contains(&w.as_str())) {
                let diagnostic = Diagnostic::error(
                    "K0204",
                    format!("`{word}` is no group, no trait and no layer"),
                );
                out.push(scope.unknown(
                    &Spot::Word(&route.place, word),
                    word,
                    &only,
                    diagnostic,
                    "groups and traits stand in vocab/words.toml, layers in layers",
                ));
            }
        }
    }
    let mut new: Vec<&str> = traits().collect();
    new.extend(model::Group::ALL.iter().map(|it| it.word()));
    new.extend(Condition::ALL.iter().map(|it| it.word()));
    new.extend(scope.ids(Kind::Layer));
    for material in scope.materials() {
        for use_ in &material.new {
            for word in use_.on.iter().filter(|w| !new.contains(&w.as_str())) {
                let diagnostic = Diagnostic::error(
                    "K0204",
                    format!("`{word}` is no group, no trait, no condition and no layer"),
                );
                out.push(scope.unknown(
                    &Spot::Word(&use_.place, word),
                    word,
                    &new,
                    diagnostic,
                    "groups, traits and conditions stand in vocab/words.toml, layers in layers",
                ));
            }
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
