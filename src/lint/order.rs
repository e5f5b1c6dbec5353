//! Keys stand in the order of `kb/README.md`.

use toml::de::DeTable;

use super::Lint;
use super::scope::Scope;
use crate::corpus::Finding;
use crate::diag::Diagnostic;
use crate::model::{Kind, Place};
use crate::span::Span;

pub(super) const LINT: Lint = Lint {
    code: "K0221",
    name: "order",
    why: "records that are laid out alike can be read side by side, and a change shows as a change",
    check,
};

/// What stands between a kind's first keys and the rest in every record.
const NAMED: &[&str] = &["also", "de", "fr", "it", "es", "summary", "invented"];

/// The keys of a kind's own, before its other names and after; `None` for kinds that are no file of
/// their own.
const fn own(kind: Kind) -> Option<[&'static [&'static str]; 2]> {
    Some(match kind {
        Kind::Material => [
            &["kinds", "family"],
            &[
                "made_of", "sites", "facts", "fresh", "aged", "always", "met", "new", "removal",
            ],
        ],
        Kind::Layer => [&["group", "traits"], &["facts", "harm"]],
        Kind::Agent => [
            &["kind", "class"],
            &[
                "cas",
                "parts",
                "like",
                "strength",
                "cmr",
                "needs_permission",
                "facts",
            ],
        ],
        Kind::Carrier => [
            &[],
            &["carries", "carries_not", "limits_penetration", "facts"],
        ],
        Kind::Method => [
            &[],
            &[
                "action",
                "delivers",
                "carrier",
                "classes",
                "reach",
                "reach_partly",
                "wets",
                "mildness",
                "then",
                "responses",
                "facts",
                "avoid",
            ],
        ],
        Kind::Test => [
            &[],
            &[
                "cluster",
                "specimens",
                "destructive",
                "laboratory",
                "sample-ug",
                "risk",
                "toxicity",
                "minutes",
                "reagent",
                "outcomes",
                "near",
                "hazard",
                "reads",
                "proposed",
                "facts",
            ],
        ],
        Kind::Family | Kind::Source => return None,
    })
}

/// The keys of a record in their order.
fn order(kind: Kind) -> Option<Vec<&'static str>> {
    let [first, rest] = own(kind)?;
    Some([&["id", "name"], first, NAMED, rest].concat())
}

fn check(scope: &Scope<'_>, out: &mut Vec<Finding>) {
    for record in scope.records() {
        let file = &record.head().place.file;
        let (Some(order), Some(source)) = (order(record.kind()), scope.text(file)) else {
            continue;
        };
        // What cannot be parsed has its finding from the reader.
        let Ok(document) = DeTable::parse(&source.text) else {
            continue;
        };
        let mut keys: Vec<(usize, usize, &str)> = document
            .get_ref()
            .iter()
            .map(|(key, _)| (key.span().start, key.span().end, key.get_ref().as_ref()))
            .collect();
        keys.sort_unstable();
        let mut last: Option<(usize, &str)> = None;
        for (start, end, key) in keys {
            let Some(rank) = order.iter().position(|k| *k == key) else {
                continue;
            };
            match last {
                Some((highest, before)) if rank < highest => {
                    let at = source.place(start);
                    out.push(Finding {
                        file: file.clone(),
                        place: Place {
                            file: file.clone(),
                            line: at.line,
                            column: at.column,
                        },
                        diagnostic: Diagnostic::error(
                            "K0221",
                            format!("`{key}` stands after `{before}`"),
                        )
                        .at(Span::new(start, end), "")
                        .help(format!("the order is {}", order.join(", "))),
                    });
                    break;
                }
                _ => last = Some((rank, key)),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::order;
    use crate::model::Kind;

    #[test]
    fn every_kind_with_files_starts_with_id_and_name() {
        for kind in Kind::ALL {
            match order(kind) {
                Some(keys) => {
                    assert_eq!(&keys[..2], ["id", "name"]);
                    assert!(keys.contains(&"facts"));
                }
                None => assert!(matches!(kind, Kind::Family | Kind::Source)),
            }
        }
    }
}
