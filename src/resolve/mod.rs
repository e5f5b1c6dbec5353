//! Names to records, units to dimensions, verbs of the bench to outcomes: a tree of words becomes
//! a checked query, or diagnostics that point at the word and say how to mend it.

mod blend;
mod checked;
mod choose;
mod compare;
mod condition;
mod find;
mod means;
mod names;
mod observe;
mod order;
mod prior;
mod things;
mod value;

use std::collections::{BTreeMap, BTreeSet};

pub use checked::{
    By, Checked, CheckedBlend, CheckedChoose, CheckedCompare, CheckedCondition, CheckedFind,
    CheckedIdentify, CheckedPrepare, CheckedQuery, CheckedRemove, CheckedTest, CheckedThing,
    CheckedVentilate, Compare, Means, Rank, What,
};
pub(crate) use condition::BORNE;
pub use condition::is_removal;
pub(crate) use find::KIND_NOUNS;
pub(crate) use observe::{FEELS, LOOKS, STATES};

use crate::diag::{Diagnostic, Severity};
use crate::lang::ast::{self, File, Query};
use crate::lang::reserved::Verb;
use crate::model::naming::fold;
use crate::model::scene::Barred;
use crate::model::{Class, Kind, Library};
use crate::span::{Span, Spanned};
use crate::units::YearSpan;

/// `let` names, each with the verb of its statement.
pub type Bindings = BTreeMap<String, Verb>;

/// Checks every statement of a file.
///
/// # Errors
/// All diagnostics, when at least one is an error.
pub fn resolve(
    file: &File,
    text: &str,
    library: &dyn Library,
    now: i32,
) -> Result<Vec<Checked>, Vec<Diagnostic>> {
    resolve_after(file, text, library, now, &Bindings::new())
}

/// Checks every statement of a file that follows others, whose `let` names it may use. Such a name
/// may be bound anew, once: who asks again of the same material means the later answer.
///
/// # Errors
/// All diagnostics, when at least one is an error.
pub fn resolve_after(
    file: &File,
    text: &str,
    library: &dyn Library,
    now: i32,
    earlier: &Bindings,
) -> Result<Vec<Checked>, Vec<Diagnostic>> {
    let mut resolver = Resolver {
        library,
        text,
        now,
        bindings: earlier.clone(),
        rebindable: earlier.keys().cloned().collect(),
        diagnostics: Vec::new(),
        notes: Vec::new(),
    };
    let mut out = Vec::new();
    for statement in &file.statements {
        resolver.notes.clear();
        if let Some(name) = &statement.binding {
            resolver.binding(name);
        }
        if let Some(query) = resolver.query(&statement.query) {
            out.push(Checked {
                binding: statement.binding.as_ref().map(|w| w.text.clone()),
                explain: statement.explain.as_ref().map(|e| e.value),
                query,
                notes: std::mem::take(&mut resolver.notes),
                span: statement.span,
            });
        }
        if let Some(name) = &statement.binding {
            let verb = verb_of(&statement.query);
            resolver.bindings.insert(name.text.clone(), verb);
        }
    }
    if resolver
        .diagnostics
        .iter()
        .any(|d| d.severity == Severity::Error)
    {
        Err(resolver.diagnostics)
    } else {
        Ok(out)
    }
}

/// The verb that a query begins with.
#[must_use]
pub const fn verb_of(query: &Query) -> Verb {
    match query {
        Query::Find(_) => Verb::Find,
        Query::Identify(_) => Verb::Identify,
        Query::Remove(_) => Verb::Remove,
        Query::Choose(_) => Verb::Choose,
        Query::Compare(_) => Verb::Compare,
        Query::Blend(_) => Verb::Blend,
        Query::Prepare(_) => Verb::Prepare,
        Query::Ventilate(_) => Verb::Ventilate,
    }
}

pub(crate) struct Resolver<'a> {
    library: &'a dyn Library,
    text: &'a str,
    now: i32,
    /// `let` names, each with the verb of its statement.
    bindings: Bindings,
    /// Those of earlier texts that were not bound anew yet.
    rebindable: BTreeSet<String>,
    diagnostics: Vec<Diagnostic>,
    notes: Vec<String>,
}

impl Resolver<'_> {
    fn report(&mut self, diagnostic: Diagnostic) {
        self.diagnostics.push(diagnostic);
    }

    fn binding(&mut self, name: &ast::Word) {
        if !self.library.named(&name.text, None).is_empty() {
            self.report(
                Diagnostic::error(
                    "Q0303",
                    format!("`{}` is already a name of the corpus", name.text),
                )
                .at(name.span, "taken")
                .help(format!(
                    "write another word, for example `my_{}`",
                    name.text
                )),
            );
        } else if !self.rebindable.remove(&name.text) && self.bindings.contains_key(&name.text) {
            self.report(
                Diagnostic::error("Q0303", format!("`{}` is defined twice", name.text))
                    .at(name.span, "taken")
                    .help("write another word"),
            );
        }
    }

    /// Reports a `let` name where it cannot stand: only what was identified can be taken off, and
    /// nothing else can be done with it yet.
    fn bound_elsewhere(&mut self, name: &str, span: Span, at: Verb) {
        let bound = self.bindings.get(name).copied();
        let verb = bound.unwrap_or(Verb::Identify).word();
        let help = match at {
            Verb::Remove => format!(
                "name the material, or what was found: let {name} = identify ...; remove {name} \
                 from ..."
            ),
            Verb::Identify => format!(
                "name the kind again and say all that was seen in the one `identify`; `{name}` can \
                 stand after `remove`"
            ),
            _ => "write a kind, a family, or a material".to_owned(),
        };
        self.report(
            Diagnostic::error(
                "Q0301",
                format!(
                    "`{name}` is the answer of a `{verb}`, which `{}` cannot take",
                    at.word()
                ),
            )
            .at(span, format!("bound by `let` to a `{verb}`"))
            .help(help),
        );
    }

    fn query(&mut self, query: &Query) -> Option<CheckedQuery> {
        match query {
            Query::Find(find) => self.find(find).map(CheckedQuery::Find),
            Query::Identify(identify) => self.identify(identify).map(CheckedQuery::Identify),
            Query::Remove(remove) => self.remove(remove).map(CheckedQuery::Remove),
            Query::Choose(choose) => self
                .choice(choose)
                .map(|it| CheckedQuery::Choose(Box::new(it))),
            Query::Compare(compare) => self.comparison(compare).map(CheckedQuery::Compare),
            Query::Blend(blend) => self.blend(blend).map(CheckedQuery::Blend),
            Query::Prepare(query) => self
                .order(query)
                .map(|it| CheckedQuery::Prepare(Box::new(it))),
            Query::Ventilate(query) => self
                .evaporation(query)
                .map(|it| CheckedQuery::Ventilate(Box::new(it))),
        }
    }

    fn years(&mut self, restored: Option<&Spanned<ast::Restored>>) -> Option<(i32, i32)> {
        let restored = restored?;
        let years: YearSpan = restored.value.years;
        let (from, to) = years.bounds(self.now);
        if from > to {
            self.report(
                Diagnostic::error("Q0402", "the years run backwards")
                    .at(restored.span, "from later to earlier")
                    .help(format!("write restored {to}..{from}")),
            );
            return None;
        }
        if from > self.now {
            self.report(
                Diagnostic::error("Q0402", "the restoration lies in the future")
                    .at(restored.span, "not yet")
                    .help(format!("years up to {}", self.now)),
            );
            return None;
        }
        Some((from, to.min(self.now)))
    }

    fn identify(&mut self, query: &ast::Identify) -> Option<CheckedIdentify> {
        let mut thing = self.thing(&query.thing)?;
        if let Some(that) = &query.that {
            thing.thick_mm = thing.thick_mm.or_else(|| observe::thickness(&that.value));
        }
        if let Some(bound) = &thing.what.binding {
            self.bound_elsewhere(bound, query.thing.name.span, Verb::Identify);
            return None;
        }
        let mut stack = match &query.on {
            Some(stack) => self.stack(stack)?,
            None => Vec::new(),
        };
        let restored = self.years(query.restored.as_ref());
        let mut prior = match &query.prior {
            Some(prior) => self.shares(prior)?,
            None => Vec::new(),
        };
        let observations = match &query.that {
            Some(that) => {
                let seen = self.hearsay(&that.value, &mut prior)?;
                self.observations(&seen)
            }
            None => Vec::new(),
        };
        if let Some(given) = &query.given {
            // Results on the layers do not tell what the unknown is; they are checked all the same.
            let _ = self.given(&given.value, &mut stack, &[]);
        }
        let condition = match &query.condition {
            Some(condition) => Some(self.condition(&condition.value, &[Kind::Material])?),
            None => None,
        };
        Some(CheckedIdentify {
            thing,
            stack,
            restored,
            prior,
            observations,
            condition,
            limit: query.limit.as_ref().map(|l| l.value as usize),
        })
    }

    fn remove(&mut self, query: &ast::Remove) -> Option<CheckedRemove> {
        let mut targets = Vec::new();
        for thing in &query.target.layers {
            let target = self.thing(thing);
            let bound = target.as_ref().and_then(|t| t.what.binding.as_ref());
            if let Some(bound) = bound
                && self
                    .bindings
                    .get(bound)
                    .is_some_and(|v| *v != Verb::Identify)
            {
                let bound = bound.clone();
                self.bound_elsewhere(&bound, thing.name.span, Verb::Remove);
                targets.push(None);
                continue;
            }
            targets.push(target);
        }
        let layers = self.stack(&query.from);
        let restored = self.years(query.restored.as_ref());
        let targets = targets.into_iter().collect::<Option<Vec<_>>>()?;
        let mut layers = layers?;
        let tried = match &query.given {
            Some(given) => {
                let called: Vec<String> = targets.iter().map(|t| t.called.clone()).collect();
                self.given(&given.value, &mut layers, &called)
            }
            None => Vec::new(),
        };
        let mut out = CheckedRemove {
            targets,
            layers,
            restored,
            barred: Barred::default(),
            allowing: Vec::new(),
            tried,
            limit: query.limit.as_ref().map(|l| l.value as usize),
        };
        for name in query.without.iter().flat_map(|w| &w.value) {
            self.without(name, &mut out.barred);
        }
        for name in query.allowing.iter().flat_map(|a| &a.value) {
            if let Some(index) = self.record(name, Kind::Agent)
                && let Some(id) = self.library.id(Kind::Agent, index)
            {
                out.allowing.push(id.to_owned());
            }
        }
        Some(out)
    }

    /// What a word after `without` bars: a liquid, a class of liquids, heat, a method.
    fn without(&mut self, name: &ast::Name, out: &mut Barred) {
        let text = name.text();
        let folded = fold(&text);
        let classes: &[Class] = match folded.as_str() {
            // Barring water bars everything that is mostly water.
            "water" => Class::AQUEOUS,
            "heat" => &[Class::Heat60, Class::Heat100, Class::Steam],
            "solvents" | "solvent" | "organicsolvents" => Class::SOLVENTS,
            "abrasion" | "powertools" => &[Class::Abrasion],
            _ => &[],
        };
        if !classes.is_empty() {
            out.classes.extend(classes);
            if folded == "water" {
                out.agents.push("water".to_owned());
                out.agents.push("warm-water".to_owned());
            }
            return;
        }
        let class = self.class_called(&text);
        if let Some(class) = class {
            out.classes.push(class);
            return;
        }
        if let Some((_, index)) = self.library.named(&text, Some(Kind::Agent)).first() {
            out.agents
                .extend(self.library.id(Kind::Agent, *index).map(str::to_owned));
            return;
        }
        if let Some((_, index)) = self.library.named(&text, Some(Kind::Method)).first() {
            out.methods
                .extend(self.library.id(Kind::Method, *index).map(str::to_owned));
            return;
        }
        self.unknown_name(name, &[Kind::Agent, Kind::Method]);
    }
}
