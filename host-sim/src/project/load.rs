//! Loading: text to tree, tree against schema, tables to the core's show. Whole, or not at all.

use std::path::Path;

use super::check;
use super::errors::LoadErrors;
use super::model::Project;
use super::raw::RawFile;
use super::resolve::{ReadBeside, resolve};
use super::schema::schema;
use super::source::Document;

/// Longest show file that is read, bytes.
const FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Loads the show file at `path`, and the survey CSV beside it when it names one.
///
/// # Errors
/// Every fault that was found; nothing is loaded then.
pub fn load(path: &Path) -> Result<Project, LoadErrors> {
    load_text(path, &read_text(path, &path.display().to_string())?)
}

/// Loads a show from text as if the file at `path` held it: the survey CSV is read beside it.
///
/// # Errors
/// Every fault that was found; nothing is loaded then.
pub fn load_text(path: &Path, text: &str) -> Result<Project, LoadErrors> {
    let folder = path.parent().unwrap_or(Path::new(""));
    build(&path.display().to_string(), text, &|beside| {
        let path = folder.join(beside);
        let name = path.display().to_string();
        read_text(&path, &name).map(|text| (name, text))
    })
}

/// Loads a show file from text; `name` stands in its errors. It reads no other file: a survey CSV is refused.
///
/// # Errors
/// Every fault that was found; nothing is loaded then.
pub fn parse(name: &str, text: &str) -> Result<Project, LoadErrors> {
    build(name, text, &|beside| {
        let what = format!("\"{beside}\" stands in another file, and only the text was given");
        Err(LoadErrors::unreadable(
            name,
            what,
            "load the show from its file, or write the points as `[[survey.point]]`",
        ))
    })
}

fn build(name: &str, text: &str, beside: ReadBeside<'_>) -> Result<Project, LoadErrors> {
    let document = Document::read(name, text)?;
    let faults = check::check(&document, schema());
    if !faults.is_empty() {
        return Err(LoadErrors::new(faults));
    }
    let raw: RawFile = serde_json::from_value(document.root.to_json()).map_err(|e| {
        // Schema and types are made from one source; this is for what neither foresaw.
        LoadErrors::unreadable(
            name,
            format!("the file cannot be read: {e}"),
            "compare it with host-sim/docs/show-file.md",
        )
    })?;
    resolve(&document, &raw, beside)
}

/// Reads a text file with a limit on its size.
pub(super) fn read_text(path: &Path, name: &str) -> Result<String, LoadErrors> {
    let unreadable = |what: String, remedy: &str| LoadErrors::unreadable(name, what, remedy);
    let about = std::fs::metadata(path).map_err(|e| unreadable(format!("cannot be read: {e}"), "check the path"))?;
    if !about.is_file() {
        return Err(unreadable("is not a file".to_owned(), "name a show file that ends in .toml"));
    }
    if about.len() > FILE_BYTES {
        let what = format!("is {} bytes long; the limit is {FILE_BYTES}", about.len());
        return Err(unreadable(what, "is it really a show file?"));
    }
    let bytes = std::fs::read(path).map_err(|e| unreadable(format!("cannot be read: {e}"), "check the path"))?;
    String::from_utf8(bytes).map_err(|e| {
        let what = format!("byte {} is not UTF-8 text", e.utf8_error().valid_up_to());
        unreadable(what, "save it as UTF-8")
    })
}
