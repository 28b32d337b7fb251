//! Somebody on a mark: the floor under it, furniture, other people, props at rest.

use super::{Asked, Figure, Tell, what};
use crate::geom::{Convex, GeomError, StagePoint, polygon, segment};
use crate::link::{Need, What};
use crate::look::marks;
use crate::props::ground::WALL_LINE_M;
use crate::props::{Limit, Placement, footprint, physical};
use crate::show::{CuePlace, Edge, Mark, MarkId, Part};
use crate::units::Angle;

/// Overlap with furniture up to this is a chair's or sofa's front edge at somebody's heels, metres (common practice).
const SEAT_EDGE_M: f32 = 0.05;
/// Walls that begin higher than this reflect nothing of the floor's marks, metres (common practice).
const LOW_WALL_M: f32 = 0.5;

/// The people of a cue whom somebody is held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Against {
    /// Those before in the cue: when the whole cue is looked at, each pair comes once.
    Before,
    /// All others: when one alone is looked at.
    Everybody,
}

pub(super) fn check(asked: &Asked<'_>, place: &CuePlace, against: Against, tell: Tell<'_>) {
    let Some(id) = place.mark else { return };
    let Some(mark) = asked.show.marks.get(id.index()) else { return };
    on_floor(asked, (id, mark), tell);
    near_walls(asked, (id, mark), tell);
    in_furniture(asked, (id, mark), tell);
    others(asked, (place, against), (id, mark), tell);
    props(asked, place, (id, mark), tell);
}

fn on_floor(asked: &Asked<'_>, (id, mark): (MarkId, &Mark), tell: Tell<'_>) {
    let floor = &asked.show.floor;
    let have_m = -polygon::signed_distance(&floor.vertices, mark.at);
    asked.measure(tell, (Need::Stand(id), What::OffFloor), Figure { have_m, least_m: 0.0, slack_m: 0.0 });
    let sides = (0..).zip(polygon::sides(&floor.vertices).zip(&floor.edges));
    for (i, ((a, b), _)) in sides.filter(|(_, (_, edge))| have_m >= 0.0 && **edge == Edge::Open) {
        let have_m = segment::distance(mark.at, a, b);
        asked.measure(
            tell,
            (Need::Stand(id), What::Side(i)),
            Figure { have_m, least_m: floor.edge_band_m, slack_m: 0.0 },
        );
    }
}

/// Its reflection doubles what is nearer to a wall: the mark's form counts, not its point.
fn near_walls(asked: &Asked<'_>, (id, mark): (MarkId, &Mark), tell: Tell<'_>) {
    let show = asked.show;
    let Ok(form) = Convex::polygon(&marks::field(mark)) else { return };
    let mut measure = |by, (a, b): (StagePoint, StagePoint)| {
        let Ok(wall) = Convex::segment(a, b) else { return };
        let figure = Figure { have_m: form.gap(&wall), least_m: WALL_LINE_M, slack_m: 0.0 };
        asked.measure(tell, (Need::Stand(id), by), figure);
    };
    let sides = (0..).zip(polygon::sides(&show.floor.vertices).zip(&show.floor.edges));
    sides.filter(|(_, (_, edge))| **edge == Edge::Wall).for_each(|(i, (side, _))| measure(What::Side(i), side));
    let walls = (0..).zip(&show.walls).filter(|(_, wall)| wall.bottom_m < LOW_WALL_M);
    walls.for_each(|(i, wall)| measure(What::Wall(i), (wall.from, wall.to)));
}

fn in_furniture(asked: &Asked<'_>, (id, mark): (MarkId, &Mark), tell: Tell<'_>) {
    let things = (0..).zip(&asked.show.physicals).filter(|(_, thing)| physical::stops_people(thing.kind));
    for (i, thing) in things {
        let Ok(area) = physical::rectangle(thing) else { continue };
        let figure = Figure { have_m: area.signed_distance(mark.at), least_m: -SEAT_EDGE_M, slack_m: 0.0 };
        asked.measure(tell, (Need::Stand(id), What::Physical(i)), figure);
    }
}

/// Two people of one cue do not stand in one place.
fn others(asked: &Asked<'_>, (place, against): (&CuePlace, Against), (id, mark): (MarkId, &Mark), tell: Tell<'_>) {
    let mut after = false;
    for other in asked.show.places_in(asked.cue) {
        if core::ptr::eq(other, place) {
            after = true;
            continue;
        }
        if after && against == Against::Before {
            return;
        }
        let Some(other_id) = other.mark else { continue };
        let Some(there) = asked.show.marks.get(other_id.index()) else { continue };
        let have_m = mark.at.distance(there.at) - asked.body_m(place) - asked.body_m(other);
        asked.measure(tell, (Need::Stand(id), What::Mark(other_id)), Figure { have_m, least_m: 0.0, slack_m: 0.0 });
    }
}

/// A person's body or chair against the props at rest, each prop once.
fn props(asked: &Asked<'_>, place: &CuePlace, (id, mark): (MarkId, &Mark), tell: Tell<'_>) {
    let chair_m = asked.class_of(place).and_then(|class| class.chair_m);
    let chair = chair_m.and_then(|size| chair(mark, size).ok());
    let body_m = asked.body_m(place);
    for state in asked.show.props_in(asked.cue) {
        let mut least: Option<(u8, f32)> = None;
        asked.still_parts(state, &mut |part, data, placement| {
            let gap_m = gap_m(asked, (data, placement), mark, (chair.as_ref(), body_m));
            if let Some(gap_m) = gap_m.filter(|gap_m| least.is_none_or(|(_, least_m)| *gap_m < least_m)) {
                least = Some((part, gap_m));
            }
        });
        if let Some((part, have_m)) = least {
            let by = what(Limit::Part { prop: state.prop, part });
            asked.measure(tell, (Need::Stand(id), by), Figure { have_m, least_m: asked.hard_m(), slack_m: 0.0 });
        }
    }
}

/// From somebody's body or chair to a part, metres; negative inside. `None` for a shape that cannot be used.
fn gap_m(
    asked: &Asked<'_>,
    (part, placement): (&Part, &Placement),
    mark: &Mark,
    (chair, body_m): (Option<&Convex>, f32),
) -> Option<f32> {
    let region = footprint::of_part(asked.show, part, placement).ok()?;
    let centre_m = region.signed_distance(mark.at);
    let Some(chair) = chair else { return Some(centre_m - body_m) };
    let gap_m = region.gap_to(chair);
    // A chair wholly inside a part touches none of its outline.
    Some(if centre_m < 0.0 { gap_m.min(centre_m) } else { gap_m })
}

fn chair(mark: &Mark, (width_m, length_m): (f32, f32)) -> Result<Convex, GeomError> {
    Convex::rectangle(mark.at, length_m, width_m, Angle::from_degrees(mark.facing_deg))
}
