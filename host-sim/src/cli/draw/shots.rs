//! Pictures of what cameras see, and the contact sheet of them.

use std::path::PathBuf;

use underfoot_core::cameras::{View, shots};
use underfoot_core::show::{CueId, Mode, ShotId, ShotKind, Show};

use super::Plan;
use super::pictures::{make, stem, word};
use super::set::{Set, key_of};
use crate::cli::Refusal;
use crate::cli::pack::pack_of;
use crate::cli::progress::Progress;
use crate::project::Project;
use crate::render::{Easel, Picture, png};

/// Which shots are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// The intended shots of every cue.
    Intended,
    /// One shot in every cue.
    One(ShotId),
}

/// Writes every picture of a plan and returns their paths, in their order.
///
/// # Errors
/// [`Refusal`] when a scene is too large, a shot gives no view or a file cannot be written.
pub fn write(project: &Project, plan: &Plan, wanted: Wanted) -> Result<Vec<PathBuf>, Refusal> {
    make(&plan.folder)?;
    let code = code_of(&project.show);
    let mut easel = Easel::new();
    let cues: Vec<(Mode, CueId)> = plan.views.iter().filter_map(|&(mode, cue)| Some((mode, cue?))).collect();
    let progress = Progress::new("drawing", cues.iter().map(|&(_, id)| shots_of(project, id, wanted).len()).sum());
    let mut written = Vec::new();
    for (mode, id) in cues {
        let wanted = shots_of(project, id, wanted);
        if wanted.is_empty() {
            continue;
        }
        let Some(set) = Set::paint(project, &mut easel, (mode, id, plan.scenic))? else { continue };
        for shot in wanted {
            let views = views_of(&project.show, shot)?;
            for view in &views {
                let path = plan.folder.join(file(&project.show, (mode, id), view));
                png::write(&path, png::of_picture(&set.large((view, &views), &code)))?;
                written.push(path);
            }
            progress.step();
        }
    }
    Ok(written)
}

/// The picture of one shot in one cue with its caption, as it is written; the first key of a shot with several.
///
/// # Errors
/// [`Refusal`] when there is no such cue or shot, or it has no picture.
pub fn picture(project: &Project, (mode, cue): (Mode, CueId), shot: &str) -> Result<Picture, Refusal> {
    let show = &project.show;
    let missing = || Refusal(format!("no picture of shot \"{shot}\" in that cue"));
    let id = show.shots.iter().position(|s| s.name == shot).ok_or_else(missing)?;
    let views = views_of(show, ShotId(id as u8))?;
    let set = Set::paint(project, &mut Easel::new(), (mode, cue, false))?.ok_or_else(missing)?;
    let first = views.first().ok_or_else(missing)?;
    Ok(set.large((first, &views), &code_of(show)))
}

/// The show code as it is printed on pictures.
pub(super) fn code_of(show: &Show) -> String {
    pack_of(show).map_or("----".into(), |(_, code)| code.to_string())
}

pub(super) fn shots_of(project: &Project, cue: CueId, wanted: Wanted) -> Vec<ShotId> {
    match wanted {
        Wanted::One(shot) => vec![shot],
        Wanted::Intended => {
            project.show.cues.get(cue.index()).map_or(Vec::new(), |cue| project.show.shots_in(cue).to_vec())
        }
    }
}

/// One view of a preset or live shot; one for each key of a range or a move.
///
/// # Errors
/// [`Refusal`] names the shot that gives no view.
pub(crate) fn views_of(show: &Show, id: ShotId) -> Result<Vec<View>, Refusal> {
    let Some(shot) = show.shots.get(id.index()) else { return Ok(Vec::new()) };
    let keys = shot.keys.of(&show.shot_keys);
    let times: Vec<f32> = match shot.kind {
        ShotKind::Preset | ShotKind::Live => vec![0.0],
        ShotKind::Range => (0..keys.len()).map(|i| i as f32).collect(),
        ShotKind::Move => keys.iter().map(|key| key.at_s).collect(),
    };
    let view = |at_s| {
        let refused = |fault| Refusal(format!("shot \"{}\" has no picture: {fault:?}", shot.name));
        shots::view_at(show, id, at_s).map_err(refused)
    };
    times.into_iter().map(view).collect()
}

fn file(show: &Show, (mode, cue): (Mode, CueId), view: &View) -> String {
    let shot = show.shots.get(view.shot.index());
    let name = shot.map_or(String::new(), |s| word(&s.name));
    let key = key_of(shot, view).map_or(String::new(), |key| format!("-{}", word_of_key(&key)));
    format!("{}-shot-{name}{key}.png", stem(show, mode, Some(cue)))
}

/// "at 12.0 s" as a part of a file's name.
fn word_of_key(key: &str) -> String {
    key.trim_start_matches("at ").replace(' ', "")
}
