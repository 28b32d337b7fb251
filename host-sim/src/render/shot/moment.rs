//! What stands on the stage in one cue, at one moment.

use underfoot_core::cameras::{self, Body, Solid, SolidsError, solids};
use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::props::motion;
use underfoot_core::show::{Cue, CuePlace, Presence, Show};
use underfoot_core::walk::Path;

use super::people::Actor;
use crate::project::Project;

/// People and props of a cue at a moment.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Seconds since the cue began.
    pub at_s: f32,
    /// True when a prop of the cue comes or moves.
    pub moves: bool,
    /// Parts of props that are in the picture by the end of the cue.
    pub solids: Vec<Solid>,
    /// People: on their marks, or where they are then.
    pub actors: Vec<Actor>,
}

impl Moment {
    /// The end of a cue's keyed moves, when everything that goes somewhere has arrived. What goes for ever is where
    /// it is then.
    ///
    /// # Errors
    /// [`SolidsError`] for a part whose shape cannot be used.
    pub fn at_end(show: &Show, cue: &Cue) -> Result<Self, SolidsError> {
        let states = show.props_in(cue);
        let ends = states.iter().filter_map(|state| motion::lasts_s(show, state));
        let coming = states.iter().filter(|s| s.presence == Presence::Coming).map(|s| s.coming_ms as f32 / 1000.0);
        let at_s = ends.chain(coming).fold(0.0, f32::max);
        let moves = at_s > 0.0 || states.iter().any(|state| state.motion.is_some());
        Ok(Self { at_s, moves, solids: solids_at(show, cue, at_s)?, actors: actors(show, cue) })
    }
}

/// Parts of props as they stand `at_s` seconds into a cue.
///
/// # Errors
/// [`SolidsError`].
pub fn solids_at(show: &Show, cue: &Cue, at_s: f32) -> Result<Vec<Solid>, SolidsError> {
    solids::of_cue::<{ limits::PARTS }>(show, cue, at_s).map(|list| list.into_iter().collect())
}

/// The moments of a cue at which a person can be on the mark, with the parts that are where the plan says: what
/// follows presence is left out.
pub fn moments(project: &Project, cue: &Cue, actor: &Actor) -> Vec<(f32, Vec<Solid>)> {
    let show = &project.show;
    let from_s = actor.walk_m / project.limits.pace_mps.max(0.1);
    let mut times = Vec::new();
    cameras::times(show, cue, &mut |t| times.push(t));
    let last_s = times.last().copied().unwrap_or(0.0);
    times.retain(|t| *t >= from_s.min(last_s));
    let planned = |t: f32| (t, planned(show, cue, solids_at(show, cue, t).unwrap_or_default()));
    times.into_iter().map(planned).collect()
}

/// The parts that are where the plan says.
pub(super) fn planned(show: &Show, cue: &Cue, mut solids: Vec<Solid>) -> Vec<Solid> {
    solids.retain(|solid| !motion::follows_presence(show, cue, solid.prop));
    solids
}

/// The people whom a cue places, on their marks.
pub fn actors(show: &Show, cue: &Cue) -> Vec<Actor> {
    show.places_in(cue).iter().filter_map(|place| actor(show, place)).collect()
}

/// Somebody on the mark of a place; `None` for who leaves the floor.
pub fn actor(show: &Show, place: &CuePlace) -> Option<Actor> {
    let mark = show.marks.get(place.mark?.index())?;
    actor_at(show, place, (mark.at, &mark.name))
}

/// Somebody at a place that crew call so; `None` for who the show does not have.
pub fn actor_at(show: &Show, place: &CuePlace, (at, name): (StagePoint, &str)) -> Option<Actor> {
    let person = show.people.get(place.person.index())?;
    let class = show.classes.get(person.class.index())?;
    let line = place.line.and_then(|l| show.lines.get(l.index())).map(|l| Path::new(show.points_of(l)));
    Some(Actor {
        name: person.name.to_string(),
        mark: name.to_owned(),
        who: person.who,
        body: Body::of(show, class, at),
        seated: class.chair_m.is_some(),
        walk_m: line.map_or(0.0, |path| path.length_m()),
    })
}
