//! `palinode case photo`

use clap::Args;

use super::fail::Refusal;
use super::{CasePath, Field, Noting, added, change, texts};
use crate::case::{PhotographError, Section, photograph};
use crate::cli::Exit;
use crate::cli::output::Output;

// No doc comment: clap would show it in place of what the subcommand is for.
#[derive(Args, Debug)]
pub(in crate::cli) struct Photo {
    #[command(flatten)]
    case: CasePath,
    /// Path of the picture, from the folder of the case
    file: String,
    /// What it shows, also for who cannot see it
    shows: String,
    /// Light: daylight, 'raking light', uv-a
    #[arg(long, value_name = "TEXT")]
    light: Option<String>,
    /// What it belongs to, by ids
    #[arg(long, value_name = "ID", value_delimiter = ',')]
    of: Vec<String>,
    #[command(flatten)]
    noting: Noting,
}

impl Photo {
    pub(super) fn run(self, output: &mut Output) -> Exit {
        let editor = self.noting.by.editor("photo");
        change(&self.case, &editor, output, |draft, file| {
            if let Err(error) = photograph(file.folder(), &self.file) {
                let help = match error {
                    PhotographError::Io(_) | PhotographError::NoFile => {
                        "the path is written from the folder of the case: photographs/front.jpg"
                    }
                    PhotographError::Path(_) | PhotographError::Outside => {
                        "copy the picture into the folder of the case, or below it"
                    }
                };
                return Err(Refusal::Plain(
                    format!("`{}` {error}", self.file),
                    help.to_owned(),
                ));
            }
            let ids = draft.case().ids();
            let there: Vec<&str> = ids.iter().map(|(id, _, _)| *id).collect();
            for id in &self.of {
                if !there.contains(&id.as_str()) {
                    return Err(Refusal::no_such("id", id, &there));
                }
            }
            let mut fields = texts([
                ("file", Some(self.file.clone())),
                ("shows", Some(self.shows)),
                ("light", self.light),
            ]);
            if !self.of.is_empty() {
                fields.push(("of", Field::List(self.of)));
            }
            fields.extend(self.noting.fields(&editor));
            let id = draft.add(Section::Photograph, &fields);
            Ok(added(&id, &self.file))
        })
    }
}
