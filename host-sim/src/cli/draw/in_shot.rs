//! In-shot zones of a cue's people, for the floor and in words.

use underfoot_core::cameras::framing::{framing, is_in_passing};
use underfoot_core::cameras::surfaces::Surfaces;
use underfoot_core::cameras::{Framing, Solid, View, shots};
use underfoot_core::limits;
use underfoot_core::props::{Ground, Level, Reach, keepout};
use underfoot_core::show::{Cue, CuePlace, PersonClass, Show};
use underfoot_core::zones::{self, Judge, Outline, Piece, Zone, ZoneStore};

use super::bounds::{self, Edge};
use super::pictures::Brief;
use crate::cli::Refusal;
use crate::project::Project;
use crate::render::Over;
use crate::render::frame::{Label, Line};
use crate::render::shot::{Actor, actor, moments};

/// Keep-outs of one cue.
const KEEPOUTS: usize = limits::PARTS + limits::PHYSICALS;
/// A side shorter than this is not named on the floor, metres.
const NAMED_M: f32 = 0.4;
/// From an outline to the words beside it, metres.
const BESIDE_M: f32 = 0.10;

/// What has to hold for one person in one cue.
struct Case<'p> {
    project: &'p Project,
    cue: &'p Cue,
    class: &'p PersonClass,
    actor: Actor,
    views: Vec<View>,
}

/// Adds the zones of everybody whom a cue places.
///
/// # Errors
/// [`Refusal`] when a zone cannot be traced.
pub(super) fn add(project: &Project, cue: &Cue, brief: &mut Brief) -> Result<(), Refusal> {
    let show = &project.show;
    if show.shots_in(cue).is_empty() {
        brief.lines.push(Line::plain("no intended shots, so no in-shot zones"));
        return Ok(());
    }
    brief.lines.push(Line::plain("thin outlines with signs: in-shot zones, about pictures only"));
    for place in show.places_in(cue) {
        if let Some(case) = Case::of(project, cue, place) {
            case.add(brief)?;
        }
    }
    Ok(())
}

impl<'p> Case<'p> {
    fn of(project: &'p Project, cue: &'p Cue, place: &CuePlace) -> Option<Self> {
        let show = &project.show;
        let actor = actor(show, place)?;
        let class = show.classes.get(show.people.get(place.person.index())?.class.index())?;
        let mut views = Vec::new();
        for &shot in show.shots_in(cue) {
            // A shot without views has no pictures to be in.
            let _ = shots::views(show, shot, &mut |view| views.push(view));
        }
        let views = zones::about(&views, &actor.body).filter(|view| counts(show, view, &actor)).cloned().collect();
        Some(Self { project, cue, class, actor, views })
    }

    fn add(&self, brief: &mut Brief) -> Result<(), Refusal> {
        let head = format!("{} at {}", self.actor.name, self.actor.mark);
        let line = |words: String| Line { who: Some(self.actor.who), words: format!("{head}: {words}") };
        if self.views.is_empty() {
            brief.lines.push(line("no intended shot is about them, so no in-shot zone".into()));
            return Ok(());
        }
        let mut outline = Box::new(Outline::<{ limits::ZONE_POINTS }>::new());
        match self.trace(&mut outline)? {
            Zone::Empty { fighting, mark_works } => {
                let all: Vec<String> = fighting.iter().map(|bound| bounds::words(self.project, bound)).collect();
                let what = if mark_works { "only the mark itself works, NO room to spare" } else { "NO in-shot zone" };
                brief.lines.push(line(format!("{what}: {}", all.join(" against "))));
            }
            Zone::Piece(piece) => {
                let rings = outline.rings().map(|ring| ring.points.to_vec()).collect();
                brief.over.push(Over::Zone { rings, who: self.actor.who });
                let edges = outline.ring(0).map_or(Vec::new(), |ring| bounds::edges(self.project, &ring));
                brief.lines.push(line(sides(&piece, &edges)));
                let named = edges.into_iter().filter(|e| e.length_m >= NAMED_M);
                brief.labels.extend(named.map(|edge| self.label(edge)));
            }
        }
        Ok(())
    }

    /// The words beside one side.
    fn label(&self, edge: Edge) -> Label {
        let (middle, out) = edge.middle;
        let line = Line { who: Some(self.actor.who), words: edge.words };
        Label { at: middle + out * BESIDE_M, line, ..Label::default() }
    }

    fn trace(&self, outline: &mut Outline<{ limits::ZONE_POINTS }>) -> Result<Zone, Refusal> {
        let show: &Show = &self.project.show;
        let refused = |why: String| Refusal(format!("no in-shot zone of {}: {why}", self.actor.name));
        let reach = Reach::of(show, self.class, Level::Hard);
        let keepouts = keepout::of_cue::<KEEPOUTS>(show, self.cue, &reach).map_err(|e| refused(format!("{e:?}")))?;
        let ground = Ground::new(&show.floor, &show.entries, &keepouts).map_err(|e| refused(format!("{e:?}")))?;
        let moments = moments(self.project, self.cue, &self.actor);
        let moments: Vec<&[Solid]> = moments.iter().map(|(_, solids)| solids.as_slice()).collect();
        let surfaces = Surfaces::of(show);
        let (class, views) = (self.class, &self.views);
        let judge = Judge { show, ground: &ground, class, views, moments: &moments, surfaces: &surfaces };
        let mut store = Box::new(ZoneStore::new());
        zones::trace(&judge, self.actor.body.at, &mut store, outline).map_err(|e| refused(format!("{e:?}")))
    }
}

/// False for a view that cuts somebody in passing, which is no fault: it need not hold them.
fn counts(show: &Show, view: &View, actor: &Actor) -> bool {
    match framing(view, &actor.body).state {
        Framing::Cut(side) => !show.shots.get(view.shot.index()).is_some_and(|shot| is_in_passing(shot, side)),
        _ => true,
    }
}

/// "in-shot zone 2.31 m²; US side: DOME paints over (1-WIDE)".
fn sides(piece: &Piece, edges: &[Edge]) -> String {
    let mut words = vec![format!("in-shot zone {:.2} m²", piece.area_m2)];
    match (piece.holds_mark, piece.mark_works) {
        (true, _) => {}
        (false, true) => words[0] += ", and the mark works but has no room to spare",
        (false, false) => words[0] += ", and the mark is OUTSIDE it",
    }
    words.extend(edges.iter().map(|edge| format!("{}: {}", edge.side, edge.words)));
    words.join("; ")
}
