//! The show as it is being tried: its text is the truth, every change is a change of the text.

pub mod edit;

use std::path::PathBuf;
use std::sync::Arc;

use serde::Serialize;

use crate::project::{self, Project};
use edit::Change;

/// One state of the show.
#[derive(Debug)]
pub struct Revision {
    /// Goes up with every change, undo and reload.
    pub number: u64,
    /// The show.
    pub project: Project,
    /// Its show code; "----" when it has none because it does not fit the box.
    pub code: String,
}

/// The show that is being tried.
#[derive(Debug)]
pub struct Draft {
    /// Its file; `None` for a demo.
    file: Option<PathBuf>,
    now: Arc<Revision>,
}

/// What everybody is told of it.
#[derive(Clone, Debug, Serialize)]
pub struct Told {
    /// Number of the revision.
    pub revision: u64,
    /// Title of the show.
    pub title: String,
    /// Its code.
    pub code: String,
    /// Its file, as it was named.
    pub file: Option<String>,
    /// Changes that are not in the file.
    pub unkept: bool,
    /// Changes that can be taken back.
    pub undo: usize,
    /// Changes that can be made again.
    pub redo: usize,
}

impl Draft {
    /// A show as it was loaded.
    pub fn new(project: Project, file: Option<PathBuf>) -> Self {
        let code = code_of(&project);
        Self { file, now: Arc::new(Revision { number: 1, project, code }) }
    }

    /// The show as it is now.
    pub fn now(&self) -> Arc<Revision> {
        Arc::clone(&self.now)
    }

    /// What everybody is told.
    pub fn told(&self) -> Told {
        let now = &self.now;
        Told {
            revision: now.number,
            title: now.project.show.title.to_string(),
            code: now.code.clone(),
            file: self.file.as_ref().map(|path| path.display().to_string()),
            unkept: false,
            undo: 0,
            redo: 0,
        }
    }

    /// # Errors
    /// Words for the page.
    pub fn change(&mut self, _change: &Change) -> Result<(), String> {
        Err("not yet".into())
    }

    /// # Errors
    /// Words for the page.
    pub fn undo(&mut self) -> Result<(), String> {
        Err("not yet".into())
    }

    /// # Errors
    /// Words for the page.
    pub fn redo(&mut self) -> Result<(), String> {
        Err("not yet".into())
    }

    /// # Errors
    /// Words for the page.
    pub fn keep(&mut self, _name: Option<&str>) -> Result<PathBuf, String> {
        Err("not yet".into())
    }

    /// # Errors
    /// Words for the page.
    pub fn reload(&mut self) -> Result<(), String> {
        let file = self.file.as_ref().ok_or("a demo has no file")?;
        let project = project::load(file).map_err(|e| e.to_string())?;
        let code = code_of(&project);
        self.now = Arc::new(Revision { number: self.now.number + 1, project, code });
        Ok(())
    }
}

fn code_of(project: &Project) -> String {
    crate::cli::pack::pack_of(&project.show).map_or("----".into(), |(_, code)| code.to_string())
}
