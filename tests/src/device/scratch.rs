//! A folder for one emulator run, removed afterwards.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::{env, fs, process};

/// A fresh folder.
#[derive(Debug)]
pub struct Scratch(PathBuf);

static COUNT: AtomicU32 = AtomicU32::new(0);

impl Scratch {
    /// Makes the folder.
    ///
    /// # Panics
    /// When there is no room for it.
    pub fn new() -> Self {
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = env::temp_dir().join(format!("underfoot-{}-{number}", process::id()));
        fs::create_dir_all(&path).expect("a folder for temporary files");
        Self(path)
    }

    /// Its path.
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Default for Scratch {
    fn default() -> Self {
        Self::new()
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}
