//! Where the lines of earlier sessions are kept.

use std::path::{Path, PathBuf};

use super::editor::Editor;

/// The file of the history: what `PALINODE_HISTORY` names, else one in the user's data folder.
/// `None` when it is switched off, or when there is no such folder.
pub(super) fn file() -> Option<PathBuf> {
    let own = std::env::var_os("PALINODE_HISTORY");
    if let Some(own) = own {
        return (!own.is_empty()).then(|| PathBuf::from(own));
    }
    // A relative folder is to be ignored, as the specification of base directories says.
    let absolute = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
    };
    let data = absolute("XDG_DATA_HOME")
        .or_else(|| absolute("HOME").map(|home| home.join(".local/share")))?;
    Some(data.join("palinode").join("history"))
}

/// Reads the history. A file that is not there yet is made, so that a folder that cannot be written
/// is noticed before anything was typed.
pub(super) fn load(editor: &mut Editor, file: &Path) -> Result<(), String> {
    if file.is_file() {
        return editor
            .load_history(file)
            .map_err(|error| format!("cannot read {}: {error}", shown(file)));
    }
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder)
            .map_err(|error| format!("cannot make {}: {error}", shown(folder)))?;
    }
    save(editor, file)
}

/// Adds what is new to the file. The editor makes it readable by its owner only.
pub(super) fn save(editor: &mut Editor, file: &Path) -> Result<(), String> {
    editor
        .append_history(file)
        .map_err(|error| format!("cannot write {}: {error}", shown(file)))
}

fn shown(path: &Path) -> String {
    crate::render::safe(&path.display().to_string())
}
