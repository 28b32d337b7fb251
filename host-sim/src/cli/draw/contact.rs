//! The contact sheet: every cue with its intended shots, small.

use std::path::PathBuf;

use underfoot_core::show::{CueId, Mode};

use super::Plan;
use super::pictures::make;
use super::set::Set;
use super::shots::{Wanted, code_of, shots_of, views_of};
use crate::cli::Refusal;
use crate::cli::progress::Progress;
use crate::findings::cue_number;
use crate::project::Project;
use crate::render::contact::{CELL_PX, Cell, Contact, Row};
use crate::render::{Easel, Picture, png, shot};

/// What the sheet is and is not.
const NOTES: [&str; 2] = [
    "Pictures of the plan: the floor in each cue's own mode, props where their moves end.",
    "A staging aid: \"no fault measured\" is no leave to skip the walk-through.",
];

/// Writes the contact sheet of a plan's cues.
///
/// # Errors
/// [`Refusal`] when a scene is too large, a shot gives no view or the file cannot be written.
pub fn write(project: &Project, plan: &Plan, wanted: Wanted) -> Result<Vec<PathBuf>, Refusal> {
    make(&plan.folder)?;
    let cues: Vec<(Mode, CueId)> = plan.views.iter().filter_map(|&(mode, cue)| Some((mode, cue?))).collect();
    let path = plan.folder.join("contact.png");
    let progress = Progress::new("drawing", cues.len());
    let sheet = stepped(project, &cues, (wanted, plan.scenic), &|| progress.step())?;
    png::write(&path, png::of_picture(&sheet))?;
    Ok(vec![path])
}

/// The contact sheet of some cues.
///
/// # Errors
/// [`Refusal`] when a scene is too large or a shot gives no view.
pub fn sheet(project: &Project, cues: &[(Mode, CueId)], wanted: Wanted, scenic: bool) -> Result<Picture, Refusal> {
    stepped(project, cues, (wanted, scenic), &|| {})
}

/// The same; `step` is told of each cue that is done.
fn stepped(
    project: &Project,
    cues: &[(Mode, CueId)],
    (wanted, scenic): (Wanted, bool),
    step: &dyn Fn(),
) -> Result<Picture, Refusal> {
    let show = &project.show;
    let mut easel = Easel::new();
    let mut rows = Vec::new();
    for &(mode, id) in cues {
        if let Some(set) = Set::paint(project, &mut easel, (mode, id, scenic))? {
            rows.push(row(&set, project, id, wanted)?);
        }
        step();
    }
    let head = format!("{} · {} · contact sheet", show.title, code_of(show));
    Ok(Contact { head, notes: NOTES.map(String::from).to_vec(), rows }.picture())
}

fn row(set: &Set<'_>, project: &Project, id: CueId, wanted: Wanted) -> Result<Row, Refusal> {
    let mut cells = Vec::new();
    for shot in shots_of(project, id, wanted) {
        let views = views_of(&project.show, shot)?;
        for view in &views {
            let (people, _) = set.people((view, &views), shot::short);
            cells.push(Cell { name: set.shot_words(view), picture: set.picture(view, CELL_PX), people });
        }
    }
    let cue = set.cue();
    let note = if cells.is_empty() { "no intended shots".into() } else { set.when() };
    Ok(Row { name: format!("cue {} {}", cue_number(cue.number), cue.name), note, cells })
}
