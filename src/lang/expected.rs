//! What may stand at a place: for completion, and for messages.

use super::parse;
use super::reserved::Keyword;

/// What a name or a run of words is meant to be, as far as the grammar knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// A kind of material, a family, or a material: `coating`, `shellac`.
    Kind,
    /// A material, or a name bound by `let`.
    Material,
    /// A layer or a support.
    Layer,
    /// A liquid, a reagent, a light, a tool: what an observation was made with.
    Agent,
    /// A property to show, to order by or to compare by.
    Property,
    /// A method, a liquid or a class of them, to rule out or to allow.
    Means,
    /// A verb of observation and its complement: `fluoresces orange`.
    Observation,
    /// A property or a response to ask for: `tg`, `removable`.
    Test,
    /// A state: `aged`, `fresh`.
    State,
    /// A remark in parentheses: `crumb`, `deep joint`.
    Note,
    /// A tool, a gelling agent, a figure of the work: `balance`, `agar`, `mixing`.
    Tool,
    /// What a blend is to do: `dissolve`.
    Action,
    /// A new name of the user's own.
    Binding,
    /// A name on the right of a comparison.
    Value,
}

impl Role {
    /// What to call it in a message.
    #[must_use]
    pub fn describe(self) -> &'static str {
        match self {
            Self::Kind => "a material or a kind of material",
            Self::Material => "a material",
            Self::Layer => "a layer",
            Self::Agent => "a liquid, reagent or tool",
            Self::Property => "a property",
            Self::Means => "a method or a liquid",
            Self::Observation => "an observation",
            Self::Test => "a property to test",
            Self::State => "a state",
            Self::Note => "a remark",
            Self::Tool => "a tool or a gelling agent",
            Self::Action => "what the blend is to do",
            Self::Binding => "a name to bind",
            Self::Value => "a name",
        }
    }
}

/// One thing that may stand at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Expected {
    /// A word that starts a statement or belongs to one place of it: a verb,
    /// `let`, `explain`, `plan`, `of`, `unknown`.
    Word(&'static str),
    /// A name or words of this role.
    Name(Role),
    /// One more word of the name or words before.
    More(Role),
    /// A number with a unit, or without one.
    Quantity,
    /// A whole number.
    Int,
    /// A year or a span of years.
    Years,
    /// Parts, as in `1:3`.
    Ratio,
    /// Text in quotes.
    Text,
    /// A reserved word.
    Keyword(Keyword),
    /// A sign.
    Sign(&'static str),
    /// The end of the text.
    End,
}

impl Expected {
    /// What to call it in a message; words and signs are in backquotes.
    #[must_use]
    pub fn describe(self) -> String {
        match self {
            Self::Word(word) | Self::Sign(word) => format!("`{word}`"),
            Self::Keyword(keyword) => format!("`{}`", keyword.word()),
            Self::Name(role) => role.describe().to_owned(),
            Self::More(_) => "more of the name".to_owned(),
            Self::Quantity => "a quantity".to_owned(),
            Self::Int => "a whole number".to_owned(),
            Self::Years => "a span of years".to_owned(),
            Self::Ratio => "a ratio".to_owned(),
            Self::Text => "a text in quotes".to_owned(),
            Self::End => "the end".to_owned(),
        }
    }
}

/// What may stand at a byte offset of a text, in a stable order.
///
/// Only the text before `offset` counts. A word that touches the offset from
/// the left is taken as half typed and left out, so that `find co|` asks for
/// what may follow `find`. The result is empty when what stands before is
/// wrong already, and inside a remark or a quotation.
#[must_use]
pub fn expected_at(text: &str, offset: usize) -> Vec<Expected> {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    parse::expected_after(&text[..offset])
}
