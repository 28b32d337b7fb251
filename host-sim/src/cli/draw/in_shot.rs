//! In-shot zones of a cue's people, for the floor and in words.

use underfoot_core::cameras::framing::{framing, is_in_passing};
use underfoot_core::cameras::surfaces::Surfaces;
use underfoot_core::cameras::{Framing, Solid, View, shots};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::{Ground, Level, Reach, keepout};
use underfoot_core::show::{Cue, CuePlace, PersonClass, Show, Who};
use underfoot_core::zones::{self, Bound, Judge, Outline, OutlineRing, Piece, Zone, ZoneStore};

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
/// Said of a cue without shots.
pub(crate) const NO_SHOTS: &str = "no intended shots, so no in-shot zones";

/// What has to hold for one person in one cue.
struct Case<'p> {
    project: &'p Project,
    cue: &'p Cue,
    class: &'p PersonClass,
    actor: Actor,
    views: Vec<View>,
}

/// The in-shot zone of one person in one cue.
pub(crate) struct InShot {
    /// Who, on their mark.
    pub(crate) actor: Actor,
    /// What was found.
    pub(crate) found: Found,
}

/// What was found of a zone.
pub(crate) enum Found {
    /// No intended shot is about the person.
    NoShot,
    /// There is none, or only the mark itself; what fights there, in words.
    Empty(String),
    /// There is one.
    Zone {
        /// Its outline: the outer ring, then its holes, each point with what bounds the side from there to the next.
        rings: Vec<Vec<(StagePoint, Bound)>>,
        /// The sides of the outer ring by the way they face.
        edges: Vec<Edge>,
        /// How large it is and where the mark is in it.
        piece: Piece,
    },
}

/// The zones of everybody whom a cue with intended shots places.
///
/// # Errors
/// [`Refusal`] when a zone cannot be traced.
pub(crate) fn zones(project: &Project, cue: &Cue) -> Result<Vec<InShot>, Refusal> {
    let places = project.show.places_in(cue).iter();
    places.filter_map(|place| Case::of(project, cue, place)).map(Case::zone).collect()
}

/// Adds the zones of everybody whom a cue places.
///
/// # Errors
/// [`Refusal`] when a zone cannot be traced.
pub(super) fn add(project: &Project, cue: &Cue, brief: &mut Brief) -> Result<(), Refusal> {
    if project.show.shots_in(cue).is_empty() {
        brief.lines.push(Line::plain(NO_SHOTS));
        return Ok(());
    }
    brief.lines.push(Line::plain("thin outlines with signs: in-shot zones, about pictures only"));
    zones(project, cue)?.into_iter().for_each(|zone| zone.add(brief));
    Ok(())
}

impl InShot {
    /// What is to be said of it: "in-shot zone 2.31 m²; US side: DOME paints over (1-WIDE)".
    pub(crate) fn words(&self) -> String {
        match &self.found {
            Found::NoShot => "no intended shot is about them, so no in-shot zone".into(),
            Found::Empty(words) => words.clone(),
            Found::Zone { edges, piece, .. } => sides(piece, edges),
        }
    }

    fn add(self, brief: &mut Brief) {
        let (head, who) = (format!("{} at {}", self.actor.name, self.actor.mark), self.actor.who);
        brief.lines.push(Line { who: Some(who), words: format!("{head}: {}", self.words()) });
        if let Found::Zone { rings, edges, .. } = self.found {
            let points = |ring: Vec<(StagePoint, Bound)>| ring.into_iter().map(|(point, _)| point).collect();
            brief.over.push(Over::Zone { rings: rings.into_iter().map(points).collect(), who });
            let named = edges.into_iter().filter(|e| e.length_m >= NAMED_M);
            brief.labels.extend(named.map(|edge| label(edge, who)));
        }
    }
}

/// The words beside one side.
fn label(edge: Edge, who: Who) -> Label {
    let (middle, out) = edge.middle;
    Label { at: middle + out * BESIDE_M, line: Line { who: Some(who), words: edge.words }, ..Label::default() }
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

    fn zone(self) -> Result<InShot, Refusal> {
        let found = if self.views.is_empty() { Found::NoShot } else { self.found()? };
        Ok(InShot { actor: self.actor, found })
    }

    fn found(&self) -> Result<Found, Refusal> {
        let mut outline = Box::new(Outline::<{ limits::ZONE_POINTS }>::new());
        Ok(match self.trace(&mut outline)? {
            Zone::Empty { fighting, mark_works } => {
                let all: Vec<String> = fighting.iter().map(|bound| bounds::words(self.project, bound)).collect();
                let what = if mark_works { "only the mark itself works, NO room to spare" } else { "NO in-shot zone" };
                Found::Empty(format!("{what}: {}", all.join(" against ")))
            }
            Zone::Piece(piece) => {
                let pairs =
                    |ring: OutlineRing<'_>| ring.points.iter().copied().zip(ring.bounds.iter().copied()).collect();
                let edges = outline.ring(0).map_or(Vec::new(), |ring| bounds::edges(self.project, &ring));
                Found::Zone { rings: outline.rings().map(pairs).collect(), edges, piece }
            }
        })
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
