//! Names stand in alphabetical order, each once.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::{Finding, LANGUAGES};
use crate::diag::Diagnostic;
use crate::model::Kind;
use crate::order::Arrange;

pub(super) const LINT: Lint = Lint {
    code: "K0222",
    name: "sorted",
    why: "a name is found, or found missing, at a glance, and two people who add one each do not \
          clash",
    check,
};

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for record in scope.records() {
        if matches!(record.kind(), Kind::Source) {
            continue;
        }
        let head = record.head();
        let foreign = |lang: &str| {
            let of = head.names.foreign.iter().filter(|(l, _)| l == lang);
            of.map(|(_, name)| name.as_str()).collect::<Vec<_>>()
        };
        let mut lists = vec![("also", head.names.also.iter().map(String::as_str).collect())];
        lists.extend(LANGUAGES.iter().map(|lang| (*lang, foreign(lang))));
        for (key, list) in lists {
            for pair in list.windows(2) {
                let [before, after] = pair else { continue };
                if before.to_lowercase() < after.to_lowercase() {
                    continue;
                }
                let mut right = list.clone();
                right.arrange_by_key(|name| name.to_lowercase());
                right.dedup();
                let diagnostic =
                    Diagnostic::error("K0222", format!("`{after}` stands after `{before}`"))
                        .help(format!("write {key} = [\"{}\"]", right.join("\", \"")));
                let spot = if record.kind() == Kind::Family {
                    Spot::Word(&head.place, after)
                } else {
                    Spot::FieldWord(head, key, after)
                };
                out.push(scope.finding(&spot, diagnostic));
                break;
            }
        }
    }
}
