//! `palinode case new` and `palinode case object`

use std::path::Path;

use super::{Field, ObjectFacts, change, fail, texts};
use crate::case::{self, EditError};
use crate::cli::Exit;
use crate::cli::output::Output;
use crate::render::safe;
use crate::store::RealDisk;

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

/// `case new mirror` makes the folder `mirror` with `case.toml` in it; `case new mirror.toml` a file
/// where it is named.
pub(super) fn new(path: &Path, title: String, facts: ObjectFacts, output: &mut Output) -> Exit {
    let mut path = path.to_owned();
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
    let editor = facts.by.editor("new");
    match case::start(&RealDisk, &path, &editor, &facts.fields(Some(title))) {
        Ok(()) => {
            output.text(&format!("began {}\n", safe(&path.display().to_string())));
            Exit::Answered
        }
        Err(EditError::Read(error)) => fail::unread(&error, output),
        Err(EditError::Store(error)) => fail::unwritten(&error, output),
        Err(EditError::Broken { text, diagnostics }) => fail::broken(&text, &diagnostics, output),
        Err(EditError::Refused(never)) => match never {},
    }
}

pub(super) fn object(
    path: &Path,
    title: Option<String>,
    facts: ObjectFacts,
    output: &mut Output,
) -> Exit {
    let editor = facts.by.editor("object");
    let fields = facts.fields(title);
    if fields.is_empty() {
        return fail::plain(
            "nothing was said of the object",
            "say it with an option, for example --height '1240 mm'",
            output,
        );
    }
    change(path, &editor, output, |draft, _| {
        draft.object(&fields);
        Ok(match fields.len() {
            1 => "one fact of the object\n".to_owned(),
            n => format!("{n} facts of the object\n"),
        })
    })
}
