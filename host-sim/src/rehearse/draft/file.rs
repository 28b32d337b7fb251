//! The file that a draft is kept in: written whole or not at all, and never over what somebody else wrote.

use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

/// Longest name of a new file, bytes.
const NAME_BYTES: usize = 100;

/// Writes the text over a file, in one step: whoever reads it has the old text or the new one.
///
/// # Errors
/// Words for the page; the file is then as it was.
pub(super) fn write_over(path: &Path, text: &str) -> Result<(), String> {
    let wrong = |e: std::io::Error| format!("{} cannot be written: {e}; nothing was kept", path.display());
    // What a link leads to is written, not the link.
    let path = fs::canonicalize(path).map_err(wrong)?;
    let permissions = fs::metadata(&path).map_err(wrong)?.permissions();
    if permissions.readonly() {
        return Err(format!("{} may not be written: nothing was kept", path.display()));
    }
    let beside = beside(&path);
    let written = create(&beside, text)
        .and_then(|()| fs::set_permissions(&beside, permissions))
        .and_then(|()| fs::rename(&beside, &path));
    written.map_err(|e| {
        // It is ours alone: nothing else has this name.
        let _ = fs::remove_file(&beside);
        wrong(e)
    })
}

/// Writes the text into a new file.
///
/// # Errors
/// Words for the page; a file of that name is left alone.
pub(super) fn write_new(path: &Path, text: &str) -> Result<(), String> {
    create(path, text).map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => format!("there is a {} already: choose another name", path.display()),
        _ => format!("{} cannot be written: {e}", path.display()),
    })
}

/// A new file with the text, or none.
fn create(path: &Path, text: &str) -> std::io::Result<()> {
    let file = OpenOptions::new().write(true).create_new(true).open(path)?;
    let write = |mut file: File| file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    write(file).inspect_err(|_| {
        let _ = fs::remove_file(path);
    })
}

/// A name for what is written beside a file before it takes its place.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}

/// A new file's name, if it is a plain one.
///
/// # Errors
/// Says what a name looks like.
pub(super) fn plain_name(name: &str) -> Result<&str, String> {
    let fits = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.');
    let is_plain = name.len() <= NAME_BYTES
        && name.starts_with(char::is_alphanumeric)
        && name.strip_suffix(".toml").is_some_and(|stem| !stem.ends_with([' ', '.']))
        && name.chars().all(fits);
    let looks = "letters, digits, spaces, - and _, no folder, and .toml at its end: try-2.toml";
    is_plain.then_some(name).ok_or_else(|| format!("a new file's name has {looks}"))
}

#[cfg(test)]
mod tests {
    use super::plain_name;

    #[test]
    fn a_plain_name_leads_nowhere_else() {
        for name in ["a.toml", "Try 2.toml", "show_1-b.v2.toml", "Straße.toml"] {
            assert_eq!(plain_name(name), Ok(name));
        }
        let long = format!("{}.toml", "a".repeat(200));
        let bad = [
            "",
            ".toml",
            "a",
            "a.txt",
            "../x.toml",
            "/etc/x.toml",
            "a/b.toml",
            "a\\b.toml",
            "a\0.toml",
            "x.toml/..",
            ".hidden.toml",
            "-rf.toml",
            "a\n.toml",
            "c:a.toml",
            "a .toml",
            "a..toml",
            "a.toml ",
            "..toml",
            &long,
            "a\u{202e}.toml",
            "a?.toml",
            "~.toml",
            "$HOME.toml",
        ];
        for name in bad {
            assert!(plain_name(name).is_err(), "{name:?}");
        }
    }
}
