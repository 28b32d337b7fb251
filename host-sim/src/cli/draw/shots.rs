//! Pictures of what cameras see, and the contact sheet of them.

use std::path::PathBuf;

use underfoot_core::cameras::{View, shots};
use underfoot_core::show::{Cue, CueId, Mode, Shot, ShotId, ShotKind, Show};

use super::pictures::{bright, make, stem, word};
use super::{Plan, air};
use crate::cli::Refusal;
use crate::cli::pack::pack_of;
use crate::cli::progress::Progress;
use crate::findings::cue_number;
use crate::project::{Hot, Project};
use crate::render::shot::{self, Actor, Caption, Figures, Flaw, Measures, Moment, PersonLine, Scene};
use crate::render::{CanvasPixels, Easel, Picture, png};

/// Width of a picture that people open on a monitor, pixels.
const MONITOR_PX: usize = 1280;

/// Which shots are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// The intended shots of every cue.
    Intended,
    /// One shot in every cue.
    One(ShotId),
}

/// One cue with its floor painted.
pub(super) struct Set<'p> {
    project: &'p Project,
    cue: &'p Cue,
    canvases: Vec<CanvasPixels>,
    content: Option<[u8; 3]>,
    moment: Moment,
    measures: Measures<'p>,
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
pub(super) fn views_of(show: &Show, id: ShotId) -> Result<Vec<View>, Refusal> {
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

/// Which key of a range or a move; nothing for others.
fn key_of(shot: Option<&Shot>, view: &View) -> Option<String> {
    match shot?.kind {
        ShotKind::Range => Some(format!("key {:.0}", view.at_s + 1.0)),
        ShotKind::Move => Some(format!("at {:.1} s", view.at_s)),
        ShotKind::Preset | ShotKind::Live => None,
    }
}

impl<'p> Set<'p> {
    /// Paints the floor of a cue at full drive; `None` for a cue that the show does not have.
    ///
    /// # Errors
    /// [`Refusal`] when a scene is too large.
    pub(super) fn paint(
        project: &'p Project,
        easel: &mut Easel,
        (mode, id, scenic): (Mode, CueId, bool),
    ) -> Result<Option<Self>, Refusal> {
        let show = &project.show;
        let Some(cue) = show.cues.get(id.index()) else { return Ok(None) };
        let (lit, view) = (bright(show), air::view(project, (mode, Some(id)), scenic));
        let canvases: Result<Vec<_>, _> = (0..show.canvases.len()).map(|i| easel.paint(&lit, &view, i)).collect();
        let moment = Moment::at_end(show, cue).map_err(|fault| Refusal(format!("a part has no shape: {fault:?}")))?;
        let content = (mode == Mode::Air).then_some(shot::CONTENT);
        Ok(Some(Self { project, cue, canvases: canvases?, content, moment, measures: Measures::of(project, cue) }))
    }

    /// The picture alone.
    pub(super) fn picture(&self, view: &View, width: usize) -> Picture {
        let scene = Scene {
            show: &self.project.show,
            canvases: &self.canvases,
            content: self.content,
            moment: &self.moment,
            view,
        };
        scene.picture(width)
    }

    /// What was measured of everybody in a shot, the worst first.
    pub(super) fn people(
        &self,
        (view, neighbours): (&View, &[View]),
        lines: fn(&Show, &Actor, &Figures) -> Vec<PersonLine>,
    ) -> (Vec<PersonLine>, Vec<Flaw>) {
        let mut flaws = Vec::new();
        let all = self.moment.actors.iter().flat_map(|actor| {
            let figures = self.measures.person(view, neighbours, actor);
            flaws.extend(figures.flaws.iter().copied());
            lines(&self.project.show, actor, &figures)
        });
        let mut all: Vec<PersonLine> = all.collect();
        all.sort_by_key(|line| !line.flawed);
        (all, Flaw::ALL.into_iter().filter(|f| flaws.contains(f)).collect())
    }

    /// The picture with its caption.
    fn large(&self, (view, neighbours): (&View, &[View]), code: &str) -> Picture {
        let show = &self.project.show;
        let (people, patterns) = self.people((view, neighbours), shot::long);
        let head = format!("{} · {code} · cue {} {}", show.title, cue_number(self.cue.number), self.cue.name);
        let caption = Caption { head, shot: self.shot_words(view), notes: self.notes(view), people, patterns };
        caption.below(&self.picture(view, MONITOR_PX))
    }

    /// Shot, camera and focal length.
    pub(super) fn shot_words(&self, view: &View) -> String {
        let show = &self.project.show;
        let shot = show.shots.get(view.shot.index());
        let camera = show.cameras.get(view.camera.index());
        let key = key_of(shot, view).map_or(String::new(), |key| format!(" {key}"));
        let (shot, camera) = (shot.map_or("", |s| &s.name), camera.map_or("", |c| &c.name));
        format!("{shot}{key} · {camera} · {} mm", view.focal_mm)
    }

    fn notes(&self, view: &View) -> String {
        let show = &self.project.show;
        let mut notes = vec![format!("holds people to the {}", shot::lower_word(view.lower_line))];
        notes.extend(self.hot_words(view).map(String::from));
        if view.person_matte {
            notes.push("people are held out of overlays".into());
        }
        if !show.shots_in(self.cue).contains(&view.shot) {
            notes.push("not an intended shot of this cue".into());
        }
        notes.extend(Some(self.when()).filter(|w| !w.is_empty()));
        notes.join(" · ")
    }

    /// The moment of the pictures, in a cue in which something moves.
    pub(super) fn when(&self) -> String {
        if self.moment.moves {
            format!("props as they stand at {:.1} s; figures are the worst of the cue", self.moment.at_s)
        } else {
            String::new()
        }
    }

    /// The cue.
    pub(super) fn cue(&self) -> &'p Cue {
        self.cue
    }

    fn hot_words(&self, view: &View) -> Option<&'static str> {
        let camera = self.project.show.cameras.get(view.camera.index())?;
        Some(match (self.project.show.control.hot, camera.recorded) {
            (Hot::All, true) => "always hot, recorded",
            (Hot::All, false) => "always hot",
            (Hot::ProgramPreviewRecorded, true) => "recorded, so always hot",
            _ => "hot on program and preview",
        })
    }
}
