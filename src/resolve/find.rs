//! `find`: what is looked for, how it is ordered, what is shown.

use super::Resolver;
use super::checked::{CheckedFind, Rank};
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{self, Name};
use crate::lang::reserved::Verb;
use crate::model::attribute::{ATTRIBUTES, every_field};
use crate::model::field::{FIELDS, Field};
use crate::model::naming::{fold, folds_to};
use crate::model::{Asked, Class, Kind};
use crate::span::Span;

/// Nouns for kinds of record other than materials.
pub(crate) const KIND_NOUNS: [(&str, Kind); 19] = [
    ("material", Kind::Material),
    ("materials", Kind::Material),
    ("layer", Kind::Layer),
    ("layers", Kind::Layer),
    ("solvent", Kind::Agent),
    ("solvents", Kind::Agent),
    ("liquid", Kind::Agent),
    ("liquids", Kind::Agent),
    ("reagent", Kind::Agent),
    ("carrier", Kind::Carrier),
    ("carriers", Kind::Carrier),
    ("gellingagent", Kind::Carrier),
    ("method", Kind::Method),
    ("methods", Kind::Method),
    ("test", Kind::Test),
    ("tests", Kind::Test),
    ("families", Kind::Family),
    ("source", Kind::Source),
    ("sources", Kind::Source),
];

/// Records that somebody may look for by name.
const FOUND: [Kind; 7] = [
    Kind::Material,
    Kind::Family,
    Kind::Layer,
    Kind::Agent,
    Kind::Carrier,
    Kind::Method,
    Kind::Test,
];

/// What shows everything.
const ALL: &str = "all";

/// Trade words for fields.
const FIELD_WORDS: [(&str, &str); 24] = [
    ("glasstransition", "tg"),
    ("refractiveindices", "refractive-index"),
    ("ri", "refractive-index"),
    ("years", "used"),
    ("flashpoint", "flash"),
    ("boilingpoint", "boils"),
    ("meltingpoint", "melts"),
    ("softeningpoint", "softens"),
    ("lowerflammablelimit", "lfl"),
    // `limit` itself is a word of the language: `exposure-limit` says the same.
    ("exposurelimit", "limit"),
    ("oel", "limit"),
    ("workplacelimit", "limit"),
    ("hazard", "hazards"),
    ("solvents", "applied-in"),
    ("yellowing", "ageing"),
    ("aging", "ageing"),
    ("lightfastness", "stability"),
    ("kind", "kinds"),
    ("role", "kinds"),
    ("trait", "traits"),
    ("specimen", "specimens"),
    ("outcome", "outcomes"),
    ("year", "date"),
    ("journal", "published-in"),
];

/// Words before a field that say from which end to begin: the highest first, or the lowest.
const ENDS: [(&str, bool); 10] = [
    ("highest", true),
    ("most", true),
    ("largest", true),
    ("latest", true),
    ("strongest", true),
    ("lowest", false),
    ("least", false),
    ("smallest", false),
    ("earliest", false),
    ("weakest", false),
];

impl Resolver<'_> {
    pub(super) fn find(&mut self, find: &ast::Find) -> Option<CheckedFind> {
        let text = find.name.text();
        let folded = fold(&text);
        let mut out = CheckedFind::default();
        if let Some((_, kind)) = KIND_NOUNS.iter().find(|(noun, _)| *noun == folded) {
            out.kinds = vec![*kind];
        } else if matches!(
            folded.as_str(),
            "anything" | "everything" | "record" | "records"
        ) {
            out.kinds = Vec::new();
        } else if let Some(named) = self.library.named(&text, None).first().copied()
            && named.0 != Kind::Family
        {
            out.kinds = vec![named.0];
            out.record = Some(named);
        } else {
            let what = self.what_or(&find.name, &FOUND)?;
            if let Some(bound) = &what.binding {
                self.bound_elsewhere(bound, find.name.span, Verb::Find);
                return None;
            }
            out.kinds = vec![Kind::Material];
            // `shellac varnish`: a material by name, with a noun that says nothing more.
            if let [one] = what.among[..] {
                out.record = Some((Kind::Material, one));
            }
            out.roles = what.roles;
            out.family = what.families.into_iter().next();
        }
        out.about = find.about.as_ref().map(|a| a.value.clone());
        if let Some(condition) = &find.condition {
            out.condition = Some(self.condition(&condition.value, &out.kinds)?);
        }
        for name in find.rank.iter().flat_map(|n| n.value.iter()) {
            out.rank.push(self.rank(name, &out.kinds)?);
        }
        for name in find.show.iter().flat_map(|n| n.value.iter()) {
            if name.text() == ALL && !name.quoted {
                self.whole(name, &mut out)?;
                continue;
            }
            let asked = match self.line_of(name, out.record) {
                Some(line) => line,
                None => self.asked(&name.text(), name.span, &out.kinds)?,
            };
            out.show.push(asked);
        }
        out.limit = find.limit.as_ref().map(|l| l.value as usize);
        out.include_unknown = find.include_unknown.is_some();
        Some(out)
    }

    /// What a layer or a method states under just this key, as a glance at it shows: `alcohol` is a class of
    /// liquids there, and elsewhere a word for one.
    fn line_of(&self, name: &Name, record: Option<(Kind, usize)>) -> Option<Asked> {
        let (kind, index) = record.filter(|(k, _)| matches!(k, Kind::Layer | Kind::Method))?;
        let wanted = fold(&name.text());
        let record = self.library.record(kind, index)?;
        let mut keys = record
            .fact_groups()
            .into_iter()
            .skip(1)
            .flat_map(|(_, facts)| {
                facts
                    .all()
                    .map(|(key, _)| key.to_owned())
                    .collect::<Vec<_>>()
            });
        let key = keys.find(|key| folds_to(key, &wanted))?;
        let class = Class::parse(&key);
        Some(Asked::Answer(key, class))
    }

    /// `show all`: of one record, for of many it would be a book.
    fn whole(&mut self, name: &Name, out: &mut CheckedFind) -> Option<()> {
        if out.record.is_none() {
            self.report(
                Diagnostic::error("Q0328", "`all` shows one record whole")
                    .at(name.span, "of several records")
                    .help(
                        "name one, as in `find shellac show all`, or what to show of each, as in \
                         `show tg, ethanol`",
                    ),
            );
            return None;
        }
        out.whole = true;
        Some(())
    }

    /// `shrinkage`, `highest tg`.
    fn rank(&mut self, name: &Name, kinds: &[Kind]) -> Option<Rank> {
        let end = name
            .words
            .first()
            .filter(|_| name.words.len() > 1 && !name.quoted)
            .and_then(|w| ENDS.iter().find(|(end, _)| *end == w.text));
        let words = match end {
            Some(_) => &name.words[1..],
            None => &name.words[..],
        };
        let span = words
            .first()
            .map_or(name.span, |first| first.span.to(name.span));
        Some(Rank {
            asked: self.asked(&ast::join(words), span, kinds)?,
            descending: end.is_some_and(|(_, descending)| *descending),
        })
    }

    /// A field, an attribute, or what a liquid or a test does, for records of these kinds (any kind
    /// when there are none).
    pub(super) fn asked(&mut self, text: &str, span: Span, kinds: &[Kind]) -> Option<Asked> {
        let fits =
            |field: &Field| kinds.is_empty() || kinds.iter().any(|k| field.kinds.contains(k));
        let named = fields_named(text);
        if let Some(asked) = named.iter().find(|asked| asked.field().is_some_and(fits)) {
            return Some(asked.clone());
        }
        if kinds.is_empty()
            || kinds
                .iter()
                .any(|k| matches!(k, Kind::Material | Kind::Layer))
        {
            for kind in [Kind::Test, Kind::Agent] {
                if let Some((_, index)) = self.library.named(text, Some(kind)).first() {
                    let id = self.library.id(kind, *index)?.to_owned();
                    let class = self.library.agent(&id).map(|agent| agent.class);
                    return Some(Asked::Answer(id, class));
                }
            }
        }
        if let Some(field) = named.first().and_then(Asked::field) {
            let have: Vec<&str> = field.kinds.iter().map(|k| k.noun()).collect();
            let noun = kinds.first().map_or("record", |k| k.noun());
            self.report(
                Diagnostic::error("Q0314", format!("a {noun} has no `{}`", field.key))
                    .at(span, format!("a field of {}", have.join(", ")))
                    .help(format!("`find {}` has it", have.join("`, `find "))),
            );
            return None;
        }
        let folded = fold(text);
        let all: Vec<&Field> = every_field().filter(|f| fits(f)).collect();
        let mut vocabulary: Vec<&str> = all.iter().map(|f| f.key).collect();
        vocabulary.extend(
            FIELD_WORDS
                .iter()
                .filter(|(_, key)| all.iter().any(|f| f.key == *key))
                .map(|(w, _)| *w),
        );
        let near = did_you_mean(&folded, vocabulary);
        let diagnostic = Diagnostic::error("Q0313", format!("no field is called `{text}`"))
            .at(span, "unknown field");
        self.report(match near.first() {
            Some(best) => diagnostic
                .help(format!("write `{best}`"))
                .edit(span, (*best).to_owned()),
            None if folded.contains("warm") || folded.contains("temperature") => {
                diagnostic.help("for the warmest day write `stable to 35 C`")
            }
            None => {
                let keys: Vec<&str> = all.iter().map(|f| f.key).collect();
                diagnostic.help(format!("fields: {}", keys.join(", ")))
            }
        });
        None
    }
}

/// Every field and attribute that words name, on whatever kind of record.
pub(super) fn fields_named(text: &str) -> Vec<Asked> {
    let folded = fold(text);
    let is_named = |key: &str| {
        folds_to(key, &folded) || FIELD_WORDS.iter().any(|(w, k)| *w == folded && *k == key)
    };
    FIELDS
        .iter()
        .filter(|f| is_named(f.key))
        .map(Asked::Field)
        .chain(
            ATTRIBUTES
                .iter()
                .filter(|a| is_named(a.field.key))
                .map(Asked::Attribute),
        )
        .collect()
}
