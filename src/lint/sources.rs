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
            let diagnostic = Diagnostic::error("K0210", format!("no source `{wanted}`"));
            // The key stands inside the quoted basis, so the edit rewrites the whole of it.
            let written = basis.to_string();
            let spot = Spot::Word(place, &written);
            // A key that differs in the year is another work, however near its name.
            let of_the_year = known.iter().copied().filter(|k| year(k) == year(wanted));
            let like = did_you_mean(wanted, of_the_year);
            let mut finding = scope.unknown(
                &spot,
                wanted,
                &like,
                diagnostic,
                "add an entry with this key to a file in sources, or write by = \"memory\"",
            );
            if let Some(help) = &mut finding.diagnostic.help
                && help.starts_with("write ")
            {
                help.push_str("; another work wants an entry of its own in a file in sources");
            }
            if let Some(edit) = &mut finding.diagnostic.edit {
                edit.replacement = Basis::Published {
                    key: if wanted == key {
                        edit.replacement.clone()
                    } else {
                        key.clone()
                    },
                    through: through.as_ref().map(|t| {
                        if wanted == t {
                            edit.replacement.clone()
                        } else {
                            t.clone()
                        }
                    }),
                    locator: locator.clone(),
                }
                .to_string();
            }
            out.push(finding);
        }
    }
}
