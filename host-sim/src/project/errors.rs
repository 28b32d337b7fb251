//! What is wrong with a show file, and where.

use std::fmt;

/// One fault of a show file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadError {
    /// The file, as it was named.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// The text that is wrong (its first line).
    pub value: String,
    /// What is wrong with it.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
    /// The whole line of the file.
    pub source_line: String,
}

/// Every fault found in a show file, in the order of its lines; never empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadErrors {
    errors: Vec<LoadError>,
}

/// Faults that are printed in full; the rest are counted.
const SHOWN: usize = 20;
/// Longest part of a source line that is printed, in characters.
const LINE_CHARS: usize = 110;

impl LoadErrors {
    pub(super) fn new(mut errors: Vec<LoadError>) -> Self {
        errors.sort_by_key(|error| (error.line, error.column));
        errors.dedup();
        Self { errors }
    }

    pub(super) fn unreadable(file: &str, what: String, remedy: &str) -> Self {
        Self::new(vec![LoadError {
            file: file.to_owned(),
            line: 1,
            column: 1,
            value: String::new(),
            what,
            remedy: remedy.to_owned(),
            source_line: String::new(),
        }])
    }

    /// The faults, in the order of their lines.
    pub fn iter(&self) -> std::slice::Iter<'_, LoadError> {
        self.errors.iter()
    }

    /// How many there are.
    #[expect(clippy::len_without_is_empty, reason = "an error without a fault is never made")]
    pub fn len(&self) -> usize {
        self.errors.len()
    }
}

impl<'a> IntoIterator for &'a LoadErrors {
    type Item = &'a LoadError;
    type IntoIter = std::slice::Iter<'a, LoadError>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl fmt::Display for LoadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}:{}:{}: {}", self.file, self.line, self.column, self.what)?;
        if !self.source_line.trim().is_empty() {
            let gutter = format!("{:>5} | ", self.line);
            // A caret under a tab would be misplaced: print a space for it.
            let shown: String =
                self.source_line.chars().take(LINE_CHARS).map(|c| if c.is_control() { ' ' } else { c }).collect();
            writeln!(f, "{gutter}{shown}")?;
            if self.column <= LINE_CHARS {
                let room = LINE_CHARS - self.column + 1;
                let carets = self.value.chars().count().clamp(1, room);
                writeln!(f, "      | {}{}", " ".repeat(self.column - 1), "^".repeat(carets))?;
            }
        }
        write!(f, "      = {}", self.remedy)
    }
}

impl fmt::Display for LoadErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for error in self.errors.iter().take(SHOWN) {
            writeln!(f, "{error}")?;
        }
        if self.errors.len() > SHOWN {
            writeln!(f, "and {} more", self.errors.len() - SHOWN)?;
        }
        let plural = if self.errors.len() == 1 { "fault" } else { "faults" };
        write!(f, "{} {plural}; nothing was loaded", self.errors.len())
    }
}

impl std::error::Error for LoadError {}
impl std::error::Error for LoadErrors {}
