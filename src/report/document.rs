//! The report as plain data, before any form: sections of blocks, blocks of words. What comes from a
//! case file or a record is only ever text here; each form escapes it on its way out.

use super::figure::Figure;
use crate::cite::{Cite, Styled};

/// A report.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// Title.
    pub title: String,
    /// Facts about the report itself: name, value.
    pub about: Vec<(String, String)>,
    /// Sections in the order of the reader.
    pub sections: Vec<Section>,
    /// Groups of cites, to which [`Words::Cite`] points.
    pub groups: Vec<Vec<Cite>>,
    /// The cites and the list of references in their style.
    pub styled: Styled,
}

/// A section.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Which one.
    pub part: Part,
    /// In plain words, for the owner; paragraphs.
    pub plain: Vec<String>,
    /// The technical part.
    pub blocks: Vec<Block>,
}

/// Sections that a report may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The object, its layers, its state, what was observed and tried.
    Examination,
    /// What the old materials probably are, with the evidence.
    Identification,
    /// What is proposed, with options and risk.
    Proposal,
    /// What was decided and done, materials and methods, deviations.
    Materials,
    /// Whether what is put in comes off again.
    Reversibility,
    /// Hazards to people.
    Safety,
    /// Cautions.
    Cautions,
    /// What is not known.
    Uncertainty,
    /// Sources, and what has none.
    References,
}

impl Part {
    /// Every section, in the order of the reader.
    pub const ALL: [Self; 9] = [
        Self::Examination,
        Self::Identification,
        Self::Proposal,
        Self::Materials,
        Self::Reversibility,
        Self::Safety,
        Self::Cautions,
        Self::Uncertainty,
        Self::References,
    ];

    /// Its word, for choosing it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Examination => "examination",
            Self::Identification => "identification",
            Self::Proposal => "proposal",
            Self::Materials => "materials",
            Self::Reversibility => "reversibility",
            Self::Safety => "safety",
            Self::Cautions => "cautions",
            Self::Uncertainty => "uncertainty",
            Self::References => "references",
        }
    }

    /// Its heading.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Examination => "Examination",
            Self::Identification => "Identification of the old materials",
            Self::Proposal => "Proposal, options and risk",
            Self::Materials => "Decisions, materials and methods",
            Self::Reversibility => "Reversibility",
            Self::Safety => "Health and safety",
            Self::Cautions => "Cautions",
            Self::Uncertainty => "What is uncertain",
            Self::References => "References",
        }
    }
}

/// A run of words.
#[derive(Clone, Debug, PartialEq)]
pub enum Words {
    /// Text.
    Text(String),
    /// Text with stress.
    Strong(String),
    /// Text as typed: a query, an id.
    Typed(String),
    /// A group of cites, by its number.
    Cite(usize),
    /// A basis that is no source: `common practice`, `recalled`.
    Basis(&'static str),
}

/// Words in a row.
pub type Line = Vec<Words>;

/// A block.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading below that of the section.
    Heading(String),
    /// A paragraph.
    Paragraph(Line),
    /// A warning.
    Warning(Line),
    /// A list.
    List(Vec<Line>),
    /// Names with what they stand for.
    Terms(Vec<(String, Line)>),
    /// A table; the first cell of each row names it.
    Table {
        /// Caption.
        caption: String,
        /// Heads of the columns.
        head: Vec<String>,
        /// Rows.
        rows: Vec<Vec<Line>>,
    },
    /// A figure, with its caption.
    Figure {
        /// The figure.
        figure: Figure,
        /// Caption.
        caption: String,
    },
    /// A photograph, or why it is not shown.
    Photograph {
        /// What it shows: also for who cannot see it.
        shows: String,
        /// Light, day, place.
        note: String,
        /// The picture.
        picture: Result<Picture, String>,
    },
    /// A query, as it was run.
    Query(String),
    /// The list of references.
    References,
}

impl Block {
    /// A table.
    pub(super) fn table(caption: impl Into<String>, head: &[&str], rows: Vec<Vec<Line>>) -> Self {
        Self::Table {
            caption: caption.into(),
            head: head.iter().map(|it| (*it).to_owned()).collect(),
            rows,
        }
    }
}

/// A picture that was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// Media type.
    pub media: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What every report ends with.
pub(super) const ADVICE: &str = "Advice for trained conservators. Test on a hidden spot first; local \
                                 regulation, safety data sheets and a licensed practitioner's judgment \
                                 come first.";

/// Largest picture that is put into a report, in bytes.
pub const LARGEST_PICTURE: usize = 12 << 20;

impl Picture {
    /// A picture of a kind that a browser shows without running anything: JPEG, PNG or WebP, told by
    /// their first bytes and not by their name.
    ///
    /// # Errors
    /// In words, when it is none, or too large.
    pub fn new(bytes: Vec<u8>) -> Result<Self, String> {
        if bytes.len() > LARGEST_PICTURE {
            return Err(format!(
                "larger than {} megabytes; make a smaller copy for the report",
                LARGEST_PICTURE >> 20
            ));
        }
        let media = match &bytes[..] {
            [0xff, 0xd8, 0xff, ..] => "image/jpeg",
            [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => "image/png",
            [
                b'R',
                b'I',
                b'F',
                b'F',
                _,
                _,
                _,
                _,
                b'W',
                b'E',
                b'B',
                b'P',
                ..,
            ] => "image/webp",
            _ => return Err("neither JPEG, PNG nor WebP".to_owned()),
        };
        Ok(Self { media, bytes })
    }
}

/// Text.
pub(super) fn text(text: impl Into<String>) -> Words {
    Words::Text(text.into())
}

/// A line of one text.
pub(super) fn line(it: impl Into<String>) -> Line {
    vec![text(it)]
}
