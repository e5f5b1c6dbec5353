//! Paths of photographs: from the folder of the case, and never out of it.

use std::path::{Component, Path, PathBuf};

/// Why a photograph cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum PhotographError {
    /// The path is not one within the folder of the case.
    #[error("{0}")]
    Path(String),
    /// A link in it leads out of the folder of the case.
    #[error("leads out of the case's folder, through a link")]
    Outside,
    /// The file cannot be opened.
    #[error("cannot be opened: {0}")]
    Io(#[from] std::io::Error),
    /// It is a folder or something else that is no file.
    #[error("is not a file")]
    NoFile,
}

/// The parts of a path within the folder of a case. It is written with `/` on every system.
///
/// # Errors
/// What is wrong with it, to stand after its name.
pub fn relative(file: &str) -> Result<PathBuf, String> {
    if file.is_empty() {
        return Err("is empty".to_owned());
    }
    if file.chars().any(char::is_control) {
        return Err("holds a control character".to_owned());
    }
    if file.contains('\\') {
        return Err("is written with `\\`; write it with `/`".to_owned());
    }
    // `C:` is a drive on one system and a plain name on another.
    if file.contains(':') {
        return Err("holds a colon, which not every system allows in a name".to_owned());
    }
    let path = Path::new(file);
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::Normal(name) => out.push(name),
            Component::CurDir => {}
            Component::ParentDir => {
                return Err("leads out of the case's folder with `..`".to_owned());
            }
            Component::RootDir | Component::Prefix(_) => {
                return Err("starts at the root; write it from the case's folder".to_owned());
            }
        }
    }
    if out.as_os_str().is_empty() {
        return Err("names no file".to_owned());
    }
    Ok(out)
}

/// The real path of a photograph of a case that lies in `folder`: within that folder after every
/// link was followed, and a file.
///
/// # Errors
/// When the path leaves the folder, or there is no such file.
pub fn photograph(folder: &Path, file: &str) -> Result<PathBuf, PhotographError> {
    let path = folder.join(relative(file).map_err(PhotographError::Path)?);
    let root = folder.canonicalize()?;
    let real = path.canonicalize()?;
    if !real.starts_with(&root) {
        return Err(PhotographError::Outside);
    }
    if !real.is_file() {
        return Err(PhotographError::NoFile);
    }
    Ok(real)
}
