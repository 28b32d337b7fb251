//! Worked numbers in the core's documents: fenced blocks, read as words and numbers.

use std::path::Path;

/// A document of `core/docs`.
pub struct Document {
    text: String,
}

impl Document {
    /// Reads the document of this file name.
    ///
    /// # Panics
    /// When it cannot be read.
    pub fn of_core(name: &str) -> Self {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/docs").join(name);
        Self { text: std::fs::read_to_string(path).expect("the document") }
    }

    /// The lines of one fenced block as words; comments left out.
    ///
    /// # Panics
    /// When there is no such block.
    pub fn block(&self, name: &str) -> Vec<Vec<String>> {
        let start = format!("```{name}\n");
        let body = self.text.split_once(&start).expect("the block").1.split_once("```").expect("its end").0;
        let lines = body.lines().filter(|line| !line.starts_with('#'));
        lines.map(|line| line.split_whitespace().map(str::to_owned).collect()).collect()
    }

    /// The lines of a block that are numbers only.
    pub fn table(&self, name: &str) -> Vec<Vec<f32>> {
        self.block(name).iter().filter_map(|words| words.iter().map(|w| number(w)).collect()).collect()
    }

    /// The numbers of each line of a block that starts with a keyword.
    ///
    /// # Panics
    /// When there is no such line, or it has something else than numbers.
    pub fn all_figures(&self, name: &str, key: &str) -> Vec<Vec<f32>> {
        let lines = self.block(name);
        let found: Vec<Vec<f32>> = lines
            .iter()
            .filter(|words| words.first().is_some_and(|w| w == key))
            .map(|words| words.iter().skip(1).map(|w| number(w).expect("a number")).collect())
            .collect();
        assert!(!found.is_empty(), "the keyword `{key}` in block `{name}`");
        found
    }

    /// The numbers behind a keyword.
    ///
    /// # Panics
    /// As [`Self::all_figures`].
    pub fn figures(&self, name: &str, key: &str) -> Vec<f32> {
        self.all_figures(name, key).swap_remove(0)
    }
}

/// The number that a word is.
fn number(word: &str) -> Option<f32> {
    word.parse().ok()
}

/// Holds a value against its printed form.
///
/// # Panics
/// When they are farther apart than `within`.
pub fn near(value: f32, printed: f32, within: f32) {
    assert!((value - printed).abs() <= within, "{value} is printed as {printed}");
}
