//! `palinode case show`

use std::path::Path;

use super::fail;
use crate::cli::output::Output;
use crate::cli::{Exit, Form};
use crate::{case, render};

pub(super) fn run(path: &Path, form: Form, output: &mut Output) -> Exit {
    match case::load(path) {
        Ok(file) => {
            match form {
                Form::Table => output.text(&render::case(&file.case, Output::columns())),
                Form::Text => output.text(&render::case(&file.case, u16::MAX)),
                Form::Json => output.text(&format!(
                    "{}\n",
                    render::data(&render::case_json(&file.case))
                )),
            }
            Exit::Answered
        }
        Err(error) => fail::unread(&error, output),
    }
}
