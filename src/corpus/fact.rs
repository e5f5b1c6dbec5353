//! Reads facts: `key = {is = …, by = …}`, or a list of such where sources disagree.

use toml::Spanned;
use toml::de::DeValue;

use super::walk::{Reading, Table, span_of, texts_of};
use crate::diag::Diagnostic;
use crate::model::field::{Holds, field_of};
use crate::model::{Basis, Fact, Facts, Hansen, Kind, Value};
use crate::span::Span;
use crate::units::{parse_quantity, parse_years};

/// What the values of a table of facts hold.
#[derive(Clone, Copy)]
pub(super) enum Expect {
    /// Named fields of a kind of record.
    Fields(Kind),
    /// Words under any key: responses, verdicts, things to avoid.
    Words,
}

/// All facts of a table.
pub(super) fn facts(reading: &Reading<'_>, table: &Table<'_, '_>, expect: Expect) -> Facts {
    let mut out = Facts::default();
    for (key, key_span, value) in table.entries() {
        let holds = match expect {
            Expect::Words => Holds::OpenWords,
            Expect::Fields(kind) => match field_of(kind, key) {
                Some(field) => field.holds,
                None => {
                    unknown_field(reading, kind, key, key_span);
                    continue;
                }
            },
        };
        match value.get_ref() {
            DeValue::Array(items) => {
                for item in items {
                    if let Some(fact) = fact(reading, key, item, holds) {
                        out.push(key, fact);
                    }
                }
            }
            _ => {
                if let Some(fact) = fact(reading, key, value, holds) {
                    out.push(key, fact);
                }
            }
        }
    }
    out
}

fn unknown_field(reading: &Reading<'_>, kind: Kind, key: &str, span: Span) {
    let known: Vec<&str> = crate::model::field::FIELDS
        .iter()
        .filter(|f| f.kinds.contains(&kind))
        .map(|f| f.key)
        .collect();
    let near = crate::diag::did_you_mean(key, known.iter().copied());
    let diagnostic = Diagnostic::error("K0102", format!("a {} has no field `{key}`", kind.noun()))
        .at(span, "unknown field");
    reading.report(match near.first() {
        Some(best) => diagnostic.help(format!("write `{best}`")).edit(span, *best),
        None => diagnostic.help(format!("fields of a {}: {}", kind.noun(), known.join(", "))),
    });
}

fn fact(
    reading: &Reading<'_>,
    key: &str,
    value: &Spanned<DeValue<'_>>,
    holds: Holds,
) -> Option<Fact> {
    let span = span_of(value);
    let DeValue::Table(inner) = value.get_ref() else {
        reading.error(
            "K0105",
            span,
            format!("`{key}` wants a fact"),
            "write {is = VALUE, by = \"BASIS\"}",
        );
        return None;
    };
    let table = Table::new(reading, inner, span);
    let by = table.text("by");
    let sought = table.text("sought");
    let why = table.text("why");
    let is = table.get("is");
    let note = table.text("note").map(|(t, _)| t);
    let within = table.text("in").map(|(t, _)| t);
    let at = table.text("at").map(|(t, _)| t);
    let region = table.text("where").map(|(t, _)| t);
    let averaging = table.text("kind").map(|(t, _)| t);
    table.refuse_others("a fact");
    let Some(is) = is else {
        reading.error(
            "K0105",
            span,
            format!("`{key}` has no `is`"),
            "add is = VALUE",
        );
        return None;
    };
    // What stands in place of a value: `?` for a search that found nothing, `n/a` with its reason.
    let sign = match is.get_ref() {
        DeValue::String(it) => it.as_ref(),
        _ => "",
    };
    let searched = sign == "?";
    let basis = match &by {
        Some((text, by_span)) => read_basis(reading, text, *by_span)?,
        // A search that found nothing has no basis but the search itself.
        None if searched => Basis::Memory,
        None => {
            reading.error(
                "K0106",
                span,
                format!("`{key}` has no basis"),
                "add by = \"key, locator\", by = \"practice\" or by = \"memory\"",
            );
            return None;
        }
    };
    let why = why.map(|(text, _)| text);
    let value = match sign {
        "?" => Value::Sought(explained(
            reading,
            span,
            sought.map(|(text, _)| text),
            format!("`{key}` is marked as looked for, without the search"),
            "add sought = \"where it was looked for, year-month\"",
        )?),
        "n/a" => Value::NotApplicable(explained(
            reading,
            span,
            why.clone(),
            format!("`{key}` is marked as not applicable, without a reason"),
            "add why = \"the reason\"",
        )?),
        _ => read_value(reading, key, is, holds)?,
    };
    Some(Fact {
        value,
        basis,
        within,
        at,
        region,
        averaging,
        note,
        why,
        place: reading.place(span),
    })
}

/// What a sign in place of a value wants beside it; reports where it is not.
fn explained(
    reading: &Reading<'_>,
    span: Span,
    text: Option<String>,
    message: String,
    help: &str,
) -> Option<String> {
    if text.is_none() {
        reading.error("K0106", span, message, help);
    }
    text
}

/// Reads a basis: `practice`, `memory`, `key, locator`, `key through other, locator`.
pub(super) fn read_basis(reading: &Reading<'_>, text: &str, span: Span) -> Option<Basis> {
    match text.trim() {
        "practice" => return Some(Basis::Practice),
        "memory" => return Some(Basis::Memory),
        _ => {}
    }
    let Some((keys, locator)) = text.split_once(',') else {
        reading.error(
            "K0107",
            span,
            format!("`{text}` is no basis"),
            "write \"key, locator\" (page, table, section), \"practice\" or \"memory\"",
        );
        return None;
    };
    let (key, through) = match keys.trim().split_once(" through ") {
        Some((key, other)) => (key.trim(), Some(other.trim().to_owned())),
        None => (keys.trim(), None),
    };
    let tidy = |k: &str| {
        !k.is_empty()
            && k.chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
    };
    if !tidy(key) || !through.as_deref().is_none_or(tidy) || locator.trim().is_empty() {
        reading.error(
            "K0107",
            span,
            format!("`{text}` is no basis"),
            "a source key is lower-case letters and digits, followed by a comma and a locator",
        );
        return None;
    }
    Some(Basis::Published {
        key: key.to_owned(),
        through,
        locator: locator.trim().to_owned(),
    })
}

fn read_value(
    reading: &Reading<'_>,
    key: &str,
    is: &Spanned<DeValue<'_>>,
    holds: Holds,
) -> Option<Value> {
    let span = span_of(is);
    match holds {
        Holds::Words(_) | Holds::OpenWords | Holds::Outcomes | Holds::Ids(_) => {
            let words: Vec<String> = texts_of(reading, is, key)
                .into_iter()
                .map(|(text, _)| text)
                .collect();
            (!words.is_empty()).then_some(Value::Words(words))
        }
        Holds::Text => texts_of(reading, is, key)
            .into_iter()
            .next()
            .map(|(t, _)| Value::Text(t)),
        Holds::Years => {
            let text = one_text(reading, key, is)?;
            match parse_years(&text) {
                Ok(span) => Some(Value::Years(span)),
                Err(error) => {
                    reading.error(
                        "K0108",
                        span,
                        format!("`{key}` wants years: {error}"),
                        "write for example \"1890..1935\", \"1950..now\" or \"antiquity..now\"",
                    );
                    None
                }
            }
        }
        Holds::Measure(_) | Holds::MeasureOrText(_) | Holds::Limit => {
            let text = one_text(reading, key, is)?;
            let worded = text.starts_with(|c: char| c.is_alphabetic());
            if worded && matches!(holds, Holds::MeasureOrText(_)) {
                return Some(Value::Text(text));
            }
            match parse_quantity(&text) {
                Ok(quantity) => Some(Value::Measure(quantity)),
                Err(error) => {
                    reading.error(
                        "K0108",
                        span,
                        format!("`{key}` wants a number with its unit: {error}"),
                        "write for example \"40 C\" or \"37..40 C\"",
                    );
                    None
                }
            }
        }
        Holds::Hansen => {
            let text = one_text(reading, key, is)?;
            let parsed = read_hansen(&text);
            if parsed.is_none() {
                reading.error(
                    "K0108",
                    span,
                    format!("`{text}` is no set of Hansen parameters"),
                    "write \"dD/dP/dH\", with \" R radius\" for a polymer, in MPa^0.5",
                );
            }
            parsed.map(Value::Hansen)
        }
        Holds::Teas => {
            let text = one_text(reading, key, is)?;
            let parts: Vec<f64> = text
                .split('/')
                .filter_map(|p| p.trim().parse().ok())
                .collect();
            if let [d, p, h] = parts[..] {
                Some(Value::Teas(d, p, h))
            } else {
                reading.error(
                    "K0108",
                    span,
                    format!("`{text}` is no set of Teas fractions"),
                    "write \"fd/fp/fh\" in per cent",
                );
                None
            }
        }
    }
}

fn one_text(reading: &Reading<'_>, key: &str, is: &Spanned<DeValue<'_>>) -> Option<String> {
    match is.get_ref() {
        DeValue::String(it) => Some(it.to_string()),
        DeValue::Integer(it) => Some(it.as_str().to_owned()),
        DeValue::Float(it) => Some(it.as_str().to_owned()),
        _ => {
            reading.error(
                "K0103",
                span_of(is),
                format!("`{key}` wants one value in quotes"),
                "",
            );
            None
        }
    }
}

/// Reads `dD/dP/dH` with an optional ` R radius`.
#[must_use]
pub fn read_hansen(text: &str) -> Option<Hansen> {
    let (point, radius) = match text.split_once('R') {
        Some((point, radius)) => (point, Some(radius.trim().parse().ok()?)),
        None => (text, None),
    };
    let parts: Vec<f64> = point
        .split('/')
        .map(|p| p.trim().parse().ok())
        .collect::<Option<_>>()?;
    match parts[..] {
        [d, p, h] => Some(Hansen { d, p, h, radius }),
        _ => None,
    }
}
