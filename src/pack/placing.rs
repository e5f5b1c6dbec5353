//! In which order sources are laid into blocks. An answer about one record cites dozens of them, and
//! every block that holds one is inflated: laid by who cites them those of a material lie in 12 blocks on
//! the mean, laid by their keys in 18.

use std::collections::HashMap;

use crate::model::{Basis, Record};

/// Records that cite a source from which it counts as cited by all. Such sources lie together.
const COMMON: usize = 12;

/// Positions of the sources, those that many records cite first, the others as the records come that
/// cite them.
pub(super) fn cited_together(records: &[Record], sources: &[&Record]) -> Vec<usize> {
    let of_key: HashMap<&str, usize> = sources
        .iter()
        .enumerate()
        .map(|(at, source)| (source.head().id.as_str(), at))
        .collect();
    let mut citing = vec![0; sources.len()];
    let mut first = vec![usize::MAX; sources.len()];
    let mut met = 0;
    for record in records {
        let mut own: Vec<usize> = bases(record)
            .flat_map(keys)
            .filter_map(|key| of_key.get(key).copied())
            .collect();
        for at in &own {
            if first[*at] == usize::MAX {
                first[*at] = met;
                met += 1;
            }
        }
        own.sort_unstable();
        own.dedup();
        for at in own {
            citing[at] += 1;
        }
    }
    let mut order: Vec<usize> = (0..sources.len()).collect();
    order.sort_by_key(|at| {
        let common = citing[*at] >= COMMON;
        let often = if common { citing[*at] } else { 0 };
        (!common, usize::MAX - often, first[*at], *at)
    });
    order
}

/// What the facts of a record rest on, and its routes and reasons for new work.
fn bases(record: &Record) -> impl Iterator<Item = &Basis> {
    let facts = record
        .fact_groups()
        .into_iter()
        .flat_map(|(_, facts)| facts.all())
        .map(|(_, fact)| &fact.basis);
    let (routes, new) = match record {
        Record::Material(it) => (it.removal.as_slice(), it.new.as_slice()),
        _ => (&[][..], &[][..]),
    };
    facts
        .chain(routes.iter().map(|route| &route.basis))
        .chain(new.iter().map(|new| &new.basis))
}

/// Keys of the sources that a basis names.
fn keys(basis: &Basis) -> impl Iterator<Item = &str> {
    match basis {
        Basis::Published { key, through, .. } => [Some(key.as_str()), through.as_deref()],
        Basis::Practice | Basis::Memory => [None, None],
    }
    .into_iter()
    .flatten()
}

#[cfg(test)]
mod tests {
    use super::{COMMON, cited_together};
    use crate::model::{Basis, Fact, Facts, Head, Material, Record, Source, Value};

    fn head(id: &str) -> Head {
        Head {
            id: id.to_owned(),
            ..Head::default()
        }
    }

    fn source(key: &str) -> Record {
        Record::Source(Source {
            head: head(key),
            entry: String::new(),
            authors: Vec::new(),
            date: String::new(),
            title: String::new(),
            container: String::new(),
            detail: String::new(),
            locator: String::new(),
            read: String::new(),
            raw: String::new(),
        })
    }

    fn material(id: &str, cites: &[&str]) -> Record {
        let mut facts = Facts::default();
        for key in cites {
            let basis = Basis::Published {
                key: (*key).to_owned(),
                through: None,
                locator: String::new(),
            };
            facts.push("look", Fact::new(Value::Text(String::new()), basis));
        }
        Record::Material(Material {
            head: Head { facts, ..head(id) },
            roles: Vec::new(),
            family: String::new(),
            made_of: Vec::new(),
            sites: Vec::new(),
            fresh: Facts::default(),
            aged: Facts::default(),
            always: Facts::default(),
            met: Vec::new(),
            new: Vec::new(),
            removal: Vec::new(),
        })
    }

    #[test]
    fn sources_lie_by_who_cites_them() {
        let sources: Vec<Record> = ["a", "b", "c", "d", "e"].map(source).to_vec();
        let list: Vec<&Record> = sources.iter().collect();
        let mut records = vec![material("m", &["d", "b", "unknown"])];
        records.extend((0..COMMON).map(|n| material(&n.to_string(), &["e"])));
        records.push(material("n", &["b", "a"]));
        let order: Vec<&str> = cited_together(&records, &list)
            .into_iter()
            .map(|at| list[at].head().id.as_str())
            .collect();
        assert_eq!(order, ["e", "d", "b", "a", "c"]);
    }
}
