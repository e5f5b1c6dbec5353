//! `palinode report`

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::ValueEnum;

use super::Exit;
use super::case::fail::unread;
use super::case::{file as case_file, year};
use super::output::Output;
use super::overlay::with_pack;
use crate::case::CaseFile;
use crate::cite::{self, Style};
use crate::pack::Pack;
use crate::report::{self, Block, Document, Paper, Part, Picture, Request};
use crate::{case, render};

// No doc comment: clap would show it in place of what the subcommand is for.
// Arguments of `report`.
#[derive(clap::Args, Debug)]
pub(super) struct Arguments {
    /// The case file, or its folder
    #[arg(value_name = "CASE.toml")]
    case: PathBuf,
    /// Form of the report; `bib` and `csl-json` are the list of what it cites
    #[arg(long, value_enum, default_value_t = Form::Html)]
    format: Form,
    /// Citation style: Chicago author-date, or ISO 690 numeric
    #[arg(long, value_enum, default_value_t = StyleWord::AuthorDate)]
    style: StyleWord,
    /// Sections, with commas between; all when none is named
    #[arg(long, value_enum, value_delimiter = ',', value_name = "SECTION")]
    sections: Vec<PartWord>,
    /// Size of the paper for printing
    #[arg(long, value_enum, default_value_t = PaperWord::A4)]
    paper: PaperWord,
    /// File to write; standard output when none is named
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Folder to which the figures are written as SVG files, too; Markdown links to them
    #[arg(long, value_name = "DIR")]
    figures: Option<PathBuf>,
    /// A studio's own folder, laid over the corpus
    #[arg(long, value_name = "DIR")]
    kb: Option<PathBuf>,
}

/// Form of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Form {
    /// One page that needs nothing else
    Html,
    /// CommonMark with tables
    Markdown,
    /// The sources as BibLaTeX
    Bib,
    /// The sources as CSL-JSON
    CslJson,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum StyleWord {
    /// Author and year in the text: Chicago, 16th edition
    AuthorDate,
    /// Numbers in the text: ISO 690
    Numeric,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PaperWord {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 in
    Letter,
}

/// A section, by its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct PartWord(Part);

impl ValueEnum for PartWord {
    fn value_variants<'a>() -> &'a [Self] {
        const ALL: [PartWord; 9] = {
            let mut all = [PartWord(Part::Examination); 9];
            let mut k = 0;
            while k < all.len() {
                all[k] = PartWord(Part::ALL[k]);
                k += 1;
            }
            all
        };
        &ALL
    }

    fn to_possible_value(&self) -> Option<clap::builder::PossibleValue> {
        Some(clap::builder::PossibleValue::new(self.0.word()).help(self.0.title()))
    }
}

pub(super) fn run(arguments: &Arguments, output: &mut Output) -> Exit {
    let case_path = case_file(&arguments.case);
    let file = match case::load(&case_path) {
        Ok(file) => file,
        Err(error) => return unread(&error, output),
    };
    with_pack(
        arguments.kb.as_deref(),
        false,
        true,
        output,
        |pack, output| {
            let mut progress = Progress::new();
            let made = made(arguments, &file, pack, &mut progress);
            progress.end();
            let put = made.and_then(|text| match &arguments.output {
                None => {
                    output.text(&text);
                    Ok(())
                }
                Some(path) => {
                    put(path, &case_path, &text).map_err(|message| (message, Exit::Wrong))
                }
            });
            match put {
                Ok(()) => Exit::Answered,
                Err((message, exit)) => {
                    output.error(&message);
                    exit
                }
            }
        },
    )
}

/// The text of the report in the form that was asked for; its figures are written on the way.
///
/// # Errors
/// A message, and how the program ends with it.
fn made(
    arguments: &Arguments,
    file: &CaseFile,
    pack: &Pack,
    progress: &mut Progress,
) -> Result<String, (String, Exit)> {
    let parts: Vec<Part> = if arguments.sections.is_empty() {
        Part::ALL.to_vec()
    } else {
        arguments.sections.iter().map(|it| it.0).collect()
    };
    let request = Request {
        case: &file.case,
        pack,
        now: year(),
        parts: &parts,
        style: match arguments.style {
            StyleWord::AuthorDate => Style::AuthorDate,
            StyleWord::Numeric => Style::Numeric,
        },
    };
    let mut tell = |k: usize, count: usize, id: &str| progress.tell(k, count, id);
    match arguments.format {
        Form::Bib => Ok(cite::biblatex(&report::cited(&request, &mut tell))),
        Form::CslJson => Ok(cite::csl_json(&report::cited(&request, &mut tell))),
        Form::Html | Form::Markdown => {
            let document = report::report(&request, &|path| picture(file, path), &mut tell)
                .map_err(|error| (format!("error: {error}"), Exit::Internal))?;
            if let Some(folder) = &arguments.figures {
                draw(&document, folder).map_err(|message| (message, Exit::Wrong))?;
            }
            Ok(written(&document, arguments))
        }
    }
}

/// A document as HTML or Markdown.
fn written(document: &Document, arguments: &Arguments) -> String {
    if arguments.format == Form::Html {
        let paper = match arguments.paper {
            PaperWord::A4 => Paper::A4,
            PaperWord::Letter => Paper::Letter,
        };
        report::html(document, paper)
    } else {
        let folder = arguments
            .figures
            .as_ref()
            .map(|it| it.display().to_string());
        report::markdown(document, folder.as_deref())
    }
}

/// Opens a photograph of the case; a path that leaves its folder is refused.
fn picture(file: &CaseFile, path: &str) -> Result<Picture, String> {
    let real = case::photograph(file.folder(), path).map_err(|error| error.to_string())?;
    let size = std::fs::metadata(&real)
        .map_err(|error| error.to_string())?
        .len();
    if size > report::LARGEST_PICTURE as u64 {
        // Nothing of it is read: what is too large is told by its size alone.
        return Err(format!(
            "larger than {} megabytes",
            report::LARGEST_PICTURE >> 20
        ));
    }
    let bytes = std::fs::read(real).map_err(|error| error.to_string())?;
    Picture::new(bytes)
}

/// Writes the figures as files.
fn draw(document: &Document, folder: &Path) -> Result<(), String> {
    let failed = |path: &Path, error: &std::io::Error| {
        format!(
            "error: {}: {error}\n  help: name a folder that can be written",
            render::safe(&path.display().to_string())
        )
    };
    std::fs::create_dir_all(folder).map_err(|error| failed(folder, &error))?;
    let figures = document
        .sections
        .iter()
        .flat_map(|section| &section.blocks)
        .filter_map(|block| match block {
            Block::Figure { figure, .. } => Some(figure),
            _ => None,
        });
    for (k, figure) in figures.enumerate() {
        let path = folder.join(format!("figure-{}.svg", k + 1));
        std::fs::write(&path, &figure.svg).map_err(|error| failed(&path, &error))?;
    }
    Ok(())
}

/// Writes the report whole or not at all: beside its place first, then moved there.
fn put(path: &Path, case: &Path, text: &str) -> Result<(), String> {
    let shown = render::safe(&path.display().to_string());
    let same = match (path.canonicalize(), case.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    };
    if same {
        return Err(format!(
            "error: {shown} is the case file itself\n  help: name another file after --output"
        ));
    }
    let failed = |error: std::io::Error| {
        format!("error: {shown}: {error}\n  help: name a file in a folder that can be written")
    };
    if path.is_dir() {
        return Err(format!("error: {shown} is a folder\n  help: name a file"));
    }
    // What is no plain file (a pipe, a device) cannot be replaced.
    if path.exists() && !path.is_file() {
        return std::fs::write(path, text).map_err(failed);
    }
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.new", std::process::id()));
    let beside = path.with_file_name(name);
    std::fs::write(&beside, text)
        .and_then(|()| std::fs::rename(&beside, path))
        .map_err(|error| {
            let _ = std::fs::remove_file(&beside);
            failed(error)
        })
}

/// What is being asked, on a terminal only.
struct Progress {
    shown: bool,
    terminal: bool,
}

impl Progress {
    fn new() -> Self {
        Self {
            shown: false,
            terminal: std::io::stderr().is_terminal(),
        }
    }

    fn tell(&mut self, k: usize, count: usize, id: &str) {
        if self.terminal {
            let mut out = std::io::stderr().lock();
            let _ = write!(out, "\r\u{1b}[Kasking {k} of {count} {}", render::safe(id));
            let _ = out.flush();
            self.shown = true;
        }
    }

    fn end(&mut self) {
        if self.shown {
            let _ = write!(std::io::stderr().lock(), "\r\u{1b}[K");
            self.shown = false;
        }
    }
}
