//! Shape of a material: its facts by age, how often it is met, how it is taken off.

use super::fact::read_basis;
use super::shape::{grouped, head, one_word, or_base, plain, required, words};
use super::walk::{Reading, Table, span_of};
use crate::model::{
    Basis, Custom, Effect, Group, Kind, Material, Meeting, Met, NewUse, Order, Purpose, Role,
    Route, Site,
};
use crate::span::Span;
use toml::de::DeValue;

pub(super) fn material<'r>(
    reading: &'r Reading<'r>,
    table: &Table<'r, '_>,
    base: Option<&Material>,
) -> Option<Material> {
    let head = head(reading, table, Kind::Material, base.map(|b| &b.head))?;
    let roles = words(reading, table, "kinds", Role::ALL, Role::word);
    let family = table
        .text("family")
        .map(|(text, _)| text)
        .or_else(|| base.map(|b| b.family.clone()));
    let made_of = plain(table, "made_of");
    let sites = words(reading, table, "sites", Site::ALL, Site::word);
    let fresh = grouped(reading, table, "fresh", base.map(|b| &b.fresh));
    let aged = grouped(reading, table, "aged", base.map(|b| &b.aged));
    let always = grouped(reading, table, "always", base.map(|b| &b.always));
    let met = meetings(reading, table);
    let new = new_uses(reading, table);
    let removal = routes(reading, table);
    let roles = or_base(roles, base.map(|b| &b.roles));
    if roles.is_empty() {
        reading.error(
            "K0101",
            table.span(),
            format!("{} has no `kinds`", head.names.name),
            "add kinds = [\"coating\"] or what it serves as",
        );
    }
    let family = required(reading, &head, "family", table.span(), family)?;
    Some(Material {
        roles,
        family,
        made_of: or_base(made_of, base.map(|b| &b.made_of)),
        sites: or_base(sites, base.map(|b| &b.sites)),
        fresh,
        aged,
        always,
        met: or_base(met, base.map(|b| &b.met)),
        new: or_base(new, base.map(|b| &b.new)),
        removal: or_base(removal, base.map(|b| &b.removal)),
        head,
    })
}

/// The tables of a list of tables, each with its place.
fn list_of<'r, 'd>(
    reading: &'r Reading<'r>,
    table: &Table<'r, 'd>,
    key: &'static str,
) -> Vec<(Table<'r, 'd>, Span)> {
    let Some(value) = table.get(key) else {
        return Vec::new();
    };
    let wrong = |span: Span| {
        let message = format!("`{key}` wants [[{key}]] tables");
        reading.error("K0103", span, message, "");
    };
    let DeValue::Array(items) = value.get_ref() else {
        wrong(span_of(value));
        return Vec::new();
    };
    let mut out = Vec::new();
    for item in items.iter() {
        let span = span_of(item);
        match item.get_ref() {
            DeValue::Table(inner) => out.push((Table::new(reading, inner, span), span)),
            _ => wrong(span),
        }
    }
    out
}

/// The basis of a table, `by`.
fn basis(reading: &Reading<'_>, table: &Table<'_, '_>, span: Span, what: &str) -> Option<Basis> {
    let Some((by, by_span)) = table.text("by") else {
        reading.error(
            "K0106",
            span,
            format!("{what} has no basis"),
            "add by = \"key, locator\", \"practice\" or \"memory\"",
        );
        return None;
    };
    read_basis(reading, &by, by_span)
}

fn meetings<'r>(reading: &'r Reading<'r>, table: &Table<'r, '_>) -> Vec<Meeting> {
    let mut out = Vec::new();
    for (own, span) in list_of(reading, table, "met") {
        let met = one_word(reading, &own, "is", Met::ALL, Met::word);
        let roles = words(reading, &own, "as", Role::ALL, Role::word);
        let groups = words(reading, &own, "on", Group::ALL, Group::word);
        let basis = basis(reading, &own, span, "a [[met]] table");
        let note = own.text("note").map(|(t, _)| t);
        own.refuse_others("a [[met]] table");
        if own.get("is").is_none() {
            reading.error(
                "K0101",
                span,
                "a [[met]] table does not say how often",
                "add is = \"often\", \"regularly\", \"sometimes\", \"rarely\" or \"seldom\"",
            );
        }
        let (Some(met), Some(basis)) = (met, basis) else {
            continue;
        };
        out.push(Meeting {
            met,
            roles,
            groups,
            basis,
            note,
            place: reading.place(span),
        });
    }
    out
}

fn new_uses<'r>(reading: &'r Reading<'r>, table: &Table<'r, '_>) -> Vec<NewUse> {
    let mut out = Vec::new();
    for (own, span) in list_of(reading, table, "new") {
        let custom = one_word(reading, &own, "is", Custom::ALL, Custom::word);
        let purposes = words(reading, &own, "as", Purpose::ALL, Purpose::word);
        let on = plain(&own, "on");
        let basis = basis(reading, &own, span, "a [[new]] table");
        let why = own.text("why").map(|(t, _)| t);
        own.refuse_others("a [[new]] table");
        if own.get("is").is_none() || (custom == Some(Custom::Refused) && why.is_none()) {
            reading.error(
                "K0101",
                span,
                "a [[new]] table does not say whether it is taken, or why it is refused",
                "add is = \"usual\", \"sometimes\" or \"refused\"; what is refused wants why = \"…\"",
            );
        }
        let (Some(custom), Some(basis)) = (custom, basis) else {
            continue;
        };
        out.push(NewUse {
            custom,
            purposes,
            on,
            basis,
            why,
            place: reading.place(span),
        });
    }
    out
}

fn routes<'r>(reading: &'r Reading<'r>, table: &Table<'r, '_>) -> Vec<Route> {
    let mut out = Vec::new();
    for (own, span) in list_of(reading, table, "removal") {
        let order = one_word(reading, &own, "order", Order::ALL, Order::word);
        let agent = own.text("agent").map(|(t, _)| t);
        let method = own.text("method").map(|(t, _)| t);
        let on = plain(&own, "on");
        let only = plain(&own, "only");
        let effect = one_word(reading, &own, "is", Effect::ALL, Effect::word);
        let basis = basis(reading, &own, span, "a removal route");
        let note = own.text("note").map(|(t, _)| t);
        own.refuse_others("a removal route");
        if own.get("order").is_none() {
            reading.error(
                "K0101",
                span,
                "a removal route has no `order`",
                "add order = \"first\", \"second\", \"last\" or \"fails\"",
            );
        }
        let (Some(order), Some(basis)) = (order, basis) else {
            continue;
        };
        out.push(Route {
            order,
            agent,
            method,
            on,
            only,
            effect,
            basis,
            note,
            place: reading.place(span),
        });
    }
    out
}
