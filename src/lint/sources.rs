//! Every source that a basis names is in the bibliography.

use super::Lint;
use super::scope::Scope;
use super::spot::Spot;
use crate::corpus::Finding;
use crate::diag::{Diagnostic, did_you_mean};
use crate::model::{Basis, Kind};

pub(super) const LINT: Lint = Lint {
    code: "K0210",
    name: "sources",
    why: "a fact whose source cannot be looked up cannot be checked, and an answer could not cite \
          it",
    check,
};

/// What to do where no key on file is like it, and where one is.
const NONE: &str = "add an entry with this key to a file in sources, or write by = \"memory\"";
const ANOTHER: &str = "another work wants an entry of its own in a file in sources";

/// What of a key stands behind the name: its year, and the letter that tells works of one year apart.
fn year(key: &str) -> &str {
    key.find(|c: char| c.is_ascii_digit())
        .map_or("", |at| &key[at..])
}

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    let known = scope.ids(Kind::Source);
    for (basis, place) in scope.bases() {
        let Basis::Published {
            key,
            through,
            locator,
        } = basis
        else {
            continue;
        };
        for wanted in std::iter::once(key).chain(through) {
            if scope.has(Kind::Source, wanted) {
                continue;
            }
            // The key stands inside the quoted basis, so the edit rewrites the whole of it.
            let written = basis.to_string();
            let with = |right: &str| {
                let put = |old: &String| if old == wanted { right } else { old }.to_owned();
                Basis::Published {
                    key: put(key),
                    through: through.as_ref().map(put),
                    locator: locator.clone(),
                }
                .to_string()
            };
            // A key that differs in the year is another work, however near its name.
            let of_the_year = known.iter().copied().filter(|k| year(k) == year(wanted));
            let near = did_you_mean(wanted, of_the_year);
            let diagnostic = Diagnostic::error("K0210", format!("no source `{wanted}`"));
            let spot = Spot::Word(place, &written);
            let finding = scope.finding_with(&spot, diagnostic, |located, diagnostic| {
                let diagnostic = diagnostic.help(match near.as_slice() {
                    [] => NONE.to_owned(),
                    near => format!("write \"{}\"; {ANOTHER}", near.join("\" or \"")),
                });
                match (located.word, near.as_slice()) {
                    (Some(span), [one]) => diagnostic.edit(span, with(one)),
                    _ => diagnostic,
                }
            });
            out.push(finding);
        }
    }
}
