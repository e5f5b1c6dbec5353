//! The words of a corpus in the form that completion wants them: read once, then only searched.

use std::collections::BTreeMap;

use crate::lang;
use crate::lang::lex::lex;
use crate::lang::token::TokenKind;
use crate::model::naming::fold;
use crate::model::speech::Frame;
use crate::model::{Class, Condition, Kind, Library, Record, Role};
use crate::order::Arrange;
use crate::pack::Pack;

/// Something to type, with a line on what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    /// What is typed, in quotes where it must be.
    pub typed: String,
    /// Folded words, one string each: `["water", "gilding"]`.
    words: Vec<String>,
    /// One line on it.
    pub about: String,
    /// The record that it names, by kind and id.
    pub record: Option<(Kind, String)>,
    /// Whether it is the canonical name; synonyms are offered to who begins to type them.
    pub canonical: bool,
    /// Whether it is a name in another language than English: offered where no English one fits.
    pub foreign: bool,
}

impl Phrase {
    /// Words that stand where no quotation may.
    pub(super) fn plain(typed: &str, about: impl Into<String>) -> Self {
        Self {
            typed: typed.to_owned(),
            words: words(typed),
            about: about.into(),
            record: None,
            canonical: true,
            foreign: false,
        }
    }

    /// Whether what was typed is a beginning of it. A blank at the end of what was typed ends a
    /// word: `water ` begins `water gilding`, and neither `waterglass` nor `water`.
    pub(super) fn begins_with(&self, typed: &str) -> bool {
        let begun = fold(typed);
        if begun.is_empty() {
            return typed.trim().is_empty();
        }
        let blank = typed.ends_with(char::is_whitespace);
        let mut rest = begun.as_str();
        for (k, word) in self.words.iter().enumerate() {
            match rest.strip_prefix(word.as_str()) {
                Some(after) => rest = after,
                None => return word.starts_with(rest) && !blank,
            }
            if rest.is_empty() {
                return !blank || k + 1 < self.words.len();
            }
        }
        false
    }

    /// Whether it is words only, without a quotation or a number, which not every place takes.
    pub(super) fn is_words(&self) -> bool {
        self.typed
            .split(' ')
            .all(|w| !w.starts_with(|c: char| c == '"' || c.is_ascii_digit()))
    }

    /// Whether what was typed is all of it.
    pub(super) fn is(&self, typed: &str) -> bool {
        self.words.concat() == fold(typed)
    }
}

/// A verb of the bench.
#[derive(Clone, Debug)]
pub(super) struct BenchVerb {
    pub(super) phrase: Phrase,
    /// What it is said of: `liquid`, a test, `look` and so on.
    pub(super) of: String,
    pub(super) form: VerbForm,
    /// Whether it says that nothing happens, so that a group of liquids may follow.
    pub(super) denies: bool,
}

/// Where a verb of the bench may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum VerbForm {
    /// `dissolves`: at the start.
    Third,
    /// `dissolve`: after `does not`.
    Base,
    /// `unaffected`: after `is`.
    State,
}

/// Every word that a corpus knows, ready to be offered.
#[derive(Debug, Default)]
pub struct Vocabulary {
    records: BTreeMap<Kind, Vec<Phrase>>,
    /// What an unknown may be: kinds of material and the nouns of the trade.
    pub(super) kinds: Vec<Phrase>,
    /// Groups of liquids.
    pub(super) groups: Vec<Phrase>,
    /// Classes of liquid and of harm, to rule out.
    pub(super) means: Vec<Phrase>,
    /// How sure a word is.
    pub(super) beliefs: Vec<Phrase>,
    /// States of a layer by their own names.
    pub(super) conditions: Vec<Phrase>,
    pub(super) verbs: Vec<BenchVerb>,
    notes: BTreeMap<String, Vec<Phrase>>,
    outcomes: BTreeMap<String, Vec<Phrase>>,
    words: BTreeMap<String, Vec<Phrase>>,
}

/// Most words of a line that lists what a thing may be.
const MOST_LISTED: usize = 8;

impl Vocabulary {
    /// Reads the words of a corpus.
    #[must_use]
    pub fn of(pack: &Pack) -> Self {
        let mut out = Self::default();
        out.read_records(pack);
        out.read_words(pack);
        out.read_speech(pack);
        out
    }

    /// Names of the records of a kind.
    #[must_use]
    pub fn records(&self, kind: Kind) -> &[Phrase] {
        self.records.get(&kind).map_or(&[], Vec::as_slice)
    }

    /// Notes of a section of `vocab/speech.toml`.
    #[must_use]
    pub fn notes(&self, section: &str) -> &[Phrase] {
        self.notes.get(section).map_or(&[], Vec::as_slice)
    }

    /// Outcomes of a test, by id; those of the record first.
    #[must_use]
    pub fn outcomes(&self, test: &str) -> &[Phrase] {
        self.outcomes.get(test).map_or(&[], Vec::as_slice)
    }

    /// Outcomes of every test, with the id of the test.
    pub(super) fn every_outcome(&self) -> impl Iterator<Item = (&str, &Phrase)> {
        self.outcomes
            .iter()
            .flat_map(|(test, list)| list.iter().map(move |p| (test.as_str(), p)))
    }

    /// Controlled words of a section.
    #[must_use]
    pub fn words(&self, section: &str) -> &[Phrase] {
        self.words.get(section).map_or(&[], Vec::as_slice)
    }

    /// Verbs of the bench, each with what it is said of.
    pub fn bench(&self) -> impl Iterator<Item = (&str, &str)> {
        self.verbs
            .iter()
            .map(|v| (v.phrase.typed.as_str(), v.of.as_str()))
    }

    fn read_records(&mut self, pack: &Pack) {
        for kind in Kind::ALL {
            if kind == Kind::Source {
                continue;
            }
            let mut list = Vec::new();
            for index in 0..pack.count(kind) {
                let Some(record) = pack.record(kind, index) else {
                    continue;
                };
                let about = summary(&record);
                let names = &record.head().names;
                for (k, name) in names.all().enumerate() {
                    let Some(typed) = spelled(name) else { continue };
                    let about = if k == 0 {
                        about.clone()
                    } else {
                        format!("{}: {about}", names.name)
                    };
                    list.push(Phrase {
                        typed,
                        words: words(name),
                        about,
                        record: Some((kind, record.head().id.clone())),
                        canonical: k == 0,
                        foreign: k > names.also.len(),
                    });
                }
                if let Record::Test(test) = &record {
                    let name = &names.name;
                    let said = test.outcomes.iter().filter(|o| words_only(o));
                    let outcomes = said.map(|o| Phrase::plain(o, name.clone()));
                    self.outcomes
                        .insert(test.head.id.clone(), outcomes.collect());
                }
            }
            list.arrange_by(|a, b| (&a.words, &a.typed).cmp(&(&b.words, &b.typed)));
            self.records.insert(kind, list);
        }
    }

    fn read_words(&mut self, pack: &Pack) {
        for (section, word, meaning) in pack.words() {
            self.words
                .entry(section.clone())
                .or_default()
                .push(Phrase::plain(word, meaning.clone()));
        }
        let meaning = |section: &str, word: &str| -> String {
            pack.words()
                .iter()
                .find(|(s, w, _)| s == section && w == word)
                .map_or_else(String::new, |(_, _, meaning)| meaning.clone())
        };
        for role in Role::ALL {
            let about = meaning("kind", role.word());
            self.kinds.push(Phrase::plain(role.word(), about));
        }
        for condition in Condition::ALL {
            let about = meaning("condition", condition.word());
            self.conditions.push(Phrase::plain(condition.word(), about));
        }
        for (word, about) in [
            ("water", "all that is mostly water"),
            ("heat", "heat of any kind"),
            ("solvents", "every organic solvent"),
            ("abrasion", "what wears the surface"),
        ] {
            self.means.push(Phrase::plain(word, about));
        }
        for class in Class::ALL {
            if let Some(typed) = spelled(class.plain()) {
                let about = "the whole class of liquid or of harm";
                self.means.push(Phrase {
                    typed,
                    ..Phrase::plain(class.plain(), about)
                });
            }
        }
    }

    fn read_speech(&mut self, pack: &Pack) {
        let speech = pack.speech();
        let written = |folded: &str| speech.written(folded).to_owned();
        for (noun, roles) in speech.nouns.iter() {
            let about = if roles.is_empty() {
                "anything of unknown kind".to_owned()
            } else {
                listed(roles, " or ")
            };
            // With nothing typed the kinds themselves are enough.
            self.kinds.push(Phrase {
                canonical: false,
                ..Phrase::plain(&written(noun), about)
            });
        }
        for (group, members) in speech.groups.iter() {
            let about = listed(members, ", ");
            self.groups.push(Phrase::plain(&written(group), about));
        }
        for (word, belief) in &speech.beliefs {
            let about = format!("weighs {:.0} % of a sure result", 100.0 * belief);
            let canonical = self.beliefs.iter().all(|p| p.about != about);
            self.beliefs.push(Phrase {
                canonical,
                ..Phrase::plain(&written(word), about)
            });
        }
        let mut meant: Vec<(&str, &str, bool)> = Vec::new();
        let noted = speech.notes.iter().flat_map(|notes| {
            let means = notes.means.iter();
            means.map(|(words, meaning)| (&notes.section, words, meaning))
        });
        for (section, words, meaning) in noted {
            // The first of several words for one thing is the one to offer unasked.
            let clean = words.starts_with("clean");
            let thing = (section.as_str(), meaning.as_str(), clean);
            let canonical = !meant.contains(&thing);
            meant.push(thing);
            let mut about = self
                .words(section)
                .iter()
                .find(|p| p.typed == *meaning)
                .map_or_else(|| meaning.clone(), |p| p.about.clone());
            if clean {
                about.push_str(", seen to be clean");
            }
            self.notes.entry(section.clone()).or_default().push(Phrase {
                canonical,
                ..Phrase::plain(&written(words), about)
            });
        }
        let answers = speech.outcomes.iter().flat_map(|answers| {
            let means = answers.means.iter();
            means.map(|(words, weights)| (&answers.test, words, weights))
        });
        for (test, words, weights) in answers {
            let meant: Vec<String> = weights.map(|(o, _)| o.to_owned()).collect();
            let phrase = Phrase {
                canonical: false,
                ..Phrase::plain(&written(words), listed(&meant, " or "))
            };
            let list = self.outcomes.entry(test.clone()).or_default();
            if words_only(&phrase.typed) && list.iter().all(|p| p.words != phrase.words) {
                list.push(phrase);
            }
        }
        for frame in speech.frames.iter() {
            self.read_frame(pack, frame);
        }
    }

    fn read_frame(&mut self, pack: &Pack, frame: &Frame) {
        let speech = pack.speech();
        let said: Vec<String> = frame
            .says
            .iter()
            .map(|s| speech.written(s).to_owned())
            .collect();
        let about = match frame.of.as_str() {
            "liquid" => {
                let list: Vec<String> = frame
                    .outcomes
                    .iter()
                    .filter(|(_, w)| *w >= 0.5)
                    .map(|(o, _)| o.clone())
                    .collect();
                format!("a liquid: {}", listed(&list, " or "))
            }
            "look" => "how it looks: colour, texture, under the lens".to_owned(),
            "feel" => "how it feels to nail or needle".to_owned(),
            "positive" => "the test answered".to_owned(),
            "negative" => "the test did not answer".to_owned(),
            "outcome" => "what the test or the eye gives".to_owned(),
            test => pack.test(test).map_or_else(
                || test.to_owned(),
                |t| format!("test: {}", t.head.names.name),
            ),
        };
        let denies = frame.of == "liquid"
            && frame
                .outcomes
                .iter()
                .any(|(o, w)| o == "no effect" && *w >= 0.8);
        let mut forms = Vec::new();
        for words in &said {
            // A reserved word in it, as in `dark under the torch`, makes a phrase of its end.
            if !words_only(words) {
                continue;
            }
            let third = words
                .split(' ')
                .any(|w| w.ends_with('s') && !w.ends_with("ss"));
            let base = said
                .iter()
                .any(|other| *other == format!("{words}s") || *other == format!("{words}es"));
            let form = match (third, base) {
                (true, _) => VerbForm::Third,
                (false, true) => VerbForm::Base,
                (false, false) => VerbForm::State,
            };
            // With nothing typed, the first of several ways to say one thing is enough; what names
            // no outcome of its own (`turns`, `leaves`) is a thing by itself.
            let canonical = frame.of == "outcome" || !forms.contains(&form);
            forms.push(form);
            self.verbs.push(BenchVerb {
                phrase: Phrase {
                    canonical,
                    ..Phrase::plain(words, about.clone())
                },
                of: frame.of.clone(),
                form,
                denies,
            });
        }
    }
}

/// Folded words of a phrase, parted at blanks and hyphens.
fn words(phrase: &str) -> Vec<String> {
    phrase
        .split([' ', '-'])
        .map(fold)
        .filter(|w| !w.is_empty())
        .collect()
}

/// Whether a phrase is plain words to the lexer: no reserved word among them, and no number.
fn words_only(phrase: &str) -> bool {
    let lexed = lex(phrase);
    lexed.errors.is_empty() && lexed.tokens.iter().all(|t| t.kind == TokenKind::Word)
}

/// How a name is typed: as it is, or in quotes; `None` when it cannot be.
fn spelled(name: &str) -> Option<String> {
    let simple = |c: char| c.is_ascii_lowercase() || matches!(c, ' ' | '-');
    let reserved = |w: &str| lang::reserved::is_reserved(w);
    if name.chars().all(simple) && !name.split(' ').any(reserved) && !name.contains("--") {
        return Some(name.to_owned());
    }
    // A layer's place takes names only, and ends them where a name ends.
    let fits = |typed: &str| {
        let query = format!("identify coating on {typed}");
        lang::parse(&query).is_ok_and(|file| match &file.statements[0].query {
            lang::ast::Query::Identify(it) => it.on.as_ref().is_some_and(|stack| {
                stack.layers.len() == 1
                    && stack.layers[0].notes.is_empty()
                    && fold(&stack.layers[0].name.text()) == fold(name)
            }),
            _ => false,
        })
    };
    [name.to_owned(), format!("\"{name}\"")]
        .into_iter()
        .find(|typed| fits(typed))
}

/// One line on a record.
fn summary(record: &Record) -> String {
    let head = record.head();
    if !head.summary.is_empty() {
        return head.summary.clone();
    }
    match record {
        Record::Agent(it) => {
            let class = it.class.plain();
            match head.facts.text("use") {
                Some(text) => format!("{class}; {text}"),
                None => class.to_owned(),
            }
        }
        Record::Test(it) => format!("answers {}", listed(&it.outcomes, ", ")),
        Record::Family(_) => "a family of materials".to_owned(),
        Record::Method(it) => {
            let how = ["how", "watch", "needs"]
                .iter()
                .find_map(|key| head.facts.text(key));
            let action = it.action.word();
            how.map_or_else(|| action.to_owned(), |text| format!("{action}; {text}"))
        }
        other => other.kind().noun().to_owned(),
    }
}

/// Words as a list, cut where it grows long.
fn listed(words: &[String], between: &str) -> String {
    let mut out = words
        .iter()
        .take(MOST_LISTED)
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join(between);
    if words.len() > MOST_LISTED {
        out.push_str(" ...");
    }
    out
}
