//! `palinode case photo`

use std::path::Path;

use super::fail::Refusal;
use super::{Field, Noting, added, change, texts};
use crate::case::{PhotographError, Section, photograph};
use crate::cli::Exit;
use crate::cli::output::Output;

/// A photograph that is to be added.
pub(super) struct Picture {
    pub(super) file: String,
    pub(super) shows: String,
    pub(super) light: Option<String>,
    pub(super) of: Vec<String>,
}

pub(super) fn run(path: &Path, new: Picture, noting: Noting, output: &mut Output) -> Exit {
    let editor = noting.by.editor("photo");
    change(path, &editor, output, |draft, file| {
        if let Err(error) = photograph(file.folder(), &new.file) {
            let help = match error {
                PhotographError::Io(_) | PhotographError::NoFile => {
                    "the path is written from the folder of the case: photographs/front.jpg"
                }
                PhotographError::Path(_) | PhotographError::Outside => {
                    "copy the picture into the folder of the case, or below it"
                }
            };
            return Err(Refusal::Plain(
                format!("`{}` {error}", new.file),
                help.to_owned(),
            ));
        }
        let ids = draft.case().ids();
        let there: Vec<&str> = ids.iter().map(|(id, _, _)| *id).collect();
        for id in &new.of {
            if !there.contains(&id.as_str()) {
                return Err(Refusal::no_such("id", id, &there));
            }
        }
        let mut fields = texts([
            ("file", Some(new.file.clone())),
            ("shows", Some(new.shows)),
            ("light", new.light),
        ]);
        if !new.of.is_empty() {
            fields.push(("of", Field::List(new.of)));
        }
        fields.extend(noting.fields(&editor));
        let id = draft.add(Section::Photograph, &fields);
        Ok(added(&id, &new.file))
    })
}
