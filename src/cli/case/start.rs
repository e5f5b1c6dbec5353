//! `palinode case new` and `palinode case object`

use std::path::PathBuf;

use clap::Args;

use super::{CasePath, Field, Who, change, fail, file, texts};
use crate::case::{self, EditError};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::render::safe;
use crate::store::RealDisk;

// No doc comments on these structs: clap would show them in place of what the subcommand is for.

#[derive(Args, Debug)]
pub(in crate::cli) struct New {
    /// The case file to make, or the folder for it
    case: PathBuf,
    /// What the object is called
    title: String,
    #[command(flatten)]
    facts: ObjectFacts,
}

#[derive(Args, Debug)]
pub(in crate::cli) struct Object {
    #[command(flatten)]
    case: CasePath,
    /// What the object is called
    #[arg(long, value_name = "TEXT")]
    title: Option<String>,
    #[command(flatten)]
    facts: ObjectFacts,
}

// What is said of the object.
#[derive(Args, Debug)]
struct ObjectFacts {
    /// Number under which it is filed
    #[arg(long, value_name = "TEXT")]
    number: Option<String>,
    /// When it was made, in words
    #[arg(long, value_name = "TEXT")]
    made: Option<String>,
    /// Who made it, or where
    #[arg(long, value_name = "TEXT")]
    maker: Option<String>,
    /// What it is made of, in words
    #[arg(long, value_name = "TEXT")]
    materials: Option<String>,
    /// Height with its unit: '1240 mm'
    #[arg(long, value_name = "LENGTH")]
    height: Option<String>,
    /// Width with its unit
    #[arg(long, value_name = "LENGTH")]
    width: Option<String>,
    /// Depth with its unit
    #[arg(long, value_name = "LENGTH")]
    depth: Option<String>,
    /// Weight with its unit: '12 kg'
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The warmest that it gets where it stands: '28 C'
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    warmest: Option<String>,
    /// State on arrival
    #[arg(long, value_name = "TEXT")]
    condition: Option<String>,
    /// What the treatment is to reach
    #[arg(long, value_name = "TEXT")]
    aim: Option<String>,
    /// Anything else
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    by: Who,
}

impl ObjectFacts {
    fn fields(self, title: Option<String>) -> Vec<(&'static str, Field)> {
        texts([
            ("title", title),
            ("number", self.number),
            ("made", self.made),
            ("maker", self.maker),
            ("materials", self.materials),
            ("height", self.height),
            ("width", self.width),
            ("depth", self.depth),
            ("weight", self.weight),
            ("warmest", self.warmest),
            ("condition", self.condition),
            ("aim", self.aim),
            ("note", self.note),
        ])
    }
}

impl New {
    /// `case new mirror` makes the folder `mirror` with `case.toml` in it; `case new mirror.toml` a
    /// file where it is named.
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let mut path = file(&self.case);
        if path.extension().is_none_or(|ending| ending != "toml") {
            if let Err(error) = std::fs::create_dir_all(&path) {
                return fail::plain(
                    &format!("{}: cannot make the folder: {error}", path.display()),
                    "name a folder that can be made, or a file that ends in .toml",
                    output,
                );
            }
            path.push("case.toml");
        }
        let editor = self.facts.by.editor("new");
        let fields = self.facts.fields(Some(self.title));
        match case::start(&RealDisk, &path, &editor, &fields) {
            Ok(()) => {
                output.text(&format!("began {}\n", safe(&path.display().to_string())));
                Exit::Answered
            }
            Err(EditError::Read(error)) => fail::unread(&error, output),
            Err(EditError::Store(error)) => fail::unwritten(&error, output),
            Err(EditError::Broken { text, diagnostics }) => {
                fail::broken(&text, &diagnostics, output)
            }
            Err(EditError::Refused(never)) => match never {},
        }
    }
}

impl Object {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.facts.by.editor("object");
        let fields = self.facts.fields(self.title);
        if fields.is_empty() {
            return fail::plain(
                "nothing was said of the object",
                "say it with an option, for example --height '1240 mm'",
                output,
            );
        }
        change(&self.case, &editor, output, |draft, _| {
            draft.object(&fields);
            Ok(match fields.len() {
                1 => "one fact of the object\n".to_owned(),
                n => format!("{n} facts of the object\n"),
            })
        })
    }
}
