//! The show as it is being tried: its text is the truth, every change is a change of the text.

pub mod edit;
mod file;
mod steps;

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use serde::Serialize;

use crate::project::{self, Project};
use edit::Change;
use steps::Steps;

/// One state of the show.
#[derive(Debug)]
pub struct Revision {
    /// Goes up with every change, undo and reload.
    pub number: u64,
    /// The show; [`Project::source`] is its text.
    pub project: Project,
    /// Its show code; "----" when it has none because it does not fit the box.
    pub code: String,
}

/// The show that is being tried.
#[derive(Debug)]
pub struct Draft {
    /// Its file; `None` for a demo.
    file: Option<PathBuf>,
    /// Where new files go.
    folder: PathBuf,
    /// What its file held when it was read or written last; a demo's own text.
    kept: Arc<str>,
    changed_on_disk: bool,
    steps: Steps,
    now: Arc<Revision>,
}

/// What everybody is told of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
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
    /// Somebody else has changed the file since it was read or kept.
    pub changed_on_disk: bool,
}

impl Draft {
    /// A show as it was loaded; new files go into the folder in which the command runs.
    pub fn new(project: Project, file: Option<PathBuf>) -> Self {
        let kept = project.source.as_str().into();
        let now = revision(1, project);
        Self { file, folder: PathBuf::new(), kept, changed_on_disk: false, steps: Steps::default(), now }
    }

    /// The same; new files go into another folder.
    #[must_use]
    pub fn in_folder(self, folder: PathBuf) -> Self {
        Self { folder, ..self }
    }

    /// The show as it is now.
    pub fn now(&self) -> Arc<Revision> {
        Arc::clone(&self.now)
    }

    /// What everybody is told.
    pub fn told(&self) -> Told {
        let now = &self.now;
        let (undo, redo) = self.steps.counts();
        Told {
            revision: now.number,
            title: now.project.show.title.to_string(),
            code: now.code.clone(),
            file: self.file.as_ref().map(|path| path.display().to_string()),
            unkept: *self.text() != *self.kept,
            undo,
            redo,
            changed_on_disk: self.changed_on_disk,
        }
    }

    /// Changes the show. Steps of one change that follow each other at once are taken back as one.
    ///
    /// # Errors
    /// Words for the page: the loader's own, where the text would be no show; nothing was changed then.
    pub fn change(&mut self, change: &Change) -> Result<(), String> {
        self.change_at(change, Instant::now())
    }

    /// The same at a moment.
    ///
    /// # Errors
    /// As [`Draft::change`].
    pub fn change_at(&mut self, change: &Change, now: Instant) -> Result<(), String> {
        let text = change.apply(self.text())?;
        if text == self.text() {
            return Ok(());
        }
        let was = self.become_text(&text)?;
        self.steps.made(was, change.subject(), now);
        Ok(())
    }

    /// Takes the last change back.
    ///
    /// # Errors
    /// Words for the page; nothing was changed then.
    pub fn undo(&mut self) -> Result<(), String> {
        let text = self.steps.last().ok_or("there is nothing to undo")?;
        let was = self.become_text(&text)?;
        self.steps.undone(was);
        Ok(())
    }

    /// Makes it again.
    ///
    /// # Errors
    /// Words for the page; nothing was changed then.
    pub fn redo(&mut self) -> Result<(), String> {
        let text = self.steps.next().ok_or("there is nothing to make again")?;
        let was = self.become_text(&text)?;
        self.steps.redone(was);
        Ok(())
    }

    /// Writes the show to its file, or to a new one of that name, which is its file from then on.
    ///
    /// # Errors
    /// Words for the page; nothing was written then.
    pub fn keep(&mut self, name: Option<&str>) -> Result<PathBuf, String> {
        let path = match (name, self.file.clone()) {
            (Some(name), _) => self.keep_as(name)?,
            (None, Some(file)) => self.keep_in(file)?,
            (None, None) => return Err("a demo has no file: give a name that ends in .toml".into()),
        };
        (self.kept, self.changed_on_disk) = (self.text().into(), false);
        Ok(path)
    }

    /// Takes the file as it is now; what was not kept is a step back.
    ///
    /// # Errors
    /// Words for the page: the loader's own, where the file is no show; nothing was changed then.
    pub fn reload(&mut self) -> Result<(), String> {
        let file = self.file.clone().ok_or("a demo has no file: undo takes changes back")?;
        let project = project::load(&file).map_err(|e| e.to_string())?;
        (self.kept, self.changed_on_disk) = (project.source.as_str().into(), false);
        if project.source != self.text() {
            let was = self.text().into();
            self.now = revision(self.now.number + 1, project);
            self.steps.replaced(was);
        }
        Ok(())
    }

    /// The file, and what it has to hold unless somebody else changed it; `None` for a demo.
    pub fn on_disk(&self) -> Option<(PathBuf, Arc<str>)> {
        self.file.clone().map(|file| (file, Arc::clone(&self.kept)))
    }

    /// Somebody looked at the file that had to hold `kept`; true when that is news.
    pub fn saw(&mut self, kept: &Arc<str>, changed: bool) -> bool {
        let is_news = Arc::ptr_eq(kept, &self.kept) && self.changed_on_disk != changed;
        self.changed_on_disk ^= is_news;
        is_news
    }

    fn text(&self) -> &str {
        &self.now.project.source
    }

    /// Loads another text; gives the one that it takes the place of.
    fn become_text(&mut self, text: &str) -> Result<Arc<str>, String> {
        let project = self.load(self.file.as_deref(), text)?;
        let was = self.text().into();
        self.now = revision(self.now.number + 1, project);
        Ok(was)
    }

    /// Loads a text as it was loaded first: beside its file, or from text alone.
    fn load(&self, file: Option<&Path>, text: &str) -> Result<Project, String> {
        let loaded = match file {
            Some(file) => project::load_text(file, text),
            None => project::parse(&self.now.project.path.display().to_string(), text),
        };
        loaded.map_err(|e| e.to_string())
    }

    fn keep_in(&mut self, file: PathBuf) -> Result<PathBuf, String> {
        self.changed_on_disk = !holds(&file, &self.kept);
        if self.changed_on_disk {
            return Err(format!(
                "somebody else changed {} or took it away: nothing was written. Reload takes theirs, and undo brings this \
                 show back; or keep it under another name",
                file.display()
            ));
        }
        if *self.text() == *self.kept {
            return Err(format!("there is nothing to keep: {} has the show as it is", file.display()));
        }
        file::write_over(&file, self.text()).map(|()| file)
    }

    fn keep_as(&mut self, name: &str) -> Result<PathBuf, String> {
        let path = self.folder.join(file::plain_name(name)?);
        // What it reads beside itself has to be there, too.
        let project = self.load(Some(&path), self.text())?;
        file::write_new(&path, self.text())?;
        self.now = revision(self.now.number, project);
        self.file = Some(path.clone());
        Ok(path)
    }
}

/// True when a file holds this text and nothing else.
pub fn holds(file: &Path, text: &str) -> bool {
    std::fs::metadata(file).is_ok_and(|about| about.is_file() && about.len() == text.len() as u64)
        && std::fs::read(file).is_ok_and(|bytes| bytes == text.as_bytes())
}

fn revision(number: u64, project: Project) -> Arc<Revision> {
    let code = crate::cli::pack::pack_of(&project.show).map_or("----".into(), |(_, code)| code.to_string());
    Arc::new(Revision { number, project, code })
}
