//! One cue with its floor painted, and what its cameras see of it.

use underfoot_core::cameras::View;
use underfoot_core::look;
use underfoot_core::show::{Cue, CueId, Mode, Shot, ShotKind, Show};

use super::air;
use super::pictures::bright;
use crate::cli::Refusal;
use crate::findings::cue_number;
use crate::project::{Hot, Project};
use crate::render::shot::{self, Actor, Caption, Figures, Flaw, Measures, Moment, PersonLine, Scene};
use crate::render::{CanvasPixels, Easel, Picture};

/// Width of a picture that people open on a monitor, pixels.
const MONITOR_PX: usize = 1280;

/// One cue with its floor painted.
pub(crate) struct Set<'p> {
    project: &'p Project,
    cue: &'p Cue,
    canvases: Vec<CanvasPixels>,
    content: Option<[u8; 3]>,
    moment: Moment,
    measures: Measures<'p>,
    /// Figures are those of the moment; the worst of the cue otherwise.
    now: bool,
}

/// All canvases of a view at full drive: a monitor is not a floor.
///
/// # Errors
/// [`Refusal`] when a scene is too large.
pub(crate) fn lit(project: &Project, easel: &mut Easel, view: &look::View) -> Result<Vec<CanvasPixels>, Refusal> {
    let bright = bright(&project.show);
    let canvases: Result<Vec<_>, _> = (0..bright.canvases.len()).map(|i| easel.paint(&bright, view, i)).collect();
    canvases.map_err(Refusal::from)
}

/// Which key of a range or a move; nothing for others.
pub(super) fn key_of(shot: Option<&Shot>, view: &View) -> Option<String> {
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
        let canvases = lit(project, easel, &air::view(project, (mode, Some(id)), scenic))?;
        let moment = Moment::at_end(show, cue).map_err(|fault| Refusal(format!("a part has no shape: {fault:?}")))?;
        Ok(Some(Self { now: false, ..Self::of(project, cue, (mode, canvases), moment) }))
    }

    /// A moment of a cue with its floor painted in a mode; figures are those of that moment.
    pub(crate) fn of(
        project: &'p Project,
        cue: &'p Cue,
        (mode, canvases): (Mode, Vec<CanvasPixels>),
        moment: Moment,
    ) -> Self {
        let content = (mode == Mode::Air).then_some(shot::CONTENT);
        Self { project, cue, canvases, content, moment, measures: Measures::of(project, cue), now: true }
    }

    /// The picture alone.
    pub(crate) fn picture(&self, view: &View, width: usize) -> Picture {
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
            let figures = self.figures((view, neighbours), actor);
            flaws.extend(figures.flaws.iter().copied());
            lines(&self.project.show, actor, &figures)
        });
        let mut all: Vec<PersonLine> = all.collect();
        all.sort_by_key(|line| !line.flawed);
        (all, Flaw::ALL.into_iter().filter(|f| flaws.contains(f)).collect())
    }

    /// What was measured of somebody in a shot.
    pub(crate) fn figures(&self, (view, neighbours): (&View, &[View]), actor: &Actor) -> Figures {
        if self.now {
            self.measures.at(view, actor, (self.moment.at_s, &self.moment.solids))
        } else {
            self.measures.person(view, neighbours, actor)
        }
    }

    /// The people of the cue.
    pub(crate) fn actors(&self) -> &[Actor] {
        &self.moment.actors
    }

    /// The picture with its caption.
    pub(super) fn large(&self, (view, neighbours): (&View, &[View]), code: &str) -> Picture {
        let show = &self.project.show;
        let (people, patterns) = self.people((view, neighbours), shot::long);
        let head = format!("{} · {code} · cue {} {}", show.title, cue_number(self.cue.number), self.cue.name);
        let caption =
            Caption { head, shot: self.shot_words(view), notes: self.notes(view).join(" · "), people, patterns };
        caption.below(&self.picture(view, MONITOR_PX))
    }

    /// Shot, camera and focal length.
    pub(crate) fn shot_words(&self, view: &View) -> String {
        let show = &self.project.show;
        let shot = show.shots.get(view.shot.index());
        let camera = show.cameras.get(view.camera.index());
        let key = key_of(shot, view).map_or(String::new(), |key| format!(" {key}"));
        let (shot, camera) = (shot.map_or("", |s| &s.name), camera.map_or("", |c| &c.name));
        format!("{shot}{key} · {camera} · {} mm", view.focal_mm)
    }

    /// What else is to be said of a picture, below it.
    pub(crate) fn notes(&self, view: &View) -> Vec<String> {
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
        notes
    }

    /// The moment of the pictures, in a cue in which something moves.
    pub(super) fn when(&self) -> String {
        if self.now {
            format!("everything as the plan has it at {:.1} s, figures too", self.moment.at_s)
        } else if self.moment.moves {
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
