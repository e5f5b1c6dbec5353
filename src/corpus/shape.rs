//! Turns one TOML document into one record. An overlay names only what it changes: what it leaves
//! out is taken from the record beneath.

use super::fact::{Expect, facts};
use super::material::material;
use super::walk::{Reading, Table, span_of};
use crate::diag::{Diagnostic, did_you_mean};
use crate::model::{
    Action, Agent, AgentSort, BenchTest, Carrier, Class, Condition, Facts, Group, Hazard, Head,
    Kind, Layer, Method, Record, Response, Site, Specimen, Trait, Wetting,
};
use crate::span::Span;
use toml::de::DeValue;

/// Languages in which a record may give names.
pub const LANGUAGES: [&str; 4] = ["de", "fr", "it", "es"];

/// Reads one record. Findings go to `reading`; `None` when no record can be made of it.
pub(super) fn record(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    kind: Kind,
    base: Option<&Record>,
) -> Option<Record> {
    macro_rules! read {
        ($variant:ident, $read:ident) => {{
            let base = match base {
                Some(Record::$variant(it)) => Some(it),
                _ => None,
            };
            Record::$variant($read(reading, table, base)?)
        }};
    }
    let record = match kind {
        Kind::Material => read!(Material, material),
        Kind::Layer => read!(Layer, layer),
        Kind::Agent => read!(Agent, agent),
        Kind::Carrier => read!(Carrier, carrier),
        Kind::Method => read!(Method, method),
        Kind::Test => read!(Test, test),
        Kind::Family | Kind::Source => return None,
    };
    table.refuse_others(&format!("a {}", kind.noun()));
    Some(record)
}

/// The `id` of a document, before anything else is read.
pub(super) fn id_of(table: &Table<'_, '_>) -> Option<(String, Span)> {
    table.text("id")
}

pub(super) fn head(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    kind: Kind,
    base: Option<&Head>,
) -> Option<Head> {
    let Some((id, id_span)) = table.text("id") else {
        reading.error(
            "K0101",
            table.span(),
            "the record has no `id`",
            "add id = \"file-name\"",
        );
        return None;
    };
    let tidy = !id.is_empty()
        && id.split('-').all(|part| {
            !part.is_empty()
                && part
                    .chars()
                    .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
        });
    if !tidy {
        reading.error(
            "K0101",
            id_span,
            format!("`{id}` is no id"),
            "lower-case ASCII words joined by hyphens",
        );
    }
    let name = table.text("name").map(|(text, _)| text);
    let also = plain(table, "also");
    let foreign: Vec<(String, String)> = LANGUAGES
        .iter()
        .flat_map(|lang| {
            plain(table, lang)
                .into_iter()
                .map(|text| ((*lang).to_owned(), text))
        })
        .collect();
    let summary = table.text("summary").map(|(text, _)| text);
    let invented = table.flag("invented");
    let mut out = base.cloned().unwrap_or_default();
    match (name, base) {
        (Some(name), _) => out.names.name = name,
        (None, Some(_)) => {}
        (None, None) => {
            reading.error(
                "K0101",
                id_span,
                format!("`{id}` has no `name`"),
                "add name = \"…\"",
            );
            return None;
        }
    }
    if !also.is_empty() {
        out.names.also = also.into();
    }
    if !foreign.is_empty() {
        out.names.foreign = foreign.into();
    }
    if let Some(summary) = summary {
        out.summary = summary;
    }
    if let Some(own) = table.table("facts") {
        merge(&mut out.facts, facts(reading, &own, Expect::Fields(kind)));
    }
    out.id = id;
    out.invented = invented.unwrap_or(out.invented);
    out.place = reading.place(id_span);
    Some(out)
}

/// Lays facts over facts, key by key.
fn merge(base: &mut Facts, over: Facts) {
    for (key, facts) in over.0.into_inner() {
        match base.0.iter_mut().find(|(k, _)| *k == key) {
            Some((_, old)) => *old = facts,
            None => base.0.push((key, facts)),
        }
    }
}

/// Reads controlled words; an unknown one is an error with the nearest known word.
pub(super) fn words<T: Copy>(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    key: &'static str,
    all: &[T],
    spell: fn(T) -> &'static str,
) -> Vec<T> {
    table
        .texts(key)
        .into_iter()
        .filter_map(|(text, span)| word(reading, key, &text, span, all, spell))
        .collect()
}

fn word<T: Copy>(
    reading: &Reading<'_>,
    what: &str,
    text: &str,
    span: Span,
    all: &[T],
    spell: fn(T) -> &'static str,
) -> Option<T> {
    let found = all.iter().copied().find(|it| spell(*it) == text);
    if found.is_none() {
        let known: Vec<&str> = all.iter().map(|it| spell(*it)).collect();
        let near = did_you_mean(text, known.iter().copied());
        let diagnostic = Diagnostic::error("K0109", format!("`{text}` is no word for `{what}`"))
            .at(span, "unknown word");
        reading.report(match near.first() {
            Some(best) => diagnostic
                .help(format!("write \"{best}\""))
                .edit(span, format!("\"{best}\"")),
            None => diagnostic.help(format!("known: {}", known.join(", "))),
        });
    }
    found
}

pub(super) fn one_word<T: Copy>(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    key: &'static str,
    all: &[T],
    spell: fn(T) -> &'static str,
) -> Option<T> {
    let (text, span) = table.text(key)?;
    word(reading, key, &text, span, all, spell)
}

/// What the record says, else what the one beneath says.
pub(super) fn or_base<T: Clone>(own: Vec<T>, base: Option<&Vec<T>>) -> Vec<T> {
    if own.is_empty() {
        base.cloned().unwrap_or_default()
    } else {
        own
    }
}

/// The texts of a key, without their places.
pub(super) fn plain(table: &Table<'_, '_>, key: &'static str) -> Vec<String> {
    table.texts(key).into_iter().map(|(text, _)| text).collect()
}

/// A value that must be there; reports where it is not.
pub(super) fn required<T>(
    reading: &Reading<'_>,
    head: &Head,
    key: &str,
    span: Span,
    value: Option<T>,
) -> Option<T> {
    if value.is_none() {
        reading.error(
            "K0101",
            span,
            format!("{} has no `{key}`", head.names.name),
            &format!("add {key} = …"),
        );
    }
    value
}

/// A table of words under any key, laid over that of the record beneath.
pub(super) fn grouped(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    key: &'static str,
    base: Option<&Facts>,
) -> Facts {
    let mut out = base.cloned().unwrap_or_default();
    if let Some(own) = table.table(key) {
        merge(&mut out, facts(reading, &own, Expect::Words));
    }
    out
}

fn layer(reading: &Reading<'_>, table: &Table<'_, '_>, base: Option<&Layer>) -> Option<Layer> {
    let head = head(reading, table, Kind::Layer, base.map(|b| &b.head))?;
    let group = one_word(reading, table, "group", Group::ALL, Group::word)
        .map(|group| group.word().to_owned())
        .or_else(|| base.map(|b| b.group.clone()));
    let traits = words(reading, table, "traits", Trait::ALL, Trait::word);
    let mut harm = base.map(|b| b.harm.clone()).unwrap_or_default();
    if let Some(own) = table.table("harm") {
        for (key, span, value) in own.entries() {
            let Some(condition) = word(
                reading,
                "condition",
                key,
                span,
                Condition::ALL,
                Condition::word,
            ) else {
                continue;
            };
            let DeValue::Table(inner) = value.get_ref() else {
                reading.error("K0103", span_of(value), "a condition wants a table", "");
                continue;
            };
            let inner = Table::new(reading, inner, span_of(value));
            let own = facts(reading, &inner, Expect::Words);
            match harm.iter_mut().find(|(c, _)| *c == condition) {
                Some((_, old)) => merge(old, own),
                None => harm.push((condition, own)),
            }
        }
    }
    let group = required(reading, &head, "group", table.span(), group)?;
    Some(Layer {
        group,
        traits: or_base(traits, base.map(|b| &b.traits)),
        harm,
        head,
    })
}

fn agent(reading: &Reading<'_>, table: &Table<'_, '_>, base: Option<&Agent>) -> Option<Agent> {
    let head = head(reading, table, Kind::Agent, base.map(|b| &b.head))?;
    let sort = match table.text("kind") {
        Some((text, span)) => {
            let sort = AgentSort::parse(&text);
            if sort.is_none() {
                reading.error(
                    "K0109",
                    span,
                    format!("`{text}` is no kind of liquid"),
                    "known: solvent, mixture, aqueous, reagent, enzyme",
                );
            }
            sort
        }
        None => base.map(|b| b.sort),
    };
    let class = one_word(reading, table, "class", Class::ALL, Class::word)
        .or_else(|| base.map(|b| b.class));
    let cas = table
        .text("cas")
        .map(|(t, _)| t)
        .or_else(|| base.and_then(|b| b.cas.clone()));
    let mut parts = Vec::new();
    for (text, span) in table.texts("parts") {
        let part = text.rsplit_once(' ').and_then(|(id, share)| {
            share
                .parse::<f64>()
                .ok()
                .filter(|n| *n > 0.0)
                .map(|n| (id.to_owned(), n))
        });
        match part {
            Some(part) => parts.push(part),
            None => reading.error(
                "K0110",
                span,
                format!("`{text}` is no part of a mixture"),
                "write the id and its parts by volume, for example \"acetone 1\"",
            ),
        }
    }
    let like = table
        .text("like")
        .map(|(t, _)| t)
        .or_else(|| base.and_then(|b| b.like.clone()));
    let strength = table
        .grade("strength", 1, 9)
        .or_else(|| base.map(|b| b.strength));
    let cmr = table
        .text("cmr")
        .map(|(t, _)| t)
        .or_else(|| base.and_then(|b| b.cmr.clone()));
    let needs_permission = table
        .flag("needs_permission")
        .unwrap_or_else(|| base.is_some_and(|b| b.needs_permission));
    let span = table.span();
    Some(Agent {
        sort: required(reading, &head, "kind", span, sort)?,
        class: required(reading, &head, "class", span, class)?,
        strength: required(reading, &head, "strength", span, strength)?,
        cas,
        parts: or_base(parts, base.map(|b| &b.parts)),
        like,
        cmr,
        needs_permission,
        hazards: head
            .facts
            .words("hazards")
            .into_iter()
            .filter_map(Hazard::parse)
            .collect(),
        hansen: head.facts.hansen(),
        head,
    })
}

fn carrier(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    base: Option<&Carrier>,
) -> Option<Carrier> {
    let head = head(reading, table, Kind::Carrier, base.map(|b| &b.head))?;
    Some(Carrier {
        carries: or_base(plain(table, "carries"), base.map(|b| &b.carries)),
        carries_not: or_base(plain(table, "carries_not"), base.map(|b| &b.carries_not)),
        limits_penetration: table
            .flag("limits_penetration")
            .unwrap_or_else(|| base.is_some_and(|b| b.limits_penetration)),
        head,
    })
}

fn method(reading: &Reading<'_>, table: &Table<'_, '_>, base: Option<&Method>) -> Option<Method> {
    let head = head(reading, table, Kind::Method, base.map(|b| &b.head))?;
    let action = one_word(reading, table, "action", Action::ALL, Action::word)
        .or_else(|| base.map(|b| b.action));
    let wets = one_word(reading, table, "wets", Wetting::ALL, Wetting::word)
        .or_else(|| base.map(|b| b.wets));
    let mildness = table
        .grade("mildness", 1, 9)
        .or_else(|| base.map(|b| b.mildness));
    let span = table.span();
    Some(Method {
        delivers: or_base(plain(table, "delivers"), base.map(|b| &b.delivers)),
        carrier: table
            .text("carrier")
            .map(|(t, _)| t)
            .or_else(|| base.and_then(|b| b.carrier.clone())),
        classes: or_base(
            words(reading, table, "classes", Class::ALL, Class::word),
            base.map(|b| &b.classes),
        ),
        reach: or_base(
            words(reading, table, "reach", Site::ALL, Site::word),
            base.map(|b| &b.reach),
        ),
        reach_partly: or_base(
            words(reading, table, "reach_partly", Site::ALL, Site::word),
            base.map(|b| &b.reach_partly),
        ),
        then: table
            .text("then")
            .map(|(t, _)| t)
            .or_else(|| base.and_then(|b| b.then.clone())),
        responses: or_base(
            words(reading, table, "responses", Response::ALL, Response::word),
            base.map(|b| &b.responses),
        ),
        avoid: grouped(reading, table, "avoid", base.map(|b| &b.avoid)),
        action: required(reading, &head, "action", span, action)?,
        wets: wets.unwrap_or(Wetting::None),
        mildness: required(reading, &head, "mildness", span, mildness)?,
        head,
    })
}

fn test(
    reading: &Reading<'_>,
    table: &Table<'_, '_>,
    base: Option<&BenchTest>,
) -> Option<BenchTest> {
    let head = head(reading, table, Kind::Test, base.map(|b| &b.head))?;
    let cluster = table
        .text("cluster")
        .map(|(t, _)| t)
        .or_else(|| base.map(|b| b.cluster.clone()));
    let specimens = words(reading, table, "specimens", Specimen::ALL, Specimen::word);
    let outcomes = or_base(plain(table, "outcomes"), base.map(|b| &b.outcomes));
    let mut near = Vec::new();
    if let Some(value) = table.get("near") {
        match value.get_ref() {
            DeValue::Array(pairs) => {
                for pair in pairs.iter() {
                    let both = super::walk::texts_of(reading, pair, "near");
                    if let [(a, _), (b, _)] = &both[..] {
                        near.push((a.clone(), b.clone()));
                    } else {
                        reading.error("K0103", span_of(pair), "`near` wants pairs of outcomes", "");
                    }
                }
            }
            _ => reading.error("K0103", span_of(value), "`near` wants a list of pairs", ""),
        }
    }
    let hazard = one_word(reading, table, "hazard", Hazard::ALL, Hazard::word)
        .or_else(|| base.and_then(|b| b.hazard));
    let number = |key: &'static str, old: Option<f64>| {
        table.number(key).map(|(n, _)| n).or(old).unwrap_or(0.0)
    };
    let span = table.span();
    if outcomes.is_empty() || outcomes.len() > 64 {
        reading.error(
            "K0101",
            span,
            format!("{} wants one to 64 `outcomes`", head.names.name),
            "add outcomes = [\"positive\", \"negative\"]",
        );
        return None;
    }
    Some(BenchTest {
        cluster: required(reading, &head, "cluster", span, cluster)?,
        specimens: or_base(specimens, base.map(|b| &b.specimens)),
        destructive: table
            .flag("destructive")
            .unwrap_or_else(|| base.is_some_and(|b| b.destructive)),
        laboratory: table
            .flag("laboratory")
            .unwrap_or_else(|| base.is_some_and(|b| b.laboratory)),
        sample_ug: number("sample-ug", base.map(|b| b.sample_ug)),
        risk: table
            .grade("risk", 0, 5)
            .or_else(|| base.map(|b| b.risk))
            .unwrap_or(0),
        toxicity: table
            .grade("toxicity", 0, 5)
            .or_else(|| base.map(|b| b.toxicity))
            .unwrap_or(0),
        minutes: number("minutes", base.map(|b| b.minutes)),
        reagent: table
            .text("reagent")
            .map(|(t, _)| t)
            .or_else(|| base.and_then(|b| b.reagent.clone())),
        near: or_base(near, base.map(|b| &b.near)),
        hazard,
        reads: table
            .text("reads")
            .map(|(t, _)| t)
            .or_else(|| base.and_then(|b| b.reads.clone())),
        proposed: table
            .flag("proposed")
            .unwrap_or_else(|| base.is_none_or(|b| b.proposed)),
        outcomes,
        head,
    })
}
