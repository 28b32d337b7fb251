//! A line that is planned anew: among what, and for whom.
//!
//! A line lies on the floor as one row of dots in every cue that sends somebody along it, so it is planned among
//! everything that any of these cues has on the floor, for a walker who needs as much room as the most demanding
//! of those who walk it.

use heapless::Vec;

use super::error::{Store, WalkError};
use super::path::Path;
use super::route::work::PlanWork;
use super::route::{Route, shortest};
use super::terrain::Terrain;
use crate::geom::StagePoint;
use crate::limits as cap;
use crate::show::{Cue, LineId, LinePoint, Name, PersonClass, PersonId, Show};

/// Body radius, height and pace of a walker whom neither the line nor a cue names (common practice).
const ANYBODY: (f32, f32, f32) = (0.25, 1.72, 0.9);
/// Eyes below the top of the head, metres (common practice).
const EYE_BELOW_TOP_M: f32 = 0.12;
/// Width of that walker's way, metres (common practice).
const WAY_M: f32 = 0.9;

/// Memory to plan a line in among `N` things, lent by the caller. It holds nothing between plans.
#[derive(Clone, Debug)]
pub struct PlanRoom<const N: usize> {
    /// What is gone round.
    pub terrain: Terrain<N>,
    /// The search.
    pub work: PlanWork,
    /// Where the line has to pass.
    pub stops: Vec<StagePoint, { cap::LINE_POINTS }>,
    /// The planned line.
    pub points: Vec<LinePoint, { cap::LINE_POINTS }>,
}

impl<const N: usize> PlanRoom<N> {
    /// Empty room; it may be static.
    pub const fn new() -> Self {
        Self { terrain: Terrain::vacant(), work: PlanWork::new(), stops: Vec::new(), points: Vec::new() }
    }

    /// Plans the shortest way through the stops of `line` (its sharp points, in their order) for a walker of `class`,
    /// among what all of `cues` have on the floor, or furniture and edges alone without any. It is then in
    /// [`PlanRoom::points`]; the show is as it was. The corridor is the line's own.
    ///
    /// # Errors
    /// [`WalkError`]; [`WalkError::TooFewStops`] for a line that the show does not have.
    pub fn plan<'s>(
        &mut self,
        show: &'s Show,
        line: LineId,
        class: &PersonClass,
        cues: impl IntoIterator<Item = &'s Cue>,
    ) -> Result<Route, WalkError> {
        let line = show.lines.get(line.index()).ok_or(WalkError::TooFewStops)?;
        self.stops.clear();
        for stop in Path::new(show.points_of(line)).stops() {
            let full = WalkError::Full { what: Store::Points, capacity: cap::LINE_POINTS };
            self.stops.push(stop).map_err(|_| full)?;
        }
        self.terrain.set(show, &Cue::default(), class, line.corridor_m)?;
        for cue in cues {
            self.terrain.add_cue(show, cue, class, line.corridor_m)?;
        }
        shortest(&self.terrain, &self.stops, &mut self.work, &mut self.points)
    }
}

impl<const N: usize> Default for PlanRoom<N> {
    fn default() -> Self {
        Self::new()
    }
}

/// The cues that send somebody along `line`, in running order, each with its index.
pub fn cues_with(show: &Show, line: LineId) -> impl Iterator<Item = (usize, &Cue)> {
    let uses = move |cue: &Cue| show.places_in(cue).iter().any(|place| place.line == Some(line));
    show.cues.iter().enumerate().filter(move |(_, cue)| uses(cue))
}

/// The classes of all who walk `line`: of the person whom the show file names for it, and of those whom cues send.
pub fn walkers(show: &Show, line: LineId, named: Option<PersonId>) -> impl Iterator<Item = &PersonClass> {
    let sent = show.cue_places.iter().filter(move |place| place.line == Some(line)).map(|place| place.person);
    let class = |id: PersonId| show.people.get(id.index()).and_then(|person| show.classes.get(person.class.index()));
    named.into_iter().chain(sent).filter_map(class)
}

/// A body that needs as much room in every respect as whoever of `classes` needs the most there; anybody's for none.
pub fn most_demanding<'s>(classes: impl IntoIterator<Item = &'s PersonClass>) -> PersonClass {
    let all = classes.into_iter().fold(None, |all: Option<PersonClass>, class| {
        let Some(all) = all else { return Some(class.clone()) };
        Some(PersonClass {
            height_m: all.height_m.max(class.height_m),
            eye_m: all.eye_m.max(class.eye_m),
            radius_m: all.radius_m.max(class.radius_m),
            walk_width_m: all.walk_width_m.max(class.walk_width_m),
            pace_mps: all.pace_mps.min(class.pace_mps),
            chair_m: match (all.chair_m, class.chair_m) {
                (Some((w, l)), Some((width, length))) => Some((w.max(width), l.max(length))),
                (one, other) => one.or(other),
            },
            ..all
        })
    });
    let (radius_m, height_m, pace_mps) = ANYBODY;
    all.unwrap_or(PersonClass {
        name: Name::new(),
        height_m,
        eye_m: height_m - EYE_BELOW_TOP_M,
        radius_m,
        walk_width_m: WAY_M,
        pace_mps,
        chair_m: None,
    })
}
