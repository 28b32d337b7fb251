//! Plans the walk lines that ask for it when the show is loaded: one line for all cues that use it.
//!
//! A line lies on the floor as one row of dots in every cue that sends somebody along it, so it is planned among
//! everything that any of these cues has on the floor, for a walker who needs as much room as the most demanding
//! of those who walk it. The core finds the way; what is here decides among what and for whom.

use underfoot_core::geom::StagePoint;
use underfoot_core::limits;
use underfoot_core::show::{Cue, CueId, LineId, LinePoint, Name, Person, PersonClass, PersonId, Show};
use underfoot_core::walk::{Path, PlanWork, Terrain, WalkError, shortest};

use super::model::{LineWish, NoWayAt};

/// Body radius, height and pace of a walker whom neither the line nor a cue names (common practice).
const ANYBODY: (f32, f32, f32) = (0.25, 1.72, 0.9);
/// Eyes below the top of the head, metres (common practice).
const EYE_BELOW_TOP_M: f32 = 0.12;

/// The shortest way through the stops of `line` (its sharp points, in their order) that keeps clear of what all
/// cues that use the line have on the floor.
///
/// `wish` adds the person whom the file names, who counts even where no cue sends that person along the line. The
/// corridor is the line's own. A show that was changed since it was loaded is planned as it is now.
///
/// # Errors
/// [`NoWayAt`], with the cues whose props bar the way: as few as are enough.
pub fn plan_line(show: &Show, line: LineId, wish: &LineWish) -> Result<Vec<LinePoint>, NoWayAt> {
    let Some(found) = show.lines.get(line.index()) else { return Ok(Vec::new()) };
    let stops: Vec<_> = Path::new(show.points_of(found)).stops().collect();
    let class = most_demanding(&walkers(show, line, wish));
    let cues = cues_with(show, line);
    let among = |ids: &[CueId]| {
        let cues: Vec<&Cue> = ids.iter().filter_map(|id| show.cues.get(id.index())).collect();
        route(show, &cues, (&class, found.corridor_m), &stops)
    };
    among(&cues).map_err(|error| {
        // What bars the way by itself says more than all cues together: what always stands there, or one cue.
        let fewest = std::iter::once(Vec::new()).chain(cues.iter().map(|&cue| vec![cue]));
        let fewer = fewest.filter(|few| few.len() < cues.len());
        let enough = fewer.map(|few| (among(&few).err(), few)).find_map(|(error, few)| Some((few, error?)));
        let (cues, error) = enough.unwrap_or((cues, error));
        NoWayAt { line, cues, error }
    })
}

/// The width of the corridor of a planned line: as the file says, or as wide as the widest of those who walk it needs.
pub(super) fn corridor_m(show: &Show, line: LineId, wish: &LineWish) -> Option<f32> {
    let widths = walkers(show, line, wish).into_iter().map(|class| class.walk_width_m);
    wish.corridor_m.or(widths.reduce(f32::max))
}

/// Cues that send somebody along `line`, in running order.
fn cues_with(show: &Show, line: LineId) -> Vec<CueId> {
    let uses = |cue: &Cue| show.places_in(cue).iter().any(|place| place.line == Some(line));
    let ids = (0..=u8::MAX).map(CueId);
    ids.zip(&show.cues).filter(|(_, cue)| uses(cue)).map(|(id, _)| id).collect()
}

/// Classes of all who walk `line`: by the file's word and by the cues.
fn walkers<'s>(show: &'s Show, line: LineId, wish: &LineWish) -> Vec<&'s PersonClass> {
    let class = |id: PersonId| show.people.get(id.index()).and_then(|p: &Person| show.classes.get(p.class.index()));
    let sent = show.cue_places.iter().filter(|place| place.line == Some(line)).map(|place| place.person);
    wish.person.into_iter().chain(sent).filter_map(class).collect()
}

/// A body that needs as much room in every respect as whoever of `classes` needs the most there.
fn most_demanding(classes: &[&PersonClass]) -> PersonClass {
    let (radius_m, height_m, pace_mps) = ANYBODY;
    let anybody = PersonClass {
        name: Name::new(),
        height_m,
        eye_m: height_m - EYE_BELOW_TOP_M,
        radius_m,
        walk_width_m: 0.9,
        pace_mps,
        chair_m: None,
    };
    let Some((first, others)) = classes.split_first() else { return anybody };
    others.iter().fold((*first).clone(), |all, class| PersonClass {
        name: all.name,
        height_m: all.height_m.max(class.height_m),
        eye_m: all.eye_m.max(class.eye_m),
        radius_m: all.radius_m.max(class.radius_m),
        walk_width_m: all.walk_width_m.max(class.walk_width_m),
        pace_mps: all.pace_mps.min(class.pace_mps),
        chair_m: match (all.chair_m, class.chair_m) {
            (Some((w, l)), Some((width, length))) => Some((w.max(width), l.max(length))),
            (one, other) => one.or(other),
        },
    })
}

/// The way through `stops` among what all `cues` together have on the floor; furniture and edges alone without any.
fn route(
    show: &Show,
    cues: &[&Cue],
    (class, corridor_m): (&PersonClass, f32),
    stops: &[StagePoint],
) -> Result<Vec<LinePoint>, WalkError> {
    let nothing = Cue::default();
    let (first, others) = cues.split_first().map_or((&nothing, cues), |(first, others)| (*first, others));
    let mut terrain = Box::new(Terrain::<{ limits::WALK_OBSTACLES }>::of(show, first, class, corridor_m)?);
    for cue in others {
        terrain.add_cue(show, cue, class, corridor_m)?;
    }
    let mut work = Box::<PlanWork>::default();
    let mut points = heapless::Vec::<LinePoint, { limits::LINE_POINTS }>::new();
    shortest(&terrain, stops, &mut work, &mut points)?;
    Ok(points.to_vec())
}
