//! Names to records, and nouns to roles, with the nearest known words of the right kind when a
//! word is unknown.

use super::Resolver;
use super::checked::What;
use crate::diag::{Diagnostic, did_you_mean};
use crate::lang::ast::{Mix, Name, Word};
use crate::model::naming::{fold, folds_to};
use crate::model::{Condition, Kind, Named, Record, Role};
use crate::span::Span;

/// Words that people put before a noun.
const ADJECTIVES: [&str; 34] = [
    "yellow",
    "red",
    "black",
    "white",
    "grey",
    "green",
    "golden",
    "clear",
    "glossy",
    "shiny",
    "matt",
    "hard",
    "soft",
    "brittle",
    "crumbly",
    "cracked",
    "unknown",
    "strange",
    "later",
    "modern",
    "old",
    "aged",
    "ancient",
    "yellowed",
    "discoloured",
    "dull",
    "dirty",
    "brown",
    "dark",
    "thick",
    "thin",
    "sticky",
    "milky",
    "previous",
];

/// Members of a family or group that a message names.
const MEMBERS: usize = 8;

/// Names that hold a word, of which a message names so many.
const NEAREST: usize = 3;

/// Words for a body with a coat on it, and a layer that the coat may be.
const COATED: [(&str, &str); 8] = [
    ("gilded", "gilding of unknown kind"),
    ("gilt", "gilding of unknown kind"),
    ("lacquered", "urushi lacquer"),
    ("painted", "oil paint"),
    ("polychrome", "oil paint"),
    ("polychromed", "oil paint"),
    ("varnished", "original varnish"),
    ("waxed", "original wax surface"),
];

/// Which names may have been meant: "write `a`, or `b`".
fn one_of(names: &[String]) -> Option<String> {
    let (best, rest) = names.split_first()?;
    let rest: String = rest.iter().map(|n| format!(", or `{n}`")).collect();
    Some(format!("write `{best}`{rest}"))
}

impl Resolver<'_> {
    /// The record of a kind that a name means; reports when there is none.
    pub(super) fn record(&mut self, name: &Name, kind: Kind) -> Option<usize> {
        let text = name.text();
        if let Some((_, index)) = self.library.named(&text, Some(kind)).first() {
            return Some(*index);
        }
        self.unknown_name(name, &[kind]);
        None
    }

    /// Reports an unknown name, with the nearest names of the kinds that would do.
    pub(super) fn unknown_name(&mut self, name: &Name, kinds: &[Kind]) {
        let text = name.text();
        let what = kinds
            .iter()
            .map(|k| k.noun())
            .collect::<Vec<_>>()
            .join(" or ");
        let mut diagnostic = Diagnostic::error("Q0301", format!("no {what} is called `{text}`"))
            .at(name.span, format!("unknown {what}"));
        if let Some((words, number)) = name.before_number() {
            let shorter: Vec<&str> = words.iter().map(|w| w.text.as_str()).collect();
            let shorter = shorter.join(" ");
            if !self.library.named(&shorter, None).is_empty() {
                let text = number.slice(self.text);
                self.report(
                    diagnostic
                        .help(format!(
                            "a number after a name goes in parentheses: {shorter} ({text})"
                        ))
                        .edit(name.span, format!("{shorter} ({text})")),
                );
                return;
            }
        }
        let others = self.library.named(&text, None);
        if let Some((kind, _)) = others.first() {
            diagnostic = diagnostic.note(format!("`{text}` is the name of a {}", kind.noun()));
        }
        if let Some(meant) = self.library.speech().note("ambiguous", &fold(&text)) {
            let meant = meant.to_owned();
            self.report(diagnostic.help(format!("say which is meant: {meant}")));
            return;
        }
        if let Some(help) = self.parted(&text, kinds) {
            self.report(diagnostic.help(help));
            return;
        }
        if let Some(help) = self.coated(&text, kinds) {
            self.report(diagnostic.help(help));
            return;
        }
        if let Some(written) = self.with_state(&text, kinds) {
            let help = format!("a state goes in parentheses: `{written}`");
            self.report(diagnostic.help(help).edit(name.span, written));
            return;
        }
        let near = self.nearest(&text, kinds);
        // A slip is likelier than a general word, unless that word names a family outright.
        let is_family = others.iter().any(|(kind, _)| *kind == Kind::Family);
        let is_group = self.library.speech().note("group", &fold(&text)).is_some();
        if (near.is_empty() || is_family || is_group)
            && let Some(members) = self.members(&text, kinds)
        {
            self.report(diagnostic.help(format!("name one of them: {}", members.join(", "))));
            return;
        }
        self.report(match one_of(&near) {
            Some(help) => diagnostic.help(help).edit(name.span, near[0].clone()),
            None => diagnostic.help(format!(
                "`palinode ask 'find {}'` lists what there is",
                kinds.first().map_or("material", |k| k.noun())
            )),
        });
    }

    /// `ethanol/acetone`, `water gilding/bole`: several names with a stroke between.
    fn parted(&self, text: &str, kinds: &[Kind]) -> Option<String> {
        let parts: Vec<&str> = text.split('/').map(str::trim).collect();
        let known = |part: &&str| {
            kinds
                .iter()
                .any(|kind| !self.library.named(part, Some(*kind)).is_empty())
        };
        if parts.len() < 2 || !parts.iter().all(known) {
            return None;
        }
        Some(if kinds.contains(&Kind::Layer) {
            format!(
                "`over` lists layers from the top down: {}",
                parts.join(" over ")
            )
        } else {
            format!(
                "`+` joins liquids to a mixture (`{}`); tried one by one, each is an observation of \
                 its own",
                parts.join(" + ")
            )
        })
    }

    /// `gilded leather`: the nearest name would be the bare body, and its coat would be forgotten.
    fn coated(&self, text: &str, kinds: &[Kind]) -> Option<String> {
        let (coat, body) = text.split_once(' ')?;
        let coat = fold(coat);
        let (_, layer) = COATED.iter().find(|(word, _)| *word == coat)?;
        if kinds != [Kind::Layer] {
            return None;
        }
        let bare = if self.library.named(body, Some(Kind::Layer)).is_empty() {
            if self.library.speech().note("group", &fold(body)).is_some() {
                return None;
            }
            self.nearest(body, kinds).into_iter().next()?
        } else {
            body.to_owned()
        };
        Some(format!(
            "what lies on the {body} is a layer of its own, and must survive too: for example `{layer} \
             over {bare}`"
        ))
    }

    /// `flaking tempera`: the nearest name would be the layer alone, and that it is loose would be forgotten.
    fn with_state(&self, text: &str, kinds: &[Kind]) -> Option<String> {
        let (state, layer) = text.split_once(' ')?;
        let said = fold(state);
        let state = match Condition::ALL.iter().find(|c| folds_to(c.word(), &said)) {
            Some(condition) => condition.word(),
            None => self.library.speech().note("condition", &said)?,
        };
        if kinds != [Kind::Layer] {
            return None;
        }
        let layer = match self.library.named(layer, Some(Kind::Layer)).is_empty() {
            true => self.nearest(layer, kinds).into_iter().next()?,
            false => layer.to_owned(),
        };
        Some(format!("{layer} ({state})"))
    }

    /// Records that a general word stands for: members of a family, layers of a group (`stone`,
    /// `gilded frame`). None when it stands for no such thing.
    fn members(&self, text: &str, kinds: &[Kind]) -> Option<Vec<String>> {
        let mut out: Vec<String> = Vec::new();
        if kinds.contains(&Kind::Material)
            && let Some((_, index)) = self.library.named(text, Some(Kind::Family)).first()
        {
            let table = self.library.table();
            let id = self.library.id(Kind::Family, *index)?;
            let rows = table.rows.iter().zip(table.names.iter());
            out.extend(
                rows.filter(|(row, _)| table.families[row.family as usize].0 == id)
                    .map(|(_, name)| name.to_owned()),
            );
        }
        if kinds == [Kind::Layer] {
            let speech = self.library.speech();
            let group = text
                .split_whitespace()
                .rev()
                .find_map(|word| speech.note("group", &fold(word)))?;
            for index in 0..self.library.count(Kind::Layer) {
                if let Some(Record::Layer(layer)) = self.library.record(Kind::Layer, index)
                    && layer.group == group
                {
                    out.push(layer.head.names.name);
                }
            }
        }
        if out.len() > MEMBERS {
            let more = out.len() - MEMBERS;
            out.truncate(MEMBERS);
            out.push(format!("and {more} more"));
        }
        (!out.is_empty()).then_some(out)
    }

    /// Nearest known names of some kinds, as written.
    pub(super) fn nearest(&self, text: &str, kinds: &[Kind]) -> Vec<String> {
        let folded = fold(text);
        let names: Vec<_> = self
            .library
            .names()
            .iter()
            .filter(|n| kinds.contains(&n.kind))
            .collect();
        // `steam`, `plaster`: a word of longer names is no slip.
        let holds = |name: &&&Named| {
            let mut words = name.shown.split([' ', '-']);
            !text.contains(' ') && words.any(|word| folds_to(word, &folded))
        };
        let mut near: Vec<&str> = names
            .iter()
            .filter(holds)
            .map(|n| n.folded.as_str())
            .take(NEAREST)
            .collect();
        if near.is_empty() {
            near = did_you_mean(&folded, names.iter().map(|n| n.folded.as_str()));
        }
        if near.is_empty() {
            // Word by word: `marble` in `carrara marble`.
            near = did_you_mean(text, names.iter().map(|n| n.folded.as_str()));
        }
        let mut out: Vec<String> = Vec::new();
        for hit in near {
            if let Some(name) = names.iter().find(|n| n.folded == hit) {
                let shown = as_typed(&name.shown);
                if !out.contains(&shown) {
                    out.push(shown);
                }
            }
        }
        out
    }

    /// What a noun means as an unknown: a kind, a noun of the trade, a family, a material, or a
    /// `let` name; reports when it means nothing.
    pub(super) fn what(&mut self, name: &Name) -> Option<What> {
        self.what_or(name, &[Kind::Material, Kind::Family])
    }

    /// The same, where records of these kinds would have done.
    pub(super) fn what_or(&mut self, name: &Name, kinds: &[Kind]) -> Option<What> {
        if let Some(known) = self.noun(&name.text()) {
            self.tell_wide(&name.text(), &known);
            return Some(known);
        }
        if let Some(rest) = self.without_looks(name) {
            // `soft soldre`: the look belongs to a name that has a slip in it.
            let slip = self.noun(&rest.text()).is_none()
                && rest.words.len() == 1
                && !self.nearest(&name.text(), kinds).is_empty();
            if !slip {
                return self.what_or(&rest, kinds);
            }
        }
        if let Some(head) = self.without_noun(name) {
            return self.what_or(&head, kinds);
        }
        self.unknown_noun(name, kinds);
        None
    }

    /// Says so where a noun of the trade is read more widely than the family that is filed under it: `cement`
    /// is whatever a mender stuck or filled with.
    fn tell_wide(&mut self, text: &str, known: &What) {
        let folded = fold(text);
        if known.roles.is_empty() || known.binding.is_some() {
            return;
        }
        let Some(at) = self.library.position(Kind::Family, &folded) else {
            return;
        };
        let Some(Record::Family(family)) = self.library.record(Kind::Family, at) else {
            return;
        };
        let roles: Vec<&str> = known.roles.iter().map(|role| role.word()).collect();
        self.notes.push(format!(
            "`{text}` is read as any {}, not as {} alone",
            roles.join(" or "),
            family.head.names.name
        ));
    }

    /// What a noun means just as it stands.
    fn noun(&self, text: &str) -> Option<What> {
        if self.bindings.contains_key(text) {
            return Some(What {
                binding: Some(text.to_owned()),
                ..What::default()
            });
        }
        let folded = fold(text);
        if let Some(role) = Role::ALL
            .iter()
            .find(|r| folds_to(r.word(), &folded) || fold(r.word()) + "s" == folded)
        {
            return Some(What {
                roles: vec![*role],
                ..What::default()
            });
        }
        if let Some((_, index)) = self.library.named(text, Some(Kind::Material)).first() {
            return Some(What {
                among: vec![*index],
                ..What::default()
            });
        }
        let nouns = &self.library.speech().nouns;
        if let Some((_, roles)) = nouns.iter().find(|(words, _)| *words == folded) {
            return Some(What {
                roles: roles.iter().filter_map(|r| Role::parse(r)).collect(),
                ..What::default()
            });
        }
        let (_, index) = *self.library.named(text, Some(Kind::Family)).first()?;
        let id = self.library.id(Kind::Family, index)?;
        Some(What {
            families: vec![id.to_owned()],
            ..What::default()
        })
    }

    /// `old varnish`, `yellowed glue`: the look belongs in an observation, the noun is understood.
    fn without_looks(&mut self, name: &Name) -> Option<Name> {
        if name.quoted {
            return None;
        }
        let is_look = |word: &&Word| ADJECTIVES.contains(&fold(&word.text).as_str());
        let looks = name.words.iter().take_while(is_look).count();
        // A noun must be left.
        let looks = looks.min(name.words.len() - 1);
        if looks == 0 {
            return None;
        }
        let (said, rest) = name.words.split_at(looks);
        let said: Vec<&str> = said.iter().map(|w| w.text.as_str()).collect();
        self.notes.push(format!(
            "`{}` before a noun says nothing to the corpus; write `(aged)`, or what was seen \
             after `that`",
            said.join(" ")
        ));
        Some(Name {
            words: rest.to_vec(),
            quoted: false,
            span: rest[0].span.to(name.span),
        })
    }

    /// `natural resin varnish`: a family or material with a noun after it.
    fn without_noun(&self, name: &Name) -> Option<Name> {
        let (last, first) = name.words.split_last()?;
        if first.is_empty() || name.quoted {
            return None;
        }
        let noun = fold(&last.text);
        let mut nouns = self.library.speech().nouns.iter();
        let known_noun = nouns.any(|(words, _)| *words == noun)
            || Role::ALL.iter().any(|r| folds_to(r.word(), &noun));
        let head = Name {
            words: first.to_vec(),
            quoted: false,
            span: first[0].span.to(first[first.len() - 1].span),
        };
        let plain = head.text();
        let is = |kind| !self.library.named(&plain, Some(kind)).is_empty();
        (known_noun && (is(Kind::Material) || is(Kind::Family))).then_some(head)
    }

    fn unknown_noun(&mut self, name: &Name, kinds: &[Kind]) {
        let text = name.text();
        let mut diagnostic =
            Diagnostic::error("Q0301", format!("no material or kind is called `{text}`"))
                .at(name.span, "unknown material");
        if let Some((kind, _)) = self.library.named(&text, None).first() {
            diagnostic = diagnostic.note(format!("`{text}` is the name of a {}", kind.noun()));
        }
        let is_known = |whole: &Span| !self.library.named(whole.slice(self.text), None).is_empty();
        if let Some(whole) = bracketed(self.text, name.span).filter(is_known) {
            let quoted = format!("\"{}\"", whole.slice(self.text));
            let help = format!("a name with brackets in it stands in quotes: `{quoted}`");
            self.report(diagnostic.help(help).edit(whole, quoted));
            return;
        }
        if let Some(meant) = self.library.speech().note("ambiguous", &fold(&text)) {
            let help = format!("say which is meant: {meant}");
            self.report(diagnostic.help(help));
            return;
        }
        let mut candidates = self.nearest(&text, kinds);
        let nouns = Role::ALL.iter().map(|r| r.word());
        candidates.extend(
            did_you_mean(&fold(&text), nouns)
                .into_iter()
                .map(str::to_owned),
        );
        self.report(match one_of(&candidates) {
            Some(help) => diagnostic.help(help).edit(name.span, candidates[0].clone()),
            None => diagnostic.help(
                "write a kind (coating, adhesive, consolidant, fill, overpaint, deposit), a \
                 family, or a material",
            ),
        });
    }

    /// The agent that a mix means: a liquid, or the recorded mixture of its parts.
    pub(super) fn agent(&mut self, mix: &Mix) -> Option<String> {
        if let [name] = &mix.names[..] {
            let index = self.record(name, Kind::Agent)?;
            return self.library.id(Kind::Agent, index).map(str::to_owned);
        }
        let mut parts = Vec::new();
        for name in &mix.names {
            let index = self.record(name, Kind::Agent)?;
            parts.push(self.library.id(Kind::Agent, index)?.to_owned());
        }
        self.mixture(&parts, mix.span)
    }

    /// The recorded mixture with exactly these parts.
    fn mixture(&mut self, parts: &[String], span: Span) -> Option<String> {
        let mut wanted: Vec<&str> = parts.iter().map(String::as_str).collect();
        wanted.sort_unstable();
        for index in 0..self.library.count(Kind::Agent) {
            let Some(Record::Agent(agent)) = self.library.record(Kind::Agent, index) else {
                continue;
            };
            let mut own: Vec<&str> = agent.parts.iter().map(|(id, _)| id.as_str()).collect();
            own.sort_unstable();
            if own == wanted {
                self.notes.push(format!(
                    "read as the recorded mixture `{}`; its proportions are those of the record",
                    agent.head.names.name
                ));
                return Some(agent.head.id);
            }
        }
        self.report(
            Diagnostic::error(
                "Q0302",
                format!("no mixture of {} is recorded", parts.join(" and ")),
            )
            .at(span, "unrecorded mixture")
            .help("give each liquid an observation of its own, or add the mixture to `solvents`"),
        );
        None
    }
}

/// A name as a query takes it: in quotation marks where it holds what is no part of a word.
fn as_typed(name: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '\'' | '’');
    if name.chars().all(plain) {
        name.to_owned()
    } else {
        format!("\"{name}\"")
    }
}

/// A name and the bracket that stands right behind it, as in `poly(vinyl acetate)`: notes stand apart.
fn bracketed(text: &str, name: Span) -> Option<Span> {
    let behind = text.get(name.range().end..)?;
    let length = behind.starts_with('(').then(|| behind.find(')'))??;
    Some(Span::new(name.range().start, name.range().end + length + 1))
}
