//! Where each item of a show stands in the text of its file.

use std::collections::HashMap;

/// A place in the text of a show file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file, as it was named.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}:{}", self.file, self.line, self.column)
    }
}

/// Where the items of all lists of a show stand. Lists are named like the fields of
/// [`underfoot_core::show::Show`]: "props", "cue_places", "look".
#[derive(Clone, Debug, Default)]
pub struct ItemPlaces {
    file: String,
    places: HashMap<(&'static str, usize), (usize, usize)>,
}

impl ItemPlaces {
    pub(super) fn new(file: &str) -> Self {
        Self { file: file.to_owned(), places: HashMap::new() }
    }

    pub(super) fn put(&mut self, list: &'static str, index: usize, line_column: (usize, usize)) {
        self.places.insert((list, index), line_column);
    }

    /// Where item `index` of `list` is written; `None` for what the file does not write out.
    pub fn of(&self, list: &str, index: usize) -> Option<Place> {
        // The map's keys are static; look the list up by value.
        let list = super::resolve::LISTS.into_iter().find(|&known| known == list)?;
        let &(line, column) = self.places.get(&(list, index))?;
        Some(Place { file: self.file.clone(), line, column })
    }
}
