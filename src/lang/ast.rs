//! The tree of a query. Every node has its span; names and words are kept as
//! typed, because only the corpus can say what they mean.

mod query;

use crate::span::{Span, Spanned};
use crate::units::Quantity;

use super::reserved::Keyword;

pub use query::{
    Blend, Choose, Compare, Find, Identify, Load, Prepare, Query, Remove, Restored, Tool, Ventilate,
};

/// A text of one or more statements.
#[derive(Debug, Clone, PartialEq)]
pub struct File {
    /// The edition named at the top, if any.
    pub edition: Option<Spanned<u32>>,
    /// The statements in order; never empty.
    pub statements: Vec<Statement>,
    /// Remarks in order, with the `#`.
    pub comments: Vec<Spanned<String>>,
}

/// One statement.
#[derive(Debug, Clone, PartialEq)]
pub struct Statement {
    /// From its first to its last word, without the semicolon.
    pub span: Span,
    /// `let NAME =`, if any.
    pub binding: Option<Word>,
    /// `explain`, if any; never together with a binding.
    pub explain: Option<Spanned<Explain>>,
    /// The query itself.
    pub query: Query,
}

/// What `explain` is to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Explain {
    /// How the answer follows from facts and pages.
    Answer,
    /// `plan`: the stages of the query.
    Plan,
    /// `empty`: which clause emptied the answer.
    Empty,
}

/// One word as typed; inside a name it may be a number or a unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// As typed.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// A name: the longest run of words, or a quotation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name {
    /// Its words; exactly one, with blanks inside, if quoted.
    pub words: Vec<Word>,
    /// Whether it stood in quotes.
    pub quoted: bool,
    /// Where, with the quotes.
    pub span: Span,
}

impl Name {
    /// The words with single blanks between.
    #[must_use]
    pub fn text(&self) -> String {
        join(&self.words)
    }
}

impl Name {
    /// The words before a number at the end, and the span of that number with
    /// its unit: for a name that the corpus does not know, such as `acetone 5
    /// min`, where the number was meant as a note. `None` when there is none.
    #[must_use]
    pub fn before_number(&self) -> Option<(&[Word], Span)> {
        let is_number = |word: &Word| word.text.bytes().all(|byte| byte.is_ascii_digit());
        let last = self.words.len().checked_sub(1)?;
        let start = if is_number(&self.words[last]) {
            last
        } else {
            last.checked_sub(1)
                .filter(|&at| is_number(&self.words[at]))?
        };
        let span = self.words[start].span.to(self.words[last].span);
        // `ethanol within 5 min`: the word before the number goes with it.
        let between = ["within", "after", "about", "some", "over"];
        let is_between = |word: &Word| between.contains(&word.text.as_str());
        let end = start - usize::from(start > 1 && is_between(&self.words[start - 1]));
        (!self.quoted && start > 0).then(|| (&self.words[..end], span))
    }
}

/// Words with single blanks between.
#[must_use]
pub fn join(words: &[Word]) -> String {
    let words: Vec<&str> = words.iter().map(|word| word.text.as_str()).collect();
    words.join(" ")
}

/// A quantity and its place.
pub type Measure = Spanned<Quantity>;

/// A small word that ties a liquid, a light or a value to a verb.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Prep {
    /// `in`
    In,
    /// `with`
    With,
    /// `by`
    By,
    /// `under`
    Under,
    /// `to`
    To,
    /// `on`
    On,
    /// `at`
    At,
    /// `from`
    From,
    /// `for`
    For,
    /// `during`
    During,
}

/// Every [`Prep`] with its reserved word.
pub const PREPS: &[(Prep, Keyword)] = &[
    (Prep::In, Keyword::In),
    (Prep::With, Keyword::With),
    (Prep::By, Keyword::By),
    (Prep::Under, Keyword::Under),
    (Prep::To, Keyword::To),
    (Prep::On, Keyword::On),
    (Prep::At, Keyword::At),
    (Prep::From, Keyword::From),
    (Prep::For, Keyword::For),
    (Prep::During, Keyword::During),
];

impl Prep {
    /// The word itself.
    #[must_use]
    pub fn word(self) -> &'static str {
        PREPS
            .iter()
            .find(|(prep, _)| *prep == self)
            .map_or("", |(_, keyword)| keyword.word())
    }
}

/// One remark in parentheses after a noun or an observation.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    /// Words before the small word: `fired` in `(fired at 900 C)`.
    pub lead: Vec<Word>,
    /// A small word: `at` in `(at 60 C)`.
    pub prep: Option<Spanned<Prep>>,
    /// The `not`, if any.
    pub negated: Option<Span>,
    /// Words, before or after the value; may be empty if there is one.
    pub words: Vec<Word>,
    /// A value: `12 mm` in `(deep joint 12 mm)` and `(12 mm deep)`.
    pub value: Option<NoteValue>,
    /// Where.
    pub span: Span,
}

/// The value of a note.
#[derive(Debug, Clone, PartialEq)]
pub enum NoteValue {
    /// A number, perhaps with a unit.
    Quantity(Measure),
    /// Parts by volume.
    Ratio(Measure),
    /// Quoted text.
    Text(Spanned<String>),
}

/// A noun: a material, a kind of material, or a layer, with its notes.
#[derive(Debug, Clone, PartialEq)]
pub struct Thing {
    /// What it is called.
    pub name: Name,
    /// Where it sits, its state; in order.
    pub notes: Vec<Note>,
    /// Where, with the notes.
    pub span: Span,
}

/// Layers from the top down.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// At least one; the first is on top.
    pub layers: Vec<Thing>,
    /// Where.
    pub span: Span,
}

/// One liquid, or several with their parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Mix {
    /// How strong, where it stands before the names: `5 % ammonia`. Only
    /// after a small word or `is`; `prepare` has its own.
    pub strength: Option<Measure>,
    /// At least one.
    pub names: Vec<Name>,
    /// Parts by volume, unchecked against the number of names.
    pub ratio: Option<Measure>,
    /// Where.
    pub span: Span,
}

/// A mix with notes.
#[derive(Debug, Clone, PartialEq)]
pub struct Agent {
    /// What it is.
    pub mix: Mix,
    /// Its state or strength.
    pub notes: Vec<Note>,
    /// Where.
    pub span: Span,
}

/// What stands after a comparison or a small word.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A number, perhaps with a unit.
    Quantity(Measure),
    /// A name, or a mix of names.
    Mix(Mix),
}

impl Value {
    /// Where it stands.
    #[must_use]
    pub fn span(&self) -> Span {
        match self {
            Self::Quantity(measure) => measure.span,
            Self::Mix(mix) => mix.span,
        }
    }
}

/// A small word and what it ties on: `in ethanol`, `under uv-a`, `to 35 C`.
#[derive(Debug, Clone, PartialEq)]
pub struct Phrase {
    /// The small word.
    pub prep: Spanned<Prep>,
    /// One value; several only in a `where`, in parentheses: any of them.
    pub values: Vec<Value>,
    /// Where.
    pub span: Span,
}

/// Something seen at the bench, its words unresolved.
///
/// The forms are: `fluoresces orange`, `not tried`, `is unaffected`,
/// `glaze is unaffected`, `does not dissolve`, `surface ph is 8.5`, each with
/// phrases and notes after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// What stands before `is` or `not`: a subject (`glaze`), a helping word
    /// (`does`), or both.
    pub lead: Option<Name>,
    /// The `is`, if any.
    pub is: Option<Span>,
    /// The `not`, if any.
    pub negated: Option<Span>,
    /// The verb and its complement, or the state; empty only when `quantity`
    /// stands alone after `is`.
    pub words: Vec<Word>,
    /// A number after the words, or before them: `is 2 mm thick`.
    pub quantity: Option<Measure>,
    /// Phrases in order.
    pub phrases: Vec<Phrase>,
    /// Notes in order.
    pub notes: Vec<Note>,
    /// Where.
    pub span: Span,
}

/// A condition on what the corpus records.
#[derive(Debug, Clone, PartialEq)]
pub enum Condition {
    /// All hold; two or more.
    And(Vec<Condition>),
    /// At least one holds; two or more.
    Or(Vec<Condition>),
    /// The opposite holds, and is recorded to.
    Not {
        /// From `not` to the end.
        span: Span,
        /// What is negated.
        condition: Box<Condition>,
    },
    /// A single test.
    Test(Box<Test>),
}

/// A single test.
#[derive(Debug, Clone, PartialEq)]
pub struct Test {
    /// What is tested.
    pub kind: TestKind,
    /// Where.
    pub span: Span,
}

/// Kinds of test.
#[derive(Debug, Clone, PartialEq)]
pub enum TestKind {
    /// `known(tg)`, `unknown(tg)`.
    Call {
        /// The word before the parenthesis.
        function: Word,
        /// What stands inside.
        argument: Name,
    },
    /// A property or a response, and what is asked of it.
    Property {
        /// The words of the property or response.
        words: Vec<Word>,
        /// What is asked.
        relation: Relation,
        /// The words after `when`: `fresh`, `aged`.
        when: Option<Vec<Word>>,
    },
}

/// What is asked of a property.
#[derive(Debug, Clone, PartialEq)]
pub enum Relation {
    /// Nothing more: it holds.
    Holds,
    /// A comparison.
    Compare(Spanned<Comparison>, Value),
    /// Phrases: `removable with ethanol`, `stable to 35 C`; at least one.
    Phrases(Vec<Phrase>),
    /// `matches "..."`.
    Matches(Spanned<String>),
}

/// Comparisons.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Comparison {
    /// `<`
    Less,
    /// `<=`
    LessEqual,
    /// `>`
    Greater,
    /// `>=`
    GreaterEqual,
    /// `is`
    Is,
    /// `is not`
    IsNot,
}
